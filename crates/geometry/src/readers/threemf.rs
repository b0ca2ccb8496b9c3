//! 3MF (3MF Core Specification 1.3, with the production extension's paths): a zip package of XML.
//!
//! Unit, transforms, components and build items are applied; every item of the build is welded on
//! its own, so bodies that merely touch stay apart. Numbers that do not parse are errors.

mod document;

use super::{Place, Read, ReadError};
use crate::format::Format;
use crate::mesh::Mesh;
use crate::unit::{LengthUnit, UnitFound};
use document::{Document, Object, Shape, Use};
use glam::DMat4;
use std::collections::BTreeMap;
use std::io::{Cursor, Read as _};

/// Largest XML part unpacked. A million triangles take about 100 MB; beyond this a package is
/// taken for a decompression bomb.
const MAX_PART_BYTES: u64 = 2 << 30;
/// Deepest nesting of components, and most triangles of the whole build. Components share meshes,
/// so a few nested lines of text can otherwise stand for more triangles than memory holds.
const MAX_DEPTH: usize = 64;
const MAX_TRIANGLES: usize = 50_000_000;

/// Reads a 3MF package.
pub fn read(bytes: &[u8]) -> Result<Read, ReadError> {
    let mut package = Package::open(bytes)?;
    let root_name = package.root_model()?;
    let root = package.document(&root_name)?;
    let unit = root.unit.unwrap_or(LengthUnit::Millimetre);
    let mut reservations = Vec::new();
    if root.unit.is_none() {
        reservations.push("the file names no unit; 3MF then means millimetres".to_string());
    }
    let mut documents = BTreeMap::from([(root_name.clone(), root)]);
    package.load_referenced(&mut documents)?;
    let build = documents[&root_name].build.clone();
    let size = Size {
        documents: &documents,
    };
    let mut counted = BTreeMap::new();
    let triangles: usize = build
        .iter()
        .map(|item| size.of(item, &root_name, 0, &mut counted))
        .fold(0, usize::saturating_add);
    if triangles > MAX_TRIANGLES {
        return Err(malformed(
            Place::Piece(format!("{root_name}, build")),
            format!("more than {MAX_TRIANGLES} triangles in all"),
            "a model of usual size",
            "export single parts, or with coarser triangles",
        ));
    }
    let mut mesh = Mesh::default();
    for item in &build {
        let mut assembly = Assembly {
            documents: &documents,
            reservations: &mut reservations,
        };
        assembly.place(item, &root_name, &DMat4::IDENTITY, 0, &mut mesh)?;
    }
    if mesh.triangles().is_empty() {
        return Err(ReadError::Empty { format: "3mf" });
    }
    reservations.dedup();
    Ok(Read {
        format: Format::ThreeMf,
        mesh,
        unit: UnitFound::Stated(unit),
        reservations,
    })
}

struct Package<'a> {
    zip: zip::ZipArchive<Cursor<&'a [u8]>>,
}

impl<'a> Package<'a> {
    fn open(bytes: &'a [u8]) -> Result<Package<'a>, ReadError> {
        let zip = zip::ZipArchive::new(Cursor::new(bytes)).map_err(|e| {
            malformed(
                Place::File,
                e.to_string(),
                "a zip package",
                "copy or export the file again",
            )
        })?;
        Ok(Package { zip })
    }

    /// Name of the model the package starts from: the target of its relationship, else the only
    /// `.model` part.
    fn root_model(&mut self) -> Result<String, ReadError> {
        if let Ok(text) = self.text("_rels/.rels")
            && let Some(target) = document::start_part(&text)
        {
            return Ok(plain_name(&target));
        }
        let mut models: Vec<String> = self
            .zip
            .file_names()
            .filter(|n| n.ends_with(".model"))
            .map(String::from)
            .collect();
        models.sort();
        match models.as_slice() {
            [only] => Ok(only.clone()),
            _ => Err(malformed(
                Place::Piece("_rels/.rels".into()),
                format!("{} model parts and no start part", models.len()),
                "a relationship naming the model to start from",
                "save the file again from the drawing program",
            )),
        }
    }

    fn text(&mut self, name: &str) -> Result<String, ReadError> {
        let piece = || Place::Piece(name.to_string());
        let part = self.zip.by_name(name).map_err(|e| {
            malformed(
                piece(),
                e.to_string(),
                "this part in the package",
                "export the part again",
            )
        })?;
        let mut bytes = Vec::new();
        part.take(MAX_PART_BYTES + 1)
            .read_to_end(&mut bytes)
            .map_err(|e| {
                malformed(
                    piece(),
                    e.to_string(),
                    "readable data",
                    "copy or export the file again",
                )
            })?;
        if bytes.len() as u64 > MAX_PART_BYTES {
            return Err(malformed(
                piece(),
                "more than 2 GiB of text".into(),
                "a model of usual size",
                "export the part with coarser triangles",
            ));
        }
        String::from_utf8(bytes).map_err(|e| {
            malformed(
                piece(),
                format!("byte {} that is not UTF-8", e.utf8_error().valid_up_to()),
                "UTF-8 text",
                "export the part again",
            )
        })
    }

    fn document(&mut self, name: &str) -> Result<Document, ReadError> {
        let text = self.text(name)?;
        Document::parse(&text, name)
    }

    /// Loads the other model parts that build items and components name by path.
    fn load_referenced(
        &mut self,
        documents: &mut BTreeMap<String, Document>,
    ) -> Result<(), ReadError> {
        loop {
            let missing: Option<String> = documents
                .values()
                .flat_map(Document::uses)
                .filter_map(|u| u.path.as_deref().map(plain_name))
                .find(|path| !documents.contains_key(path));
            let Some(path) = missing else { return Ok(()) };
            let document = self.document(&path)?;
            documents.insert(path, document);
        }
    }
}

/// Counts what a build would hold before any of it is built.
struct Size<'a> {
    documents: &'a BTreeMap<String, Document>,
}

