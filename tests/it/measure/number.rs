//! Numbers people see: check characters, lots, jobs, documents.

use super::{cases, text};
use bincard::domain::measure::number::{
    NumberFault, document_number, job_number, lot_number, mod_11_2, mod_37_2, next_lot_serial,
    read_document_number, read_job_number, read_lot_number, read_lot_short,
};
use proptest::prelude::*;

const FACTS: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/facts/checkchar.toml"));

#[test]
fn every_published_case_comes_out() {
    for case in cases(FACTS) {
        let known = ["iso7064-1", "iso7064-3", "iso7064-4"];
        assert!(
            known.contains(&text(&case, "id")),
            "no check is written for the case {}",
            text(&case, "id")
        );
        let over = case["inputs"]["text"].as_str().unwrap();
        let check = match case["inputs"]["system"].as_str().unwrap() {
            "MOD 37-2" => mod_37_2(over),
            "MOD 11-2" => mod_11_2(over),
            other => panic!("no check is written for the system {other}"),
        };
        assert_eq!(
            check.map(String::from).as_deref(),
            case["expected"].as_str(),
            "{over}"
        );
    }
}

#[test]
fn texts_outside_the_alphabet_have_no_check_character() {
    for text in ["", "l1", "A-1", "A*", " 1", "É"] {
        assert_eq!(mod_37_2(text), None, "{text:?}");
    }
    for text in ["", "X", "1X", "A", "1 "] {
        assert_eq!(mod_11_2(text), None, "{text:?}");
    }
    // Identifiers printed as worked examples by their register, which uses MOD 11-2 (from memory).
    assert_eq!(mod_11_2("000000021825009"), Some('7'));
    assert_eq!(mod_11_2("000000029079593"), Some('X'));
}

/// By hand, p := (p + value) * 2 mod 37 and check = 38 - p mod 37. After `L` p is 5, and each 0 doubles it:
/// 5 10 20 3 6 12. L000001: (12 + 1) * 2 = 26, check 12, C. L000123: p 3, 8, 20, 9, check 29, T.
/// L000098: (6 + 9) * 2 = 30, (30 + 8) * 2 = 76 = 2, check 36, the `*` that is skipped.
#[test]
fn lot_numbers_worked_by_hand() {
    assert_eq!(lot_number(1).as_deref(), Some("L000001C"));
    assert_eq!(lot_number(123).as_deref(), Some("L000123T"));
    assert_eq!(mod_37_2("L000098"), Some('*'));
    assert_eq!(lot_number(98), None);
    assert_eq!(
        (lot_number(0), lot_number(-1), lot_number(i64::MIN)),
        (None, None, None)
    );
    assert_eq!(next_lot_serial(0), 1);
    assert_eq!(next_lot_serial(i64::MIN), 1);
    assert_eq!(next_lot_serial(96), 97);
    assert_eq!(next_lot_serial(97), 99);
    assert_eq!(next_lot_serial(98), 99);
}

#[test]
fn lot_numbers_read_back() {
    assert_eq!(read_lot_number("L000123T"), Ok(123));
    assert_eq!(read_lot_number("l000123t"), Ok(123));
    let wrong = read_lot_number("L000123K").unwrap_err();
    assert_eq!(
        wrong,
        NumberFault::WrongCheck {
            body: "L000123".to_owned(),
            check: 'K',
            right: Some("L000123T".to_owned())
        }
    );
    let message =
        "the check character K does not belong to L000123, whose number is L000123T: read the label again";
    assert_eq!(wrong.to_string(), message);
    let misread = [
        "",
        "L",
        "L000123",
        "L00123T",
        "LO00123T",
        "000123T",
        "X000123T",
        "L000098*",
        "L0000123T",
        "É",
        "L000123É",
    ];
    for text in misread {
        assert!(read_lot_number(text).is_err(), "{text:?}");
    }
    let zero = format!("L000000{}", mod_37_2("L000000").unwrap());
    assert!(
        matches!(read_lot_number(&zero), Err(NumberFault::NotALot { .. })),
        "there is no lot 0"
    );
    let padded = format!("L0000123{}", mod_37_2("L0000123").unwrap());
    assert!(
        matches!(read_lot_number(&padded), Err(NumberFault::NotALot { .. })),
        "a serial is written one way only"
    );
    let million = lot_number(1_000_000).or_else(|| lot_number(1_000_001)).unwrap();
    assert_eq!(million.len(), 9);
    assert!(matches!(read_lot_number(&million), Ok(1_000_000 | 1_000_001)));
    let message = "'12 ' is no lot number: type it whole as on the label, such as L000123T";
    assert_eq!(read_lot_number("12 ").unwrap_err().to_string(), message);
}

