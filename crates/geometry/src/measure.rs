//! Size and soundness of a mesh: volume, area, centroid, bodies, and every kind of damage by
//! number, so that a damaged model is never passed on silently.

use crate::mesh::Mesh;
use crate::shells::{Shell, ShellKind, edge_uses, shells};
use crate::sum::Sum;
use glam::{DMat3, DVec3};

/// What a mesh measures, in its own unit.
#[derive(Clone, Debug)]
pub struct Measures {
    /// Signed volume; not to be trusted when [`Damage::is_open`].
    pub volume: f64,
    /// Surface area.
    pub area: f64,
    /// Lowest and highest corner; zero for an empty mesh.
    pub bounds: [DVec3; 2],
    /// Centre of volume, or of area when there is no volume.
    pub centroid: DVec3,
    /// Connected pieces.
    pub shells: Vec<Shell>,
    /// Bodies that are alike, each with how often it occurs.
    pub bodies: Vec<BodyGroup>,
    /// What is wrong with the mesh.
    pub damage: Damage,
}

/// Bodies of equal shape (mirror images are not equal).
#[derive(Clone, Debug, PartialEq)]
pub struct BodyGroup {
    /// Shells, numbers in [`Measures::shells`].
    pub shells: Vec<usize>,
}

/// What is wrong with a mesh. All zero: a closed, consistently turned surface.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Damage {
    /// Edges with triangles on one side only.
    pub open_edges: usize,
    /// Their length together, in the mesh's unit.
    pub open_length: f64,
    /// Edges whose two triangles run the same way: one of them is flipped.
    pub flipped_edges: usize,
    /// Edges where more than two triangles meet and the directions do not balance.
    pub tangled_edges: usize,
    /// Edges where more than two triangles meet with balanced directions: the surface touches
    /// itself there. A touch, not a hole; volume and reach are still right.
    pub touching_edges: usize,
    /// Points where the surface touches itself in a single point.
    pub touching_points: usize,
    /// Triangles without area.
    pub degenerate_triangles: usize,
    /// Triangles that occur again with the same corners.
    pub repeated_triangles: usize,
    /// Closed shells whose triangles face inward.
    pub inside_out_shells: usize,
}

impl Damage {
    /// The surface does not enclose a volume.
    pub fn is_open(&self) -> bool {
        self.open_edges + self.flipped_edges + self.tangled_edges > 0
    }

    /// Every edge has exactly two triangles, running opposite ways.
    pub fn is_watertight(&self) -> bool {
        !self.is_open() && self.touching_edges == 0
    }

    /// True when nothing makes volume or reach doubtful.
    pub fn is_sound(&self) -> bool {
        !self.is_open() && self.inside_out_shells == 0 && self.repeated_triangles == 0
    }

    /// One sentence per kind of damage, `unit` being the symbol of the mesh's unit.
    pub fn sentences(&self, unit: &str) -> Vec<String> {
        let mut out = Vec::new();
        let mut say = |n: usize, text: String| {
            if n > 0 {
                out.push(text);
            }
        };
        say(
            self.open_edges,
            format!(
                "the surface has holes: {} open edges, {:.4} {unit} together",
                self.open_edges, self.open_length
            ),
        );
        say(
            self.flipped_edges,
            format!("triangles are flipped along {} edges", self.flipped_edges),
        );
        say(
            self.tangled_edges,
            format!(
                "more than two faces meet, unbalanced, in {} edges",
                self.tangled_edges
            ),
        );
        say(
            self.touching_edges,
            format!(
                "the surface touches itself along {} edges",
                self.touching_edges
            ),
        );
        say(
            self.touching_points,
            format!(
                "the surface touches itself in {} points",
                self.touching_points
            ),
        );
        say(
            self.degenerate_triangles,
            format!("{} triangles have no area", self.degenerate_triangles),
        );
        say(
            self.repeated_triangles,
            format!("{} triangles are repeated", self.repeated_triangles),
        );
        say(
            self.inside_out_shells,
            format!("{} bodies are inside out", self.inside_out_shells),
        );
        out
    }
}

/// Measures a welded mesh.
pub fn measure(mesh: &Mesh) -> Measures {
    let shells = shells(mesh);
    let volume = signed_volume(mesh);
    Measures {
        volume,
        area: surface_area(mesh),
        bounds: mesh.bounds().unwrap_or_default(),
        centroid: centroid(mesh, volume),
        bodies: equal_bodies(mesh, &shells),
        damage: damage(mesh, &shells),
        shells,
    }
}

