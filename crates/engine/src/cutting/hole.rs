//! Cuts along the tool axis: drilling, reaming, boring, tapping.

use super::best::{Binding, Cut, rpm_of};
use super::chip::specific_force;
use super::force::{drilling_torque, tapping_torque};
use super::spindle::{EFFICIENCY, Spindle};
use crate::demand::{Task, TaskKind};
use crate::material::Material;
use units::{Length, RemovalRate, Rpm, Speed, Time};

/// Distance above the hole at which the feed begins (T2-18: 2 mm).
const APPROACH: Length = Length::mm(2.0);
/// Holes deeper than this many diameters are drilled in pecks, which take about this share longer
/// (common practice, no source).
const PECK_FROM: f64 = 3.0;
const PECK_SHARE: f64 = 0.3;
/// Largest feed of a drill, mm a turn (common practice, no source).
const LARGEST_DRILL_FEED: Length = Length::mm(0.35);
/// Taps run slower than drills of the same steel (common practice, no source).
const TAP_SPEED_SHARE: f64 = 0.5;
/// Reamers: half the drill's speed, twice its feed (common practice, no source).
const REAM_SPEED_SHARE: f64 = 0.5;
/// Chip of a tap tooth at which specific force is read off: at 0.1 mm the power law gives 2489 for
/// kc1.1 1500 where the tap makers print 2500 for structural steel (T2-16) and 3400 where they
/// print 3200 for austenitic.
const TAP_CHIP: Length = Length::mm(0.1);
/// Milling a thread takes about this many times the tapping (common practice, no source).
const THREAD_MILLING: f64 = 6.0;
/// Share of the nominal feed below which a drill only rubs; a weaker spindle then drills in steps
/// of diameter, which takes longer in the same proportion.
const LEAST_STEPS: f64 = 1.0e-3;

pub(super) fn cut(
    task: &Task,
    material: &Material,
    spindle: &Spindle,
    feed_max: Option<Speed>,
) -> Cut {
    match task.kind {
        TaskKind::Tap | TaskKind::Thread => tap(task, material, spindle),
        _ => drill(task, material, spindle, feed_max),
    }
}

fn speed(wanted: Rpm, spindle: &Spindle) -> (Rpm, Binding) {
    let binding = if spindle.fastest < wanted {
        Binding::SpindleSpeed
    } else {
        Binding::Tool
    };
    (wanted.min(spindle.fastest).max(spindle.slowest), binding)
}

fn drill(task: &Task, material: &Material, spindle: &Spindle, feed_max: Option<Speed>) -> Cut {
    let d = task.tool.diameter.max(Length::mm(0.1));
    let drilling = task.kind == TaskKind::Drill;
    let share = if drilling { 1.0 } else { REAM_SPEED_SHARE };
    let (mut rpm, mut binding) = speed(rpm_of(material.speed_hss.likely * share, d), spindle);
    let feed_rev =
        (2.0 * material.feed_per_diameter.likely.to_number() * d).min(LARGEST_DRILL_FEED) / share;
    let mut feed_used = feed_rev;
    if let Some(most) = feed_max.filter(|f| f.to_mm_min() > 0.0) {
        let enough = Rpm::rpm(most.to_mm_min() / feed_rev.to_mm());
        if enough < rpm {
            rpm = enough.max(spindle.slowest);
            feed_used = feed_rev.min(Length::mm(most.to_mm_min() / rpm.to_rpm()));
            binding = Binding::Feed;
        }
    }
    // Each of two lips cuts half the feed at the 59 degree half point angle.
    let lip = feed_used * (0.5 * 59.0f64.to_radians().sin());
    let full = if drilling {
        drilling_torque(d, feed_used, specific_force(material, lip))
    } else {
        // A finishing cut: the little it removes, as a share of the drill's area.
        let area = std::f64::consts::FRAC_PI_4 * d.to_mm() * d.to_mm();
        let cut_area =
            task.volume.to_mm3() / (f64::from(task.count.max(1)) * task.cut_depth.to_mm().max(0.1));
        drilling_torque(d, feed_used, specific_force(material, lip)) * (cut_area / area).min(1.0)
    };
    let have = spindle.torque_at(rpm) * EFFICIENCY;
    let mut slower = 1.0;
    if full.to_nm() > have.to_nm() {
        binding = if rpm < spindle.base_speed() {
            Binding::Torque
        } else {
            Binding::Power
        };
        slower = (have / full).max(LEAST_STEPS);
    }
    let feed = Speed::mm_min(feed_used.to_mm() * rpm.to_rpm() * slower);
    let deep = task.cut_depth.max(Length::ZERO);
    let peck = if drilling && deep > PECK_FROM * d {
        1.0 + PECK_SHARE
    } else {
        1.0
    };
    let travel = task.cut_depth.max(task.tool.reach) + APPROACH;
    let minutes = travel.to_mm() / feed.to_mm_min() * peck * f64::from(task.count.max(1));
    let torque = full.min(have);
    Cut {
        rpm,
        feed,
        depth: deep,
        width: d,
        removal: RemovalRate::mm3_min(
            std::f64::consts::FRAC_PI_4 * d.to_mm() * d.to_mm() * feed.to_mm_min(),
        ),
        power: torque.power_at(rpm),
        torque,
        binding,
        time: Time::minutes(minutes),
    }
}

