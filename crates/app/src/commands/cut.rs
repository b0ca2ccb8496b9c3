//! `firstchip cut`: one cut by the published formulas.

use crate::cli::CutCommand;
use crate::contract::{Note, cut::Cut};
use crate::cut_args::{BoreArgs, CommonArgs, DrillArgs, MillArgs, TapArgs, ToolMaterial};
use crate::output::{self, Outcome};
use crate::terminal;
use anyhow::{Context, Result, anyhow, bail};
use engine::cutting::{
    Bore, Drill, EFFICIENCY, ForceOf, Material, Materials, Mill, Single, Tap, Turning,
};
use units::{Length, Number, Severity, System, Value, show, show_cutting_speed};

/// Runs the command.
pub fn run(command: &CutCommand) -> Result<Outcome> {
    match command {
        CutCommand::Mill(args) => mill(args),
        CutCommand::Drill(args) => drill(args),
        CutCommand::Tap(args) => tap(args),
        CutCommand::Bore(args) => bore(args),
    }
}

/// What a material's table fills in, and the notes that say so.
struct Table<'a> {
    common: &'a CommonArgs,
    material: Option<Material>,
    tool: ToolMaterial,
    notes: Vec<Note>,
    missing: Vec<&'static str>,
}

impl<'a> Table<'a> {
    fn new(common: &'a CommonArgs, usual: ToolMaterial) -> Result<Self> {
        let material = match &common.force.material {
            Some(name) => Some(find(name, common)?),
            None => None,
        };
        let mut table = Self {
            common,
            material,
            tool: common.tool.unwrap_or(usual),
            notes: Vec::new(),
            missing: Vec::new(),
        };
        if let Some(m) = &table.material {
            let about = m.name.clone();
            let mut said = vec![m.source.clone()];
            said.extend(m.caution.clone());
            for text in said {
                table
                    .notes
                    .push(Note::new(Severity::Info, about.clone(), text));
            }
        }
        if common.efficiency.is_none() {
            table.note(
                "efficiency",
                "taken as 0.8, as the makers' examples do; handbooks go from 0.70 (geared) to 0.90 (belt)"
                    .to_owned(),
            );
        }
        Ok(table)
    }

    fn note(&mut self, about: &str, text: String) {
        self.notes.push(Note::new(Severity::Info, about, text));
    }

    /// The speed as stated, or a share of the table's.
    fn turning(&mut self, share: f64) -> Option<Turning> {
        let stated = &self.common.turning;
        if let Some(speed) = stated.speed {
            return Some(Turning::At(speed));
        }
        if let Some(rpm) = stated.rpm {
            return Some(Turning::Rpm(rpm));
        }
        let Some(material) = &self.material else {
            self.missing.push("--speed or --rpm");
            return None;
        };
        let value = match self.tool {
            ToolMaterial::Hss => &material.speed_hss,
            ToolMaterial::Carbide => &material.speed_carbide,
        };
        let speed = value.likely * share;
        let (low, high) = value.ends();
        let text = |s| show_cutting_speed(s, System::Metric);
        let said = format!(
            "{} taken from the table of {} ({} to {}), {}",
            text(speed),
            material.name,
            text(low * share),
            text(high * share),
            self.tool_name()
        );
        self.note("speed", said);
        Some(Turning::At(speed))
    }

    fn tool_name(&self) -> &'static str {
        match self.tool {
            ToolMaterial::Hss => "high-speed steel",
            ToolMaterial::Carbide => "carbide",
        }
    }

    /// A feed as stated, or of the table: its share of the diameter.
    fn feed(
        &mut self,
        stated: Option<Length>,
        option: &'static str,
        of: impl Fn(f64) -> Length,
    ) -> Option<Length> {
        if stated.is_some() {
            return stated;
        }
        let Some(material) = &self.material else {
            self.missing.push(option);
            return None;
        };
        let carbide = &material.feed_per_diameter;
        let value: &Value<Number> = match (self.tool, &material.feed_per_diameter_hss) {
            (ToolMaterial::Hss, Some(hss)) => hss,
            _ => carbide,
        };
        let feed = of(value.likely.to_number());
        let (low, high) = value.ends();
        let text = |l: Length| show(l, System::Metric);
        let said = format!(
            "{} taken from the table of {} ({} to {}), {}",
            text(feed),
            material.name,
            text(of(low.to_number())),
            text(of(high.to_number())),
            self.tool_name()
        );
        self.note("feed", said);
        Some(feed)
    }

    /// Fails with all that is missing.
    fn complete(&self) -> Result<()> {
        if self.missing.is_empty() {
            return Ok(());
        }
        bail!(
            "state {} (with --material NAME the material's table fills in what is left out)",
            self.missing.join(" and ")
        )
    }
}

fn force<'b>(common: &CommonArgs, material: &'b Option<Material>) -> Result<ForceOf<'b>> {
    match (material, common.force.kc, common.force.kc11, common.mc) {
        (Some(material), ..) => Ok(ForceOf::Material(material)),
        (None, Some(kc), ..) => Ok(ForceOf::Stated(kc)),
        (None, None, Some(kc11), Some(mc)) => Ok(ForceOf::Kienzle(kc11, mc)),
        _ => Err(anyhow!("state --kc, or --kc11 with --mc, or --material")),
    }
}