/// Volume by tetrahedra from the middle of the bounds, so that a part far from its origin loses no
/// digits.
pub fn signed_volume(mesh: &Mesh) -> f64 {
    let origin = middle(mesh);
    let six: Sum = mesh
        .iter_corners()
        .map(|[a, b, c]| (a - origin).dot((b - origin).cross(c - origin)))
        .collect();
    six.value() / 6.0
}

/// Area of all triangles.
pub fn surface_area(mesh: &Mesh) -> f64 {
    let twice: Sum = mesh
        .iter_corners()
        .map(|[a, b, c]| (b - a).cross(c - a).length())
        .collect();
    twice.value() / 2.0
}

fn middle(mesh: &Mesh) -> DVec3 {
    mesh.bounds()
        .map_or(DVec3::ZERO, |[low, high]| (low + high) / 2.0)
}

fn centroid(mesh: &Mesh, volume: f64) -> DVec3 {
    let origin = middle(mesh);
    let scale = surface_area(mesh).powf(1.5);
    let by_volume = volume.abs() > 1e-12 * scale;
    let mut sums = [Sum::default(); 3];
    let mut weight = Sum::default();
    for corners in mesh.iter_corners() {
        let [a, b, c] = corners.map(|p| p - origin);
        let (w, at) = if by_volume {
            (a.dot(b.cross(c)), (a + b + c) / 4.0)
        } else {
            ((b - a).cross(c - a).length(), (a + b + c) / 3.0)
        };
        weight.add(w);
        for (sum, v) in sums.iter_mut().zip((w * at).to_array()) {
            sum.add(v);
        }
    }
    if weight.value() == 0.0 {
        return origin;
    }
    origin + DVec3::from_array(sums.map(|s| s.value())) / weight.value()
}

fn damage(mesh: &Mesh, shells: &[Shell]) -> Damage {
    let mut damage = Damage::default();
    let uses = edge_uses(mesh);
    for group in uses.chunk_by(|a, b| (a.0, a.1) == (b.0, b.1)) {
        let forward = group.iter().filter(|u| u.3).count();
        let backward = group.len() - forward;
        match (group.len(), forward == backward) {
            (1, _) => {
                damage.open_edges += 1;
                let ends = [group[0].0, group[0].1].map(|i| mesh.points()[i as usize]);
                damage.open_length += ends[0].distance(ends[1]);
            }
            (2, true) => {}
            (2, false) => damage.flipped_edges += 1,
            (_, true) => damage.touching_edges += 1,
            (_, false) => damage.tangled_edges += 1,
        }
    }
    damage.touching_points = touching_points(mesh, &uses);
    damage.degenerate_triangles = mesh.iter_corners().filter(is_degenerate).count();
    let mut sorted: Vec<[u32; 3]> = mesh
        .triangles()
        .iter()
        .map(|&t| rotated_to_lowest(t))
        .collect();
    sorted.sort_unstable();
    damage.repeated_triangles = sorted.windows(2).filter(|w| w[0] == w[1]).count();
    damage.inside_out_shells = shells
        .iter()
        .filter(|s| s.kind == ShellKind::InsideOut)
        .count();
    damage
}

/// Height below the rounding of the coordinates themselves (f64, relative to the longest side).
fn is_degenerate(corners: &[DVec3; 3]) -> bool {
    let [a, b, c] = *corners;
    let longest = (b - a)
        .length_squared()
        .max((c - b).length_squared())
        .max((a - c).length_squared());
    (b - a).cross(c - a).length() <= 4.0 * f64::EPSILON * longest
}

fn rotated_to_lowest([a, b, c]: [u32; 3]) -> [u32; 3] {
    if a <= b && a <= c {
        [a, b, c]
    } else if b <= c {
        [b, c, a]
    } else {
        [c, a, b]
    }
}

