//! Surfaces of ISO 10303-42.

use glam::{DMat4, DVec2};

use super::curves::{curve_offsets, moved_curve, moved_frame, moved_points, scale_of};
use super::fields::{Outcome, Trouble};
use super::placement::Geometry;
use super::reader::MAX_OFFSETS;
use crate::brep::{BSplineSurface, Curve, EntityId, Frame, Surface};
use crate::part21::Entity;

/// Types a complex instance may be read as.
const KINDS: [&str; 10] = [
    "B_SPLINE_SURFACE",
    "RECTANGULAR_TRIMMED_SURFACE",
    "CURVE_BOUNDED_SURFACE",
    "PLANE",
    "CYLINDRICAL_SURFACE",
    "CONICAL_SURFACE",
    "SPHERICAL_SURFACE",
    "TOROIDAL_SURFACE",
    "SURFACE_OF_LINEAR_EXTRUSION",
    "OFFSET_SURFACE",
];

/// What one step of a surface parameter means.
#[derive(Clone, Copy)]
pub(super) enum Step {
    Length,
    Angle,
    Plain,
}

impl Step {
    /// What the step becomes when the surface is scaled.
    pub fn after_scaling(self, scale: f64) -> f64 {
        if matches!(self, Step::Length) {
            scale
        } else {
            1.0
        }
    }
}

impl<'a> Geometry<'_, '_, 'a> {
    /// Any surface.
    pub fn surface(&self, id: EntityId, depth: usize) -> Outcome<Surface> {
        let (entity, keyword) = self.reader.kind_of(id, depth, "surfaces", &KINDS)?;
        match keyword {
            b"PLANE" => Ok(Surface::Plane {
                frame: self.elementary(entity, &[])?.0,
            }),
            b"CYLINDRICAL_SURFACE" => {
                let (frame, mut fields) = self.elementary(entity, &["CYLINDRICAL_SURFACE"])?;
                Ok(Surface::Cylinder {
                    frame,
                    radius: self.positive(&mut fields, "a radius")?,
                })
            }
            b"CONICAL_SURFACE" => {
                let (frame, mut fields) = self.elementary(entity, &["CONICAL_SURFACE"])?;
                let radius = fields.real()? * self.scale.length_mm;
                let half_angle = fields.real()? * self.scale.angle_rad;
                if half_angle == 0.0 && radius > 0.0 {
                    return Ok(Surface::Cylinder { frame, radius });
                }
                if radius < 0.0
                    || half_angle == 0.0
                    || half_angle.abs() >= std::f64::consts::FRAC_PI_2
                {
                    return Err(fields.fail(format!(
                        "a cone of radius {radius} mm and half angle {} degrees",
                        half_angle.to_degrees()
                    )));
                }
                Ok(Surface::Cone {
                    frame,
                    radius,
                    half_angle,
                })
            }
            b"SPHERICAL_SURFACE" => {
                let (frame, mut fields) = self.elementary(entity, &["SPHERICAL_SURFACE"])?;
                Ok(Surface::Sphere {
                    frame,
                    radius: self.positive(&mut fields, "a radius")?,
                })
            }
            b"TOROIDAL_SURFACE" | b"DEGENERATE_TOROIDAL_SURFACE" => self.torus(entity),
            b"B_SPLINE_SURFACE"
            | b"B_SPLINE_SURFACE_WITH_KNOTS"
            | b"BEZIER_SURFACE"
            | b"UNIFORM_SURFACE"
            | b"QUASI_UNIFORM_SURFACE" => {
                Ok(Surface::BSpline(Box::new(self.spline_surface(entity)?)))
            }
            b"SURFACE_OF_LINEAR_EXTRUSION" => {
                let mut fields = self.reader.fields(
                    entity,
                    &[
                        "REPRESENTATION_ITEM",
                        "SWEPT_SURFACE",
                        "SURFACE_OF_LINEAR_EXTRUSION",
                    ],
                )?;
                let curve = Box::new(self.curve(fields.skip(1)?.reference()?, depth + 1)?);
                Ok(Surface::Extrusion {
                    curve,
                    direction: self.vector(fields.reference()?)?,
                })
            }
            b"SURFACE_OF_REVOLUTION" => {
                let mut fields = self.reader.fields(
                    entity,
                    &[
                        "REPRESENTATION_ITEM",
                        "SWEPT_SURFACE",
                        "SURFACE_OF_REVOLUTION",
                    ],
                )?;
                let curve = Box::new(self.curve(fields.skip(1)?.reference()?, depth + 1)?);
                let (origin, axis) = self.axis(fields.reference()?)?;
                Ok(Surface::Revolution {
                    curve,
                    origin,
                    axis,
                })
            }
            b"OFFSET_SURFACE" => {
                let mut fields = self
                    .reader
                    .fields(entity, &["REPRESENTATION_ITEM", "OFFSET_SURFACE"])?;
                let basis = fields.skip(1)?.reference()?;
                let distance = fields.real()? * self.scale.length_mm;
                let surface = Surface::Offset {
                    basis: Box::new(self.surface(basis, depth + 1)?),
                    distance,
                };
                if surface_offsets(&surface) > MAX_OFFSETS {
                    return Err(fields.fail("an offset of offsets of offsets"));
                }
                Ok(surface)
            }
            b"RECTANGULAR_TRIMMED_SURFACE" => self.rectangular(entity, depth),
            b"CURVE_BOUNDED_SURFACE" => {
                // The face has bounds of its own; these repeat them.
                let mut fields = self
                    .reader
                    .fields(entity, &["REPRESENTATION_ITEM", "CURVE_BOUNDED_SURFACE"])?;
                let basis = fields.skip(1)?.reference()?;
                self.surface(basis, depth + 1)
            }
            b"SURFACE_REPLICA" => {
                let mut fields = self
                    .reader
                    .fields(entity, &["REPRESENTATION_ITEM", "SURFACE_REPLICA"])?;
                let parent = fields.skip(1)?.reference()?;
                let transformation = self.operator(self.reader.entity(fields.reference()?)?)?;
                if transformation.determinant() < 0.0 {
                    return Err(fields.fail("a mirrored replica of a surface"));
                }
                Ok(moved_surface(
                    &self.surface(parent, depth + 1)?,
                    &transformation,
                ))
            }
            _ => Err(Trouble::of(&entity, "is not a surface this reader knows")),
        }
    }

