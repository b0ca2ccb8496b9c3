//! What the site check says to people.

use super::stand::{CHIP_SIDE, CHIPS_CART, Place, PlaceAsk};
use units::{Length, System, show};

pub const ELECTRICAL_CAUTION: &str = "A screen only: the local code, the authority that inspects and a licensed electrician decide on wiring, protection and converters.";
pub const OUTLET_CAUTION: &str = "From an outlet only where nothing else runs on its circuit, lights and other outlets of the room included: find out what the breaker feeds. A compressor or heater needs another circuit; no extension cord. A screen only: the local code, the authority that inspects and a licensed electrician decide on wiring and protection.";
pub const LIFTING_CAUTION: &str = "Lifting and moving is for competent, insured riggers; nobody under or downhill of the load, and no printed weight is trusted without a margin.";

pub const DOOR_WIDTH: &str =
    "widen the opening, bring it in by another way, or ask which parts come off";
pub const DOOR_HEIGHT: &str = "ask for the height with Z at the bottom or the head off; if it passes so, add a rigger's time for taking it apart";
pub const CEILING: &str = "another spot, a raised ceiling, or a lower column riser";
pub const SPOT: &str = "another spot, or turn the machine";
pub const SERVICE: &str = "doors, cabinet, chips and service want about three times the bare footprint; plan which side opens";
pub const SUPPLY: &str =
    "have the supply raised, or free current by what does not run at the same time";

pub const ASK_DOOR_WIDTH: &str = "How wide is the narrowest door on the way in?";
pub const ASK_DOOR_HEIGHT: &str = "How high is the lowest door on the way in?";
pub const ASK_CEILING: &str = "How high is the ceiling over the spot?";
pub const ASK_SPOT: &str = "How long and how deep is the spot?";
pub const ASK_SUPPLY_VOLTS: &str = "What voltage does the supply give?";
pub const ASK_SUPPLY_PHASES: &str = "Is the supply single-phase or three-phase?";
pub const ASK_SUPPLY_AMPS: &str = "What current can the supply still give?";

pub const CONVERTER: &str = "the machine wants three phases and the supply gives one";
pub const TRANSFORMER: &str = "the machine's voltage is not the supply's";
pub const CIRCUIT: &str = "a circuit of its own from the panel to the machine";
pub const OUTLET: &str =
    "nothing where an outlet is alone on its circuit, else a circuit of its own from the panel";
pub const UPGRADE: &str = "the supply cannot give the machine's current";

pub const SELLERS_DOOR: &str = "taken apart at the seller's, or his opening widened";
pub const LOADING: &str = "a crane or fork truck with its driver hired to load it";
pub const OTHER_CARRIER: &str = "another carrier than the one named, or a heavier one";
pub const PREPARATION: &str = "somebody sent to lock the axes and drain coolant and oil";
pub const TRANSIT_INSURANCE: &str = "cover while lifted, on the road and at each handover";
pub const DELIVERED: &str = "The seller delivers: have it in writing that it is his risk until it stands at your place, look before signing the receipt, and ask who unloads.";
pub const SELLER_LIFTS: &str = "the seller has what lifts it";
pub const OVER_THE_DOCK: &str = "nothing lifts it there; it is rolled on over the dock";
pub const NOBODY_LIFTS: &str = "There is neither a dock nor anything that lifts it at the seller's: hire a crane or a fork truck with its driver.";
pub const ASK_LOADING: &str = "Who loads it, with what machine, and who pays for that?";
pub const LOCKED: &str = "shipping locks are on and the fluids out";
pub const ASK_LOCKED: &str = "Have spindle head and table locked for the road, coolant and oil drained: agree on it in writing.";
pub const ASK_INSURED: &str = "Whose insurance covers it while lifted, on the road and when handed over? Photograph it at each handover, and look before signing the receipt.";

pub fn if_not(why: &str) -> String {
    format!("if the check before the truck comes out badly: {why}")
}

pub fn taking_apart(what: &str) -> String {
    format!("it comes in only so: {what}; and all of it back again")
}

pub const FLOOR_CAUTION: &str = "A screen only: a structural engineer signs off elevated floors, cracked slabs and anything close to the limit.";
pub const ASK_FLOOR: &str = "What does the machine stand on: a concrete slab on the ground (how thick?), joists or a slab over a cellar, or soft ground?";
pub const ASK_SLAB: &str = "How thick is the slab? Drill a small hole where nothing runs below, or measure at an edge or a doorway.";
pub const ASK_ENGINEER_JOISTS: &str = "A machine on joists or over a cellar is a structural engineer's question: what does the engineer say of this weight at this place?";
pub const ASK_ENGINEER_SOFT: &str = "Soft ground wants a foundation: what slab does an engineer or a concrete contractor propose for this weight?";
pub const ASK_ENGINEER_CRACKS: &str =
    "A slab with wide or stepped cracks no longer acts as one: what does an engineer say of it?";
