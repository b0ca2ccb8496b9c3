//! Tasks of a part of which only size and volume are known: half from the top, half from below.

use super::{Task, TaskKind, ToolShape, tools};
use units::{Area, Length, Volume};

/// Share of a block that is cut away when nobody stated more than its size. Small-shop parts lie
/// anywhere from a tenth to four fifths; a third is where estimators start (common practice, no
/// source). Times from it are only ever shown as lower bounds.
const REMOVED_SHARE: f64 = 0.3;

/// A cutter for guessed walls stands out no more than this many of its diameters (common practice, no
/// source).
const SLENDEREST: f64 = 8.0;

/// Volume to remove when only the size is known.
pub(super) fn guess(size: [Length; 3], stock: Volume) -> Volume {
    let part = size[0] * size[1] * size[2];
    (stock - part).max(Volume::ZERO) + REMOVED_SHARE * part
}

/// Walls of a block.
pub(super) fn walls(size: [Length; 3]) -> Area {
    2.0 * Area::mm2((size[0] + size[1]).to_mm() * size[2].to_mm())
}

/// Roughing and walls of one half.
pub(super) fn tasks(extent: [Length; 3], volume: Volume, area: Area) -> Vec<Task> {
    let half = 0.5 * extent[2];
    // Walls outside are open to a stout cutter, however small the part is.
    let usual = (0.5 * extent[0].min(extent[1])).min(Length::mm(12.0));
    let diameter = tools::end_mill(usual.max(half / SLENDEREST));
    let task = |kind, volume, area, about: &str| Task {
        kind,
        tool: tools::plain(ToolShape::Flat, diameter, half),
        volume,
        area,
        count: 1,
        depth: half,
        cut_depth: half,
        neck: None,
        pitch: None,
        pass_depth: None,
        stepover: None,
        outside: true,
        about: about.to_owned(),
    };
    vec![
        task(TaskKind::Rough, volume, Area::ZERO, "roughing"),
        task(TaskKind::Side, Volume::ZERO, area, "walls"),
    ]
}
