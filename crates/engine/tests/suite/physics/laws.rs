//! Laws that hold whatever the numbers.

use super::build::*;
use engine::cycle::time;
use engine::demand::{self, Demand, FeatureKind, Holding, PlainPart, Side};
use engine::fit::{
    Asked, Assumed, Capability, Errors, Fit, Practice, Verdict, budget, fit, stack_up,
};
use engine::ids::MaterialId;
use engine::machine::{EnteredProperties, Field, ForEachEntered, SpindleNumbers};
use proptest::prelude::*;
use units::{Force, Mass, Number, Power, Quantity, Rpm, Speed, Time, Torque, Value};

fn feature_kind() -> impl Strategy<Value = FeatureKind> {
    let l = |low: f64, high: f64| (low..high).prop_map(mm);
    prop_oneof![
        (
            2.0..40.0f64,
            3.0..80.0f64,
            prop::option::of(0.4..2.0f64),
            prop::option::of(0.005..0.3f64)
        )
            .prop_map(|(d, depth, pitch, tolerance)| holes(
                d,
                depth,
                pitch.filter(|p| *p < 0.3 * d),
                tolerance
            )),
        ([l(5.0, 200.0), l(5.0, 200.0), l(1.0, 60.0)], l(0.0, 10.0)).prop_map(
            |(size, corner_radius)| FeatureKind::Pocket {
                size,
                corner_radius
            }
        ),
        (l(1.0, 80.0), prop::option::of(l(1.0, 10.0))).prop_map(|(depth, corner_radius)| {
            FeatureKind::Profile {
                depth,
                corner_radius,
            }
        }),
        (
            prop::option::of(l(10.0, 100.0)),
            prop::option::of(l(0.2, 5.0))
        )
            .prop_map(|(cutter, pass_depth)| FeatureKind::Face { cutter, pass_depth }),
        (l(10.0, 500.0), l(0.2, 3.0))
            .prop_map(|(length, width)| FeatureKind::Chamfer { length, width }),
    ]
}

fn side() -> impl Strategy<Value = Side> {
    prop_oneof![3 => Just(Side::Top), 1 => Just(Side::Bottom), 1 => Just(Side::Front), 1 => Just(Side::Left)]
}

fn part() -> impl Strategy<Value = PlainPart> {
    (
        [20.0..600.0f64, 20.0..400.0f64, 5.0..250.0f64],
        0.0..4.0f64,
        prop::collection::vec((side(), 1..20u32, feature_kind()), 0..5),
        prop_oneof![
            Just(Holding::Vise),
            Just(Holding::Plate),
            Just(Holding::Chuck)
        ],
        prop::option::of(0.005..0.5f64),
        prop::bool::ANY,
    )
        .prop_map(
            |(size, allowance, features, holding, tolerance, steel)| PlainPart {
                allowance: mm(allowance),
                features: features
                    .into_iter()
                    .map(|(s, n, k)| feature(s, n, k))
                    .collect(),
                holding: Some(holding),
                tolerance: tolerance.map(mm),
                material: MaterialId::new(if steel { "steel" } else { "aluminium" }),
                ..block(size.map(mm))
            },
        )
}

