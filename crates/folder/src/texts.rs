//! Every text this crate shows to a user, in one place.

use units::{ParseError, Place, Problem};

/// What is the matter with a value: the sentence after its key, and what to try.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Wrong {
    pub(crate) message: String,
    pub(crate) hint: String,
}

impl Wrong {
    fn new(message: impl Into<String>, hint: impl Into<String>) -> Self {
        Self {
            message: message.into(),
            hint: hint.into(),
        }
    }

    /// As a problem at a place.
    pub(crate) fn at(self, place: Place) -> Problem {
        let message = if place.entity.is_empty() {
            self.message
        } else {
            format!("{}: {}", place.entity, self.message)
        };
        Problem::stop(place, message, self.hint)
    }
}

impl From<ParseError> for Wrong {
    fn from(error: ParseError) -> Self {
        Wrong::new(
            format!("expected {}, found {}", error.expected, error.found),
            error.hint,
        )
    }
}

// Values.

pub(crate) fn expected(what: &str, found: &str) -> Wrong {
    Wrong::new(format!("expected {what}, found {found}"), "")
}

pub(crate) fn expected_hint(what: &str, found: &str, hint: &str) -> Wrong {
    Wrong::new(format!("expected {what}, found {found}"), hint)
}

pub(crate) fn quantity_in_quotes(name: &str, example: &str) -> String {
    format!("{} in quotes, such as {example}", with_article(name))
}

pub(crate) fn unit_missing(name: &str, number: f64, example: &str) -> Wrong {
    let hint = format!("write it in quotes with its unit, such as {example}");
    if number.is_finite() {
        Wrong::new(
            format!(
                "expected {} with its unit, found the bare number {number}",
                with_article(name)
            ),
            hint,
        )
    } else {
        Wrong::new(
            format!(
                "expected {}, found {number}, which is no number",
                with_article(name)
            ),
            hint,
        )
    }
}

pub(crate) fn not_finite(name: &str) -> Wrong {
    Wrong::new(
        format!(
            "expected {}, found something that is no finite number",
            with_article(name)
        ),
        "leave the key out if the number is not known",
    )
}

pub(crate) fn negative(name: &str) -> Wrong {
    Wrong::new(
        format!("{} cannot be negative", with_article(name)),
        "drop the minus sign, or leave the key out if the number is not known",
    )
}

pub(crate) fn zero(name: &str) -> Wrong {
    Wrong::new(
        format!("{} of zero makes no sense here", with_article(name)),
        "leave the key out if the number is not known",
    )
}

/// With an exponent of one the force would no longer grow with the chip.
pub(crate) fn mc_too_large() -> Wrong {
    expected_hint(
        "an exponent below 1",
        "one that is not",
        "published ones lie between 0.14 and 0.35: mc = 0.25",
    )
}

pub(crate) fn absurd(name: &str, found: f64, most: f64, unit: &str) -> Wrong {
    let unit = if unit.is_empty() {
        String::new()
    } else {
        format!(" {unit}")
    };
    Wrong::new(
        format!(
            "{} of {}{unit} cannot be meant; the most that is believed here is {}{unit}",
            with_article(name),
            short_number(found),
            short_number(most)
        ),
        "check the unit and the decimal point",
    )
}

pub(crate) fn falling(text: &str) -> Wrong {
    Wrong::new(
        format!("expected values that rise from low to high, found '{text}'"),
        "put the smaller one first",
    )
}

pub(crate) fn unreadable_quantity(name: &str) -> Wrong {
    Wrong::new(format!("{} is not read from files", with_article(name)), "")
}

pub(crate) fn short_list(what: &str, wanted: usize, found: usize) -> Wrong {
    Wrong::new(
        format!("expected {wanted} lengths ({what}), found {found}"),
        "write them as in '16 x 12 x 1 in'",
    )
}

