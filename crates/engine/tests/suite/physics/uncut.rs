//! What no tool on a machine cuts rules a part out; what turns on an unstated number is asked.

use super::build::*;
use engine::demand::{self, FeatureKind, PlainPart, Side};
use engine::fit::{Asked, Capability, Fit, Limit, Practice, Verdict, fit};
use engine::ids::MaterialId;
use engine::machine::{EnteredProperties, Field, ForEachEntered};
use units::{Force, Mass, Number, Power, Quantity, Rpm, Torque, Value};

fn roomy() -> EnteredProperties {
    EnteredProperties {
        travel_x: stated(mm(600.0)),
        travel_y: stated(mm(400.0)),
        nose_to_table_min: stated(mm(50.0)),
        nose_to_table_max: stated(mm(900.0)),
        throat: stated(mm(500.0)),
        table_load: stated(Mass::kg(500.0)),
        spindle_power: stated(Power::kw(5.0)),
        spindle_rpm_max: stated(Rpm::rpm(8000.0)),
        ..Default::default()
    }
}

fn part(height: f64, kind: FeatureKind) -> PlainPart {
    let mut part = block([mm(120.0), mm(80.0), mm(height)]);
    part.material = MaterialId::new("steel");
    part.features = vec![feature(Side::Top, 3, kind)];
    part
}

fn on_taper(part: &PlainPart, properties: EnteredProperties, taper: &str) -> Fit {
    let mut m = machine(properties);
    m.taper = Some(taper.parse().expect("a taper"));
    fit(
        &demand::of(part, &materials()),
        &m,
        &materials(),
        &Practice::default(),
    )
}

fn on(part: &PlainPart, properties: EnteredProperties) -> Fit {
    on_taper(part, properties, "BT30")
}

fn no(fit: &Fit) -> &Limit {
    assert_eq!(fit.verdict, Verdict::DoesNotFit, "{fit:?}");
    fit.limits.iter().find(|l| l.rules_out).expect("a reason")
}

/// 12 mm wide and 60 deep: too deep to be milled instead.
fn deep() -> PlainPart {
    part(70.0, holes(12.0, 60.0, None, None))
}

#[test]
fn a_hole_the_spindle_cannot_drill_is_a_no_with_the_drill_press_as_its_mend() {
    assert_eq!(on(&deep(), roomy()).verdict, Verdict::Fits);
    let weak = on(
        &deep(),
        EnteredProperties {
            spindle_torque: stated(Torque::nm(0.5)),
            spindle_torque_rpm: stated(Rpm::rpm(8000.0)),
            ..roomy()
        },
    );
    let why = no(&weak);
    assert_eq!(why.capability, Capability::Torque);
    assert!(why.mend.contains("drill press"), "{}", why.mend);
    // Two minutes a hole.
    assert_eq!(why.costs.expect("costs").to_minutes(), 6.0);
    // An axis too weak to push it, and a motor spindle too fast for it.
    let pushed = on(
        &deep(),
        EnteredProperties {
            axis_thrust: stated(Force::n(60.0)),
            ..roomy()
        },
    );
    assert_eq!(no(&pushed).capability, Capability::Thrust);
    let fast = on(
        &deep(),
        EnteredProperties {
            spindle_rpm_min: stated(Rpm::rpm(8000.0)),
            spindle_rpm_max: stated(Rpm::rpm(24_000.0)),
            ..roomy()
        },
    );
    assert_eq!(no(&fast).capability, Capability::SlowestSpeed);
    // A shallow hole of that width is milled instead.
    let shallow = part(70.0, holes(12.0, 30.0, None, None));
    let milled = on(
        &shallow,
        EnteredProperties {
            axis_thrust: stated(Force::n(60.0)),
            ..roomy()
        },
    );
    assert_eq!(milled.verdict, Verdict::Fits);
}

#[test]
fn what_is_too_slender_for_any_tool_is_a_no_on_any_machine() {
    let hole = on(&part(260.0, holes(5.0, 250.0, None, None)), roomy());
    let why = no(&hole);
    assert_eq!(why.capability, Capability::Cutter);
    // 250 mm at 5 mm against 40 diameters.
    assert!((why.short_by - 10.0).abs() < 1e-9, "{why:?}");
    assert!(why.mend.contains("spark-eroded"), "{}", why.mend);
    // A corner of 0.2 mm, 60 mm deep.
    let corner = FeatureKind::Pocket {
        size: [mm(40.0), mm(40.0), mm(60.0)],
        corner_radius: mm(0.2),
    };
    let why = on(&part(70.0, corner), roomy());
    assert_eq!(no(&why).capability, Capability::Deflection);
    assert!(no(&why).mend.contains("wider corner"), "{}", no(&why).mend);
}

