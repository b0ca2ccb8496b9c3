//! The best milling cut.

use super::best::{Binding, Cut, MOST_OVERSPEED, Refusal, Way, is_endless, refused, top_speed};
use super::chip::{engaged_angle, kienzle, mean_chip};
use super::deflection::{CARBIDE, FLUTED_SHARE, bar_stiffness};
use super::engage::{Engagement, WIDEST_FEED_DIAMETER, engagements, teeth};
use super::force::milling_power;
use super::grip;
use super::limits::Limits;
use super::speeds::{cutting_speed, rpm_of, table_feed};
use super::spindle::{EFFICIENCY, Range};
use crate::demand::{Task, TaskKind, ToolShape};
use crate::material::Material;
use units::{Angle, Force, Length, Power, RemovalRate, Rpm, Speed, Stress, Time};

/// Bend of the tool that a rough cut may have, as a share of the diameter; a finished wall or surface
/// shows it (common practice, no source, both).
const ROUGH_BEND_SHARE: f64 = 0.015;
const FINISH_BEND: Length = Length::mm(0.02);
/// Force at the worst moment against the mean, of mills with a usual helix (common practice, no
/// source).
const PEAK_FORCE: f64 = 1.5;
/// Shortest stick-out that is taken for a tool, as a share of its diameter: the flutes themselves
/// (common practice, no source).
const SHORTEST_REACH: f64 = 1.5;
/// A tool that bends too much even at this share of its usual depth is too slender for the work, on
/// any machine and at any speed (our choice: five hundredths of a millimetre for a 20 mm tool).
const LEAST_BENDING: f64 = 1.0 / 200.0;
/// Rounding of a dozen operations.
const ROUNDING: f64 = 1.0 + 1.0e-9;

/// A cut at the tool's own limits, spindle and machine aside.
struct Wanted {
    diameter: Length,
    shape: ToolShape,
    teeth: f64,
    /// Feed per tooth.
    feed: Length,
    /// Speed the material likes.
    own: Rpm,
    /// Specific force at that feed, and its exponent.
    force: Stress,
    mc: f64,
    /// Teeth in the cut.
    engaged: f64,
    engagement: Engagement,
    /// Mean force at which the tool bends as much as it may.
    bend: Force,
}

/// A speed of a gear, with what limits the cut there.
#[derive(Clone, Copy)]
struct At {
    rpm: Rpm,
    feed: Speed,
    fed: bool,
    base: Rpm,
    slowest: Rpm,
    power_per_mm: Power,
    /// Depth that the tool and the machine's stiffness allow: beyond it there are more passes.
    hard: Length,
    hard_binding: Binding,
    /// Depth that power and forces allow: beyond it the cut is slower in proportion.
    soft: Length,
    soft_binding: Binding,
    /// Depth that forces alone allow.
    forced: Length,
    time: Time,
}

pub(super) fn cut(task: &Task, material: &Material, limits: &Limits) -> Result<Cut, Box<Refusal>> {
    let diameter = task.tool.diameter.max(Length::mm(0.1));
    let Best { want, at, ample } =
        best(task, material, limits, diameter).map_err(|mut refusal| {
            refusal.smaller = smaller(task, material, limits, false);
            refusal
        })?;
    let cap = want.engagement.depth;
    let held = at.hard.min(at.soft);
    let stiff = all_wanted(task, material, diameter)
        .map(|w| w.stiff_depth() / w.engagement.depth)
        .fold(0.0, f64::max);
    if stiff < LEAST_BENDING {
        let mut none = refused(
            Binding::Deflection,
            cap.to_mm(),
            cap.to_mm() * stiff.min(0.99),
        );
        none.ample = ample;
        none.hindered = at.time.is_finite().then(|| want.cut(&at, limits));
        return Err(none);
    }
    if is_endless(at.time, ample) {
        let (need, have) = want.need_and_have(&at);
        let mut none = refused(want.binding(&at), need, have);
        none.ample = ample;
        none.hindered = at.time.is_finite().then(|| want.cut(&at, limits));
        none.smaller = smaller(task, material, limits, false);
        return Err(none);
    }
    let cut = want.cut(&at, limits);
    if task.pass_depth.is_none() || held.to_mm() * ROUNDING >= cap.to_mm() {
        return Ok(cut);
    }
    // Above the base speed the same power at a lower speed is more torque: the stated depth at
    // fewer turns takes the same time.
    let slower = at.rpm * (at.soft / cap);
    let others = at.hard.min(at.forced);
    let turns = at.soft_binding == Binding::Power && others.to_mm() * ROUNDING >= cap.to_mm();
    if turns && slower.to_rpm() * ROUNDING >= at.base.max(at.slowest).to_rpm() {
        let share = at.soft / cap;
        return Ok(Cut {
            rpm: slower,
            feed: at.feed * share,
            depth: cap,
            torque: cut.power.torque_at(slower),
            force: cut.force * (1.0 / share),
            ..cut
        });
    }
    let (need, have) = want.need_and_have(&at);
    Err(Box::new(Refusal {
        binding: at.binding(),
        need,
        have,
        shallower: Some(cut),
        smaller: smaller(task, material, limits, true),
        hindered: None,
        ample,
    }))
}

