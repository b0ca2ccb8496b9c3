//! What the comparison of several machines says to people, in their units.

use crate::ids::OfferId;
use crate::site::SiteVerdict;
use crate::site::stand::Space;
use units::{Area, Current, Flow, Length, System, show};

pub const ASK_SPOT_FOR_ALL: &str = "How long and how deep is the floor on which all of them may stand? Where they stand apart, draw a floor plan with every spot.";
pub const ASK_SPOTS_FOR_ALL: &str = "Where on the plan may each of the machines stand? Draw more or larger spots, or move what stands there.";
pub const ASK_WAY_PAST: &str = "Can one machine be set aside while the other comes in, or each stand at another place? Try other spots on the plan.";
pub const NO_PLACES_YET: &str = "no places on the plan could be looked for";
pub const NO_WAY_PAST: &str = "they find places on the plan, but in no order does each come in by itself while those before it stand at theirs";

pub fn not_even_alone(offer: &OfferId, verdict: SiteVerdict) -> String {
    match verdict {
        SiteVerdict::No => format!("{offer} does not even go in alone"),
        _ => format!("of {offer} alone it cannot be said that it goes in"),
    }
}

pub fn floor_together(verdict: SiteVerdict, apart: Length, system: System) -> String {
    match verdict {
        SiteVerdict::Yes => format!(
            "the floor carries each of them; on a slab on the ground that is decided foot by foot, so keep the feet of different machines at least {} apart",
            show(apart, system)
        ),
        SiteVerdict::CannotSay => "that the floor carries each of them cannot be said".to_owned(),
        SiteVerdict::No => "the floor does not carry each of them".to_owned(),
    }
}

/// What is drawn, with `margin` for continuous load on the largest, and by compressors.
pub fn supply_together(
    verdict: SiteVerdict,
    drawn: &[Current],
    margin: Current,
    compressors: Current,
    need: Current,
    available: Option<Current>,
    converters: usize,
) -> String {
    let each: Vec<String> = drawn.iter().map(|a| format!("{:.0}", a.to_a())).collect();
    let mut sum = each.join(" + ");
    if margin.to_a() > 0.0 {
        sum.push_str(&format!(", {:.0} more on the largest", margin.to_a()));
    }
    if compressors.to_a() > 0.0 {
        sum.push_str(&format!(", {:.0} for compressed air", compressors.to_a()));
    }
    let there = available.map_or("an unknown current".to_owned(), |a| {
        format!("{:.0} A", a.to_a())
    });
    let mut text = match verdict {
        SiteVerdict::Yes => format!(
            "running at once they want {:.0} A ({sum}) of the {there} the supply can give, each on a circuit of its own",
            need.to_a()
        ),
        SiteVerdict::No => format!(
            "running at once they want {:.0} A ({sum}) and the supply can give {there}: it would have to be raised, whose price is not in these sums, or one stands still while the other runs",
            need.to_a()
        ),
        SiteVerdict::CannotSay => format!(
            "what they draw at once cannot be held against the supply, which can give {there}"
        ),
    };
    if converters > 1 {
        text.push_str(
            "; each has a converter of its own in its price, and one for both would have to be sized for both",
        );
    }
    text
}

pub fn air_together(
    all: Option<Flow>,
    users: usize,
    compressor: Option<Flow>,
    lacking: Option<Flow>,
    system: System,
) -> String {
    let (Some(all), _) = (all, users) else {
        return "the air they use at once cannot be said".to_owned();
    };
    let all = show(all, system);
    match (users, compressor, lacking) {
        (0, _, _) => "none of them uses compressed air".to_owned(),
        (_, None, _) => format!(
            "they use {all} of compressed air; a compressor for each that needs one is in its price"
        ),
        (_, Some(have), None) => format!(
            "they use {all} of compressed air, and the compressor gives {}",
            show(have, system)
        ),
        (_, Some(have), Some(lacking)) => format!(
            "they use {all} of compressed air and the compressor gives {}: a second one for {} is in the price",
            show(have, system),
            show(lacking, system)
        ),
    }
}

pub fn boxes_together(
    verdict: SiteVerdict,
    wanted: Option<Area>,
    there: Option<Area>,
    gap: Length,
    system: System,
) -> String {
    let wanted = wanted.map_or("an unknown area".to_owned(), |a| {
        format!("{} with room for doors and service", show(a, system))
    });
    let there = there.map_or("of unknown size".to_owned(), |a| show(a, system));
    match verdict {
        SiteVerdict::Yes => format!(
            "they stand beside one another on the spot, {} apart: {wanted}, and the spot is {there}; bring in first the one that stands farther from the door",
            show(gap, system)
        ),
        _ => format!(
            "they want {wanted}, and the spot is {there}: whether all of them find a place cannot be said without a floor plan or a larger spot"
        ),
    }
}

pub fn spots_too_small(areas: [Area; 2], system: System) -> String {
    let [wanted, there] = areas.map(|area| show(area, system));
    format!("they cover {wanted} by themselves, and all spots on the plan together have {there}")
}

pub fn no_places(step: Length, system: System) -> String {
    format!(
        "no places for all of them were found on the plan, looking in steps of {} at right angles to the spots' edges",
        show(step, system)
    )
}

pub fn room_short(offer: &OfferId, space: &Space, system: System) -> String {
    let kind = if space.assumed { "usual" } else { "stated" };
    let [there, wanted] = [space.there_mm, space.wanted_mm].map(|mm| show(Length::mm(mm), system));
    format!(
        "{offer} has {there} of the {kind} {wanted} at its {}",
        space.name
    )
}

pub fn ask_room_for_all(tight: &str) -> String {
    format!(
        "What room does the maker want round each machine ({tight})? State it as the plan's clearances, or draw more room."
    )
}

pub fn tight_places(tight: Option<&str>) -> String {
    format!(
        "places were found on the plan only without all the room they want: at the best ones {}",
        tight.unwrap_or("something is short")
    )
}

pub fn places_found(first: &OfferId, open: bool) -> String {
    let open = if open {
        "; there a question about their own room is open"
    } else {
        ""
    };
    format!(
        "all of them find places on the plan with the room they want, and come in one past the other, {first} first{open}"
    )
}
