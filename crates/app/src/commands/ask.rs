//! `firstchip ask`: ten questions in the terminal to a first answer and a search brief, without any
//! model or offer.

use crate::cli::AskArgs;
use crate::contract::ask::Ask;
use crate::output::{self, Outcome};
use crate::terminal;
use anyhow::{Context, Result, anyhow};
use engine::choice::{Brief, brief};
use engine::study::{Answer, Settings};
use folder::{Asked, Evening, Study as Entered};
use std::io::{BufRead, IsTerminal};
use units::{Severity, Watch};

/// A first answer.
pub struct First {
    /// What the answers made.
    pub entered: Entered,
    /// What follows from it.
    pub answer: Answer,
    /// What to look for.
    pub brief: Brief,
}

/// Runs the command: questions and running answers go to standard error, the brief to standard
/// output, so that it can be kept.
pub fn run(args: &AskArgs) -> Result<Outcome> {
    let now = jiff::Zoned::now();
    let (settings, today) = (Settings::new(now.year()), now.date().to_string());
    let input = std::io::stdin();
    let by_hand = input.is_terminal();
    let mut lines = input.lock().lines();
    let mut evening = Evening::default();
    let mut first = None;
    'questions: for (number, asked) in Asked::ALL.into_iter().enumerate() {
        let wording = asked.wording();
        eprintln!(
            "{} of {}. {}",
            number + 1,
            Asked::ALL.len(),
            wording.question
        );
        eprintln!(
            "   like: {}   (decides {}; empty: not known)",
            wording.example, wording.why
        );
        loop {
            let Some(line) = lines.next() else {
                break 'questions;
            };
            let line = line.context("the answer cannot be read")?;
            let before = evening.clone();
            evening.answer(asked, &line);
            // The built-in prices are in dollars: another currency needs to know what one is worth.
            while let Some(code) = evening.foreign_currency() {
                eprintln!(
                    "   What is one US dollar worth in {code}? Prices of the trade are in dollars."
                );
                eprintln!("   like: 0.92, or with the day: 0.92 on 2026-11-02");
                let Some(rate) = lines.next() else {
                    break 'questions;
                };
                let rate = rate.context("the answer cannot be read")?;
                match evening.dollar(&rate, &today) {
                    Ok(()) => {}
                    Err(wrong) if by_hand => eprintln!("{wrong}"),
                    Err(wrong) => return Err(anyhow!(wrong)),
                }
            }
            match judge(&evening, &settings) {
                Ok(Some(better)) => {
                    eprintln!("{}", terminal::ask::so_far(&better.entered, &better.answer));
                    first = Some(better);
                    continue 'questions;
                }
                Ok(None) => continue 'questions,
                Err(wrong) if by_hand => {
                    eprintln!("{wrong}\nOnce more, or empty for 'not known':");
                    evening = before;
                }
                Err(wrong) => {
                    return Err(anyhow!(
                        "answer {} ('{}'): {wrong}",
                        number + 1,
                        line.trim()
                    ));
                }
            }
        }
    }
    let Some(first) = first else {
        return Err(anyhow!(
            "a first answer needs a budget and the size of one part; answer those two at least"
        ));
    };
    let mut notes = Vec::new();
    if let Some(dir) = &args.save {
        let written = evening.write(dir)?;
        let text = format!("wrote {} to {}", written.join(", "), dir.display());
        notes.push(crate::contract::Note::new(Severity::Info, "folder", text));
    }
    if args.json {
        output::print_json(&Ask::new(&evening, &first, notes))?;
    } else {
        output::print(&terminal::ask::describe(&first))?;
        for note in notes {
            eprintln!("{}", note.text);
        }
    }
    Ok(
        if first
            .brief
            .classes
            .iter()
            .any(|c| c.serves && c.within_reach)
        {
            Outcome::Answered
        } else {
            Outcome::NoAnswer
        },
    )
}

/// The best answer so far: `None` while budget or parts are missing, `Err` with the reasons when an
/// answer cannot be understood.
fn judge(evening: &Evening, settings: &Settings) -> Result<Option<First>, String> {
    let read = folder::read_source(&evening.source(), Watch::NOBODY);
    let enough = evening.given(Asked::Budget).is_some()
        && [Asked::LargestPart, Asked::TallestPart]
            .iter()
            .any(|asked| evening.given(*asked).is_some());
    let entered = match read {
        Ok(entered) => entered,
        // What is missing is not wrong yet; anything else is.
        Err(problems) if !enough => {
            let wrong: Vec<String> = problems
                .0
                .iter()
                .filter(|p| p.severity == Severity::Problem && p.place.line > 2)
                .map(explain)
                .collect();
            return if wrong.is_empty() {
                Ok(None)
            } else {
                Err(wrong.join("\n"))
            };
        }
        Err(problems) => {
            let wrong: Vec<String> = problems
                .0
                .iter()
                .filter(|p| p.severity == Severity::Problem)
                .map(explain)
                .collect();
            return Err(wrong.join("\n"));
        }
    };
    if !enough {
        return Ok(None);
    }
    let inputs = entered.inputs();
    let answer = engine::study::run(&inputs, settings, Watch::NOBODY).map_err(|e| e.to_string())?;
    let brief = brief(
        &answer.specification,
        &answer.classes,
        &answer.ceilings,
        &entered.classes,
        evening.tools(),
    );
    Ok(Some(First {
        entered,
        answer,
        brief,
    }))
}

fn explain(problem: &units::Problem) -> String {
    if problem.hint.is_empty() {
        problem.message.clone()
    } else {
        format!("{} ({})", problem.message, problem.hint)
    }
}
