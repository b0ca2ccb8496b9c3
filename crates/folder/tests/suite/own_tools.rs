//! `tools.csv`: what is read of it, what is told, and that the way it is written changes nothing.

use crate::shop_on_disk::Files;
use engine::demand::ToolShape;
use engine::entered::{OwnTool, OwnTools};
use proptest::prelude::*;
use units::{Place, Watch};

/// A study with this file of tools: what is owned and what is told, one line each.
fn read(bytes: &[u8]) -> (Option<OwnTools>, Vec<String>) {
    let mut files = Files::sound();
    files.put("tools.csv", bytes);
    let source = folder::Source::Memory(files.0);
    let (tools, problems) = match folder::read_source(&source, Watch::NOBODY) {
        Ok(study) => (Some(study.shop.tools), study.problems),
        Err(problems) => (None, problems),
    };
    let told = problems.0.iter().map(|p| p.to_string().replace('\n', " "));
    (tools, told.filter(|t| t.contains("tools.csv")).collect())
}

fn tools(text: &str) -> OwnTools {
    let (tools, told) = read(text.as_bytes());
    tools.unwrap_or_else(|| panic!("{told:?}"))
}

fn mm(tool: &OwnTool) -> [f64; 4] {
    [tool.diameter, tool.corner, tool.usable, tool.out].map(|l| (l.to_mm() * 1e4).round() / 1e4)
}

#[test]
fn mixed_units_kinds_and_holders_are_read() {
    let found = tools(
        "# a remark\n\
         \n\
         name,type,DC,RE,LU (mm),APMX,DCON,OAL,NOF,TDZ,BD,CZC,holder,qty,unit\n\
         \"EM 1/4, short\",end mill,1/4,,,3/4,1/4,2-1/2,3,,,,ER20,2,in\n\
         EM6,end mill,6,,24,,6,68,4,,,,40 mm,1,mm\n\
         BN,end mill,8 mm,4 mm,,16 mm,8 mm,80 mm,2,,,,,,\n\
         BU,bull,10,1,,22,10,72,4,,,,,1,mm\n\
         T,tap,,,,,,80,3,1/4-20 UNC,,,,1,mm\n\
         D,drill,5.1,,52,,,86,2,,,,,1,mm\n\
         ER20,holder,,,,,,,,,34,BT30,,4,mm\n",
    );
    let by = |name: &str| found.tools.iter().find(|t| t.name == name).expect(name);
    // Out of the holder: the whole less twice the shank, and never less than is usable.
    let quarter = by("EM 1/4, short");
    assert_eq!(mm(quarter), [6.35, 0.0, 19.05, 63.5 - 12.7]);
    assert_eq!((quarter.shape, quarter.count), (ToolShape::Flat, 2));
    assert_eq!(quarter.holder.map(|h| h.to_mm()), Some(34.0));
    assert_eq!(mm(by("EM6")), [6.0, 0.0, 24.0, 56.0]);
    assert_eq!(by("EM6").holder.map(|h| h.to_mm()), Some(40.0));
    assert_eq!(by("BN").shape, ToolShape::Ball);
    assert_eq!(mm(by("BU")), [10.0, 1.0, 22.0, 52.0]);
    assert_eq!(by("BU").shape, ToolShape::Bull);
    assert_eq!(by("T").pitch.map(|p| p.to_mm()), Some(1.27));
    assert_eq!(mm(by("D")), [5.1, 0.0, 52.0, 86.0 - 12.0]);
    let holder = &found.holders[0];
    assert_eq!((holder.count, holder.taper.as_deref()), (4, Some("BT30")));
    assert_eq!(by("EM6").place.line, 5);
}