pub const ASSUMED_STRENGTH: &str = "concrete of 1,500 psi (10 MPa), as poor as an old slab likely is (from memory), since nobody stated its strength";
pub const ASSUMED_SUBGRADE: &str =
    "a subgrade of 25 pci (7 MPa/m), soft clay (from memory), since nobody stated it";
pub const ASK_STRENGTH: &str = "How strong is the concrete? The builder's papers, a rebound hammer or a core tell; as poor as it may be, the slab does not surely carry the feet.";
pub const ASK_SUBGRADE: &str = "What is below the slab: compacted gravel, sand, clay? On the softest ground the slab does not surely carry the feet.";
pub const ELEVATED: &str = "for the engineer: an elevated garage floor is made for 2,000 lb (907 kg) on 4.5 by 4.5 in (114 mm square) (WAC 51-51-0301 note a), floors for light and heavy manufacturing for 125 and 250 lb a square foot (6 and 12 kPa) and 2,000 and 3,000 lb at one point (IBC table 1607.1, from memory); yours may be made for less";

pub fn pad_on_soil(side: units::Length, soil: &str) -> String {
    format!(
        "for the engineer: on {soil}, presumed to bear 1,500 lb a square foot (72 kPa; IBC 2012 table 1806.2, 24 CFR 3285.202), a pad of at least {:.2} m square, its own weight not counted",
        side.to_m()
    )
}

pub const ASSUMED_FEET: &str = "the most loaded foot carries twice its even share, as a rigid body may stand on two of four feet (Navy manual, for slings); four feet when no count is stated";
pub const ASSUMED_FOOT_SIZE: &str = "feet as points, the worst a foot can be";
pub const ASSUMED_LEVER: &str = "front and back feet share the weight by the lever rule about the stated centre of gravity, their rows as far apart as the two closest feet and centred, the worst that spacing allows; in each row one of two feet may carry all";
pub const FLOOR: &str = "spread each foot on a steel plate sized by an engineer, or cut out and pour a thicker slab where the machine stands";

pub const PAD: &str = "the slab does not carry the feet as they are";
pub const ENGINEER: &str = "an engineer's word on the floor";
pub const COMPRESSOR: &str = "the machine needs compressed air and no compressor is known";
pub const DRYER: &str = "moist air rusts spindles and valves: dryer, filter and drain";

pub const AIR_CAUTION: &str = "Air receivers are pressure vessels: relief valve, drain and inspection as the local code asks.";
pub const NOISE_CAUTION: &str = "An estimate: measure once it runs; from an 85 dBA average a hearing programme, from 90 dBA act on the source (29 CFR 1910.95).";
pub const ASK_COMPRESSOR: &str =
    "How much air does your compressor deliver at the machine's pressure?";
pub const ASK_PANEL: &str = "What else draws from the same panel (a month's highest metered demand, or the dwelling's appliances)?";
pub const ASK_DISTANCE: &str = "How long is the wire's way from the panel to the spot?";

pub const TOO_HOT: &str =
    "hotter around than 50 C: the correction tables end there, ask the electrician";
pub const NOTHING_TO_CONVERT: &str =
    "a converter makes three phases from one; here nothing is to be converted";

pub fn motor_too_large(largest: units::Power) -> String {
    format!(
        "the table of motor currents ends at {:.0} hp ({:.0} kW): state the nameplate current",
        largest.to_hp(),
        largest.to_kw()
    )
}
pub fn too_much_current(largest: f64) -> String {
    format!(
        "more current than the largest single conductor of the table carries ({largest:.0} A): conductors in parallel are for an engineer"
    )
}
pub fn too_much_drop(share: f64) -> String {
    format!(
        "the run is so long that even the largest conductor of the table drops {:.1} %: a higher voltage or a nearer panel",
        100.0 * share
    )
}
pub fn no_breaker(amps: f64) -> String {
    format!("no standard device is rated for {amps:.0} A")
}
pub const ASK_TRUCK: &str = "Where on the plan is the load set down from the truck?";
pub const ASK_PLAN_SPOT: &str = "Where on the plan may the machine stand?";
pub const HEIGHTS_LEFT_ASIDE: &str =
    "no height was given, so doors, beams and ceilings were not held against it";

pub fn ask_door_height(door: &str) -> String {
    format!("How high is the clear opening of {door}?")
}

pub fn ask_floor(floor: &str) -> String {
    format!(
        "What does {floor} carry? Joists, covers and soft ground are for a professional to judge."
    )
}

pub fn leaf_off(door: &str) -> String {
    format!("take the leaf of {door} off its hinges")
}

pub fn cleared(thing: &str) -> String {
    format!("move {thing} aside")
}

pub fn ask_comes_off(option: &str) -> String {
    format!(
        "\"{option}\" is stated for no machine in particular: does it come off this one, and what is left then? Write it below this offer."
    )
}

pub fn ask_what_is_left(option: &str, door: Option<&str>) -> String {
    match door {
        Some(door) => format!("How wide and high is the opening of {door} then ({option})?"),
        None => format!("How long, wide and high is the machine then ({option})?"),
    }
}

