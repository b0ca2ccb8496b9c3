//! Which tapped thread a hole's diameter is the drill for.
//!
//! Designers draw a tapped hole at one of three diameters, and each is looked for: the drill of the
//! tables, nominal diameter less pitch, or the minor diameter of the nut thread.
//!
//! - Sizes and pitches: ISO 261 (metric, choice 1 and the common ones of choice 2) and ASME B1.1
//!   (UNC, UNF), from memory.
//! - Minor diameter D1 = d - 1.0825 P: ISO 724, from memory; B1.1 has the same 60 degree profile.
//! - Metric drill = d - P (rule read in a tap maker's formulas, fmcarbide.com/pages/tapping-formulas),
//!   rounded to the stock drill by charts: 6.8 for M8, 10.2 for M12
//!   (doublevision.company/blog/tap-drill-chart); the others rounded here from memory.
//! - Unified drills: the usual chart's for about 75 % thread, from memory.

/// A thread that may be tapped in a hole.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TapDrill {
    /// Designation, such as `M6`, `M10x1.25`, `1/4-20 UNC`.
    pub thread: &'static str,
    /// Usual drill, mm.
    pub drill_mm: f64,
    /// Nominal diameter, mm.
    pub nominal_mm: f64,
    /// Pitch, mm.
    pub pitch_mm: f64,
    /// Coarse series.
    pub coarse: bool,
}

impl TapDrill {
    /// Minor diameter of the nut thread, mm.
    pub fn minor_mm(&self) -> f64 {
        self.nominal_mm - 1.0825 * self.pitch_mm
    }

    fn is_metric(&self) -> bool {
        self.thread.starts_with('M')
    }
}

const fn coarse(thread: &'static str, nominal: f64, pitch: f64, drill: f64) -> TapDrill {
    TapDrill {
        thread,
        drill_mm: drill,
        nominal_mm: nominal,
        pitch_mm: pitch,
        coarse: true,
    }
}

const fn fine(thread: &'static str, nominal: f64, pitch: f64, drill: f64) -> TapDrill {
    TapDrill {
        coarse: false,
        ..coarse(thread, nominal, pitch, drill)
    }
}

/// In inches and threads an inch.
const fn unc(thread: &'static str, nominal: f64, per_inch: f64, drill: f64) -> TapDrill {
    coarse(thread, nominal * 25.4, 25.4 / per_inch, drill * 25.4)
}

const fn unf(thread: &'static str, nominal: f64, per_inch: f64, drill: f64) -> TapDrill {
    fine(thread, nominal * 25.4, 25.4 / per_inch, drill * 25.4)
}

