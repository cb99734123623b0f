//! Acceptance by class of part: which papers, what must be known, what is looked at; a concession by a named inspector.

use crate::desk::{Counter, split};
use crate::stores::{done_and_undone, refused};

/// Types a line with quotes in it.
fn types(counter: &Counter, line: &str) -> crate::desk::Ran {
    let words = split(line);
    counter.run(&words.iter().map(String::as_str).collect::<Vec<_>>())
}

#[track_caller]
fn turned_away(counter: &Counter, line: &str, number: u16, exit: u8, says: &str) {
    let words = split(line);
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    refused(counter, &words, number, exit, says);
}

/// The facts of this area, by their ids.
fn facts() -> Vec<(String, toml::Table)> {
    let facts: toml::Table = include_str!("../../facts/acceptance.toml").parse().unwrap();
    let cases = facts["case"].as_array().unwrap().iter();
    cases
        .map(|case| {
            (
                case["id"].as_str().unwrap().to_owned(),
                case.as_table().unwrap().clone(),
            )
        })
        .collect()
}

/// A counter with one part of each class, a supplier, and the goods of one of them in receiving.
fn with_goods(class: &str, words: &str) -> Counter {
    let counter = Counter::bare();
    types(&counter, "init --name Tern --by HP").good();
    for (name, text) in [
        (
            "suppliers.csv",
            "code,name,currency,lead_days\nSUP,Supplier,GBP,14\n".to_owned(),
        ),
        ("customers.csv", "code,name\nONE,First Flights\n".to_owned()),
        (
            "people.csv",
            "initials,name,roles,authorised_from,authorised_until\nHP,Hester,clerk,,\nDA,Dunmore,manager,,\n\
             OQ,Odell,inspector,2026-01-01,2026-11-25\nOL,Old,inspector,2020-01-01,2026-11-24\n"
                .to_owned(),
        ),
        (
            "parts.csv",
            format!(
                "number,name,class,unit,step,hand_out,life,opened_life_days,pack_policy,bench_stock,critical,maker,issue\n\
                 P-1,thing,{class},each,1,,,,measure,no,no,,\n"
            ),
        ),
        (
            "bins.csv",
            "code,name,kind,parent,walk\nIN,table,receiving,,\nA-1,shelf,shelf,,1\nCAGE,cage,quarantine,,\n"
                .to_owned(),
        ),
    ] {
        std::fs::write(counter.folder().join(name), text).unwrap();
    }
    let folder = counter.folder().display().to_string();
    counter.run(&["import", &folder, "--by", "HP"]).good();
    types(&counter, &format!("goods-in P-1 8 {words} --by HP")).good();
    counter
}

/// The lot that came in.
const LOT: &str = "L000001C";

/// Facts accept-1 to accept-3: with the paper of its class, and for a material with maker, supplier and batch, it is
/// good; fact accept-4 and short-ship-2: without, none of it is, and it goes to quarantine with its code.
#[test]
fn each_class_by_its_papers() {
    let mut seen = Vec::new();
    for (id, fact) in facts() {
        let input = |name: &str| fact["inputs"].get(name).and_then(toml::Value::as_str);
        let (Some(kind), Some(docs)) = (input("kind"), input("docs")) else {
            continue;
        };
        let source = if docs.contains("manufacturer") {
            " --maker M --batch B7"
        } else {
            ""
        };
        let counter = with_goods(kind, &format!("--supplier SUP{source} --cost 8"));
        let sort = [("release", "release"), ("conformity", "conformity")]
            .into_iter()
            .find(|(word, _)| docs.contains(word));
        let Some((_, sort)) = sort else {
            assert!(fact["expected"].as_str().unwrap().contains("segregated"), "{id}");
            turned_away(
                &counter,
                &format!("inspect {LOT} 8 --to A-1 --checked all --by OQ"),
                287,
                1,
                "no release certificate",
            );
            seen.push(id);
            continue;
        };
        types(
            &counter,
            &format!("certificate add C-1 P-1 8 --sort {sort} --issuer S --by HP"),
        )
        .good();
        let answer = types(
            &counter,
            &format!("inspect {LOT} 8 --to A-1 --certificate C-1 --checked all --by OQ"),
        )
        .good();
        assert_eq!(answer.answer(), "P-1: 8 each accepted into A-1", "{id}");
        counter.types("check").good();
        seen.push(id);
    }
    assert_eq!(seen, ["accept-1", "accept-2", "accept-3", "accept-4"]);
}

