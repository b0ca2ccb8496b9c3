//! The way in against closed forms, and laws.

use engine::entered::{Carrier, CarrierKind, Door, Overhead, Plan, Spot, Swing, Truck, Wall};
use engine::site::route::{
    Body, ComesIn, Decision, Effort, Fineness, Floor, Load, Segment, clear, decide, half_planes,
    largest, way_in,
};
use engine::site::stand::{Footprint, Stands, stand, working_space};
use glam::DVec2;
use proptest::prelude::*;
use units::{Length, Voltage, Watch};

const FINE: Fineness = Fineness { cell_mm: 10.0 };
const COARSE: Fineness = Fineness { cell_mm: 20.0 };

fn segments(line: &[[f64; 2]]) -> Vec<Segment> {
    line.windows(2)
        .map(|p| Segment {
            from: p[0].into(),
            to: p[1].into(),
            thing: 0,
        })
        .collect()
}

/// Corridors of width a (along x) and b (along y) that meet at a right angle.
fn corner(a: f64, b: f64, arm: f64) -> Floor {
    let (w, h) = (b + arm, a + arm);
    let walls = [
        [w, 0.0],
        [0.0, 0.0],
        [0.0, h],
        [b, h],
        [b, a],
        [w, a],
        [w, 0.0],
    ];
    let spot = [[0.0, a + 0.1 * arm], [b, a + 0.1 * arm], [b, h], [0.0, h]].map(DVec2::from);
    Floor {
        min: DVec2::ZERO,
        max: DVec2::new(w, h),
        things: segments(&walls),
        start: DVec2::new(b + 0.5 * arm, 0.5 * a),
        start_heading_rad: None,
        zones: vec![half_planes(&spot)],
    }
}

/// Longest rectangle of a width that turns a right-angle corner: with its outer side at angle t
/// touching both outer walls, the inner corner (b, a) leaves a sin t + b cos t - L sin t cos t of
/// width, so L(W) = min over t of (a sin t + b cos t - W) / (sin t cos t). Site and purchase checks
/// M14, M15 and their formula for coders; for W = 0 the moving ladder, (a^2/3 + b^2/3)^3/2.
fn longest(a: f64, b: f64, width: f64) -> f64 {
    (1..100_000)
        .map(|n| {
            let (sin, cos) = (f64::from(n) * 1e-5 * std::f64::consts::FRAC_PI_2).sin_cos();
            (a * sin + b * cos - width) / (sin * cos)
        })
        .fold(f64::INFINITY, f64::min)
}

#[test]
fn the_closed_form_gives_the_published_values() {
    // M11, M12: ladder round corridors of 3 and 4 ft; unit corridors. M15: rectangles in inches.
    let ladder = |a: f64, b: f64| (a.powf(2.0 / 3.0) + b.powf(2.0 / 3.0)).powf(1.5);
    assert!((ladder(3.0, 4.0) - 9.8657).abs() < 5e-5);
    assert!((ladder(1.0, 1.0) - 8.0_f64.sqrt()).abs() < 1e-12);
    for (a, b, w, l) in [
        (3.0, 4.0, 0.0, 9.8657),
        (48.0, 48.0, 30.0, 75.76),
        (60.0, 48.0, 32.0, 88.01),
        (96.0, 36.0, 30.0, 112.78),
        (120.0, 84.0, 60.0, 165.00),
        (2.0, 1.5, 0.8, 3.320),
        (4.0, 3.0, 1.0, 7.853),
    ] {
        let found = longest(a, b, w);
        assert!((found - l).abs() < 0.006, "{a} {b} {w}: {found}");
    }
}

