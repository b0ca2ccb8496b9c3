//! Curves of ISO 10303-42.

use glam::{DMat4, DVec2, DVec3};

use super::conics::{parameter_of_point, point_at};
use super::fields::{Fields, Outcome, Trouble};
use super::placement::Geometry;
use super::reader::MAX_OFFSETS;
use super::surfaces::{moved_surface, steps, surface_offsets};
use crate::brep::{BSplineCurve, Curve, CurveOnSurface, EntityId, Frame};
use crate::part21::{Entity, Value};

/// Types a complex instance may be read as, the most telling first.
const KINDS: [&str; 12] = [
    "B_SPLINE_CURVE",
    "TRIMMED_CURVE",
    "COMPOSITE_CURVE",
    "SURFACE_CURVE",
    "PCURVE",
    "POLYLINE",
    "CIRCLE",
    "ELLIPSE",
    "PARABOLA",
    "HYPERBOLA",
    "LINE",
    "OFFSET_CURVE_3D",
];

impl<'a> Geometry<'_, '_, 'a> {
    /// Any curve in space.
    pub fn curve(&self, id: EntityId, depth: usize) -> Outcome<Curve> {
        let (entity, keyword) = self.reader.kind_of(id, depth, "curves", &KINDS)?;
        match keyword {
            b"LINE" => self.line(entity),
            b"CIRCLE" | b"ELLIPSE" | b"PARABOLA" | b"HYPERBOLA" => self.conic(entity, keyword),
            b"POLYLINE" => self.polyline(entity),
            b"B_SPLINE_CURVE"
            | b"B_SPLINE_CURVE_WITH_KNOTS"
            | b"BEZIER_CURVE"
            | b"UNIFORM_CURVE"
            | b"QUASI_UNIFORM_CURVE" => self.spline_curve(entity).map(Curve::BSpline),
            b"TRIMMED_CURVE" => self.trimmed(entity, depth),
            b"COMPOSITE_CURVE"
            | b"BOUNDARY_CURVE"
            | b"OUTER_BOUNDARY_CURVE"
            | b"COMPOSITE_CURVE_ON_SURFACE" => self.composite(entity, depth),
            b"SURFACE_CURVE" | b"SEAM_CURVE" | b"INTERSECTION_CURVE" | b"BOUNDED_SURFACE_CURVE" => {
                match self.form_in_space(entity, depth) {
                    Ok(curve) => Ok(curve),
                    Err(why) => Ok(self.forms_on_surfaces(entity, why, depth)?.swap_remove(0)),
                }
            }
            b"PCURVE" | b"BOUNDED_PCURVE" => Ok(self.pcurve(entity, depth)?.swap_remove(0)),
            b"OFFSET_CURVE_3D" => {
                let mut fields = self
                    .reader
                    .fields(entity, &["REPRESENTATION_ITEM", "OFFSET_CURVE_3D"])?;
                let basis = fields.skip(1)?.reference()?;
                let distance = fields.real()? * self.scale.length_mm;
                let reference = self.direction(fields.skip(1)?.reference()?)?;
                let curve = Curve::Offset {
                    basis: Box::new(self.curve(basis, depth + 1)?),
                    distance,
                    reference,
                };
                if curve_offsets(&curve) > MAX_OFFSETS {
                    return Err(fields.fail("an offset of offsets of offsets"));
                }
                Ok(curve)
            }
            b"CURVE_REPLICA" => {
                let mut fields = self
                    .reader
                    .fields(entity, &["REPRESENTATION_ITEM", "CURVE_REPLICA"])?;
                let parent = fields.skip(1)?.reference()?;
                let transformation = self.operator(self.reader.entity(fields.reference()?)?)?;
                let parent = self.curve(parent, depth + 1)?;
                if transformation.determinant() < 0.0 && lies_on_surface(&parent) {
                    return Err(fields.fail("a mirrored replica of a curve on a surface"));
                }
                Ok(moved_curve(&parent, &transformation))
            }
            _ => Err(Trouble::of(&entity, "is not a curve this reader knows")),
        }
    }

    fn line(&self, entity: Entity<'a>) -> Outcome<Curve> {
        let mut fields = self
            .reader
            .fields(entity, &["REPRESENTATION_ITEM", "LINE"])?;
        let origin = self.point(fields.skip(1)?.reference()?)?;
        let direction = self.vector(fields.reference()?)?;
        Ok(Curve::Line { origin, direction })
    }