#[test]
fn a_thread_too_small_to_be_milled_is_tapped_or_done_by_hand() {
    let tiny = part(20.0, holes(1.6, 4.0, Some(0.35), None));
    let with = |rigid: Option<f64>| {
        on(
            &tiny,
            EnteredProperties {
                rigid_tapping_rpm: rigid.and_then(|r| stated(Rpm::rpm(r))),
                ..roomy()
            },
        )
    };
    assert_eq!(with(Some(2000.0)).verdict, Verdict::Fits);
    let none = with(Some(0.0));
    assert!(no(&none).mend.contains("by hand"), "{}", no(&none).mend);
    let open = with(None);
    assert_eq!(open.verdict, Verdict::CannotSay);
    assert_eq!(open.ask[0].about, Asked::Property(Field::rigid_tapping_rpm));
}

/// States one property.
struct Tell(Field, f64);

impl ForEachEntered for Tell {
    fn visit<Q: Quantity>(&mut self, field: Field, slot: &mut Option<Value<Q>>) {
        if field == self.0 {
            *slot = stated(Q::from_base(self.1));
        }
    }
}

#[test]
fn an_unstated_spindle_is_asked_for_at_the_value_where_the_verdict_turns() {
    let nothing = EnteredProperties {
        spindle_power: None,
        ..roomy()
    };
    // Of a power whose highest speed nobody states there may be any torque.
    let no_speed = EnteredProperties {
        spindle_power: stated(Power::kw(0.2)),
        spindle_rpm_max: None,
        ..roomy()
    };
    let small = EnteredProperties {
        spindle_power: stated(Power::kw(0.2)),
        ..roomy()
    };
    let collet = EnteredProperties {
        spindle_torque: stated(Torque::nm(10.0)),
        ..roomy()
    };
    let no_base = EnteredProperties {
        spindle_power: stated(Power::kw(0.2)),
        spindle_torque: stated(Torque::nm(10.0)),
        ..roomy()
    };
    for (properties, taper, asked) in [
        (nothing, "BT30", Field::spindle_power),
        (no_speed, "BT30", Field::spindle_torque),
        (small, "BT30", Field::spindle_torque),
        (no_base, "BT30", Field::spindle_torque_rpm),
        (collet, "ER20", Field::spindle_rpm_min),
    ] {
        let open = on_taper(&deep(), properties.clone(), taper);
        assert_eq!(open.verdict, Verdict::CannotSay, "{asked:?}: {open:?}");
        let ask = open
            .ask
            .iter()
            .find(|a| a.about == Asked::Property(asked))
            .unwrap_or_else(|| panic!("{asked:?} is not among {:?}", open.ask));
        assert_eq!(ask.at_least, asked != Field::spindle_rpm_min);
        // Told so much it is a yes, told less it is not.
        for (times, yes) in [(1.001, true), (0.999, false)] {
            let base = ask.flips_at * if ask.at_least { times } else { 1.0 / times };
            let mut told = properties.clone();
            told.for_each(&mut Tell(asked, base));
            if asked == Field::spindle_torque {
                // Up to the speed at which it is all the power.
                let knee = Power::kw(0.2).to_w() / Torque::from_base(base).to_nm();
                told.spindle_torque_rpm = stated(Rpm::rps(knee / std::f64::consts::TAU));
            }
            let verdict = on_taper(&deep(), told, taper).verdict;
            assert_eq!(
                verdict == Verdict::Fits,
                yes,
                "{asked:?} {base} {verdict:?}"
            );
        }
    }
}

#[test]
fn neither_class_nor_little_need_turns_an_unstated_spindle_into_a_yes() {
    let easy = part(20.0, holes(3.0, 5.0, None, None));
    let mut m = machine(EnteredProperties {
        spindle_power: None,
        changer_pockets: stated(Number::of(10.0)),
        ..roomy()
    });
    m.properties.spindle_power = engine::machine::Known::Default {
        value: Power::kw(4.0),
        low: Power::kw(2.0),
        high: Power::kw(8.0),
    };
    let open = fit(
        &demand::of(&easy, &materials()),
        &m,
        &materials(),
        &Practice::default(),
    );
    assert_eq!(open.verdict, Verdict::CannotSay);
    assert_eq!(open.ask[0].likely, Some(true));
}

