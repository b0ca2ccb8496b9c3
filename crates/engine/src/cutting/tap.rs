//! The best way to make a thread: tapped, slowly where the spindle is weak, or milled.

use super::best::{Binding, Cut, MOST_OVERSPEED, Refusal, Way, is_endless, refused, top_speed};
use super::chip::{specific_force, tap_force};
use super::engage::WIDEST_FEED_DIAMETER;
use super::force::milling_power;
use super::grip;
use super::hole::APPROACH;
use super::limits::Limits;
use super::speeds::{feed_time, rpm_of, table_feed};
use super::spindle::{EFFICIENCY, Range};
use super::threading::{tapping_removal, tapping_torque, thread_mill_centre_share};
use crate::demand::{Task, TaskKind};
use crate::material::Material;
use units::{Force, Length, Rpm, Speed, Time, Torque};

/// Taps run slower than drills of the same steel (common practice, no source).
const TAP_SPEED_SHARE: f64 = 0.5;
/// Turns lost to slowing down, turning round and coming up again at each end (common practice, no
/// source).
const TURNS_LOST: f64 = 2.0;

/// Thread mills: cutter against thread, teeth, turns round the hole with entry and exit, and passes
/// (common practice, no source).
const MILL_SHARE: f64 = 0.7;
const MILL_TEETH: f64 = 3.0;
const MILL_TURNS: f64 = 1.5;
const MILL_PASSES: f64 = 2.0;
/// Thread mills are slender and bear less than an end mill's feed (common practice, no source).
const MILL_FEED_SHARE: f64 = 0.5;
/// Smallest thread that is milled (common practice, no source).
const MILLED_FROM: Length = Length::mm(2.0);

pub(super) fn cut(task: &Task, material: &Material, limits: &Limits) -> Result<Cut, Box<Refusal>> {
    let want = Wanted::of(task, material);
    let tapped = if task.kind == TaskKind::Tap {
        want.tapped(task, limits)
    } else {
        Err(refused(
            Binding::Tool,
            MILLED_FROM / want.diameter.min(0.99 * MILLED_FROM),
            1.0,
        ))
    };
    let milled = want.milled(task, material, limits);
    match (tapped, milled) {
        (Ok(tapped), Some(milled)) if milled.time < tapped.time => Ok(milled),
        (Ok(tapped), _) => Ok(tapped),
        (Err(_), Some(milled)) => Ok(milled),
        (Err(mut refusal), None) => {
            refusal.ample = want.time(want.own);
            Err(refusal)
        }
    }
}

struct Wanted {
    diameter: Length,
    pitch: Length,
    own: Rpm,
    torque: Torque,
    /// Turns in and out again, all places together.
    turns: f64,
}

impl Wanted {
    fn of(task: &Task, material: &Material) -> Self {
        let d = task.tool.diameter.max(Length::mm(0.1));
        let pitch = task.pitch.unwrap_or(0.15 * d).max(Length::mm(0.05));
        let deep = task.cut_depth.max(Length::ZERO);
        let once = (deep + APPROACH) / pitch + TURNS_LOST;
        Self {
            diameter: d,
            pitch,
            own: rpm_of(material.speed_hss.likely * TAP_SPEED_SHARE, d),
            torque: tapping_torque(d, pitch, tap_force(material)),
            turns: 2.0 * once * f64::from(task.count.max(1)),
        }
    }

    fn time(&self, rpm: Rpm) -> Time {
        Time::minutes(self.turns / rpm.to_rpm())
    }

    /// Tapped as fast as torque, feed and the machine's tapping allow.
    fn tapped(&self, task: &Task, limits: &Limits) -> Result<Cut, Box<Refusal>> {
        let tapping = limits.rigid_tapping.unwrap_or(grip::FLOATING_TAP_SPEED);
        let fed = limits.feed_max.map_or(Rpm::rpm(f64::INFINITY), |f| {
            Rpm::rpm(f.to_mm_min() / self.pitch.to_mm())
        });
        let cap = tapping.min(fed);
        let grip = [limits.nose_torque, grip::holder_torque(self.diameter)]
            .into_iter()
            .flatten()
            .fold(Torque::nm(f64::INFINITY), Torque::min);
        let need = self.torque.to_nm();
        if tapping <= Rpm::ZERO {
            return Err(refused(Binding::SpindleSpeed, self.own.to_rpm(), 0.0));
        }
        if need > grip.to_nm() {
            return Err(refused(Binding::Grip, need, grip.to_nm()));
        }
        let best = limits
            .peak
            .ranges()
            .iter()
            .filter_map(|range| self.speed_of(range, cap))
            .min_by(|a, b| a.1.total_cmp(&b.1));
        let Some((rpm, time, weak)) = best else {
            let have = limits.peak.torque() * EFFICIENCY;
            return Err(if have.to_nm() < need {
                refused(Binding::Torque, need, have.to_nm())
            } else {
                refused(
                    Binding::SlowestSpeed,
                    cap.to_rpm(),
                    limits.peak.slowest().to_rpm(),
                )
            });
        };
        let binding = match weak {
            Some(binding) => binding,
            None if rpm >= self.own => Binding::Tool,
            None if fed < tapping && rpm >= fed => Binding::Feed,
            None => Binding::SpindleSpeed,
        };
        Ok(Cut {
            rpm,
            feed: Speed::mm_min(self.pitch.to_mm() * rpm.to_rpm()),
            depth: task.cut_depth,
            width: self.diameter,
            removal: tapping_removal(self.diameter, self.pitch, rpm),
            power: self.torque.power_at(rpm),
            torque: self.torque,
            force: Force::ZERO,
            binding,
            way: Way::AsAsked,
            stiffness_known: limits.stiffness.is_some(),
            time,
        })
    }

