//! Which unstated numbers of a spindle or an axis decide whether a part can be cut, and where.

use super::super::Assumed;
use super::super::tally::Tally;
use crate::cutting::{Binding, Limits, Material, Taken, best_cut_within, surely, taken};
use crate::demand::Task;
use crate::machine::{Field, Known, Machine, Properties, SpindleNumbers, Taper};
use units::{Force, Length, Power, Quantity, Rpm, Torque};

/// Numbers that are asked for, in this order.
const ASKED: [Field; 7] = [
    Field::spindle_power,
    Field::spindle_torque,
    Field::spindle_torque_rpm,
    Field::spindle_rpm_min,
    Field::axis_thrust,
    Field::rigid_tapping_rpm,
    Field::spindle_rpm_max,
];

/// A taper that passes whatever there is; and holders that reach no farther than any usual one's, so
/// that a question about their length stays the harder one.
const LARGEST_TAPER: &str = "CAT50";
const LONGEST_HOLDERS: Length = Length::mm(200.0);

/// What keeps a task from being surely cut.
enum Missing {
    Field(Field),
    Taper,
    /// Everything is stated.
    Nothing,
}

/// Stated numbers with, in plenty, what keeps tasks from being surely cut; what that is; and whether the
/// taper is.
fn granted<'a>(
    tasks: &[&Task],
    material: &'a Material,
    machine: &Machine,
) -> (Told<'a>, Vec<Field>, bool) {
    let mut told = Told::of(machine, material);
    // One number after another, until every task is cut.
    let (mut asked, mut taper) = (Vec::new(), false);
    while let Some(missing) = tasks.iter().find_map(|task| told.missing(task)) {
        match missing {
            Missing::Field(field) => {
                told.grant(field);
                asked.push(field);
            }
            Missing::Taper => {
                told.taper = LARGEST_TAPER.parse().ok();
                taper = true;
            }
            Missing::Nothing => break,
        }
    }
    (told, asked, taper)
}

/// Asks for what keeps tasks from being surely cut.
pub(super) fn ask(tasks: &[&Task], material: &Material, machine: &Machine, tally: &mut Tally) {
    let (told, asked, taper) = granted(tasks, material, machine);
    if taper {
        tally.ask_taper(LONGEST_HOLDERS);
    }
    let p = &machine.properties;
    for field in asked {
        let mut one = told.clone();
        let flips_at = one.flips(field, tasks);
        match field {
            Field::spindle_power => ask_one(tally, field, p.spindle_power, flips_at),
            Field::spindle_torque => ask_one(tally, field, p.spindle_torque, flips_at),
            Field::spindle_torque_rpm => ask_one(tally, field, p.spindle_torque_rpm, flips_at),
            Field::spindle_rpm_min => ask_one(tally, field, p.spindle_rpm_min, flips_at),
            Field::axis_thrust => ask_one(tally, field, p.axis_thrust, flips_at),
            Field::spindle_rpm_max => ask_one(tally, field, p.spindle_rpm_max, flips_at),
            _ => ask_one(tally, field, p.rigid_tapping_rpm, flips_at),
        }
    }
}

fn ask_one<Q: Quantity>(tally: &mut Tally, field: Field, known: Known<Q>, flips_at: f64) {
    tally.ask(field, known, Q::from_base(flips_at), is_at_least(field));
}

fn is_at_least(field: Field) -> bool {
    field != Field::spindle_rpm_min
}

/// What a yes rests on that is softer than physics: of each number taken for one nobody stated, the value
/// up to which the tasks are still surely cut. A number they do not need is left out. `asks` is whether
/// any task turns on a question; otherwise all are surely cut as it stands.
pub(in crate::fit) fn carried(
    tasks: &[&Task],
    material: &Material,
    machine: &Machine,
    asks: bool,
) -> Vec<Assumed> {
    let all = taken(&machine.properties.only_stated(), machine.taper.as_ref());
    if all.is_empty() {
        return Vec::new();
    }
    let (told, asked) = if asks {
        let (told, asked, _) = granted(tasks, material, machine);
        (told, asked)
    } else {
        (Told::of(machine, material), Vec::new())
    };
    // The hardest first, so that those after it turn nothing more: thrust and slowness are asked for by
    // large cutters.
    let mut tasks = tasks.to_vec();
    tasks.sort_by(|a, b| b.tool.diameter.total_cmp(&a.tool.diameter));
    let tasks = &tasks;
    all.into_iter()
        .filter(|t| !asked.contains(&t.field))
        .filter_map(|t| told.turns(t, tasks, machine))
        .collect()
}

/// Stated numbers, and those granted beside them.
#[derive(Clone)]
struct Told<'a> {
    stated: Properties,
    taper: Option<Taper>,
    material: &'a Material,
    /// True when the speed up to which the torque holds follows from a torque asked for.
    base_follows: bool,
}

impl<'a> Told<'a> {
    fn of(machine: &Machine, material: &'a Material) -> Self {
        let mut stated = machine.properties.only_stated();
        if !SpindleNumbers::of(&stated).torque_agrees() {
            // One of its numbers is wrong: the torque is asked for again.
            stated.spindle_torque = Known::No;
            stated.spindle_torque_peak = Known::No;
            stated.spindle_torque_rpm = Known::No;
        }
        Self {
            stated,
            taper: machine.taper.clone(),
            material,
            base_follows: false,
        }
    }

