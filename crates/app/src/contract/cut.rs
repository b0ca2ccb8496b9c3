//! `firstchip.cut/1`.

use super::Note;
use engine::cutting::{Method, Single};
use serde::Serialize;
use units::{Length, Power};

/// One cut.
#[derive(Clone, Debug, Serialize)]
pub struct Cut {
    schema: &'static str,
    /// mill, drill, tap, bore.
    pub operation: &'static str,
    rpm: Option<f64>,
    cutting_speed_m_min: Option<f64>,
    feed_mm_min: Option<f64>,
    removal_mm3_min: Option<f64>,
    chip_mean_mm: Option<f64>,
    kc_mpa: Option<f64>,
    power_kw: Option<f64>,
    motor_kw: Option<f64>,
    torque_nm: Option<f64>,
    thrust_n: Option<f64>,
    /// Mean force along the cutting speed.
    force_n: Option<f64>,
    /// Share of the motor's power that reaches the edge.
    efficiency: f64,
    time_s: Option<f64>,
    /// Length on top of the work's until the tool is fully in the cut.
    approach_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    band: Option<Band>,
    methods: Vec<MethodOf>,
    /// Remarks.
    pub notes: Vec<Note>,
}

/// What the published methods span.
#[derive(Clone, Debug, Serialize)]
struct Band {
    power_kw: [f64; 2],
}

#[derive(Clone, Debug, Serialize)]
struct MethodOf {
    formula: &'static str,
    source: &'static str,
    power_kw: [f64; 2],
}

fn kw(powers: [Power; 2]) -> [f64; 2] {
    powers.map(Power::to_kw)
}

impl From<&Method> for MethodOf {
    fn from(m: &Method) -> Self {
        Self {
            formula: m.formula,
            source: m.source,
            power_kw: kw(m.power),
        }
    }
}

impl Cut {
    /// Of an answer, or of none.
    pub fn new(
        operation: &'static str,
        single: Option<&Single>,
        efficiency: f64,
        length: Option<Length>,
        notes: Vec<Note>,
    ) -> Self {
        let of = |get: &dyn Fn(&Single) -> Option<f64>| single.and_then(get);
        Self {
            schema: "firstchip.cut/1",
            operation,
            rpm: of(&|s| s.rpm.map(|n| n.to_rpm())),
            cutting_speed_m_min: of(&|s| Some(s.speed.to_m_min())),
            feed_mm_min: of(&|s| s.feed.map(|f| f.to_mm_min())),
            removal_mm3_min: of(&|s| Some(s.removal.to_mm3_min())),
            chip_mean_mm: of(&|s| s.chip.map(Length::to_mm)),
            kc_mpa: of(&|s| Some(s.force.to_mpa())),
            power_kw: of(&|s| Some(s.power.to_kw())),
            motor_kw: of(&|s| Some(s.power.to_kw() / efficiency)),
            torque_nm: of(&|s| s.torque.map(|t| t.to_nm())),
            thrust_n: of(&|s| s.thrust.map(|f| f.to_n())),
            force_n: of(&|s| s.tangential.map(|f| f.to_n())),
            efficiency,
            time_s: of(&|s| time_s(s, length?)),
            approach_mm: of(&|s| s.approach.map(Length::to_mm)),
            band: single
                .and_then(|s| s.band)
                .map(|band| Band { power_kw: kw(band) }),
            methods: single.map_or_else(Vec::new, |s| s.methods.iter().map(Into::into).collect()),
            notes,
        }
    }
}

/// Time over a length, where there is a feed.
pub fn time_s(single: &Single, length: Length) -> Option<f64> {
    single
        .feed
        .map(|feed| engine::cutting::feed_time(length, feed).to_s())
}
