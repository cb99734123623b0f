//! What is said of files that cannot be read: where, what, why, what to do.
//!
//! Lines and columns are counted by hand in the texts below: the first line is 1, the first character is 1.

use bincard::intake::{Fault, HEADINGS, SourceFile, read};
use proptest::prelude::*;

use super::{file, only_fault, refused, taken};

const PARTS: &str = "number,name,class,unit,step,hand_out,life,opened_life_days,pack_policy,bench_stock,critical,maker,issue\n";
const STOCK: &str = "part,bin,qty,value,batch,serial,expiry,condition,owner,maker,made\n";
const LINES: &str = "bill,revision,n,kind,part,qty,per,group,choice,text\n";

/// The words that a fault's reason and hint must hold.
fn says(fault: &Fault, words: &[&str]) {
    let whole = format!("{} / {}", fault.reason, fault.hint);
    for word in words {
        assert!(whole.contains(word), "{word:?} is not in {whole:?}");
    }
}

#[test]
fn a_cell_is_shown_with_a_caret_below() {
    let text = format!("{PARTS}P1,\"spacer, 2.0 mm\",component,metres,1,,,,measure,no,no,,\n");
    let fault = only_fault("parts.csv", text);
    assert_eq!(
        (fault.file.as_str(), fault.line, fault.column),
        ("parts.csv", 2, 31)
    );
    assert_eq!((fault.heading.as_str(), fault.text.as_str()), ("unit", "metres"));
    let shown = fault.to_string();
    let lines: Vec<&str> = shown.lines().collect();
    assert!(
        lines[0].starts_with("parts.csv:2:31: unit \"metres\": "),
        "{shown}"
    );
    assert_eq!(
        lines[1],
        "    P1,\"spacer, 2.0 mm\",component,metres,1,,,,measure,no,no,,"
    );
    assert_eq!(lines[2], format!("    {}^^^^^^", " ".repeat(30)));
}

#[test]
fn every_fault_of_a_row_is_told() {
    let text = format!("{PARTS},nut,widget,stone,0,x,soon,1.5,half,maybe,,,\n");
    let faults = refused("parts.csv", text);
    let headings: Vec<&str> = faults.iter().map(|fault| fault.heading.as_str()).collect();
    let all = [
        "number",
        "class",
        "unit",
        "step",
        "hand_out",
        "life",
        "opened_life_days",
        "pack_policy",
        "bench_stock",
        "critical",
    ];
    assert_eq!(headings, all);
    let columns: Vec<u64> = faults.iter().map(|fault| fault.column).collect();
    // ,nut,widget,stone,0,x,soon,1.5,half,maybe,,,
    assert_eq!(columns, [1, 6, 13, 19, 21, 23, 28, 32, 37, 43]);
}

#[test]
fn cells_that_will_not_do() {
    let lot = |cell: &str, value: &str| {
        let mut cells = ["P", "A-1", "1", "0", "", "", "", "new", "", "", ""];
        let headings: Vec<&str> = STOCK.trim_end().split(',').collect();
        let index = headings.iter().position(|heading| *heading == cell).unwrap();
        cells[index] = value;
        format!("{STOCK}{}\n", cells.join(","))
    };
    // Heading, what stands there, what must be said of it.
    let cases: &[(&str, &str, &[&str])] = &[
        ("part", "", &["blank"]),
        ("bin", "  ", &["blank"]),
        ("qty", "", &["blank"]),
        ("qty", "0", &["not above zero"]),
        ("qty", "-1", &["not above zero"]),
        ("qty", "1e3", &["exponent", "1000"]),
        ("qty", "1_000", &["underscore", "1000"]),
        ("qty", "1.", &["point"]),
        ("qty", ".5", &["0.5"]),
        ("qty", "\"1,5\"", &["1.5", "15"]),
        ("qty", "\"1,234\"", &["1.234", "1234"]),
        ("value", "-0.01", &["below zero"]),
        ("value", "£4", &["digits"]),
        ("expiry", "20261125", &["YYYY-MM-DD"]),
        ("expiry", "25/11/2026", &["2026-11-25"]),
        ("expiry", "2026-02-29", &["2026-02-28"]),
        (
            "expiry",
            "soon",
            &["2026-11 for its last day", "4Q26 for a quarter"],
        ),
        ("expiry", "1226", &["2026-11 for its last day"]),
        ("expiry", "5Q26", &["4Q26 for a quarter"]),
        ("made", "Nov 2026", &["no day known on labels"]),
        ("condition", "", &["blank"]),
        (
            "condition",
            "mint",
            &["is not a condition", "new, used, overhauled, repaired"],
        ),
        ("batch", "a\u{7}b", &["U+0007"]),
        ("batch", "a\u{1b}[2J", &["U+001B"]),
        ("batch", "a\tb", &["U+0009"]),
        ("batch", "\"a\nb\"", &["line break"]),
    ];
    for (heading, text, words) in cases {
        let fault = only_fault("stock.csv", lot(heading, text));
        assert_eq!(fault.heading, *heading, "{text:?}");
        says(&fault, words);
        assert_eq!(fault.line, 2, "{text:?}");
    }
}

