//! Clampings of a part: which way it lies, and where the part's frame then is.

use super::{Holding, Side, Task};
use glam::{DMat4, DVec3};
use units::Length;

/// One clamping of a part, with one tool approach direction.
#[derive(Clone, Debug, PartialEq)]
pub struct Setup {
    /// Unit vector from the part to the spindle, in the part's frame.
    pub toward: DVec3,
    /// Part frame to setup frame: +Z toward the spindle, origin at the lowest corner.
    pub setup_from_part: DMat4,
    /// Size in the setup's frame, stock included.
    pub extent: [Length; 3],
    /// Cutting, in order.
    pub tasks: Vec<Task>,
    /// How the part is held.
    pub holding: Holding,
    /// Share of the area that must be cut.
    pub area_share: f64,
}

impl Side {
    /// The side that lies on the table when this one is up.
    pub fn opposite(self) -> Side {
        match self {
            Side::Top => Side::Bottom,
            Side::Bottom => Side::Top,
            Side::Front => Side::Back,
            Side::Back => Side::Front,
            Side::Left => Side::Right,
            Side::Right => Side::Left,
        }
    }

    /// Axes of the block along the setup's X, Y and Z, and which of them point the other way.
    fn axes(self) -> ([usize; 3], [bool; 3]) {
        match self {
            Side::Top => ([0, 1, 2], [false, false, false]),
            Side::Bottom => ([0, 1, 2], [false, true, true]),
            Side::Front => ([0, 2, 1], [false, false, true]),
            Side::Back => ([0, 2, 1], [true, false, false]),
            Side::Right => ([1, 2, 0], [false, false, false]),
            Side::Left => ([1, 2, 0], [true, false, true]),
        }
    }
}

/// The setup that has `side` up, for stock of the given size lying with its lowest corner in the
/// origin of the part's frame.
pub(super) fn setup(side: Side, stock: [Length; 3], holding: Holding) -> Setup {
    let (axes, flipped) = side.axes();
    let mut rows = [[0.0; 3]; 3];
    let mut shift = DVec3::ZERO;
    for row in 0..3 {
        let sign = if flipped[row] { -1.0 } else { 1.0 };
        rows[row][axes[row]] = sign;
        if flipped[row] {
            shift[row] = stock[axes[row]].to_mm();
        }
    }
    let column = |c: usize| DVec3::new(rows[0][c], rows[1][c], rows[2][c]).extend(0.0);
    Setup {
        toward: DVec3::from_array(rows[2]),
        setup_from_part: DMat4::from_cols(column(0), column(1), column(2), shift.extend(1.0)),
        extent: axes.map(|a| stock[a]),
        tasks: Vec::new(),
        holding,
        area_share: 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_side_comes_up_by_a_turn_that_keeps_the_stock_above_the_table() {
        let stock = [Length::mm(100.0), Length::mm(60.0), Length::mm(20.0)];
        for (side, toward) in [
            (Side::Top, DVec3::Z),
            (Side::Bottom, -DVec3::Z),
            (Side::Front, -DVec3::Y),
            (Side::Back, DVec3::Y),
            (Side::Right, DVec3::X),
            (Side::Left, -DVec3::X),
        ] {
            let s = setup(side, stock, Holding::Vise);
            assert_eq!(s.toward, toward, "{side:?}");
            assert!(
                (s.setup_from_part.determinant() - 1.0).abs() < 1e-12,
                "{side:?}"
            );
            let up = s.setup_from_part.transform_vector3(toward);
            assert_eq!(up, DVec3::Z, "{side:?}");
            let (mut low, mut high) = (DVec3::INFINITY, DVec3::NEG_INFINITY);
            for corner in 0..8 {
                let p = DVec3::new(
                    f64::from(corner & 1) * 100.0,
                    f64::from(corner >> 1 & 1) * 60.0,
                    f64::from(corner >> 2 & 1) * 20.0,
                );
                let q = s.setup_from_part.transform_point3(p);
                low = low.min(q);
                high = high.max(q);
            }
            assert_eq!(low, DVec3::ZERO, "{side:?}");
            assert_eq!(high.to_array(), s.extent.map(|l| l.to_mm()), "{side:?}");
        }
    }
}
