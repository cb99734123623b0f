//! `people`: who may sign, from when until when; the first and the last day are theirs.

use crate::desk::Counter;

#[test]
fn listed_and_shown() {
    let counter = Counter::sample();
    // Five in the sample's people.csv; OQ's last day is 2027-01-08.
    assert_eq!(
        counter.run(&["people", "list"]).good().answer(),
        "5 of 5 may sign on 2026-11-25"
    );
    for (day, may) in [("2027-01-08", 5), ("2027-01-09", 4)] {
        let ran = counter.run(&["people", "list", "--on", day]).good();
        assert_eq!(ran.answer(), format!("{may} of 5 may sign on {day}"));
    }
    let ran = counter.run(&["people", "show", "oq"]).good();
    assert_eq!(ran.answer(), "OQ Odell Quarrin: inspector until 2027-01-08");
    let ran = counter.run(&["people", "show", "OQQ"]);
    assert_eq!(ran.exit, 1);
    assert!(ran.err.contains("near it: OQ"), "{}", ran.err);
    let ran = counter.run(&["note", "x", "--by", "TVV"]);
    assert_eq!(ran.exit, 1);
    assert!(
        ran.err.contains("near it:") && ran.err.contains("TW"),
        "{}",
        ran.err
    );
}

#[test]
fn added_ended_and_taken_back() {
    let counter = Counter::sample();
    let add = [
        "people",
        "add",
        "nb",
        "Nell Barrow",
        "--roles",
        "inspector,clerk",
        "--from-day",
        "2026-11-26",
    ];
    let typed = |by: &'static str| [&add[..], &["--by", by]].concat();
    // Who may sign is the manager's to say.
    assert_eq!(counter.run(&typed("TW")).exit, 77);
    let mut trial = typed("DA");
    trial.push("--dry-run");
    counter.run(&trial).good();
    assert_eq!(
        counter.run(&["people", "show", "NB"]).exit,
        1,
        "a trial adds nobody"
    );
    let ran = counter.run(&typed("DA")).good();
    assert_eq!(ran.answer(), "NB Nell Barrow added: may NOT sign on 2026-11-25");
    assert!(ran.out.contains("clerk inspector"), "{}", ran.out);
    assert_eq!(counter.run(&typed("DA")).exit, 1, "initials are taken once");
    assert_eq!(
        counter.run(&["note", "x", "--by", "NB"]).exit,
        77,
        "the day before the first"
    );
    let next_day = |day| {
        counter
            .run(&["settings", "--training-day", day, "--by", "DA"])
            .good()
    };
    next_day("2026-11-26");
    counter.run(&["note", "x", "--by", "NB"]).good();
    let end = ["people", "change", "NB", "--until", "2026-11-26", "--by", "DA"];
    let ran = counter.run(&end).good();
    counter.run(&["note", "x", "--by", "NB"]).good();
    assert_eq!(counter.run(&end).exit, 2, "nothing new is said");
    next_day("2026-11-27");
    assert_eq!(counter.run(&["note", "x", "--by", "NB"]).exit, 77);
    counter.run(&["check"]).good();
    let undo = ran
        .out
        .lines()
        .find_map(|line| line.strip_prefix("next: bincard undo "));
    let document = undo.unwrap().split(' ').next().unwrap().to_owned();
    let clerk = counter.run(&["undo", &document, "--by", "HP"]);
    assert_eq!(
        (clerk.exit, clerk.err.contains("manager")),
        (77, true),
        "{clerk:?}"
    );
    counter.run(&["undo", &document, "--by", "DA"]).good();
    counter.run(&["note", "x", "--by", "NB"]).good();
    counter.run(&["check"]).good();
}

#[test]
fn what_the_register_refuses() {
    let counter = Counter::sample();
    let add = [
        "people",
        "add",
        "NB",
        "Nell Barrow",
        "--roles",
        "clerk",
        "--from-day",
        "2026-11-26",
        "--by",
        "DA",
    ];
    counter.run(&add).good();
    for (words, exit) in [
        (&["people", "change", "NB", "--until", "2026-11-25"][..], 1),
        (&["people", "change", "NB", "--until", "25/11/26"], 2),
        (&["people", "change", "NB", "--roles", "king"], 2),
        (&["people", "add", "A.B", "A Bee", "--roles", "clerk"], 1),
        (&["people", "add", "AB", " ", "--roles", "clerk"], 1),
        (&["people", "add", "AB", "A Bee"], 2),
    ] {
        let typed = [words, &["--by", "DA"]].concat();
        assert_eq!(counter.run(&typed).exit, exit, "{words:?}");
    }
    counter.run(&["check"]).good();
}

#[test]
fn an_empty_register_lets_everybody_sign() {
    let counter = Counter::bare();
    counter.run(&["init", "--name", "Empty", "--by", "TW"]).good();
    let ran = counter.run(&["people", "list"]).good();
    assert_eq!(
        ran.answer(),
        "nobody is registered: any initials may sign anything"
    );
    counter
        .run(&["people", "add", "TW", "Tobit", "--roles", "clerk", "--by", "TW"])
        .good();
    assert_eq!(counter.run(&["note", "x", "--by", "ZZ"]).exit, 1);
    counter.run(&["note", "x", "--by", "TW"]).good();
}

/// Imports a `people.csv` of these rows.
fn import(counter: &Counter, rows: &str, by: &str, update: bool) -> crate::desk::Ran {
    let path = counter.folder().join("people.csv");
    let text = format!("initials,name,roles,authorised_from,authorised_until\n{rows}\n");
    std::fs::write(&path, text).unwrap();
    let path = path.display().to_string();
    let mut typed = vec!["import", path.as_str(), "--by", by];
    if update {
        typed.push("--update");
    }
    counter.run(&typed)
}

#[test]
fn a_file_changes_the_register_only_in_a_managers_hands() {
    // A row that is new, and one that differs from the sample's people.csv in its roles.
    let hester = "HP,Hester Pallow,clerk,2024-03-04,";
    let raised = "HP,Hester Pallow,clerk manager,2024-03-04,";
    let nell = "NB,Nell Barrow,clerk,,";
    for (rows, update) in [(nell, false), (raised, true), (nell, true)] {
        let counter = Counter::sample();
        let before = std::fs::read(counter.store()).unwrap();
        // Clerk, estimator, inspector: none of them is a manager.
        for by in ["HP", "TW", "LV", "OQ"] {
            let ran = import(&counter, rows, by, update);
            assert_eq!(ran.exit, 77, "{rows} by {by}: {ran:?}");
            let told = ran.err.contains("manager") && ran.err.contains("next:");
            assert!(told, "{rows}: {}", ran.err);
            assert_eq!(std::fs::read(counter.store()).unwrap(), before);
        }
        import(&counter, rows, "DA", update).good();
        counter.run(&["check"]).good();
    }
    // What is there already changes nobody: the clerk's folder of files may hold it.
    let counter = Counter::sample();
    import(&counter, hester, "HP", true).good();
}

#[test]
fn the_first_register_may_come_from_a_file_of_anybodys() {
    let counter = Counter::bare();
    counter.run(&["init", "--name", "Empty", "--by", "TW"]).good();
    import(&counter, "DA,Dunmore Achery,manager,,", "TW", false).good();
    assert_eq!(
        import(&counter, "TW,Tobit,clerk,,", "TW", false).exit,
        1,
        "TW is not registered"
    );
    import(&counter, "TW,Tobit,clerk,,", "DA", false).good();
    assert_eq!(import(&counter, "HP,Hester,clerk,,", "TW", false).exit, 77);
}
