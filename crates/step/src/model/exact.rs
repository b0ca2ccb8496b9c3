//! A solid of exact faces: meshed, measured, and told what to be careful about.

use super::SolidModel;
use super::stated::compare_stated;
use crate::brep::{Reservation, Solid};
use crate::tessellate::{SolidMesh, TessellationOptions, tessellate};
use glam::{DMat4, DVec3};

/// Meshes and measures a solid; `None` when cancelled.
pub(super) fn exact_solid(
    solid: &Solid,
    options: &TessellationOptions,
    cancelled: &(dyn Fn() -> bool + Sync),
) -> Option<(SolidModel, Vec<Reservation>)> {
    let m = tessellate(solid, options, cancelled)?;
    let mut notes = m.reservations.clone();
    let about = |text: String, loses_geometry: bool| Reservation {
        entity: Some(solid.id),
        kind: if solid.closed { "solid" } else { "shell" }.into(),
        text,
        loses_geometry,
    };
    if m.missing_area_mm2 > 0.0 {
        let text = format!(
            "faces with at least {:.6} mm^2 of about {:.6} mm^2 are missing",
            m.missing_area_mm2,
            m.missing_area_mm2 + m.area_mm2
        );
        notes.push(about(text, true));
    }
    if !m.closure.watertight() && solid.closed {
        let ids: Vec<String> = m
            .mesh
            .faces_with_open_edges()
            .iter()
            .take(8)
            .filter_map(|f| solid.faces.get(*f as usize))
            .map(|f| format!("#{}", f.id))
            .collect();
        let text = format!(
            "the mesh does not close: {} open and {} inconsistent edges, at faces {}",
            m.closure.open_edges,
            m.closure.bad_edges,
            ids.join(", ")
        );
        notes.push(about(text, false));
    }
    if m.inside_out {
        notes.push(about(
            "all faces pointed inwards; turned over".into(),
            false,
        ));
    }
    if solid.closed && m.closure.watertight() {
        // Chords stay within their tolerance of the surface, so this is what they can add up to.
        let (mesh, exact) = (m.mesh.volume_mm3(), m.volume_mm3);
        if (mesh - exact).abs() > 1.5 * m.chord_mm * m.area_mm2 + 1e-9 * exact.abs() {
            let text =
                format!("mesh volume {mesh:.6} mm^3 and exact volume {exact:.6} mm^3 disagree");
            notes.push(about(text, false));
        }
    }
    notes.extend(
        compare_stated(solid, &m)
            .into_iter()
            .map(|t| about(t, false)),
    );
    let bounds_mm = solid
        .placements
        .iter()
        .map(|p| placed_bounds(&m, p))
        .collect();
    let model = SolidModel {
        id: solid.id,
        name: solid.name.clone(),
        closed: solid.closed,
        volume_mm3: solid.closed.then_some(m.volume_mm3),
        area_mm2: m.area_mm2,
        centroid_mm: m.centroid_mm,
        missing_area_mm2: m.missing_area_mm2,
        exact: true,
        chord_mm: m.chord_mm,
        closure: m.closure,
        mesh: m.mesh,
        faces: m.faces,
        placements: solid.placements.clone(),
        bounds_mm,
        stated: solid.stated,
    };
    Some((model, notes))
}

/// Exact reach along the root axes, carried back into the solid's own coordinates.
fn placed_bounds(m: &SolidMesh, placement: &DMat4) -> [DVec3; 2] {
    let shift = placement.w_axis.truncate();
    let rows = placement.transpose();
    let reach = |axis: usize, sign: f64| {
        let d = sign * rows.col(axis).truncate();
        let length = d.length();
        if length == 0.0 {
            0.0
        } else {
            m.reach(d / length) * length
        }
    };
    let high = DVec3::new(reach(0, 1.0), reach(1, 1.0), reach(2, 1.0));
    let low = -DVec3::new(reach(0, -1.0), reach(1, -1.0), reach(2, -1.0));
    [low + shift, high + shift]
}
