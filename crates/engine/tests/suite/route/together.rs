//! Places for several machines on a plan, and ways in past those already standing.

use super::{corridor, hall};
use crate::works::study::{machine, room, usd};
use engine::entered::{Block, Clearances, Plan};
use engine::ids::OfferId;
use engine::machine::{Known, Machine};
use engine::site::stand::{Footprint, Place, Several, several};
use engine::site::together::{Member, Places, places};
use engine::site::{SiteVerdict, check};
use glam::DVec2;
use units::{Length, System, Watch};

fn sized(name: &str, [length, width]: [f64; 2]) -> Machine {
    let mut m = machine();
    m.offer = OfferId::new(name);
    m.properties.length = Known::Yes(Length::mm(length));
    m.properties.width = Known::Yes(Length::mm(width));
    m.properties.height = Known::Yes(Length::mm(2000.0));
    m
}

fn placed(plan: &Plan, sizes: &[[f64; 2]]) -> Places {
    let machines: Vec<Machine> = sizes
        .iter()
        .enumerate()
        .map(|(n, size)| sized(&format!("m{n}"), *size))
        .collect();
    let alone: Vec<_> = machines.iter().map(|m| check(m, &room(), usd())).collect();
    let members: Vec<Member<'_>> = machines
        .iter()
        .zip(&alone)
        .map(|(machine, alone)| Member {
            machine,
            alone,
            comes_off: &[],
        })
        .collect();
    places(&members, plan, System::Metric, Watch::NOBODY).unwrap()
}

fn standing(plan: &Plan, sizes: &[[f64; 2]]) -> Several {
    let of = |size: &[f64; 2]| Footprint {
        length: Length::mm(size[0]),
        width: Length::mm(size[1]),
        height: None,
        to_ground: None,
        clearances: plan.clearances,
    };
    let machines: Vec<Footprint> = sizes.iter().map(of).collect();
    several(plan, &machines, Watch::NOBODY).unwrap()
}

/// The bounding box of corners at right angles to the axes.
fn bounds(corners: &[[f64; 2]]) -> [DVec2; 2] {
    let points = || corners.iter().map(|c| DVec2::from(*c));
    [
        points().reduce(DVec2::min).unwrap(),
        points().reduce(DVec2::max).unwrap(),
    ]
}

fn share(a: &[[f64; 2]], b: &[[f64; 2]]) -> bool {
    let ([a0, a1], [b0, b1]) = (bounds(a), bounds(b));
    (a1.min(b1) - a0.max(b0)).min_element() > 1e-3
}

fn clearances(mm: f64) -> Clearances {
    let each = Some(Length::mm(mm));
    Clearances {
        front: each,
        back: each,
        left: each,
        right: each,
        ..Clearances::default()
    }
}

fn kept_apart(places: &[Place]) {
    for (n, own) in places.iter().enumerate() {
        for (m, other) in places.iter().enumerate().filter(|(m, _)| *m != n) {
            assert!(!share(&own.footprint, &other.footprint), "{n} {m}");
            for space in &own.spaces {
                assert!(
                    !share(&space.outline, &other.footprint),
                    "{n} {m} {}",
                    space.name
                );
            }
        }
    }
}

#[test]
fn two_stand_where_each_has_its_room() {
    let plan = hall(9000.0, 6000.0);
    let Several::Stand(found) = standing(&plan, &[[2200.0, 1800.0], [1800.0, 1500.0]]) else {
        panic!("they stand");
    };
    kept_apart(&found);
    let answer = placed(&plan, &[[2200.0, 1800.0], [1800.0, 1500.0]]);
    assert_eq!(
        answer.matter.verdict,
        SiteVerdict::Yes,
        "{}",
        answer.matter.said
    );
    assert_eq!(answer.places.len(), 2);
    assert!(!share(
        &answer.places[0].place.footprint,
        &answer.places[1].place.footprint
    ));
    // Three find room in a larger hall.
    let sizes = [[2200.0, 1800.0], [1800.0, 1500.0], [1500.0, 1500.0]];
    let Several::Stand(three) = standing(&hall(14_000.0, 7000.0), &sizes) else {
        panic!("three stand");
    };
    kept_apart(&three);
}

