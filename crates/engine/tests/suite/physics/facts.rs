//! Facts of the trade (common practice, no source, each) and the strict law on single cases.

use super::build::*;
use engine::cutting::kienzle;
use engine::cycle::{Bound, time};
use engine::demand::{self, Demand, FeatureKind, Holding, PlainPart, Side};
use engine::fit::{Asked, Capability, Fit, Limit, Practice, Verdict, fit};
use engine::machine::{EnteredProperties, Field, Known, Machine, SaleOption};
use engine::material::PIVOT_CHIP;
use units::{
    Acceleration, Draw, Length, Mass, Number, Place, Power, Rpm, Speed, Time, Torque, Value,
};

fn of(part: &PlainPart) -> Demand {
    demand::of(part, &materials())
}

fn limit(fit: &Fit, capability: Capability) -> &Limit {
    fit.limits
        .iter()
        .find(|l| l.capability == capability)
        .unwrap_or_else(|| panic!("no {capability:?} among {:?}", fit.limits))
}

fn bench_mill() -> EnteredProperties {
    EnteredProperties {
        travel_x: stated(inch(18.0)),
        travel_y: stated(inch(8.0)),
        nose_to_table_min: stated(inch(0.0)),
        nose_to_table_max: stated(inch(18.0)),
        table_load: stated(Mass::kg(200.0)),
        spindle_power: stated(Power::hp(2.0)),
        spindle_rpm_max: stated(Rpm::rpm(6000.0)),
        ..Default::default()
    }
}

#[test]
fn a_plate_wider_than_y_fits_with_a_second_clamping() {
    let mut plate = block([inch(14.0), inch(12.0), inch(1.0)]);
    plate.holding = Some(Holding::Plate);
    plate.features = vec![feature(Side::Top, 8, holes(6.0, 25.4, None, None))];
    let mill = EnteredProperties {
        travel_x: stated(inch(12.5)),
        ..bench_mill()
    };
    // With 12.5 in of X the plate must lie turned: 14 in along Y is still two clampings.
    for (properties, turned) in [(bench_mill(), false), (mill, true)] {
        let answer = fit(&of(&plate), &machine(properties), &materials(), &practice());
        assert_eq!(answer.verdict, Verdict::FitsWithMoreClampings, "{answer:?}");
        assert_eq!(answer.setups_on[0].clampings, 2);
        assert_eq!(answer.setups_on[0].turned, turned);
        let again = limit(&answer, Capability::TravelY);
        assert!(
            !again.rules_out && again.mend.contains("turn it round"),
            "{again:?}"
        );
    }
    // Seventeen inches are beyond two clampings of 8 in either way round.
    let mut wide = plate.clone();
    wide.shape = engine::demand::Shape::Block([inch(18.0), inch(17.0), inch(1.0)]);
    let answer = fit(
        &of(&wide),
        &machine(bench_mill()),
        &materials(),
        &practice(),
    );
    assert_eq!(answer.verdict, Verdict::DoesNotFit);
    // 17 in less the 6 mm drill; two clampings of 8 in lap by 10 mm.
    let short = (17.0 * 25.4 - 6.0 + 10.0) / 2.0 - 8.0 * 25.4;
    assert!((limit(&answer, Capability::TravelY).short_by - short).abs() < 1e-9);
}

