//! The decision: rules, reasons, laws, ways out, questions.

mod case;
mod hours;
mod laws;
mod learned;
mod ranges;
mod rules;
mod value;
mod ways;
