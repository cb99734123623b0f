//! Scanned codes. What GS1 says is held to `tests/facts/gs1.toml`; lot numbers to `measure/number.rs`.

use bincard::domain::measure::Day;
use bincard::domain::measure::scan::{MakersLabel, Meaning, Own, Scan, ScanFault, Scanned};
use bincard::intake::scanned::{check_digit, own_of, scanned, year_in_full};
use toml::{Table, Value};

const FACTS: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/facts/gs1.toml"));

/// An article number with its check digit; the syntax dictionary's example.
const ARTICLE: &str = "0109521234543213";

fn day(text: &str) -> Day {
    Day::parse(text).unwrap()
}

/// What a scan says, seen from the middle of 2026.
fn read(line: &str) -> Result<Scanned, ScanFault> {
    scanned(line, day("2026-06-15"))
}

#[track_caller]
fn label(line: &str) -> MakersLabel {
    match read(line) {
        Ok(Scanned {
            scan: Scan::Maker(label),
            ..
        }) => label,
        other => panic!("{line:?}: {other:?}"),
    }
}

#[track_caller]
fn own(line: &str) -> Own {
    match read(line) {
        Ok(Scanned {
            scan: Scan::Own(own),
            swallowed: None,
        }) => own,
        other => panic!("{line:?}: {other:?}"),
    }
}

fn inputs(case: &Table) -> &Table {
    case["inputs"].as_table().unwrap()
}

fn given<'t>(case: &'t Table, key: &str) -> &'t str {
    inputs(case)[key].as_str().unwrap()
}

/// A value behind an identifier, on a label that also bears what the identifier needs.
fn with_article(case: &Table) -> Result<Scanned, ScanFault> {
    read(&format!(
        "]C1{ARTICLE}{}{}",
        given(case, "ai"),
        given(case, "value")
    ))
}

#[test]
fn every_published_case_comes_out() {
    let facts: Table = FACTS.parse().unwrap();
    for case in facts["case"].as_array().unwrap() {
        let case = case.as_table().unwrap();
        let id = case["id"].as_str().unwrap();
        assert!(!case["source"].as_str().unwrap().is_empty(), "{id}");
        let expected = &case["expected"];
        match id.trim_start_matches("gs1-").split('-').next().unwrap() {
            "cd" => {
                let check = check_digit(given(case, "body")).and_then(|digit| digit.to_digit(10));
                assert_eq!(check.map(i64::from), expected.as_integer(), "{id}");
            }
            "century" => {
                let figure = |key: &str| i16::try_from(inputs(case)[key].as_integer().unwrap()).unwrap();
                let full = year_in_full(figure("yy"), figure("asof"));
                assert_eq!(Some(i64::from(full)), expected.as_integer(), "{id}");
            }
            "date" => a_day(id, case, expected.as_str().unwrap()),
            "parse" => a_label(id, given(case, "data"), expected),
            "measure" => a_measure(id, case, expected),
            "len" => assert!(
                matches!(with_article(case), Err(ScanFault::Length { .. })),
                "{id}"
            ),
            "pair" => {
                let refused = read(given(case, "data")).unwrap_err();
                let told = expected.as_str().unwrap();
                match refused {
                    ScanFault::Pair { ai, other, .. } => {
                        assert!(told.contains(&format!("{ai} may not go with {other}")), "{id}");
                    }
                    ScanFault::Alone { ai, .. } => {
                        assert_eq!((ai.as_str(), told.contains("a lot needs")), ("10", true), "{id}");
                    }
                    other => panic!("{id}: {other}"),
                }
            }
            "internal" => assert_eq!(
                Own::Bin("A-1".to_owned()).element().as_deref(),
                Ok("92A-1"),
                "{id}"
            ),
            other => panic!("no check is written for {other}"),
        }
    }
}

fn a_day(id: &str, case: &Table, expected: &str) {
    match expected.strip_prefix("error: ") {
        Some(because) => {
            let refused = with_article(case).unwrap_err().to_string();
            assert!(refused.contains(because), "{id}: {refused}");
        }
        None => {
            let read = with_article(case).unwrap();
            let Scan::Maker(label) = read.scan else {
                panic!("{id}")
            };
            assert_eq!(label.last_day(), Some(day(expected)), "{id}");
        }
    }
}

fn a_label(id: &str, data: &str, expected: &Value) {
    let Some(fields) = expected.as_table() else {
        // The one case of a missing separator, told in words: the lot as read, and the day it swallowed.
        let Scanned { scan, swallowed } = read(data).unwrap();
        let Scan::Maker(label) = scan else { panic!("{id}") };
        assert_eq!(label.text("10"), Some("LOT-717260930"), "{id}");
        let swallowed = swallowed.unwrap();
        assert_eq!(
            (&*swallowed.shorter, &*swallowed.swallowed),
            ("LOT-7", "17"),
            "{id}"
        );
        assert_eq!(swallowed.day, day("2026-09-30"), "{id}");
        return;
    };
    let label = label(data);
    assert_eq!(label.elements.len(), fields.len(), "{id}");
    for (key, value) in fields {
        let ai = key.strip_prefix("ai").unwrap();
        let read = match label.day(ai) {
            Some(day) => day.to_string(),
            None => label.text(ai).unwrap().to_owned(),
        };
        assert_eq!(Some(&*read), value.as_str(), "{id} {ai}");
    }
    assert_eq!(read(data).unwrap().swallowed, None, "{id}");
}

