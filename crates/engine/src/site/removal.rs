//! Before the truck arrives: the seller's door, who loads, what carries it, whose insurance.

use super::texts;
use crate::machine::{Machine, Removal, Trailer};
use serde::Serialize;
use units::{Length, Mass};

/// How a check came out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum CheckState {
    /// In order.
    Fine,
    /// To be asked.
    Ask,
    /// Not so.
    Wrong,
}

/// What a check is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum About {
    /// The seller's door.
    #[serde(rename = "seller's door")]
    Door,
    /// Who loads it, and with what.
    #[serde(rename = "loading")]
    Loading,
    /// Locks for the road, fluids out.
    #[serde(rename = "shipping locks and fluids")]
    Locks,
    /// What carries it.
    #[serde(rename = "trailer")]
    Trailer,
    /// What that bears.
    #[serde(rename = "deck and axles")]
    Deck,
    /// Whose insurance at each handover.
    #[serde(rename = "insurance")]
    Insurance,
    /// How it is tied down.
    #[serde(rename = "tie-down")]
    TieDown,
    /// Weight on the tongue.
    #[serde(rename = "tongue")]
    Tongue,
}

/// One check.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Check {
    /// What about.
    pub about: About,
    /// How it came out.
    pub state: CheckState,
    /// In words.
    pub text: String,
    /// Where the rule comes from.
    pub source: &'static str,
}

/// Tongue weight as a share of the loaded trailer: site and purchase checks M19, a rule of thumb.
const TONGUE: [f64; 2] = [0.10, 0.15];
/// Working load limits of the tie-downs together, as a share of the weight: FHWA rule of 6 July
/// 1994 (49 CFR 393), site and purchase checks M18.
const TIE_DOWN: f64 = 0.5;
const PRACTICE: &str = "common practice, no source";

/// Every check for one machine.
pub fn before_the_truck(machine: &Machine, removal: &Removal, delivered: bool) -> Vec<Check> {
    let weight = machine.properties.weight.stated();
    let mut out = if delivered {
        // The seller's door, carrier and locks are the seller's own affair then.
        vec![Check {
            about: About::Insurance,
            state: CheckState::Fine,
            text: texts::DELIVERED.to_owned(),
            source: PRACTICE,
        }]
    } else {
        vec![
            door(machine, removal),
            loading(removal),
            locks(removal),
            trailer(removal),
            carrying(weight, removal),
            insurance(removal),
        ]
    };
    if let Some(weight) = weight {
        out.push(Check {
            about: About::TieDown,
            state: CheckState::Ask,
            text: format!(
                "Working load limits of the tie-downs must add up to at least {:.0} kg.",
                TIE_DOWN * weight.to_kg()
            ),
            source: "49 CFR 393, FHWA final rule of 6 July 1994",
        });
        out.push(Check {
            about: About::Tongue,
            state: CheckState::Ask,
            text: format!(
                "On a bumper-pull trailer {:.0} to {:.0} % of the loaded trailer's weight should lie on the tongue.",
                100.0 * TONGUE[0],
                100.0 * TONGUE[1]
            ),
            source: "rule of thumb among owners, no law",
        });
    }
    if delivered {
        out.retain(|c| c.about == About::Insurance);
    }
    out
}

/// Who loads, or what lifts it there; with a dock it rolls on.
fn loading(removal: &Removal) -> Check {
    let (state, text) = match (&removal.loaded_by, removal.lifted, removal.dock) {
        (Some(who), ..) => (CheckState::Fine, format!("{who} loads it")),
        (None, Some(true), _) => (CheckState::Fine, texts::SELLER_LIFTS.to_owned()),
        (None, Some(false), Some(true)) => (CheckState::Fine, texts::OVER_THE_DOCK.to_owned()),
        (None, Some(false), _) => (CheckState::Wrong, texts::NOBODY_LIFTS.to_owned()),
        (None, None, _) => (CheckState::Ask, texts::ASK_LOADING.to_owned()),
    };
    Check {
        about: About::Loading,
        state,
        text,
        source: PRACTICE,
    }
}

