//! From unrolled boundaries to the polygons of a face's parameter domain.

use super::polygon::{area, inside};
use super::rings::{find_cut, open_band, synthetic};
use super::route::Router;
use super::unroll::{NEW, Node, Path, Run};
use crate::surfaces::chart::Chart;
use glam::{DVec2, DVec3};
use std::cell::RefCell;

/// What a face covers in (u, v).
#[derive(Clone, Debug, Default)]
pub struct Domain {
    /// Closed polygons; inside is where their crossing number is odd.
    pub polygons: Vec<Vec<Node>>,
    /// Boundaries in place, travelling counter-clockwise about the domain.
    pub paths: Vec<Path>,
    /// Straight pieces of cuts, which complete the paths to closed boundaries.
    pub cuts: Vec<[DVec2; 2]>,
    /// Mesh vertices of the face alone, numbered from [`NEW`].
    pub new_points: Vec<DVec3>,
    /// True when boundaries ran the wrong way round and were turned.
    pub turned: bool,
    /// Box of all polygons.
    pub lo: DVec2,
    /// Box of all polygons.
    pub hi: DVec2,
}

impl Domain {
    /// Works out the domain. `pole_vertices` are mesh vertices lying on the low and high pole.
    pub fn build(
        chart: &Chart,
        paths: Vec<Path>,
        pole_vertices: [Option<u32>; 2],
        steps: DVec2,
        metric: DVec2,
    ) -> Result<Self, String> {
        let mut domain = Domain::default();
        let (mut rings, mut flat): (Vec<Path>, Vec<Path>) =
            paths.into_iter().partition(|p| p.advance != DVec2::ZERO);
        let pieces = |k: usize| {
            let n = chart.period[k].map_or(8.0, |p| (p / steps.to_array()[k]).ceil());
            n.clamp(8.0, 512.0) as usize
        };
        if rings.is_empty() {
            let outer = (0..flat.len())
                .max_by(|&a, &b| flat[a].area().abs().total_cmp(&flat[b].area().abs()));
            match outer {
                Some(i) if flat[i].area() > 0.0 || !chart.closed() => {
                    let mut path = flat.swap_remove(i);
                    if path.area() < 0.0 {
                        path.reverse();
                        domain.turned = true;
                    }
                    domain.polygons.push(path.nodes.clone());
                    domain.paths.push(path);
                    domain.place_holes(chart, flat);
                    return Ok(domain.finish());
                }
                None if !chart.closed() => return domain.natural(chart, steps).map(Self::finish),
                Some(_) if chart.period.iter().all(Option::is_some) => {
                    domain
                        .routed(chart, flat, false, steps, metric)
                        .map_err(|_| "no way to open the surface between its holes")?;
                    return Ok(domain.finish());
                }
                _ => rings = domain.whole_surface(chart, pole_vertices, pieces(0)),
            }
        }
        let total: DVec2 = rings.iter().map(|r| r.advance).sum();
        if rings.len() % 2 == 1 && total.x != 0.0 {
            // The face reaches a pole: the upper one when it lies above a ring that runs with u.
            let wanted = usize::from(total.x > 0.0);
            let k = if chart.poles[wanted].is_some() {
                wanted
            } else if chart.poles[1 - wanted].is_some() && rings.len() == 1 {
                domain.turned = true;
                rings[0].reverse();
                1 - wanted
            } else {
                return Err(
                    "a boundary winds about the surface and nothing closes the other side".into(),
                );
            };
            let advance = -rings.iter().map(|r| r.advance.x).sum::<f64>();
            let u = rings[0].nodes[0].uv.x;
            rings.push(domain.pole_ring(chart, k, u, advance, pole_vertices[k], pieces(0)));
        }
        let [first, second] = <[Path; 2]>::try_from(rings)
            .map_err(|r| format!("{} boundaries wind about the surface", r.len()))?;
        domain.band(chart, first, second, flat, steps, metric)?;
        Ok(domain.finish())
    }

    fn finish(mut self) -> Self {
        (self.lo, self.hi) = (DVec2::INFINITY, DVec2::NEG_INFINITY);
        for n in self.polygons.iter().flatten() {
            self.lo = self.lo.min(n.uv);
            self.hi = self.hi.max(n.uv);
        }
        self
    }

