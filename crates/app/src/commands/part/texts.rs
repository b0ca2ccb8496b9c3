//! What `part` says beside its answer.

pub const STOCK_FACES_LEFT: &str = "flat faces on the outside are left as the stock is, which is \
    bought to size: where they carry a tolerance, a finish or flatness the stock does not have, \
    they must be cut";

/// Where the cutters come from.
pub fn own_tools_used(tools: usize, holders: usize) -> String {
    format!(
        "{tools} own tools and {holders} kinds of holders: own end mills are used wherever one at \
         least half as wide as the widest that would do reaches; others are of a standard set and \
         must be bought"
    )
}
