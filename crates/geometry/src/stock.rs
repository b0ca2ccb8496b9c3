//! The block a part is cut from.

use crate::oriented_box::OrientedBox;

/// A block of raw material around a part, aligned with the part's smallest box.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stock {
    /// Sizes, descending, mm.
    pub size_mm: [f64; 3],
}

impl Stock {
    /// The box of a part with `allowance_mm` more on every side.
    pub fn around(part: &OrientedBox, allowance_mm: f64) -> Stock {
        Stock {
            size_mm: part.extents.map(|e| e + 2.0 * allowance_mm),
        }
    }

    /// Volume of the block, mm^3.
    pub fn volume_mm3(&self) -> f64 {
        self.size_mm.iter().product()
    }

    /// What is cut away to leave a part of `part_volume_mm3`; never below zero.
    pub fn removed_mm3(&self, part_volume_mm3: f64) -> f64 {
        (self.volume_mm3() - part_volume_mm3).max(0.0)
    }
}
