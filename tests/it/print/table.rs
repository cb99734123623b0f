//! Tables for eyes: markers in line, widths in cells, nothing cut.

use super::{HOSTILE, alert, assert_harmless, day, number, pounds, qty, terminal, without_color};
use bincard::print::cell::Cell;
use bincard::print::look::Look;
use bincard::print::table::Table;

/// One column of cells, as printed into a pipe, without title and heads.
fn column(cells: Vec<Cell>) -> Vec<String> {
    let mut table = Table::new("", &[("x", "")]);
    for cell in cells {
        table.row(vec![cell]);
    }
    table.lines(&Look::PIPE).split_off(2)
}

#[test]
fn one_unit_has_one_number_of_decimals_with_markers_in_line() {
    let cells = vec![
        qty("0.5", "ml"),
        qty("12", "ml"),
        qty("1200", "ml"),
        qty("-3", "ml"),
        qty("2.125", "ml"),
    ];
    assert_eq!(
        column(cells),
        [
            "   0.500 ml",
            "  12.000 ml",
            "1200.000 ml",
            "  -3.000 ml",
            "   2.125 ml"
        ]
    );
}

#[test]
fn pieces_gain_no_decimals_from_the_millilitres_above_them() {
    let cells = vec![
        qty("2.5", "ml"),
        qty("12", "each"),
        Cell::Empty,
        qty("0.75", "ml"),
    ];
    assert_eq!(column(cells), [" 2.50 ml", "12 each", "", " 0.75 ml"]);
}

#[test]
fn money_is_rounded_to_its_minor_unit_half_away_from_zero() {
    let cells = vec![pounds("1200.505"), pounds("-0.005"), pounds("3")];
    assert_eq!(column(cells), ["1200.51 GBP", "  -0.01 GBP", "   3.00 GBP"]);
}

#[test]
fn counts_and_measures_line_up_and_words_stand_left() {
    assert_eq!(column(vec![Cell::Count(7), number("2.5")]), ["7", "2.5"]);
    assert_eq!(column(vec![Cell::Count(7), Cell::Count(131)]), ["  7", "131"]);
    assert_eq!(
        column(vec![number("7.4286"), number("10")]),
        [" 7.4286", "10.0000"]
    );
    assert_eq!(
        column(vec![Cell::Day(day("2026-11-25")), Cell::text("open")]),
        ["2026-11-25", "open"]
    );
}

/// A table of most sorts of cell; 72 cells wide whole, 63 without `maker`, 51 without `value` too.
fn shelf() -> Table {
    let heads = [
        ("part", "part"),
        ("lot", "lot"),
        ("free", "free"),
        ("value", "value"),
        ("good_until", "good until"),
        ("state", "state"),
        ("maker", "maker"),
    ];
    let mut table = Table::new("on the shelf", &heads).spare(&["value", "maker"]);
    let until = Cell::Day(day("2027-01-31"));
    table.row(vec![
        Cell::text("sealant, tube"),
        Cell::text("L000123K"),
        qty("2.5", "ml"),
        pounds("4.5"),
        until,
        alert("SHORT"),
        Cell::text("螺栓"),
    ]);
    table.row(vec![
        Cell::text("spacer 2.0"),
        Cell::text("L000124X"),
        qty("12", "each"),
        pounds("120"),
        Cell::Empty,
        alert("OK"),
        Cell::text("étanche"),
    ]);
    table
}

#[test]
fn a_pipe_gets_every_column_whatever_the_width() {
    let narrow_pipe = Look {
        width: 10,
        ..Look::PIPE
    };
    let whole = "\
on the shelf
part           lot          free       value  good until  state  maker
-------------  --------  -------  ----------  ----------  -----  -------
sealant, tube  L000123K   2.5 ml    4.50 GBP  2027-01-31  SHORT  螺栓
spacer 2.0     L000124X  12 each  120.00 GBP              OK     étanche";
    assert_eq!(shelf().lines(&narrow_pipe).join("\n"), whole);
}

