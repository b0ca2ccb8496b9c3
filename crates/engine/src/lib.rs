//! The purchase computed: demand, capability, fit, time, money, choice. Pure functions from plain
//! values to values; no files, clock or network. Modules use only those listed before them (see
//! `ARCHITECTURE.md`; a test reads the `use` lines).

pub mod ids;

pub mod texts;

pub mod material;

pub mod demand;

pub mod machine;

pub mod entered;

pub mod resolve;

pub mod cutting;

pub mod fit;

pub mod cycle;

pub mod specification;

pub mod site;

pub mod money;

pub mod choice;

pub mod drawing;

pub mod study;