fn find(name: &str, common: &CommonArgs) -> Result<Material> {
    let own = match &common.materials {
        Some(path) => {
            let file = path.display().to_string();
            let bytes = std::fs::read(path).with_context(|| format!("{file}: cannot be read"))?;
            Some((file, bytes))
        }
        None => None,
    };
    let own = own
        .as_ref()
        .map(|(name, bytes)| (name.as_str(), bytes.as_slice()));
    let materials: Materials = folder::materials(own)
        .map_err(|problems| anyhow!("the materials cannot be used\n{problems}"))?;
    materials.find(name).cloned().ok_or_else(|| {
        let known: Vec<&str> = materials.0.values().map(|m| m.id.0.as_str()).collect();
        anyhow!(
            "'{name}' is no material this tool knows; it knows {}, and group letters of ISO 513",
            known.join(", ")
        )
    })
}

fn mill(args: &MillArgs) -> Result<Outcome> {
    let mut table = Table::new(&args.common, ToolMaterial::Carbide)?;
    let turning = table.turning(1.0);
    let widest = args.diameter.min(Length::mm(20.0));
    let feed = table.feed(args.feed_per_tooth, "--feed-per-tooth", |share| {
        share * widest
    });
    table.complete()?;
    let (Some(turning), Some(feed_per_tooth)) = (turning, feed) else {
        bail!("state speed and feed");
    };
    let load = Mill {
        diameter: args.diameter,
        teeth: f64::from(args.teeth),
        feed_per_tooth,
        depth: args.depth,
        width: args.width,
        cutting_edge_angle: args.cutting_edge_angle,
        centred: args.centred,
        turning,
        force: force(&args.common, &table.material)?,
    }
    .load();
    answer("mill", load, table.notes, &args.common, args.common.length)
}

fn drill(args: &DrillArgs) -> Result<Outcome> {
    let mut table = Table::new(&args.common, ToolMaterial::Hss)?;
    let turning = table.turning(1.0);
    let d = args.diameter;
    let feed = table.feed(args.feed_per_rev, "--feed-per-rev", |share| {
        (2.0 * share * d).min(Length::mm(0.35))
    });
    table.complete()?;
    let (Some(turning), Some(feed_per_rev)) = (turning, feed) else {
        bail!("state speed and feed");
    };
    let load = Drill {
        diameter: d,
        feed_per_rev,
        point_angle: args.point_angle,
        turning,
        force: force(&args.common, &table.material)?,
    }
    .load();
    let point = load.as_ref().ok().and_then(|s| s.approach);
    let length = args.common.length.or(args
        .depth
        .map(|depth| depth + point.unwrap_or(Length::ZERO)));
    answer("drill", load, table.notes, &args.common, length)
}

/// Taps run at half the speed of drills of the same steel (common practice, no source).
const TAP_SPEED_SHARE: f64 = 0.5;

fn tap(args: &TapArgs) -> Result<Outcome> {
    let mut table = Table::new(&args.common, ToolMaterial::Hss)?;
    let turning = table.turning(TAP_SPEED_SHARE);
    table.complete()?;
    let Some(turning) = turning else {
        bail!("state a speed");
    };
    let load = Tap {
        diameter: args.diameter,
        pitch: args.pitch,
        turning,
        force: force(&args.common, &table.material)?,
    }
    .load();
    if args.common.length.is_some() {
        table.note("time_s", "in only; out again takes as long".to_owned());
    }
    table.note(
        "torque_nm",
        "of a cutting tap; a forming tap takes two to three times as much (Yamawa catalogue 2022-23, technical p.7)"
            .to_owned(),
    );
    answer("tap", load, table.notes, &args.common, args.common.length)
}

fn bore(args: &BoreArgs) -> Result<Outcome> {
    let mut table = Table::new(&args.common, ToolMaterial::Carbide)?;
    let turning = table.turning(1.0);
    let feed = table.feed(args.feed_per_rev, "--feed-per-rev", |share| {
        share * Length::mm(20.0)
    });
    table.complete()?;
    let (Some(turning), Some(feed_per_rev)) = (turning, feed) else {
        bail!("state speed and feed");
    };
    let load = Bore {
        diameter: args.diameter,
        depth: args.depth,
        feed_per_rev,
        cutting_edge_angle: args.cutting_edge_angle,
        turning,
        force: force(&args.common, &table.material)?,
    }
    .load();
    answer("bore", load, table.notes, &args.common, args.common.length)
}

fn answer(
    operation: &'static str,
    load: Result<Single, Vec<String>>,
    mut notes: Vec<Note>,
    common: &CommonArgs,
    length: Option<Length>,
) -> Result<Outcome> {
    let efficiency = common.efficiency.unwrap_or(EFFICIENCY);
    let single = match load {
        Ok(single) => single,
        Err(reasons) => {
            let said = reasons
                .into_iter()
                .map(|text| Note::new(Severity::Problem, operation, text));
            notes.extend(said);
            if common.json {
                output::print_json(&Cut::new(operation, None, efficiency, None, notes))?;
            } else {
                for note in &notes {
                    eprintln!("{}: {}: {}", note.level, note.about, note.text);
                }
            }
            return Ok(Outcome::NoAnswer);
        }
    };
    if common.json {
        output::print_json(&Cut::new(
            operation,
            Some(&single),
            efficiency,
            length,
            notes,
        ))?;
    } else {
        output::print(&terminal::cut::describe(
            operation, &single, efficiency, length, &notes,
        ))?;
    }
    Ok(Outcome::Answered)
}