    /// A radius or distance that must be positive, in millimetres.
    pub fn positive(&self, fields: &mut Fields<'a>, what: &str) -> Outcome<f64> {
        let value = fields.real()?;
        if value > 0.0 {
            Ok(value * self.scale.length_mm)
        } else {
            Err(fields.fail(format!("{what} of {value}")))
        }
    }

    fn conic(&self, entity: Entity<'a>, keyword: &[u8]) -> Outcome<Curve> {
        let own = std::str::from_utf8(keyword).unwrap_or_default();
        let mut fields = self
            .reader
            .fields(entity, &["REPRESENTATION_ITEM", "CONIC", own])?;
        let frame = self.frame(fields.skip(1)?.reference()?)?;
        Ok(match keyword {
            b"CIRCLE" => Curve::Circle {
                frame,
                radius: self.positive(&mut fields, "a radius")?,
            },
            b"ELLIPSE" => Curve::Ellipse {
                frame,
                rx: self.positive(&mut fields, "a semi-axis")?,
                ry: self.positive(&mut fields, "a semi-axis")?,
            },
            b"PARABOLA" => Curve::Parabola {
                frame,
                focal: self.positive(&mut fields, "a focal distance")?,
            },
            _ => Curve::Hyperbola {
                frame,
                rx: self.positive(&mut fields, "a semi-axis")?,
                ry: self.positive(&mut fields, "a semi-axis")?,
            },
        })
    }

    fn polyline(&self, entity: Entity<'a>) -> Outcome<Curve> {
        let mut fields = self
            .reader
            .fields(entity, &["REPRESENTATION_ITEM", "POLYLINE"])?;
        let points = self.points(&fields.skip(1)?.references()?)?;
        if points.len() < 2 {
            return Err(fields.fail("a polyline of fewer than two points"));
        }
        Ok(Curve::Polyline { points })
    }

    fn composite(&self, entity: Entity<'a>, depth: usize) -> Outcome<Curve> {
        let mut fields = self
            .reader
            .fields(entity, &["REPRESENTATION_ITEM", "COMPOSITE_CURVE"])?;
        let mut segments = Vec::new();
        for id in fields.skip(1)?.references()? {
            let segment = self.reader.entity(id)?;
            let mut fields = self.reader.fields(segment, &["COMPOSITE_CURVE_SEGMENT"])?;
            let same_sense = fields.skip(1)?.logical(true)?;
            segments.push((self.curve(fields.reference()?, depth + 1)?, same_sense));
        }
        if segments.is_empty() {
            return Err(fields.fail("a composite curve without segments"));
        }
        Ok(Curve::Composite { segments })
    }

    fn trimmed(&self, entity: Entity<'a>, depth: usize) -> Outcome<Curve> {
        let mut fields = self
            .reader
            .fields(entity, &["REPRESENTATION_ITEM", "TRIMMED_CURVE"])?;
        let basis = self.curve(fields.skip(1)?.reference()?, depth + 1)?;
        let t0 = self.trim(&mut fields, &basis)?;
        let t1 = self.trim(&mut fields, &basis)?;
        let same_sense = fields.logical(true)?;
        Ok(Curve::Trimmed {
            basis: Box::new(basis),
            t0,
            t1,
            same_sense,
        })
    }

    /// One end of a trimmed curve: a parameter, a point, or both. Where both are given and
    /// disagree, the point counts: systems confuse degrees and radians, never points.
    fn trim(&self, fields: &mut Fields<'a>, basis: &Curve) -> Outcome<f64> {
        let mut list = fields.list()?;
        let mut parameter = None;
        let mut point = None;
        while let Some(value) = list.next_value().map_err(|fault| fields.fail(fault.text))? {
            match value {
                Value::Reference(id) => point = Some(self.point(id)?),
                Value::Typed(_, mut inner) => parameter = inner.real().ok(),
                Value::Real(x) => parameter = Some(x),
                Value::Integer(n) => parameter = Some(n as f64),
                _ => {}
            }
        }
        let angular = matches!(basis, Curve::Circle { .. } | Curve::Ellipse { .. });
        let parameter = parameter.map(|t| if angular { t * self.scale.angle_rad } else { t });
        let from_point = point.and_then(|p| parameter_of_point(basis, p));
        match (parameter, point, from_point) {
            (Some(t), Some(p), Some(from_point)) => {
                let there =
                    point_at(basis, t).is_some_and(|q| q.distance(p) <= 1e-3 * (1.0 + size(basis)));
                Ok(if there { t } else { from_point })
            }
            (Some(t), _, _) => Ok(t),
            (None, _, Some(t)) => Ok(t),
            _ => Err(fields.fail("a trimmed curve without a usable end")),
        }
    }
}