/// The planner's yes and no on both sides of the closed form: shrunk by its resolution on every
/// side a load passes; no load longer than the form allows passes.
fn held_against_the_corner(a: f64, b: f64, width: f64) {
    let floor = corner(a, b, 1.2 * longest(a, b, 0.0).min(6000.0));
    let limit = longest(a, b, width);
    let answer =
        |l: f64, w: f64| decide(&floor, &Body::load(l, w), FINE, Watch::NOBODY).expect("runs");
    let at = answer(limit - 1.0, width);
    let by = 2.0 * at.resolution_mm;
    // Shrinking both sides by the resolution leaves this room on every side.
    assert!(
        matches!(
            answer(limit - by, width - by.min(0.9 * width)).decision,
            Decision::Yes(_)
        ),
        "{a} {b} {width}: {limit} less {by}"
    );
    let grown = answer(limit + by, width + by);
    assert_eq!(
        grown.decision,
        Decision::No,
        "{a} {b} {width}: {limit} more {by}"
    );
    // Loads thinner than four boxes are taken four boxes thick for the no.
    if width >= 4.0 * FINE.cell_mm {
        assert_ne!(at.decision, Decision::No, "{a} {b} {width}");
    }
}

#[test]
fn rectangles_round_a_corner() {
    held_against_the_corner(1219.2, 1219.2, 762.0);
    held_against_the_corner(1524.0, 1219.2, 812.8);
    held_against_the_corner(1500.0, 2000.0, 800.0);
}

#[test]
fn a_ladder_round_a_corner() {
    held_against_the_corner(914.4, 1219.2, 1.0);
}

#[test]
fn the_largest_load_round_a_corner() {
    let (a, b) = (1500.0, 1200.0);
    let floor = corner(a, b, 3000.0);
    let body = |s: f64| Body::load(2000.0 * s, 800.0 * s);
    let found = largest(&floor, body, None, 0.005, FINE, Watch::NOBODY).expect("runs");
    // The scale at which the closed form is met.
    let (mut low, mut high) = (0.5, 2.0);
    for _ in 0..60 {
        let s = 0.5 * (low + high);
        if longest(a, b, 800.0 * s) > 2000.0 * s {
            low = s
        } else {
            high = s
        }
    }
    let fails = found.fails.expect("some load fails");
    assert!(
        found.passes <= low && low <= fails,
        "{} {low} {fails}",
        found.passes
    );
    // Both ends within the resolution of the width (26 mm on every side).
    assert!(
        (fails - found.passes) * 800.0 < 4.0 * 26.5,
        "{} {fails}",
        found.passes
    );
    assert!(
        found
            .way
            .windows(2)
            .all(|p| clear(&body(found.passes), p[0], p[1], &floor.things))
    );
}

/// A room with an opening of a width in the middle of a wall 100 mm thick.
fn opening(width: f64) -> Floor {
    let (a, b) = (1500.0 - 0.5 * width, 1500.0 + 0.5 * width);
    let mut things = segments(&[
        [0.0, 0.0],
        [3000.0, 0.0],
        [3000.0, 4000.0],
        [0.0, 4000.0],
        [0.0, 0.0],
    ]);
    things.extend(segments(&[
        [0.0, 1900.0],
        [a, 1900.0],
        [a, 2000.0],
        [0.0, 2000.0],
    ]));
    things.extend(segments(&[
        [3000.0, 1900.0],
        [b, 1900.0],
        [b, 2000.0],
        [3000.0, 2000.0],
    ]));
    let spot = [
        [0.0, 2000.0],
        [3000.0, 2000.0],
        [3000.0, 4000.0],
        [0.0, 4000.0],
    ]
    .map(DVec2::from);
    Floor {
        min: DVec2::ZERO,
        max: DVec2::new(3000.0, 4000.0),
        things,
        start: DVec2::new(1500.0, 950.0),
        start_heading_rad: None,
        zones: vec![half_planes(&spot)],
    }
}

#[test]
fn straight_doors() {
    // 53 mm more or less is the resolution on both sides together.
    for width in [700.0, 1000.0, 1300.0] {
        let body = Body::load(1400.0, width);
        let answer = |gap: f64| {
            decide(&opening(gap), &body, FINE, Watch::NOBODY)
                .expect("runs")
                .decision
        };
        assert!(matches!(answer(width + 54.0), Decision::Yes(_)), "{width}");
        assert_eq!(answer(width - 54.0), Decision::No, "{width}");
    }
}

