//! `parts.toml`: what is to be made.

use crate::document::{Node, shortened};
use crate::features;
use crate::hole_work::{self, Work};
use crate::model::{self, Asked, Plans};
use crate::quantity::{self, Least};
use crate::rates::Rates;
use crate::section::{Section, lengths};
use crate::shop::scaled;
use crate::source::Source;
use crate::suggest::nearest;
use crate::texts::{self, Wrong};
use engine::cutting::Materials;
use engine::demand::{Holding, grade_width};
use engine::entered::{OwnTools, Part, Shape};
use engine::ids::{MaterialId, PartId};
use engine::material::neck_share;
use geometry::plan::Options;
use geometry::unit::LengthUnit;
use std::collections::BTreeMap;
use units::{Entered, Length, Number, Value, Watch};

/// What the parts are read with.
pub(crate) struct Context<'a> {
    pub(crate) tools: &'a OwnTools,
    pub(crate) rates: &'a Rates,
    pub(crate) materials: &'a Materials,
    pub(crate) source: &'a Source,
    pub(crate) plans: Plans<'a>,
    pub(crate) watch: Watch<'a>,
}

/// All parts, sorted by id; those with something wrong are left out and reported.
pub(crate) fn read(
    section: Section<'_>,
    context: &Context<'_>,
) -> Result<Vec<Part>, units::Cancelled> {
    let sections = section.sections("part");
    if !section.has("part") {
        section.push(texts::no_parts(section.place()));
    }
    let mut first_lines: BTreeMap<String, u32> = BTreeMap::new();
    let mut parts = Vec::new();
    let total = sections.len();
    for (done, each) in sections.into_iter().enumerate() {
        context.watch.tick("reading parts", done, total)?;
        // A part with something else wrong still takes its id.
        let place = each.place_of("id");
        let mut again = false;
        if let Some(Node::Text(id)) = each.get("id").map(|located| &located.node) {
            let id = id.trim();
            match first_lines.get(id) {
                Some(first) => {
                    again = true;
                    section.push(texts::duplicate_part(place, id, *first));
                }
                None => {
                    first_lines.insert(id.to_owned(), place.line);
                }
            }
        }
        let Some(part) = part(each, context) else {
            continue;
        };
        if again {
            continue;
        }
        parts.push(part);
    }
    section.finish();
    parts.sort_by(|a, b| a.id.cmp(&b.id));
    Ok(parts)
}

fn part(section: Section<'_>, context: &Context<'_>) -> Option<Part> {
    section.require("id", "a short name: id = \"base-plate\"");
    let id = section.with("id", id_text);
    let prefix = format!("parts/{}", id.as_deref().unwrap_or("?"));
    let about = section.with("about", |node| about(node, context.materials));
    let material = material(
        &section,
        context.materials,
        about.as_ref().and_then(|a| a.1.clone()),
    );
    let ask = Ask::read(&section, context, material.as_ref());
    let shape = shape(&section, context, about.map(|a| a.0), &ask);
    let per_year = per_year(&section, &prefix);
    let batch = section
        .value("batch", &prefix, Least::AboveZero)
        .unwrap_or_else(|| batch_default(&prefix, &per_year));
    let stated = section.value("allowance", &prefix, Least::Zero);
    if ask.options.leave_stock_faces && section.has("allowance") {
        section.push(texts::allowance_and_stock_faces(
            section.place_of("allowance"),
        ));
    }
    let allowance = if ask.options.leave_stock_faces {
        let place = section.place_of("leave_stock_faces");
        Value::stated(format!("{prefix}/allowance"), Length::ZERO, place)
    } else {
        stated.unwrap_or_else(|| {
            let of = Length::inch;
            Value::assumed(
                format!("{prefix}/allowance"),
                of(1.0 / 32.0),
                of(1.0 / 16.0),
                of(1.0 / 8.0),
                texts::ALLOWANCE_SOURCE,
            )
        })
    };
    let holds = [
        ("vise", Holding::Vise),
        ("plate", Holding::Plate),
        ("chuck", Holding::Chuck),
    ];
    let name = section.text("name");
    let holding = section.choice("hold", &holds);
    let tolerance = section.value("tolerance", &prefix, Least::AboveZero);
    ask.check(&section, shape.as_ref(), tolerance.as_ref());
    let outside_price = section.money("price", &prefix, Least::Zero, context.rates);
    let stock_price = section.money("stock_price", &prefix, Least::Zero, context.rates);
    let must_make = section.flag("must_make").unwrap_or(true);
    let want = section.flag("want").unwrap_or(false);
    let place = section.place();
    let block = match &shape {
        Some(Shape::Block(size)) => Some(*size),
        _ => None,
    };
    let features = section
        .sections("feature")
        .into_iter()
        .filter_map(|s| features::read(s, block))
        .collect();
    section.finish();
    let id = id?;
    Some(Part {
        name: name.unwrap_or_else(|| id.clone()),
        id: PartId(id),
        place,
        shape: shape?,
        material: material?,
        allowance,
        features,
        holding,
        tolerance,
        per_year,
        batch,
        outside_price,
        stock_price,
        must_make,
        want,
    })
}

