//! Features of a part: what is to be made on which side.

use crate::document::Node;
use crate::quantity::Least;
use crate::section::Section;
use crate::texts;
use crate::thread::thread;
use engine::entered::{Feature, FeatureKind, Side};
use units::{Length, Number};

const SIDES: [(&str, Side); 6] = [
    ("top", Side::Top),
    ("bottom", Side::Bottom),
    ("front", Side::Front),
    ("back", Side::Back),
    ("left", Side::Left),
    ("right", Side::Right),
];

#[derive(Clone, Copy)]
enum Kind {
    Face,
    Pocket,
    Slot,
    Holes,
    Profile,
    Freeform,
    Chamfer,
}

const KINDS: [(&str, Kind); 7] = [
    ("face", Kind::Face),
    ("pocket", Kind::Pocket),
    ("slot", Kind::Slot),
    ("holes", Kind::Holes),
    ("profile", Kind::Profile),
    ("freeform", Kind::Freeform),
    ("chamfer", Kind::Chamfer),
];

/// A side of the block: its length and width, and how deep the block is below it.
fn side_of(block: [Length; 3], side: Side) -> ([Length; 2], Length) {
    let [length, width, height] = block;
    match side {
        Side::Top | Side::Bottom => ([length, width], height),
        Side::Front | Side::Back => ([length, height], width),
        Side::Left | Side::Right => ([width, height], length),
    }
}

/// A feature; `block` is the part's size when it is a described block.
pub(crate) fn read(section: Section<'_>, block: Option<[Length; 3]>) -> Option<Feature> {
    section.require("kind", "what it is: kind = \"pocket\"");
    let kind = section.choice("kind", &KINDS);
    let side = section.choice("side", &SIDES).unwrap_or(Side::Top);
    let count = section
        .plain::<Number>("count", Least::AboveZero)
        .map(Number::to_number);
    let count = match count {
        Some(n) if n.fract() == 0.0 && (1.0..=100_000.0).contains(&n) => n as u32,
        Some(n) => {
            section.wrong("count", texts::whole_number(n));
            1
        }
        None => 1,
    };
    let place = section.place();
    let around = block.map(|size| side_of(size, side));
    let known = kind.is_some();
    let kind = kind.and_then(|kind| match kind {
        Kind::Face => Some(FeatureKind::Face {
            cutter: section.plain("cutter", Least::AboveZero),
            pass_depth: section.plain("pass_depth", Least::AboveZero),
        }),
        Kind::Pocket => pocket(&section, around),
        Kind::Slot => slot(&section, around),
        Kind::Holes => holes(&section, around),
        Kind::Profile => Some(FeatureKind::Profile {
            depth: depth(&section, around, true)?,
            corner_radius: section.plain("corner_radius", Least::AboveZero),
        }),
        Kind::Freeform => freeform(&section),
        Kind::Chamfer => chamfer(&section),
    });
    // Of a kind nobody knows no key can be judged.
    if known {
        section.finish();
    }
    Some(Feature {
        side,
        kind: kind?,
        count,
        place,
    })
}

fn pocket(section: &Section<'_>, around: Option<([Length; 2], Length)>) -> Option<FeatureKind> {
    section.require("size", "length, width and depth: size = \"4 x 3 x 0.5 in\"");
    section.require(
        "corner_radius",
        "the smallest inside corner: corner_radius = \"1/4 in\"",
    );
    let size: Option<[Length; 3]> = section.lengths("size", "length, width, depth");
    let corner_radius = section.plain("corner_radius", Least::Zero);
    let size = size?;
    check_fits(section, "size", &size[..2], size[2], around);
    Some(FeatureKind::Pocket {
        size,
        corner_radius: corner_radius?,
    })
}

fn slot(section: &Section<'_>, around: Option<([Length; 2], Length)>) -> Option<FeatureKind> {
    for (key, example) in [
        ("length", "length = \"4 in\""),
        ("width", "width = \"1/2 in\""),
        ("depth", "depth = \"1/4 in\""),
    ] {
        section.require(key, example);
    }
    let length = section.plain("length", Least::AboveZero);
    let width = section.plain("width", Least::AboveZero);
    let depth = section.plain("depth", Least::AboveZero);
    let (length, width, depth) = (length?, width?, depth?);
    check_fits(section, "length", &[length, width], depth, around);
    Some(FeatureKind::Slot {
        length,
        width,
        depth,
    })
}

