//! What comes off or aside for the way in, and what that costs.

use super::{COARSE, load, plan};
use crate::works::study::{machine, room, usd};
use engine::entered::{Block, Plan, Swing};
use engine::machine::{Dismantling, Known};
use engine::site::route::{ComesIn, ComesOff, Effort, Load, StepKind, WayIn, way_in};
use engine::site::{PlanAnswers, SiteAnswer, SiteVerdict, check};
use glam::DVec2;
use units::{Length, Money, Place, System, Watch};

/// Takes the width to 1000 mm for 400 to 900.
fn enclosure() -> Dismantling {
    Dismantling {
        name: "enclosure off".to_owned(),
        width: Some(Length::mm(1000.0)),
        height: Some(Length::mm(2000.0)),
        price: Some([400.0, 600.0, 900.0].map(Money::amount)),
        lead_days: Some(5),
        place: Place {
            file: "offers/x.toml".to_owned(),
            line: 12,
            entity: String::new(),
        },
        ..Dismantling::default()
    }
}

fn frame() -> Dismantling {
    Dismantling {
        name: "door frame out".to_owned(),
        door: Some("door".to_owned()),
        width: Some(Length::mm(1500.0)),
        ..Dismantling::default()
    }
}

fn answered(plan: &Plan, load: &Load, surely: &[Dismantling], perhaps: &[Dismantling]) -> WayIn {
    let off = ComesOff { surely, perhaps };
    let effort = Effort {
        fineness: COARSE,
        within: 0.02,
        ..Effort::default()
    };
    way_in(plan, load, &off, &effort, Watch::NOBODY).expect("runs")
}

fn wide() -> Load {
    load(1900.0, 1350.0, Some(2050.0))
}

#[test]
fn a_machine_comes_in_without_its_enclosure() {
    let answer = answered(&plan(), &wide(), &[enclosure()], &[]);
    assert_eq!(answer.comes_in, ComesIn::No);
    let help = answer.with_works().expect("a help");
    assert_eq!(help.what, "enclosure off");
    assert_eq!(help.load_mm, [1900.0, 1000.0]);
    assert!(help.way.len() > 1);
    // One that leaves it too wide does not help.
    let less = Dismantling {
        width: Some(Length::mm(1300.0)),
        ..enclosure()
    };
    let answer = answered(&plan(), &wide(), &[less], &[]);
    assert!(answer.with_works().is_none());
    assert_eq!(answer.helps[0].comes_in, ComesIn::No);
}

#[test]
fn a_frame_comes_out_of_its_door() {
    let answer = answered(&plan(), &wide(), &[frame()], &[]);
    let help = answer.with_works().expect("a help");
    assert_eq!(help.steps[0].kind, StepKind::FrameOff);
    // Without the size of the opening then: ask for it.
    let unmeasured = Dismantling {
        width: None,
        ..frame()
    };
    let just = load(1900.0, 1230.0, Some(2050.0));
    let answer = answered(&plan(), &just, std::slice::from_ref(&unmeasured), &[]);
    assert!(answer.with_works().is_none());
    let asked = &answer.helps[0];
    assert_eq!(asked.comes_in, ComesIn::CannotSay);
    assert!(asked.ask[0].contains("opening of door"), "{asked:?}");
    // No frame is half a metre wide.
    let far = load(1900.0, 1800.0, Some(2050.0));
    assert!(answered(&plan(), &far, &[unmeasured], &[]).helps.is_empty());
}

#[test]
fn sizes_nobody_stated_are_asked_for() {
    let unmeasured = Dismantling {
        width: None,
        height: None,
        ..enclosure()
    };
    let answer = answered(&plan(), &wide(), &[unmeasured], &[]);
    assert!(answer.with_works().is_none());
    let help = &answer.helps[0];
    assert_eq!(help.comes_in, ComesIn::CannotSay);
    // At a width that passes the door of 1200 mm.
    let [_, flips] = help.flips_mm.expect("a flip");
    assert!((1100.0..1200.0).contains(&flips), "{flips}");
    // Stated for no machine in particular: perhaps not of this one.
    let answer = answered(&plan(), &wide(), &[], &[enclosure()]);
    assert!(answer.with_works().is_none());
    assert_eq!(answer.helps[0].comes_in, ComesIn::CannotSay);
    assert!(!answer.helps[0].ask.is_empty());
}

