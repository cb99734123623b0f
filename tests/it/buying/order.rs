//! `order`: raised at the supplier's prices, its six quantities kept apart, closed short of what will not come.

use crate::desk::{Counter, run_typing};

fn line(counter: &Counter, order: &str, n: usize) -> serde_json::Value {
    let json = counter
        .run(&["order", "show", order, "--format", "json"])
        .good()
        .json();
    json["rows"][n - 1].clone()
}

fn qty(line: &serde_json::Value, column: &str) -> String {
    line[column]["qty"].as_str().unwrap_or("-").to_owned()
}

/// Nasty case N5: "Supplier ships 17 of 20, note says 20, 2 scratched: 15 accepted, 2 quarantine, 5 open, claim printed."
#[test]
fn seventeen_of_twenty_of_which_two_are_scratched() {
    let counter = Counter::unasked();
    let six = |wanted: [&str; 6]| {
        let line = line(&counter, "ORD-101", 2);
        let columns = ["ordered", "on_note", "counted", "accepted", "rejected", "open"];
        assert_eq!(columns.map(|column| qty(&line, column)), wanted);
    };
    six(["20", "-", "0", "0", "0", "20"]);
    counter
        .run(&["goods-in", "ORD-101", "2=17", "--note", "2=20", "--by", "TW"])
        .good();
    // Seventeen wait to be inspected: three are owed.
    six(["20", "20", "17", "0", "0", "3"]);
    let grn = counter.figure("SELECT MAX(id) FROM document");
    counter
        .run(&[
            "inspect",
            &format!("GRN-{grn:06}"),
            "1=15",
            "--cage",
            "2",
            "-w",
            "scratched",
            "--by",
            "OQ",
        ])
        .good();
    six(["20", "20", "17", "15", "2", "5"]);
    let told = counter.types("order show ORD-101").good().out;
    assert!(
        told.contains("line 2 ST-160: SHORT by 3 each: the note says 20, 17 counted; REJECTED 2 each"),
        "{told}"
    );
    // The three come after all, and two for those in the cage: nothing is owed any more.
    counter.types("goods-in ORD-101 2=3 --note 2=3 --by TW").good();
    six(["20", "23", "20", "15", "2", "2"]);
    counter.types("check").good();
}

/// 8 x 18.40 + 32 x 6.85 = 147.20 + 219.20; 2 x 150.00 EUR x 0.87 = 261.00; typed prices beat the list.
#[test]
fn an_order_stands_at_the_prices_of_its_supplier() {
    let counter = Counter::sample();
    for (typed, wanted) in [
        (
            "order raise QUO SP-20=8 ST-160=32 --promised 2026-12-09 --by DA",
            "ORD-104, Quoyle and Dunnage Stockholders: 2 lines still to come; 366.40 GBP",
        ),
        (
            "order raise vantr ga-10=2 --by DA",
            "ORD-105, Vantry Instruments: 1 line still to come; 261.00 GBP",
        ),
        (
            "order raise VANTR GA-10=2 --price GA-10=100 --number V-7 --by DA",
            "V-7, Vantry Instruments: 1 line still to come; 200.00 GBP",
        ),
        // The next is one more than the highest of our own form.
        (
            "order raise QUO SP-20=1 --by DA",
            "ORD-106, Quoyle and Dunnage Stockholders: 1 line still to come; 18.40 GBP",
        ),
    ] {
        assert_eq!(counter.types(typed).good().answer(), wanted, "{typed}");
    }
    assert_eq!(counter.figure("SELECT COUNT(*) FROM supplier_order"), 7);
    // On trial nothing stays.
    counter.types("order raise QUO SP-20=1 --by DA --dry-run").good();
    assert_eq!(counter.figure("SELECT COUNT(*) FROM supplier_order"), 7);
    counter.types("check").good();
}

