//! Torque and power of an offer's spindle, with the tasks of all parts.

use engine::cutting::{Spindle, SpindleBand, ample_cut};
use engine::demand::Task;
use engine::drawing::{Scene, TaskPoint, TorquePowerDrawing, torque_power};
use engine::study::{Answer, OfferAnswer};
use folder::Study as Entered;

/// The drawing; `None` when too little is known of the spindle.
pub fn scene(entered: &Entered, answer: &Answer, offer: &OfferAnswer) -> Option<Scene> {
    let band = SpindleBand::of(&offer.machine.properties)?;
    let peak = Spindle::peak_of(&offer.machine.properties).filter(|peak| *peak != band.likely);
    let mut tasks = Vec::new();
    for demand in &answer.demands {
        if let Some(material) = entered.materials.0.get(&demand.material) {
            let wanted =
                |task: &Task| ample_cut(task, material).map(|cut| TaskPoint::of(&task.about, &cut));
            tasks.extend(demand.tasks().filter_map(wanted));
        }
    }
    Some(torque_power(&TorquePowerDrawing {
        id: &format!("torque-{}", offer.offer),
        offer: &offer.name,
        band: &band,
        peak: peak.as_ref(),
        tasks: &tasks,
        us_units: entered.shop.us_units,
    }))
}
