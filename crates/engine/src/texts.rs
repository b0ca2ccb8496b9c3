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

/// Travel is short along both axes.
pub fn both_axes_short() -> String {
    "short along both axes: re-clamping along two axes loses the datum; have this part made outside"
        .to_owned()
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
