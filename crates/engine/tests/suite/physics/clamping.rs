//! How parts lie, are held and are clamped again; what rows of vises and a rotary axis do.

use super::build::*;
use engine::cycle::{PartTime, time};
use engine::demand::{self, Demand, FeatureKind, Holding, PlainPart, Side};
use engine::fit::{Asked, Capability, Fit, Held, Limit, Practice, Verdict, fit};
use engine::machine::{EnteredProperties, Field};
use units::{Mass, Number, Power, Rpm, Speed, Time};

fn of(part: &PlainPart) -> Demand {
    demand::of(part, &materials())
}

fn on(demand: &Demand, properties: EnteredProperties) -> Fit {
    fit(
        demand,
        &machine(properties),
        &materials(),
        &Practice::default(),
    )
}

fn timed(demand: &Demand, properties: EnteredProperties) -> (Fit, PartTime) {
    let m = machine(properties);
    let practice = Practice::default();
    let f = fit(demand, &m, &materials(), &practice);
    let t = time(demand, &f, &m, &materials(), &practice);
    (f, t)
}

fn limit(fit: &Fit, capability: Capability) -> &Limit {
    fit.limits
        .iter()
        .find(|l| l.capability == capability)
        .unwrap_or_else(|| panic!("no {capability:?} among {:?}", fit.limits))
}

/// A mill of 400 x 320 x 400 with a nose from 100 to 500 mm.
fn mill() -> EnteredProperties {
    EnteredProperties {
        travel_x: stated(mm(400.0)),
        travel_y: stated(mm(320.0)),
        travel_z: stated(mm(400.0)),
        nose_to_table_min: stated(mm(100.0)),
        nose_to_table_max: stated(mm(500.0)),
        table_x: stated(mm(700.0)),
        table_y: stated(mm(300.0)),
        table_load: stated(Mass::kg(200.0)),
        spindle_power: stated(Power::kw(5.0)),
        spindle_rpm_max: stated(Rpm::rpm(8000.0)),
        positioning_accuracy: stated(mm(0.01)),
        rapid: stated(Speed::m_min(20.0)),
        changer_pockets: stated(Number::of(20.0)),
        ..Default::default()
    }
}

fn strip(size: [f64; 3]) -> PlainPart {
    let mut part = block(size.map(mm));
    part.holding = Some(Holding::Plate);
    part.features = vec![feature(Side::Top, 4, holes(6.0, 10.0, None, None))];
    part
}

#[test]
fn a_strip_longer_than_either_travel_lies_across_in_one_clamping() {
    let answer = on(&of(&strip([490.0, 30.0, 20.0])), mill());
    assert_eq!(answer.verdict, Verdict::Fits, "{answer:?}");
    let lies = &answer.setups_on[0];
    assert!(lies.angle_deg > 20.0 && lies.angle_deg < 70.0, "{lies:?}");
    assert_eq!(lies.clampings, 1);
    assert!(lies.travel_need[0].fits(mm(400.0)) && lies.travel_need[1].fits(mm(320.0)));
    let turned = limit(&answer, Capability::TravelX);
    assert!(!turned.rules_out && turned.mend.contains("degrees"));
    // Ten minutes a batch of ten.
    assert_eq!(turned.costs, Some(Time::minutes(1.0)));
    // Too wide to lie across: shifted along the table instead.
    let shifted = on(&of(&strip([490.0, 120.0, 20.0])), mill());
    assert_eq!(shifted.verdict, Verdict::FitsWithMoreClampings);
    assert_eq!(shifted.setups_on[0].along, [2, 1]);
    assert_eq!(shifted.clampings, 3);
}

