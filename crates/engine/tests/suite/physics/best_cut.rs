//! The best cut: which limit binds, facts of the trade (common practice, no source), and its laws.

use super::build::{inch, machine, materials, mm, stated};
use engine::cutting::{
    Binding, EFFICIENCY, Limits, Material, Range, Spindle, SpindleBand, Stiffness, Way, best_cut,
    best_cut_within, possible_cut,
};
use engine::demand::{Task, TaskKind, ToolNeed, ToolShape};
use engine::ids::MaterialId;
use engine::machine::{EnteredProperties, Known, Machine, Properties};
use proptest::prelude::*;
use units::{Area, Force, Length, Mass, Number, Power, Rpm, Speed, Time, Torque, Volume};

fn steel() -> Material {
    materials().0[&MaterialId::new("steel")].clone()
}

fn mill_of(kw: f64) -> EnteredProperties {
    EnteredProperties {
        spindle_power: stated(Power::kw(kw)),
        spindle_rpm_max: stated(Rpm::rpm(6000.0)),
        feed_max: stated(Speed::m_min(5.0)),
        ..Default::default()
    }
}

/// Of no stated taper.
fn on(properties: EnteredProperties) -> Machine {
    let mut machine = machine(properties);
    machine.taper = None;
    machine
}

fn task(kind: TaskKind, shape: ToolShape, diameter: Length, deep: Length) -> Task {
    let area = Area::cm2(100.0);
    Task {
        kind,
        tool: ToolNeed {
            shape,
            diameter,
            corner: Length::ZERO,
            reach: deep,
        },
        volume: area * deep,
        area,
        count: 1,
        depth: deep,
        cut_depth: deep,
        neck: None,
        pitch: None,
        pass_depth: None,
        stepover: None,
        outside: false,
        about: "task".into(),
    }
}

/// A 3 in face mill taking 0.1 in over a 12 x 6 in face.
fn facing() -> Task {
    let depth = inch(0.1);
    let area = Area::inch2(72.0);
    Task {
        volume: area * depth,
        area,
        pass_depth: Some(depth),
        ..task(TaskKind::Face, ToolShape::Face, inch(3.0), depth)
    }
}

fn hole(kind: TaskKind, shape: ToolShape, diameter: f64, deep: f64) -> Task {
    Task {
        volume: Volume::ZERO,
        area: Area::ZERO,
        neck: None,
        pitch: (kind == TaskKind::Tap).then_some(mm(0.15 * diameter)),
        ..task(kind, shape, mm(diameter), mm(deep))
    }
}

fn drill(diameter: f64, deep: f64) -> Task {
    hole(TaskKind::Drill, ToolShape::Drill, diameter, deep)
}

/// Common practice, no source.
#[test]
fn a_three_inch_face_mill_in_steel_is_beyond_a_light_spindle_and_within_a_large_one() {
    let light = Power::hp(1.5);
    let refusal = best_cut(&facing(), &steel(), &on(mill_of(light.to_kw()))).expect_err("beyond");
    assert!(matches!(refusal.binding, Binding::Power | Binding::Torque));
    assert!(refusal.need > refusal.have);
    let shallower = refusal.shallower.expect("a lesser depth");
    assert!(shallower.depth < inch(0.1) && shallower.depth > mm(0.1));
    assert!(shallower.time > refusal.ample);
    assert!(shallower.power <= light * (EFFICIENCY * (1.0 + 1e-9)));
    let (diameter, cut) = refusal.smaller.expect("a smaller cutter");
    assert!(diameter < inch(3.0) && cut.depth == inch(0.1));
    assert!(cut.power <= light * EFFICIENCY);
    for hp in [15.0, 20.0] {
        let cut =
            best_cut(&facing(), &steel(), &on(mill_of(Power::hp(hp).to_kw()))).expect("within");
        assert_eq!(cut.depth, inch(0.1));
        assert_eq!(cut.binding, Binding::Tool);
    }
}

