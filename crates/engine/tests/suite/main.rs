//! Laws and published checks of the engine.

mod choice;
mod money;
mod shop;
mod worth;
