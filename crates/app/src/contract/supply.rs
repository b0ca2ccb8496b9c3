//! `firstchip.supply/1`.

use super::Note;
use engine::site::ELECTRICAL_CAUTION;
use engine::site::electrical::{Rules, Supply};
use serde::Serialize;
use serde_json::{Value, json};

/// The document.
#[derive(Debug, Serialize)]
pub struct SupplyDocument<'a> {
    schema: &'static str,
    rules: Rules,
    documents: &'static str,
    load_amps: Option<f64>,
    design_amps: Option<f64>,
    conductor: Option<&'a str>,
    conductors: Option<u8>,
    section_mm2: Option<f64>,
    ampacity_a: Option<f64>,
    terminals_c: Option<u8>,
    ground: Option<&'a str>,
    grown_for_drop: Option<bool>,
    breaker_a: Option<f64>,
    breaker_most_a: Option<f64>,
    disconnect_a: Option<f64>,
    drop_pct: Option<f64>,
    source_volts: Option<f64>,
    source_phases: Option<u8>,
    source_amps: Option<f64>,
    source_need_amps: Option<f64>,
    spare_amps: Option<f64>,
    converter: Option<Value>,
    choices: Value,
    transformer: Value,
    unbalance_pct: Option<f64>,
    unbalance_derating: Option<f64>,
    caution: &'static str,
    notes: Vec<Note>,
}

impl<'a> SupplyDocument<'a> {
    /// From an answer, or from none.
    pub fn new(
        rules: Rules,
        supply: Option<&'a Supply>,
        available_a: Option<f64>,
        unbalance: Option<(f64, Option<f64>)>,
        notes: Vec<Note>,
    ) -> Self {
        let machine = supply.map(|s| &s.machine);
        Self {
            schema: "firstchip.supply/1",
            rules,
            documents: rules.documents(),
            load_amps: supply.map(|s| s.load_amps),
            design_amps: supply.map(|s| s.design_amps),
            conductor: machine.map(|m| m.conductor.as_str()),
            conductors: machine.map(|m| m.wires),
            section_mm2: machine.map(|m| m.section_mm2),
            ampacity_a: machine.map(|m| m.ampacity_a),
            terminals_c: machine.map(|m| m.terminals_c),
            ground: machine.and_then(|m| m.ground.as_deref()),
            grown_for_drop: machine.map(|m| m.grown_for_drop),
            breaker_a: machine.map(|m| m.breaker_a),
            breaker_most_a: supply.and_then(|s| s.breaker_most_a),
            disconnect_a: supply.and_then(|s| s.disconnect_a),
            drop_pct: machine.and_then(|m| m.drop_pct),
            source_volts: supply.map(|s| s.source_volts),
            source_phases: supply.map(|s| s.source_phases.count()),
            source_amps: supply.map(|s| s.source_amps),
            source_need_amps: supply.map(|s| s.source_need_amps),
            spare_amps: supply
                .zip(available_a)
                .map(|(s, available)| available - s.source_need_amps),
            converter: supply.and_then(converter),
            choices: supply.map_or(json!([]), |s| json!(s.choices)),
            transformer: supply.map_or(Value::Null, |s| json!(s.transformer)),
            unbalance_pct: unbalance.map(|(share, _)| 100.0 * share),
            unbalance_derating: unbalance.and_then(|(_, derating)| derating),
            caution: ELECTRICAL_CAUTION,
            notes,
        }
    }
}

/// The converter taken with the wiring that feeds it.
fn converter(supply: &Supply) -> Option<Value> {
    let mut value = json!(supply.converter.as_ref()?);
    if let (Some(source), Some(object)) = (&supply.source, value.as_object_mut()) {
        object.insert("conductor".to_owned(), json!(source.conductor));
        object.insert("breaker_a".to_owned(), json!(source.breaker_a));
        object.insert("drop_pct".to_owned(), json!(source.drop_pct));
        object.insert("circuit".to_owned(), json!(source));
    }
    Some(value)
}
