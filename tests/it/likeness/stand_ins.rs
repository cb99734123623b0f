//! What may stand in for what: judged by direction, day, place and sum, named beside the part, taken only when asked for.

use crate::desk::{Counter, Ran, split};
use crate::stores::refused;
use bincard::domain::likeness::fault::LikenessFault;
use bincard::domain::likeness::stand_in::{Bounds, Manner, Purpose, StandIn};
use bincard::domain::measure::{Day, Qty};
use bincard::domain::stores::ids::PartId;
use toml::Table;

/// Check values with their sources.
const FACTS: &str = include_str!("../../facts/standins.toml");

const OLD: PartId = PartId(1);
const NEW: PartId = PartId(2);

fn record(manner: Manner, bounds: &str) -> StandIn {
    StandIn {
        part: OLD,
        other: NEW,
        manner,
        bounds: Bounds::parse(bounds).unwrap(),
        authority: "CO-7".to_owned(),
        from: Day::parse("2026-11-25").ok(),
        until: Day::parse("2026-12-02").ok(),
    }
}

fn purpose(day: &str, length_mm: Option<&str>) -> Purpose<'static> {
    Purpose {
        wanted: "P-100",
        given: "P-120",
        length_mm: length_mm.map(|length| Qty::parse(length).unwrap()),
        conversion: "TC-W",
        engine: "W28",
        day: Day::parse(day).unwrap(),
    }
}

fn judge(case: &Table) {
    let id = case["id"].as_str().unwrap();
    let text = |key: &str| case.get(key).and_then(toml::Value::as_str);
    match case["kind"].as_str().unwrap() {
        "thread" => {
            let named = ["stack", "hole", "engagement"]
                .into_iter()
                .filter_map(|name| Some(format!("{name}={}", text(name)?)));
            let bounds = named.collect::<Vec<_>>().join("; ");
            let length = text("length").unwrap().trim_end_matches("mm");
            let judged =
                record(Manner::Substitute, &bounds).judge(OLD, NEW, purpose("2026-11-27", Some(length)));
            match (text("says"), judged) {
                (None, judged) => assert_eq!(judged, Ok(()), "{id}"),
                (Some(says), Err(LikenessFault::Misfit { because, .. })) => {
                    let inside = format!("= {} mm of it in the hole", text("inside_mm").unwrap());
                    assert!(
                        because.contains(says) && because.contains(&inside),
                        "{id}: {because}"
                    );
                }
                (_, judged) => panic!("{id}: {judged:?}"),
            }
        }
        "way" => {
            let manner = Manner::from_word(text("manner").unwrap()).unwrap();
            let allows = |wanted, given| record(manner, "").allows(wanted, given);
            let told = (case["new_for_old"].as_bool(), case["old_for_new"].as_bool());
            assert_eq!((Some(allows(OLD, NEW)), Some(allows(NEW, OLD))), told, "{id}");
        }
        other => panic!("{id}: {other}"),
    }
}

#[test]
fn stand_ins_are_held_to_their_check_values() {
    let facts: Table = FACTS.parse().unwrap();
    let cases = facts["case"].as_array().unwrap();
    assert_eq!(cases.len(), 8);
    for case in cases {
        let case = case.as_table().unwrap();
        assert!(case["source"].as_str().is_some_and(|source| !source.is_empty()));
        judge(case);
    }
}

