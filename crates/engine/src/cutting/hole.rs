//! The best way to drill, ream or bore a hole; in steps, or milled, where one drill is too much.

use super::best::{Binding, Cut, MOST_OVERSPEED, Refusal, Way, is_endless, refused, top_speed};
use super::boring::{boring_feed_force, boring_torque, reaming_torque};
use super::chip::specific_force;
use super::drilling::{USUAL_POINT, drilling_thrust, drilling_torque, lip_chip};
use super::grip;
use super::limits::Limits;
use super::milling;
use super::speeds::rpm_of;
use super::spindle::{EFFICIENCY, Range};
use crate::demand::{Task, TaskKind, ToolNeed, ToolShape};
use crate::material::Material;
use units::{Force, Length, RemovalRate, Rpm, Speed, Time, Torque, Volume};

/// Distance above the hole at which the feed begins (2 mm: lecture on drilling time, expertsmind.com).
pub(super) const APPROACH: Length = Length::mm(2.0);
/// Holes deeper than this many diameters are drilled in pecks, which take about this share longer
/// (common practice, no source).
const PECK_FROM: f64 = 3.0;
const PECK_SHARE: f64 = 0.3;
/// Largest feed of a drill, mm a turn (common practice, no source).
const LARGEST_DRILL_FEED: Length = Length::mm(0.35);
/// A drill takes twice the feed of one tooth of an end mill (common practice, no source).
const DRILL_FEED_SHARE: f64 = 2.0;
/// Reamers: half the drill's speed, twice its feed (common practice, no source).
const REAM_SPEED_SHARE: f64 = 0.5;
/// Least share of the nominal feed at which a drill still cuts rather than rubs, and the most drills
/// that open up a hole one after another (common practice, no source, both).
const LEAST_FEED: f64 = 0.25;
const MOST_STEPS: f64 = 6.0;
/// Least share of its feed at which a reamer or boring tool still cuts (common practice, no source).
const LEAST_REAM: f64 = 0.01;
/// Holes from this diameter up, no deeper than this many of it, may be milled instead, with an end
/// mill of this share; smaller ones down to the second diameter only where the drill is too much
/// (common practice, no source).
const MILLED_FROM: Length = Length::mm(25.0);
const MILLED_AT_ALL: Length = Length::mm(6.0);
const MILLED_DEEP: f64 = 3.0;
const MILL_SHARE: f64 = 0.6;
/// Holes deeper than this many diameters are no work for a mill: the longest drills sold for one are
/// of carbide and about so long (from memory).
const DEEPEST: f64 = 40.0;
/// Drills and reamers of carbide turn at about these shares of a carbide mill's speed, an insert in a
/// boring head at all of it (common practice, no source). They stand in where the spindle does not turn
/// slowly enough for high-speed steel.
const CARBIDE_DRILL_SHARE: f64 = 0.5;
const CARBIDE_REAM_SHARE: f64 = 0.25;

/// A tool at its own feed and speed, spindle and machine aside.
struct Wanted {
    diameter: Length,
    /// Feed a turn.
    feed: Length,
    own: Rpm,
    /// Highest speed a tool of carbide, or one of high-speed steel that wears, stands.
    most: Rpm,
    torque: Torque,
    thrust: Force,
    mc: f64,
    /// Length fed along, all pecks and places together.
    travel: Length,
    drilling: bool,
}

/// A speed of a gear, with what limits the hole there.
#[derive(Clone, Copy)]
struct At {
    rpm: Rpm,
    /// Share of the nominal feed, and drills one after another.
    share: f64,
    steps: f64,
    /// More drills than anybody uses, a reamer that rubs, or a speed that is none.
    beyond: bool,
    feed: Speed,
    binding: Binding,
    need: f64,
    have: f64,
    time: Time,
}

