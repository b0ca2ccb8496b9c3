//! Is there a way for a body from a place to a zone? Boxes of poses are halved until a chain of
//! free boxes joins both (yes), no chain of boxes that are not surely blocked does (no), or the
//! boxes are as small as asked (undecided). After approximate cell decomposition (Brooks and
//! Lozano-Perez 1985; Zhu and Latombe 1991) with the soft predicates of resolution-exact planning
//! (Wang, Chiang and Yap 2015); all from memory.

use super::flood::{flood, upsampled};
use super::guide::Guide;
use super::lattice::{Bits, Bound, Lattice};
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
pub(super) fn lattices(floor: &Floor, body: &Body, fineness: Fineness) -> Vec<Lattice> {
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

/// What is looked for: a way, the proof that there is none, or whichever there is.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Wanted {
    /// Both, as far as needed.
    Either,
    /// A way only.
    Way,
    /// The proof only.
    Proof,
}

/// Free boxes lead from the start to a zone.
pub struct Reached {
    levels: Vec<Level>,
    /// Surely blocked boxes of the coarsest lattice.
    sure: Bits,
    starts: Vec<[usize; 3]>,
    end: [usize; 3],
}

impl Reached {
    /// A short way through them, checked as a motion.
    pub fn way(&self, floor: &Floor, body: &Body, watch: Watch<'_>) -> Result<Decision, Cancelled> {
        let (Some(first), Some(last)) = (self.levels.first(), self.levels.last()) else {
            return Ok(Decision::Undecided);
        };
        let down = self.levels.len() - 1;
        let coarse = |cell: [usize; 3]| cell.map(|n| n >> down);
        let until: Vec<_> = self.starts.iter().map(|c| coarse(*c)).collect();
        let radius = body.radius();
        let ends = [coarse(self.end)];
        let guide = Guide::new(first.lattice, &self.sure, &ends, &until, radius, watch)?;
        let mut way = search(&self.levels, &guide, &self.starts, self.end, radius);
        if !way.is_empty() {
            let (at, heading_rad) = last.lattice.centre(self.end);
            way.push(Pose { at, heading_rad });
        }
        Ok(checked(floor, body, way))
    }
}

/// What was found.
pub enum Found {
    /// Free boxes that lead there.
    Reached(Box<Reached>),
    /// Nothing leads there.
    No,
    /// Too narrow to say at this fineness, or not looked for.
    Undecided,
}

/// Decides for one body, with a short way.
pub fn decide(
    floor: &Floor,
    body: &Body,
    fineness: Fineness,
    watch: Watch<'_>,
) -> Result<Answer, Cancelled> {
    let (found, resolution_mm) = look(floor, body, fineness, Wanted::Either, watch)?;
    let decision = match found {
        Found::Reached(reached) => reached.way(floor, body, watch)?,
        Found::No => Decision::No,
        Found::Undecided => Decision::Undecided,
    };
    Ok(Answer {
        decision,
        resolution_mm,
    })
}

/// Looks in ever smaller boxes; with the resolution of the smallest looked at.
pub fn look(
    floor: &Floor,
    body: &Body,
    fineness: Fineness,
    wanted: Wanted,
    watch: Watch<'_>,
) -> Result<(Found, f64), Cancelled> {
    let lattices = lattices(floor, body, fineness);
    let sure_body = body_for_no(body, lattices.last());
    let mut levels: Vec<Level> = Vec::new();
    // What the coarser lattices found: surely not reachable, surely reached, surely blocked.
    let mut gone: Option<(Lattice, Bits)> = None;
    let mut near: Option<(Lattice, Bits)> = None;
    let mut coarse_sure: Option<Bits> = None;
    let mut resolution_mm = f64::INFINITY;
    let things = &floor.things;
    for lattice in lattices {
        watch.check()?;
        resolution_mm = lattice.resolution(body.radius());
        let starts = starts(floor, &lattice);
        let mut seeds = vec![0; lattice.all_words()];
        for cell in &starts {
            let (word, bit) = lattice.bit(*cell);
            seeds[word] |= bit;
        }
        let mut inner = None;
        if wanted != Wanted::Proof {
            let outer = lattice.blocked(body, things, Bound::Outer, watch)?;
            let mut ends = vec![0; outer.len()];
            for zone in &floor.zones {
                lattice.lies_in(&body.footprint, zone, &mut ends);
            }
            if let Some((coarse, reached)) = &near {
                add(&mut seeds, &upsampled(coarse, &lattice, reached));
            }
            let reached = flood(&lattice, &outer, &seeds, watch)?;
            let end = deepest_end(floor, &lattice, &reached, &ends);
            if coarse_sure.is_none() {
                let sure = lattice.blocked(&sure_body, things, Bound::Inner, watch)?;
                inner = Some(sure.clone());
                coarse_sure = Some(sure);
            }
            let free = |c: &[usize; 3]| !lattice.get(&outer, *c);
            let starts = starts.into_iter().filter(free).collect();
            add(&mut seeds, &reached);
            near = Some((lattice, reached));
            levels.push(Level {
                lattice,
                blocked: outer,
            });
            if let Some(end) = end {
                let reached = Reached {
                    levels,
                    sure: coarse_sure.unwrap_or_default(),
                    starts,
                    end,
                };
                return Ok((Found::Reached(Box::new(reached)), resolution_mm));
            }
        }
        if wanted != Wanted::Way {
            let mut inner = match inner {
                Some(inner) => inner,
                None => lattice.blocked(&sure_body, things, Bound::Inner, watch)?,
            };
            let mut ends = vec![0; inner.len()];
            for zone in &floor.zones {
                lattice.may_lie_in(&body.footprint, zone, &mut ends);
            }
            if let Some((coarse, gone)) = &gone {
                add(&mut inner, &upsampled(coarse, &lattice, gone));
            }
            let possible = flood(&lattice, &inner, &seeds, watch)?;
            if possible.iter().zip(&ends).all(|(p, e)| p & e == 0) {
                return Ok((Found::No, resolution_mm));
            }
            gone = Some((lattice, possible.iter().map(|w| !w).collect()));
        }
    }
    Ok((Found::Undecided, resolution_mm))
}

fn add(to: &mut Bits, bits: &Bits) {
    to.iter_mut().zip(bits).for_each(|(w, b)| *w |= b);
}

/// For the no, a load thinner than four of the smallest boxes is taken that thick: thin walls would leak between
/// boxes otherwise. That is less than the resolution on each side.
pub(super) fn body_for_no(body: &Body, finest: Option<&Lattice>) -> Body {
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
