//! Makes ready-made triangles of a closed body run the same way round.
//!
//! Systems write the triangles of a reversed face as its surface has them, and the orientation of
//! the face is lost. Where every side is shared by exactly two triangles the right way is known up
//! to one choice for each connected body.

use std::collections::HashMap;
use std::collections::VecDeque;

use glam::DVec3;

/// Turns triangles over so that neighbours agree and bodies are right side out. Returns how many
/// were turned; none when a side is not shared by exactly two, since nothing is certain then.
pub(super) fn agree(vertices: &[DVec3], triangles: &mut [[u32; 3]]) -> usize {
    let Some(neighbours) = neighbours(triangles) else {
        return 0;
    };
    let mut turned: Vec<Option<bool>> = vec![None; triangles.len()];
    let mut count = 0;
    for seed in 0..triangles.len() {
        if turned[seed].is_some() {
            continue;
        }
        let mut body = Vec::new();
        let mut queue = VecDeque::from([seed]);
        turned[seed] = Some(false);
        while let Some(at) = queue.pop_front() {
            body.push(at);
            for (next, disagrees) in neighbours[at] {
                let wanted = turned[at].unwrap_or(false) ^ disagrees;
                match turned[next] {
                    None => {
                        turned[next] = Some(wanted);
                        queue.push_back(next);
                    }
                    // One-sided: no orientation exists.
                    Some(there) if there != wanted => return 0,
                    Some(_) => {}
                }
            }
        }
        count += settle(vertices, triangles, &turned, &body);
    }
    count
}

/// Chooses between the two orientations of one body. When the file was consistent it stands (a
/// cavity runs inwards on purpose); otherwise the volume must be positive.
fn settle(
    vertices: &[DVec3],
    triangles: &mut [[u32; 3]],
    turned: &[Option<bool>],
    body: &[usize],
) -> usize {
    let to_turn = |at: &usize| turned[*at] == Some(true);
    if !body.iter().any(to_turn) {
        return 0;
    }
    let volume: f64 = body
        .iter()
        .map(|at| {
            let [a, b, c] = triangles[*at].map(|k| vertices[k as usize] - vertices[0]);
            let six = a.dot(b.cross(c));
            if to_turn(at) { -six } else { six }
        })
        .sum();
    let mut count = 0;
    for at in body {
        if to_turn(at) ^ (volume < 0.0) {
            triangles[*at].swap(1, 2);
            count += 1;
        }
    }
    count
}

/// Triangle, which of its sides, and whether that runs from the lower vertex to the higher.
type Side = (usize, usize, bool);

/// The triangles beyond the three sides of each, and whether they run against it.
fn neighbours(triangles: &[[u32; 3]]) -> Option<Vec<[(usize, bool); 3]>> {
    let mut sides: HashMap<(u32, u32), Vec<Side>> = HashMap::new();
    for (at, t) in triangles.iter().enumerate() {
        for side in 0..3 {
            let (a, b) = (t[side], t[(side + 1) % 3]);
            sides
                .entry((a.min(b), a.max(b)))
                .or_default()
                .push((at, side, a < b));
        }
    }
    let mut all = vec![[(0, false); 3]; triangles.len()];
    for (at, t) in triangles.iter().enumerate() {
        for side in 0..3 {
            let (a, b) = (t[side], t[(side + 1) % 3]);
            let pair: &[_] = sides.get(&(a.min(b), a.max(b)))?;
            let [first, second] = pair else { return None };
            let other = if (first.0, first.1) == (at, side) {
                second
            } else {
                first
            };
            // Two triangles agree when they pass their common side in opposite directions.
            all[at][side] = (other.0, first.2 == second.2);
        }
    }
    Some(all)
}