#[test]
fn everything_wrong_is_told_at_once_with_line_and_column() {
    let (found, told) = read(
        b"name,type,DC,RE (mm),LU (mm),OAL (mm),holder\n\
          a,end mill,6,,20,60,\n\
          b,end mill,6 mm,4,20,60,\n\
          c,end mil,6 mm,,20,60,\n\
          d,drill,,,20,60,\n\
          e,end mill,6 mm,,70,60,\n\
          f,end mill,6 mm,,20,60,ER25\n\
          g,end mill,6,5 mm,,20,60,ER20\n\
          h,,6 mm,,20,60,\n\
          i,end mill,-6 mm,,20,60,\n\
          j,tap,6 mm,,20,60,\n",
    );
    assert!(found.is_none());
    let lines: Vec<u32> = told
        .iter()
        .filter_map(|t| {
            t.strip_prefix("tools.csv:")?
                .split(':')
                .next()?
                .parse()
                .ok()
        })
        .collect();
    assert_eq!(lines, [2, 3, 4, 5, 6, 7, 8, 9, 10, 11], "{told:#?}");
    for (at, part) in [
        (
            0,
            "DC (column 3): expected a length with its unit, found the bare number 6",
        ),
        (
            1,
            "RE (mm) (column 4): expected a corner radius no larger than half the diameter",
        ),
        (2, "did you mean 'end mill'"),
        (3, "DC: it is missing"),
        (
            4,
            "LU (mm) (column 5): expected the usable length no larger than the whole tool",
        ),
        (
            5,
            "holder (column 7): expected a holder of this file, found 'ER25'",
        ),
        (6, "8 cells under 7 columns"),
        (7, "cannot be told"),
        (8, "DC (column 3)"),
        (9, "TDZ: it is missing"),
    ] {
        assert!(told[at].contains(part), "{part}: {}", told[at]);
    }
}

#[test]
fn columns_nobody_knows_and_lengths_nobody_stated_are_told_and_do_not_stop() {
    let (found, told) = read(b"name,type,DC (mm),colour,DCC (mm)\na,end mill,10,red,1\n");
    let found = found.expect("reads");
    // Taken for the shortest: 1.4 diameters (DIN 6527 short).
    assert_eq!(mm(&found.tools[0]), [10.0, 0.0, 14.0, 14.0]);
    assert_eq!(told.len(), 3, "{told:#?}");
    let all = told.join("\n");
    for part in [
        "'colour', is not used",
        "did you mean DC",
        "no usable length is stated for 1 tool(s), lines 2",
    ] {
        assert!(all.contains(part), "{part}: {all}");
    }
}

#[test]
fn without_a_file_nothing_is_owned_and_nothing_is_told() {
    let study = Files::sound().read().expect("reads");
    assert!(study.shop.tools.is_empty());
    assert!(study.problems.0.iter().all(|p| p.place.file != "tools.csv"));
    let (found, told) = read(b"# nothing yet\n");
    assert!(found.expect("reads").is_empty());
    assert!(told[0].contains("no header"), "{told:?}");
    assert!(read(b"name,DC (mm)\nM\xfcller,6\n").0.is_none());
}

/// Everything but where it is written.
fn plain(mut tools: OwnTools) -> OwnTools {
    for tool in &mut tools.tools {
        tool.place = Place::default();
    }
    for holder in &mut tools.holders {
        holder.place = Place::default();
    }
    tools
}

#[test]
fn separators_quotes_remarks_and_byte_order_marks_change_nothing() {
    let rows = [
        ["name", "type", "DC (mm)", "LU (mm)", "DMM (mm)", "LF (mm)"],
        ["a", "end mill", "6", "24", "6", "68"],
        ["b", "drill", "5,1", "52", "5,1", "86"],
    ];
    let write = |separator: &str, quote: bool, before: &str, end: &str| -> String {
        let cell = |c: &str| {
            if quote || c.contains(separator) {
                format!("\"{c}\"")
            } else {
                c.to_owned()
            }
        };
        let line = |r: &[&str; 6]| r.map(cell).join(separator) + end;
        before.to_owned() + &rows.iter().map(line).collect::<String>()
    };
    let first = plain(tools(&write(",", false, "", "\n")));
    assert_eq!(first.tools.len(), 2);
    for (separator, quote, before, end) in [
        (";", false, "", "\n"),
        ("\t", false, "# remark\n\n", "\r\n"),
        (",", true, "\u{feff}", "\r\n"),
        (";", true, "sep=;\r\n", "\r\n"),
    ] {
        let text = write(separator, quote, before, end);
        assert_eq!(plain(tools(&text)), first, "{text}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn no_bytes_make_a_panic(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
        let mut all = b"name,type,DC (mm),RE,LU,TDZ,holder,qty,unit\n".to_vec();
        all.extend(bytes);
        read(&all);
    }

    #[test]
    fn no_cells_make_a_panic(cells in proptest::collection::vec("[0-9a-zA-Z./, \"#-]{0,8}", 0..30)) {
        read(("name,type,DC (mm),RE,LU,TDZ,holder\n".to_owned() + &cells.join(";,")).as_bytes());
    }
}
