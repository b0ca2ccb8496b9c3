//! What moving a machine turns on: what comes off it, and what is known of the seller's end and of
//! the road.

use units::{Length, Mass, Money, Place};

/// What can be taken off for the way in: a part of the machine, or the frame of a door.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Dismantling {
    /// What ("enclosure off").
    pub name: String,
    /// Name of the door whose frame comes off; `None` for a part of the machine.
    pub door: Option<String>,
    /// Length left, when it changes.
    pub length: Option<Length>,
    /// Width left of the machine, when it changes; of a door the clear opening then.
    pub width: Option<Length>,
    /// Height left; of a door the clear height then.
    pub height: Option<Length>,
    /// What it costs, in words, as entered; empty when nobody said.
    pub cost: String,
    /// What it costs off and on again: low, likely, high, in the folder's currency.
    pub price: Option<[Money; 3]>,
    /// Days it takes from asking for it.
    pub lead_days: Option<u32>,
    /// Where it is written.
    pub place: Place,
}

impl Dismantling {
    /// True when nobody said what is left of the machine, or how large the opening then is.
    pub fn is_unmeasured(&self) -> bool {
        self.length.is_none() && self.width.is_none() && self.height.is_none()
    }
}

/// What loads and carries the machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trailer {
    /// Open flat deck.
    Flatbed,
    /// Deck that tilts or lies low.
    LowDeck,
    /// Closed trailer or box, loaded from behind.
    Enclosed,
    /// Box truck with a lift gate.
    LiftGate,
}

/// What is known of the seller's end and of the road.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Removal {
    /// Clear width and height of the seller's door.
    pub door: Option<[Length; 2]>,
    /// Who loads ("seller", a rigger's name).
    pub loaded_by: Option<String>,
    /// True when there is a dock to load from.
    pub dock: Option<bool>,
    /// True when the seller has a fork truck or crane that lifts the machine.
    pub lifted: Option<bool>,
    /// True when there is a dock, or somebody with a fork truck, where it is unloaded.
    pub dock_here: Option<bool>,
    /// What carries it.
    pub trailer: Option<Trailer>,
    /// What the deck, gate or axles may carry, the least of them.
    pub carries: Option<Mass>,
    /// Whose insurance covers it on the road and at each handover.
    pub insured_by: Option<String>,
    /// True when shipping locks are fitted and fluids drained, or promised in writing.
    pub locked_and_drained: Option<bool>,
}

impl Removal {
    /// What is said of one offer, and for the rest what is said of all.
    pub fn or(&self, all: &Self) -> Self {
        Self {
            door: self.door.or(all.door),
            loaded_by: self.loaded_by.clone().or_else(|| all.loaded_by.clone()),
            dock: self.dock.or(all.dock),
            lifted: self.lifted.or(all.lifted),
            dock_here: self.dock_here.or(all.dock_here),
            trailer: self.trailer.or(all.trailer),
            carries: self.carries.or(all.carries),
            insured_by: self.insured_by.clone().or_else(|| all.insured_by.clone()),
            locked_and_drained: self.locked_and_drained.or(all.locked_and_drained),
        }
    }
}