/// Fact short-ship-2: eight came, eight without a certificate: none available, eight in quarantine.
#[test]
fn eight_without_a_certificate_are_in_quarantine() {
    let (_, fact) = facts().into_iter().find(|(id, _)| id == "short-ship-2").unwrap();
    assert_eq!(fact["inputs"]["no_certificate"].as_integer(), Some(8));
    let counter = with_goods("component", "--supplier SUP --cost 8");
    let ran = types(
        &counter,
        &format!("inspect {LOT} 8 --to A-1 --checked all --by OQ"),
    );
    let offered = format!("bincard inspect {LOT} --cage 8 -w no papers --by INITIALS");
    assert!(ran.err.replace("\n  ", " ").contains(&offered), "{}", ran.err);
    types(&counter, &format!("inspect {LOT} --cage 8 -w no papers --by OQ")).good();
    let at = |place: &str| {
        counter.figure(&format!(
            "SELECT COALESCE(SUM(b.qty), 0) / 1000000 FROM balance b JOIN place p ON p.id = b.place WHERE p.code = '{place}'"
        ))
    };
    let wanted = |name: &str| fact["expected"][name].as_integer().unwrap();
    assert_eq!(
        (at("A-1"), at("CAGE")),
        (wanted("available"), wanted("quarantine"))
    );
    // What lies in the cage says why.
    let waits = types(&counter, "inspect").good();
    assert!(waits.out.contains("no papers"), "{}", waits.out);
}

#[test]
fn what_is_lacking_is_named() {
    let counter = with_goods("material", "--supplier SUP --cost 8");
    let accept = |more: &str| format!("inspect {LOT} 8 --to A-1 {more}--by OQ");
    for (line, says) in [
        (
            accept("--checked all "),
            "no conformity statement; its maker is not known; its batch is not known",
        ),
        (
            accept("--checked package,damage "),
            "not looked at: count, marking, paper",
        ),
        (
            accept(""),
            "not looked at: package, damage, count, marking, paper",
        ),
    ] {
        turned_away(&counter, &line, 287, 1, says);
    }
    turned_away(
        &counter,
        &accept("--checked smell "),
        402,
        2,
        "smell is no point of the list",
    );
    // A reason without a code, and one that only begins like one.
    turned_away(
        &counter,
        &format!("inspect {LOT} --cage 8 -w scratched --by OQ"),
        288,
        1,
        "begins with none",
    );
    turned_away(
        &counter,
        &format!("inspect {LOT} --cage 8 -w overdone --by OQ"),
        288,
        1,
        "begins with none",
    );
    types(
        &counter,
        &format!("inspect {LOT} --cage 8 -w over, none was ordered --by OQ"),
    )
    .good();
}

#[test]
fn a_tool_needs_nothing() {
    let counter = with_goods("tool", "--supplier SUP --cost 8");
    types(&counter, &format!("inspect {LOT} 8 --to A-1 --by OQ")).good();
}

