//! Finance, tax, yearly costs, sale terms and the ledger as people write them.

use crate::shop_on_disk::Files;
use engine::entered::{LeasePrice, TaxTable, Way, WritingOff};
use engine::machine::PartOf;
use units::Money;

fn share(part: &Option<PartOf>) -> f64 {
    match part {
        Some(PartOf::Share(v)) => v.likely.to_number(),
        other => panic!("{other:?}"),
    }
}

/// The folder cannot be used, and each of these is told.
fn tells(files: &Files, all: &[&str]) {
    let told = files.told();
    assert!(told.starts_with("stops"), "{told}");
    for each in all {
        assert!(told.contains(each), "'{each}' is not in\n{told}");
    }
}

#[test]
fn a_loan_and_its_tax() {
    let mut files = Files::sound();
    files.add(
        "shop.toml",
        "\n[finance]\nway = \"loan\"\nrate = \"7 % | 7.5 % | 9 %\"\nterm = \"5 years\"\ndown = \"20 %\"\nincome = \"$3,000\"\n\
         \n[income_tax]\nrate = \"24 %\"\nwrite_off = \"us 7-year\"\nat_once = \"40 %\"\non = \"2026-11-02\"\nlosses = \"offset\"\n\
         \n[yearly]\nfloor = \"$0\"\n",
    );
    files.add(
        "offers/mill.toml",
        "deposit = \"$2,000\"\ndelivery = \"2 to 4 months\"\nwarranty = \"1 year\"\nparts_lead = \"2 weeks\"\nresale = \"$6,000\"\n",
    );
    let study = files.read().unwrap_or_else(|problems| panic!("{problems}"));
    let Way::Loan(loan) = &study.shop.finance.way else {
        panic!("a loan")
    };
    assert_eq!((loan.months, share(&loan.down)), (60, 0.2));
    assert_eq!(loan.rate.likely.to_number(), 0.075);
    assert_eq!(loan.rate.id.0, "shop/finance/rate");
    let tax = study.shop.income_tax.as_ref().expect("tax");
    assert_eq!(
        tax.writing_off,
        WritingOff::Table(TaxTable::UsMacrs7HalfYear)
    );
    assert!(tax.losses_offset && tax.at_once.likely.to_number() == 0.4);
    assert_eq!(study.shop.yearly[0].name, "floor");
    let terms = &study.offers[0].terms;
    let number =
        |v: &Option<units::Value<units::Number>>| v.as_ref().map_or(0.0, |v| v.likely.to_number());
    assert_eq!(number(&terms.delivery_months), 3.0);
    assert_eq!(number(&terms.warranty_months), 12.0);
    assert!((number(&terms.parts_lead_days) - 14.0).abs() < 1e-9);
    assert!(matches!(&terms.deposit, Some(PartOf::Amount(v)) if v.likely == Money::amount(2000.0)));
}

#[test]
fn a_lease_by_its_payment() {
    let mut files = Files::sound();
    files.add(
        "shop.toml",
        "\n[finance]\nway = \"lease\"\npayment = \"$480\"\nterm = \"48 months\"\nresidual = \"10 %\"\n",
    );
    let study = files.read().unwrap_or_else(|problems| panic!("{problems}"));
    let Way::Lease(lease) = &study.shop.finance.way else {
        panic!("a lease")
    };
    assert_eq!(lease.months, 48);
    assert!(matches!(&lease.price, LeasePrice::Payment(v) if v.likely == Money::amount(480.0)));
}

#[test]
fn what_is_wrong_with_finance_is_told_at_its_line() {
    let mut files = Files::sound();
    files.add(
        "shop.toml",
        "\n[finance]\nway = \"loan\"\nterm = \"5\"\npayment = \"$480\"\n\
         \n[income_tax]\nrate = \"124 %\"\nwrite_off = \"declining\"\non = \"lately\"\n",
    );
    files.add("offers/mill.toml", "delivery = 12\n");
    tells(
        &files,
        &[
            "shop.toml:8: term: expected a time with its unit",
            "shop.toml:9: payment: says nothing with a loan",
            "shop.toml:12: rate: ",
            "shop.toml:14: on: ",
            "rate = \"7.5 %\"",
            "share = \"18 %\"",
            "offers/mill.toml:8: delivery: expected a time with its unit",
        ],
    );
}

#[test]
fn payments_are_read_with_their_currency_and_offer() {
    let mut files = Files::sound();
    files.add(
        "shop.toml",
        "\n[rates]\nEUR = { rate = 1.1, on = \"2026-11-02\" }\n",
    );
    files.put(
        "ledger.csv",
        "date,line,amount,currency,offer,what\n\
         2026-11-03,inspection,100,EUR,mill,a day trip\n\
         2026-11-04,tooling,\"$1,250.50\",,,\"holders, collets\"\n\
         2026-11-05,tooling,-50,,general,one sent back\n",
    );
    let study = files.read().unwrap_or_else(|problems| panic!("{problems}"));
    let paid: Vec<(&str, f64, Option<&str>, u32)> = study
        .shop
        .paid
        .iter()
        .map(|p| {
            (
                p.line.as_str(),
                p.amount.to_amount(),
                p.offer.as_ref().map(|o| o.0.as_str()),
                p.place.line,
            )
        })
        .collect();
    let near = |a: f64, b: f64| (a - b).abs() < 1e-9;
    assert_eq!(paid.len(), 3);
    assert!(paid[0].0 == "inspection" && near(paid[0].1, 110.0) && paid[0].2 == Some("mill"));
    assert!(near(paid[1].1, 1250.5) && paid[1].2.is_none() && paid[1].3 == 3);
    assert!(near(paid[2].1, -50.0) && paid[2].2.is_none());
}

