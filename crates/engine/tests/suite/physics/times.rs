//! Times, tools and what a changer saves; holders as tables and makers have them.

use super::build::*;
use engine::cycle::{Habits, PartTime, changer, time};
use engine::demand::{self, Demand, FeatureKind, PlainPart, Side};
use engine::fit::{Capability, Practice, fit, holders, magazine, program_kb};
use engine::machine::{EnteredProperties, Taper};
use units::{Length, Mass, Number, Power, Rpm, Speed, Time};

fn of(part: &PlainPart) -> Demand {
    demand::of(part, &materials())
}

fn mill() -> EnteredProperties {
    EnteredProperties {
        travel_x: stated(mm(500.0)),
        travel_y: stated(mm(400.0)),
        nose_to_table_min: stated(mm(100.0)),
        nose_to_table_max: stated(mm(600.0)),
        table_load: stated(Mass::kg(300.0)),
        spindle_power: stated(Power::kw(5.0)),
        spindle_rpm_max: stated(Rpm::rpm(8000.0)),
        rapid: stated(Speed::m_min(20.0)),
        ..Default::default()
    }
}

fn timed(demand: &Demand, properties: EnteredProperties, habits: &Habits) -> PartTime {
    let m = machine(properties);
    let practice = Practice {
        habits: *habits,
        ..Practice::default()
    };
    let f = fit(demand, &m, &materials(), &practice);
    time(demand, &f, &m, &materials(), &practice)
}

/// Six tools: drill and tap M6, drill and reamer 8, a rougher and a finisher.
fn many_tools() -> PlainPart {
    let mut part = block([mm(120.0), mm(80.0), mm(20.0)]);
    part.features = vec![
        feature(Side::Top, 4, holes(6.0, 15.0, Some(1.0), None)),
        feature(Side::Top, 2, holes(8.0, 15.0, None, Some(0.02))),
        feature(
            Side::Top,
            1,
            FeatureKind::Profile {
                depth: mm(15.0),
                corner_radius: Some(mm(3.0)),
            },
        ),
    ];
    part
}

#[test]
fn t10_15_hours_lost_to_setting_up() {
    // the-streamlinegroup.com: ten changeovers of 35 min lose 5.8 h; at 15 min 3.3 h are won back.
    let mut part = many_tools();
    (part.per_year, part.batch) = (Number::of(100.0), Number::of(10.0));
    let demand = of(&part);
    let setups = demand.setups.len() as f64;
    let with = |minutes: f64| Habits {
        setting_clamping: Time::minutes(minutes / setups),
        setting_tool: Time::ZERO,
        ..Habits::default()
    };
    let hours = |minutes: f64| {
        let t = timed(&demand, mill(), &with(minutes));
        assert_eq!(t.batches_per_year, 10.0);
        t.per_year.to_h()
    };
    let none = hours(0.0);
    assert!((hours(35.0) - none - 5.8).abs() < 0.05);
    assert!((hours(35.0) - hours(15.0) - 3.3).abs() < 0.05);
}

#[test]
fn kinds_of_time_add_up_to_the_cycle_and_the_year() {
    let demand = of(&many_tools());
    let t = timed(&demand, mill(), &Habits::default());
    let sum: Time = t.cycle.kinds().into_iter().map(|(_, each)| each).sum();
    assert_eq!(sum, t.cycle.total());
    let hours: f64 = engine::cycle::hours_by_kind([t.clone()].iter())
        .iter()
        .map(|(_, h)| h)
        .sum();
    assert!((hours - t.per_year.to_h()).abs() < 1e-9 * hours);
    // Four tapped holes, reversed at either end; every tool of both setups started once.
    let taps = Habits::default().tap_reversal * 8.0;
    assert!(t.cycle.spindle > taps && t.cycle.spindle < taps + Time::s(2.0 * 12.0));
    assert!(t.attended < t.cycle.total() && t.first_year > t.per_year);
}

