//! The single-line electrical diagram: supply, panel breaker, wiring, converter, transformer,
//! disconnect, machine, each with its size. Symbols of the rules followed: those of North American
//! practice with NEC, of IEC 60617 elsewhere (both from memory). Not to scale.

use super::electric_symbols as symbol;
use super::scene::{Anchor, Item, Scene, Stroke};
use super::texts;
use crate::site::converter::{Choice, Kind};
use crate::site::electrical::{Circuit, Phases, Rules, Supply};
use units::{Length, System, show};

/// What is drawn.
#[derive(Clone, Debug)]
pub struct SingleLine<'a> {
    /// Name, unique on the page.
    pub id: &'a str,
    /// Machine as people call it.
    pub machine: &'a str,
    /// Sizes.
    pub supply: &'a Supply,
    /// Run from the panel, where known.
    pub run: Option<Length>,
    /// What the panel can still give before the machine, where known.
    pub available_a: Option<f64>,
    /// Feet instead of metres.
    pub us_units: bool,
    /// What it must not be taken for.
    pub caution: &'a str,
}

const WIDTH: f64 = 190.0;
const TOP: f64 = 20.0;
/// The line, and where the words begin.
const LINE_X: f64 = 24.0;
const TEXT_X: f64 = 46.0;
const TEXT: f64 = 3.0;
const LEADING: f64 = 4.4;
/// Letters that fit between the words' left edge and the sheet's right one.
const LETTERS: usize = 78;

/// One element of the line.
struct Element {
    symbol: symbol::Symbol,
    head: String,
    details: Vec<String>,
    /// Bold red words for what is short.
    short: Option<String>,
}

/// Draws it.
pub fn single_line(drawing: &SingleLine<'_>) -> Scene {
    let elements = elements(drawing);
    let caution = wrapped(drawing.caution, LETTERS + 20);
    let rows: f64 = elements.iter().map(height).sum();
    let mut scene = Scene {
        id: drawing.id.to_owned(),
        title: texts::single_line_title(drawing.machine),
        description: description(&elements),
        width_mm: WIDTH,
        height_mm: TOP + rows + LEADING * caution.len() as f64 + 8.0,
        items: Vec::new(),
    };
    title(&mut scene, drawing);
    let mut y = TOP;
    let last = elements.len().saturating_sub(1);
    for (at, element) in elements.iter().enumerate() {
        let tall = height(element);
        let middle = y + 0.5 * tall;
        let half = element.symbol.half_height();
        if at > 0 {
            scene.line([LINE_X, y], [LINE_X, middle - half], Stroke::Outline);
        }
        if at < last {
            scene.line([LINE_X, middle + half], [LINE_X, y + tall], Stroke::Outline);
        }
        symbol::draw(&mut scene, element.symbol, [LINE_X, middle]);
        words(&mut scene, element, middle);
        y += tall;
    }
    scene.line([6.0, y + 1.0], [WIDTH - 6.0, y + 1.0], Stroke::Thin);
    for (row, line) in caution.iter().enumerate() {
        let at = [6.0, y + 6.0 + LEADING * row as f64];
        scene.text(at, line.clone(), TEXT, Anchor::Start);
    }
    scene
}

fn title(scene: &mut Scene, drawing: &SingleLine<'_>) {
    scene.items.push(Item::Text {
        at: [6.0, 9.0],
        text: super::words::shortened(&scene.title, 62),
        size_mm: 4.6,
        anchor: Anchor::Start,
        bold: true,
        short: false,
    });
    let note = match drawing.supply.rules {
        Rules::Nec => texts::SINGLE_LINE_NEC,
        Rules::Iec => texts::SINGLE_LINE_IEC,
    };
    scene.text([6.0, 15.0], note, TEXT, Anchor::Start);
}

fn height(element: &Element) -> f64 {
    let lines = 1 + element.details.len() + usize::from(element.short.is_some());
    (LEADING * lines as f64 + 5.0).max(2.0 * element.symbol.half_height() + 4.0)
}

