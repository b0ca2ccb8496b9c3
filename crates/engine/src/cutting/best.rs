//! The best cut of a task on a machine, or the refusal that names the limit.

use super::chip::{mean_chip, specific_force};
use super::force::milling_power;
use super::hole;
use super::spindle::{EFFICIENCY, Spindle};
use crate::demand::{Task, TaskKind, ToolShape};
use crate::machine::Machine;
use crate::material::{IsoGroup, Material};
use units::{Angle, Length, Power, RemovalRate, Rpm, Speed, Time, Torque};

/// What keeps a cut from being faster.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Binding {
    /// The tool and the material: nothing of the machine.
    Tool,
    /// Highest spindle speed.
    SpindleSpeed,
    /// Highest cutting feed.
    Feed,
    /// Spindle power.
    Power,
    /// Spindle torque.
    Torque,
}

/// A cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cut {
    /// Spindle speed.
    pub rpm: Rpm,
    /// Table feed.
    pub feed: Speed,
    /// Depth of a pass; the whole depth of a hole.
    pub depth: Length,
    /// Width of a pass; the diameter of a hole.
    pub width: Length,
    /// Removal rate.
    pub removal: RemovalRate,
    /// Power at the cutter.
    pub power: Power,
    /// Torque at the cutter.
    pub torque: Torque,
    /// What keeps it from being faster.
    pub binding: Binding,
    /// In the cut, all places together.
    pub time: Time,
}

/// Why there is no such cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Refusal {
    /// The limit; `Tool` when the machine's spindle is not known at all.
    pub binding: Binding,
    /// Needed at the cutter, kW or N m.
    pub need: f64,
    /// There at the cutter, kW or N m.
    pub have: f64,
    /// The same cutter at a depth the spindle takes.
    pub shallower: Option<Cut>,
    /// A smaller cutter at the stated depth.
    pub smaller: Option<(Length, Cut)>,
    /// Time an ample spindle would take.
    pub ample: Time,
}

/// Feed per tooth grows with the diameter up to here; inserts of larger cutters are no larger
/// (0.1 to 0.15 mm a tooth in steel; T4-01 and T4-05 stop at 20 to 25 mm).
const WIDEST_FEED_DIAMETER: Length = Length::mm(20.0);

/// Teeth of the usual cutter (common practice, no source).
fn teeth(shape: ToolShape, diameter: Length, group: IsoGroup) -> f64 {
    match (shape, group) {
        // Face mills: about one insert per 15 mm of diameter.
        (ToolShape::Face, _) => (diameter.to_mm() / 15.0).round().max(2.0),
        (ToolShape::Ball | ToolShape::Chamfer, _) => 2.0,
        (_, IsoGroup::N | IsoGroup::O) => 3.0,
        _ => 4.0,
    }
}

/// Depth of a pass and width of cut in an ample machine, as shares of the diameter, and length to
/// travel or volume to remove (common practice, no source; small-shop end mills with ordinary
/// holders).
struct Engagement {
    depth: Length,
    width: Length,
    centred: bool,
    work: Work,
}

enum Work {
    /// Volume at the removal rate.
    Volume,
    /// Whole passes over an area.
    Passes,
    /// Lines of a given total length.
    Line(Length),
}

fn engagement(task: &Task, group: IsoGroup) -> Engagement {
    let d = task.tool.diameter;
    let deep = task.cut_depth.max(Length::ZERO);
    let soft = matches!(group, IsoGroup::N | IsoGroup::O);
    let line = |length: Length, depth, width| Engagement {
        depth,
        width,
        centred: false,
        work: Work::Line(length),
    };
    match task.kind {
        TaskKind::Face => Engagement {
            depth: task
                .pass_depth
                .unwrap_or(if soft {
                    Length::mm(3.0)
                } else {
                    Length::mm(2.0)
                })
                .min(deep.max(FACE_SKIM)),
            width: 0.7 * d,
            centred: true,
            work: Work::Passes,
        },
        TaskKind::Bottom => {
            let width = 0.6 * d;
            line(over(task, width), FINISH_DEPTH, width)
        }
        TaskKind::Side => {
            let depth = deep.min(1.5 * d).max(FINISH_DEPTH);
            line(over(task, depth), depth, FINISH_DEPTH.min(0.1 * d))
        }
        TaskKind::Freeform => {
            let step = task.stepover.unwrap_or(0.1 * d).max(Length::mm(0.01));
            line(over(task, step), 0.05 * d, step)
        }
        TaskKind::Chamfer => {
            let width = deep.max(Length::mm(0.1));
            line(
                over(task, width * std::f64::consts::SQRT_2),
                width,
                width.min(d),
            )
        }
        _ => Engagement {
            depth: (if soft { 1.0 } else { 0.5 } * d).min(deep.max(FINISH_DEPTH)),
            width: 0.5 * d,
            centred: false,
            work: Work::Volume,
        },
    }
}

