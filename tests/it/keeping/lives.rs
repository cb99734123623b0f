//! Lives of families by the shop's own table, and the grammar in which a part states its life.

use super::{case, import, text, turned_away, types, with_part};
use crate::desk::Counter;
use bincard::domain::keeping::rule::{LifeRule, valid_on};
use bincard::domain::keeping::shelf_life::ShelfLife;
use bincard::domain::measure::Day;

const LIVES: &str = "family,months,source,issue,from_day\n";
const NEWEST: &str = "SELECT id FROM lot ORDER BY id DESC LIMIT 1";

fn of_newest(counter: &Counter, column: &str) -> String {
    text(
        counter,
        &format!("SELECT {column} FROM lot WHERE id = ({NEWEST})"),
    )
}

#[test]
fn a_part_states_its_life_in_one_grammar() {
    for good in [
        "12 months",
        "90 days",
        "24 months type 2",
        "1 month type 1",
        "family NBR",
        "family NBR type 1",
        "family FKM-75",
    ] {
        assert_eq!(ShelfLife::parse(good).unwrap().to_string(), good);
    }
    // Years are kept as months and weeks as days, with the type behind them; Roman numerals are read.
    for (typed, kept) in [
        ("2 years type I", "24 months type 1"),
        ("1 week type II", "7 days type 2"),
    ] {
        assert_eq!(ShelfLife::parse(typed).unwrap().to_string(), kept);
    }
    for bad in [
        "",
        "type 2",
        "12 months type 3",
        "12 months type",
        "12 months type 2 ",
        "family ",
        "family NBR 70",
        "family",
        "12",
        "0 months",
        "family NBRNBRNBRNBRNBRNBRNBR",
    ] {
        let fault = ShelfLife::parse(bad).unwrap_err().to_string();
        assert!(fault.contains("type"), "{bad:?}: {fault}");
    }
}

fn rule(months: Option<u32>, from: &str) -> LifeRule {
    LifeRule {
        months,
        source: "LT-2".to_owned(),
        issue: "B".to_owned(),
        from_day: Day::parse(from).unwrap(),
    }
}

#[test]
fn the_rule_that_holds_is_the_latest_that_has_begun() {
    let rules = [
        rule(Some(36), "2026-06-01"),
        rule(Some(180), "2026-01-05"),
        rule(None, "2027-01-01"),
    ];
    for (day, holds) in [
        ("2026-01-04", None),
        ("2026-01-05", Some(Some(180))),
        ("2026-05-31", Some(Some(180))),
        ("2026-06-01", Some(Some(36))),
        ("2027-01-01", Some(None)),
    ] {
        let found = valid_on(&rules, Day::parse(day).unwrap());
        assert_eq!(found.map(|rule| rule.months), holds, "{day}");
    }
}

#[test]
fn published_lives_are_shop_data_and_say_whose() {
    for (id, months) in [
        ("elastomer-1", "180"),
        ("elastomer-2", "no limit"),
        ("elastomer-4", "no limit"),
    ] {
        let case = case(id);
        let family = case["inputs"]["family"].as_str().unwrap().to_owned();
        let counter = with_part(&format!("family {family}"));
        let row = format!("{LIVES}{family},{months},ARP-1,C,2026-11-01\n");
        import(&counter, "lives.csv", &row, "OQ").good();
        let shown = types(&counter, "expiry --how --format json");
        let lives = shown.json()["tables"]["lives_in_use"].clone();
        let own = lives
            .as_array()
            .unwrap()
            .iter()
            .find(|row| row["family"] == family.as_str())
            .cloned();
        let own = own.unwrap_or_else(|| panic!("{id}: {lives}"));
        assert_eq!(own["life"], case["expected"].as_str().unwrap(), "{id}");
        assert_eq!(
            (own["source"].as_str(), own["issue"].as_str()),
            (Some("ARP-1"), Some("C")),
            "{id}"
        );
    }
}

/// By hand: 2Q26 begins to age on 1 July 2026; 15 years end on 30 June 2041.
#[test]
fn goods_in_works_the_last_day_out_of_the_family() {
    let counter = with_part("family NBR");
    let line = "goods-in X-1 10 --supplier QUO --cost 4 --made 2Q26 --by TW";
    let ran = types(&counter, line).good();
    assert_eq!(of_newest(&counter, "expiry"), "2041-06-30");
    let how = "NBR 15 years from 2Q26, Tern Slip table LT-2 issue B";
    assert_eq!(of_newest(&counter, "expiry_how"), how);
    assert!(
        ran.out.contains(&format!("last day 2041-06-30: {how}")),
        "{}",
        ran.out
    );
    // The day on the pack rules where there is one.
    types(
        &counter,
        "goods-in X-1 10 --supplier QUO --cost 4 --made 2Q26 --expiry 2030-06-30 --by TW",
    )
    .good();
    assert_eq!(of_newest(&counter, "expiry"), "2030-06-30");
    turned_away(
        &counter,
        "goods-in X-1 10 --supplier QUO --cost 4 --by TW",
        245,
        1,
        "lasts 15 years by NBR, Tern Slip table LT-2 issue B",
    );
    types(&counter, "check").good();
}