/// Common practice, no source: many quick changes bring the changer in.
#[test]
fn the_changer_is_weighed_in_hours() {
    let mut part = many_tools();
    part.per_year = Number::of(400.0);
    let demand = of(&part);
    let on = |pockets: f64| {
        let m = machine(EnteredProperties {
            changer_pockets: stated(Number::of(pockets)),
            tool_change: stated(Time::s(5.0)),
            ..mill()
        });
        let practice = Practice::default();
        let f = fit(&demand, &m, &materials(), &practice);
        let t = time(&demand, &f, &m, &materials(), &practice);
        changer([(&demand, &f, &t)].into_iter(), &m, &practice)
    };
    let (none, twenty) = (on(0.0), on(20.0));
    // Six changes of 45 s for 400 pieces and 2 % scrap.
    let hours = 6.0 * 45.0 / 3600.0 * 400.0 / 0.98;
    assert!(
        (none.by_hand_h - hours).abs() < 1e-9 * hours,
        "{none:?} {hours}"
    );
    assert_eq!(twenty.by_hand_h, 0.0);
    assert_eq!(none.changes_per_year, twenty.changes_per_year);
    for c in [none, twenty] {
        assert!(
            (c.attended_without_h - c.attended_with_h - hours).abs() < 1e-6,
            "{c:?}"
        );
    }
    assert!((none.attended_h - none.attended_without_h).abs() < 1e-9);
    assert!((twenty.attended_h - twenty.attended_with_h).abs() < 1e-9);
}

#[test]
fn wide_tools_want_empty_neighbours_and_long_ones_go_in_by_hand() {
    let mut part = many_tools();
    part.features.push(feature(
        Side::Top,
        1,
        FeatureKind::Face {
            cutter: Some(mm(80.0)),
            pass_depth: None,
        },
    ));
    let demand = of(&part);
    let by_hand = |pockets: f64, wide: f64, long: f64| {
        let m = machine(EnteredProperties {
            changer_pockets: stated(Number::of(pockets)),
            tool_diameter_max: stated(mm(wide)),
            tool_length_max: stated(mm(long)),
            ..mill()
        });
        magazine(&demand, &m, &Practice::default()).count()
    };
    // Seven tools; the 80 mm cutter takes three pockets where 60 mm are allowed, and none where 40.
    assert_eq!(by_hand(7.0, 80.0, 300.0), 0);
    assert_eq!(by_hand(7.0, 60.0, 300.0), 1);
    assert_eq!(by_hand(9.0, 60.0, 300.0), 0);
    assert_eq!(by_hand(30.0, 40.0, 300.0), 1);
    // R8: 30 mm of holder; tools that stand out 25 mm are within 55.
    assert_eq!(by_hand(30.0, 80.0, 54.0), 7);
    assert_eq!(by_hand(0.0, 80.0, 300.0), 7);
}

#[test]
fn curved_surfaces_wait_for_a_slow_control_and_a_small_memory() {
    let mut part = block([mm(200.0), mm(150.0), mm(60.0)]);
    part.features = vec![feature(
        Side::Top,
        1,
        FeatureKind::Freeform {
            area: units::Area::mm2(30_000.0),
            depth: mm(40.0),
            radius: mm(3.0),
            scallop: mm(0.01),
        },
    )];
    let demand = of(&part);
    // Ball of 6 mm, lines 0.489 mm apart (2 sqrt(0.01 (6 - 0.01))), moves of 0.346 mm
    // (2 sqrt(2 x 3 x 0.005)), 32 bytes each.
    let kb = 30_000.0 / 0.48949 / 0.34641 * 32.0 / 1024.0;
    assert!(
        (program_kb(&demand) / kb - 1.0).abs() < 1e-4,
        "{}",
        program_kb(&demand)
    );
    let with = |rate: Option<f64>, memory: Option<f64>, drip: Option<f64>| {
        let m = EnteredProperties {
            block_rate: rate.and_then(|n| stated(Number::of(n))),
            program_memory: memory.and_then(|n| stated(Number::of(n))),
            drip_feed: drip.and_then(|n| stated(Number::of(n))),
            ..mill()
        };
        let f = fit(
            &demand,
            &machine(m.clone()),
            &materials(),
            &Practice::default(),
        );
        (f, timed(&demand, m, &Habits::default()))
    };
    let (_, free) = with(None, None, None);
    let (_, quick) = with(Some(1000.0), None, None);
    let (_, slow) = with(Some(5.0), None, None);
    assert_eq!(free.cycle.cut, quick.cycle.cut);
    // Five blocks a second of 0.346 mm over 61 m of lines.
    let least = 30_000.0 / 0.48949 / (5.0 * 0.34641);
    assert!(slow.cycle.cut.to_s() > least && slow.cycle.cut > free.cycle.cut);
    let (small, split) = with(None, Some(1024.0), None);
    let (_, dripped) = with(None, Some(1024.0), Some(1.0));
    let memory = small
        .limits
        .iter()
        .find(|l| l.capability == Capability::ProgramMemory)
        .expect("too small");
    let pieces = (kb / 1024.0).ceil() - 1.0;
    assert_eq!(memory.costs, Some(Time::minutes(3.0) * pieces));
    assert!(!memory.rules_out && memory.mend.contains("piece by piece"));
    let lost = (split.cycle.clamping - dripped.cycle.clamping).to_minutes();
    assert!((lost - 3.0 * pieces).abs() < 1e-9);
}

