//! Lines of a DXF drawing on chosen layers: LINE, LWPOLYLINE, POLYLINE, ARC and CIRCLE of model
//! space, arcs and bulges as chords. Group codes and `$INSUNITS` after the DXF reference published
//! by the format's owner (from memory). Text form only.

use glam::DVec2;
use std::collections::BTreeMap;
use std::f64::consts::TAU;

/// Chords leave their arc by at most this much on the plan, in millimetres.
const CHORD_MM: f64 = 1.0;
/// Points of one drawing at most.
const MOST_POINTS: usize = 200_000;

/// A drawing.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Drawing {
    /// Millimetres in a unit, from `$INSUNITS`; `None` when it says nothing.
    pub(crate) unit_mm: Option<f64>,
    /// Layer, line.
    pub(crate) lines: Vec<(String, Vec<DVec2>)>,
    /// Things on a layer that are not read, by layer and type.
    pub(crate) skipped: BTreeMap<(String, String), usize>,
}

/// What is wrong with a drawing, and on which line of it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct DxfError {
    pub(crate) line: u32,
    pub(crate) message: String,
}

fn error(line: u32, message: impl Into<String>) -> DxfError {
    DxfError {
        line,
        message: message.into(),
    }
}

/// A group: its code, value and line.
struct Group<'a> {
    code: i32,
    value: &'a str,
    line: u32,
}

impl Group<'_> {
    fn number(&self) -> Result<f64, DxfError> {
        self.value
            .parse()
            .ok()
            .filter(|n: &f64| n.is_finite() && n.abs() < 1.0e12)
            .ok_or_else(|| {
                let found: String = self.value.chars().take(40).collect();
                error(self.line, format!("expected a number, found '{found}'"))
            })
    }
}

/// Reads a drawing.
pub(crate) fn read(bytes: &[u8]) -> Result<Drawing, DxfError> {
    if bytes.starts_with(b"AutoCAD Binary DXF") {
        return Err(error(
            1,
            "this is a binary DXF; save it as text (ASCII) DXF",
        ));
    }
    // Older drawings are in code pages; names of layers may then show wrong letters, no more.
    let text = String::from_utf8_lossy(bytes);
    let groups = groups(&text)?;
    let mut drawing = Drawing::default();
    let mut section = "";
    let mut points = 0;
    let mut at = 0;
    while at < groups.len() {
        let group = &groups[at];
        let next = at
            + 1
            + groups[at + 1..]
                .iter()
                .position(|g| g.code == 0)
                .unwrap_or(groups.len() - at - 1);
        let body = &groups[at + 1..next];
        if group.code == 0 {
            match (section, group.value) {
                (_, "SECTION") => {
                    section = body.iter().find(|g| g.code == 2).map_or("", |g| g.value);
                    if section == "HEADER" {
                        drawing.unit_mm = unit(body)?;
                    }
                }
                (_, "ENDSEC") => section = "",
                (_, "EOF") => return Ok(drawing),
                ("ENTITIES", kind) => {
                    let (line, after) = entity(kind, &groups, at, next, &mut drawing)?;
                    points += line;
                    if points > MOST_POINTS {
                        return Err(error(
                            group.line,
                            format!("more than {MOST_POINTS} points; delete what is no wall"),
                        ));
                    }
                    at = after;
                    continue;
                }
                _ => {}
            }
        }
        at = next;
    }
    Err(error(
        groups.last().map_or(1, |g| g.line),
        "the drawing breaks off before its end (EOF)",
    ))
}

fn groups(text: &str) -> Result<Vec<Group<'_>>, DxfError> {
    let mut lines = text.lines().zip(1_u32..);
    let mut out = Vec::new();
    while let Some((code, line)) = lines.next() {
        let Some((value, value_line)) = lines.next() else {
            if code.trim().is_empty() {
                break;
            }
            return Err(error(line, "a group code without its value"));
        };
        let code = code.trim().parse().map_err(|_| {
            let found: String = code.trim().chars().take(40).collect();
            error(
                line,
                format!("expected a group code (a whole number), found '{found}'"),
            )
        })?;
        let end = code == 0 && value.trim() == "EOF";
        out.push(Group {
            code,
            value: value.trim(),
            line: value_line,
        });
        if end {
            break;
        }
    }
    Ok(out)
}

