//! Where a bore ends: the closed edges around it, and openings in its side.

use super::face::{SolidFaces, Surface};
use super::piece::SAME_MM;
use glam::DVec3;
use std::f64::consts::{PI, TAU};

/// The ends of a bore along its axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Rims {
    /// Heights along the axis at which its axis meets the surfaces at its low and high end.
    pub height_mm: [f64; 2],
    /// Something cuts its side.
    pub cut: bool,
}

struct Edge {
    from: u32,
    to: u32,
    beyond: u32,
    seen: bool,
}

/// Follows the edges of `faces`, which lie around the axis together.
///
/// An edge that runs around the axis once is a rim; any other is an opening in the side (a
/// crossing hole). Where a slot joins the rims there is none: then the middle of the highest and
/// lowest points near each end stands in.
pub(crate) fn rims(
    solid: &SolidFaces<'_>,
    faces: &[u32],
    point: DVec3,
    axis: DVec3,
    span: [f64; 2],
) -> Rims {
    let mut edges = Vec::new();
    for &face in faces {
        for &t in &solid.faces[face as usize].triangles {
            for k in 0..3 {
                let beyond = solid.neighbours[t as usize][k];
                let outside =
                    beyond == u32::MAX || !faces.contains(&solid.face_of_triangle[beyond as usize]);
                if outside {
                    let corners = solid.welded.triangles()[t as usize];
                    edges.push(Edge {
                        from: corners[k],
                        to: corners[(k + 1) % 3],
                        beyond,
                        seen: false,
                    });
                }
            }
        }
    }
    edges.sort_by_key(|e| (e.from, e.to));
    let (u, v) = axis.any_orthonormal_pair();
    let place = |i: u32| {
        let d = solid.welded.points()[i as usize] - point;
        (d.dot(axis), libm::atan2(d.dot(v), d.dot(u)))
    };
    let mut around: Vec<[f64; 3]> = Vec::new();
    let mut cut = false;
    for start in 0..edges.len() {
        if edges[start].seen {
            continue;
        }
        let mut turned = 0.0;
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        let mut beyond = Vec::new();
        let mut at = Some(start);
        while let Some(e) = at {
            edges[e].seen = true;
            let (t, angle) = place(edges[e].from);
            let (_, next) = place(edges[e].to);
            turned += (next - angle + PI).rem_euclid(TAU) - PI;
            (low, high) = (low.min(t), high.max(t));
            beyond.push(edges[e].beyond);
            let to = edges[e].to;
            let first = edges.partition_point(|x| x.from < to);
            at = (first..edges.len())
                .take_while(|&i| edges[i].from == to)
                .find(|&i| !edges[i].seen);
        }
        if turned.abs() > PI {
            let middle = (low + high) / 2.0;
            let met = meeting(solid, &beyond, point, axis, [low, high]);
            around.push([low, high, met.unwrap_or(middle)]);
        } else {
            cut |= high - low > SAME_MM && leads_somewhere(solid, &beyond, high - low);
        }
    }
    around.sort_by(|a, b| (a[0] + a[1]).total_cmp(&(b[0] + b[1])));
    match around[..] {
        [low, .., high] => Rims {
            height_mm: [low[2], high[2]],
            cut: cut || around.len() > 2,
        },
        _ => Rims {
            height_mm: ends_of(&edges, |e| place(e.from).0, span),
            cut,
        },
    }
}

/// Whether an opening of this height belongs to more than a sliver the fit left over.
fn leads_somewhere(solid: &SolidFaces<'_>, beyond: &[u32], height: f64) -> bool {
    beyond
        .iter()
        .filter(|&&t| t != u32::MAX)
        .map(|&t| &solid.faces[solid.face_of_triangle[t as usize] as usize])
        .any(|f| f.area_mm2 > 0.2 * height * height)
}

/// Height at which the axis meets the one surface beyond a rim. A rounded edge about the axis is
/// part of the entry, which then lies at the far side of the rounding.
fn meeting(
    solid: &SolidFaces<'_>,
    beyond: &[u32],
    point: DVec3,
    axis: DVec3,
    [low, high]: [f64; 2],
) -> Option<f64> {
    let mut faces = beyond
        .iter()
        .filter(|&&t| t != u32::MAX)
        .map(|&t| solid.face_of_triangle[t as usize]);
    let first = faces.next()?;
    if faces.any(|f| f != first) {
        return None;
    }
    let face = &solid.faces[first as usize];
    let middle = (low + high) / 2.0;
    match face.surface {
        Surface::Plane { normal, origin } => {
            let slope = normal.dot(axis);
            (slope.abs() > 0.1).then(|| normal.dot(origin - point) / slope)
        }
        Surface::Cylinder {
            axis: other,
            origin,
            radius_mm,
        } => {
            let across = |d: DVec3| d - d.dot(other) * other;
            let (d, o) = (across(axis), across(point - origin));
            let (a, b) = (d.length_squared(), o.dot(d));
            let root = b * b - a * (o.length_squared() - radius_mm * radius_mm);
            if a < 1e-6 || root < 0.0 {
                return None;
            }
            let hits = [-1.0, 1.0].map(|s| (-b + s * root.sqrt()) / a);
            hits.into_iter()
                .min_by(|x, y| (x - middle).abs().total_cmp(&(y - middle).abs()))
        }
        Surface::Torus {
            axis: other,
            centre,
            ..
        } if !face.concave
            && other.cross(axis).length() < 0.01
            && (centre - point).reject_from_normalized(axis).length() < SAME_MM =>
        {
            let heights = face
                .triangles
                .iter()
                .flat_map(|&t| solid.mesh.corners(t as usize))
                .map(|p| (p - point).dot(axis));
            heights.max_by(|x, y| (x - middle).abs().total_cmp(&(y - middle).abs()))
        }
        _ => None,
    }
}

fn ends_of(edges: &[Edge], height: impl Fn(&Edge) -> f64, span: [f64; 2]) -> [f64; 2] {
    let middle = (span[0] + span[1]) / 2.0;
    let mut out = span;
    for (end, slot) in out.iter_mut().enumerate() {
        // The quarter of the length nearest the end.
        let near = (middle + span[end]) / 2.0;
        let own = edges
            .iter()
            .map(&height)
            .filter(|t| (*t > near) == (end == 1));
        let (low, high) = own.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), t| {
            (l.min(t), h.max(t))
        });
        if low <= high {
            *slot = (low + high) / 2.0;
        }
    }
    out
}