/// Common practice, no source: large drills want torque more than power.
#[test]
fn a_large_drill_wants_torque_more_than_power() {
    // 20 mm into steel at 22 m/min turns at about 350: a spindle of the same power with a low gear
    // drills it in one, a direct one in steps.
    let direct = EnteredProperties {
        spindle_torque: stated(Torque::nm(8.0)),
        ..mill_of(3.0)
    };
    let geared = EnteredProperties {
        spindle_torque: stated(Torque::nm(80.0)),
        ..mill_of(3.0)
    };
    let one = best_cut(&drill(20.0, 70.0), &steel(), &on(geared)).expect("drills");
    let many = best_cut(&drill(20.0, 70.0), &steel(), &on(direct)).expect("drills");
    assert_eq!((one.way, one.binding), (Way::AsAsked, Binding::Tool));
    assert_eq!(many.binding, Binding::Torque);
    assert!(many.time > one.time && many.torque < one.torque);
    assert!(many.power.to_kw() < 0.5 * 3.0, "power to spare: {many:?}");
    assert!(matches!(many.way, Way::Steps(_)));
}

#[test]
fn an_ample_spindle_drills_at_the_tools_own_speed_and_feed() {
    let cut = best_cut(&drill(10.0, 20.0), &steel(), &on(mill_of(50.0))).expect("a cut");
    // 25 m/min on 10 mm: 795.8/min; two lips of 0.006 D each: 0.12 mm a turn; 20 + 2 mm.
    assert!((cut.rpm.to_rpm() - 795.77).abs() < 5e-3);
    assert!((cut.time.to_minutes() - 22.0 / (795.775 * 0.12)).abs() < 1e-5);
    assert_eq!(cut.binding, Binding::Tool);
    // Beyond three diameters it is pecked.
    let pecked = best_cut(&drill(10.0, 40.0), &steel(), &on(mill_of(50.0))).expect("a cut");
    let straight = 42.0 / (795.775 * 0.12);
    assert!((pecked.time.to_minutes() / straight - 1.3).abs() < 1e-5);
}

#[test]
fn the_feed_keeps_within_the_machine_and_a_fast_spindle_does_not_thin_the_chip() {
    let side = task(TaskKind::Side, ToolShape::Flat, mm(6.0), mm(6.0));
    let cut = |rpm: f64, feed: f64| {
        let mill = EnteredProperties {
            spindle_rpm_max: stated(Rpm::rpm(rpm)),
            feed_max: stated(Speed::mm_min(feed)),
            ..mill_of(50.0)
        };
        best_cut(&side, &steel(), &on(mill)).expect("a cut")
    };
    // 180 m/min on 6 mm: 9549/min; 4 teeth of 0.036 mm: 1375 mm/min.
    let free = cut(20_000.0, 10_000.0);
    assert!((free.feed.to_mm_min() - 1375.1).abs() < 0.05);
    assert_eq!(free.binding, Binding::Tool);
    let slow = cut(20_000.0, 300.0);
    assert_eq!(slow.feed, Speed::mm_min(300.0));
    assert!(matches!(slow.binding, Binding::Feed | Binding::Deflection));
    // No faster than the base speed of 1500 asks for, or than keeps the chip.
    assert!(
        (slow.rpm.to_rpm() - 300.0 / (4.0 * 0.036)).abs() < 1e-6,
        "{slow:?}"
    );
    assert_eq!(cut(3000.0, 10_000.0).binding, Binding::SpindleSpeed);
}

