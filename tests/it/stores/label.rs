//! `label`: what stands on paper, and that each symbol says it. The symbols are drawn from the page's own pictures and
//! read by a decoder that is no kin of what made them.

use super::refused;
use crate::desk::Counter;
use barcoders::sym::code128::Code128;
use bincard::domain::measure::Day;
use bincard::domain::measure::number::lot_number;
use bincard::domain::measure::scan::{Own, Scan};
use bincard::intake::scanned::scanned;
use bincard::print::symbol::{Symbol, Symbology};
use rxing::{BarcodeFormat, RXingResultMetadataType, RXingResultMetadataValue};

/// The number of the lot that stands in this row of the sample's stock.
fn row(n: i64) -> String {
    lot_number(n).unwrap()
}

/// What stands between two marks, and the rest after the second.
fn between<'t>(text: &'t str, begin: &str, end: &str) -> Option<(&'t str, &'t str)> {
    let (_, rest) = text.split_once(begin)?;
    rest.split_once(end)
}

/// The labels of a page, each as it stands there.
fn labels(page: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut rest = page;
    while let Some((label, after)) = between(rest, "<article ", "</article>") {
        found.push(label.to_owned());
        rest = after;
    }
    found
}

/// A picture as dots of light, so many to a module.
fn drawn(label: &str, dots: usize) -> (Vec<u8>, u32, u32) {
    let (size, rest) = between(label, "viewBox=\"0 0 ", "\"").unwrap();
    let (wide, high) = size.split_once(' ').unwrap();
    let (wide, high): (usize, usize) = (wide.parse().unwrap(), high.parse().unwrap());
    let (bars, _) = between(rest, "fill=\"#000\" d=\"", "\"").unwrap();
    let mut light = vec![255_u8; wide * dots * high * dots];
    for bar in bars.split('M').filter(|bar| !bar.is_empty()) {
        // `x yhWvTh-Wz`
        let (at, shape) = bar.split_once('h').unwrap();
        let (x, y) = at.split_once(' ').unwrap();
        let (w, shape) = shape.split_once('v').unwrap();
        let (t, _) = shape.split_once('h').unwrap();
        let number = |text: &str| text.parse::<usize>().unwrap() * dots;
        for line in number(y)..number(y) + number(t) {
            let begin = line * wide * dots + number(x);
            light[begin..begin + number(w)].fill(0);
        }
    }
    let side = |modules: usize| u32::try_from(modules * dots).unwrap();
    (light, side(wide), side(high))
}

/// What a scanner sends of a label: the mark of the symbol, then its data.
#[track_caller]
fn read_back(label: &str) -> String {
    let format = match label.starts_with("class=\"data_matrix\"") {
        true => BarcodeFormat::DATA_MATRIX,
        false => BarcodeFormat::CODE_128,
    };
    let (light, wide, high) = drawn(label, 4);
    let read = rxing::helpers::detect_in_luma(light, wide, high, Some(format)).unwrap();
    let mark = read
        .getRXingResultMetadata()
        .get(&RXingResultMetadataType::SYMBOLOGY_IDENTIFIER);
    let Some(RXingResultMetadataValue::SymbologyIdentifier(mark)) = mark else {
        panic!("no mark: {read:?}")
    };
    format!("{mark}{}", read.getText())
}

fn own(sent: &str) -> Own {
    match scanned(sent, Day::parse("2026-11-25").unwrap()).unwrap().scan {
        Scan::Own(own) => own,
        other => panic!("{sent}: {other:?}"),
    }
}

#[test]
fn what_is_printed_is_what_is_read() {
    let counter = Counter::sample();
    for (words, sent) in [
        (format!("lot {}", row(49)), format!("]d291{}", row(49))),
        (format!("lot {}", row(1)), format!("]d291{}", row(1))),
        ("bin A-1".to_owned(), "]C192A-1".to_owned()),
        ("bin cage".to_owned(), "]C192CAGE".to_owned()),
        ("part SP-20".to_owned(), "]d293SP-20".to_owned()),
        ("job blue".to_owned(), "]d294J-0001".to_owned()),
    ] {
        let page = counter.types(&format!("label {words}")).good().out;
        let all = labels(&page);
        assert_eq!(all.len(), 1, "{words}");
        assert_eq!(read_back(&all[0]), sent, "{words}");
        // The whole way round: the printed symbol, scanned, finds the thing; the text beside it is the same code.
        let ran = counter.run(&["scan", &sent]);
        assert!(ran.err.is_empty(), "{words}: {ran:?}");
        let beside = format!("<p class=\"code\">{}</p>", own(&sent).text());
        assert!(all[0].contains(&beside), "{words}: {}", all[0]);
    }
}

/// Every lot of the sample, its check character with it.
#[test]
fn every_lot_number_comes_back_exactly() {
    let counter = Counter::sample();
    let numbers: Vec<String> = (1..=60).map(row).collect();
    let mut words = vec!["label", "lot"];
    words.extend(numbers.iter().map(String::as_str));
    let page = counter.run(&words).good().out;
    let read: Vec<Own> = labels(&page).iter().map(|label| own(&read_back(label))).collect();
    let wanted: Vec<Own> = numbers.into_iter().map(Own::Lot).collect();
    assert_eq!(read, wanted);
}

