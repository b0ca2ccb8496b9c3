//! One XML model part of a 3MF package.

use super::malformed;
use crate::mesh::Mesh;
use crate::readers::{Place, ReadError, quoted};
use crate::unit::LengthUnit;
use glam::{DMat4, DVec3, DVec4};
use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};
use std::collections::BTreeMap;

/// A use of an object: by a build item or a component.
#[derive(Clone, Debug)]
pub(super) struct Use {
    pub object: u32,
    /// Model part the object is in, when another one.
    pub path: Option<String>,
    pub parent_from_object: DMat4,
}

#[derive(Debug)]
pub(super) enum Shape {
    Mesh(Mesh),
    Components(Vec<Use>),
    Other(String),
}

#[derive(Debug)]
pub(super) struct Object {
    pub shape: Shape,
    pub is_support: bool,
}

#[derive(Debug, Default)]
pub(super) struct Document {
    pub unit: Option<LengthUnit>,
    pub objects: BTreeMap<u32, Object>,
    pub build: Vec<Use>,
}

/// Target of the relationship that names the start part.
pub(super) fn start_part(relationships: &str) -> Option<String> {
    let mut reader = Reader::from_str(relationships);
    loop {
        match reader.read_event() {
            Ok(Event::Start(e) | Event::Empty(e)) if e.local_name().as_ref() == b"Relationship" => {
                if attribute(&e, "Type").is_some_and(|t| t.ends_with("/3dmodel")) {
                    return attribute(&e, "Target");
                }
            }
            Ok(Event::Eof) | Err(_) => return None,
            Ok(_) => {}
        }
    }
}

/// What is being read between the tags of one object.
#[derive(Default)]
struct Open {
    id: u32,
    is_support: bool,
    points: Vec<DVec3>,
    triangles: Vec<[u32; 3]>,
    components: Vec<Use>,
    other: Option<String>,
    has_mesh: bool,
}

impl Document {
    pub(super) fn parse(text: &str, name: &str) -> Result<Document, ReadError> {
        let mut reader = Reader::from_str(text);
        let mut parser = Parser {
            text,
            name,
            document: Document::default(),
            open: None,
        };
        loop {
            let event = reader.read_event();
            let at = reader.buffer_position() as usize;
            match event {
                Ok(Event::Start(e) | Event::Empty(e)) if e.local_name().as_ref() == b"object" => {
                    parser.start_object(&e, at)?;
                }
                Ok(Event::Start(e) | Event::Empty(e)) => parser.element(&e, at)?,
                Ok(Event::End(e)) if e.local_name().as_ref() == b"object" => {
                    parser.end_object(at)?;
                }
                Ok(Event::Eof) => break,
                Ok(_) => {}
                Err(e) => return Err(parser.wrong(at, e.to_string(), "well-formed XML")),
            }
        }
        Ok(parser.document)
    }

    /// All uses of objects in this part.
    pub(super) fn uses(&self) -> impl Iterator<Item = &Use> {
        let inner = self.objects.values().flat_map(|o| match &o.shape {
            Shape::Components(uses) => uses.as_slice(),
            Shape::Mesh(_) | Shape::Other(_) => &[],
        });
        self.build.iter().chain(inner)
    }
}

struct Parser<'a> {
    text: &'a str,
    name: &'a str,
    document: Document,
    open: Option<Open>,
}