fn words(scene: &mut Scene, element: &Element, middle: f64) {
    let lines = 1 + element.details.len() + usize::from(element.short.is_some());
    // The block of words is centred on the symbol; 0.35 of a letter brings a base line to its middle.
    let mut y = middle - 0.5 * LEADING * (lines as f64 - 1.0) + 0.35 * TEXT;
    let mut write = |text: &str, bold: bool, short: bool| {
        scene.items.push(Item::Text {
            at: [TEXT_X, y],
            text: text.to_owned(),
            size_mm: TEXT,
            anchor: Anchor::Start,
            bold,
            short,
        });
        y += LEADING;
    };
    write(&element.head, true, false);
    for line in &element.details {
        write(line, false, false);
    }
    if let Some(short) = &element.short {
        write(short, true, true);
    }
}

fn elements(drawing: &SingleLine<'_>) -> Vec<Element> {
    let supply = drawing.supply;
    let rules = supply.rules;
    let mut list = vec![source(drawing)];
    let first = supply.source.as_ref().unwrap_or(&supply.machine);
    list.push(breaker(rules, first, texts::AT_THE_PANEL));
    list.push(cable(drawing, first));
    let kind = supply.converter.as_ref().map(|c| c.kind);
    // Nothing may open between a running drive and its motor, so the disconnect stands ahead of it.
    let drive = kind == Some(Kind::Vfd);
    if drive {
        list.push(disconnect(supply));
    }
    if let Some(converter) = supply
        .converter
        .as_ref()
        .filter(|c| c.kind != Kind::Utility)
    {
        list.push(convert(converter));
    }
    if let Some(t) = &supply.transformer {
        let size = t
            .kva
            .map_or_else(String::new, |kva| format!("{} kVA, ", number(kva)));
        list.push(Element {
            symbol: match rules {
                Rules::Nec => symbol::Symbol::Windings,
                Rules::Iec => symbol::Symbol::Circles,
            },
            head: format!(
                "Transformer {size}{} : {} V",
                number(t.primary_volts),
                number(t.secondary_volts)
            ),
            details: vec![texts::tap(t.tap_pct, t.output_volts)],
            short: None,
        });
    }
    if supply.source.is_some() {
        if !drive {
            list.push(breaker(rules, &supply.machine, texts::AHEAD_OF_MACHINE));
        }
        list.push(cable(drawing, &supply.machine));
    }
    if !drive {
        list.push(disconnect(supply));
    }
    list.push(machine(drawing));
    list
}

fn convert(converter: &Choice) -> Element {
    let size = match (
        converter.rating_hp,
        converter.rating_kva,
        converter.rating_amps,
    ) {
        (Some(hp), _, _) => format!("{} hp ({} kW)", number(hp), number(hp * 0.745_7)),
        (_, Some(kva), _) => format!("{} kVA", number(kva)),
        (_, _, Some(amps)) => format!("{} A", number(amps)),
        _ => String::new(),
    };
    Element {
        symbol: symbol::Symbol::Converter,
        head: texts::converter(converter.kind, &size),
        details: wrapped(&texts::converter_draws(converter.input_amps), LETTERS)
            .into_iter()
            .chain(wrapped(converter.regeneration, LETTERS))
            .collect(),
        short: None,
    }
}

fn disconnect(supply: &Supply) -> Element {
    Element {
        symbol: match supply.rules {
            Rules::Nec => symbol::Symbol::Switch,
            Rules::Iec => symbol::Symbol::Isolator,
        },
        head: match supply.disconnect_a {
            Some(amps) => format!("Disconnect {} A, lockable", number(amps)),
            None => "Disconnect: larger than standard ratings".to_owned(),
        },
        details: vec![texts::IN_SIGHT.to_owned()],
        short: None,
    }
}