#[test]
fn clamping_again_costs_time_and_accuracy() {
    let wide = strip([490.0, 120.0, 20.0]);
    let (fit, again) = timed(&of(&wide), mill());
    let mut larger = mill();
    larger.travel_x = stated(mm(600.0));
    let (_, once) = timed(&of(&wide), larger.clone());
    // Four minutes of clamping and four of finding the datum.
    let lost = again.cycle.total() - once.cycle.total();
    assert!(again.cycle.clamping > once.cycle.clamping);
    assert_eq!((again.cycle.probing - once.cycle.probing).to_minutes(), 4.0);
    assert!(lost >= Time::minutes(8.0) && again.batch_setup > once.batch_setup);
    assert_eq!(
        limit(&fit, Capability::TravelX).costs,
        Some(Time::minutes(8.0))
    );
    // With a probe a minute.
    let mut probe = mill();
    probe.probe = stated(Number::of(1.0));
    let (_, probed) = timed(&of(&wide), probe.clone());
    assert_eq!(probed.cycle.probing.to_minutes(), 1.0);

    // 0.03 mm: half of it 15 um; an indicator takes 20, a probe 10, aluminium over 100 mm by 2 K 4.7.
    let mut fine = wide;
    fine.tolerance = Some(mm(0.03));
    let fine = of(&fine);
    assert_eq!(on(&fine, larger).verdict, Verdict::Fits);
    let lost = on(&fine, mill());
    assert_eq!(lost.verdict, Verdict::DoesNotFit);
    let reason = limit(&lost, Capability::Accuracy);
    assert!(
        reason.rules_out && reason.mend.contains("one clamping"),
        "{reason:?}"
    );
    let left = (15.0f64.powi(2) - 10.0f64.powi(2)).sqrt() / 1000.0;
    let margin = |f: &Fit| {
        f.margins
            .iter()
            .find(|m| m.capability == Capability::Accuracy)
            .map(|m| m.value)
    };
    let held = on(&fine, probe);
    assert!(
        (margin(&held).expect("compared") - (left - 0.01)).abs() < 1e-9,
        "{held:?}"
    );
    assert_eq!(held.verdict, Verdict::FitsWithMoreClampings);
}

#[test]
fn a_tolerance_is_asked_about_only_where_some_machine_could_fail_and_some_pass() {
    let with = |tolerance: f64, accuracy: Option<f64>| {
        let mut part = strip([200.0, 100.0, 20.0]);
        part.tolerance = Some(mm(tolerance));
        let mut mill = mill();
        mill.positioning_accuracy = accuracy.and_then(|a| stated(mm(a)));
        on(&of(&part), mill)
    };
    let asks = |f: &Fit| {
        f.ask
            .iter()
            .any(|a| a.about == Asked::Property(Field::positioning_accuracy))
    };
    // Coarse: every machine holds it, unless it says itself that it does not.
    assert_eq!(with(0.32, None).verdict, Verdict::Fits);
    assert_eq!(with(0.32, Some(0.155)).verdict, Verdict::Fits);
    let worse = with(0.32, Some(0.165));
    assert_eq!(worse.verdict, Verdict::DoesNotFit);
    assert!((limit(&worse, Capability::Accuracy).short_by - 0.005).abs() < 1e-12);
    // What repeats no better than the need positions no better either.
    let mut part = strip([200.0, 100.0, 20.0]);
    part.tolerance = Some(mm(0.05));
    for (repeats, verdict) in [(0.02, Verdict::CannotSay), (0.03, Verdict::DoesNotFit)] {
        let mut mill = mill();
        mill.positioning_accuracy = None;
        mill.repeatability = stated(mm(repeats));
        assert_eq!(on(&of(&part), mill).verdict, verdict, "{repeats}");
    }
    // Fine: depends on the machine.
    for tolerance in [0.28, 0.12, 0.09, 0.05, 0.02, 0.012] {
        let open = with(tolerance, None);
        assert!(
            open.verdict == Verdict::CannotSay && asks(&open),
            "{tolerance}: {open:?}"
        );
        let need = open.ask[0].flips_at;
        assert!((need - 0.5 * tolerance).abs() < 1e-12, "{need}");
        assert_eq!(with(tolerance, Some(need - 1e-4)).verdict, Verdict::Fits);
        assert_eq!(
            with(tolerance, Some(need + 1e-4)).verdict,
            Verdict::DoesNotFit
        );
    }
    // Where warmth takes much of it, it holds only with care: half is 6 um, warmth 4.7.
    let care = with(0.012, Some(0.005));
    let told = limit(&care, Capability::Accuracy);
    assert!(care.verdict == Verdict::Fits && told.mend.contains("one temperature"));
    let left = (6.0f64.powi(2) - 4.72f64.powi(2)).sqrt() / 1000.0;
    assert!((told.short_by - (0.005 - left)).abs() < 1e-9);
    // No machine holds it, so nothing is asked.
    let never = with(0.003, None);
    assert!(never.verdict == Verdict::DoesNotFit && !asks(&never));
    assert!(limit(&never, Capability::Accuracy).mend.contains("measure"));
}