/// Of everything that could be changed only what is needed is told.
#[test]
fn only_what_is_needed_is_done() {
    let mut crowded = plan();
    crowded.doors[0].swing = Some(Swing {
        hangs_at_from: true,
        to_left: false,
        opens_rad: 30_f64.to_radians(),
    });
    let block = |name: &str, x: f64, y: f64| Block {
        name: name.to_owned(),
        outline: [
            [x, y],
            [x + 200.0, y],
            [x + 200.0, y + 200.0],
            [x, y + 200.0],
        ]
        .map(DVec2::from)
        .to_vec(),
        movable: true,
    };
    crowded.blocks = vec![block("bin", 4700.0, 5700.0), block("bench", 3500.0, 3100.0)];
    let slim = load(1500.0, 900.0, Some(2050.0));
    let answer = answered(&crowded, &slim, &[enclosure()], &[]);
    let help = answer.with_works().expect("a help");
    let kinds: Vec<StepKind> = help.steps.iter().map(|s| s.kind).collect();
    assert_eq!(kinds, [StepKind::Aside, StepKind::LeafOff], "{help:?}");
    assert!(help.what.contains("bench") && !help.what.contains("bin"));
}

fn on_plan(off: &[Dismantling]) -> SiteAnswer {
    let mut machine = machine();
    machine.properties.length = Known::Yes(Length::mm(1900.0));
    machine.properties.width = Known::Yes(Length::mm(1350.0));
    machine.properties.height = Known::Yes(Length::mm(2050.0));
    let plan = Plan {
        ceiling: Some(Length::mm(3000.0)),
        ..plan()
    };
    let mut answer = check(&machine, &room(), usd());
    let plans = PlanAnswers::of(
        &plan,
        std::iter::once((&machine, off)),
        &PlanAnswers::default(),
        Watch::NOBODY,
    );
    plans
        .expect("runs")
        .apply(&machine, off, (usd(), System::Metric), &mut answer);
    answer
}

/// The route fails as it is and passes dismantled: yes, with the work priced, and the reason no
/// longer rules the machine out.
#[test]
fn the_study_counts_what_taking_apart_costs() {
    let as_it_is = on_plan(&[]);
    assert_eq!(as_it_is.goes_in, SiteVerdict::No);
    let apart = on_plan(&[enclosure()]);
    assert_eq!(apart.goes_in, SiteVerdict::Yes, "{:?}", apart.ask);
    assert!(
        apart
            .reasons
            .iter()
            .any(|r| r.what == "route" && !r.rules_out)
    );
    let work = apart.works.iter().find(|w| w.name == "taking apart");
    let work = work.expect("a work");
    assert_eq!(
        [work.low, work.likely, work.high],
        [400.0, 600.0, 900.0].map(Money::amount)
    );
    assert_eq!(work.lead_days, 5);
    assert!(work.stated.is_some());
    let unmeasured = Dismantling {
        width: None,
        height: None,
        ..enclosure()
    };
    let open = on_plan(&[unmeasured]);
    assert_eq!(open.goes_in, SiteVerdict::CannotSay);
    let ask = open
        .ask
        .iter()
        .find(|a| a.input == "offers/x/enclosure off");
    assert!(ask.expect("asked").flips_at.is_some_and(|w| w < 1200.0));
    // Words without a sum are priced by what is usual.
    let worded = Dismantling {
        price: None,
        cost: "a day of a technician".to_owned(),
        ..enclosure()
    };
    let worded = on_plan(&[worded]);
    let work = worded.works.iter().find(|w| w.name == "taking apart");
    assert!(work.is_some_and(|w| w.source.contains("memory") && w.high > w.low));
}
