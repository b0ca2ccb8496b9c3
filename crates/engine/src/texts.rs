//! Every sentence of the engine that a user reads, so that tone and wording are kept in one place.
//! Append; do not reorder.

use units::{Length, Mass, Time};

/// A length as both systems read it.
fn both(length: Length) -> String {
    format!("{:.0} mm ({:.1} in)", length.to_mm(), length.to_inch())
}

/// Minutes lost, with a sensible number of digits.
fn minutes(time: Time) -> String {
    let m = time.to_minutes();
    if m < 1.0 {
        format!("{:.0} s", time.to_s())
    } else if m < 10.0 {
        format!("{m:.1} min")
    } else {
        format!("{m:.0} min")
    }
}

/// Travel is short, but the part can be clamped again.
pub fn clamp_again(axis: char, clampings: u32, turn_round: bool, overlap: Length) -> String {
    let how = if turn_round {
        "turn it round"
    } else {
        "shift it along the table"
    };
    format!(
        "{how} and clamp it again: {clampings} clampings reach all of it along {axis}, overlapping by {}",
        both(overlap)
    )
}

/// Travel is short even with the clampings there can be.
pub fn travel_too_short(axis: char, most_clampings: u32) -> String {
    format!(
        "even {most_clampings} clampings do not reach all of it along {axis}: a smaller cutter for the outline, or have this part made outside"
    )
}

/// The nose does not rise far enough.
pub fn nose_too_low(holding_height: Length, can_lower: bool) -> String {
    if can_lower {
        format!(
            "a shorter holder or tool, or clamp it lower than {} (low vise, plate); else have it made outside",
            both(holding_height)
        )
    } else {
        "a shorter holder or tool; else have it made outside".to_owned()
    }
}

/// The nose does not come down far enough.
pub fn riser(height: Length) -> String {
    format!(
        "stand the work on a riser of {}, or use a longer holder",
        both(height)
    )
}

/// Part and holding are too heavy for the table.
pub fn table_overloaded(stock: Mass, holding: Mass) -> String {
    format!(
        "stock {:.0} kg and work holding {:.0} kg: clamp it without the vise, saw the stock nearer to size, or have it made outside",
        stock.to_kg(),
        holding.to_kg()
    )
}

/// A light part with heavy holding on a weak table.
pub fn lighter_holding() -> String {
    "clamp it to the table itself or use a lighter vise".to_owned()
}

/// The part stands over the edge of the table.
pub fn overhang(axis: char) -> String {
    format!("it stands over the table along {axis}: clamp it on a sub-plate")
}

/// The column is in the way of a wide part.
pub fn column_in_the_way() -> String {
    "let it stand out toward the operator and turn it round for the far half".to_owned()
}

/// More tools than pockets.
pub fn hand_changes(by_hand: u32) -> String {
    format!("{by_hand} tools are changed by hand")
}

/// The spindle is too weak for the usual cut.
pub fn slower_cut(about: &str, depth: Length, lost: Time) -> String {
    format!(
        "{about}: take {:.2} mm ({:.3} in) a pass, {} longer",
        depth.to_mm(),
        depth.to_inch(),
        minutes(lost)
    )
}

/// A stated pass is beyond the spindle: the depth it could take, and the smaller cutter.
pub fn stated_pass_too_heavy(
    about: &str,
    shallower: Option<(Length, Time)>,
    smaller: Option<(Length, Time)>,
) -> String {
    let mut ways = Vec::new();
    if let Some((depth, lost)) = shallower {
        ways.push(format!(
            "{:.2} mm ({:.3} in) a pass with the same cutter, {} longer",
            depth.to_mm(),
            depth.to_inch(),
            minutes(lost)
        ));
    }
    if let Some((diameter, lost)) = smaller {
        ways.push(format!(
            "a cutter of {:.0} mm ({:.2} in) at the stated depth, {} longer",
            diameter.to_mm(),
            diameter.to_inch(),
            minutes(lost)
        ));
    }
    if ways.is_empty() {
        format!("{about}: no cut of this kind; have it made outside")
    } else {
        format!("{about}: {}", ways.join("; or "))
    }
}

