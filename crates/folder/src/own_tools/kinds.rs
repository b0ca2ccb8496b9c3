//! Kinds of tools by the words people have for them.

use engine::demand::ToolShape;

/// What a row is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    Tool(ToolShape),
    Holder,
    Unused,
}

/// Words for kinds of tools, in small letters.
pub(super) const KINDS: &[(&str, Kind)] = &[
    ("end mill", Kind::Tool(ToolShape::Flat)),
    ("endmill", Kind::Tool(ToolShape::Flat)),
    ("flat", Kind::Tool(ToolShape::Flat)),
    ("mill", Kind::Tool(ToolShape::Flat)),
    ("slot drill", Kind::Tool(ToolShape::Flat)),
    ("roughing end mill", Kind::Tool(ToolShape::Flat)),
    ("ball", Kind::Tool(ToolShape::Ball)),
    ("ball nose", Kind::Tool(ToolShape::Ball)),
    ("ball end mill", Kind::Tool(ToolShape::Ball)),
    ("bull", Kind::Tool(ToolShape::Bull)),
    ("bull nose", Kind::Tool(ToolShape::Bull)),
    ("corner radius end mill", Kind::Tool(ToolShape::Bull)),
    ("face", Kind::Tool(ToolShape::Face)),
    ("face mill", Kind::Tool(ToolShape::Face)),
    ("shell mill", Kind::Tool(ToolShape::Face)),
    ("drill", Kind::Tool(ToolShape::Drill)),
    ("twist drill", Kind::Tool(ToolShape::Drill)),
    ("reamer", Kind::Tool(ToolShape::Reamer)),
    ("tap", Kind::Tool(ToolShape::Tap)),
    ("chamfer", Kind::Tool(ToolShape::Chamfer)),
    ("chamfer mill", Kind::Tool(ToolShape::Chamfer)),
    ("countersink", Kind::Tool(ToolShape::Chamfer)),
    ("boring", Kind::Tool(ToolShape::Boring)),
    ("boring head", Kind::Tool(ToolShape::Boring)),
    ("boring bar", Kind::Tool(ToolShape::Boring)),
    ("holder", Kind::Holder),
    ("collet chuck", Kind::Holder),
    ("tool holder", Kind::Holder),
    ("toolholder", Kind::Holder),
    ("spot drill", Kind::Unused),
    ("centre drill", Kind::Unused),
    ("center drill", Kind::Unused),
    ("thread mill", Kind::Unused),
    ("slitting saw", Kind::Unused),
    ("probe", Kind::Unused),
    ("engraver", Kind::Unused),
    ("t-slot cutter", Kind::Unused),
];
