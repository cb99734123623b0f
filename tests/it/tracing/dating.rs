//! The day that a paper may bear, by the training day 2026-11-25 and the books that begin 2026-11-02.

use crate::desk::Counter;

#[test]
fn a_paper_bears_no_day_to_come_and_none_before_its_goods() {
    let counter = Counter::sample();
    counter.refuses(
        "note x --by TW --on 2026-11-26",
        1,
        "2026-11-26 has not come: today is 2026-11-25",
    );
    counter.types("note x --by TW --on 2026-11-25").good();
    // Row 13 was brought forward with the cards on 2026-11-02.
    let moved = "move L0000134 1 --from A-2 --to A-1 --by TW --on";
    counter.refuses(
        &format!("{moved} 2026-11-01"),
        1,
        "lot L0000134 was not there on 2026-11-01: it came 2026-11-02",
    );
    counter.types(&format!("{moved} 2026-11-02")).good();
    // Papers of the last five years may still be typed; 2021-11-02 is 1826 days before the first.
    let came = "goods-in NU-10 5 --supplier QUO --cost 5 --by TW --on";
    counter.refuses(
        &format!("{came} 2021-11-01"),
        1,
        "2021-11-01 is more than five years before these books, which begin 2026-11-02",
    );
    counter.types(&format!("{came} 2021-11-02")).good();
    counter.types("check").good();
}

#[test]
fn a_reader_may_look_ahead() {
    let counter = Counter::sample();
    let ran = counter.types("today --on 2026-12-01").good();
    assert!(ran.answer().starts_with("1 due in"), "{}", ran.answer());
}