#[test]
fn short_forms_of_a_lot_number_are_read_and_every_check_typed_is_verified() {
    for text in [
        "123", "L123", "l123", "0123", "000123", "L000123", "123T", "l0123t", "L000123T",
    ] {
        assert_eq!(read_lot_short(text), Ok(123), "{text}");
    }
    for text in ["123K", "L123K", "L000123K"] {
        let fault = read_lot_short(text).unwrap_err();
        assert!(
            fault.to_string().contains("whose number is L000123T"),
            "{text}: {fault}"
        );
    }
    // No lot bears 98, whose check would be the `*` that is skipped, nor 0.
    for text in [
        "", "L", "T", "98", "0", "L0", "L123TT", "12 3", "-123", "X123", "L000098*", "É",
    ] {
        assert!(read_lot_short(text).is_err(), "{text:?}");
    }
    // Every whole number is read as itself, also where its check is a figure.
    for serial in (1..2000).filter(|serial| lot_number(*serial).is_some()) {
        assert_eq!(read_lot_short(&lot_number(serial).unwrap()), Ok(serial));
        assert_eq!(read_lot_short(&serial.to_string()), Ok(serial));
    }
}

/// One serial in 37 or so is skipped, and no skipped one is ever read.
#[test]
fn every_serial_up_to_ten_thousand_is_numbered_once() {
    let mut serial = 0;
    let mut numbers = std::collections::BTreeSet::new();
    while serial < 10_000 {
        let next = next_lot_serial(serial);
        assert!((serial + 1..next).all(|skipped| lot_number(skipped).is_none()));
        let number = lot_number(next).unwrap();
        assert_eq!(read_lot_number(&number), Ok(next));
        assert!(numbers.insert(number));
        serial = next;
    }
}

#[test]
fn jobs_and_documents() {
    assert_eq!(job_number(12), "J-0012");
    assert_eq!(job_number(12_345), "J-12345");
    for text in ["J-0012", "j-0012", "J-12", "J12", "j0012"] {
        assert_eq!(read_job_number(text), Ok(12), "{text}");
    }
    for text in [
        "",
        "J",
        "J-",
        "J--12",
        "J-0",
        "J-12a",
        "12",
        "K-12",
        "JJ-12",
        "J-+12",
        "J-99999999999999999999",
    ] {
        assert_eq!(
            read_job_number(text),
            Err(NumberFault::NotAJob {
                text: text.to_owned()
            })
        );
    }
    assert_eq!(document_number("GRN", 45), "GRN-000045");
    assert_eq!(document_number("ISS", 1_234_567), "ISS-1234567");
    for text in ["GRN-000045", "grn-45", "GRN45"] {
        assert_eq!(read_document_number(text), Ok(("GRN".to_owned(), 45)), "{text}");
    }
    for text in [
        "", "GRN", "GRN-", "GRN-0", "J-0012", "-45", "45", "GRN-4 5", "GRN-٤", "ABCDEF-1", "GRN-12T",
    ] {
        assert_eq!(
            read_document_number(text),
            Err(NumberFault::NotADocument {
                text: text.to_owned()
            })
        );
    }
    let message = "'45' is no document number: type it as printed, such as GRN-000045";
    assert_eq!(read_document_number("45").unwrap_err().to_string(), message);
    let message = "'12' is no job number: type it as on its papers, such as J-0012";
    assert_eq!(read_job_number("12").unwrap_err().to_string(), message);
}

const ALPHABET: &str = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*";

/// Every text one character away from `number`, and every swap of two neighbours that changes it.
fn slips_of(number: &str) -> Vec<String> {
    let right: Vec<char> = number.chars().collect();
    let mut slips = Vec::new();
    for place in 0..right.len() {
        for other in ALPHABET.chars().filter(|&other| other != right[place]) {
            let mut slip = right.clone();
            slip[place] = other;
            slips.push(slip.into_iter().collect());
        }
        if place > 0 && right[place - 1] != right[place] {
            let mut slip = right.clone();
            slip.swap(place - 1, place);
            slips.push(slip.into_iter().collect());
        }
    }
    slips
}

/// ISO 7064: pure systems catch every single substitution and every swap of neighbours.
fn assert_every_slip_is_caught(serial: i64) {
    let Some(number) = lot_number(serial) else { return };
    assert_eq!(read_lot_number(&number), Ok(serial));
    for slip in slips_of(&number) {
        assert!(
            read_lot_number(&slip).is_err(),
            "{number} misread as {slip} was taken"
        );
    }
}

proptest! {
    #[test]
    fn every_slip_in_a_lot_number_is_caught(serial in 1_i64..=999_999) {
        assert_every_slip_is_caught(serial);
    }

    #[test]
    fn every_slip_in_a_longer_lot_number_is_caught(serial in 1_000_000_i64..=99_999_999) {
        assert_every_slip_is_caught(serial);
    }

    #[test]
    fn every_number_reads_back(id in 1_i64.., prefix in "[A-Z]{2,5}") {
        prop_assert_eq!(read_job_number(&job_number(id)), Ok(id));
        prop_assert_eq!(read_document_number(&document_number(&prefix, id)), Ok((prefix, id)));
    }

    #[test]
    fn any_text_is_answered(text in any::<String>()) {
        let _ = read_lot_number(&text).map_err(|fault| fault.to_string());
        let _ = read_job_number(&text).map_err(|fault| fault.to_string());
        let _ = read_document_number(&text).map_err(|fault| fault.to_string());
    }
}

#[test]
fn every_slip_in_the_first_thousand_lot_numbers_is_caught() {
    (1..=1000).for_each(assert_every_slip_is_caught);
}
