//! Points, directions, axis placements and transformation operators.

use glam::{DMat4, DVec3};

use super::fields::{Outcome, Trouble};
use super::reader::Reader;
use super::units::Scale;
use crate::brep::{EntityId, Frame};
use crate::part21::Entity;

/// Reads geometry in the units of one context.
#[derive(Clone, Copy)]
pub(super) struct Geometry<'g, 'r, 'a> {
    pub reader: &'g Reader<'r, 'a>,
    pub scale: Scale,
}

impl<'a> Geometry<'_, '_, 'a> {
    /// `CARTESIAN_POINT` in millimetres; a missing third coordinate is zero.
    pub fn point(&self, id: EntityId) -> Outcome<DVec3> {
        let entity = self.reader.entity(id)?;
        if !entity.is("CARTESIAN_POINT") {
            return Err(Trouble::of(&entity, "expected a CARTESIAN_POINT"));
        }
        let p = self.triple(entity, "CARTESIAN_POINT")?;
        let p = p * self.scale.length_mm;
        if p.is_finite() {
            Ok(p)
        } else {
            Err(Trouble::of(&entity, "a point beyond all measure"))
        }
    }

    fn triple(&self, entity: Entity<'a>, own: &str) -> Outcome<DVec3> {
        let mut fields = self.reader.fields(entity, &["REPRESENTATION_ITEM", own])?;
        let mut list = fields.skip(1)?.list()?;
        let mut p = [0.0; 3];
        for (axis, value) in p.iter_mut().enumerate() {
            if axis > 0 && list.is_done() {
                break;
            }
            *value = list.real().map_err(|fault| fields.fail(fault.text))?;
        }
        Ok(DVec3::from_array(p))
    }

    /// Points of a list of references.
    pub fn points(&self, ids: &[EntityId]) -> Outcome<Vec<DVec3>> {
        ids.iter().map(|id| self.point(*id)).collect()
    }

    /// `DIRECTION` as a unit vector.
    pub fn direction(&self, id: EntityId) -> Outcome<DVec3> {
        let entity = self.reader.entity(id)?;
        if !entity.is("DIRECTION") {
            return Err(Trouble::of(&entity, "expected a DIRECTION"));
        }
        let d = self.triple(entity, "DIRECTION")?;
        // Components may be of any size; scaling first keeps the norm from overflowing.
        let largest = d.abs().max_element();
        (d / largest)
            .try_normalize()
            .ok_or_else(|| Trouble::of(&entity, "a direction of length zero"))
    }

    fn optional_direction(&self, id: Option<EntityId>) -> Outcome<Option<DVec3>> {
        id.map(|id| self.direction(id)).transpose()
    }

    /// `VECTOR` with its magnitude, in millimetres.
    pub fn vector(&self, id: EntityId) -> Outcome<DVec3> {
        let entity = self.reader.entity(id)?;
        if entity.is("DIRECTION") {
            return self.direction(id);
        }
        let mut fields = self
            .reader
            .fields(entity, &["REPRESENTATION_ITEM", "VECTOR"])?;
        let direction = self.direction(fields.skip(1)?.reference()?)?;
        let magnitude = fields.real()?;
        if magnitude == 0.0 {
            return Err(fields.fail("a vector of length zero"));
        }
        Ok(direction * magnitude * self.scale.length_mm)
    }

    /// Placement in space (`AXIS2_PLACEMENT_3D`), or the plane one laid into z = 0.
    pub fn frame(&self, id: EntityId) -> Outcome<Frame> {
        let entity = self.reader.entity(id)?;
        let own = ["AXIS2_PLACEMENT_3D", "AXIS2_PLACEMENT_2D"]
            .into_iter()
            .find(|k| entity.is(k));
        let Some(own) = own else {
            return Err(Trouble::of(&entity, "expected an AXIS2_PLACEMENT_3D"));
        };
        let mut fields = self
            .reader
            .fields(entity, &["REPRESENTATION_ITEM", "PLACEMENT", own])?;
        let origin = self.point(fields.skip(1)?.reference()?)?;
        if own == "AXIS2_PLACEMENT_2D" {
            let x = self.optional_direction(fields.optional_reference()?)?;
            return Ok(frame_from(origin, None, x));
        }
        let z = fields.optional_reference()?;
        // Some systems leave off what is omitted at the end.
        let x = if fields.is_done() {
            None
        } else {
            fields.optional_reference()?
        };
        Ok(frame_from(
            origin,
            self.optional_direction(z)?,
            self.optional_direction(x)?,
        ))
    }