pub(crate) fn choice(found: &str, known: &[&str], near: Option<&str>) -> Wrong {
    Wrong::new(
        format!("expected one of {}, found '{found}'", known.join(", ")),
        near.map(did_you_mean).unwrap_or_default(),
    )
}

pub(crate) fn no_rate(currency: &str, own: &str) -> Wrong {
    Wrong::new(
        format!("the amount is in {currency}, the folder's money is {own}, and no rate is given"),
        format!(
            "add to shop.toml under [rates]: {currency} = {{ rate = ..., on = \"2026-01-31\" }}, where rate is {own} for one {currency}"
        ),
    )
}

pub(crate) fn range_wanted(found: &str) -> Wrong {
    Wrong::new(
        format!(
            "expected the lowest and the highest position, such as 4 in to 22 in, found {found}"
        ),
        "if only one end is known write nose_to_table_min or nose_to_table_max",
    )
}

pub(crate) fn unknown_taper(why: &str) -> Wrong {
    Wrong::new(
        why,
        "write it as the trade does: CAT40, BT30, R8, HSK-E40, SK40, ISO20, NT30",
    )
}

pub(crate) fn unknown_thread(text: &str) -> Wrong {
    Wrong::new(
        format!("'{text}' is not a thread this tool knows"),
        "write it like M6, M10 x 1, 1/4-20 UNC or 10-32, or give diameter and pitch instead",
    )
}

pub(crate) fn phases(found: f64) -> Wrong {
    Wrong::new(
        format!("expected 1 or 3 phases, found {found}"),
        "single-phase is 1, three-phase is 3",
    )
}

pub(crate) fn year(found: f64) -> Wrong {
    Wrong::new(
        format!("expected a year of make such as 2008, found {found}"),
        "leave the key out if the year is not known",
    )
}

pub(crate) fn share(found: f64) -> Wrong {
    Wrong::new(
        format!("expected a share between 0 and 100 %, found {found}"),
        "write it with its sign, such as 8 %",
    )
}

pub(crate) fn chance(found: f64) -> Wrong {
    Wrong::new(
        format!(
            "expected a chance between 1 and 99 %, found {} %",
            found * 100.0
        ),
        "four times in five, 80 %, is usual",
    )
}

pub(crate) fn no_chance(found: f64) -> Wrong {
    if found > 0.0 {
        return Wrong::new(
            "expected a chance below 100 %",
            "what is sure to come is a cost: write it under [costs]",
        );
    }
    Wrong::new(
        "expected a chance above 0 %",
        "leave out what cannot happen",
    )
}

pub(crate) fn risk_twice(name: &str) -> Wrong {
    Wrong::new(
        format!("there is another risk called '{name}' in this file"),
        "give each a name of its own: each happens or not by itself",
    )
}

pub(crate) fn within_no_repair() -> Wrong {
    Wrong::new(
        "says nothing of what no warranty pays",
        "add repair = true if the seller's warranty would pay for it, or leave it out",
    )
}

pub(crate) fn per_time(found: &str) -> Wrong {
    Wrong::new(
        format!("expected a number and a time, found {found}"),
        "write it like 24 per year, 2 per month or 20-30 per year",
    )
}

pub(crate) fn unknown_unit(found: &str) -> Wrong {
    Wrong::new(
        format!("expected mm, cm, m, in or ft, found '{found}'"),
        "it is the unit in which the model was drawn",
    )
}

pub(crate) fn about_form(found: &str) -> Wrong {
    Wrong::new(
        format!("expected a size and, if not given apart, a material, found {found}"),
        "write it like 12 x 8 x 3 in, aluminium",
    )
}

pub(crate) fn through_needs_block(what: &str) -> Wrong {
    Wrong::new(
        format!("{what} is missing, and the part is no block of which it could be taken"),
        format!("add {what} = \"1 in\""),
    )
}

