//! Torque and power of a spindle against speed, with what every task would like to take: which
//! tasks lie within, which beyond, and how far the stated numbers leave the curve open.

use super::chart::{Chart, Panel};
use super::scene::{Anchor, Fill, Item, Scene, Stroke};
use super::texts;
use crate::cutting::{Cut, EFFICIENCY, Spindle, SpindleBand};
use units::{Power, Rpm, System, Torque, show};

/// What a task takes of the spindle at the tool's own speed.
#[derive(Clone, Debug, PartialEq)]
pub struct TaskPoint {
    /// The task, in the user's words.
    pub name: String,
    /// Speed.
    pub rpm: Rpm,
    /// Torque at the motor.
    pub torque: Torque,
}

impl TaskPoint {
    /// Of the cut an ample machine would take; losses between motor and cutter are the motor's.
    pub fn of(name: &str, wanted: &Cut) -> Self {
        Self {
            name: name.to_owned(),
            rpm: wanted.rpm,
            torque: wanted.torque / EFFICIENCY,
        }
    }

    fn power(&self) -> Power {
        self.torque.power_at(self.rpm)
    }
}

/// What is drawn.
#[derive(Clone, Debug)]
pub struct TorquePowerDrawing<'a> {
    /// Name, unique on the page.
    pub id: &'a str,
    /// Offer as people call it.
    pub offer: &'a str,
    /// Continuous curve with its spread.
    pub band: &'a SpindleBand,
    /// Curve for a limited time, when it is another.
    pub peak: Option<&'a Spindle>,
    /// Tasks.
    pub tasks: &'a [TaskPoint],
    /// Foot-pounds and horsepower instead of newton metres and kilowatts.
    pub us_units: bool,
}

/// Whether a spindle takes a task at the tool's own speed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Within {
    /// Whatever curve the numbers allow.
    Surely,
    /// On the likely curve, not on the lowest.
    Likely,
    /// Not on the likely curve.
    Beyond,
}

/// Tasks that are drawn: the hardest ones.
const MOST_TASKS: usize = 11;
const WIDTH: f64 = 190.0;
const HEIGHT: f64 = 150.0;
const PLOT: [f64; 2] = [20.0, 122.0];
const TORQUE: [f64; 2] = [34.0, 81.0];
const POWER: [f64; 2] = [94.0, 134.0];
const LEGEND: f64 = 127.0;
const TEXT: f64 = 3.0;
const SMALL: f64 = 2.6;
/// Tasks far beyond the spindle are shown at the upper edge rather than flattening its curve.
const MOST_OF_LIKELY: f64 = 2.5;

/// Draws it.
pub fn torque_power(drawing: &TorquePowerDrawing<'_>) -> Scene {
    let tasks = hardest(drawing);
    let mut scene = Scene {
        id: drawing.id.to_owned(),
        title: texts::torque_power_title(drawing.offer),
        description: description(drawing, &tasks),
        width_mm: WIDTH,
        height_mm: HEIGHT,
        items: Vec::new(),
    };
    title(&mut scene, drawing);
    let speeds = speeds(drawing, &tasks);
    let torque_of = |t: Torque| {
        if drawing.us_units {
            t.to_ft_lb()
        } else {
            t.to_nm()
        }
    };
    let power_of = |p: Power| {
        if drawing.us_units {
            p.to_hp()
        } else {
            p.to_kw()
        }
    };
    let [torque_name, power_name] = texts::torque_power_axes(drawing.us_units);
    let mut chart = Chart::new(PLOT, speeds);
    let torque_top = top(
        torque_of(drawing.band.likely.torque()),
        drawing.peak.map(|p| torque_of(p.torque())),
        tasks.iter().map(|(t, _)| torque_of(t.torque)),
    );
    let power_top = top(
        power_of(drawing.band.likely.power()),
        drawing.peak.map(|p| power_of(p.power())),
        tasks.iter().map(|(t, _)| power_of(t.power())),
    );
    let torque_curve = |s: &Spindle, n: Rpm| torque_of(s.torque_at(n));
    let power_curve = |s: &Spindle, n: Rpm| power_of(s.power_at(n));
    let panels = [
        (
            Panel::new(TORQUE, torque_top),
            torque_name,
            &torque_curve as Curve<'_>,
        ),
        (Panel::new(POWER, power_top), power_name, &power_curve),
    ];
    for (panel, name, curve) in &panels {
        chart.frame(&mut scene, panel, name);
        chart.band(
            &mut scene,
            panel,
            [&drawing.band.lower, &drawing.band.upper],
            curve,
        );
        if let Some(peak) = drawing.peak {
            chart.line(&mut scene, panel, peak, curve, Stroke::Dashed);
        }
        chart.line(
            &mut scene,
            panel,
            &drawing.band.likely,
            curve,
            Stroke::Outline,
        );
    }
    chart.speed_axis(&mut scene, POWER[1], texts::SPINDLE_SPEED);
    for (number, (task, within)) in tasks.iter().enumerate() {
        let values = [torque_of(task.torque), power_of(task.power())];
        for ((panel, ..), value) in panels.iter().zip(values) {
            let at = chart.at(panel, task.rpm, value);
            marker(&mut scene, at, panel.is_above(value), *within);
            chart.number(
                &mut scene,
                at,
                &(number + 1).to_string(),
                *within == Within::Beyond,
            );
        }
    }
    legend(&mut scene, drawing, &tasks);
    scene
}

