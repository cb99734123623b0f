//! `import` on books that have some of the rows already: passed over, refused, or changed where that is asked for.

use crate::desk::{Counter, Ran, run_typing};

const PARTS: &str = "number,name,class,unit,step,hand_out,life,opened_life_days,pack_policy,bench_stock,critical,maker,issue\n";
const NUT: &str = "NUT,\"nut, M8\",standard part,each,1,,,,measure,no,no,,\n";
const BINS: &str = "code,name,kind,parent,walk\n";
const STOCK: &str = "part,bin,qty,value,batch,serial,expiry,condition,owner,maker,made\n";

/// A store with a part, two bins, a customer, a supplier with a price, an engine model and an engine.
fn shop() -> Counter {
    let counter = Counter::bare();
    counter.run(&["init", "--name", "Tern Slip", "--by", "HP"]).good();
    let model = "M1,\"engine, model one\",engine model,each,1,,,,measure,no,no,,\n";
    import(
        &counter,
        &[
            ("parts.csv", &format!("{PARTS}{NUT}{model}")),
            ("sizes.csv", "part,name,value,unit\nNUT,thread,8,mm\n"),
            (
                "bins.csv",
                &format!("{BINS}A,rack,shelf,,1\nA-1,top shelf,shelf,A,2\n"),
            ),
            (
                "customers.csv",
                "code,name\nONE,First Flights\nTWO,Second Flights\n",
            ),
            (
                "suppliers.csv",
                "code,name,currency,lead_days,approved_from,approved_until,scope\nSUP,Supplier,GBP,14,2026-01-01,,\n",
            ),
            (
                "prices.csv",
                "part,supplier,basis,from_day,from_qty,unit,amount,currency\n\
                 NUT,SUP,purchase,2026-01-05,0,each,1.15,GBP\n",
            ),
            (
                "rates.csv",
                "kind,name,from_day,amount\nlabour,bench,2026-01-01,64\n",
            ),
            ("engines.csv", "model,serial,customer\nM1,E-1,ONE\n"),
        ],
        &[],
    )
    .good();
    counter
}

/// Writes files into the counter's folder and imports them.
fn import(counter: &Counter, files: &[(&str, &str)], more: &[&str]) -> Ran {
    let mut words = vec!["import".to_owned()];
    for (name, text) in files {
        let path = counter.folder().join(name);
        std::fs::write(&path, text).unwrap();
        words.push(path.display().to_string());
    }
    words.extend(["--by", "HP"].map(str::to_owned));
    words.extend(more.iter().map(|word| (*word).to_owned()));
    counter.run(&words.iter().map(String::as_str).collect::<Vec<_>>())
}

#[test]
fn what_is_there_already_is_passed_over_and_counted() {
    let counter = shop();
    let before = std::fs::read(counter.store()).unwrap();
    let parts = format!("{PARTS}{NUT}");
    let ran = import(&counter, &[("parts.csv", &parts)], &[]).good();
    assert_eq!(
        ran.answer(),
        "nothing to take on: all 1 rows are in the books already"
    );
    assert_eq!(std::fs::read(counter.store()).unwrap(), before);
    // 8.0 is 8 and 1.150 is 1.15: what is held against the books is the value, not its spelling.
    let files = [
        (
            "sizes.csv",
            "part,name,value,unit\nNUT,thread,8.0,mm\nNUT,height,6.5,mm\n",
        ),
        (
            "prices.csv",
            "part,supplier,basis,from_day,from_qty,unit,amount,currency\n\
             NUT,SUP,purchase,2026-01-05,,each,1.150,GBP\n",
        ),
    ];
    let ran = import(&counter, &files, &["--format", "json"]).good().json();
    assert_eq!(ran["answer"], "1 records taken on, 2 there already, none refused");
    assert_eq!(ran["rows"][0]["rows"], 1);
    assert_eq!(ran["rows"][0]["there_already"], 1);
    assert_eq!(ran["rows"][1]["there_already"], 1);
}

