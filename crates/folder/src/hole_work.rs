//! Threads and fits of a model's holes: a model draws them as plain cylinders.

use crate::document::Node;
use crate::quantity::Least;
use crate::section::Section;
use crate::texts::{self, Wrong};
use crate::thread::thread;
use engine::demand::grade_width;
use geometry::features::hole::Hole;
use geometry::plan::finish::{Finish, HoleFinish, Which, holes_meant};
use glam::DVec3;
use units::{Length, Number, Parse, Place};

/// What one `[[part.thread]]` or `[[part.hole]]` asks.
pub(crate) struct Work {
    which: Which,
    at: Option<DVec3>,
    count: Option<usize>,
    finish: Finish,
    what: String,
    place: Place,
}

/// Every thread and fit stated for a part.
pub(crate) fn read(part: &Section<'_>) -> Vec<Work> {
    let threads = part.sections("thread").into_iter().filter_map(threaded);
    let mut out: Vec<Work> = threads.collect();
    out.extend(part.sections("hole").into_iter().filter_map(fitted));
    out
}

fn threaded(section: Section<'_>) -> Option<Work> {
    section.require("thread", "thread = \"M6\", or \"1/4-20 UNC\"");
    let read = section.with("thread", |node| match node {
        Node::Text(text) => Ok((thread(text)?, text.trim().to_owned())),
        other => Err(texts::expected(
            "a thread in quotes, such as M6",
            &other.describe(),
        )),
    });
    let drawn: Option<Length> = section.plain("diameter", Least::AboveZero);
    let depth: Option<Length> = section.plain("depth", Least::AboveZero);
    let (at, count, place) = (place(&section), count(&section), section.place());
    section.finish();
    let ((nominal, pitch), what) = read?;
    let (nominal_mm, pitch_mm) = (nominal.to_mm(), pitch.to_mm());
    Some(Work {
        which: drawn.map_or(
            Which::Thread {
                nominal_mm,
                pitch_mm,
            },
            |d| Which::Diameter(d.to_mm()),
        ),
        at,
        count,
        finish: Finish::Thread {
            nominal_mm,
            pitch_mm,
            depth_mm: depth.map(|d| d.to_mm()),
        },
        what,
        place,
    })
}

fn fitted(section: Section<'_>) -> Option<Work> {
    section.require("diameter", "diameter = \"10 mm\", as the model draws it");
    let diameter: Option<Length> = section.plain("diameter", Least::AboveZero);
    let width = tolerance(&section, diameter);
    if !section.has("fit") {
        section.require(
            "tolerance",
            "tolerance = \"0.015 mm\", full width, or fit = \"H7\"",
        );
    }
    let (at, count, place) = (place(&section), count(&section), section.place());
    section.finish();
    let (diameter_mm, width_mm) = (diameter?.to_mm(), width?.to_mm());
    Some(Work {
        which: Which::Diameter(diameter_mm),
        at,
        count,
        finish: Finish::Fit {
            diameter_mm,
            width_mm,
        },
        what: format!("{diameter_mm:.3} mm"),
        place,
    })
}

/// Full width from `tolerance`, or from `fit` by the grades of ISO 286-1. The place of the zone
/// (the letter) says which reamer to buy, not which work it is.
pub(crate) fn tolerance(section: &Section<'_>, diameter: Option<Length>) -> Option<Length> {
    let stated: Option<Length> = section.plain("tolerance", Least::AboveZero);
    let fit = section.with("fit", |node| match node {
        Node::Text(text) => grade(text).ok_or_else(|| texts::bad_fit(&node.describe())),
        other => Err(texts::bad_fit(&other.describe())),
    });
    if section.has("fit") && section.has("tolerance") {
        section.push(texts::said_twice(
            section.place_of("fit"),
            "fit",
            "tolerance",
        ));
    }
    let (Some(grade), Some(diameter)) = (fit, diameter) else {
        return stated;
    };
    let width = grade_width(diameter, grade);
    if width.is_none() {
        section.wrong("fit", texts::bad_fit(&format!("grade {grade}")));
    }
    width
}

