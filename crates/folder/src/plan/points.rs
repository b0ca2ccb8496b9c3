//! Points, lines and outlines of a plan.

use super::{FARTHEST_MM, LEAST_AREA_MM2};
use crate::document::{Located, Node};
use crate::quantity::{self, Least};
use crate::section::Section;
use crate::texts::{self, Wrong};
use engine::site::route::doubled_area;
use glam::DVec2;
use units::Length;

/// How points are read: `[x, y]`, each a length in quotes or, with a unit stated, a bare number.
#[derive(Clone, Copy)]
pub(super) struct Points {
    pub(super) unit: Option<f64>,
}

impl Points {
    fn coordinate(self, node: &Node) -> Result<f64, Wrong> {
        let mm = match node {
            Node::Number(n) => match self.unit {
                Some(mm) => n * mm,
                None => return Err(texts::point_without_unit(*n)),
            },
            Node::Text(text) => {
                let text = text.trim();
                let (sign, rest) = match text.strip_prefix('-') {
                    Some(rest) => (-1.0, rest.trim()),
                    None => (1.0, text),
                };
                let node = Node::Text(rest.to_owned());
                sign * quantity::quantity::<Length>(&node, Least::Zero)?
                    .likely
                    .to_mm()
            }
            other => return Err(texts::expected("a length", &other.describe())),
        };
        if mm.is_finite() && mm.abs() <= FARTHEST_MM {
            Ok(mm)
        } else {
            Err(texts::too_far())
        }
    }

    pub(super) fn pair(self, node: &Node) -> Result<DVec2, Wrong> {
        match node {
            Node::List(list) => match list.as_slice() {
                [x, y] => Ok(DVec2::new(
                    self.coordinate(&x.node)?,
                    self.coordinate(&y.node)?,
                )),
                other => Err(texts::expected(
                    "a point of two numbers, as in [3, 0]",
                    &format!("a list of {}", other.len()),
                )),
            },
            other => Err(texts::expected("a point, as in [3, 0]", &other.describe())),
        }
    }

    /// Points in a row, equal neighbours taken once.
    pub(super) fn line(self, node: &Node, least: usize) -> Result<Vec<DVec2>, Wrong> {
        let Node::List(list) = node else {
            return Err(texts::expected(
                "a list of points, as in [[0, 0], [12, 0]]",
                &node.describe(),
            ));
        };
        let mut line = list
            .iter()
            .map(|Located { node, .. }| self.pair(node))
            .collect::<Result<Vec<_>, _>>()?;
        line.dedup();
        if line.len() < least {
            return Err(texts::few_points(least, line.len()));
        }
        Ok(line)
    }

    pub(super) fn lines(self, node: &Node) -> Result<Vec<Vec<DVec2>>, Wrong> {
        let Node::List(list) = node else {
            return Err(texts::expected(
                "a list of lines, as in [[[0, 0], [12, 0]], [[12, 0], [12, 9]]]",
                &node.describe(),
            ));
        };
        list.iter().map(|each| self.line(&each.node, 2)).collect()
    }

    pub(super) fn point(self, s: &Section<'_>, key: &'static str) -> Option<DVec2> {
        s.with(key, |node| self.pair(node))
    }

    pub(super) fn outline(self, s: &Section<'_>, key: &'static str) -> Option<Vec<DVec2>> {
        s.with(key, |node| {
            let mut outline = self.line(node, 3)?;
            if outline.len() > 3 && outline.first() == outline.last() {
                outline.pop();
            }
            check_outline(&outline)?;
            Ok(outline)
        })
    }

    /// `outline`, or the rectangle between `from` and `to`.
    pub(super) fn area(self, s: &Section<'_>) -> Option<Vec<DVec2>> {
        if s.has("outline") {
            if s.has("from") || s.has("to") {
                s.wrong("outline", texts::area_said_twice());
            }
            return self.outline(s, "outline");
        }
        if !s.has("from") && !s.has("to") {
            s.require(
                "outline",
                "from = [0, 0] and to = [3, 2], or outline = [[0, 0], [3, 0], [3, 2]]",
            );
            return None;
        }
        s.require("from", "from = [0, 0]");
        s.require("to", "to = [3, 2]");
        let (from, to) = (self.point(s, "from")?, self.point(s, "to")?);
        let (a, b) = (from.min(to), from.max(to));
        let corners = vec![a, DVec2::new(b.x, a.y), b, DVec2::new(a.x, b.y)];
        match check_outline(&corners) {
            Ok(()) => Some(corners),
            Err(wrong) => {
                s.wrong("to", wrong);
                None
            }
        }
    }
}

/// An outline must hold an area and may not cross itself.
pub(super) fn check_outline(outline: &[DVec2]) -> Result<(), Wrong> {
    let no_area = || {
        let area = 0.5 * doubled_area(outline).abs();
        if area < LEAST_AREA_MM2 {
            Err(texts::no_area())
        } else {
            Ok(())
        }
    };
    let n = outline.len();
    // Pairs of edges; outlines of thousands of corners are traced drawings, taken on trust.
    if n > 500 {
        return no_area();
    }
    let side = |a: DVec2, b: DVec2, p: DVec2| (b - a).perp_dot(p - a);
    for i in 0..n {
        for j in i + 2..n {
            if (j + 1) % n == i {
                continue;
            }
            let (a, b) = (outline[i], outline[(i + 1) % n]);
            let (c, d) = (outline[j], outline[(j + 1) % n]);
            if side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0 {
                return Err(texts::crosses_itself());
            }
        }
    }
    no_area()
}
