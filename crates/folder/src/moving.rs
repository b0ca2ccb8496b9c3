//! What comes off a machine for the way in, and what is known of the seller's end and of the road;
//! below an offer, or in `site.toml` for every offer.

use crate::document::Node;
use crate::quantity::Least;
use crate::rates::Rates;
use crate::section::{self, Section};
use engine::machine::{Dismantling, Removal, Trailer};
use units::Money;

/// A part of the machine, or the frame of a door.
pub(crate) fn dismantling(s: &Section<'_>, name: String, rates: &Rates) -> Option<Dismantling> {
    let mut cost = String::new();
    let price = s.with("cost", |node| {
        // A cost is a sum, or words where nobody has asked for one yet.
        match node {
            Node::Text(text) => {
                cost.clone_from(text);
                if !looks_like_money(text) {
                    return Ok(None);
                }
            }
            Node::Number(n) => cost = n.to_string(),
            _ => {}
        }
        let read = section::money(node, Least::Zero, rates)?;
        let (low, high) = read.ends();
        Ok(Some([low, read.likely, high]))
    });
    let price: Option<[Money; 3]> = price.flatten();
    let read = Dismantling {
        name,
        door: s.text("door"),
        length: s.plain("length", Least::AboveZero),
        width: s.plain("width", Least::AboveZero),
        height: s.plain("height", Least::AboveZero),
        cost,
        price,
        lead_days: s
            .plain("lead_days", Least::Zero)
            .map(|n: units::Number| n.to_number() as u32),
        place: s.place(),
    };
    Some(read)
}

/// A currency sign, a code in capitals beside a number, or nothing but a number: a slip in it must not
/// pass for words.
fn looks_like_money(text: &str) -> bool {
    let digits = text.chars().any(|c| c.is_ascii_digit());
    let sign = text.chars().any(|c| "$\u{20ac}\u{a3}\u{a5}".contains(c));
    let code = |w: &str| w.len() == 3 && w.chars().all(|c| c.is_ascii_uppercase());
    let coded = text.split_whitespace().any(code);
    sign || (digits && (coded || !text.chars().any(char::is_alphabetic)))
}

/// The seller's end and the road.
pub(crate) fn removal(section: Section<'_>) -> Removal {
    let read = Removal {
        door: section.lengths("door", "width and height"),
        loaded_by: section.text("loaded_by"),
        dock: section.flag("dock"),
        lifted: section.flag("lifted"),
        dock_here: section.flag("dock_here"),
        trailer: section.choice(
            "trailer",
            &[
                ("flatbed", Trailer::Flatbed),
                ("low deck", Trailer::LowDeck),
                ("enclosed", Trailer::Enclosed),
                ("lift gate", Trailer::LiftGate),
            ],
        ),
        carries: section.plain("carries", Least::AboveZero),
        insured_by: section.text("insured_by"),
        locked_and_drained: section.flag("locked_and_drained"),
    };
    section.finish();
    read
}