fn a_measure(id: &str, case: &Table, expected: &Value) {
    let Some(told) = expected.as_table() else {
        assert!(
            matches!(with_article(case), Err(ScanFault::UnknownAi { .. })),
            "{id}"
        );
        return;
    };
    let Scan::Maker(label) = with_article(case).unwrap().scan else {
        panic!("{id}")
    };
    let Some(Meaning::Measured(measured)) = label.elements.last().map(|last| last.meaning.clone()) else {
        panic!("{id}")
    };
    assert_eq!(Some(&*measured.value.to_string()), told["value"].as_str(), "{id}");
    assert_eq!(Some(measured.unit), told["unit"].as_str(), "{id}");
}

/// Boundaries of the window (General Specifications 7.12): 50 ahead stays, 51 goes back; 49 behind stays, 50 goes on.
#[test]
fn a_year_of_two_figures_lies_within_fifty_years() {
    for (short, seen_from, full) in [
        (76, 2026, 2076),
        (77, 2026, 1977),
        (26, 2026, 2026),
        (0, 2026, 2000),
        (35, 2084, 2035),
        (34, 2084, 2134),
        (49, 1999, 2049),
        (50, 1999, 1950),
        (99, 2000, 1999),
        (50, 2000, 2050),
    ] {
        assert_eq!(year_in_full(short, seen_from), full, "{short} from {seen_from}");
    }
}

/// The same label in each way that scanners send it.
#[test]
fn the_mark_of_the_symbol_changes_nothing() {
    let data = format!("{ARTICLE}10LOT-7\u{1d}17260930");
    let wanted = label(&data);
    for mark in ["]C1", "]d2", "]Q3", "]e0", "\u{1d}", "]C1\u{1d}"] {
        assert_eq!(label(&format!("{mark}{data}\r\n")), wanted, "{mark:?}");
        assert_eq!(
            label(&format!("{mark}{data}\u{1d}")),
            wanted,
            "{mark:?} with a last separator"
        );
    }
    // A separator after a value of fixed length is forgiven, as the General Specifications tell readers to.
    assert_eq!(
        label("01095212345432131726093\u{30}\u{1d}10LOT-7").text("10"),
        Some("LOT-7")
    );
}

#[test]
fn what_a_label_cannot_say_is_refused_with_its_place() {
    let article = ARTICLE;
    for (line, says) in [
        (
            format!("]C1{article}88X"),
            "at character 20 of the code stands \"88X\"",
        ),
        (
            format!("({}){}(88)X", &article[..2], &article[2..]),
            "at character 19 of the code stands \"88\"",
        ),
        (
            "]C1010952123454321".to_owned(),
            "(01) at character 4 of the code holds 14 figures, not the 13",
        ),
        (
            "(01)09521234543210".to_owned(),
            "the check digit of (01) 09521234543210 is 0 and would be 3",
        ),
        (
            "(00)106141412345678907".to_owned(),
            "the check digit of (00) 106141412345678907 is 7 and would be 8",
        ),
        (
            format!("]C1{article}10"),
            "(10) at character 20 of the code holds 1 to 20 characters, not the 0",
        ),
        (format!("]C1{article}10LOT 7"), "no blank, and ' ' stands in it"),
        (format!("]C1{article}10LÖT"), "and 'Ö' stands in it"),
        (format!("]C1{article}3012X"), "figures only, and 'X' stands in it"),
        (
            format!("]C1{article}17260931"),
            "(17) 260931 is no day: day 31 in month 09 of 2026",
        ),
        (format!("]C1{article}17260001"), "(17) 260001 is no day: month 00"),
        (
            format!("]C1{article}10A\u{1d}10B"),
            "(10) stands there twice, as A and as B",
        ),
        (
            format!("]C1{article}3102000250{}3103000250", ""),
            "(310n) stands there twice",
        ),
        (
            "(02)09521234543213".to_owned(),
            "(02) 09521234543213 says nothing without (37)",
        ),
        ("(21)SN42".to_owned(), "(21) SN42 says nothing without (01)"),
        ("]C1".to_owned(), "nothing was scanned"),
        (" \r\n".to_owned(), "nothing was scanned"),
        ("(91)L000123X".to_owned(), "(91) L000123X is no label of ours"),
        ("(97)anything".to_owned(), "(97) anything is no label of ours"),
        ("(94)J-12".to_owned(), "ours bears a job number such as J-0012"),
        ("(96)J-0012/1".to_owned(), "ours bears job, list and line"),
    ] {
        let refused = read(&line).unwrap_err().to_string();
        assert!(refused.contains(says), "{line:?} wants {says:?}: {refused}");
    }
}