/// The tap needs more torque than the spindle has.
pub fn mill_the_thread(about: &str, lost: Time) -> String {
    format!(
        "{about}: mill the thread or tap it by hand, {} longer",
        minutes(lost)
    )
}

/// The spindle turns too slowly for the tool.
pub fn spindle_slow(about: &str, lost: Time) -> String {
    format!(
        "{about}: cut at the speed there is, {} longer",
        minutes(lost)
    )
}

/// The taper does not carry a cutter of this size.
pub fn smaller_tool(largest: Length) -> String {
    format!("use cutters up to {}", both(largest))
}

/// The tool is longer or wider than the changer takes.
pub fn load_by_hand() -> String {
    "put that tool into the spindle by hand, past the changer".to_owned()
}

/// The stated accuracy is coarser than the part asks for.
pub fn too_coarse() -> String {
    "measure in place and correct, or have this feature made outside".to_owned()
}

/// The question for a taper nobody stated.
pub const ASK_TAPER: &str =
    "Which taper has the spindle, and how far do its usual holders reach from nose to collet?";

/// The taper is not stated, and the answer turns on the length of its holders.
pub fn ask_taper(longest: Length) -> String {
    format!(
        "ask for the spindle taper: holders of at most {} would do",
        both(longest)
    )
}

/// Other work holding than the usual suits the nose range.
pub fn other_holding(held: &str, height: Length) -> String {
    format!("hold it in a {held}: {} above the table", both(height))
}

/// A shorter holder mends it.
pub fn shorter_holder(gauge: Length) -> String {
    format!("a shorter holder: gauge length at most {}", both(gauge))
}

/// Clamping flat mends it.
pub fn flat_on_plate() -> String {
    "clamp it flat on a plate instead of in the vise".to_owned()
}

/// Both together mend it.
pub fn flat_and_shorter(gauge: Length) -> String {
    format!(
        "clamp it flat on a plate instead of in the vise, with a shorter holder: gauge length at most {}",
        both(gauge)
    )
}

/// A part far over the table.
pub fn prop_up(axis: char) -> String {
    format!(
        "it stands far over the table along {axis}: clamp it on a sub-plate and prop up the free end in each clamping"
    )
}

/// The machine's own door is too narrow.
pub fn door_too_narrow() -> String {
    "too heavy to be carried in and wider than the door: lower it in from above where the roof opens, or have it made outside"
        .to_owned()
}

/// Narrow T-slots.
pub fn narrow_slots() -> String {
    "the T-slots take thinner bolts than the usual vise wants: a lighter vise, or a sub-plate bolted down in more places"
        .to_owned()
}

/// The table carries the stock, not the vise.
pub fn without_vise(stock: Mass, holding: Mass) -> String {
    format!(
        "stock {:.0} kg and work holding {:.0} kg: clamp the stock to the table without the vise",
        stock.to_kg(),
        holding.to_kg()
    )
}

/// Re-clamping loses the tolerance.
pub fn one_clamping() -> String {
    "keep what the tolerance ties together in one clamping, or measure in place and correct; else have it made outside"
        .to_owned()
}

/// A wide tool stands between empty pockets.
pub fn empty_neighbours() -> String {
    "leave the pockets beside that tool empty".to_owned()
}

/// The part lies at an angle.
pub fn at_an_angle(angle: units::Angle) -> String {
    format!(
        "turn it by {:.0} degrees on the table: all of it in one clamping",
        angle.to_deg()
    )
}

/// The column is in the way even of one half.
pub fn column_too_near() -> String {
    "even turned round it meets the column: have this part made outside".to_owned()
}

/// A smaller cutter for the outline reaches.
pub fn smaller_outline_cutter(diameter: Length) -> String {
    format!("follow the outline with a cutter of {}", both(diameter))
}

