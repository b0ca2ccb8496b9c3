//! What a face is, exactly, for those who look for holes, corners and walls.

use crate::brep::{EntityId, Surface};
use crate::surfaces::chart::Chart;
use crate::trim::domain::Domain;
use glam::{DMat4, DVec3};

/// The surface a face lies on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SurfaceKind {
    /// Flat; the normal points out of the material.
    Plane {
        /// A point of the plane, mm.
        origin: DVec3,
        /// Unit outward normal.
        normal: DVec3,
    },
    /// Circular cylinder.
    Cylinder {
        /// A point of the axis, mm.
        origin: DVec3,
        /// Unit axis.
        axis: DVec3,
        /// Radius, mm.
        radius_mm: f64,
    },
    /// Circular cone.
    Cone {
        /// Tip, mm.
        apex: DVec3,
        /// Unit axis, from the tip into the cone.
        axis: DVec3,
        /// Angle between axis and surface, rad.
        half_angle_rad: f64,
    },
    /// Sphere.
    Sphere {
        /// Centre, mm.
        centre: DVec3,
        /// Radius, mm.
        radius_mm: f64,
    },
    /// Torus.
    Torus {
        /// Centre, mm.
        centre: DVec3,
        /// Unit axis.
        axis: DVec3,
        /// Distance of the tube's centre from the axis, mm.
        major_mm: f64,
        /// Radius of the tube, mm.
        minor_mm: f64,
    },
    /// B-spline, not recognised as anything simpler.
    BSpline,
    /// Linear extrusion of a free curve.
    Extrusion,
    /// Revolution of a free curve.
    Revolution,
    /// Offset of a free surface.
    Offset,
    /// Triangles as the file gave them.
    Triangles,
}

/// A face of a solid.
#[derive(Clone, Debug, PartialEq)]
pub struct FaceInfo {
    /// Instance in the file.
    pub id: EntityId,
    /// What it lies on.
    pub surface: SurfaceKind,
    /// True where the material bulges (a shaft), false where it is hollow (a hole); `None` for
    /// planes and free forms.
    pub convex: Option<bool>,
    /// Exact area, mm^2.
    pub area_mm2: f64,
    /// Extent along the axis of round faces, mm from `origin` (cone: from the apex).
    pub along_mm: [f64; 2],
    /// Angle covered about the axis of round faces, rad.
    pub sweep_rad: f64,
}

/// Describes a face.
pub fn describe(id: EntityId, chart: &Chart, domain: &Domain, area_mm2: f64) -> FaceInfo {
    let mut along = [domain.lo.y, domain.hi.y];
    let surface = match &chart.surface {
        Surface::Plane { frame } => SurfaceKind::Plane {
            origin: frame.origin,
            normal: if chart.outward { frame.z } else { -frame.z },
        },
        Surface::Cylinder { frame, radius } => SurfaceKind::Cylinder {
            origin: frame.origin,
            axis: frame.z,
            radius_mm: *radius,
        },
        Surface::Cone {
            frame,
            radius,
            half_angle,
        } => {
            let apex = -radius / half_angle.tan();
            let up = 0.5 * (along[0] + along[1]) >= apex;
            along = along.map(|v| v - apex);
            if !up {
                along = [-along[1], -along[0]];
            }
            SurfaceKind::Cone {
                apex: frame.origin + apex * frame.z,
                axis: if up { frame.z } else { -frame.z },
                half_angle_rad: half_angle.abs(),
            }
        }
        Surface::Sphere { frame, radius } => SurfaceKind::Sphere {
            centre: frame.origin,
            radius_mm: *radius,
        },
        Surface::Torus {
            frame,
            major,
            minor,
            ..
        } => SurfaceKind::Torus {
            centre: frame.origin,
            axis: frame.z,
            major_mm: *major,
            minor_mm: *minor,
        },
        Surface::BSpline(_) | Surface::RectangularTrimmed { .. } => SurfaceKind::BSpline,
        Surface::Extrusion { .. } => SurfaceKind::Extrusion,
        Surface::Revolution { .. } => SurfaceKind::Revolution,
        Surface::Offset { .. } => SurfaceKind::Offset,
    };
    let round = matches!(
        surface,
        SurfaceKind::Cylinder { .. }
            | SurfaceKind::Cone { .. }
            | SurfaceKind::Sphere { .. }
            | SurfaceKind::Torus { .. }
    );
    let straight = matches!(
        surface,
        SurfaceKind::Cylinder { .. } | SurfaceKind::Cone { .. }
    );
    FaceInfo {
        id,
        surface,
        convex: round.then_some(chart.outward),
        area_mm2,
        along_mm: if straight { along } else { [0.0; 2] },
        sweep_rad: if round {
            (domain.hi.x - domain.lo.x).min(std::f64::consts::TAU)
        } else {
            0.0
        },
    }
}

impl FaceInfo {
    /// Exchanges inside and outside.
    pub(crate) fn turn_over(&mut self) {
        self.convex = self.convex.map(|c| !c);
        if let SurfaceKind::Plane { normal, .. } = &mut self.surface {
            *normal = -*normal;
        }
    }

    /// The face as seen from where a placement (rigid, mirrored or uniformly scaled) puts it.
    pub fn placed(&self, placement: &DMat4) -> Self {
        let scale = placement.determinant().abs().cbrt();
        let point = |p: DVec3| placement.transform_point3(p);
        let direction = |d: DVec3| placement.transform_vector3(d).normalize_or_zero();
        let surface = match self.surface {
            SurfaceKind::Plane { origin, normal } => SurfaceKind::Plane {
                origin: point(origin),
                normal: direction(normal),
            },
            SurfaceKind::Cylinder {
                origin,
                axis,
                radius_mm,
            } => SurfaceKind::Cylinder {
                origin: point(origin),
                axis: direction(axis),
                radius_mm: scale * radius_mm,
            },
            SurfaceKind::Cone {
                apex,
                axis,
                half_angle_rad,
            } => SurfaceKind::Cone {
                apex: point(apex),
                axis: direction(axis),
                half_angle_rad,
            },
            SurfaceKind::Sphere { centre, radius_mm } => SurfaceKind::Sphere {
                centre: point(centre),
                radius_mm: scale * radius_mm,
            },
            SurfaceKind::Torus {
                centre,
                axis,
                major_mm,
                minor_mm,
            } => SurfaceKind::Torus {
                centre: point(centre),
                axis: direction(axis),
                major_mm: scale * major_mm,
                minor_mm: scale * minor_mm,
            },
            other => other,
        };
        Self {
            surface,
            area_mm2: self.area_mm2 * scale * scale,
            along_mm: self.along_mm.map(|v| v * scale),
            ..self.clone()
        }
    }
}
