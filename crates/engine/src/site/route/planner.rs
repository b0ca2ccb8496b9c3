//! Is there a way for a body from a place to a zone? Boxes of poses are halved until a chain of
//! free boxes joins both (yes), no chain of boxes that are not surely blocked does (no), or the
//! boxes are as small as asked (undecided). After approximate cell decomposition (Brooks and
//! Lozano-Perez 1985; Zhu and Latombe 1991) with the soft predicates of resolution-exact planning
//! (Wang, Chiang and Yap 2015); all from memory.

use super::flood::{flood, upsampled};
use super::lattice::{Bits, Lattice};
use super::motion::{clear, shortened};
use super::search::{Level, search};
use super::shape::{Body, HalfPlane, Pose, Segment};
use glam::DVec2;
use units::{Cancelled, Watch};

/// Side of the coarsest boxes.
const COARSE_MM: f64 = 80.0;
/// Boxes of one lattice at most: 25 MB for each set of bits, and some tenths of a second to mark
/// and flood. A plan of 7 m by 6 m is so looked at in boxes of 10 mm, one of 16 m by 11 m in
/// boxes of 20 mm.
const MOST_BOXES: usize = 200_000_000;
/// Halvings at most.
const MOST_LEVELS: usize = 5;

/// The floor on which to move.
#[derive(Clone, Debug, PartialEq)]
pub struct Floor {
    /// Rectangle that must not be left.
    pub min: DVec2,
    /// Its other corner.
    pub max: DVec2,
    /// Everything solid, the edge of the ground included.
    pub things: Vec<Segment>,
    /// Where the load is set down.
    pub start: DVec2,
    /// How it is turned there; `None` when it may be turned as one likes.
    pub start_heading_rad: Option<f64>,
    /// Convex outlines; the load must come to lie inside one of them.
    pub zones: Vec<Vec<HalfPlane>>,
}

/// Smallest boxes wanted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fineness {
    /// Side of the smallest boxes.
    pub cell_mm: f64,
}

/// The answer for one body.
#[derive(Clone, Debug, PartialEq)]
pub enum Decision {
    /// A way, checked as a motion.
    Yes(Vec<Pose>),
    /// There is none.
    No,
    /// Too narrow to say at this fineness.
    Undecided,
}

/// The answer with the fineness it took.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// Answer.
    pub decision: Decision,
    /// A way with this much room on every side would have been found.
    pub resolution_mm: f64,
}

/// Finest lattice that will be used for a body, in levels of halving.
fn lattices(floor: &Floor, body: &Body, fineness: Fineness) -> Vec<Lattice> {
    let turns = (body.period() * body.radius() / COARSE_MM).ceil().max(4.0);
    let mut lattice = Lattice::new(
        floor.min,
        floor.max,
        body.period(),
        COARSE_MM,
        (turns as usize).min(100_000),
    );
    // A floor of the size of a town is cut more coarsely.
    while lattice.boxes() > MOST_BOXES / 8 {
        lattice = Lattice::new(
            floor.min,
            floor.max,
            body.period(),
            2.0 * lattice.cell_mm,
            (lattice.count[2] / 2).max(4),
        );
    }
    let mut all = vec![lattice];
    while all.len() < MOST_LEVELS && lattice.cell_mm > fineness.cell_mm {
        lattice = lattice.halved();
        if lattice.boxes() > MOST_BOXES {
            break;
        }
        all.push(lattice);
    }
    all
}

/// What is promised for a body before looking: a way with this much room is found.
pub fn resolution(floor: &Floor, body: &Body, fineness: Fineness) -> f64 {
    lattices(floor, body, fineness)
        .last()
        .map_or(f64::INFINITY, |l| l.resolution(body.radius()))
}

