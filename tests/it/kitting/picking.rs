//! The pick list and the paper that comes back, then the issue: worked out by hand on shelves with a bin or two.

use super::shelves::{Shelves, day, head, qty};
use bincard::domain::kitting::pick::{Confirmation, PickAnswer, Picked, issue, pick_as_listed, pick_list};
use bincard::domain::kitting::reserve::{free, reserve};
use bincard::domain::measure::Unit;
use bincard::domain::refusal::Refusal;
use bincard::domain::stores::document::DocKind;
use bincard::domain::stores::ids::{JobId, LineId, LotId, PartId};
use bincard::domain::stores::law::Movement;
use bincard::domain::stores::posting::{Held, Posting};

/// Blue on its shelves: 4 of PIN, 10 of NUT (6 in A-1, 8 in B-1), 12 ml of TUBE (a tube of 50 on the bench).
struct Blue {
    shelves: Shelves,
    job: JobId,
    lines: [LineId; 3],
    picked: Vec<Picked>,
}

impl Blue {
    /// Reserved on 2026-11-25 for a day of use on 2026-12-02; the tube's last day is 2026-12-03.
    fn reserved() -> Blue {
        let mut shelves = Shelves::on("2026-11-25");
        let nut = shelves.part("NUT", Unit::Each, "1", "");
        let pin = shelves.part("PIN", Unit::Each, "1", "");
        let tube = shelves.part("TUBE", Unit::Millilitre, "0.1", "50");
        shelves.lot(nut, "N 6 A-1 B-1:8");
        shelves.lot(pin, "P 4 A-1");
        shelves.lot(tube, "T 50 exp 2026-12-03 BENCH");
        let job = shelves.job("blue", "Brack", "2026-12-02", 5);
        let lines = [(nut, "10"), (pin, "4"), (tube, "12")].map(|(part, need)| shelves.line(job, part, need));
        let posting = reserve(&shelves.stock, head(DocKind::Reserve, &shelves.stock), &[job]);
        shelves.carry(&posting.unwrap().posting.unwrap());
        Blue {
            shelves,
            job,
            lines,
            picked: vec![],
        }
    }

    /// The list as it would be printed now: `1 N 6 A-1`.
    fn list(&self) -> Vec<String> {
        let (stock, names) = (&self.shelves.stock, &self.shelves.names);
        let lines = pick_list(stock, self.job, &self.picked).unwrap();
        lines
            .iter()
            .map(|line| {
                let dead = line.dead.map_or(String::new(), |last| format!(" DEAD {last}"));
                let code = &stock.places[&line.place].code;
                format!("{} {} {} {code}{dead}", line.n, names[&line.lot], line.qty)
            })
            .collect()
    }

    /// A paper of this number that comes back: the whole of it, or the lines answered.
    fn answer(&self, list: i64, answers: Option<&[(i64, &str)]>) -> Result<Option<Posting>, Refusal> {
        let answers: Option<Vec<PickAnswer>> = answers.map(|all| {
            let one = |(n, text): &(i64, &str)| PickAnswer {
                n: *n,
                qty: (!text.is_empty()).then(|| qty(text)),
                ..PickAnswer::default()
            };
            all.iter().map(one).collect()
        });
        let paper = Confirmation {
            list,
            picked: &self.picked,
            answers: answers.as_deref(),
        };
        let stock = &self.shelves.stock;
        pick_as_listed(
            stock,
            head(DocKind::Movement(Movement::Pick), stock),
            self.job,
            paper,
        )
    }

    /// The same, carried into the shelves and remembered as picked from the list.
    fn book(&mut self, list: i64, answers: Option<&[(i64, &str)]>) {
        let posting = self.answer(list, answers).unwrap().unwrap();
        assert_eq!(posting.head.list, Some(list));
        self.shelves.carry(&posting);
        for entry in &posting.entries {
            self.picked.push(Picked {
                line: LineId(entry.to_line.unwrap()),
                lot: entry.lot,
                place: entry.from,
                qty: entry.qty,
            });
        }
    }

    /// What lies in the kit and on the engine for each line.
    fn stands(&self) -> Vec<String> {
        let line = |id: &LineId| &self.shelves.stock.lines[id];
        self.lines
            .iter()
            .map(|id| format!("{}/{}", line(id).kitted, line(id).fitted))
            .collect()
    }

    /// Issues the kit, or some of its lines.
    fn issue(&mut self, numbers: &[i64]) -> Result<Option<Posting>, Refusal> {
        let stock = &self.shelves.stock;
        let posting = issue(
            stock,
            head(DocKind::Movement(Movement::Issue), stock),
            self.job,
            numbers,
        )?;
        if let Some(posting) = &posting {
            self.shelves.carry(posting);
        }
        Ok(posting)
    }
}

