//! The way in and the place to stand.

mod carriers;
mod closed_forms;
mod helps;
mod laws;
mod on_plan;
mod seller;
mod standing;
mod together;

use engine::entered::{Carrier, Door, Overhead, Plan, Spot, Truck, Wall};
use engine::site::route::{ComesOff, Effort, Fineness, Load, Segment, WayIn, way_in};
use glam::DVec2;
use units::{Length, Watch};

const FINE: Fineness = Fineness { cell_mm: 10.0 };
const COARSE: Fineness = Fineness { cell_mm: 20.0 };

fn segments(line: &[[f64; 2]]) -> Vec<Segment> {
    line.windows(2)
        .map(|p| Segment {
            from: p[0].into(),
            to: p[1].into(),
            thing: 0,
        })
        .collect()
}

fn plan() -> Plan {
    let line = |points: &[[f64; 2]]| Wall {
        line: points.iter().map(|p| DVec2::from(*p)).collect(),
        thickness: Length::mm(100.0),
    };
    let outline = |a: [f64; 2], b: [f64; 2]| {
        vec![
            a.into(),
            DVec2::new(b[0], a[1]),
            b.into(),
            DVec2::new(a[0], b[1]),
        ]
    };
    Plan {
        walls: vec![
            line(&[
                [0.0, 0.0],
                [5000.0, 0.0],
                [5000.0, 6000.0],
                [0.0, 6000.0],
                [0.0, 0.0],
            ]),
            line(&[[0.0, 3000.0], [5000.0, 3000.0]]),
        ],
        doors: vec![Door {
            name: "door".to_owned(),
            from: DVec2::new(3000.0, 3000.0),
            to: DVec2::new(4200.0, 3000.0),
            width: None,
            height: Some(Length::mm(2100.0)),
            swing: None,
        }],
        overhead: vec![Overhead {
            name: "beam".to_owned(),
            outline: outline([0.0, 2300.0], [5000.0, 2500.0]),
            height: Length::mm(2300.0),
        }],
        spots: vec![Spot {
            name: "spot".to_owned(),
            outline: outline([300.0, 3300.0], [3500.0, 5800.0]),
        }],
        truck: Some(Truck {
            at: DVec2::new(1500.0, 1200.0),
            heading_rad: None,
        }),
        ..Plan::default()
    }
}

fn load(length: f64, width: f64, height: Option<f64>) -> Load {
    Load {
        length: Length::mm(length),
        width: Length::mm(width),
        height: height.map(Length::mm),
        weight: None,
        carrier: Carrier::default(),
        clearance: Length::ZERO,
    }
}

fn quick() -> Effort {
    Effort {
        fineness: COARSE,
        largest: false,
        helps: true,
        within: 0.02,
    }
}

fn asked(plan: &Plan, load: &Load) -> WayIn {
    way_in(plan, load, &ComesOff::default(), &quick(), Watch::NOBODY).expect("runs")
}

fn rectangle(a: [f64; 2], b: [f64; 2]) -> Vec<DVec2> {
    let corners = [a, [b[0], a[1]], b, [a[0], b[1]]];
    corners.map(DVec2::from).to_vec()
}

/// A hall with a wide door to the yard where the truck stands; all of it but 300 mm along the walls
/// may be stood on.
fn hall(length: f64, depth: f64) -> Plan {
    let wall = |points: &[[f64; 2]]| Wall {
        line: points.iter().map(|p| DVec2::from(*p)).collect(),
        thickness: Length::ZERO,
    };
    let back = 3000.0 + depth;
    Plan {
        walls: vec![
            wall(&[
                [0.0, 0.0],
                [length, 0.0],
                [length, back],
                [0.0, back],
                [0.0, 0.0],
            ]),
            wall(&[[0.0, 3000.0], [length, 3000.0]]),
        ],
        doors: vec![Door {
            name: "gate".to_owned(),
            from: DVec2::new(0.5 * length - 1400.0, 3000.0),
            to: DVec2::new(0.5 * length + 1400.0, 3000.0),
            width: None,
            height: Some(Length::mm(2500.0)),
            swing: None,
        }],
        ceiling: Some(Length::mm(3000.0)),
        spots: vec![Spot {
            name: "floor".to_owned(),
            outline: rectangle([300.0, 3300.0], [length - 300.0, back - 300.0]),
        }],
        truck: Some(Truck {
            at: DVec2::new(0.5 * length, 1500.0),
            heading_rad: None,
        }),
        ..Plan::default()
    }
}

/// A corridor with a place at its end and one in its middle.
fn corridor() -> Plan {
    let wall = |points: &[[f64; 2]]| Wall {
        line: points.iter().map(|p| DVec2::from(*p)).collect(),
        thickness: Length::ZERO,
    };
    let side = |mm: f64| Some(Length::mm(mm));
    Plan {
        walls: vec![wall(&[
            [0.0, 0.0],
            [14_000.0, 0.0],
            [14_000.0, 2400.0],
            [0.0, 2400.0],
            [0.0, 0.0],
        ])],
        ceiling: Some(Length::mm(3000.0)),
        spots: vec![
            Spot {
                name: "near".to_owned(),
                outline: rectangle([4000.0, 400.0], [6000.0, 2000.0]),
            },
            Spot {
                name: "far".to_owned(),
                outline: rectangle([10_500.0, 200.0], [13_500.0, 2200.0]),
            },
        ],
        truck: Some(Truck {
            at: DVec2::new(1500.0, 1200.0),
            heading_rad: None,
        }),
        clearances: engine::entered::Clearances {
            front: side(300.0),
            back: side(300.0),
            left: side(300.0),
            right: side(300.0),
            chip_side: Some(engine::entered::ChipSide::Front),
            chips: side(300.0),
            spindle: side(100.0),
            ..engine::entered::Clearances::default()
        },
        ..Plan::default()
    }
}