impl Size<'_> {
    /// Triangles of a use, plus one for every object placed, so that empty ones count too. Broken
    /// and endless references count nothing here; placing them reports the error.
    fn of(
        &self,
        what: &Use,
        from: &str,
        depth: usize,
        counted: &mut BTreeMap<(String, u32), usize>,
    ) -> usize {
        let name = what
            .path
            .as_deref()
            .map_or_else(|| from.to_string(), plain_name);
        let key = (name, what.object);
        if let Some(&count) = counted.get(&key) {
            return count;
        }
        // Stands for the object while its parts are counted, which ends endless nesting.
        counted.insert(key.clone(), 0);
        let object = self
            .documents
            .get(&key.0)
            .and_then(|d| d.objects.get(&what.object));
        let inner = match object.map(|o| &o.shape) {
            Some(Shape::Mesh(mesh)) => mesh.triangles().len(),
            Some(Shape::Components(uses)) if depth <= MAX_DEPTH => uses
                .iter()
                .map(|u| self.of(u, &key.0, depth + 1, counted))
                .fold(0, usize::saturating_add),
            _ => 0,
        };
        let count = inner.saturating_add(1);
        counted.insert(key, count);
        count
    }
}

struct Assembly<'a> {
    documents: &'a BTreeMap<String, Document>,
    reservations: &'a mut Vec<String>,
}

impl Assembly<'_> {
    fn place(
        &mut self,
        what: &Use,
        from: &str,
        root_from_parent: &DMat4,
        depth: usize,
        into: &mut Mesh,
    ) -> Result<(), ReadError> {
        let name = what
            .path
            .as_deref()
            .map_or_else(|| from.to_string(), plain_name);
        let piece = || Place::Piece(format!("{name}, object {}", what.object));
        if depth > MAX_DEPTH {
            return Err(malformed(
                piece(),
                "components nested without end".into(),
                "objects that do not contain themselves",
                "export the part again",
            ));
        }
        let object: &Object = self
            .documents
            .get(&name)
            .and_then(|d| d.objects.get(&what.object))
            .ok_or_else(|| {
                malformed(
                    piece(),
                    "a use of an object that is not there".into(),
                    "an object with this id",
                    "export the part again",
                )
            })?;
        if object.is_support {
            self.reservations
                .push("support material was left out".into());
            return Ok(());
        }
        let root_from_object = *root_from_parent * what.parent_from_object;
        match &object.shape {
            Shape::Mesh(mesh) => {
                let placed = mesh.transformed(&root_from_object).map_err(|e| {
                    malformed(piece(), e.to_string(), "finite coordinates", "export again")
                })?;
                into.append(&placed.welded());
            }
            Shape::Components(uses) => {
                for u in uses {
                    self.place(u, &name, &root_from_object, depth + 1, into)?;
                }
            }
            Shape::Other(kind) => {
                return Err(malformed(
                    piece(),
                    format!("a shape of kind {kind}"),
                    "a mesh or components",
                    "export the part as a plain mesh",
                ));
            }
        }
        Ok(())
    }
}

/// Part names without the leading slash, as the archive stores them.
fn plain_name(name: &str) -> String {
    name.trim_start_matches('/').to_string()
}

fn malformed(place: Place, found: String, expected: &str, hint: &str) -> ReadError {
    ReadError::Malformed {
        place,
        found,
        expected: expected.into(),
        hint: hint.into(),
    }
}
