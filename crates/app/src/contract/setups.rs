//! Setups and tasks of a part, worked out from its shape.

use engine::demand::{OwnTools, Plan, Setup, Task, ToolShape, setups_of};
use geometry::features::thread::thread_name;
use serde::Serialize;

/// One clamping.
#[derive(Clone, Debug, Serialize)]
pub struct SetupSaid {
    /// From the part to the spindle, part frame.
    pub toward: [f64; 3],
    /// setup_from_part, row major.
    pub frame: [[f64; 4]; 4],
    /// Size of the stock in that frame.
    pub extent_mm: [f64; 3],
    /// Share of the area that must be cut.
    pub area_share: f64,
    /// How it is held.
    pub holding: HoldingSaid,
    /// Cutting, in order.
    pub tasks: Vec<TaskSaid>,
}

/// How a setup is held.
#[derive(Clone, Debug, Serialize)]
pub struct HoldingSaid {
    /// vise or plate.
    pub with: String,
    /// Direction across the jaws, part frame.
    pub across: Option<[f64; 3]>,
    /// Height of the part inside the jaws.
    pub grip_mm: f64,
    /// Surface the jaws hide that another setup makes.
    pub hidden_mm2: f64,
    /// Surface the jaws hide in every setup that could make it: a clamping of its own makes it.
    pub forced_mm2: f64,
    /// True for that clamping: the same way up as the one before, held otherwise.
    pub again: bool,
}

/// One piece of cutting.
#[derive(Clone, Debug, Serialize)]
pub struct TaskSaid {
    /// Kind.
    pub kind: String,
    /// Tool.
    pub tool: ToolSaid,
    /// Volume removed.
    pub volume_mm3: f64,
    /// Surface made.
    pub area_mm2: f64,
    /// Places.
    pub count: u32,
    /// Depth of the tip below the top of the stock.
    pub depth_mm: f64,
    /// Height of wall or length of hole.
    pub cut_depth_mm: f64,
    /// What it is for.
    pub about: String,
}

impl TaskSaid {
    /// Kind as a machinist says it.
    pub fn kind_word(&self) -> &str {
        match self.kind.as_str() {
            "bottom" => "floors",
            "side" => "walls",
            other => other,
        }
    }
}

/// Tool of a task.
#[derive(Clone, Debug, Serialize)]
pub struct ToolSaid {
    /// Shape.
    pub shape: ToolShape,
    /// Diameter.
    pub diameter_mm: f64,
    /// Corner radius.
    pub corner_mm: f64,
    /// Least stick-out.
    pub reach_mm: f64,
    /// Thread of a tap or thread mill.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pitch_mm: Option<f64>,
    /// The own tool that makes it; null when one must be bought.
    pub owned: Option<String>,
}

impl ToolSaid {
    /// As a machinist says it.
    pub fn words(&self) -> String {
        let d = format!("{:.2}", self.diameter_mm);
        let d = d.trim_end_matches('0').trim_end_matches('.');
        match self.shape {
            ToolShape::Flat => format!("end mill {d}"),
            ToolShape::Ball => format!("ball {d}"),
            ToolShape::Bull => format!("bull {d} R{}", self.corner_mm),
            ToolShape::Face => format!("face mill {d}"),
            ToolShape::Drill => format!("drill {d}"),
            ToolShape::Reamer => format!("reamer {d}"),
            ToolShape::Tap => {
                let pitch = self.pitch_mm.unwrap_or(0.0);
                format!("tap {}", thread_name(self.diameter_mm, pitch))
            }
            ToolShape::Chamfer => format!("chamfer mill {d}"),
            ToolShape::Boring => format!("boring head {d}"),
        }
    }
}

/// Clampings with other machines.
#[derive(Clone, Debug, Serialize)]
pub struct AxesSaid {
    /// On three axes.
    pub three_axis: usize,
    /// With a rotary axis.
    pub fourth_axis: usize,
    /// With a tilting table or head.
    pub three_plus_two: usize,
}

/// Setups of a plan, with what it says of clamping and which tools are there already.
pub fn setups(plan: &Plan, own: &OwnTools) -> Vec<SetupSaid> {
    let mut setups = setups_of(plan);
    own.prefer(&mut setups, false);
    setups
        .iter()
        .zip(&plan.setups)
        .map(|(setup, planned)| SetupSaid {
            toward: tidy(setup.toward.to_array()),
            frame: rows(setup),
            extent_mm: setup.extent.map(|l| l.to_mm()),
            area_share: setup.area_share,
            holding: HoldingSaid {
                with: super::study::name(&setup.holding),
                across: (planned.clamp.grip_mm > 0.0)
                    .then(|| tidy(planned.clamp.across.to_array())),
                grip_mm: planned.clamp.grip_mm,
                hidden_mm2: planned.clamp.hidden_mm2,
                forced_mm2: planned.clamp.forced_mm2,
                again: planned.clamp.again,
            },
            tasks: setup.tasks.iter().map(|t| task(t, own)).collect(),
        })
        .collect()
}

/// Clampings of a plan on machines with more axes.
pub fn axes(plan: &Plan) -> AxesSaid {
    AxesSaid {
        three_axis: plan.setups.len(),
        fourth_axis: plan.groups.fourth_axis,
        three_plus_two: plan.groups.three_plus_two,
    }
}

fn task(task: &Task, own: &OwnTools) -> TaskSaid {
    TaskSaid {
        kind: super::study::name(&task.kind),
        tool: ToolSaid {
            shape: task.tool.shape,
            diameter_mm: task.tool.diameter.to_mm(),
            corner_mm: task.tool.corner.to_mm(),
            reach_mm: task.tool.reach.to_mm(),
            pitch_mm: task.pitch.map(|p| p.to_mm()),
            owned: own.serving(task).map(|t| t.name.clone()),
        },
        volume_mm3: task.volume.to_mm3(),
        area_mm2: task.area.to_mm2(),
        count: task.count,
        depth_mm: task.depth.to_mm(),
        cut_depth_mm: task.cut_depth.to_mm(),
        about: task.about.clone(),
    }
}

fn rows(setup: &Setup) -> [[f64; 4]; 4] {
    let columns = setup.setup_from_part.transpose().to_cols_array_2d();
    columns.map(|row| row.map(|v| v + 0.0))
}

/// Without negative zeros and dust.
fn tidy(v: [f64; 3]) -> [f64; 3] {
    v.map(|c| (c * 1e9).round() / 1e9 + 0.0)
}
