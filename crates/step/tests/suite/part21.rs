//! ISO 10303-21 syntax.

use step::part21::{Part21, Part21Error, Value, decode_string};

use crate::text::file;

fn index(text: &str) -> Part21<'_> {
    Part21::index(text.as_bytes()).expect("it is a STEP file")
}

#[test]
fn header_is_read() {
    let text = file("#1=A(1);");
    let header = index(&text).header().clone();
    assert_eq!(header.schemas, ["AUTOMOTIVE_DESIGN"]);
    assert_eq!(header.description, ["test"]);
    assert_eq!(header.name, "t.step");
    assert_eq!(header.time_stamp, "2026-01-01T00:00:00");
    assert_eq!(header.originating_system, "system");
}

#[test]
fn every_kind_of_parameter() {
    let text = file(
        "#1 = THING ( $, *, -12, +3., 1.5E-3, #77, .TRUE., 'it''s', \"2AF\", (), (1,(2,3)), LENGTH_MEASURE(2.5), .U. ) ;",
    );
    let file = index(&text);
    let mut args = file.get(1).unwrap().args().unwrap();
    let mut next = || args.value().unwrap();
    assert_eq!(next(), Value::Omitted);
    assert_eq!(next(), Value::Derived);
    assert_eq!(next(), Value::Integer(-12));
    assert_eq!(next(), Value::Real(3.0));
    assert_eq!(next(), Value::Real(1.5e-3));
    assert_eq!(next(), Value::Reference(77));
    assert_eq!(next(), Value::Enumeration(b"TRUE"));
    assert_eq!(next(), Value::Text(b"it''s"));
    assert_eq!(next(), Value::Binary(b"2AF"));
    let Value::List(empty) = next() else {
        panic!("expected a list")
    };
    assert!(empty.is_done());
    let Value::List(mut nested) = next() else {
        panic!("expected a list")
    };
    assert_eq!(nested.integer().unwrap(), 1);
    assert_eq!(nested.list().unwrap().counts().unwrap(), [2, 3]);
    let Value::Typed(b"LENGTH_MEASURE", mut inner) = next() else {
        panic!("expected a measure")
    };
    assert_eq!(inner.real().unwrap(), 2.5);
    assert_eq!(next(), Value::Enumeration(b"U"));
    assert!(args.is_done());
}

#[test]
fn comments_strings_and_line_breaks_anywhere() {
    let text = file(
        "/* a ; ' */#1/* = */=/**/A/*x*/(/* ( */1/* , */,/*')*/'a;/*b*/;#9=X(' /***/ )\r\n/* ; */;\r\n#2\r\n=\r\nB\r\n(\r\n'two\r\nlines'\r\n)\r\n;",
    );
    let file = index(&text);
    assert_eq!(file.len(), 2);
    assert!(file.problems().is_empty(), "{:?}", file.problems());
    let mut args = file.get(1).unwrap().args().unwrap();
    assert_eq!(args.integer().unwrap(), 1);
    assert_eq!(args.text().unwrap(), "a;/*b*/;#9=X(");
    assert!(args.is_done());
    assert_eq!(
        file.get(2).unwrap().args().unwrap().text().unwrap(),
        "twolines"
    );
}

#[test]
fn complex_instances_have_leaves() {
    let text = file("#5=( A(1) /*c*/ BB ( 'x' , (2) )\n\tC() );");
    let file = index(&text);
    let entity = file.get(5).unwrap();
    assert!(entity.is_complex() && entity.is("A") && entity.is("C") && !entity.is("B"));
    assert_eq!(entity.kind(), "A+BB+C");
    let mut args = entity.leaf("BB").unwrap();
    assert_eq!(args.text().unwrap(), "x");
    assert_eq!(args.list().unwrap().counts().unwrap(), [2]);
    assert!(entity.leaf("C").unwrap().is_done());
}

#[test]
fn sections_of_edition_3_are_passed_over() {
    let text = "ISO-10303-21;HEADER;FILE_SCHEMA(('X'));ENDSEC;\n\
        ANCHOR;<it's;here>=#1;<b>=#2{tag:'v;'};ENDSEC;\n\
        REFERENCE;#40=<other.stp#a'b>;#41=<x;y>;ENDSEC;\n\
        DATA('first',('X'));#1=A(#40);ENDSEC;\nDATA;#2=B();ENDSEC;\nEND-ISO-10303-21;\n\
        SIGNATURE;MIIGabc'+/=\n(''ENDSEC;";
    let file = index(text);
    assert_eq!(file.len(), 2);
    assert!(file.problems().is_empty(), "{:?}", file.problems());
    assert!(file.is_external(40) && file.is_external(41) && !file.is_external(1));
    assert!(file.get(2).unwrap().is("B"));
}

#[test]
fn scopes_of_edition_1_are_looked_into() {
    let text = file("#1=&SCOPE #2=IN(1); #3=IN(2); ENDSCOPE /#2,#3/ OUT(#2,#3); #4=NEXT();");
    let file = index(&text);
    assert_eq!(file.len(), 4);
    assert!(file.get(1).unwrap().is("OUT") && file.get(3).unwrap().is("IN"));
    assert!(file.problems().is_empty(), "{:?}", file.problems());
}

