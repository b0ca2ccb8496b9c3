//! The way in, told in the terminal.

use engine::site::route::{ComesIn, Load, WayIn};
use std::fmt::Write;
use units::{Length, System, show, show_room};

/// Lengths in both systems: rigger and tape may speak either.
fn both(mm: f64) -> String {
    let length = Length::mm(mm);
    format!(
        "{} ({})",
        show(length, System::Metric),
        show(length, System::Us)
    )
}

fn place([x, y]: [f64; 2]) -> String {
    let told = |mm: f64| {
        let length = Length::mm(mm);
        format!(
            "{} ({})",
            show_room(length, System::Metric),
            show_room(length, System::Us)
        )
    };
    format!("x {}, y {}", told(x), told(y))
}

/// The answer.
pub fn describe(load: &Load, answer: &WayIn) -> String {
    let mut out = String::new();
    let verdict = match (answer.comes_in, answer.with_works()) {
        (ComesIn::Yes, _) => "YES, it comes in".to_owned(),
        (ComesIn::No, None) => "NO, there is no way in".to_owned(),
        (ComesIn::No, Some(help)) => format!("NOT AS IT IS, but it comes in so: {}", help.what),
        (ComesIn::CannotSay, None) => "CANNOT SAY".to_owned(),
        (ComesIn::CannotSay, Some(help)) => {
            format!("CANNOT SAY as it is; it comes in so: {}", help.what)
        }
    };
    let _ = writeln!(
        out,
        "{verdict}: a load of {} by {}, {} kept on every side",
        both(load.length.to_mm()),
        both(load.width.to_mm()),
        both(answer.clearance_mm)
    );
    if let (Some(length), Some(room)) = (answer.length_mm, answer.tightest_mm) {
        let turned = answer.turned_deg.unwrap_or_default();
        let _ = writeln!(
            out,
            "  way          {} long, turned {turned:.0} degrees in all",
            show_room(Length::mm(length), System::Metric)
        );
        let _ = writeln!(out, "  narrowest    {} left on every side", both(room));
        if let Some(at) = answer.tightest_at {
            let _ = writeln!(out, "               at {}", place(at));
        }
    }
    if let Some(sticks) = &answer.sticks {
        let _ = writeln!(
            out,
            "  sticks       on {} at {}",
            sticks.thing,
            place(sticks.at)
        );
        if let Some(short) = sticks.short_by_mm {
            let what = if sticks.in_height {
                "too high"
            } else {
                "too wide, with its length in proportion,"
            };
            let _ = writeln!(out, "               {what} by {}", both(short));
        }
    }
    for (name, size) in [("passes", answer.largest_mm), ("fails", answer.fails_mm)] {
        if let Some([length, width]) = size {
            let what = if name == "passes" {
                "largest of these proportions seen to pass"
            } else {
                "smallest seen not to"
            };
            let _ = writeln!(
                out,
                "  {name:<12} {} by {}: {what}",
                both(length),
                both(width)
            );
        }
    }
    let _ = writeln!(
        out,
        "  resolution   a way with {} more on every side is never missed",
        both(answer.resolution_mm)
    );
    for help in &answer.helps {
        let comes = match help.comes_in {
            ComesIn::Yes => "then it comes in",
            ComesIn::No => "does not help",
            ComesIn::CannotSay if help.ask.is_empty() => "may help; too narrow to say",
            ComesIn::CannotSay => "may help, once answered:",
        };
        let cost = if help.cost.is_empty() {
            String::new()
        } else {
            format!(" ({})", help.cost)
        };
        let _ = writeln!(out, "  or           {}{cost}: {comes}", help.what);
        for ask in &help.ask {
            let _ = writeln!(out, "               {ask}");
        }
        if let Some([_, width]) = help.flips_mm.filter(|_| !help.ask.is_empty()) {
            let _ = writeln!(out, "               it flips at a width of {}", both(width));
        }
    }
    for ask in &answer.ask {
        let _ = writeln!(out, "  ask first    {ask}");
    }
    for remark in &answer.remarks {
        let _ = writeln!(out, "  note         {remark}");
    }
    let _ = writeln!(
        out,
        "  Moving machines is for competent, insured riggers; nobody under or downhill of the load."
    );
    out
}