#[test]
fn each_limit_can_be_the_one_that_binds() {
    let rough = task(TaskKind::Rough, ToolShape::Flat, mm(16.0), mm(20.0));
    let long = Task {
        tool: ToolNeed {
            reach: mm(130.0),
            ..rough.tool
        },
        ..rough.clone()
    };
    let ample = || EnteredProperties {
        spindle_torque: stated(Torque::nm(500.0)),
        ..mill_of(50.0)
    };
    let bind = |task: &Task, p: EnteredProperties| {
        best_cut(task, &steel(), &on(p))
            .map(|c| c.binding)
            .map_err(|r| r.binding)
    };
    let with = |set: &dyn Fn(&mut EnteredProperties)| {
        let mut p = ample();
        set(&mut p);
        p
    };
    assert_eq!(bind(&rough, ample()), Ok(Binding::Tool));
    assert_eq!(bind(&rough, mill_of(0.5)), Ok(Binding::Power));
    let torque = with(&|p| p.spindle_torque = stated(Torque::nm(2.0)));
    assert_eq!(bind(&rough, torque), Ok(Binding::Torque));
    let thrust = with(&|p| p.axis_thrust = stated(Force::n(60.0)));
    assert_eq!(bind(&rough, thrust.clone()), Ok(Binding::Thrust));
    // Sixty newtons push no 16 mm drill, whatever the steps, and so deep it is not milled; 1500 do at
    // a lesser feed.
    assert_eq!(
        bind(&drill(16.0, 60.0), thrust.clone()),
        Err(Binding::Thrust)
    );
    let shallow = best_cut(&drill(16.0, 20.0), &steel(), &on(thrust)).expect("milled");
    assert_eq!(shallow.way, Way::HoleMilled);
    let pushing = with(&|p| p.axis_thrust = stated(Force::n(1500.0)));
    assert_eq!(bind(&drill(16.0, 60.0), pushing), Ok(Binding::Thrust));
    assert_eq!(bind(&long, ample()), Ok(Binding::Deflection));
    let light = with(&|p| p.weight = stated(Mass::kg(60.0)));
    assert_eq!(bind(&rough, light), Ok(Binding::Stiffness));
    let fed = with(&|p| p.feed_max = stated(Speed::mm_min(200.0)));
    assert_eq!(bind(&rough, fed), Ok(Binding::Feed));
    let slow = with(&|p| p.spindle_rpm_max = stated(Rpm::rpm(500.0)));
    assert_eq!(bind(&rough, slow), Ok(Binding::SpindleSpeed));
    let router = with(&|p| {
        p.spindle_rpm_min = stated(Rpm::rpm(8000.0));
        p.spindle_rpm_max = stated(Rpm::rpm(24_000.0));
    });
    assert_eq!(bind(&rough, router.clone()), Err(Binding::SlowestSpeed));
    assert_eq!(bind(&drill(16.0, 60.0), router), Err(Binding::SlowestSpeed));
    // A nose that slips holds a large drill back.
    let mut slipping = on(ample());
    slipping.taper = Some("TTS".parse().expect("a taper"));
    let held = best_cut(&drill(24.0, 80.0), &steel(), &slipping).expect("in steps");
    assert_eq!(held.binding, Binding::Grip);
}

#[test]
fn stiffness_comes_from_weight_and_from_what_was_seen_and_else_the_time_is_a_bound() {
    let rough = task(TaskKind::Rough, ToolShape::Flat, mm(20.0), mm(20.0));
    let with = |kg: Option<f64>, seen: Option<f64>, box_ways: Option<f64>| EnteredProperties {
        weight: kg.and_then(|kg| stated(Mass::kg(kg))),
        steel_depth_seen: seen.and_then(|d| stated(mm(d))),
        box_ways: box_ways.and_then(|b| stated(Number::of(b))),
        spindle_torque: stated(Torque::nm(200.0)),
        ..mill_of(20.0)
    };
    let cut = |p| best_cut(&rough, &steel(), &on(p)).expect("a cut");
    assert!(!cut(with(None, None, None)).stiffness_known);
    let band = |p| Stiffness::of(&on(p));
    assert_eq!(band(with(None, None, None)), None);
    let of = |p| band(p).expect("known");
    let light = of(with(Some(250.0), None, None));
    assert!(light.low_n_mm < light.likely_n_mm && light.likely_n_mm < light.high_n_mm);
    // Common practice, no source: about a millimetre on a bench mill, a full-diameter 20 mm mill on
    // a 40-taper centre.
    let deep = |s: Stiffness| s.depths(2900.0, 1.0)[1].to_mm();
    assert!((0.5..2.0).contains(&deep(light)));
    assert!(deep(of(with(Some(4500.0), None, None))) > 15.0);
    assert!(
        of(with(Some(700.0), None, Some(1.0))).likely_n_mm
            > of(with(Some(700.0), None, Some(0.0))).likely_n_mm
    );
    // What was seen is surely held.
    let seen = of(with(Some(250.0), Some(4.0), None));
    assert!(seen.seen && (deep(seen) - 4.0).abs() < 1e-9);
    assert!(seen.low_n_mm > light.low_n_mm);
    let bench = cut(with(Some(250.0), None, None));
    assert!(bench.stiffness_known && bench.time > cut(with(None, None, None)).time);
}

