//! Why each cost line is there, as people read it.

pub const PRICE_STATED: &str = "what the seller asks";
pub const PRICE_ASSUMED: &str =
    "the seller states no price: the usual price of the class, until asked";
pub const OPTION: &str = "an option taken with the machine";
pub const PREMIUM: &str = "the auction's buyer's premium";
pub const TAX: &str = "sales tax or VAT that cannot be recovered, on price, options and premium";
pub const FREIGHT: &str = "from the seller's floor to yours";
pub const RIGGING: &str = "lifting and placing, for competent, insured riggers";
pub const TOOLING: &str = "holders and cutters for the parts' own tool list, with spares";

/// The same, with how many of the tools are there already.
pub fn tooling(all: u32, owned: u32) -> String {
    if owned == 0 {
        return TOOLING.to_owned();
    }
    format!("{TOOLING}; {owned} of {all} tools are owned already and cost nothing")
}

pub const WORKHOLDING: &str = "vise, clamps and fixtures for the parts' setups";
pub const MEASURING: &str = "to know that a part is good";
pub const COOLANT: &str = "first fill and consumables";
pub const SOFTWARE: &str = "programming, first year";
pub const TRAINING: &str = "learning it";
pub const INSPECTION: &str = "seeing a used machine cut before paying";
pub const REPAIR: &str = "a used machine's first repairs";
pub const INSURANCE: &str = "first year";
pub const CONTINGENCY: &str = "what nobody thought of";
pub const STATED: &str = "you state it";
pub const STATED_OFFER: &str = "stated for this offer";

pub const LABOUR: &str = "hours somebody stands at the machine";
pub const STOCK: &str = "raw stock of the parts";
pub const CUTTERS: &str = "wear of cutters by cutting time";
pub const POWER: &str = "spindle and idle draw over the machine hours";
pub const UPKEEP: &str = "maintenance and repairs by age and value";
pub const SOFTWARE_YEAR: &str = "programming, each year";
pub const COOLANT_YEAR: &str = "coolant, oil, disposal";
pub const SAVED: &str = "what an outside shop charges or the part sells for";
