//! What kind of model file some bytes are: by content first, by name only when content is silent.

/// Model file formats.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// ISO 10303-21 exchange file.
    Step,
    /// STL, binary.
    StlBinary,
    /// STL, text.
    StlText,
    /// 3MF package.
    ThreeMf,
    /// Wavefront OBJ.
    Obj,
}

impl Format {
    /// Name used in results.
    pub fn name(self) -> &'static str {
        match self {
            Format::Step => "step",
            Format::StlBinary | Format::StlText => "stl",
            Format::ThreeMf => "3mf",
            Format::Obj => "obj",
        }
    }
}

/// Bytes before the first triangle of a binary STL: header and count.
pub(crate) const STL_HEADER: usize = 84;
/// Bytes of one triangle of a binary STL.
pub(crate) const STL_RECORD: usize = 50;

/// The format of `bytes`, with `file_name` deciding only where the content does not.
///
/// A binary STL may begin with "solid" like a text one; it is told by its length, which the count
/// at byte 80 fixes, and by the absence of text keywords.
pub fn detect(bytes: &[u8], file_name: &str) -> Option<Format> {
    if bytes.starts_with(b"PK\x03\x04") {
        return Some(Format::ThreeMf);
    }
    let start = &bytes[..bytes.len().min(4096)];
    let text = String::from_utf8_lossy(start.strip_prefix(b"\xef\xbb\xbf").unwrap_or(start))
        .to_ascii_lowercase();
    let text = text.trim_start();
    if text.starts_with("iso-10303-21") {
        return Some(Format::Step);
    }
    if stl_count(bytes).is_some_and(|n| {
        (STL_HEADER as u64).checked_add(n * STL_RECORD as u64) == Some(bytes.len() as u64)
    }) {
        return Some(Format::StlBinary);
    }
    if text.starts_with("solid")
        && !start.contains(&0)
        && (text.contains("facet") || text.contains("endsolid"))
    {
        return Some(Format::StlText);
    }
    let extension = file_name
        .rsplit_once('.')
        .map(|(_, e)| e.to_ascii_lowercase());
    match extension.as_deref() {
        Some("stl") if text.starts_with("solid") && !start.contains(&0) => Some(Format::StlText),
        Some("stl") => Some(Format::StlBinary),
        Some("3mf") => Some(Format::ThreeMf),
        Some("obj") => Some(Format::Obj),
        Some("step" | "stp" | "p21") => Some(Format::Step),
        _ if looks_like_obj(text) => Some(Format::Obj),
        _ => None,
    }
}

/// Triangle count a binary STL states.
pub(crate) fn stl_count(bytes: &[u8]) -> Option<u64> {
    let count = bytes.get(80..STL_HEADER)?;
    Some(u64::from(u32::from_le_bytes(count.try_into().ok()?)))
}

fn looks_like_obj(text: &str) -> bool {
    text.lines()
        .map(str::trim)
        .filter(|l| !l.is_empty() && !l.starts_with('#'))
        .take(20)
        .any(|l| {
            let mut words = l.split_whitespace();
            words.next() == Some("v") && words.filter(|w| w.parse::<f64>().is_ok()).count() >= 3
        })
}