/// Codes of all lengths and of every sign that GS1 allows, in both symbols.
#[test]
fn both_symbols_bear_every_code() {
    let signs = "!\"%&'()*+,-./0123456789:;<=>?ABCDEFGHIJKLMNOPQRSTUVWXYZ_abcdefghijklmnopqrstuvwxyz";
    let halves = [
        signs.get(..41).unwrap(),
        signs.get(41..).unwrap(),
        "A",
        "00",
        "7777777777",
        "A1b22C333d",
    ];
    for code in halves {
        let own_label = Own::Bin(code.to_owned());
        for symbology in [Symbology::DataMatrix, Symbology::Code128] {
            let symbol = Symbol::of(&own_label, symbology).unwrap();
            let label = format!("class=\"{}\">{}", symbology.word(), symbol.svg(50));
            assert_eq!(own(&read_back(&label)), own_label, "{code} {symbology:?}");
        }
    }
    for (code, because) in [
        ("A 1", "' ' stands in it"),
        ("Ä1", "'Ä' stands in it"),
        ("Ź1", "'Ź' stands in it"),
        ("", "it is empty"),
        (&"A".repeat(91), "longer than 90"),
    ] {
        for symbology in [Symbology::DataMatrix, Symbology::Code128] {
            let refused = Symbol::of(&Own::Bin(code.to_owned()), symbology).unwrap_err();
            assert!(refused.to_string().contains(because), "{code}: {refused}");
        }
    }
}

/// The check symbols of `tests/facts/code128.toml`, read off the modules: the check stands before the 13 of the stop.
#[test]
fn the_check_symbol_is_that_of_the_published_tables() {
    // The bars and spaces of the values that the cases name, as the table of the decoder has them (ISO/IEC 15417).
    let widths = [(54, "311123"), (67, "141122"), (73, "142112"), (97, "411113")];
    let facts: toml::Table = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/facts/code128.toml"))
        .parse()
        .unwrap();
    for case in facts["case"].as_array().unwrap() {
        let (id, expected) = (
            case["id"].as_str().unwrap(),
            case["expected"].as_integer().unwrap(),
        );
        let text = case["inputs"]["text"].as_str().unwrap();
        // The library's signs for the starts in sets A, B and C.
        let plan = match id {
            "c128-1" => format!("\u{c0}{text}"),
            "c128-2" => "\u{c0}HI\u{106}345678".to_owned(),
            "c128-3" => format!("\u{106}{text}"),
            "c128-5" => format!("\u{181}{text}"),
            other => panic!("no check is written for {other}"),
        };
        let modules = Code128::new(&plan).unwrap().encode();
        let check = &modules[modules.len() - 24..modules.len() - 13];
        let (_, wanted) = widths.iter().find(|(value, _)| *value == expected).unwrap();
        assert_eq!(widths_of(check), *wanted, "{id}");
    }
}

/// The widths of the bars and spaces of a symbol, in modules.
fn widths_of(modules: &[u8]) -> String {
    let runs = modules.chunk_by(|one, other| one == other);
    runs.map(|run| run.len().to_string()).collect()
}

#[test]
fn the_status_stands_in_words() {
    let counter = Counter::sample();
    let number = row(37);
    counter
        .run(&["hold", &number, "--by", "OQ", "-w", "recalled"])
        .good();
    for (lot, status, class) in [
        (row(49), "USABLE", "status"),
        (row(48), "DEAD since 2026-11-10: NOT TO BE USED", "status no"),
        (row(9), "QUARANTINE: NOT TO BE USED", "status no"),
        (row(12), "RECEIVING: NOT TO BE USED", "status no"),
        (number, "ON HOLD: NOT TO BE USED", "status no"),
    ] {
        let page = counter.run(&["label", "lot", &lot]).good().out;
        assert!(
            page.contains(&format!("<p class=\"{class}\">{status}</p>")),
            "{lot}: {page}"
        );
    }
    // On the last day itself it is usable, the day after it is dead.
    for (day, status) in [("2027-03-31", "USABLE"), ("2027-04-01", "DEAD since 2027-03-31")] {
        let page = counter.run(&["label", "lot", &row(49), "--on", day]).good().out;
        assert!(page.contains(status), "{day}: {page}");
    }
    let page = counter.run(&["label", "lot", &row(1)]).good().out;
    assert!(page.contains("<dt>belongs to</dt><dd>SEVEN</dd>"), "{page}");
    assert!(
        page.contains("<p class=\"status\">USABLE FOR SEVEN ONLY</p>"),
        "{page}"
    );
    let page = counter.run(&["label", "bin", "CAGE"]).good().out;
    assert!(page.contains("<p class=\"status no\">QUARANTINE</p>"), "{page}");
    let page = counter.run(&["label", "job", "blue"]).good().out;
    assert!(
        page.contains("<h1>BLUE</h1>\n<p>engine W28-0417 of BRACK</p>"),
        "{page}"
    );
    assert!(page.contains("<dt>day of use</dt><dd>2026-12-02</dd>"), "{page}");
}