/// Round the end of a partition, from one lane to the other: a rectangle that keeps its heading
/// needs only its width in each lane and the bay; turning with it would need more.
#[test]
fn a_u_turn() {
    let (lane, bay) = (1000.0, 1100.0);
    let (w, h) = (2.0 * lane + 100.0, 4000.0);
    let mut things = segments(&[[0.0, 0.0], [w, 0.0], [w, h], [0.0, h], [0.0, 0.0]]);
    things.extend(segments(&[
        [lane, 0.0],
        [lane, h - bay],
        [lane + 100.0, h - bay],
        [lane + 100.0, 0.0],
    ]));
    let spot = [
        [lane + 100.0, 0.0],
        [w, 0.0],
        [w, 2000.0],
        [lane + 100.0, 2000.0],
    ]
    .map(DVec2::from);
    let floor = Floor {
        min: DVec2::ZERO,
        max: DVec2::new(w, h),
        things,
        start: DVec2::new(0.5 * lane, 1000.0),
        start_heading_rad: None,
        zones: vec![half_planes(&spot)],
    };
    let answer = |l: f64, w: f64| {
        decide(&floor, &Body::load(l, w), FINE, Watch::NOBODY)
            .expect("runs")
            .decision
    };
    // Sideways through the bay: both sides at most 1000 less the resolution.
    assert!(matches!(answer(940.0, 900.0), Decision::Yes(_)));
    // The narrow one turns twice: longest round the first corner of lane 1000 and bay 1100.
    let limit = longest(lane, bay, 500.0);
    assert!(matches!(answer(limit - 60.0, 440.0), Decision::Yes(_)));
    assert_eq!(answer(limit + 60.0, 560.0), Decision::No);
    assert_eq!(answer(1060.0, 1060.0), Decision::No);
}

fn plan() -> Plan {
    let line = |points: &[[f64; 2]]| Wall {
        line: points.iter().map(|p| DVec2::from(*p)).collect(),
        thickness: Length::mm(100.0),
    };
    let outline = |a: [f64; 2], b: [f64; 2]| {
        vec![
            a.into(),
            DVec2::new(b[0], a[1]),
            b.into(),
            DVec2::new(a[0], b[1]),
        ]
    };
    Plan {
        walls: vec![
            line(&[
                [0.0, 0.0],
                [5000.0, 0.0],
                [5000.0, 6000.0],
                [0.0, 6000.0],
                [0.0, 0.0],
            ]),
            line(&[[0.0, 3000.0], [5000.0, 3000.0]]),
        ],
        doors: vec![Door {
            name: "door".to_owned(),
            from: DVec2::new(3000.0, 3000.0),
            to: DVec2::new(4200.0, 3000.0),
            width: None,
            height: Some(Length::mm(2100.0)),
            swing: None,
        }],
        overhead: vec![Overhead {
            name: "beam".to_owned(),
            outline: outline([0.0, 2300.0], [5000.0, 2500.0]),
            height: Length::mm(2300.0),
        }],
        spots: vec![Spot {
            name: "spot".to_owned(),
            outline: outline([300.0, 3300.0], [3500.0, 5800.0]),
        }],
        truck: Some(Truck {
            at: DVec2::new(1500.0, 1200.0),
            heading_rad: None,
        }),
        ..Plan::default()
    }
}

fn load(length: f64, width: f64, height: Option<f64>) -> Load {
    Load {
        length: Length::mm(length),
        width: Length::mm(width),
        height: height.map(Length::mm),
        weight: None,
        carrier: Carrier::default(),
        clearance: Length::ZERO,
    }
}

fn quick() -> Effort {
    Effort {
        fineness: COARSE,
        largest: false,
        helps: true,
        within: 0.02,
    }
}

fn asked(plan: &Plan, load: &Load) -> engine::site::route::WayIn {
    way_in(plan, load, &[], &quick(), Watch::NOBODY).expect("runs")
}

#[test]
fn heights_along_the_way_count() {
    let plan = plan();
    assert_eq!(
        asked(&plan, &load(1500.0, 900.0, Some(2100.0))).comes_in,
        ComesIn::Yes
    );
    let high = asked(&plan, &load(1500.0, 900.0, Some(2200.0)));
    assert_eq!(high.comes_in, ComesIn::No);
    let sticks = high.sticks.expect("told");
    assert!(
        sticks.in_height && sticks.thing.contains("door"),
        "{sticks:?}"
    );
    assert_eq!(sticks.short_by_mm, Some(100.0));
    // On skates it rides 110 mm higher.
    let mut on_skates = load(1500.0, 900.0, Some(2050.0));
    on_skates.carrier.kind = CarrierKind::Skates;
    assert_eq!(asked(&plan, &on_skates).comes_in, ComesIn::No);
}

