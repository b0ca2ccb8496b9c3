//! What the parts together ask for, and which of them drives it.

use super::build::*;
use engine::demand::{self, FeatureKind, PlainPart, Side};
use engine::fit::Capability;
use engine::ids::PartId;
use engine::specification::{Requirement, specify};

fn part(id: &str, size: [f64; 3], want: bool) -> PlainPart {
    let mut part = block(size.map(inch));
    part.id = PartId::new(id);
    part.want = want;
    part.features = vec![feature(Side::Top, 2, holes(6.0, 10.0, None, None))];
    part
}

fn lines(parts: &[PlainPart]) -> Vec<Requirement> {
    let demands: Vec<_> = parts.iter().map(|p| demand::of(p, &materials())).collect();
    specify(&demands, &materials(), &practice())
}

fn line(lines: &[Requirement], capability: Capability) -> Option<&Requirement> {
    lines.iter().find(|l| l.capability == capability)
}

#[test]
fn each_line_names_the_part_that_drives_it() {
    let all = lines(&[
        part("plate", [14.0, 12.0, 1.0], false),
        part("tower", [3.0, 3.0, 6.0], false),
    ]);
    let y = line(&all, Capability::TravelY).expect("travel of Y");
    assert_eq!((y.driver.0.as_str(), y.want), ("plate", false));
    // Comfort: 12 in less the drill; need: half of that and of the overlap.
    let comfort = 12.0 * 25.4 - 6.0;
    assert!((y.comfort - comfort).abs() < 1e-9 && (y.need - (comfort + 10.0) / 2.0).abs() < 1e-9);
    let high = line(&all, Capability::NoseHigh).expect("nose");
    assert_eq!(high.driver.0, "tower");
    assert!((high.need - 15.5 * 25.4).abs() < 1e-9);
    assert_eq!(high.comfort_driver.0, "tower");
    let low = line(&all, Capability::NoseLow).expect("nose");
    assert!(low.at_most);
    assert_eq!(low.driver.0, "plate");
}

#[test]
fn sides_and_deep_holes_ask_for_rotary_axes_and_coolant() {
    let mut cube = part("cube", [3.0, 3.0, 3.0], false);
    let flat = lines(std::slice::from_ref(&cube));
    assert!(
        line(&flat, Capability::RotaryAxes).is_none() && line(&flat, Capability::Coolant).is_none()
    );
    // Four sides about one axis; the bottom as fifth needs a second.
    for side in [Side::Front, Side::Back, Side::Bottom] {
        cube.features
            .push(feature(side, 1, holes(6.0, 19.0, None, None)));
    }
    let round = lines(std::slice::from_ref(&cube));
    let axes = line(&round, Capability::RotaryAxes).expect("rotary axes");
    assert_eq!((axes.need, axes.comfort, axes.want), (0.0, 1.0, true));
    // 19 mm is more than three diameters of 6 mm.
    let coolant = line(&round, Capability::Coolant).expect("coolant");
    assert_eq!((coolant.need, coolant.comfort), (0.0, 1.0));
    cube.features
        .push(feature(Side::Left, 1, holes(6.0, 10.0, None, None)));
    let tilted = lines(std::slice::from_ref(&cube));
    let axes = line(&tilted, Capability::RotaryAxes).expect("rotary axes");
    assert_eq!(axes.comfort, 2.0);
}

#[test]
fn a_wish_raises_comfort_but_no_need() {
    let base = [part("small", [6.0, 4.0, 1.0], false)];
    let with = [base[0].clone(), part("wish", [20.0, 10.0, 1.0], true)];
    let (before, after) = (lines(&base), lines(&with));
    let (a, b) = (
        line(&before, Capability::TravelX).expect("x"),
        line(&after, Capability::TravelX).expect("x"),
    );
    assert_eq!((a.need, a.want), (b.need, b.want));
    assert!(b.comfort > a.comfort);
    assert_eq!(b.comfort_driver.0, "wish");
    let alone = lines(&with[1..]);
    assert!(line(&alone, Capability::TravelX).expect("x").want);
}

/// Common practice, no source.
#[test]
fn no_changer_is_asked_for_one_tool_and_past_four_or_five_it_is_a_want_with_its_hours() {
    let one = lines(&[part("plain", [6.0, 4.0, 1.0], false)]);
    assert_eq!(line(&one, Capability::Pockets), None);
    let mut many = part("many", [6.0, 4.0, 1.0], false);
    many.features = vec![
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
    let all = lines(&[many]);
    let pockets = line(&all, Capability::Pockets).expect("a changer");
    assert!(pockets.want);
    assert_eq!((pockets.need, pockets.comfort), (0.0, 6.0));
    // Six changes a piece, forty pieces, 45 s each: three hours.
    assert!((pockets.hours_per_year.expect("hours").to_h() - 3.0).abs() < 1e-9);
}

#[test]
fn an_open_choice_of_holders_spans_need_and_comfort() {
    let demand = demand::of(&part("tower", [3.0, 3.0, 6.0], false), &materials());
    let open = engine::fit::Practice {
        gauge_length: None,
        ..practice()
    };
    let all = specify(&[demand], &materials(), &open);
    let high = line(&all, Capability::NoseHigh).expect("nose");
    // Holders from 30 to 100 mm.
    assert!((high.comfort - high.need - 70.0).abs() < 1e-9);
    let low = line(&all, Capability::NoseLow).expect("nose");
    assert!(low.want && low.comfort < low.need);
    let z = line(&all, Capability::TravelZ).expect("travel of Z");
    assert!((z.comfort - z.need).abs() < 1e-9);
}
