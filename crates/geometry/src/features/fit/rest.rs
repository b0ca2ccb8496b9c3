//! Planes and freeform faces from what no round surface took.

use super::super::face::Surface;
use super::super::facet::Link;
use super::{FREE, Fit};
use glam::DVec3;

impl Fit<'_> {
    /// Planes and freeform faces from the patches no round surface took.
    pub(super) fn name_the_rest(&mut self) {
        let free: Vec<u32> = (0..self.facets.len() as u32)
            .filter(|&f| self.face[f as usize] == FREE)
            .collect();
        let smooth =
            |fit: &Fit<'_>, l: &Link| fit.face[l.other as usize] == FREE && l.turn.abs() <= 0.35;
        let mut freeform = vec![false; self.facets.len()];
        for &f in &free {
            let links = self.facets.links(f);
            let round: f64 = links.iter().map(|l| l.length).sum();
            let soft: f64 = links
                .iter()
                .filter(|l| smooth(self, l))
                .map(|l| l.length)
                .sum();
            freeform[f as usize] =
                soft > 0.5 * round || self.facets.normal[f as usize] == DVec3::ZERO;
        }
        for &seed in &free {
            if self.face[seed as usize] != FREE {
                continue;
            }
            let face = self.surfaces.len() as u32;
            self.face[seed as usize] = face;
            if !freeform[seed as usize] {
                self.surfaces.push(Surface::Plane {
                    normal: self.facets.normal[seed as usize],
                    origin: self.facets.centre[seed as usize],
                });
                continue;
            }
            self.surfaces.push(Surface::Other);
            let mut open = vec![seed];
            while let Some(f) = open.pop() {
                for link in self.facets.links(f) {
                    let other = link.other as usize;
                    if freeform[other] && self.face[other] == FREE && link.turn.abs() <= 0.35 {
                        self.face[other] = face;
                        open.push(link.other);
                    }
                }
            }
        }
    }

    /// A freeform face holds bands that pass for cylinders and cones; those that run smoothly into
    /// freeform along most of their border belong to it.
    pub(super) fn give_back_freeform(&mut self) {
        loop {
            let mut border = vec![(0.0, 0.0, FREE); self.surfaces.len()];
            for f in 0..self.facets.len() as u32 {
                let own = self.face[f as usize];
                for link in self.facets.links(f) {
                    let other = self.face[link.other as usize];
                    if other == own {
                        continue;
                    }
                    let slot = &mut border[own as usize];
                    slot.0 += link.length;
                    let freeform = matches!(self.surfaces[other as usize], Surface::Other);
                    if freeform && link.turn.abs() <= 0.35 {
                        slot.1 += link.length;
                        slot.2 = slot.2.min(other);
                    }
                }
            }
            let mut to: Vec<u32> = (0..self.surfaces.len() as u32).collect();
            for (face, (round, soft, other)) in border.into_iter().enumerate() {
                let fitted = matches!(
                    self.surfaces[face],
                    Surface::Cylinder { .. } | Surface::Cone { .. }
                );
                if fitted && soft > 0.4 * round {
                    to[face] = other;
                }
            }
            if to.iter().enumerate().all(|(i, &t)| i as u32 == t) {
                break;
            }
            for face in &mut self.face {
                *face = to[*face as usize];
            }
            self.pack();
        }
    }
}