#[test]
fn days_places_and_lengths_are_judged_to_their_very_ends() {
    let bounds = "conversion=TC-W TC-L; engine=W28";
    for (day, holds) in [
        ("2026-11-24", false),
        ("2026-11-25", true),
        ("2026-12-02", true),
        ("2026-12-03", false),
    ] {
        let judged = record(Manner::OneWay, bounds).judge(OLD, NEW, purpose(day, None));
        assert_eq!(judged.is_ok(), holds, "{day}: {judged:?}");
    }
    for (bounds, says) in [
        ("conversion=TC-L", "the conversion is TC-W, and CO-7 allows TC-L"),
        ("engine=L32", "the engine is W28, and CO-7 allows L32"),
        ("stack=20mm; hole=18mm", "it has no length on record"),
    ] {
        match record(Manner::Substitute, bounds).judge(OLD, NEW, purpose("2026-11-27", None)) {
            Err(LikenessFault::NotInstead { because, .. }) => assert!(because.contains(says), "{because}"),
            other => panic!("{bounds}: {other:?}"),
        }
    }
    for wrong in [
        "colour=red",
        "engine",
        "hole=18",
        "hole=18g",
        "hole=18mm",
        "stack=18mm",
        "stack=-1mm; hole=2mm",
    ] {
        assert!(Bounds::parse(wrong).is_err(), "{wrong}");
    }
}

fn types(counter: &Counter, line: &str) -> Ran {
    let words = split(line);
    counter.run(&words.iter().map(String::as_str).collect::<Vec<_>>())
}

/// The sample with bolts that may stand in for the oil pump's BO-68 by CO-12, which goes through 50 mm into a thread
/// 21 mm deep, of which 17 mm must hold at least: BO-70 fits, BO-73 bottoms, BO-66 holds by too little.
fn bolts() -> Counter {
    let counter = Counter::sample();
    let file = |name: &str, text: &str| {
        let path = counter.folder().join(name);
        std::fs::write(&path, text).unwrap();
        path.display().to_string()
    };
    let heads = "number,name,class,unit,step,hand_out,life,opened_life_days,pack_policy,bench_stock,critical,maker,issue";
    let part = |mm: u32| format!("BO-{mm},\"bolt, pump, {mm} mm\",standard part,each,1,,,,measure,no,no,,");
    let (bolts, bounds) = ([66, 70, 73], "stack=50mm; hole=21mm; engagement=17mm");
    let rows = |row: &dyn Fn(u32) -> String| bolts.map(row).join("\n");
    let parts = file(
        "parts.csv",
        &format!(
            "{heads}\n{}\nBO-71,\"bolt, pump\",standard part,each,1,,,,measure,no,no,,\n",
            rows(&part)
        ),
    );
    let sizes = file(
        "sizes.csv",
        &format!(
            "part,name,value,unit\n{}\n",
            rows(&|mm| format!("BO-{mm},length,{mm},mm\nBO-{mm},thread,6,mm"))
        ),
    );
    let stock = file(
        "stock.csv",
        &format!(
            "part,bin,qty,value,batch,serial,expiry,condition,owner,maker,made\n{}\n",
            rows(&|mm| format!("BO-{mm},B-2,8,8,Y{mm},,,new,,,"))
        ),
    );
    let stand_ins = file(
        "standins.csv",
        &format!(
            "part,other,manner,bounds,authority,from_day,until_day\n{}\n\
             BO-68,BO-71,substitute,conversion=TC-L,CO-13,,\nBO-52,BO-68,one-way,,CO-5,,2026-11-26\n",
            rows(&|mm| format!("BO-68,BO-{mm},substitute,{bounds},CO-12 issue 2,2026-01-01,"))
        ),
    );
    counter
        .run(&["import", &parts, &sizes, &stock, &stand_ins, "--by", "HP"])
        .good();
    counter
}

fn line_of(counter: &Counter, part: &str) -> i64 {
    counter.figure(&format!(
        "SELECT l.n FROM job_line l JOIN job j ON j.id = l.job JOIN part p ON p.id = l.part \
         WHERE j.number = 'J-0004' AND p.number = '{part}' ORDER BY l.n DESC LIMIT 1"
    ))
}

