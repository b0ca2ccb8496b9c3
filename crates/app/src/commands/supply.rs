//! `firstchip supply`: one machine on one supply.

use crate::cli::services::SupplyArgs;
use crate::contract::Note;
use crate::contract::supply::SupplyDocument;
use crate::output::{self, Outcome};
use crate::terminal::supply::{Told, describe};
use anyhow::{Context, Result, bail};
use engine::drawing::{SingleLine, Theme, single_line, svg};
use engine::site::ELECTRICAL_CAUTION;
use engine::site::converter::Serves;
use engine::site::electrical::{
    Load, NoSupply, Phases, Question, Rules, Terminals, derating, explain, size, unbalance,
};
use units::{Current, Severity, Voltage};

/// Runs the command.
pub fn run(args: &SupplyArgs) -> Result<Outcome> {
    let question = question(args);
    let answered = size(&question);
    if answered == Err(NoSupply::NothingToConvert) {
        bail!(
            "--converter makes three phases from one: give --phases 3, and --source-phases 1 or none"
        );
    }
    let unbalanced = args.measured.map(|measured| {
        let share = unbalance(measured);
        (share, derating(share))
    });
    let available = args.available.map(Current::to_a);
    let rules = question.rules;
    let notes = notes(args, &answered, unbalanced);
    if let (Some(file), Ok(supply)) = (&args.drawing, &answered) {
        let scene = single_line(&SingleLine {
            id: "supply",
            machine: &machine_name(args),
            supply,
            run: args.length,
            available_a: available,
            us_units: rules == Rules::Nec,
            caution: ELECTRICAL_CAUTION,
        });
        std::fs::write(file, svg(&scene, Theme::Light))
            .with_context(|| format!("{}: cannot be written", file.display()))?;
    }
    let supply = answered.as_ref().ok();
    if args.json {
        output::print_json(&SupplyDocument::new(
            rules, supply, available, unbalanced, notes,
        ))?;
    } else {
        output::print(&describe(&Told {
            rules,
            supply,
            run: args.length,
            available,
            unbalanced,
            notes: &notes,
        }))?;
    }
    Ok(if supply.is_some() {
        Outcome::Answered
    } else {
        Outcome::NoAnswer
    })
}

fn question(args: &SupplyArgs) -> Question {
    let phases = Phases::of(f64::from(args.phases));
    let rules = Rules::from(args.rules);
    let load = match (args.hp, args.amps, args.kva) {
        (Some(power), ..) => Load::Motor(power),
        (_, Some(amps), _) => Load::Amps(amps),
        // One of the three is always there: the group is required.
        (.., kva) => Load::Apparent(kva.unwrap_or_default()),
    };
    let converter = args.converter.kind();
    let source_phases = match (args.source_phases, converter) {
        (Some(count), _) => Phases::of(f64::from(count)),
        (None, Some(_)) => Phases::One,
        (None, None) => phases,
    };
    let converted = source_phases != phases;
    // Single-phase supplies of small shops end below 300 V; a machine of more is fed by one of these.
    let usual = match rules {
        Rules::Nec => Voltage::v(240.0),
        Rules::Iec => Voltage::v(230.0),
    };
    let source_volts = args
        .source_volts
        .or((converted && args.volts > Voltage::v(300.0)).then_some(usual));
    Question {
        largest_motor: args.largest_motor,
        length: args.length,
        drop_limit: args.drop,
        rules,
        terminals: args.terminals.as_deref().map(|t| {
            if t == "75" {
                Terminals::C75
            } else {
                Terminals::C60
            }
        }),
        ambient_c: args.ambient,
        source_volts,
        source_phases,
        converter,
        ..Question::new(args.volts, phases, load)
    }
}

fn machine_name(args: &SupplyArgs) -> String {
    match args.hp {
        Some(power) => format!("a {:.3} hp motor", power.to_hp())
            .replace(".000", "")
            .replace("00 hp", " hp"),
        None => "a machine".to_owned(),
    }
}

fn notes(
    args: &SupplyArgs,
    answered: &Result<engine::site::electrical::Supply, NoSupply>,
    unbalanced: Option<(f64, Option<f64>)>,
) -> Vec<Note> {
    let mut notes = Vec::new();
    let mut add = |severity, about: &str, text: String| {
        notes.push(Note::new(severity, about, text));
    };
    match answered {
        Err(why) => add(Severity::Problem, "supply", explain(why)),
        Ok(supply) => {
            if let Some(converter) = &supply.converter {
                if converter.serves != Serves::Yes {
                    add(Severity::Warning, "converter", converter.why.to_owned());
                }
                add(
                    Severity::Warning,
                    "converter",
                    converter.regeneration.to_owned(),
                );
            }
            if args.amps.is_some() && args.largest_motor.is_none() && supply.rules == Rules::Nec {
                add(
                    Severity::Info,
                    "--largest-motor",
                    "without the largest motor the whole current is taken at 125 %".to_owned(),
                );
            }
            if args.length.is_none() {
                add(
                    Severity::Info,
                    "--length",
                    "without the length of the run no voltage drop can be told".to_owned(),
                );
            }
            if args
                .available
                .is_some_and(|a| a.to_a() < supply.source_need_amps)
            {
                add(
                    Severity::Warning,
                    "--available",
                    format!(
                        "the supply must be able to give {:.1} A",
                        supply.source_need_amps
                    ),
                );
            }
        }
    }
    if let Some((share, derating)) = unbalanced {
        let percent = 100.0 * share;
        match derating {
            None => add(
                Severity::Warning,
                "--measured",
                format!("{percent:.1} % unbalance: no motor is to run beyond 5 % (NEMA MG 1)"),
            ),
            Some(d) if d < 1.0 => add(
                Severity::Warning,
                "--measured",
                format!(
                    "{percent:.1} % unbalance: motors give {:.0} % of their rating (NEMA MG 1)",
                    100.0 * d
                ),
            ),
            Some(_) => {}
        }
    }
    notes
}
