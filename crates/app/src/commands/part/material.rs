//! The material of `part --material`: a name of the table, or a group of ISO 513.

use crate::contract::Note;
use anyhow::{Result, anyhow};
use engine::material::{IsoGroup, Material, Materials, neck_share};
use units::{Mass, Severity, Stress, Volume};

/// What is known of it.
pub struct Chosen {
    said: String,
    group: IsoGroup,
    kc11: Stress,
    /// The one material; `None` for a whole group.
    one: Option<Material>,
    hardest: String,
}

/// Reads it; what is not known is an error that lists what is.
pub fn choose(text: &str) -> Result<Chosen> {
    let materials = folder::materials(None).map_err(|problems| anyhow!("{problems}"))?;
    // A letter means its group, even where a material is called so too.
    if let Some(whole) = group(text, &materials) {
        return Ok(whole);
    }
    if let Some(material) = materials.find(text) {
        return Ok(Chosen {
            said: text.to_owned(),
            group: material.group,
            kc11: material.kc11.likely,
            hardest: material.name.clone(),
            one: Some(material.clone()),
        });
    }
    Err(unknown(text, &materials))
}

/// A letter of ISO 513, with or without the number of a narrower group.
fn group(text: &str, materials: &Materials) -> Option<Chosen> {
    let plain = text.trim().to_ascii_uppercase();
    let letter = plain.trim_end_matches(|c: char| c.is_ascii_digit());
    let (group, ..) = IsoGroup::ALL.iter().find(|(_, l, _)| *l == letter)?;
    let narrower = |m: &&Material| {
        let of = m.subgroup.as_deref().unwrap_or("");
        letter == plain || of.split([',', ' ']).next() == Some(plain.as_str())
    };
    let hardest = materials
        .of_group(*group)
        .filter(narrower)
        .max_by(|a, b| a.kc11.likely.total_cmp(&b.kc11.likely))?;
    Some(Chosen {
        said: text.trim().to_owned(),
        group: *group,
        kc11: hardest.kc11.likely,
        one: None,
        hardest: hardest.name.clone(),
    })
}

fn unknown(text: &str, materials: &Materials) -> anyhow::Error {
    let groups: Vec<String> = IsoGroup::ALL
        .iter()
        .map(|(_, letter, what)| format!("{letter} ({what})"))
        .collect();
    let names: Vec<&str> = materials.0.keys().map(|id| id.0.as_str()).collect();
    anyhow!(
        "--material: expected a group of ISO 513 or a known material, found '{text}'\n    groups: \
         {}\n    materials: {}",
        groups.join(", "),
        names.join(", ")
    )
}

impl Chosen {
    /// Share of the standard set's necks that serves.
    pub fn neck_share(&self) -> f64 {
        neck_share(self.kc11)
    }

    /// Mass of raw stock, where the material itself is known.
    pub fn stock_mass(&self, stock_mm: [f64; 3]) -> Option<Mass> {
        let volume = Volume::mm3(stock_mm.iter().product());
        let density = self.one.as_ref()?.density_kg_m3;
        Some(Mass::kg(volume.to_m3() * density))
    }

    /// What it changes, and what it cannot.
    pub fn notes(&self, about: &str) -> Vec<Note> {
        let share = 100.0 * self.neck_share();
        let who = match &self.one {
            Some(m) => format!("{}, group {:?}", m.name, self.group),
            None => format!(
                "group {:?}, taken as its hardest in the table, {}",
                self.group, self.hardest
            ),
        };
        let necks = if share > 99.9 {
            "end mills are used with the whole length of the necks they are sold with".to_owned()
        } else {
            format!(
                "necks of bought end mills are used to {share:.0} % of the length sold for \
                 aluminium, where they bend as much (kc1.1 {:.0} MPa against 700, length as the \
                 cube root), but no less than their flutes; own tools keep the length stated",
                self.kc11.to_mpa()
            )
        };
        let mut out = vec![
            Note::new(
                Severity::Info,
                about,
                format!("material {}: {who}: {necks}", self.said),
            ),
            Note::new(
                Severity::Info,
                about,
                "the material does not change the stock's allowance, the drills or the directions \
                 tried here; speeds, forces and times need a machine (study, cut)",
            ),
        ];
        if self.group == IsoGroup::H {
            out.push(Note::new(
                Severity::Warning,
                about,
                "hardened: drills, taps and reamers of high-speed steel do not cut it; holes and \
                 threads are made before hardening, or with carbide and by milling",
            ));
        }
        if let Some(caution) = self.one.as_ref().and_then(|m| m.caution.as_deref()) {
            out.push(Note::new(Severity::Warning, about, caution));
        }
        out
    }
}
