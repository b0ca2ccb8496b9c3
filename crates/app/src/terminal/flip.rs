//! The value at which a question's answer turns the verdict, in the page's units.

use super::study::Page;
use engine::choice::Question;
use engine::machine::{EnteredProperties, Field, ForEachEntered};
use units::{Area, Flow, Force, Length, Mass, Power, Quantity, Stress, Torque, Value};

/// " (at least 16 in would do)"; nothing when there is no such value.
pub fn flip(page: &Page<'_>, question: &Question) -> String {
    let ends = (question.flips_at.first(), question.flips_at.last());
    let (Some(&least), Some(&most)) = ends else {
        return String::new();
    };
    // The strictest value satisfies every part.
    let base = if question.at_least { most } else { least };
    let word = if question.at_least {
        "at least"
    } else {
        "at most"
    };
    let likely = match question.likely {
        Some(true) => "; machines of its class mostly have it",
        Some(false) => "; machines of its class mostly do not",
        None => "",
    };
    format!(
        " ({word} {} would do{likely})",
        amount(page, question, base)
    )
}

/// A number in base units of the property an input names.
fn amount(page: &Page<'_>, question: &Question, base: f64) -> String {
    let input = question.input.as_str();
    let key = input.rsplit('/').next().unwrap_or_default();
    if key == Field::price.key() {
        return page.money(units::Money::amount(base));
    }
    if key == "taper" {
        return units::show(Length::mm(base), page.system);
    }
    let mut unit = UnitOf { key, found: "" };
    EnteredProperties::default().for_each(&mut unit);
    let unit = match question.flips_unit {
        "" => unit.found,
        stated => stated,
    };
    match unit {
        "m2" => units::show(Area::m2(base), page.system),
        "l/min" => units::show(Flow::l_min(base), page.system),
        "MPa" => units::show(Stress::mpa(base), page.system),
        "mm" => units::show(Length::mm(base), page.system),
        "" if !input.starts_with("offers/") => units::show(Length::mm(base), page.system),
        "kg" => units::show(Mass::kg(base), page.system),
        "N m" => units::show(Torque::nm(base), page.system),
        "kW" => units::show(Power::kw(base), page.system),
        "N" => units::show(Force::n(base), page.system),
        "" => format!("{base:.0}"),
        other => format!("{base:.3} {other}"),
    }
}

/// Finds the base unit of a property by its key.
struct UnitOf<'a> {
    key: &'a str,
    found: &'static str,
}

impl ForEachEntered for UnitOf<'_> {
    fn visit<Q: Quantity>(&mut self, field: Field, _: &mut Option<Value<Q>>) {
        if field.key() == self.key {
            self.found = Q::BASE_UNIT;
        }
    }
}
