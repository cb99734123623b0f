//! `hold`: a lost bin, a recalled batch, a fridge that was off; lifted by the inspector alone.

use crate::desk::Counter;

fn json(counter: &Counter, line: &str) -> serde_json::Value {
    counter.types(&format!("{line} --format json")).good().json()
}

/// The lots and places that an answer names, each once.
fn named(answer: &serde_json::Value) -> Vec<String> {
    let rows = answer["rows"].as_array().unwrap().iter();
    let mut all: Vec<String> = rows.map(|row| row["what"].as_str().unwrap().to_owned()).collect();
    all.dedup();
    all
}

/// Nasty case N13: "Bin B-04 cannot be found: not available now; reservations short now; write off later, two lots."
#[test]
fn a_bin_that_cannot_be_found() {
    let counter = Counter::sample();
    counter.types("reserve blue --by TW").good();
    assert_eq!(counter.types("shorts blue").exit, 0);
    let held = counter.types("hold A-1 -w cannot be found --by TW").good();
    assert_eq!(held.answer(), "A-1 on hold: cannot be found");
    // Blue had four spacers and eight joints there; told as they become short.
    for wanted in [
        "SHORT J-0001 (blue): 4 each of SP-20 no longer reserved (job line 22)",
        "SHORT J-0001 (blue): 8 each of BJ-100 no longer reserved (job line 23)",
    ] {
        assert!(held.out.contains(wanted), "{}", held.out);
    }
    assert_eq!(counter.types("shorts blue").exit, 1);
    let stock = counter.types("stock BJ-100").good();
    assert!(
        stock.answer().contains("0 free") || stock.out.contains("on hold"),
        "{}",
        stock.out
    );
    counter.refuses("move L0000070 4 --to B-1 --by TW", 1, "on hold: cannot be found");
    // Written off, two lots of joints: what is gone is counted while the hold lies.
    let before = counter.figure("SELECT COUNT(*) FROM entry");
    let list = counter.figure("SELECT MAX(id) FROM document");
    counter
        .types(&format!(
            "count A-1 --list {list} 1=0 2=0 3=8 4=6 --by TW -w the bin is lost"
        ))
        .good();
    assert_eq!(counter.figure("SELECT COUNT(*) FROM entry") - before, 2);
    counter.types("check").good();
    // Found behind the rack: the inspector lifts it, the clerk does not.
    counter.refuses("hold A-1 --lift -w found --by TW", 77, "for the inspector");
    counter.refuses("hold A-1 --lift --by OQ", 2, "why is it lifted?");
    let lifted = counter.types("hold A-1 --lift -w found --by OQ").good();
    assert_eq!(lifted.answer(), "A-1 hold lifted: cannot be found");
    counter.types("move L0000070 4 --to B-1 --by TW").good();
    counter.types("check").good();
}

/// Nasty case N27: "Recall of maker's batch that we received as three lots: all three found"; and what was made of them.
#[test]
fn a_recalled_batch_that_came_as_three_lots() {
    let counter = Counter::unasked();
    for n in 1..=3 {
        counter
            .types(&format!("goods-in ORD-103 1=1:R77 --by TW --op-id r{n}"))
            .good();
    }
    let answer = json(&counter, "hold --recalled R77 -w recalled --by OQ");
    assert_eq!(answer["answer"], "3 lots on hold: recalled");
    assert_eq!(named(&answer).len(), 3);
    // None of the three is accepted any more.
    let lots = named(&answer);
    for lot in &lots {
        let ran = counter.types(&format!("inspect {lot} 1=1 --by OQ"));
        assert_eq!(ran.exit, 1, "{lot}: {ran:?}");
        assert!(ran.err.contains("recalled"), "{}", ran.err);
    }
    counter.refuses("hold --recalled NONE -w recalled --by OQ", 1, "no batch NONE");
    counter.refuses(
        "hold --recalled R77 -w recalled --by OQ",
        1,
        "on hold for this already",
    );
    // Another cause nests; one document lifts what it put on, and only that.
    counter
        .types("hold --recalled R77 -w wrong thread --by TW")
        .good();
    counter.refuses(
        &format!("hold {} --lift -w looked at --by OQ", lots[0]),
        1,
        "fits more than one hold",
    );
    counter
        .types("hold --recalled R77 --lift -w all looked at --by OQ")
        .good();
    assert_eq!(counter.types("hold").good().answer(), "nothing is on hold");
    counter.types(&format!("inspect {} 1=1 --by OQ", lots[0])).good();
    counter.types("check").good();
}

/// What was made of a recalled lot is recalled with it: a pack opened out of it.
#[test]
fn an_opened_pack_is_recalled_with_its_batch() {
    let counter = Counter::sample();
    let batch = "SELECT COUNT(*) FROM lot WHERE child = 1 AND batch IS NULL";
    let children = counter.figure(batch);
    let lot = {
        let raw = rusqlite::Connection::open(counter.store()).unwrap();
        let sql = "SELECT l.number, l.batch FROM lot l JOIN part p ON p.id = l.part JOIN balance b ON b.lot = l.id \
                   WHERE p.number = 'SE-50' AND b.qty > 0 AND b.place / 1000000 = 2 AND l.batch IS NOT NULL \
                   AND l.expiry >= '2026-12-02' ORDER BY l.id LIMIT 1";
        raw.query_row(sql, [], |row| {
            Ok((row.get::<_, String>(0)?, row.get::<_, String>(1)?))
        })
        .unwrap()
    };
    counter.types(&format!("open {} --by TW", lot.0)).good();
    let answer = json(
        &counter,
        &format!("hold --recalled {} -w recalled --by OQ", lot.1),
    );
    assert!(named(&answer).contains(&lot.0), "{answer}");
    let made = counter.figure("SELECT COUNT(*) FROM hold h JOIN lot l ON l.id = h.lot WHERE l.child = 1");
    assert_eq!(made, 1, "{children} before: {answer}");
    counter.types("check").good();
}

