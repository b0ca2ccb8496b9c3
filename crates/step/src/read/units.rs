//! Units of each representation context, as factors to millimetres and radians.

use std::collections::BTreeMap;

use super::classify::Roles;
use super::fields::{Outcome, Trouble};
use super::reader::{MAX_DEPTH, Reader};
use crate::brep::EntityId;
use crate::part21::{Args, Entity, Value};

/// Factors from a file's numbers to millimetres and radians.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Scale {
    pub length_mm: f64,
    pub angle_rad: f64,
}

/// Millimetre and radian: in force where a file says nothing.
const DEFAULT: Scale = Scale {
    length_mm: 1.0,
    angle_rad: 1.0,
};

#[derive(Clone, Debug)]
struct Context {
    scale: Scale,
    uncertainty_mm: Option<f64>,
    length_name: String,
}

/// All contexts of a file.
#[derive(Debug, Default)]
pub(super) struct Contexts {
    known: BTreeMap<EntityId, Context>,
    first: Option<EntityId>,
}

/// A named or derived unit.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Unit {
    pub kind: UnitKind,
    /// To millimetres, radians, or for derived units to the power of millimetres.
    pub factor: f64,
    pub name: String,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum UnitKind {
    Length,
    Angle,
    /// Power of a length.
    Power(f64),
    Other,
}

impl Contexts {
    pub fn read(reader: &Reader<'_, '_>, roles: &Roles) -> Self {
        let mut contexts = Contexts::default();
        for id in &roles.contexts {
            match read_context(reader, *id) {
                Ok(context) => {
                    contexts.first.get_or_insert(*id);
                    contexts.known.insert(*id, context);
                }
                Err(trouble) => reader.trouble(trouble, "its units are unknown", false),
            }
        }
        if contexts.known.is_empty() {
            reader.note(
                "file",
                "the file states no length unit; millimetres are assumed".into(),
                false,
            );
        }
        contexts
    }

    fn get(&self, id: Option<EntityId>) -> Option<&Context> {
        // Geometry outside any representation, or in a context without units (an error, but seen):
        // the first context of the file speaks.
        id.and_then(|id| self.known.get(&id))
            .or_else(|| self.known.get(&self.first?))
    }

    pub fn scale(&self, id: Option<EntityId>) -> Scale {
        self.get(id).map_or(DEFAULT, |c| c.scale)
    }

    pub fn uncertainty(&self, id: Option<EntityId>) -> Option<f64> {
        self.get(id).and_then(|c| c.uncertainty_mm)
    }

    /// Distinct names of length units, in the order of the file.
    pub fn length_names(&self) -> Vec<String> {
        let mut names: Vec<String> = Vec::new();
        for context in self.known.values() {
            if !names.contains(&context.length_name) {
                names.push(context.length_name.clone());
            }
        }
        names
    }
}

fn read_context(reader: &Reader<'_, '_>, id: EntityId) -> Outcome<Context> {
    let entity = reader.entity(id)?;
    let mut context = Context {
        scale: DEFAULT,
        uncertainty_mm: None,
        length_name: String::new(),
    };
    let mut units = reader.fields(entity, &["GLOBAL_UNIT_ASSIGNED_CONTEXT"])?;
    for unit_id in units.references()? {
        match read_unit(reader, unit_id, 0) {
            Ok(unit) => match unit.kind {
                UnitKind::Length => {
                    context.scale.length_mm = unit.factor;
                    context.length_name = unit.name;
                }
                UnitKind::Angle => context.scale.angle_rad = unit.factor,
                UnitKind::Power(_) | UnitKind::Other => {}
            },
            Err(trouble) => {
                reader.trouble(trouble, "the unit is taken as millimetre or radian", false)
            }
        }
    }
    if context.length_name.is_empty() {
        // A context of drawings or of plain numbers may have none; shape must.
        context.length_name = "mm (assumed)".into();
    }
    if entity.is("GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT") {
        let stated = reader
            .fields(entity, &["GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT"])
            .and_then(|mut fields| fields.references());
        for id in stated.unwrap_or_default() {
            match read_uncertainty(reader, id) {
                Ok(Some(mm)) => context.uncertainty_mm = Some(mm),
                Ok(None) => {}
                Err(trouble) => {
                    reader.trouble(trouble, "the stated uncertainty is not used", false)
                }
            }
        }
    }
    Ok(context)
}

/// `UNCERTAINTY_MEASURE_WITH_UNIT(value, unit, name, description)` in millimetres, when it is a
/// distance.
fn read_uncertainty(reader: &Reader<'_, '_>, id: EntityId) -> Outcome<Option<f64>> {
    let mut fields = reader.fields(
        reader.entity(id)?,
        &["MEASURE_WITH_UNIT", "UNCERTAINTY_MEASURE_WITH_UNIT"],
    )?;
    let value = fields.real()?;
    let unit = read_unit(reader, fields.reference()?, 0)?;
    let usable = unit.kind == UnitKind::Length && value.is_finite() && value > 0.0;
    Ok(usable.then_some(value * unit.factor))
}

/// Reads a unit of any kind.
pub(super) fn read_unit(reader: &Reader<'_, '_>, id: EntityId, depth: usize) -> Outcome<Unit> {
    let entity = reader.entity(id)?;
    if depth > MAX_DEPTH {
        return Err(Trouble::of(
            &entity,
            "units refer to each other in a circle",
        ));
    }
    if entity.is("DERIVED_UNIT") {
        return derived_unit(reader, entity, depth);
    }
    let kind = kind_of(&entity);
    if let Some(args) = entity
        .leaf("CONVERSION_BASED_UNIT")
        .filter(|_| entity.is_complex())
    {
        return conversion_unit(reader, &entity, args, kind, depth);
    }
    if let Some(args) = entity.leaf("SI_UNIT") {
        return si_unit(&entity, args, kind);
    }
    Ok(Unit {
        kind,
        factor: 1.0,
        name: String::new(),
    })
}