#[test]
fn short_along_both_axes_it_is_shifted_and_turned_round() {
    let plate = |size: [f64; 2], tolerance: Option<f64>| {
        let mut plate = block([inch(size[0]), inch(size[1]), inch(1.0)]);
        plate.features = vec![feature(Side::Top, 8, holes(6.0, 20.0, None, None))];
        plate.tolerance = tolerance.map(mm);
        plate
    };
    let on = |part: &PlainPart, accuracy: f64| {
        let mill = machine(EnteredProperties {
            positioning_accuracy: stated(mm(accuracy)),
            ..bench_mill()
        });
        fit(&of(part), &mill, &materials(), &practice())
    };
    // 24 x 12 in on 18 x 8: two along X, and those again for the far half.
    let answer = on(&plate([24.0, 12.0], None), 0.01);
    assert_eq!(answer.verdict, Verdict::FitsWithMoreClampings);
    assert_eq!(answer.setups_on[0].along, [2, 2]);
    assert_eq!(answer.setups_on[0].clampings, 4);
    // Three clampings more than one, of four minutes and four to find the datum.
    let costs = |c| limit(&answer, c).costs.expect("costs").to_minutes();
    assert!((costs(Capability::TravelX) - 8.0).abs() < 1e-9);
    assert!((costs(Capability::TravelY) - 16.0).abs() < 1e-9);
    // Two clampings found anew: 0.02 mm each, so 28.3 um of the 30 that half the tolerance is.
    let left = (0.03f64.powi(2) - 2.0 * 0.02f64.powi(2)).sqrt();
    let fine = plate([24.0, 12.0], Some(0.06));
    assert_eq!(
        on(&fine, left - 1e-4).verdict,
        Verdict::FitsWithMoreClampings
    );
    let lost = on(&fine, left + 1e-4);
    assert_eq!(lost.verdict, Verdict::DoesNotFit);
    assert!(
        limit(&lost, Capability::Accuracy)
            .mend
            .contains("one clamping")
    );
    // A column at half the depth and the lap passes the halves; nearer it does not.
    for (throat, verdict) in [
        (9.0, Verdict::FitsWithMoreClampings),
        (7.9, Verdict::FitsWithMoreClampings),
    ] {
        let mill = machine(EnteredProperties {
            throat: stated(inch(throat)),
            ..bench_mill()
        });
        let part = plate([24.0, 12.0], None);
        assert_eq!(
            fit(&of(&part), &mill, &materials(), &practice()).verdict,
            verdict
        );
    }
    let deep = plate([24.0, 15.0], None);
    let at_column = |throat: f64| {
        let mill = machine(EnteredProperties {
            throat: stated(inch(throat)),
            ..bench_mill()
        });
        fit(&of(&deep), &mill, &materials(), &practice()).verdict
    };
    // Half of 15 in and 10 mm is 7.7 in; Y travels 8, so whatever is stated the table passes.
    assert_eq!(at_column(5.0), Verdict::FitsWithMoreClampings);
}

#[test]
fn beyond_every_clamping_along_both_axes_is_a_no_with_the_reason() {
    let mut plate = block([inch(60.0), inch(20.0), inch(1.0)]);
    plate.features = vec![feature(Side::Top, 8, holes(6.0, 20.0, None, None))];
    let no = |plate: &PlainPart| {
        let answer = fit(
            &of(plate),
            &machine(bench_mill()),
            &materials(),
            &practice(),
        );
        assert_eq!(answer.verdict, Verdict::DoesNotFit);
        answer
            .limits
            .iter()
            .find(|l| l.rules_out)
            .expect("a reason")
            .clone()
    };
    // Two minutes a hole on a drill press.
    let holes = no(&plate);
    assert!(holes.mend.contains("drill press"), "{}", holes.mend);
    assert_eq!(holes.costs, Some(Time::minutes(16.0)));
    let pocket = FeatureKind::Pocket {
        size: [mm(100.0), mm(50.0), mm(10.0)],
        corner_radius: mm(5.0),
    };
    plate.features.push(feature(Side::Top, 1, pocket));
    let all = no(&plate);
    assert!(all.mend.contains("even 3 clampings"), "{}", all.mend);
}

#[test]
fn turning_the_part_is_tried_before_clamping_again() {
    let mut strip = block([inch(6.0), inch(14.0), inch(1.0)]);
    strip.features = vec![feature(Side::Top, 2, holes(6.0, 10.0, None, None))];
    let answer = fit(
        &of(&strip),
        &machine(bench_mill()),
        &materials(),
        &practice(),
    );
    assert_eq!(answer.verdict, Verdict::Fits);
    let first = &answer.setups_on[0];
    assert!(first.turned && first.clampings == 1);
}

/// 6 in part, one hole that a tool standing out 1 in drills.
fn tall() -> Demand {
    let mut part = block([inch(3.0), inch(3.0), inch(6.0)]);
    part.features = vec![feature(Side::Top, 1, holes(6.0, 20.0, None, None))];
    of(&part)
}

fn nose(low: Option<f64>, high: Option<f64>, travel: Option<f64>) -> EnteredProperties {
    EnteredProperties {
        nose_to_table_min: low.and_then(|x| stated(inch(x))),
        nose_to_table_max: high.and_then(|x| stated(inch(x))),
        travel_z: travel.and_then(|x| stated(inch(x))),
        ..bench_mill()
    }
}