#[test]
fn what_is_wrong_with_a_ledger_is_told_at_its_line() {
    let mut files = Files::sound();
    files.put(
        "ledger.csv",
        "date,line,amount,currency,offer,note\n\
         2026-11-33,inspection,100,,mill,\n\
         2026-11-04,toolin,ten,,,\n\
         2026-11-05,,30 to 40,,,\n\
         2026-11-06,freight,30,EUR,,\n\
         2026-11-07,freight,30,,mil,\n",
    );
    tells(
        &files,
        &[
            "ledger.csv:1: the column 'note' is not known",
            "ledger.csv:2: date: ",
            "ledger.csv:3: 'toolin' is no cost line the study knows",
            "did you mean 'tooling'",
            "ledger.csv:3: amount: ",
            "ledger.csv:4: line: expected the cost line it belongs to",
            "ledger.csv:4: amount: expected the one amount that was paid",
            "ledger.csv:5: amount: ",
            "ledger.csv:6: offer: there is no offer 'mil'",
            "did you mean 'mill'",
        ],
    );
    files.put("ledger.csv", "when,line\n");
    tells(
        &files,
        &[
            "the column 'date' is missing",
            "the column 'amount' is missing",
        ],
    );
}

#[test]
fn risks_and_a_warranty_at_a_price() {
    let mut files = Files::sound();
    files.add(
        "shop.toml",
        "\n[[risk]]\nname = \"new meter\"\nchance = \"10 to 20 %\"\ncost = \"$1,500 | $2,000 | $4,000\"\n",
    );
    files.add(
        "offers/mill.toml",
        "\n[[option]]\nname = \"second year\"\nprice = \"$900\"\nwarranty = \"2 years\"\n\
         [[risk]]\nname = \"spindle rebuild\"\nchance = \"30 %\"\ncost = \"$4,000 to $7,000\"\nrepair = true\nwithin = \"24 months\"\n",
    );
    let study = files.read().unwrap_or_else(|problems| panic!("{problems}"));
    let meter = &study.shop.risks[0];
    // A chance given as a range counts by its mean.
    assert!((meter.chance_left(None) - 0.15).abs() < 1e-12);
    assert_eq!((meter.months, meter.repair), (12.0, false));
    assert_eq!(meter.cost.likely, Money::amount(2000.0));
    let offer = &study.offers[0];
    let spindle = &offer.risks[0];
    assert_eq!(spindle.id.0, "offers/mill/risk/spindle rebuild");
    assert!(spindle.repair && spindle.months == 24.0);
    assert!((spindle.chance_left(Some(6.0)) - 0.225).abs() < 1e-12);
    assert_eq!(offer.warranty_months(), None);
    let months = offer.options[0].warranty_months.as_ref().expect("months");
    assert_eq!(months.likely.to_number(), 24.0);
}

#[test]
fn how_a_lease_ends() {
    use engine::entered::LeaseEnd;
    let of = |more: &str| {
        let mut files = Files::sound();
        files.add(
            "shop.toml",
            &format!("\n[finance]\nway = \"lease\"\nterm = \"48 months\"\n{more}\n"),
        );
        files
    };
    let end = |more: &str| match of(more)
        .read()
        .unwrap_or_else(|p| panic!("{p}"))
        .shop
        .finance
        .way
    {
        Way::Lease(lease) => lease.end,
        other => panic!("{other:?}"),
    };
    assert_eq!(end("payment = \"$600\"\nresidual = \"$1\""), LeaseEnd::Buy);
    let LeaseEnd::HandBack(fee) =
        end("payment = \"$600\"\nend = \"hand back\"\nreturn_fee = \"$450\"")
    else {
        panic!("handed back")
    };
    assert_eq!(fee.likely, Money::amount(450.0));
    let LeaseEnd::Cheaper(fee) = end("rate = \"9 %\"\nresidual = \"20 %\"\nend = \"cheaper\"")
    else {
        panic!("cheaper")
    };
    assert_eq!(fee.likely, Money::ZERO);
    tells(&of("payment = \"$600\"\nend = \"cheaper\""), &["residual"]);
    tells(
        &of("rate = \"9 %\"\nend = \"hand back\""),
        &["a rate alone does not tell"],
    );
    tells(
        &of("payment = \"$600\"\nresidual = \"$1\"\nreturn_fee = \"$5\""),
        &["says nothing of a machine bought at the end"],
    );
}