impl Parser<'_> {
    fn start_object(&mut self, e: &BytesStart<'_>, at: usize) -> Result<(), ReadError> {
        let kind = attribute(e, "type").unwrap_or_default();
        self.open = Some(Open {
            id: self.number(e, "id", at)?,
            is_support: kind == "support" || kind == "solidsupport",
            ..Open::default()
        });
        Ok(())
    }

    fn end_object(&mut self, at: usize) -> Result<(), ReadError> {
        let Some(open) = self.open.take() else {
            return Ok(());
        };
        let shape = if let Some(kind) = open.other {
            Shape::Other(kind)
        } else if open.has_mesh {
            let mesh = Mesh::new(open.points, open.triangles, None).map_err(|e| {
                let place = Place::Piece(format!("{}, object {}", self.name, open.id));
                malformed(
                    place,
                    e.to_string(),
                    "corners that exist",
                    "export the part again",
                )
            })?;
            Shape::Mesh(mesh)
        } else {
            Shape::Components(open.components)
        };
        let object = Object {
            shape,
            is_support: open.is_support,
        };
        if self.document.objects.insert(open.id, object).is_some() {
            return Err(self.wrong(at, format!("a second object {}", open.id), "ids used once"));
        }
        Ok(())
    }

    fn element(&mut self, e: &BytesStart<'_>, at: usize) -> Result<(), ReadError> {
        let local = e.local_name();
        let local = std::str::from_utf8(local.as_ref()).unwrap_or("");
        match (local, self.open.is_some()) {
            ("model", _) => {
                if let Some(unit) = attribute(e, "unit") {
                    self.document.unit = Some(LengthUnit::from_name(&unit).ok_or_else(|| {
                        self.wrong(
                            at,
                            format!("the unit {}", quoted(&unit)),
                            "micron, millimeter, centimeter, inch, foot or meter",
                        )
                    })?);
                }
            }
            ("item", false) => {
                let item = self.object_use(e, at)?;
                self.document.build.push(item);
            }
            (_, false) => {}
            ("mesh", true) => self.with_open(|o| o.has_mesh = true),
            ("vertex", true) => {
                let point = DVec3::new(
                    self.coordinate(e, "x", at)?,
                    self.coordinate(e, "y", at)?,
                    self.coordinate(e, "z", at)?,
                );
                self.with_open(|o| o.points.push(point));
            }
            ("triangle", true) => {
                let corners = [
                    self.number(e, "v1", at)?,
                    self.number(e, "v2", at)?,
                    self.number(e, "v3", at)?,
                ];
                self.with_open(|o| o.triangles.push(corners));
            }
            ("component", true) => {
                let component = self.object_use(e, at)?;
                self.with_open(|o| o.components.push(component));
            }
            ("beamlattice" | "booleanshape" | "displacementmesh" | "volumetric", true) => {
                self.with_open(|o| o.other = Some(local.to_string()));
            }
            _ => {}
        }
        Ok(())
    }

    fn with_open(&mut self, change: impl FnOnce(&mut Open)) {
        if let Some(open) = &mut self.open {
            change(open);
        }
    }

    fn object_use(&self, e: &BytesStart<'_>, at: usize) -> Result<Use, ReadError> {
        let parent_from_object = match attribute(e, "transform") {
            None => DMat4::IDENTITY,
            Some(text) => transform(&text).ok_or_else(|| {
                self.wrong(
                    at,
                    format!("the transform {}", quoted(&text)),
                    "twelve numbers",
                )
            })?,
        };
        Ok(Use {
            object: self.number(e, "objectid", at)?,
            path: attribute(e, "path"),
            parent_from_object,
        })
    }

    fn number(&self, e: &BytesStart<'_>, key: &str, at: usize) -> Result<u32, ReadError> {
        let value = self.required(e, key, at)?;
        value.trim().parse().map_err(|_| {
            self.wrong(
                at,
                format!("{key}={}", quoted(&value)),
                "a whole number from 0 up",
            )
        })
    }

    fn coordinate(&self, e: &BytesStart<'_>, key: &str, at: usize) -> Result<f64, ReadError> {
        let value = self.required(e, key, at)?;
        value
            .trim()
            .parse::<f64>()
            .ok()
            .filter(|v| v.is_finite())
            .ok_or_else(|| {
                self.wrong(
                    at,
                    format!("{key}={}", quoted(&value)),
                    "a finite number such as 12.5",
                )
            })
    }

    fn required(&self, e: &BytesStart<'_>, key: &str, at: usize) -> Result<String, ReadError> {
        attribute(e, key).ok_or_else(|| {
            let tag = String::from_utf8_lossy(e.local_name().as_ref()).into_owned();
            self.wrong(at, format!("<{tag}> without {key}"), "this attribute")
        })
    }

    fn wrong(&self, at: usize, found: String, expected: &str) -> ReadError {
        let before = &self.text.as_bytes()[..at.min(self.text.len())];
        let line = 1 + before.iter().filter(|&&b| b == b'\n').count();
        let place = Place::Piece(format!("{}, line {line}", self.name));
        malformed(place, found, expected, "export the part again")
    }
}

/// Value of the attribute with this local name (prefixes of extensions are passed over).
fn attribute(e: &BytesStart<'_>, key: &str) -> Option<String> {
    e.attributes()
        .filter_map(Result::ok)
        .find(|a| a.key.local_name().as_ref() == key.as_bytes())
        .and_then(|a| a.unescape_value().ok().map(|v| v.into_owned()))
}

/// `m00 m01 m02 m10 ... m32`: rows of a matrix that multiplies row vectors from the right, so each
/// group of three is a column of ours.
fn transform(text: &str) -> Option<DMat4> {
    let numbers: Vec<f64> = text
        .split_whitespace()
        .map(|w| w.parse().ok())
        .collect::<Option<Vec<f64>>>()?;
    if numbers.len() != 12 || numbers.iter().any(|n| !n.is_finite()) {
        return None;
    }
    let column =
        |i: usize, w: f64| DVec4::new(numbers[3 * i], numbers[3 * i + 1], numbers[3 * i + 2], w);
    Some(DMat4::from_cols(
        column(0, 0.0),
        column(1, 0.0),
        column(2, 0.0),
        column(3, 1.0),
    ))
}