/// The quickest of the ways, gears and speeds, and the time with nothing of the machine in the way.
struct Best {
    want: Wanted,
    at: At,
    ample: Time,
}

fn best(
    task: &Task,
    material: &Material,
    limits: &Limits,
    diameter: Length,
) -> Result<Best, Box<Refusal>> {
    let mut best: Option<(Wanted, At)> = None;
    let mut own = Rpm::ZERO;
    let mut ample = Time::s(f64::INFINITY);
    for want in all_wanted(task, material, diameter) {
        own = want.own;
        ample = ample.min(want.ample());
        let found = want.quickest(limits);
        if let Some(at) = found
            && best.as_ref().is_none_or(|(_, b)| at.time < b.time)
        {
            best = Some((want, at));
        }
    }
    match best {
        Some((want, at)) => Ok(Best { want, at, ample }),
        None => {
            let slowest = limits.spindle.slowest().to_rpm();
            let most = own.to_rpm() * MOST_OVERSPEED;
            let mut none = refused(Binding::SlowestSpeed, most, slowest);
            none.ample = ample;
            Err(none)
        }
    }
}

fn all_wanted<'a>(
    task: &'a Task,
    material: &'a Material,
    diameter: Length,
) -> impl Iterator<Item = Wanted> + 'a {
    engagements(task, diameter, material.group)
        .into_iter()
        .flatten()
        .map(move |e| Wanted::of(task, material, diameter, e))
}

impl Wanted {
    fn of(task: &Task, material: &Material, diameter: Length, engagement: Engagement) -> Self {
        let teeth = teeth(task.tool.shape, diameter, material.group);
        let feed = diameter.min(WIDEST_FEED_DIAMETER)
            * material.feed_per_diameter.likely.to_number()
            * engagement.thinning;
        let (width, centred) = (engagement.width, engagement.centred);
        let chip = mean_chip(feed, width, diameter, Angle::deg(90.0), centred);
        let mc = material.mc.likely.to_number();
        let engaged = engaged_angle(width, diameter, centred).to_rad();
        // The body of a face mill is as stiff as its arbor.
        let bend = if task.tool.shape == ToolShape::Face {
            Force::n(f64::INFINITY)
        } else {
            let reach = task.tool.reach.max(SHORTEST_REACH * diameter);
            let allowed = match task.kind {
                TaskKind::Side | TaskKind::Freeform => FINISH_BEND,
                _ => ROUGH_BEND_SHARE * diameter,
            };
            let stiffness = bar_stiffness(FLUTED_SHARE * diameter, reach, CARBIDE);
            Force::n(stiffness * allowed.to_mm() / PEAK_FORCE)
        };
        Self {
            diameter,
            shape: task.tool.shape,
            teeth,
            feed,
            own: rpm_of(material.speed_carbide.likely, diameter),
            force: kienzle(material.kc11.likely, mc, chip),
            mc,
            engaged: teeth * engaged / std::f64::consts::TAU,
            engagement,
            bend,
        }
    }

