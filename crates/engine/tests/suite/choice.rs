//! The decision: rules, reasons, laws, ways out, questions.

mod case;
mod hours;
mod laws;
mod learned;
mod rules;
mod value;
mod ways;
