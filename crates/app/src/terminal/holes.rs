//! Holes as a machinist writes them.

use super::part::direction;
use crate::contract::features::{HoleSaid, PatternSaid};
use std::fmt::Write;

/// Alike holes in one line each, with how they lie. Those of a pattern stand apart from others of
/// the same size.
pub fn holes(found: &[HoleSaid], patterns: &[PatternSaid]) -> Vec<String> {
    let mut kinds: Vec<(usize, String)> = Vec::new();
    for (number, hole) in found.iter().enumerate() {
        let mut text = callout(hole);
        if let Some(pattern) = patterns.iter().find(|p| p.holes.contains(&number)) {
            text.push_str(", ");
            text.push_str(&pattern.words());
        }
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

/// A length without idle zeros: 6.756, 20, 9.89.
fn short(mm: f64) -> String {
    let text = format!("{mm:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn callout(hole: &HoleSaid) -> String {
    let mut out = format!("dia {} ", short(hole.diameter_mm));
    let deep = short(hole.depth_mm);
    let _ = match (hole.through, hole.bottom) {
        (true, _) => write!(out, "through {deep}"),
        (false, "cone") => write!(out, "x {deep} to the drill point"),
        (false, "flat") => write!(out, "x {deep}, flat bottom"),
        (false, _) => write!(out, "x {deep}"),
    };
    for step in &hole.steps {
        if step.diameter_mm > hole.diameter_mm + 0.05 {
            let wide = short(step.diameter_mm);
            let deep = short(step.depth_mm);
            let _ = if step.diameter_mm == step.far_diameter_mm {
                write!(out, ", cbore {wide} to {deep}")
            } else {
                write!(out, ", csk {wide} to {deep}")
            };
        }
    }
    let _ = write!(out, ", from {}", direction(hole.toward));
    if let Some(thread) = hole.thread {
        let _ = write!(out, " (tap drill of {thread}, if it is to be tapped)");
    }
    if hole.both_sides {
        out.push_str(", wider again at the far side");
    }
    if hole.interrupted {
        out.push_str(", cut across");
    }
    out
}
