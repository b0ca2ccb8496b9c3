//! The whole folder: read in the order in which files need each other, all problems gathered.

use crate::document::{self, Table};
use crate::model::Plans;
use crate::rates::Rates;
use crate::section::{Section, Sink};
use crate::source::{Source, Unread};
use crate::tables::{self, File};
use crate::{facts, ledger, offers, own_tools, parts, shop, site, texts};
use engine::cutting::Materials;
use engine::entered::{OwnTools, Part, Shop, Site};
use engine::machine::{MachineClass, Offer};
use engine::study::Inputs;
use std::path::{Path, PathBuf};
use units::{Cancelled, Currency, Place, Problem, Problems, Watch};

/// Everything one purchase is computed from.
#[derive(Clone, Debug, PartialEq)]
pub struct Study {
    /// The shop.
    pub shop: Shop,
    /// Its room.
    pub site: Site,
    /// Parts, by id.
    pub parts: Vec<Part>,
    /// Offers, by id.
    pub offers: Vec<Offer>,
    /// Materials known, the folder's own among them.
    pub materials: Materials,
    /// Classes of machines known, from small to large.
    pub classes: Vec<MachineClass>,
    /// Warnings and remarks that came up in reading; nothing that stops.
    pub problems: Problems,
}

impl Study {
    /// What a study is computed from.
    pub fn inputs(&self) -> Inputs<'_> {
        Inputs {
            shop: &self.shop,
            site: &self.site,
            parts: &self.parts,
            offers: &self.offers,
            materials: &self.materials,
            classes: &self.classes,
        }
    }
}

/// Reads a shop folder; everything that is wrong with it at once when it cannot be used.
pub fn read(dir: &Path, watch: Watch<'_>) -> Result<Study, Problems> {
    read_source(&Source::Disk(dir.to_owned()), watch)
}

/// Reads a shop folder from wherever it is.
pub fn read_source(source: &Source, watch: Watch<'_>) -> Result<Study, Problems> {
    read_planned(source, Plans::NONE, watch)
}

/// Reads a shop folder, with somebody to work out how its models are made.
pub fn read_planned(
    source: &Source,
    plans: Plans<'_>,
    watch: Watch<'_>,
) -> Result<Study, Problems> {
    let sink = Sink::default();
    if !source.exists() {
        return Err(Problems(vec![texts::no_folder(&source.name())]));
    }
    let read = gather(source, plans, watch, &sink);
    let mut problems = sink.into_problems();
    problems.sort();
    let mut read = match read {
        Ok(read) => read,
        Err(Cancelled) => {
            problems.push(texts::cancelled());
            return Err(problems);
        }
    };
    match read.take() {
        Some(mut study) if !problems.stop() => {
            study.problems = problems;
            Ok(study)
        }
        _ => Err(problems),
    }
}

/// Dollars, and every other currency taken for a dollar: without a shop nobody said.
fn dollars() -> Rates {
    Rates {
        own: Currency::USD,
        rates: Vec::new(),
        excused: Vec::new(),
        all_excused: true,
    }
}

/// `None` without a shop; even then every other file has been checked.
fn gather(
    source: &Source,
    plans: Plans<'_>,
    watch: Watch<'_>,
    sink: &Sink,
) -> Result<Option<Study>, Cancelled> {
    watch.check()?;
    let shop_table = file(source, "shop.toml", Absent::Stops, sink);
    let dollars = dollars();
    let tools = own_tools(source, "tools.csv", sink).unwrap_or_default();
    let (mut shop, rates) = match &shop_table {
        Some(table) => shop::read(Section::new("shop.toml", table, sink)),
        None => (None, dollars),
    };
    let (materials, classes) = known(source, &rates, sink);
    if shop.is_some() && tables::prices_left_out(&rates) {
        sink.push(texts::table_prices_left_out(rates.own.code()));
    }
    let context = parts::Context {
        tools: &tools,
        rates: &rates,
        materials: &materials,
        source,
        plans,
        watch,
    };
    let parts = match file(source, "parts.toml", Absent::Stops, sink) {
        Some(table) => parts::read(Section::new("parts.toml", &table, sink), &context)?,
        None => Vec::new(),
    };
    let offers = all_offers(source, &rates, &classes, watch, sink)?;
    let mut site = match file(source, "site.toml", Absent::Fine, sink) {
        Some(table) => site::read(Section::new("site.toml", &table, sink), source, &rates),
        None => Site::default(),
    };
    if let (Some(shop), None) = (&shop, site.facts.words.rules) {
        site.facts.words.rules = Some(facts::usual_rules(shop.currency));
    }
    if let Some(shop) = &mut shop {
        match source.read(ledger::FILE) {
            Ok(bytes) => shop.paid = ledger::read(&bytes, shop, &offers, &rates, sink),
            Err(Unread::Missing) => {}
            Err(unread) => sink.push(refusal(ledger::FILE, unread)),
        }
    }
    Ok(shop.map(|shop| Study {
        shop: Shop { tools, ..shop },
        site,
        parts,
        offers,
        materials,
        classes,
        problems: Problems::default(),
    }))
}

fn of<'a>(name: &'a str, table: &'a Table, built_in: bool) -> File<'a> {
    File {
        name,
        table,
        built_in,
    }
}

