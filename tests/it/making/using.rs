//! `use`: bench stock used up in the workshop is expensed, and bench stock dies like any other.

use super::{lies, lot_of, there_and_back, turned_away, types};
use crate::desk::Counter;

const BENCH: i64 = 3;
const SHELF: i64 = 2;
const SHOP: i64 = 22;

/// 9.35 m of wire lie on the bench at 2.71, 110.2 m on the shelf at 31.96. The tin on the bench goes first; what it
/// lacks comes off the shelf. By hand: 2 m are 2.71 × 2 / 9.35 = 0.5797, 10 m are 2.71 + 31.96 × 0.65 / 110.2 = 2.8985.
#[test]
fn the_bench_goes_before_the_shelf_and_is_expensed() {
    let counter = Counter::sample();
    let ran = there_and_back(&counter, "use WI-08 2 --by TW -w locking the test stand");
    assert_eq!(
        ran.answer(),
        "2 m of WI-08 used up in the workshop: locking the test stand"
    );
    assert!(ran.out.contains("expensed: 0.58 GBP"), "{}", ran.out);
    types(&counter, "use WI-08 2 --by TW -w stand").good();
    let (bench, shelf) = (lot_of(&counter, "W-5"), lot_of(&counter, "W-6"));
    assert_eq!(lies(&counter, &bench, BENCH), 7_350_000);
    assert_eq!(lies(&counter, &shelf, SHELF), 110_200_000);
    assert_eq!(lies(&counter, &bench, SHOP), 2_000_000);
    let counter = Counter::sample();
    let ran = there_and_back(&counter, "use WI-08 10 --by TW -w stand");
    assert!(ran.out.contains("expensed: 2.90 GBP"), "{}", ran.out);
    let ran = types(&counter, "use WI-08 10 --by TW -w stand --format json")
        .good()
        .json();
    assert_eq!(ran["rows"].as_array().unwrap().len(), 2, "{ran}");
    let bin = lot_of(&counter, "W-6");
    assert_eq!(ran["rows"][1]["lot"], bin.as_str(), "{ran}");
    // A bin that is named is the only one.
    let ran = there_and_back(&counter, "use WI-08 0.5 --from A-2 --by TW -w stand");
    assert!(ran.out.contains(&shelf), "{}", ran.out);
    // 109.55 m are left on the shelf.
    turned_away(
        &counter,
        "use WI-08 109.56 --by TW -w stand",
        242,
        1,
        "109.55 m of it can be used, 109.56 m asked for",
    );
    there_and_back(&counter, "use WI-08 109.55 --by TW -w stand");
    types(&counter, "check").good();
}

/// The life of issued bench stock does not vanish: its last day is usable, the day after is not, and who uses the part
/// is told which tin is dead.
#[test]
fn bench_stock_dies_like_any_other() {
    let counter = Counter::sample();
    let grease = lot_of(&counter, "U31");
    // Printed 31 May 2028.
    types(&counter, "people change OQ --until 2029-01-08 --by DA").good();
    types(&counter, "settings --training-day 2028-05-31 --by HP").good();
    there_and_back(&counter, &format!("use {grease} 5 --by TW -w pump"));
    types(&counter, "settings --training-day 2028-06-01 --by HP").good();
    turned_away(
        &counter,
        &format!("use {grease} 5 --by TW -w pump"),
        206,
        1,
        "2028-05-31",
    );
    turned_away(
        &counter,
        "use GR-40 5 --by TW -w pump",
        242,
        1,
        "0 g of it can be used",
    );
    let came = "goods-in GR-40 100 --supplier MARRA --cost 4 --batch U40 --expiry 2029-05-31 --by TW";
    types(&counter, came).good();
    types(&counter, "settings --papers off --by OQ").good();
    types(&counter, "inspect U40 100 --to BENCH --by OQ").good();
    let ran = types(&counter, "use GR-40 5 --by TW -w pump").good();
    assert!(
        ran.out
            .contains(&format!("EXPIRED 2028-05-31: {grease} in BENCH")),
        "{}",
        ran.out
    );
    let fresh = lot_of(&counter, "U40");
    assert_eq!(lies(&counter, &fresh, BENCH), 95_000_000);
    types(&counter, "check").good();
}

#[test]
fn what_is_not_used_up_in_the_workshop() {
    let counter = Counter::sample();
    let wire = lot_of(&counter, "W-6");
    for (line, number, exit, says) in [
        (
            "use NU-10 2 --by TW -w stand".to_owned(),
            224,
            1,
            "NU-10 is not bench stock",
        ),
        (
            "use SE-50 50 --by TW -w stand".to_owned(),
            224,
            1,
            "not bench stock",
        ),
        (
            "use X0618 50 --by TW -w stand".to_owned(),
            224,
            1,
            "not bench stock",
        ),
        ("use WI-08 0 --by TW -w stand".to_owned(), 202, 1, ""),
        ("use WI-08 -1 --by TW -w stand".to_owned(), 202, 1, ""),
        (
            "use WI-08 0.005 --by TW -w stand".to_owned(),
            203,
            1,
            "steps of 0.01 m",
        ),
        ("use WI-08 1 --by TW".to_owned(), 402, 2, "--why"),
        ("use WI-08 3 g --by TW -w stand".to_owned(), 402, 2, ""),
        ("use NONE 1 --by TW -w stand".to_owned(), 239, 1, "NONE"),
        (
            format!("use {wire} 110.21 --by TW -w stand"),
            207,
            1,
            "110.2 m there are in A-2",
        ),
        (
            format!("use {wire} 1 --from BENCH --by TW -w stand"),
            242,
            1,
            "none of it lies in BENCH",
        ),
        (
            "use WI-08 1 --from NOWHERE --by TW -w stand".to_owned(),
            239,
            1,
            "NOWHERE",
        ),
        ("use WI-08 1 --by LV2 -w stand".to_owned(), 239, 1, "LV2"),
    ] {
        turned_away(&counter, &line, number, exit, says);
    }
    // A hold on the tin: the lot is refused by name, the part is taken from the shelf.
    let tin = lot_of(&counter, "W-5");
    types(&counter, &format!("hold {tin} --by OQ -w kinked")).good();
    turned_away(
        &counter,
        &format!("use {tin} 1 --by TW -w stand"),
        205,
        1,
        "kinked",
    );
    let ran = there_and_back(&counter, "use WI-08 1 --by TW -w stand");
    assert!(ran.out.contains(&wire), "{}", ran.out);
}

/// A customer's own wire, left with us on the bench, serves nobody but him.
#[test]
fn a_customers_goods_are_not_used_up() {
    let counter = Counter::unasked();
    types(&counter, "goods-in WI-08 20 --his blue --batch HIS1 --by TW").good();
    types(&counter, "inspect HIS1 20 --to BENCH --by OQ").good();
    turned_away(
        &counter,
        "use HIS1 1 --by TW -w stand",
        256,
        1,
        "belongs to Ottaline Brack, so it is not used up in the workshop",
    );
    // 9.35 + 110.2 are ours.
    turned_away(
        &counter,
        "use WI-08 119.56 --by TW -w stand",
        242,
        1,
        "119.55 m of it can be used",
    );
}