/// Decides for one body, with a short way.
pub fn decide(
    floor: &Floor,
    body: &Body,
    fineness: Fineness,
    watch: Watch<'_>,
) -> Result<Answer, Cancelled> {
    let lattices = lattices(floor, body, fineness);
    let radius = body.radius();
    let sure = body_for_no(body, lattices.last());
    let mut levels: Vec<Level> = Vec::new();
    // What the coarser lattice found: surely not reachable, and surely reached.
    let mut known: Option<(Bits, Bits)> = None;
    let mut resolution_mm = f64::INFINITY;
    let answer = |decision, resolution_mm| {
        Ok(Answer {
            decision,
            resolution_mm,
        })
    };
    for lattice in lattices {
        watch.check()?;
        resolution_mm = lattice.resolution(radius);
        let (outer, mut inner) = lattice.blocked(body, &sure, &floor.things, watch)?;
        let (mut ends, mut maybe_ends) = (vec![0; outer.len()], vec![0; outer.len()]);
        for zone in &floor.zones {
            let (centres, some) = lattice.inside(&body.footprint, zone);
            add(&mut ends, &centres);
            add(&mut maybe_ends, &some);
        }
        let starts = starts(floor, &lattice);
        let mut seeds = vec![0; outer.len()];
        for cell in &starts {
            let (word, bit) = lattice.bit(*cell);
            seeds[word] |= bit;
        }
        if let (Some((gone, reached)), Some(coarse)) = (&known, levels.last()) {
            add(&mut inner, &upsampled(&coarse.lattice, &lattice, gone));
            add(&mut seeds, &upsampled(&coarse.lattice, &lattice, reached));
        }
        let reached = flood(&lattice, &outer, &seeds, watch)?;
        if let Some(end) = deepest_end(floor, &lattice, &reached, &ends) {
            let free: Vec<_> = starts
                .into_iter()
                .filter(|c| !lattice.get(&outer, *c))
                .collect();
            levels.push(Level {
                lattice,
                blocked: outer,
            });
            let mut way = search(&levels, &free, end, radius);
            if !way.is_empty() {
                let (at, heading_rad) = lattice.centre(end);
                way.push(Pose { at, heading_rad });
            }
            return answer(checked(floor, body, way), resolution_mm);
        }
        add(&mut seeds, &reached);
        let possible = flood(&lattice, &inner, &seeds, watch)?;
        if possible.iter().zip(&maybe_ends).all(|(p, e)| p & e == 0) {
            return answer(Decision::No, resolution_mm);
        }
        known = Some((possible.iter().map(|w| !w).collect(), reached));
        levels.push(Level {
            lattice,
            blocked: outer,
        });
    }
    answer(Decision::Undecided, resolution_mm)
}

fn add(to: &mut Bits, bits: &Bits) {
    to.iter_mut().zip(bits).for_each(|(w, b)| *w |= b);
}

/// For the no, a load thinner than four of the smallest boxes is taken that thick: thin walls would leak between
/// boxes otherwise. That is less than the resolution on each side.
fn body_for_no(body: &Body, finest: Option<&Lattice>) -> Body {
    let thin = DVec2::splat(finest.map_or(0.0, |l| 2.0 * l.cell_mm));
    let mut sure = body.clone();
    for rect in std::iter::once(&mut sure.load).chain(&mut sure.carrier) {
        rect.half = rect.half.max(thin);
    }
    sure
}

/// Boxes of the start: one column of headings, or one box of it.
fn starts(floor: &Floor, lattice: &Lattice) -> Vec<[usize; 3]> {
    let Some([i, j]) = lattice.column_row(floor.start) else {
        return Vec::new();
    };
    match floor.start_heading_rad {
        Some(heading) => vec![[i, j, lattice.layer(heading)]],
        None => (0..lattice.count[2]).map(|k| [i, j, k]).collect(),
    }
}

/// The reached end deepest inside its zone.
fn deepest_end(
    floor: &Floor,
    lattice: &Lattice,
    reached: &Bits,
    ends: &Bits,
) -> Option<[usize; 3]> {
    let [_, rows, layers] = lattice.count;
    let mut best: Option<(f64, [usize; 3])> = None;
    for k in 0..layers {
        for j in 0..rows {
            for w in 0..lattice.row_words() {
                let at = lattice.row(k, j) + w;
                let mut word = reached[at] & ends[at];
                while word != 0 {
                    let i = 64 * w + word.trailing_zeros() as usize;
                    word &= word - 1;
                    let (p, _) = lattice.centre([i, j, k]);
                    let depth = floor
                        .zones
                        .iter()
                        .map(|zone| {
                            zone.iter()
                                .map(|plane| plane.limit - plane.normal.dot(p))
                                .fold(f64::INFINITY, f64::min)
                        })
                        .fold(f64::NEG_INFINITY, f64::max);
                    if best.is_none_or(|(deepest, _)| depth > deepest + 1e-6) {
                        best = Some((depth, [i, j, k]));
                    }
                }
            }
        }
    }
    best.map(|(_, cell)| cell)
}

/// The way from the start itself, its headings made continuous, shortened, and checked as a motion
/// apart from the lattice; a way that fails the check is not answered with.
fn checked(floor: &Floor, body: &Body, mut way: Vec<Pose>) -> Decision {
    let period = body.period();
    let Some(first) = way.first() else {
        return Decision::Undecided;
    };
    way.insert(
        0,
        Pose {
            at: floor.start,
            heading_rad: floor.start_heading_rad.unwrap_or(first.heading_rad),
        },
    );
    for n in 1..way.len() {
        let before = way[n - 1].heading_rad;
        let turn = way[n].heading_rad - before;
        way[n].heading_rad = before + turn - period * (turn / period).round();
    }
    let short = shortened(body, &way, &floor.things);
    let clear = |way: &[Pose]| {
        way.windows(2)
            .all(|p| clear(body, p[0], p[1], &floor.things))
    };
    if clear(&short) {
        Decision::Yes(short)
    } else if clear(&way) {
        Decision::Yes(way)
    } else {
        Decision::Undecided
    }
}
