//! What can be spent on the machine itself, and what the parts ask of it.

use super::study::Page;
use super::table::{heading, paragraph, percent, table};
use crate::contract::study::name;
use engine::fit::Capability;
use units::{Length, Mass, Power, Rpm, Show, System, Torque, show, show_money, show_money_range};

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
                c.room.price.map_or("nothing left".to_owned(), |p| {
                    show_money(p, Some(page.currency), 3)
                }),
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
    }
}

/// A number of a capability in the page's units.
pub fn amount(capability: Capability, base: f64, system: System) -> String {
    fn of<Q: Show>(base: f64, system: System) -> String {
        show(Q::from_base(base), system)
    }
    match capability {
        Capability::TableLoad => of::<Mass>(base, system),
        Capability::Power => of::<Power>(base, system),
        Capability::Torque => of::<Torque>(base, system),
        Capability::SpindleSpeed => of::<Rpm>(base, system),
        Capability::Taper | Capability::Pockets => format!("{base:.0}"),
        _ => of::<Length>(base, system),
    }
}