#[test]
fn what_has_no_limit_says_by_whom() {
    let counter = with_part("family FKM");
    for line in ["", " --made 2Q26"] {
        let ran = types(
            &counter,
            &format!("goods-in X-1 10 --supplier QUO --cost 4{line} --by TW"),
        )
        .good();
        assert_eq!(of_newest(&counter, "expiry"), "");
        assert_eq!(
            of_newest(&counter, "expiry_how"),
            "no limit by Tern Slip table LT-2 issue B"
        );
        assert!(
            ran.out.contains("no limit by Tern Slip table LT-2 issue B"),
            "{}",
            ran.out
        );
    }
    let lot = of_newest(&counter, "number");
    types(
        &counter,
        &format!("inspect {lot} 10 --to B-1 --checked all --by OQ"),
    )
    .good();
    let shown = types(&counter, "expiry --how --format json").json();
    assert_eq!(shown["tables"]["no_limit"][0]["lot"], lot.as_str());
    assert_eq!(
        shown["tables"]["no_limit"][0]["how"],
        "no limit by Tern Slip table LT-2 issue B"
    );
    types(&counter, "check").good();
}

#[test]
fn a_family_without_a_life_is_refused_until_the_table_has_one() {
    let counter = with_part("family AU");
    let line = "goods-in X-1 10 --supplier QUO --cost 4 --made 2026-11-01 --by TW";
    turned_away(&counter, line, 251, 1, "no life of AU holds on this day");
    // A rule that begins tomorrow does not help today.
    let row = |from: &str| format!("{LIVES}AU,60,LT-2,B,{from}\n");
    import(&counter, "lives.csv", &row("2026-11-26"), "OQ").good();
    turned_away(&counter, line, 251, 1, "no life of AU holds on this day");
    import(&counter, "lives.csv", &row("2026-11-25"), "OQ").good();
    types(&counter, line).good();
    assert_eq!(of_newest(&counter, "expiry"), "2031-11-01");
}

/// N35: two published tables disagree on SBR; the store goes by the one that its own table names, and shows which.
#[test]
fn where_two_tables_disagree_the_source_in_use_is_shown() {
    let case = case("elastomer-conflict");
    let years: Vec<i64> = case["inputs"]["years"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(|y| y.as_integer())
        .collect();
    let counter = with_part("family SBR");
    for (years, source, from) in [
        (years[1], "maker P", "2026-01-05"),
        (years[0], "maker Q", "2026-11-25"),
    ] {
        let row = format!("{LIVES}SBR,{},{source},1,{from}\n", years * 12);
        import(&counter, "lives.csv", &row, "OQ").good();
    }
    types(
        &counter,
        "goods-in X-1 1 --supplier QUO --cost 4 --made 2026-11-01 --by TW",
    )
    .good();
    assert_eq!(of_newest(&counter, "expiry"), "2029-11-01");
    assert_eq!(
        of_newest(&counter, "expiry_how"),
        "SBR 3 years from 2026-11-01, maker Q issue 1"
    );
    // Goods booked in for the day before go by the table of that day.
    types(
        &counter,
        "goods-in X-1 1 --supplier QUO --cost 4 --made 2026-11-01 --by TW --on 2026-11-24",
    )
    .good();
    assert_eq!(of_newest(&counter, "expiry"), "2041-11-01");
    let shown = types(&counter, "expiry --how").out;
    assert!(shown.contains("maker Q") && !shown.contains("maker P"), "{shown}");
}

#[test]
fn faults_of_the_table_are_told_with_their_place() {
    let counter = Counter::sample();
    for (row, place) in [
        ("NBR,,LT-2,B,2027-01-01", "lives.csv:2:5"),
        ("NBR,0,LT-2,B,2027-01-01", "lives.csv:2:5"),
        ("NBR,1201,LT-2,B,2027-01-01", "lives.csv:2:5"),
        ("NBR,1.5,LT-2,B,2027-01-01", "lives.csv:2:5"),
        ("NBR 70,180,LT-2,B,2027-01-01", "lives.csv:2:1"),
        ("NBR,180,,B,2027-01-01", "lives.csv:2:9"),
        ("NBR,180,LT-2,,2027-01-01", "lives.csv:2:14"),
        ("NBR,180,LT-2,B,2027-02-30", "lives.csv:2:16"),
        // A rule that goods came by stays; another holds from another day.
        ("NBR,120,LT-2,B,2026-01-05", "lives.csv:2:5"),
    ] {
        let ran = import(&counter, "lives.csv", &format!("{LIVES}{row}\n"), "OQ");
        assert_eq!(ran.exit, 65, "{row}: {ran:?}");
        assert!(ran.err.contains(place), "{row} wants {place}: {}", ran.err);
    }
    let row = format!("{LIVES}NBR,120,LT-2,C,2027-01-01\n");
    let ran = import(&counter, "lives.csv", &row, "TW");
    assert_eq!(ran.exit, 77, "a clerk does not say how long things last: {ran:?}");
}