/// The list is shown and nothing is posted; what was looked at is kept with the initials.
#[test]
fn the_list_of_checks() {
    let counter = with_goods("component", "--supplier SUP --cost 8");
    let before = counter.figure("SELECT COUNT(*) FROM document");
    let shown = types(&counter, &format!("inspect {LOT}")).good();
    for said in [
        "component: release certificate",
        "package",
        "damage",
        "count",
        "marking",
        "paper",
    ] {
        assert!(shown.out.contains(said), "{said}: {}", shown.out);
    }
    assert_eq!(counter.figure("SELECT COUNT(*) FROM document"), before);
    types(
        &counter,
        "certificate add C-1 P-1 8 --sort release --issuer S --by HP",
    )
    .good();
    let line = format!(
        "inspect {LOT} 8 --to A-1 --certificate C-1 --checked package,damage,count,marking,paper --by OQ"
    );
    let words = split(&line);
    done_and_undone(&counter, &words.iter().map(String::as_str).collect::<Vec<_>>());
    let kept = "SELECT COUNT(*) FROM note WHERE what = 'lot' AND what_id = 1 AND topic = 'checklist' \
                AND text = 'package, damage, count, marking, paper: OQ'";
    assert_eq!(counter.figure(kept), 1);
}

/// "No accept anyway without a named inspector": his initials stand in the register and his days hold.
#[test]
fn accepted_by_concession_of_a_named_inspector() {
    let counter = with_goods("component", "--supplier SUP --cost 8");
    let line =
        |by: &str| format!("inspect {LOT} 8 --to A-1 --concession \"paper follows by post\" --by {by}");
    turned_away(
        &counter,
        &line("HP"),
        225,
        77,
        "a concession is for the inspector",
    );
    turned_away(
        &counter,
        &line("DA"),
        225,
        77,
        "a concession is for the inspector",
    );
    // His authorisation ended yesterday; the other's ends today and holds.
    turned_away(
        &counter,
        &line("OL"),
        225,
        77,
        "outside the days of the authorisation",
    );
    let words = split(&line("OQ"));
    let ran = done_and_undone(&counter, &words.iter().map(String::as_str).collect::<Vec<_>>());
    let out = ran.out.replace('\n', " ");
    assert!(
        out.contains("accepted by concession of OQ: no release certificate"),
        "{}",
        ran.out
    );
    types(&counter, &line("OQ")).good();
    let reason = "SELECT COUNT(*) FROM document WHERE reason = 'concession: paper follows by post' AND kind = 'accept'";
    assert_eq!(counter.figure(reason), 2);
}

#[test]
fn nothing_is_conceded_where_nothing_lacks_or_nobody_is_registered() {
    let counter = with_goods("tool", "--supplier SUP --cost 8");
    turned_away(
        &counter,
        &format!("inspect {LOT} 8 --to A-1 --concession fine --by OQ"),
        402,
        2,
        "nothing is lacking",
    );
    let counter = Counter::bare();
    types(&counter, "init --name Tern --by HP").good();
    std::fs::write(
        counter.folder().join("parts.csv"),
        "number,name,class,unit,step,hand_out,life,opened_life_days,pack_policy,bench_stock,critical,maker,issue\n\
         P-1,thing,component,each,1,,,,measure,no,no,,\n",
    )
    .unwrap();
    std::fs::write(
        counter.folder().join("suppliers.csv"),
        "code,name,currency,lead_days\nSUP,Supplier,GBP,14\n",
    )
    .unwrap();
    std::fs::write(
        counter.folder().join("bins.csv"),
        "code,name,kind,parent,walk\nIN,table,receiving,,\nA-1,shelf,shelf,,1\n",
    )
    .unwrap();
    let folder = counter.folder().display().to_string();
    counter.run(&["import", &folder, "--by", "HP"]).good();
    types(&counter, "goods-in P-1 8 --supplier SUP --cost 8 --by HP").good();
    turned_away(
        &counter,
        &format!("inspect {LOT} 8 --to A-1 --concession fine --by HP"),
        225,
        77,
        "named in the register",
    );
}

