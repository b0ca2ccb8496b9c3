//! What the site check says to people.

pub const ELECTRICAL_CAUTION: &str = "A screen only: the local code, the authority that inspects and a licensed electrician decide on wiring, protection and converters.";
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
pub const UPGRADE: &str = "the supply cannot give the machine's current";