#[test]
fn days_in_the_wrong_order() {
    let fault = only_fault(
        "stock.csv",
        format!("{STOCK}P,A-1,1,0,,,2026-11-09,new,,,2026-11-10\n"),
    );
    assert_eq!((fault.heading.as_str(), fault.column), ("expiry", 13));
    says(&fault, &["before made"]);
    taken(
        "stock.csv",
        format!("{STOCK}P,A-1,1,0,,,2026-11-10,new,,,2026-11-10\n"),
    );
}

#[test]
fn words_with_a_near_miss() {
    let cases = [
        ("class", "componant", "did you mean component?"),
        ("class", "Material", "did you mean material?"),
        (
            "class",
            "gizmo",
            "one of: component, standard part, material, tool, core, engine model, conversion, phantom",
        ),
        ("pack_policy", "mesure", "did you mean measure?"),
        ("unit", "Each", "did you mean each?"),
        ("unit", "bucket", ""),
    ];
    for (heading, word, hint) in cases {
        let (class, unit, policy) = match heading {
            "class" => (word, "each", "measure"),
            "unit" => ("tool", word, "measure"),
            _ => ("tool", "each", word),
        };
        let fault = only_fault(
            "parts.csv",
            format!("{PARTS}P,n,{class},{unit},1,,,,{policy},no,no,,\n"),
        );
        assert_eq!(
            (fault.heading.as_str(), fault.hint.as_str()),
            (heading, hint),
            "{word}"
        );
    }
}

#[test]
fn roles_choices_and_models() {
    let people = "initials,name,roles,authorised_from,authorised_until\n";
    says(
        &only_fault("people.csv", format!("{people}A,B,clerk clerk,,\n")),
        &["clerk twice"],
    );
    says(
        &only_fault("people.csv", format!("{people}A,B,inspecter,,\n")),
        &["did you mean inspector?"],
    );
    says(
        &only_fault("people.csv", format!("{people}A,B,clerk,2026-05-02,2026-05-01\n")),
        &["before"],
    );

    let jobs = "conversion,choices,engine,customer,tag,use_day,priority\n";
    for (choices, words) in [
        ("spacer", "group=choice"),
        ("route=", "group=choice"),
        ("a=b a=c", "a twice"),
    ] {
        let fault = only_fault("jobs.csv", format!("{jobs}C,{choices},7,,,2026-12-02,5\n"));
        assert_eq!(fault.heading, "choices");
        says(&fault, &[words]);
    }
    let bills = "part,revision,from_day,until_day,fits,data_source\n";
    says(
        &only_fault("bills.csv", format!("{bills}C,B,,,M M,x\n")),
        &["M twice"],
    );
}

#[test]
fn what_a_bill_line_must_and_must_not_hold() {
    // Kind to text, the heading that is at fault.
    let cases = [
        ("part,,1,engine,,,", "part"),
        ("part,P,,engine,,,", "qty"),
        ("part,P,0,engine,,,", "qty"),
        ("part,P,1,,,,", "per"),
        ("part,P,1,engine,route,,", "choice"),
        ("part,P,1,engine,,spacer,", "group"),
        ("part,P,1,wing,,,", "per"),
        ("take-off,,1,engine,,,", "part"),
        ("labour,P,1,engine,,,fit", "part"),
        ("labour,,1,engine,,,", "text"),
        ("labour,,,engine,,,fit", "qty"),
        ("note,,,,,,", "text"),
        ("note,,1,,,,read", "qty"),
        ("note,,,engine,,,read", "per"),
        ("advice,,,,,,read", "kind"),
    ];
    for (rest, heading) in cases {
        let fault = only_fault("bill_lines.csv", format!("{LINES}C,B,1,{rest}\n"));
        assert_eq!(fault.heading, heading, "{rest}");
    }
}