/// What stood on the shelf and lay in the cage for a day needs no paper that it never had; what an earlier inspection
/// drew a paper for needs none again.
#[test]
fn what_was_good_before_needs_no_new_paper() {
    let counter = Counter::sample();
    types(&counter, "quarantine L000025X 1 --by TW -w damaged").good();
    types(&counter, "inspect L000025X 1 --by OQ").good();
    let counter = with_goods("component", "--supplier SUP --cost 8");
    types(
        &counter,
        "certificate add C-1 P-1 8 --sort release --issuer S --by HP",
    )
    .good();
    types(
        &counter,
        &format!("inspect {LOT} 8 --to A-1 --certificate C-1 --checked all --by OQ"),
    )
    .good();
    types(&counter, &format!("quarantine {LOT} 3 -w suspect --by HP")).good();
    types(
        &counter,
        &format!("inspect {LOT} 3 --to A-1 --checked all --by OQ"),
    )
    .good();
    assert_eq!(counter.figure("SELECT drawn FROM certificate"), 8_000_000);
}

#[test]
fn the_shop_has_rules_of_its_own() {
    let counter = with_goods("component", "--supplier SUP --cost 8");
    let rules = counter.folder().join("rules.csv");
    let import = |text: &str, more: &str, by: &str| {
        std::fs::write(&rules, format!("class,name,text\n{text}\n")).unwrap();
        types(&counter, &format!("import {} {more}--by {by}", rules.display()))
    };
    // A clerk does not say what goods are asked for.
    assert_eq!(import("component,papers,none", "", "HP").exit, 77);
    for (row, says) in [
        ("component,papers,birth certificate", "birth certificate"),
        ("component,checks,smell", "it may hold package"),
        ("component,least life,101", "0 to 100"),
        ("component,colour,red", "is no rule"),
        ("wheel,papers,none", "class of part"),
        ("component,count days,30", "A, B and C"),
        ("A,count days,0", "whole number of days"),
        ("A,count tolerance,101", "0 to 100"),
    ] {
        let ran = import(row, "", "OQ");
        assert_eq!(ran.exit, 65, "{row}");
        assert!(ran.err.contains(says), "{row}: {}", ran.err);
    }
    import("component,papers,test report\ncomponent,checks,none", "", "OQ").good();
    turned_away(
        &counter,
        &format!("inspect {LOT} 8 --to A-1 --by OQ"),
        287,
        1,
        "no test report",
    );
    import("component,papers,none\ncomponent,checks,none", "--update ", "DA").good();
    types(&counter, &format!("inspect {LOT} 8 --to A-1 --by OQ")).good();
    let given = types(&counter, "export rules").good();
    assert_eq!(
        given.out,
        "class,name,text\ncomponent,papers,none\ncomponent,checks,none\n"
    );
    counter.types("check").good();
}

#[test]
fn whether_papers_are_asked_is_recorded() {
    let counter = with_goods("component", "--supplier SUP --cost 8");
    turned_away(
        &counter,
        "settings --papers off --by HP",
        225,
        77,
        "inspector or the manager",
    );
    turned_away(
        &counter,
        "settings --papers ask --by OQ",
        402,
        2,
        "asked for already",
    );
    let ran = types(&counter, "settings --papers off --by OQ").good();
    assert_eq!(ran.answer(), "papers are not asked for from now on");
    types(&counter, &format!("inspect {LOT} 4 --to A-1 --by OQ")).good();
    let change = counter.figure("SELECT document FROM change WHERE field = 'papers'");
    types(&counter, &format!("undo {change} --by OQ")).good();
    turned_away(
        &counter,
        &format!("inspect {LOT} 4 --to A-1 --by OQ"),
        287,
        1,
        "no release certificate",
    );
    counter.types("check").good();
    let shown = types(&counter, "settings").good();
    assert!(shown.out.contains("asked at acceptance"), "{}", shown.out);
}

