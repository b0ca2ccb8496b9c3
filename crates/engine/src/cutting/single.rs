//! One cut by the published formulas, without task or machine: what a handbook page answers.

use super::boring::{boring_feed_force, boring_power, boring_torque, single_point_chip};
use super::chip::{kienzle, mean_chip, specific_force_band};
use super::drilling::{
    USUAL_POINT, by_material_factor, drilling_thrust, drilling_torque, lip_chip,
};
use super::force::{milling_power, milling_removal, tangential_force, turning_removal};
use super::speeds::{
    cutting_speed, face_approach, point_length, rpm_of, side_approach, table_feed,
};
use super::texts;
use super::threading::{
    TapKind, tap_drill, tapping_removal, tapping_torque, tapping_torque_by_section,
};
use crate::material::Material;
use units::{Angle, Force, Length, Power, RemovalRate, Rpm, Speed, Stress, Torque};

/// Where the specific force comes from.
#[derive(Clone, Copy, Debug)]
pub enum ForceOf<'a> {
    /// A number.
    Stated(Stress),
    /// kc1.1 and mc.
    Kienzle(Stress, f64),
    /// A material's table, with its band.
    Material(&'a Material),
}

impl ForceOf<'_> {
    fn at(self, chip: Length) -> (Stress, Option<[Stress; 2]>) {
        match self {
            ForceOf::Stated(force) => (force, None),
            ForceOf::Kienzle(kc11, mc) => (kienzle(kc11, mc, chip), None),
            ForceOf::Material(m) => (
                super::specific_force(m, chip),
                Some(specific_force_band(m, chip)),
            ),
        }
    }
}

/// How fast it turns.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Turning {
    /// Cutting speed.
    At(Speed),
    /// Spindle speed.
    Rpm(Rpm),
}

impl Turning {
    fn both(self, diameter: Length) -> (Rpm, Speed) {
        match self {
            Turning::At(speed) => (rpm_of(speed, diameter), speed),
            Turning::Rpm(rpm) => (rpm, cutting_speed(rpm, diameter)),
        }
    }
}

/// Milling.
#[derive(Clone, Copy, Debug)]
pub struct Mill<'a> {
    /// Cutter.
    pub diameter: Length,
    /// Teeth.
    pub teeth: f64,
    /// Feed of a tooth.
    pub feed_per_tooth: Length,
    /// Along the axis.
    pub depth: Length,
    /// Across.
    pub width: Length,
    /// kappa r; 90 degrees is a square shoulder.
    pub cutting_edge_angle: Angle,
    /// The cutter's middle over the middle of the cut, as a face mill stands.
    pub centred: bool,
    /// Speed.
    pub turning: Turning,
    /// Specific force.
    pub force: ForceOf<'a>,
}

/// Drilling into the full.
#[derive(Clone, Copy, Debug)]
pub struct Drill<'a> {
    /// Drill.
    pub diameter: Length,
    /// Feed of a turn.
    pub feed_per_rev: Length,
    /// Point, when stated: the makers' thrust formula has none of its own.
    pub point_angle: Option<Angle>,
    /// Speed.
    pub turning: Turning,
    /// Specific force.
    pub force: ForceOf<'a>,
}

/// Tapping with a cutting tap.
#[derive(Clone, Copy, Debug)]
pub struct Tap<'a> {
    /// Nominal diameter.
    pub diameter: Length,
    /// Pitch.
    pub pitch: Length,
    /// Speed.
    pub turning: Turning,
    /// Specific force; of a material the tap makers' own where there is one.
    pub force: ForceOf<'a>,
}

/// Boring or turning with a single point.
#[derive(Clone, Copy, Debug)]
pub struct Bore<'a> {
    /// Diameter made; without it there is no torque.
    pub diameter: Option<Length>,
    /// Depth of cut, on the radius.
    pub depth: Length,
    /// Feed of a turn.
    pub feed_per_rev: Length,
    /// kappa r.
    pub cutting_edge_angle: Angle,
    /// Speed.
    pub turning: Turning,
    /// Specific force.
    pub force: ForceOf<'a>,
}

/// One published way to the load, and what it says.
#[derive(Clone, Debug, PartialEq)]
pub struct Method {
    /// Formula.
    pub formula: &'static str,
    /// Who prints it.
    pub source: &'static str,
    /// Power at the edge: least and greatest.
    pub power: [Power; 2],
}

