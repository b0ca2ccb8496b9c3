//! `EXTRUDED_AREA_SOLID` and `REVOLVED_AREA_SOLID`: a flat area moved along a line or about an
//! axis, made into the faces that bound it.

use std::f64::consts::TAU;

use glam::{DMat4, DQuat, DVec3};

use super::curves::{moved_curve, moved_frame};
use super::fields::{Outcome, Trouble};
use super::placement::Geometry;
use super::topology::Parts;
use crate::brep::{Curve, Edge, EdgeUse, EntityId, Face, Frame, Loop, Surface};
use crate::part21::Entity;

/// Ends closer than this part of the area's size are one corner: files keep seven digits or more.
const JOINS: f64 = 1e-6;

/// How the area moves.
enum Sweep {
    Along(DVec3),
    /// By a positive angle, rad, about a unit axis.
    About {
        origin: DVec3,
        axis: DVec3,
        angle_rad: f64,
    },
}

impl Sweep {
    /// A whole turn ends where it began.
    fn comes_back(&self) -> bool {
        matches!(self, Sweep::About { angle_rad, .. } if *angle_rad >= TAU * (1.0 - 1e-9))
    }

    /// From the first position to the last.
    fn motion(&self) -> DMat4 {
        match self {
            Sweep::Along(way) => DMat4::from_translation(*way),
            Sweep::About {
                origin,
                axis,
                angle_rad,
            } => {
                DMat4::from_translation(*origin)
                    * DMat4::from_quat(DQuat::from_axis_angle(*axis, *angle_rad))
                    * DMat4::from_translation(-*origin)
            }
        }
    }

    fn direction_at(&self, p: DVec3) -> DVec3 {
        match self {
            Sweep::Along(way) => *way,
            Sweep::About { origin, axis, .. } => axis.cross(p - *origin),
        }
    }

    /// Path of a point; `None` for one that stays.
    fn path(&self, p: DVec3, size: f64) -> Option<Curve> {
        match self {
            Sweep::Along(way) => Some(Curve::Line {
                origin: p,
                direction: *way,
            }),
            Sweep::About { origin, axis, .. } => {
                let centre = *origin + *axis * (p - *origin).dot(*axis);
                let radius = centre.distance(p);
                (radius > JOINS * size).then(|| {
                    let x = (p - centre) / radius;
                    let frame = Frame {
                        origin: centre,
                        x,
                        y: axis.cross(x),
                        z: *axis,
                    };
                    Curve::Circle { frame, radius }
                })
            }
        }
    }

    fn surface(&self, curve: &Curve) -> Surface {
        let curve = Box::new(curve.clone());
        match self {
            Sweep::Along(way) => Surface::Extrusion {
                curve,
                direction: *way,
            },
            Sweep::About { origin, axis, .. } => Surface::Revolution {
                curve,
                origin: *origin,
                axis: *axis,
            },
        }
    }
}

/// One edge of the area, run along the boundary.
#[derive(Clone)]
struct Piece {
    curve: Curve,
    /// Parameters at its start and end; the second is smaller where it runs against the curve.
    interval: [f64; 2],
}

impl Piece {
    fn at(&self, share: f64) -> DVec3 {
        let [a, b] = self.interval;
        self.curve.point(a + (b - a) * share)
    }

    fn reversed(mut self) -> Self {
        self.interval.reverse();
        self
    }
}

/// Pieces of a boundary curve: composites and polylines fall into edges of their own.
fn pieces(curve: Curve) -> Option<Vec<Piece>> {
    match curve {
        Curve::Composite { segments } => {
            let mut all = Vec::new();
            for (segment, forward) in segments {
                let own = pieces(segment)?;
                if forward {
                    all.extend(own);
                } else {
                    all.extend(own.into_iter().rev().map(Piece::reversed));
                }
            }
            Some(all)
        }
        Curve::Polyline { points } => Some(
            points
                .windows(2)
                .filter(|pair| pair[0] != pair[1])
                .map(|pair| Piece {
                    curve: Curve::Line {
                        origin: pair[0],
                        direction: pair[1] - pair[0],
                    },
                    interval: [0.0, 1.0],
                })
                .collect(),
        ),
        curve => {
            let interval = curve.range()?;
            Some(vec![Piece { curve, interval }])
        }
    }
}

/// Samples of a boundary, for its sense and its side of an axis.
fn samples(boundary: &[Piece]) -> impl Iterator<Item = DVec3> + '_ {
    boundary
        .iter()
        .flat_map(|piece| (0..16).map(move |i| piece.at(f64::from(i) / 16.0)))
}