#[test]
fn a_low_vise_is_taken_where_the_nose_does_not_rise_over_the_usual_one() {
    let mut part = block([mm(80.0), mm(60.0), mm(100.0)]);
    part.features = vec![feature(Side::Top, 1, holes(6.0, 10.0, None, None))];
    let demand = of(&part);
    // R8 collets 30 mm and 25 mm of tool, 25 mm of clearance, 100 mm of part: 180 mm over the vise.
    let with = |high: f64| {
        let mut mill = mill();
        mill.nose_to_table_max = stated(mm(high));
        mill.travel_z = stated(mm(high - 100.0));
        on(&demand, mill)
    };
    let usual = with(281.0);
    assert_eq!(usual.setups_on[0].stack.held, Held::Vise);
    assert!(
        usual
            .limits
            .iter()
            .all(|l| l.capability != Capability::NoseHigh)
    );
    let low = with(260.0);
    assert_eq!(
        (low.verdict, low.setups_on[0].stack.held),
        (Verdict::Fits, Held::LowVise)
    );
    let told = limit(&low, Capability::NoseHigh);
    assert!(
        !told.rules_out && told.mend.contains("low vise") && (told.short_by - 20.0).abs() < 1e-9
    );
    // 245 mm is what even the low vise takes; then flat on a plate it would go.
    let no = with(240.0);
    assert_eq!(no.verdict, Verdict::DoesNotFit);
    let mend = limit(&no, Capability::NoseHigh);
    assert!((mend.short_by - 5.0).abs() < 1e-9);
    assert!(mend.mend.contains("flat on a plate"), "{}", mend.mend);
    // Three minutes in each of two setups.
    assert_eq!(mend.costs, Some(Time::minutes(6.0)));
    // A stub holder of a 40 taper is cheaper still: 45 mm instead of 75.
    let mut m = machine(EnteredProperties {
        nose_to_table_max: stated(mm(280.0)),
        travel_z: stated(mm(180.0)),
        ..mill()
    });
    m.taper = Some("CAT40".parse().expect("a taper"));
    let stub = fit(&demand, &m, &materials(), &Practice::default());
    let mend = limit(&stub, Capability::NoseHigh);
    assert!(mend.mend.contains("shorter holder"), "{}", mend.mend);
    assert_eq!(mend.costs, Some(Time::minutes(0.6)));
    // Without the number it is asked, at what the low vise takes.
    let mut open = mill();
    (open.nose_to_table_max, open.travel_z) = (None, None);
    let open = on(&demand, open);
    assert!((open.ask[0].flips_at - 245.0).abs() < 1e-9, "{open:?}");
}

#[test]
fn soft_jaws_spare_a_small_riser() {
    let mut part = block([mm(80.0), mm(60.0), mm(10.0)]);
    part.features = vec![feature(Side::Top, 1, holes(3.0, 5.0, None, None))];
    // 100 + 10 - 5.9 + 25 + 30 mm: the nose must come down to 159.1 mm.
    let with = |low: f64| {
        let mut mill = mill();
        mill.nose_to_table_min = stated(mm(low));
        mill.travel_z = stated(mm(500.0 - low));
        on(&of(&part), mill).setups_on[0].stack.clone()
    };
    assert_eq!(
        (with(155.0).held, with(155.0).riser.to_mm()),
        (Held::Vise, 0.0)
    );
    assert_eq!(
        (with(165.0).held, with(165.0).riser.to_mm()),
        (Held::SoftJaws, 0.0)
    );
    let high = with(180.0);
    assert_eq!(high.held, Held::Vise);
    assert!((high.riser.to_mm() - (180.0 - (135.0 - 5.0 - 0.3004 * 3.0 + 30.0))).abs() < 1e-9);
}

