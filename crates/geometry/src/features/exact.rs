//! Surfaces of a STEP file's faces, in the numbering of its whole mesh.

use super::face::Surface;
use glam::DMat4;
use step::{FaceInfo, SurfaceKind};

/// How far the columns of a placement may be from equal length and square, relative: rounding of
/// written directions.
const UNEVEN: f64 = 1e-6;

/// Surface of every face of `model.mesh()`, by face number.
pub(crate) fn surfaces(model: &step::Model) -> Vec<Surface> {
    let placed = model.solids.iter().flat_map(|solid| {
        solid
            .placements
            .iter()
            .flat_map(move |placement| solid.faces.iter().map(move |f| (f, placement)))
    });
    placed
        .map(|(face, placement)| {
            face.as_ref()
                .map_or(Surface::Other, |f| place(f, placement))
        })
        .collect()
}

/// Whether the file holds triangles instead of surfaces.
pub(crate) fn only_triangles(model: &step::Model) -> bool {
    model.solids.iter().all(|s| !s.exact)
}

fn place(face: &FaceInfo, placement: &DMat4) -> Surface {
    if !keeps_shape(placement) {
        return Surface::Other;
    }
    match face.placed(placement).surface {
        SurfaceKind::Plane { origin, normal } => Surface::Plane { normal, origin },
        SurfaceKind::Cylinder {
            origin,
            axis,
            radius_mm,
        } => Surface::Cylinder {
            axis,
            origin,
            radius_mm,
        },
        SurfaceKind::Cone {
            apex,
            axis,
            half_angle_rad,
        } => Surface::Cone {
            axis,
            apex,
            half_angle_rad,
        },
        SurfaceKind::Sphere { centre, radius_mm } => Surface::Sphere { centre, radius_mm },
        SurfaceKind::Torus {
            centre,
            axis,
            major_mm,
            minor_mm,
        } => Surface::Torus {
            axis,
            centre,
            major_mm,
            minor_mm,
        },
        SurfaceKind::BSpline
        | SurfaceKind::Extrusion
        | SurfaceKind::Revolution
        | SurfaceKind::Offset
        | SurfaceKind::Triangles => Surface::Other,
    }
}

/// Whether circles stay circles: turned, mirrored or scaled alike in all directions.
fn keeps_shape(placement: &DMat4) -> bool {
    let [x, y, z] = [placement.x_axis, placement.y_axis, placement.z_axis].map(|c| c.truncate());
    let size = x.length_squared();
    let near = |a: f64, b: f64| (a - b).abs() <= UNEVEN * size;
    near(y.length_squared(), size)
        && near(z.length_squared(), size)
        && [x.dot(y), y.dot(z), z.dot(x)].iter().all(|&d| near(d, 0.0))
}
