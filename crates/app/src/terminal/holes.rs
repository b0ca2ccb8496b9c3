//! Holes as a machinist writes them.

use crate::contract::features::HoleSaid;
use std::fmt::Write;

/// Alike holes in one line each.
pub fn holes(found: &[HoleSaid]) -> Vec<String> {
    let mut kinds: Vec<(usize, String)> = Vec::new();
    for hole in found {
        let text = callout(hole);
        match kinds.iter_mut().find(|k| k.1 == text) {
            Some(kind) => kind.0 += 1,
            None => kinds.push((1, text)),
        }
    }
    kinds
        .into_iter()
        .map(|(count, text)| format!("{count} x {text}"))
        .collect()
}

fn callout(hole: &HoleSaid) -> String {
    let mut out = format!("{:.3} mm, ", hole.diameter_mm);
    let _ = match (hole.through, hole.bottom) {
        (true, _) => write!(out, "through {:.2}", hole.depth_mm),
        (false, "cone") => write!(out, "{:.2} deep to the drill point", hole.depth_mm),
        (false, "flat") => write!(out, "{:.2} deep, flat", hole.depth_mm),
        (false, _) => write!(out, "{:.2} deep", hole.depth_mm),
    };
    for step in &hole.steps {
        if step.diameter_mm > hole.diameter_mm + 0.05 {
            let kind = if step.diameter_mm == step.far_diameter_mm {
                "counterbore"
            } else {
                "countersink"
            };
            let _ = write!(
                out,
                ", {kind} {:.2} to {:.2}",
                step.diameter_mm, step.depth_mm
            );
        }
    }
    let [x, y, z] = hole.toward;
    let _ = write!(out, ", from ({x:.2}, {y:.2}, {z:.2})");
    if let Some(thread) = hole.thread {
        let _ = write!(out, ", tap drill of {thread}");
    }
    if hole.both_sides {
        out.push_str(", wider again at the far side");
    }
    if hole.interrupted {
        out.push_str(", cut across");
    }
    out
}
