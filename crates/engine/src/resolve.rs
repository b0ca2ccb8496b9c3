//! The one place where entered values with origin and spread become plain values of a draw.

use crate::demand::PlainPart;
use crate::entered::Part;
use crate::ids::OfferId;
use crate::machine::{
    EnteredProperties, Field, ForEachEntered, Machine, MachineClass, Offer, Properties,
};
use crate::material::{Material, Materials, PIVOT_CHIP};
use units::{Draw, Number, Place, Quantity, Spread, Value};

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
    Machine {
        offer: offer.id.clone(),
        properties: Properties::resolve(&entered(offer), &class.properties, &offer.id.0, draw),
        taper: offer.taper.clone(),
        taper_default: class.taper.clone(),
    }
}

/// Numbers of a machine stated with a spread, with the options the buyer takes: what may be another
/// than in the likely draw. A voltage is a band it runs on, no doubt; a price is no property of the
/// machine's work.
pub fn doubtful(offer: &Offer) -> Vec<(Field, Value<Number>)> {
    let mut found = Doubtful(Vec::new());
    entered(offer).for_each(&mut found);
    found.0
}

/// What is entered of an offer, with what the options taken give.
fn entered(offer: &Offer) -> EnteredProperties {
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
    entered
}

struct Doubtful(Vec<(Field, Value<Number>)>);

impl ForEachEntered for Doubtful {
    fn visit<Q: Quantity>(&mut self, field: Field, slot: &mut Option<Value<Q>>) {
        let other = matches!(field, Field::supply_volts | Field::price);
        if let Some(value) = slot.as_ref().filter(|v| v.is_doubtful() && !other) {
            self.0.push((field, value.in_base_units()));
        }
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

/// The materials with the ends of their forces, of their speeds and of their feeds, each kind changed
/// alone and all materials alike; the end with which cutting is quicker comes first. Everything else is
/// at its best single value.
pub fn material_ends(materials: &Materials) -> [[Materials; 2]; 3] {
    fn end<Q: Quantity>(value: &mut Value<Q>, from: &Value<Q>, high: bool) {
        let (low, top) = from.ends();
        value.likely = if high { top } else { low };
    }
    let likely = self::materials(materials, Draw::Likely);
    let with = |change: &dyn Fn(&mut Material, &Material)| {
        let mut changed = likely.clone();
        for (own, from) in changed.0.values_mut().zip(materials.0.values()) {
            change(own, from);
        }
        changed
    };
    let force = |high: bool| {
        with(&|own, from| {
            end(&mut own.kc11, &from.kc11, high);
            let pairs = [
                (&mut own.tap_force, &from.tap_force),
                (&mut own.tap_force_section, &from.tap_force_section),
            ];
            for (own, from) in pairs {
                if let (Some(own), Some(from)) = (own, from) {
                    end(own, from, high);
                }
            }
            if let (Some(own), Some(from)) = (&mut own.drill_factor, &from.drill_factor) {
                end(own, from, high);
            }
        })
    };
    let speed = |high: bool| {
        with(&|own, from| {
            end(&mut own.speed_carbide, &from.speed_carbide, high);
            end(&mut own.speed_hss, &from.speed_hss, high);
        })
    };
    let feed = |high: bool| {
        with(&|own, from| {
            end(&mut own.feed_per_diameter, &from.feed_per_diameter, high);
            if let (Some(own), Some(from)) =
                (&mut own.feed_per_diameter_hss, &from.feed_per_diameter_hss)
            {
                end(own, from, high);
            }
        })
    };
    [
        [force(false), force(true)],
        [speed(true), speed(false)],
        [feed(true), feed(false)],
    ]
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
