//! `offers/*.toml`: one machine at one price from one seller a file.

use crate::document::{Node, shortened};
use crate::finance;
use crate::moving;
use crate::properties;
use crate::quantity::Least;
use crate::rates::Rates;
use crate::risks;
use crate::section::Section;
use crate::shop::{cost_lines, share};
use crate::suggest::nearest;
use crate::texts;
use engine::ids::{ClassId, OfferId};
use engine::machine::{Condition, Dismantling, MachineClass, Offer, SaleOption, Taper};
use units::{Money, Number, Value};

/// An offer, named after its file.
pub(crate) fn read(
    section: Section<'_>,
    id: &str,
    rates: &Rates,
    classes: &[MachineClass],
) -> Option<Offer> {
    let prefix = format!("offers/{id}");
    let conditions = [("new", Condition::New), ("used", Condition::Used)];
    section.require(
        "class",
        "the kind of machine it is: class = \"light column mill\"",
    );
    section.require("condition", "condition = \"new\" or \"used\"");
    let class = section.with("class", |node| match node {
        Node::Text(text) => find_class(text, classes),
        other => Err(texts::expected("a class in quotes", &other.describe())),
    });
    let condition = section.choice("condition", &conditions);
    let name = section.text("name").unwrap_or_else(|| id.to_owned());
    let properties = properties::read(&section, &prefix, rates);
    let taper = taper(&section);
    let control = section.text("control");
    let options = section
        .sections("option")
        .into_iter()
        .filter_map(|s| option(s, &prefix, rates))
        .collect();
    let costs = section
        .section("costs")
        .map(|s| cost_lines(&s, &format!("{prefix}/costs"), rates))
        .unwrap_or_default();
    let premium: Option<Value<Number>> = share(&section, "premium");
    let terms = finance::terms(&section, &prefix, rates);
    let delivered = section.flag("delivered").unwrap_or(false);
    let includes = section.texts("includes");
    let closes = section.with("closes", crate::shop::date);
    let dismantling = section
        .sections("dismantling")
        .into_iter()
        .filter_map(|s| dismantling(s, rates))
        .collect();
    let removal = section
        .section("removal")
        .map(moving::removal)
        .unwrap_or_default();
    let risks = risks::read(&section, &prefix, rates);
    // The seller and his words are the buyer's memory, not numbers.
    for key in ["seller", "location", "serial", "notes"] {
        section.text(key);
    }
    let place = section.place();
    section.finish();
    Some(Offer {
        id: OfferId::new(id),
        name,
        place,
        class: class?,
        condition: condition?,
        properties,
        taper,
        control,
        options,
        costs,
        premium_share: premium.map_or(0.0, |v| v.likely.to_number()),
        delivered,
        includes,
        closes,
        terms,
        dismantling,
        removal,
        risks,
    })
}

/// A part that comes off this machine.
fn dismantling(s: Section<'_>, rates: &Rates) -> Option<Dismantling> {
    s.require("name", "name = \"enclosure off\"");
    let name = s.text("name");
    if s.has("door") {
        s.wrong("door", texts::door_of_an_offer());
    }
    let read = moving::dismantling(&s, name.unwrap_or_default(), rates);
    s.finish();
    read.filter(|d| !d.name.is_empty() && d.door.is_none())
}

/// Reads the key `taper`.
pub(crate) fn taper(section: &Section<'_>) -> Option<Taper> {
    section.with("taper", |node| match node {
        Node::Text(text) => shortened(text)
            .parse()
            .map_err(|why: String| texts::unknown_taper(&why)),
        other => Err(texts::expected(
            "a spindle taper in quotes",
            &other.describe(),
        )),
    })
}

fn find_class(text: &str, classes: &[MachineClass]) -> Result<ClassId, texts::Wrong> {
    let plain = |text: &str| -> String {
        text.chars()
            .filter(|c| c.is_alphanumeric())
            .flat_map(char::to_lowercase)
            .collect()
    };
    let wanted = plain(text);
    if let Some(class) = classes
        .iter()
        .find(|c| plain(&c.id.0) == wanted || plain(&c.name) == wanted)
    {
        return Ok(class.id.clone());
    }
    let names = classes
        .iter()
        .flat_map(|c| [c.id.0.as_str(), c.name.as_str()]);
    let known: Vec<&str> = classes.iter().map(|c| c.id.0.as_str()).collect();
    Err(texts::unknown_class(
        text,
        nearest(text, names),
        &known.join(", "),
    ))
}

fn option(section: Section<'_>, prefix: &str, rates: &Rates) -> Option<SaleOption> {
    section.require("name", "what it is: name = \"tool changer\"");
    section.require("price", "what it costs: price = \"$4,200\"");
    let name = section.text("name");
    let id = format!("{prefix}/option/{}", name.as_deref().unwrap_or("?"));
    let price: Option<Value<Money>> = section.money("price", &id, Least::Zero, rates);
    let gives = section
        .section("gives")
        .map(|inner| {
            let mut read = properties::read(&inner, &id, rates);
            inner.finish();
            properties::in_base_units(&mut read)
        })
        .unwrap_or_default();
    let warranty_months = finance::months(&section, "warranty", &id);
    let taken = section.flag("taken").unwrap_or(false);
    section.finish();
    Some(SaleOption {
        name: name?,
        price: price?,
        gives,
        warranty_months,
        taken,
    })
}