#[test]
fn each_row_of_goods_in_the_books_answers_for_one_row_of_the_file() {
    let counter = shop();
    // Two bags of one batch in one bin are two lots.
    let two = format!("{STOCK}NUT,A-1,10,5,B1,,,new,,,\nNUT,A-1,10,5,B1,,,new,,,\n");
    assert!(
        import(&counter, &[("stock.csv", &two)], &[])
            .good()
            .answer()
            .starts_with("2 records taken on")
    );
    let three = format!("{two}NUT,A-1,10,5,B1,,,new,,,\n");
    let ran = import(&counter, &[("stock.csv", &three)], &[]).good();
    assert_eq!(ran.answer(), "1 records taken on, 2 there already, none refused");
    // What was taken back is not there any more.
    let document = ran
        .out
        .split_whitespace()
        .find(|word| word.starts_with("IMP-"))
        .unwrap()
        .to_owned();
    counter.run(&["undo", &document, "--by", "HP"]).good();
    let ran = import(&counter, &[("stock.csv", &three)], &[]).good();
    assert_eq!(ran.answer(), "1 records taken on, 2 there already, none refused");
}

#[test]
fn a_record_that_differs_is_a_fault_that_names_update() {
    let counter = shop();
    let before = std::fs::read(counter.store()).unwrap();
    let parts = format!("{PARTS}NUT,\"nut, M9\",standard part,each,1,,,,measure,no,no,,\n");
    let ran = import(&counter, &[("parts.csv", &parts)], &[]);
    assert_eq!(ran.exit, 65, "{ran:?}");
    for told in [
        "parts.csv:2:5: name \"nut, M9\": NUT is in the books already, with \"nut, M8\" there",
        "^^^^^^^^^",
        "--update changes it",
    ] {
        assert!(ran.err.contains(told), "{told}\n{}", ran.err);
    }
    assert_eq!(std::fs::read(counter.store()).unwrap(), before);
}

/// File, row, what is changed, old and new: as the rows above and below have them.
const CHANGES: &[(&str, &str, [&str; 3])] = &[
    (
        "parts.csv",
        "NUT,\"nut, M8\",standard part,each,1,,,,measure,no,no,,,,5.5",
        ["grams_per_unit", "", "5.5"],
    ),
    (
        "parts.csv",
        "NUT,\"nut, hexagon, M8\",standard part,each,1,,,,measure,no,no,,,,",
        ["name", "nut, M8", "nut, hexagon, M8"],
    ),
    (
        "parts.csv",
        "NUT,\"nut, M8\",standard part,each,1,,10 years,,measure,no,no,,,,",
        ["life", "", "120 months"],
    ),
    (
        "parts.csv",
        "NUT,\"nut, M8\",standard part,each,1,,,90,measure,no,no,,,,",
        ["opened_life_days", "", "90"],
    ),
    (
        "parts.csv",
        "NUT,\"nut, M8\",standard part,each,1,,,,whole,no,no,,,,",
        ["pack_policy", "measure", "whole"],
    ),
    (
        "parts.csv",
        "NUT,\"nut, M8\",standard part,each,1,,,,measure,no,yes,,,,",
        ["critical", "no", "yes"],
    ),
    (
        "bins.csv",
        "A,long rack,shelf,,1,,",
        ["name", "rack", "long rack"],
    ),
    ("bins.csv", "A-1,top shelf,shelf,,2,,", ["parent", "A", ""]),
    ("bins.csv", "A-1,top shelf,shelf,A,7,,", ["walk", "2", "7"]),
    (
        "customers.csv",
        "ONE,Foremost Flights",
        ["name", "First Flights", "Foremost Flights"],
    ),
    (
        "suppliers.csv",
        "SUP,Supplier,EUR,14,2026-01-01,,",
        ["currency", "GBP", "EUR"],
    ),
    (
        "suppliers.csv",
        "SUP,Supplier,GBP,,2026-01-01,,",
        ["lead_days", "14", ""],
    ),
    (
        "suppliers.csv",
        "SUP,Supplier,GBP,14,,,",
        ["approved_from", "2026-01-01", ""],
    ),
    (
        "suppliers.csv",
        "SUP,Supplier,GBP,14,2026-01-01,2027-01-01,",
        ["approved_until", "", "2027-01-01"],
    ),
    (
        "suppliers.csv",
        "SUP,Supplier,GBP,14,2026-01-01,,material",
        ["scope", "", "material"],
    ),
    (
        "prices.csv",
        "NUT,SUP,purchase,2026-01-05,0,each,1.2,GBP",
        ["amount", "1.15", "1.20"],
    ),
    ("engines.csv", "M1,E-1,TWO", ["customer", "ONE", "TWO"]),
    ("engines.csv", "M1,E-1,", ["customer", "ONE", ""]),
];

