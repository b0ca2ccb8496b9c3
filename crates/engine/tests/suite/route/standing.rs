//! The best place and the room round it.

use super::plan;
use engine::entered::Plan;
use engine::site::stand::{Footprint, Stands, stand, working_space};
use units::{Length, Voltage, Watch};

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
