//! The room in one draw.

use crate::entered::{Facts, Site};
use units::{Current, Draw, Length, Quantity, Value, Voltage};

/// Plain values of the room; `None` where nobody measured.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Room {
    /// Narrowest door on the way in.
    pub door_width: Option<Length>,
    /// Lowest door on the way in.
    pub door_height: Option<Length>,
    /// Ceiling over the spot.
    pub ceiling: Option<Length>,
    /// Length of the spot.
    pub spot_length: Option<Length>,
    /// Depth of the spot.
    pub spot_width: Option<Length>,
    /// Supply voltage.
    pub supply_volts: Option<Voltage>,
    /// Supply phases.
    pub supply_phases: Option<f64>,
    /// Current the supply can still give.
    pub supply_amps: Option<Current>,
    /// Floor, panel, air, neighbours.
    pub facts: Facts,
}

impl Room {
    /// Plain values of a draw.
    pub fn resolve(site: &Site, draw: Draw) -> Self {
        fn take<Q: Quantity>(value: &Option<Value<Q>>, draw: Draw) -> Option<Q> {
            value.as_ref().map(|v| draw.take(v))
        }
        Self {
            door_width: take(&site.door_width, draw),
            door_height: take(&site.door_height, draw),
            ceiling: take(&site.ceiling, draw),
            spot_length: take(&site.spot_length, draw),
            spot_width: take(&site.spot_width, draw),
            supply_volts: take(&site.supply_volts, draw),
            supply_phases: take(&site.supply_phases, draw).map(Quantity::base),
            supply_amps: take(&site.supply_amps, draw),
            facts: site.facts.resolve(draw),
        }
    }
}
