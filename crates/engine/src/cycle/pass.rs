//! Passes of a cutter over a surface: the way run in air before and after the work, and what starting
//! and stopping at both ends costs.

use super::smooth_move_time;
use crate::cutting::Cut;
use crate::demand::{Task, TaskKind};
use units::{Acceleration, Length, Speed, Time};

/// Way of a peripheral cutter from first touch to full depth: `sqrt(d (D - d))`.
pub fn peripheral_approach(depth: Length, diameter: Length) -> Length {
    let d = depth.to_mm().clamp(0.0, diameter.to_mm());
    Length::mm((d * (diameter.to_mm() - d)).max(0.0).sqrt())
}

/// Way of a face mill centred on its pass from first touch to full width:
/// `(D - sqrt(D^2 - w^2)) / 2`.
pub fn face_approach(width: Length, diameter: Length) -> Length {
    let (w, d) = (width.to_mm().min(diameter.to_mm()), diameter.to_mm());
    Length::mm(0.5 * (d - (d * d - w * w).max(0.0).sqrt()))
}

/// Time of a pass with what is run in air beside it.
pub fn pass_time(length: Length, beside: Length, feed: Speed) -> Time {
    Time::minutes((length + beside).to_mm() / feed.to_mm_min().max(1.0e-9))
}

/// Way in air of each pass. A face mill is run off the work by its diameter, so that it leaves no
/// mark (Mitsubishi Materials, formulas for milling: L = l + D); a wall's cutter by its approach.
fn in_air(task: &Task, cut: &Cut) -> Length {
    match task.kind {
        TaskKind::Face => task.tool.diameter,
        TaskKind::Side => peripheral_approach(cut.width, task.tool.diameter),
        _ => Length::ZERO,
    }
}

/// Time a surface takes beyond its cut: run in air, started and stopped at the ends of every line.
/// Lines are as long as the side of a square of the surface's area at each place, and fed at what the
/// time in the cut comes to; so what a surface takes in all grows with that time alone, and a machine
/// that cuts it sooner never takes longer over it.
pub(super) fn beside_the_cut(
    task: &Task,
    cut: &Cut,
    acceleration: Acceleration,
    ramp: Time,
) -> Time {
    if !matches!(
        task.kind,
        TaskKind::Face | TaskKind::Bottom | TaskKind::Side | TaskKind::Freeform | TaskKind::Chamfer
    ) {
        return Time::ZERO;
    }
    let area = task.area.to_mm2() / f64::from(task.count.max(1));
    // Depth of a pass along a wall, width of one over a floor.
    let step = match task.kind {
        TaskKind::Side => task.cut_depth.min(1.5 * task.tool.diameter),
        TaskKind::Chamfer => cut.width * std::f64::consts::SQRT_2,
        _ => cut.width,
    };
    let line = Length::mm(area.max(0.0).sqrt());
    let seconds = cut.time.to_s();
    if line <= Length::ZERO || step <= Length::ZERO || seconds <= 0.0 || !seconds.is_finite() {
        return Time::ZERO;
    }
    let lines = (task.area.to_mm2() / (line.to_mm() * step.to_mm())).clamp(0.0, 1.0e6);
    let feed = Speed::mm_s(lines * line.to_mm() / seconds);
    let whole = smooth_move_time(line + in_air(task, cut), feed, acceleration, ramp);
    (whole * lines - cut.time).max(Time::ZERO)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(x: f64) -> Length {
        Length::mm(x)
    }

    #[test]
    fn t10_01_a_face_milling_pass() {
        // Mitsubishi Materials, formulas for milling: l 300, D 200, fz 0.25, z 16, n 200: vf 800 mm/min, L 500, 37.5 s.
        let feed = Speed::mm_min(0.25 * 16.0 * 200.0);
        assert!((pass_time(mm(300.0), mm(200.0), feed).to_s() - 37.5).abs() < 1e-9);
    }

    #[test]
    fn t10_06_approach_of_a_slab_mill() {
        // GATE PI 2015/2017, our evaluation: d 5, D 75: 18.71 mm, travel 218.7 mm for 200.
        assert!((peripheral_approach(mm(5.0), mm(75.0)).to_mm() - 18.708).abs() < 5e-4);
    }

    #[test]
    fn t10_07_10_11_peripheral_milling_times() {
        let feed = |m_min: f64, d: f64, z: f64, fz: f64| {
            Speed::mm_min(m_min * 1000.0 / (std::f64::consts::PI * d) * z * fz)
        };
        let time = |length: f64, depth: f64, d: f64, feed| {
            pass_time(mm(length), peripheral_approach(mm(depth), mm(d)), feed).to_minutes()
        };
        // tutorsglobe.com 5754020, our evaluation: 650 x 50, D 60, 5 teeth, 55 m/min, 0.30, d 9: 437.7 mm/min, A 21.4, 1.53 min.
        let f = feed(55.0, 60.0, 5.0, 0.30);
        assert!((f.to_mm_min() - 437.68).abs() < 5e-3);
        assert!((peripheral_approach(mm(9.0), mm(60.0)).to_mm() - 21.424).abs() < 5e-4);
        assert!((time(650.0, 9.0, 60.0, f) - 1.5341).abs() < 5e-5);
        // tutorsglobe.com 51582885, our evaluation: 275 long, cutter 75 mm 10 teeth, 0.10, 40 m/min, d 5: 169.8 mm/min, 1.73 min.
        let f = feed(40.0, 75.0, 10.0, 0.10);
        assert!((f.to_mm_min() - 169.77).abs() < 5e-3);
        assert!((time(275.0, 5.0, 75.0, f) - 1.7301).abs() < 5e-5);
        // Groover, milling problem (from memory): 400 long, D 80, 5 teeth, 70 m/min, 0.25, d 5: A 19.4, 1.20 min.
        let f = feed(70.0, 80.0, 5.0, 0.25);
        // Its spindle speed is unrounded here: 348.15 mm/min.
        assert!((f.to_mm_min() - 348.15).abs() < 5e-3);
        assert!((time(400.0, 5.0, 80.0, f) - 1.20).abs() < 6e-3);
    }

    #[test]
    fn t10_09_a_centred_face_mill() {
        // tutorbin.com, our evaluation: 12 x 2 in, D 3 in, 5 teeth, 250 fpm, 0.006: approach 0.382 in,
        // 1.30 min over 12 in and the approach, 1.56 min with 0.5 in and 2 in of overtravel.
        let approach = face_approach(Length::inch(2.0), Length::inch(3.0));
        assert!((approach.to_inch() - 0.38197).abs() < 5e-6);
        let feed = Speed::inch_min(250.0 * 12.0 / (std::f64::consts::PI * 3.0) * 5.0 * 0.006);
        let t = |beside: Length| pass_time(Length::inch(12.0), beside, feed).to_minutes();
        assert!((t(approach) - 1.2966).abs() < 5e-5);
        // The wording of the overtravel leaves its reading open: 0.5 + 2 in, plus the approach.
        assert!((t(approach + Length::inch(2.5)) - 1.5584).abs() < 5e-5);
    }
}
