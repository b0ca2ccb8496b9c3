//! Flows by hand, by closed forms and by what cannot change.

use super::*;
use crate::money::finance::cash_flow::npv;

const PURCHASE: Amounts = Amounts {
    spent: 30_000.0,
    purchase: 24_000.0,
    basis: 26_000.0,
    income: 20_000.0,
    other_income: 0.0,
    follows: 6000.0,
    stands: 3000.0,
    first_year: 1200.0,
    resale: 9000.0,
};

const CASH: Terms<'_> = Terms {
    paying: Paying::Cash,
    deposit: 0.0,
    wait: 0,
    months: 60,
    tax: None,
};

fn near(a: f64, b: f64) {
    assert!((a - b).abs() < 1e-6, "{a} {b}");
}

#[test]
fn cash_is_the_plain_row() {
    let row = flows(&PURCHASE, &CASH, 1.0);
    near(row.months[0], -30_000.0);
    near(row.months[1], (11_000.0 - 1200.0) / 12.0);
    near(row.months[13], 11_000.0 / 12.0);
    near(row.with_end()[60], 11_000.0 / 12.0 + 9000.0);
    near(row.npv(1.0 / 1.01), npv(0.01, &row.with_end()));
    // Half the pieces earn half, and leave what stands.
    near(flows(&PURCHASE, &CASH, 0.5).months[20], 4000.0 / 12.0);
}

#[test]
fn a_loan_at_the_rate_of_the_discount_changes_nothing_and_one_for_nothing_only_the_time() {
    let of = |rate, months| {
        let paying = Paying::Loan {
            rate,
            months,
            down: 4000.0,
        };
        flows(&PURCHASE, &Terms { paying, ..CASH }, 1.0)
    };
    let cash = flows(&PURCHASE, &CASH, 1.0);
    // Shorter and longer than the horizon: what is still owed is paid with the sale.
    for months in [36, 60, 84] {
        near(of(0.008, months).npv(1.0 / 1.008), cash.npv(1.0 / 1.008));
        let free = of(0.0, months);
        near(free.npv(1.0), cash.npv(1.0));
        near(free.charges, 0.0);
        near(free.borrowed, 20_000.0);
        assert!(free.npv(1.0 / 1.01) > cash.npv(1.0 / 1.01));
        assert!(of(0.012, months).npv(1.0 / 1.01) < of(0.010, months).npv(1.0 / 1.01));
    }
}

#[test]
fn a_lease_at_the_rate_of_the_discount_changes_nothing() {
    for months in [24, 60] {
        let paying = Paying::Lease {
            payment: Err(0.007),
            months,
            down: 2000.0,
            residual: 5000.0,
            end: End::Buy,
        };
        let leased = flows(&PURCHASE, &Terms { paying, ..CASH }, 1.0);
        near(
            leased.npv(1.0 / 1.007),
            flows(&PURCHASE, &CASH, 1.0).npv(1.0 / 1.007),
        );
    }
    // Cut short, the rest of the payments and the price of the machine are due at once, without a
    // rebate: dearer than the rate says.
    let paying = Paying::Lease {
        payment: Ok(400.0),
        months: 84,
        down: 0.0,
        residual: 1000.0,
        end: End::Buy,
    };
    let row = flows(&PURCHASE, &Terms { paying, ..CASH }, 1.0);
    near(row.end, 9000.0 - 1000.0 - 400.0 * (84.0 - 61.0));
}

#[test]
fn a_deposit_costs_its_wait() {
    let terms = Terms {
        deposit: 6000.0,
        wait: 3,
        ..CASH
    };
    let row = flows(&PURCHASE, &terms, 1.0);
    assert_eq!(row.months.len(), 64);
    near(row.months[0], -6000.0);
    near(row.months[3], -24_000.0);
    near(row.npv(1.0), flows(&PURCHASE, &CASH, 1.0).npv(1.0));
    assert!(row.npv(1.0 / 1.01) < flows(&PURCHASE, &CASH, 1.0).npv(1.0 / 1.01));
}

