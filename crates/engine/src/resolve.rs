//! The one place where entered values with origin and spread become plain values of a draw.

use crate::demand::PlainPart;
use crate::entered::Part;
use crate::ids::OfferId;
use crate::machine::{
    EnteredProperties, Field, ForEachEntered, Machine, MachineClass, Offer, Properties,
};
use crate::material::{Materials, PIVOT_CHIP};
use units::{Draw, Place, Quantity, Spread, Value};

/// A part in one draw.
pub fn part(part: &Part, draw: Draw) -> PlainPart {
    PlainPart {
        id: part.id.clone(),
        name: part.name.clone(),
        shape: part.shape.clone(),
        material: part.material.clone(),
        allowance: draw.take(&part.allowance),
        features: part.features.clone(),
        holding: part.holding,
        tolerance: part.tolerance.as_ref().map(|v| draw.take(v)),
        per_year: draw.take(&part.per_year),
        batch: draw.take(&part.batch),
        must_make: part.must_make,
        want: part.want,
    }
}

/// A machine in one draw, with the options the buyer takes.
pub fn machine(offer: &Offer, class: &MachineClass, draw: Draw) -> Machine {
    let mut entered = offer.properties.clone();
    for option in offer.options.iter().filter(|o| o.taken) {
        for &(field, base) in &option.gives {
            entered.for_each(&mut Give {
                field,
                base,
                place: &offer.place,
                name: format!("offers/{}/{}", offer.id, field.key()),
            });
        }
    }
    Machine {
        offer: offer.id.clone(),
        properties: Properties::resolve(&entered, &class.properties, &offer.id.0, draw),
        taper: offer.taper.clone(),
        taper_default: class.taper.clone(),
    }
}

/// A usual machine of a class: nothing stated, everything its class's default.
pub fn class_machine(class: &MachineClass, draw: Draw) -> Machine {
    Machine {
        offer: OfferId::new(format!("class-{}", class.id)),
        properties: Properties::resolve(
            &EnteredProperties::default(),
            &class.properties,
            &format!("class-{}", class.id),
            draw,
        ),
        taper: None,
        taper_default: class.taper.clone(),
    }
}

/// Materials in one draw: every number at its drawn value, without spread.
pub fn materials(materials: &Materials, draw: Draw) -> Materials {
    let mut drawn = materials.clone();
    for material in drawn.0.values_mut() {
        let mc = material.mc.likely.to_number();
        fix(&mut material.kc11, draw);
        fix(&mut material.mc, draw);
        // Another exponent turns the force about the chip at which the tables are compared.
        let turned = material.mc.likely.to_number() - mc;
        let pivot = PIVOT_CHIP.to_mm().powf(turned);
        material.kc11.likely = material.kc11.likely * pivot;
        fix(&mut material.speed_carbide, draw);
        fix(&mut material.speed_hss, draw);
        fix(&mut material.feed_per_diameter, draw);
        for share in [
            &mut material.feed_per_diameter_hss,
            &mut material.drill_factor,
        ]
        .into_iter()
        .flatten()
        {
            fix(share, draw);
        }
        for force in [&mut material.tap_force, &mut material.tap_force_section]
            .into_iter()
            .flatten()
        {
            fix(force, draw);
        }
        if let Some(price) = &mut material.stock_price_kg {
            fix(price, draw);
        }
    }
    drawn
}

fn fix<Q: Quantity>(value: &mut Value<Q>, draw: Draw) {
    value.likely = draw.take(value);
    value.spread = Spread::None;
}

/// Sets one property to what an option gives.
struct Give<'a> {
    field: Field,
    base: f64,
    place: &'a Place,
    name: String,
}

impl ForEachEntered for Give<'_> {
    fn visit<Q: Quantity>(&mut self, field: Field, slot: &mut Option<Value<Q>>) {
        if field == self.field {
            *slot = Some(Value::stated(
                self.name.clone(),
                Q::from_base(self.base),
                self.place.clone(),
            ));
        }
    }
}