fn source(drawing: &SingleLine<'_>) -> Element {
    let s = drawing.supply;
    let mut details = vec![format!(
        "draws {} A at full load; the supply must be able to give {} A",
        number(s.source_amps),
        number(s.source_need_amps)
    )];
    let mut short = None;
    if let Some(available) = drawing.available_a {
        let spare = available - s.source_need_amps;
        if spare < 0.0 {
            short = Some(format!(
                "TOO SMALL by {} A: {} A can still be given",
                number(-spare),
                number(available)
            ));
        } else {
            details.push(format!(
                "{} A can still be given, {} A to spare",
                number(available),
                number(spare)
            ));
        }
    }
    Element {
        symbol: symbol::Symbol::Source,
        head: format!(
            "{} {} V, {}",
            match s.converter.as_ref().map(|c| c.kind) {
                Some(Kind::Utility) => "New utility service",
                _ => "Supply",
            },
            number(s.source_volts),
            phases(s.source_phases)
        ),
        details,
        short,
    }
}

fn breaker(rules: Rules, circuit: &Circuit, place: &str) -> Element {
    Element {
        symbol: match rules {
            Rules::Nec => symbol::Symbol::BreakerArc,
            Rules::Iec => symbol::Symbol::BreakerCross,
        },
        head: format!(
            "Breaker {} A, {} poles",
            number(circuit.breaker_a),
            circuit.wires
        ),
        details: vec![place.to_owned()],
        short: None,
    }
}

fn cable(drawing: &SingleLine<'_>, circuit: &Circuit) -> Element {
    let ground = circuit
        .ground
        .as_ref()
        .map_or_else(String::new, |g| match drawing.supply.rules {
            Rules::Nec => format!(" + {g} ground"),
            Rules::Iec => format!(" + {g} protective earth"),
        });
    let system = if drawing.us_units {
        System::Us
    } else {
        System::Metric
    };
    let carries = match drawing.supply.rules {
        Rules::Nec => format!(
            "carries {} A with {} °C terminals",
            number(circuit.ampacity_a),
            circuit.terminals_c
        ),
        Rules::Iec => format!("carries {} A in conduit", number(circuit.ampacity_a)),
    };
    let run = match (drawing.run, circuit.drop_pct) {
        (Some(run), Some(drop)) => {
            let length = if drawing.us_units {
                units::show_room(run, system)
            } else {
                show(run, system)
            };
            let grown = if circuit.grown_for_drop {
                "; made larger for the drop"
            } else {
                ""
            };
            format!("{carries}; over {length} it drops {drop:.1} %{grown}")
        }
        _ => format!("{carries}; length of the run not stated, so no drop"),
    };
    Element {
        symbol: symbol::Symbol::Wires(circuit.wires),
        // Square millimetres as they are written on paper.
        head: format!("{} × {} copper{ground}", circuit.wires, circuit.conductor)
            .replace("mm2", "mm²"),
        details: vec![run],
        short: None,
    }
}

fn machine(drawing: &SingleLine<'_>) -> Element {
    let s = drawing.supply;
    let mut details = vec![format!(
        "{} V, {}: {} A at full load, wired for {} A",
        number(s.machine.volts),
        phases(s.machine.phases),
        number(s.load_amps),
        number(s.design_amps)
    )];
    if let Some(most) = s.breaker_most_a {
        details.push(format!("its own device at most {} A", number(most)));
    }
    Element {
        symbol: symbol::Symbol::Machine,
        head: super::words::shortened(drawing.machine, 60),
        details,
        short: None,
    }
}

fn phases(phases: Phases) -> &'static str {
    match phases {
        Phases::One => "single-phase",
        Phases::Three => "three-phase",
    }
}

/// Three digits, as ratings are written.
fn number(value: f64) -> String {
    units::number_text(value, units::Rounding::Significant(3))
}

/// Words broken into lines of at most so many letters.
fn wrapped(text: &str, letters: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= letters => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

fn description(elements: &[Element]) -> String {
    let words: Vec<String> = elements
        .iter()
        .map(|e| {
            let rest: Vec<&str> = e
                .details
                .iter()
                .chain(&e.short)
                .map(String::as_str)
                .collect();
            format!("{} ({})", e.head, rest.join(" "))
        })
        .collect();
    format!("From the supply to the machine: {}.", words.join("; then "))
}