pub(crate) fn whole_number(found: f64) -> Wrong {
    Wrong::new(
        format!("expected a whole number from 1 to 100000, found {found}"),
        "",
    )
}

pub(crate) fn bad_machines(found: &str) -> Wrong {
    Wrong::new(
        format!("expected how many machines may be bought, found {found}"),
        "machines = 1, 2 or 3; all of them share the one budget",
    )
}

pub(crate) fn bad_seed(found: &str) -> Wrong {
    Wrong::new(
        format!("expected a whole number, found {found}"),
        "any will do, such as 1",
    )
}

pub(crate) fn own_rate(code: &str) -> Wrong {
    Wrong::new(
        format!("{code} is the folder's own currency"),
        "rates are for the others; take this line out",
    )
}

pub(crate) fn bad_date(found: &str) -> Wrong {
    Wrong::new(
        format!("expected a date, found {found}"),
        "write it as year-month-day, such as 2026-11-02",
    )
}

// Keys.

/// More known keys than this in a message are a wall of words.
const MOST_LISTED: usize = 20;

pub(crate) fn missing_key(place: Place, key: &str, what: &str) -> Problem {
    Problem::stop(place, format!("{key} is missing"), format!("add {what}"))
}

pub(crate) fn unknown_key(place: Place, key: &str, near: Option<&str>, known: &[&str]) -> Problem {
    let hint = match near {
        Some(near) => did_you_mean(near),
        None if known.len() > MOST_LISTED => {
            "the files that 'firstchip new FOLDER' writes show the keys; put # in front to keep the line as a remark".to_owned()
        }
        None => format!("known here: {}", known.join(", ")),
    };
    Problem::stop(
        place,
        format!(
            "'{}' is not a key this tool knows",
            crate::document::shortened(key)
        ),
        hint,
    )
}

pub(crate) fn said_twice(place: Place, key: &str, other: &str) -> Problem {
    Problem::stop(
        place,
        format!("{key} and {other} say the same thing"),
        "keep one of the two",
    )
}

// Files.

pub(crate) fn no_folder(name: &str) -> Problem {
    Problem::stop(
        Place::default(),
        format!("there is no folder '{name}'"),
        "start one with: firstchip new FOLDER",
    )
}

pub(crate) fn no_file(place: Place) -> Problem {
    let message = format!("there is no {}", place.file);
    Problem::stop(
        place,
        message,
        "every shop folder needs it; 'firstchip new FOLDER' writes a commented one to copy from",
    )
}

pub(crate) fn refused(place: Place, why: &str) -> Problem {
    Problem::stop(place, format!("the file cannot be read: {why}"), "")
}

pub(crate) fn too_large(place: Place, bytes: u64) -> Problem {
    Problem::stop(
        place,
        format!("the file is too large to read ({} MB)", bytes / 1_000_000),
        "export the model with coarser triangles",
    )
}

pub(crate) fn not_utf8(place: Place) -> Problem {
    Problem::stop(
        place,
        "the file is not UTF-8 text",
        "save it again as UTF-8 (most editors offer this under 'save with encoding')",
    )
}

pub(crate) fn not_toml(place: Place, why: &str) -> Problem {
    let why = why.trim().replace('\n', ", ");
    let hint = if why.contains("duplicate key") {
        "keep one of the two"
    } else {
        "a line is a key, an equals sign and a value, with text in double quotes: price = \"$18,900\""
    };
    Problem::stop(place, format!("this is not TOML: {why}"), hint)
}

pub(crate) fn no_offers(place: Place) -> Problem {
    Problem::warning(
        place,
        "there is no offer yet",
        "put one file for each machine into offers/, such as offers/bench-mill.toml; until then only the ceiling and the specification can be said",
    )
}

pub(crate) fn no_site(place: Place) -> Problem {
    Problem::warning(
        place,
        "there is no site.toml, so nothing can be said of door, ceiling and supply",
        "'firstchip new FOLDER' writes a commented one to copy from",
    )
}

