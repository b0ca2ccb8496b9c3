//! How a setup lies on the table: as drawn, turned by a quarter, shifted along X, turned round for the
//! far half of Y, both, or at an angle.

use super::budget::budget;
use super::loading::per_loading;
use super::practice::share;
use super::stack::cheapest;
use super::tally::Tally;
use super::travel::{self, MOST_ALONG_X, MOST_ALONG_Y};
use super::turn::{Region, turned_size};
use super::{Capability, Practice, StackUp};
use crate::cutting::{Limits, Materials, possible_cut_within};
use crate::demand::{Demand, Setup, TaskKind};
use crate::machine::{Field, Machine};
use crate::texts;
use std::cmp::Reverse;
use units::{Angle, Length, Time};

/// How a setup lies on the table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Lie {
    /// Angle from how it is drawn.
    pub angle: Angle,
    /// Clampings along X and Y.
    pub along: [u32; 2],
    /// Travel of the tool's centre needed.
    pub need: [Length; 2],
    /// Size along X and Y as it lies.
    pub size: [Length; 2],
}

impl Lie {
    /// Clampings in all.
    pub fn clampings(&self) -> u32 {
        self.along[0] * self.along[1]
    }
}

/// What a setup is compared with.
#[derive(Clone, Copy)]
pub(super) struct On<'a> {
    pub demand: &'a Demand,
    pub setup: &'a Setup,
    pub machine: &'a Machine,
    pub limits: Option<&'a Limits>,
    pub materials: &'a Materials,
    pub practice: &'a Practice,
}

/// A quarter turn.
fn quarter() -> Angle {
    Angle::rad(std::f64::consts::FRAC_PI_2)
}

/// One way round, judged by what is stated.
struct Way {
    turned: bool,
    need: [Length; 2],
    size: [Length; 2],
    /// Clampings along X and Y; `None` where travel or column are too near for any number of them;
    /// 1 where nothing is stated.
    along: [Option<u32>; 2],
    /// Throat to ask for.
    throat: Option<Length>,
}

impl Way {
    fn of(on: On<'_>, region: &Region, turned: bool) -> Self {
        let p = &on.machine.properties;
        let travel = [p.travel_x.stated(), p.travel_y.stated()];
        let straight = region.need(Angle::ZERO);
        let [x, y, _] = on.setup.extent;
        let (need, size) = if turned {
            ([straight[1], straight[0]], [y, x])
        } else {
            (straight, [x, y])
        };
        let most = [MOST_ALONG_X, MOST_ALONG_Y];
        let mut along = [0, 1].map(|axis| match travel[axis] {
            Some(t) => travel::clampings(need[axis], t, on.practice.overlap, most[axis]),
            None => Some(1),
        });
        let mut throat = None;
        let once = behind(size[1], need[1]);
        let twice = behind_of_half(size[1], on.practice.overlap);
        // Turning it round and cutting only the far half passes the column sooner.
        let half = along[0].is_some() && twice < once;
        if let Some(n) = along[1] {
            let wanted = if n == 1 { once } else { twice };
            match column(on.machine) {
                Column::At(at) if !wanted.fits(at) => {
                    along[1] = (n == 1 && twice.fits(at)).then_some(2);
                }
                Column::Beyond(travel) if !wanted.fits(travel) => {
                    if n == 1 && half && twice.fits(travel) {
                        along[1] = Some(2);
                    } else {
                        throat = Some(if half { twice } else { wanted });
                    }
                }
                _ => {}
            }
        }
        Self {
            turned,
            need,
            size,
            along,
            throat,
        }
    }

    /// Clampings in all: every shift along X again for either half of Y.
    fn clampings(&self) -> Option<u32> {
        let [x, y] = self.along;
        Some(x? * y?)
    }

    fn lie(&self) -> Lie {
        Lie {
            angle: if self.turned { quarter() } else { Angle::ZERO },
            along: self.along.map(|n| n.unwrap_or(1)),
            need: self.need,
            size: self.size,
        }
    }
}

/// What stands behind the spindle's axis when the tool is at the near end of its way.
fn behind(depth: Length, need: Length) -> Length {
    0.5 * (depth + need)
}