/// Known threads: coarse before fine, metric first in each.
pub const TAP_DRILLS: &[TapDrill] = &[
    coarse("M1.6", 1.6, 0.35, 1.25),
    coarse("M2", 2.0, 0.4, 1.6),
    coarse("M2.5", 2.5, 0.45, 2.05),
    coarse("M3", 3.0, 0.5, 2.5),
    coarse("M4", 4.0, 0.7, 3.3),
    coarse("M5", 5.0, 0.8, 4.2),
    coarse("M6", 6.0, 1.0, 5.0),
    coarse("M8", 8.0, 1.25, 6.8),
    coarse("M10", 10.0, 1.5, 8.5),
    coarse("M12", 12.0, 1.75, 10.2),
    coarse("M14", 14.0, 2.0, 12.0),
    coarse("M16", 16.0, 2.0, 14.0),
    coarse("M18", 18.0, 2.5, 15.5),
    coarse("M20", 20.0, 2.5, 17.5),
    coarse("M22", 22.0, 2.5, 19.5),
    coarse("M24", 24.0, 3.0, 21.0),
    coarse("M27", 27.0, 3.0, 24.0),
    coarse("M30", 30.0, 3.5, 26.5),
    coarse("M33", 33.0, 3.5, 29.5),
    coarse("M36", 36.0, 4.0, 32.0),
    unc("2-56 UNC", 0.086, 56.0, 0.07),
    unc("4-40 UNC", 0.112, 40.0, 0.089),
    unc("5-40 UNC", 0.125, 40.0, 0.1015),
    unc("6-32 UNC", 0.138, 32.0, 0.1065),
    unc("8-32 UNC", 0.164, 32.0, 0.136),
    unc("10-24 UNC", 0.19, 24.0, 0.1495),
    unc("1/4-20 UNC", 0.25, 20.0, 0.201),
    unc("5/16-18 UNC", 0.3125, 18.0, 0.257),
    unc("3/8-16 UNC", 0.375, 16.0, 0.3125),
    unc("7/16-14 UNC", 0.4375, 14.0, 0.368),
    unc("1/2-13 UNC", 0.5, 13.0, 0.4219),
    unc("9/16-12 UNC", 0.5625, 12.0, 0.4844),
    unc("5/8-11 UNC", 0.625, 11.0, 0.5312),
    unc("3/4-10 UNC", 0.75, 10.0, 0.6562),
    unc("7/8-9 UNC", 0.875, 9.0, 0.7656),
    unc("1-8 UNC", 1.0, 8.0, 0.875),
    fine("M8x1", 8.0, 1.0, 7.0),
    fine("M10x1.25", 10.0, 1.25, 8.8),
    fine("M10x1", 10.0, 1.0, 9.0),
    fine("M12x1.5", 12.0, 1.5, 10.5),
    fine("M12x1.25", 12.0, 1.25, 10.8),
    fine("M14x1.5", 14.0, 1.5, 12.5),
    fine("M16x1.5", 16.0, 1.5, 14.5),
    fine("M18x1.5", 18.0, 1.5, 16.5),
    fine("M20x2", 20.0, 2.0, 18.0),
    fine("M20x1.5", 20.0, 1.5, 18.5),
    fine("M22x1.5", 22.0, 1.5, 20.5),
    fine("M24x2", 24.0, 2.0, 22.0),
    fine("M27x2", 27.0, 2.0, 25.0),
    fine("M30x2", 30.0, 2.0, 28.0),
    fine("M33x2", 33.0, 2.0, 31.0),
    fine("M36x3", 36.0, 3.0, 33.0),
    unf("4-48 UNF", 0.112, 48.0, 0.0935),
    unf("6-40 UNF", 0.138, 40.0, 0.113),
    unf("8-36 UNF", 0.164, 36.0, 0.136),
    unf("10-32 UNF", 0.19, 32.0, 0.159),
    unf("1/4-28 UNF", 0.25, 28.0, 0.213),
    unf("5/16-24 UNF", 0.3125, 24.0, 0.272),
    unf("3/8-24 UNF", 0.375, 24.0, 0.332),
    unf("7/16-20 UNF", 0.4375, 20.0, 0.3906),
    unf("1/2-20 UNF", 0.5, 20.0, 0.4531),
    unf("9/16-18 UNF", 0.5625, 18.0, 0.5156),
    unf("5/8-18 UNF", 0.625, 18.0, 0.5781),
    unf("3/4-16 UNF", 0.75, 16.0, 0.6875),
    unf("7/8-14 UNF", 0.875, 14.0, 0.8125),
    unf("1-12 UNF", 1.0, 12.0, 0.9219),
];

/// What a thread of this nominal diameter and pitch is called.
pub fn thread_name(nominal_mm: f64, pitch_mm: f64) -> String {
    let near = |a: f64, b: f64| (a - b).abs() < 2e-3;
    let known = TAP_DRILLS
        .iter()
        .find(|t| near(t.nominal_mm, nominal_mm) && near(t.pitch_mm, pitch_mm));
    match known {
        Some(t) => t.thread.to_owned(),
        None => format!("{nominal_mm:.2} mm, pitch {pitch_mm:.3} mm"),
    }
}

/// How far a modelled hole may lie from one of a metric thread's diameters, mm: rounding to two
/// decimals, an inch file's to a thousandth of an inch, and what a fit to a mesh leaves.
const NEAR_METRIC_MM: f64 = 0.013;
/// The same for unified threads, mm: inch models give drills to a thousandth. Wider, and 6.5 mm
/// clearance holes would read as 5/16-18.
const NEAR_UNIFIED_MM: f64 = 0.0255;

/// The thread a hole of this diameter is most likely drilled for, `None` when it is no tap drill.
///
/// A whole or half millimetre is also an ordinary drill: the thread is a suggestion, not a finding.
/// Drills win over minor diameters (2.5 is M3, not a thread of which it is the core), then the
/// nearest wins; of those equally near the earlier in [`TAP_DRILLS`].
pub fn tap_drill(diameter_mm: f64) -> Option<&'static TapDrill> {
    let by_drill = |t: &TapDrill| {
        let off = (t.drill_mm - diameter_mm).abs();
        if t.is_metric() {
            off.min((t.nominal_mm - t.pitch_mm - diameter_mm).abs())
        } else {
            off
        }
    };
    let by_core = |t: &TapDrill| (t.minor_mm() - diameter_mm).abs();
    nearest(by_drill).or_else(|| nearest(by_core))
}

fn nearest(off: impl Fn(&TapDrill) -> f64) -> Option<&'static TapDrill> {
    TAP_DRILLS
        .iter()
        .filter(|t| {
            let near = if t.is_metric() {
                NEAR_METRIC_MM
            } else {
                NEAR_UNIFIED_MM
            };
            off(t) <= near
        })
        .fold(None, |best: Option<&TapDrill>, t| match best {
            // Differences below a hundredth are rounding, and the commoner thread is kept.
            Some(b) if off(b) <= off(t) + 0.01 => Some(b),
            _ => Some(t),
        })
}