#[test]
fn a_terminal_exactly_wide_enough_drops_nothing() {
    let widest = "sealant, tube  L000123K   2.5 ml    4.50 GBP  2027-01-31  SHORT  étanche"
        .chars()
        .count();
    assert_eq!(shelf().lines(&terminal(widest)).len(), 5);
    assert_eq!(
        shelf().lines(&terminal(widest - 1)).last().unwrap(),
        "not shown, the screen is too narrow: maker"
    );
}

#[test]
fn a_narrow_terminal_drops_spare_columns_from_the_right_and_says_so() {
    let lines = shelf().lines(&terminal(51));
    let expected = "\
on the shelf
part           lot          free  good until  state
─────────────  ────────  ───────  ──────────  ─────
sealant, tube  L000123K   2.5 ml  2027-01-31  SHORT
spacer 2.0     L000124X  12 each              OK
not shown, the screen is too narrow: value, maker";
    assert_eq!(lines.join("\n"), expected);
}

#[test]
fn where_not_even_the_kept_columns_fit_each_row_becomes_a_block() {
    let expected = "\
on the shelf
part        sealant, tube
lot         L000123K
free        2.5 ml
value       4.50 GBP
good until  2027-01-31
state       SHORT
maker       螺栓

part        spacer 2.0
lot         L000124X
free        12 each
value       120.00 GBP
state       OK
maker       étanche";
    assert_eq!(shelf().lines(&terminal(40)).join("\n"), expected);
}

#[test]
fn kept_values_stand_whole_at_every_width() {
    for width in [1, 40, 50, 51, 60, 80, 120, 200] {
        let text = shelf().lines(&terminal(width)).join("\n");
        for value in [
            "sealant, tube",
            "L000123K",
            "L000124X",
            "2.5 ml",
            "12 each",
            "2027-01-31",
            "SHORT",
            "OK",
        ] {
            assert!(text.contains(value), "{value} at {width}:\n{text}");
        }
    }
}

#[test]
fn lines_end_without_blanks_and_never_pass_a_known_width() {
    for width in [51, 60, 80, 120] {
        for line in shelf().lines(&terminal(width)) {
            assert_eq!(line.trim_end(), line);
            assert!(bincard::print::escape::cells(&line) <= width, "{width}: {line}");
        }
    }
}

#[test]
fn colour_adds_only_marks() {
    for width in [40, 60, 80] {
        let color = Look {
            color: true,
            ..terminal(width)
        };
        let colored = shelf().lines(&color).join("\n");
        assert!(
            colored.contains("\x1b[1;31mSHORT\x1b[0m") && colored.contains("\x1b[36mOK\x1b[0m"),
            "{colored}"
        );
        assert_eq!(
            without_color(&colored),
            shelf().lines(&terminal(width)).join("\n")
        );
    }
}

#[test]
fn an_empty_table_says_none() {
    assert_eq!(
        Table::new("short lines", &[("part", "part")]).lines(&Look::PIPE),
        ["short lines: none"]
    );
    assert_eq!(Table::new("", &[("part", "part")]).lines(&terminal(80)), ["none"]);
}

#[test]
fn a_seven_bit_terminal_gets_no_sign_of_ours_beyond_its_own() {
    let mut table = Table::new("torque · N·m", &[("part", "part → lot"), ("torque", "torque")]);
    table.row(vec![Cell::text("nut"), qty("5.5", "N·m")]);
    let lines = table.lines(&Look {
        ascii: true,
        ..terminal(80)
    });
    assert_eq!(
        lines,
        [
            "torque - N.m",
            "part -> lot   torque",
            "-----------  -------",
            "nut          5.5 N.m"
        ]
    );
}

#[test]
fn hostile_cells_titles_and_units_are_harmless_and_still_line_up() {
    for name in HOSTILE {
        let mut table = Table::new(*name, &[("name", "name"), ("qty", "qty"), ("end", "end")]);
        table.row(vec![Cell::text(*name), qty("1", name), Cell::text("|")]);
        table.row(vec![alert(name), qty("10", name), Cell::text("|")]);
        for width in [1, 400] {
            let lines = table.lines(&terminal(width));
            lines.iter().for_each(|line| assert_harmless(line));
        }
        let lines = table.lines(&Look::PIPE);
        assert_eq!(lines[3].find('|'), lines[4].find('|'), "{lines:?}");
    }
}