fn tall_on(properties: EnteredProperties) -> Fit {
    fit(&tall(), &machine(properties), &materials(), &practice())
}

#[test]
fn a_six_inch_part_in_a_four_inch_vise_under_five_inches_of_tool_needs_fifteen_and_clearance() {
    let stack = tall_on(nose(Some(0.0), Some(10.0), None)).setups_on[0]
        .stack
        .clone();
    assert!((stack.nose_high_need.to_inch() - 15.5).abs() < 1e-9);
    let refused = tall_on(nose(Some(0.0), Some(10.0), None));
    assert_eq!(refused.verdict, Verdict::DoesNotFit);
    let no = limit(&refused, Capability::NoseHigh);
    assert!(
        no.rules_out && (no.short_by - 5.5 * 25.4).abs() < 1e-9,
        "{no:?}"
    );
    assert!(no.mend.contains("shorter holder"));
    assert_eq!(
        tall_on(nose(Some(6.0), Some(18.0), None)).verdict,
        Verdict::Fits
    );
}

#[test]
fn z_travel_alone_cannot_say() {
    let answer = tall_on(nose(None, None, Some(10.0)));
    assert_eq!(answer.verdict, Verdict::CannotSay);
    let high = answer
        .ask
        .iter()
        .find(|a| a.about == Asked::Property(Field::nose_to_table_max))
        .expect("asks how high the nose rises");
    assert!(high.at_least && (high.flips_at - 15.5 * 25.4).abs() < 1e-9);
    assert_eq!(high.input, "offers/mill/nose_to_table_max");
    assert!(
        answer
            .ask
            .iter()
            .any(|a| a.about == Asked::Property(Field::nose_to_table_min) && !a.at_least)
    );
    // With one end and the travel the other end follows.
    assert_eq!(
        tall_on(nose(Some(6.0), None, Some(10.0))).verdict,
        Verdict::Fits
    );
    assert_eq!(
        tall_on(nose(None, Some(16.0), Some(10.0))).verdict,
        Verdict::Fits
    );
    assert_eq!(
        tall_on(nose(Some(4.0), None, Some(10.0))).verdict,
        Verdict::DoesNotFit
    );
    // One end alone: still open, unless that end already says no.
    assert_eq!(
        tall_on(nose(Some(6.0), None, None)).verdict,
        Verdict::CannotSay
    );
    assert_eq!(
        tall_on(nose(None, Some(16.0), None)).verdict,
        Verdict::CannotSay
    );
    assert_eq!(
        tall_on(nose(None, Some(15.0), None)).verdict,
        Verdict::DoesNotFit
    );
    // Z that cannot even pass from the deepest point to the clearance is a no by itself.
    assert_eq!(
        tall_on(nose(None, None, Some(0.5))).verdict,
        Verdict::DoesNotFit
    );
}

#[test]
fn a_high_nose_asks_for_a_riser_only_when_holder_tool_and_work_cannot_span_it() {
    // Nose stops at 4 in. In the vise (4 in) with 5 in of tool: nothing to span.
    let mut plate = block([inch(5.0), inch(4.0), inch(0.5)]);
    plate.features = vec![feature(Side::Top, 4, holes(5.0, 10.0, None, None))];
    let high = |holding| {
        let part = PlainPart {
            holding: Some(holding),
            ..plate.clone()
        };
        let properties = EnteredProperties {
            nose_to_table_min: stated(inch(4.0)),
            nose_to_table_max: stated(inch(14.0)),
            ..bench_mill()
        };
        let short_tools = Practice {
            gauge_length: Some(inch(2.0)),
            ..practice()
        };
        fit(&of(&part), &machine(properties), &materials(), &short_tools)
    };
    let vise = high(Holding::Vise);
    assert_eq!(vise.verdict, Verdict::Fits);
    assert!(vise.setups_on.iter().all(|s| s.stack.riser == Length::ZERO));
    assert!(
        vise.limits
            .iter()
            .all(|l| l.capability != Capability::NoseLow)
    );
    // Flat on the table, 0.5 in high, drilled 10 mm and the 0.3 D point deep with 3 in of tool:
    // the nose would have to come to 0.5 + 3 in less 11.502 mm.
    let flat = high(Holding::Plate);
    assert_eq!(flat.verdict, Verdict::Fits);
    let need = 3.5 * 25.4 - (10.0 + 0.3004 * 5.0);
    assert!((flat.setups_on[0].stack.riser.to_mm() - (4.0 * 25.4 - need)).abs() < 1e-9);
    assert!(limit(&flat, Capability::NoseLow).mend.contains("riser"));
    // The riser lifts the work, so the nose must rise by as much more: 0.5 in of part, 0.5 in of
    // clearance, 3 in of tool.
    let stack = &flat.setups_on[0].stack;
    let high = 4.0 * 25.4 + stack.riser.to_mm();
    assert!((stack.nose_high_need.to_mm() - high).abs() < 1e-9);
}

