//! Cutters a plan may use: shape, usable length, shank and holder above it.

use crate::tool_shape::ToolShape;

/// Kind of end mill, in the order a machinist prefers them where several would do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum CutterKind {
    /// Square corners.
    Flat,
    /// Rounded corners.
    Bull,
    /// Ball nose.
    Ball,
}

/// An end mill with the longest usable length it is sold in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cutter {
    /// Kind.
    pub kind: CutterKind,
    /// Radius and corner.
    pub shape: ToolShape,
    /// Length below the shank, flutes and relieved neck together, mm (LU of ISO 13399).
    pub usable_mm: f64,
    /// Radius of the shank above that, mm.
    pub shank_radius_mm: f64,
    /// Longest stick-out from the holder, mm.
    pub out_mm: f64,
    /// Radius of the holder above that, mm.
    pub holder_radius_mm: f64,
    /// True when the shop has it already.
    pub owned: bool,
}

/// Radius of the holder's nose, mm: a collet nut for shanks to 16 mm (ER25: 42 mm across, ISO
/// 15488 collets; from memory).
pub const HOLDER_RADIUS_MM: f64 = 21.0;

/// Cutting diameters of end mills with the flute length of the long series, mm (ISO 1641-1 and
/// DIN 844 long series, from memory), and the longest relieved neck on general sale: eight
/// diameters to 12 mm, then falling (common practice, no source).
const END_MILLS_MM: &[[f64; 3]] = &[
    [0.5, 1.5, 4.0],
    [1.0, 3.0, 8.0],
    [1.5, 4.5, 12.0],
    [2.0, 10.0, 16.0],
    [3.0, 12.0, 24.0],
    [4.0, 19.0, 32.0],
    [5.0, 24.0, 40.0],
    [6.0, 24.0, 48.0],
    [8.0, 38.0, 64.0],
    [10.0, 45.0, 80.0],
    [12.0, 53.0, 96.0],
    [16.0, 63.0, 110.0],
    [20.0, 75.0, 125.0],
    [25.0, 90.0, 140.0],
];
/// Shank of cutters thinner than it, mm (DIN 844, DIN 6527: 6 mm; from memory).
const LEAST_SHANK_MM: f64 = 6.0;
/// Ball-nose cutters, mm: the preferred diameters to 20 (DIN 6527, from memory).
const BALLS_MM: &[f64] = &[0.5, 1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0];
/// Bull-nose cutters on general sale: diameter and corner radius, mm (common practice, no source).
const BULLS_MM: &[[f64; 2]] = &[
    [4.0, 0.5],
    [6.0, 0.5],
    [6.0, 1.0],
    [8.0, 1.0],
    [10.0, 1.0],
    [10.0, 2.0],
    [12.0, 1.0],
    [12.0, 2.0],
    [12.0, 3.0],
    [16.0, 2.0],
    [16.0, 4.0],
    [20.0, 5.0],
];

/// A cutter of these sizes; `None` when they make no tool.
pub fn cutter(diameter_mm: f64, corner_mm: f64, usable_mm: f64) -> Option<Cutter> {
    let shape = ToolShape::new(diameter_mm / 2.0, corner_mm).ok()?;
    let kind = if corner_mm == 0.0 {
        CutterKind::Flat
    } else if shape.flat_mm() <= 1e-9 {
        CutterKind::Ball
    } else {
        CutterKind::Bull
    };
    let shank = diameter_mm.max(LEAST_SHANK_MM);
    let thin = diameter_mm < LEAST_SHANK_MM;
    Some(Cutter {
        kind,
        shape,
        usable_mm,
        shank_radius_mm: shank / 2.0,
        // A thin cutter's shank may stand out as far as any cutter of that shank.
        out_mm: if thin {
            usable_mm.max(8.0 * shank)
        } else {
            usable_mm
        },
        holder_radius_mm: HOLDER_RADIUS_MM,
        owned: false,
    })
}

/// Cutters a list may choose from at most: bits of a row.
pub const MOST_CUTTERS: usize = 120;

/// An own cutter is taken instead of a wider one that would have to be bought when it is at least
/// this share of its diameter (common practice, no source): a half-size cutter costs time, a
/// smaller one days.
const OWN_ENOUGH: f64 = 0.5;

/// Whether an own cutter does instead of a wider one.
pub(super) fn own_is_enough(own: &Cutter, widest: &Cutter) -> bool {
    own.shape.radius_mm() >= OWN_ENOUGH * widest.shape.radius_mm() - 1e-9
}

