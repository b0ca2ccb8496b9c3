//! The room in one draw.

use crate::entered::{Facts, ForEachFact, Site};
use units::{Current, Draw, Length, Number, Quantity, Value, Voltage};

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

    /// Numbers of the room stated with a spread, by their keys, in base units. A supply's voltage is a
    /// band it serves, no doubt.
    pub fn doubtful(site: &Site) -> Vec<(&'static str, Value<Number>)> {
        fn take<Q: Quantity>(
            list: &mut Vec<(&'static str, Value<Number>)>,
            key: &'static str,
            value: &Option<Value<Q>>,
        ) {
            if let Some(value) = value.as_ref().filter(|v| v.is_doubtful()) {
                list.push((key, value.in_base_units()));
            }
        }
        struct Each<'a>(&'a mut Vec<(&'static str, Value<Number>)>);
        impl ForEachFact for Each<'_> {
            fn visit<Q: Quantity>(&mut self, key: &'static str, slot: &mut Option<Value<Q>>) {
                take(self.0, key, slot);
            }
        }
        let mut list = Vec::new();
        take(&mut list, "door_width", &site.door_width);
        take(&mut list, "door_height", &site.door_height);
        take(&mut list, "ceiling", &site.ceiling);
        take(&mut list, "spot_length", &site.spot_length);
        take(&mut list, "spot_width", &site.spot_width);
        take(&mut list, "supply_amps", &site.supply_amps);
        site.facts.clone().for_each(&mut Each(&mut list));
        list
    }

    /// The same with one of these numbers at another value, in base units.
    pub fn with(mut self, key: &str, base: f64) -> Self {
        match key {
            "door_width" => self.door_width = Some(Length::from_base(base)),
            "door_height" => self.door_height = Some(Length::from_base(base)),
            "ceiling" => self.ceiling = Some(Length::from_base(base)),
            "spot_length" => self.spot_length = Some(Length::from_base(base)),
            "spot_width" => self.spot_width = Some(Length::from_base(base)),
            "supply_amps" => self.supply_amps = Some(Current::from_base(base)),
            fact => self.facts.state(fact, base),
        }
        self
    }
}
