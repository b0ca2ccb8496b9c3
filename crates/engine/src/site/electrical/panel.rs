//! What a panel can still give.

use units::{ApparentPower, Area, Current, Voltage};

/// A dwelling's loads as NEC 220.82 counts them.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Dwelling {
    /// Floor area.
    pub area: Area,
    /// Small-appliance and laundry circuits.
    pub small_circuits: f64,
    /// Nameplate sum of fixed appliances: range, dryer, water heater and the like.
    pub appliances: ApparentPower,
    /// Electric space heating, nameplate.
    pub heating: ApparentPower,
    /// Air conditioning, nameplate.
    pub cooling: ApparentPower,
}

/// Load of a dwelling by the optional method, NEC 220.82: 3 VA a square foot, 1,500 VA a small
/// circuit, appliances by nameplate; of these the first 10 kVA whole and the rest at 40 %; then the
/// larger of cooling whole and central heating at 65 %.
pub fn optional_method(dwelling: &Dwelling) -> ApparentPower {
    let general = 3.0 * dwelling.area.to_foot2()
        + 1500.0 * dwelling.small_circuits
        + dwelling.appliances.to_va();
    let counted = general.min(10_000.0) + 0.4 * (general - 10_000.0).max(0.0);
    let weather = dwelling
        .cooling
        .to_va()
        .max(0.65 * dwelling.heating.to_va());
    ApparentPower::va(counted + weather)
}

/// What is left of a service for a new load, before that load's own 125 %.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Demand {
    /// Highest demand over 30 days or a year of metering; NEC 220.87 counts 125 % of it.
    Measured(Current),
    /// A calculated load, as it is.
    Calculated(Current),
}

impl Demand {
    /// Current that must be held back for it.
    pub fn counted(self) -> Current {
        match self {
            Self::Measured(amps) => amps * 1.25,
            Self::Calculated(amps) => amps,
        }
    }
}

/// Spare current of a service; negative when it is overfull already.
pub fn spare(service: Current, demand: Demand) -> Current {
    service - demand.counted()
}

/// Current of a calculated load at a single-phase service voltage.
pub fn amps(load: ApparentPower, volts: Voltage) -> Current {
    Current::a(load.to_va() / volts.to_v())
}
