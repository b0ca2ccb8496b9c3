//! Heights, unknowns, leaves and ramps on a plan.

use super::{asked, load, plan};
use engine::entered::{CarrierKind, Swing};
use engine::site::route::ComesIn;
use units::Length;

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
