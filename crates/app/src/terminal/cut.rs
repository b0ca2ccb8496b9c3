//! One cut, for a reader: every number in both systems, then what it rests on.

use crate::contract::Note;
use crate::contract::cut::time_s;
use engine::cutting::Single;
use std::fmt::Write;
use units::{Length, Power, Show, System, show, show_cutting_speed, show_range};

/// Writes the answer.
pub fn describe(
    operation: &str,
    single: &Single,
    efficiency: f64,
    length: Option<Length>,
    notes: &[Note],
) -> String {
    let mut out = format!("{operation}\n");
    let mut line = |name: &str, text: String| {
        let _ = writeln!(out, "  {name:<22}{text}");
    };
    let speed = |s| show_cutting_speed(single.speed, s);
    line(
        "cutting speed",
        format!("{}  ({})", speed(System::Metric), speed(System::Us)),
    );
    if let Some(rpm) = single.rpm {
        line("spindle speed", show(rpm, System::Metric));
    }
    if let Some(feed) = single.feed {
        line("feed", both(feed));
    }
    if let Some(chip) = single.chip {
        line("mean chip", both(chip));
    }
    line("removal rate", both(single.removal));
    line("specific force", both(single.force));
    line("power at the edge", both(single.power));
    if let Some([low, high]) = single.band {
        let range = |s| show_range(low, high, s);
        line(
            "  by the methods",
            format!("{}  ({})", range(System::Metric), range(System::Us)),
        );
    }
    let motor: Power = single.power / efficiency;
    line(
        "power of the motor",
        format!(
            "{}, {:.0} % reach the edge",
            both(motor),
            100.0 * efficiency
        ),
    );
    if let Some(torque) = single.torque {
        line("torque", both(torque));
    }
    if let Some(thrust) = single.thrust {
        line("thrust", both(thrust));
    }
    if let Some(force) = single.tangential {
        line("cutting force, mean", both(force));
    }
    if let Some(time) = length.and_then(|l| time_s(single, l)) {
        line("time over the length", format!("{time:.1} s"));
    }
    if let Some(approach) = single.approach {
        line("run-in on top", both(approach));
    }
    out.push_str("rests on\n");
    for method in &single.methods {
        let _ = writeln!(out, "  {}\n    {}", method.formula, method.source);
    }
    for note in notes {
        let _ = writeln!(out, "{}: {}: {}", note.level, note.about, note.text);
    }
    out
}

fn both<Q: Show>(quantity: Q) -> String {
    format!(
        "{}  ({})",
        show(quantity, System::Metric),
        show(quantity, System::Us)
    )
}