pub fn driven(straight_mm: f64, turn_deg: f64) -> String {
    format!(
        "the carrier drives this way without going back and forth (looked for in steps of {straight_mm:.0} mm and turns of {turn_deg:.1} degrees)"
    )
}

pub fn shunts(places: usize) -> String {
    let times = if places == 1 {
        "one place"
    } else {
        "several places"
    };
    format!(
        "the way turns tighter than the carrier steers in {times}: there it goes back and forth, or slides on skates"
    )
}

/// Over 10 % a loaded truck goes with the load uphill: OSHA interpretation of 12 Nov 1976 on 29 CFR
/// 1910.178(n)(7)(i), site and purchase checks M10.
pub fn ramp(name: &str, grade: f64) -> String {
    let mut text = format!(
        "{name} rises {:.0} %: winch or brake the load on it, nobody downhill",
        100.0 * grade
    );
    if grade > 0.10 {
        text.push_str(
            "; over 10 % a loaded fork truck keeps its load uphill (29 CFR 1910.178(n)(7)(i))",
        );
    }
    text
}

pub fn cannot_shunt(places: usize, straight_mm: f64, turn_deg: f64) -> String {
    let times = if places == 1 {
        "one place".to_owned()
    } else {
        format!("{places} places")
    };
    format!(
        "The way found turns tighter than the carrier steers, or slides sideways, in {times}; the carrier is stated not to shunt, and no way in steps of {straight_mm:.0} mm and turns of {turn_deg:.1} degrees was found that it drives: can it be turned there, or go on skates?"
    )
}

pub fn ask_ramp(ramp: &str, raise_mm: f64) -> String {
    format!(
        "On {ramp} the load tilts and its ends rise by up to {raise_mm:.0} mm above the floor: how high is it clear there, measured with a board as long as the load?"
    )
}

pub fn standing_remarks(place: &Place, system: System) -> Vec<String> {
    let mm = |mm: f64| show(Length::mm(mm), system);
    let mut out: Vec<String> = place
        .spaces
        .iter()
        .filter(|s| s.there_mm < s.wanted_mm - 1.0)
        .map(|s| {
            let kind = if s.assumed { "usual" } else { "stated" };
            let (there, wanted) = (mm(s.there_mm), mm(s.wanted_mm));
            match s.name {
                "electrical" => format!(
                    "the electrical cabinet, if it is behind, has {there} of working space of the {wanted} that NFPA 70 110.26 asks; ask where its door is, and your inspector"
                ),
                name => format!("{name}: {there} of the {kind} {wanted}"),
            }
        })
        .collect();
    if let Some(above) = place.above_mm.filter(|left| *left < place.above_wanted_mm) {
        out.push(format!(
            "above: {} of the {} wanted to take a spindle or cover off; ask how it is serviced",
            mm(above),
            mm(place.above_wanted_mm)
        ));
    }
    if let Some((above, wanted)) = place.above_mm.zip(place.spindle_wanted_mm)
        && above < wanted
    {
        out.push(format!(
            "above: {} of the stated {} to lift the spindle out; ask whether it also comes out to the front or from below",
            mm(above),
            mm(wanted)
        ));
    }
    if let Some((side, there)) = place.chips_tight {
        out.push(format!(
            "chips: {} at its {side}; ask on which side they leave, a cart wants about {} there",
            show(there, system),
            show(CHIPS_CART, system)
        ));
    }
    out
}

pub fn place_question(ask: &PlaceAsk, system: System) -> String {
    let there = show(Length::mm(ask.there_mm), system);
    if ask.what == CHIP_SIDE {
        format!(
            "On which side do chips leave the machine, and what room does their conveyor, pan or cart want there? At its {} there is room of {there}.",
            ask.side
        )
    } else {
        format!(
            "How is the spindle taken out, and what height above the machine does that want? There is {there}."
        )
    }
}

pub const ASK_NARROWEST: &str =
    "Measure the way in again where it is narrowest: on the plan as drawn it is too close to say.";
pub const ASK_SPOT_CLOSER: &str =
    "Measure the spot again: on the plan as drawn it is too close to say.";

pub fn route_mend(way: &super::route::WayIn) -> String {
    let sticks = way.sticks.as_ref().map_or_else(
        || "no way leads in".to_owned(),
        |s| format!("sticks on {}", s.thing),
    );
    let help = way.with_works().map_or_else(
        || "widen the opening, bring it in by another way, or ask which parts come off".to_owned(),
        |h| h.what.clone(),
    );
    format!("{sticks}; {help}")
}

pub fn standing_mend(space: &super::stand::Space) -> String {
    format!(
        "{}: turn the machine, move what stands there, or ask the maker what {} is needed for",
        space.name, space.name
    )
}

pub const SECOND_COMPRESSOR: &str =
    "machines that run at once use more air than the compressor gives";
pub const ASK_PRESSURE: &str = "What pressure does your compressor keep?";
