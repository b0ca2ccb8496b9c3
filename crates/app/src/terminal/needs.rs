//! What can be spent on the machine itself, and what the parts ask of it.

use super::study::Page;
use super::table::{bullet, heading, paragraph, percent, table};
use crate::contract::study::{name, reaches};
use engine::fit::Capability;
use units::{Force, Length, Mass, Power, Rpm, Show, Speed, System, Torque, show, show_money_range};

/// The ceiling of each class.
pub fn ceilings(page: &Page<'_>) -> String {
    let shop = &page.entered.shop;
    let mut out = heading("What you can spend on the machine itself");
    out.push_str(&paragraph(&format!(
        "The highest price that keeps {} all-in with a chance of {}.",
        page.money(shop.budget.likely),
        percent(shop.keep_chance)
    )));
    let rows = page
        .answer
        .ceilings
        .iter()
        .map(|c| {
            let usual = c.usual.map_or("not known".to_owned(), |[low, _, high]| {
                show_money_range(low, high, Some(page.currency), 2)
            });
            vec![
                c.name.clone(),
                c.room
                    .price
                    .map_or("nothing left".to_owned(), |p| page.at_most(p)),
                format!("{} {}", name(&c.condition), usual),
            ]
        })
        .collect();
    out.push_str(&table(&["class", "at most", "usual price"], &[1], rows));
    out
}

/// The specification.
pub fn specification(page: &Page<'_>) -> String {
    let mut out = heading("What your parts ask of a machine");
    let rows = page
        .answer
        .specification
        .iter()
        .map(|r| {
            let word = if r.at_most { "at most" } else { "at least" };
            let comfort = amount(r.capability, r.comfort, page.system);
            vec![
                words(r.capability).to_owned(),
                if r.need > 0.0 {
                    format!("{word} {}", amount(r.capability, r.need, page.system))
                } else {
                    String::new()
                },
                if r.comfort == r.need {
                    String::new()
                } else {
                    comfort
                },
                page.part_name(&r.driver),
                if r.want {
                    "want".to_owned()
                } else {
                    "need".to_owned()
                },
            ]
        })
        .collect();
    out.push_str(&table(
        &["", "below this not at all", "in comfort", "because of", ""],
        &[],
        rows,
    ));
    out
}

/// What a usual machine of each class does with the parts, and whether the ceiling reaches it.
pub fn classes(page: &Page<'_>) -> String {
    let mut out = heading("Which class of machine would do");
    out.push_str(&paragraph(
        "A usual machine of each class, from the ranges of the trade: a picture for looking around, \
         no verdict on any offer.",
    ));
    let rows = page
        .answer
        .classes
        .iter()
        .map(|c| {
            let reach = page
                .answer
                .ceilings
                .iter()
                .find(|r| r.class == c.class)
                .and_then(reaches);
            let blocked = match (&c.drop_one, c.enough) {
                (_, true) => "every part you must make".to_owned(),
                (Some(part), _) => format!("all you must make but {}", page.part_name(part)),
                _ => String::new(),
            };
            vec![
                c.name.clone(),
                format!("{} of {}", c.parts_met, c.parts),
                format!("{:.0} %", 100.0 * c.share_of_pieces),
                if c.further_clampings > 0 {
                    format!("{} (+{})", c.clampings, c.further_clampings)
                } else {
                    c.clampings.to_string()
                },
                format!("{:.0}", c.hours_per_year),
                reach.unwrap_or("?").to_owned(),
                blocked,
            ]
        })
        .collect();
    out.push_str(&table(
        &[
            "class",
            "parts",
            "pieces",
            "clampings",
            "h a year",
            "in reach",
            "makes",
        ],
        &[1, 2, 3, 4],
        rows,
    ));
    out.push_str(&class_reasons(page));
    out
}

/// Parts named for a class before the rest is only counted: more are a list nobody reads.
const NAMED: usize = 3;

/// What keeps a usual machine of each class from the parts it does not make.
fn class_reasons(page: &Page<'_>) -> String {
    let mut out = String::new();
    for class in page.answer.classes.iter().filter(|c| !c.why.is_empty()) {
        let mut parts: Vec<String> = class
            .why
            .iter()
            .take(NAMED)
            .map(|why| {
                let short: Vec<String> = why
                    .short
                    .iter()
                    .map(|s| {
                        let by = amount(s.capability, s.short_by, page.system);
                        format!("{} short by {by}", words(s.capability))
                    })
                    .collect();
                let asks: Vec<String> = why.asks.iter().map(|key| key.replace('_', " ")).collect();
                let part = page.part_name(&why.part);
                match (short.is_empty(), asks.is_empty()) {
                    (false, _) => format!("{part}, {}", short.join(" and ")),
                    (true, false) => format!("{part}, turns on {}", asks.join(" and ")),
                    (true, true) => part,
                }
            })
            .collect();
        if class.why.len() > NAMED {
            parts.push(format!("{} parts more", class.why.len() - NAMED));
        }
        out.push_str(&bullet(
            "-",
            &format!("{}: not {}", class.name, parts.join("; ")),
        ));
    }
    if !out.is_empty() {
        out.push('\n');
    }
    out
}

/// A capability in words.
pub fn words(capability: Capability) -> &'static str {
    match capability {
        Capability::TravelX => "travel X",
        Capability::TravelY => "travel Y",
        Capability::TravelZ => "travel Z",
        Capability::NoseHigh => "nose up to",
        Capability::NoseLow => "nose down to",
        Capability::Throat => "throat",
        Capability::TableX => "table length",
        Capability::TableY => "table width",
        Capability::TableLoad => "table load",
        Capability::Power => "spindle power",
        Capability::Torque => "spindle torque",
        Capability::SpindleSpeed => "spindle speed",
        Capability::Taper => "taper",
        Capability::ToolLength => "tool length",
        Capability::ToolDiameter => "tool diameter",
        Capability::Pockets => "tools in the changer",
        Capability::Accuracy => "positioning accuracy",
        Capability::Door => "machine door",
        Capability::Slots => "T-slots",
        Capability::ToolWeight => "tool weight",
        Capability::ProgramMemory => "program memory",
        Capability::SlowestSpeed => "slowest spindle speed",
        Capability::CuttingFeed => "cutting feed",
        Capability::Thrust => "axis thrust",
        Capability::Grip => "holder grip",
        Capability::Deflection => "tool bend",
        Capability::Stiffness => "depth before chatter",
        Capability::RotaryAxes => "rotary axes",
        Capability::Coolant => "coolant",
        Capability::Cutter => "cutter",
    }
}

/// A number of a capability in the page's units.
pub fn amount(capability: Capability, base: f64, system: System) -> String {
    fn of<Q: Show>(base: f64, system: System) -> String {
        show(Q::from_base(base), system)
    }
    match capability {
        Capability::TableLoad | Capability::ToolWeight => of::<Mass>(base, system),
        Capability::ProgramMemory => format!("{base:.0} kB"),
        Capability::Power => of::<Power>(base, system),
        Capability::Torque | Capability::Grip => of::<Torque>(base, system),
        Capability::CuttingFeed => of::<Speed>(base, system),
        Capability::Thrust => of::<Force>(base, system),
        Capability::SpindleSpeed | Capability::SlowestSpeed => of::<Rpm>(base, system),
        Capability::Pockets | Capability::RotaryAxes | Capability::Coolant | Capability::Cutter => {
            format!("{base:.0}")
        }
        _ => of::<Length>(base, system),
    }
}