/// The same when only the far half is cut, and then the other, turned round.
fn behind_of_half(depth: Length, overlap: Length) -> Length {
    0.5 * (depth + overlap)
}

/// Where the column stands.
enum Column {
    /// Stated; work no deeper than Y travels passes all the same, as the table itself does.
    At(Length),
    /// Not stated: surely behind what Y travels.
    Beyond(Length),
    /// Nothing is known; travel is asked first.
    Unknown,
}

/// The tool's own radius: work just as deep as the travel stands over by so much (25 mm for the
/// cutters of a small shop), and the column of any mill leaves room for that (common practice).
const BESIDE: Length = Length::mm(25.0);

fn column(machine: &Machine) -> Column {
    let p = &machine.properties;
    match (p.throat.stated(), p.travel_y.stated()) {
        (Some(throat), Some(travel)) => Column::At(throat.max(travel + BESIDE)),
        (Some(throat), None) => Column::At(throat),
        (None, Some(travel)) => Column::Beyond(travel + BESIDE),
        (None, None) => Column::Unknown,
    }
}

/// Finds how a setup lies and says what that costs, what is short, and what must be asked.
pub(super) fn lie(on: On<'_>, stack: &StackUp, tally: &mut Tally) -> Lie {
    let p = &on.machine.properties;
    let travel = [p.travel_x.stated(), p.travel_y.stated()];
    let region = Region::of(on.setup);
    let ways = [false, true].map(|turned| Way::of(on, &region, turned));
    let best = ways
        .iter()
        .filter(|w| w.clampings().is_some())
        .min_by_key(|w| {
            // Of ways alike otherwise the one with more room, so that a longer travel never takes a
            // place away.
            let places = Reverse(per_loading(on, &w.lie(), stack));
            (w.clampings(), w.throat.is_some(), places, w.turned)
        });
    if best.is_none_or(|w| w.clampings() > Some(1))
        && let Some(lie) = at_an_angle(on, &region)
    {
        for (capability, t, need) in [
            (Capability::TravelX, travel[0], lie.need[0]),
            (Capability::TravelY, travel[1], lie.need[1]),
        ] {
            if let Some(t) = t {
                tally.margin(capability, (t - need).to_mm());
            }
        }
        let straight = ways[0].need;
        let (capability, by) = shortest_straight(straight, travel);
        tally.limit(
            capability,
            by,
            texts::at_an_angle(lie.angle),
            Some(share(on.practice.mends.angle, on.demand)),
            false,
        );
        return lie;
    }
    let Some(best) = best else {
        return too_short(on, &region, &ways, travel, tally);
    };
    let lie = best.lie();
    if let Some(throat) = best.throat {
        tally.ask(Field::throat, p.throat, throat, true);
    }
    if let Some(throat) = p.throat.stated() {
        // Told even where the table itself passes.
        let wanted = if lie.along[1] == 1 {
            behind(lie.size[1], lie.need[1])
        } else {
            behind_of_half(lie.size[1], on.practice.overlap)
        };
        let margin = (throat - wanted).to_mm();
        tally.margin(Capability::Throat, margin);
        if super::tally::short(margin) {
            tally.limit(
                Capability::Throat,
                -margin,
                texts::column_in_the_way(),
                Some(Time::ZERO),
                false,
            );
        }
    }
    let axes = [
        (Capability::TravelX, Field::travel_x, p.travel_x, 'X'),
        (Capability::TravelY, Field::travel_y, p.travel_y, 'Y'),
    ];
    let most = [MOST_ALONG_X, MOST_ALONG_Y];
    for (axis, (capability, field, known, letter)) in axes.into_iter().enumerate() {
        match travel[axis] {
            Some(t) => {
                let margin = (t - best.need[axis]).to_mm();
                tally.margin(capability, margin);
                if lie.along[axis] > 1 {
                    // Turned round, every shift comes again.
                    let each = if axis == 1 { lie.along[0] } else { 1 };
                    let again = f64::from((lie.along[axis] - 1) * each);
                    tally.limit(
                        capability,
                        (-margin).max(0.0),
                        texts::clamp_again(letter, lie.along[axis], axis == 1, on.practice.overlap),
                        Some(on.practice.mends.clamp_again(on.machine) * again),
                        false,
                    );
                }
            }
            None => {
                // The least travel that would do in either way round; more clampings count only
                // where the tolerance bears them together with those along the other axis.
                let other = 1 - axis;
                let least = ways
                    .iter()
                    .filter_map(|w| {
                        let n = clampings_held(on, most[axis], w.along[other]?)?;
                        Some(travel::least_travel(w.need[axis], n, on.practice.overlap))
                    })
                    .fold(best.need[axis], Length::min);
                let least = least_at_an_angle(on, &region, axis, travel[other], least);
                tally.ask(field, known, least, true);
            }
        }
    }
    lie
}