#[test]
fn an_unstated_taper_leaves_open_what_a_shorter_holder_would_mend() {
    let by_taper = Practice {
        gauge_length: None,
        ..practice()
    };
    let on = |taper: Option<&str>, high: f64| {
        let mut m = machine(nose(Some(4.0), Some(high), None));
        m.taper = taper.map(|t| t.parse().expect("a taper"));
        fit(&tall(), &m, &materials(), &by_taper)
    };
    // 4 + 6 + 0.5 in, and with 21.8 mm of stick-out at least 25.4: 292.1 mm and the holder.
    let high = (292.1 + 60.0) / 25.4;
    assert_eq!(on(Some("BT30"), high + 0.01).verdict, Verdict::Fits);
    assert_eq!(on(Some("BT30"), high - 0.01).verdict, Verdict::DoesNotFit);
    assert_eq!(on(Some("CAT40"), high).verdict, Verdict::DoesNotFit);
    let open = on(None, high);
    assert_eq!(open.verdict, Verdict::CannotSay);
    let taper = limit(&open, Capability::NoseHigh);
    assert!(
        taper.mend.contains("taper: holders of at most 60 mm"),
        "{}",
        taper.mend
    );
    let ask = open
        .ask
        .iter()
        .find(|a| a.about == Asked::Taper)
        .expect("a question");
    assert!(
        (ask.flips_at - 60.0).abs() < 0.1 && !ask.at_least,
        "{ask:?}"
    );
    assert_eq!(on(None, 12.0).verdict, Verdict::DoesNotFit);
    assert_eq!(on(None, 20.0).verdict, Verdict::Fits);
}

fn face_milling() -> Demand {
    let mut part = block([inch(12.0), inch(6.0), inch(2.0)]);
    part.material = engine::ids::MaterialId::new("steel");
    part.features = vec![feature(
        Side::Top,
        1,
        FeatureKind::Face {
            cutter: Some(inch(3.0)),
            pass_depth: Some(inch(0.1)),
        },
    )];
    of(&part)
}

fn spindle(hp: f64) -> EnteredProperties {
    EnteredProperties {
        travel_x: stated(inch(20.0)),
        travel_y: stated(inch(10.0)),
        spindle_power: stated(Power::hp(hp)),
        spindle_rpm_max: stated(Rpm::rpm(6000.0)),
        ..bench_mill()
    }
}

#[test]
fn a_three_inch_face_mill_in_steel_wants_a_full_size_spindle() {
    let small = fit(
        &face_milling(),
        &machine(spindle(1.5)),
        &materials(),
        &practice(),
    );
    let weak = small
        .limits
        .iter()
        .find(|l| matches!(l.capability, Capability::Power | Capability::Torque))
        .expect("beyond 1.5 hp");
    assert!(!weak.rules_out);
    assert!(
        weak.mend.contains("a pass with the same cutter"),
        "{}",
        weak.mend
    );
    assert!(weak.mend.contains("a cutter of"), "{}", weak.mend);
    assert!(weak.costs.expect("minutes lost") > Time::s(10.0));
    assert_eq!(small.verdict, Verdict::Fits);
    for hp in [15.0, 20.0] {
        let large = fit(
            &face_milling(),
            &machine(spindle(hp)),
            &materials(),
            &practice(),
        );
        assert!(
            large
                .limits
                .iter()
                .all(|l| { !matches!(l.capability, Capability::Power | Capability::Torque) })
        );
    }
}

#[test]
fn a_missing_number_is_asked_and_the_class_only_says_what_is_likely() {
    let demand = tall();
    let mut m = machine(nose(Some(6.0), Some(18.0), None));
    let band = |low: f64, high: f64| Known::Default {
        value: inch(0.5 * (low + high)),
        low: inch(low),
        high: inch(high),
    };
    for (low, high, likely) in [
        (16.0, 20.0, Some(true)),
        (8.0, 12.0, Some(false)),
        (12.0, 20.0, None),
    ] {
        m.properties.nose_to_table_max = band(low, high);
        let answer = fit(&demand, &m, &materials(), &practice());
        assert_eq!(answer.verdict, Verdict::CannotSay);
        assert_eq!(answer.ask.len(), 1);
        assert_eq!(answer.ask[0].likely, likely);
    }
}