/// A face cut only to clean up (common practice, no source).
const FACE_SKIM: Length = Length::mm(0.5);
/// Stock left for finishing (common practice, no source).
const FINISH_DEPTH: Length = Length::mm(0.3);

fn over(task: &Task, step: Length) -> Length {
    Length::mm(task.area.to_mm2() / step.to_mm())
}

/// Reach over diameter from which a tool is fed more slowly, in proportion (common practice, no source).
const SLENDER: f64 = 4.0;

/// The best cut of a task on a machine.
pub fn best_cut(task: &Task, material: &Material, machine: &Machine) -> Result<Cut, Box<Refusal>> {
    let Some(spindle) = Spindle::of(&machine.properties) else {
        return Err(unknown());
    };
    let feed_max = machine.properties.feed_max.estimate();
    match task.kind {
        TaskKind::Drill | TaskKind::Ream | TaskKind::Bore | TaskKind::Tap | TaskKind::Thread => {
            Ok(hole::cut(task, material, &spindle, feed_max))
        }
        _ => mill(task, material, &spindle, feed_max),
    }
}

/// The best cut there is, at a lesser depth than stated if need be; `None` when the spindle is not
/// known at all.
pub fn possible_cut(task: &Task, material: &Material, machine: &Machine) -> Option<Cut> {
    match best_cut(task, material, machine) {
        Ok(cut) => Some(cut),
        Err(refusal) => refusal.shallower,
    }
}

fn unknown() -> Box<Refusal> {
    Box::new(Refusal {
        binding: Binding::Tool,
        need: 0.0,
        have: 0.0,
        shallower: None,
        smaller: None,
        ample: Time::ZERO,
    })
}

/// A milling cut at the tool's own limits and the machine's speed and feed, spindle aside.
struct Wanted {
    rpm: Rpm,
    feed: Speed,
    depth: Length,
    width: Length,
    /// Power at the cutter per millimetre of depth.
    power_per_mm: Power,
    binding: Binding,
    work: Work,
}

fn wanted(task: &Task, material: &Material, spindle: &Spindle, feed_max: Option<Speed>) -> Wanted {
    let d = task.tool.diameter.max(Length::mm(0.1));
    let group = material.group;
    let e = engagement(task, group);
    let z = teeth(task.tool.shape, d, group);
    let slender = (SLENDER * (d / task.tool.reach.max(Length::mm(0.1)))).min(1.0);
    let fz = d.min(WIDEST_FEED_DIAMETER) * material.feed_per_diameter.likely.to_number() * slender;
    let own_rpm = rpm_of(material.speed_carbide.likely, d);
    let mut rpm = own_rpm.min(spindle.fastest).max(spindle.slowest);
    let mut binding = if spindle.fastest < own_rpm {
        Binding::SpindleSpeed
    } else {
        Binding::Tool
    };
    let mut fz_used = fz;
    if let Some(most) = feed_max.filter(|f| f.to_mm_min() > 0.0) {
        // Above this speed the chip only gets thinner and costs more power.
        let enough = Rpm::rpm(most.to_mm_min() / (z * fz.to_mm()));
        if enough < rpm {
            rpm = enough.max(spindle.slowest);
            fz_used = fz.min(Length::mm(most.to_mm_min() / (z * rpm.to_rpm())));
            binding = Binding::Feed;
        }
    }
    let feed = Speed::mm_min(fz_used.to_mm() * z * rpm.to_rpm());
    let chip = mean_chip(fz_used, e.width, d, Angle::deg(90.0), e.centred);
    let per_mm = RemovalRate::mm3_min(e.width.to_mm() * feed.to_mm_min());
    Wanted {
        rpm,
        feed,
        depth: e.depth,
        width: e.width,
        power_per_mm: milling_power(per_mm, specific_force(material, chip)),
        binding,
        work: e.work,
    }
}

/// Speed at which a tool of this diameter has this cutting speed.
pub(super) fn rpm_of(speed: Speed, diameter: Length) -> Rpm {
    Rpm::rpm(speed.to_mm_min() / (std::f64::consts::PI * diameter.to_mm()))
}

