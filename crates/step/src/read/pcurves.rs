//! Curves given in the parameters of a surface, brought into space.
//!
//! Where a closed form exists (anything on a plane, lines of constant u or v on round surfaces) it
//! is taken, so that such an edge is as exact as one with a curve of its own.

use glam::{DMat4, DQuat, DVec2, DVec3};

use super::curves::moved_curve;
use super::fields::{Outcome, Trouble};
use super::placement::{Geometry, matrix};
use super::units::Scale;
use crate::brep::{Curve, CurveOnSurface, EntityId, Frame, Surface};
use crate::part21::Entity;

/// An edge whose curve ends farther from its vertices than this part of their distance is not the
/// curve of that edge. Real files stay within 1e-3 (from memory).
const MISFIT: f64 = 0.01;

impl<'a> Geometry<'_, '_, 'a> {
    /// The curve of an edge between two points. Where the file gives several forms in the
    /// parameters of surfaces and none in space, the one that meets the points best.
    pub fn edge_curve(&self, id: EntityId, ends: [DVec3; 2]) -> Outcome<Curve> {
        let entity = self.reader.entity(id)?;
        let candidates = if is_surface_curve(&entity) {
            match self.form_in_space(entity, 0) {
                Ok(curve) => return Ok(curve),
                Err(trouble) => self.forms_on_surfaces(entity, trouble, 0)?,
            }
        } else if entity.is("PCURVE") || entity.is("BOUNDED_PCURVE") {
            self.pcurve(entity, 0)?
        } else {
            return self.curve(id, 0);
        };
        let gap = |curve: &Curve| {
            ends.map(|p| curve.point(curve.closest(p)).distance(p))
                .into_iter()
                .fold(0.0, f64::max)
        };
        let size = candidates
            .iter()
            .map(|c| chord_or_extent(c, ends))
            .fold(0.0, f64::max);
        candidates
            .into_iter()
            .map(|curve| (gap(&curve), curve))
            .filter(|(gap, _)| *gap <= MISFIT * size)
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, curve)| curve)
            .ok_or_else(|| {
                Trouble::of(
                    &entity,
                    "in the parameters of its surface it does not meet the ends of its edge",
                )
            })
    }

    /// The curve in space of a surface curve.
    pub fn form_in_space(&self, entity: Entity<'a>, depth: usize) -> Outcome<Curve> {
        let mut fields = self
            .reader
            .fields(entity, &["REPRESENTATION_ITEM", "SURFACE_CURVE"])?;
        let curve = self.curve(fields.skip(1)?.reference()?, depth + 1)?;
        match curve.problem() {
            None => Ok(curve),
            Some(problem) => Err(fields.fail(problem)),
        }
    }

    /// The forms of a surface curve in the parameters of surfaces, at least one; `why` there is
    /// none in space.
    pub fn forms_on_surfaces(
        &self,
        entity: Entity<'a>,
        why: Trouble,
        depth: usize,
    ) -> Outcome<Vec<Curve>> {
        let associated = || -> Outcome<Vec<EntityId>> {
            self.reader
                .fields(entity, &["REPRESENTATION_ITEM", "SURFACE_CURVE"])?
                .skip(2)?
                .references()
        };
        let curves: Vec<Curve> = associated()
            .unwrap_or_default()
            .into_iter()
            .filter_map(|id| {
                let form = self.reader.entity(id).ok()?;
                self.pcurve(form, depth + 1).ok()
            })
            .flatten()
            .collect();
        if curves.is_empty() {
            return Err(why);
        }
        self.reader.trouble(
            why,
            &format!(
                "its form in the parameters of a surface is taken (#{})",
                entity.id
            ),
            false,
        );
        Ok(curves)
    }

    /// `PCURVE`: a surface, and a curve in its parameters. Where angles are not in radians there
    /// are two readings, as the file says first: some systems keep parameters in radians always
    /// (common practice, no source).
    pub fn pcurve(&self, entity: Entity<'a>, depth: usize) -> Outcome<Vec<Curve>> {
        if !(entity.is("PCURVE") || entity.is("BOUNDED_PCURVE")) {
            return Err(Trouble::of(&entity, "is not a curve on a surface"));
        }
        let mut fields = self
            .reader
            .fields(entity, &["REPRESENTATION_ITEM", "PCURVE"])?;
        let surface = self.surface(fields.skip(1)?.reference()?, depth + 1)?;
        let shown = self.reader.entity(fields.reference()?)?;
        let mut items = self.reader.fields(shown, &["REPRESENTATION"])?;
        let item = items.skip(1)?.references()?.first().copied();
        let item = item.ok_or_else(|| items.fail("shows no curve"))?;
        // Parameters have units of their own: only angles along conics are in those of the file.
        let flat = Geometry {
            reader: self.reader,
            scale: Scale {
                length_mm: 1.0,
                angle_rad: self.scale.angle_rad,
            },
        };
        let uv = flat.curve(item, depth + 1)?;
        let mut units = vec![self.units_of(&surface)];
        if self.scale.angle_rad != 1.0 {
            let radians = Geometry {
                reader: self.reader,
                scale: Scale {
                    angle_rad: 1.0,
                    ..self.scale
                },
            };
            units.push(radians.units_of(&surface));
            units.dedup();
        }
        units
            .into_iter()
            .map(|unit| {
                let curve = in_space(surface.clone(), uv.clone(), unit);
                match curve.problem() {
                    None => Ok(curve),
                    Some(problem) => Err(fields.fail(problem)),
                }
            })
            .collect()
    }
}

