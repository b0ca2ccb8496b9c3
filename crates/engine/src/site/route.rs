//! The way in: a load with its carrier, seen from above, from the truck to the spot, turned as
//! needed, past everything that is solid for its height and weight.
//!
//! The answer is yes only with a way that was checked as a motion, and no only when no chain of
//! poses that might be free leads there; between both it is undecided, and the sizes between which
//! that is so are told.

mod carrier;
mod case;
mod driven;
mod flood;
mod guide;
mod helps;
mod largest;
mod lattice;
mod motion;
mod planner;
mod search;
mod shape;
mod solids;
mod way_in;

pub use carrier::Carried;
pub use driven::{Drive, driven, steps};
pub use helps::{ComesOff, Help, Step, StepKind};
pub use largest::{Largest, largest};
pub use lattice::{Bound, Lattice};
pub use motion::{Tightest, between, clear, shortened, tightest};
pub use planner::{Answer, Decision, Fineness, Floor, decide, resolution};
pub use shape::{
    Body, HalfPlane, Pose, Rect, Segment, contains, doubled_area, edges, half_planes, is_convex,
};
pub use solids::{Burden, Solids, Thing, solids};
pub use way_in::{ComesIn, Effort, Load, Sticks, WayIn, way_in};