fn taper(text: &str) -> Taper {
    text.parse().expect("a taper")
}

#[test]
fn t8_14_t8_16_holders_are_within_the_trades_ranges() {
    // ER capacity (industrialmonitordirect.com): ER20 13 mm, ER32 20 mm.
    assert!((holders(&taper("ER20")).shank.to_mm() - 13.0).abs() < 0.5);
    assert!((holders(&taper("ER32")).shank.to_mm() - 20.0).abs() < 1.0);
    // Gauge lengths (from memory): BT30 60 to 100 mm, CAT40 collet 2.4 to 4 in and end mill 1.75 to 4,
    // R8 collet chuck 2 to 2.5 in beyond the nose.
    let within = |length: Length, low: Length, high: Length| low <= length && length <= high;
    let bt30 = holders(&taper("BT30"));
    assert!(within(bt30.usual, mm(60.0), mm(70.0)) && within(bt30.longest, mm(60.0), mm(100.0)));
    let cat40 = holders(&taper("CAT40"));
    assert!(
        within(cat40.usual, inch(2.4), inch(4.0)) && within(cat40.shortest, inch(1.75), inch(4.0))
    );
    assert!(within(holders(&taper("R8")).longest, inch(2.0), inch(2.5)));
}

#[test]
fn t8_17_vises_are_within_the_trades_ranges() {
    // From memory: 6 in class beds 2.8 to 2.95 in high and 75 to 90 lb; 4 in class 2.2 to 2.6 in.
    let practice = Practice::default();
    let bed = practice.heights.vise - mm(25.0);
    assert!(bed >= inch(2.8) && bed <= inch(2.955));
    assert!(practice.heights.low_vise >= inch(2.2) && practice.heights.low_vise <= inch(2.6));
    let kg = practice.masses[0];
    assert!(kg >= Mass::lb(75.0) && kg <= Mass::lb(90.0));
}

#[test]
fn t8_03_tap_drills_are_diameter_less_pitch() {
    // doublevision.company, fmcarbide.com: M6x1 5.0, M8x1.25 6.75, M12x1.75 10.25, M20x2.5 17.5.
    for (d, pitch, drill) in [
        (6.0, 1.0, 5.0),
        (8.0, 1.25, 6.75),
        (12.0, 1.75, 10.25),
        (20.0, 2.5, 17.5),
    ] {
        let mut part = block([mm(100.0), mm(100.0), mm(40.0)]);
        part.features = vec![feature(Side::Top, 1, holes(d, 20.0, Some(pitch), None))];
        let demand = of(&part);
        let first = demand
            .tasks()
            .find(|t| t.kind == engine::demand::TaskKind::Drill)
            .expect("a drill");
        assert!((first.tool.diameter.to_mm() - drill).abs() < 1e-9);
    }
}
