//! Generated files written otherwise than they were, meaning the same.

use std::collections::BTreeMap;
use std::path::PathBuf;
use step::{Model, TessellationOptions};

mod meaning;
mod notation;
mod pcurves;

/// A file taken apart into its header and its instances.
#[derive(Clone)]
pub struct Text {
    head: String,
    /// What stands right of the equals sign, by number.
    pub instances: BTreeMap<u64, String>,
}

impl Text {
    pub fn of(name: &str) -> Self {
        let path = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
            .join("tests/data/generated")
            .join(format!("{name}.step"));
        let text = std::fs::read_to_string(path).expect("a generated file");
        let (head, data) = text.split_once("DATA;").expect("a data section");
        let mut instances = BTreeMap::new();
        for statement in statements(data) {
            if let Some((number, body)) = statement.split_once('=')
                && let Some(number) = number.trim().strip_prefix('#')
            {
                let number = number.parse().expect("a number");
                instances.insert(number, body.trim().to_string());
            }
        }
        assert!(instances.len() > 10, "{name}");
        Self {
            head: head.to_string(),
            instances,
        }
    }

    /// The file again, with its instances in the given order.
    pub fn in_order<'t>(&self, order: impl Iterator<Item = (&'t u64, &'t String)>) -> String {
        let mut out = format!("{}DATA;\n", self.head);
        for (number, body) in order {
            out += &format!("#{number}={body};\n");
        }
        out + "ENDSEC;\nEND-ISO-10303-21;\n"
    }

    pub fn written(&self) -> String {
        self.in_order(self.instances.iter())
    }

    /// Keyword and attributes of a simple instance.
    pub fn simple(&self, number: u64) -> (&str, Vec<String>) {
        let body = &self.instances[&number];
        let (keyword, rest) = body.split_once('(').expect("attributes");
        let rest = rest.trim_end().strip_suffix(')').expect("an end");
        (keyword.trim(), split(rest, ','))
    }

    /// Numbers of the simple instances of a type.
    pub fn all(&self, keyword: &str) -> Vec<u64> {
        let is = |body: &String| body.split('(').next().is_some_and(|k| k.trim() == keyword);
        self.instances
            .iter()
            .filter(|(_, body)| is(body))
            .map(|(n, _)| *n)
            .collect()
    }
}

/// Number behind a `#`.
pub fn number(reference: &str) -> u64 {
    let digits = reference.trim().trim_matches(['(', ')', ' ', '\n']);
    digits
        .strip_prefix('#')
        .unwrap_or_else(|| panic!("{reference} is no reference"))
        .parse()
        .expect("a number")
}

/// Pieces between separators outside of strings and brackets.
pub fn split(text: &str, separator: char) -> Vec<String> {
    let (mut out, mut piece) = (Vec::new(), String::new());
    let (mut depth, mut quoted) = (0, false);
    for c in text.chars() {
        match c {
            '\'' => quoted = !quoted,
            '(' if !quoted => depth += 1,
            ')' if !quoted => depth -= 1,
            _ => {}
        }
        if c == separator && depth == 0 && !quoted {
            out.push(std::mem::take(&mut piece));
        } else {
            piece.push(c);
        }
    }
    out.push(piece);
    out.into_iter().map(|s| s.trim().to_string()).collect()
}

fn statements(data: &str) -> Vec<String> {
    split(data, ';')
}

pub fn load(text: &str) -> Model {
    step::load(text.as_bytes(), &TessellationOptions::default(), None).expect("a STEP file")
}

/// What must be the same, with the relative difference allowed.
pub fn assert_same(name: &str, got: &Model, want: &Model, relative: f64) {
    let near = |what: &str, got: f64, want: f64| {
        assert!(
            (got - want).abs() <= relative * want.abs(),
            "{name}: {what} {got} instead of {want}"
        );
    };
    assert_eq!(
        got.solid_count(),
        want.solid_count(),
        "{name}: {:?}",
        got.reservations
    );
    assert_eq!(
        got.face_count(),
        want.face_count(),
        "{name}: {:?}",
        got.reservations
    );
    assert_eq!(
        got.watertight(),
        want.watertight(),
        "{name}: {:?}",
        got.reservations
    );
    near("volume", got.volume_mm3(), want.volume_mm3());
    near("area", got.area_mm2(), want.area_mm2());
    let (a, b) = (
        got.bounds_mm().expect("bounds"),
        want.bounds_mm().expect("bounds"),
    );
    let diagonal = (b[1] - b[0]).length();
    for side in 0..2 {
        let off = a[side].distance(b[side]);
        assert!(off <= relative * diagonal, "{name}: bounds {off} mm off");
    }
}
