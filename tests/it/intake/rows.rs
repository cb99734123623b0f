//! The files that can be read, and the values that their cells become.

use bincard::domain::keeping::shelf_life::ShelfLife;
use bincard::domain::measure::{Day, Money, Qty, Unit};
use bincard::domain::stores::law::Kind;
use bincard::intake::rows_kits::Choice;
use bincard::intake::words::{
    BillLineKind, PackPolicy, PartClass, Per, PriceBasis, RateKind, Role, SizeUnit,
};
use bincard::intake::{Fault, HEADINGS, SourceFile, read};
use include_dir::{Dir, include_dir};

use super::{file, taken};

static SAMPLE: Dir = include_dir!("$CARGO_MANIFEST_DIR/sample-data");

/// The CSV files of the sample, by name, those of its folders included.
fn sample() -> Vec<SourceFile> {
    let opening = SAMPLE.get_dir("opening").unwrap();
    let csv = SAMPLE
        .files()
        .chain(opening.files())
        .filter(|f| f.path().extension().is_some_and(|ending| ending == "csv"));
    csv.map(|f| file(&f.path().file_name().unwrap().to_string_lossy(), f.contents()))
        .collect()
}

fn qty(text: &str) -> Qty {
    Qty::parse(text).unwrap()
}

fn money(text: &str) -> Money {
    Money::parse(text).unwrap()
}

fn day(text: &str) -> Day {
    Day::parse(text).unwrap()
}

fn some(text: &str) -> Option<String> {
    Some(text.to_owned())
}

#[test]
fn the_headings_are_those_of_the_sample() {
    let mut of_sample: Vec<(String, String)> = sample()
        .iter()
        .map(|f| {
            let text = String::from_utf8(f.bytes.clone()).unwrap();
            (f.name.clone(), text.lines().next().unwrap().to_owned())
        })
        .collect();
    let mut documented: Vec<(String, String)> = HEADINGS
        .iter()
        .map(|(stem, headings)| (format!("{stem}.csv"), headings.join(",")))
        .collect();
    of_sample.sort();
    documented.sort();
    assert_eq!(documented, of_sample);
}

#[test]
fn the_sample_is_read_without_a_fault() {
    let intake = read(&sample()).unwrap_or_else(|faults| panic!("{faults}"));
    // Counted in the files: lines less the heading.
    let counts = [
        ("people", intake.people.len(), 5),
        ("customers", intake.customers.len(), 3),
        ("suppliers", intake.suppliers.len(), 4),
        ("parts", intake.parts.len(), 120),
        ("bins", intake.bins.len(), 30),
        ("engines", intake.engines.len(), 11),
        ("bills", intake.bills.len(), 3),
        ("rates", intake.rates.len(), 3),
        ("stock", intake.stock.len(), 180),
        ("orders", intake.orders.len(), 4),
        ("jobs", intake.jobs.len(), 4),
    ];
    for (name, read, written) in counts {
        assert_eq!(read, written, "{name}");
    }
}

#[test]
fn every_line_of_the_sample_becomes_a_row() {
    let intake = read(&sample()).unwrap();
    let lines = |stem: &str| {
        let found = sample()
            .into_iter()
            .find(|f| f.name == format!("{stem}.csv"))
            .unwrap();
        String::from_utf8(found.bytes).unwrap().lines().count() - 1
    };
    assert_eq!(intake.sizes.len(), lines("sizes"));
    assert_eq!(intake.bill_lines.len(), lines("bill_lines"));
    assert_eq!(intake.prices.len(), lines("prices"));
    let last = intake.stock.last().unwrap();
    assert_eq!((&*last.file, last.line), ("stock.csv", 181));
}