#[test]
fn a_yes_says_which_worst_case_carries_it_and_where_it_is_lost() {
    // Nobody states thrust or lowest speed; 5 kW at 8000 rpm at the latest is 6 N m.
    let yes = on(&deep(), roomy());
    assert_eq!(yes.verdict, Verdict::Fits);
    for (field, taken) in [(Field::axis_thrust, 500.0), (Field::spindle_rpm_min, 500.0)] {
        let carries = yes.assumed.iter().find(|a| a.field == field);
        let carries = carries.unwrap_or_else(|| panic!("{field:?} in {:?}", yes.assumed));
        assert_eq!(carries.taken, taken);
        // Stated on the good side it is still a yes, no longer assumed; on the other it is none.
        for (times, expected) in [(1.001, true), (0.99, false)] {
            let toward = if carries.at_least { times } else { 1.0 / times };
            let mut told = roomy();
            told.for_each(&mut Tell(field, carries.flips_at * toward));
            let answer = on(&deep(), told);
            assert_eq!(answer.verdict == Verdict::Fits, expected, "{field:?}");
            assert!(answer.assumed.iter().all(|a| a.field != field));
        }
    }
    // Where torque is stated with its speed the spindle turns at that speed, and nothing is assumed of it;
    // a face alone asks for no thrust worth speaking of.
    let known = EnteredProperties {
        spindle_torque: stated(Torque::nm(30.0)),
        spindle_torque_rpm: stated(Rpm::rpm(450.0)),
        axis_thrust: stated(Force::kn(3.0)),
        ..roomy()
    };
    assert_eq!(on(&deep(), known).assumed, []);
}

#[test]
fn of_a_power_there_is_so_much_torque_as_physics_says_and_no_more() {
    // 0.6 kW are there at the highest speed at the latest: 0.72 N m at 8000 rpm, half of it at 16 000.
    let of = |rpm: f64| {
        on(
            &deep(),
            EnteredProperties {
                spindle_power: stated(Power::kw(0.6)),
                spindle_rpm_max: stated(Rpm::rpm(rpm)),
                ..roomy()
            },
        )
    };
    let (slow, fast) = (of(2000.0), of(30_000.0));
    assert_eq!(slow.verdict, Verdict::Fits);
    assert_eq!(fast.verdict, Verdict::CannotSay);
    assert_eq!(fast.ask[0].about, Asked::Property(Field::spindle_torque));
}

#[test]
fn numbers_that_contradict_one_another_are_asked_for_not_believed() {
    // 30 N m up to 3000 rpm are 9.4 kW, not the 0.3 kW stated; each alone would do or not.
    let of = |power: f64, rpm: f64| {
        on(
            &deep(),
            EnteredProperties {
                spindle_power: stated(Power::kw(power)),
                spindle_torque: stated(Torque::nm(30.0)),
                spindle_torque_rpm: stated(Rpm::rpm(rpm)),
                spindle_rpm_max: stated(Rpm::rpm(24_000.0)),
                ..roomy()
            },
        )
    };
    let wrong = of(0.3, 3000.0);
    assert_eq!(wrong.verdict, Verdict::CannotSay, "{wrong:?}");
    assert_eq!(wrong.ask[0].about, Asked::Property(Field::spindle_torque));
    assert_eq!(of(9.4, 3000.0).verdict, Verdict::Fits);
    assert_eq!(of(0.3, 95.0).verdict, Verdict::Fits);
}

/// A task that holds the machine longer than a working year is a no; a slow one is told by its hours.
#[test]
fn a_cut_is_endless_by_hours_not_by_proportion() {
    // 19 cm3 of steel at some 2.5 W s/mm3: seven hours at 2 W, some years at 0.2 mW.
    let mut face = part(
        20.0,
        FeatureKind::Face {
            cutter: None,
            pass_depth: None,
        },
    );
    face.allowance = mm(2.0);
    let of = |watts: f64| {
        on(
            &face,
            EnteredProperties {
                spindle_power: stated(Power::w(watts)),
                spindle_torque: stated(Torque::nm(watts / 100.0)),
                spindle_torque_rpm: stated(Rpm::rps(100.0 / std::f64::consts::TAU)),
                ..roomy()
            },
        )
    };
    assert_eq!(of(2.0).verdict, Verdict::Fits);
    assert_eq!(no(&of(0.0002)).capability, Capability::Power);
}