    fn elementary(
        &self,
        entity: Entity<'a>,
        own: &[&str],
    ) -> Outcome<(Frame, super::fields::Fields<'a>)> {
        let mut chain = vec!["REPRESENTATION_ITEM", "ELEMENTARY_SURFACE"];
        chain.extend(own);
        let mut fields = self.reader.fields(entity, &chain)?;
        let frame = self.frame(fields.skip(1)?.reference()?)?;
        Ok((frame, fields))
    }

    fn torus(&self, entity: Entity<'a>) -> Outcome<Surface> {
        let degenerate = entity.is("DEGENERATE_TOROIDAL_SURFACE");
        let mut own = vec!["TOROIDAL_SURFACE"];
        if degenerate {
            own.push("DEGENERATE_TOROIDAL_SURFACE");
        }
        let (frame, mut fields) = self.elementary(entity, &own)?;
        let major = fields.real()? * self.scale.length_mm;
        let minor = self.positive(&mut fields, "a minor radius")?;
        let select_outer = if degenerate {
            fields.logical(true)?
        } else {
            true
        };
        if major == 0.0 {
            return Ok(Surface::Sphere {
                frame,
                radius: minor,
            });
        }
        if major < 0.0 {
            // Some systems write the lemon so: a circle whose centre lies beyond the axis.
            return Ok(Surface::Torus {
                frame,
                major: -major,
                minor,
                select_outer: false,
            });
        }
        Ok(Surface::Torus {
            frame,
            major,
            minor,
            select_outer,
        })
    }

    fn rectangular(&self, entity: Entity<'a>, depth: usize) -> Outcome<Surface> {
        let mut fields = self.reader.fields(
            entity,
            &["REPRESENTATION_ITEM", "RECTANGULAR_TRIMMED_SURFACE"],
        )?;
        let basis = self.surface(fields.skip(1)?.reference()?, depth + 1)?;
        let [u_step, v_step] = steps(&basis);
        let mut limits = [0.0; 4];
        for (limit, step) in limits.iter_mut().zip([u_step, u_step, v_step, v_step]) {
            *limit = fields.real()? * self.factor(step);
        }
        let [u0, u1, v0, v1] = limits;
        let u_sense = fields.logical(true)?;
        let v_sense = fields.logical(true)?;
        Ok(Surface::RectangularTrimmed {
            basis: Box::new(basis),
            u: [u0, u1],
            v: [v0, v1],
            u_sense,
            v_sense,
        })
    }