pub(super) fn cut(task: &Task, material: &Material, limits: &Limits) -> Result<Cut, Box<Refusal>> {
    let want = Wanted::of(task, material);
    let ample = want.feed_time(want.own, 1.0);
    let deep = task.cut_depth / want.diameter;
    if want.drilling && deep > DEEPEST {
        let mut none = refused(Binding::Tool, deep, DEEPEST);
        none.ample = ample;
        none.hindered = want.best(task, limits).map_or_else(
            |refusal| refusal.hindered,
            |at| Some(want.cut(task, &at, limits)),
        );
        return Err(none);
    }
    let drilled = want.best(task, limits);
    // Below the usual size milling counts as no quicker than drilling, so it is not looked at where
    // nothing keeps the drill.
    let kept = drilled.as_ref().map_or(true, |at| at.time > ample);
    let milled = match want.diameter >= MILLED_FROM {
        true => milled(task, material, limits, Time::ZERO),
        false if kept => milled(task, material, limits, ample),
        false => None,
    };
    match (drilled, milled) {
        (Ok(at), Some(milled)) if milled.time < at.time => Ok(milled),
        (Ok(at), _) => Ok(want.cut(task, &at, limits)),
        (Err(_), Some(milled)) => Ok(milled),
        (Err(mut refusal), None) => {
            refusal.ample = ample;
            Err(refusal)
        }
    }
}

/// Torque without which no machine makes the hole, all drills taken one after another; none where it may
/// be milled instead.
pub fn least_drilling_torque(task: &Task, material: &Material) -> Torque {
    let d = task.tool.diameter;
    let milled = d >= MILLED_AT_ALL && task.cut_depth <= MILLED_DEEP * d;
    if task.kind != TaskKind::Drill || milled {
        return Torque::ZERO;
    }
    Wanted::of(task, material).torque / MOST_STEPS
}

/// A hole milled with an end mill, in no less than a time.
fn milled(task: &Task, material: &Material, limits: &Limits, least: Time) -> Option<Cut> {
    let d = task.tool.diameter;
    let fits =
        task.kind == TaskKind::Drill && d >= MILLED_AT_ALL && task.cut_depth <= MILLED_DEEP * d;
    if !fits {
        return None;
    }
    let area_mm2 = std::f64::consts::FRAC_PI_4 * d.to_mm() * d.to_mm();
    let places = f64::from(task.count.max(1));
    let rough = Task {
        kind: TaskKind::Rough,
        tool: ToolNeed {
            shape: ToolShape::Flat,
            diameter: (MILL_SHARE * d).min(Length::mm(20.0)),
            corner: Length::ZERO,
            reach: task.tool.reach,
        },
        volume: Volume::mm3(area_mm2 * task.cut_depth.to_mm().max(0.0) * places),
        pass_depth: None,
        about: String::new(),
        ..task.clone()
    };
    let cut = milling::cut(&rough, material, limits).ok()?;
    Some(Cut {
        way: Way::HoleMilled,
        time: cut.time.max(least),
        ..cut
    })
}

impl Wanted {
    fn of(task: &Task, material: &Material) -> Self {
        let d = task.tool.diameter.max(Length::mm(0.1));
        let drilling = task.kind == TaskKind::Drill;
        let speed_share = if drilling { 1.0 } else { REAM_SPEED_SHARE };
        let per_tooth = material.feed_per_diameter.likely.to_number();
        let feed = (DRILL_FEED_SHARE * per_tooth * d).min(LARGEST_DRILL_FEED) / speed_share;
        let force = specific_force(material, lip_chip(feed, USUAL_POINT));
        let deep = task.cut_depth.max(Length::ZERO);
        let places = f64::from(task.count.max(1));
        let (torque, thrust) = if drilling {
            (
                drilling_torque(d, feed, force),
                drilling_thrust(d, feed, force),
            )
        } else {
            let ring_mm2 = task.volume.to_mm3() / (places * deep.to_mm().max(0.1));
            let full_mm2 = std::f64::consts::FRAC_PI_4 * d.to_mm() * d.to_mm();
            let before = d * (1.0 - (ring_mm2 / full_mm2).clamp(0.0, 1.0)).sqrt();
            let torque = if task.kind == TaskKind::Ream {
                reaming_torque(d, before, feed, force)
            } else {
                boring_torque(d, before, feed, force)
            };
            let depth = 0.5 * (d - before);
            (torque, boring_feed_force(depth, feed, force))
        };
        let peck = if drilling && deep > PECK_FROM * d {
            1.0 + PECK_SHARE
        } else {
            1.0
        };
        let own = rpm_of(material.speed_hss.likely * speed_share, d);
        let carbide_share = match task.kind {
            TaskKind::Bore => 1.0,
            TaskKind::Ream => CARBIDE_REAM_SHARE,
            _ => CARBIDE_DRILL_SHARE,
        };
        let carbide = material.speed_carbide.likely * carbide_share;
        Self {
            diameter: d,
            feed,
            own,
            most: rpm_of(carbide, d).max(own * MOST_OVERSPEED),
            torque,
            thrust,
            mc: material.mc.likely.to_number().clamp(0.0, 0.9),
            travel: (deep.max(task.tool.reach) + APPROACH) * (peck * places),
            drilling,
        }
    }

