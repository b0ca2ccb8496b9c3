//! A study whose pairs are summarised by offer says the same as one that keeps them all.

use engine::cycle::{HourDoubt, PartTime};
use engine::fit::Verdict;
use engine::study::{Answer, Memo, OfferAnswer, Settings, run, run_telling};
use units::Watch;

fn settings(large_pairs: usize) -> Settings {
    Settings {
        draws: units::DRAW_BLOCK,
        large_pairs,
        ..Settings::new(2026)
    }
}

/// Times without how far they may be off, which a large study does not look at.
fn likely(times: &[Option<PartTime>]) -> Vec<Option<PartTime>> {
    let without = |time: &PartTime| PartTime {
        doubt: HourDoubt::default(),
        ..time.clone()
    };
    times.iter().map(|t| t.as_ref().map(without)).collect()
}

#[test]
fn pairs_summarised_by_offer_decide_the_same() {
    let demo = folder::demo(Watch::NOBODY).expect("the demo reads");
    let inputs = demo.inputs();
    let whole = run(&inputs, &settings(usize::MAX), Watch::NOBODY).expect("not cancelled");
    let mut told: Vec<OfferAnswer> = Vec::new();
    let mut keep = |o: &OfferAnswer| told.push(o.clone());
    let memo = Memo::default();
    let few =
        run_telling(&inputs, &settings(0), &memo, Watch::NOBODY, &mut keep).expect("not cancelled");
    assert!(few.is_large() && !whole.is_large());

    // Every offer as entered, in order, with all its pairs; then once more what is chosen with other
    // options.
    let (told, again) = told.split_at(demo.offers.len());
    let chosen: Vec<&OfferAnswer> = whole
        .offers()
        .zip(told)
        .filter(|(shown, told)| shown.options != told.options)
        .map(|(shown, _)| shown)
        .collect();
    assert_eq!(again.len(), chosen.len());
    for (now, shown) in again.iter().zip(chosen) {
        assert_eq!((&now.offer, &now.options), (&shown.offer, &shown.options));
        assert_eq!(
            (&now.fits, likely(&now.times)),
            (&shown.fits, likely(&shown.times))
        );
    }
    let mut same = 0;
    for (now, shown) in told.iter().zip(whole.offers()) {
        assert_eq!(now.offer, shown.offer);
        if now.options == shown.options {
            same += 1;
            assert_eq!(
                (&now.fits, likely(&now.times)),
                (&shown.fits, likely(&shown.times))
            );
        }
    }
    assert!(same + 1 >= told.len());

    // What is kept counts and stands for every part with its verdict and clampings.
    for (kept, all) in few.offers().zip(whole.offers()) {
        assert_eq!(kept.counts, all.counts);
        assert!(kept.times.is_empty() && kept.fits.iter().all(|f| f.setups_on.is_empty()));
        let mut of_part = vec![None; all.fits.len()];
        for fit in &kept.fits {
            for at in &fit.stands_for {
                assert!(of_part[*at as usize].replace(fit).is_none(), "told twice");
            }
        }
        for (part, own) in of_part.iter().zip(&all.fits) {
            let fit = part.expect("every part is told");
            assert_eq!(
                (fit.verdict, fit.clampings, fit.setups),
                (own.verdict, own.clampings, own.setups)
            );
            // The hardest of its kind.
            for ask in &own.ask {
                let kept = fit
                    .ask
                    .iter()
                    .find(|a| a.about == ask.about)
                    .expect("asked as well");
                let harder = if ask.at_least {
                    kept.flips_at >= ask.flips_at
                } else {
                    kept.flips_at <= ask.flips_at
                };
                assert!(harder, "{kept:?} {ask:?}");
            }
            if own.verdict == Verdict::DoesNotFit {
                assert!(fit.limits.iter().any(|l| l.rules_out));
            }
        }
    }

    // The decision and the ways out are the same.
    let (a, b) = (&few.decision, &whole.decision);
    assert_eq!(
        (&a.offer, &a.options, &a.make),
        (&b.offer, &b.options, &b.make)
    );
    assert_eq!(a.farm_out, b.farm_out);
    // A large study does not draw the hours, so its chance leaves their doubt out.
    assert!(a.chance_best >= b.chance_best && b.chance_best > 0.0);
    assert_eq!(a.score, b.score);
    assert_eq!(few.ways_out, whole.ways_out);
    let inputs = |a: &Answer| -> Vec<(String, Vec<String>)> {
        let parts = |q: &engine::choice::Question| q.parts.iter().map(|p| p.0.clone()).collect();
        a.questions
            .iter()
            .map(|q| (q.input.clone(), parts(q)))
            .collect()
    };
    assert_eq!(inputs(&few), inputs(&whole));
}