    fn band(
        &mut self,
        chart: &Chart,
        mut first: Path,
        mut second: Path,
        flat: Vec<Path>,
        steps: DVec2,
        metric: DVec2,
    ) -> Result<(), String> {
        let unit = DVec2::from_array(chart.period.map(|p| p.unwrap_or(1.0)));
        if ((first.advance + second.advance) / unit)
            .abs()
            .max_element()
            > 1e-6
        {
            return Err("two boundaries wind about the surface in the same direction".into());
        }
        let mean = |p: &Path| p.nodes.iter().map(|n| n.uv).sum::<DVec2>() / p.nodes.len() as f64;
        let across = |d: DVec2, advance: DVec2| (advance / unit).perp_dot(d / unit);
        // The second ring has to lie to the left of the first; on a torus in the nearest copy.
        let gap = mean(&second) - mean(&first);
        if chart.period[0].is_some() && chart.period[1].is_some() {
            let mut best: Option<(f64, DVec2)> = None;
            for k in -3..=3 {
                for l in -3..=3 {
                    let s = DVec2::new(f64::from(k), f64::from(l)) * unit;
                    let h = across(gap + s, first.advance);
                    if h > 1e-9 && best.is_none_or(|b| h < b.0 - 1e-9) {
                        best = Some((h, s));
                    }
                }
            }
            second.shift(best.map_or(DVec2::ZERO, |b| b.1));
        } else if across(gap, first.advance) < 0.0 {
            first.reverse();
            second.reverse();
            self.turned = true;
        }
        let Some(cut) = find_cut(&first, &second, &flat, chart, metric) else {
            let all = [vec![first, second], flat].concat();
            return self.routed(chart, all, true, steps, metric).map_err(|()| {
                "no cut between the two boundaries that wind about the surface".into()
            });
        };
        let (polygon, pieces) = open_band(&first, &second, cut, chart, steps, &mut self.new_points);
        // Whole periods along v change the integrals of a boundary, so that the paths must run just
        // where the polygon does.
        first.open_at(cut.from);
        second.open_at(cut.to);
        second.shift(cut.shift + first.advance);
        self.polygons.push(polygon);
        self.cuts.extend(pieces);
        self.paths.push(first);
        self.paths.push(second);
        self.place_holes(chart, flat);
        Ok(())
    }

    /// Opens the face along links between its boundaries, the first two of which are rings or none.
    fn routed(
        &mut self,
        chart: &Chart,
        mut boundaries: Vec<Path>,
        rings: bool,
        steps: DVec2,
        metric: DVec2,
    ) -> Result<(), ()> {
        for hole in boundaries.iter_mut().skip(if rings { 2 } else { 0 }) {
            if hole.area() > 0.0 {
                hole.reverse();
                self.turned = true;
            }
        }
        let router = Router {
            chart,
            metric,
            steps,
            boundaries: &boundaries,
        };
        let (path, used) = router.open(rings, &mut self.new_points).ok_or(())?;
        self.polygons.push(path.nodes.clone());
        self.paths.push(path);
        let rest = boundaries.into_iter().enumerate();
        let rest = rest.filter(|(i, _)| !used.contains(i)).map(|(_, p)| p);
        self.place_holes(chart, rest.collect());
        Ok(())
    }

    /// Moves holes by whole periods until they lie inside the outer polygon.
    fn place_holes(&mut self, chart: &Chart, holes: Vec<Path>) {
        let outer: Vec<DVec2> = self.polygons[0].iter().map(|n| n.uv).collect();
        let (mut lo, mut hi) = (DVec2::INFINITY, DVec2::NEG_INFINITY);
        for &p in &outer {
            lo = lo.min(p);
            hi = hi.max(p);
        }
        for mut hole in holes {
            if hole.area() > 0.0 {
                hole.reverse();
                self.turned = true;
            }
            let range = |k: usize| -> Vec<f64> {
                let Some(p) = chart.period[k] else {
                    return vec![0.0];
                };
                let at = hole.nodes[0].uv.to_array()[k];
                let first = ((lo.to_array()[k] - at) / p).floor() as i64 - 1;
                let last = ((hi.to_array()[k] - at) / p).ceil() as i64 + 1;
                (first..=last.min(first + 8))
                    .map(|i| i as f64 * p)
                    .collect()
            };
            let mut best = (-1.0, DVec2::ZERO);
            let (us, vs) = (range(0), range(1));
            if us.len() * vs.len() > 1 {
                let stride = hole.nodes.len().div_ceil(9);
                for &u in &us {
                    for &v in &vs {
                        let s = DVec2::new(u, v);
                        let picked = hole.nodes.iter().step_by(stride);
                        let hits = picked.filter(|n| inside(&outer, n.uv + s)).count() as f64;
                        if hits > best.0 {
                            best = (hits, s);
                        }
                    }
                }
            }
            hole.shift(best.1);
            self.polygons.push(hole.nodes.clone());
            self.paths.push(hole);
        }
    }

