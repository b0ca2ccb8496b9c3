//! `firstchip study`: the whole question for a folder.

use crate::cli::StudyArgs;
use crate::contract::{Note, study::Study};
use crate::output::{self, Outcome};
use crate::pairs::Pairs;
use crate::stopping::Stopping;
use crate::{plans, progress, terminal};
use anyhow::{Context, Result, anyhow};
use engine::study::{Answer, Memo, Settings};
use folder::Study as Entered;
use geometry::plan::Options;
use units::{Severity, Watch};

/// Runs the command.
pub fn run(args: &StudyArgs) -> Result<Outcome> {
    let progress = progress::Bar::new();
    let stopping = Stopping::new(args.time_limit);
    stopping.on_ctrl_c();
    let report = |p: units::Progress<'_>| {
        stopping.doing(p.stage);
        progress.show(p);
    };
    let enough = || stopping.enough();
    let watch = Watch::new(Some(stopping.cancel()), Some(&report)).until(&enough);
    let source = match &args.folder {
        Some(folder) => folder::Source::Disk(folder.clone()),
        None => folder::demo_source(),
    };
    let plan = |bytes: &[u8], model: &geometry::model::Model, options: &Options| {
        plans::of_single(bytes, model, options, watch)
    };
    let read = folder::read_planned(&source, folder::Plans(Some(&plan)), watch);
    if stopping.cancelled() {
        progress.finish();
        return Ok(Outcome::Cancelled);
    }
    let entered = read.map_err(|problems| anyhow!("the folder cannot be used\n{problems}"))?;
    let settings = Settings::new(jiff::Zoned::now().year());
    let inputs = entered.inputs();
    let cannot = |file: &std::path::Path| format!("{}: cannot be written", file.display());
    let mut pairs = match &args.pairs {
        Some(file) => Some(Pairs::begin(file).with_context(|| cannot(file))?),
        None => None,
    };
    let mut written = Ok(());
    let answer =
        engine::study::run_telling(&inputs, &settings, &Memo::default(), watch, &mut |offer| {
            if let (Some(pairs), Ok(())) = (&mut pairs, &written) {
                written = pairs.write(offer);
            }
        });
    progress.finish();
    let answer = match answer {
        Ok(answer) if !stopping.cancelled() => answer,
        _ => return Ok(Outcome::Cancelled),
    };

    let mut notes = notes(&entered, &answer);
    if answer.is_large() && args.json {
        notes.push(Note::new(Severity::Info, "pairs", MANY_PAIRS));
    }
    if answer.decision.stopped && args.json {
        notes.push(Note::new(Severity::Warning, "decision", STOPPED));
    }
    if let (Some(file), Some(mut pairs)) = (&args.pairs, pairs) {
        let rest = |pairs: &mut Pairs| {
            let mut few = answer.offers().filter(|_| !answer.is_large());
            few.try_for_each(|offer| pairs.write(offer))
        };
        written
            .and_then(|()| rest(&mut pairs))
            .and_then(|()| pairs.finish())
            .with_context(|| cannot(file))?;
    }
    if let Some(folder) = &args.drawings {
        crate::drawings::write(folder, &entered, &answer)?;
    }
    if args.json {
        output::print_json(&Study::new(&entered, &answer, notes))?;
    } else {
        for note in &notes {
            eprintln!("{}: {}: {}", note.level, note.about, note.text);
        }
        output::print(&terminal::study::describe(&entered, &answer))?;
    }
    Ok(
        if answer.decision.offer.is_some() || answer.decision.buy_nothing {
            Outcome::Answered
        } else {
            Outcome::NoAnswer
        },
    )
}

const MANY_PAIRS: &str = "so many pairs of part and offer are summarised by offer; --pairs FILE.csv writes every one, each offer with its options as entered, the chosen one with those to take";

const STOPPED: &str = "the search for the best purchase was stopped before its end: what it found depends on the time it had and on the machine; gap tells by how much anything else may be worth more";

/// Remarks of reading and computing, and the reasons when nothing can be named.
fn notes(entered: &Entered, answer: &Answer) -> Vec<Note> {
    let mut notes: Vec<Note> = entered
        .problems
        .0
        .iter()
        .chain(&answer.notes)
        .map(Note::from)
        .collect();
    if answer.decision.offer.is_none() && !answer.decision.buy_nothing {
        notes.extend(
            answer
                .decision
                .why
                .iter()
                .map(|why| Note::new(Severity::Problem, "decision", why.clone())),
        );
    }
    notes
}
