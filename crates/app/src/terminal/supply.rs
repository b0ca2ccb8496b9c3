//! The supply of one machine, in words.

use super::table::{bullet, heading, paragraph, table};
use crate::contract::Note;
use engine::site::ELECTRICAL_CAUTION;
use engine::site::converter::{Choice, Kind, Serves};
use engine::site::electrical::{Circuit, Phases, Rules, Supply};
use units::{Length, System, show_room};

/// What is told.
pub struct Told<'a> {
    /// Rules followed.
    pub rules: Rules,
    /// The answer, if there is one.
    pub supply: Option<&'a Supply>,
    /// Run from the panel.
    pub run: Option<Length>,
    /// What the panel can still give.
    pub available: Option<f64>,
    /// Unbalance and what motors then give.
    pub unbalanced: Option<(f64, Option<f64>)>,
    /// Remarks.
    pub notes: &'a [Note],
}

/// Prints it.
pub fn describe(told: &Told<'_>) -> String {
    let mut out = heading("Supply of the machine");
    if let Some(supply) = told.supply {
        out.push_str(&answer(told, supply));
    }
    if let Some((share, _)) = told.unbalanced {
        out.push_str(&bullet(
            "-",
            &format!("unbalance of the measured voltages {:.1} %", 100.0 * share),
        ));
    }
    for note in told.notes {
        out.push_str(&bullet("-", &format!("{}: {}", note.about, note.text)));
    }
    out.push_str(&paragraph(&format!("By {}.", told.rules.documents())));
    out.push_str(&paragraph(ELECTRICAL_CAUTION));
    out
}

fn answer(told: &Told<'_>, supply: &Supply) -> String {
    let mut out = String::new();
    let mut say = |text: String| out.push_str(&bullet("-", &text));
    say(format!(
        "full load {:.1} A, wired for {:.1} A",
        supply.load_amps, supply.design_amps
    ));
    say(format!(
        "to the machine: {}",
        circuit(told, &supply.machine)
    ));
    if let Some(amps) = supply.disconnect_a {
        say(format!(
            "a lockable disconnect of {amps} A in sight of the machine"
        ));
    }
    if let Some(most) = supply.breaker_most_a {
        say(format!("the machine's own device is at most {most} A"));
    }
    say(format!(
        "from the {}-phase supply of {:.0} V it draws {:.1} A; the supply must be able to give {:.1} A",
        supply.source_phases.count(),
        supply.source_volts,
        supply.source_amps,
        supply.source_need_amps
    ));
    if let Some(available) = told.available {
        let spare = available - supply.source_need_amps;
        say(if spare < 0.0 {
            format!("the panel is short by {:.1} A", -spare)
        } else {
            format!("the panel keeps {spare:.1} A to spare")
        });
    }
    if let Some(source) = &supply.source {
        say(format!(
            "from the panel to the {}: {}",
            if supply.converter.is_some() {
                "converter"
            } else {
                "transformer"
            },
            circuit(told, source)
        ));
    }
    if let Some(t) = &supply.transformer {
        let size = t
            .kva
            .map_or("larger than is sold from stock".to_owned(), |k| {
                format!("{k} kVA")
            });
        say(format!(
            "transformer {size}, {:.0} to {:.0} V, turns {:.3} to 1, tap {:+.1} %: {:.0} V without load",
            t.primary_volts, t.secondary_volts, t.turns, t.tap_pct, t.output_volts
        ));
    }
    if !supply.choices.is_empty() {
        out.push('\n');
        out.push_str(&choices(supply));
    }
    out
}

fn circuit(told: &Told<'_>, c: &Circuit) -> String {
    let ground = c
        .ground
        .as_ref()
        .map_or_else(String::new, |g| format!(" and {g} ground"));
    let phase = match c.phases {
        Phases::One => "single-phase",
        Phases::Three => "three-phase",
    };
    let system = match told.rules {
        Rules::Nec => System::Us,
        Rules::Iec => System::Metric,
    };
    let drop = match (c.drop_pct, told.run) {
        (Some(drop), Some(run)) => format!(
            ", {drop:.2} % drop over {}{}",
            show_room(run, system),
            if c.grown_for_drop {
                " (made larger for it)"
            } else {
                ""
            }
        ),
        _ => String::new(),
    };
    format!(
        "{} x {} copper{ground}, breaker {} A, {phase}, {:.0} A at {} C{drop}",
        c.wires, c.conductor, c.breaker_a, c.ampacity_a, c.terminals_c
    )
}

fn choices(supply: &Supply) -> String {
    let taken = supply.converter.as_ref().map(|c| c.kind);
    let rows = supply
        .choices
        .iter()
        .map(|c| {
            let mark = if Some(c.kind) == taken {
                " (taken)"
            } else {
                ""
            };
            vec![
                format!("{}{mark}", name(c.kind)),
                serves(c).to_owned(),
                rating(c),
                c.input_amps
                    .map_or_else(String::new, |a| format!("{a:.0} A")),
                format!("{:.0} to {:.0}", c.price_usd[0], c.price_usd[2]),
                c.lead_days.to_string(),
                c.why.to_owned(),
            ]
        })
        .collect();
    table(
        &[
            "three phases by",
            "serves",
            "size",
            "draws",
            "US dollars",
            "days",
            "but",
        ],
        &[],
        rows,
    )
}

fn name(kind: Kind) -> &'static str {
    match kind {
        Kind::Rotary => "rotary converter",
        Kind::Digital => "digital converter",
        Kind::Vfd => "drive on the spindle",
        Kind::Static => "static converter",
        Kind::Utility => "the utility",
    }
}

fn serves(choice: &Choice) -> &'static str {
    match choice.serves {
        Serves::Yes => "yes",
        Serves::Conditionally => "if",
        Serves::No => "no",
    }
}

fn rating(c: &Choice) -> String {
    match (c.rating_hp, c.rating_kva, c.rating_amps) {
        (Some(hp), ..) => format!("{hp} hp"),
        (_, Some(kva), _) => format!("{kva:.0} kVA"),
        (.., Some(amps)) => format!("{amps:.0} A"),
        _ => String::new(),
    }
}