/// Most clampings along an axis with which the part's tolerance still holds, when there are so many
/// along the other; a single one needs no tolerance. `None` when the others alone lose it.
fn clampings_held(on: On<'_>, most: u32, beside: u32) -> Option<u32> {
    let errors = &on.practice.errors;
    let known = on.machine.properties.positioning_accuracy;
    let have = known.stated().unwrap_or(errors.machines[0]);
    let holds = |n: &u32| {
        let further = n * beside - 1;
        further == 0
            || budget(on.demand, on.materials, on.machine, errors, further)
                .is_none_or(|b| b.at_best >= have)
    };
    (1..=most).rev().find(holds)
}

/// The axis along which the part as drawn is short, and by how much.
fn shortest_straight(need: [Length; 2], travel: [Option<Length>; 2]) -> (Capability, f64) {
    let by = |axis: usize| travel[axis].map_or(0.0, |t| (need[axis] - t).to_mm());
    if by(0) >= by(1) {
        (Capability::TravelX, by(0).max(0.0))
    } else {
        (Capability::TravelY, by(1).max(0.0))
    }
}

/// The least travel along an axis with which the part lies within at some angle, the other travel
/// being known; never more than `most`. Found by halving, to a millionth of it: a longer travel never
/// takes an angle away.
fn least_at_an_angle(
    on: On<'_>,
    region: &Region,
    axis: usize,
    other: Option<Length>,
    most: Length,
) -> Length {
    let Some(other) = other else {
        return most;
    };
    let does = |t: Length| {
        let travel = if axis == 0 { [t, other] } else { [other, t] };
        within(on, region, travel).is_some()
    };
    let (mut short, mut enough) = (Length::ZERO, most);
    if !does(enough) {
        return most;
    }
    while enough - short > 1e-6 * most {
        let middle = 0.5 * (short + enough);
        if does(middle) {
            enough = middle;
        } else {
            short = middle;
        }
    }
    enough
}

/// In one clamping at an angle, where both travels are stated and the column lets it pass.
fn at_an_angle(on: On<'_>, region: &Region) -> Option<Lie> {
    let p = &on.machine.properties;
    within(on, region, [p.travel_x.stated()?, p.travel_y.stated()?])
}

/// The same with these travels.
fn within(on: On<'_>, region: &Region, travel: [Length; 2]) -> Option<Lie> {
    let angle = region.angle_within(travel)?;
    let need = region.need(angle);
    let [x, y, _] = on.setup.extent;
    let size = turned_size([x, y], angle);
    let (Column::At(at) | Column::Beyond(at)) = column(on.machine) else {
        return None;
    };
    behind(size[1], need[1]).fits(at).then_some(Lie {
        angle,
        along: [1, 1],
        need,
        size,
    })
}

