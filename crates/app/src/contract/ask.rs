//! The document of `ask`.

use super::Note;
use crate::commands::ask::First;
use engine::choice::Brief;
use engine::study::Answer;
use folder::{Asked, Evening};
use serde::Serialize;
use serde_json::{Map, Value, json};

/// The document.
#[derive(Debug, Serialize)]
pub struct Ask<'a> {
    schema: &'static str,
    currency: &'a str,
    answers: Map<String, Value>,
    ceilings: Vec<Value>,
    classes: Value,
    brief: &'a Brief,
    notes: Vec<Note>,
}

impl<'a> Ask<'a> {
    /// From the answers and what follows from them.
    pub fn new(evening: &Evening, first: &'a First, notes: Vec<Note>) -> Self {
        Self {
            schema: "firstchip.ask/1",
            currency: first.entered.shop.currency.code(),
            answers: Asked::ALL
                .into_iter()
                .map(|asked| (asked.key().to_owned(), json!(evening.given(asked))))
                .collect(),
            ceilings: ceilings(&first.answer),
            classes: json!(first.answer.classes),
            brief: &first.brief,
            notes,
        }
    }
}

/// Ceilings by class.
pub fn ceilings(answer: &Answer) -> Vec<Value> {
    answer
        .ceilings
        .iter()
        .map(|c| {
            json!({
                "class": c.class, "name": c.name, "condition": c.condition,
                "price": c.room.price, "low": c.room.low, "likely": c.room.likely,
                "high": c.room.high, "usual": c.usual, "besides": c.besides,
            })
        })
        .collect()
}
