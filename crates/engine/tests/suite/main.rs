//! What the engine promises, checked from outside.

mod physics;
//! Laws and published checks of the engine.

mod choice;
mod money;
mod shop;
