use super::scene::{Fill, Item};
use super::tests::check_well_formed;
use super::*;
use crate::entered::{Block, Carrier, Clearances, Door, Plan, Spot, Swing, Truck, Wall};
use crate::site::SiteVerdict;
use crate::site::route::{ComesIn, ComesOff, Effort, Fineness, Load, WayIn, way_in};
use crate::site::stand::{Footprint, Place, Several, several, stand};
use glam::DVec2;
use units::{Length, Watch};

/// A garage behind a swing door, in millimetres.
fn plan() -> Plan {
    let line = |points: &[[f64; 2]]| Wall {
        line: points.iter().map(|p| DVec2::from(*p)).collect(),
        thickness: Length::mm(120.0),
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
                [6000.0, 0.0],
                [6000.0, 7000.0],
                [0.0, 7000.0],
                [0.0, 0.0],
            ]),
            line(&[[0.0, 3500.0], [6000.0, 3500.0]]),
        ],
        doors: vec![
            Door {
                name: "gate".to_owned(),
                from: DVec2::new(1000.0, 0.0),
                to: DVec2::new(3500.0, 0.0),
                width: None,
                height: Some(Length::mm(2200.0)),
                swing: None,
            },
            Door {
                name: "inner door".to_owned(),
                from: DVec2::new(4000.0, 3500.0),
                to: DVec2::new(5500.0, 3500.0),
                width: None,
                height: None,
                swing: Some(Swing {
                    hangs_at_from: false,
                    to_left: true,
                    opens_rad: 1.6,
                }),
            },
        ],
        blocks: vec![Block {
            name: "tool <chest>".to_owned(),
            outline: outline([200.0, 5500.0], [900.0, 6500.0]),
            movable: true,
        }],
        ceiling: Some(Length::mm(2500.0)),
        spots: vec![Spot {
            name: "spot".to_owned(),
            outline: outline([1000.0, 4200.0], [4000.0, 6900.0]),
        }],
        truck: Some(Truck {
            at: DVec2::new(2200.0, -1800.0),
            heading_rad: None,
        }),
        ground: Some(outline([-200.0, -3600.0], [6200.0, 7200.0])),
        clearances: Clearances::default(),
        ..Plan::default()
    }
}

fn load(width: f64) -> Load {
    Load {
        length: Length::mm(1900.0),
        width: Length::mm(width),
        height: None,
        weight: None,
        carrier: Carrier::default(),
        clearance: Length::mm(10.0),
    }
}

fn cases() -> Vec<(&'static str, Load, WayIn, Place)> {
    let effort = Effort {
        fineness: Fineness { cell_mm: 20.0 },
        largest: true,
        helps: true,
        within: 0.05,
    };
    [("goes", 1000.0), ("sticks", 1600.0)]
        .into_iter()
        .map(|(name, width)| {
            let load = load(width);
            let way = way_in(&plan(), &load, &ComesOff::default(), &effort, Watch::NOBODY).unwrap();
            let footprint = Footprint {
                length: load.length,
                width: load.width,
                height: None,
                to_ground: None,
                clearances: Clearances::default(),
            };
            (
                name,
                load,
                way,
                stand(&plan(), &footprint, Watch::NOBODY).unwrap(),
            )
        })
        .collect()
}

fn scene(case: &(&str, Load, WayIn, Place), us_units: bool) -> Scene {
    let (name, load, way, place) = case;
    floor_plan(&FloorPlanDrawing {
        id: name,
        title: "Small <mill> & plan",
        plan: &plan(),
        load: Some((load, way)),
        standing: Some(place),
        us_units,
    })
}

/// Every text on the sheet, none on another.
fn readable(scene: &Scene) {
    let boxes = scene.text_boxes();
    for (i, (text, own)) in boxes.iter().enumerate() {
        assert!(
            own.max[0] <= scene.width_mm + 0.1
                && own.max[1] <= scene.height_mm
                && own.min[0] >= -0.1,
            "{text}"
        );
        for (other, beside) in &boxes[i + 1..] {
            assert!(
                !own.overlaps(beside),
                "{}: {text:?} over {other:?}",
                scene.id
            );
        }
    }
}

