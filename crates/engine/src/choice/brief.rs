//! The search brief of a buyer who has no offers yet: which classes to look in and up to which
//! price, what a machine must have, what to ask every seller, and the traps of used machines.

use crate::ids::ClassId;
use crate::machine::{Condition, Field, MachineClass};
use crate::money::Ceiling;
use crate::specification::{ClassPicture, Requirement};
use serde::Serialize;
use units::Money;

/// A class to look in.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BriefClass {
    /// Class.
    pub class: ClassId,
    /// What people call it.
    pub name: String,
    /// Spindle nose most of them have.
    pub taper: Option<String>,
    /// Highest price to look at.
    pub price_ceiling: Option<Money>,
    /// Usual price, least and greatest, so bought.
    pub usual: Option<[Money; 2]>,
    /// As bought for the price above.
    pub condition: Condition,
    /// Its usual machine makes every part that must be made.
    pub serves: bool,
    /// The ceiling reaches the lower end of its usual prices.
    pub within_reach: bool,
}

/// A question every seller must answer.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MustAsk {
    /// Property, as offers name it.
    pub input: &'static str,
    /// The question.
    pub question: &'static str,
}

/// A known trap, and how not to fall into it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Trap {
    /// What went wrong for others.
    pub trap: &'static str,
    /// What to do.
    pub instead: &'static str,
    /// Where it was read.
    pub source: &'static str,
}

/// What to look for.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Brief {
    /// Classes that serve, the ones within reach first; when none serves within reach, all.
    pub classes: Vec<BriefClass>,
    /// Least or most of each capability.
    pub minimum: Vec<Requirement>,
    /// Tools to have at hand without changing by hand; from the buyer's own words where given.
    pub pockets: Option<u32>,
    /// What to ask every seller.
    pub must_ask: Vec<MustAsk>,
    /// Traps of used machines.
    pub traps: Vec<Trap>,
}

/// What no advert may leave out, whatever the parts: without these it can neither be said what fits
/// nor what gets in, stands and runs.
const MUST_ASK: [Field; 14] = [
    Field::travel_x,
    Field::travel_y,
    Field::nose_to_table_min,
    Field::nose_to_table_max,
    Field::table_load,
    Field::spindle_rpm_max,
    Field::spindle_power,
    Field::spindle_torque,
    Field::changer_pockets,
    Field::positioning_accuracy,
    Field::weight,
    Field::height_moving,
    Field::supply_phases,
    Field::supply_amps,
];

/// Traps with their sources; wordings are ours.
const TRAPS: [Trap; 6] = [
    Trap {
        trap: "premium, tax and rigging nearly doubled a bargain at auction",
        instead: "bid from the all-in sum backwards, never from the hammer price",
        source: "visualfoodie.com, auction pieces",
    },
    Trap {
        trap: "spindle bearings and ways were worn out",
        instead: "see it run warm, measure it, and keep a repair reserve by age",
        source: "visualfoodie.com; jamestownmachinery.com",
    },
    Trap {
        trap: "boards and drives of controls over about twenty years old are no longer made",
        instead: "ask which control and drives, and price a spare drive before paying",
        source: "jamestownmachinery.com",
    },
    Trap {
        trap: "the battery had died in storage and programs and settings were gone",
        instead: "make a backup of all parameters a condition of the sale",
        source: "industryarena.com, thread 161248",
    },
    Trap {
        trap: "the panel was too small and the address had no three-phase",
        instead: "have the spare current and the utility's price before any deposit",
        source: "visualfoodie.com; Katz 1989",
    },
    Trap {
        trap: "it came as boxes needing a computer and paid control software",
        instead: "have everything that is included written on the quotation",
        source: "hobby-machinist.com, thread 63726",
    },
];

/// The brief of a shop.
pub fn brief(
    specification: &[Requirement],
    pictures: &[ClassPicture],
    ceilings: &[Ceiling],
    classes: &[MachineClass],
    tools: Option<u32>,
) -> Brief {
    let mut looked: Vec<BriefClass> = ceilings
        .iter()
        .map(|ceiling| {
            let class = classes.iter().find(|c| c.id == ceiling.class);
            let price = ceiling.room.price;
            BriefClass {
                class: ceiling.class.clone(),
                name: ceiling.name.clone(),
                taper: class.and_then(|c| c.taper.as_ref()).map(|t| t.to_string()),
                price_ceiling: price,
                usual: ceiling.usual.map(|[low, _, high]| [low, high]),
                condition: ceiling.condition,
                serves: pictures
                    .iter()
                    .any(|p| p.class == ceiling.class && p.enough),
                within_reach: match (price, ceiling.usual) {
                    (Some(price), Some([low, ..])) => price >= low,
                    (Some(_), None) => true,
                    (None, _) => false,
                },
            }
        })
        .collect();
    if looked.iter().any(|c| c.serves && c.within_reach) {
        looked.retain(|c| c.serves);
    }
    looked.sort_by_key(|c| (!c.serves, !c.within_reach));
    Brief {
        classes: looked,
        minimum: specification.to_vec(),
        pockets: tools,
        must_ask: MUST_ASK
            .iter()
            .map(|field| MustAsk {
                input: field.json_name(),
                question: field.ask(),
            })
            .collect(),
        traps: TRAPS.to_vec(),
    }
}