pub(crate) fn no_parts(place: Place) -> Problem {
    Problem::stop(
        place,
        "there is no part",
        "add at least one [[part]], if only the largest: about = \"12 x 8 x 3 in, aluminium\"",
    )
}

pub(crate) fn cancelled() -> Problem {
    Problem::stop(Place::default(), "reading was cancelled", "")
}

// Parts, offers, tables.

pub(crate) fn duplicate_part(place: Place, id: &str, first_line: u32) -> Problem {
    Problem::stop(
        place,
        format!("the part id '{id}' is used already on line {first_line}"),
        "give each part an id of its own",
    )
}

pub(crate) fn duplicate_entry(place: Place, what: &str, id: &str, first_line: u32) -> Problem {
    Problem::stop(
        place,
        format!("the {what} '{id}' stands already on line {first_line}"),
        "keep one of the two",
    )
}

pub(crate) fn bad_id(id: &str) -> Wrong {
    Wrong::new(
        format!("'{}' cannot be an id", crate::document::shortened(id)),
        "use letters, digits, dashes and underscores, such as base-plate",
    )
}

pub(crate) fn unknown_material(text: &str, near: Option<&str>, known: &str) -> Wrong {
    let hint = match near {
        Some(near) => did_you_mean(near),
        None => format!("known are {known}; add others in materials.toml"),
    };
    Wrong::new(
        format!(
            "'{}' is not a material this tool knows",
            crate::document::shortened(text)
        ),
        hint,
    )
}

pub(crate) fn unknown_class(text: &str, near: Option<&str>, known: &str) -> Wrong {
    let hint = match near {
        Some(near) => did_you_mean(near),
        None => format!("known are {known}; add others in classes.toml"),
    };
    Wrong::new(
        format!(
            "'{}' is not a class of machines this tool knows",
            crate::document::shortened(text)
        ),
        hint,
    )
}

pub(crate) fn one_shape(place: Place, found: &[&str]) -> Problem {
    let hint = "write one of: size = \"16 x 12 x 1 in\", model = \"parts/bracket.stl\", about = \"12 x 8 x 3 in, aluminium\"";
    if found.is_empty() {
        Problem::stop(place, "the part has no shape", hint)
    } else {
        Problem::stop(
            place,
            format!("the part has more than one shape: {}", found.join(", ")),
            hint,
        )
    }
}

pub(crate) fn feature_too_large(what: &str, part: &str) -> Wrong {
    Wrong::new(
        format!("the feature is larger than the part: {what} against {part}"),
        "check the unit, or the side it lies on",
    )
}

pub(crate) fn range_upside_down(low: &str, high: &str) -> Wrong {
    Wrong::new(
        format!("{low} is above {high}"),
        "swap the two, or leave out the one that is not known",
    )
}

pub(crate) fn unit_of_described(place: Place) -> Problem {
    Problem::stop(
        place,
        "unit belongs to a model, and this part has none",
        "write the unit with each size, such as size = \"16 x 12 x 1 in\"",
    )
}

pub(crate) fn model_missing(place: Place, file: &str) -> Problem {
    Problem::stop(
        place,
        format!("the model '{file}' is not there"),
        "the name is relative to the shop folder, such as parts/bracket.3mf",
    )
}

pub(crate) fn model_outside(place: Place, file: &str) -> Problem {
    Problem::stop(
        place,
        format!("the model '{file}' lies outside the shop folder"),
        "copy it into parts/, so that the folder holds everything about the purchase",
    )
}

pub(crate) fn model_empty(place: Place, file: &str) -> Problem {
    Problem::stop(
        place,
        format!("the model '{file}' is empty"),
        "export it again from the drawing program",
    )
}

pub(crate) fn model_unreadable(place: Place, file: &str, why: &str) -> Problem {
    Problem::stop(
        place,
        format!("the model '{file}' cannot be read: {why}"),
        "",
    )
}