#[test]
fn what_covers_more_than_the_spots_have_stands_nowhere() {
    // The spot is 3.4 by 2.4 m, 8.16 m2; two of 2.2 by 1.9 m cover 8.36 m2.
    let plan = hall(4000.0, 3000.0);
    let size = [2200.0, 1900.0];
    let answer = placed(&plan, &[size, size]);
    assert_eq!(
        answer.matter.verdict,
        SiteVerdict::No,
        "{}",
        answer.matter.said
    );
    assert!((answer.matter.need.unwrap() - 8.36).abs() < 1e-9);
    assert!((answer.matter.have.unwrap() - 8.16).abs() < 1e-9);
    // Each alone does.
    assert!(matches!(
        standing(&plan, &[size]),
        Several::Stand(_) | Several::Tight(_)
    ));
}

#[test]
fn less_room_than_is_usual_is_asked_about_and_stated_room_decides() {
    // In a row they want 600 mm at three sides, 4.8 m in all, turned 5 m; here are 4.4 m.
    let mut plan = hall(4400.0, 3400.0);
    let sizes = [[1500.0, 1200.0], [1500.0, 1200.0]];
    let open = placed(&plan, &sizes);
    assert_eq!(
        open.matter.verdict,
        SiteVerdict::CannotSay,
        "{}",
        open.matter.said
    );
    assert!(
        open.ask[0].question.contains("clearances"),
        "{:?}",
        open.ask
    );
    plan.clearances = clearances(200.0);
    let stated = placed(&plan, &sizes);
    // Chips and cabinet are asked about as for a machine alone.
    assert!(
        stated.matter.said.contains("find places"),
        "{}",
        stated.matter.said
    );
}

#[test]
fn no_place_is_found_where_they_only_fit_one_by_one() {
    // A column in the middle of a spot that has area enough.
    let mut plan = hall(4600.0, 3000.0);
    plan.blocks.push(Block {
        name: "column".to_owned(),
        outline: [
            [2000.0, 4200.0],
            [2600.0, 4200.0],
            [2600.0, 4800.0],
            [2000.0, 4800.0],
        ]
        .map(DVec2::from)
        .to_vec(),
        movable: false,
    });
    let size = [1900.0, 1500.0];
    let pair = standing(&plan, &[size, size]);
    assert!(
        matches!(pair, Several::NotFound | Several::Tight(_)),
        "{pair:?}"
    );
    let long = [2600.0, 1100.0];
    let answer = placed(&plan, &[long, long, long]);
    assert_eq!(answer.matter.verdict, SiteVerdict::CannotSay);
    assert!(!answer.ask.is_empty());
}

#[test]
fn a_larger_hall_never_takes_a_place_away() {
    let sizes = [[2000.0, 1500.0], [1500.0, 1400.0]];
    let mut stood = false;
    for length in [5000.0, 6500.0, 8000.0, 9500.0, 12_000.0] {
        let stands = matches!(standing(&hall(length, 5500.0), &sizes), Several::Stand(_));
        assert!(stands || !stood, "{length}");
        stood = stands;
    }
    assert!(stood);
}

#[test]
fn the_one_that_blocks_the_way_comes_last() {
    // A corridor 2.4 m wide that ends at the far spot; the other spot lies in the corridor itself.
    let plan = corridor();
    let sizes = [[1800.0, 1400.0], [1300.0, 1200.0]];
    let answer = placed(&plan, &sizes);
    assert_eq!(
        answer.matter.verdict,
        SiteVerdict::Yes,
        "{}",
        answer.matter.said
    );
    let order: Vec<&str> = answer
        .places
        .iter()
        .map(|p| p.place.spot.as_str())
        .collect();
    assert_eq!(order, ["far", "near"]);
}