#[test]
fn waste_is_percent_of_what_goes_on() {
    let with_waste = LINES.replace("text\n", "text,waste\n");
    for rest in [
        "part,P,1,engine,,,,",
        "part,P,1,engine,,,,5",
        "part,P,1,engine,,,,99.999999",
    ] {
        taken("bill_lines.csv", format!("{with_waste}C,B,1,{rest}\n"));
    }
    for rest in [
        "part,P,1,engine,,,,100",
        "part,P,1,engine,,,,0",
        "part,P,1,engine,,,,-5",
        "part,P,1,engine,,,,5 %",
        "take-off,P,1,engine,,,,5",
        "labour,,1,engine,,,fit,5",
        "note,P,,,,,read,5",
    ] {
        let fault = only_fault("bill_lines.csv", format!("{with_waste}C,B,1,{rest}\n"));
        assert_eq!(fault.heading, "waste", "{rest}");
    }
}

#[test]
fn keys_that_stand_twice_name_both_lines() {
    let cases = [
        (
            "customers.csv",
            "code,name\nA,one\nB,two\nA,three\n".to_owned(),
            4,
            "first in line 2",
        ),
        (
            "sizes.csv",
            "part,name,value,unit\nP,bore,1,mm\nP,length,1,mm\nP,bore,2,mm\n".to_owned(),
            4,
            "line 2",
        ),
        (
            "stock.csv",
            format!("{STOCK}P,A,1,0,,7,,new,,M,\nP,B,1,0,,7,,new,,M,\n"),
            3,
            "line 2",
        ),
        (
            "bill_lines.csv",
            format!("{LINES}C,B,1,note,,,,,,x\nC,B,1,note,,,,,,y\n"),
            3,
            "line 2",
        ),
    ];
    for (name, text, line, words) in cases {
        let fault = only_fault(name, text);
        assert_eq!((fault.line, fault.column), (line, 1), "{name}");
        says(&fault, &["twice", words]);
    }
    // Another maker, or no serial: no key.
    taken(
        "stock.csv",
        format!("{STOCK}P,A,1,0,,7,,new,,M,\nP,B,1,0,,7,,new,,N,\nP,A,1,0,,,,new,,M,\nP,A,1,0,,,,new,,M,\n"),
    );
}

#[test]
fn rows_that_are_ragged_or_blank() {
    let cases = [
        ("A,one,x\n", 7, "3 cells, the headings are 2"),
        ("A\n", 2, "1 cells, the headings are 2"),
        (" , \n", 1, "blank"),
    ];
    for (row, column, words) in cases {
        let fault = only_fault("customers.csv", format!("code,name\n{row}"));
        assert_eq!((fault.line, fault.column), (2, column), "{row}");
        says(&fault, &[words]);
    }
}

#[test]
fn a_quote_that_is_never_closed() {
    for rest in ["B,\"two\nC,three\n", "B,\"two", "B,\"two\n\n", "B,\""] {
        let fault = only_fault("customers.csv", format!("code,name\nA,one\n{rest}"));
        assert_eq!((fault.line, fault.column), (3, 3), "{rest:?}");
        says(&fault, &["never closed"]);
    }
    // Closed by the next quote mark, lines later: the cell holds what was swallowed.
    let fault = only_fault("customers.csv", "code,name\nB,\"two\nC,\"\nD,four\n");
    assert_eq!((fault.line, fault.column), (2, 3));
    says(&fault, &["line break", "left open"]);
}

#[test]
fn headings_that_will_not_do() {
    // First line, column, text, what is said.
    let cases = [
        ("code,nane", 6, "nane", "did you mean name?"),
        ("Code,name", 1, "Code", "did you mean code?"),
        ("cdoe,name", 1, "cdoe", "did you mean code?"),
        ("code,name,colour", 11, "colour", "is not a heading"),
        ("code,name,code", 11, "code", "twice"),
        ("code,name,", 11, "", "blank"),
        ("code", 5, "", "lacks the heading name"),
    ];
    for (line, column, text, words) in cases {
        let fault = only_fault("customers.csv", format!("{line}\nA,one\n"));
        assert_eq!(
            (fault.line, fault.column, fault.text.as_str()),
            (1, column, text),
            "{line}"
        );
        says(&fault, &[words]);
    }
    let faults = refused("customers.csv", "colour,weight\n");
    assert_eq!(faults.total(), 3, "two strange headings and what lacks: {faults}");
}

