//! Rows of `tools.csv` into tools and holders.

use super::columns::{Column, Columns, Symbol};
use super::kinds::{KINDS, Kind};
use super::texts;
use crate::section::Sink;
use crate::suggest::nearest;
use crate::texts::Wrong;
use crate::thread::thread;
use csv::StringRecord;
use engine::demand::ToolShape;
use engine::entered::{OwnHolder, OwnTool, OwnTools};
use engine::machine::Taper;
use geometry::plan::tools::drill_flutes_mm;
use geometry::unit::LengthUnit;
use units::{Length, Parse, Place};

/// Flutes of stub end mills, in diameters (DIN 6527 short: 10 mm at 6, 14 at 10; from memory).
const STUB_FLUTES: f64 = 1.4;
/// Stub drills have about half the flutes of jobber drills (DIN 1897 against DIN 338; from memory).
const STUB_DRILL: f64 = 0.5;
/// A shank is clamped over at least so many of its diameters (common practice, no source).
const CLAMPED: f64 = 2.0;
/// No tool is longer.
const LONGEST: Length = Length::mm(2000.0);

/// What one row says.
pub(super) enum Row {
    Tool {
        tool: OwnTool,
        /// The cell of the column holder, and its place.
        holder: Option<(String, Place)>,
        /// No length was stated.
        assumed: bool,
    },
    Holder(OwnHolder),
}

struct Cells<'a> {
    columns: &'a Columns,
    record: &'a StringRecord,
    place: &'a Place,
    sink: &'a Sink,
    unit: Option<LengthUnit>,
}

impl Row {
    /// Reads a row; `None` when it cannot be used, everything wrong with it reported.
    pub(super) fn read(
        columns: &Columns,
        record: &StringRecord,
        place: &Place,
        sink: &Sink,
    ) -> Option<Row> {
        if record.iter().skip(columns.width).any(|c| !c.is_empty()) {
            sink.push(texts::too_many_cells(
                place.clone(),
                record.len(),
                columns.width,
            ));
            return None;
        }
        let mut cells = Cells {
            columns,
            record,
            place,
            sink,
            unit: None,
        };
        cells.unit = cells.with(Symbol::Unit, |text, _| {
            LengthUnit::from_name(text)
                .ok_or_else(|| crate::texts::unknown_unit(&crate::document::shortened(text)))
        });
        match cells.kind()? {
            Kind::Holder => cells.holder().map(Row::Holder),
            Kind::Tool(shape) => cells.tool(shape),
            Kind::Unused => {
                let said = cells.text(Symbol::Type).unwrap_or("");
                sink.push(texts::kind_is_kept_only(place.clone(), said));
                None
            }
        }
    }
}