fn headings(name: &str) -> String {
    let known = bincard::intake::HEADINGS.iter();
    let mut found = known.filter(|(stem, _)| name.starts_with(&format!("{stem}.")));
    found.next().unwrap().1.join(",")
}

#[test]
fn with_update_a_field_is_changed_shown_proved_and_taken_back() {
    for (name, row, [heading, old, new]) in CHANGES {
        let counter = shop();
        let text = format!("{}\n{row}\n", headings(name));
        let trial = import(&counter, &[(name, &text)], &["--update", "--dry-run"]).good();
        assert!(trial.out.contains("TRIAL, NOTHING POSTED"), "{row}");
        let ran = import(&counter, &[(name, &text)], &["--update", "--format", "json"])
            .good()
            .json();
        let change = &ran["tables"]["changed"][0];
        assert_eq!(
            ran["answer"], "0 records taken on, 1 changed, none refused",
            "{row}"
        );
        assert_eq!(change["what"], *heading, "{row}");
        assert_eq!(
            (
                change["old"].as_str().unwrap_or(""),
                change["new"].as_str().unwrap_or("")
            ),
            (*old, *new),
            "{row}"
        );
        counter.run(&["check"]).good();
        // Once it is changed the row is there already.
        let again = import(&counter, &[(name, &text)], &[]).good();
        assert!(again.answer().starts_with("nothing to take on"), "{row}");
        counter
            .run(&["undo", ran["document"].as_str().unwrap(), "--by", "HP"])
            .good();
        counter.run(&["check"]).good();
        let differs = import(&counter, &[(name, &text)], &[]);
        assert_eq!(differs.exit, 65, "{row}: the old value is back");
    }
}

#[test]
fn a_field_changed_again_is_not_taken_back() {
    let counter = shop();
    for name in ["rack one", "rack two"] {
        import(
            &counter,
            &[("bins.csv", &format!("{BINS}A,{name},shelf,,1\n"))],
            &["--update"],
        )
        .good();
    }
    // Founding, the shop, then the two changes.
    let ran = counter.run(&["undo", "IMP-000003", "--by", "HP"]);
    assert_eq!(ran.exit, 1, "{ran:?}");
    assert!(
        ran.err.contains("name of the place was changed since"),
        "{}",
        ran.err
    );
    counter.run(&["undo", "IMP-000004", "--by", "HP"]).good();
    counter.run(&["check"]).good();
}