    /// What one step along u and v is in millimetres or radians.
    pub fn units_of(&self, surface: &Surface) -> DVec2 {
        DVec2::from_array(steps(surface).map(|step| self.factor(step)))
    }

    fn factor(&self, step: Step) -> f64 {
        match step {
            Step::Length => self.scale.length_mm,
            Step::Angle => self.scale.angle_rad,
            Step::Plain => 1.0,
        }
    }
}

/// Units of the two parameters of a surface.
pub(super) fn steps(surface: &Surface) -> [Step; 2] {
    match surface {
        Surface::Plane { .. } => [Step::Length, Step::Length],
        Surface::Cylinder { .. } | Surface::Cone { .. } => [Step::Angle, Step::Length],
        Surface::Sphere { .. } | Surface::Torus { .. } => [Step::Angle, Step::Angle],
        Surface::BSpline(_) => [Step::Plain, Step::Plain],
        Surface::Extrusion { curve, .. } => [curve_step(curve), Step::Plain],
        Surface::Revolution { curve, .. } => [Step::Angle, curve_step(curve)],
        Surface::Offset { basis, .. } | Surface::RectangularTrimmed { basis, .. } => steps(basis),
    }
}

fn curve_step(curve: &Curve) -> Step {
    match curve {
        Curve::Circle { .. } | Curve::Ellipse { .. } => Step::Angle,
        Curve::Trimmed { basis, .. } | Curve::Offset { basis, .. } => curve_step(basis),
        _ => Step::Plain,
    }
}

/// Offsets nested in a surface, see [`curve_offsets`].
pub(super) fn surface_offsets(surface: &Surface) -> usize {
    match surface {
        Surface::Offset { basis, .. } => 1 + surface_offsets(basis),
        Surface::RectangularTrimmed { basis, .. } => surface_offsets(basis),
        Surface::Extrusion { curve, .. } | Surface::Revolution { curve, .. } => {
            curve_offsets(curve)
        }
        _ => 0,
    }
}

/// A surface after a similarity that does not mirror (`SURFACE_REPLICA`).
pub(super) fn moved_surface(surface: &Surface, m: &DMat4) -> Surface {
    let s = scale_of(m);
    match surface {
        Surface::Plane { frame } => Surface::Plane {
            frame: moved_frame(frame, m),
        },
        Surface::Cylinder { frame, radius } => Surface::Cylinder {
            frame: moved_frame(frame, m),
            radius: radius * s,
        },
        Surface::Cone {
            frame,
            radius,
            half_angle,
        } => Surface::Cone {
            frame: moved_frame(frame, m),
            radius: radius * s,
            half_angle: *half_angle,
        },
        Surface::Sphere { frame, radius } => Surface::Sphere {
            frame: moved_frame(frame, m),
            radius: radius * s,
        },
        Surface::Torus {
            frame,
            major,
            minor,
            select_outer,
        } => Surface::Torus {
            frame: moved_frame(frame, m),
            major: major * s,
            minor: minor * s,
            select_outer: *select_outer,
        },
        Surface::BSpline(spline) => Surface::BSpline(Box::new(BSplineSurface {
            points: moved_points(&spline.points, m),
            ..(**spline).clone()
        })),
        Surface::Extrusion { curve, direction } => Surface::Extrusion {
            curve: Box::new(moved_curve(curve, m)),
            direction: m.transform_vector3(*direction),
        },
        Surface::Revolution {
            curve,
            origin,
            axis,
        } => Surface::Revolution {
            curve: Box::new(moved_curve(curve, m)),
            origin: m.transform_point3(*origin),
            axis: m.transform_vector3(*axis).normalize_or(*axis),
        },
        Surface::Offset { basis, distance } => Surface::Offset {
            basis: Box::new(moved_surface(basis, m)),
            distance: distance * s,
        },
        Surface::RectangularTrimmed {
            basis,
            u,
            v,
            u_sense,
            v_sense,
        } => {
            let [fu, fv] = steps(basis).map(|step| step.after_scaling(s));
            Surface::RectangularTrimmed {
                basis: Box::new(moved_surface(basis, m)),
                u: u.map(|x| x * fu),
                v: v.map(|x| x * fv),
                u_sense: *u_sense,
                v_sense: *v_sense,
            }
        }
    }
}
