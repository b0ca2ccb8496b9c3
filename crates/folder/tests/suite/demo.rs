//! The demo reads, from the program and from a disk, and says what it should.

use engine::entered::Shape;
use engine::machine::{Condition, Field};
use units::{Length, Watch};

#[test]
fn the_demo_reads_without_problems() {
    let study = folder::demo(Watch::NOBODY).unwrap_or_else(|problems| panic!("{problems}"));
    assert_eq!(study.problems.0, vec![], "{}", study.problems);
    assert!((6..=8).contains(&study.parts.len()));
    assert!((7..=9).contains(&study.offers.len()));
}

#[test]
fn the_demo_has_the_gaps_sellers_leave() {
    let study = folder::demo(Watch::NOBODY).expect("reads");
    for field in [
        Field::nose_to_table_min,
        Field::weight,
        Field::spindle_torque,
        Field::throat,
    ] {
        let stated = study
            .offers
            .iter()
            .filter(|o| o.properties.has(field))
            .count();
        assert!(
            (1..study.offers.len()).contains(&stated),
            "{field:?}: {stated}"
        );
    }
    let used = study
        .offers
        .iter()
        .filter(|o| o.condition == Condition::Used)
        .count();
    assert!(used >= 3 && used < study.offers.len());
    let budget = study.shop.budget.likely;
    let prices = study
        .offers
        .iter()
        .filter_map(|o| o.properties.price.as_ref());
    assert!(prices.clone().any(|p| p.likely > budget) && prices.clone().any(|p| p.likely < budget));
}

/// The bracket is 5 x 3.5 x 0.75 in, less a saddle of 1.25 in radius, four holes of 0.266 in and a
/// bore of 1 in; its circles are polygons of 48 sides (the saddle half of one of 96).
#[test]
fn the_model_of_the_demo_measures_what_was_drawn() {
    let study = folder::demo(Watch::NOBODY).expect("reads");
    let part = study
        .parts
        .iter()
        .find(|p| p.id.0 == "finder-bracket")
        .expect("there");
    let Shape::Model(facts) = &part.shape else {
        panic!("not a model")
    };
    assert!(facts.watertight);
    for (side, drawn) in facts.box_sides.iter().zip([5.0, 3.5, 0.75]) {
        // Six digits are written in the file.
        assert!(
            (side.to_mm() - Length::inch(drawn).to_mm()).abs() < 1e-3,
            "{side:?}"
        );
    }
    let polygon = |n: f64, r: f64| 0.5 * n * r * r * (std::f64::consts::TAU / n).sin();
    let flat = 17.5 - 0.5 * polygon(96.0, 1.25) - 4.0 * polygon(48.0, 0.133) - polygon(48.0, 0.5);
    let volume = flat * 0.75;
    assert!(
        (facts.volume.to_inch3() - volume).abs() < 1e-4 * volume,
        "{}",
        facts.volume.to_inch3()
    );
}