fn holes(section: &Section<'_>, around: Option<([Length; 2], Length)>) -> Option<FeatureKind> {
    let named = section.with("thread", |node| match node {
        Node::Text(text) => thread(text),
        other => Err(texts::expected(
            "a thread in quotes, such as M6",
            &other.describe(),
        )),
    });
    let diameter: Option<Length> = section.plain("diameter", Least::AboveZero);
    let pitch: Option<Length> = section.plain("pitch", Least::AboveZero);
    if section.has("thread") {
        for key in ["diameter", "pitch"] {
            if section.has(key) {
                section.push(texts::said_twice(section.place_of(key), key, "thread"));
            }
        }
    } else {
        section.require("diameter", "diameter = \"1/4 in\", or thread = \"M6\"");
    }
    let tolerance = crate::hole_work::tolerance(section, diameter);
    let depth = depth(section, around, false);
    let (diameter, pitch) = match named {
        Some((diameter, pitch)) => (Some(diameter), Some(pitch)),
        None => (diameter, pitch),
    };
    let (diameter, depth) = (diameter?, depth?);
    check_fits(section, "diameter", &[diameter, diameter], depth, around);
    Some(FeatureKind::Holes {
        diameter,
        depth,
        pitch,
        tolerance,
    })
}

fn freeform(section: &Section<'_>) -> Option<FeatureKind> {
    for (key, example) in [
        ("area", "its surface: area = \"20 sq in\""),
        (
            "depth",
            "from its highest to its lowest point: depth = \"1 in\"",
        ),
        ("radius", "its smallest inside radius: radius = \"1/4 in\""),
    ] {
        section.require(key, example);
    }
    let area = section.plain("area", Least::AboveZero);
    let depth = section.plain("depth", Least::AboveZero);
    let radius = section.plain("radius", Least::AboveZero);
    Some(FeatureKind::Freeform {
        area: area?,
        depth: depth?,
        radius: radius?,
        // A surface smoothed by hand afterwards; common practice, no source.
        scallop: section
            .plain("scallop", Least::AboveZero)
            .unwrap_or(Length::mm(0.01)),
    })
}

fn chamfer(section: &Section<'_>) -> Option<FeatureKind> {
    section.require("length", "all edges together: length = \"30 in\"");
    let length = section.plain("length", Least::AboveZero);
    // Edges just broken; common practice, no source.
    let width = section
        .plain("width", Least::AboveZero)
        .unwrap_or(Length::mm(0.5));
    Some(FeatureKind::Chamfer {
        length: length?,
        width,
    })
}

/// The depth stated, or the whole block: by `through = true`, and for profiles when nothing is said.
fn depth(
    section: &Section<'_>,
    around: Option<([Length; 2], Length)>,
    whole: bool,
) -> Option<Length> {
    let through = section.flag("through").unwrap_or(false);
    let stated: Option<Length> = section.plain("depth", Least::AboveZero);
    if through && section.has("depth") {
        section.push(texts::said_twice(
            section.place_of("through"),
            "through",
            "depth",
        ));
    }
    if section.has("depth") {
        return stated;
    }
    match around {
        Some((_, depth)) if through || whole => Some(depth),
        None if through || whole => {
            section.push(texts::through_needs_block("depth").at(section.place()));
            None
        }
        _ => {
            section.require("depth", "depth = \"1/2 in\", or through = true");
            None
        }
    }
}

/// A feature of a block lies within it.
fn check_fits(
    section: &Section<'_>,
    key: &str,
    flat: &[Length],
    depth: Length,
    around: Option<([Length; 2], Length)>,
) {
    let Some((mut side, below)) = around else {
        return;
    };
    let mut flat = flat.to_vec();
    flat.sort_by(Length::total_cmp);
    side.sort_by(Length::total_cmp);
    let show = |sizes: &[Length], depth: Length| {
        let mut all: Vec<String> = sizes.iter().rev().map(|l| round(*l)).collect();
        all.push(round(depth));
        format!("{} mm", all.join(" x "))
    };
    let inside = flat.iter().zip(side).all(|(f, s)| f.fits(s)) && depth.fits(below);
    if !inside {
        section.wrong(
            key,
            texts::feature_too_large(&show(&flat, depth), &show(&side, below)),
        );
    }
}

fn round(length: Length) -> String {
    let text = format!("{:.2}", length.to_mm());
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