#[test]
fn what_cannot_be_ordered() {
    let counter = Counter::sample();
    for (typed, exit, says) in [
        ("order raise QUO SP-20=8 --by TW", 77, "for the manager"),
        ("order raise NOBODY SP-20=8 --by DA", 1, "no supplier NOBODY"),
        ("order raise A-1 SP-20=8 --by DA", 1, "no supplier A-1"),
        ("order raise QUO ZZ-1=8 --by DA", 1, "no part ZZ-1"),
        (
            "order raise QUO SP-20 --by DA",
            2,
            "SP-20 names no part and how much",
        ),
        ("order raise QUO SP-20=0 --by DA", 1, "nothing"),
        ("order raise QUO SP-20=-4 --by DA", 1, "nothing"),
        ("order raise QUO SP-20=1.5 --by DA", 1, "steps of 1"),
        (
            "order raise VANTR SP-20=8 --by DA",
            2,
            "VANTR has no price for SP-20",
        ),
        ("order raise QUO SP-20=8 --price SP-20=x --by DA", 2, "SP-20=x"),
        (
            "order raise QUO SP-20=8 --promised 2026-11-24 --by DA",
            1,
            "before it was ordered",
        ),
        ("order raise QUO SP-20=8 --promised soon --by DA", 2, "soon"),
        ("order raise QUO SP-20=8 --number ORD-101 --by DA", 1, "ORD-101"),
        ("order show ORD-999", 1, "no order ORD-999; near it: ORD-101"),
        ("order close ORD-999 --by DA -w gone", 1, "no order ORD-999"),
        ("order close ORD-101 --by DA", 2, "why will ORD-101 not come?"),
        (
            "order close ORD-101 3 --by DA -w gone",
            1,
            "no line of this order 3",
        ),
        ("order close ORD-101 --by TW -w gone", 77, "for the manager"),
    ] {
        counter.refuses(typed, exit, says);
    }
    // The day itself is early enough.
    counter
        .types("order raise QUO SP-20=8 --promised 2026-11-25 --by DA")
        .good();
}

#[test]
fn closed_short_line_by_line() {
    let counter = Counter::unasked();
    counter.types("goods-in ORD-101 2=17 --by TW").good();
    let one = counter.types("order close ORD-101 2 --by DA -w gone").good();
    assert_eq!(one.answer(), "ORD-101: 1 line closed short");
    // Three of twenty will not come; the seventeen may still be accepted.
    assert_eq!(
        counter.figure("SELECT closed FROM order_line WHERE supplier_order = 1 AND n = 2"),
        3_000_000
    );
    assert_eq!(qty(&line(&counter, "ORD-101", 2), "open"), "0");
    counter.refuses("order close ORD-101 2 --by DA -w gone", 1, "line 2 owes nothing");
    counter.types("inspect L0001835 1=17 --by OQ").good();
    // The last line closes the order.
    let last = counter.types("order close ORD-101 --by DA -w gone").good();
    assert_eq!(last.answer(), "ORD-101 closed, 1 line short");
    counter.refuses("order close ORD-101 --by DA -w gone", 1, "closed already");
    counter.refuses("goods-in ORD-101 1=2 --by TW", 1, "the order is closed");
    // Taken back, it is open again.
    let closing = counter.figure("SELECT MAX(id) FROM document");
    counter
        .run(&["undo", &format!("ODR-{closing:06}"), "--by", "DA"])
        .good();
    assert_eq!(qty(&line(&counter, "ORD-101", 1), "open"), "2");
    counter.types("goods-in ORD-101 1=2 --by TW").good();
    counter.types("check").good();
}

#[test]
fn what_is_late_and_what_is_done() {
    let counter = Counter::unasked();
    for (on, wanted) in [
        ("2026-11-30", "3 orders"),
        ("2026-12-01", "3 orders, 1 late"),
        ("2026-12-04", "3 orders, 1 late"),
        ("2026-12-05", "3 orders, 2 late"),
    ] {
        assert_eq!(
            counter.run(&["order", "list", "--on", on]).good().answer(),
            wanted,
            "{on}"
        );
    }
    let late = counter
        .run(&["order", "show", "ORD-103", "--on", "2026-12-01"])
        .good();
    assert_eq!(
        late.answer(),
        "ORD-103, Quoyle and Dunnage Stockholders: 1 line still to come, 1 late; 28.80 GBP"
    );
    // Four jets come and wait: not done before they were inspected.
    counter.types("goods-in ORD-103 1=4 --by TW").good();
    assert_eq!(counter.types("order list").good().answer(), "3 orders");
    let lot = counter.figure("SELECT MAX(id) FROM lot");
    assert_eq!(lot, 183);
    counter.types("inspect L0001835 1=4 --by OQ").good();
    assert_eq!(counter.types("order list").good().answer(), "2 orders");
    let all = counter.types("order list --all").good();
    assert!(all.out.contains("done"), "{}", all.out);
}

/// Who counts blind is told what to count and not what to find.
#[test]
fn a_blind_count_shows_no_quantity() {
    let counter = Counter::sample();
    let told = counter.types("goods-in ORD-101 --blind").good();
    assert_eq!(
        told.answer(),
        "ORD-101, Quoyle and Dunnage Stockholders: 2 lines to be counted"
    );
    for hidden in ["20", "304.00", "2 each", "ordered"] {
        let table = told.out.split("count, then").nth(1).unwrap();
        assert!(!table.contains(hidden), "{hidden} in {table}");
    }
}

