//! `firstchip.route/1`.

use super::Note;
use engine::site::route::WayIn;
use serde::Serialize;
use serde_json::{Value, json};

/// The document.
#[derive(Debug, Serialize)]
pub struct Route {
    schema: &'static str,
    #[serde(flatten)]
    answer: Value,
    notes: Vec<Note>,
}

impl Route {
    /// From an answer.
    pub fn new(way_in: &WayIn, notes: Vec<Note>) -> Self {
        Self {
            schema: "firstchip.route/1",
            answer: route(way_in),
            notes,
        }
    }
}

/// The keys of a way in, shared by `route` and `study`.
pub fn route(way_in: &WayIn) -> Value {
    let size = |sides: Option<[f64; 2]>| {
        sides.map(|[length, width]| json!({ "length_mm": length, "width_mm": width }))
    };
    json!({
        "goes_in": way_in.comes_in,
        "length_m": way_in.length_mm.map(|mm| mm / 1000.0),
        "turned_deg": way_in.turned_deg,
        "tightest_mm": way_in.tightest_mm,
        "tightest_at": way_in.tightest_at,
        "sticks_at": way_in.sticks.as_ref().map(|s| s.at),
        "sticks": way_in.sticks,
        "largest": size(way_in.largest_mm),
        "fails": size(way_in.fails_mm),
        "resolution_mm": way_in.resolution_mm,
        "clearance_mm": way_in.clearance_mm,
        "way": way_in.way,
        "shunts_at": way_in.shunts_at,
        "driven": way_in.driven,
        "with_works": way_in.with_works().map(|help| json!({
            "what": help.what, "steps": help.steps,
        })),
        "ask": way_in.ask,
        "helps": way_in.helps,
    })
}