/// Vector area (Newell).
fn vector_area(boundary: &[Piece]) -> DVec3 {
    let points: Vec<DVec3> = samples(boundary).collect();
    let first = points.first().copied().unwrap_or(DVec3::ZERO);
    let turn = |pair: &[DVec3]| (pair[0] - first).cross(pair[1] - first);
    0.5 * points.windows(2).map(turn).sum::<DVec3>()
}

impl<'a> Geometry<'_, '_, 'a> {
    /// The faces of a swept area.
    pub fn swept_area(&self, entity: Entity<'a>) -> Outcome<Parts> {
        let own = if entity.is("EXTRUDED_AREA_SOLID") {
            "EXTRUDED_AREA_SOLID"
        } else {
            "REVOLVED_AREA_SOLID"
        };
        let mut fields = self
            .reader
            .fields(entity, &["REPRESENTATION_ITEM", "SWEPT_AREA_SOLID", own])?;
        let area = self.reader.entity(fields.skip(1)?.reference()?)?;
        let sweep = if own == "EXTRUDED_AREA_SOLID" {
            let direction = self.direction(fields.reference()?)?;
            Sweep::Along(direction * self.positive(&mut fields, "a depth")?)
        } else {
            let (origin, axis) = self.axis(fields.reference()?)?;
            let angle_rad = fields.real()? * self.scale.angle_rad;
            if angle_rad == 0.0 || angle_rad.abs() > TAU * (1.0 + 1e-6) {
                return Err(fields.fail(format!("a turn by {} degrees", angle_rad.to_degrees())));
            }
            Sweep::About {
                origin,
                axis: axis * angle_rad.signum(),
                angle_rad: angle_rad.abs(),
            }
        };
        let (frame, boundaries) = self.area(area)?;
        solid(entity.id, &sweep, frame, boundaries).map_err(|text| Trouble::of(&entity, text))
    }

    /// Plane and boundaries of a `CURVE_BOUNDED_SURFACE`.
    fn area(&self, entity: Entity<'a>) -> Outcome<(Frame, Vec<Vec<Piece>>)> {
        if !entity.is("CURVE_BOUNDED_SURFACE") {
            return Err(Trouble::of(&entity, "expected a CURVE_BOUNDED_SURFACE"));
        }
        let mut fields = self
            .reader
            .fields(entity, &["REPRESENTATION_ITEM", "CURVE_BOUNDED_SURFACE"])?;
        let Surface::Plane { frame } = self.surface(fields.skip(1)?.reference()?, 0)? else {
            return Err(fields.fail("the area to sweep is not flat"));
        };
        let mut boundaries = Vec::new();
        for id in fields.references()? {
            let curve = self.curve(id, 0)?;
            if let Some(problem) = curve.problem() {
                return Err(fields.fail(problem));
            }
            match pieces(curve) {
                Some(own) if !own.is_empty() => boundaries.push(own),
                _ => return Err(fields.fail("a boundary without ends")),
            }
        }
        if boundaries.is_empty() {
            return Err(fields.fail("an area without boundary"));
        }
        Ok((frame, boundaries))
    }
}

/// Turns boundaries so that the area lies to their left seen against `up`; the largest is the
/// outer one.
fn turn_boundaries(boundaries: &mut [Vec<Piece>], up: DVec3) {
    let areas: Vec<f64> = boundaries.iter().map(|b| vector_area(b).dot(up)).collect();
    let outer = (0..areas.len()).max_by(|a, b| areas[*a].abs().total_cmp(&areas[*b].abs()));
    for (k, boundary) in boundaries.iter_mut().enumerate() {
        if (areas[k] > 0.0) != (Some(k) == outer) {
            let turned = boundary.drain(..).rev().map(Piece::reversed).collect();
            *boundary = turned;
        }
    }
}