#[test]
fn house_rows() {
    let intake = taken(
        "people.csv",
        "initials,name,roles,authorised_from,authorised_until\nAB,Anna Bell,clerk inspector,2026-01-02,\n",
    );
    let person = &intake.people[0].row;
    assert_eq!(
        (person.initials.as_str(), person.name.as_str()),
        ("AB", "Anna Bell")
    );
    assert_eq!(person.roles, [Role::Clerk, Role::Inspector]);
    assert_eq!(
        (person.authorised_from, person.authorised_until),
        (Some(day("2026-01-02")), None)
    );

    let intake = taken(
        "suppliers.csv",
        "code,name,currency,lead_days\nS,Some One,EUR,14\nT,Other,GBP,\n",
    );
    assert_eq!(
        (
            intake.suppliers[0].row.currency.code(),
            intake.suppliers[0].row.lead_days
        ),
        ("EUR", Some(14))
    );
    assert_eq!(intake.suppliers[1].row.lead_days, None);

    let intake = taken(
        "bins.csv",
        "code,name,kind,parent,walk\nA,rack,shelf,,20\nA-1,bin,away,A,\n",
    );
    assert_eq!(
        (intake.bins[0].row.kind, intake.bins[0].row.walk),
        (Kind::Shelf, Some(20))
    );
    assert_eq!(
        (intake.bins[1].row.kind, intake.bins[1].row.parent.clone()),
        (Kind::Away, some("A"))
    );

    let intake = taken("engines.csv", "model,serial,customer\nM,1,\nM,2,C\nN,1,C\n");
    let customers: Vec<_> = intake
        .engines
        .iter()
        .map(|engine| engine.row.customer.clone())
        .collect();
    assert_eq!(customers, [None, some("C"), some("C")]);
}

#[test]
fn part_rows() {
    let heads = "number,name,class,unit,step,hand_out,life,opened_life_days,pack_policy,bench_stock,critical,maker,issue";
    let text = format!(
        "{heads}\nS,\"sealant, 50 ml\",material,ml,0.1,50,18 months,180,whole,no,yes,Maker,C\n\
         B,\"bolt, \"\"short\"\"\",standard part,each,1,,1 year,,measure,yes,no,,\n"
    );
    let intake = taken("parts.csv", text);
    let sealant = &intake.parts[0].row;
    assert_eq!(sealant.name, "sealant, 50 ml");
    assert_eq!(
        (sealant.class, sealant.unit),
        (PartClass::Material, Unit::parse("ml").unwrap())
    );
    assert_eq!((sealant.step, sealant.hand_out), (qty("0.1"), Some(qty("50"))));
    assert_eq!(sealant.life, ShelfLife::parse("18 months").ok());
    assert_eq!(
        (sealant.opened_life_days, sealant.pack_policy),
        (Some(180), PackPolicy::Whole)
    );
    assert_eq!((sealant.bench_stock, sealant.critical), (false, true));
    assert_eq!(
        (sealant.maker.clone(), sealant.issue.clone()),
        (some("Maker"), some("C"))
    );
    let bolt = &intake.parts[1].row;
    assert_eq!(
        (bolt.name.as_str(), bolt.class),
        ("bolt, \"short\"", PartClass::StandardPart)
    );
    assert_eq!(
        (bolt.hand_out, bolt.opened_life_days, bolt.maker.clone()),
        (None, None, None)
    );
    assert_eq!((bolt.bench_stock, bolt.critical), (true, false));
    assert_eq!(bolt.life, ShelfLife::parse("12 months").ok());

    let sizes = taken(
        "sizes.csv",
        "part,name,value,unit\nW,ratio,8.5,\nW,bore,100,mm\nP,dish,-15.7,cm3\n",
    )
    .sizes;
    let read: Vec<_> = sizes.iter().map(|size| (size.row.value, size.row.unit)).collect();
    let mm = (qty("100"), Some(SizeUnit::Millimetre));
    assert_eq!(
        read,
        [
            (qty("8.5"), None),
            mm,
            (qty("-15.7"), Some(SizeUnit::CubicCentimetre))
        ]
    );
}

