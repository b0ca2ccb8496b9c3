//! Threads, fits, marks and stock faces of parts with models: what is asked of the plan, and what is
//! told when the model has no such hole. The model is a plate with five holes of 6.756 mm, the tap
//! drill of M8, four of them countersunk.

use crate::shop_on_disk::Files;
use geometry::model::Model;
use geometry::plan::Options;
use geometry::plan::finish::Finish;
use std::cell::RefCell;
use units::{Problems, Watch};

const PLATE: &[u8] = include_bytes!("../../../geometry/tests/data/plate_holes.stl");

/// What is asked of the plate's plan, or what is wrong.
fn asked(more: &str) -> Result<(Options, Vec<String>), Problems> {
    let mut files = Files::sound();
    files.put("parts/plate.stl", PLATE);
    files.put(
        "parts.toml",
        format!(
            "[[part]]\nid = \"plate\"\nmaterial = \"6061\"\nmodel = \"parts/plate.stl\"\nunit = \
             \"mm\"\nquantity = \"10 per year\"\n{more}"
        ),
    );
    let seen: RefCell<Option<Options>> = RefCell::default();
    let plan = |_: &[u8], _: &Model, options: &Options| {
        *seen.borrow_mut() = Some(options.clone());
        None
    };
    let source = folder::Source::Memory(files.0);
    let study = folder::read_planned(&source, folder::Plans(Some(&plan)), Watch::NOBODY)?;
    let told = study.problems.0.iter().map(|p| p.to_string()).collect();
    Ok((seen.into_inner().expect("a plan is asked for"), told))
}

fn wrong(more: &str) -> String {
    match asked(more) {
        Ok(_) => panic!("{more} is fine"),
        Err(problems) => problems.to_string(),
    }
}

#[test]
fn a_thread_goes_to_the_holes_drawn_for_it() {
    let (plain, _) = asked("").expect("reads");
    assert!(plain.finish.is_empty() && !plain.must_reach_marks && !plain.leave_stock_faces);
    let (all, _) = asked("[[part.thread]]\nthread = \"M8\"\ncount = 5\n").expect("reads");
    assert_eq!(all.finish.len(), 5);
    for finish in &all.finish {
        let Finish::Thread {
            nominal_mm,
            pitch_mm,
            depth_mm,
        } = finish.finish
        else {
            panic!("{finish:?}");
        };
        assert_eq!((nominal_mm, pitch_mm, depth_mm), (8.0, 1.25, None));
    }
    let by_size = "[[part.thread]]\nthread = \"5/16-18 UNC\"\ndiameter = \"0.266 in\"\n";
    assert_eq!(asked(by_size).expect("reads").0.finish.len(), 5);
}

#[test]
fn holes_the_model_does_not_have_are_told_with_those_it_has() {
    let none = wrong("[[part.thread]]\nthread = \"M6\"\n");
    assert!(
        none.contains("parts.toml:7") && none.contains("5 x 6.76 mm"),
        "{none}"
    );
    let count = wrong("[[part.thread]]\nthread = \"M8\"\ncount = 4\n");
    assert!(
        count.contains("4 holes for M8 are stated, 5 are drawn"),
        "{count}"
    );
    let twice = wrong(
        "[[part.thread]]\nthread = \"M8\"\n[[part.hole]]\ndiameter = \"6.756 mm\"\nfit = \"H7\"\n",
    );
    assert!(twice.contains("has a thread or fit already"), "{twice}");
    let deep = wrong("[[part.thread]]\nthread = \"M8\"\ndepth = \"20 mm\"\n");
    assert!(
        deep.contains("20.0 mm of thread are stated in a hole"),
        "{deep}"
    );
    let block = wrong(
        "[[part]]\nid = \"b\"\nmaterial = \"6061\"\nsize = \"4 x 3 x 1 in\"\n[[part.thread]]\nthread = \"M8\"\n",
    );
    assert!(block.contains("only a part with a model has it"), "{block}");
}

#[test]
fn a_fit_is_as_wide_as_its_grade() {
    // IT7 of 6 to 10 mm is 15 um (ISO 286-1).
    let (options, _) =
        asked("[[part.hole]]\ndiameter = \"6.756 mm\"\nfit = \"H7\"\n").expect("reads");
    assert_eq!(options.finish.len(), 5);
    for finish in &options.finish {
        assert!(
            matches!(finish.finish, Finish::Fit { width_mm, .. } if (width_mm - 0.015).abs() < 1e-9),
            "{finish:?}"
        );
    }
    for bad in ["\"7\"", "\"H\"", "\"H3\"", "7", "\"HHH7\""] {
        let text = wrong(&format!(
            "[[part.hole]]\ndiameter = \"6.756 mm\"\nfit = {bad}\n"
        ));
        assert!(text.contains("a fit such as H7"), "{bad}: {text}");
    }
}

#[test]
fn marks_and_stock_faces_are_asked_for_a_part() {
    let (options, told) =
        asked("must_reach_marks = true\nleave_stock_faces = true\ntolerance = \"0.05 mm\"\n")
            .expect("reads");
    assert!(options.must_reach_marks && options.leave_stock_faces);
    // Stock is then bought to size.
    assert_eq!(options.allowance_mm, 0.0);
    // IT11 of 250 to 315 mm is 0.32 mm, the plate is 304.8 mm long.
    assert!(
        told.iter().any(|t| t.contains("0.32 mm at best")),
        "{told:?}"
    );
    let both = wrong("leave_stock_faces = true\nallowance = \"2 mm\"\n");
    assert!(both.contains("faces left as stock have none"), "{both}");
}

#[test]
fn harder_material_leaves_less_of_the_necks() {
    let longest = |options: &Options| {
        let long = options.cutters.iter().map(|c| c.usable_mm);
        long.sum::<f64>()
    };
    let (soft, _) = asked("").expect("reads");
    let (hard, _) = asked(
        "[[part]]\nid = \"h\"\nmaterial = \"4140\"\nmodel = \"parts/plate.stl\"\nunit = \"mm\"\n",
    )
    .expect("reads");
    assert!(longest(&hard) < longest(&soft));
}