#[test]
fn a_tap_beyond_the_spindle_is_turned_slowly_or_milled() {
    let tap = hole(TaskKind::Tap, ToolShape::Tap, 16.0, 24.0);
    let with = |kw: f64, nm: f64| EnteredProperties {
        spindle_torque: stated(Torque::nm(nm)),
        ..mill_of(kw)
    };
    let cut = |p| possible_cut(&tap, &steel(), &on(p)).expect("a cut");
    // kc(0.1 mm) 2489 MPa, P 2.4 mm, D 16: 28.7 N m, so 35.8 N m at the motor.
    let full = cut(with(10.0, 36.0));
    assert_eq!(
        (full.way, full.time),
        (Way::AsAsked, cut(with(10.0, 200.0)).time)
    );
    let weak = cut(with(10.0, 35.0));
    assert_eq!(weak.way, Way::ThreadMilled);
    assert!(weak.time >= full.time);
    let slow = cut(with(0.1, 50.0));
    assert!(slow.time > full.time);
    // For the seconds of a tap the peak torque counts.
    let peak = EnteredProperties {
        spindle_torque_peak: stated(Torque::nm(60.0)),
        ..with(10.0, 20.0)
    };
    assert_eq!(cut(peak).way, Way::AsAsked);
    // A machine that cannot tap rigidly mills it; one that taps slowly takes longer.
    let rigid = |rpm: f64| EnteredProperties {
        rigid_tapping_rpm: stated(Rpm::rpm(rpm)),
        ..with(10.0, 200.0)
    };
    assert_eq!(cut(rigid(0.0)).way, Way::ThreadMilled);
    assert!(cut(rigid(100.0)).time > full.time);
    assert_eq!(cut(rigid(100.0)).binding, Binding::SpindleSpeed);
}

#[test]
fn a_machine_of_unknown_spindle_is_refused() {
    let nothing = on(EnteredProperties::default());
    let refusal = best_cut(&facing(), &steel(), &nothing).expect_err("no spindle");
    assert_eq!(refusal.binding, Binding::Tool);
    assert_eq!(possible_cut(&facing(), &steel(), &nothing), None);
    assert_eq!(Spindle::of(&Properties::default()), None);
}

#[test]
fn two_or_three_numbers_give_a_curve_with_its_spread() {
    let of = |power: Option<f64>, torque: Option<f64>, base: Option<f64>| {
        SpindleBand::of(&Properties {
            spindle_power: power.map_or(Known::No, |p| Known::Yes(Power::kw(p))),
            spindle_torque: torque.map_or(Known::No, |t| Known::Yes(Torque::nm(t))),
            spindle_torque_rpm: base.map_or(Known::No, |b| Known::Yes(Rpm::rpm(b))),
            spindle_rpm_max: Known::Yes(Rpm::rpm(8000.0)),
            ..Properties::default()
        })
        .expect("known")
    };
    // Power and torque fix the knee: 9549 x 11 / 70 = 1500.6.
    let both = of(Some(11.0), Some(70.0), None);
    assert!((both.likely.base_speed().to_rpm() - 1500.6).abs() < 0.1);
    assert_eq!(both.likely, both.upper);
    // At worst the power is there only at the top: 9549 x 11 / 8000 = 13.13 N m.
    assert!((both.lower.torque_at(Rpm::rpm(1000.0)).to_nm() - 13.13).abs() < 0.01);
    // The speed the torque holds up to narrows it: 30 N m to 2000 is 6.28 kW, kept above.
    let three = of(Some(11.0), Some(30.0), Some(2000.0));
    assert_eq!(three.lower.torque_at(Rpm::rpm(1500.0)), Torque::nm(30.0));
    let kept = Torque::nm(30.0).power_at(Rpm::rpm(2000.0));
    let above = three.lower.power_at(Rpm::rpm(3000.0));
    assert!((above / kept - 1.0).abs() < 1e-12);
    // Power alone: a wide band about the usual four-pole motor.
    let alone = of(Some(7.5), None, None);
    let at = |s: &Spindle| s.torque_at(Rpm::rpm(100.0)).to_nm();
    assert!(at(&alone.lower) < at(&alone.likely) && at(&alone.likely) < at(&alone.upper));
    // Torque with its speed gives power.
    let torque = of(None, Some(50.0), Some(1500.0));
    assert!((torque.likely.power().to_kw() - 7.854).abs() < 1e-3);
}

