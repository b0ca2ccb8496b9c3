//! STL, binary and text. The format carries no unit and repeats every corner. Corners are welded
//! when equal and, where that leaves gaps, when equal to the rounding of the format's f32 numbers
//! at the largest coordinate: writers compute a shared corner once per face and leave 1e-17 beside
//! 0. Normals in the file are ignored: the corner order says which side is out.

use super::{Place, Read, ReadError, quoted};
use crate::format::{Format, STL_HEADER, STL_RECORD, stl_count};
use crate::mesh::{Mesh, Welder};
use crate::unit::UnitFound;
use glam::DVec3;

/// Reads a binary STL. Bytes past the stated triangles are left with a reservation; fewer than
/// stated are an error, since the part would be missing pieces.
pub fn read_binary(bytes: &[u8]) -> Result<Read, ReadError> {
    let stated = stl_count(bytes).ok_or_else(|| ReadError::Malformed {
        place: Place::Byte(bytes.len()),
        found: "the end of the file".into(),
        expected: format!("at least the {STL_HEADER} bytes of a binary STL header"),
        hint: "the file is cut short; copy or export it again".into(),
    })?;
    let body = &bytes[STL_HEADER..];
    let whole = (body.len() / STL_RECORD) as u64;
    if stated > whole {
        return Err(ReadError::Malformed {
            place: Place::Byte(80),
            found: format!("a count of {stated} triangles but bytes for only {whole}"),
            expected: format!("{STL_RECORD} bytes for every triangle"),
            hint: "the file is cut short or not an STL; copy or export it again".into(),
        });
    }
    let mut reservations = Vec::new();
    let spare = body.len() as u64 - stated * STL_RECORD as u64;
    if spare > 0 {
        reservations.push(format!(
            "{spare} bytes follow the {stated} triangles the header counts; they were left out"
        ));
    }
    let mut welder = Welder::default();
    let mut triangles = Vec::with_capacity(stated as usize);
    for (n, record) in body
        .chunks_exact(STL_RECORD)
        .take(stated as usize)
        .enumerate()
    {
        let mut corners = [0; 3];
        for (k, corner) in corners.iter_mut().enumerate() {
            let coordinate = |axis: usize| {
                let at = 12 + 12 * k + 4 * axis;
                f32::from_le_bytes([record[at], record[at + 1], record[at + 2], record[at + 3]])
            };
            let point = [0, 1, 2].map(coordinate);
            if let Some(bad) = point.iter().find(|c| !c.is_finite()) {
                return Err(not_finite(Place::Triangle(n + 1), &bad.to_string()));
            }
            *corner = welder.add(DVec3::from_array(point.map(f64::from)));
        }
        triangles.push(corners);
    }
    finish(Format::StlBinary, welder, triangles, reservations)
}

/// Reads a text STL: any case, any white space, any number of solids one after another.
pub fn read_text(bytes: &[u8]) -> Result<Read, ReadError> {
    let text = String::from_utf8_lossy(bytes);
    let mut words = Words::new(&text);
    let mut welder = Welder::default();
    let mut triangles = Vec::new();
    let mut solids = 0;
    let mut reservations = Vec::new();
    while let Some(word) = words.next() {
        if !word.eq_ignore_ascii_case("solid") {
            return Err(words.unexpected(word, "\"solid\""));
        }
        solids += 1;
        // The name runs to the end of the line and may hold any words, even keywords.
        words.skip_line();
        loop {
            let Some(word) = words.next() else {
                return Err(words.unexpected_end("\"facet\" or \"endsolid\""));
            };
            if word.eq_ignore_ascii_case("endsolid") || word.eq_ignore_ascii_case("end") {
                words.skip_line();
                break;
            }
            if !word.eq_ignore_ascii_case("facet") {
                return Err(words.unexpected(word, "\"facet\" or \"endsolid\""));
            }
            triangles.push(facet(&mut words, &mut welder)?);
        }
    }
    if solids > 1 {
        reservations.push(format!(
            "the file holds {solids} solids; they were read together"
        ));
    }
    finish(Format::StlText, welder, triangles, reservations)
}

