//! Laws and published checks of the engine.

mod choice;
mod finance;
mod money;
mod own_tools;
mod physics;
mod purchase;
mod purchase_stopped;
mod recorded;
mod risks;
mod route;
mod shop;
mod works;
mod worth;
