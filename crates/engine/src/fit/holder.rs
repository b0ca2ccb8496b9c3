//! What holds tools in a spindle: gauge lengths and largest tools by taper.

use crate::machine::{Machine, Taper};
use units::{Length, Mass};

/// Holders of a taper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Holders {
    /// Gauge length (nose face to holder end) of the shortest usual holder.
    pub shortest: Length,
    /// Of the usual collet holder.
    pub usual: Length,
    /// Of the longest usual extension.
    pub longest: Length,
    /// Largest shank of an end mill.
    pub shank: Length,
    /// Largest face mill.
    pub face_mill: Length,
    /// Mass of a holder without its tool.
    pub mass: Mass,
}

/// Usual gauge length where the taper is not stated: the longest of the table, so that the
/// unstated taper never helps.
const LONGEST_USUAL: Length = Length::mm(100.0);
/// The least gauge length a spindle of unstated taper could have.
const SHORTEST_USUAL: Length = Length::mm(30.0);

/// Holders of a taper (common practice, no source, but for these: collet holders of 60 to 100 mm
/// for 30 taper and 61 to 102 mm for 40, end-mill holders from 44 mm, R8 collet chucks 50 to 63 mm
/// beyond the nose, from memory; ER20 grips up to 13 mm and ER32 up to 20 mm,
/// industrialmonitordirect.com; a flange of 46 mm across for BT30 and 63 for BT40, MAS 403).
pub fn holders(taper: &Taper) -> Holders {
    let of = |shortest, usual, longest, shank, face, kg| Holders {
        shortest: Length::mm(shortest),
        usual: Length::mm(usual),
        longest: Length::mm(longest),
        shank: Length::mm(shank),
        face_mill: Length::mm(face),
        mass: Mass::kg(kg),
    };
    match (taper.family(), taper.steep_size(), taper.size()) {
        (_, Some(..=25), _) => of(35.0, 45.0, 70.0, 13.0, 40.0, 0.3),
        (_, Some(..=30), _) => of(45.0, 60.0, 100.0, 20.0, 63.0, 0.6),
        (_, Some(..=40), _) => of(45.0, 75.0, 150.0, 32.0, 125.0, 1.3),
        (_, Some(_), _) => of(70.0, 100.0, 200.0, 50.0, 200.0, 3.8),
        // Collets drawn into the spindle; longer tools go into a chuck beyond the nose.
        ("R8", ..) => of(30.0, 30.0, 63.0, 20.0, 76.2, 0.5),
        ("MT", ..) => of(30.0, 30.0, 63.0, 20.0, 80.0, 0.5),
        // The spindle is a collet chuck itself: it grips up to its size in sixteenths less a little.
        ("ER", _, Some(size)) => of(
            30.0,
            30.0,
            30.0,
            (0.65 * f64::from(size)).min(26.0),
            50.0,
            0.0,
        ),
        ("ER", ..) => of(30.0, 30.0, 30.0, 20.0, 80.0, 0.0),
        ("TTS", ..) => of(40.0, 50.0, 75.0, 13.0, 50.0, 0.3),
        (_, _, Some(..=40)) => of(45.0, 60.0, 100.0, 20.0, 80.0, 0.6),
        _ => of(60.0, 75.0, 130.0, 20.0, 80.0, 1.0),
    }
}

/// Gauge lengths [shortest, usual] of a machine's holders.
pub(super) fn gauges(machine: &Machine) -> [Length; 2] {
    match &machine.taper {
        Some(taper) => {
            let own = holders(taper);
            [own.shortest, own.usual]
        }
        None => [SHORTEST_USUAL, LONGEST_USUAL],
    }
}