fn facet(words: &mut Words<'_>, welder: &mut Welder) -> Result<[u32; 3], ReadError> {
    words.expect("normal")?;
    // Some writers put "nan" for the normal of a sliver; it is not used, so any word will do.
    for _ in 0..3 {
        words
            .next()
            .ok_or_else(|| words.unexpected_end("three numbers of the normal"))?;
    }
    words.expect("outer")?;
    words.expect("loop")?;
    let mut corners = [0; 3];
    for corner in &mut corners {
        words.expect("vertex")?;
        *corner = welder.add(DVec3::new(
            words.number()?,
            words.number()?,
            words.number()?,
        ));
    }
    words.expect("endloop")?;
    words.expect("endfacet")?;
    Ok(corners)
}

fn finish(
    format: Format,
    welder: Welder,
    triangles: Vec<[u32; 3]>,
    reservations: Vec<String>,
) -> Result<Read, ReadError> {
    if triangles.is_empty() {
        return Err(ReadError::Empty {
            format: format.name(),
        });
    }
    // Text beyond f64 range is refused word by word, so the coordinates are finite by now.
    let mesh =
        Mesh::new(welder.into_points(), triangles, None).map_err(|e| ReadError::Malformed {
            place: Place::File,
            found: e.to_string(),
            expected: "finite coordinates".into(),
            hint: "export the part again".into(),
        })?;
    let largest = mesh
        .points()
        .iter()
        .map(|p| p.abs().max_element())
        .fold(0.0, f64::max);
    // Equal corners first: merging near ones as well can fold the slivers of a sound mesh.
    let mesh = if crate::shells::has_open_edges(&mesh) {
        mesh.welded_within(f64::from(f32::EPSILON) * largest)
    } else {
        mesh
    };
    Ok(Read {
        format,
        mesh,
        unit: UnitFound::None,
        reservations,
    })
}

fn not_finite(place: Place, found: &str) -> ReadError {
    ReadError::Malformed {
        place,
        found: format!("the coordinate {found}"),
        expected: "a finite number".into(),
        hint: "the export is broken there; repair or export the part again".into(),
    }
}

/// Words of a text with the line each stands on.
struct Words<'a> {
    rest: &'a str,
    line: usize,
}

impl<'a> Words<'a> {
    fn new(text: &'a str) -> Words<'a> {
        Words {
            rest: text.strip_prefix('\u{feff}').unwrap_or(text),
            line: 1,
        }
    }

    fn next(&mut self) -> Option<&'a str> {
        let start = self.rest.find(|c: char| !c.is_whitespace())?;
        self.line += self.rest[..start].matches('\n').count();
        let from = &self.rest[start..];
        let end = from.find(char::is_whitespace).unwrap_or(from.len());
        self.rest = &from[end..];
        Some(&from[..end])
    }

    /// Leaves what remains of the current line. Files with bare carriage returns end lines there.
    fn skip_line(&mut self) {
        let end = self.rest.find(['\n', '\r']).unwrap_or(self.rest.len());
        self.rest = &self.rest[end..];
    }

    fn expect(&mut self, keyword: &str) -> Result<(), ReadError> {
        match self.next() {
            Some(word) if word.eq_ignore_ascii_case(keyword) => Ok(()),
            Some(word) => Err(self.unexpected(word, &format!("\"{keyword}\""))),
            None => Err(self.unexpected_end(&format!("\"{keyword}\""))),
        }
    }

    fn number(&mut self) -> Result<f64, ReadError> {
        let word = self
            .next()
            .ok_or_else(|| self.unexpected_end("a coordinate"))?;
        match word.parse::<f64>() {
            Ok(value) if value.is_finite() => Ok(value),
            Ok(_) => Err(not_finite(Place::Line(self.line), word)),
            Err(_) => Err(self.unexpected(word, "a coordinate such as 12.5")),
        }
    }

    fn unexpected(&self, word: &str, expected: &str) -> ReadError {
        ReadError::Malformed {
            place: Place::Line(self.line),
            found: quoted(word),
            expected: expected.into(),
            hint: "the file is damaged or not a text STL; export the part again".into(),
        }
    }

    fn unexpected_end(&self, expected: &str) -> ReadError {
        ReadError::Malformed {
            place: Place::Line(self.line),
            found: "the end of the file".into(),
            expected: expected.into(),
            hint: "the file is cut short; copy or export it again".into(),
        }
    }
}
