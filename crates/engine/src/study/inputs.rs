//! What a study is computed from.

use crate::cycle::Uptime;
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
    /// Above so many pairs of part and offer they are summarised by offer.
    pub large_pairs: usize,
    /// How parts are held, tools stand out, and what is done beside cutting takes.
    pub practice: Practice,
    /// How often a machine stands.
    pub uptime: Uptime,
}

impl Settings {
    /// Usual settings in a year. With ten blocks of draws the standard error of a chance is at
    /// most 0.5 %; every cost tells its own.
    pub fn new(year: i16) -> Self {
        Self {
            year,
            draws: 10 * units::DRAW_BLOCK,
            large_pairs: super::LARGE_PAIRS,
            practice: Practice::default(),
            uptime: Uptime::default(),
        }
    }
}
