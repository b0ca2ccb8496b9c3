//! Wavefront OBJ: positions and faces only. Materials, normals, texture coordinates, lines and
//! points are left aside; curves and surfaces are refused since shape would be missing.

use super::polygon::triangulate;
use super::{Place, Read, ReadError, quoted};
use crate::format::Format;
use crate::mesh::Mesh;
use crate::unit::UnitFound;
use glam::DVec3;

/// Reads an OBJ. Every `f` becomes one face of the mesh, a polygon being cut into triangles.
pub fn read(bytes: &[u8]) -> Result<Read, ReadError> {
    let text = String::from_utf8_lossy(bytes);
    let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
    let mut points: Vec<DVec3> = Vec::new();
    let mut triangles = Vec::new();
    let mut faces = Vec::new();
    let mut face = 0u32;
    let mut reservations = Vec::new();
    let mut lines_left_out = 0usize;

    for (line, statement) in statements(text) {
        let mut words = statement.split_whitespace();
        match words.next() {
            Some("v") => {
                let mut point = [0.0; 3];
                for c in &mut point {
                    *c = coordinate(words.next(), line)?;
                }
                points.push(DVec3::from_array(point));
            }
            Some("f") => {
                let corners = words
                    .map(|w| index(w, points.len(), line))
                    .collect::<Result<Vec<u32>, ReadError>>()?;
                if corners.len() < 3 {
                    return Err(malformed(
                        line,
                        format!("a face with {} corners", corners.len()),
                        "three or more corners",
                    ));
                }
                let outline: Vec<DVec3> = corners.iter().map(|&i| points[i as usize]).collect();
                for t in triangulate(&outline) {
                    triangles.push(t.map(|k| corners[k]));
                    faces.push(face);
                }
                face += 1;
            }
            Some("curv" | "curv2" | "surf") => {
                return Err(malformed(
                    line,
                    "a free-form curve or surface".into(),
                    "flat faces (\"f\")",
                ));
            }
            Some("l" | "p") => lines_left_out += 1,
            _ => {}
        }
    }
    if lines_left_out > 0 {
        reservations.push(format!(
            "{lines_left_out} loose lines or points were left out"
        ));
    }
    if triangles.is_empty() {
        return Err(ReadError::Empty { format: "obj" });
    }
    let mesh = Mesh::new(points, triangles, Some(faces))
        .map_err(|e| malformed(0, e.to_string(), "finite coordinates"))?
        .welded();
    Ok(Read {
        format: Format::Obj,
        mesh,
        unit: UnitFound::None,
        reservations,
    })
}

/// Statements with their first line: comments cut off, lines ending in `\` joined to the next.
fn statements(text: &str) -> impl Iterator<Item = (usize, String)> + '_ {
    let mut lines = text.lines().enumerate();
    std::iter::from_fn(move || {
        let (n, first) = lines.next()?;
        let mut statement = first.split('#').next().unwrap_or("").trim_end().to_string();
        while statement.ends_with('\\') {
            statement.pop();
            statement.push(' ');
            let Some((_, next)) = lines.next() else { break };
            statement.push_str(next.split('#').next().unwrap_or("").trim_end());
        }
        Some((n + 1, statement))
    })
}

fn coordinate(word: Option<&str>, line: usize) -> Result<f64, ReadError> {
    let Some(word) = word else {
        return Err(malformed(
            line,
            "fewer than three coordinates".into(),
            "x y z",
        ));
    };
    word.parse::<f64>()
        .ok()
        .filter(|v| v.is_finite())
        .ok_or_else(|| malformed(line, quoted(word), "a finite number such as 12.5"))
}

/// Index of the corner `word` ("7", "7/1/3", "-2"), counted from 0.
fn index(word: &str, count: usize, line: usize) -> Result<u32, ReadError> {
    let position = word.split('/').next().unwrap_or("");
    let number: i64 = position.parse().map_err(|_| {
        malformed(
            line,
            quoted(word),
            "the number of a corner such as 7 or 7/1/3",
        )
    })?;
    let zero_based = match number {
        1.. => number - 1,
        0 => -1,
        _ => (count as i64).saturating_add(number),
    };
    if (0..count as i64).contains(&zero_based) {
        return Ok(zero_based as u32);
    }
    Err(malformed(
        line,
        format!("corner {number}"),
        &format!("1 to {count}, or -{count} to -1, as {count} corners came before"),
    ))
}

fn malformed(line: usize, found: String, expected: &str) -> ReadError {
    ReadError::Malformed {
        place: Place::Line(line),
        found,
        expected: expected.into(),
        hint: "the file is damaged or not a plain OBJ; export the part again as a mesh".into(),
    }
}