fn unit(header: &[Group<'_>]) -> Result<Option<f64>, DxfError> {
    let Some(name) = header
        .iter()
        .position(|g| g.code == 9 && g.value == "$INSUNITS")
    else {
        return Ok(None);
    };
    let Some(value) = header.get(name + 1) else {
        return Ok(None);
    };
    Ok(match value.number()? as i64 {
        1 => Some(25.4),
        2 => Some(304.8),
        4 => Some(1.0),
        5 => Some(10.0),
        6 => Some(1000.0),
        10 => Some(914.4),
        14 => Some(100.0),
        _ => None,
    })
}

/// Reads the entity at `at`; gives the number of points and where the next one starts.
fn entity(
    kind: &str,
    groups: &[Group<'_>],
    at: usize,
    next: usize,
    drawing: &mut Drawing,
) -> Result<(usize, usize), DxfError> {
    let body = &groups[at + 1..next];
    let text = |code: i32| body.iter().find(|g| g.code == code).map(|g| g.value);
    let number = |code: i32| match body.iter().find(|g| g.code == code) {
        Some(group) => group.number(),
        None => Ok(0.0),
    };
    let layer = text(8).unwrap_or("0").to_owned();
    let paper = number(67)? == 1.0;
    // Drawn from below, x is mirrored (arbitrary axis algorithm for a normal of -Z).
    let mirror = |p: DVec2, z: f64| if z < 0.0 { DVec2::new(-p.x, p.y) } else { p };
    let closed = number(70)? as i64 & 1 == 1;
    let mut after = next;
    let line = match kind {
        "LINE" => vec![
            DVec2::new(number(10)?, number(20)?),
            DVec2::new(number(11)?, number(21)?),
        ],
        "LWPOLYLINE" => {
            let mut corners: Vec<(DVec2, f64)> = Vec::new();
            for group in body {
                match group.code {
                    10 => corners.push((DVec2::new(group.number()?, 0.0), 0.0)),
                    20 | 42 => {
                        if let Some(last) = corners.last_mut() {
                            if group.code == 20 {
                                last.0.y = group.number()?;
                            } else {
                                last.1 = group.number()?;
                            }
                        }
                    }
                    _ => {}
                }
            }
            let z = number(230)?;
            unrolled(&corners, closed)
                .into_iter()
                .map(|p| mirror(p, z))
                .collect()
        }
        "POLYLINE" => {
            let mut corners = Vec::new();
            while let Some(group) = groups.get(after) {
                let end = after
                    + 1
                    + groups[after + 1..]
                        .iter()
                        .position(|g| g.code == 0)
                        .unwrap_or(groups.len() - after - 1);
                let vertex = &groups[after + 1..end];
                let number = |code: i32| match vertex.iter().find(|g| g.code == code) {
                    Some(group) => group.number(),
                    None => Ok(0.0),
                };
                match group.value {
                    "VERTEX" => {
                        // Control points of a spline frame are not on the line.
                        if number(70)? as i64 & 16 == 0 {
                            corners.push((DVec2::new(number(10)?, number(20)?), number(42)?));
                        }
                        after = end;
                    }
                    "SEQEND" => {
                        after = end;
                        break;
                    }
                    _ => return Err(error(group.line, "a POLYLINE without its SEQEND")),
                }
            }
            let z = number(230)?;
            unrolled(&corners, closed)
                .into_iter()
                .map(|p| mirror(p, z))
                .collect()
        }
        "ARC" | "CIRCLE" => {
            let (centre, radius) = (DVec2::new(number(10)?, number(20)?), number(40)?);
            let (from, sweep) = if kind == "ARC" {
                let (from, to) = (number(50)?.to_radians(), number(51)?.to_radians());
                (from, (to - from).rem_euclid(TAU))
            } else {
                (0.0, TAU)
            };
            let z = number(230)?;
            arc(centre, radius, from, sweep)
                .into_iter()
                .map(|p| mirror(p, z))
                .collect()
        }
        _ => {
            if !paper {
                *drawing.skipped.entry((layer, kind.to_owned())).or_default() += 1;
            }
            return Ok((0, next));
        }
    };
    if paper || line.len() < 2 {
        return Ok((0, after));
    }
    let points = line.len();
    drawing.lines.push((layer, line));
    Ok((points, after))
}

/// Points along an arc, in the drawing's unit; chords are cut as for a drawing in metres, so that
/// they are never coarser than said whatever the unit.
fn arc(centre: DVec2, radius: f64, from: f64, sweep: f64) -> Vec<DVec2> {
    let share = (CHORD_MM / 1000.0 / radius.abs().max(1e-9)).min(0.1);
    let step = 2.0 * (1.0 - share).acos();
    let pieces = ((sweep.abs() / step).ceil() as usize).clamp(1, 720);
    (0..=pieces)
        .map(|n| {
            let angle = from + sweep * n as f64 / pieces as f64;
            centre + radius * DVec2::from_angle(angle)
        })
        .collect()
}

/// Corners with bulges (the tangent of a quarter of the arc's angle) as one line.
fn unrolled(corners: &[(DVec2, f64)], closed: bool) -> Vec<DVec2> {
    let mut line: Vec<DVec2> = Vec::new();
    let pairs = if closed {
        corners.len()
    } else {
        corners.len().saturating_sub(1)
    };
    for n in 0..pairs {
        let (a, bulge) = corners[n];
        let (b, _) = corners[(n + 1) % corners.len()];
        if line.is_empty() {
            line.push(a);
        }
        if bulge != 0.0 && a != b {
            let chord = b - a;
            // Apothem and radius from the bulge.
            let centre = a + 0.5 * chord + chord.perp() * (1.0 - bulge * bulge) / (4.0 * bulge);
            let sweep = 4.0 * bulge.atan();
            let points = arc(centre, a.distance(centre), (a - centre).to_angle(), sweep);
            let inner = points.len().saturating_sub(1).max(1);
            line.extend(&points[1..inner]);
        }
        line.push(b);
    }
    line
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const SMALL: &str = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n0\nLINE\n8\nWALLS\n10\n0\n20\n0\n11\n1000\n21\n500\n0\nLWPOLYLINE\n8\nWALLS\n90\n2\n70\n1\n10\n0\n20\n0\n42\n1\n10\n2000\n20\n0\n42\n1\n0\nPOLYLINE\n8\nROOM\n66\n1\n70\n0\n0\nVERTEX\n8\nROOM\n10\n1\n20\n2\n0\nVERTEX\n8\nROOM\n10\n3\n20\n4\n0\nSEQEND\n0\nTEXT\n8\nWALLS\n1\nhello\n0\nENDSEC\n0\nEOF\n";

    #[test]
    fn a_small_drawing_is_read() {
        let drawing = read(SMALL.as_bytes()).expect("reads");
        assert_eq!(drawing.unit_mm, Some(1.0));
        assert_eq!(drawing.lines.len(), 3);
        assert_eq!(drawing.lines[0].1, [DVec2::ZERO, DVec2::new(1000.0, 500.0)]);
        assert_eq!(
            drawing.lines[2].1,
            [DVec2::new(1.0, 2.0), DVec2::new(3.0, 4.0)]
        );
        assert_eq!(drawing.skipped.values().sum::<usize>(), 1);
    }

    /// Two bulges of 1 are two half circles: a circle of radius 1000 about (1000, 0).
    #[test]
    fn bulges_are_arcs() {
        let drawing = read(SMALL.as_bytes()).expect("reads");
        let circle = &drawing.lines[1].1;
        assert!(circle.len() > 20);
        for p in circle {
            let off = p.distance(DVec2::new(1000.0, 0.0)) - 1000.0;
            assert!(off.abs() < 1e-9, "{p} is {off} off");
        }
        // A positive bulge runs anticlockwise: from (0, 0) to (2000, 0) below.
        assert!(circle[circle.len() / 4].y < -900.0);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(300))]

        /// Lines exchanged, lost or spoilt: a drawing or an error with its line, never a panic.
        #[test]
        fn no_change_makes_it_panic(
            changes in prop::collection::vec((any::<prop::sample::Index>(), 0..4u8,
                prop::sample::select(vec!["0", "10", "42", "nan", "1e999", "-1", "SEQEND", "VERTEX", "POLYLINE", "EOF", "", "\u{fffd}", "LWPOLYLINE", "230", "70", "1e300"])), 1..8),
        ) {
            let mut lines: Vec<&str> = SMALL.lines().collect();
            for (at, how, value) in changes {
                if lines.is_empty() {
                    break;
                }
                let at = at.index(lines.len());
                match how {
                    0 => lines[at] = value,
                    1 => lines.insert(at, value),
                    2 => { lines.remove(at); }
                    _ => lines.truncate(at + 1),
                }
            }
            match read(lines.join("\n").as_bytes()) {
                Ok(drawing) => prop_assert!(drawing.lines.iter().all(|(_, l)| l.iter().all(|p| p.is_finite()))),
                Err(e) => prop_assert!(e.line >= 1 && !e.message.is_empty()),
            }
        }

        #[test]
        fn no_bytes_make_it_panic(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
            let _ = read(&bytes);
        }
    }
}