    fn pole_ring(
        &mut self,
        chart: &Chart,
        k: usize,
        u: f64,
        advance: f64,
        vertex: Option<u32>,
        pieces: usize,
    ) -> Path {
        let pole = chart.poles[k].unwrap_or(crate::surfaces::chart::Pole {
            v: 0.0,
            point: DVec3::ZERO,
        });
        let id = vertex.unwrap_or_else(|| {
            self.new_points.push(pole.point);
            NEW + self.new_points.len() as u32 - 1
        });
        synthetic(chart, DVec2::new(u, pole.v), advance, pieces, |_, _| id)
    }

    /// Two rings that together bound a closed surface: its poles, or one cut line twice.
    fn whole_surface(
        &mut self,
        chart: &Chart,
        pole_vertices: [Option<u32>; 2],
        pieces: usize,
    ) -> Vec<Path> {
        let Some(pu) = chart.period[0] else {
            return Vec::new();
        };
        if let Some(pv) = chart.period[1] {
            let first = self.new_ring(chart, DVec2::ZERO, pu, pieces);
            let mut second = first.clone();
            second.reverse();
            second.shift(DVec2::new(0.0, pv));
            return vec![first, second];
        }
        let low = self.pole_ring(chart, 0, 0.0, pu, pole_vertices[0], pieces);
        let high = self.pole_ring(chart, 1, 0.0, -pu, pole_vertices[1], pieces);
        vec![low, high]
    }

    fn new_ring(&mut self, chart: &Chart, start: DVec2, advance: f64, pieces: usize) -> Path {
        let points = RefCell::new(&mut self.new_points);
        synthetic(chart, start, advance, pieces, |_, p| {
            let mut list = points.borrow_mut();
            list.push(p);
            NEW + list.len() as u32 - 1
        })
    }

    /// A bounded open surface without boundaries: all of it, with an edge of its own.
    fn natural(mut self, chart: &Chart, steps: DVec2) -> Result<Self, String> {
        let [Some(u), Some(v)] = chart.range else {
            return Err("an unbounded surface without a boundary".into());
        };
        let corners = [(u[0], v[0]), (u[1], v[0]), (u[1], v[1]), (u[0], v[1])];
        let mut nodes: Vec<Node> = Vec::new();
        for i in 0..4 {
            let (a, b) = (DVec2::from(corners[i]), DVec2::from(corners[(i + 1) % 4]));
            let ratio = (b - a).abs() / steps;
            let n = ratio.x.max(ratio.y).ceil().clamp(1.0, 512.0) as usize;
            for k in 0..n {
                let uv = a.lerp(b, k as f64 / n as f64);
                self.new_points.push(chart.point(uv));
                nodes.push(Node {
                    uv,
                    id: NEW + self.new_points.len() as u32 - 1,
                });
            }
        }
        let count = nodes.len();
        self.polygons.push(nodes.clone());
        self.paths.push(Path {
            nodes,
            runs: vec![Run {
                edge: None,
                first: 0,
                count,
                skip: 0,
            }],
            advance: DVec2::ZERO,
        });
        Ok(self)
    }

    /// True when any of the points, or rather of points close beside it, lies inside; cuts may run
    /// through the very points.
    pub fn contains_any(&self, chart: &Chart, points: &[DVec2]) -> bool {
        let polygons: Vec<Vec<DVec2>> = self
            .polygons
            .iter()
            .map(|p| p.iter().map(|n| n.uv).collect())
            .collect();
        let period = DVec2::from_array(chart.period.map(|p| p.unwrap_or(0.0)));
        let copies = |k: usize| if chart.period[k].is_some() { 3 } else { 0 };
        let middle = 0.5 * (self.lo + self.hi);
        points.iter().any(|&p| {
            let p = chart.near(p, middle);
            [DVec2::new(1e-4, 0.7e-4), DVec2::new(-1e-4, -0.7e-4)]
                .iter()
                .flat_map(|beside| {
                    (-copies(0)..=copies(0)).flat_map(move |k| {
                        (-copies(1)..=copies(1)).map(move |l| {
                            p + *beside + DVec2::new(f64::from(k), f64::from(l)) * period
                        })
                    })
                })
                .any(|q| polygons.iter().filter(|p| inside(p, q)).count() % 2 == 1)
        })
    }

    /// Area of the domain in (u, v), by its polygons.
    pub fn parameter_area(&self) -> f64 {
        self.polygons
            .iter()
            .map(|p| area(&p.iter().map(|n| n.uv).collect::<Vec<_>>()))
            .sum()
    }
}