    /// Depth at which the tool bends as much as it may, at its own feed.
    fn stiff_depth(&self) -> Length {
        let per_width = RemovalRate::mm3_min(
            self.engagement.width.to_mm() * table_feed(self.feed, self.teeth, self.own).to_mm_min(),
        );
        let per_mm = milling_power(per_width, self.force).to_w()
            / cutting_speed(self.own, self.diameter).to_m_s();
        Length::mm(self.bend.to_n() / per_mm)
    }

    /// Time with nothing of the machine in the way.
    fn ample(&self) -> Time {
        let feed = table_feed(self.feed, self.teeth, self.own);
        let depth = self.engagement.depth;
        self.engagement.time(feed, depth, depth)
    }

    /// The quickest gear and speed; `None` when every gear is too fast for the tool.
    fn quickest(&self, limits: &Limits) -> Option<At> {
        let holders = grip::speed(limits, self.shape);
        let mut best: Option<At> = None;
        for range in limits.spindle.ranges() {
            let Some((top, longer)) =
                top_speed(range, self.own, self.own * MOST_OVERSPEED, holders)
            else {
                continue;
            };
            for mut at in self.speeds(range, top, limits).into_iter().flatten() {
                at.time = at.time * longer;
                if best.is_none_or(|b| at.time < b.time) {
                    best = Some(at);
                }
            }
        }
        best
    }

    /// The best speeds of a gear. With the tooth's full feed every limit grows with the speed, so it
    /// is the highest. Once the table cannot follow, a higher speed thins the chip: that costs power
    /// (as n^mc) and eases the forces (as n^(mc-1)); the best is where the falling limit meets the
    /// rising ones, no lower than the base speed or than where the feed begins to bind.
    fn speeds(&self, range: &Range, top: Rpm, limits: &Limits) -> [Option<At>; 2] {
        let enough = limits.feed_max.map_or(top, |most| {
            Rpm::rpm(most.to_mm_min() / (self.teeth * self.feed.to_mm()))
        });
        if enough >= top {
            return [Some(self.at(range, top, limits)), None];
        }
        let low = enough.max(range.base_speed()).max(range.slowest).min(top);
        let first = self.at(range, low, limits);
        let (power, force) = self.soft_depths(range, &first, limits);
        let meet = low * (power / force.0);
        let second = (meet > low).then(|| self.at(range, meet.min(top), limits));
        [Some(first), second]
    }

    /// Depths that power, and forces with their name, allow.
    fn soft_depths(&self, range: &Range, at: &At, limits: &Limits) -> (Length, (Length, Binding)) {
        let power = Length::mm(range.power_at(at.rpm) * EFFICIENCY / at.power_per_mm);
        let grip = [limits.nose_torque, grip::holder_torque(self.diameter)]
            .into_iter()
            .flatten()
            .map(|t| Force::n(t.to_nm() * 2000.0 / self.diameter.to_mm()));
        let all = grip
            .map(|f| (f, Binding::Grip))
            .chain(limits.thrust.map(|f| (f, Binding::Thrust)))
            .fold((self.bend, Binding::Deflection), |least, each| {
                if each.0 < least.0 { each } else { least }
            });
        let per_mm = at.power_per_mm.to_w() / cutting_speed(at.rpm, self.diameter).to_m_s();
        (power, (Length::mm(all.0.to_n() / per_mm), all.1))
    }

    fn at(&self, range: &Range, rpm: Rpm, limits: &Limits) -> At {
        let wanted = table_feed(self.feed, self.teeth, rpm);
        let most = limits.feed_max.unwrap_or(wanted);
        let fed = most.to_mm_min() <= wanted.to_mm_min() * ROUNDING && limits.feed_max.is_some();
        let (feed, force) = if most < wanted {
            (most, self.force * (most / wanted).powf(-self.mc))
        } else {
            (wanted, self.force)
        };
        let width = self.engagement.width;
        let per_mm = RemovalRate::mm3_min(width.to_mm() * feed.to_mm_min());
        let cap = self.engagement.depth;
        // The chatter limit takes the cutting coefficient as a constant, so it does not follow the
        // thinned chip.
        let held = limits.stiffness.map_or(cap, |s| {
            Length::mm(s.likely_n_mm / (self.force.to_mpa() * self.engaged))
        });
        let (hard, hard_binding) = if held < cap {
            (held, Binding::Stiffness)
        } else {
            (cap, Binding::Tool)
        };
        let mut at = At {
            rpm,
            feed,
            fed,
            base: range.base_speed(),
            slowest: range.slowest,
            power_per_mm: milling_power(per_mm, force),
            hard,
            hard_binding,
            soft: Length::ZERO,
            soft_binding: Binding::Power,
            forced: Length::ZERO,
            time: Time::ZERO,
        };
        let (power, (forced, forced_binding)) = self.soft_depths(range, &at, limits);
        at.forced = forced;
        (at.soft, at.soft_binding) = if forced < power {
            (forced, forced_binding)
        } else if rpm < range.base_speed() {
            (power, Binding::Torque)
        } else {
            (power, Binding::Power)
        };
        at.time = self.engagement.time(feed, at.hard, at.soft);
        at
    }