/// The holes are what is out of reach.
pub fn drill_press(holes: u32) -> String {
    format!("spot what is in reach and finish the {holes} holes on a drill press, or farm them out")
}

/// A program longer than the memory.
pub fn split_program() -> String {
    "the program of the curved surface is longer than the memory: load it piece by piece".to_owned()
}

/// A program longer than the memory, on a control that runs it while loading.
pub fn drip_feed() -> String {
    "the program of the curved surface is longer than the memory: run it from outside".to_owned()
}

/// The accuracy holds only where warmth and bending are kept away.
pub fn with_care() -> String {
    "let part and machine come to one temperature, run walls over again, and measure in place"
        .to_owned()
}

/// A hole the machine cannot drill.
pub fn elsewhere(about: &str, why: &str) -> String {
    format!("{about}: {why}; drill it on a drill press or have it made outside")
}

/// A feature the machine cannot cut.
pub fn outside(about: &str, why: &str) -> String {
    format!("{about}: {why}; have it made outside")
}

/// No cut: the tool.
pub const NO_TOOL: &str = "too slender for any tool a mill takes";
/// No cut: highest speed.
pub const NO_FAST_SPEED: &str = "the spindle does not turn fast enough";
/// No cut: lowest speed.
pub const NO_SLOW_SPEED: &str = "the spindle does not turn slowly enough for the tool";
/// No cut: feed.
pub const NO_FEED: &str = "the table does not feed fast enough";
/// No cut: power.
pub const NO_POWER: &str = "the spindle has too little power";
/// No cut: torque.
pub const NO_TORQUE: &str = "the spindle has too little torque";
/// No cut: thrust.
pub const NO_THRUST: &str = "the axis does not push hard enough";
/// No cut: grip.
pub const NO_GRIP: &str = "holder and spindle nose do not pass that torque on";
/// No cut: bend.
pub const TOOL_BENDS: &str = "the tool bends too much; a shorter or thicker one would do";
/// No cut: chatter.
pub const MACHINE_CHATTERS: &str = "the machine is too light for it and chatters";

/// The spindle turns too fast for the tool.
pub fn spindle_fast(about: &str, lost: Time) -> String {
    format!(
        "{about}: the slowest speed is fast for it, use a carbide tool or go gently, {} longer",
        minutes(lost)
    )
}

/// The table feeds too slowly.
pub fn feed_slow(about: &str, lost: Time) -> String {
    format!(
        "{about}: feed as fast as the table goes, {} longer",
        minutes(lost)
    )
}

/// A hole in several drills.
pub fn in_steps(about: &str, drills: u32, lost: Time) -> String {
    format!(
        "{about}: {drills} drills one after another, {} longer",
        minutes(lost)
    )
}

/// A feature for which there is no cutter.
pub fn no_cutter(about: &str, why: &str) -> String {
    format!(
        "{about}: {why}; have this feature spark-eroded or made outside, or change the drawing: a wider corner, a shallower hole"
    )
}

/// A thread the machine neither taps nor mills.
pub fn by_hand(about: &str, why: &str) -> String {
    format!("{about}: {why}; tap it by hand or have it made outside")
}

/// T-slots too few for the holding, or too far apart.
pub fn few_slots(few: bool) -> String {
    let why = if few {
        "the table has too few T-slots to bolt it down on two sides"
    } else {
        "the T-slots are farther apart than clamps reach across this part"
    };
    format!("{why}: a sub-plate with its own holes")
}

/// A hole milled because the drill is too much.
pub fn mill_the_hole(about: &str, lost: Time) -> String {
    format!("{about}: mill the hole instead, {} longer", minutes(lost))
}

/// A hole at a lesser feed.
pub fn lesser_feed(about: &str, lost: Time) -> String {
    format!("{about}: at a lesser feed, {} longer", minutes(lost))
}