    /// Highest speed at which a gear turns the tap, the time at it, and what of the spindle keeps it
    /// low.
    fn speed_of(&self, range: &Range, cap: Rpm) -> Option<(Rpm, Time, Option<Binding>)> {
        let need = self.torque.to_nm();
        if need > range.torque.to_nm() * EFFICIENCY {
            return None;
        }
        let powered = Rpm::rps(range.power.to_w() * EFFICIENCY / need / std::f64::consts::TAU);
        let (top, longer) = top_speed(range, self.own, self.own * MOST_OVERSPEED, cap)?;
        let rpm = top.min(powered);
        let weak = match (powered < top, longer > 1.0) {
            (true, _) => Some(Binding::Power),
            (false, true) => Some(Binding::SlowestSpeed),
            (false, false) => None,
        };
        let time = self.time(rpm) * longer;
        (rpm >= range.slowest && !is_endless(time, self.time(self.own)))
            .then_some((rpm, time, weak))
    }

    /// Milled: round the hole, the cutter's edge at an end mill's feed, in the gear that does it
    /// quickest. The power grows with the speed as the spindle's does at most, so a gear's highest
    /// speed is its best.
    fn milled(&self, task: &Task, material: &Material, limits: &Limits) -> Option<Cut> {
        if self.diameter < MILLED_FROM {
            return None;
        }
        let own = rpm_of(material.speed_carbide.likely, MILL_SHARE * self.diameter);
        let holders = grip::speed(limits, task.tool.shape);
        limits
            .spindle
            .ranges()
            .iter()
            .filter_map(|range| {
                let (rpm, longer) = top_speed(range, own, own * MOST_OVERSPEED, holders)?;
                let mut cut = self.milled_at(task, material, limits, range, rpm);
                cut.time = cut.time * longer;
                Some(cut)
            })
            .min_by(|a, b| a.time.total_cmp(&b.time))
    }

    fn milled_at(
        &self,
        task: &Task,
        material: &Material,
        limits: &Limits,
        range: &Range,
        rpm: Rpm,
    ) -> Cut {
        let cutter = MILL_SHARE * self.diameter;
        let per_tooth = cutter.min(WIDEST_FEED_DIAMETER)
            * (material.feed_per_diameter.likely.to_number() * MILL_FEED_SHARE);
        let follow = |feed: Speed| limits.feed_max.map_or(feed, |most| feed.min(most));
        let edge = table_feed(per_tooth, MILL_TEETH, rpm);
        let centre = follow(edge * thread_mill_centre_share(self.diameter, cutter));
        let circle = std::f64::consts::PI * (self.diameter - cutter);
        let round = feed_time(circle * (MILL_TURNS * MILL_PASSES), centre);
        let deep = task.cut_depth.max(Length::ZERO);
        let in_and_out = feed_time(2.0 * (deep + APPROACH), follow(edge));
        // A turn of the tap takes what a turn of the thread holds.
        let turn = tapping_removal(self.diameter, self.pitch, Rpm::rpm(1.0));
        let removal = turn * ((deep / self.pitch).max(1.0) / round.to_minutes());
        // The teeth are in the cut for a small arc; half the feed is a usual mean chip.
        let power = milling_power(removal, specific_force(material, 0.5 * per_tooth));
        let have = range.power_at(rpm) * EFFICIENCY;
        let slower = (power / have).max(1.0);
        let time = (round * slower + in_and_out) * f64::from(task.count.max(1));
        // Nobody mills a thread that a tap makes as quickly: the time counts as no less than the
        // tap's own, so that a stronger spindle, which taps, is never the slower one.
        let floor = if task.kind == TaskKind::Tap {
            self.time(self.own)
        } else {
            Time::ZERO
        };
        Cut {
            rpm,
            feed: centre * (1.0 / slower),
            depth: deep,
            width: self.diameter,
            removal: removal * (1.0 / slower),
            power: power.min(have),
            torque: power.min(have).torque_at(rpm),
            force: Force::ZERO,
            binding: if slower > 1.0 {
                Binding::Power
            } else {
                Binding::Tool
            },
            way: Way::ThreadMilled,
            stiffness_known: limits.stiffness.is_some(),
            time: time.max(floor),
        }
    }
}