/// Common practice, no source: what a long table buys.
#[test]
fn a_long_table_takes_a_row_of_vises_when_there_are_many_parts() {
    let mut part = block([mm(80.0), mm(60.0), mm(20.0)]);
    part.features = vec![
        feature(Side::Top, 4, holes(6.0, 12.0, Some(1.0), None)),
        feature(
            Side::Top,
            1,
            FeatureKind::Profile {
                depth: mm(10.0),
                corner_radius: None,
            },
        ),
    ];
    part.batch = Number::of(40.0);
    part.per_year = Number::of(400.0);
    let demand = of(&part);
    let long = |travel: f64, table: f64, load: f64| {
        let mut mill = mill();
        mill.travel_x = stated(mm(travel));
        mill.table_x = stated(mm(table));
        mill.table_load = stated(Mass::kg(load));
        timed(&demand, mill)
    };
    // 96 mm of travel for the outline of one part, 76 mm turned; vises stand 180 mm apart.
    let (one, alone) = long(250.0, 700.0, 200.0);
    let (four, row) = long(640.0, 730.0, 200.0);
    assert_eq!(one.setups_on[0].per_loading, 1);
    assert_eq!(four.setups_on[0].per_loading, 4);
    assert!(row.per_loading[0] > 1, "{row:?}");
    assert!(row.per_year < alone.per_year);
    assert!(row.cycle.tool_changes < alone.cycle.tool_changes);
    // The table's length, the travel and the load each may be what limits it.
    assert_eq!(long(640.0, 540.0, 200.0).0.setups_on[0].per_loading, 3);
    assert_eq!(long(460.0, 900.0, 200.0).0.setups_on[0].per_loading, 3);
    assert_eq!(long(640.0, 900.0, 75.0).0.setups_on[0].per_loading, 2);
    // Never more than a batch.
    let mut single = part;
    single.batch = Number::of(1.0);
    assert_eq!(on(&of(&single), mill()).setups_on[0].per_loading, 1);
}

#[test]
fn a_fourth_axis_joins_the_sides_around_it() {
    let mut part = block([mm(100.0), mm(50.0), mm(50.0)]);
    part.features = [Side::Top, Side::Front, Side::Bottom, Side::Back, Side::Left]
        .map(|side| feature(side, 2, holes(5.0, 10.0, None, None)))
        .to_vec();
    let demand = of(&part);
    let with = |axes: Option<f64>| {
        let mut mill = mill();
        mill.rotary_axes = axes.and_then(|n| stated(Number::of(n)));
        timed(&demand, mill)
    };
    let (plain, by_hand) = with(None);
    let (fourth, turned) = with(Some(1.0));
    let (fifth, _) = with(Some(2.0));
    assert_eq!((plain.setups, plain.clampings), (5, 5));
    // Four sides around X in one clamping, the end in another; tilted as well, all five in one.
    assert_eq!(
        (fourth.setups, fourth.clampings, fourth.verdict),
        (5, 2, Verdict::Fits)
    );
    assert_eq!(fifth.clampings, 1);
    assert!(turned.cycle.clamping < by_hand.cycle.clamping);
    assert!(turned.per_year < by_hand.per_year);
    // A part that would strike the table does not turn: 300 x 200 has half a diagonal of 180 mm.
    let mut thick = part;
    thick.shape = engine::demand::Shape::Block([mm(150.0), mm(200.0), mm(300.0)]);
    let mut mill = mill();
    mill.rotary_axes = stated(Number::of(1.0));
    assert!(on(&of(&thick), mill).setups_on.iter().all(|s| !s.rotary));
}

/// Sides were once always taken together where they could be, one part a loading, so that more travel,
/// which let one more side turn, cost time where vises in a row did better.
#[test]
fn sides_are_taken_together_only_where_that_saves_time() {
    let mut part = block([mm(60.0), mm(40.0), mm(40.0)]);
    part.features = [Side::Top, Side::Bottom]
        .map(|side| {
            [4.0, 5.0, 6.0, 8.0, 10.0].map(|d| feature(side, 1, holes(d, 6.0, Some(1.0), None)))
        })
        .concat();
    let with = |batch: f64, y: f64, rotary: bool| {
        let mut part = part.clone();
        (part.per_year, part.batch) = (Number::of(2.0 * batch), Number::of(batch));
        let mut mill = mill();
        (mill.table_x, mill.travel_x) = (stated(mm(2000.0)), stated(mm(1800.0)));
        (mill.travel_y, mill.table_load) = (stated(mm(y)), stated(Mass::kg(2000.0)));
        mill.rotary_axes = rotary.then(|| Number::of(1.0)).and_then(stated);
        timed(&of(&part), mill)
    };
    let turned = |f: &Fit| f.setups_on.iter().filter(|s| s.rotary).count();
    // Two pieces: one clamping saves more than the axis takes to set up. Two hundred: ten vises abreast
    // share every tool change.
    let (few, _) = with(2.0, 300.0, true);
    assert_eq!((turned(&few), few.clampings), (2, 1));
    let (many, quick) = with(200.0, 300.0, true);
    assert!(
        turned(&many) == 0 && many.setups_on[0].per_loading >= 10,
        "{many:?}"
    );
    assert!(quick.per_year <= with(200.0, 300.0, false).1.per_year);
    // With less travel the sides do not turn at all; that never was quicker.
    for batch in [2.0, 20.0, 200.0] {
        let [less, more] = [45.0, 300.0].map(|y| with(batch, y, true).1.per_year);
        assert!(more <= less, "{batch}: {less:?} {more:?}");
    }
}

