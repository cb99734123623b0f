//! Whole papers: the answer on the first line, and what a trial, a training day and a narrow terminal change.

use super::{HOSTILE, alert, assert_harmless, day, qty, terminal, without_color};
use bincard::print::cell::Cell;
use bincard::print::look::Look;
use bincard::print::paper::{Format, Heading, Paper, aside, render};
use bincard::print::table::Table;

fn shorts() -> Paper {
    let heading = Heading {
        store: "North hangar".into(),
        day: Some(day("2026-11-25")),
        training: false,
        trial: false,
    };
    let mut paper = Paper::new("pick_list", "blue is short on 1 line of 2: sealant", heading);
    paper.document = Some("PCK-000045".to_owned());
    let heads = [
        ("line", "line"),
        ("bin", "bin"),
        ("part", "part"),
        ("wanted", "wanted"),
        ("state", "state"),
    ];
    let mut table = Table::new("blue, list 1", &heads);
    table.row(vec![
        Cell::Count(7),
        Cell::text("B2-04"),
        Cell::text("spacer 2.0"),
        qty("4", "each"),
        alert("OK"),
    ]);
    table.row(vec![
        Cell::Count(12),
        Cell::text("C1-01"),
        Cell::text("sealant"),
        qty("2.5", "ml"),
        alert("SHORT"),
    ]);
    paper.tables.push(table);
    paper.tables.push(Table::new("freed", &[("job", "job")]));
    paper.notes.push("first to expire goes first".to_owned());
    paper.cautions.push("the approved manual rules".to_owned());
    paper.cautions.push("never stack spacers".to_owned());
    paper.next.push("bincard pick blue --as-listed".to_owned());
    paper
}

#[test]
fn a_whole_paper_reads_from_the_answer_down() {
    let expected = "\
blue is short on 1 line of 2: sealant
day 2026-11-25 · store North hangar · PCK-000045

blue, list 1
line  bin    part        wanted  state
----  -----  ----------  ------  -----
   7  B2-04  spacer 2.0  4 each  OK
  12  C1-01  sealant     2.5 ml  SHORT

freed: none

first to expire goes first

caution: the approved manual rules
caution: never stack spacers

next: bincard pick blue --as-listed
";
    assert_eq!(render(&shorts(), Format::Table, &Look::PIPE), expected);
}

#[test]
fn a_trial_says_so_first_and_bears_no_number() {
    let mut paper = shorts();
    paper.heading.trial = true;
    let text = render(&paper, Format::Table, &Look::PIPE);
    let head: Vec<&str> = text.lines().take(3).collect();
    assert_eq!(
        head,
        [
            "TRIAL, NOTHING POSTED",
            "blue is short on 1 line of 2: sealant",
            "day 2026-11-25 · store North hangar"
        ]
    );
    for format in [Format::Table, Format::Plain, Format::Csv, Format::Json] {
        assert!(
            !render(&paper, format, &Look::PIPE).contains("PCK-000045"),
            "{format:?}"
        );
    }
}

#[test]
fn a_training_day_is_marked_and_a_paper_without_a_store_has_no_heading() {
    let mut paper = shorts();
    paper.heading.training = true;
    let text = render(&paper, Format::Table, &Look::PIPE);
    assert_eq!(
        text.lines().nth(1),
        Some("training day 2026-11-25 · store North hangar · PCK-000045")
    );
    let sum = Paper::new("sums", "7.43 to 1", Heading::default());
    assert_eq!(render(&sum, Format::Table, &Look::PIPE), "7.43 to 1\n");
}

#[test]
fn plain_and_csv_hold_the_first_table_alone() {
    let plain = "7\tB2-04\tspacer 2.0\t4\teach\tOK\n12\tC1-01\tsealant\t2.5\tml\tSHORT\n";
    assert_eq!(render(&shorts(), Format::Plain, &terminal(10)), plain);
    let csv = "line,bin,part,wanted,wanted_unit,state\n7,B2-04,spacer 2.0,4,each,OK\n12,C1-01,sealant,2.5,ml,SHORT\n";
    assert_eq!(render(&shorts(), Format::Csv, &terminal(10)), csv);
}