fn solid(
    id: EntityId,
    sweep: &Sweep,
    frame: Frame,
    mut boundaries: Vec<Vec<Piece>>,
) -> Result<Parts, String> {
    let points: Vec<DVec3> = boundaries.iter().flat_map(|b| samples(b)).collect();
    let size = crate::curves::extent(&points);
    if let Sweep::About { origin, axis, .. } = sweep {
        let off = (*origin - frame.origin).dot(frame.z).abs();
        if off > JOINS * size || axis.dot(frame.z).abs() > JOINS {
            return Err("the axis does not lie in the plane of the area".into());
        }
    }
    let along: Vec<f64> = points
        .iter()
        .map(|p| sweep.direction_at(*p).dot(frame.z))
        .collect();
    let (least, most) = along
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| {
            (a.min(*x), b.max(*x))
        });
    if !(least.is_finite() && most.is_finite()) {
        return Err("a boundary beyond all measure".into());
    }
    let noise = JOINS * least.abs().max(most.abs());
    let up = if least >= -noise && most > noise.max(1e-12 * size) {
        frame.z
    } else if most <= noise && least < -noise.max(1e-12 * size) {
        -frame.z
    } else {
        return Err("the area moves within its plane, or lies on both sides of the axis".into());
    };
    turn_boundaries(&mut boundaries, up);

    let mut out = Parts::default();
    let mut loops: [Vec<Loop>; 2] = [Vec::new(), Vec::new()];
    for boundary in &boundaries {
        let [near, far] = sides(&mut out, id, sweep, boundary, size)?;
        // Seen from below, it runs the other way.
        let backwards = near.iter().rev().map(|&edge| EdgeUse {
            edge,
            forward: false,
        });
        loops[0].push(Loop::Edges(backwards.collect()));
        let forwards = far.iter().map(|&edge| EdgeUse {
            edge,
            forward: true,
        });
        loops[1].push(Loop::Edges(forwards.collect()));
    }
    if !sweep.comes_back() {
        let [near, far] = loops;
        let above = frame.z.dot(up) > 0.0;
        let ends = [
            (frame, !above, near),
            (moved_frame(&frame, &sweep.motion()), above, far),
        ];
        for (frame, same_sense, loops) in ends {
            out.faces.push(Face {
                id,
                surface: Surface::Plane { frame },
                same_sense,
                loops,
                outer: None,
            });
        }
    }
    Ok(out)
}

/// Adds the faces a boundary sweeps over; its edges before and after.
fn sides(
    out: &mut Parts,
    id: EntityId,
    sweep: &Sweep,
    boundary: &[Piece],
    size: f64,
) -> Result<[Vec<usize>; 2], String> {
    let count = boundary.len();
    for (k, piece) in boundary.iter().enumerate() {
        let gap = piece.at(1.0).distance(boundary[(k + 1) % count].at(0.0));
        if gap > JOINS * size {
            return Err(format!("a boundary of its area has a gap of {gap:.6} mm"));
        }
    }
    let motion = sweep.motion();
    let (mut near, mut far, mut paths) = (Vec::new(), Vec::new(), Vec::new());
    for piece in boundary {
        let p = piece.at(0.0);
        let path = sweep.path(p, size);
        let start = out.vertices.len();
        out.vertices.push(p);
        let end = if path.is_none() || sweep.comes_back() {
            start
        } else {
            out.vertices.push(motion.transform_point3(p));
            start + 1
        };
        near.push(start);
        far.push(end);
        paths.push(path.map(|curve| add_edge(out, id, curve, [start, end], true)));
    }
    let mut edges = [Vec::new(), Vec::new()];
    for (k, piece) in boundary.iter().enumerate() {
        let next = (k + 1) % count;
        let forward = piece.interval[1] > piece.interval[0];
        let curve = &piece.curve;
        let edge = add_edge(out, id, curve.clone(), [near[k], near[next]], forward);
        // An edge on the axis stays and sweeps over nothing.
        let stays = sweep.path(piece.at(0.5), size).is_none()
            && paths[k].is_none()
            && paths[next].is_none();
        let moved = if stays || sweep.comes_back() {
            edge
        } else {
            let curve = moved_curve(curve, &motion);
            add_edge(out, id, curve, [far[k], far[next]], forward)
        };
        edges[0].push(edge);
        edges[1].push(moved);
        if stays {
            continue;
        }
        let way = |edge: usize, forward: bool| EdgeUse { edge, forward };
        let mut uses = vec![way(edge, true)];
        uses.extend(paths[next].map(|path| way(path, true)));
        uses.push(way(moved, false));
        uses.extend(paths[k].map(|path| way(path, false)));
        out.faces.push(Face {
            id,
            surface: sweep.surface(curve),
            // du x dv points out of the area where the curve runs along its boundary and is the
            // first parameter; revolving, it is the second.
            same_sense: forward == matches!(sweep, Sweep::Along(_)),
            loops: vec![Loop::Edges(uses)],
            outer: Some(0),
        });
    }
    Ok(edges)
}

fn add_edge(
    out: &mut Parts,
    id: EntityId,
    curve: Curve,
    [start, end]: [usize; 2],
    same_sense: bool,
) -> usize {
    out.edges.push(Edge {
        id,
        curve,
        start,
        end,
        same_sense,
    });
    out.edges.len() - 1
}