#[test]
fn the_cause_is_named_where_the_whole_file_is_wrong() {
    let utf16 = |text: &str, little: bool| -> Vec<u8> {
        let units = std::iter::once(0xfeff).chain(text.encode_utf16());
        units
            .flat_map(|unit| {
                if little {
                    unit.to_le_bytes()
                } else {
                    unit.to_be_bytes()
                }
            })
            .collect()
    };
    let text = "code,name\nA,café\n";
    let cp1252 = text
        .replace('é', "#")
        .bytes()
        .map(|byte| if byte == b'#' { 0xe9 } else { byte })
        .collect();
    // What, the bytes, line, column, words.
    type Case = (&'static str, Vec<u8>, u64, u64, &'static [&'static str]);
    let cases: Vec<Case> = vec![
        ("utf16le", utf16(text, true), 1, 1, &["UTF-16", "CSV UTF-8"]),
        ("utf16be", utf16(text, false), 1, 1, &["UTF-16", "CSV UTF-8"]),
        (
            "utf16 without its mark",
            utf16(text, true)[2..].to_vec(),
            1,
            2,
            &["NUL", "UTF-16, little-endian", "CSV UTF-8"],
        ),
        (
            "big-endian without its mark",
            utf16(text, false)[2..].to_vec(),
            1,
            1,
            &["NUL", "UTF-16, big-endian", "CSV UTF-8"],
        ),
        ("cp1252", cp1252, 2, 6, &["E9", "é in Windows-1252", "CSV UTF-8"]),
        (
            "semicolons",
            b"code;name\nA;one\n".to_vec(),
            1,
            5,
            &["semicolons"],
        ),
        ("tabs", b"code\tname\nA\tone\n".to_vec(), 1, 5, &["tabs"]),
        ("NUL", b"code,name\nA,o\0ne\n".to_vec(), 2, 4, &["NUL"]),
        ("nothing", Vec::new(), 1, 1, &["empty"]),
        ("line ends", b"\r\n\r\n".to_vec(), 1, 1, &["empty"]),
        ("a mark alone", b"\xef\xbb\xbf".to_vec(), 1, 1, &["empty"]),
    ];
    for (what, bytes, line, column, words) in cases {
        let fault = only_fault("customers.csv", bytes);
        assert_eq!((fault.line, fault.column), (line, column), "{what}: {fault}");
        says(&fault, words);
    }
}

#[test]
fn names_that_are_no_file_of_ours() {
    for name in ["part.csv", "parts.txt", "parts", "PARTS.csv"] {
        let fault = only_fault(name, "x\n");
        for (stem, _) in HEADINGS {
            says(&fault, &[stem]);
        }
    }
    says(&only_fault("part.csv", "x\n"), &["did you mean parts?"]);
    let text = "code,name\n";
    let twice = read(&[file("a/customers.csv", text), file("b/customers.csv", text)]).unwrap_err();
    assert_eq!(twice.total(), 1);
    says(twice.iter().next().unwrap(), &["a/customers.csv"]);
}

#[test]
fn faults_of_several_files_are_told_together() {
    let files = [
        file("customers.csv", "code,name\nA,\n"),
        file("rates.csv", "kind,name,from_day,amount\nx,,y,z\n"),
    ];
    let faults = read(&files).unwrap_err();
    let told: Vec<_> = faults
        .iter()
        .map(|fault| (fault.file.as_str(), fault.heading.as_str()))
        .collect();
    let rates = "rates.csv";
    let all = [
        ("customers.csv", "name"),
        (rates, "kind"),
        (rates, "name"),
        (rates, "from_day"),
        (rates, "amount"),
    ];
    assert_eq!(told, all);
}

#[test]
fn limits() {
    let fault = only_fault("customers.csv", format!("code,name\nA,{}\n", "x".repeat(201)));
    says(&fault, &["200 characters"]);
    assert!(fault.text.chars().count() <= 61, "{}", fault.text);
    assert!(
        fault.to_string().lines().all(|line| line.chars().count() <= 120),
        "{fault}"
    );

    let note = |length: usize| format!("{LINES}C,B,1,note,,,,,,{}\n", "x".repeat(length));
    taken("bill_lines.csv", note(64 << 10));
    says(&only_fault("bill_lines.csv", note((64 << 10) + 1)), &["64 KiB"]);

    // 200 commas part 201 cells; 199 part 200, which are too many only for this heading.
    for text in ["x,".repeat(200), format!("code,name\n{}", "x,".repeat(200))] {
        says(&only_fault("customers.csv", text), &["more than 200 columns"]);
    }
    says(
        &only_fault("customers.csv", format!("code,name\n{}", ",x".repeat(199))),
        &["200 cells"],
    );

    let mut text = "code,name\n".to_owned();
    (0..1_000_001).for_each(|n| text.push_str(&format!("{n},x\n")));
    let fault = only_fault("customers.csv", text.as_bytes());
    assert_eq!(fault.line, 1_000_002);
    says(&fault, &["1000000 rows"]);
}

#[test]
fn bombs_are_refused_shortly() {
    says(&only_fault("parts.csv", vec![b','; 1_000_000]), &["columns"]);
    says(&only_fault("parts.csv", vec![b'x'; (256 << 20) + 1]), &["256"]);
    says(&only_fault("parts.csv", vec![b'x'; 1 << 25]), &["64 KiB"]);
    let line = refused("parts.csv", vec![b'x'; 1 << 20]);
    assert!(line.to_string().len() < 2_000, "{}", line.to_string().len());
}

#[test]
fn a_flood_is_told_shortly() {
    let mut text = "code,name\n".to_owned();
    (0..1_000).for_each(|n| text.push_str(&format!("C{n},\n")));
    let faults = refused("customers.csv", &text);
    assert_eq!(faults.total(), 1_000);
    let shown = faults.to_string();
    assert!(
        shown.contains("and 999 more like this: lines 3, 4, 5, 6, 7, 8, 9, 10 …"),
        "{shown}"
    );
    assert!(shown.lines().count() <= 40);

    // Each row doubles another line, so that no two faults are alike: 20 are told.
    let mut text = "code,name\n".to_owned();
    (0..50).for_each(|n| text.push_str(&format!("C{n},x\n")));
    (0..50).for_each(|n| text.push_str(&format!("C{n},x\n")));
    let shown = refused("customers.csv", &text).to_string();
    assert_eq!(shown.matches("stands twice").count(), 20);
    assert!(shown.ends_with("\nand 30 more"), "{shown}");
}

#[test]
fn nothing_in_a_file_drives_the_screen() {
    let text = format!("{PARTS}P,\u{1b}[31mred\u{202e}x,tool,each,1,,,,measure,no,no,,\n");
    let shown = only_fault("parts.csv", text).to_string();
    assert!(!shown.contains(['\u{1b}', '\u{202e}']), "{shown:?}");
}

/// A cell as a writer of CSV would put it.
fn written(cell: &str, always: bool) -> String {
    if always || cell.contains([',', '"']) {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell.to_owned()
    }
}

proptest! {
    /// The column is where the writer put the cell, whatever stands before it.
    #[test]
    fn the_column_is_where_the_cell_was_written(code in "[a-z,\"é漢 ]{0,12}x", name in "[a-z,\"é]{1,9}", quotes: bool) {
        let (first, second) = (written(&code, quotes), written(&name, !quotes));
        let rows = taken("customers.csv", format!("code,name\n{first},{second}\n")).customers;
        prop_assert_eq!(&rows[0].row.code, code.trim());
        prop_assert_eq!(&rows[0].row.name, name.trim());
        let fault = Fault::at(&rows[0], "name", &name, "will not do", "");
        prop_assert_eq!(fault.column, first.chars().count() as u64 + 2);
    }

    /// Any bytes at all are read or refused, in any file.
    #[test]
    fn no_bytes_stop_the_program(which in 0..HEADINGS.len(), headed: bool, bytes: Vec<u8>) {
        let (stem, headings) = HEADINGS[which];
        let mut all = if headed { format!("{}\n", headings.join(",")).into_bytes() } else { Vec::new() };
        all.extend(bytes);
        if let Err(faults) = read(&[SourceFile { name: format!("{stem}.csv"), bytes: all }]) {
            prop_assert!(!faults.to_string().is_empty());
        }
    }

    /// Any text built of the marks that matter is read or refused.
    #[test]
    fn no_marks_stop_the_program(text in "[a1,\"\\n\\r;.' -]{0,60}") {
        if let Err(faults) = read(&[file("sizes.csv", format!("part,name,value,unit\n{text}"))]) {
            prop_assert!(faults.iter().all(|fault| fault.line >= 1 && fault.column >= 1));
        }
    }
}