impl Cells<'_> {
    fn text(&self, symbol: Symbol) -> Option<&str> {
        let column = self.columns.of(symbol)?;
        let text = self.record.get(column.number - 1)?;
        (!text.is_empty() && text != "-").then_some(text)
    }

    fn place_of(&self, column: &Column) -> Place {
        Place {
            entity: format!("{} (column {})", column.header, column.number),
            ..self.place.clone()
        }
    }

    fn wrong(&self, symbol: Symbol, wrong: Wrong) {
        if let Some(column) = self.columns.of(symbol) {
            self.sink.push(wrong.at(self.place_of(column)));
        }
    }

    /// A cell read; `None` when it is empty or wrong, which is reported.
    fn with<T>(
        &self,
        symbol: Symbol,
        read: impl FnOnce(&str, &Column) -> Result<T, Wrong>,
    ) -> Option<T> {
        let text = self.text(symbol)?;
        let column = self.columns.of(symbol)?;
        match read(text, column) {
            Ok(value) => Some(value),
            Err(wrong) => {
                self.wrong(symbol, wrong);
                None
            }
        }
    }

    fn length(&self, symbol: Symbol) -> Option<Length> {
        self.with(symbol, |text, column| {
            let read = match column.unit.or(self.unit) {
                Some(unit) => Length::parse_with_default(text, of_unit(unit))?,
                None => {
                    let bare = text
                        .chars()
                        .all(|c| c.is_ascii_digit() || " .,/-+".contains(c));
                    if bare {
                        return Err(texts::no_unit(text));
                    }
                    Length::parse(text)?
                }
            };
            if read < Length::ZERO || read == Length::ZERO && symbol != Symbol::Re {
                return Err(texts::not_above_zero(text));
            }
            if read > LONGEST {
                return Err(texts::too_long(text));
            }
            Ok(read)
        })
    }

    fn number(&self, symbol: Symbol) -> Option<f64> {
        self.with(symbol, |text, _| {
            let plain = text
                .trim_end_matches("deg")
                .trim_end_matches('\u{b0}')
                .trim();
            match plain.replace(',', ".").parse::<f64>() {
                Ok(n) if n.is_finite() && n > 0.0 => Ok(n),
                Ok(_) => Err(texts::not_above_zero(text)),
                Err(_) => Err(crate::texts::expected("a number", &format!("'{text}'"))),
            }
        })
    }

    fn whole(&self, symbol: Symbol) -> Option<u32> {
        let n = self.number(symbol)?;
        if n.fract() == 0.0 && n <= 10_000.0 {
            return Some(n as u32);
        }
        self.wrong(symbol, crate::texts::whole_number(n));
        None
    }

    /// What the row is: by its word, else by the symbols only one kind has.
    fn kind(&self) -> Option<Kind> {
        if self.text(Symbol::Type).is_some() {
            return self.with(Symbol::Type, |text, _| {
                let plain = text.to_lowercase().replace(['_', '-'], " ");
                let known = KINDS
                    .iter()
                    .find(|(word, _)| word.replace('-', " ") == plain);
                known.map(|k| k.1).ok_or_else(|| {
                    let words: Vec<&str> = KINDS.iter().map(|k| k.0).collect();
                    let near = nearest(text, words.iter().copied());
                    let main = "end mill, ball, bull, face mill, drill, reamer, tap, chamfer, \
                                boring, holder";
                    texts::unknown_kind(&crate::document::shortened(text), near, main)
                })
            });
        }
        let has = |symbol| self.text(symbol).is_some();
        let guess = if has(Symbol::Tdz) || has(Symbol::Tp) || has(Symbol::Tpi) {
            Kind::Tool(ToolShape::Tap)
        } else if has(Symbol::Bd) && !has(Symbol::Dc) {
            Kind::Holder
        } else if has(Symbol::Sig) {
            Kind::Tool(ToolShape::Drill)
        } else if has(Symbol::Re) {
            Kind::Tool(ToolShape::Flat)
        } else {
            self.sink.push(texts::cannot_tell(self.place.clone()));
            return None;
        };
        Some(guess)
    }

    fn name(&self) -> String {
        let said = self.text(Symbol::Name).map(str::to_owned);
        said.unwrap_or_else(|| format!("line {}", self.place.line))
    }

    fn count(&self) -> u32 {
        self.whole(Symbol::Count).unwrap_or(1)
    }

    fn holder(&self) -> Option<OwnHolder> {
        let taper = self.with(Symbol::Czc, |text, _| {
            text.parse::<Taper>()
                .map(|t| t.to_string())
                .map_err(|why| crate::texts::expected_hint("a spindle taper", &why, "such as BT30"))
        });
        Some(OwnHolder {
            name: self.name(),
            diameter: self.length(Symbol::Bd).or_else(|| self.length(Symbol::Dc)),
            taper,
            count: self.count(),
            place: self.place.clone(),
        })
    }

    fn tool(&self, shape: ToolShape) -> Option<Row> {
        let named = self.with(Symbol::Tdz, |text, _| thread(text));
        let pitch = match named {
            Some((_, pitch)) => Some(pitch),
            None => self
                .length(Symbol::Tp)
                .or_else(|| Some(Length::inch(1.0 / self.number(Symbol::Tpi)?))),
        };
        let stated = self.length(Symbol::Dc);
        let diameter = named.map(|n| n.0).or(stated);
        if diameter.is_none() && self.text(Symbol::Dc).is_none() && self.text(Symbol::Tdz).is_none()
        {
            let example = "the cutting diameter, such as 6 mm or 1/4 in";
            self.sink
                .push(texts::missing(self.place.clone(), "DC", example));
        }
        if shape == ToolShape::Tap && pitch.is_none() && self.text(Symbol::Tdz).is_none() {
            let example = "the thread, such as M6 or 1/4-20 UNC, or its pitch in TP";
            self.sink
                .push(texts::missing(self.place.clone(), "TDZ", example));
        }
        let corner = self.length(Symbol::Re);
        let lengths = [
            Symbol::Lu,
            Symbol::Lcf,
            Symbol::Oal,
            Symbol::Lf,
            Symbol::Lpr,
            Symbol::Dcon,
            Symbol::Dcx,
        ]
        .map(|s| self.length(s));
        let [lu, lcf, oal, lf, lpr, shank, dcx] = lengths;
        let teeth = self.whole(Symbol::Nof);
        // Read for what is wrong with them; nothing asks for them yet.
        for symbol in [Symbol::Sig, Symbol::Kapr] {
            self.number(symbol);
        }
        let count = self.count();
        let diameter = diameter?;
        if shape == ToolShape::Tap && pitch.is_none() {
            return None;
        }
        let (shape, corner) = self.cornered(shape, diameter, corner)?;
        let overall = oal.or(lf);
        let stated_below = lu.or(lcf);
        let usable = stated_below.unwrap_or_else(|| shortest(shape, diameter));
        if let Some(overall) = overall
            && usable > overall
        {
            let symbol = if lu.is_some() {
                Symbol::Lu
            } else {
                Symbol::Lcf
            };
            let wrong = texts::larger(
                "the usable length",
                "the whole tool",
                shown(usable),
                shown(overall),
            );
            self.wrong(symbol, wrong);
            return None;
        }
        let clamped = CLAMPED * shank.unwrap_or(diameter.max(Length::mm(6.0)));
        let out = lpr
            .or(overall.map(|o| o - clamped))
            .unwrap_or(usable)
            .max(usable);
        let holder = self.columns.of(Symbol::Holder).and_then(|column| {
            let text = self.text(Symbol::Holder)?;
            Some((text.to_owned(), self.place_of(column)))
        });
        let tool = OwnTool {
            name: self.name(),
            shape,
            diameter,
            diameter_most: dcx,
            corner,
            usable,
            out,
            shank,
            holder: None,
            pitch: pitch.filter(|_| shape == ToolShape::Tap),
            teeth,
            count,
            place: self.place.clone(),
        };
        Some(Row::Tool {
            tool,
            holder,
            assumed: stated_below.is_none() && lpr.is_none(),
        })
    }

    /// Shape and corner of a tool: an end mill with a corner radius is a ball or bull-nose cutter.
    fn cornered(
        &self,
        shape: ToolShape,
        diameter: Length,
        corner: Option<Length>,
    ) -> Option<(ToolShape, Length)> {
        let radius = 0.5 * diameter;
        if let Some(corner) = corner
            && corner > radius + Length::mm(0.01)
        {
            let wrong = texts::larger(
                "a corner radius",
                "half the diameter",
                shown(corner),
                shown(radius),
            );
            self.wrong(Symbol::Re, wrong);
            return None;
        }
        Some(match (shape, corner) {
            (ToolShape::Ball, _) => (ToolShape::Ball, radius),
            (ToolShape::Bull, None) => {
                let example = "the corner radius of a bull-nose cutter, such as 1 mm";
                self.sink
                    .push(texts::missing(self.place.clone(), "RE", example));
                return None;
            }
            (ToolShape::Flat | ToolShape::Bull, Some(corner)) if corner > Length::ZERO => {
                if corner + Length::mm(0.01) >= radius {
                    (ToolShape::Ball, radius)
                } else {
                    (ToolShape::Bull, corner)
                }
            }
            (ToolShape::Flat | ToolShape::Bull, _) => (ToolShape::Flat, Length::ZERO),
            (other, _) => (other, Length::ZERO),
        })
    }
}

