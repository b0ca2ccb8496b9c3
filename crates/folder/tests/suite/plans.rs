//! Floor plans: what is read, what is told, and that nothing written there makes a panic.

use crate::shop_on_disk::Files;
use engine::entered::{CarrierKind, Plan, WayFloor};
use glam::DVec2;
use proptest::prelude::*;
use units::{Length, Mass};

const PLAN: &str = r#"
[plan]
unit = "ft"
measured_to = "1/2 in"
ceiling = "8 ft 6 in"
walls = [[[0, 0], [20, 0], [20, 24], [0, 24], [0, 0]], [["0 ft", "3.6 m"], ["14 ft", "3.6 m"]]]
wall_thickness = "4 in"

[plan.truck]
at = [10, -8]
heading = "90 deg"

[[plan.door]]
name = "garage door"
from = [6, 0]
to = [14, 0]
width = "7 ft 10 in"
height = "7 ft"
swing = "left"
hinge = "to"

[[plan.spot]]
from = [11, 23]
to = [1, 14]

[[plan.block]]
name = "bench"
outline = [[16, 14], [20, 14], [20, 17]]
movable = true

[[plan.overhead]]
name = "beam"
from = [0, 11.5]
to = [20, 12.5]
height = "7 ft 2 in"

[[plan.floor]]
from = [0, 0]
to = [4, 4]
kind = "trench cover"
allows = "3000 lb"

[plan.carrier]
kind = "pallet jack"

[[plan.dismantling]]
name = "enclosure off"
width = "50 in"
cost = "a day of a technician"
"#;

fn files() -> Files {
    let mut files = Files::sound();
    files.add("site.toml", PLAN);
    files
}

fn read(files: &Files) -> Plan {
    let study = files.read().unwrap_or_else(|problems| panic!("{problems}"));
    study.site.plan.expect("a plan")
}

#[test]
fn a_plan_is_read_as_drawn() {
    let plan = read(&files());
    let foot = 304.8;
    assert_eq!(plan.walls[0].line[2], DVec2::new(20.0 * foot, 24.0 * foot));
    assert!((plan.walls[1].line[1] - DVec2::new(14.0 * foot, 3600.0)).length() < 1e-9);
    assert_eq!(plan.walls[1].thickness, Length::inch(4.0));
    assert_eq!(plan.doors[0].height, Some(Length::foot(7.0)));
    let swing = plan.doors[0].swing.expect("a leaf");
    assert!(swing.to_left && !swing.hangs_at_from);
    let (low, _) = (plan.spots[0].outline[0], plan.spots[0].outline[2]);
    assert_eq!(low, DVec2::new(foot, 14.0 * foot));
    assert_eq!(plan.spots[0].name, "the spot");
    assert_eq!(plan.floors[0].kind, WayFloor::TrenchCover);
    assert_eq!(plan.floors[0].allows, Some(Mass::lb(3000.0)));
    assert_eq!(plan.carrier.kind, CarrierKind::PalletJack);
    let heading = plan.truck.expect("a truck").heading_rad.expect("a heading");
    assert!((heading - std::f64::consts::FRAC_PI_2).abs() < 1e-12);
    assert!(plan.blocks[0].movable);
    assert_eq!(plan.measured_to, Length::inch(0.5));
}

/// What comes off: of any machine, of a door, of one offer; its cost a sum or words.
#[test]
fn what_comes_off_is_read() {
    let mut files = files();
    files.add(
        "site.toml",
        "\n[[plan.dismantling]]\nname = \"frame out\"\ndoor = \"garage door\"\nwidth = \"9 ft\"\ncost = \"$300 to $700\"\nlead_days = 10\n",
    );
    files.add(
        "offers/mill.toml",
        "\n[[dismantling]]\nname = \"enclosure off\"\nheight = \"70 in\"\ncost = 400\n[removal]\ndock = false\nlifted = true\n",
    );
    let study = files.read().unwrap_or_else(|problems| panic!("{problems}"));
    let plan = study.site.plan.expect("a plan");
    let [words, frame] = &plan.dismantling[..] else {
        panic!("{:?}", plan.dismantling);
    };
    assert_eq!(
        (words.price, words.cost.as_str()),
        (None, "a day of a technician")
    );
    assert_eq!(frame.door.as_deref(), Some("garage door"));
    assert_eq!(
        frame.price.expect("a price").map(|p| p.to_amount()),
        [300.0, 500.0, 700.0]
    );
    assert_eq!(frame.lead_days, Some(10));
    let offer = study
        .offers
        .iter()
        .find(|o| o.id.0 == "mill")
        .expect("an offer");
    assert_eq!(offer.dismantling[0].height, Some(Length::inch(70.0)));
    assert_eq!(
        offer.dismantling[0].price.expect("a price")[1].to_amount(),
        400.0
    );
    assert_eq!(offer.removal.lifted, Some(true));
    // A door that is not drawn, a sum that cannot be read, a door below an offer.
    files.change(
        "site.toml",
        "door = \"garage door\"\nwidth",
        "door = \"barn door\"\nwidth",
    );
    files.change("site.toml", "a day of a technician", "$3o0");
    files.change(
        "offers/mill.toml",
        "height = \"70 in\"",
        "door = \"garage door\"",
    );
    let told = files.told();
    for words in [
        "no door of the plan is named 'barn door'",
        "cost",
        "frame of a door",
    ] {
        assert!(told.contains(words), "{words}: {told}");
    }
}

