//! The decision: rules, reasons, laws, ways out, questions.

mod case;
mod laws;
mod learned;
mod rules;
mod value;
mod ways;
