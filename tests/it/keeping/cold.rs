//! Time out of the cold: every outing adds up, and too much stops the pick.

use super::{import, text, turned_away, types};
use crate::desk::Counter;
use bincard::domain::keeping::cold::{Going, OutOfCold, Warmth, minutes_of, minutes_out};
use bincard::domain::measure::{Day, Qty};

fn line(document: i64, day: &str, at: &str, (from, to): (Warmth, Warmth), qty: i64) -> Going {
    Going {
        document,
        day: Day::parse(day).unwrap(),
        at: at.to_owned(),
        from,
        to,
        qty: Qty::whole(qty),
    }
}

#[test]
fn an_instant_is_read_to_the_minute() {
    // 2000-01-02 begins a day, that is 1440 minutes, after 2000-01-01.
    for (at, minutes) in [
        ("2000-01-01T00:00:00Z", Some(0)),
        ("2000-01-02T01:30:59Z", Some(1530)),
        ("2000-01-01", None),
        ("2000-13-01T00:00:00Z", None),
        ("2000-01-01TT", None),
    ] {
        assert_eq!(minutes_of(at), minutes, "{at}");
    }
}

/// By hand: out from 8:00 to 9:30 and from 13:00 on; at 15:15 that is 1 h 30 min and 2 h 15 min, 225 minutes.
#[test]
fn outings_add_up() {
    use Warmth::{Cold, Outside, Warm};
    let day = "2026-11-25";
    let card = [
        line(1, day, "2026-11-25T07:00:00Z", (Outside, Cold), 4),
        line(2, day, "2026-11-25T08:00:00Z", (Cold, Warm), 1),
        line(3, day, "2026-11-25T08:30:00Z", (Cold, Warm), 3),
        line(4, day, "2026-11-25T09:00:00Z", (Warm, Cold), 2),
        line(5, day, "2026-11-25T09:30:00Z", (Warm, Cold), 2),
        line(6, day, "2026-11-25T13:00:00Z", (Cold, Warm), 4),
    ];
    assert_eq!(minutes_out(&card, "2026-11-25T15:15:00Z"), Some(225));
    assert_eq!(minutes_out(&card[..5], "2026-11-25T15:15:00Z"), Some(90));
    assert_eq!(minutes_out(&card[..1], "2026-11-25T15:15:00Z"), Some(0));
    // What goes onto an engine counts no more: half an hour longer, then it is gone.
    let mut gone = card.to_vec();
    gone.push(line(7, day, "2026-11-25T13:30:00Z", (Warm, Outside), 4));
    assert_eq!(minutes_out(&gone, "2026-11-26T15:15:00Z"), Some(120));
}

/// By hand: taken out "on the 24th" and written on the 25th counts from the 24th's midnight; brought back "on the 24th"
/// counts to its end.
#[test]
fn what_is_written_late_is_taken_at_the_worst() {
    use Warmth::{Cold, Outside, Warm};
    let card = [
        line(1, "2026-11-20", "2026-11-20T07:00:00Z", (Outside, Cold), 4),
        line(2, "2026-11-24", "2026-11-25T08:00:00Z", (Cold, Warm), 4),
        line(3, "2026-11-24", "2026-11-25T08:01:00Z", (Warm, Cold), 4),
    ];
    assert_eq!(minutes_out(&card[..2], "2026-11-25T12:00:00Z"), Some(36 * 60));
    assert_eq!(minutes_out(&card, "2026-11-25T12:00:00Z"), Some(24 * 60));
}

#[test]
fn the_last_minute_itself_is_still_good() {
    let out = |out, limit| OutOfCold { out, limit };
    assert!(!out(2880, 2880).is_over() && out(2881, 2880).is_over());
    assert_eq!(
        out(95, 2880).to_string(),
        "out of the cold 1 h 35 min of 48 h, 46 h 25 min left"
    );
    assert_eq!(
        out(2881, 2880).to_string(),
        "OUT OF THE COLD TOO LONG: 48 h 01 min of 48 h"
    );
}

/// In a training store every document of a day bears noon, so outings are whole days.
#[test]
fn the_card_tells_and_the_pick_refuses_beyond_the_limit() {
    let counter = Counter::unasked();
    let bins = "code,name,kind,parent,walk,limits,one_lot\nF-2,fridge,shelf,,91,2..8 C,no\n";
    import(&counter, "bins.csv", bins, "HP").good();
    let sizes =
        "part,name,value,unit\nOR-18,store_from_c,2,\nOR-18,store_to_c,8,\nOR-18,out_of_cold_hours,48,\n";
    import(&counter, "sizes.csv", sizes, "HP").good();
    // Both lots of it lay on a shelf since the opening: 23 days are too long.
    types(&counter, "reserve amber --by TW");
    let list = counter.figure("SELECT list FROM job WHERE tag = 'amber'");
    let pick = format!("pick amber --list {list} --as-listed --by TW");
    turned_away(
        &counter,
        &pick,
        255,
        1,
        "lot L000045P of OR-18 is OUT OF THE COLD TOO LONG: 552 h of 48 h",
    );
    // A lot that came today and went straight into the fridge has all its hours.
    types(
        &counter,
        "goods-in OR-18 20 --supplier QUO --cost 4 --made 2026-11-01 --by TW",
    )
    .good();
    let lot = text(&counter, "SELECT number FROM lot ORDER BY id DESC LIMIT 1");
    types(
        &counter,
        &format!("inspect {lot} 20 --to F-2 --checked all --by OQ"),
    )
    .good();
    let card = |counter: &Counter| types(counter, &format!("card {lot}")).good().out;
    assert!(
        card(&counter).contains("out of the cold 0 h of 48 h, 48 h left"),
        "{}",
        card(&counter)
    );
    let day = |counter: &Counter, day: &str| {
        types(counter, &format!("settings --training-day {day} --by HP")).good()
    };
    types(&counter, &format!("move {lot} 5 --to A-1 --by TW")).good();
    day(&counter, "2026-11-26");
    types(&counter, &format!("move {lot} 5 --from A-1 --to F-2 --by TW")).good();
    day(&counter, "2026-11-28");
    assert!(
        card(&counter).contains("out of the cold 24 h of 48 h, 24 h left"),
        "{}",
        card(&counter)
    );
    // A move that was taken back never was.
    let moved = types(&counter, &format!("move {lot} 5 --to A-1 --by TW")).good();
    let undo = moved
        .out
        .lines()
        .find_map(|line| line.strip_prefix("next: bincard "))
        .unwrap();
    let undo = undo.split("   ").next().unwrap().to_owned();
    day(&counter, "2026-11-30");
    types(&counter, &undo).good();
    let told = card(&counter);
    assert!(told.contains("out of the cold 24 h of 48 h"), "{told}");
    // Out for good: 24 h and 48 h more.
    types(&counter, &format!("move {lot} 5 --to A-1 --by TW")).good();
    day(&counter, "2026-12-02");
    let told = types(&counter, "expiry --how --within 0").out;
    assert!(told.contains("OUT OF THE COLD TOO LONG: 72 h of 48 h"), "{told}");
    // What is opened goes on from what its lot had.
    types(&counter, &format!("open {lot} 1 --from A-1 --by TW")).good();
    let pack = text(&counter, "SELECT number FROM lot ORDER BY id DESC LIMIT 1");
    let told = types(&counter, &format!("card {pack}")).good().out;
    assert!(told.contains("OUT OF THE COLD TOO LONG: 72 h of 48 h"), "{told}");
    types(&counter, "check").good();
}
