//! Smallest rectangle around points in the plane.

use crate::hull::polygon_corners;
use glam::DVec2;

/// A rectangle around points: unit directions of its sides and its extents along them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rectangle {
    /// Direction of the first side; the second is a quarter turn counter-clockwise from it.
    pub along: DVec2,
    /// Extents along the two sides.
    pub extents: [f64; 2],
}

impl Rectangle {
    /// Area.
    pub fn area(&self) -> f64 {
        self.extents[0] * self.extents[1]
    }
}

/// The rectangle of least area around `points`: one side lies along an edge of the convex hull
/// (H. Freeman, R. Shapira, Commun. ACM 18, 1975); calipers turn around it (G. T. Toussaint, 1983).
/// `None` without points.
pub fn smallest_rectangle(points: &[DVec2]) -> Option<Rectangle> {
    let corners: Vec<DVec2> = polygon_corners(points)
        .into_iter()
        .map(|i| points[i])
        .collect();
    let n = corners.len();
    match n {
        0 => return None,
        1 => {
            return Some(Rectangle {
                along: DVec2::X,
                extents: [0.0, 0.0],
            });
        }
        _ => {}
    }
    let mut best: Option<Rectangle> = None;
    let (mut right, mut top, mut left) = (1, 1, 1);
    for i in 0..n {
        let edge = corners[(i + 1) % n] - corners[i];
        let along = edge.normalize();
        let up = along.perp();
        let climb = |mut at: usize, d: DVec2| {
            for _ in 0..n {
                if d.dot(corners[(at + 1) % n] - corners[at]) <= 0.0 {
                    break;
                }
                at = (at + 1) % n;
            }
            at
        };
        if i == 0 {
            right = (i + 1) % n;
        }
        right = climb(right, along);
        top = climb(if i == 0 { right } else { top }, up);
        left = climb(if i == 0 { top } else { left }, -along);
        let extents = [
            along.dot(corners[right] - corners[left]),
            up.dot(corners[top] - corners[i]),
        ];
        let found = Rectangle { along, extents };
        if best.is_none_or(|b| found.area() < b.area()) {
            best = Some(found);
        }
    }
    best
}