#[test]
fn an_unknown_height_is_asked_for_and_never_a_yes() {
    let mut unknown = plan();
    unknown.doors[0].height = None;
    let answer = asked(&unknown, &load(1500.0, 900.0, Some(2000.0)));
    assert_eq!(answer.comes_in, ComesIn::CannotSay);
    assert!(
        answer.ask.iter().any(|q| q.contains("door")),
        "{:?}",
        answer.ask
    );
    let mut unplaced = plan();
    unplaced.truck = None;
    assert_eq!(
        asked(&unplaced, &load(500.0, 500.0, None)).comes_in,
        ComesIn::CannotSay
    );
}

#[test]
fn a_leaf_in_the_way_comes_off() {
    let mut leaf = plan();
    leaf.doors[0].swing = Some(Swing {
        hangs_at_from: true,
        to_left: false,
        opens_rad: 30_f64.to_radians(),
    });
    let answer = asked(&leaf, &load(1500.0, 900.0, None));
    assert_eq!(answer.comes_in, ComesIn::No);
    assert!(
        answer
            .helps
            .iter()
            .any(|h| h.what.contains("hinges") && h.comes_in == ComesIn::Yes),
        "{:?}",
        answer.helps
    );
}

#[test]
fn a_fork_truck_needs_more_room_than_its_load() {
    let plan = plan();
    let mut forked = load(1500.0, 900.0, None);
    assert_eq!(asked(&plan, &forked).comes_in, ComesIn::Yes);
    forked.carrier.kind = CarrierKind::Forks;
    assert_ne!(asked(&plan, &forked).comes_in, ComesIn::Yes);
}

/// NFPA 70 table 110.26(A)(1), condition 2: 3 ft up to 150 V to ground, 3 ft 6 in above (from
/// memory).
#[test]
fn working_space_by_voltage() {
    assert_eq!(working_space(Some(Voltage::v(120.0))), Length::inch(36.0));
    assert_eq!(working_space(Some(Voltage::v(277.0))), Length::inch(42.0));
    assert_eq!(working_space(None), Length::inch(42.0));
}

fn footprint(length: f64, width: f64, height: f64) -> Footprint {
    Footprint {
        length: Length::mm(length),
        width: Length::mm(width),
        height: Some(Length::mm(height)),
        to_ground: None,
        clearances: engine::entered::Clearances::default(),
    }
}

