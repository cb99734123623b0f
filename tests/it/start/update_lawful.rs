//! `import --update` of what figures hang on: changed while nothing stands on it, refused with place, reason and way out
//! once something does; by an undo no less than by a file.

use crate::desk::{Counter, Ran};

/// Files of a shop with one of everything; OIL is a part that nothing hangs on, TC-2 a bill that no job uses.
const SHOP: &[(&str, &str)] = &[
    (
        "parts",
        "number,name,class,unit,step,hand_out,life,opened_life_days,pack_policy,bench_stock,critical,maker,issue\n\
         NUT,nut,standard part,each,1,,,,measure,no,no,,\n\
         OIL,oil,material,ml,1,,,,measure,no,no,,\n\
         M1,engine,engine model,each,1,,,,measure,no,no,,\n\
         TC-1,first conversion,conversion,each,1,,,,measure,no,no,,\n\
         TC-2,second conversion,conversion,each,1,,,,measure,no,no,,\n",
    ),
    ("sizes", "part,name,value,unit\nOIL,flash,200,\n"),
    (
        "bins",
        "code,name,kind,parent,walk\nA-1,top shelf,shelf,,2\nR-1,doormat,receiving,,1\n",
    ),
    (
        "people",
        "initials,name,roles,authorised_from,authorised_until\nDA,Dunmore,manager clerk,,\n",
    ),
    ("customers", "code,name\nONE,First Flights\n"),
    ("suppliers", "code,name,currency,lead_days\nSUP,Supplier,GBP,14\n"),
    (
        "prices",
        "part,supplier,basis,from_day,from_qty,unit,amount,currency\nNUT,SUP,purchase,2026-01-05,0,each,1.15,GBP\n",
    ),
    ("rates", "kind,name,from_day,amount\nlabour,bench,2026-01-01,64\n"),
    ("engines", "model,serial,customer\nM1,E-1,ONE\nM1,E-2,ONE\n"),
    (
        "bills",
        "part,revision,from_day,until_day,fits,data_source\n\
         TC-1,A,2026-01-01,,M1,manual one\nTC-2,A,2026-01-01,,M1,manual two\n",
    ),
    (
        "bill_lines",
        "bill,revision,n,kind,part,qty,per,group,choice,text,waste\n\
         TC-1,A,1,part,NUT,2,engine,,,,\nTC-2,A,1,part,NUT,3,engine,,,,\n",
    ),
    (
        "orders",
        "order,supplier,day,part,qty,value,promised\nORD-1,SUP,2026-11-12,NUT,10,20.00,2026-12-04\n",
    ),
    (
        "jobs",
        "conversion,choices,engine,customer,tag,use_day,priority\nTC-1,,E-1,ONE,blue,2026-12-02,5\n",
    ),
];

fn shop() -> Counter {
    let counter = Counter::bare();
    counter.types("init --name Second --by DA").good();
    let folder = counter.folder().join("shop");
    std::fs::create_dir(&folder).unwrap();
    for (stem, text) in SHOP {
        std::fs::write(folder.join(format!("{stem}.csv")), text).unwrap();
    }
    counter
        .types(&format!("import {} --by DA", folder.display()))
        .good();
    counter
}

fn exported(counter: &Counter, stem: &str) -> String {
    counter.run(&["export", stem]).good().out
}

/// The file as the store gives it, with one text in place of another.
fn edited(counter: &Counter, stem: &str, [from, to]: [&str; 2]) -> String {
    let text = exported(counter, stem);
    assert_eq!(text.matches(from).count(), 1, "{from}: {text}");
    text.replace(from, to)
}

/// Imports a file with `--update`.
fn update(counter: &Counter, stem: &str, text: &str) -> Ran {
    let path = counter.folder().join(format!("{stem}.csv"));
    std::fs::write(&path, text).unwrap();
    counter.types(&format!("import {} --update --by DA", path.display()))
}

fn document(ran: &Ran) -> String {
    let number = ran.out.split_whitespace().find(|word| word.starts_with("IMP-"));
    number.unwrap().to_owned()
}