pub(crate) fn model_flat(place: Place, file: &str) -> Problem {
    Problem::stop(
        place,
        format!("the model '{file}' has no thickness"),
        "export a solid body, not a sketch or a sheet",
    )
}

pub(crate) fn model_without_unit(place: Place, file: &str, readings: &str, unit: &str) -> Problem {
    Problem::stop(
        place,
        format!("the model '{file}' carries no unit of length"),
        format!("add unit = \"{unit}\" if that is right; the size would be {readings}"),
    )
}

pub(crate) fn model_damaged(place: Place, file: &str, what: &str) -> Problem {
    Problem::warning(
        place,
        format!("the model '{file}' is damaged: {what}"),
        "its volume may be wrong; export it again as a solid body",
    )
}

pub(crate) fn model_reservation(place: Place, file: &str, what: &str) -> Problem {
    Problem::warning(place, format!("the model '{file}': {what}"), "")
}

pub(crate) fn remark(place: Place, what: &str) -> Problem {
    let message = if place.entity.is_empty() {
        what.to_owned()
    } else {
        format!("{}: {what}", place.entity)
    };
    Problem::info(place, message)
}

pub(crate) fn table_prices_left_out(own: &str) -> Problem {
    Problem::warning(
        Place {
            file: "shop.toml".to_owned(),
            line: 0,
            entity: "rates".to_owned(),
        },
        format!(
            "the built-in price bands of materials and machine classes are in USD; without a rate to {own} they are left out"
        ),
        "add under [rates]: USD = { rate = ..., on = \"2026-01-31\" }",
    )
}

// Sources of assumed values.

/// Batch size when none is stated.
pub(crate) const BATCH_SOURCE: &str =
    "no batch stated: between one piece and a year's at once; our guess, no source";
/// Quantity when none is stated.
pub(crate) const QUANTITY_SOURCE: &str =
    "no quantity stated: a few pieces a year; our guess, no source";
/// Stock allowance when none is stated.
pub(crate) const ALLOWANCE_SOURCE: &str =
    "sawn stock with 1/16 to 1/8 in to clean up on a side; common practice, no source";
/// Hours when none are stated.
pub(crate) const HOURS_SOURCE: &str =
    "no hours stated: evenings and weekends up to half a working year; our guess, no source";
/// Cost of an hour when none is stated.
pub(crate) const HOUR_COST_SOURCE: &str = "no cost of an hour stated: from an owner's own time to a hired machinist; our guess, no source";
/// Horizon when none is stated.
pub(crate) const HORIZON_SOURCE: &str = "no horizon stated; our guess, no source";
/// Discount rate when none is stated.
pub(crate) const DISCOUNT_SOURCE: &str = "no discount rate stated; our guess, no source";
/// What exceeding the budget costs when nothing is stated.
pub(crate) const OVER_BUDGET_SOURCE: &str =
    "no cost of exceeding the budget stated; our guess, no source";
/// Sales tax when none is stated.
pub(crate) const TAX_SOURCE: &str =
    "no tax stated: none to the highest state and local sales tax of about 10 %; from memory";

// Writing.

/// A file of a new folder exists already.
pub(crate) fn exists_already(file: &str) -> Problem {
    Problem::stop(
        Place {
            file: file.to_owned(),
            line: 0,
            entity: String::new(),
        },
        "the file is there already; nothing was written",
        "choose another folder, or remove what stands in this one",
    )
}

/// A file could not be written.
pub(crate) fn not_written(file: &str, why: &str) -> Problem {
    Problem::stop(
        Place {
            file: file.to_owned(),
            line: 0,
            entity: String::new(),
        },
        format!("the file cannot be written: {why}"),
        "",
    )
}

fn did_you_mean(near: &str) -> String {
    format!("did you mean '{near}'?")
}