/// What one cut takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Single {
    /// Spindle speed; none for turning without a diameter.
    pub rpm: Option<Rpm>,
    /// Cutting speed.
    pub speed: Speed,
    /// Feed of the table or tool.
    pub feed: Option<Speed>,
    /// Removal rate.
    pub removal: RemovalRate,
    /// Mean chip thickness.
    pub chip: Option<Length>,
    /// Specific force.
    pub force: Stress,
    /// Power at the edge.
    pub power: Power,
    /// Torque.
    pub torque: Option<Torque>,
    /// Force along the feed of a drill or boring bar.
    pub thrust: Option<Force>,
    /// Mean force along the cutting speed.
    pub tangential: Option<Force>,
    /// Power by everything published, when a material was given.
    pub band: Option<[Power; 2]>,
    /// The published ways it rests on.
    pub methods: Vec<Method>,
    /// Length on top of the work's until the tool is fully in the cut.
    pub approach: Option<Length>,
}

fn span(methods: &[Method]) -> Option<[Power; 2]> {
    let low = methods.iter().map(|m| m.power[0]).reduce(Power::min)?;
    let high = methods.iter().map(|m| m.power[1]).reduce(Power::max)?;
    Some([low, high])
}

impl Mill<'_> {
    /// What it takes; else why it cannot be.
    pub fn load(&self) -> Result<Single, Vec<String>> {
        let mut wrong = Vec::new();
        if !self.width.fits(self.diameter) {
            wrong.push(texts::wider_than_the_cutter(self.width, self.diameter));
        }
        if self.feed_per_tooth.to_mm() > 0.5 * self.diameter.to_mm() {
            wrong.push(texts::feed_beyond_the_tool(self.feed_per_tooth));
        }
        if !wrong.is_empty() {
            return Err(wrong);
        }
        let (rpm, speed) = self.turning.both(self.diameter);
        let feed = table_feed(self.feed_per_tooth, self.teeth, rpm);
        let angle = self.cutting_edge_angle;
        let (d, w) = (self.diameter, self.width);
        let chip = mean_chip(self.feed_per_tooth, w, d, angle, self.centred);
        let (force, band) = self.force.at(chip);
        let removal = milling_removal(self.depth, w, feed);
        let power = milling_power(removal, force);
        let methods = vec![Method {
            formula: "Pc = ap ae vf kc / 60e6",
            source: texts::MILLING_SOURCE,
            power: band.map_or([power; 2], |b| b.map(|kc| milling_power(removal, kc))),
        }];
        Ok(Single {
            rpm: Some(rpm),
            speed,
            feed: Some(feed),
            removal,
            chip: Some(chip),
            force,
            power,
            torque: Some(power.torque_at(rpm)),
            thrust: None,
            tangential: Some(tangential_force(power, speed)),
            band: band.and_then(|_| span(&methods)),
            methods,
            approach: Some(if self.centred {
                face_approach(w, d)
            } else {
                side_approach(w, d)
            }),
        })
    }
}

impl Drill<'_> {
    /// What it takes; else why it cannot be.
    pub fn load(&self) -> Result<Single, Vec<String>> {
        if self.feed_per_rev.to_mm() > 0.5 * self.diameter.to_mm() {
            return Err(vec![texts::feed_beyond_the_tool(self.feed_per_rev)]);
        }
        let (rpm, speed) = self.turning.both(self.diameter);
        let feed = Speed::mm_min(self.feed_per_rev.to_mm() * rpm.to_rpm());
        let chip = lip_chip(self.feed_per_rev, self.point_angle.unwrap_or(USUAL_POINT));
        let (force, band) = self.force.at(chip);
        let (d, f) = (self.diameter, self.feed_per_rev);
        let torque = drilling_torque(d, f, force);
        let power = torque.power_at(rpm);
        let lean = self.point_angle.map_or(1.0, |a| (0.5 * a.to_rad()).sin());
        let mut methods = vec![Method {
            formula: "Mc = f kc D^2 / 8000, Ff = 0.63 f kc D / 2",
            source: texts::DRILLING_SOURCE,
            power: band.map_or([power; 2], |b| {
                b.map(|kc| drilling_torque(d, f, kc).power_at(rpm))
            }),
        }];
        if let ForceOf::Material(m) = self.force
            && let Some(factor) = &m.drill_factor
        {
            let (low, high) = factor.ends();
            let at =
                |k: units::Number| by_material_factor(d, f, k.to_number()).torque.power_at(rpm);
            methods.push(Method {
                formula: "Mc = K D^2 (0.630 + 16.84 f) / 100",
                source: texts::DRILL_FACTOR_SOURCE,
                power: [at(low), at(high)],
            });
        }
        Ok(Single {
            rpm: Some(rpm),
            speed,
            feed: Some(feed),
            removal: RemovalRate::mm3_min(
                std::f64::consts::FRAC_PI_4 * d.to_mm() * d.to_mm() * feed.to_mm_min(),
            ),
            chip: Some(chip),
            force,
            power,
            torque: Some(torque),
            thrust: Some(drilling_thrust(d, f, force) * lean),
            tangential: None,
            band: band.and_then(|_| span(&methods)),
            methods,
            approach: Some(point_length(d, self.point_angle.unwrap_or(USUAL_POINT))),
        })
    }
}

