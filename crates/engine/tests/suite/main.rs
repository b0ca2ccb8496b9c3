//! Laws and published checks of the engine.

mod choice;
mod money;
mod physics;
mod route;
mod shop;
mod worth;