/// Value of a spindle at a speed, in the axis's unit.
pub(super) type Curve<'a> = &'a dyn Fn(&Spindle, Rpm) -> f64;

fn within(task: &TaskPoint, band: &SpindleBand) -> Within {
    let takes = |s: &Spindle| s.torque_at(task.rpm).to_nm() * (1.0 + 1.0e-9) >= task.torque.to_nm();
    if !takes(&band.likely) {
        Within::Beyond
    } else if takes(&band.lower) {
        Within::Surely
    } else {
        Within::Likely
    }
}

/// The hardest tasks, hardest first; alike ones once.
fn hardest(drawing: &TorquePowerDrawing<'_>) -> Vec<(TaskPoint, Within)> {
    let likely = &drawing.band.likely;
    let share = |t: &TaskPoint| {
        let have = likely.torque_at(t.rpm).to_nm();
        if have > 0.0 {
            t.torque.to_nm() / have
        } else {
            f64::MAX
        }
    };
    let sound = |t: &&TaskPoint| {
        t.rpm.is_finite() && t.rpm > Rpm::ZERO && t.torque.is_finite() && t.torque >= Torque::ZERO
    };
    let mut all: Vec<&TaskPoint> = drawing.tasks.iter().filter(sound).collect();
    all.sort_by(|a, b| {
        share(b)
            .total_cmp(&share(a))
            .then_with(|| a.name.cmp(&b.name))
    });
    all.dedup_by(|a, b| a.name == b.name && a.rpm == b.rpm && a.torque == b.torque);
    all.into_iter()
        .take(MOST_TASKS)
        .map(|t| (t.clone(), within(t, drawing.band)))
        .collect()
}

fn top(likely: f64, peak: Option<f64>, tasks: impl Iterator<Item = f64>) -> f64 {
    let curve = likely.max(peak.unwrap_or(0.0));
    tasks.fold(curve, f64::max).min(MOST_OF_LIKELY * curve) * 1.12
}

fn speeds(drawing: &TorquePowerDrawing<'_>, tasks: &[(TaskPoint, Within)]) -> [f64; 2] {
    let likely = &drawing.band.likely;
    let all = || tasks.iter().map(|(t, _)| t.rpm.to_rpm());
    let fastest = likely.fastest().to_rpm();
    let high = all().fold(fastest, f64::max).min(8.0 * fastest);
    let low = all().fold(0.3 * likely.base_speed().to_rpm().min(fastest), f64::min);
    [low.max(high / 1000.0).max(1.0) / 1.15, high * 1.15]
}

