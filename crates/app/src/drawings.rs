//! Every drawing of a study, as SVG files in a folder.

use anyhow::{Context, Result};
use engine::cycle::Bound;
use engine::demand::{Demand, Setup};
use engine::drawing::{
    Cell, HoursBar, HoursDrawing, MatrixDrawing, PlanDrawing, Scene, StackUpDrawing, Theme, hours,
    matrix, plan, stack_up, svg,
};
use engine::fit::{Fit, SetupFit, Verdict};
use engine::study::{Answer, OfferAnswer};
use folder::Study as Entered;
use std::path::Path;

/// Writes them: heights of the highest setup and plan of the most spacious one of every part on
/// every offer shown (unless there are too many pairs to look at), the part-by-offer table, the hours
/// of every offer.
pub fn write(folder: &Path, entered: &Entered, answer: &Answer) -> Result<()> {
    std::fs::create_dir_all(folder)
        .with_context(|| format!("{}: cannot be made", folder.display()))?;
    let us_units = entered.shop.us_units;
    for offer in answer.offers() {
        for ((fit, demand), part) in offer.fits.iter().zip(&answer.demands).zip(&entered.parts) {
            if let Some((setup_fit, setup)) = most(fit, demand, |s| s.stack.nose_high_need.to_mm())
            {
                let id = format!("heights-{}-{}", part.id, offer.offer);
                let scene = stack_up(&StackUpDrawing {
                    id: &id,
                    part: &part.name,
                    offer: &offer.name,
                    stack: &setup_fit.stack,
                    holding: setup.holding,
                    us_units,
                });
                save(folder, &scene)?;
            }
            // The setup that takes most clampings, then most travel.
            let spacious = |s: &SetupFit| {
                let [x, y] = s.travel_need.map(units::Length::to_mm);
                f64::from(s.clampings) * 1.0e6 + x.max(y)
            };
            if let Some((setup_fit, setup)) = most(fit, demand, spacious) {
                let id = format!("plan-{}-{}", part.id, offer.offer);
                let [x, y, _] = setup.extent;
                let scene = plan(&PlanDrawing {
                    id: &id,
                    part: &part.name,
                    offer: &offer.name,
                    setup: setup_fit,
                    size: [x, y],
                    machine: &offer.machine.properties,
                    us_units,
                });
                save(folder, &scene)?;
            }
        }
    }
    save(folder, &part_by_offer(entered, answer))?;
    save(folder, &hours_by_offer(entered, answer))?;
    for (name, scene) in crate::money_drawings::scenes(entered, answer) {
        save_as(folder, &name, &scene)?;
    }
    Ok(())
}

fn most<'a>(
    fit: &'a Fit,
    demand: &'a Demand,
    of: impl Fn(&SetupFit) -> f64,
) -> Option<(&'a SetupFit, &'a Setup)> {
    fit.setups_on
        .iter()
        .zip(&demand.setups)
        .max_by(|a, b| of(a.0).total_cmp(&of(b.0)))
}

fn part_by_offer(entered: &Entered, answer: &Answer) -> Scene {
    let parts: Vec<(String, bool)> = entered
        .parts
        .iter()
        .map(|p| (p.name.clone(), p.must_make))
        .collect();
    let offers: Vec<(String, Vec<Cell>)> = answer
        .offers()
        .map(|o| {
            let cells = o
                .fits
                .iter()
                .map(|f| Cell {
                    verdict: f.verdict,
                    clampings: f.clampings,
                })
                .collect();
            (o.name.clone(), cells)
        })
        .collect();
    matrix(&MatrixDrawing {
        id: "parts-by-offer",
        parts: &parts,
        offers: &offers,
    })
}

fn hours_by_offer(entered: &Entered, answer: &Answer) -> Scene {
    let bars: Vec<HoursBar> = answer.offers().map(bar).collect();
    hours(&HoursDrawing {
        id: "hours-by-offer",
        bars: &bars,
        available_h: Some(entered.shop.hours_per_year.likely.to_h()),
    })
}

fn bar(offer: &OfferAnswer) -> HoursBar {
    let made = offer
        .fits
        .iter()
        .filter(|f| f.verdict != Verdict::DoesNotFit)
        .count();
    HoursBar {
        offer: offer.name.clone(),
        parts: [made, offer.fits.len()],
        kinds: offer.hours_by_kind.clone(),
        attended_h: offer.changer.attended_h,
        at_least: offer
            .times
            .iter()
            .flatten()
            .any(|t| t.bound == Bound::LowerBound),
    }
}

fn save(folder: &Path, scene: &Scene) -> Result<()> {
    save_as(folder, &scene.id, scene)
}

fn save_as(folder: &Path, name: &str, scene: &Scene) -> Result<()> {
    let file = folder.join(format!("{name}.svg"));
    std::fs::write(&file, svg(scene, Theme::Light))
        .with_context(|| format!("{}: cannot be written", file.display()))
}