    /// Needed and there at the tool's own depth, in the unit of the binding limit.
    fn need_and_have(&self, at: &At) -> (f64, f64) {
        let cap = self.engagement.depth;
        let held = at.hard.min(at.soft);
        let power = at.power_per_mm * cap.to_mm();
        let need = match at.binding() {
            Binding::Power => power.to_kw(),
            Binding::Torque | Binding::Grip => power.torque_at(at.rpm).to_nm(),
            Binding::Thrust => power.to_w() / cutting_speed(at.rpm, self.diameter).to_m_s(),
            _ => cap.to_mm(),
        };
        (need, need * (held / cap))
    }

    /// What keeps the cut from being faster.
    fn binding(&self, at: &At) -> Binding {
        let depth = at.hard.min(at.soft);
        if depth.to_mm() * ROUNDING < self.engagement.depth.to_mm() {
            at.binding()
        } else if at.fed {
            Binding::Feed
        } else if at.rpm < self.own {
            Binding::SpindleSpeed
        } else if at.rpm > self.own {
            Binding::SlowestSpeed
        } else {
            Binding::Tool
        }
    }

    fn cut(&self, at: &At, limits: &Limits) -> Cut {
        let depth = at.hard.min(at.soft);
        let power = at.power_per_mm * depth.to_mm();
        let binding = self.binding(at);
        let width = self.engagement.width;
        Cut {
            rpm: at.rpm,
            feed: at.feed,
            depth,
            width,
            removal: RemovalRate::mm3_min(depth.to_mm() * width.to_mm() * at.feed.to_mm_min()),
            power,
            torque: power.torque_at(at.rpm),
            force: Force::n(power.to_w() / cutting_speed(at.rpm, self.diameter).to_m_s()),
            binding,
            way: Way::AsAsked,
            stiffness_known: limits.stiffness.is_some(),
            time: at.time,
        }
    }
}

impl At {
    fn binding(&self) -> Binding {
        if self.soft < self.hard {
            self.soft_binding
        } else {
            self.hard_binding
        }
    }
}

/// Cutters that are tried at the stated depth: the sizes face mills and end mills are sold in
/// (ISO 6462 and ISO 1641-1 preferred diameters, from memory), mm.
const SOLD_MM: [f64; 18] = [
    160.0, 125.0, 100.0, 80.0, 63.0, 50.0, 40.0, 32.0, 25.0, 20.0, 16.0, 12.0, 10.0, 8.0, 6.0, 5.0,
    4.0, 3.0,
];

/// The largest smaller cutter with which the machine takes the whole depth, or any that is a cut.
fn smaller(
    task: &Task,
    material: &Material,
    limits: &Limits,
    whole: bool,
) -> Option<(Length, Cut)> {
    SOLD_MM.iter().find_map(|&diameter_mm| {
        let diameter = Length::mm(diameter_mm);
        if diameter >= task.tool.diameter {
            return None;
        }
        let Best { want, at, ample } = best(task, material, limits, diameter).ok()?;
        let held = at.hard.min(at.soft).to_mm() * ROUNDING;
        let takes = if whole {
            held >= want.engagement.depth.to_mm()
        } else {
            !is_endless(at.time, ample)
        };
        takes.then(|| (diameter, want.cut(&at, limits)))
    })
}
