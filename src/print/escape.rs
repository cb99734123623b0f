//! Makes text from outside safe to print: nothing in a name may steer a terminal, hide, or run in a sheet.

use unicode_width::UnicodeWidthStr;

/// Shows what a terminal would obey or hide: controls as `\x1b`, invisible and direction marks as `<U+202E>`.
///
/// Clean text, the backslash included, comes back unchanged, so escaping twice does no more than once.
#[must_use]
pub fn escape(text: &str) -> String {
    let mut shown = String::with_capacity(text.len());
    for mark in text.chars() {
        if mark.is_control() {
            shown.push_str(&format!("\\x{:02x}", u32::from(mark)));
        } else if is_hidden(mark) {
            shown.push_str(&format!("<U+{:04X}>", u32::from(mark)));
        } else {
            shown.push(mark);
        }
    }
    shown
}

/// Whether a mark changes a text without being seen in it, or turns its direction.
#[must_use]
pub fn is_hidden(mark: char) -> bool {
    matches!(mark,
        '\u{00AD}' | '\u{034F}' | '\u{061C}' | '\u{180B}'..='\u{180F}'     // soft hyphen, joiners, Arabic mark
        | '\u{115F}' | '\u{1160}' | '\u{3164}' | '\u{FFA0}'                 // letters without a shape
        | '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{202E}'                 // zero width, line ends, direction
        | '\u{2060}'..='\u{206F}' | '\u{FEFF}' | '\u{FFF9}'..='\u{FFFB}'    // isolates, joiners, byte order mark
        | '\u{FE00}'..='\u{FE0F}' | '\u{E0000}'..='\u{E0FFF}') // variation selectors, tags
}

/// Cells the text takes on a terminal, once escaped.
#[must_use]
pub fn cells(text: &str) -> usize {
    text.width()
}

/// Puts `'` before a text that a spreadsheet might run as a formula, blanks before it or not.
///
/// A text that already has quotes before such a sign gets one more, so that taking one off gives the text back.
#[must_use]
pub fn csv_guard(text: &str) -> String {
    let unquoted = text.trim_start_matches('\'');
    let bare = unquoted.trim_start_matches(|mark: char| mark.is_whitespace() && !is_trigger(mark));
    if bare.starts_with(is_trigger) {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

/// The signs that start a formula in some spreadsheet, their full-width twins included.
fn is_trigger(mark: char) -> bool {
    matches!(
        mark,
        '=' | '+' | '-' | '@' | '\t' | '\r' | '\n' | '\0' | '＝' | '＋' | '－' | '＠'
    )
}