/// A pack of 50 ml opened on 2026-11-25 lasts 180 days, to 2027-05-24, as `find.rs` works out.
#[test]
fn an_opened_pack_says_since_when_until_when_and_what_is_left() {
    let counter = Counter::sample();
    let opened = counter.run(&["open", "X0702", "--by", "TW"]).good();
    let lot = opened.answer().split(' ').nth(4).unwrap().to_owned();
    let page = counter.run(&["label", "lot", &lot]).good().out;
    for told in [
        "<dt>opened on</dt><dd>2026-11-25</dd>",
        "<dt>good until</dt><dd>2027-05-24</dd>",
        "<dt>remainder</dt><dd>50 ml on 2026-11-25</dd>",
    ] {
        assert!(page.contains(told), "{told}: {page}");
    }
    counter
        .run(&["scrap", &lot, "12.5", "--by", "TW", "-w", "set in the nozzle"])
        .good();
    let page = counter.run(&["label", "lot", &lot]).good().out;
    assert!(
        page.contains("<dt>remainder</dt><dd>37.5 ml on 2026-11-25</dd>"),
        "{page}"
    );
    assert!(
        !counter
            .run(&["label", "lot", &row(49)])
            .good()
            .out
            .contains("remainder")
    );
}

/// A page fetches nothing and runs nothing, and a name from outside is no part of it.
#[test]
fn a_page_stands_alone() {
    let counter = Counter::sample();
    let page = counter.run(&["label", "part", "SP-20", "SP-25"]).good().out;
    for never in ["http", "<script", "src=", "@import", "url("] {
        assert!(!page.contains(never), "{never}");
    }
    assert!(
        page.starts_with("<!DOCTYPE html>") && page.contains("size:A4"),
        "{page}"
    );
    assert_eq!(labels(&page).len(), 2);
    let single = counter.run(&["label", "part", "SP-20", "--single"]).good().out;
    assert!(single.contains("size:100mm 70mm"), "{single}");
    let raw = rusqlite::Connection::open(counter.store()).unwrap();
    raw.execute_batch("UPDATE place SET name = 'a<b> & \"c\" <script>x</script>' WHERE code = 'A-1'")
        .unwrap();
    let page = counter.run(&["label", "bin", "A-1"]).good().out;
    assert!(
        page.contains("<p>a&lt;b&gt; &amp; &quot;c&quot; &lt;script&gt;x&lt;/script&gt;</p>"),
        "{page}"
    );
}

#[test]
fn a_page_in_a_file_and_what_programs_are_told() {
    let counter = Counter::sample();
    let file = counter.folder().join("labels.html").display().to_string();
    let words = ["label", "lot", &row(49), &row(7), "--page", &file];
    let ran = counter.run(&words).good();
    assert_eq!(ran.answer(), format!("2 labels: {} and 1 more", row(49)));
    let page = std::fs::read_to_string(&file).unwrap();
    assert_eq!(labels(&page).len(), 2);
    // Nothing is written over, and nothing is written on trial.
    refused(&counter, &words, 403, 73, "labels.html");
    let other = counter.folder().join("other.html").display().to_string();
    refused(
        &counter,
        &["label", "bin", "A-1", "--page", &other, "-n"],
        402,
        2,
        "on trial",
    );
    assert!(!std::path::Path::new(&other).exists());
    let json = counter
        .run(&["label", "bin", "A-1", "--format", "json"])
        .good()
        .json();
    assert_eq!(json["kind"], "label");
    assert_eq!(json["rows"][0]["symbol"], "code_128");
    assert_eq!(json["rows"][0]["data"], "92A-1");
    let csv = counter
        .run(&["label", "lot", &row(49), "--format", "csv"])
        .good()
        .out;
    assert!(csv.starts_with("code,symbol,data,head,status,facts\n"), "{csv}");
}

#[test]
fn what_has_no_label() {
    let counter = Counter::sample();
    refused(&counter, &["label", "lot", "NOLOT-1"], 239, 1, "NOLOT-1");
    refused(&counter, &["label", "lot", "OR-18"], 240, 1, &row(45));
    refused(&counter, &["label", "bin", "Z-9"], 239, 1, "no bin Z-9");
    refused(&counter, &["label", "part", "SP-99"], 239, 1, "no part SP-99");
    refused(&counter, &["label", "job", "mauve"], 239, 1, "no job mauve");
    let raw = rusqlite::Connection::open(counter.store()).unwrap();
    raw.execute_batch("UPDATE place SET code = 'A ONE' WHERE code = 'A-1'")
        .unwrap();
    refused(
        &counter,
        &["label", "bin", "A ONE"],
        278,
        1,
        "A ONE cannot stand in a symbol: ' ' stands in it",
    );
}