#[test]
fn the_best_place_has_its_room_where_the_spot_gives_it() {
    let plan = Plan {
        ceiling: Some(Length::mm(2600.0)),
        ..plan()
    };
    let place = stand(&plan, &footprint(1500.0, 1000.0, 2200.0), Watch::NOBODY).expect("runs");
    assert_eq!(place.stands, Stands::Yes);
    assert_eq!(place.above_mm, Some(400.0));
    for corner in &place.footprint {
        assert!(
            corner[0] >= 300.0 - 1e-6 && corner[0] <= 3500.0 + 1e-6,
            "{corner:?}"
        );
        assert!(
            corner[1] >= 3300.0 - 1e-6 && corner[1] <= 5800.0 + 1e-6,
            "{corner:?}"
        );
    }
    // The spot is 3200 by 2500 in a room of 4900 by 2900: 1000 in front and 1067 behind a machine
    // of 1000 are 3067 deep, so they lie along the longer side.
    let short: f64 = place.spaces.iter().map(|s| s.wanted_mm - s.there_mm).sum();
    assert!(short < 1.0, "{:?}", place.spaces);
    assert_eq!(
        stand(&plan, &footprint(3300.0, 1000.0, 2200.0), Watch::NOBODY)
            .expect("runs")
            .stands,
        Stands::No
    );
    assert_eq!(
        stand(&plan, &footprint(1500.0, 1000.0, 2700.0), Watch::NOBODY)
            .expect("runs")
            .stands,
        Stands::No
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    /// A smaller load or a wider door never turns a yes to a no, nor does less height.
    #[test]
    fn less_load_or_more_door_is_never_worse(
        length in 600.0..2400.0_f64, width in 500.0..1400.0_f64, height in 1900.0..2200.0_f64,
        less in 0.0..200.0_f64, wider in 0.0..300.0_f64,
    ) {
        let narrow = plan();
        let mut wide = plan();
        wide.doors[0].from.x -= wider;
        let before = asked(&narrow, &load(length, width, Some(height))).comes_in;
        let after = [
            asked(&narrow, &load(length - less, width - less, Some(height))).comes_in,
            asked(&narrow, &load(length, width, Some(height - less))).comes_in,
            asked(&wide, &load(length, width, Some(height))).comes_in,
        ];
        if before == ComesIn::Yes {
            prop_assert!(after.iter().all(|a| *a != ComesIn::No), "{after:?}");
        }
        if before != ComesIn::No {
            prop_assert!(after[1] != ComesIn::No);
        }
    }
}

#[test]
fn before_the_truck_asks_what_nobody_said() {
    use engine::entered::{Removal, Trailer};
    use engine::machine::{Known, Machine, Properties};
    use engine::site::removal::{CheckState, before_the_truck};
    let machine = Machine {
        offer: engine::ids::OfferId::new("x"),
        properties: Properties {
            length: Known::Yes(Length::mm(2200.0)),
            width: Known::Yes(Length::mm(1500.0)),
            height: Known::Yes(Length::mm(2400.0)),
            // M18: a machine of 4,000 lb wants 2,000 lb of tie-downs.
            weight: Known::Yes(units::Mass::lb(4000.0)),
            ..Properties::default()
        },
        taper: None,
        taper_default: None,
    };
    let open = before_the_truck(&machine, &Removal::default());
    assert!(open.iter().all(|c| c.state == CheckState::Ask), "{open:?}");
    assert!(
        open.iter()
            .any(|c| c.about == "tie-down" && c.text.contains("907 kg")),
        "{open:?}"
    );
    let closed = Removal {
        door: Some([Length::mm(2000.0), Length::mm(2300.0)]),
        trailer: Some(Trailer::Enclosed),
        carries: Some(units::Mass::kg(1000.0)),
        ..Removal::default()
    };
    let wrong: Vec<&str> = before_the_truck(&machine, &closed)
        .iter()
        .filter(|c| c.state == CheckState::Wrong)
        .map(|c| c.about)
        .collect();
    assert_eq!(wrong, ["seller's door", "trailer", "deck and axles"]);
}

#[test]
fn a_ramp_before_a_door_takes_headroom() {
    let mut ramped = plan();
    let (from, to) = (ramped.doors[0].from, ramped.doors[0].to);
    let out = (to - from).perp().normalize() * 600.0;
    ramped.ramps.push(engine::entered::Ramp {
        name: "ramp".to_owned(),
        outline: vec![from - out, to - out, to + out, from + out],
        rise: Length::mm(100.0),
        run: Length::mm(1000.0),
    });
    // The door is 2100 mm: a load of 1500 mm tilts by 75 mm.
    let low = asked(&ramped, &load(1500.0, 900.0, Some(2020.0)));
    assert_eq!(low.comes_in, ComesIn::Yes);
    let high = asked(&ramped, &load(1500.0, 900.0, Some(2080.0)));
    assert_eq!(high.comes_in, ComesIn::CannotSay);
    assert!(
        high.ask.iter().any(|q| q.contains("tilts")),
        "{:?}",
        high.ask
    );
}

#[test]
fn a_carrier_that_cannot_shunt_is_no_plain_yes() {
    let plan = plan();
    let mut jack = load(900.0, 700.0, None);
    jack.carrier.kind = CarrierKind::PalletJack;
    jack.carrier.turning_radius = Some(Length::mm(5000.0));
    let shunted = asked(&plan, &jack);
    assert_eq!(shunted.comes_in, ComesIn::Yes);
    jack.carrier.shunts = Some(false);
    let stiff = asked(&plan, &jack);
    assert!(!stiff.shunts_at.is_empty());
    assert_eq!(stiff.comes_in, ComesIn::CannotSay);
}
