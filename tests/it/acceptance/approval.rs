//! A supplier's approval at the day his goods come: what it does not bear is held for the inspector.

use crate::desk::{Counter, Ran, split};
use crate::stores::{done_and_undone, refused};

fn types(counter: &Counter, line: &str) -> Ran {
    let words = split(line);
    counter.run(&words.iter().map(String::as_str).collect::<Vec<_>>())
}

/// The sample on its day, 2026-11-25, with the approval of QUO as told: from, until, scope.
fn approved(from: &str, until: &str, scope: &str) -> Counter {
    let counter = Counter::sample();
    let file = counter.folder().join("suppliers.csv");
    let text = format!(
        "code,name,currency,lead_days,approved_from,approved_until,scope\n\
         QUO,Quoyle and Dunnage Stockholders,GBP,14,{from},{until},{scope}\n"
    );
    std::fs::write(&file, text).unwrap();
    types(&counter, &format!("import {} --update --by DA", file.display())).good();
    counter
}

fn lies(counter: &Counter, lot: &str, place: &str) -> i64 {
    counter.figure(&format!(
        "SELECT COALESCE(SUM(b.qty), 0) / 1000000 FROM balance b JOIN place p ON p.id = b.place \
         JOIN lot l ON l.id = b.lot WHERE l.number = '{lot}' AND p.code = '{place}'"
    ))
}

/// N12: the supplier's approval lapsed between order and receipt: held for the inspector; earlier receipts stay good.
#[test]
fn an_approval_that_lapsed_between_order_and_receipt() {
    // Ordered on 2026-11-12; five came on the last day of the approval, twelve on the day after.
    let counter = approved("2025-01-01", "2026-11-24", "");
    types(
        &counter,
        "certificate add RC-1 ST-160 20 --sort release --issuer Quoyle --by TW",
    )
    .good();
    let early = types(&counter, "goods-in ORD-101 2=5 --on 2026-11-24 --by TW").good();
    assert_eq!(
        early.answer(),
        "5 each of ST-160 in IN, lot L0001835; 15 each still to come on ORD-101"
    );
    let late = split("goods-in ORD-101 2=12 --by TW");
    let late: Vec<&str> = late.iter().map(String::as_str).collect();
    let ran = done_and_undone(&counter, &late);
    let said = "hold for the inspector: QUO: its approval ended 2026-11-24";
    assert!(ran.out.contains(said), "{}", ran.out);
    let ran = counter.run(&late).good();
    assert!(
        ran.answer().starts_with("12 each of ST-160 in CAGE, lot L000"),
        "{}",
        ran.answer()
    );
    let lot = ran
        .answer()
        .split(' ')
        .find(|word| word.starts_with("L000"))
        .unwrap();
    let lot = lot.trim_end_matches(';').to_owned();
    assert_eq!(
        (lies(&counter, &lot, "CAGE"), lies(&counter, &lot, "IN")),
        (12, 0)
    );
    // The earlier receipt is as good as it was.
    types(
        &counter,
        "inspect L0001835 5 --certificate RC-1 --checked all --by OQ",
    )
    .good();
    // The later one is the inspector's to concede, papers or none.
    let line = format!("inspect {lot} 12 --certificate RC-1 --checked all --by OQ");
    let words = split(&line);
    refused(
        &counter,
        &words.iter().map(String::as_str).collect::<Vec<_>>(),
        287,
        1,
        "of its supplier, its approval ended 2026-11-24",
    );
    types(
        &counter,
        &format!("{line} --concession \"renewal seen by telephone\""),
    )
    .good();
    types(&counter, "check").good();
}

/// A renewal that covers the day makes it good without a concession.
#[test]
fn a_renewal_that_covers_the_day() {
    let counter = approved("2025-01-01", "2026-11-24", "");
    types(
        &counter,
        "certificate add RC-1 ST-160 20 --sort release --issuer Quoyle --by TW",
    )
    .good();
    types(&counter, "goods-in ORD-101 2=5 --by TW").good();
    let file = counter.folder().join("suppliers.csv");
    let text = std::fs::read_to_string(&file)
        .unwrap()
        .replace("2026-11-24", "2027-11-24");
    std::fs::write(&file, text).unwrap();
    types(&counter, &format!("import {} --update --by DA", file.display())).good();
    types(
        &counter,
        "inspect L0001835 5 --certificate RC-1 --checked all --by OQ",
    )
    .good();
}

/// First and last day are the supplier's; a scope without the class holds as well; no record asks nothing.
#[test]
fn which_days_and_which_classes() {
    for (from, until, scope, place) in [
        ("2026-11-25", "2026-11-25", "", "IN"),
        ("2026-11-26", "", "", "CAGE"),
        ("", "2026-11-24", "", "CAGE"),
        ("", "", "component", "IN"),
        ("", "", "material; component", "IN"),
        ("", "", "material;tool", "CAGE"),
        ("", "", "", "IN"),
    ] {
        let counter = approved(from, until, scope);
        types(&counter, "goods-in ORD-101 2=5 --by TW").good();
        assert_eq!(lies(&counter, "L0001835", place), 5, "{from} {until} {scope}");
        let loose = types(&counter, "goods-in ST-160 3 --supplier QUO --cost 9 --by TW").good();
        assert!(
            loose.answer().contains(&format!("in {place}, lot")),
            "{}",
            loose.answer()
        );
    }
}

#[test]
fn a_scope_is_made_of_classes() {
    let counter = Counter::sample();
    let file = counter.folder().join("suppliers.csv");
    let text = "code,name,currency,lead_days,approved_from,approved_until,scope\nNEW,New,GBP,,2026-02-01,2026-01-01,wheels\n";
    std::fs::write(&file, text).unwrap();
    let ran = types(&counter, &format!("import {} --by DA", file.display()));
    assert_eq!(ran.exit, 65);
    assert!(ran.err.contains("wheels"), "{}", ran.err);
}

/// Approvals that end within thirty days are named in the morning, the thirtieth among them.
#[test]
fn what_ends_within_a_month_is_told_in_the_morning() {
    // 2026-11-25 and 30 days are 2026-12-25.
    for (until, told) in [
        ("2026-11-24", None),
        ("2026-11-25", Some("ENDS today")),
        ("2026-11-26", Some("ENDS in 1 day")),
        ("2026-12-25", Some("ENDS in 30 days")),
        ("2026-12-26", None),
    ] {
        let counter = approved("", until, "");
        let page = types(&counter, "today").good();
        match told {
            Some(told) => {
                assert!(page.answer().contains("1 approval ending"), "{}", page.answer());
                assert!(page.out.contains(told), "{until}: {}", page.out);
            }
            None => assert!(!page.out.contains("approval"), "{until}: {}", page.out),
        }
        assert!(page.answer().chars().count() <= 120, "{}", page.answer());
    }
}