#[test]
fn the_list_walks_the_bins_and_spreads_a_lot_over_them() {
    let blue = Blue::reserved();
    // A-1 (20), B-1 (30), BENCH (60); within a bin in the order of the job's lines.
    assert_eq!(
        blue.list(),
        ["1 N 6 A-1", "2 P 4 A-1", "3 N 4 B-1", "4 T 50 BENCH"]
    );
}

#[test]
fn a_bin_off_the_walk_comes_last() {
    let mut blue = Blue::reserved();
    let a = blue.shelves.at("A-1");
    blue.shelves.stock.places.get_mut(&a).unwrap().walk = None;
    assert_eq!(
        blue.list(),
        ["1 N 8 B-1", "2 T 50 BENCH", "3 N 2 A-1", "4 P 4 A-1"]
    );
}

#[test]
fn the_whole_paper_and_once_only() {
    let mut blue = Blue::reserved();
    assert_eq!(blue.shelves.stock.jobs[&blue.job].list, 2);
    blue.book(2, None);
    assert_eq!(blue.stands(), ["10/0", "4/0", "50/0"]);
    assert_eq!(
        blue.shelves.stock.jobs[&blue.job].list, 2,
        "picking what is listed voids no list"
    );
    assert!(
        blue.answer(2, None).unwrap().is_none(),
        "a second confirmation takes nothing"
    );
    assert!(blue.answer(2, Some(&[(1, ""), (4, "")])).unwrap().is_none());
    assert!(blue.list().is_empty());
}

#[test]
fn a_paper_in_two_goes_keeps_its_numbers() {
    let mut blue = Blue::reserved();
    blue.book(2, Some(&[(1, ""), (3, "3")]));
    assert_eq!(blue.stands(), ["9/0", "0/0", "0/0"]);
    // Line 1 is done; the others bear the numbers of the paper, line 3 what is left of it.
    assert_eq!(blue.list(), ["2 P 4 A-1", "3 N 1 B-1", "4 T 50 BENCH"]);
    blue.book(2, Some(&[(4, "50"), (3, "1"), (1, "")]));
    assert_eq!(blue.list(), ["2 P 4 A-1"]);
    blue.book(2, None);
    assert_eq!(blue.stands(), ["10/0", "4/0", "50/0"]);
}

/// A job with one line on these shelves, reserved; its tests look at the first line only.
fn one_line(mut shelves: Shelves, part: PartId, need: &str) -> Blue {
    let job = shelves.job("blue", "Brack", "2026-12-02", 5);
    let line = shelves.line(job, part, need);
    let posting = reserve(&shelves.stock, head(DocKind::Reserve, &shelves.stock), &[job]);
    shelves.carry(&posting.unwrap().posting.unwrap());
    Blue {
        shelves,
        job,
        lines: [line; 3],
        picked: vec![],
    }
}

#[test]
fn a_bin_held_between_two_goes_is_not_sent_to() {
    let mut shelves = Shelves::on("2026-11-25");
    let nut = shelves.part("NUT", Unit::Each, "1", "");
    shelves.lot(nut, "N 6 A-1 B-1:8");
    let mut blue = one_line(shelves, nut, "10");
    assert_eq!(blue.list(), ["1 N 6 A-1", "2 N 4 B-1"]);
    blue.book(2, Some(&[(1, "")]));
    // Five more are found in A-1, then the bin is held; B-1 bears what is reserved, so the list still holds.
    let a = blue.shelves.at("A-1");
    blue.shelves.stock.balances.get_mut(&(LotId(1), a)).unwrap().qty = qty("5");
    blue.shelves.hold(Held::Place(a), "bin not found");
    assert_eq!(blue.list(), ["2 N 4 B-1"]);
    blue.book(2, None);
    assert_eq!(blue.stands()[0], "10/0");
}

/// The paper answered and the words of the refusal.
type Refused = (i64, &'static [(i64, &'static str)], &'static str);

const REFUSED: [Refused; 9] = [
    (1, &[(1, "")], "list 1 of J-0001 no longer holds, list 2 does"),
    (3, &[(1, "")], "list 3 of J-0001 no longer holds, list 2 does"),
    (2, &[(0, "")], "no line 0 on list 2 of J-0001"),
    (2, &[(5, "")], "no line 5 on list 2 of J-0001"),
    (
        2,
        &[(1, "7")],
        "line 1 of list 2 of J-0001: 7 answered, 6 left to pick",
    ),
    (
        2,
        &[(1, "-1")],
        "line 1 of list 2 of J-0001: -1 answered, 6 left to pick",
    ),
    (
        2,
        &[(2, "1"), (2, "1")],
        "an answer to line 2 of list 2 of J-0001 is there already",
    ),
    (2, &[(1, "0.5")], "NUT moves in steps of 1 each"),
    (
        2,
        &[(4, "12")],
        "unopened TUBE is handed out in whole units of 50 ml, not 12 ml",
    ),
];