#[test]
fn money_rows() {
    let heads = "part,supplier,basis,from_day,from_qty,unit,amount,currency";
    let rows = "P,S,purchase,2026-01-05,,m,0.29,GBP\nP,S,purchase,2026-01-05,100,m,0.25,GBP\n";
    let prices = taken("prices.csv", format!("{heads}\n{rows}")).prices;
    assert_eq!(
        (prices[0].row.basis, prices[0].row.from_qty),
        (PriceBasis::Purchase, Qty::ZERO)
    );
    assert_eq!(
        (prices[1].row.from_qty, prices[1].row.amount),
        (qty("100"), money("0.25"))
    );
    assert_eq!(
        (prices[1].row.from_day, prices[1].row.currency.code()),
        (day("2026-01-05"), "GBP")
    );

    let rates = taken(
        "rates.csv",
        "kind,name,from_day,amount\nlabour,bench,2026-01-01,64.00\n",
    )
    .rates;
    assert_eq!(
        (rates[0].row.kind, rates[0].row.amount),
        (RateKind::Labour, money("64"))
    );

    let heads = "part,bin,qty,value,batch,serial,expiry,condition,owner,maker,made";
    let rows = "T,C-1,100,36.00,X1,,2026-11-10,new,,M,2025-05-10\nT,C-1,1,0,,SN 4,,used,TOW,,\n";
    let stock = taken("stock.csv", format!("{heads}\n{rows}")).stock;
    let (tube, pump) = (&stock[0].row, &stock[1].row);
    assert_eq!(
        (tube.qty, tube.value, tube.batch.clone()),
        (qty("100"), money("36"), some("X1"))
    );
    assert_eq!(
        (tube.made.as_ref().map(|made| made.says.last), tube.expiry),
        (Some(day("2025-05-10")), Some(day("2026-11-10")))
    );
    assert_eq!(
        (tube.owner.clone(), tube.condition.as_str(), tube.bin.as_str()),
        (None, "new", "C-1")
    );
    assert_eq!(
        (pump.serial.clone(), pump.owner.clone(), pump.value),
        (some("SN 4"), some("TOW"), Money::ZERO)
    );
    assert_eq!(
        (pump.expiry, pump.made.clone(), pump.maker.clone()),
        (None, None, None)
    );

    let heads = "order,supplier,day,part,qty,value,promised";
    let orders = taken(
        "orders.csv",
        format!("{heads}\nO1,S,2026-11-12,P,2,304,2026-12-04\nO1,S,2026-11-12,P,2,304,\n"),
    );
    assert_eq!(orders.orders[0].row.promised, Some(day("2026-12-04")));
    assert_eq!(
        (orders.orders[1].row.promised, orders.orders[1].row.qty),
        (None, qty("2"))
    );
}

#[test]
fn kit_rows() {
    let bills = taken(
        "bills.csv",
        "part,revision,from_day,until_day,fits,data_source\nC,B,2026-02-02,2026-12-31,M1 M2,manual 7\n",
    );
    let bill = &bills.bills[0].row;
    assert_eq!(
        (bill.fits.clone(), bill.until_day),
        (vec!["M1".to_owned(), "M2".to_owned()], Some(day("2026-12-31")))
    );

    let heads = "bill,revision,n,kind,part,qty,per,group,choice,text";
    let rows = "C,B,1,part,P,2,cylinder,route,spacer,\nC,B,2,take-off,Q,4,engine,,,not used again\n\
                C,B,3,labour,,9.5,engine,route,spacer,fit\nC,B,4,note,,,,,,mind the bowl\n";
    let lines = taken("bill_lines.csv", format!("{heads}\n{rows}")).bill_lines;
    let kinds: Vec<_> = lines.iter().map(|line| (line.row.n, line.row.kind)).collect();
    use BillLineKind::{Labour, Note, Part, TakeOff};
    assert_eq!(kinds, [(1, Part), (2, TakeOff), (3, Labour), (4, Note)]);
    let spacer = Choice {
        group: "route".to_owned(),
        choice: "spacer".to_owned(),
    };
    assert_eq!(
        (lines[0].row.choice.clone(), lines[0].row.per),
        (Some(spacer.clone()), Some(Per::Cylinder))
    );
    assert_eq!(
        (lines[1].row.choice.clone(), lines[1].row.text.clone()),
        (None, some("not used again"))
    );
    assert_eq!(
        (lines[2].row.part.clone(), lines[2].row.qty),
        (None, Some(qty("9.5")))
    );
    assert_eq!(
        (lines[3].row.qty, lines[3].row.per, lines[3].row.text.clone()),
        (None, None, some("mind the bowl"))
    );

    let heads = "conversion,choices,engine,customer,tag,use_day,priority";
    let jobs = taken(
        "jobs.csv",
        format!("{heads}\nC,route=spacer,7,T,blue,2026-12-02,5\nC,,8,,,2026-12-02,1\n"),
    )
    .jobs;
    assert_eq!(
        (jobs[0].row.choices.clone(), jobs[0].row.tag.clone()),
        (vec![spacer], some("blue"))
    );
    assert_eq!(
        (
            jobs[1].row.choices.len(),
            jobs[1].row.customer.clone(),
            jobs[1].row.priority
        ),
        (0, None, 1)
    );
}