impl Wanted {
    /// The cut at a depth of pass.
    fn cut(&self, task: &Task, depth: Length, binding: Binding) -> Cut {
        let power = self.power_per_mm * depth.to_mm();
        let removal =
            RemovalRate::mm3_min(depth.to_mm() * self.width.to_mm() * self.feed.to_mm_min());
        let minutes = match self.work {
            Work::Volume => task.volume.to_mm3() / removal.to_mm3_min(),
            Work::Passes => {
                // A pass short of a hair is no pass. A weaker spindle takes the same passes more
                // slowly, or thinner ones at full speed, which comes to the same time.
                let passes = (task.cut_depth / self.depth - 1.0e-6).ceil().max(1.0);
                passes * (self.depth / depth).max(1.0) * task.area.to_mm2()
                    / (self.width.to_mm() * self.feed.to_mm_min())
            }
            // Lines are cut in one pass; a weaker spindle takes them more slowly in proportion.
            Work::Line(length) => {
                length.to_mm() / self.feed.to_mm_min() * (self.depth / depth).max(1.0)
            }
        };
        Cut {
            rpm: self.rpm,
            feed: self.feed,
            depth,
            width: self.width,
            removal,
            power,
            torque: power.torque_at(self.rpm),
            binding,
            time: Time::minutes(minutes),
        }
    }

    /// Power at the cutter the spindle gives at this speed, and whether torque is what binds.
    fn available(&self, spindle: &Spindle) -> (Power, Binding) {
        let binding = if self.rpm < spindle.base_speed() {
            Binding::Torque
        } else {
            Binding::Power
        };
        (spindle.power_at(self.rpm) * EFFICIENCY, binding)
    }
}

fn mill(
    task: &Task,
    material: &Material,
    spindle: &Spindle,
    feed_max: Option<Speed>,
) -> Result<Cut, Box<Refusal>> {
    let want = wanted(task, material, spindle, feed_max);
    let (have, spindle_binding) = want.available(spindle);
    let full = want.cut(task, want.depth, want.binding);
    if full.power.to_kw() <= have.to_kw() * (1.0 + 1.0e-9) {
        return Ok(full);
    }
    let depth = want.depth * (have / full.power);
    let shallower = want.cut(task, depth, spindle_binding);
    if task.pass_depth.is_none() {
        return Ok(shallower);
    }
    let (need, there) = match spindle_binding {
        Binding::Torque => (full.torque.to_nm(), have.torque_at(want.rpm).to_nm()),
        _ => (full.power.to_kw(), have.to_kw()),
    };
    Err(Box::new(Refusal {
        binding: spindle_binding,
        need,
        have: there,
        shallower: Some(shallower),
        smaller: smaller(task, material, spindle, feed_max),
        ample: full.time,
    }))
}

/// Cutters that are tried at the stated depth: the sizes face mills and end mills are sold in
/// (ISO 6462 and ISO 1641-1 preferred diameters, from memory), mm.
const SOLD_MM: [f64; 12] = [
    160.0, 125.0, 100.0, 80.0, 63.0, 50.0, 40.0, 32.0, 25.0, 20.0, 16.0, 12.0,
];