fn tap(task: &Task, material: &Material, spindle: &Spindle) -> Cut {
    let d = task.tool.diameter.max(Length::mm(0.1));
    let pitch = task.pitch.unwrap_or(0.15 * d).max(Length::mm(0.05));
    let (mut rpm, mut binding) = speed(
        rpm_of(material.speed_hss.likely * TAP_SPEED_SHARE, d),
        spindle,
    );
    let full = tapping_torque(d, pitch, specific_force(material, TAP_CHIP));
    // In and out again, with a turn to reverse at each end.
    let turns = 2.0 * ((task.cut_depth + APPROACH) / pitch + 2.0) * f64::from(task.count.max(1));
    let mut minutes = turns / rpm.to_rpm();
    if full.to_nm() > spindle.torque_at(rpm).to_nm() * EFFICIENCY {
        binding = if rpm < spindle.base_speed() {
            Binding::Torque
        } else {
            Binding::Power
        };
        // Slower, where the spindle has more torque; or milled.
        let slow =
            Rpm::rps(spindle.power.to_w() * EFFICIENCY / full.to_nm() / std::f64::consts::TAU);
        let milled = minutes * THREAD_MILLING;
        let turns_slowly = full.to_nm() <= spindle.torque.to_nm() * EFFICIENCY
            && slow >= spindle.slowest
            && turns / slow.to_rpm() < milled;
        if turns_slowly {
            rpm = slow;
            minutes = turns / slow.to_rpm();
        } else {
            minutes = milled;
        }
    }
    let torque = full.min(spindle.torque_at(rpm) * EFFICIENCY);
    Cut {
        rpm,
        feed: Speed::mm_min(pitch.to_mm() * rpm.to_rpm()),
        depth: task.cut_depth,
        width: d,
        removal: RemovalRate::ZERO,
        power: torque.power_at(rpm),
        torque,
        binding,
        time: Time::minutes(minutes),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cutting::best::tests::{mill_of, steel};
    use crate::cutting::{best_cut, possible_cut};
    use crate::demand::{ToolNeed, ToolShape};
    use crate::machine::Known;
    use units::{Area, Power, Torque, Volume};

    fn hole(kind: TaskKind, shape: ToolShape, diameter_mm: f64, deep_mm: f64) -> Task {
        Task {
            kind,
            tool: ToolNeed {
                shape,
                diameter: Length::mm(diameter_mm),
                corner: Length::ZERO,
                reach: Length::mm(deep_mm),
            },
            volume: Volume::ZERO,
            area: Area::ZERO,
            count: 1,
            depth: Length::mm(deep_mm),
            cut_depth: Length::mm(deep_mm),
            pitch: (kind == TaskKind::Tap).then_some(Length::mm(0.15 * diameter_mm)),
            pass_depth: None,
            stepover: None,
            outside: false,
            about: "hole".into(),
        }
    }

    #[test]
    fn an_ample_spindle_drills_at_the_tools_own_speed_and_feed() {
        let task = hole(TaskKind::Drill, ToolShape::Drill, 10.0, 20.0);
        let cut = best_cut(&task, &steel(), &mill_of(Power::kw(50.0))).expect("a cut");
        // 25 m/min on 10 mm: 795.8/min; two lips of 0.006 D each: 0.12 mm a turn; 20 + 2 mm.
        assert!((cut.rpm.to_rpm() - 795.77).abs() < 5e-3);
        assert!((cut.time.to_minutes() - 22.0 / (795.775 * 0.12)).abs() < 1e-5);
        assert_eq!(cut.binding, Binding::Tool);
        // Beyond three diameters it is pecked.
        let deep = hole(TaskKind::Drill, ToolShape::Drill, 10.0, 40.0);
        let pecked = best_cut(&deep, &steel(), &mill_of(Power::kw(50.0))).expect("a cut");
        let straight = 42.0 / (795.775 * 0.12);
        assert!((pecked.time.to_minutes() / straight - 1.3).abs() < 1e-5);
    }

    #[test]
    fn a_weak_spindle_drills_more_slowly_within_its_torque() {
        let task = hole(TaskKind::Drill, ToolShape::Drill, 20.0, 20.0);
        let weak = best_cut(&task, &steel(), &mill_of(Power::kw(0.7))).expect("a cut");
        let ample = best_cut(&task, &steel(), &mill_of(Power::kw(50.0))).expect("a cut");
        assert!(weak.time > ample.time);
        assert_eq!(weak.binding, Binding::Torque);
        // 0.7 kW at the assumed base speed of 1500/min, less the drive's losses.
        let most = Power::kw(0.7).torque_at(Rpm::rpm(1500.0)) * EFFICIENCY;
        assert!(weak.torque <= most);
    }

    #[test]
    fn a_tap_beyond_the_spindle_is_turned_slowly_or_milled_and_never_slower_for_more_torque() {
        let task = hole(TaskKind::Tap, ToolShape::Tap, 16.0, 24.0);
        let on = |kw: f64, nm: f64| {
            let mut mill = mill_of(Power::kw(kw));
            mill.properties.spindle_torque = Known::Yes(Torque::nm(nm));
            possible_cut(&task, &steel(), &mill).expect("a cut").time
        };
        // kc(0.1 mm) 2489 MPa, P 2.4 mm, D 16: 28.7 N m, so 35.8 N m at the motor.
        let full = on(10.0, 200.0);
        assert_eq!(on(10.0, 36.0), full);
        assert!((on(10.0, 35.0) / full - THREAD_MILLING).abs() < 1e-9);
        let mut last = Time::h(1.0e9);
        for step in 0..400 {
            for kw in [0.05, 0.4, 10.0] {
                if kw == 0.05 {
                    let time = on(kw, 20.0 + 0.1 * f64::from(step));
                    assert!(time <= last, "{step}");
                    last = time;
                }
                assert!(on(kw, 30.0) <= full * THREAD_MILLING * (1.0 + 1e-12));
            }
        }
    }
}
