//! Shop habits a fit rests on: work holding, holders, clearances, what mends cost. Each can be
//! replaced.

use super::holder::gauges;
use super::{Habits, Held};
use crate::demand::{Demand, Holding};
use crate::machine::Machine;
use units::{Length, Mass, Time};

/// Height from the table to the underside of the work of each way of holding.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HoldingHeights {
    /// Machine vise with parallels.
    pub vise: Length,
    /// A lower vise, or the same one without parallels.
    pub low_vise: Length,
    /// Steps cut into soft jaws.
    pub soft_jaws: Length,
    /// Sub-plate or parallels with clamps.
    pub plate: Length,
    /// Chuck on the table.
    pub chuck: Length,
}

/// Parts side by side in one loading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rows {
    /// Room a vise takes along X.
    pub vise_width: Length,
    /// Room a chuck takes along X.
    pub chuck_width: Length,
    /// Free room between parts on a plate.
    pub gap: Length,
    /// Width of a square post on the rotary axis.
    pub post: Length,
}

/// A rotary axis standing on the table, its axis along X.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rotary {
    /// Height of its axis above the table.
    pub centre: Length,
    /// Room it takes along X beside the work, tailstock included.
    pub length: Length,
    /// Free height that must be left under the turning work.
    pub clear: Length,
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
    /// Stock above this weight is not carried through the machine's door by hand: 25 kg, as the
    /// guideline of the UK's HSE for a man lifting near the waist (from memory).
    pub carried_stock: Mass,
    /// Parts side by side.
    pub rows: Rows,
    /// A 4th axis.
    pub rotary: Rotary,
    /// Errors that add to the machine's own.
    pub errors: super::budget::Errors,
    /// What mends cost.
    pub mends: MendTimes,
    /// Times of loading, setting up and what is done beside cutting.
    pub habits: Habits,
}

/// Time mends take (common practice, no source).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MendTimes {
    /// One more clamping of a part whose vise or clamps stand ready.
    pub clamping: Time,
    /// Finding the datum again after it, by edge finder and indicator.
    pub pick_up: Time,
    /// The same by a touch probe.
    pub pick_up_probe: Time,
    /// Setting something else under the work, once a batch: another vise, a riser.
    pub other_holding: Time,
    /// Turning the vise or plate to an angle, once a batch.
    pub angle: Time,
    /// Propping up what stands far over the table, each clamping.
    pub prop: Time,
    /// Clamping flat on a plate instead of in the vise, each piece.
    pub clamps: Time,
    /// Another holder for a tool and measuring it, once a batch.
    pub holder: Time,
    /// Measuring in the machine and correcting, each piece.
    pub measure: Time,
    /// Drilling a hole on a drill press, each hole.
    pub drill_press: Time,
    /// Tapping a hole by hand, each hole.
    pub hand_tap: Time,
    /// Putting a tool into the spindle by hand.
    pub hand_change: Time,
    /// Having a batch made outside: ordering, sending, checking in.
    pub outside: Time,
}

impl Default for Practice {
    /// Common practice, no source, unless a line says otherwise.
    fn default() -> Self {
        Self {
            heights: HoldingHeights {
                // A 6 in vise: bed 71 to 75 mm high (from memory), parallels 25 mm.
                vise: Length::mm(100.0),
                // A 4 in vise: bed 56 to 66 mm (from memory).
                low_vise: Length::mm(65.0),
                // Bed 73 mm, jaws 43 mm, a step of 6 mm cut into them.
                soft_jaws: Length::mm(110.0),
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
            carried_stock: Mass::kg(25.0),
            rows: Rows {
                // A 6 in vise and room for its handle.
                vise_width: Length::mm(180.0),
                chuck_width: Length::mm(220.0),
                gap: Length::mm(20.0),
                post: Length::mm(100.0),
            },
            rotary: Rotary {
                // A 6 in rotary table standing upright.
                centre: Length::mm(125.0),
                length: Length::mm(250.0),
                clear: Length::mm(10.0),
            },
            errors: super::budget::Errors::default(),
            mends: MendTimes::default(),
            habits: Habits::default(),
        }
    }
}

impl Default for MendTimes {
    fn default() -> Self {
        Self {
            clamping: Time::minutes(4.0),
            pick_up: Time::minutes(4.0),
            pick_up_probe: Time::minutes(1.0),
            other_holding: Time::minutes(10.0),
            angle: Time::minutes(10.0),
            prop: Time::minutes(2.0),
            clamps: Time::minutes(3.0),
            holder: Time::minutes(3.0),
            measure: Time::minutes(6.0),
            drill_press: Time::minutes(2.0),
            hand_tap: Time::minutes(2.0),
            hand_change: Time::s(45.0),
            outside: Time::minutes(45.0),
        }
    }
}

impl MendTimes {
    /// One more clamping on this machine, the datum found again.
    pub fn clamp_again(&self, machine: &Machine) -> Time {
        self.clamping + self.pick_up_on(machine)
    }

    /// Finding a datum on this machine.
    pub fn pick_up_on(&self, machine: &Machine) -> Time {
        let probe = machine.properties.probe.stated();
        if probe.is_some_and(|n| n.to_number() > 0.0) {
            self.pick_up_probe
        } else {
            self.pick_up
        }
    }
}

/// What something done once a batch costs each piece.
pub(super) fn share(time: Time, demand: &Demand) -> Time {
    time / demand.batch.to_number().max(1.0)
}

impl Practice {
    /// Height of the usual way of holding.
    pub fn height(&self, holding: Holding) -> Length {
        self.height_of(Held::usual(holding))
    }

    /// Height of a way of holding from the table to the work's underside. On a rotary axis the
    /// work's own height decides; this is its axis.
    pub fn height_of(&self, held: Held) -> Length {
        match held {
            Held::Vise => self.heights.vise,
            Held::LowVise => self.heights.low_vise,
            Held::SoftJaws => self.heights.soft_jaws,
            Held::Plate => self.heights.plate,
            Held::Chuck => self.heights.chuck,
            Held::Rotary => self.rotary.centre,
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
        self.gauge_length.unwrap_or_else(|| gauges(machine)[1])
    }

    /// The same with the usual holder of the shortest taper the unstated one could be.
    pub(crate) fn shortest_gauge(&self, machine: &Machine) -> Length {
        self.gauge_length.unwrap_or_else(|| {
            let [shortest, usual] = gauges(machine);
            if machine.taper.is_none() {
                shortest
            } else {
                usual
            }
        })
    }

    /// Gauge length of the stubbiest holder of this machine's taper.
    pub(super) fn stub_gauge(&self, machine: &Machine) -> Length {
        self.gauge_length.unwrap_or_else(|| gauges(machine)[0])
    }

    /// How far a tool of this reach stands out of its holder.
    pub fn stick_out(&self, reach: Length) -> Length {
        (reach + self.stick_out_margin).max(self.stick_out_least)
    }
}