/// Machines: the nose moves at least as far as Z does (a knee adds to it). The spindle's numbers are
/// any; sellers state some that contradict one another.
fn mill() -> impl Strategy<Value = EnteredProperties> {
    let dims = (
        100.0..900.0f64,
        80.0..600.0f64,
        50.0..600.0f64,
        0.0..250.0f64,
        prop_oneof![3 => Just(0.0), 1 => 0.0..300.0f64],
    );
    let rest = (
        prop::option::of(20.0..800.0f64),
        0.05..20.0f64,
        prop::option::of(0.2..150.0f64),
        1000.0..30_000.0f64,
        0.003..0.15f64,
        0.0..30.0f64,
        prop::option::of(100.0..20_000.0f64),
        0.5..10.0f64,
        prop::option::of(0..3u8),
        prop::option::of(0..2u8),
        prop::option::of(200.0..1200.0f64),
        prop::option::of(8.0..22.0f64),
    );
    let cut = (
        prop::option::of(200.0..6000.0f64),
        prop::option::of(0.02..15.0f64),
        prop::option::of(0..3u8),
        prop::option::of(20.0..20_000.0f64),
        prop::option::of(1.0..2.0f64),
    );
    (dims, rest, cut).prop_map(
        |(
            (x, y, z, low, knee),
            (load, kw, nm, rpm, accuracy, pockets, base, feed, rotary, probe, door, slot),
            (weight, thrust, coolant, slowest, peak),
        )| {
            EnteredProperties {
                travel_x: stated(mm(x)),
                travel_y: stated(mm(y)),
                travel_z: stated(mm(z)),
                nose_to_table_min: stated(mm(low)),
                nose_to_table_max: stated(mm(low + z + knee)),
                throat: stated(mm(1.1 * y)),
                table_x: stated(mm(1.3 * x)),
                table_y: stated(mm(y)),
                table_load: load.and_then(|kg| stated(Mass::kg(kg))),
                spindle_power: stated(Power::kw(kw)),
                spindle_torque: nm.and_then(|t| stated(Torque::nm(t))),
                spindle_power_peak: peak.and_then(|more| stated(Power::kw(kw * more))),
                // A lowest speed above the highest stops a folder where it is read.
                spindle_rpm_min: slowest.and_then(|n| stated(Rpm::rpm(n.min(rpm)))),
                spindle_torque_rpm: base.and_then(|n| stated(Rpm::rpm(n))),
                spindle_rpm_max: stated(Rpm::rpm(rpm)),
                positioning_accuracy: stated(mm(accuracy)),
                changer_pockets: stated(Number::of(pockets.floor())),
                tool_diameter_max: stated(mm(60.0)),
                tool_length_max: stated(mm(250.0)),
                feed_max: stated(Speed::m_min(feed)),
                rotary_axes: rotary.and_then(|n| stated(Number::of(f64::from(n)))),
                probe: probe.and_then(|n| stated(Number::of(f64::from(n)))),
                door_width: door.and_then(|w| stated(mm(w))),
                slot_width: slot.and_then(|w| stated(mm(w))),
                rapid: stated(Speed::m_min(15.0)),
                weight: weight.and_then(|kg| stated(Mass::kg(kg))),
                axis_thrust: thrust.and_then(|kn| stated(Force::kn(kn))),
                coolant: coolant.and_then(|n| stated(Number::of(f64::from(n)))),
                ..Default::default()
            }
        },
    )
}

fn fitted(demand: &Demand, properties: EnteredProperties) -> Fit {
    fit(
        demand,
        &machine(properties),
        &materials(),
        &Practice::default(),
    )
}

fn duration(demand: &Demand, properties: EnteredProperties) -> Time {
    let m = machine(properties);
    let f = fit(demand, &m, &materials(), &Practice::default());
    let practice = Practice::default();
    time(demand, &f, &m, &materials(), &practice).cycle.total()
}

/// Machine hours of a year, setting up included.
fn year(demand: &Demand, properties: EnteredProperties) -> Time {
    let m = machine(properties);
    let f = fit(demand, &m, &materials(), &Practice::default());
    let practice = Practice::default();
    time(demand, &f, &m, &materials(), &practice).per_year
}

fn is_yes(verdict: Verdict) -> bool {
    matches!(verdict, Verdict::Fits | Verdict::FitsWithMoreClampings)
}

/// Whether a spindle's stated numbers can all be true.
fn agrees(properties: &EnteredProperties) -> bool {
    let stated = machine(properties.clone()).properties;
    SpindleNumbers::of(&stated).contradictions().is_empty()
}

fn base_of(properties: &EnteredProperties, field: Field) -> f64 {
    let base = machine(properties.clone()).properties.base(field);
    base.unwrap_or(f64::NAN)
}

/// States one property.
struct Tell {
    field: Field,
    base: f64,
}

impl ForEachEntered for Tell {
    fn visit<Q: Quantity>(&mut self, field: Field, slot: &mut Option<Value<Q>>) {
        if field == self.field {
            *slot = stated(Q::from_base(self.base));
        }
    }
}

