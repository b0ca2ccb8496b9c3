//! A small sound folder on disk that tests bend one way or another.

use std::collections::BTreeMap;
use std::path::Path;
use units::{Problems, Watch};

/// Files by name.
#[derive(Clone)]
pub struct Files(pub BTreeMap<String, Vec<u8>>);

pub const SHOP: &str = r#"name = "Test shop"
currency = "USD"
budget = "$30,000"
aim = "capability"
"#;

pub const PARTS: &str = r#"[[part]]
id = "plate"
material = "6061"
size = "12 x 8 x 1 in"
quantity = "10 per year"

[[part.feature]]
kind = "holes"
thread = "M6"
depth = "0.5 in"
count = 4
"#;

pub const OFFER: &str = r#"name = "Mill"
class = "light column mill"
condition = "new"
price = "$12,000"
travel = "18 x 10 x 16 in"
nose_to_table = "2 in to 18 in"
weight = "1200 lb"
"#;

pub const SITE: &str = r#"door = "8 ft x 7 ft"
ceiling = "8 ft 6 in"
supply = "240 V / 1PH / 100 A"
"#;

impl Files {
    /// Nothing wrong with it.
    pub fn sound() -> Self {
        let mut files = Files(BTreeMap::new());
        for (name, text) in [
            ("shop.toml", SHOP),
            ("parts.toml", PARTS),
            ("offers/mill.toml", OFFER),
            ("site.toml", SITE),
        ] {
            files.put(name, text);
        }
        files
    }

    /// Adds or replaces a file.
    pub fn put(&mut self, name: &str, bytes: impl AsRef<[u8]>) {
        self.0.insert(name.to_owned(), bytes.as_ref().to_vec());
    }

    /// Replaces a piece of a file, which must be there.
    pub fn change(&mut self, name: &str, from: &str, to: &str) {
        let text = String::from_utf8(self.0[name].clone()).expect("text");
        assert!(text.contains(from), "{from} in {name}");
        self.put(name, text.replacen(from, to, 1));
    }

    /// Adds lines to a file.
    pub fn add(&mut self, name: &str, lines: &str) {
        let mut bytes = self.0[name].clone();
        bytes.extend_from_slice(lines.as_bytes());
        self.put(name, bytes);
    }

    /// Writes the files to a fresh folder and reads them.
    pub fn read(&self) -> Result<folder::Study, Problems> {
        let dir = tempfile::tempdir().expect("a temporary folder");
        self.write(dir.path());
        folder::read(dir.path(), Watch::NOBODY)
    }

    pub fn write(&self, dir: &Path) {
        for (name, bytes) in &self.0 {
            let path = dir.join(name);
            std::fs::create_dir_all(path.parent().expect("a parent")).expect("a folder");
            std::fs::write(path, bytes).expect("written");
        }
    }

    /// What a user is told, whether the folder can be used or not.
    pub fn told(&self) -> String {
        match self.read() {
            Ok(study) => format!("usable\n{}", study.problems),
            Err(problems) => format!("stops\n{problems}"),
        }
    }
}