#[test]
fn what_may_stand_in_is_named_with_authority_and_day() {
    let counter = bolts();
    for line in ["find BO-68", "stock BO-68"] {
        let told = types(&counter, line).out;
        for says in [
            "BO-70 may stand in for BO-68: substitute by CO-12 issue 2, from 2026-01-01, only stack=50mm; hole=21mm; engagement=17mm; 8 each free",
            "BO-52 never stands in for BO-68: one-way by CO-5, until 2026-11-26",
        ] {
            assert!(told.contains(says), "{line} wants {says}: {told}");
        }
        assert!(!told.contains("no substitute is on record"), "{told}");
    }
    // Green is short of its pushrods; nothing is on record of them, and then something is.
    let path = counter.folder().join("standins.csv");
    std::fs::write(
        &path,
        "part,other,manner,bounds,authority,from_day,until_day\nPR-224,PR-212,use-up,,CO-9,,2026-11-24\n",
    )
    .unwrap();
    counter.run(&["reserve", "--by", "TW"]);
    let shorts = |counter: &Counter| counter.types("shorts green").out;
    assert!(!shorts(&counter).contains("stand in"), "{}", shorts(&counter));
    types(&counter, &format!("import {} --by HP", path.display())).good();
    let says = "PR-212 may not stand in today for PR-224: use-up by CO-9, until 2026-11-24; 0 each free";
    assert!(shorts(&counter).contains(says), "{}", shorts(&counter));
}

/// N4: a substitute bolt 5 mm longer needs authority, and the blind-hole check says that it bottoms 2 mm.
#[test]
fn a_bolt_5_mm_longer_bottoms_2_mm_and_is_refused_with_the_sum() {
    let counter = bolts();
    let n = line_of(&counter, "BO-68");
    for (part, number, says) in [
        (
            "BO-73",
            268,
            "73 - 50 = 23 mm of it in the hole, 21 mm deep: it bottoms 2 mm before it clamps",
        ),
        (
            "BO-66",
            268,
            "66 - 50 = 16 mm of it in the hole, and 17 mm must hold at least",
        ),
        ("BO-71", 267, "the conversion is TC-W, and CO-13 allows TC-L"),
        // N6: the old is never given for the new.
        ("BO-52", 266, "one-way by CO-5, and never that way"),
        ("BO-30", 265, "no authority on record lets it stand in"),
        ("NOSUCH", 239, "no part NOSUCH"),
    ] {
        let instead = format!("{n}={part}");
        let words = ["job", "change", "amber", "--instead", &instead, "--by", "TW"];
        refused(&counter, &words, number, 1, says);
    }
    let five = format!("{n}=BO-70:5");
    let words = ["job", "change", "amber", "--instead", &five, "--by", "TW"];
    refused(
        &counter,
        &words,
        242,
        1,
        "4 of it is not in the kit yet, and 5 is asked for",
    );
}

#[test]
fn a_stand_in_is_taken_only_where_it_was_asked_for_by_name() {
    let counter = bolts();
    let n = line_of(&counter, "BO-68");
    counter.types("reserve amber --by TW").good();
    let no = |part: &str| {
        let listed = counter.types("pick amber --format json").good().json();
        let rows = listed["rows"].as_array().unwrap().iter();
        rows.filter(|row| row["part"] == part)
            .map(|row| row["n"].as_i64().unwrap())
            .next()
    };
    let list = counter
        .figure("SELECT list FROM job WHERE number = 'J-0004'")
        .to_string();
    let answer = format!("{}=4:Y70", no("BO-68").unwrap());
    let words = ["pick", "amber", "--list", &list, &answer, "--by", "TW"];
    refused(
        &counter,
        &words,
        269,
        1,
        &format!("job change amber --instead {n}=BO-70"),
    );
    // Two of four: the rest stays as it is.
    let before = counter.figure("SELECT SUM(need) FROM job_line WHERE job = 4");
    let trial = types(
        &counter,
        &format!("job change amber --instead {n}=BO-70:2 --by TW --dry-run"),
    )
    .good();
    assert!(trial.out.contains("TRIAL"), "{}", trial.out);
    let ran = types(
        &counter,
        &format!("job change amber --instead {n}=BO-70:2 --by TW"),
    )
    .good();
    assert_eq!(
        ran.answer(),
        "J-0004 (amber): 1 thing changed, nothing lost by it"
    );
    let says = format!("BO-70 stands in for BO-68 of line {n}: substitute by CO-12 issue 2, from 2026-01-01");
    assert!(ran.out.contains(&says), "{}", ran.out);
    counter.types("check").good();
    // The record keeps both parts and the authority.
    let kept = "SELECT COUNT(*) FROM job_line l JOIN part p ON p.id = l.part WHERE p.number = 'BO-70' \
                AND l.need = 2000000 AND l.how LIKE 'BO-70 stands in for BO-68 of line % CO-12 issue 2%'";
    assert_eq!(counter.figure(kept), 1);
    assert_eq!(
        counter.figure("SELECT SUM(need) FROM job_line WHERE job = 4"),
        before
    );
    counter.types("reserve amber --by TW").good();
    assert!(no("BO-70").is_some() && no("BO-68").is_some());
    let list = counter.figure("SELECT list FROM job WHERE number = 'J-0004'");
    types(&counter, &format!("pick amber --list {list} --as-listed --by TW")).good();
    counter.types("issue amber --by TW").good();
    counter.types("check").good();
}