/// No way round does: the reasons of the way that falls least short, with the cheapest mend.
fn too_short(
    on: On<'_>,
    region: &Region,
    ways: &[Way; 2],
    travel: [Option<Length>; 2],
    tally: &mut Tally,
) -> Lie {
    let most = [MOST_ALONG_X, MOST_ALONG_Y];
    let overlap = on.practice.overlap;
    let shortfall = |w: &Way| -> [Length; 2] {
        [0, 1].map(|axis| {
            travel[axis].map_or(Length::ZERO, |t| {
                (travel::least_travel(w.need[axis], most[axis], overlap) - t).max(Length::ZERO)
            })
        })
    };
    let sum = |w: &Way| {
        let [x, y] = shortfall(w);
        x + y
    };
    let way = if sum(&ways[1]) < sum(&ways[0]) {
        &ways[1]
    } else {
        &ways[0]
    };
    let short = shortfall(way);
    let reclaimable = mend(on, region);
    for (axis, capability, letter) in [(0, Capability::TravelX, 'X'), (1, Capability::TravelY, 'Y')]
    {
        if let Some(t) = travel[axis] {
            tally.margin(capability, (t - way.need[axis]).to_mm());
        }
        if short[axis] > Length::ZERO {
            let (mend, costs) = reclaimable.clone().unwrap_or_else(|| {
                let outside = share(on.practice.mends.outside, on.demand);
                (texts::travel_too_short(letter, most[axis]), outside)
            });
            tally.limit(capability, short[axis].to_mm(), mend, Some(costs), true);
        }
    }
    if short[0] <= Length::ZERO && short[1] <= Length::ZERO {
        // Only the column is in the way.
        let by = on
            .machine
            .properties
            .throat
            .stated()
            .map_or(0.0, |t| (behind_of_half(way.size[1], overlap) - t).to_mm());
        tally.margin(Capability::Throat, -by);
        tally.limit(
            Capability::Throat,
            by,
            texts::column_too_near(),
            Some(share(on.practice.mends.outside, on.demand)),
            true,
        );
    }
    Lie {
        along: [0, 1].map(|a| way.along[a].unwrap_or(most[a])),
        ..way.lie()
    }
}

/// Outlines are followed with cutters down to this diameter (common practice, no source).
const SMALLEST_OUTLINE_MM: f64 = 6.0;

/// What would make the setup reach after all: a smaller cutter for the outline, the holes drilled on
/// a drill press.
fn mend(on: On<'_>, region: &Region) -> Option<(String, Time)> {
    let mut ways = Vec::new();
    let reaches = |setup: &Setup| {
        let region = Region::of(setup);
        [false, true].into_iter().any(|turned| {
            Way::of(On { setup, ..on }, &region, turned)
                .clampings()
                .is_some()
        })
    };
    let outline = on
        .setup
        .tasks
        .iter()
        .filter(|t| t.outside)
        .map(|t| t.tool.diameter)
        .fold(Length::ZERO, Length::max);
    for d_mm in [16.0, 12.0, 10.0, 8.0, SMALLEST_OUTLINE_MM] {
        let smaller = Length::mm(d_mm);
        if smaller >= outline {
            continue;
        }
        let mut tried = on.setup.clone();
        for task in tried.tasks.iter_mut().filter(|t| t.outside) {
            task.tool.diameter = task.tool.diameter.min(smaller);
        }
        if reaches(&tried) {
            let costs = lost(on, &tried);
            ways.push((texts::smaller_outline_cutter(smaller), costs));
            break;
        }
    }
    let hole = |kind| {
        matches!(
            kind,
            TaskKind::Drill | TaskKind::Ream | TaskKind::Tap | TaskKind::Bore | TaskKind::Thread
        )
    };
    let holes: u32 = on
        .setup
        .tasks
        .iter()
        .filter(|t| t.kind == TaskKind::Drill)
        .map(|t| t.count)
        .sum();
    if holes > 0 {
        let mut tried = on.setup.clone();
        tried.tasks.retain(|t| !hole(t.kind));
        let changed = Region::of(&tried) != *region;
        if changed && reaches(&tried) {
            ways.push((
                texts::drill_press(holes),
                on.practice.mends.drill_press * f64::from(holes),
            ));
        }
    }
    cheapest(ways)
}

/// Time the same setup takes longer with other tools.
fn lost(on: On<'_>, other: &Setup) -> Time {
    let material = on.materials.0.get(&on.demand.material);
    let (Some(material), Some(limits)) = (material, on.limits) else {
        return Time::ZERO;
    };
    let of = |setup: &Setup| -> Time {
        setup
            .tasks
            .iter()
            .filter_map(|t| possible_cut_within(t, material, limits))
            .map(|c| c.time)
            .sum()
    };
    (of(other) - of(on.setup)).max(Time::ZERO)
}
