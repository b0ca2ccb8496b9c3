//! Travel along an axis, and how many clampings it takes.

use super::turn::Region;
use crate::demand::Setup;
use units::{Angle, Length};

/// Clampings there can be along X: shifted along the table, each end may stand over.
pub(crate) const MOST_ALONG_X: u32 = 3;
/// Clampings there can be along Y: one, then turned round; a middle strip would have to pass under
/// the column.
pub(crate) const MOST_ALONG_Y: u32 = 2;

/// Travel of the tool's centre along X and Y that a setup asks for, as it lies.
pub fn tool_centre_travel(setup: &Setup) -> [Length; 2] {
    Region::of(setup).need(Angle::ZERO)
}

/// Clampings with a travel; `None` when more than `most` would be needed.
pub(super) fn clampings(need: Length, travel: Length, overlap: Length, most: u32) -> Option<u32> {
    (1..=most).find(|&n| need.fits(reach(travel, n, overlap)))
}

/// What `n` clampings reach together.
fn reach(travel: Length, n: u32, overlap: Length) -> Length {
    travel * f64::from(n) - overlap * f64::from(n - 1)
}

/// Least travel with which `n` clampings are enough.
pub(crate) fn least_travel(need: Length, n: u32, overlap: Length) -> Length {
    (need + overlap * f64::from(n - 1)) / f64::from(n)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn clampings_overlap() {
        let mm = Length::mm;
        // Two of 200 less 10 reach 390; three reach 580.
        assert_eq!(clampings(mm(200.0), mm(200.0), mm(10.0), 3), Some(1));
        assert_eq!(clampings(mm(390.0), mm(200.0), mm(10.0), 3), Some(2));
        assert_eq!(clampings(mm(391.0), mm(200.0), mm(10.0), 3), Some(3));
        assert_eq!(clampings(mm(391.0), mm(200.0), mm(10.0), 2), None);
        assert_eq!(clampings(mm(581.0), mm(200.0), mm(10.0), 3), None);
        assert_eq!(least_travel(mm(580.0), 3, mm(10.0)), mm(200.0));
    }
}
