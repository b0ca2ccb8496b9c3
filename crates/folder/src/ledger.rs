//! `ledger.csv`: what has been paid. Columns `date`, `line`, `amount`, and where wanted `currency`,
//! `offer`, `what`.

use crate::quantity::Least;
use crate::rates::Rates;
use crate::section::{Sink, money};
use crate::suggest::nearest;
use crate::texts;
use crate::{document::Node, shop};
use engine::entered::{Paid, Shop};
use engine::machine::Offer;
use engine::money::lines::{NAMES, same_name};
use units::{Place, Spread};

pub(crate) const FILE: &str = "ledger.csv";

const COLUMNS: [&str; 6] = ["date", "line", "amount", "currency", "offer", "what"];

/// Reads the payments; every row that cannot be read is told, and so is a line the study does not
/// know.
pub(crate) fn read(
    bytes: &[u8],
    shop: &Shop,
    offers: &[Offer],
    rates: &Rates,
    sink: &Sink,
) -> Vec<Paid> {
    let mut rows = csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .flexible(true)
        .comment(Some(b'#'))
        .from_reader(bytes);
    let place = |line: u32, column: &str| Place {
        file: FILE.to_owned(),
        line,
        entity: column.to_owned(),
    };
    let headers: Vec<String> = match rows.headers() {
        Ok(names) => names.iter().map(str::to_lowercase).collect(),
        Err(why) => {
            sink.push(texts::not_csv(place(1, ""), &why.to_string()));
            return Vec::new();
        }
    };
    let mut at = [None; COLUMNS.len()];
    for (k, name) in headers.iter().enumerate() {
        // A spreadsheet's mark of its encoding stands before the first name.
        let name = name.trim_start_matches('\u{feff}');
        match COLUMNS.iter().position(|c| *c == name) {
            Some(column) => at[column] = Some(k),
            None => sink.push(texts::unknown_column(
                place(1, name),
                name,
                nearest(name, COLUMNS),
                &COLUMNS.join(", "),
            )),
        }
    }
    for (found, name) in at.iter().zip(COLUMNS).take(3) {
        if found.is_none() {
            sink.push(texts::no_column(place(1, ""), name));
        }
    }
    if at[..3].contains(&None) {
        return Vec::new();
    }
    let mut paid = Vec::new();
    for row in rows.records() {
        let row = match row {
            Ok(row) => row,
            Err(why) => {
                let line = why.position().map_or(0, |p| p.line() as u32);
                sink.push(texts::not_csv(place(line, ""), &why.to_string()));
                continue;
            }
        };
        let line = row.position().map_or(0, |p| p.line() as u32);
        let cell = |column: usize| at[column].and_then(|k| row.get(k)).unwrap_or("");
        if row.iter().all(str::is_empty) {
            continue;
        }
        let wrong = |column: usize, wrong: texts::Wrong| {
            sink.push(wrong.at(place(line, COLUMNS[column])));
        };
        let on = shop::date(&Node::Text(cell(0).to_owned()))
            .map_err(|w| wrong(0, w))
            .ok();
        let name = cell(1);
        if name.is_empty() {
            wrong(1, texts::expected("the cost line it belongs to", "nothing"));
        } else if !known(name, shop, offers) {
            let near = nearest(name, NAMES);
            sink.push(texts::unknown_line(place(line, COLUMNS[1]), name, near));
        }
        // A refund is a payment with a minus.
        let (sign, text) = match cell(2).strip_prefix('-') {
            Some(rest) => (-1.0, rest.trim()),
            None => (1.0, cell(2)),
        };
        let with_currency = format!("{text} {}", cell(3));
        let amount = match money(
            &Node::Text(with_currency.trim().to_owned()),
            Least::Zero,
            rates,
        ) {
            Ok(read) if read.spread == Spread::None => Some(read.likely * sign),
            Ok(_) => {
                wrong(2, texts::paid_exactly());
                None
            }
            Err(why) => {
                wrong(2, why);
                None
            }
        };
        let offer = match cell(4) {
            "" | "general" => Some(None),
            id => {
                let found = offers.iter().find(|o| o.id.0 == id || o.name == id);
                if found.is_none() {
                    let ids = offers.iter().map(|o| o.id.0.as_str());
                    wrong(4, texts::unknown_offer(id, nearest(id, ids)));
                }
                found.map(|o| Some(o.id.clone()))
            }
        };
        if let (Some(on), Some(amount), Some(offer), false) = (on, amount, offer, name.is_empty()) {
            paid.push(Paid {
                on,
                line: name.to_owned(),
                amount,
                offer,
                place: place(line, COLUMNS[1]),
            });
        }
    }
    paid
}

/// True for the lines a study has of itself, those stated in the folder, options, and works of the
/// site.
fn known(name: &str, shop: &Shop, offers: &[Offer]) -> bool {
    let head = name.split(": ").next().unwrap_or(name);
    let stated = shop.costs.iter().map(|c| c.name.as_str());
    let of_offers = offers
        .iter()
        .flat_map(|o| &o.costs)
        .map(|(name, _)| name.as_str());
    NAMES
        .into_iter()
        .chain(engine::site::WORKS)
        .chain(stated)
        .chain(of_offers)
        .any(|known| same_name(known, name) || same_name(known, head))
        || name.starts_with("option: ")
}
