//! What a terminal would obey, what an eye would miss, and what a spreadsheet would run.

use super::{HOSTILE, assert_harmless};
use bincard::print::escape::{cells, csv_guard, escape};
use proptest::prelude::*;

#[test]
fn marks_are_shown_not_passed_on() {
    // Code points: C0 and C1 from ISO 6429, the rest from the Unicode character database (bidi class, Cf).
    for (given, shown) in [
        ("\x1b[31m", "\\x1b[31m"),
        ("\0\x01\x1f", "\\x00\\x01\\x1f"),
        ("a\tb\nc\rd", "a\\x09b\\x0ac\\x0dd"),
        ("\x7f", "\\x7f"),
        ("\u{80}\u{9b}\u{9f}", "\\x80\\x9b\\x9f"),
        ("\u{202E}", "<U+202E>"),
        (
            "\u{2066}\u{2069}\u{200F}\u{61C}",
            "<U+2066><U+2069><U+200F><U+061C>",
        ),
        (
            "\u{200B}\u{200D}\u{2060}\u{FEFF}",
            "<U+200B><U+200D><U+2060><U+FEFF>",
        ),
        ("\u{2028}\u{2029}", "<U+2028><U+2029>"),
        ("\u{E0041}", "<U+E0041>"),
        ("M6\u{FE0E}", "M6<U+FE0E>"),
    ] {
        assert_eq!(escape(given), shown);
    }
}

#[test]
fn clean_text_stays_as_it_is() {
    for clean in [
        "",
        "SP-2.0",
        "back\\slash",
        "\\x1b",
        "étanche",
        "螺栓",
        "N·m",
        "½ in",
        "\u{A0}",
        "e\u{301}",
        "🔧",
    ] {
        assert_eq!(escape(clean), clean);
    }
}

#[test]
fn hostile_names_become_harmless_and_stay_so() {
    for name in HOSTILE {
        let shown = escape(name);
        assert_harmless(&shown);
        assert_ne!(&shown, name);
        assert_eq!(escape(&shown), shown);
    }
}

#[test]
fn width_is_counted_in_cells_after_escaping() {
    assert_eq!(cells(&escape("螺栓")), 4);
    assert_eq!(cells(&escape("étanche")), 7);
    assert_eq!(cells(&escape("e\u{301}")), 1);
    assert_eq!(cells(&escape("\x1b")), 4);
}

#[test]
fn what_a_spreadsheet_would_run_gets_a_quote() {
    // Triggers: OWASP ASVS 5.0 1.2.10, with the full-width twins of the four signs.
    for (given, guarded) in [
        ("=1+1", "'=1+1"),
        ("+44 1632", "'+44 1632"),
        ("-5", "'-5"),
        ("@sum", "'@sum"),
        ("\tx", "'\tx"),
        ("\rx", "'\rx"),
        ("\0x", "'\0x"),
        ("  =1", "'  =1"),
        ("\u{A0}=1", "'\u{A0}=1"),
        (" \t x", "' \t x"),
        ("＝1", "'＝1"),
        ("＋1", "'＋1"),
        ("－1", "'－1"),
        ("＠1", "'＠1"),
        ("'=1", "''=1"),
        ("", ""),
        ("SP-2.0", "SP-2.0"),
        ("a=b", "a=b"),
        ("'90s hose", "'90s hose"),
        ("  plain", "  plain"),
    ] {
        assert_eq!(csv_guard(given), guarded, "{given:?}");
    }
}

/// Text made mostly of the signs that matter.
fn nasty_text() -> impl Strategy<Value = String> {
    let signs: Vec<char> = "=+-@\t\r\n\0＝＋－＠' \u{A0}\x1b\u{202E}\"a5,;".chars().collect();
    let mark = prop_oneof![4 => prop::sample::select(signs), 1 => any::<char>()];
    prop::collection::vec(mark, 0..8).prop_map(|marks| marks.into_iter().collect())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(100))]

    /// In 100,000 cells none starts with a trigger, and taking one quote off a guarded cell gives the text back.
    #[test]
    fn no_guarded_cell_runs_and_each_can_be_read_back(texts in prop::collection::vec(nasty_text(), 1_000)) {
        for text in texts {
            let guarded = csv_guard(&text);
            let first = guarded.trim_start_matches([' ', '\u{A0}']).chars().next();
            prop_assert!(!first.is_some_and(|mark| "=+-@\t\r\0＝＋－＠".contains(mark)), "{:?}", guarded);
            // A reader takes one quote off exactly where the guard would have put one on what is left.
            let inner = guarded.strip_prefix('\'').filter(|inner| csv_guard(inner) == guarded);
            prop_assert_eq!(inner.unwrap_or(&guarded), &text);
        }
    }

    #[test]
    fn escaping_twice_does_no_more_than_once(texts in prop::collection::vec(nasty_text(), 100)) {
        for text in texts {
            let once = escape(&text);
            assert_harmless(&once);
            prop_assert_eq!(escape(&once), once.clone());
        }
    }
}