/// What a part asks of its plan.
struct Ask {
    options: Options,
    work: Vec<Work>,
}

impl Ask {
    fn read(section: &Section<'_>, context: &Context<'_>, material: Option<&MaterialId>) -> Ask {
        let known = material.and_then(|id| context.materials.0.get(id));
        let share = known.map_or(1.0, |m| neck_share(m.kc11.likely));
        let options = Options {
            cutters: context.tools.cutters(share),
            must_reach_marks: section.flag("must_reach_marks").unwrap_or(false),
            ..Options::default()
        };
        Ask {
            options: match section.flag("leave_stock_faces") {
                Some(true) => options.with_stock_faces_left(),
                _ => options,
            },
            work: hole_work::read(section),
        }
    }

    /// Reports what the shape or the tolerance does not allow.
    fn check(
        &self,
        section: &Section<'_>,
        shape: Option<&Shape>,
        tolerance: Option<&Value<Length>>,
    ) {
        if let Some(Shape::Block(_)) = shape {
            for (key, instead) in [
                (
                    "thread",
                    "state threads as features: kind = \"holes\", thread = \"M6\"",
                ),
                (
                    "hole",
                    "state fits as features: kind = \"holes\", fit = \"H7\"",
                ),
                ("must_reach_marks", "leave it out"),
            ] {
                if section.has(key) {
                    section.push(texts::only_of_models(section.place_of(key), key, instead));
                }
            }
        }
        let longest = match shape {
            Some(Shape::Block(size)) => size.iter().copied().reduce(Length::max),
            Some(Shape::Model(facts)) => Some(facts.box_sides[0]),
            None => None,
        };
        if let (true, Some(longest), Some(tolerance)) =
            (self.options.leave_stock_faces, longest, tolerance)
        {
            // Beyond the table's last range stock is coarser still.
            let stock = grade_width(longest.min(Length::mm(500.0)), 11);
            if let Some(stock) = stock.filter(|s| *s > tolerance.likely) {
                section.push(texts::stock_not_so_fine(
                    section.place_of("leave_stock_faces"),
                    tolerance.likely.to_mm(),
                    stock.to_mm(),
                ));
            }
        }
    }
}

/// An id: letters, digits, dashes, underscores, points.
pub(crate) fn id_text(node: &Node) -> Result<String, Wrong> {
    let text = match node {
        Node::Text(text) => text.trim(),
        other => return Err(texts::expected("a short name in quotes", &other.describe())),
    };
    let fine = (1..=60).contains(&text.chars().count())
        && text
            .chars()
            .all(|c| c.is_alphanumeric() || matches!(c, '-' | '_' | '.'));
    if fine {
        Ok(text.to_owned())
    } else {
        Err(texts::bad_id(text))
    }
}

/// "12 x 8 x 3 in, aluminium": a size, and a material when there is one.
fn about(node: &Node, materials: &Materials) -> Result<([Length; 3], Option<MaterialId>), Wrong> {
    let text = match node {
        Node::Text(text) => text.trim(),
        other => return Err(texts::about_form(&other.describe())),
    };
    let size = |text: &str| lengths::<3>(text.trim(), "length, width, height");
    match text.rsplit_once(',') {
        Some((front, back)) if !front.is_empty() && size(text).is_err() => {
            Ok((size(front)?, Some(find_material(back.trim(), materials)?)))
        }
        _ => Ok((size(text)?, None)),
    }
}

fn find_material(text: &str, materials: &Materials) -> Result<MaterialId, Wrong> {
    if let Some(material) = materials.find(text) {
        return Ok(material.id.clone());
    }
    let names = materials.0.values().flat_map(|m| {
        [m.id.0.as_str(), m.name.as_str()]
            .into_iter()
            .chain(m.aliases.iter().map(String::as_str))
    });
    let known: Vec<&str> = materials.0.keys().map(|id| id.0.as_str()).collect();
    Err(texts::unknown_material(
        text,
        nearest(text, names),
        &known.join(", "),
    ))
}

