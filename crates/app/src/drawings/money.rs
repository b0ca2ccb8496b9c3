//! The drawings of a study's money.

use engine::drawing::{
    CapabilityPoint, Names, Scene, build_up, capability_money, cash_over_time, ceilings,
    confidence, questions, tornado,
};
use engine::ids::OfferId;
use engine::study::Answer;
use folder::Study as Entered;

/// Every drawing there is something to show on.
pub fn scenes(entered: &Entered, answer: &Answer) -> Vec<Scene> {
    let name = |id: &OfferId| {
        let offer = entered.offers.iter().find(|o| o.id == *id);
        offer.map_or_else(|| id.0.clone(), |o| o.name.clone())
    };
    let names = Names {
        currency: entered.shop.currency,
        offer: &name,
    };
    let mut scenes = vec![("ceilings".to_owned(), ceilings(&answer.ceilings, &names))];
    for offer in answer.offers() {
        let budget = entered.shop.budget.likely;
        let build_up = build_up(&offer.name, &offer.all_in, budget, &names);
        scenes.push((format!("cost-{}", offer.offer), build_up));
        let tornado = tornado(&offer.name, offer.all_in.likely, &offer.drivers, &names);
        scenes.push((format!("doubt-{}", offer.offer), tornado));
        let cash = cash_over_time(&offer.name, &offer.financing, &names);
        scenes.push((format!("cash-{}", offer.offer), cash));
    }
    let points: Vec<CapabilityPoint<'_>> = answer
        .offers()
        .map(|o| CapabilityPoint {
            name: o.name.clone(),
            all_in: o.all_in.percentiles,
            fits: &o.fits,
            chosen: answer.decision.offer.as_ref() == Some(&o.offer),
        })
        .collect();
    let shop = &entered.shop;
    let capability = capability_money(&points, shop.budget.likely, shop.us_units, &names);
    scenes.push(("capability-money".to_owned(), capability));
    let decision = &answer.decision;
    let mut chances: Vec<(OfferId, f64)> = decision
        .alternatives
        .iter()
        .map(|a| (a.offer.clone(), a.chance_best))
        .collect();
    let mut none = decision.chance_best;
    if let Some(offer) = &decision.offer {
        chances.insert(0, (offer.clone(), decision.chance_best));
        none = 1.0 - chances.iter().map(|(_, chance)| chance).sum::<f64>();
    }
    let confidence = confidence(&chances, none.max(0.0), &names);
    scenes.push(("confidence".to_owned(), confidence));
    if answer
        .questions
        .iter()
        .any(|q| q.worth.is_some_and(|w| w > 0.0))
    {
        scenes.push(("questions".to_owned(), questions(&answer.questions, &names)));
    }
    scenes
        .into_iter()
        .map(|(id, scene)| Scene { id, ..scene })
        .collect()
}