/// The largest smaller cutter with which the spindle takes the stated depth.
fn smaller(
    task: &Task,
    material: &Material,
    spindle: &Spindle,
    feed_max: Option<Speed>,
) -> Option<(Length, Cut)> {
    SOLD_MM.iter().find_map(|&diameter_mm| {
        let diameter = Length::mm(diameter_mm);
        if diameter >= task.tool.diameter {
            return None;
        }
        let mut tried = task.clone();
        tried.tool.diameter = diameter;
        let want = wanted(&tried, material, spindle, feed_max);
        let cut = want.cut(&tried, want.depth, want.binding);
        (cut.power <= want.available(spindle).0).then_some((diameter, cut))
    })
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use crate::ids::{MaterialId, OfferId};
    use crate::machine::{Known, Properties};
    use units::{Area, Number, Stress, Value, Volume};

    pub(crate) fn steel() -> Material {
        let v = |id: &str| format!("materials/1045/{id}");
        Material {
            id: MaterialId::new("1045"),
            name: "carbon steel".into(),
            aliases: vec![],
            group: IsoGroup::P,
            density_kg_m3: 7850.0,
            // T1-10 (ISCAR 2017 p.558); band of T1-38's methods.
            kc11: Value::assumed(
                v("kc11"),
                Stress::mpa(1000.0),
                Stress::mpa(1500.0),
                Stress::mpa(2200.0),
                "T1-10",
            ),
            mc: 0.22,
            // T4-04 and T4-05.
            speed_carbide: Value::assumed(
                v("vc"),
                Speed::m_min(140.0),
                Speed::m_min(180.0),
                Speed::m_min(250.0),
                "T4-04, T4-05",
            ),
            // T4-02: 75 to 90 SFM.
            speed_hss: Value::assumed(
                v("hss"),
                Speed::m_min(22.0),
                Speed::m_min(25.0),
                Speed::m_min(28.0),
                "T4-02",
            ),
            // T4-04, T4-05: 0.0045 to 0.01 of the diameter.
            feed_per_diameter: Value::assumed(
                v("fz"),
                Number::of(0.0045),
                Number::of(0.006),
                Number::of(0.01),
                "T4-04, T4-05",
            ),
            stock_price_kg: None,
            source: "test".into(),
        }
    }

    pub(crate) fn mill_of(power: Power) -> Machine {
        Machine {
            offer: OfferId::new("m"),
            properties: Properties {
                spindle_power: Known::Yes(power),
                spindle_rpm_max: Known::Yes(Rpm::rpm(6000.0)),
                feed_max: Known::Yes(Speed::m_min(5.0)),
                ..Properties::default()
            },
            taper: None,
            taper_default: None,
        }
    }

    /// A 3 in face mill taking 0.1 in over a 12 x 6 in face.
    pub(crate) fn facing() -> Task {
        let depth = Length::inch(0.1);
        let area = Area::inch2(72.0);
        Task {
            kind: TaskKind::Face,
            tool: crate::demand::ToolNeed {
                shape: ToolShape::Face,
                diameter: Length::inch(3.0),
                corner: Length::ZERO,
                reach: depth,
            },
            volume: area * depth,
            area,
            count: 1,
            depth,
            cut_depth: depth,
            pitch: None,
            pass_depth: Some(depth),
            stepover: None,
            outside: false,
            about: "face".into(),
        }
    }

    /// Common practice, no source.
    #[test]
    fn a_three_inch_face_mill_in_steel_is_beyond_a_small_spindle_and_within_a_large_one() {
        let refusal = best_cut(&facing(), &steel(), &mill_of(Power::hp(1.5))).expect_err("beyond");
        assert!(matches!(refusal.binding, Binding::Power | Binding::Torque));
        assert!(refusal.need > refusal.have);
        let shallower = refusal.shallower.expect("a lesser depth");
        assert!(shallower.depth < Length::inch(0.1) && shallower.depth > Length::mm(0.1));
        assert!(shallower.time > refusal.ample);
        assert!(shallower.power <= Power::hp(1.5) * EFFICIENCY * (1.0 + 1e-9));
        let (diameter, cut) = refusal.smaller.expect("a smaller cutter");
        assert!(diameter < Length::inch(3.0));
        assert_eq!(cut.depth, Length::inch(0.1));
        assert!(cut.power <= Power::hp(1.5) * EFFICIENCY);
        for hp in [15.0, 20.0] {
            let cut = best_cut(&facing(), &steel(), &mill_of(Power::hp(hp))).expect("within");
            assert_eq!(cut.depth, Length::inch(0.1));
            assert_eq!(cut.binding, Binding::Tool);
        }
    }

    #[test]
    fn an_unstated_depth_is_lessened_instead_of_refused() {
        let mut task = facing();
        task.pass_depth = None;
        task.kind = TaskKind::Rough;
        task.volume = Volume::cm3(100.0);
        task.cut_depth = Length::mm(30.0);
        let weak = best_cut(&task, &steel(), &mill_of(Power::hp(1.5))).expect("slower");
        let ample = best_cut(&task, &steel(), &mill_of(Power::kw(1000.0))).expect("ample");
        assert!(weak.time > ample.time);
        assert_eq!(ample.binding, Binding::Tool);
    }

    #[test]
    fn the_feed_keeps_within_the_machine_and_a_fast_spindle_does_not_thin_the_chip() {
        let mut task = facing();
        task.pass_depth = None;
        task.tool.diameter = Length::mm(6.0);
        task.tool.shape = ToolShape::Flat;
        task.kind = TaskKind::Side;
        let on = |rpm: f64, feed_mm_min: f64| {
            let mut mill = mill_of(Power::kw(50.0));
            mill.properties.spindle_rpm_max = Known::Yes(Rpm::rpm(rpm));
            mill.properties.feed_max = Known::Yes(Speed::mm_min(feed_mm_min));
            best_cut(&task, &steel(), &mill).expect("a cut")
        };
        // 180 m/min on 6 mm: 9549/min; 4 teeth of 0.036 mm: 1375 mm/min.
        let free = on(20_000.0, 10_000.0);
        assert!((free.feed.to_mm_min() - 1375.1).abs() < 0.05);
        assert_eq!(free.binding, Binding::Tool);
        let slow = on(20_000.0, 600.0);
        assert!((slow.feed.to_mm_min() - 600.0).abs() < 1e-9);
        assert_eq!(slow.binding, Binding::Feed);
        assert!((slow.rpm.to_rpm() - 600.0 / (4.0 * 0.036)).abs() < 1e-9);
        assert_eq!(on(3000.0, 10_000.0).binding, Binding::SpindleSpeed);
    }

    #[test]
    fn a_machine_of_unknown_spindle_is_refused() {
        let mut machine = mill_of(Power::kw(1.0));
        machine.properties.spindle_power = Known::No;
        assert_eq!(best_cut(&facing(), &steel(), &machine), Err(unknown()));
        assert_eq!(possible_cut(&facing(), &steel(), &machine), None);
    }
}