    /// What a task runs into, when it is surely cut with nothing that is stated.
    fn missing(&self, task: &Task) -> Option<Missing> {
        let p = &self.stated;
        let binding = match surely(p, self.taper.as_ref()) {
            None => Binding::Power,
            Some(limits) => match best_cut_within(task, self.material, &limits) {
                Err(refusal) if !refusal.is_mended() => refusal.binding,
                _ => return None,
            },
        };
        let wanted: &[Field] = match binding {
            Binding::SlowestSpeed => &[Field::spindle_rpm_min],
            Binding::Thrust => &[Field::axis_thrust],
            Binding::SpindleSpeed => &[Field::rigid_tapping_rpm],
            _ => &ASKED[..3],
        };
        if binding == Binding::Grip && self.taper.is_none() {
            return Some(Missing::Taper);
        }
        // Another number may be behind it: a thread is milled where it is not tapped.
        let unstated = |f: &&Field| !p.is_stated(**f);
        let first = wanted.iter().find(unstated);
        Some(match first.or_else(|| ASKED.iter().find(unstated)) {
            Some(field) => Missing::Field(*field),
            None if self.taper.is_none() => Missing::Taper,
            None => Missing::Nothing,
        })
    }

    /// States a number, in its base unit.
    fn tell(&mut self, field: Field, base: f64) {
        let p = &mut self.stated;
        match field {
            Field::spindle_power => p.spindle_power = Known::Yes(Power::from_base(base)),
            Field::spindle_torque => {
                let torque = Torque::from_base(base);
                p.spindle_torque = Known::Yes(torque);
                if p.spindle_torque_rpm.stated().is_none() {
                    Self::meet(p);
                }
            }
            Field::spindle_torque_rpm => p.spindle_torque_rpm = Known::Yes(Rpm::from_base(base)),
            Field::spindle_rpm_min => p.spindle_rpm_min = Known::Yes(Rpm::from_base(base)),
            Field::axis_thrust => p.axis_thrust = Known::Yes(Force::from_base(base)),
            Field::spindle_rpm_max => p.spindle_rpm_max = Known::Yes(Rpm::from_base(base)),
            Field::rigid_tapping_rpm => p.rigid_tapping_rpm = Known::Yes(Rpm::from_base(base)),
            _ => {}
        }
    }

    /// Where the tasks turn between what was taken and what physics leaves; `None` when they do not.
    fn turns(&self, of: Taken, tasks: &[&Task], machine: &Machine) -> Option<Assumed> {
        let mut told = self.clone();
        let mut at = |ln_base: f64| {
            told.tell(of.field, ln_base.exp());
            surely(&told.stated, told.taper.as_ref())
        };
        let made = |limits: &Option<Limits>, task: &Task| {
            let cut = |l| super::made(&best_cut_within(task, self.material, l));
            limits.as_ref().is_some_and(cut)
        };
        let taken = at(of.taken.ln());
        let mut turns = of.hard.ln();
        let mut limits = at(turns);
        for task in tasks {
            if made(&limits, task) {
                continue;
            }
            if !made(&taken, task) {
                continue;
            }
            let (mut open, mut enough) = (turns, of.taken.ln());
            for _ in 0..CARRIED_HALVINGS {
                let middle = 0.5 * (open + enough);
                if made(&at(middle), task) {
                    enough = middle;
                } else {
                    open = middle;
                }
            }
            turns = enough;
            limits = at(turns);
        }
        (turns != of.hard.ln()).then(|| Assumed {
            input: format!("offers/{}/{}", machine.offer, of.field.key()),
            field: of.field,
            taken: of.taken,
            flips_at: turns.exp(),
            at_least: is_at_least(of.field),
        })
    }

    fn grant(&mut self, field: Field) {
        self.base_follows |=
            field == Field::spindle_torque && self.stated.spindle_torque_rpm.stated().is_none();
        let plenty = ends(field)[if is_at_least(field) { 1 } else { 0 }];
        self.tell(field, plenty);
    }

    /// Full torque holds up to the speed at which it is all the power there is.
    fn meet(p: &mut Properties) {
        let power = p.spindle_power.stated().or(p.spindle_power_peak.stated());
        let knee = power
            .zip(p.spindle_torque.stated())
            .map(|(power, torque)| Rpm::rps(power.to_w() / torque.to_nm() / std::f64::consts::TAU));
        p.spindle_torque_rpm = knee.map_or(Known::No, Known::Yes);
    }

    /// The value from which on every task is cut, all else as granted: found by halving.
    fn flips(&mut self, field: Field, tasks: &[&Task]) -> f64 {
        // A base speed told beside an earlier torque is not a statement of its own.
        let before = self.stated.clone();
        let [mut low, mut high] = ends(field).map(f64::ln);
        let at_least = is_at_least(field);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            self.stated = before.clone();
            let beside = matches!(field, Field::spindle_power | Field::spindle_torque);
            self.tell(field, middle.exp());
            if beside && self.base_follows {
                Self::meet(&mut self.stated);
            }
            let does = tasks.iter().all(|task| self.missing(task).is_none());
            if does == at_least {
                high = middle;
            } else {
                low = middle;
            }
        }
        (if at_least { high } else { low }).exp()
    }
}

/// To a thousandth of the span between what was taken and what physics leaves, which is a hundredth of a
/// thrust; on the safe side. Every halving of every pair counts: fourteen of them made a large study a
/// tenth slower for digits nobody asks a seller for.
const CARRIED_HALVINGS: u32 = 10;

/// To a millionth of the span of any of them.
const HALVINGS: u32 = 34;

/// Least and most that is looked at, in base units: 1 W to 1 GW, 1 N mm to 1 MN m, a turn in an hour
/// to a million a minute, 1 N to 1 GN.
fn ends(field: Field) -> [f64; 2] {
    match field {
        Field::spindle_power => [1.0e-3, 1.0e6],
        Field::spindle_torque => [1.0e-3, 1.0e6],
        Field::axis_thrust => [1.0, 1.0e9],
        _ => [1.0e-2, 1.0e6],
    }
}
