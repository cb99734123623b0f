//! What lay where on a past day, and what of it was dead then.

use super::types;
use crate::desk::Counter;

/// From the opening cards: SE-50 L000048J died on 10 November; on that day itself it was still good.
#[test]
fn what_was_dead_on_a_past_day() {
    let counter = Counter::sample();
    for (day, answer, exit) in [
        (
            "2026-11-10",
            "on 2026-11-10: 0 lots dead on the shelf, 1 more by 2026-11-10",
            0,
        ),
        (
            "2026-11-11",
            "on 2026-11-11: 1 lot dead on the shelf, 0 more by 2026-11-11",
            1,
        ),
        // Before the cards were opened nothing lay anywhere.
        (
            "2026-11-01",
            "on 2026-11-01: 0 lots dead on the shelf, 0 more by 2026-11-01",
            0,
        ),
    ] {
        let ran = types(&counter, &format!("expiry --as-of {day} --within 0"));
        assert_eq!((ran.answer(), ran.exit), (answer, exit), "{day}");
    }
    let json = types(&counter, "expiry --as-of 2026-11-12 --within 0 --format json").json();
    let row = &json["rows"][0];
    assert_eq!(
        (row["lot"].as_str(), row["state"].as_str()),
        (Some("L000048J"), Some("EXPIRED 2 days ago"))
    );
}

/// By hand: 100 ml lay there until 50 ml were scrapped on the 20th and the rest on the 25th.
#[test]
fn balances_are_those_of_the_day_that_documents_bear() {
    let counter = Counter::sample();
    types(&counter, "scrap L000048J 50 --on 2026-11-20 --by TW -w expired").good();
    types(&counter, "scrap L000048J 50 --by TW -w expired").good();
    for (day, there) in [
        ("2026-11-19", 100),
        ("2026-11-20", 50),
        ("2026-11-24", 50),
        ("2026-11-25", 0),
    ] {
        let ran = types(&counter, &format!("stock SE-50 --as-of {day} --format json"))
            .good()
            .json();
        let rows = ran["rows"].as_array().unwrap().clone();
        let found = rows
            .iter()
            .find(|row| row["lot"] == "L000048J")
            .map(|row| row["qty"].clone());
        match there {
            0 => assert_eq!(found, None, "{day}"),
            there => {
                let qty = found.unwrap_or_else(|| panic!("{day}: {rows:?}"));
                assert!(qty.to_string().contains(&there.to_string()), "{day}: {qty}");
            }
        }
    }
    // 100 ml of three live lots and 50 ml of a fourth besides, of which the dead one was half left.
    let ran = types(&counter, "stock SE-50 --as-of 2026-11-20").good();
    assert!(
        ran.answer().ends_with("on the shelf, 50 ml of it dead"),
        "{}",
        ran.answer()
    );
}

/// An extension written today does not change what was dead yesterday.
#[test]
fn a_last_day_is_the_one_that_was_known_then() {
    let counter = super::with_part("12 months type 2");
    types(
        &counter,
        "goods-in X-1 10 --supplier QUO --cost 4 --expiry 2026-11-15 --on 2026-11-03 --by TW",
    )
    .good();
    let lot = super::text(&counter, "SELECT number FROM lot ORDER BY id DESC LIMIT 1");
    types(
        &counter,
        "certificate add TR-1 X-1 10 --sort test --issuer Pellam --dated 2026-11-24 --by TW",
    )
    .good();
    types(&counter, &format!("extend {lot} --test TR-1 --by OQ")).good();
    let row = |day: &str| {
        let ran = types(&counter, &format!("stock X-1 --as-of {day} --format json"))
            .good()
            .json();
        ran["rows"][0]["expiry"].as_str().unwrap().to_owned()
    };
    assert_eq!(row("2026-11-24"), "2026-11-15");
    assert_eq!(row("2026-11-25"), "2027-05-15");
}

#[test]
fn a_day_still_to_come_is_no_past_day() {
    let counter = Counter::sample();
    counter.refuses("expiry --as-of 2026-11-26", 2, "still to come");
    counter.refuses("expiry --as-of soon", 2, "--as-of");
    counter.refuses("stock --as-of 2026-11-20", 2, "one part");
    counter.refuses("expiry --as-of 2026-11-20 --how", 2, "");
}