    fn feed_time(&self, rpm: Rpm, share: f64) -> Time {
        Time::minutes(self.travel.to_mm() / (self.feed.to_mm() * share * rpm.to_rpm()))
    }

    fn best(&self, task: &Task, limits: &Limits) -> Result<At, Box<Refusal>> {
        let holders = grip::speed(limits, task.tool.shape);
        let mut best: Option<At> = None;
        let mut hindered: Option<At> = None;
        for range in limits.spindle.ranges() {
            let Some((top, longer)) = top_speed(range, self.own, self.most, holders) else {
                continue;
            };
            for rpm in self.speeds(range, top, limits).into_iter().flatten() {
                let mut at = self.at(range, rpm, limits);
                at.time = at.time * longer;
                at.beyond |= is_endless(at.time, self.feed_time(self.own, 1.0));
                let place = if !at.beyond { &mut best } else { &mut hindered };
                if place.is_none_or(|b| at.time < b.time) {
                    *place = Some(at);
                }
            }
        }
        best.ok_or_else(|| match hindered {
            Some(at) => {
                let mut none = refused(at.binding, at.need, at.have);
                none.hindered = at.time.is_finite().then(|| self.cut(task, &at, limits));
                none
            }
            None => {
                let slowest = limits.spindle.slowest().to_rpm();
                refused(Binding::SlowestSpeed, self.most.to_rpm(), slowest)
            }
        })
    }

    /// Share of the nominal torque and thrust the machine gives besides the spindle.
    fn others(&self, limits: &Limits) -> (f64, Binding, f64, f64) {
        let grip = [limits.nose_torque, grip::holder_torque(self.diameter)]
            .into_iter()
            .flatten()
            .fold(Torque::nm(f64::INFINITY), Torque::min);
        let gripped = grip / self.torque;
        match limits.thrust {
            Some(thrust) if thrust / self.thrust < gripped => (
                thrust / self.thrust,
                Binding::Thrust,
                self.thrust.to_n(),
                thrust.to_n(),
            ),
            _ => (gripped, Binding::Grip, self.torque.to_nm(), grip.to_nm()),
        }
    }

    /// Speeds of a gear among which the best is. Below the base speed the torque is the same, so
    /// faster is better; above it the torque falls, and the best is where it falls to what is needed
    /// (by one drill, by a drill at the feed the thrust allows, or by several drills), or an end.
    fn speeds(&self, range: &Range, top: Rpm, limits: &Limits) -> [Option<Rpm>; 6] {
        let low = range.base_speed().max(range.slowest).min(top);
        if low >= top {
            return [Some(top), None, None, None, None, None];
        }
        let inside = |rpm: Rpm| (rpm > low && rpm < top).then_some(rpm);
        // Speed at which full power gives just the torque of the nominal feed.
        let just =
            Rpm::rps(range.power.to_w() * EFFICIENCY / self.torque.to_nm() / std::f64::consts::TAU);
        let eased = just / self.others(limits).0.min(1.0);
        // Beyond the speed at which the feed is all the table has, more turns bring nothing.
        let fed = limits
            .feed_max
            .map_or(top, |most| Rpm::rpm(most.to_mm_min() / self.feed.to_mm()));
        let stepped = just * (fed.min(top) / just).floor().min(MOST_STEPS);
        [
            Some(low),
            Some(top),
            inside(just),
            inside(eased),
            inside(stepped),
            inside(fed),
        ]
    }