/// The built-in tables with the folder's own on top.
fn known(source: &Source, rates: &Rates, sink: &Sink) -> (Materials, Vec<MachineClass>) {
    let mut materials = Materials::default();
    let mut classes = Vec::new();
    let [built_in_materials, built_in_classes] = tables::built_in(sink);
    tables::add_materials(
        &of(tables::MATERIALS.0, built_in_materials, true),
        rates,
        sink,
        &mut materials,
    );
    if let Some(own) = file(source, "materials.toml", Absent::Silent, sink) {
        tables::add_materials(
            &of("materials.toml", &own, false),
            rates,
            sink,
            &mut materials,
        );
    }
    tables::add_classes(
        &of(tables::CLASSES.0, built_in_classes, true),
        rates,
        sink,
        &mut classes,
    );
    if let Some(own) = file(source, "classes.toml", Absent::Silent, sink) {
        tables::add_classes(&of("classes.toml", &own, false), rates, sink, &mut classes);
    }
    (materials, classes)
}

fn all_offers(
    source: &Source,
    rates: &Rates,
    classes: &[MachineClass],
    watch: Watch<'_>,
    sink: &Sink,
) -> Result<Vec<Offer>, Cancelled> {
    let place = Place {
        file: "offers/".to_owned(),
        ..Place::default()
    };
    let names = match source.list("offers", ".toml") {
        Ok(names) => names,
        Err(Unread::Refused(why)) => {
            sink.push(texts::refused(place, &why));
            return Ok(Vec::new());
        }
        Err(_) => Vec::new(),
    };
    if names.is_empty() {
        sink.push(texts::no_offers(place));
    }
    let mut offers = Vec::new();
    for (done, name) in names.iter().enumerate() {
        watch.tick("reading offers", done, names.len())?;
        let path = format!("offers/{name}");
        let id = name.strip_suffix(".toml").unwrap_or(name);
        if let Some(table) = file(source, &path, Absent::Stops, sink) {
            offers.extend(offers::read(
                Section::new(&path, &table, sink),
                id,
                rates,
                classes,
            ));
        }
    }
    offers.sort_by(|a, b| a.id.cmp(&b.id));
    Ok(offers)
}

/// What the absence of a file means.
#[derive(Clone, Copy, PartialEq)]
enum Absent {
    Stops,
    Fine,
    Silent,
}

fn file(source: &Source, name: &str, absent: Absent, sink: &Sink) -> Option<Table> {
    let place = Place {
        file: name.to_owned(),
        ..Place::default()
    };
    let problem = match source.read(name) {
        Ok(bytes) => match document::parse(name, &bytes) {
            Ok(table) => return Some(table),
            Err(problem) => problem,
        },
        Err(Unread::Missing) => match absent {
            Absent::Stops => texts::no_file(place),
            Absent::Fine => texts::no_site(place),
            Absent::Silent => return None,
        },
        Err(unread) => refusal(name, unread),
    };
    sink.push(problem);
    None
}

/// Tools of a file; `None` when it is not there.
fn own_tools(source: &Source, name: &str, sink: &Sink) -> Option<OwnTools> {
    match source.read(name) {
        Ok(bytes) => return Some(own_tools::read(name, &bytes, sink)),
        Err(Unread::Missing) => {}
        Err(unread) => sink.push(refusal(name, unread)),
    }
    None
}

/// A file by itself: its path, and a source with its name in it. A folder stands for the file usual in
/// it.
fn alone(path: &Path, usual: &str) -> (PathBuf, Source, String) {
    let path = if path.is_dir() {
        path.join(usual)
    } else {
        path.to_owned()
    };
    let dir = path.parent().filter(|p| !p.as_os_str().is_empty());
    let name = path.file_name().map(|n| n.to_string_lossy().into_owned());
    let source = Source::Disk(dir.unwrap_or(Path::new(".")).to_owned());
    let name = name.unwrap_or_default();
    (path, source, name)
}

/// Reads one file of tools by itself, for questions about parts alone. A folder stands for the
/// `tools.csv` in it.
pub fn read_tools(path: &Path) -> Result<(OwnTools, Problems), Problems> {
    let (path, source, name) = alone(path, "tools.csv");
    let sink = Sink::default();
    let tools = own_tools(&source, &name, &sink);
    let mut problems = sink.into_problems();
    if tools.is_none() && problems.0.is_empty() {
        problems.push(texts::no_file(Place {
            file: path.display().to_string(),
            ..Place::default()
        }));
    }
    problems.sort();
    match tools {
        Some(tools) if !problems.stop() => Ok((tools, problems)),
        _ => Err(problems),
    }
}

/// Why a file that should be read was not.
fn refusal(name: &str, unread: Unread) -> Problem {
    let place = Place {
        file: name.to_owned(),
        ..Place::default()
    };
    match unread {
        Unread::Missing => texts::no_file(place),
        Unread::Refused(why) => texts::refused(place, &why),
        Unread::TooLarge(bytes) => texts::too_large(place, bytes),
    }
}

/// Reads one site file by itself, for questions about the room alone. A folder stands for the
/// `site.toml` in it.
pub fn read_site(path: &Path) -> Result<(Site, Problems), Problems> {
    let (_, source, name) = alone(path, "site.toml");
    let sink = Sink::default();
    let site = file(&source, &name, Absent::Stops, &sink)
        .map(|table| site::read(Section::new(&name, &table, &sink), &source, &dollars()));
    let mut problems = sink.into_problems();
    problems.sort();
    match site {
        Some(site) if !problems.stop() => Ok((site, problems)),
        _ => Err(problems),
    }
}
