//! Why each cost line is there, as people read it.

pub const PRICE_STATED: &str = "what the seller asks";
pub const PRICE_ASSUMED: &str =
    "the seller states no price: the usual price of the class, until asked";
pub const OPTION: &str = "an option taken with the machine";
pub const PREMIUM: &str = "the auction's buyer's premium";
pub const TAX: &str = "sales tax or VAT that cannot be recovered, on price, options and premium";
pub const FREIGHT: &str = "from the seller's floor to yours";
pub const RIGGING: &str = "lifting and placing at your end, for competent, insured riggers";
pub const LOADING: &str = "lifting it at the seller's end, for competent, insured riggers";
pub const HOLDERS: &str = "a holder for each tool of the parts' own list, by the spindle's taper";
pub const COLLETS: &str = "a collet for each shank of the list";

/// Cutters to buy, with how many are there already.
pub fn cutters_bought(all: u32, owned: u32) -> String {
    const WHAT: &str = "the cutters of the parts' own list, by kind and diameter";
    if owned == 0 {
        return WHAT.to_owned();
    }
    format!("{WHAT}; {owned} of {all} tools are owned already and cost nothing")
}

pub const SPARES: &str = "spares of thin cutters and taps, which break while learning";
pub const SETTING: &str = "edge finder, length setter, spanners";
pub const WORKHOLDING: &str = "clamps, stops and soft jaws for the parts' setups";
pub const VISE: &str = "a machine vise";
pub const CHUCK: &str = "a chuck and its base";
pub const MEASURING: &str = "to know that a part is good";
pub const COOLANT: &str = "first fill and consumables";
pub const SOFTWARE: &str = "programming, first year";
pub const TRAINING: &str = "learning it";
pub const INSPECTION: &str = "seeing a used machine cut before paying";
pub const REPAIR: &str = "a used machine's first repairs";
pub const INSURANCE: &str = "first year";
pub const CONTINGENCY: &str = "what nobody thought of: a share of the lines that are still estimates, without the machine's \
     price and what is quoted or paid";

/// A warranty that comes with the price, or is bought.
pub fn warranty(months: f64, bought: bool) -> String {
    let how = if bought { "bought" } else { "in the price" };
    format!(
        "the seller answers for repairs until month {months:.0} from delivery, {how}: that much less \
         is put by for them"
    )
}

/// A cost that comes with a chance.
pub fn risk(stated: f64, left: f64) -> String {
    let happens = format!("you state a chance of {:.0} %", 100.0 * stated);
    if (stated - left).abs() < 1e-9 {
        return happens;
    }
    format!(
        "{happens}; {:.0} % beyond what the warranty's months take",
        100.0 * left
    )
}
pub const STATED: &str = "you state it";
pub const PAID: &str = "paid, by the ledger";
pub const STATED_OFFER: &str = "stated for this offer";

pub const LABOUR: &str = "hours somebody stands at the machine";
pub const STOCK: &str = "raw stock of the parts";
pub const CUTTERS: &str = "wear of cutters by cutting time";
pub const UNATTENDED: &str = "looking after the machine while it runs by itself";
pub const SAWING: &str = "sawing the stock to length; nothing where it comes cut";
pub const FINISHING: &str =
    "washing, finishing by hand, marking, wrapping: outside prices include it";
pub const FLOOR: &str = "the floor the machine and the room around it take";
pub const DOWNTIME: &str = "hours it stands until a spare part comes";
pub const FIRST_YEAR: &str = "programming and fixtures, and practice while learning";
pub const POWER: &str = "work at the cut and idle draw over the machine hours";
pub const UPKEEP: &str = "maintenance and repairs by age and value";
pub const SOFTWARE_YEAR: &str = "programming, each year";
pub const COOLANT_YEAR: &str = "coolant, oil, disposal";
pub const SAVED: &str = "what an outside shop charges or the part sells for";

/// How income tax was counted.
pub fn written_off(tax: &crate::entered::IncomeTax) -> String {
    use crate::entered::{TaxTable, WritingOff};
    let how = match &tax.writing_off {
        WritingOff::Table(table) => {
            let name = match table {
                TaxTable::UsMacrs5HalfYear => "5-year property, half-year convention",
                TaxTable::UsMacrs7HalfYear => "7-year property, half-year convention",
                TaxTable::UsMacrs7FirstQuarter => "7-year property, mid-quarter, first quarter",
                TaxTable::UsMacrs7LastQuarter => "7-year property, mid-quarter, last quarter",
            };
            format!(
                "United States, MACRS, {name} (IRS Publication 946, table as read on {})",
                table.read_on()
            )
        }
        WritingOff::StraightLine { years } => format!("the same each year over {years} years"),
        WritingOff::Declining { share } => format!(
            "{:.0} % of what is left each year (writing-down allowance)",
            100.0 * share.likely.to_number()
        ),
    };
    let at_once = tax.at_once.likely.to_number();
    let first = if at_once > 0.0 {
        format!("{:.0} % at once, the rest: ", 100.0 * at_once)
    } else {
        String::new()
    };
    let losses = if tax.losses_offset {
        "losses set against other profits"
    } else {
        "losses wait for later profits"
    };
    format!(
        "{first}{how}; as you chose on {}; {losses}; a tax adviser decides what applies",
        tax.on
    )
}