fn taxed(schedule: Schedule<'_>, losses_offset: bool) -> Terms<'_> {
    Terms {
        tax: Some(Taxed {
            rate: 0.25,
            at_once: 0.0,
            schedule,
            losses_offset,
        }),
        ..CASH
    }
}

#[test]
fn tax_in_all_is_the_rate_of_all_that_was_earned() {
    // Whatever the schedule: profits 5 x 11,000 - 1,200 - 30,000 + 9,000 are taxed once over, only when
    // differs.
    let earned = 5.0 * 11_000.0 - 1200.0 - 30_000.0 + 9000.0;
    let plain = flows(&PURCHASE, &CASH, 1.0);
    let table = [20.0, 32.0, 19.2, 11.52, 11.52, 5.76];
    for schedule in [
        Schedule::Percent(&table),
        Schedule::Straight(4),
        Schedule::Straight(9),
        Schedule::Declining(0.18),
    ] {
        let taxed = |offset| {
            let row = flows(&PURCHASE, &taxed(schedule, offset), 1.0);
            plain.npv(1.0) - row.npv(1.0)
        };
        near(taxed(true), 0.25 * earned);
        // A loss that comes last finds no later profits to wait for.
        assert!(taxed(false) > 0.25 * earned - 1e-6);
    }
    // Sooner off is worth more; all at once the most.
    let of = |schedule, at_once| {
        let mut terms = taxed(schedule, true);
        if let Some(tax) = &mut terms.tax {
            tax.at_once = at_once;
        }
        flows(&PURCHASE, &terms, 1.0).npv(1.0 / 1.005)
    };
    assert!(of(Schedule::Straight(5), 0.0) > of(Schedule::Straight(10), 0.0));
    assert!(of(Schedule::Straight(5), 1.0) > of(Schedule::Percent(&table), 0.0));
}

#[test]
fn the_first_year_by_hand() {
    // Table of 5-year property: 20 % of 26,000 off 11,000 - 1,200 less 4,000 that is no machine: 600
    // are left, a quarter is 150, in twelve instalments.
    let table = [20.0, 32.0, 19.2, 11.52, 11.52, 5.76];
    let row = flows(&PURCHASE, &taxed(Schedule::Percent(&table), true), 1.0);
    let plain = flows(&PURCHASE, &CASH, 1.0);
    near(
        plain.months[1] - row.months[1],
        -0.25 * (5200.0 - 5800.0) / 12.0,
    );
    // Second year: 32 % off 11,000.
    near(
        plain.months[14] - row.months[14],
        0.25 * (11_000.0 - 8320.0) / 12.0,
    );
    // A year's loss waits where no other profits take it.
    let lean = Amounts {
        income: 10_000.0,
        ..PURCHASE
    };
    let kept = flows(&lean, &taxed(Schedule::Percent(&table), false), 1.0);
    near(kept.months[1], flows(&lean, &CASH, 1.0).months[1]);
}

#[test]
fn interest_and_lease_payments_lower_the_tax() {
    // Over the whole life the loan's interest, and no more, comes off what is taxed.
    let paying = Paying::Loan {
        rate: 0.006,
        months: 48,
        down: 0.0,
    };
    let both = |paying| {
        let with = flows(
            &PURCHASE,
            &Terms {
                paying,
                ..taxed(Schedule::Straight(5), true)
            },
            1.0,
        );
        let without = flows(&PURCHASE, &Terms { paying, ..CASH }, 1.0);
        (without.npv(1.0) - with.npv(1.0), without.charges)
    };
    let (cash, _) = both(Paying::Cash);
    let (loan, interest) = both(paying);
    near(cash - loan, 0.25 * interest);
    for months in [36, 84] {
        let (lease, charges) = both(Paying::Lease {
            payment: Ok(500.0),
            months,
            down: 1000.0,
            residual: 4000.0,
            end: End::Buy,
        });
        near(cash - lease, 0.25 * charges);
    }
}

fn leased(end: End, payment: f64, months: u32) -> Terms<'static> {
    Terms {
        paying: Paying::Lease {
            payment: Ok(payment),
            months,
            down: 4000.0,
            residual: 5000.0,
            end,
        },
        ..CASH
    }
}

#[test]
fn a_machine_handed_back_is_not_sold_and_the_choice_takes_the_better_end() {
    for months in [60, 84] {
        let of = |end, resale| {
            let purchase = Amounts { resale, ..PURCHASE };
            flows(&purchase, &leased(end, 400.0, months), 1.0)
        };
        for resale in [0.0, 4499.0, 4501.0, 9000.0] {
            let (bought, back) = (of(End::Buy, resale), of(End::HandBack(500.0), resale));
            // Sold for so much after the residual is paid, against the fee of 500.
            near(bought.npv(1.0) - back.npv(1.0), resale - 5000.0 + 500.0);
            assert!(back.handed_back && back.resale == 0.0);
            near(bought.charges - back.charges, 4500.0);
            let cheaper = of(End::Cheaper(500.0), resale);
            near(cheaper.npv(1.0), bought.npv(1.0).max(back.npv(1.0)));
            assert_eq!(cheaper.handed_back, resale < 4500.0);
        }
    }
}

mod laws {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn a_dearer_lease_never_costs_less_and_a_choice_never_more_than_either_end(
            payment in 0.0..2000.0_f64, more in 0.0..300.0_f64, fee in 0.0..3000.0_f64,
            resale in 0.0..20_000.0_f64, months in 12_u32..96, horizon in 6_u32..96,
            month in 0.98..1.0_f64, taxed: bool, offset: bool,
        ) {
            let purchase = Amounts { resale, ..PURCHASE };
            // As the draws are made: the years end with the lease.
            let horizon = horizon.min(months);
            let tax = taxed.then_some(Taxed {
                rate: 0.24, at_once: 0.3, schedule: Schedule::Straight(5), losses_offset: offset,
            });
            let npv = |end, payment| {
                let terms = Terms { months: horizon, tax, ..leased(end, payment, months) };
                flows(&purchase, &terms, 1.0).npv(month)
            };
            let ends = [End::Buy, End::HandBack(fee), End::Cheaper(fee)];
            let [bought, back, cheaper] = ends.map(|end| npv(end, payment));
            prop_assert!(cheaper >= bought.max(back) - 1e-6);
            for end in ends {
                prop_assert!(npv(end, payment + more) <= npv(end, payment) + 1e-6);
            }
            prop_assert!(npv(End::HandBack(fee + more), payment) <= back + 1e-6);
            prop_assert!(npv(End::Cheaper(fee + more), payment) <= cheaper + 1e-6);
        }
    }
}