fn locks(removal: &Removal) -> Check {
    let (state, text) = match removal.locked_and_drained {
        Some(true) => (CheckState::Fine, texts::LOCKED),
        Some(false) => (CheckState::Wrong, texts::ASK_LOCKED),
        None => (CheckState::Ask, texts::ASK_LOCKED),
    };
    Check {
        about: About::Locks,
        state,
        text: text.to_owned(),
        source: PRACTICE,
    }
}

fn insurance(removal: &Removal) -> Check {
    let (state, text) = match removal.insured_by.as_deref().map(str::trim) {
        Some(who) if ["nobody", "none", "no one", "no"].contains(&who.to_lowercase().as_str()) => {
            (CheckState::Wrong, texts::ASK_INSURED.to_owned())
        }
        Some(who) => (CheckState::Fine, format!("insured by {who}")),
        None => (CheckState::Ask, texts::ASK_INSURED.to_owned()),
    };
    Check {
        about: About::Insurance,
        state,
        text,
        source: PRACTICE,
    }
}

/// The smaller side and the height for moving through the seller's door.
fn door(machine: &Machine, removal: &Removal) -> Check {
    let p = &machine.properties;
    let side = p
        .length
        .stated()
        .zip(p.width.stated())
        .map(|(l, w)| l.min(w));
    let height = p.height_moving.stated().or(p.height.stated());
    let (state, text) = match (removal.door, side, height) {
        (Some([width, clear]), Some(side), Some(height)) => {
            let short = [side - width, height - clear]
                .into_iter()
                .fold(Length::ZERO, Length::max);
            if short > Length::ZERO {
                let text = format!("The seller's door is {:.0} mm too small.", short.to_mm());
                (CheckState::Wrong, text)
            } else {
                (CheckState::Fine, "It passes the seller's door.".to_owned())
            }
        }
        _ => (
            CheckState::Ask,
            "How wide and high is the seller's door, and is there a dock or a level yard in front of it?".to_owned(),
        ),
    };
    Check {
        about: About::Door,
        state,
        text,
        source: PRACTICE,
    }
}

fn trailer(removal: &Removal) -> Check {
    let (state, text) = match (removal.trailer, removal.dock, removal.dock_here) {
        (None, ..) => (
            CheckState::Ask,
            "What carries it: flat deck, low deck, closed trailer, lift gate?",
        ),
        (Some(Trailer::Enclosed), Some(true), Some(true)) => (
            CheckState::Fine,
            "A closed trailer is loaded and unloaded from behind, over the docks.",
        ),
        (Some(Trailer::Enclosed), Some(true), None) => (
            CheckState::Ask,
            "A closed trailer is loaded from behind, over the seller's dock: is there a dock at your end too?",
        ),
        (Some(Trailer::Enclosed), None, None | Some(true)) => (
            CheckState::Ask,
            "A closed trailer cannot be loaded by forks from the side: is there a dock at both ends?",
        ),
        (Some(Trailer::Enclosed), ..) => (
            CheckState::Wrong,
            "A closed trailer cannot be loaded by forks from the side: it needs a dock at both ends, or another trailer.",
        ),
        (Some(Trailer::LiftGate), ..) => (
            CheckState::Ask,
            "Compare length and weight of the crate with the lift gate, and have the truck stand level.",
        ),
        (Some(Trailer::Flatbed), ..) => (
            CheckState::Fine,
            "A flat deck can be loaded by forks from the side; ask for a tarpaulin.",
        ),
        (Some(Trailer::LowDeck), ..) => (
            CheckState::Fine,
            "A low or tilting deck can be loaded by winch on skates.",
        ),
    };
    Check {
        about: About::Trailer,
        state,
        text: text.to_owned(),
        source: PRACTICE,
    }
}

fn carrying(weight: Option<Mass>, removal: &Removal) -> Check {
    let (state, text) = match (weight, removal.carries) {
        (Some(weight), Some(carries)) if weight > carries => (
            CheckState::Wrong,
            format!(
                "It weighs {:.0} kg more than deck, gate or axles carry.",
                (weight - carries).to_kg()
            ),
        ),
        (Some(_), Some(_)) => (CheckState::Fine, "Deck and axles carry it.".to_owned()),
        _ => (
            CheckState::Ask,
            "What do deck, ramps, gate and axles carry, each by itself, against the machine's real weight?".to_owned(),
        ),
    };
    Check {
        about: About::Deck,
        state,
        text,
        source: PRACTICE,
    }
}