/// Of which file, what stands there and what is put in its place, and how many fields that changes.
const CHANGES: &[(&str, [&str; 2], i64)] = &[
    ("parts", ["OIL,oil,material,ml", "OIL,oil,component,ml"], 1),
    ("parts", ["OIL,oil,material,ml", "OIL,oil,material,g"], 1),
    ("parts", ["material,ml,1,,", "material,ml,5,,"], 1),
    ("parts", ["material,ml,1,,", "material,ml,1,50,"], 1),
    (
        "parts",
        ["material,ml,1,,,,measure,no,", "material,ml,1,,,,measure,yes,"],
        1,
    ),
    ("parts", ["NUT,nut,standard part", "NUT,nut,material"], 1),
    ("bins", ["shelf,,2", "shelf,,7"], 1),
    ("people", ["Dunmore", "Dunmore Achery"], 1),
    ("customers", ["First", "Foremost"], 1),
    ("suppliers", ["GBP,14", "EUR,21"], 2),
    ("prices", ["1.15", "1.20"], 1),
    ("engines", ["E-2,ONE", "E-2,"], 1),
    ("bills", ["manual two", "manual two issue 2"], 1),
    ("bill_lines", ["NUT,3,", "NUT,4,"], 1),
    ("bill_lines", ["NUT,3,", "OIL,3,"], 1),
    ("bill_lines", ["NUT,3,engine,,,,", "NUT,3,cylinder,,,,"], 1),
    (
        "bill_lines",
        ["NUT,3,engine,,,,", "NUT,3,engine,route,spacer,,"],
        2,
    ),
    ("bill_lines", ["NUT,3,engine,,,,", "NUT,3,engine,,,left side,"], 1),
    ("bill_lines", ["NUT,3,engine,,,,", "NUT,3,engine,,,,10"], 1),
    ("bill_lines", ["part,NUT,3,", "take-off,NUT,3,"], 1),
    ("orders", ["NUT,10,20.00", "NUT,12,24.00"], 2),
    ("orders", ["2026-12-04", "2026-12-11"], 1),
    ("orders", ["2026-12-04", ""], 1),
    ("jobs", ["2026-12-02,5", "2026-12-09,1"], 2),
];

#[test]
fn what_nothing_stands_on_goes_out_edited_and_comes_back_the_same() {
    for (stem, edit, fields) in CHANGES {
        let counter = shop();
        let before = exported(&counter, stem);
        let text = edited(&counter, stem, *edit);
        let rows = "SELECT COUNT(*) FROM change";
        assert_eq!(counter.figure(rows), 0);
        let ran = update(&counter, stem, &text).good();
        let all = text.lines().count() - 2;
        let there = if all > 0 {
            format!(", {all} there already")
        } else {
            String::new()
        };
        let answer = format!("0 records taken on, 1 changed{there}, none refused");
        assert_eq!(ran.answer(), answer, "{stem} {edit:?}");
        assert_eq!(counter.figure(rows), *fields, "{stem} {edit:?}: {}", ran.out);
        assert_eq!(exported(&counter, stem), text, "{stem} {edit:?}");
        counter.types("check").good();
        assert!(
            update(&counter, stem, &text)
                .good()
                .answer()
                .starts_with("nothing")
        );
        counter.types(&format!("undo {} --by DA", document(&ran))).good();
        assert_eq!(exported(&counter, stem), before, "{stem} {edit:?}");
        counter.types("check").good();
    }
}