#[test]
fn what_is_wrong_is_told_all_at_once() {
    let mut files = files();
    files.change("site.toml", "unit = \"ft\"", "unit = \"parsec\"");
    files.change("site.toml", "to = [14, 0]", "to = [6, 0]");
    files.change(
        "site.toml",
        "kind = \"trench cover\"",
        "kind = \"trench covers\"",
    );
    files.change(
        "site.toml",
        "[[16, 14], [20, 14], [20, 17]]",
        "[[\"1 ft\", \"1 ft\"], [\"2 ft\", \"2 ft\"], [\"3 ft\", \"3 ft\"]]",
    );
    insta::assert_snapshot!(files.told());
}

#[test]
fn outlines_that_cannot_be_are_told() {
    let mut files = files();
    files.change(
        "site.toml",
        "[[16, 14], [20, 14], [20, 17]]",
        "[[0, 0], [4, 4], [4, 0], [0, 4]]",
    );
    files.change(
        "site.toml",
        "from = [11, 23]\nto = [1, 14]",
        "outline = [[0, 0], [4, 0], [1, 1], [0, 4]]",
    );
    insta::assert_snapshot!(files.told());
}

const DXF: &str = include_str!("../data/small-plan.dxf");

fn with_drawing(lines: &str) -> Files {
    let mut files = Files::sound();
    files.put("plan.dxf", DXF);
    files.add("site.toml", lines);
    files
}

#[test]
fn walls_come_from_a_drawing() {
    let files = with_drawing(
        "[plan]\n[plan.dxf]\nfile = \"plan.dxf\"\nwalls = [\"walls\"]\nthings = [\"COLUMNS\"]\n",
    );
    let plan = read(&files);
    // The drawing is in inches: a room of 240 x 180 with a column of 6 x 6 at (100, 90).
    assert_eq!(plan.walls.len(), 2);
    let (min, max) = plan.extent().expect("drawn");
    assert_eq!(min, DVec2::ZERO);
    assert!((max - DVec2::new(6096.0, 4572.0)).length() < 1e-9);
    assert_eq!(plan.blocks.len(), 1);
    assert_eq!(plan.blocks[0].outline.len(), 4);
}

#[test]
fn a_drawing_that_does_not_serve_is_told() {
    let mut files = with_drawing("[plan]\n[plan.dxf]\nfile = \"plan.dxf\"\nwalls = [\"MUR\"]\n");
    assert!(
        files.told().contains("layers with lines: COLUMNS, WALLS"),
        "{}",
        files.told()
    );
    files.put("plan.dxf", DXF.replace("$INSUNITS", "$OTHER"));
    assert!(files.told().contains("in which unit"), "{}", files.told());
    files.put("plan.dxf", &DXF[..200]);
    assert!(files.told().contains("plan.dxf, line"), "{}", files.told());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn no_change_of_a_plan_makes_it_panic(
        which in any::<prop::sample::Index>(),
        value in prop::sample::select(vec![
            "nan", "[]", "[[]]", "[[[0, 0], [0, 0]]]", "[1]", "[1, 2, 3]", "[[0, 0], [1, 0], [2, 0]]", "1e308", "[1e9, 0]",
            "[[0, 0], [1e-9, 0], [0, 1e-9]]", "\"\"", "\"-\"", "true", "{}", "[\"\u{1f527}\", 0]", "[[0, 0], [4, 4], [4, 0], [0, 4]]", "-1", "\"9e999 in\"",
        ]),
    ) {
        let lines: Vec<&str> = PLAN.lines().filter(|l| l.contains(" = ")).collect();
        let line = lines[which.index(lines.len())];
        let key = line.split(" = ").next().expect("a key");
        let mut files = files();
        files.change("site.toml", line, &format!("{key} = {value}"));
        match files.read() {
            Err(problems) => prop_assert!(problems.stop()),
            Ok(study) => {
                let plan = study.site.plan.expect("a plan");
                prop_assert!(plan.points().all(|p| p.is_finite()));
            }
        }
    }
}