#[test]
fn what_a_paper_cannot_be_answered_with() {
    let blue = Blue::reserved();
    for (list, answers, words) in REFUSED {
        let refused = blue.answer(list, Some(answers)).unwrap_err();
        assert_eq!(refused.to_string(), words);
    }
    // A bare bin is an answer: nothing is taken, nothing refused.
    assert!(blue.answer(2, Some(&[(1, "0")])).unwrap().is_none());
    let both = blue.answer(2, Some(&[(1, "0"), (2, "4")])).unwrap().unwrap();
    assert_eq!(both.entries.len(), 1);
}

#[test]
fn a_changed_job_voids_the_paper() {
    let mut blue = Blue::reserved();
    let stock = &blue.shelves.stock;
    let freed = free(stock, head(DocKind::Free, stock), blue.job, &[2])
        .unwrap()
        .unwrap();
    blue.shelves.carry(&freed);
    let refused = blue.answer(2, None).unwrap_err();
    let (answered, now, job) = (2, 3, "J-0001".to_owned());
    assert_eq!(refused, Refusal::OldList { job, answered, now });
    assert_eq!(blue.list(), ["1 N 6 A-1", "2 N 4 B-1", "3 T 50 BENCH"]);
}

#[test]
fn what_died_between_list_and_pick_is_refused_and_the_rest_is_not() {
    // The tube's last day is 2026-12-03: on it the tube still goes, a day later it does not.
    for (today, good) in [("2026-12-03", true), ("2026-12-04", false)] {
        let mut blue = Blue::reserved();
        blue.shelves.stock.today = day(today);
        let dead = if good { "" } else { " DEAD 2026-12-03" };
        assert_eq!(blue.list()[3], format!("4 T 50 BENCH{dead}"), "{today}");
        let whole = blue.answer(2, None);
        assert_eq!(whole.is_ok(), good, "{today}");
        if let Err(refusal) = whole {
            assert!(matches!(refusal, Refusal::Dead { .. }), "{refusal:?}");
        }
        blue.book(2, Some(&[(1, ""), (2, ""), (3, "")]));
        assert_eq!(blue.stands(), ["10/0", "4/0", "0/0"]);
    }
}

#[test]
fn a_reservation_of_an_odd_rest_can_be_picked() {
    // Steps of 0.01 m, an odd rest of 2.955 m: 2.95 of it are taken and 0.005 stay.
    let mut shelves = Shelves::on("2026-11-25");
    let wire = shelves.part("WIRE", Unit::Metre, "0.01", "");
    shelves.lot(wire, "A 2.955 exp 2027-01-31");
    shelves.lot(wire, "B 10 B-1");
    let mut blue = one_line(shelves, wire, "6.4");
    blue.book(2, None);
    assert_eq!(blue.stands()[0], "6.4/0");
}

#[test]
fn the_kit_goes_to_the_engine_by_line_or_whole_and_once_only() {
    let mut blue = Blue::reserved();
    assert!(blue.issue(&[]).unwrap().is_none(), "an empty kit issues nothing");
    blue.book(2, None);
    blue.issue(&[2]).unwrap().unwrap();
    assert_eq!(blue.stands(), ["10/0", "0/4", "50/0"]);
    assert!(blue.issue(&[2]).unwrap().is_none());
    let refused = blue.issue(&[2, 4]).unwrap_err();
    assert_eq!(refused.to_string(), "no line 4 of J-0001");
    // Both bins' nuts are one lot in the kit, so one line of its card.
    let rest = blue.issue(&[]).unwrap().unwrap();
    assert_eq!(rest.entries.len(), 2);
    assert_eq!(blue.stands(), ["0/10", "0/4", "0/50"]);
}

#[test]
fn a_tube_that_died_in_the_kit_is_not_issued() {
    for (today, good) in [("2026-12-03", true), ("2026-12-04", false)] {
        let mut blue = Blue::reserved();
        blue.book(2, None);
        blue.shelves.stock.today = day(today);
        assert_eq!(blue.issue(&[3]).is_ok(), good, "{today}");
        assert!(blue.issue(&[1, 2]).unwrap().is_some(), "{today}");
    }
}
