//! Which tapped thread a hole's diameter is the drill for.
//!
//! Metric: drill = nominal diameter less pitch (rule read in a tap maker's formulas,
//! fmcarbide.com/pages/tapping-formulas; charts print the nearest stock drill, such as 6.8 for
//! M8 and 10.2 for M12, doublevision.company/blog/tap-drill-chart). Sizes and pitches: ISO 261,
//! from memory. Unified: the same thread height, diameter less one pitch, lies within 0.1 mm of the
//! usual drills from #2 up; the drills listed are the usual chart's for about 75 % thread (from
//! memory).

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

const fn metric(thread: &'static str, nominal: f64, pitch: f64, coarse: bool) -> TapDrill {
    TapDrill {
        thread,
        drill_mm: nominal - pitch,
        nominal_mm: nominal,
        pitch_mm: pitch,
        coarse,
    }
}

const fn unified(
    thread: &'static str,
    nominal: f64,
    per_inch: f64,
    drill: f64,
    c: bool,
) -> TapDrill {
    TapDrill {
        thread,
        drill_mm: drill * 25.4,
        nominal_mm: nominal * 25.4,
        pitch_mm: 25.4 / per_inch,
        coarse: c,
    }
}

/// Known threads, metric first, coarse before fine.
pub const TAP_DRILLS: &[TapDrill] = &[
    metric("M1.6", 1.6, 0.35, true),
    metric("M2", 2.0, 0.4, true),
    metric("M2.5", 2.5, 0.45, true),
    metric("M3", 3.0, 0.5, true),
    metric("M4", 4.0, 0.7, true),
    metric("M5", 5.0, 0.8, true),
    metric("M6", 6.0, 1.0, true),
    metric("M8", 8.0, 1.25, true),
    metric("M10", 10.0, 1.5, true),
    metric("M12", 12.0, 1.75, true),
    metric("M14", 14.0, 2.0, true),
    metric("M16", 16.0, 2.0, true),
    metric("M18", 18.0, 2.5, true),
    metric("M20", 20.0, 2.5, true),
    metric("M22", 22.0, 2.5, true),
    metric("M24", 24.0, 3.0, true),
    metric("M27", 27.0, 3.0, true),
    metric("M30", 30.0, 3.5, true),
    metric("M36", 36.0, 4.0, true),
    unified("2-56 UNC", 0.086, 56.0, 0.0700, true),
    unified("4-40 UNC", 0.112, 40.0, 0.0890, true),
    unified("6-32 UNC", 0.138, 32.0, 0.1065, true),
    unified("8-32 UNC", 0.164, 32.0, 0.1360, true),
    unified("10-24 UNC", 0.190, 24.0, 0.1495, true),
    unified("1/4-20 UNC", 0.250, 20.0, 0.2010, true),
    unified("5/16-18 UNC", 0.3125, 18.0, 0.2570, true),
    unified("3/8-16 UNC", 0.375, 16.0, 0.3125, true),
    unified("7/16-14 UNC", 0.4375, 14.0, 0.3680, true),
    unified("1/2-13 UNC", 0.500, 13.0, 0.4219, true),
    unified("5/8-11 UNC", 0.625, 11.0, 0.5312, true),
    unified("3/4-10 UNC", 0.750, 10.0, 0.6562, true),
    unified("7/8-9 UNC", 0.875, 9.0, 0.7656, true),
    unified("1-8 UNC", 1.000, 8.0, 0.8750, true),
    metric("M8x1", 8.0, 1.0, false),
    metric("M10x1.25", 10.0, 1.25, false),
    metric("M10x1", 10.0, 1.0, false),
    metric("M12x1.5", 12.0, 1.5, false),
    metric("M12x1.25", 12.0, 1.25, false),
    metric("M14x1.5", 14.0, 1.5, false),
    metric("M16x1.5", 16.0, 1.5, false),
    metric("M18x1.5", 18.0, 1.5, false),
    metric("M20x1.5", 20.0, 1.5, false),
    metric("M24x2", 24.0, 2.0, false),
    unified("10-32 UNF", 0.190, 32.0, 0.1590, false),
    unified("1/4-28 UNF", 0.250, 28.0, 0.2130, false),
    unified("5/16-24 UNF", 0.3125, 24.0, 0.2720, false),
    unified("3/8-24 UNF", 0.375, 24.0, 0.3320, false),
    unified("7/16-20 UNF", 0.4375, 20.0, 0.3906, false),
    unified("1/2-20 UNF", 0.500, 20.0, 0.4531, false),
    unified("5/8-18 UNF", 0.625, 18.0, 0.5781, false),
    unified("3/4-16 UNF", 0.750, 16.0, 0.6875, false),
];

/// How far a modelled hole may lie from the drill of a metric thread, mm: charts round nominal less
/// pitch to stock drills by up to 0.05.
const NEAR_METRIC_MM: f64 = 0.055;
/// The same for unified threads, mm: inch models give drills to a thousandth. Wider, and 6.5 mm
/// clearance holes would read as 5/16-18.
const NEAR_UNIFIED_MM: f64 = 0.0255;

/// The thread a hole of this diameter is most likely drilled for, `None` when it is no tap drill.
///
/// A whole or half millimetre is also an ordinary drill: the thread is a suggestion, not a finding.
/// The nearest drill wins; of drills equally near the earlier in [`TAP_DRILLS`].
pub fn tap_drill(diameter_mm: f64) -> Option<&'static TapDrill> {
    let off = |t: &TapDrill| (t.drill_mm - diameter_mm).abs();
    // Differences below a hundredth are rounding, and the commoner thread is kept.
    TAP_DRILLS
        .iter()
        .filter(|t| {
            let metric = t.thread.starts_with('M');
            off(t)
                <= if metric {
                    NEAR_METRIC_MM
                } else {
                    NEAR_UNIFIED_MM
                }
        })
        .fold(None, |best: Option<&TapDrill>, t| match best {
            Some(b) if off(b) <= off(t) + 0.01 => Some(b),
            _ => Some(t),
        })
}