fn with_article(noun: &str) -> String {
    let article = if noun.starts_with(['a', 'e', 'i', 'o', 'u']) {
        "an"
    } else {
        "a"
    };
    format!("{article} {noun}")
}

/// Large numbers in powers of ten, so that a message stays a line.
fn short_number(number: f64) -> String {
    if number.abs() >= 1.0e7 {
        format!("{number:.1e}")
    } else {
        format!("{number}")
    }
}

// Floor plans.

pub(crate) fn no_length_unit(text: &str) -> Wrong {
    expected(
        "a unit of length such as ft, in, m, mm",
        &format!("'{text}'"),
    )
}

pub(crate) fn point_without_unit(number: f64) -> Wrong {
    Wrong::new(
        format!("expected lengths with units, found the bare number {number}"),
        "state unit = \"ft\" (or in, m, mm) in [plan], or write each length in quotes with its unit",
    )
}

pub(crate) fn too_far() -> Wrong {
    Wrong::new(
        "a point lies more than a kilometre from the plan's origin",
        "check the unit and the decimal point",
    )
}

pub(crate) fn few_points(least: usize, found: usize) -> Wrong {
    Wrong::new(
        format!("expected at least {least} different points, found {found}"),
        "",
    )
}

pub(crate) fn no_area() -> Wrong {
    Wrong::new("the outline encloses no area", "check its points")
}

pub(crate) fn crosses_itself() -> Wrong {
    Wrong::new(
        "the outline crosses itself",
        "list its corners in the order in which one walks round it",
    )
}

pub(crate) fn spot_bends_inward() -> Wrong {
    Wrong::new(
        "the outline of a spot must not bend inward",
        "split it into several [[plan.spot]]; the machine may stand in any of them",
    )
}

pub(crate) fn area_said_twice() -> Wrong {
    Wrong::new(
        "an area is either an outline or a rectangle from one corner to the other",
        "leave out outline, or from and to",
    )
}

pub(crate) fn no_such_door(door: &str, known: &[&str]) -> Wrong {
    let hint = match known {
        [] => "no door is drawn in the plan".to_owned(),
        known => format!("doors of the plan: {}", known.join(", ")),
    };
    Wrong::new(format!("no door of the plan is named '{door}'"), hint)
}

pub(crate) fn door_of_an_offer() -> Wrong {
    Wrong::new(
        "the frame of a door is no part of a machine",
        "write it as [[plan.dismantling]] in site.toml",
    )
}

pub(crate) fn no_opening() -> Wrong {
    Wrong::new("the jambs of the door are the same point", "")
}

pub(crate) fn wider_than_opening(opening_mm: f64) -> Wrong {
    Wrong::new(
        format!("the clear width is more than the {opening_mm:.0} mm between the jambs"),
        "give the jambs where the opening is, and the width only where a leaf or a stop takes some of it",
    )
}

pub(crate) fn too_many_points(place: Place, found: usize, most: usize) -> Problem {
    Problem::stop(
        place,
        format!("the plan has {found} points; more than {most} are not looked at"),
        "draw only what a load can run into",
    )
}

pub(crate) fn outside_folder(file: &str) -> Wrong {
    expected_hint(
        "a file in the shop folder",
        &format!("'{file}'"),
        "put the drawing beside site.toml and name it without any folder outside",
    )
}

pub(crate) fn drawing_unread(file: &str, why: &str) -> Wrong {
    Wrong::new(format!("{file} cannot be read: {why}"), "")
}

pub(crate) fn drawing_wrong(file: &str, line: u32, message: &str) -> Wrong {
    Wrong::new(
        format!("{file}, line {line}: {message}"),
        "save the drawing again as text DXF",
    )
}

pub(crate) fn drawing_without_unit(file: &str) -> Wrong {
    Wrong::new(
        format!("{file} does not say in which unit it is drawn"),
        "state it: unit = \"mm\" (or cm, m, in, ft) in [plan.dxf]",
    )
}

