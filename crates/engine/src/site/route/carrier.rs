//! What carries the load, and how much it reaches beyond it. The sizes are those of common small
//! ones (common practice, no source); every one can be stated instead.

use super::shape::{Body, Rect};
use crate::entered::{Carrier, CarrierKind};
use glam::DVec2;
use units::{Length, Mass};

/// Plain numbers of a carrier.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Carried {
    /// Reach beyond the load.
    pub reach_mm: f64,
    /// Width there.
    pub width_mm: f64,
    /// Rise of the load.
    pub rise_mm: f64,
    /// Own height; the load with its rise may be higher.
    pub own_height_mm: f64,
    /// Smallest turning radius.
    pub turning_mm: f64,
    /// Own weight.
    pub weight_kg: f64,
    /// Small hard wheels.
    pub hard_floor: bool,
}

impl Carrier {
    /// Its numbers, stated or usual.
    pub fn numbers(&self) -> Carried {
        // reach, width, rise, own height, turning radius, weight
        let usual = match self.kind {
            CarrierKind::None => [0.0; 6],
            CarrierKind::Skates => [0.0, 0.0, 110.0, 0.0, 0.0, 60.0],
            CarrierKind::PalletJack => [700.0, 600.0, 120.0, 1250.0, 0.0, 80.0],
            CarrierKind::Forks => [2300.0, 1150.0, 150.0, 2150.0, 2100.0, 3800.0],
            CarrierKind::Gantry => [250.0, 0.0, 100.0, 3000.0, 0.0, 400.0],
        };
        let or = |stated: Option<Length>, usual: f64| stated.map_or(usual, Length::to_mm);
        let gantry = self.kind == CarrierKind::Gantry;
        Carried {
            reach_mm: or(self.reach, usual[0]),
            width_mm: or(self.width, usual[1]),
            rise_mm: if gantry {
                usual[2]
            } else {
                or(self.height, usual[2])
            },
            own_height_mm: if gantry {
                or(self.height, usual[3])
            } else {
                usual[3]
            },
            turning_mm: or(self.turning_radius, usual[4]),
            weight_kg: self.weight.map_or(usual[5], Mass::to_kg),
            hard_floor: matches!(
                self.kind,
                CarrierKind::Skates | CarrierKind::PalletJack | CarrierKind::Gantry
            ),
        }
    }

    /// Direction it drives in, in the load's frame; `None` for what rolls any way. Skates and
    /// gantries with a stated turning radius are steered at one end.
    pub fn driven_along(&self) -> Option<DVec2> {
        match self.kind {
            CarrierKind::PalletJack => Some(DVec2::X),
            CarrierKind::Forks => Some(DVec2::Y),
            CarrierKind::Skates | CarrierKind::Gantry => self
                .turning_radius
                .is_some_and(|r| r > Length::ZERO)
                .then_some(DVec2::X),
            CarrierKind::None => None,
        }
    }

    /// The load with its carrier, seen from above.
    pub fn body(&self, length_mm: f64, width_mm: f64) -> Body {
        let mut body = Body::load(length_mm, width_mm);
        let Carried {
            reach_mm,
            width_mm: wide_mm,
            ..
        } = self.numbers();
        let half = body.load.half;
        match self.kind {
            CarrierKind::None | CarrierKind::Skates => {}
            CarrierKind::PalletJack => body.carrier.push(Rect {
                centre: DVec2::new(-half.x - 0.5 * reach_mm, 0.0),
                half: 0.5 * DVec2::new(reach_mm, wide_mm),
            }),
            CarrierKind::Forks => body.carrier.push(Rect {
                centre: DVec2::new(0.0, -half.y - 0.5 * reach_mm),
                half: 0.5 * DVec2::new(wide_mm, reach_mm),
            }),
            CarrierKind::Gantry => body.load.half.y += reach_mm,
        }
        body
    }

    /// Height of it all while moving.
    pub fn height(&self, load: Length) -> Length {
        let numbers = self.numbers();
        (load + Length::mm(numbers.rise_mm)).max(Length::mm(numbers.own_height_mm))
    }
}