#[test]
fn a_row_is_the_same_however_the_file_is_written() {
    let plain = "code,name\nA,one\nB,two\n";
    let written = [
        ("UTF-8 with its mark", format!("\u{feff}{plain}")),
        ("CR LF", plain.replace('\n', "\r\n")),
        ("CR", plain.replace('\n', "\r")),
        ("no last line end", plain.trim_end().to_owned()),
        (
            "quotes",
            "\"code\",\"name\"\n\"A\",\"one\"\n\"B\",\"two\"\n".to_owned(),
        ),
        ("other order", "name,code\none,A\ntwo,B\n".to_owned()),
        ("spaces", " code , name\n A , one \nB,two\n".to_owned()),
    ];
    for (how, text) in written {
        let rows = taken("customers.csv", text).customers;
        let read: Vec<_> = rows
            .iter()
            .map(|row| (row.line, row.row.code.as_str(), row.row.name.as_str()))
            .collect();
        assert_eq!(read, [(2, "A", "one"), (3, "B", "two")], "{how}");
    }
}

#[test]
fn blank_lines_are_counted_and_passed_over() {
    let rows = taken("customers.csv", "\ncode,name\r\n\r\n\r\nA,one\r\n\nB,two\n\n").customers;
    let lines: Vec<u64> = rows.iter().map(|row| row.line).collect();
    assert_eq!(lines, [5, 7]);
}

#[test]
fn the_guard_against_formulas_is_taken_off() {
    // RFC-plain text on the left, what a guarded export writes for it on the right.
    let pairs = [
        ("=1+1", "'=1+1"),
        ("-5", "'-5"),
        ("@x", "'@x"),
        ("'=y", "''=y"),
        ("'tis", "'tis"),
        ("= z", "= z"),
    ];
    for (meant, written) in pairs {
        let rows = taken("customers.csv", format!("code,name\nA,{written}\n")).customers;
        assert_eq!(rows[0].row.name, meant);
    }
}

#[test]
fn names_may_have_200_characters() {
    let longest = "é".repeat(200);
    let rows = taken("customers.csv", format!("code,name\nA,{longest}\n")).customers;
    assert_eq!(rows[0].row.name, longest);
}

#[test]
fn folders_and_case_of_the_ending_do_not_matter() {
    let intake = taken("some/where/customers.CSV", "code,name\nA,one\n");
    assert_eq!(&*intake.customers[0].file, "some/where/customers.CSV");
}

#[test]
fn a_row_can_be_pointed_at_later() {
    let heads = "part,bin,qty,value,batch,serial,expiry,condition,owner,maker,made";
    let text = format!("{heads}\n\"bolt, 1\",A-1,1,0,,,,new,,,\nP,Z-9,1,0,,,,new,,,\n");
    let stock = taken("stock.csv", text).stock;
    let fault = Fault::at(
        &stock[1],
        "bin",
        "Z-9",
        "is no bin of this store",
        "add it to bins.csv",
    );
    assert_eq!((fault.line, fault.column), (3, 3));
    let shown = "stock.csv:3:3: bin \"Z-9\": is no bin of this store\n    P,Z-9,1,0,,,,new,,,\n      ^^^\n    add it to bins.csv";
    assert_eq!(fault.to_string(), shown);
    let fault = Fault::at(&stock[0], "bin", "A-1", "is full", "");
    assert_eq!((fault.line, fault.column), (2, 11));
}