#[test]
fn travel_that_is_not_stated_is_asked_with_the_least_that_would_do() {
    let mut plate = block([inch(14.0), inch(12.0), inch(1.0)]);
    plate.features = vec![feature(Side::Top, 8, holes(6.0, 20.0, None, None))];
    let mut m = machine(bench_mill());
    m.properties.travel_y = Known::No;
    m.properties.travel_x = Known::Yes(inch(20.0));
    let answer = fit(&of(&plate), &m, &materials(), &practice());
    assert_eq!(answer.verdict, Verdict::CannotSay);
    let ask = &answer.ask[0];
    assert_eq!(
        (ask.about, ask.at_least),
        (Asked::Property(Field::travel_y), true)
    );
    // Two clampings of the shorter side, lapped.
    assert!((ask.flips_at - (12.0 * 25.4 - 6.0 + 10.0) / 2.0).abs() < 1e-9);
    for (delta, verdict) in [
        (0.01, Verdict::FitsWithMoreClampings),
        (-0.01, Verdict::DoesNotFit),
    ] {
        m.properties.travel_y = Known::Yes(Length::mm(ask.flips_at + delta));
        assert_eq!(
            fit(&of(&plate), &m, &materials(), &practice()).verdict,
            verdict
        );
    }
}

#[test]
fn the_table_must_carry_heavy_stock_and_fine_tolerances_ask_for_accuracy() {
    let mut part = block([inch(10.0), inch(7.0), inch(4.0)]);
    part.material = engine::ids::MaterialId::new("steel");
    part.features = vec![feature(Side::Top, 1, holes(10.0, 20.0, None, None))];
    let heavy = of(&part);
    // 280 in3 of 7850 kg/m3.
    assert!((heavy.stock_mass.to_kg() - 280.0 * 16.387064e-6 * 7850.0).abs() < 1e-9);
    let with = |load: Option<f64>| {
        let properties = EnteredProperties {
            table_load: load.and_then(|kg| stated(Mass::kg(kg))),
            ..bench_mill()
        };
        fit(&heavy, &machine(properties), &materials(), &practice()).verdict
    };
    assert_eq!(with(Some(200.0)), Verdict::Fits);
    assert_eq!(with(Some(50.0)), Verdict::DoesNotFit);
    assert_eq!(with(None), Verdict::CannotSay);

    part.tolerance = Some(mm(0.02));
    let accuracy = |stated_mm: Option<f64>| {
        let properties = EnteredProperties {
            positioning_accuracy: stated_mm.and_then(|x| stated(mm(x))),
            ..bench_mill()
        };
        fit(&of(&part), &machine(properties), &materials(), &practice()).verdict
    };
    assert_eq!(accuracy(Some(0.008)), Verdict::Fits);
    assert_eq!(accuracy(Some(0.03)), Verdict::DoesNotFit);
    assert_eq!(accuracy(None), Verdict::CannotSay);
}

#[test]
fn more_tools_than_pockets_are_changed_by_hand_and_cost_time() {
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
    let demand = of(&part);
    let with = |pockets: f64| {
        let m = machine(EnteredProperties {
            changer_pockets: stated(Number::of(pockets)),
            tool_change: stated(Time::s(5.0)),
            ..spindle(5.0)
        });
        let f = fit(&demand, &m, &materials(), &practice());
        let t = time(&demand, &f, &m, &materials(), &practice());
        (f, t)
    };
    let (none, by_hand) = with(0.0);
    let (twenty, by_changer) = with(20.0);
    // M6 drill and tap, 7.7 drill, reamer, rougher, finisher.
    assert_eq!(
        (none.tools, none.hand_changes, twenty.hand_changes),
        (6, 6, 0)
    );
    assert_eq!(none.verdict, Verdict::Fits);
    assert_eq!(limit(&none, Capability::Pockets).short_by, 6.0);
    assert!(by_hand.cycle.tool_changes > by_changer.cycle.tool_changes);
    assert_eq!(by_changer.cycle.tool_changes.to_s(), 6.0 * 5.0);
    assert_eq!(by_hand.cycle.tool_changes.to_s(), 6.0 * 45.0);
    // Two in a hundred are scrapped.
    assert!((by_hand.tool_changes_per_year - 6.0 * 40.0 / 0.98).abs() < 1e-9);
    assert!(by_hand.attended > by_changer.attended);
}

