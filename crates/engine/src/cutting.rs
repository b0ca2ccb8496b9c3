//! What cutting takes: materials, power, torque, force, bend and chatter; what a spindle gives; and
//! the best feasible cut of a task on a machine.

mod axes;
mod best;
mod boring;
mod chip;
mod deflection;
mod drilling;
mod engage;
mod force;
mod grip;
mod hole;
mod limits;
mod milling;
mod single;
mod speeds;
mod spindle;
mod stability;
mod stiffness;
mod surely;
mod tap;
mod texts;
mod threading;
mod unit_power;

pub use crate::material::{IsoGroup, Material, Materials};
pub use axes::{acceleration, screw_speed, screw_thrust};
pub use best::{
    Binding, Cut, Refusal, Way, ample_cut, best_cut, best_cut_within, possible_cut,
    possible_cut_within,
};
pub use boring::{
    boring_feed_force, boring_power, boring_torque, reaming_torque, single_point_chip,
};
pub use chip::{
    Thinning, at_rake, engaged_angle, kienzle, largest_chip, mean_chip, mean_chip_of_light_cut,
    specific_force, specific_force_band, tap_force,
};
pub use deflection::{
    CARBIDE, FLUTED_SHARE, HIGH_SPEED_STEEL, Step, bar_stiffness, end_mill_deflection,
    tip_deflection,
};
pub use drilling::{
    DrillLoad, HandbookDrill, USUAL_POINT, by_handbook, by_material_factor, by_specific_force,
    drilling_power, drilling_thrust, drilling_torque, handbook_factors, lip_chip,
    power_by_material_factor,
};
pub use force::{milling_power, milling_removal, tangential_force, turning_removal};
pub use hole::least_drilling_torque;
pub use limits::Limits;
pub use single::{Bore, Drill, ForceOf, Method, Mill, Single, Tap, Turning};
pub use speeds::{
    cutting_speed, face_approach, feed_time, point_length, rpm_of, side_approach, table_feed,
};
pub use spindle::{EFFICIENCY, MOST_RANGES, Range, Spindle, SpindleBand, continuous_by_heating};
pub use stability::{Border, Lobes, Mode, best_speed, engaged_angles, turning_floor};
pub use stiffness::Stiffness;
pub use surely::LimitsBand;
pub(crate) use surely::{Taken, least as surely, taken};
pub use threading::{
    TapKind, engagement, forming_torque, hole_for_engagement, tap_drill, tapping_removal,
    tapping_torque, tapping_torque_by_section, thread_mill_centre_share,
};
pub use unit_power::{
    HandbookFactors, WEAR_DRILLING, WEAR_END_MILLING, WEAR_FACE_MILLING, feed_factor,
    force_of_unit_power, handbook_power, handbook_removal, unit_power,
};
