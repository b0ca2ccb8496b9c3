//! Where the tool's centre must go, and how many clampings that takes.

use crate::demand::{Setup, TaskKind};
use units::Length;

/// Clampings there can be along X: shifted along the table, each end may stand over.
pub(crate) const MOST_ALONG_X: u32 = 3;
/// Clampings there can be along Y: one, then turned round; a middle strip would have to pass under
/// the column.
pub(crate) const MOST_ALONG_Y: u32 = 2;

/// Travel of the tool's centre along X and Y that a setup asks for, as it lies. Outlines and faces
/// are run off by the cutter's radius at both ends; a face is fed along the longer side. Where the
/// places of holes and pockets are not known they may be anywhere on the part.
pub fn tool_centre_travel(setup: &Setup) -> [Length; 2] {
    let [x, y, _] = setup.extent;
    let mut need = [Length::ZERO; 2];
    let mut take = |along_x: Length, along_y: Length| {
        need = [need[0].max(along_x), need[1].max(along_y)];
    };
    for task in &setup.tasks {
        let d = task.tool.diameter;
        if task.outside {
            take(x + d, y + d);
        } else if task.kind == TaskKind::Face {
            if x >= y {
                take(x + d, y);
            } else {
                take(x, y + d);
            }
        } else {
            take((x - d).max(Length::ZERO), (y - d).max(Length::ZERO));
        }
    }
    need
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