/// Types at the questions of `goods-in --guided`.
fn guided(counter: &Counter, order: &str, more: &[&str], typed: &str) -> crate::desk::Ran {
    let store = counter.store().display().to_string();
    let words = ["--store", &store, "goods-in", order, "--guided", "--by", "TW"];
    run_typing(&[&words, more].concat(), &|_| None, Some(typed))
}

#[test]
fn line_by_line_at_the_keyboard() {
    let counter = Counter::sample();
    // None of line 1; of line 2 first a slip, then two lots, and what the note says.
    let ran = guided(&counter, "ORD-101", &[], "\nmany\n10:S1 7:S2\n20\n").good();
    assert!(
        ran.err
            .contains("line 2 ST-160, stud, barrel, long, 160 mm, 20 each awaited"),
        "{}",
        ran.err
    );
    assert!(ran.err.contains("many"), "{}", ran.err);
    assert_eq!(ran.answer(), "2 lots in IN; 3 each still to come on ORD-101");
    assert!(ran.out.contains("SHORT by 3 each"), "{}", ran.out);
    assert_eq!(
        counter.figure("SELECT COUNT(*) FROM lot WHERE batch IN ('S1', 'S2')"),
        2
    );
    // The sealant dies, so its last day is asked for; blind, what is awaited is not told.
    let ran = guided(&counter, "ORD-102", &["--blind"], "100\n\n2027-05-31\n").good();
    assert!(!ran.err.contains("awaited"), "{}", ran.err);
    assert_eq!(
        counter.figure("SELECT COUNT(*) FROM lot WHERE expiry = '2027-05-31' AND order_line IS NOT NULL"),
        1
    );
    // Nothing on any line books nothing in; nobody at the keyboard is told how to type it.
    let none = guided(&counter, "ORD-103", &[], "\n");
    assert_eq!(
        (none.exit, none.err.contains("nothing came on any line")),
        (2, true)
    );
    counter.refuses(
        "goods-in ORD-103 --guided --by TW",
        2,
        "nobody is at the keyboard",
    );
    counter.refuses("goods-in ORD-999 --guided --by TW", 1, "no order ORD-999");
}

/// What will not do is said at once and asked again; none of it ends the round at the keyboard.
#[test]
fn each_answer_at_the_keyboard_is_judged_at_once() {
    let counter = Counter::sample();
    // Counted, the note, the last day, the day it was made (once after it came, once not known), and round again.
    let answers = "0\n50:B77\nB77\n50\nsoon\n\n2026-12-01\n\n\n2026-11-02\n";
    let ran = guided(&counter, "ORD-102", &[], answers).good();
    for told in [
        "0: nothing came of it",
        "B77: ",
        "'soon' is no day known on labels",
        "it cannot have been made after it came",
    ] {
        assert!(ran.err.contains(told), "{told}: {}", ran.err);
    }
    assert_eq!(
        ran.err.matches("the delivery note says").count(),
        2,
        "{}",
        ran.err
    );
    assert_eq!(
        ran.err.matches("last day printed on it").count(),
        3,
        "{}",
        ran.err
    );
    let lots = "SELECT COUNT(*) FROM lot WHERE batch = 'B77' AND made = '2026-11-02'";
    assert_eq!(counter.figure(lots), 1);
    // Nobody knows its days: the line is left out; and where nothing more is typed, the round is over.
    for (answers, says) in [
        ("50\n\n\nskip\n", "nothing came on any line"),
        ("50\n\n\n\n\n", "nobody is at the keyboard"),
    ] {
        let ran = guided(&counter, "ORD-102", &[], answers);
        assert_eq!((ran.exit, ran.err.contains(says)), (2, true), "{}", ran.err);
    }
}

/// Four jets are awaited: five are counted again, unless five did come.
#[test]
fn more_than_awaited_is_counted_again_at_the_keyboard() {
    for (answers, arrived) in [
        ("5\n\n4\n\n", 4),
        ("5\nno\n3\n\n", 3),
        ("5\nyes\n\n", 5),
        ("4\n\n", 4),
    ] {
        let counter = Counter::sample();
        guided(&counter, "ORD-103", &[], answers).good();
        let sql = "SELECT arrived FROM order_line ORDER BY id DESC LIMIT 1";
        assert_eq!(counter.figure(sql), arrived * 1_000_000, "{answers:?}");
    }
}