fn material(
    section: &Section<'_>,
    materials: &Materials,
    from_about: Option<MaterialId>,
) -> Option<MaterialId> {
    let read = section.with("material", |node| match node {
        Node::Text(text) => find_material(text.trim(), materials),
        // 6061 without quotes is a slip worth forgiving.
        Node::Number(n) => find_material(&format!("{n}"), materials),
        other => Err(texts::expected("a material in quotes", &other.describe())),
    });
    match (section.has("material"), from_about) {
        (true, _) => read,
        (false, Some(material)) => Some(material),
        (false, None) => {
            section.require("material", "what it is made of: material = \"6061\"");
            None
        }
    }
}

fn shape(
    section: &Section<'_>,
    context: &Context<'_>,
    about: Option<[Length; 3]>,
    ask: &Ask,
) -> Option<Shape> {
    let said: Vec<&str> = ["size", "model", "about"]
        .into_iter()
        .filter(|key| section.has(key))
        .collect();
    let unit = section.with("unit", |node| match node {
        Node::Text(text) => {
            LengthUnit::from_name(text.trim()).ok_or_else(|| texts::unknown_unit(&shortened(text)))
        }
        other => Err(texts::unknown_unit(&other.describe())),
    });
    if section.has("unit") && !section.has("model") {
        section.push(texts::unit_of_described(section.place_of("unit")));
    }
    match said.as_slice() {
        ["size"] => section
            .lengths("size", "length, width, height")
            .map(Shape::Block),
        ["about"] => about.map(Shape::Block),
        ["model"] => {
            let file = section.text("model")?;
            if section.has("unit") && unit.is_none() {
                return None;
            }
            let asked = Asked {
                options: ask.options.clone(),
                work: &ask.work,
            };
            let (source, plans) = (context.source, &context.plans);
            model::read(section, &file, unit, source, plans, asked).map(Shape::Model)
        }
        _ => {
            section.push(texts::one_shape(section.place(), &said));
            None
        }
    }
}

fn per_year(section: &Section<'_>, prefix: &str) -> Value<Number> {
    let id = format!("{prefix}/per_year");
    let plain: Option<Value<Number>> = section.value("per_year", prefix, Least::Zero);
    let text: Option<Entered<Number>> = section.with("quantity", per_time);
    if section.has("per_year") && section.has("quantity") {
        section.push(texts::said_twice(
            section.place_of("quantity"),
            "quantity",
            "per_year",
        ));
    }
    match (plain, text) {
        (Some(value), _) => value,
        (None, Some(read)) => read.value(id, section.place_of("quantity")),
        (None, None) => Value::assumed(
            id,
            Number::of(1.0),
            Number::of(6.0),
            Number::of(24.0),
            texts::QUANTITY_SOURCE,
        ),
    }
}

/// "24 per year", "2 a month", "20-30/year".
fn per_time(node: &Node) -> Result<Entered<Number>, Wrong> {
    let Node::Text(text) = node else {
        return Err(texts::per_time(&node.describe()));
    };
    let wrong = || texts::per_time(&format!("'{}'", shortened(text)));
    let plain = text.trim().to_lowercase();
    let periods = [
        ("year", 1.0),
        ("yr", 1.0),
        ("quarter", 4.0),
        ("month", 12.0),
        ("week", 52.0),
    ];
    let (front, times) = periods
        .iter()
        .find_map(|(word, times)| Some((plain.strip_suffix(word)?.trim_end(), *times)))
        .ok_or_else(wrong)?;
    let number = ["per", "a", "each", "/"]
        .iter()
        .find_map(|word| front.strip_suffix(word))
        .ok_or_else(wrong)?;
    let number = number
        .trim()
        .trim_end_matches("pieces")
        .trim_end_matches("pcs")
        .trim();
    let read = quantity::quantity::<Number>(&Node::Text(number.to_owned()), Least::Zero)?;
    Ok(scaled(read, times))
}

fn batch_default(prefix: &str, per_year: &Value<Number>) -> Value<Number> {
    let year = per_year.likely.to_number().max(1.0);
    let of = Number::of;
    Value::assumed(
        format!("{prefix}/batch"),
        of(1.0),
        of((year / 4.0).max(1.0)),
        of(year),
        texts::BATCH_SOURCE,
    )
}
