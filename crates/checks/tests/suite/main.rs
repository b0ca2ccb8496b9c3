//! Checks of the house itself.

mod direction;
mod route_rooms;
mod tips;
