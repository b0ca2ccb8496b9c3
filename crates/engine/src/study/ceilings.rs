//! What each class of machine may cost, for buyers without offers.

use super::memo::Memo;
use super::{Inputs, Settings};
use crate::money::lines::{Bill, Demanded};
use crate::money::{Ceiling, by_class};
use crate::resolve;
use crate::site::{Room, UsdRate, Work};
use units::Draw;

/// Ceilings per class, each with the site works a usual machine of the class would need.
pub(super) fn ceilings(
    inputs: &Inputs<'_>,
    settings: &Settings,
    demanded: &Demanded,
    memo: &Memo,
) -> Vec<Ceiling> {
    let room = Room::resolve(inputs.site, Draw::Likely);
    let usd = UsdRate::of(inputs.shop);
    let works: Vec<Vec<Work>> = inputs
        .classes
        .iter()
        .map(|class| {
            let machine = resolve::class_machine(class, Draw::Likely);
            let removal = &inputs.site.removal;
            let checks = crate::site::removal::before_the_truck(&machine, removal, false);
            let mut works = crate::site::check(&machine, &room, usd).works;
            works.extend(crate::site::works::moving(&checks, &machine, usd));
            works
        })
        .collect();
    let classes: Vec<_> = inputs
        .classes
        .iter()
        .zip(&works)
        .map(|(c, w)| (c, w.as_slice()))
        .collect();
    let bill = Bill {
        shop: inputs.shop,
        demanded,
        works: &[],
        year: settings.year,
    };
    let key = (
        inputs.shop.clone(),
        works.clone(),
        settings.year,
        settings.draws,
    );
    let found = memo.ceilings.get(&key, || {
        by_class(inputs.shop, &classes, &bill, settings.draws)
    });
    found.to_vec()
}