pub(super) fn is_surface_curve(entity: &Entity<'_>) -> bool {
    [
        "SURFACE_CURVE",
        "SEAM_CURVE",
        "INTERSECTION_CURVE",
        "BOUNDED_SURFACE_CURVE",
    ]
    .iter()
    .any(|kind| entity.is(kind))
}

/// Distance of the ends of an edge, or for one that closes the reach of its curve.
fn chord_or_extent(curve: &Curve, ends: [DVec3; 2]) -> f64 {
    let chord = ends[0].distance(ends[1]);
    let reach = curve.range().map_or(0.0, |[a, b]| {
        curve.point(0.5 * (a + b)).distance(curve.point(a))
    });
    chord.max(reach)
}

/// The curve in space, in closed form where there is one.
fn in_space(surface: Surface, uv: Curve, unit: DVec2) -> Curve {
    match (&surface, &uv) {
        (Surface::RectangularTrimmed { basis, .. }, _) => in_space((**basis).clone(), uv, unit),
        (Surface::Plane { frame }, _) => moved_curve(
            &uv,
            &(matrix(frame) * DMat4::from_scale(DVec3::splat(unit.x))),
        ),
        (_, Curve::Line { origin, direction }) => {
            let (o, d) = (origin.truncate() * unit, direction.truncate() * unit);
            // A slant below rounding is none.
            let slant = 1e-13 * direction.length();
            let closed_form = if direction.y.abs() <= slant {
                along_u(&surface, o, d.x)
            } else if direction.x.abs() <= slant {
                along_v(&surface, o, d.y)
            } else {
                None
            };
            closed_form.unwrap_or_else(|| {
                Curve::OnSurface(Box::new(CurveOnSurface::new(surface, uv, unit)))
            })
        }
        _ => Curve::OnSurface(Box::new(CurveOnSurface::new(surface, uv, unit))),
    }
}

/// Circle through `start` about an axis, in the sense of `turn`; `None` on the axis itself.
fn circle(centre: DVec3, axis: DVec3, start: DVec3, turn: f64) -> Option<Curve> {
    let arm = start - centre;
    let radius = arm.length();
    let x = arm.try_normalize()?;
    let z = axis * turn.signum();
    Some(Curve::Circle {
        frame: Frame {
            origin: centre,
            x,
            y: z.cross(x),
            z,
        },
        radius,
    })
}

/// Line of constant v, running along u by `du`.
fn along_u(surface: &Surface, o: DVec2, du: f64) -> Option<Curve> {
    // Circles begin where u is zero: there the seam is, and where whole turns begin and end.
    let start = surface.point(0.0, o.y);
    let about = |origin: DVec3, axis: DVec3| {
        circle(origin + axis * (start - origin).dot(axis), axis, start, du)
    };
    match surface {
        Surface::Cylinder { frame, .. }
        | Surface::Cone { frame, .. }
        | Surface::Sphere { frame, .. }
        | Surface::Torus { frame, .. } => about(frame.origin, frame.z),
        Surface::Revolution { origin, axis, .. } => about(*origin, axis.try_normalize()?),
        Surface::Extrusion { curve, direction } if du > 0.0 => Some(moved_curve(
            curve,
            &DMat4::from_translation(o.y * *direction),
        )),
        _ => None,
    }
}

/// Line of constant u, running along v by `dv`.
fn along_v(surface: &Surface, o: DVec2, dv: f64) -> Option<Curve> {
    match surface {
        Surface::Cylinder { .. } | Surface::Cone { .. } | Surface::Extrusion { .. } => {
            let at = surface.eval(o.x, o.y, 1);
            Some(Curve::Line {
                origin: at.p,
                direction: at.v * dv,
            })
        }
        Surface::Sphere { frame, .. } | Surface::Torus { frame, .. } => {
            let major = match surface {
                Surface::Torus { major, .. } => *major,
                _ => 0.0,
            };
            let (sin, cos) = o.x.sin_cos();
            let out = cos * frame.x + sin * frame.y;
            let centre = frame.origin + major * out;
            // Sideways such that v grows from the outside towards the axis of the surface.
            circle(centre, out.cross(frame.z), surface.point(o.x, 0.0), dv)
        }
        Surface::Revolution {
            curve,
            origin,
            axis,
        } if dv > 0.0 => {
            let turn = DMat4::from_translation(*origin)
                * DMat4::from_quat(DQuat::from_axis_angle(axis.try_normalize()?, o.x))
                * DMat4::from_translation(-*origin);
            Some(moved_curve(curve, &turn))
        }
        _ => None,
    }
}