pub(crate) fn no_such_layer(file: &str, wanted: &str, there: &[&str]) -> Wrong {
    let there: Vec<&str> = there.iter().take(20).copied().collect();
    Wrong::new(
        format!("{file} has no lines on a layer '{wanted}'"),
        format!("layers with lines: {}", there.join(", ")),
    )
}

pub(crate) fn not_drawn(place: Place, layer: &str, kind: &str, count: usize) -> Problem {
    Problem::warning(
        place,
        format!("{count} of {kind} on layer {layer} are not read and stop no load"),
        "explode blocks and draw what is solid as lines or polylines",
    )
}

pub(crate) fn open_thing(place: Place, layer: &str) -> Problem {
    Problem::warning(
        place,
        format!("a line on layer {layer} encloses no area and is taken for a wall"),
        "close the outlines of things",
    )
}

// Work on the holes of a model, faces left and reached.

pub(crate) fn bad_fit(found: &str) -> Wrong {
    expected_hint(
        "a fit such as H7, of grade 5 to 11 and up to 500 mm",
        found,
        "or state the full width: tolerance = \"0.015 mm\"",
    )
}

pub(crate) fn bad_position(found: &str) -> Wrong {
    expected_hint(
        "a place in the model's own frame",
        found,
        "write at = [\"10 mm\", \"-20 mm\", \"0 mm\"]",
    )
}

pub(crate) fn no_such_hole(place: Place, what: &str, drawn: &str) -> Problem {
    Problem::stop(
        place,
        format!("no hole of the model is drawn for {what}"),
        format!("state the diameter the model draws it with; it has {drawn}"),
    )
}

pub(crate) fn other_count_of_holes(place: Place, what: &str, said: usize, found: usize) -> Problem {
    Problem::stop(
        place,
        format!("{said} holes for {what} are stated, {found} are drawn"),
        "correct the count, or say which ones with at = [...] in a table for each",
    )
}

pub(crate) fn hole_worked_twice(place: Place, what: &str) -> Problem {
    Problem::stop(
        place,
        format!("{what}: one of its holes has a thread or fit already"),
        "tell them apart with diameter or at",
    )
}

pub(crate) fn thread_too_deep(place: Place, what: &str, deep: f64, length: f64) -> Problem {
    Problem::stop(
        place,
        format!("{what}: {deep:.1} mm of thread are stated in a hole {length:.1} mm long"),
        "correct the depth, or leave it out for as much as the hole takes",
    )
}

pub(crate) fn only_of_models(place: Place, key: &str, instead: &str) -> Problem {
    Problem::stop(
        place,
        format!("{key}: only a part with a model has it"),
        instead,
    )
}

pub(crate) fn holes_of_several_bodies(place: Place) -> Problem {
    Problem::stop(
        place,
        "the model has several bodies, so it cannot be said whose holes are meant",
        "give each body a part of its own",
    )
}

pub(crate) fn allowance_and_stock_faces(place: Place) -> Problem {
    Problem::stop(
        place,
        "allowance: faces left as stock have none",
        "leave out allowance, or leave_stock_faces",
    )
}

pub(crate) fn stock_not_so_fine(place: Place, tolerance_mm: f64, stock_mm: f64) -> Problem {
    Problem::warning(
        place,
        format!(
            "leave_stock_faces: the finest tolerance is {tolerance_mm:.3} mm, but cold finished \
             stock of this size holds {stock_mm:.2} mm at best (h11, ISO 286-1), plate and sawn \
             ends less"
        ),
        "faces that carry the tolerance must be cut: leave the key out",
    )
}

// Money over time.

pub(crate) fn says_nothing(way: &str) -> Wrong {
    Wrong::new(
        format!("says nothing with {way}"),
        "leave it out, or set way = \"loan\" or \"lease\"",
    )
}