/// Points whose triangles form more than one fan, not counting ends of edges where the surface
/// touches itself along the edge.
fn touching_points(mesh: &Mesh, uses: &[(u32, u32, u32, bool)]) -> usize {
    let n = mesh.points().len();
    // Triangles minus two-sided edges around a point is 0 for one closed fan and 1 for one open
    // fan; two closed fans also give 0, so fans are walked.
    let mut excluded = vec![false; n];
    let mut links: Vec<(u32, u32, u32)> = Vec::new();
    for group in uses.chunk_by(|a, b| (a.0, a.1) == (b.0, b.1)) {
        if let [one, two] = group {
            for p in [one.0, one.1] {
                links.push((p, one.2.min(two.2), one.2.max(two.2)));
            }
        } else {
            excluded[group[0].0 as usize] = true;
            excluded[group[0].1 as usize] = true;
        }
    }
    let mut incident: Vec<(u32, u32)> = mesh
        .triangles()
        .iter()
        .enumerate()
        .flat_map(|(t, corners)| corners.map(|p| (p, t as u32)))
        .collect();
    incident.sort_unstable();
    incident.dedup();
    links.sort_unstable();
    let mut links = links.chunk_by(|a, b| a.0 == b.0).peekable();
    let mut count = 0;
    for fan in incident.chunk_by(|a, b| a.0 == b.0) {
        let point = fan[0].0;
        while links.peek().is_some_and(|l| l[0].0 < point) {
            links.next();
        }
        let around = links.next_if(|l| l[0].0 == point).unwrap_or(&[]);
        if excluded[point as usize] {
            continue;
        }
        // Number of fans = triangles joined pairwise along the edges around the point.
        let mut label: Vec<usize> = (0..fan.len()).collect();
        let place = |t: u32| fan.partition_point(|f| f.1 < t);
        let mut fans = fan.len();
        for link in around {
            let (a, b) = (label[place(link.1)], label[place(link.2)]);
            if a != b {
                label.iter_mut().filter(|l| **l == b).for_each(|l| *l = a);
                fans -= 1;
            }
        }
        if fans > 1 {
            count += 1;
        }
    }
    count
}

/// Groups bodies that are alike by numbers a rotation and a shift do not change: triangles, area,
/// volume, second moments of the surface and their handedness.
fn equal_bodies(mesh: &Mesh, shells: &[Shell]) -> Vec<BodyGroup> {
    let mut groups: Vec<(Fingerprint, BodyGroup)> = Vec::new();
    for (i, shell) in shells.iter().enumerate() {
        if !matches!(shell.kind, ShellKind::Body | ShellKind::InsideOut) {
            continue;
        }
        let print = fingerprint(&mesh.subset(&shell.triangles), shell);
        match groups.iter_mut().find(|(p, _)| p.alike(&print)) {
            Some((_, group)) => group.shells.push(i),
            None => groups.push((print, BodyGroup { shells: vec![i] })),
        }
    }
    groups.into_iter().map(|(_, g)| g).collect()
}

struct Fingerprint {
    triangles: usize,
    /// Lengths derived from volume, area and the three invariants of the second moment.
    lengths: [f64; 5],
    /// Without unit, zero for bodies that equal their mirror image.
    handedness: f64,
}

impl Fingerprint {
    fn alike(&self, other: &Fingerprint) -> bool {
        // f32 coordinates of copies placed apart differ by 1e-7 of their distance from the
        // origin; 1e-4 of the size leaves room for copies a thousand sizes away.
        let size = self.lengths[1];
        self.triangles == other.triangles
            && self
                .lengths
                .iter()
                .zip(other.lengths)
                .all(|(a, b)| (a - b).abs() <= 1e-4 * size)
            && (self.handedness - other.handedness).abs()
                <= 1e-3 * self.handedness.abs().max(other.handedness.abs()) + 1e-10
    }
}

fn fingerprint(body: &Mesh, shell: &Shell) -> Fingerprint {
    let centre = centroid(body, 0.0);
    let mut second = DMat3::ZERO;
    let mut third = DVec3::ZERO;
    for corners in body.iter_corners() {
        let [a, b, c] = corners.map(|p| p - centre);
        let w = (b - a).cross(c - a).length() / (2.0 * shell.area);
        let m = (a + b + c) / 3.0;
        second += DMat3::from_cols(m * m.x, m * m.y, m * m.z) * w;
        third += m * (m.length_squared() * w);
    }
    let trace = second.x_axis.x + second.y_axis.y + second.z_axis.z;
    let square = second * second;
    let trace_of_square = square.x_axis.x + square.y_axis.y + square.z_axis.z;
    let handed = third.dot((second * third).cross(square * third));
    Fingerprint {
        triangles: shell.triangles.len(),
        lengths: [
            shell.volume.abs().cbrt(),
            shell.area.sqrt(),
            trace.max(0.0).sqrt(),
            trace_of_square.max(0.0).powf(0.25),
            second.determinant().max(0.0).powf(1.0 / 6.0),
        ],
        // The triple product has degree 3 + 5 + 7 in length; a mirror image changes its sign.
        handedness: handed / trace.max(f64::MIN_POSITIVE).powf(7.5),
    }
}
