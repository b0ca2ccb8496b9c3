//! `[[risk]]` of `shop.toml` and of an offer: costs that come with a chance, or not at all.

use crate::finance::months;
use crate::quantity::Least;
use crate::rates::Rates;
use crate::section::Section;
use crate::shop::share;
use crate::texts;
use engine::machine::Risk;
use units::{InputId, Money, Number, Value};

/// Months over which a chance is spread when nobody says: the first year. Common practice, no source.
const FIRST_YEAR: f64 = 12.0;

/// Reads all of a file, each name once.
pub(crate) fn read(section: &Section<'_>, prefix: &str, rates: &Rates) -> Vec<Risk> {
    let mut all: Vec<Risk> = Vec::new();
    for s in section.sections("risk") {
        let Some(read) = risk(&s, prefix, rates) else {
            s.finish();
            continue;
        };
        if all.iter().any(|r| r.id == read.id) {
            s.wrong("name", texts::risk_twice(&read.name));
        } else {
            all.push(read);
        }
        s.finish();
    }
    all
}

fn risk(s: &Section<'_>, prefix: &str, rates: &Rates) -> Option<Risk> {
    s.require("name", "what may happen: name = \"spindle rebuild\"");
    s.require("chance", "how likely it is: chance = \"30 %\"");
    s.require("cost", "what it then costs: cost = \"$4,000 to $7,000\"");
    let name = s.text("name");
    let id = format!("{prefix}/risk/{}", name.as_deref().unwrap_or("?"));
    let chance: Option<Value<Number>> = share(s, "chance").filter(|chance| {
        let (low, high) = chance.ends();
        let open = high.to_number() > 0.0 && low.to_number() < 1.0;
        if !open {
            s.wrong("chance", texts::no_chance(high.to_number()));
        }
        open
    });
    let cost: Option<Value<Money>> = s.money("cost", &id, Least::Zero, rates);
    let repair = s.flag("repair").unwrap_or(false);
    let within = months(s, "within", &id);
    if s.has("within") && !repair {
        s.wrong("within", texts::within_no_repair());
    }
    Some(Risk {
        name: name?,
        chance: Value {
            id: InputId(format!("{id}/chance")),
            ..chance?
        },
        cost: cost?,
        repair,
        months: within.map_or(FIRST_YEAR, |m| m.likely.to_number()),
        place: s.place_of("chance"),
        id: InputId(id),
    })
}
