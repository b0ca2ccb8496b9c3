//! The part of a rotating tool that matters for where it fits: radius and rounded corner.

/// A straight tool: flat (`corner` 0), ball (`corner` = `radius`) or bull-nose between.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ToolShape {
    radius_mm: f64,
    corner_mm: f64,
}

/// Why numbers do not make a tool.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error(
    "a tool of radius {radius_mm} mm and corner radius {corner_mm} mm: expected a radius above 0 \
     and a corner from 0 to the radius"
)]
pub struct InvalidTool {
    /// Radius given, mm.
    pub radius_mm: f64,
    /// Corner radius given, mm.
    pub corner_mm: f64,
}

impl ToolShape {
    /// A tool of this radius and corner radius.
    pub fn new(radius_mm: f64, corner_mm: f64) -> Result<ToolShape, InvalidTool> {
        let valid =
            radius_mm > 0.0 && radius_mm.is_finite() && (0.0..=radius_mm).contains(&corner_mm);
        if valid {
            Ok(ToolShape {
                radius_mm,
                corner_mm,
            })
        } else {
            Err(InvalidTool {
                radius_mm,
                corner_mm,
            })
        }
    }

    /// Radius, mm.
    pub fn radius_mm(&self) -> f64 {
        self.radius_mm
    }

    /// Corner radius, mm.
    pub fn corner_mm(&self) -> f64 {
        self.corner_mm
    }

    /// Radius of the flat bottom, mm.
    pub fn flat_mm(&self) -> f64 {
        self.radius_mm - self.corner_mm
    }

    /// Height of the tool's underside above its tip at `distance_mm` from its axis; infinite
    /// beyond the radius.
    pub fn profile_mm(&self, distance_mm: f64) -> f64 {
        if distance_mm > self.radius_mm {
            return f64::INFINITY;
        }
        let out = distance_mm - self.flat_mm();
        if out <= 0.0 {
            return 0.0;
        }
        self.corner_mm
            - (self.corner_mm * self.corner_mm - out * out)
                .max(0.0)
                .sqrt()
    }

    /// Distance from the axis at which the underside has slope `slope` (0 and up).
    pub fn distance_at_slope_mm(&self, slope: f64) -> f64 {
        self.flat_mm() + self.corner_mm * slope / (1.0 + slope * slope).sqrt()
    }

    /// The tool with its whole outline moved inward by `by_mm`, so that a touch within `by_mm` is
    /// no collision. The tip keeps its height. Never thinner than a thousandth of the tool.
    pub fn eased(&self, by_mm: f64) -> ToolShape {
        let by = by_mm.clamp(0.0, 0.999 * self.radius_mm);
        ToolShape {
            radius_mm: self.radius_mm - by,
            corner_mm: self.corner_mm.min(self.radius_mm - by),
        }
    }
}