fn kind_of(entity: &Entity<'_>) -> UnitKind {
    if entity.is("LENGTH_UNIT") {
        UnitKind::Length
    } else if entity.is("PLANE_ANGLE_UNIT") {
        UnitKind::Angle
    } else if entity.is("AREA_UNIT") {
        UnitKind::Power(2.0)
    } else if entity.is("VOLUME_UNIT") {
        UnitKind::Power(3.0)
    } else {
        UnitKind::Other
    }
}

/// `SI_UNIT(prefix, name)`.
fn si_unit(entity: &Entity<'_>, mut args: Args<'_>, kind: UnitKind) -> Outcome<Unit> {
    let fault = |text: &str| Trouble::of(entity, text);
    // A simple instance has the dimensions first.
    if !entity.is_complex() && args.value().is_err() {
        return Err(fault("an SI unit without prefix and name"));
    }
    let prefix = args.value().map_err(|f| fault(&f.text))?;
    let name = args.value().map_err(|f| fault(&f.text))?;
    let power = match prefix {
        Value::Omitted | Value::Derived => 0,
        Value::Enumeration(prefix) => {
            prefix_power(prefix).ok_or_else(|| fault("an SI prefix that does not exist"))?
        }
        _ => return Err(fault("expected an SI prefix or $")),
    };
    let Value::Enumeration(name) = name else {
        return Err(fault("expected the name of an SI unit"));
    };
    match name {
        b"METRE" => {
            // Powers of ten above 22 are not exact in f64; lengths never get there.
            let symbol = format!("{}m", prefix_symbol(power));
            Ok(Unit {
                kind: UnitKind::Length,
                factor: power_of_ten(power + 3),
                name: symbol,
            })
        }
        b"RADIAN" => Ok(Unit {
            kind: UnitKind::Angle,
            factor: power_of_ten(power),
            name: "rad".into(),
        }),
        _ => Ok(Unit {
            kind,
            factor: power_of_ten(power),
            name: String::new(),
        }),
    }
}

fn power_of_ten(power: i32) -> f64 {
    // The quotient of exact powers is correctly rounded; 10^-3 by powi is not.
    if power >= 0 {
        10f64.powi(power)
    } else {
        1.0 / 10f64.powi(-power)
    }
}

/// Prefixes of ISO 80000-1 as ISO 10303-41 names them.
fn prefix_power(prefix: &[u8]) -> Option<i32> {
    Some(match prefix {
        b"EXA" => 18,
        b"PETA" => 15,
        b"TERA" => 12,
        b"GIGA" => 9,
        b"MEGA" => 6,
        b"KILO" => 3,
        b"HECTO" => 2,
        b"DECA" => 1,
        b"DECI" => -1,
        b"CENTI" => -2,
        b"MILLI" => -3,
        b"MICRO" => -6,
        b"NANO" => -9,
        b"PICO" => -12,
        b"FEMTO" => -15,
        b"ATTO" => -18,
        _ => return None,
    })
}

fn prefix_symbol(power: i32) -> &'static str {
    match power {
        18 => "E",
        15 => "P",
        12 => "T",
        9 => "G",
        6 => "M",
        3 => "k",
        2 => "h",
        1 => "da",
        -1 => "d",
        -2 => "c",
        -3 => "m",
        -6 => "u",
        -9 => "n",
        -12 => "p",
        -15 => "f",
        -18 => "a",
        _ => "",
    }
}

/// `CONVERSION_BASED_UNIT(name, measure with unit)`.
fn conversion_unit(
    reader: &Reader<'_, '_>,
    entity: &Entity<'_>,
    mut args: Args<'_>,
    kind: UnitKind,
    depth: usize,
) -> Outcome<Unit> {
    let fault = |f: crate::part21::Fault| Trouble::of(entity, f.text);
    let name = args.text().map_err(fault)?;
    let measure = reader.entity(args.reference().map_err(fault)?)?;
    let mut fields = reader.fields(measure, &["MEASURE_WITH_UNIT"])?;
    let value = fields.real()?;
    let base = read_unit(reader, fields.reference()?, depth + 1)?;
    let factor = value * base.factor;
    if !(factor.is_finite() && factor > 0.0) {
        return Err(Trouble::of(
            entity,
            format!("a unit of {factor} base units"),
        ));
    }
    Ok(Unit {
        kind: if kind == UnitKind::Other {
            base.kind
        } else {
            kind
        },
        factor,
        name: name.to_lowercase(),
    })
}

/// Product of units to powers; only those of length matter here.
fn derived_unit(reader: &Reader<'_, '_>, entity: Entity<'_>, depth: usize) -> Outcome<Unit> {
    let mut power = 0.0;
    let mut factor = 1.0;
    let Some(mut args) = entity.leaf("DERIVED_UNIT") else {
        return Err(Trouble::of(&entity, "expected a list of unit elements"));
    };
    let elements = args
        .list()
        .and_then(Args::references)
        .map_err(|fault| Trouble::of(&entity, fault.text))?;
    for id in elements {
        let mut element = reader.fields(reader.entity(id)?, &["DERIVED_UNIT_ELEMENT"])?;
        let unit = read_unit(reader, element.reference()?, depth + 1)?;
        let exponent = element.real()?;
        factor *= unit.factor.powf(exponent);
        match unit.kind {
            UnitKind::Length => power += exponent,
            UnitKind::Power(p) => power += p * exponent,
            UnitKind::Angle | UnitKind::Other => {}
        }
    }
    Ok(Unit {
        kind: UnitKind::Power(power),
        factor,
        name: String::new(),
    })
}
