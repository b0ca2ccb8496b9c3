//! What a study is computed from.

use crate::cycle::Habits;
use crate::entered::{Part, Shop, Site};
use crate::fit::Practice;
use crate::machine::{MachineClass, Offer};
use crate::material::Materials;

/// Everything entered.
#[derive(Clone, Copy, Debug)]
pub struct Inputs<'a> {
    /// Shop.
    pub shop: &'a Shop,
    /// Room.
    pub site: &'a Site,
    /// Parts.
    pub parts: &'a [Part],
    /// Offers.
    pub offers: &'a [Offer],
    /// Materials.
    pub materials: &'a Materials,
    /// Classes.
    pub classes: &'a [MachineClass],
}

/// How it is computed.
#[derive(Clone, Debug)]
pub struct Settings {
    /// The year of the study, for ages.
    pub year: i16,
    /// Number of draws.
    pub draws: u64,
    /// How parts are held and tools stand out.
    pub practice: Practice,
    /// Habits times rest on.
    pub habits: Habits,
}

impl Settings {
    /// Usual settings in a year. With ten blocks of draws the standard error of a chance is at
    /// most 0.5 %; every cost tells its own.
    pub fn new(year: i16) -> Self {
        Self {
            year,
            draws: 10 * units::DRAW_BLOCK,
            practice: Practice::default(),
            habits: Habits::default(),
        }
    }
}
