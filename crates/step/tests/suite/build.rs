//! Boundary representations built by hand, for shapes whose volume is a formula.

use glam::{DMat4, DVec3};
use step::brep::{Curve, Edge, EdgeUse, Face, Frame, Loop, Solid, StatedProperties, Surface};

/// Frame at `origin` with the coordinate axes turned so that Z is `z` and X is `x`.
pub fn frame(origin: DVec3, z: DVec3, x: DVec3) -> Frame {
    let z = z.normalize();
    let x = (x - z * x.dot(z)).normalize();
    Frame {
        origin,
        x,
        y: z.cross(x),
        z,
    }
}

/// Frame with the coordinate axes.
pub fn upright(origin: DVec3) -> Frame {
    frame(origin, DVec3::Z, DVec3::X)
}

/// Collects vertices, edges and faces.
#[derive(Default)]
pub struct Builder {
    pub vertices: Vec<DVec3>,
    pub edges: Vec<Edge>,
    pub faces: Vec<Face>,
}

impl Builder {
    pub fn vertex(&mut self, p: DVec3) -> usize {
        if let Some(i) = self.vertices.iter().position(|q| q.distance(p) < 1e-9) {
            return i;
        }
        self.vertices.push(p);
        self.vertices.len() - 1
    }

    pub fn edge(&mut self, start: usize, end: usize, curve: Curve) -> usize {
        let id = 1000 + self.edges.len() as u64;
        self.edges.push(Edge {
            id,
            curve,
            start,
            end,
            same_sense: true,
        });
        self.edges.len() - 1
    }

    pub fn line(&mut self, a: DVec3, b: DVec3) -> EdgeUse {
        let (s, e) = (self.vertex(a), self.vertex(b));
        let found = self.edges.iter().position(|k| {
            matches!(k.curve, Curve::Line { .. })
                && ((k.start, k.end) == (s, e) || (k.start, k.end) == (e, s))
        });
        match found {
            Some(edge) => EdgeUse {
                edge,
                forward: self.edges[edge].start == s,
            },
            None => {
                let curve = Curve::Line {
                    origin: a,
                    direction: (b - a).normalize(),
                };
                EdgeUse {
                    edge: self.edge(s, e, curve),
                    forward: true,
                }
            }
        }
    }

    /// Full circle starting on its frame's X axis.
    pub fn circle(&mut self, f: Frame, radius: f64) -> usize {
        let v = self.vertex(f.origin + radius * f.x);
        self.edge(v, v, Curve::Circle { frame: f, radius })
    }

    pub fn face(&mut self, surface: Surface, same_sense: bool, loops: Vec<Loop>) {
        let id = 2000 + self.faces.len() as u64;
        self.faces.push(Face {
            id,
            surface,
            same_sense,
            loops,
            outer: None,
        });
    }

    /// Flat face with corners given counter-clockwise seen from outside, and hole loops.
    pub fn polygon(&mut self, corners: &[DVec3], holes: Vec<Loop>) {
        let n = corners.len();
        let uses = (0..n)
            .map(|i| self.line(corners[i], corners[(i + 1) % n]))
            .collect();
        let mut normal = DVec3::ZERO;
        for i in 0..n {
            normal += (corners[i] - corners[0]).cross(corners[(i + 1) % n] - corners[0]);
        }
        let f = frame(corners[0], normal, corners[1] - corners[0]);
        let mut loops = vec![Loop::Edges(uses)];
        loops.extend(holes);
        self.face(Surface::Plane { frame: f }, true, loops);
    }

    pub fn solid(self) -> Solid {
        Solid {
            id: 1,
            name: "built".into(),
            vertices: self.vertices,
            edges: self.edges,
            faces: self.faces,
            placements: vec![DMat4::IDENTITY],
            closed: true,
            uncertainty_mm: Some(1e-5),
            stated: StatedProperties::default(),
        }
    }
}

/// Edge uses in a loop; negative numbers (one's complement) run backwards.
pub fn around(list: &[isize]) -> Loop {
    Loop::Edges(
        list.iter()
            .map(|&i| {
                if i >= 0 {
                    EdgeUse {
                        edge: i as usize,
                        forward: true,
                    }
                } else {
                    EdgeUse {
                        edge: !i as usize,
                        forward: false,
                    }
                }
            })
            .collect(),
    )
}

/// Backwards use for [`around`].
pub fn back(edge: usize) -> isize {
    !(edge as isize)
}
