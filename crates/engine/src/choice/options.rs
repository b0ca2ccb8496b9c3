//! The option sets an offer can be bought with.

use crate::machine::Offer;

/// Most options whose every combination is tried; beyond, only none, each alone, and all.
const ALL_COMBINATIONS: usize = 6;

/// The offer with every set of its open options taken, what the buyer has decided to take always
/// among them; the offer as it stands comes first.
pub fn option_sets(offer: &Offer) -> Vec<Offer> {
    let open: Vec<usize> = (0..offer.options.len())
        .filter(|&i| !offer.options[i].taken)
        .collect();
    let with = |taken: &dyn Fn(usize) -> bool| {
        let mut bought = offer.clone();
        for (number, &index) in open.iter().enumerate() {
            bought.options[index].taken = taken(number);
        }
        bought
    };
    if open.len() <= ALL_COMBINATIONS {
        return (0..1usize << open.len())
            .map(|set| with(&|number| set >> number & 1 == 1))
            .collect();
    }
    let mut sets = vec![with(&|_| false)];
    sets.extend((0..open.len()).map(|only| with(&|number| number == only)));
    sets.push(with(&|_| true));
    sets
}
