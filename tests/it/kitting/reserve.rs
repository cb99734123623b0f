//! Reserving against the sample's story: the table of needs, lots and shorts was worked out by hand, and is read here.

use crate::desk::Counter;
use std::collections::BTreeMap;

/// The jobs of the story's table, in its order of columns.
const JOBS: [&str; 4] = ["amber", "blue", "green", "red"];

/// What one job is to get of a part: quantities by row of stock.csv, and what stays short.
#[derive(Debug, Default, PartialEq)]
struct Wanted {
    lots: BTreeMap<usize, String>,
    short: String,
}

/// The cell `16: 14 of 13, 2 of 14` or `16: 8 of 14, **short 8**` of the story's table.
fn cell(text: &str) -> Option<Wanted> {
    let (_, parts) = text.split_once(": ")?;
    let mut wanted = Wanted {
        short: "0".to_owned(),
        ..Wanted::default()
    };
    for part in parts.split(", ") {
        if let Some(short) = part.strip_prefix("**short ") {
            wanted.short = short.trim_end_matches("**").to_owned();
        } else if let Some((qty, row)) = part.split_once(" of ") {
            wanted.lots.insert(row.parse().unwrap(), qty.to_owned());
        } else {
            assert_eq!(part, "none");
        }
    }
    Some(wanted)
}

/// The story's table: part and job to what is wanted.
fn story() -> BTreeMap<(String, &'static str), Wanted> {
    let text = include_str!("../../../sample-data/story.md");
    let mut table = BTreeMap::new();
    for line in text
        .lines()
        .filter(|line| line.starts_with("| ") && line.matches('|').count() == 8)
    {
        let cells: Vec<&str> = line.split('|').map(str::trim).collect();
        for (at, job) in JOBS.iter().enumerate() {
            if let Some(wanted) = cell(cells[3 + at]) {
                table.insert((cells[1].to_owned(), *job), wanted);
            }
        }
    }
    table
}

#[test]
fn every_line_gets_the_lots_of_the_story() {
    let story = story();
    assert_eq!(story.len(), 106, "job lines in the story");
    let counter = Counter::sample();
    let ran = counter.run(&["reserve", "--by", "TW", "--format", "json"]);
    assert_eq!(ran.exit, 1, "something is short: {}", ran.err);
    let mut found: BTreeMap<(String, &str), Wanted> = BTreeMap::new();
    for row in ran.json()["rows"].as_array().unwrap() {
        let job = JOBS
            .into_iter()
            .find(|tag| row["job"].as_str().unwrap().contains(tag))
            .unwrap();
        let line = found
            .entry((row["part"].as_str().unwrap().to_owned(), job))
            .or_insert_with(|| Wanted {
                short: "0".to_owned(),
                ..Wanted::default()
            });
        let lot = row["lot"].as_str().unwrap();
        if lot != "none" {
            // Lots were made in the order of the rows of stock.csv, so the lot's serial is the row.
            let serial: usize = lot[1..7].parse().unwrap();
            line.lots
                .insert(serial, row["qty"]["qty"].as_str().unwrap().to_owned());
        }
        if let Some(short) = row["short"]["qty"].as_str() {
            line.short = short.to_owned();
        }
    }
    assert_eq!(found.len(), 106);
    for (key, wanted) in &story {
        assert_eq!(found.get(key), Some(wanted), "{key:?}");
    }
}

#[test]
fn what_is_passed_over_is_named_with_its_reason() {
    let counter = Counter::sample();
    let ran = counter.run(&["reserve", "blue", "--by", "TW"]);
    for told in [
        // Rows 48 and 50 of stock.csv: dead since 2026-11-10; good today, dead on blue's day of use.
        "SE-50 lot L000048J passed over: EXPIRED 2026-11-10",
        "SE-50 lot L000050V passed over: last day 2026-11-29, dead on the day of use 2026-12-02",
        "PR-212 passed over: lot L000016Z is overhauled, the line takes new",
        "belongs to Sevenfold Survey Flights and J-0001 is not his job",
    ] {
        assert!(ran.out.contains(told), "{told}\n{}", ran.out);
    }
    // The threadlocker of row 53 ends on blue's day of use: the last day itself is usable.
    assert!(ran.out.contains("L000053P"), "{}", ran.out);
}

#[test]
fn a_second_reserving_takes_nothing_and_freeing_gives_back() {
    let counter = Counter::sample();
    counter.run(&["reserve", "amber", "--by", "TW"]).good();
    let again = counter.run(&["reserve", "amber", "--by", "TW"]).good();
    assert_eq!(again.answer(), "nothing was short; every line has what it needs");
    let freed = counter.run(&["free", "amber", "3", "--by", "TW"]).good();
    assert_eq!(freed.answer(), "1 reservation of J-0004 (amber) given up");
    assert_eq!(counter.run(&["free", "amber", "3", "--by", "TW"]).exit, 1);
    let back = counter.run(&["reserve", "amber", "--by", "TW"]).good();
    assert_eq!(back.answer(), "1 line reserved, nothing short");
    counter.run(&["check"]).good();
}

#[test]
fn jobs_are_found_by_what_people_call_them() {
    let counter = Counter::sample();
    for called in ["blue", "BLUE", "J-0001", "j1", "W28-0417"] {
        let ran = counter.run(&["job", "show", called]).good();
        assert!(
            ran.answer().starts_with("J-0001 (blue) for engine W28-0417"),
            "{called}: {}",
            ran.answer()
        );
    }
    let unknown = counter.run(&["job", "show", "purple"]);
    assert_eq!(unknown.exit, 1);
    assert!(unknown.err.contains("J-0001 blue"), "{}", unknown.err);
}

/// What a job cannot be raised with: the words behind `job raise`, the exit, and what is told.
const BAD_JOBS: [(&str, u8, &str); 8] = [
    (
        "TC-W --engine W28-0602",
        1,
        "the bill leaves route open: spacer or piston",
    ),
    (
        "TC-W --engine W28-0602 -c route=spacer -c route=piston",
        1,
        "route is chosen twice: spacer and piston",
    ),
    (
        "TC-W --engine W28-0602 -c route=magic",
        1,
        "no choice route=magic",
    ),
    (
        "TC-W --engine W28-0602 -c spacer",
        2,
        "type it as `-c group=choice`",
    ),
    ("TC-W --engine NOSUCH -c route=spacer", 1, "no engine NOSUCH"),
    ("TC-W --engine L32-0098 -c route=spacer", 1, "its bill fits W28"),
    (
        "TC-W --engine W28-0602 -c route=spacer --tag blue",
        1,
        "blue is there already",
    ),
    ("TC-Q --engine W28-0602 -c route=spacer", 1, "no conversion TC-Q"),
];

#[test]
fn what_a_job_cannot_be_raised_with() {
    let counter = Counter::sample();
    let before = std::fs::read(counter.store()).unwrap();
    let raise = |line: &str| {
        let mut all = vec!["job", "raise"];
        all.extend(line.split(' '));
        all.extend(["--use-day", "2026-12-05", "--by", "TW"]);
        counter.run(&all)
    };
    for (line, exit, told) in BAD_JOBS {
        let ran = raise(line);
        assert_eq!(ran.exit, exit, "{line} {ran:?}");
        assert!(ran.err.contains(told), "{line}: {}", ran.err);
    }
    assert_eq!(
        std::fs::read(counter.store()).unwrap(),
        before,
        "a refusal leaves no byte"
    );
    raise("TC-W --engine W28-0602 -c route=spacer --tag white").good();
}
