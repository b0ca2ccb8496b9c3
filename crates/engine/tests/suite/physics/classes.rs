//! The picture of a class, and what dropping a part makes possible.

use super::build::*;
use engine::demand::{self, Holding, Side};
use engine::fit::{Capability, Practice, Verdict, fit};
use engine::ids::PartId;
use engine::machine::{ClassProperties, EnteredProperties, MachineClass};
use engine::specification::{class_picture, specify};
use units::{Draw, Length, Mass, Power, Rpm, Value};

fn part(id: &str, size: [f64; 3]) -> engine::demand::Demand {
    let mut part = block(size.map(inch));
    part.id = PartId::new(id);
    part.holding = Some(Holding::Plate);
    part.features = vec![feature(Side::Top, 2, holes(6.0, 10.0, None, None))];
    demand::of(&part, &materials())
}

fn class(x: f64, y: f64) -> MachineClass {
    fn band(length: Length) -> Option<Value<Length>> {
        Some(Value::assumed(
            "c",
            length * 0.8,
            length,
            length * 1.2,
            "test",
        ))
    }
    MachineClass {
        properties: ClassProperties {
            travel_x: band(inch(x)),
            travel_y: band(inch(y)),
            travel_z: band(inch(16.0)),
            nose_to_table_min: band(inch(2.0)),
            nose_to_table_max: band(inch(18.0)),
            table_load: Some(Value::assumed(
                "l",
                Mass::kg(50.0),
                Mass::kg(200.0),
                Mass::kg(300.0),
                "test",
            )),
            spindle_power: Some(Value::assumed(
                "p",
                Power::kw(2.0),
                Power::kw(4.0),
                Power::kw(6.0),
                "test",
            )),
            spindle_rpm_max: Some(Value::assumed(
                "n",
                Rpm::rpm(6000.0),
                Rpm::rpm(8000.0),
                Rpm::rpm(10_000.0),
                "test",
            )),
            ..ClassProperties::default()
        },
        taper: Some("BT30".parse().expect("a taper")),
        ..no_class()
    }
}

#[test]
fn a_class_meets_a_share_of_the_work_and_one_part_may_keep_it_from_being_enough() {
    let demands = [
        part("small", [5.0, 4.0, 1.0]),
        part("long", [20.0, 4.0, 1.0]),
        part("plate", [28.0, 18.0, 1.0]),
    ];
    let picture = |x: f64, y: f64| {
        let class = class(x, y);
        let machine = engine::resolve::class_machine(&class, Draw::Likely);
        class_picture(
            &class,
            &machine,
            &demands,
            &materials(),
            &Practice::default(),
        )
    };
    let light = picture(12.0, 8.0);
    assert_eq!((light.parts_met, light.parts, light.enough), (2, 3, false));
    assert_eq!(light.drop_one, Some(PartId::new("plate")));
    assert_eq!(light.re_clamped, [PartId::new("long")]);
    assert!((light.share_of_pieces - 2.0 / 3.0).abs() < 1e-12);
    // Both sides of the strip are clamped; only the holes' side twice.
    assert_eq!(light.further_clampings, 1);
    let large = picture(40.0, 25.0);
    assert!(large.enough && large.drop_one.is_none() && large.further_clampings == 0);
    assert_eq!(large.share_of_pieces, 1.0);
    assert!(large.hours_per_year > 0.0 && large.attended_h <= large.hours_per_year);
}

#[test]
fn a_line_says_what_is_asked_without_its_driver() {
    let all = [
        part("plate", [14.0, 12.0, 1.0]),
        part("bar", [9.0, 3.0, 1.0]),
    ];
    let with = specify(&all, &materials(), &practice());
    let without = specify(&all[1..], &materials(), &practice());
    for capability in [
        Capability::TravelX,
        Capability::TravelY,
        Capability::TableLoad,
    ] {
        let of = |lines: &[engine::specification::Requirement]| {
            lines
                .iter()
                .find(|l| l.capability == capability)
                .expect("a line")
                .clone()
        };
        let (line, left) = (of(&with), of(&without));
        assert_eq!(line.driver, PartId::new("plate"));
        assert_eq!(line.need_without_driver, Some(left.need), "{capability:?}");
        assert_eq!(
            line.comfort_without_driver,
            Some(left.comfort),
            "{capability:?}"
        );
        assert!(left.comfort < line.comfort);
        assert_eq!(left.need_without_driver, None);
    }
}

/// Below the need some part cannot be made; at it every part can, with comfort everything else.
#[test]
fn the_need_is_where_the_verdict_turns() {
    let demands = [
        part("plate", [14.0, 12.0, 1.0]),
        part("block", [9.0, 3.0, 5.0]),
    ];
    let lines = specify(
        &demands,
        &materials(),
        &Practice {
            gauge_length: Some(mm(60.0)),
            ..Practice::default()
        },
    );
    let need = |capability| {
        lines
            .iter()
            .find(|l| l.capability == capability)
            .expect("a line")
    };
    let worst = |change: &dyn Fn(&mut EnteredProperties)| {
        let mut properties = EnteredProperties {
            travel_x: stated(mm(need(Capability::TravelX).comfort)),
            travel_y: stated(mm(need(Capability::TravelY).comfort)),
            nose_to_table_min: stated(mm(10.0)),
            nose_to_table_max: stated(mm(need(Capability::NoseHigh).comfort)),
            table_load: stated(Mass::kg(need(Capability::TableLoad).comfort)),
            spindle_power: stated(Power::kw(2.0)),
            spindle_rpm_max: stated(Rpm::rpm(8000.0)),
            ..EnteredProperties::default()
        };
        change(&mut properties);
        let m = machine(properties);
        let practice = Practice {
            gauge_length: Some(mm(60.0)),
            ..Practice::default()
        };
        demands
            .iter()
            .map(|d| fit(d, &m, &materials(), &practice).verdict)
            .max()
            .expect("parts")
    };
    assert_eq!(worst(&|_| {}), Verdict::Fits);
    let hair = 1.0e-3;
    for (below, expected) in [(false, true), (true, false)] {
        let off = if below { -hair } else { hair };
        let yes = |v: Verdict| v <= Verdict::FitsWithMoreClampings;
        // X is the longer axis of any mill, so Y is taken as short as it may be too.
        let x = need(Capability::TravelX).need + off;
        let shortest = need(Capability::TravelY).need + hair;
        let both = |p: &mut EnteredProperties| {
            p.travel_x = stated(mm(x));
            p.travel_y = stated(mm(shortest));
        };
        assert_eq!(yes(worst(&both)), expected);
        let y = need(Capability::TravelY).need + off;
        assert_eq!(yes(worst(&|p| p.travel_y = stated(mm(y)))), expected);
        let high = need(Capability::NoseHigh).need + off;
        assert_eq!(
            yes(worst(&|p| p.nose_to_table_max = stated(mm(high)))),
            expected
        );
    }
}