#[test]
fn a_post_on_the_rotary_axis_carries_parts_on_four_sides() {
    let mut part = block([mm(60.0), mm(40.0), mm(10.0)]);
    part.features = vec![feature(Side::Top, 2, holes(5.0, 8.0, None, None))];
    part.batch = Number::of(60.0);
    let mut mill = mill();
    mill.rotary_axes = stated(Number::of(1.0));
    mill.table_load = None;
    // 700 mm of table less 250 for the axis: turned, 40 mm parts every 60 mm, seven along, four sides;
    // 400 mm of travel reach seven as well.
    let answer = on(&of(&part), mill.clone());
    assert_eq!(answer.setups_on[0].per_loading, 28);
    mill.nose_to_table_max = stated(mm(250.0));
    mill.travel_z = stated(mm(150.0));
    assert_eq!(on(&of(&part), mill).setups_on[0].per_loading, 1);
}

#[test]
fn heavy_work_must_pass_the_machines_door() {
    let mut part = strip([600.0, 350.0, 100.0]);
    part.material = engine::ids::MaterialId::new("steel");
    let demand = of(&part);
    assert!(demand.stock_mass > Mass::kg(150.0));
    let with = |door: Option<f64>| {
        on(
            &demand,
            EnteredProperties {
                travel_x: stated(mm(800.0)),
                travel_y: stated(mm(400.0)),
                table_load: stated(Mass::kg(500.0)),
                door_width: door.and_then(|w| stated(mm(w))),
                ..mill()
            },
        )
    };
    assert_eq!(with(Some(400.0)).verdict, Verdict::Fits);
    let narrow = with(Some(340.0));
    assert!(narrow.verdict == Verdict::DoesNotFit && limit(&narrow, Capability::Door).rules_out);
    let open = with(None);
    assert_eq!(open.verdict, Verdict::CannotSay);
    assert_eq!(open.ask[0].about, Asked::Property(Field::door_width));
    assert_eq!(open.ask[0].flips_at, 350.0);
}

#[test]
fn slots_too_few_or_too_far_apart_ask_for_a_sub_plate() {
    let with = |holding: Holding, count: Option<f64>, spacing: Option<f64>| {
        let mut part = strip([120.0, 40.0, 20.0]);
        part.holding = Some(holding);
        let mut mill = mill();
        mill.slot_count = count.and_then(|n| stated(Number::of(n)));
        mill.slot_spacing = spacing.and_then(|s| stated(mm(s)));
        on(&of(&part), mill)
    };
    let slots = |f: &Fit| {
        f.limits
            .iter()
            .find(|l| l.capability == Capability::Slots)
            .map(|l| (l.short_by, l.mend.clone()))
    };
    // Clamps of 50 mm reach stand in slots up to 140 mm apart on both sides of 40 mm.
    assert_eq!(slots(&with(Holding::Plate, Some(3.0), Some(63.0))), None);
    assert_eq!(slots(&with(Holding::Plate, None, None)), None);
    let (by, mend) = slots(&with(Holding::Plate, Some(3.0), Some(160.0))).expect("too far");
    assert!(
        (by - 20.0).abs() < 1e-9 && mend.contains("sub-plate"),
        "{by} {mend}"
    );
    let (by, mend) = slots(&with(Holding::Plate, Some(1.0), None)).expect("too few");
    assert!(
        (by - 40.0).abs() < 1e-9 && mend.contains("too few"),
        "{by} {mend}"
    );
    // One slot holds a vise at both ends; a chuck wants two; without slots neither.
    assert_eq!(slots(&with(Holding::Vise, Some(1.0), Some(160.0))), None);
    assert!(slots(&with(Holding::Chuck, Some(1.0), None)).is_some());
    assert!(slots(&with(Holding::Vise, Some(0.0), None)).is_some());
    // None of it says no.
    let none = with(Holding::Plate, Some(0.0), None);
    assert_eq!(none.verdict, Verdict::Fits);
}