/// Facts remain-1 and remain-2: what of its life was left when it came, against what is asked for.
#[test]
fn enough_of_its_life_is_left_or_not() {
    let mut seen = Vec::new();
    for (id, fact) in facts() {
        let input = |name: &str| fact["inputs"].get(name).and_then(toml::Value::as_str);
        let (Some(made), Some(last), Some(came)) = (input("made"), input("expiry"), input("received")) else {
            continue;
        };
        let least = fact["inputs"]["min_remaining_pct"].as_float().unwrap();
        let percent = fact["expected"]["pct"].as_float().unwrap();
        let good = fact["expected"]["accept"].as_bool().unwrap();
        let counter = with_goods("tool", "--supplier SUP --cost 8");
        // A part's own share stands among its sizes; a class's among the rules: each way once.
        let (name, text) = if good {
            (
                "rules.csv",
                format!("class,name,text\ntool,least life,{least} %\n"),
            )
        } else {
            (
                "sizes.csv",
                format!("part,name,value,unit\nP-1,least_life_percent,{least},\n"),
            )
        };
        let file = counter.folder().join(name);
        std::fs::write(&file, text).unwrap();
        types(&counter, &format!("import {} --by OQ", file.display())).good();
        types(
            &counter,
            &format!(
                "goods-in P-1 4 --supplier SUP --cost 4 --made {made} --expiry {last} --on {came} --by HP"
            ),
        )
        .good();
        let line = "inspect L000002A 4 --to A-1 --by OQ";
        if good {
            let ran = types(&counter, line).good();
            assert!(ran.out.contains(&format!("{percent} %")), "{id}: {}", ran.out);
        } else {
            let days = |name: &str| fact["expected"][name].as_integer().unwrap();
            let says = format!(
                "{} of {} days were left when it came: {percent} % of its life, at least {least} % is asked for",
                days("remaining_days"),
                days("total_days")
            );
            turned_away(&counter, line, 287, 1, &says);
            // Or accepted with a concession, which is recorded.
            let conceded = types(&counter, &format!("{line} --concession used this week")).good();
            assert!(
                conceded.out.contains("accepted by concession of OQ"),
                "{}",
                conceded.out
            );
        }
        seen.push(id);
    }
    assert_eq!(seen, ["remain-1", "remain-2"]);
}

/// A life that nobody can work out is no life that is enough; what does not die has all of it.
#[test]
fn a_life_that_is_not_known() {
    let counter = with_goods("tool", "--supplier SUP --cost 8");
    let file = counter.folder().join("rules.csv");
    std::fs::write(&file, "class,name,text\ntool,least life,50\n").unwrap();
    types(&counter, &format!("import {} --by OQ", file.display())).good();
    types(
        &counter,
        "goods-in P-1 4 --supplier SUP --cost 4 --expiry 2027-06-30 --by HP",
    )
    .good();
    turned_away(
        &counter,
        "inspect L000002A 4 --to A-1 --by OQ",
        287,
        1,
        "the day it was made is not known",
    );
    types(&counter, &format!("inspect {LOT} 8 --to A-1 --by OQ")).good();
}

/// Worked out by hand: 3 of 4 days are 75 % exactly, and 75.000001 % is more than that.
#[test]
fn the_share_is_decided_exactly() {
    use bincard::domain::acceptance::life::LifeLeft;
    use bincard::domain::measure::Qty;
    let left = |left_days, total_days| LifeLeft {
        left_days,
        total_days,
    };
    for (life, least, enough) in [
        (left(3, 4), "75", true),
        (left(3, 4), "75.000001", false),
        (left(1, 3), "33.333333", true),
        (left(1, 3), "33.333334", false),
        (left(0, 4), "0", true),
        (left(-1, 4), "0", false),
        (left(4, 4), "100", true),
    ] {
        assert_eq!(
            life.at_least(Qty::parse(least).unwrap()),
            enough,
            "{life:?} {least}"
        );
    }
    assert_eq!(left(1, 3).percent().to_string(), "33.3");
    // A half is rounded away from nought: 1 of 16 days are 6.25 %.
    assert_eq!(left(1, 16).percent().to_string(), "6.3");
}