#[test]
fn plans_are_well_formed_and_no_name_hides_another() {
    let all = cases();
    assert_eq!(all[0].2.comes_in, ComesIn::Yes);
    assert_eq!(all[1].2.comes_in, ComesIn::No);
    for case in &all {
        for us in [false, true] {
            let scene = scene(case, us);
            for theme in [Theme::Auto, Theme::Light, Theme::Dark] {
                check_well_formed(&svg(&scene, theme));
            }
            readable(&scene);
        }
    }
    let sticks = svg(&scene(&all[1], false), Theme::Light);
    assert!(sticks.contains("too wide") && sticks.contains("fill:url(#d-sticks-missing)"));
    assert!(svg(&scene(&all[0], true), Theme::Light).contains(" in each side"));
}

const NAMES: [&str; 2] = [
    "Small <mill>",
    "Knee mill & changer, used, with a long name",
];

/// Two machines at once, the first with its way.
fn at_once(us_units: bool, verdict: SiteVerdict) -> Scene {
    let mut plan = plan();
    plan.clearances.front = Some(Length::mm(700.0));
    let footprint = |length: f64, width: f64| Footprint {
        length: Length::mm(length),
        width: Length::mm(width),
        height: None,
        to_ground: None,
        clearances: plan.clearances,
    };
    let two = [footprint(900.0, 800.0), footprint(800.0, 700.0)];
    let (Several::Stand(places) | Several::Tight(places)) =
        several(&plan, &two, Watch::NOBODY).unwrap()
    else {
        panic!("they find places");
    };
    let cases = cases();
    let machines: Vec<TogetherOnPlan<'_>> = (NAMES.iter().zip(&places).enumerate())
        .map(|(n, (name, place))| TogetherOnPlan {
            name,
            place,
            way: (n == 0).then_some(&cases[0].2),
        })
        .collect();
    floor_together(&FloorTogetherDrawing {
        id: "together",
        plan: &plan,
        machines: &machines,
        verdict,
        us_units,
    })
}

#[test]
fn machines_at_once_are_named_and_no_name_hides_another() {
    for (us, verdict) in [(false, SiteVerdict::Yes), (true, SiteVerdict::CannotSay)] {
        let scene = at_once(us, verdict);
        readable(&scene);
        let drawn = svg(&scene, Theme::Light);
        check_well_formed(&drawn);
        let texts: Vec<String> = scene
            .text_boxes()
            .into_iter()
            .map(|(text, _)| text)
            .collect();
        let all = texts.join("\n");
        for (n, name) in NAMES.iter().enumerate() {
            assert!(scene.title.contains(name) && scene.description.contains(name));
            let first = name.split(' ').next().unwrap();
            assert!(all.contains(&format!("{}. {first}", n + 1)), "{all}");
        }
        assert_eq!(texts.iter().filter(|t| t.starts_with("front")).count(), 2);
        let bodies = scene.items.iter().filter(|item| {
            matches!(
                item,
                Item::Polyline {
                    fill: Fill::Part,
                    closed: true,
                    ..
                }
            )
        });
        assert_eq!(bodies.count(), 2);
        let arrows = scene
            .items
            .iter()
            .filter(|item| matches!(item, Item::Arrow { .. }));
        assert!(arrows.count() > 0);
        assert_eq!(
            all.contains("asked first"),
            verdict == SiteVerdict::CannotSay
        );
        let other = if us {
            ["0 mm", "5 m"]
        } else {
            [" in\n", " ft"]
        };
        assert!(!other.iter().any(|unit| all.contains(unit)), "{all}");
    }
}

/// Writes the cases as files for the eye when a folder is named.
#[test]
fn plans_for_the_eye() {
    let Some(folder) = std::env::var_os("DRAWING_CASES") else {
        return;
    };
    let file = std::path::Path::new(&folder).join("plan-together.svg");
    std::fs::write(file, svg(&at_once(true, SiteVerdict::Yes), Theme::Light)).unwrap();
    for case in cases() {
        for (us, theme) in [(false, Theme::Light), (true, Theme::Dark)] {
            let file = std::path::Path::new(&folder).join(format!("plan-{}-{us}.svg", case.0));
            std::fs::write(file, svg(&scene(&case, us), theme)).unwrap();
        }
    }
}
