//! What a solid's faces say to a machinist: holes, inside corners, and whether it is a milling job.
//!
//! [`face`] holds faces with their surfaces, exact from a STEP file or fitted to a plain triangle
//! mesh by [`fit`]. [`hole`], [`corner`] and [`job`] read them; [`thread`] knows tap drills.

pub mod corner;
pub mod face;
mod facet;
pub mod fit;
pub mod hole;
pub mod job;
mod line;
mod piece;
mod round;
pub mod thread;