impl Cutter {
    /// Whether it does all that `other` does, and costs no more.
    fn replaces(&self, other: &Cutter) -> bool {
        self.kind == other.kind
            && self.shape == other.shape
            && self.usable_mm >= other.usable_mm
            && self.out_mm >= other.out_mm
            && self.shank_radius_mm <= other.shank_radius_mm
            && self.holder_radius_mm <= other.holder_radius_mm
            && (self.owned || !other.owned)
    }
}

/// Cutters without those another replaces, and how many were left out beyond what a list may
/// choose from: of the bought ones first, evenly over their sizes.
pub fn listed(cutters: &[Cutter]) -> (Vec<Cutter>, usize) {
    let mut kept: Vec<Cutter> = Vec::new();
    for (i, cutter) in cutters.iter().enumerate() {
        let replaced = cutters.iter().enumerate().any(|(j, other)| {
            j != i && other.replaces(cutter) && (j < i || !cutter.replaces(other))
        });
        if !replaced {
            kept.push(*cutter);
        }
    }
    let (own, bought): (Vec<Cutter>, Vec<Cutter>) = kept.iter().partition(|c| c.owned);
    let own = thinned(own, MOST_CUTTERS);
    let bought = thinned(bought, MOST_CUTTERS - own.len());
    let left_out = kept.len() - own.len() - bought.len();
    (own.into_iter().chain(bought).collect(), left_out)
}

/// At most so many, evenly over kinds and sizes.
fn thinned(cutters: Vec<Cutter>, most: usize) -> Vec<Cutter> {
    if cutters.len() <= most {
        return cutters;
    }
    let sorted = super::view::search_order(&cutters);
    (0..most).map(|k| sorted[k * sorted.len() / most]).collect()
}

/// Longest usable length of a standard end mill of this diameter, mm: of its neck that share, but no
/// less than its flutes.
fn longest_mm(diameter_mm: f64, neck_share: f64) -> f64 {
    END_MILLS_MM
        .iter()
        .rev()
        .find(|row| row[0] <= diameter_mm)
        .map_or(8.0 * diameter_mm * neck_share, |row| {
            (row[2] * neck_share).max(row[1])
        })
}

/// End mills any shop can buy.
pub fn standard_cutters() -> Vec<Cutter> {
    standard_cutters_for(1.0)
}

/// The same where relieved necks serve to a share of their length only, because the material bends
/// the cutter more than aluminium alloys do.
pub fn standard_cutters_for(neck_share: f64) -> Vec<Cutter> {
    let flat = END_MILLS_MM.iter().map(|row| [row[0], 0.0]);
    let balls = BALLS_MM.iter().map(|d| [*d, d / 2.0]);
    flat.chain(BULLS_MM.iter().copied())
        .chain(balls)
        .filter_map(|[d, corner]| cutter(d, corner, longest_mm(d, neck_share)))
        .collect()
}

/// Longest flutes of a drill on general sale, mm: jobber (DIN 338), long (DIN 340) and extra long
/// (DIN 1869 row 3) at a few diameters, between them in proportion; from memory.
pub fn drill_flutes_mm(diameter_mm: f64) -> [f64; 3] {
    const ROWS: &[[f64; 4]] = &[
        [1.0, 12.0, 33.0, 33.0],
        [2.0, 24.0, 56.0, 85.0],
        [3.0, 33.0, 66.0, 150.0],
        [4.0, 43.0, 78.0, 190.0],
        [5.0, 52.0, 87.0, 210.0],
        [6.0, 57.0, 91.0, 240.0],
        [8.0, 75.0, 109.0, 265.0],
        [10.0, 87.0, 121.0, 265.0],
        [13.0, 101.0, 134.0, 265.0],
        [16.0, 120.0, 149.0, 265.0],
        [20.0, 140.0, 166.0, 265.0],
    ];
    let last = ROWS[ROWS.len() - 1];
    if diameter_mm <= ROWS[0][0] {
        return [1, 2, 3].map(|k| ROWS[0][k] * diameter_mm / ROWS[0][0]);
    }
    for pair in ROWS.windows(2) {
        if diameter_mm <= pair[1][0] {
            let share = (diameter_mm - pair[0][0]) / (pair[1][0] - pair[0][0]);
            return [1, 2, 3].map(|k| pair[0][k] + share * (pair[1][k] - pair[0][k]));
        }
    }
    [last[1], last[2], last[3]]
}
