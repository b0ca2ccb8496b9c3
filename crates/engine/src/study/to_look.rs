//! Which purchases are looked at: every offer with every set of its options.

use super::Inputs;
use super::looked::ToLook;
use crate::choice::option_sets;
use crate::machine::{MachineClass, Offer};
use units::Problem;

/// Every offer with every set of its options; the set as entered comes first for each offer. Behind
/// them, for the ways out, every offer without options the buyer had decided to take, one at a time.
pub(super) fn to_look<'a>(inputs: &Inputs<'a>, notes: &mut Vec<Problem>) -> Vec<ToLook<'a>> {
    let mut all: Vec<ToLook<'a>> = Vec::new();
    let mut less: Vec<ToLook<'a>> = Vec::new();
    for (number, offer) in inputs.offers.iter().enumerate() {
        let Some(class) = class_of(inputs, offer) else {
            notes.push(Problem::warning(
                offer.place.clone(),
                format!(
                    "{}: the class '{}' is not known, so it is left out",
                    offer.id, offer.class
                ),
                "",
            ));
            continue;
        };
        let to_look = |offer: Offer, gives_up: Vec<String>| ToLook {
            offer,
            number,
            class,
            gives_up,
        };
        all.extend(
            option_sets(offer)
                .into_iter()
                .map(|o| to_look(o, Vec::new())),
        );
        for (at, option) in offer.options.iter().enumerate().filter(|(_, o)| o.taken) {
            let mut without = offer.clone();
            without.options[at].taken = false;
            less.push(to_look(without, vec![option.name.clone()]));
        }
    }
    all.extend(less);
    all
}

pub(super) fn class_of<'a>(inputs: &Inputs<'a>, offer: &Offer) -> Option<&'a MachineClass> {
    inputs.classes.iter().find(|c| c.id == offer.class)
}