type Refused = (
    &'static [&'static str],
    &'static str,
    [&'static str; 2],
    &'static str,
    [&'static str; 2],
);

/// What is typed first, of which file, what stands there and what is put there, under which heading the fault is,
/// and what it says: the reason, and what to do instead.
const REFUSED: &[Refused] = &[
    (
        &["stock"],
        "parts",
        ["material,ml,", "material,g,"],
        "unit",
        ["lots of it", "part of another number"],
    ),
    (
        &["stock"],
        "parts",
        ["ml,1,", "ml,5,"],
        "step",
        ["lots of it", "part of another number"],
    ),
    (
        &["stock"],
        "parts",
        ["material,ml", "phantom,ml"],
        "class",
        ["lots of it", "part of another number"],
    ),
    (
        &[],
        "parts",
        ["NUT,nut,standard part,each", "NUT,nut,standard part,g"],
        "unit",
        ["jobs were raised", "part of another number"],
    ),
    (
        &[],
        "parts",
        [
            "NUT,nut,standard part,each,1,,",
            "NUT,nut,standard part,each,1,5,",
        ],
        "hand_out",
        ["jobs were raised", "part of another number"],
    ),
    (
        &[],
        "parts",
        ["M1,engine,engine model", "M1,engine,component"],
        "class",
        ["there are engines", "part of another number"],
    ),
    (
        &[],
        "parts",
        ["TC-2,second conversion,conversion", "TC-2,second conversion,tool"],
        "class",
        ["a bill of it", "part of another number"],
    ),
    (
        &[],
        "bins",
        ["top shelf,shelf", "top shelf,bench"],
        "kind",
        ["that stays", "bin of another code and move"],
    ),
    (
        &[],
        "sizes",
        ["200", "210"],
        "value",
        ["that stays", "part of another number"],
    ),
    (
        &[],
        "rates",
        ["64", "65"],
        "amount",
        ["that stays", "rate from a later day"],
    ),
    (
        &[],
        "bill_lines",
        ["NUT,2,", "NUT,5,"],
        "qty",
        ["a job was raised", "new revision"],
    ),
    (
        &[],
        "bill_lines",
        ["NUT,3,", "BOLT,3,"],
        "part",
        ["no part", "into its file"],
    ),
    (
        &[],
        "orders",
        ["SUP,2026-11-12", "SUP,2026-11-13"],
        "day",
        ["that stays", "raise another"],
    ),
    (
        &[],
        "jobs",
        ["E-1,ONE", "E-2,ONE"],
        "engine",
        ["that stays", "raise it anew"],
    ),
    (
        &[],
        "jobs",
        ["TC-1,,", "TC-2,,"],
        "conversion",
        ["that stays", "raise it anew"],
    ),
];

/// Brings 100 ml of OIL forward.
fn take_oil(counter: &Counter) {
    let path = counter.folder().join("stock.csv");
    let text =
        "part,bin,qty,value,batch,serial,expiry,condition,owner,maker,made\nOIL,A-1,100,5,B1,,,new,,,\n";
    std::fs::write(&path, text).unwrap();
    counter
        .types(&format!("import {} --by DA", path.display()))
        .good();
}

fn typed(counter: &Counter, lines: &[&str]) {
    for line in lines {
        match *line {
            "stock" => take_oil(counter),
            line => _ = counter.types(line).good(),
        }
    }
}

/// Line and column of the cell under a heading in the row that differs; no cell of these files is quoted.
fn place_of(before: &str, after: &str, heading: &str) -> String {
    let at = after
        .lines()
        .next()
        .unwrap()
        .split(',')
        .position(|name| name == heading)
        .unwrap();
    let mut lines = before.lines().zip(after.lines());
    let line = lines.position(|(old, new)| old != new).unwrap();
    let ahead = after.lines().nth(line).unwrap().split(',').take(at);
    let column: usize = ahead.map(|cell| cell.chars().count() + 1).sum();
    format!("{}:{}:", line + 1, column + 1)
}

#[test]
fn what_something_stands_on_is_refused_with_its_place_and_the_way_out() {
    for (first, stem, edit, heading, says) in REFUSED {
        let counter = shop();
        typed(&counter, first);
        let before = exported(&counter, stem);
        let text = edited(&counter, stem, *edit);
        let bytes = std::fs::read(counter.store()).unwrap();
        let ran = update(&counter, stem, &text);
        assert_eq!(ran.exit, 65, "{stem} {edit:?}: {ran:?}");
        let place = format!("{stem}.csv:{} {heading}", place_of(&before, &text, heading));
        for told in [place.as_str(), says[0], says[1]] {
            assert!(
                ran.err.contains(told),
                "{stem} {edit:?} wants {told}: {}",
                ran.err
            );
        }
        assert_eq!(std::fs::read(counter.store()).unwrap(), bytes, "{stem} {edit:?}");
    }
}

#[test]
fn once_goods_came_in_a_line_is_read_as_ordered_or_as_still_to_come_and_its_figures_stay() {
    let counter = shop();
    let ordered = exported(&counter, "orders");
    counter.types("goods-in ORD-1 1=4 --by DA").good();
    // Of ten for 20.00 four came: six for 12.00 are still to come.
    let to_come = ordered.replace("NUT,10,20.00", "NUT,6,12.00");
    assert_eq!(exported(&counter, "orders"), to_come);
    for text in [&ordered, &to_come] {
        let ran = update(&counter, "orders", text).good();
        assert!(ran.answer().starts_with("nothing to take on"), "{}", ran.out);
        let later = text.replace("2026-12-04", "2026-12-11");
        let ran = update(&counter, "orders", &later).good();
        assert_eq!(
            exported(&counter, "orders"),
            to_come.replace("2026-12-04", "2026-12-11")
        );
        counter.types("check").good();
        counter.types(&format!("undo {} --by DA", document(&ran))).good();
    }
    for amounts in [
        "NUT,3,6.00",
        "NUT,4,8.00",
        "NUT,8,16.00",
        "NUT,10,21.00",
        "NUT,6,20.00",
        "NUT,12,24.00",
    ] {
        let ran = update(&counter, "orders", &ordered.replace("NUT,10,20.00", amounts));
        assert_eq!(ran.exit, 65, "{amounts}: {ran:?}");
        assert!(
            ran.err.contains("of 10 4 arrived") && ran.err.contains("order close"),
            "{}",
            ran.err
        );
    }
}

#[test]
fn nor_does_an_undo_change_what_something_stands_on_since() {
    for (stem, edit, then, says) in [
        ("parts", ["material,ml", "material,g"], "stock", "lots of it"),
        (
            "bill_lines",
            ["NUT,3,", "NUT,4,"],
            "job raise TC-2 --engine E-2 --use-day 2026-12-16 --by DA",
            "a job was raised",
        ),
        (
            "orders",
            ["NUT,10,20.00", "NUT,12,24.00"],
            "goods-in ORD-1 1=4 --by DA",
            "goods came in",
        ),
    ] {
        let counter = shop();
        let text = edited(&counter, stem, edit);
        let ran = update(&counter, stem, &text).good();
        typed(&counter, &[then]);
        counter.refuses(&format!("undo {} --by DA", document(&ran)), 1, says);
        counter.types("check").good();
    }
}

#[test]
fn a_line_that_could_be_either_is_not_guessed() {
    let counter = shop();
    let path = counter.folder().join("orders.csv");
    let two = "order,supplier,day,part,qty,value,promised\n\
               ORD-2,SUP,2026-11-12,NUT,5,10,2026-12-04\nORD-2,SUP,2026-11-12,NUT,7,14,2026-12-18\n";
    std::fs::write(&path, two).unwrap();
    counter
        .types(&format!("import {} --by DA", path.display()))
        .good();
    // One of the two is given as it stands: the other is the one that is meant.
    update(&counter, "orders", &two.replace("NUT,7,14", "NUT,8,16")).good();
    for (edit, says) in [
        (["NUT,5,10,2026-12-04", "NUT,6,12,2026-12-05"], "several lines"),
        (["NUT,5,10", "OIL,5,10"], "without such a line"),
    ] {
        let alone: Vec<&str> = two.lines().take(2).collect();
        let text = alone.join("\n").replace(edit[0], edit[1]);
        let ran = update(&counter, "orders", &text);
        assert_eq!(ran.exit, 65, "{ran:?}");
        assert!(
            ran.err.contains(says) && ran.err.contains("orders.csv:2:"),
            "{}",
            ran.err
        );
    }
}

#[test]
fn a_later_day_of_use_gives_up_what_does_not_last_and_says_so() {
    let counter = shop();
    let path = counter.folder().join("stock.csv");
    let text = "part,bin,qty,value,batch,serial,expiry,condition,owner,maker,made\n\
                NUT,A-1,10,5,B1,,2026-12-05,new,,,\n";
    std::fs::write(&path, text).unwrap();
    counter
        .types(&format!("import {} --by DA", path.display()))
        .good();
    counter.types("reserve blue --by DA").good();
    let reserved = "SELECT SUM(reserved) FROM job_line";
    assert_eq!(counter.figure(reserved), 2_000_000);
    let text = edited(&counter, "jobs", ["2026-12-02", "2026-12-06"]);
    let ran = update(&counter, "jobs", &text).good();
    assert_eq!(counter.figure(reserved), 0);
    assert!(ran.out.contains("blue") && ran.out.contains("NUT"), "{}", ran.out);
    counter.types("check").good();
}