pub(crate) fn no_return() -> Wrong {
    Wrong::new(
        "says nothing of a machine bought at the end",
        "leave it out, or set end = \"hand back\" or end = \"cheaper\"",
    )
}

pub(crate) fn rate_of_a_return() -> Wrong {
    Wrong::new(
        "a rate alone does not tell the payments of a machine that is handed back",
        "write what is paid a month, payment = \"$620\", or what the lessor counts the machine as worth at the end, residual = \"30 %\"",
    )
}

pub(crate) fn time_wanted(found: &str) -> Wrong {
    expected_hint(
        "a time with its unit",
        found,
        "write it like \"5 years\", \"48 months\", \"6 to 10 weeks\" or \"3 days\"",
    )
}

pub(crate) fn whole_months(found: &str) -> Wrong {
    expected_hint(
        "a whole number of months or years",
        found,
        "write it like \"5 years\" or \"48 months\"",
    )
}

pub(crate) fn not_csv(place: Place, why: &str) -> Problem {
    Problem::stop(
        place,
        format!("this cannot be read as a table: {why}"),
        "save it as text with commas, one payment a line",
    )
}

pub(crate) fn unknown_column(place: Place, name: &str, near: Option<&str>, known: &str) -> Problem {
    Problem::warning(
        place,
        format!("the column '{name}' is not known and not read"),
        match near {
            Some(near) => format!("did you mean {near}?"),
            None => format!("columns read: {known}"),
        },
    )
}

pub(crate) fn no_column(place: Place, name: &str) -> Problem {
    Problem::stop(
        place,
        format!("the column '{name}' is missing"),
        "begin the file with the line: date,line,amount,currency,offer,what",
    )
}

pub(crate) fn unknown_line(place: Place, name: &str, near: Option<&str>) -> Problem {
    Problem::warning(
        place,
        format!("'{name}' is no cost line the study knows: it is added as one of its own"),
        match near {
            Some(near) => format!("did you mean '{near}'? Then it would replace that estimate"),
            None => String::new(),
        },
    )
}

pub(crate) fn paid_exactly() -> Wrong {
    expected_hint(
        "the one amount that was paid",
        "a range",
        "what is not paid yet belongs into [costs]",
    )
}

pub(crate) fn unknown_offer(id: &str, near: Option<&str>) -> Wrong {
    Wrong::new(
        format!("there is no offer '{id}'"),
        match near {
            Some(near) => format!("did you mean '{near}'?"),
            None => "name the file in offers/ without its ending, or leave it empty for what \
                     serves any machine"
                .to_owned(),
        },
    )
}

/// Numbers of a spindle that cannot all be true.
pub(crate) fn spindle_contradicts(place: Place, found: &engine::machine::Contradiction) -> Problem {
    use engine::machine::Contradiction;
    let what = match found {
        Contradiction::TorqueBeyondPower { of_torque, power } => format!(
            "this torque at its speed is {:.1} kW, more than the {:.1} kW stated",
            of_torque.to_kw(),
            power.to_kw()
        ),
        Contradiction::PowerNeverReached { at_fastest, power } => format!(
            "this torque makes {:.1} kW at the highest speed, so the {:.1} kW stated are never reached",
            at_fastest.to_kw(),
            power.to_kw()
        ),
        Contradiction::TorqueBeyondFastest { at, fastest } => format!(
            "this torque is said to hold up to {:.0} rpm, but the highest speed is {:.0} rpm",
            at.to_rpm(),
            fastest.to_rpm()
        ),
        Contradiction::TorqueBelowSlowest { at, slowest } => format!(
            "this torque is said to hold up to {:.0} rpm, but the lowest speed is {:.0} rpm",
            at.to_rpm(),
            slowest.to_rpm()
        ),
    };
    Problem::warning(
        place,
        what,
        "power is torque times speed, so one of these numbers is wrong or they are ratings of different duty: ask the seller for torque and power over speed; until then the least of them counts",
    )
}
