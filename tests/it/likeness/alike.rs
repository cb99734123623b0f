//! Look-alikes: shown beside a part, warned of on the pick list, refused at the pick with both sizes; numbers that read
//! alike are warned of when they are taken on. Sizes by sample-data/opening/sizes.csv.

use crate::desk::Counter;
use crate::stores::refused;

#[test]
fn find_shows_what_looks_like_a_part() {
    let counter = Counter::sample();
    let told = |part: &str| {
        let told = counter.types(&format!("find {part} --format json"));
        let told = told.json();
        let rows = told["tables"]["look_alikes"]
            .as_array()
            .cloned()
            .unwrap_or_default();
        let text = |row: &serde_json::Value, key: &str| row[key].as_str().unwrap().to_owned();
        rows.iter()
            .map(|row| format!("{} {}", text(row, "number"), text(row, "differs")))
            .collect::<Vec<_>>()
    };
    assert_eq!(
        told("SP-20"),
        [
            "SP-10 thickness 2 mm against 1 mm",
            "SP-15 thickness 2 mm against 1.5 mm",
            "SP-25 thickness 2 mm against 2.5 mm",
            "SP-30 thickness 2 mm against 3 mm"
        ]
    );
    // Two sizes apart nobody takes one for the other: 18 x 2.5 and 42 x 3.
    assert!(told("OR-18").is_empty());
    // Another class or another noun is another thing, whatever its sizes: bolts and studs of M8.
    assert!(told("ST-45").iter().all(|line| line.starts_with("ST-")));
    // The same number, counting something else: JF-130 is 130 by flow, JT-130 is 1.30 mm by hole.
    let jets = told("JF-130");
    assert!(
        jets.contains(
            &"JT-130 the same number counts something else: flow_cm3_per_minute 130 against hole 1.3 mm"
                .to_owned()
        ),
        "{jets:?}"
    );
    assert!(!jets.iter().any(|line| line.starts_with("JT-145")), "{jets:?}");
    // The same sizes and another part: M8 plain self-locking, and M8 copper-plated for the exhaust.
    assert!(told("NU-08").contains(&"NU-09 no size on record tells them apart".to_owned()));
}

/// trade.md 1.4: a 120 of one convention is never offered for a 120 of another.
#[test]
fn words_that_find_both_conventions_say_so() {
    let counter = Counter::sample();
    let ran = counter.types("find jet 130").good();
    assert!(
        ran.out
            .contains("caution: JF-130 is no JT-130: the same number counts something else"),
        "{}",
        ran.out
    );
    let one = counter.types("find jet 115").good();
    assert!(!one.out.contains("counts something else"), "{}", one.out);
}

/// Blue's list with its spacers of 2.0 mm; those of 2.5 mm lie in the same bin.
fn blue() -> (Counter, i64, i64) {
    let counter = Counter::sample();
    counter.types("reserve blue --by TW").good();
    let listed = counter.types("pick blue --format json").good().json();
    let rows = listed["rows"].as_array().unwrap();
    let spacer = rows.iter().find(|row| row["part"] == "SP-20").unwrap();
    let line = spacer["n"].as_i64().unwrap();
    let list = counter.figure("SELECT list FROM job WHERE number = 'J-0001'");
    (counter, list, line)
}

#[test]
fn the_pick_list_warns_of_what_lies_in_the_same_bin() {
    let (counter, _, line) = blue();
    let paper = counter.types("pick blue").good().out;
    let says = format!("line {line} SP-20: SP-25 lies there too, thickness 2 mm against 2.5 mm");
    assert!(paper.contains(&says), "{paper}");
    // SP-15 looks like it too and lies in A-4.
    assert!(!paper.contains("SP-15"), "{paper}");
}

/// N14: look-alike scanned, 2.5 for 2.0: refused, thicknesses side by side.
#[test]
fn a_look_alike_is_refused_with_both_thicknesses_side_by_side() {
    let (counter, list, line) = blue();
    let lot = |part: &str| {
        let told = counter.types(&format!("find {part} --format json")).json();
        told["rows"][0]["lot"].as_str().unwrap().to_owned()
    };
    let list = list.to_string();
    for named in [lot("SP-25"), lot("SP-25").to_lowercase(), "SP-25".to_owned()] {
        let answer = format!("{line}=4:{named}");
        let words = ["pick", "blue", "--list", &list, &answer, "--by", "TW"];
        let says = "is SP-25: thickness asked 2 mm, this is 2.5 mm; bore 100 mm both";
        refused(&counter, &words, 265, 1, says);
    }
    // What looks like nothing of the kind is refused too, with what is known of both.
    let answer = format!("{line}=4:H10-77");
    let words = ["pick", "blue", "--list", &list, &answer, "--by", "TW"];
    let says = "is NU-10: asked bore 100 mm, this has none on record; asked thickness 2 mm";
    refused(&counter, &words, 265, 1, says);
    // The part's own other lots, and names of nothing, are told as before.
    let answer = format!("{line}=4:NOSUCH");
    let words = ["pick", "blue", "--list", &list, &answer, "--by", "TW"];
    refused(&counter, &words, 242, 1, "no lot of SP-20 is called NOSUCH");
}

#[test]
fn numbers_that_read_alike_are_warned_of_and_taken_on() {
    let counter = Counter::sample();
    let path = counter.folder().join("parts.csv");
    let heads = "number,name,class,unit,step,hand_out,life,opened_life_days,pack_policy,bench_stock,critical,maker,issue";
    let rest = "\"nut, wing\",standard part,each,1,,,,measure,no,no,,";
    let text = format!("{heads}\nNU10,{rest}\n0R-18,{rest}\nWING-1,{rest}\nWING-I,{rest}\nWING-2,{rest}\n");
    std::fs::write(&path, text).unwrap();
    let import = format!("import {} --by HP", path.display());
    let ran = counter.types(&import).good();
    assert_eq!(ran.answer(), "5 records taken on, none refused");
    let cautions: Vec<&str> = ran
        .out
        .lines()
        .filter(|line| line.contains("reads like"))
        .collect();
    assert_eq!(
        cautions,
        [
            "caution: part NU10 reads like NU-10; is it another part?",
            "caution: part 0R-18 reads like OR-18; is it another part?",
            "caution: part WING-I reads like WING-1; is it another part?",
        ]
    );
    // Once they are there they are no news.
    let again = counter.types(&import).good();
    assert!(!again.out.contains("reads like"), "{}", again.out);
}
