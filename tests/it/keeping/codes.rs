//! Codes of lives on labels, and the hours in which what is mixed is worked.

use super::{case, import, types};
use crate::desk::Counter;
use bincard::domain::keeping::shelf_life::ShelfLife;
use bincard::domain::making::pot_life::PotLife;
use bincard::domain::measure::Qty;

#[test]
fn a_code_is_kept_as_what_it_stands_for_and_none_is_guessed() {
    for id in ["slc-1", "slc-2", "slc-3", "slc-4", "slc-6", "slc-7"] {
        let case = case(id);
        let code = format!("code {}", case["inputs"]["code"].as_str().unwrap());
        let told = match ShelfLife::parse(&code) {
            Ok(life) => life.to_string(),
            Err(fault) => fault.to_string(),
        };
        let expected = case["expected"].as_str().unwrap();
        let refused = matches!(id, "slc-4" | "slc-6");
        assert_eq!(ShelfLife::parse(&code).is_err(), refused, "{id}");
        assert!(told.contains(expected), "{id}: {told}");
    }
    for code in ["code K", "code h", "code ", "code 12", "code H type 2"] {
        let fault = ShelfLife::parse(code).unwrap_err().to_string();
        assert!(fault.contains("not known here"), "{code}: {fault}");
    }
}

/// By hand besides the published case: over midnight, over the year's end, and a third of a minute short of forty.
#[test]
fn what_is_mixed_is_worked_in_its_hours() {
    let case = case("potlife-1");
    let text = |key: &str| case["inputs"][key].as_str().unwrap().to_owned();
    let hours = Qty::parse(&text("application_life_h")).unwrap();
    let minutes = Qty::from_millionths(hours.millionths() * 60);
    let (day, clock) = case["expected"].as_str().unwrap().split_once('T').unwrap();
    let mixed = format!("{}:00Z", text("mixed"));
    assert!(mixed.starts_with(day), "the case stays within its day");
    assert_eq!(use_by(&mixed, minutes).unwrap(), format!("{clock} UTC"));
    for (mixed, minutes, until) in [
        ("2026-07-01T23:30:59Z", "30", "2026-07-02 00:00 UTC"),
        ("2026-12-31T12:00:00Z", "1440", "2027-01-01 12:00 UTC"),
        ("2026-07-01T10:20:00Z", "40", "11:00 UTC"),
        ("2026-07-01T10:20:00Z", "39.66", "10:59 UTC"),
    ] {
        let found = use_by(mixed, Qty::parse(minutes).unwrap());
        assert_eq!(found.as_deref(), Some(until), "{mixed} {minutes}");
    }
    assert_eq!(use_by("soon", Qty::whole(1)), None);
}

fn use_by(mixed: &str, minutes: Qty) -> Option<String> {
    PotLife::from_mixing(mixed, Some(minutes), None)?.use_by
}

#[test]
fn opening_says_until_when_it_is_worked() {
    let counter = Counter::unasked();
    let line = "open L000052R --by TW --dry-run";
    assert!(!types(&counter, line).good().out.contains("once mixed"));
    import(
        &counter,
        "sizes.csv",
        "part,name,value,unit\nTL-10,pot_life_minutes,150,\n",
        "HP",
    )
    .good();
    let told = types(&counter, line).good().out;
    // A training store's clock stands at noon.
    assert!(
        told.contains("once mixed, pot life 150 minutes: use by 14:30 UTC"),
        "{told}"
    );
}
