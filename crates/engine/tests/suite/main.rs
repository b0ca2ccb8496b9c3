//! Laws and published checks of the engine.

mod choice;
mod finance;
mod money;
mod physics;
mod purchase;
mod shop;
mod worth;