#[test]
fn gears_belts_and_duty() {
    // A low gear: the stated torque is its own; the high one has the same motor.
    let geared = Spindle::of(&Properties {
        spindle_power: Known::Yes(Power::kw(10.0)),
        spindle_torque: Known::Yes(Torque::nm(200.0)),
        spindle_rpm_max: Known::Yes(Rpm::rpm(6000.0)),
        spindle_low_range_rpm_max: Known::Yes(Rpm::rpm(1500.0)),
        ..Properties::default()
    })
    .expect("known");
    assert_eq!(geared.ranges().len(), 2);
    assert_eq!(geared.torque_at(Rpm::rpm(100.0)), Torque::nm(200.0));
    // Ratio 4: 50 N m in the high gear, full power from 1910.
    assert!((geared.torque_at(Rpm::rpm(1600.0)).to_nm() - 50.0).abs() < 1e-9);
    assert!((geared.power_at(Rpm::rpm(3000.0)).to_kw() - 10.0).abs() < 1e-9);
    // Belt steps of a motor of one speed: nothing between them.
    let step = |rpm: f64, nm: f64| Range {
        slowest: Rpm::rpm(rpm),
        fastest: Rpm::rpm(rpm),
        torque: Torque::nm(nm),
        power: Power::kw(1.1),
    };
    let belts = Spindle::of_ranges(&[step(200.0, 50.0), step(800.0, 13.0), step(2500.0, 4.0)])
        .expect("sound");
    assert_eq!(belts.torque_at(Rpm::rpm(500.0)), Torque::ZERO);
    let mut limits = Limits::of_spindle(belts);
    let cut = best_cut_within(&drill(10.0, 20.0), &steel(), &limits).expect("a cut");
    // The drill likes 796: 800 is a hair too fast, which beats a quarter of it.
    assert_eq!(
        (cut.rpm, cut.binding),
        (Rpm::rpm(800.0), Binding::SlowestSpeed)
    );
    // Carbide stands more, but not five times as much.
    limits.spindle = Spindle::of_ranges(&[step(200.0, 50.0), step(4000.0, 8.0)]).expect("sound");
    let cut = best_cut_within(&drill(10.0, 40.0), &steel(), &limits).expect("a cut");
    assert_eq!(
        (cut.rpm, cut.binding),
        (Rpm::rpm(200.0), Binding::SpindleSpeed)
    );
    // Only a short-time rating: less for good, and by how much is not sure.
    let peak = SpindleBand::of(&Properties {
        spindle_power_peak: Known::Yes(Power::kw(10.0)),
        spindle_rpm_max: Known::Yes(Rpm::rpm(8000.0)),
        ..Properties::default()
    })
    .expect("known");
    let top = |s: &Spindle| s.power().to_kw();
    assert!((top(&peak.lower) - 6.32).abs() < 1e-9 && (top(&peak.upper) - 8.3).abs() < 1e-9);
}

fn any_task() -> impl Strategy<Value = Task> {
    let kinds = prop_oneof![
        Just((TaskKind::Face, ToolShape::Face, 4.0)),
        Just((TaskKind::Rough, ToolShape::Flat, 1.0)),
        Just((TaskKind::Bottom, ToolShape::Flat, 1.0)),
        Just((TaskKind::Side, ToolShape::Flat, 1.0)),
        Just((TaskKind::Freeform, ToolShape::Ball, 0.6)),
        Just((TaskKind::Chamfer, ToolShape::Chamfer, 0.6)),
        Just((TaskKind::Drill, ToolShape::Drill, 1.5)),
        Just((TaskKind::Ream, ToolShape::Reamer, 1.0)),
        Just((TaskKind::Bore, ToolShape::Boring, 3.0)),
        Just((TaskKind::Tap, ToolShape::Tap, 1.0)),
        Just((TaskKind::Thread, ToolShape::Tap, 1.0)),
    ];
    (
        kinds,
        0.0..1.5f64,
        0.0..120.0f64,
        0.0..80.0f64,
        prop::option::of(0.1..6.0f64),
        1..30u32,
    )
        .prop_map(
            |((kind, shape, wide), size, deep, more, pass, count)| Task {
                pass_depth: (kind == TaskKind::Face).then_some(pass).flatten().map(mm),
                neck: None,
                pitch: (kind == TaskKind::Tap).then_some(mm(1.25)),
                count,
                tool: ToolNeed {
                    reach: mm(deep + more),
                    diameter: mm(wide * 10.0f64.powf(size)),
                    shape,
                    corner: Length::ZERO,
                },
                ..task(kind, shape, mm(1.0), mm(deep))
            },
        )
}