    /// `AXIS1_PLACEMENT`: a point and a direction.
    pub fn axis(&self, id: EntityId) -> Outcome<(DVec3, DVec3)> {
        let entity = self.reader.entity(id)?;
        if entity.is("AXIS2_PLACEMENT_3D") {
            let frame = self.frame(id)?;
            return Ok((frame.origin, frame.z));
        }
        let mut fields = self.reader.fields(
            entity,
            &["REPRESENTATION_ITEM", "PLACEMENT", "AXIS1_PLACEMENT"],
        )?;
        let origin = self.point(fields.skip(1)?.reference()?)?;
        let z = self.optional_direction(fields.optional_reference()?)?;
        Ok((origin, z.unwrap_or(DVec3::Z)))
    }

    /// `CARTESIAN_TRANSFORMATION_OPERATOR_3D`: may scale and mirror.
    pub fn operator(&self, entity: Entity<'a>) -> Outcome<DMat4> {
        // A simple instance has one name from the item and, as the schemas have it, name and
        // description of the transformation; some systems write only the first.
        let inherited = match entity.args().map(|args| count_values(args)) {
            Ok(count) => count.saturating_sub(5),
            Err(_) => 0,
        };
        let chain = [
            "CARTESIAN_TRANSFORMATION_OPERATOR",
            "CARTESIAN_TRANSFORMATION_OPERATOR_3D",
        ];
        let mut fields = self.reader.fields(entity, &chain)?;
        fields.skip(inherited)?;
        let axis1 = self.optional_direction(fields.optional_reference()?)?;
        let axis2 = self.optional_direction(fields.optional_reference()?)?;
        let origin = self.point(fields.reference()?)?;
        let scale = match fields.value()? {
            crate::part21::Value::Real(x) => x,
            crate::part21::Value::Integer(n) => n as f64,
            _ => 1.0,
        };
        let axis3 = self.optional_direction(fields.optional_reference()?)?;
        if scale == 0.0 {
            return Err(fields.fail("a transformation with scale zero"));
        }
        // ISO 10303-42 base_axis: z leads, x is made square to it, y to both; given the other way
        // round, y mirrors.
        let frame = frame_from(origin, axis3, axis1);
        let mirrored = axis2.is_some_and(|y| y.dot(frame.y) < 0.0);
        let y = if mirrored { -frame.y } else { frame.y };
        Ok(DMat4::from_cols(
            (frame.x * scale).extend(0.0),
            (y * scale).extend(0.0),
            (frame.z * scale).extend(0.0),
            origin.extend(1.0),
        ))
    }

    /// Placement or operator as a matrix.
    pub fn transformation(&self, id: EntityId) -> Outcome<DMat4> {
        let entity = self.reader.entity(id)?;
        if entity.is("CARTESIAN_TRANSFORMATION_OPERATOR_3D")
            || entity.is("CARTESIAN_TRANSFORMATION_OPERATOR")
        {
            self.operator(entity)
        } else {
            self.frame(id).map(|frame| matrix(&frame))
        }
    }
}

fn count_values(mut args: crate::part21::Args<'_>) -> usize {
    let mut count = 0;
    while matches!(args.next_value(), Ok(Some(_))) {
        count += 1;
    }
    count
}

/// Axes from what is given, as ISO 10303-42 `build_axes` and `first_proj_axis` have it. A
/// reference direction along the axis, which is an error, counts as not given.
pub(super) fn frame_from(origin: DVec3, z: Option<DVec3>, x: Option<DVec3>) -> Frame {
    let z = z.unwrap_or(DVec3::Z);
    let square = |d: DVec3| {
        let rest = d - z * d.dot(z);
        // Closer than this to the axis, the direction is rounding noise.
        (rest.length() > 1e-9).then(|| rest.normalize())
    };
    let fallback = if z.x.abs() > 1.0 - 1e-9 {
        DVec3::Y
    } else {
        DVec3::X
    };
    let x = x
        .and_then(square)
        .or_else(|| square(fallback))
        .unwrap_or(DVec3::X);
    Frame {
        origin,
        x,
        y: z.cross(x),
        z,
    }
}

/// Matrix that takes coordinates in the frame to those around it.
pub(super) fn matrix(frame: &Frame) -> DMat4 {
    DMat4::from_cols(
        frame.x.extend(0.0),
        frame.y.extend(0.0),
        frame.z.extend(0.0),
        frame.origin.extend(1.0),
    )
}

/// Inverse of a matrix of the kinds above.
pub(super) fn inverse(matrix: &DMat4) -> Option<DMat4> {
    let inverse = matrix.inverse();
    inverse.is_finite().then_some(inverse)
}
