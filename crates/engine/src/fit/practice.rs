//! Shop habits a fit rests on: work-holding heights, holders, clearances. Each can be replaced.

use crate::demand::Holding;
use crate::machine::{Machine, Taper};
use units::{Length, Mass};

/// Height from the table to the underside of the work, and mass, of each way of holding.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HoldingHeights {
    /// Machine vise.
    pub vise: Length,
    /// Sub-plate or parallels with clamps.
    pub plate: Length,
    /// Chuck on the table.
    pub chuck: Length,
}

/// The habits.
#[derive(Clone, Debug, PartialEq)]
pub struct Practice {
    /// Heights of work holding.
    pub heights: HoldingHeights,
    /// Masses of work holding: vise, plate, chuck.
    pub masses: [Mass; 3],
    /// Free height over the work when a tool is changed or the part loaded.
    pub clearance: Length,
    /// Gauge length of every holder; `None` takes it by taper.
    pub gauge_length: Option<Length>,
    /// Tools stand out by their reach and this much more.
    pub stick_out_margin: Length,
    /// Least stick-out of any tool.
    pub stick_out_least: Length,
    /// Overlap of two clampings.
    pub overlap: Length,
    /// Stock below this weight is held without the vise if the table is weak, so that the table's
    /// load never decides.
    pub light_stock: Mass,
    /// Tolerances (full width) at least this wide ask nothing of the machine.
    pub ordinary_tolerance: Length,
    /// Positioning accuracy needed, as a share of the full tolerance.
    pub accuracy_share: f64,
}

impl Default for Practice {
    /// Common practice, no source, unless a line says otherwise.
    fn default() -> Self {
        Self {
            heights: HoldingHeights {
                // A 6 in vise: bed 73 to 76 mm (3 in) high, parallels 25 mm.
                vise: Length::mm(100.0),
                // A tooling plate, 1 in.
                plate: Length::mm(25.0),
                // A 200 mm chuck with its back plate.
                chuck: Length::mm(110.0),
            },
            masses: [Mass::kg(35.0), Mass::kg(20.0), Mass::kg(30.0)],
            clearance: Length::mm(25.0),
            gauge_length: None,
            stick_out_margin: Length::mm(5.0),
            stick_out_least: Length::mm(25.0),
            overlap: Length::mm(10.0),
            light_stock: Mass::kg(10.0),
            ordinary_tolerance: Length::mm(0.1),
            accuracy_share: 0.5,
        }
    }
}

impl Practice {
    /// Height of a way of holding.
    pub fn height(&self, holding: Holding) -> Length {
        match holding {
            Holding::Vise => self.heights.vise,
            Holding::Plate => self.heights.plate,
            Holding::Chuck => self.heights.chuck,
        }
    }

    /// Mass of a way of holding.
    pub fn mass(&self, holding: Holding) -> Mass {
        match holding {
            Holding::Vise => self.masses[0],
            Holding::Plate => self.masses[1],
            Holding::Chuck => self.masses[2],
        }
    }

    /// Gauge length of this machine's holders: by its taper; when the seller did not state it, the
    /// longest of the table, so that the unstated taper never helps.
    pub fn gauge(&self, machine: &Machine) -> Length {
        self.gauge_length
            .unwrap_or_else(|| machine.taper.as_ref().map_or(LONGEST_GAUGE, gauge_of))
    }

    /// The same with the shortest holder the unstated taper could have.
    pub(crate) fn shortest_gauge(&self, machine: &Machine) -> Length {
        self.gauge_length
            .unwrap_or_else(|| machine.taper.as_ref().map_or(SHORTEST_GAUGE, gauge_of))
    }

    /// How far a tool of this reach stands out of its holder.
    pub fn stick_out(&self, reach: Length) -> Length {
        (reach + self.stick_out_margin).max(self.stick_out_least)
    }
}

/// Gauge lengths of the usual collet holder, nose face to holder end (common practice, no source;
/// makers' standard collet holders come in 60 and 70 mm for 30 taper, 70 and 100 for 40, 100 for 50).
const LONGEST_GAUGE: Length = Length::mm(100.0);
const SHORTEST_GAUGE: Length = Length::mm(30.0);

fn gauge_of(taper: &Taper) -> Length {
    match (taper.family(), taper.steep_size(), taper.size()) {
        (_, Some(..=25), _) => Length::mm(45.0),
        (_, Some(..=30), _) => Length::mm(60.0),
        (_, Some(..=40), _) => Length::mm(75.0),
        (_, Some(_), _) => LONGEST_GAUGE,
        // Collets drawn into the spindle, and spindles that are a collet chuck themselves.
        ("R8" | "ER" | "MT", ..) => SHORTEST_GAUGE,
        ("TTS", ..) => Length::mm(50.0),
        (_, _, Some(..=40)) => Length::mm(60.0),
        _ => Length::mm(75.0),
    }
}

/// Largest shank or arbor cutter a taper is good for (common practice, no source): largest end mill
/// shank and largest face mill.
pub(super) fn largest_tools(taper: &Taper) -> (Length, Length) {
    let mm = |shank, face| (Length::mm(shank), Length::mm(face));
    match (taper.family(), taper.steep_size(), taper.size()) {
        (_, Some(..=25), _) => mm(13.0, 40.0),
        (_, Some(..=30), _) => mm(20.0, 63.0),
        (_, Some(..=40), _) => mm(32.0, 125.0),
        (_, Some(_), _) => mm(50.0, 200.0),
        ("R8", ..) => mm(20.0, 76.2),
        ("TTS", ..) => mm(13.0, 50.0),
        // ER collets grip up to their size in sixteenths less a little: ER20 to 13 mm, ER32 to 20.
        ("ER", _, Some(size)) => mm((0.65 * f64::from(size)).min(26.0), 50.0),
        _ => mm(20.0, 80.0),
    }
}