#[derive(Clone, Debug)]
struct Mill {
    ranges: Vec<Range>,
    feed: Option<f64>,
    thrust: Option<f64>,
    held: Option<f64>,
    nose: Option<f64>,
    holders: Option<f64>,
    rigid: Option<f64>,
}

impl Mill {
    fn limits(&self) -> Limits {
        let spindle = Spindle::of_ranges(&self.ranges).expect("sound ranges");
        let mut limits = Limits::of_spindle(spindle);
        limits.feed_max = self.feed.map(Speed::mm_min);
        limits.thrust = self.thrust.map(Force::n);
        limits.nose_torque = self.nose.map(Torque::nm);
        limits.holder_speed = self.holders.map(Rpm::rpm);
        limits.rigid_tapping = self.rigid.map(Rpm::rpm);
        limits.stiffness = self.held.map(|likely_n_mm| Stiffness {
            low_n_mm: 0.5 * likely_n_mm,
            likely_n_mm,
            high_n_mm: 2.0 * likely_n_mm,
            seen: false,
        });
        limits
    }
}

fn log(low: f64, high: f64) -> impl Strategy<Value = f64> {
    (low.ln()..high.ln()).prop_map(f64::exp)
}

fn range() -> impl Strategy<Value = Range> {
    (
        0.0..0.9f64,
        log(300.0, 30_000.0),
        log(0.3, 500.0),
        log(0.1, 40.0),
    )
        .prop_map(|(low, fastest, nm, kw)| Range {
            slowest: Rpm::rpm(low * low * fastest),
            fastest: Rpm::rpm(fastest),
            torque: Torque::nm(nm),
            power: Power::kw(kw),
        })
}

fn any_mill() -> impl Strategy<Value = Mill> {
    (
        prop::collection::vec(range(), 1..4),
        prop::option::of(log(50.0, 30_000.0)),
        prop::option::of(log(50.0, 20_000.0)),
        prop::option::of(log(300.0, 100_000.0)),
        prop::option::of(log(5.0, 1000.0)),
        prop::option::of(log(2000.0, 40_000.0)),
        prop::option::of(log(50.0, 6000.0)),
    )
        .prop_map(|(ranges, feed, thrust, held, nose, holders, rigid)| Mill {
            ranges,
            feed,
            thrust,
            held,
            nose,
            holders,
            rigid,
        })
}

