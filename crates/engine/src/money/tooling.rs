//! The kit of tools the parts' own list asks for: holders by taper, collets, cutters by kind and
//! size, spares of what breaks, and what sets their lengths; less what is there already.

use super::default::{self, Band};
use super::lines::Demanded;
use super::texts;
use crate::demand::{ToolNeed, ToolShape};
use crate::machine::Taper;
use std::collections::BTreeSet;

/// A line: its name, how many of which price, and why.
pub(super) type KitLine = (&'static str, Vec<(f64, Band)>, String);

/// Lines of the kit; `holders` are the shop's own that fit, `has` tells what else it owns or the
/// seller includes.
pub(super) fn kit(
    demanded: &Demanded,
    taper: Option<&Taper>,
    holders: f64,
    has: &dyn Fn(&str) -> bool,
) -> Vec<KitLine> {
    let count = f64::from(demanded.tools.max(1));
    let wanted = (count - f64::from(demanded.owned_tools)).max(0.0);
    let missing = (count - holders).max(0.0);
    let mut lines: Vec<KitLine> = Vec::new();
    if missing > 0.0 && !has("toolholders") && !has("holders") {
        let mut holder = default::holder(taper);
        // Drills and taps may share holders, by changing collets.
        holder.dollars[0] *= 0.5;
        lines.push((
            "tooling: holders",
            vec![(missing, holder)],
            texts::HOLDERS.to_owned(),
        ));
        if !has("collets") {
            let collets = if demanded.kit.is_empty() {
                wanted
            } else {
                collets(&demanded.kit) as f64
            };
            if collets > 0.0 {
                let each = (collets, default::COLLET);
                lines.push(("tooling: collets", vec![each], texts::COLLETS.to_owned()));
            }
        }
    }
    if wanted > 0.0 && !has("cutters") {
        let (cutters, spares) = if demanded.kit.is_empty() {
            (vec![(wanted, default::CUTTER)], Vec::new())
        } else {
            let of = |tool: &&ToolNeed| (1.0, default::cutter(tool));
            let spares = demanded.kit.iter().filter(|t| breaks(t)).map(|tool| {
                let mut spare = default::cutter(tool);
                // None, one, or two of each are broken before the first good part.
                spare.dollars = [0.0, spare.dollars[1], 2.0 * spare.dollars[2]];
                (1.0, spare)
            });
            (
                demanded.kit.iter().map(|t| of(&t)).collect(),
                spares.collect(),
            )
        };
        let why = texts::cutters_bought(demanded.tools, demanded.owned_tools);
        lines.push(("tooling: cutters", cutters, why));
        if !spares.is_empty() {
            lines.push(("tooling: spares", spares, texts::SPARES.to_owned()));
        }
    }
    if !has("setting tools") && !has("tool setter") {
        let setting = vec![(1.0, default::SETTING)];
        lines.push(("tooling: setting", setting, texts::SETTING.to_owned()));
    }
    lines
}

/// Sizes of collet the kit takes: one for each diameter a collet holds.
fn collets(kit: &[ToolNeed]) -> usize {
    let held = |tool: &&ToolNeed| {
        // Beyond 20 mm shanks are reduced or the tool sits on an arbor of its own (common practice, no
        // source).
        !matches!(tool.shape, ToolShape::Face | ToolShape::Boring) && tool.diameter.to_mm() <= 20.0
    };
    let sizes: BTreeSet<i64> = kit
        .iter()
        .filter(held)
        .map(|t| t.diameter.to_mm().ceil() as i64)
        .collect();
    sizes.len()
}

/// True for what breaks rather than wears: thin end mills and drills, every tap (common practice, no
/// source).
fn breaks(tool: &ToolNeed) -> bool {
    match tool.shape {
        ToolShape::Tap => true,
        ToolShape::Flat | ToolShape::Ball | ToolShape::Bull => tool.diameter.to_mm() <= 6.35,
        ToolShape::Drill => tool.diameter.to_mm() <= 3.2,
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use units::Length;

    fn tool(shape: ToolShape, mm: f64) -> ToolNeed {
        ToolNeed {
            shape,
            diameter: Length::mm(mm),
            corner: Length::ZERO,
            reach: Length::mm(20.0),
        }
    }

    fn demanded() -> Demanded {
        let kit = vec![
            tool(ToolShape::Face, 50.0),
            tool(ToolShape::Flat, 12.0),
            tool(ToolShape::Flat, 6.0),
            tool(ToolShape::Drill, 5.0),
            tool(ToolShape::Tap, 6.0),
        ];
        Demanded {
            tools: kit.len() as u32,
            kit,
            ..Demanded::default()
        }
    }

    #[test]
    fn the_kit_follows_the_list_and_leaves_out_what_is_there() {
        let names = |owned: &[&str]| -> Vec<&str> {
            let has = |name: &str| owned.contains(&name);
            kit(&demanded(), None, 0.0, &has)
                .iter()
                .map(|l| l.0)
                .collect()
        };
        let all = [
            "tooling: holders",
            "tooling: collets",
            "tooling: cutters",
            "tooling: spares",
            "tooling: setting",
        ];
        assert_eq!(names(&[]), all);
        assert_eq!(names(&["toolholders"]), all[2..]);
        assert_eq!(names(&["cutters", "setting tools"]), all[..2]);
        let lines = kit(&demanded(), None, 0.0, &|_| false);
        // 12, 6 and 5 mm collets; the tap shares that of 6.
        assert_eq!(lines[1].1[0].0, 3.0);
        // One cutter each; the 6 mm end mill and the tap have spares.
        assert_eq!((lines[2].1.len(), lines[3].1.len()), (5, 2));
    }

    #[test]
    fn own_tools_and_holders_are_not_bought_again() {
        let mut some = demanded();
        some.kit.truncate(2);
        some.owned_tools = 3;
        let lines = kit(&some, None, 4.0, &|_| false);
        // One of five holders is missing, and two cutters with one shank for a collet.
        assert_eq!((lines[0].1[0].0, lines[1].1[0].0), (1.0, 1.0));
        assert!(lines[2].1.len() == 2 && lines[2].2.contains("3 of 5"));
        some.kit.clear();
        some.owned_tools = 5;
        let names: Vec<&str> = kit(&some, None, 9.0, &|_| false)
            .iter()
            .map(|l| l.0)
            .collect();
        assert_eq!(names, ["tooling: setting"]);
    }

    #[test]
    fn wider_tools_of_a_kind_never_cost_less() {
        for shape in [
            ToolShape::Flat,
            ToolShape::Ball,
            ToolShape::Face,
            ToolShape::Drill,
            ToolShape::Tap,
        ] {
            let mut before = [0.0; 3];
            for mm in [1.0, 3.0, 6.0, 12.0, 20.0, 50.0] {
                let now = default::cutter(&tool(shape, mm)).dollars;
                assert!(now[0] < now[1] && now[1] < now[2], "{shape:?} {mm}");
                assert!((0..3).all(|k| now[k] >= before[k]), "{shape:?} {mm}");
                before = now;
            }
        }
    }
}