/// The grade of "H7", "js6", "G 8".
fn grade(text: &str) -> Option<u32> {
    let text = text.trim();
    let digits = text.trim_start_matches(|c: char| c.is_ascii_alphabetic());
    let letters = text.len() - digits.len();
    if !(1..=2).contains(&letters) {
        return None;
    }
    digits.trim().parse().ok()
}

fn count(section: &Section<'_>) -> Option<usize> {
    let n = section.plain::<Number>("count", Least::AboveZero)?;
    let n = n.to_number();
    if n.fract() == 0.0 && n <= 100_000.0 {
        return Some(n as usize);
    }
    section.wrong("count", texts::whole_number(n));
    None
}

/// A place in the model's own frame: three lengths, which may be negative.
fn place(section: &Section<'_>) -> Option<DVec3> {
    section.with("at", |node| {
        let Node::List(list) = node else {
            return Err(texts::bad_position(&node.describe()));
        };
        let read: Result<Vec<f64>, Wrong> = list
            .iter()
            .map(|each| match &each.node {
                Node::Text(text) => Ok(Length::parse(text)?.to_mm()),
                Node::Number(n) if *n == 0.0 => Ok(0.0),
                other => Err(texts::bad_position(&other.describe())),
            })
            .collect();
        match read?.as_slice() {
            [x, y, z] if [x, y, z].iter().all(|v| v.is_finite()) => Ok(DVec3::new(*x, *y, *z)),
            other => Err(texts::bad_position(&format!("{} numbers", other.len()))),
        }
    })
}

/// The work on the holes of a model; what means none of them, or more or fewer than said, is
/// reported.
pub(crate) fn on_holes(wanted: &[Work], holes: &[Hole], section: &Section<'_>) -> Vec<HoleFinish> {
    let mut out: Vec<HoleFinish> = Vec::new();
    for work in wanted {
        let places: Vec<DVec3> = work.at.into_iter().collect();
        let meant = holes_meant(holes, &work.which, &places);
        if meant.is_empty() {
            section.push(texts::no_such_hole(
                work.place.clone(),
                &work.what,
                &drawn(holes),
            ));
            continue;
        }
        if let Some(count) = work.count.filter(|c| *c != meant.len()) {
            section.push(texts::other_count_of_holes(
                work.place.clone(),
                &work.what,
                count,
                meant.len(),
            ));
            continue;
        }
        for (hole, step) in meant {
            if out.iter().any(|f| f.hole == hole && f.step == step) {
                section.push(texts::hole_worked_twice(work.place.clone(), &work.what));
                break;
            }
            let step_of = &holes[hole].steps[step];
            let length = step_of.to_mm - step_of.from_mm;
            if let Finish::Thread {
                depth_mm: Some(deep),
                ..
            } = work.finish
                && deep > length + 0.01
            {
                section.push(texts::thread_too_deep(
                    work.place.clone(),
                    &work.what,
                    deep,
                    length,
                ));
                break;
            }
            out.push(HoleFinish {
                hole,
                step,
                finish: work.finish,
            });
        }
    }
    out
}

/// The holes of a model as a message lists them.
fn drawn(holes: &[Hole]) -> String {
    let mut kinds: Vec<(i64, usize)> = Vec::new();
    for step in holes.iter().flat_map(|h| &h.steps).filter(|s| !s.is_cone()) {
        let um = (step.diameter_mm * 1000.0).round() as i64;
        match kinds.iter_mut().find(|k| (k.0 - um).abs() <= 5) {
            Some(kind) => kind.1 += 1,
            None => kinds.push((um, 1)),
        }
    }
    kinds.sort_unstable();
    let all: Vec<String> = kinds
        .iter()
        .take(12)
        .map(|(um, n)| format!("{n} x {:.2} mm", *um as f64 / 1000.0))
        .collect();
    if all.is_empty() {
        "no hole at all".to_owned()
    } else {
        all.join(", ")
    }
}