#[test]
fn times_add_up_and_say_when_they_are_only_a_bound() {
    let demand = face_milling();
    let full = EnteredProperties {
        weight: stated(Mass::kg(4000.0)),
        rapid: stated(Speed::m_min(20.0)),
        acceleration: stated(Acceleration::m_s2(3.0)),
        spindle_torque: stated(Torque::nm(80.0)),
        ..spindle(15.0)
    };
    let timed = |properties: EnteredProperties, demand: &Demand| {
        let m = machine(properties);
        let f = fit(demand, &m, &materials(), &practice());
        time(demand, &f, &m, &materials(), &practice())
    };
    let t = timed(full.clone(), &demand);
    assert_eq!(t.bound, Bound::Estimate);
    // 12 x 6 in at 0.7 x 3 in wide: n = 180/(pi 76.2) 752/min, 5 teeth of 0.12 mm: 451 mm/min.
    let feed_mm_min = 180_000.0 / (std::f64::consts::PI * 76.2) * 5.0 * 0.12;
    let cut_min = 72.0 * 645.16 / (0.7 * 76.2 * feed_mm_min);
    assert!((t.cycle.cut.to_minutes() - cut_min).abs() < 1e-9);
    // Two in a hundred are scrapped.
    let per_year = t.cycle.total() * (40.0 / 0.98) + t.batch_setup * 4.0;
    assert!((t.per_year.to_s() - per_year.to_s()).abs() < 1e-6);
    // One tool stays in the spindle.
    assert_eq!(t.tool_changes_per_year, 0.0);
    // A stated weight is a band of stiffness; without it, and without a cut seen, the time is a least.
    let mut light = full.clone();
    light.weight = stated(Mass::kg(400.0));
    assert_eq!(timed(light.clone(), &demand).bound, Bound::Estimate);
    light.weight = None;
    assert_eq!(timed(light.clone(), &demand).bound, Bound::LowerBound);
    light.steel_depth_seen = stated(mm(2.0));
    assert_eq!(timed(light, &demand).bound, Bound::Estimate);
    let bulk = of(&block([mm(100.0), mm(60.0), mm(20.0)]));
    assert_eq!(timed(full, &bulk).bound, Bound::LowerBound);
}

#[test]
fn a_taken_option_changes_the_machine_and_an_untaken_one_does_not() {
    let mut o = offer(bench_mill());
    let option = |taken| SaleOption {
        name: "tool changer".into(),
        price: Value::stated("o", units::Money::amount(3000.0), Place::default()),
        gives: vec![(Field::changer_pockets, 10.0)],
        warranty_months: None,
        taken,
    };
    o.options = vec![option(false)];
    let resolve = |o: &_| -> Machine { engine::resolve::machine(o, &no_class(), Draw::Likely) };
    assert_eq!(resolve(&o).properties.changer_pockets, Known::No);
    o.options = vec![option(true)];
    assert_eq!(
        resolve(&o).properties.changer_pockets,
        Known::Yes(Number::of(10.0))
    );
}

#[test]
fn a_draw_fixes_every_number_of_a_material() {
    let table = materials();
    let drawn = engine::resolve::materials(&table, Draw::Random { seed: 5, index: 3 });
    for (before, after) in table.0.values().zip(drawn.0.values()) {
        assert_ne!(before.kc11.likely, after.kc11.likely);
        assert_ne!(before.mc.likely, after.mc.likely);
        // The band of kc1.1 holds at the chip at which the tables are compared.
        let at = |kc, mc| kienzle(kc, mc, PIVOT_CHIP);
        let (low, high) = before.kc11.ends();
        let mc = before.mc.likely.to_number();
        let drawn = at(after.kc11.likely, after.mc.likely.to_number());
        assert!(drawn > at(low, mc) && drawn < at(high, mc));
    }
    // Fixed once: another draw changes nothing any more.
    let again = engine::resolve::materials(&drawn, Draw::Random { seed: 6, index: 9 });
    assert_eq!(again, drawn);
}