    fn at(&self, range: &Range, rpm: Rpm, limits: &Limits) -> At {
        let have = range.torque_at(rpm) * EFFICIENCY;
        let (other, other_binding, other_need, other_have) = self.others(limits);
        let spindle = have / self.torque;
        let (ratio, binding, need, there) = if other < spindle {
            (other, other_binding, other_need, other_have)
        } else {
            let torque = self.torque.to_nm();
            let binding = if rpm < range.base_speed() {
                Binding::Torque
            } else {
                Binding::Power
            };
            match binding {
                Binding::Power => {
                    let power = self.torque.power_at(rpm).to_kw();
                    (spindle, binding, power, power * spindle)
                }
                _ => (spindle, binding, torque, have.to_nm()),
            }
        };
        let mut at = At {
            rpm,
            share: 1.0,
            steps: 1.0,
            beyond: false,
            feed: Speed::ZERO,
            binding,
            need,
            have: there,
            time: Time::ZERO,
        };
        let enough = ratio * (1.0 + 1.0e-9) >= 1.0;
        if !enough {
            // Torque and thrust go with f^(1 - mc); or each of several drills takes its share.
            let share = ratio.powf(1.0 / (1.0 - self.mc));
            let steps = (1.0 / ratio * (1.0 - 1.0e-9)).ceil();
            if share >= LEAST_FEED && share >= 1.0 / steps || !self.drilling {
                at.share = share;
                at.beyond = share < LEAST_REAM;
            } else {
                at.steps = steps;
                at.beyond = steps > MOST_STEPS;
            }
        } else if rpm > self.own {
            at.binding = Binding::SlowestSpeed;
        } else if rpm < self.own {
            at.binding = Binding::SpindleSpeed;
        } else {
            at.binding = Binding::Tool;
        }
        let wanted = Speed::mm_min(self.feed.to_mm() * at.share * rpm.to_rpm());
        at.feed = wanted;
        if let Some(most) = limits.feed_max.filter(|most| *most < wanted) {
            // The chip is kept: fewer turns at the same feed a turn.
            at.rpm = (rpm * (most / wanted)).max(range.slowest);
            at.feed = most;
            at.binding = Binding::Feed;
        }
        at.time = Time::minutes(self.travel.to_mm() / at.feed.to_mm_min() * at.steps);
        at
    }

    fn cut(&self, task: &Task, at: &At, limits: &Limits) -> Cut {
        let ease = at.share.powf(1.0 - self.mc) / at.steps;
        let torque = self.torque * ease;
        let area_mm2 = if self.drilling {
            std::f64::consts::FRAC_PI_4 * self.diameter.to_mm() * self.diameter.to_mm()
        } else {
            task.volume.to_mm3() / (f64::from(task.count.max(1)) * task.cut_depth.to_mm().max(0.1))
        };
        Cut {
            rpm: at.rpm,
            feed: at.feed,
            depth: task.cut_depth.max(Length::ZERO),
            width: self.diameter,
            removal: RemovalRate::mm3_min(area_mm2 * at.feed.to_mm_min() / at.steps),
            power: torque.power_at(at.rpm),
            torque,
            force: self.thrust * ease,
            binding: at.binding,
            way: if at.steps > 1.0 {
                Way::Steps(at.steps as u32)
            } else {
                Way::AsAsked
            },
            stiffness_known: limits.stiffness.is_some(),
            time: at.time,
        }
    }
}