/// Size of a conic, for comparing points on it.
fn size(curve: &Curve) -> f64 {
    match curve {
        Curve::Circle { radius, .. } => *radius,
        Curve::Ellipse { rx, .. } | Curve::Hyperbola { rx, .. } => *rx,
        Curve::Parabola { focal, .. } => *focal,
        _ => 0.0,
    }
}

/// Scale of a similarity.
pub(super) fn scale_of(transformation: &DMat4) -> f64 {
    transformation.determinant().abs().cbrt()
}

/// Frame after a similarity. A mirrored one turns left-handed; the second axis is kept, since the
/// curve runs in x and y, and z follows.
pub(super) fn moved_frame(frame: &Frame, transformation: &DMat4) -> Frame {
    let turn = |d: DVec3| transformation.transform_vector3(d).normalize_or(d);
    let (x, y) = (turn(frame.x), turn(frame.y));
    Frame {
        origin: transformation.transform_point3(frame.origin),
        x,
        y,
        z: x.cross(y),
    }
}

fn lies_on_surface(curve: &Curve) -> bool {
    match curve {
        Curve::OnSurface(_) => true,
        Curve::Trimmed { basis, .. } | Curve::Offset { basis, .. } => lies_on_surface(basis),
        Curve::Composite { segments } => segments.iter().any(|(c, _)| lies_on_surface(c)),
        _ => false,
    }
}

/// Offsets nested in a curve: each takes several points of what it is an offset of.
pub(super) fn curve_offsets(curve: &Curve) -> usize {
    match curve {
        Curve::Offset { basis, .. } => 1 + curve_offsets(basis),
        Curve::Trimmed { basis, .. } => curve_offsets(basis),
        Curve::Composite { segments } => segments
            .iter()
            .map(|(c, _)| curve_offsets(c))
            .max()
            .unwrap_or(0),
        Curve::OnSurface(c) => surface_offsets(&c.surface).max(curve_offsets(&c.uv)),
        _ => 0,
    }
}

/// A curve after a similarity (`CURVE_REPLICA`; mirrored ones never lie on surfaces).
pub(super) fn moved_curve(curve: &Curve, m: &DMat4) -> Curve {
    let s = scale_of(m);
    match curve {
        Curve::Line { origin, direction } => Curve::Line {
            origin: m.transform_point3(*origin),
            direction: m.transform_vector3(*direction),
        },
        Curve::Circle { frame, radius } => Curve::Circle {
            frame: moved_frame(frame, m),
            radius: radius * s,
        },
        Curve::Ellipse { frame, rx, ry } => Curve::Ellipse {
            frame: moved_frame(frame, m),
            rx: rx * s,
            ry: ry * s,
        },
        Curve::Parabola { frame, focal } => Curve::Parabola {
            frame: moved_frame(frame, m),
            focal: focal * s,
        },
        Curve::Hyperbola { frame, rx, ry } => Curve::Hyperbola {
            frame: moved_frame(frame, m),
            rx: rx * s,
            ry: ry * s,
        },
        Curve::Polyline { points } => Curve::Polyline {
            points: moved_points(points, m),
        },
        Curve::BSpline(spline) => Curve::BSpline(BSplineCurve {
            points: moved_points(&spline.points, m),
            ..spline.clone()
        }),
        Curve::Trimmed {
            basis,
            t0,
            t1,
            same_sense,
        } => Curve::Trimmed {
            basis: Box::new(moved_curve(basis, m)),
            t0: *t0,
            t1: *t1,
            same_sense: *same_sense,
        },
        Curve::Composite { segments } => Curve::Composite {
            segments: segments
                .iter()
                .map(|(curve, sense)| (moved_curve(curve, m), *sense))
                .collect(),
        },
        Curve::Offset {
            basis,
            distance,
            reference,
        } => Curve::Offset {
            basis: Box::new(moved_curve(basis, m)),
            // The offset side is reference x tangent: a mirror turns it over.
            distance: distance * s * m.determinant().signum(),
            reference: m.transform_vector3(*reference).normalize_or(*reference),
        },
        Curve::OnSurface(c) => {
            let steps = steps(&c.surface).map(|step| step.after_scaling(s));
            Curve::OnSurface(Box::new(CurveOnSurface::new(
                moved_surface(&c.surface, m),
                c.uv.clone(),
                c.unit * DVec2::from_array(steps),
            )))
        }
    }
}

pub(super) fn moved_points(points: &[DVec3], m: &DMat4) -> Vec<DVec3> {
    points.iter().map(|p| m.transform_point3(*p)).collect()
}