/// Time of the cut, of the lesser one when the stated is refused, infinite when there is none.
fn time_on(task: &Task, limits: &Limits, material: &Material) -> Time {
    match best_cut_within(task, material, limits) {
        Ok(cut) => cut.time,
        Err(refusal) => match (task.pass_depth, refusal.shallower) {
            (Some(_), Some(cut)) => cut.time,
            _ => Time::s(f64::INFINITY),
        },
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn raising_a_limit_never_makes_a_cut_slower(
        task in any_task(), mill in any_mill(), gain in 1.0..6.0f64, which in 0..10usize, of in 0..4usize,
        steel in prop::bool::ANY,
    ) {
        let mut better = mill.clone();
        let i = of % better.ranges.len();
        let up = |v: &mut Option<f64>| if let Some(v) = v { *v *= gain };
        match which {
            0 => better.ranges[i].power = better.ranges[i].power * gain,
            1 => better.ranges[i].torque = better.ranges[i].torque * gain,
            2 => better.ranges[i].fastest = better.ranges[i].fastest * gain,
            3 => up(&mut better.feed),
            4 => up(&mut better.thrust),
            5 => up(&mut better.held),
            6 => up(&mut better.nose),
            7 => up(&mut better.holders),
            8 => up(&mut better.rigid),
            _ => better.ranges.push(Range {
                slowest: Rpm::ZERO,
                fastest: Rpm::rpm(1000.0 * gain),
                torque: Torque::nm(20.0 * gain),
                power: Power::kw(gain),
            }),
        }
        let id = MaterialId::new(if steel { "steel" } else { "aluminium" });
        let material = &materials().0[&id];
        let (before, after) = (time_on(&task, &mill.limits(), material), time_on(&task, &better.limits(), material));
        prop_assert!(!before.to_s().is_nan() && !after.to_s().is_nan());
        // A dozen operations round.
        prop_assert!(after.to_s() <= before.to_s() * (1.0 + 1e-9), "{which}: {before:?} {after:?}");
    }

    #[test]
    fn a_cut_keeps_within_every_limit_it_names(task in any_task(), mill in any_mill()) {
        let limits = mill.limits();
        let cut = match best_cut_within(&task, &steel(), &limits) {
            Ok(cut) => cut,
            Err(refusal) => {
                prop_assert!(refusal.need.is_finite() && refusal.have.is_finite());
                match refusal.shallower { Some(cut) => cut, None => return Ok(()) }
            }
        };
        let slack = 1.0 + 1e-6;
        let all = [cut.rpm.to_rpm(), cut.feed.to_mm_min(), cut.depth.to_mm(), cut.width.to_mm(),
            cut.removal.to_mm3_min(), cut.power.to_kw(), cut.torque.to_nm(), cut.force.to_n(), cut.time.to_s()];
        prop_assert!(all.iter().all(|v| v.is_finite() && *v >= 0.0), "{cut:?}");
        let spindle = if task.kind == TaskKind::Tap { limits.peak } else { limits.spindle };
        let inside = spindle.ranges().iter().any(|r| {
            r.slowest.to_rpm() <= cut.rpm.to_rpm() * slack && cut.rpm.to_rpm() <= r.fastest.to_rpm() * slack
                && cut.torque.to_nm() <= r.torque_at(cut.rpm).to_nm() * EFFICIENCY * slack
        });
        prop_assert!(inside, "{cut:?} {:?}", spindle.ranges());
        if let Some(most) = limits.feed_max {
            prop_assert!(cut.feed.to_mm_min() <= most.to_mm_min() * slack, "{cut:?}");
        }
        if let (Some(most), true) = (limits.thrust, cut.way == Way::AsAsked) {
            prop_assert!(cut.force.to_n() <= most.to_n() * slack, "{cut:?}");
        }
        if let Some(most) = limits.nose_torque {
            prop_assert!(cut.torque.to_nm() <= most.to_nm() * slack, "{cut:?}");
        }
    }

    #[test]
    fn the_spread_of_a_curve_holds_the_likely_one(
        kw in prop::option::of(log(0.3, 40.0)), nm in prop::option::of(log(1.0, 400.0)),
        base in prop::option::of(log(100.0, 6000.0)), peak in prop::option::of(log(0.3, 60.0)),
        fastest in log(2000.0, 30_000.0), at in 0.0..1.0f64,
    ) {
        let p = Properties {
            spindle_power: kw.map_or(Known::No, |v| Known::Yes(Power::kw(v))),
            spindle_power_peak: peak.map_or(Known::No, |v| Known::Yes(Power::kw(v))),
            spindle_torque: nm.map_or(Known::No, |v| Known::Yes(Torque::nm(v))),
            spindle_torque_rpm: base.map_or(Known::No, |v| Known::Yes(Rpm::rpm(v))),
            spindle_rpm_max: Known::Yes(Rpm::rpm(fastest)),
            ..Properties::default()
        };
        if let Some(band) = SpindleBand::of(&p) {
            let speed = Rpm::rpm((at * fastest).max(1.0));
            let [low, likely, high] = [band.lower, band.likely, band.upper].map(|s| s.torque_at(speed).to_nm());
            prop_assert!(low <= likely * (1.0 + 1e-9) && likely <= high * (1.0 + 1e-9), "{low} {likely} {high}");
            prop_assert!(low > 0.0 && high.is_finite());
        }
    }
}