/// Nasty case N21: "Fridge was off over the weekend: excursion lists every lot in it; inspector decides."
#[test]
fn everything_that_lay_there_on_those_days() {
    let counter = Counter::sample();
    // On the 20th one goes out, on the 21st one comes in, on the 23rd one comes, on the 24th another.
    for (on, line) in [
        ("2026-11-20", "move L0001006 --to A-3 --by TW"),
        ("2026-11-21", "move L0000070 1 --to D-1 --by TW"),
        ("2026-11-23", "move L000008Z 1 --to D-1 --by TW"),
        ("2026-11-24", "move L000010A 1 --to D-1 --by TW"),
    ] {
        counter.types(&format!("{line} --on {on}")).good();
    }
    // What came in on the 21st is gone again on the 22nd: it lay there all the same.
    counter
        .types("move L0000070 1 --from D-1 --to A-1 --by TW --on 2026-11-22")
        .good();
    let answer = json(
        &counter,
        "hold D-1 --lay-since 2026-11-21 --lay-until 2026-11-23 -w it was off --by TW",
    );
    let lots = named(&answer);
    for (lot, lay) in [
        ("L0001006", false),
        ("L0000070", true),
        ("L000008Z", true),
        ("L000010A", false),
        ("L0001014", true),
    ] {
        assert_eq!(lots.contains(&lot.to_owned()), lay, "{lot} in {lots:?}");
    }
    // The lots are held wherever they are; the place itself is not.
    counter.refuses("move L0000070 1 --from A-1 --to B-1 --by TW", 1, "it was off");
    counter
        .types("move L000010A 1 --from D-1 --to A-1 --by TW")
        .good();
    counter.types("check").good();
    for (line, exit, says) in [
        (
            "hold D-1 --lay-since 2026-11-23 --lay-until 2026-11-22 -w off --by TW",
            2,
            "comes before",
        ),
        ("hold D-1 --lay-since soon -w off --by TW", 2, "--lay-since"),
        (
            "hold L0000070 --lay-since 2026-11-21 -w off --by TW",
            1,
            "no bin L0000070",
        ),
        (
            "hold D-1 --lay-since 2026-01-01 --lay-until 2026-01-02 -w off --by TW",
            1,
            "nothing lay there",
        ),
    ] {
        counter.refuses(line, exit, says);
    }
}

/// A rack is lost with the bins in it.
#[test]
fn a_place_is_held_with_what_is_in_it() {
    let counter = Counter::sample();
    let rack = {
        let raw = rusqlite::Connection::open(counter.store()).unwrap();
        let sql = "SELECT q.code, COUNT(*) FROM place p JOIN place q ON q.id = p.parent GROUP BY q.id ORDER BY 2 DESC";
        raw.query_row(sql, [], |row| {
            Ok((row.get::<_, String>(0)?, row.get::<_, i64>(1)?))
        })
        .unwrap()
    };
    counter
        .types(&format!("hold {} -w cannot be found --by TW", rack.0))
        .good();
    assert_eq!(
        counter.figure("SELECT COUNT(*) FROM place WHERE held = 1"),
        1 + rack.1
    );
    counter.types("check").good();
}

/// A slip of one's own is put right by oneself; what another has stopped only the inspector lets go.
#[test]
fn who_takes_a_hold_back() {
    let counter = Counter::sample();
    counter.types("hold A-1 -w lost --by TW").good();
    let held = counter.figure("SELECT MAX(id) FROM document");
    counter.refuses(&format!("undo HLD-{held:06} --by HP"), 77, "for the inspector");
    counter.types(&format!("undo HLD-{held:06} --by TW")).good();
    counter.types("hold A-1 -w lost --by TW").good();
    let held = counter.figure("SELECT MAX(id) FROM document");
    counter.types(&format!("undo HLD-{held:06} --by OQ")).good();
    assert_eq!(counter.types("hold").good().answer(), "nothing is on hold");
}

#[test]
fn what_cannot_be_held() {
    let counter = Counter::sample();
    for (line, exit, says) in [
        ("hold A-1 --by TW", 2, "why is it held?"),
        ("hold --lift --by OQ", 2, "hold what?"),
        ("hold -w lost --by TW", 2, "hold what?"),
        ("hold BRACK -w lost --by TW", 1, "only a place in the house"),
        ("hold L0000071 -w burr --by TW", 1, "L0000071"),
        ("hold A-1 --lift -w found --by OQ", 1, "no live hold A-1"),
        (
            "hold HLD-000099 --lift -w found --by OQ",
            1,
            "no live hold HLD-000099",
        ),
    ] {
        counter.refuses(line, exit, says);
    }
    // On trial it is shown and not posted.
    let tried = counter.types("hold A-1 -w lost --by TW --dry-run").good();
    assert!(tried.out.contains("A-1 on hold: lost"), "{}", tried.out);
    assert_eq!(counter.figure("SELECT COUNT(*) FROM hold"), 0);
}
