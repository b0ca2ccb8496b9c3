//! The facts of floor, supply, air and neighbours in `site.toml`, read through the one table of
//! them.

use crate::quantity::Least;
use crate::section::Section;
use engine::entered::{Cracks, EnteredFacts, FloorKind, ForEachFact, WiringRules, Words};
use units::{Currency, Quantity, Value};

struct ReadEach<'s, 'a>(&'s Section<'a>);

impl ForEachFact for ReadEach<'_, '_> {
    fn visit<Q: Quantity>(&mut self, key: &'static str, slot: &mut Option<Value<Q>>) {
        *slot = self.0.value(key, "site", least(key));
    }
}

/// Nothing drawn, nothing heated and nobody beside the machine are answers; air may be dried far
/// below freezing.
fn least(key: &str) -> Least {
    match key {
        "measured_demand" | "small_circuits" | "appliances" | "heating" | "cooling"
        | "hours_beside" => Least::Zero,
        "dew_point_c" => Least::Any,
        _ => Least::AboveZero,
    }
}

pub(crate) fn read(section: &Section<'_>) -> EnteredFacts {
    let mut facts = EnteredFacts {
        words: Words {
            floor: section.choice(
                "floor",
                &[
                    ("slab", FloorKind::Slab),
                    ("joists", FloorKind::Joists),
                    ("soft ground", FloorKind::SoftGround),
                ],
            ),
            cracks: section.choice(
                "cracks",
                &[("hairline", Cracks::Hairline), ("wide", Cracks::Wide)],
            ),
            rules: section.choice(
                "rules",
                &[("nec", WiringRules::Nec), ("iec", WiringRules::Iec)],
            ),
        },
        ..EnteredFacts::default()
    };
    facts.for_each(&mut ReadEach(section));
    facts
}

/// Rules where the folder states none: NFPA 70 with the currencies of North America, IEC elsewhere.
pub(crate) fn usual_rules(currency: Currency) -> WiringRules {
    match currency.code() {
        "USD" | "CAD" | "MXN" => WiringRules::Nec,
        _ => WiringRules::Iec,
    }
}