#[test]
fn without_a_table_plain_and_csv_hold_the_answer() {
    let paper = Paper::new("note", "=noted, thanks", Heading::default());
    assert_eq!(render(&paper, Format::Plain, &Look::PIPE), "=noted, thanks\n");
    assert_eq!(
        render(&paper, Format::Csv, &Look::PIPE),
        "answer\n\"'=noted, thanks\"\n"
    );
}

#[test]
fn trial_and_cautions_go_aside_where_the_form_leaves_them_out() {
    let mut paper = shorts();
    paper.heading.trial = true;
    let expected =
        "TRIAL, NOTHING POSTED\ncaution: the approved manual rules\ncaution: never stack spacers\n";
    for format in [Format::Plain, Format::Csv] {
        assert_eq!(aside(&paper, format, &Look::PIPE), expected);
    }
    for format in [Format::Table, Format::Json] {
        assert_eq!(aside(&paper, format, &Look::PIPE), "");
    }
}

#[test]
fn long_sentences_break_between_words_on_a_terminal_and_never_in_a_pipe() {
    let mut paper = Paper::new("sums", "7.43 to 1", Heading::default());
    paper
        .cautions
        .push("check stud length, stretch and engagement".to_owned());
    paper
        .notes
        .push("lot L000123456789012345678901234567890 stays whole".to_owned());
    paper.next.push("a command to copy is never broken".to_owned());
    paper
        .next
        .push("bincard pick blue --by TW   prints it".to_owned());
    let expected = "\
7.43 to 1

lot
L000123456789012345678901234567890
stays whole

caution: check stud length,
         stretch and
         engagement

next: a command to copy is never broken
next: bincard pick blue --by TW
      prints it
";
    assert_eq!(render(&paper, Format::Table, &terminal(27)), expected);
    assert_eq!(render(&paper, Format::Table, &Look::PIPE).lines().count(), 8);
}

#[test]
fn no_broken_line_passes_the_width() {
    let mut paper = Paper::new("sums", "7.43 to 1", Heading::default());
    paper
        .cautions
        .push("a bc def ghij klmno a bc def ghij klmno a bc def ghij klmno".to_owned());
    paper
        .notes
        .push("ab cde f ab cde f ab cde f ab cde f ab cde f ab cde f".to_owned());
    for width in 15..80 {
        let text = render(&paper, Format::Table, &terminal(width));
        assert!(text.lines().all(|line| line.len() <= width), "{width}:\n{text}");
        let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            words.ends_with(&format!("{} caution: {}", paper.notes[0], paper.cautions[0])),
            "{text}"
        );
    }
}

#[test]
fn colour_adds_only_marks_and_only_for_eyes() {
    let color = Look {
        color: true,
        ..terminal(80)
    };
    let colored = render(&shorts(), Format::Table, &color);
    assert!(colored.starts_with("\x1b[1mblue is short"), "{colored}");
    assert_eq!(
        without_color(&colored),
        render(&shorts(), Format::Table, &terminal(80))
    );
    for format in [Format::Plain, Format::Csv, Format::Json] {
        assert!(!render(&shorts(), format, &color).contains('\x1b'), "{format:?}");
    }
}

#[test]
fn a_seven_bit_terminal_gets_seven_bits() {
    let text = render(
        &shorts(),
        Format::Table,
        &Look {
            ascii: true,
            ..terminal(80)
        },
    );
    assert!(text.is_ascii(), "{text}");
    assert_eq!(
        text.lines().nth(1),
        Some("day 2026-11-25 - store North hangar - PCK-000045")
    );
}

#[test]
fn hostile_words_anywhere_on_the_paper_are_harmless_in_every_form() {
    for name in HOSTILE {
        let word = || (*name).to_owned();
        let mut paper = Paper::new(
            "stock",
            word(),
            Heading {
                store: word(),
                ..Heading::default()
            },
        );
        paper.document = Some(word());
        paper.notes.push(word());
        paper.cautions.push(word());
        paper.next.push(word());
        let mut table = Table::new(word(), &[("name", "name")]);
        table.row(vec![Cell::text(*name)]);
        for tables in [vec![], vec![table.clone(), table]] {
            paper.tables = tables;
            for format in [Format::Table, Format::Plain, Format::Csv, Format::Json] {
                for look in [Look::PIPE, terminal(20)] {
                    assert_harmless(&render(&paper, format, &look));
                    assert_harmless(&aside(&paper, format, &look));
                }
            }
        }
    }
}