#[test]
fn what_stock_hangs_on_is_never_changed() {
    let counter = shop();
    for (name, row, words) in [
        (
            "parts.csv",
            "NUT,\"nut, M8\",standard part,set,1,,,,measure,no,no,,,,",
            "make a part of another number",
        ),
        ("sizes.csv", "NUT,thread,9,mm", "make a part of another number"),
        ("rates.csv", "labour,bench,2026-01-01,65", "from a later day"),
        (
            "bins.csv",
            "A,rack,bench,,1,,",
            "make a bin of another code and move",
        ),
        ("bins.csv", "A,rack,shelf,A-1,1,,", "would lie in itself"),
        ("bins.csv", "A,rack,shelf,A,1,,", "would lie in itself"),
        ("bins.csv", "A,rack,shelf,B,1,,", "no bin of that name"),
    ] {
        let before = std::fs::read(counter.store()).unwrap();
        let text = format!("{}\n{row}\n", headings(name));
        let ran = import(&counter, &[(name, &text)], &["--update"]);
        assert_eq!(ran.exit, 65, "{row}: {ran:?}");
        assert!(ran.err.contains(words), "{row}: {}", ran.err);
        assert_eq!(std::fs::read(counter.store()).unwrap(), before, "{row}");
    }
}

#[test]
fn jobs_come_with_the_bills_they_name() {
    let sample = concat!(env!("CARGO_MANIFEST_DIR"), "/sample-data");
    let counter = Counter::bare();
    let name = ["--name", "Tern Slip", "--training-day", "2026-11-02"];
    counter
        .run(&["init", name[0], name[1], name[2], name[3], "--by", "HP"])
        .good();
    let (opening, jobs) = (format!("{sample}/opening"), format!("{sample}/jobs.csv"));
    counter.run(&["import", &opening, &jobs, "--by", "HP"]).good();
    counter.run(&["check"]).good();
    // The needs are those of jobs that were raised when the bills stood in the books.
    let apart = Counter::sample();
    for tag in ["amber", "blue", "green", "red"] {
        let needs = |counter: &Counter| {
            let shown = counter
                .run(&["job", "show", tag, "--format", "json"])
                .good()
                .json();
            let rows = shown["rows"].as_array().unwrap().clone();
            rows.into_iter()
                .map(|row| (row["part"].clone(), row["need"].clone()))
                .collect::<Vec<_>>()
        };
        let together = needs(&counter);
        assert!(together.len() > 20, "{tag}");
        assert_eq!(together, needs(&apart), "{tag}");
    }
    // The same files again: nothing is there twice.
    let again = counter.run(&["import", &opening, &jobs, "--by", "HP"]).good();
    assert!(again.answer().starts_with("nothing to take on"), "{}", again.out);
    // A job that differs from the open one of its tag is refused.
    let text = std::fs::read_to_string(&jobs).unwrap();
    let later = text.replace("2026-12-02", "2026-12-03");
    let ran = import(&counter, &[("jobs.csv", &later)], &[]);
    assert_eq!(ran.exit, 65, "{ran:?}");
    assert!(
        ran.err.contains("tag \"blue\"") && ran.err.contains("--update"),
        "{}",
        ran.err
    );
}

#[test]
fn what_is_piped_in_is_read_as_the_kind_that_is_said() {
    let counter = shop();
    let store = counter.store().display().to_string();
    let pipe = |words: &[&str], text: &str| {
        let mut all = vec!["--store", store.as_str(), "--by", "HP", "import"];
        all.extend(words);
        run_typing(&all, &|_| None, Some(text))
    };
    let customers = "code,name\nNEW,New Flights\n";
    let ran = pipe(&["-", "--kind", "customers"], customers).good();
    assert!(ran.answer().starts_with("1 records taken on"), "{}", ran.out);
    let ran = pipe(&["-", "--kind", "customers"], "code,name\nBAD,\n");
    assert_eq!(ran.exit, 65);
    assert!(ran.err.contains("-/customers.csv:2:5"), "{}", ran.err);
    for (words, told) in [
        (vec!["-"], "--kind people|customers"),
        (vec!["-", "--kind", "bolts"], "one of: people, customers"),
        (vec!["-", "-", "--kind", "parts"], "give one -"),
        (vec!["parts.csv", "--kind", "parts"], "leave --kind out"),
    ] {
        let ran = pipe(&words, customers);
        assert_eq!(ran.exit, 2, "{words:?}: {ran:?}");
        assert!(ran.err.contains(told), "{words:?}: {}", ran.err);
    }
}
