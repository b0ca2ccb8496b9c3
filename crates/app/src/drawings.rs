//! Every drawing of a study, as SVG files in a folder.

mod money;
mod spindle;

use anyhow::{Context, Result};
use engine::choice::SetCompared;
use engine::demand::{Demand, Setup};
use engine::drawing::{
    Cell, FloorPlanDrawing, FloorTogetherDrawing, HoursBar, HoursDrawing, MatrixDrawing,
    PlanDrawing, Scene, SingleLine, StackUpDrawing, Theme, TogetherOnPlan, floor_plan,
    floor_together, hours, matrix, plan, single_line, stack_up, svg,
};
use engine::fit::{Fit, SetupFit};
use engine::site::SiteVerdict;
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
        if let Some(scene) = spindle::scene(entered, answer, offer) {
            save(folder, &scene)?;
        }
        if let Some(floor) = &entered.site.plan {
            let scene = floor_plan(&FloorPlanDrawing {
                id: &format!("floor-{}", offer.offer),
                title: &offer.name,
                plan: floor,
                load: offer.site.load.as_ref().zip(offer.site.way.as_ref()),
                standing: offer.site.place.as_ref(),
                us_units,
            });
            save(folder, &scene)?;
        }
        if let Some(supply) = &offer.site.electrical.supply {
            let scene = single_line(&SingleLine {
                id: &format!("supply-{}", offer.offer),
                machine: &offer.name,
                supply,
                run: offer.site.electrical.run,
                available_a: offer
                    .site
                    .electrical
                    .available_amps
                    .map(units::Current::to_a),
                us_units,
                caution: offer.site.electrical.caution,
            });
            save(folder, &scene)?;
        }
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
    if let Some(scene) = together(entered, answer) {
        save(folder, &scene)?;
    }
    if !answer.is_large() {
        save(folder, &part_by_offer(entered, answer))?;
    }
    save(folder, &hours_by_offer(entered, answer))?;
    for scene in money::scenes(entered, answer) {
        save(folder, &scene)?;
    }
    Ok(())
}

/// The chosen machines at their places, or those of the best set that is asked about.
fn together(entered: &Entered, answer: &Answer) -> Option<Scene> {
    let plan = entered.site.plan.as_ref()?;
    let drawn =
        |s: &&SetCompared| s.together.verdict != SiteVerdict::No && !s.together.places.is_empty();
    let set = answer.decision.together.iter().find(drawn)?;
    let machines: Vec<TogetherOnPlan<'_>> = set
        .together
        .places
        .iter()
        .map(|placed| TogetherOnPlan {
            name: set
                .offers
                .iter()
                .zip(&set.names)
                .find(|(offer, _)| **offer == placed.offer)
                .map_or(placed.offer.0.as_str(), |(_, name)| name.as_str()),
            place: &placed.place,
            way: Some(&placed.comes.1),
        })
        .collect();
    Some(floor_together(&FloorTogetherDrawing {
        id: "floor-together",
        plan,
        machines: &machines,
        verdict: set.together.verdict,
        us_units: entered.shop.us_units,
    }))
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
            let drawn = o.in_draws.as_deref();
            let cell = |(at, f): (usize, &Fit)| Cell {
                verdict: f.verdict,
                clampings: f.clampings,
                chance: drawn.map(|drawn| drawn.made(at)),
            };
            let cells = o.fits.iter().enumerate().map(cell).collect();
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
    let counts = &offer.counts;
    let made = counts.fits + counts.fits_with_more_clampings + counts.cannot_say;
    HoursBar {
        offer: offer.name.clone(),
        parts: [made, made + counts.does_not_fit],
        kinds: offer.hours_by_kind.clone(),
        attended_h: offer.changer.attended_h,
        at_least: offer.counts.lower_bounds > 0,
    }
}

fn save(folder: &Path, scene: &Scene) -> Result<()> {
    let file = folder.join(format!("{}.svg", scene.id));
    std::fs::write(&file, svg(scene, Theme::Light))
        .with_context(|| format!("{}: cannot be written", file.display()))
}
