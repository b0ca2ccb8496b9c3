//! Laws of the way in.

use super::{asked, load, plan};
use engine::site::route::ComesIn;
use proptest::prelude::*;

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    /// A smaller load or a wider door never turns a yes to a no, nor does less height.
    #[test]
    fn less_load_or_more_door_is_never_worse(
        length in 600.0..2400.0_f64, width in 500.0..1400.0_f64, height in 1900.0..2200.0_f64,
        less in 0.0..200.0_f64, wider in 0.0..300.0_f64,
    ) {
        let narrow = plan();
        let mut wide = plan();
        wide.doors[0].from.x -= wider;
        let before = asked(&narrow, &load(length, width, Some(height))).comes_in;
        let after = [
            asked(&narrow, &load(length - less, width - less, Some(height))).comes_in,
            asked(&narrow, &load(length, width, Some(height - less))).comes_in,
            asked(&wide, &load(length, width, Some(height))).comes_in,
        ];
        if before == ComesIn::Yes {
            prop_assert!(after.iter().all(|a| *a != ComesIn::No), "{after:?}");
        }
        if before != ComesIn::No {
            prop_assert!(after[1] != ComesIn::No);
        }
    }
}