/// Cases of each law; PROPTEST_CASES asks for more.
fn cases() -> u32 {
    let more = std::env::var("PROPTEST_CASES").ok();
    more.and_then(|n| n.parse().ok()).unwrap_or(300)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: cases(), failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn more_travel_at_the_same_lowest_nose_never_fits_less(
        part in part(), mill in mill(),
        more in [0.0..300.0f64, 0.0..300.0f64, 0.0..300.0f64], forget_top in prop::bool::ANY,
    ) {
        let demand = demand::of(&part, &materials());
        let mut less = mill.clone();
        let mut larger = mill;
        larger.travel_x.as_mut().unwrap().likely += mm(more[0]);
        larger.travel_y.as_mut().unwrap().likely += mm(more[1]);
        larger.travel_z.as_mut().unwrap().likely += mm(more[2]);
        larger.nose_to_table_max.as_mut().unwrap().likely += mm(more[2]);
        if forget_top {
            less.nose_to_table_max = None;
            larger.nose_to_table_max = None;
        }
        let (a, b) = (fitted(&demand, less.clone()), fitted(&demand, larger.clone()));
        prop_assert!(b.verdict <= a.verdict, "{:?} then {:?}", a, b);
        if is_yes(a.verdict) {
            prop_assert!(b.clampings <= a.clampings);
            let (before, after) = (year(&demand, less), year(&demand, larger));
            prop_assert!(after.to_s() <= before.to_s() * (1.0 + 1e-12), "{before:?} {after:?} {a:?} {b:?}");
        }
    }

    /// A machine with rotary axes and room for them, where sides may stand on the table or be taken
    /// together.
    #[test]
    fn more_travel_never_costs_time_on_a_machine_with_rotary_axes(
        part in part(), mill in mill(), more in [0.0..300.0f64, 0.0..300.0f64, 0.0..300.0f64],
        axes in 1..3u8, batch in 1.0..200.0f64, shrink in 0.1..1.0f64,
    ) {
        let mut part = part;
        if let engine::demand::Shape::Block(size) = &mut part.shape {
            *size = size.map(|s| s * shrink);
        }
        part.batch = Number::of(batch.floor());
        part.per_year = Number::of(2.0 * batch.floor());
        let demand = demand::of(&part, &materials());
        let mut less = mill;
        less.rotary_axes = stated(Number::of(f64::from(axes)));
        less.table_x = stated(mm(1200.0));
        let mut larger = less.clone();
        larger.travel_x.as_mut().unwrap().likely += mm(more[0]);
        larger.travel_y.as_mut().unwrap().likely += mm(more[1]);
        larger.travel_z.as_mut().unwrap().likely += mm(more[2]);
        larger.nose_to_table_max.as_mut().unwrap().likely += mm(more[2]);
        let (a, b) = (fitted(&demand, less.clone()), fitted(&demand, larger.clone()));
        prop_assert!(is_yes(b.verdict) || b.verdict <= a.verdict, "{:?} then {:?}", a, b);
        if is_yes(a.verdict) {
            let (before, after) = (year(&demand, less.clone()), year(&demand, larger));
            prop_assert!(after.to_s() <= before.to_s() * (1.0 + 1e-12), "{before:?} {after:?} {a:?} {b:?}");
            // Nor does the rotary axis itself.
            less.rotary_axes = None;
            if is_yes(fitted(&demand, less.clone()).verdict) {
                let without = year(&demand, less);
                prop_assert!(before.to_s() <= without.to_s() * (1.0 + 1e-12), "{without:?} {before:?} {a:?}");
            }
        }
    }

    #[test]
    fn more_pockets_never_cost_time_or_lose_a_fit(
        part in part(), mill in mill(), more in 1..20u32, wide in 10.0..60.0f64, long in 80.0..250.0f64,
    ) {
        let demand = demand::of(&part, &materials());
        let mut few = mill;
        few.tool_diameter_max = stated(mm(wide));
        few.tool_length_max = stated(mm(long));
        let mut many = few.clone();
        many.changer_pockets.as_mut().unwrap().likely += Number::of(f64::from(more));
        let (a, b) = (fitted(&demand, few.clone()), fitted(&demand, many.clone()));
        prop_assert!(b.verdict <= a.verdict && b.hand_changes <= a.hand_changes);
        let (before, after) = (year(&demand, few), year(&demand, many));
        prop_assert!(after.to_s() <= before.to_s() * (1.0 + 1e-12), "{before:?} {after:?}");
    }

    #[test]
    fn every_no_names_a_mend_and_what_it_costs(part in part(), mill in mill()) {
        let demand = demand::of(&part, &materials());
        let answer = fitted(&demand, mill);
        for limit in answer.limits.iter().filter(|l| l.rules_out) {
            prop_assert!(limit.short_by > 0.0 && !limit.mend.is_empty(), "{limit:?}");
            prop_assert!(limit.costs.is_some_and(|t| t >= Time::ZERO && t.is_finite()), "{limit:?}");
        }
        prop_assert_eq!(answer.verdict == Verdict::DoesNotFit, answer.limits.iter().any(|l| l.rules_out));
    }

    #[test]
    fn a_finer_tolerance_never_loosens_the_accuracy_need(
        part in part(), wide in 0.002..0.5f64, share in 0.05..1.0f64, further in 0..3u32,
    ) {
        let m = machine(EnteredProperties::default());
        let left = |t: f64| {
            let mut own = part.clone();
            own.tolerance = Some(mm(t));
            let demand = demand::of(&own, &materials());
            budget(&demand, &materials(), &m, &Errors::default(), further).unwrap()
        };
        let (coarse, fine) = (left(wide), left(wide * share));
        prop_assert!(fine.positioning <= coarse.positioning && fine.at_best <= coarse.at_best, "{coarse:?} {fine:?}");
        // Nor does one more clamping.
        let mut own = part.clone();
        own.tolerance = Some(mm(wide));
        let demand = demand::of(&own, &materials());
        let again = budget(&demand, &materials(), &m, &Errors::default(), further + 1).unwrap();
        prop_assert!(again.positioning <= coarse.positioning && again.at_best <= coarse.at_best);
        // Half the tolerance is what there is to share.
        prop_assert!(coarse.positioning <= coarse.at_best && coarse.at_best.to_mm() <= 0.5 * wide);
    }

    #[test]
    fn a_stronger_or_faster_spindle_never_costs_time(
        part in part(), mill in mill(), gain in 1.0..5.0f64, which in 0..6usize,
    ) {
        let demand = demand::of(&part, &materials());
        let mut stronger = mill.clone();
        match which {
            0 => { let v = stronger.spindle_power.as_mut().unwrap(); v.likely = v.likely * gain; }
            1 => if let Some(v) = &mut stronger.spindle_torque { v.likely = v.likely * gain; },
            2 => { let v = stronger.spindle_rpm_max.as_mut().unwrap(); v.likely = v.likely * gain; }
            3 => if let Some(v) = &mut stronger.spindle_rpm_min { v.likely = v.likely * (1.0 / gain); },
            4 => if let Some(v) = &mut stronger.axis_thrust { v.likely = v.likely * gain; },
            _ => if let Some(v) = &mut stronger.feed_max { v.likely = v.likely * gain; },
        }
        // More torque than its power makes at its speed is no stronger spindle but a wrong number.
        if !agrees(&stronger) {
            return Ok(());
        }
        let (a, b) = (fitted(&demand, mill.clone()), fitted(&demand, stronger.clone()));
        // A spindle of one power that turns faster has less torque, if nobody says up to where it holds:
        // then, and only then, the answer may become that question.
        let curve = mill.spindle_torque.is_some() && mill.spindle_torque_rpm.is_some();
        let torque = [Field::spindle_torque, Field::spindle_torque_rpm].map(Asked::Property);
        let asked = b.verdict == Verdict::CannotSay && b.ask.iter().any(|q| torque.contains(&q.about));
        let open = which == 2 && !curve && asked;
        prop_assert!(open || b.verdict <= a.verdict, "{a:?} {b:?}");
        prop_assert!(b.clampings <= a.clampings, "{a:?} {b:?}");
        // A task the weaker mill refuses is timed by its volume at a guessed rate, which a real but
        // feeble cut on the stronger one may exceed: those two times do not compare.
        let (table, weaker) = (materials(), machine(mill.clone()));
        let all_cut = demand.tasks().all(|t| {
            let material = &table.0[&demand.material];
            // Where the buyer insists on a depth, the weaker mill must cut it so.
            match t.pass_depth {
                Some(_) => engine::cutting::best_cut(t, material, &weaker).is_ok(),
                None => engine::cutting::possible_cut(t, material, &weaker).is_some(),
            }
        });
        // A lower lowest speed brings back the cutter that was asked for where a smaller one stood in, which
        // with as little power may be the slower of the two.
        if !all_cut || which == 3 {
            return Ok(());
        }
        let years = (year(&demand, mill.clone()), year(&demand, stronger.clone()));
        prop_assert!(years.1.to_s() <= years.0.to_s() * (1.0 + 1e-12), "{years:?}");
        let (before, after) = (duration(&demand, mill), duration(&demand, stronger));
        // Sums of a few dozen terms round in the last digits.
        prop_assert!(after.to_s() <= before.to_s() * (1.0 + 1e-12), "{before:?} {after:?}");
    }

    #[test]
    fn forgetting_a_number_never_makes_a_yes(part in part(), mill in mill(), other in 0..Field::ALL.len()) {
        let demand = demand::of(&part, &materials());
        // Of numbers that contradict one another one is wrong; without it the others may be enough.
        if !agrees(&mill) {
            return Ok(());
        }
        let before = fitted(&demand, mill.clone());
        for &field in Field::ALL {
            let mut forgotten = mill.clone();
            forgotten.forget(field);
            let after = fitted(&demand, forgotten.clone());
            // What was taken for it is told with the value at which the yes is lost, and the number
            // that was forgotten lies beyond.
            let told = |fit: &Fit, of: &EnteredProperties, field: Field| {
                let own = base_of(of, field);
                let lost = |a: &Assumed| if a.at_least { own < a.flips_at } else { own > a.flips_at };
                fit.assumed.iter().any(|a| a.field == field && lost(a))
            };
            let kept = is_yes(before.verdict) || !is_yes(after.verdict) || told(&after, &mill, field);
            prop_assert!(kept, "{field:?}: {before:?} {after:?}");
            // Nor a better yes.
            let better = before.verdict == Verdict::FitsWithMoreClampings && after.verdict == Verdict::Fits;
            prop_assert!(!better, "{field:?}: {before:?} {after:?}");
            // Without the rotary axis other numbers may decide.
            if field == Field::rotary_axes {
                continue;
            }
            // What alone decided is what is asked.
            let open = after.verdict == Verdict::CannotSay;
            if open && before.verdict != Verdict::CannotSay {
                // The highest speed says only how little torque there may be, and that is asked for.
                let torque = [Field::spindle_torque, Field::spindle_torque_rpm];
                let same = |f: Field| f == field || field == Field::spindle_rpm_max && torque.contains(&f);
                let asked = after.ask.iter().any(|a| matches!(a.about, Asked::Property(f) if same(f)));
                prop_assert!(asked || told(&after, &mill, field), "{field:?} {after:?}");
            }
            let without = forgotten.clone();
            forgotten.forget(Field::ALL[other]);
            let later = fitted(&demand, forgotten);
            let twice = Field::ALL[other];
            let kept = is_yes(after.verdict) || !is_yes(later.verdict) || told(&later, &without, twice);
            prop_assert!(kept, "{field:?} {twice:?}: {after:?} {later:?}");
        }
    }

    #[test]
    fn the_verdict_flips_where_the_question_says(part in part(), mill in mill(), which in 0..8usize) {
        let fields = [
            Field::travel_x, Field::travel_y, Field::nose_to_table_min, Field::nose_to_table_max,
            Field::table_load, Field::positioning_accuracy, Field::travel_x, Field::travel_y,
        ];
        let demand = demand::of(&part, &materials());
        let mut open = mill;
        open.forget(fields[which]);
        // Without it the other end of the nose would follow.
        open.forget(Field::travel_z);
        // A rotary axis may do with less than what is asked for.
        open.forget(Field::rotary_axes);
        let answer = fitted(&demand, open.clone());
        if let (Verdict::CannotSay, [ask]) = (answer.verdict, answer.ask.as_slice()) {
            let Asked::Property(field) = ask.about else {
                return Err(TestCaseError::fail(format!("the taper is stated, yet {ask:?}")));
            };
            // A torque is asked for together with its speed.
            if !fields.contains(&field) {
                return Ok(());
            }
            let toward = if ask.at_least { 1.0 } else { -1.0 };
            // Past the rounding slack of a length, times the clampings it may be shared by.
            let hair = 1.0e-3 * toward;
            for (at, yes) in [(ask.flips_at + hair, true), (ask.flips_at - hair, false)] {
                let mut told = open.clone();
                told.for_each(&mut Tell { field, base: at });
                let verdict = fitted(&demand, told).verdict;
                prop_assert_eq!(is_yes(verdict), yes, "{:?} at {}", ask, at);
            }
        }
    }

    #[test]
    fn every_limit_that_costs_time_says_how_much(part in part(), mill in mill(), wide in 10.0..60.0f64, long in 80.0..250.0f64) {
        let demand = demand::of(&part, &materials());
        let mut own = mill;
        own.tool_diameter_max = stated(mm(wide));
        own.tool_length_max = stated(mm(long));
        let m = machine(own);
        let f = fit(&demand, &m, &materials(), &Practice::default());
        let mends = Practice::default().mends;
        let mut by_hand = Time::ZERO;
        for limit in &f.limits {
            let taken = limit.costs.is_some_and(|t| t >= Time::ZERO && t.is_finite());
            // A cutter the taper's holders do not carry may have no smaller one that does it.
            prop_assert!(taken || limit.capability == Capability::Taper, "{limit:?}");
            let past = matches!(limit.capability, Capability::Pockets | Capability::ToolDiameter | Capability::ToolLength | Capability::ToolWeight);
            if past {
                by_hand += limit.costs.unwrap_or_default();
            }
        }
        // A tool by hand goes in at least once a piece, and no reason is counted twice.
        let uses: usize = engine::fit::changes(&demand).iter().map(Vec::len).sum();
        prop_assert!(by_hand.to_s() <= mends.hand_change.to_s() * uses as f64 + 1e-9, "{f:?}");
        prop_assert_eq!(f.hand_changes > 0, by_hand > Time::ZERO);
    }

    #[test]
    fn forgetting_the_taper_never_makes_a_yes(part in part(), mill in mill(), taper in 0..5usize) {
        let demand = demand::of(&part, &materials());
        let mut m = machine(mill);
        m.taper = Some(["R8", "BT30", "CAT40", "HSK-A63", "ER20"][taper].parse().unwrap());
        let before = fit(&demand, &m, &materials(), &Practice::default());
        m.taper = None;
        let after = fit(&demand, &m, &materials(), &Practice::default());
        prop_assert!(is_yes(before.verdict) || !is_yes(after.verdict), "{before:?} {after:?}");
        // What cannot be said is always something to ask.
        prop_assert!(after.verdict != Verdict::CannotSay || !after.ask.is_empty(), "{after:?}");
    }

    #[test]
    fn a_longer_tool_never_shortens_the_stack(part in part(), mill in mill(), by in 0.0..100.0f64, gauge in 20.0..150.0f64) {
        let demand = demand::of(&part, &materials());
        let m = machine(mill);
        for setup in &demand.setups {
            let short = stack_up(setup, &m, &Practice::default(), mm(gauge));
            let long = stack_up(setup, &m, &Practice::default(), mm(gauge + by));
            prop_assert!(long.nose_high_need >= short.nose_high_need - mm(1e-9));
            prop_assert!(long.riser <= short.riser);
            let mut deeper = setup.clone();
            for task in &mut deeper.tasks {
                task.tool.reach += mm(by);
            }
            let reaching = stack_up(&deeper, &m, &Practice::default(), mm(gauge));
            prop_assert!(reaching.longest_tool >= short.longest_tool);
            prop_assert!(reaching.nose_high_need >= short.nose_high_need - mm(1e-9));
        }
    }

    #[test]
    fn a_smaller_part_never_fits_less(part in part(), mill in mill(), share in [0.2..1.0f64, 0.2..1.0f64, 0.2..1.0f64]) {
        // A bare block: features would not shrink with it. A slender part takes a slender cutter that
        // bends, so without tolerance.
        let mut large = part;
        large.features.clear();
        large.tolerance = None;
        let size = large.size();
        let mut small = large.clone();
        small.shape = engine::demand::Shape::Block([0, 1, 2].map(|i| size[i] * share[i]));
        let of = |p: &PlainPart| fitted(&demand::of(p, &materials()), mill.clone());
        let (a, b) = (of(&large), of(&small));
        prop_assert!(b.verdict <= a.verdict, "{:?} then {:?}", a, b);
    }
}
