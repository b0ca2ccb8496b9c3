//! What a surface really is, under wrappers, offsets and splines.

use super::recognise::recognise;
use crate::brep::{Frame, Surface};
use glam::DVec3;

/// Strips wrappers and recognises elementary surfaces; true when the normal turned over.
pub(super) fn simplify(surface: &Surface, boundary: &[DVec3]) -> (Surface, bool) {
    match surface {
        Surface::RectangularTrimmed {
            basis,
            u_sense,
            v_sense,
            ..
        } => {
            let (inner, flip) = simplify(basis, boundary);
            (inner, flip != (u_sense != v_sense))
        }
        Surface::Offset { basis, distance } => {
            let (inner, flip) = simplify(basis, boundary);
            let d = if flip { -distance } else { *distance };
            match offset_elementary(&inner, d) {
                Some(s) => (s, flip),
                None => (
                    Surface::Offset {
                        basis: Box::new(inner),
                        distance: d,
                    },
                    flip,
                ),
            }
        }
        Surface::BSpline(_) | Surface::Extrusion { .. } | Surface::Revolution { .. } => {
            recognise(surface, boundary).unwrap_or_else(|| (surface.clone(), false))
        }
        // ISO 10303-42 gives the torus its normal as pointing from the tube's centre outwards. On
        // the inner part of a spindle torus, beyond the axis, du x dv points the other way.
        Surface::Torus {
            major,
            minor,
            select_outer: false,
            ..
        } if minor >= major => (surface.clone(), true),
        _ => (surface.clone(), false),
    }
}

fn offset_elementary(surface: &Surface, d: f64) -> Option<Surface> {
    match surface {
        Surface::Plane { frame } => Some(Surface::Plane {
            frame: Frame {
                origin: frame.origin + d * frame.z,
                ..*frame
            },
        }),
        Surface::Cylinder { frame, radius } if radius + d > 0.0 => Some(Surface::Cylinder {
            frame: *frame,
            radius: radius + d,
        }),
        Surface::Sphere { frame, radius } if radius + d > 0.0 => Some(Surface::Sphere {
            frame: *frame,
            radius: radius + d,
        }),
        Surface::Torus {
            frame,
            major,
            minor,
            select_outer,
        } if minor + d > 0.0 => Some(Surface::Torus {
            frame: *frame,
            major: *major,
            minor: minor + d,
            select_outer: *select_outer,
        }),
        Surface::Cone {
            frame,
            radius,
            half_angle,
        } => {
            let (s, c) = half_angle.sin_cos();
            // The offset cone has the same axis; slide its origin along the normal.
            let moved = radius + d * c;
            let origin = frame.origin - d * s * frame.z;
            (moved >= 0.0).then_some(Surface::Cone {
                frame: Frame { origin, ..*frame },
                radius: moved,
                half_angle: *half_angle,
            })
        }
        _ => None,
    }
}