/// Usable length where none is stated: that of the shortest of its kind on sale.
fn shortest(shape: ToolShape, diameter: Length) -> Length {
    match shape {
        ToolShape::Drill | ToolShape::Reamer => {
            Length::mm(STUB_DRILL * drill_flutes_mm(diameter.to_mm())[0])
        }
        _ => STUB_FLUTES * diameter,
    }
}

fn shown(length: Length) -> String {
    format!("{:.3} mm", length.to_mm())
}

fn of_unit(unit: LengthUnit) -> fn(f64) -> Length {
    match unit {
        LengthUnit::Micrometre => |n| Length::mm(n / 1000.0),
        LengthUnit::Millimetre => Length::mm,
        LengthUnit::Centimetre => |n| Length::mm(n * 10.0),
        LengthUnit::Inch => Length::inch,
        LengthUnit::Foot => |n| Length::inch(n * 12.0),
        LengthUnit::Metre => |n| Length::mm(n * 1000.0),
    }
}

/// Rows together: every tool with its holder.
pub(super) fn gather(rows: Vec<Row>, sink: &Sink) -> OwnTools {
    let mut out = OwnTools::default();
    let mut waiting = Vec::new();
    let mut assumed = Vec::new();
    for row in rows {
        match row {
            Row::Holder(holder) => {
                let plain = holder.name.to_lowercase();
                let known = out.holders.iter().find(|h| h.name.to_lowercase() == plain);
                match known {
                    Some(first) => sink.push(texts::holder_twice(
                        holder.place.clone(),
                        &holder.name,
                        first.place.line,
                    )),
                    None => out.holders.push(holder),
                }
            }
            Row::Tool {
                tool,
                holder,
                assumed: is_assumed,
            } => {
                if is_assumed {
                    assumed.push(tool.place.clone());
                }
                waiting.push((tool, holder));
            }
        }
    }
    for (mut tool, holder) in waiting {
        if let Some((said, place)) = holder {
            let plain = said.to_lowercase();
            let known = out.holders.iter().find(|h| h.name.to_lowercase() == plain);
            match (known, Length::parse(&said)) {
                (Some(holder), _) => tool.holder = holder.diameter,
                (None, Ok(nose)) if nose > Length::ZERO => tool.holder = Some(nose),
                _ => {
                    let near = nearest(&said, out.holders.iter().map(|h| h.name.as_str()));
                    let shortened = crate::document::shortened(&said);
                    sink.push(texts::unknown_holder(&shortened, near).at(place));
                }
            }
        }
        out.tools.push(tool);
    }
    if let Some(first) = assumed.first() {
        let lines: Vec<u32> = assumed.iter().map(|p| p.line).collect();
        sink.push(texts::lengths_assumed(first.clone(), &lines));
    }
    out
}