#[test]
fn a_stand_in_is_taken_back_by_an_undo() {
    let counter = bolts();
    let n = line_of(&counter, "BO-68");
    counter.types("reserve amber --by TW").good();
    let needs = |part: &str| {
        counter.figure(&format!(
            "SELECT SUM(l.need) FROM job_line l JOIN part p ON p.id = l.part WHERE l.job = 4 AND p.number = '{part}'"
        ))
    };
    let told = types(
        &counter,
        &format!("job change amber --instead {n}=BO-70 --by TW --format json"),
    )
    .good()
    .json();
    assert_eq!((needs("BO-68"), needs("BO-70")), (0, 4_000_000));
    let document = told["document"].as_str().unwrap();
    types(&counter, &format!("undo {document} --by TW")).good();
    assert_eq!((needs("BO-68"), needs("BO-70")), (4_000_000, 0));
    counter.types("check").good();
}

#[test]
fn stand_ins_that_make_no_sense_are_faults_of_their_row() {
    let counter = Counter::sample();
    let heads = "part,other,manner,bounds,authority,from_day,until_day\n";
    let import = |rows: &str, more: &str| {
        let path = counter.folder().join("standins.csv");
        std::fs::write(&path, format!("{heads}{rows}\n")).unwrap();
        types(&counter, &format!("import {} --by HP{more}", path.display()))
    };
    for (row, says) in [
        ("SP-20,SP-25,two-way,,,,", "is blank"),
        ("SP-20,SP-20,two-way,,CO,,", "is the part itself"),
        ("SP-20,NOSUCH,two-way,,CO,,", "no part of that name"),
        ("SP-20,WI-08,two-way,,CO,,", "is kept in m, and SP-20 in each"),
        ("SP-20,SP-25,both,,CO,,", "is not a manner of standing in"),
        (
            "SP-20,SP-25,two-way,hole=3mm,CO,,",
            "needs the stack with the hole",
        ),
        (
            "SP-20,SP-25,two-way,,CO,2026-02-02,2026-02-01",
            "comes before from_day",
        ),
        (
            "NU-08,NU-09,two-way,,Tern Slip note TS-31 issue 1 (O. Quarrin),2026-01-01,",
            "is in the books already",
        ),
    ] {
        let ran = import(row, "");
        assert!(
            ran.exit == 65 && ran.err.contains(says),
            "{row} wants {says}: {}",
            ran.err
        );
    }
    // How long it holds may change; in which direction may not.
    let row = "NU-08,NU-09,one-way,,Tern Slip note TS-31 issue 1 (O. Quarrin),2026-01-01,2027-06-30";
    import(row, " --update").good();
    assert_eq!(
        counter.figure("SELECT COUNT(*) FROM stand_in WHERE until_day = '2027-06-30'"),
        1
    );
    let other = import(&row.replace("one-way", "two-way"), " --update");
    assert!(
        other.exit == 65 && other.err.contains("and that stays"),
        "{}",
        other.err
    );
    counter.types("check").good();
}