#[test]
fn strings_decode() {
    let cases: [(&[u8], &str); 16] = [
        (b"plain", "plain"),
        (b"it''s", "it's"),
        (b"back\\\\slash", "back\\slash"),
        (b"\\X\\E4rger", "\u{e4}rger"),
        (b"\\X2\\00C400D60394\\X0\\!", "\u{c4}\u{d6}\u{394}!"),
        (b"\\X2\\D83DDE00\\X0\\", "\u{1f600}"),
        (b"\\X4\\0001F600000000E4\\X0\\", "\u{1f600}\u{e4}"),
        (b"\\S\\d\\S\\v", "\u{e4}\u{f6}"),
        (b"\\PE\\\\S\\0\\S\\P", "\u{410}\u{430}"),
        (b"\\PB\\\\S\\3", "\u{142}"),
        // An apostrophe is doubled even as the character of a directive.
        (b"\\S\\''x", "\u{a7}x"),
        ("grün".as_bytes(), "grün"),
        (b"gr\xfcn", "grün"),
        (b"fold\r\ned", "folded"),
        // Damage stays as it stands.
        (b"\\X\\Zq \\Q\\ \\", "\\X\\Zq \\Q\\ \\"),
        (b"\\X2\\00C4", "\u{c4}"),
    ];
    for (raw, expected) in cases {
        assert_eq!(decode_string(raw), expected, "{}", raw.escape_ascii());
    }
}

#[test]
fn a_missing_semicolon_costs_one_problem_and_no_instance() {
    let text = file("#1=A(1)\n#2=B('x=y',2)\n#3=C(3);");
    let file = index(&text);
    assert_eq!(file.len(), 3);
    assert_eq!(file.problem_count(), 2);
    assert_eq!(file.get(2).unwrap().args().unwrap().text().unwrap(), "x=y");
}

#[test]
fn a_lost_quote_does_not_turn_the_rest_inside_out() {
    let text = file("#1=A('open,1);\n#2=B('fine');\n#3=C('too');");
    let file = index(&text);
    assert_eq!(file.len(), 3);
    assert_eq!(file.problem_count(), 1);
    assert_eq!(file.line(file.problems()[0].offset), 8);
    assert_eq!(file.get(3).unwrap().args().unwrap().text().unwrap(), "too");
    // What is broken says so when it is asked.
    assert!(file.get(1).unwrap().args().unwrap().text().is_err());
}

#[test]
fn damage_is_located_and_the_rest_is_read() {
    let text = file("#1=A(1);\n#x=B();\nwhat?;\n#2=C(2);\n#2=D(3);");
    let file = index(&text);
    assert!(file.get(2).unwrap().is("C"));
    let lines: Vec<_> = file
        .problems()
        .iter()
        .map(|p| file.line(p.offset))
        .collect();
    assert_eq!(lines, [9, 10, 12]);
    assert_eq!(
        file.problems()[2].text,
        "#2 is defined twice; the first definition counts"
    );
}

#[test]
fn cut_off_files_are_read_as_far_as_they_go() {
    let text = file("#1=A(1);\n#2=B((1,2),'abc");
    let cut = &text[..text.find("abc").unwrap() + 2];
    let file = index(cut);
    assert_eq!(file.len(), 2);
    assert!(file.problems()[0].text.contains("breaks off within #2"));
    let mut args = file.get(2).unwrap().args().unwrap();
    assert_eq!(args.list().unwrap().counts().unwrap(), [1, 2]);
    assert!(args.value().is_err());
}

#[test]
fn other_files_are_refused() {
    for other in [
        "",
        "solid cube\nfacet normal 0 0 1",
        "\u{0}\u{1}\u{2}",
        "PK\u{3}\u{4}",
    ] {
        assert_eq!(
            Part21::index(other.as_bytes()).unwrap_err(),
            Part21Error::NotPart21
        );
    }
    assert_eq!(
        Part21::index(b"ISO-10303-21;HEADER;ENDSEC;DATA;ENDSEC;").unwrap_err(),
        Part21Error::NoInstances
    );
}

#[test]
fn sparse_and_huge_names_are_found() {
    let text =
        file("#18446744073709551615=A(1);#5=B(2);#99999999999=C(3);#18446744073709551616=D();");
    let file = index(&text);
    assert!(file.get(u64::MAX).unwrap().is("A"));
    assert!(file.get(99_999_999_999).unwrap().is("C"));
    assert!(file.get(6).is_none());
    // One beyond what fits is refused, not wrapped round.
    assert_eq!(file.problem_count(), 1);
}

#[test]
fn deep_nesting_is_no_recursion() {
    let deep = format!("#1=A({}1{});", "(".repeat(200_000), ")".repeat(200_000));
    let text = file(&deep);
    let file = index(&text);
    let mut args = file.get(1).unwrap().args().unwrap();
    assert!(args.list().is_ok());
    assert!(args.is_done());
}
