//! JSON read back by serde_json: the promised keys, no float, names exact.

use super::{HOSTILE, assert_harmless, day, number, pounds, qty};
use bincard::domain::measure::{Qty, Unit};
use bincard::print::cell::Cell;
use bincard::print::look::Look;
use bincard::print::paper::{Format, Heading, Paper, TypedAs, render};
use bincard::print::table::Table;
use bincard::print::wire::error_json;
use serde_json::{Value, json};

fn json_of(paper: &Paper) -> (String, Value) {
    let text = render(paper, Format::Json, &Look::PIPE);
    let value = serde_json::from_str(&text).unwrap();
    (text, value)
}

#[test]
fn a_paper_has_the_promised_keys_in_order() {
    let heading = Heading {
        store: "hangar".into(),
        day: Some(day("2026-11-25")),
        training: true,
        trial: false,
    };
    let mut paper = Paper::new("stock", "12 free", heading);
    paper.document = Some("GRN-000045".to_owned());
    let mut stock = Table::new(
        "stock",
        &[
            ("lot", "lot"),
            ("free", "free"),
            ("cost", "cost"),
            ("line", "line"),
        ],
    );
    stock.row(vec![
        Cell::text("L1"),
        qty("2.5", "ml"),
        pounds("12.345"),
        Cell::Count(7),
    ]);
    stock.row(vec![
        Cell::Empty,
        number("0.00000001"),
        Cell::Day(day("2027-01-31")),
        Cell::Count(-1),
    ]);
    paper.tables.push(stock);
    paper.understood.push(TypedAs {
        typed: "2 box".to_owned(),
        qty: Qty::whole(200),
        unit: Unit::Each,
    });
    paper.notes.push("a note".to_owned());
    paper.cautions.push("a caution".to_owned());
    paper.next.push("do this".to_owned());
    let expected = concat!(
        r#"{"schema_version":1,"kind":"stock","trial":false,"answer":"12 free","store":"hangar","#,
        r#""day":"2026-11-25","training":true,"document":"GRN-000045","rows":["#,
        r#"{"lot":"L1","free":{"qty":"2.5","unit":"ml"},"cost":{"amount":"12.35","currency":"GBP"},"line":7},"#,
        r#"{"lot":null,"free":"0.00000001","cost":"2027-01-31","line":-1}],"tables":{},"#,
        r#""understood":[{"typed":"2 box","qty":"200","unit":"each"}],"notes":["a note"],"cautions":["a caution"],"next":["do this"]}"#,
        "\n"
    );
    assert_eq!(json_of(&paper).0, expected);
}

#[test]
fn an_empty_paper_says_null_and_a_trial_names_no_document() {
    let mut paper = Paper::new(
        "sums",
        "7.43 to 1",
        Heading {
            trial: true,
            ..Heading::default()
        },
    );
    paper.document = Some("GRN-000045".to_owned());
    let (_, value) = json_of(&paper);
    assert_eq!(value["day"], Value::Null);
    assert_eq!(value["document"], Value::Null);
    assert_eq!(value["trial"], json!(true));
    assert_eq!(value["rows"], json!([]));
}

#[test]
fn further_tables_stand_under_their_titles_and_none_is_lost() {
    let mut paper = Paper::new("shorts", "none", Heading::default());
    for title in ["first", "Made short", "made short", "·"] {
        let mut table = Table::new(title, &[("title", "title")]);
        table.row(vec![Cell::text(title)]);
        paper.tables.push(table);
    }
    let (_, value) = json_of(&paper);
    assert_eq!(value["rows"], json!([{ "title": "first" }]));
    let expected = json!({
        "made_short": [{ "title": "Made short" }], "made_short_2": [{ "title": "made short" }],
        "table": [{ "title": "·" }]
    });
    assert_eq!(value["tables"], expected);
}

#[test]
fn hostile_names_read_back_exactly_and_print_harmlessly() {
    for name in HOSTILE {
        let mut paper = Paper::new(
            "stock",
            *name,
            Heading {
                store: (*name).to_owned(),
                ..Heading::default()
            },
        );
        let mut table = Table::new(*name, &[("name", "name"), ("free", "free")]);
        table.row(vec![Cell::text(*name), qty("1", name)]);
        paper.tables = vec![table.clone(), table];
        paper.notes.push((*name).to_owned());
        let (text, value) = json_of(&paper);
        assert_harmless(&text);
        assert_eq!(text.lines().count(), 1);
        let row = &value["rows"][0];
        for read in [
            &value["answer"],
            &value["store"],
            &value["notes"][0],
            &row["name"],
            &row["free"]["unit"],
        ] {
            assert_eq!(read, name);
        }
    }
}

/// Whether any number in the document is not an integer.
fn has_float(value: &Value) -> bool {
    match value {
        Value::Number(number) => number.is_f64(),
        Value::Array(values) => values.iter().any(has_float),
        Value::Object(pairs) => pairs.values().any(has_float),
        _ => false,
    }
}

#[test]
fn no_number_is_a_float_and_none_has_an_exponent() {
    let mut paper = Paper::new("sums", "", Heading::default());
    let mut table = Table::new("t", &[("x", "x")]);
    for cell in [
        qty("0.000001", "ml"),
        pounds("999999999999"),
        number("0.0000000000000000000000000001"),
        number("79228162514264337593543950335"),
    ] {
        table.row(vec![cell]);
    }
    paper.tables.push(table);
    let (text, value) = json_of(&paper);
    assert!(!has_float(&value));
    for digits in [
        "\"0.000001\"",
        "\"999999999999.00\"",
        "\"0.0000000000000000000000000001\"",
        "\"79228162514264337593543950335\"",
    ] {
        assert!(text.contains(digits), "{digits} in {text}");
    }
}

#[test]
fn an_error_names_number_message_hint_and_context() {
    let context = [("lot", "L000123K"), ("lot", "L000124X"), ("job", "blue")]
        .map(|(name, fact)| (name.to_owned(), fact.to_owned()));
    let expected = concat!(
        r#"{"schema_version":1,"kind":"error","number":214,"message":"lot is \"dead\"","hint":"take another","#,
        r#""context":{"lot":"L000123K","lot_2":"L000124X","job":"blue"}}"#,
        "\n"
    );
    assert_eq!(
        error_json(214, "lot is \"dead\"", "take another", &context),
        expected
    );
    for name in HOSTILE {
        let text = error_json(1, name, name, &[((*name).to_owned(), (*name).to_owned())]);
        assert_harmless(&text);
        let value: Value = serde_json::from_str(&text).unwrap();
        assert_eq!(
            (&value["message"], &value["context"][*name]),
            (&json!(name), &json!(name))
        );
    }
}
