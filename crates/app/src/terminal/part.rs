//! A part as a machinist reads it: the stock, how it is held, what is cut with what, what is left.

use super::table::table;
use crate::contract::part::Part;
use crate::contract::setups::{SetupSaid, TaskSaid};
use std::fmt::Write;
use units::{Length, System, show};

/// The whole answer of `part`.
pub fn describe(part: &Part) -> String {
    let both = |sides: [f64; 3]| {
        let in_system = |system| sides.map(|mm| show(Length::mm(mm), system)).join(" x ");
        format!("{}  ({})", in_system(System::Metric), in_system(System::Us))
    };
    let mut out = String::new();
    let _ = writeln!(out, "{} (numbers in {})", part.model, part.unit);
    let _ = writeln!(out, "  smallest box  {}", both(part.box_mm));
    let _ = writeln!(out, "  raw stock     {}", both(part.stock_mm));
    let _ = writeln!(out, "  volume        {:.2} cm3", part.volume_mm3 / 1000.0);
    let closes = if part.watertight {
        "closes"
    } else {
        "does not close"
    };
    let _ = writeln!(out, "  surface       {closes}");
    if let Some(c) = &part.clampings {
        let _ = writeln!(
            out,
            "  setups        {} on three axes{}, {} with a rotary axis, {} with a tilting table or \
             head",
            c.three_axis,
            if part.proven == Some(true) {
                " (no fewer do)"
            } else {
                ""
            },
            c.fourth_axis,
            c.three_plus_two
        );
    }
    for (number, setup) in part.setups.iter().enumerate() {
        out.push_str(&one_setup(number + 1, setup));
    }
    if !part.holes.is_empty() {
        out.push('\n');
    }
    for line in super::holes::holes(&part.holes, &part.patterns) {
        let _ = writeln!(out, "  holes, mm     {line}");
    }
    let mut facts = Vec::new();
    if let Some(r) = part.inside_radius_mm {
        facts.push(format!("smallest inside corner R {r:.2} mm"));
    }
    if let Some(d) = part.depth_to_diameter {
        facts.push(format!("deepest work {d:.1} tool diameters"));
    }
    if !facts.is_empty() {
        let _ = writeln!(out, "  {}", facts.join("; "));
    }
    for note in &part.notes {
        let _ = writeln!(out, "  {}: {}", note.level, note.text);
    }
    out
}

fn one_setup(number: usize, setup: &SetupSaid) -> String {
    let mut out = String::new();
    let jaws = match setup.holding.across {
        Some(across) => format!(
            "in a vise, jaws across {}, {:.1} mm of the part gripped",
            direction(across),
            setup.holding.grip_mm
        ),
        None if setup.holding.with == "vise" => "in a vise by the stock under the part".to_owned(),
        None => "clamped to a plate".to_owned(),
    };
    let again = if setup.holding.again {
        ", turned for what the jaws covered"
    } else {
        ""
    };
    let _ = writeln!(
        out,
        "\n  Setup {number}: {} up, {jaws}{again}, {:.0} % of the surface",
        direction(setup.toward),
        100.0 * setup.area_share
    );
    let rows = setup.tasks.iter().map(row).collect();
    let columns = [
        "",
        "tool",
        "stick-out mm",
        "depth mm",
        "places",
        "cm3",
        "cm2",
        "",
    ];
    out.push_str(&table(&columns, &[2, 3, 4, 5, 6], rows));
    out
}

fn row(task: &TaskSaid) -> Vec<String> {
    let some = |v: f64| {
        if v > 0.0 {
            format!("{:.1}", v)
        } else {
            String::new()
        }
    };
    vec![
        task.kind_word().to_owned(),
        match &task.tool.owned {
            Some(_) => format!("{} (own)", task.tool.words()),
            None => task.tool.words(),
        },
        format!("{:.0}", task.tool.reach_mm),
        format!("{:.1}", task.cut_depth_mm),
        if task.count > 1 {
            format!("{} x", task.count)
        } else {
            String::new()
        },
        some(task.volume_mm3 / 1000.0),
        some(task.area_mm2 / 100.0),
        task.about.clone(),
    ]
}

/// A direction in words: an axis where it is one.
pub(super) fn direction(v: [f64; 3]) -> String {
    for (k, name) in ["X", "Y", "Z"].iter().enumerate() {
        if v[k].abs() > 0.9999 {
            return format!("{}{name}", if v[k] < 0.0 { "-" } else { "+" });
        }
    }
    format!("({:.3}, {:.3}, {:.3})", v[0], v[1], v[2])
}
