//! The volume at which making begins to pay.

/// Where two ways of getting the same pieces cost the same.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum BreakEven {
    /// The one with the higher fixed cost is cheaper above this number of pieces.
    At(f64),
    /// The first is never dearer.
    FirstAlways,
    /// The second is never dearer.
    SecondAlways,
}

/// Compares two ways, each a fixed cost and a cost a piece.
pub fn break_even(first: (f64, f64), second: (f64, f64)) -> BreakEven {
    let (fixed, each) = (first.0 - second.0, second.1 - first.1);
    // Cost of the first less the second: fixed - each * pieces.
    if fixed <= 0.0 && each >= 0.0 {
        BreakEven::FirstAlways
    } else if fixed >= 0.0 && each <= 0.0 {
        BreakEven::SecondAlways
    } else {
        BreakEven::At(fixed / each)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn published_make_or_buy_items() {
        // Make 80,000 + 9 Q or buy 10,000 + 16 Q (qammunity.org 6325901): 10,000 pieces.
        assert_eq!(
            break_even((80e3, 9.0), (10e3, 16.0)),
            BreakEven::At(10_000.0)
        );
        // 5 M + 3 x against 3 M + 6 x (coursehero 8361395): 666,667 units.
        let BreakEven::At(units) = break_even((5e6, 3.0), (3e6, 6.0)) else {
            panic!("no volume")
        };
        assert_eq!(units.round(), 666_667.0);
        assert_eq!(break_even((1.0, 1.0), (2.0, 2.0)), BreakEven::FirstAlways);
        assert_eq!(break_even((2.0, 2.0), (1.0, 2.0)), BreakEven::SecondAlways);
    }
}