impl Tap<'_> {
    /// What it takes; else why it cannot be.
    pub fn load(&self) -> Result<Single, Vec<String>> {
        if self.pitch.to_mm() > 0.5 * self.diameter.to_mm() {
            return Err(vec![texts::pitch_beyond_the_thread(
                self.pitch,
                self.diameter,
            )]);
        }
        let (rpm, speed) = self.turning.both(self.diameter);
        let (d, p) = (self.diameter, self.pitch);
        // The chip of a tap tooth is not stated; see `tap_force`.
        let chip = Length::mm(0.1);
        let (force, band) = match self.force {
            ForceOf::Material(m) => (
                super::tap_force(m),
                Some(m.tap_force.as_ref().map_or_else(
                    || specific_force_band(m, chip),
                    |v| <[Stress; 2]>::from(v.ends()),
                )),
            ),
            other => other.at(chip),
        };
        let torque = tapping_torque(d, p, force);
        let power = torque.power_at(rpm);
        let mut methods = vec![Method {
            formula: "Md = kc P^2 D / 8000",
            source: texts::TAPPING_SOURCE,
            power: band.map_or([power; 2], |b| {
                b.map(|kc| tapping_torque(d, p, kc).power_at(rpm))
            }),
        }];
        if let ForceOf::Material(m) = self.force
            && let Some(section) = &m.tap_force_section
        {
            let (low, high) = section.ends();
            let hole = tap_drill(d, p);
            let at = |kc, kind| tapping_torque_by_section(d, hole, kc, kind).power_at(rpm);
            methods.push(Method {
                formula: "Tc = tan 30 kc K (D - Do)^2 (D + 2 Do) / 24 000",
                source: texts::TAP_SECTION_SOURCE,
                power: [at(low, TapKind::SpiralPoint), at(high, TapKind::HandPlug)],
            });
        }
        Ok(Single {
            rpm: Some(rpm),
            speed,
            feed: Some(Speed::mm_min(p.to_mm() * rpm.to_rpm())),
            removal: tapping_removal(d, p, rpm),
            chip: None,
            force,
            power,
            torque: Some(torque),
            thrust: None,
            tangential: None,
            band: band.and_then(|_| span(&methods)),
            methods,
            approach: None,
        })
    }
}

impl Bore<'_> {
    /// What it takes; else why it cannot be.
    pub fn load(&self) -> Result<Single, Vec<String>> {
        let (ap, f) = (self.depth, self.feed_per_rev);
        let (rpm, speed) = match (self.diameter, self.turning) {
            (Some(d), turning) => {
                if ap.to_mm() > 0.5 * d.to_mm() {
                    return Err(vec![texts::deeper_than_the_bore(ap, d)]);
                }
                let (rpm, speed) = turning.both(d);
                (Some(rpm), speed)
            }
            (None, Turning::At(speed)) => (None, speed),
            (None, Turning::Rpm(_)) => return Err(vec![texts::no_speed_without_diameter()]),
        };
        let chip = single_point_chip(f, self.cutting_edge_angle);
        let (force, band) = self.force.at(chip);
        let power = boring_power(ap, f, speed, force);
        let torque = self
            .diameter
            .map(|d| boring_torque(d, d - 2.0 * ap, f, force));
        let lean = self.cutting_edge_angle.to_rad().sin();
        let methods = vec![Method {
            formula: "Pc = ap f vc kc / 60 000",
            source: texts::BORING_SOURCE,
            power: band.map_or([power; 2], |b| b.map(|kc| boring_power(ap, f, speed, kc))),
        }];
        Ok(Single {
            rpm,
            speed,
            feed: rpm.map(|n| Speed::mm_min(f.to_mm() * n.to_rpm())),
            removal: turning_removal(ap, f, speed),
            chip: Some(chip),
            force,
            power,
            torque,
            thrust: Some(boring_feed_force(ap, f, force) * lean),
            tangential: Some(tangential_force(power, speed)),
            band: band.and_then(|_| span(&methods)),
            methods,
            approach: None,
        })
    }
}
