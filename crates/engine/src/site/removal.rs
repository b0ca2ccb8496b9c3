//! Before the truck arrives: the seller's door, who loads, what carries it, whose insurance.

use crate::entered::{Removal, Trailer};
use crate::machine::Machine;
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

/// One check.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Check {
    /// What about ("seller's door").
    pub about: &'static str,
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
pub fn before_the_truck(machine: &Machine, removal: &Removal) -> Vec<Check> {
    let p = &machine.properties;
    let weight = p.weight.stated();
    let mut out = vec![
        door(machine, removal),
        known(
            "loading",
            removal
                .loaded_by
                .as_ref()
                .map(|who| format!("{who} loads it")),
            "Who loads it, with what machine, and who pays for that?",
        ),
        flag(
            "shipping locks and fluids",
            removal.locked_and_drained,
            "shipping locks are on and the fluids out",
            "Have spindle head and table locked for the road, coolant and oil drained: agree on it in writing.",
        ),
        trailer(removal),
        known(
            "insurance",
            removal
                .insured_by
                .as_ref()
                .map(|who| format!("insured by {who}")),
            "Whose insurance covers it while lifted, on the road and when handed over? Photograph it at each handover, and look before signing the receipt.",
        ),
    ];
    out.push(carrying(weight, removal));
    if let Some(weight) = weight {
        out.push(Check {
            about: "tie-down",
            state: CheckState::Ask,
            text: format!(
                "Working load limits of the tie-downs must add up to at least {:.0} kg.",
                TIE_DOWN * weight.to_kg()
            ),
            source: "49 CFR 393, FHWA final rule of 6 July 1994",
        });
        out.push(Check {
            about: "tongue",
            state: CheckState::Ask,
            text: format!(
                "On a bumper-pull trailer {:.0} to {:.0} % of the loaded trailer's weight should lie on the tongue.",
                100.0 * TONGUE[0],
                100.0 * TONGUE[1]
            ),
            source: "rule of thumb among owners, no law",
        });
    }
    out
}

fn known(about: &'static str, answer: Option<String>, question: &str) -> Check {
    Check {
        about,
        state: if answer.is_some() {
            CheckState::Fine
        } else {
            CheckState::Ask
        },
        text: answer.unwrap_or_else(|| question.to_owned()),
        source: PRACTICE,
    }
}

fn flag(about: &'static str, answer: Option<bool>, fine: &str, otherwise: &str) -> Check {
    let (state, text) = match answer {
        Some(true) => (CheckState::Fine, fine),
        Some(false) => (CheckState::Wrong, otherwise),
        None => (CheckState::Ask, otherwise),
    };
    Check {
        about,
        state,
        text: text.to_owned(),
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
        about: "seller's door",
        state,
        text,
        source: PRACTICE,
    }
}

fn trailer(removal: &Removal) -> Check {
    let (state, text) = match (removal.trailer, removal.dock) {
        (None, _) => (
            CheckState::Ask,
            "What carries it: flat deck, low deck, closed trailer, lift gate?",
        ),
        (Some(Trailer::Enclosed), Some(true)) => (
            CheckState::Fine,
            "A closed trailer is loaded from behind, from the dock.",
        ),
        (Some(Trailer::Enclosed), _) => (
            CheckState::Wrong,
            "A closed trailer cannot be loaded by forks from the side: it needs a dock at both ends, or another trailer.",
        ),
        (Some(Trailer::LiftGate), _) => (
            CheckState::Ask,
            "Compare length and weight of the crate with the lift gate, and have the truck stand level.",
        ),
        (Some(Trailer::Flatbed), _) => (
            CheckState::Fine,
            "A flat deck can be loaded by forks from the side; ask for a tarpaulin.",
        ),
        (Some(Trailer::LowDeck), _) => (
            CheckState::Fine,
            "A low or tilting deck can be loaded by winch on skates.",
        ),
    };
    Check {
        about: "trailer",
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
        about: "deck and axles",
        state,
        text,
        source: PRACTICE,
    }
}
