//! What is believed of answers nobody has given yet: the bands of an offer's class, and the spreads
//! of its uncertain costs.

use super::in_draws::Shared;
use super::inputs::Inputs;
use super::offer::OfferAnswer;
use crate::choice::Question;
use crate::machine::{Field, ForEachEntered};
use crate::resolve;
use std::collections::{BTreeMap, BTreeSet};
use units::{InputId, Number, Quantity, Spread, Value};

/// Bands of the classes for everything an offer does not state, and what is stated with a spread, by
/// the input's name.
pub(super) fn priors(inputs: &Inputs<'_>) -> BTreeMap<String, Value<Number>> {
    let mut priors = BTreeMap::new();
    for offer in inputs.offers {
        let Some(class) = inputs.classes.iter().find(|c| c.id == offer.class) else {
            continue;
        };
        class.properties.clone().for_each(&mut Collect {
            offer: &offer.id.0,
            into: &mut priors,
        });
        let stated = resolve::doubtful(offer).into_iter().map(|(_, value)| value);
        priors.extend(stated.map(|value| (value.id.0.clone(), value)));
    }
    let shared = Shared::of(inputs.site, inputs.parts);
    priors.extend(
        shared
            .all()
            .map(|value| (value.id.0.clone(), value.clone())),
    );
    priors
}

struct Collect<'a> {
    offer: &'a str,
    into: &'a mut BTreeMap<String, Value<Number>>,
}

impl ForEachEntered for Collect<'_> {
    fn visit<Q: Quantity>(&mut self, field: Field, slot: &mut Option<Value<Q>>) {
        if let Some(value) = slot {
            let id = format!("offers/{}/{}", self.offer, field.key());
            self.into.insert(
                id.clone(),
                Value {
                    id: InputId(id),
                    ..value.in_base_units()
                },
            );
        }
    }
}

/// Costs of an offer looked at, the ones that move its sum most.
const COSTS: usize = 3;

/// Questions for firm figures: of each offer's uncertain costs, those that move its sum most.
pub(super) fn costs(offers: &[OfferAnswer]) -> Vec<(Question, Value<Number>)> {
    let mut seen = BTreeSet::new();
    let mut costs = Vec::new();
    for variant in offers {
        for driver in variant.drivers.iter().take(COSTS) {
            let found = variant
                .uncertain
                .iter()
                .find(|u| u.value.id == driver.input);
            if let Some(found) = found
                && found.value.spread != Spread::None
                && seen.insert(driver.input.clone())
            {
                let whose = driver
                    .input
                    .0
                    .starts_with("offers/")
                    .then(|| variant.offer.clone());
                let about = match found.value.spread {
                    Spread::Either { .. } => super::texts::will_it_happen(&found.line),
                    _ => super::texts::firm_figure(&found.line),
                };
                let question = Question::new(driver.input.0.clone(), whose, about);
                costs.push((question, found.value.clone()));
            }
        }
    }
    costs
}