fn title(scene: &mut Scene, drawing: &TorquePowerDrawing<'_>) {
    let title = super::words::shortened(&scene.title, 62);
    scene.items.push(Item::Text {
        at: [6.0, 9.0],
        text: title,
        size_mm: 4.6,
        anchor: Anchor::Start,
        bold: true,
        short: false,
    });
    scene.text([6.0, 15.0], texts::TORQUE_POWER_NOTE, TEXT, Anchor::Start);
    let peak = if drawing.peak.is_some() {
        texts::WITH_PEAK
    } else {
        texts::WITHOUT_PEAK
    };
    scene.text([6.0, 20.0], peak, TEXT, Anchor::Start);
}

/// Disc: surely within. Ring: likely within. Cross: beyond. A task above the axis has an arrow up.
fn marker(scene: &mut Scene, [x, y]: [f64; 2], above: bool, within: Within) {
    const R: f64 = 1.1;
    if within == Within::Beyond {
        for dy in [-R, R] {
            scene.line([x - R, y - dy], [x + R, y + dy], Stroke::Short);
        }
    } else {
        let points: Vec<[f64; 2]> = (0..16)
            .map(|i| f64::from(i) * std::f64::consts::TAU / 16.0)
            .map(|a| [x + R * a.cos(), y + R * a.sin()])
            .collect();
        let fill = if within == Within::Surely {
            Fill::Part
        } else {
            Fill::None
        };
        scene.outline(&points, Stroke::Outline, fill);
    }
    if above {
        scene.line([x, y - 1.6], [x, y - 4.2], Stroke::Short);
        scene.items.push(Item::Arrow {
            tip: [x, y - 5.6],
            toward: [0.0, -1.0],
            stroke: Stroke::Short,
        });
    }
}

fn numbers(task: &TaskPoint, us_units: bool) -> String {
    let system = if us_units { System::Us } else { System::Metric };
    let text = format!(
        "{}, {}, {}",
        show(task.rpm, system),
        show(task.torque, system),
        show(task.power(), system)
    );
    super::words::shortened(&text, 33)
}

fn legend(scene: &mut Scene, drawing: &TorquePowerDrawing<'_>, tasks: &[(TaskPoint, Within)]) {
    let mut y = TORQUE[0] + 1.0;
    scene.text([LEGEND, y], texts::TASKS_AT_OWN_SPEED, TEXT, Anchor::Start);
    y += 5.2;
    for (number, (task, within)) in tasks.iter().enumerate() {
        let beyond = *within == Within::Beyond;
        let name = super::words::shortened(&task.name, 30);
        scene.items.push(Item::Text {
            at: [LEGEND, y],
            text: format!("{} {name}", number + 1),
            size_mm: SMALL,
            anchor: Anchor::Start,
            bold: true,
            short: beyond,
        });
        let word = match within {
            Within::Surely => "",
            Within::Likely => texts::NOT_SURE,
            Within::Beyond => texts::BEYOND,
        };
        scene.items.push(Item::Text {
            at: [LEGEND + 2.0, y + 3.5],
            text: format!("{}{word}", numbers(task, drawing.us_units)),
            size_mm: SMALL,
            anchor: Anchor::Start,
            bold: false,
            short: beyond,
        });
        y += 9.0;
    }
    let easier = drawing.tasks.len().saturating_sub(tasks.len());
    if easier > 0 {
        scene.text(
            [LEGEND, y],
            texts::easier_tasks(easier),
            SMALL,
            Anchor::Start,
        );
    }
}

fn description(drawing: &TorquePowerDrawing<'_>, tasks: &[(TaskPoint, Within)]) -> String {
    let system = if drawing.us_units {
        System::Us
    } else {
        System::Metric
    };
    let likely = &drawing.band.likely;
    let mut words = vec![texts::curve_in_words(
        &show(likely.torque(), system),
        &show(likely.power(), system),
        &show(likely.base_speed(), system),
        &show(likely.fastest(), system),
    )];
    for (task, within) in tasks {
        let word = match within {
            Within::Surely => texts::WITHIN,
            Within::Likely => texts::NOT_SURE,
            Within::Beyond => texts::BEYOND,
        };
        words.push(format!(
            "{}: {}{word}",
            task.name,
            numbers(task, drawing.us_units)
        ));
    }
    format!("{}.", words.join("; "))
}