/// A parcel of GS1's example company (from memory; check digit worked out by hand:
/// weights 3 and 1 from the right give 132, so 8).
#[test]
fn a_parcel_says_what_and_how_many() {
    let label = label("(00)106141412345678908(02)09521234543213(37)12(11)260200(30)3");
    assert_eq!(label.text("00"), Some("106141412345678908"));
    assert_eq!(label.elements[2].meaning, Meaning::Count(12));
    let made = &label.elements[3].meaning;
    let last = day("2026-02-28");
    assert_eq!(
        *made,
        Meaning::Day {
            day: last,
            month_only: true
        }
    );
    // A maker's own internal field says nothing of ours beside his article number.
    let label = self::label("(01)09521234543213(91)L000123T");
    assert_eq!(label.text("91"), Some("L000123T"));
}

#[test]
fn only_what_looks_swallowed_is_warned_of() {
    for (tail, lot, shorter) in [
        ("10LOT-717260930", "LOT-717260930", Some("LOT-7")),
        ("10LOT-711260900", "LOT-711260900", Some("LOT-7")),
        ("10LOT-717261330", "LOT-717261330", None),
        ("10LOT-718260930", "LOT-718260930", None),
        ("1017260930", "17260930", None),
        ("10LOT-717260930\u{1d}21X", "LOT-717260930", None),
    ] {
        let read = read(&format!("]C1{ARTICLE}{tail}")).unwrap();
        let Scan::Maker(label) = read.scan else {
            panic!("{tail}")
        };
        assert_eq!(label.text("10"), Some(lot), "{tail:?}");
        let told = read.swallowed.map(|swallowed| swallowed.shorter);
        assert_eq!(told.as_deref(), shorter, "{tail:?}");
    }
}

#[test]
fn labels_of_ours_come_back_as_they_went() {
    let line = Own::Line {
        job: "J-0012".to_owned(),
        list: 1,
        n: 7,
    };
    for own_label in [
        Own::Lot("L000123T".to_owned()),
        Own::Bin("A-1".to_owned()),
        Own::Part("SP-20".to_owned()),
        Own::Job("J-0012".to_owned()),
        Own::Document("GRN-000045".to_owned()),
        line.clone(),
    ] {
        let text = own_label.element().unwrap();
        assert_eq!(own_of(own_label.ai(), &own_label.text()), Ok(own_label.clone()));
        for mark in ["]C1", "]d2", "\u{1d}"] {
            assert_eq!(own(&format!("{mark}{text}")), own_label, "{mark:?}");
        }
        assert_eq!(
            own(&format!("({}){}", own_label.ai(), own_label.text())),
            own_label
        );
    }
    assert_eq!(own("L000123T"), Own::Lot("L000123T".to_owned()));
    assert_eq!(own("91l000123t"), Own::Lot("L000123T".to_owned()));
    assert_eq!(own("J-0012/1/7"), line);
}

/// What only the books can place: a code that is nobody's by its look, and one that may be ours with the mark dropped.
#[test]
fn the_rest_is_a_plain_text() {
    for (line, text, own_label) in [
        ("A-1", "A-1", None),
        ("  2 mm spacer ", "2 mm spacer", None),
        ("]C0A-1", "A-1", None),
        ("]A0A-1", "A-1", None),
        ("92A-1", "92A-1", Some(Own::Bin("A-1".to_owned()))),
        (
            "95GRN-000045",
            "95GRN-000045",
            Some(Own::Document("GRN-000045".to_owned())),
        ),
        ("94red", "94red", None),
        ("92", "92", None),
        ("L000123X", "L000123X", None),
        ("(a) bolt", "(a) bolt", None),
        ("]", "]", None),
        ("]Ö1", "]Ö1", None),
        // Begins like an article number, but the check digit is wrong: not by GS1.
        ("010952123454321010LOT-7", "010952123454321010LOT-7", None),
        ("0100000", "0100000", None),
    ] {
        let text = text.to_owned();
        assert_eq!(
            read(line).unwrap().scan,
            Scan::Plain { text, own: own_label },
            "{line:?}"
        );
    }
}

#[test]
fn a_check_digit_is_of_figures_only() {
    for text in ["", "1A", "-1", "١"] {
        assert_eq!(check_digit(text), None, "{text:?}");
    }
}

proptest::proptest! {
    /// Whatever is scanned, nothing breaks; what is read as a label holds only what it may.
    #[test]
    fn no_scan_breaks(line in "(\\]C1|\\]d2|\\(01\\))?[0-9A-Z()\u{1d}é .-]{0,40}") {
        let _ = read(&line);
    }
}
