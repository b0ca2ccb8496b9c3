//! Tools any shop can buy, and which of them a task would take.

use super::{ToolNeed, ToolShape};
use units::Length;

/// Diameters end mills are sold in (ISO 1641-1 preferred shanks and cutting diameters, from memory), mm.
const END_MILLS_MM: &[f64] = &[
    1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0,
];

/// Face mills a small shop owns when none is stated (common practice, no source), mm.
const FACE_MILLS_MM: &[f64] = &[16.0, 25.0, 32.0, 40.0, 50.0];

fn largest(series_mm: &[f64], limit: Length) -> Option<Length> {
    series_mm
        .iter()
        .rev()
        .map(|&d| Length::mm(d))
        .find(|d| d.fits(limit))
}

/// The largest end mill sold that is no wider than `limit`; a special one of that size below the
/// series.
pub(super) fn end_mill(limit: Length) -> Length {
    largest(END_MILLS_MM, limit).unwrap_or(limit.max(Length::mm(0.1)))
}

/// The face mill for a face of this width.
pub(super) fn face_mill(width: Length) -> Length {
    largest(FACE_MILLS_MM, width).unwrap_or(Length::mm(FACE_MILLS_MM[0]))
}

/// A tool with square corners.
pub(super) fn plain(shape: ToolShape, diameter: Length, reach: Length) -> ToolNeed {
    ToolNeed {
        shape,
        diameter,
        corner: Length::ZERO,
        reach,
    }
}
