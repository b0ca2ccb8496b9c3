//! Lengths as they stand beside dimension lines.

use units::Length;

/// In the reader's system: whole millimetres (tenths below ten), or hundredths of an inch.
pub(super) fn length_text(length: Length, us_units: bool) -> String {
    if us_units {
        return format!("{:.2} in", length.to_inch());
    }
    let mm = length.to_mm();
    if mm.abs() < 10.0 && (mm * 10.0).round() != 0.0 {
        format!("{mm:.1} mm")
    } else {
        format!("{:.0} mm", mm + 0.0)
    }
}
