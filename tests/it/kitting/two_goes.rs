//! A list booked in two goes, through the books: what was picked from it before is read back, and the numbers stay.

use crate::desk::{CLOCK_DAY, Counter};
use bincard::db::books::Books;
use bincard::db::error::Error;
use bincard::db::kitting::jobs::{gather_jobs, job_called};
use bincard::db::kitting::picked::picked_from_list;
use bincard::db::load::Gather;
use bincard::db::post::{Stamp, post};
use bincard::db::sqlite::Purpose;
use bincard::domain::kitting::job::Job;
use bincard::domain::kitting::pick::{Confirmation, PickAnswer, pick_as_listed};
use bincard::domain::measure::Day;
use bincard::domain::refusal::Refusal;
use bincard::domain::stores::document::{DocKind, Head};
use bincard::domain::stores::law::{Movement, Role};
use bincard::domain::stores::stock::Person;

#[test]
fn what_was_picked_from_a_list_is_read_back_from_the_books() {
    let counter = Counter::sample();
    counter.run(&["reserve", "--by", "TW"]);
    let list = |counter: &Counter| {
        let json = counter.run(&["pick", "amber", "--format", "json"]).json();
        let rows = json["rows"].as_array().unwrap().clone();
        let numbers: Vec<i64> = rows.iter().map(|row| row["n"].as_i64().unwrap()).collect();
        numbers
    };
    assert_eq!(list(&counter), (1..=27).collect::<Vec<i64>>());
    // Half the paper, as the books would have it: lines 1 and 3 of list 2.
    let (books, job) = half_picked(&counter, &[1, 3]);
    let left: Vec<i64> = (1..=27).filter(|n| ![1, 3].contains(n)).collect();
    assert_eq!(list(&counter), left, "the numbers on the paper stay");
    let picked = books.read(|open| picked_from_list(open, &job)).unwrap();
    assert_eq!(picked.len(), 2);
    // Taking it back writes claims, so the next list begins at one again.
    counter.run(&["undo", "PCK-000006", "--by", "TW"]).good();
    let job = books
        .read(|open| job_called::<Trouble>(open, "amber"))
        .map_err(|trouble| trouble.0)
        .unwrap();
    assert_eq!(job.list, 3);
    assert!(
        books
            .read(|open| picked_from_list(open, &job))
            .unwrap()
            .is_empty()
    );
    assert_eq!(list(&counter), (1..=27).collect::<Vec<i64>>());
    counter.run(&["check"]).good();
}

/// What a reading or a deciding can end with.
#[derive(Debug)]
struct Trouble(String);

impl From<Error> for Trouble {
    fn from(error: Error) -> Trouble {
        Trouble(error.to_string())
    }
}

impl From<Refusal> for Trouble {
    fn from(refusal: Refusal) -> Trouble {
        Trouble(refusal.to_string())
    }
}

/// Books lines of amber's list as listed, straight into the books; gives the books and the job.
fn half_picked(counter: &Counter, numbers: &[i64]) -> (Books, Job) {
    let books = Books::open(&counter.store(), Purpose::Write, || {}).unwrap();
    let today = Day::parse(CLOCK_DAY).unwrap();
    let answers: Vec<PickAnswer> = numbers
        .iter()
        .map(|n| PickAnswer {
            n: *n,
            ..PickAnswer::default()
        })
        .collect();
    let job = books.write(|open| -> Result<Job, Trouble> {
        let job = job_called::<Trouble>(open, "amber")?;
        let person = Person {
            initials: "TW".to_owned(),
            roles: vec![Role::Clerk],
        };
        let mut facts = Gather::begin(open, today, today, person)?;
        gather_jobs(&mut facts, &[job.id])?;
        let head = Head::new(DocKind::Movement(Movement::Pick), today, "TW");
        let paper = Confirmation {
            list: job.list,
            picked: &picked_from_list(open, &job)?,
            answers: Some(&answers),
        };
        let posting = pick_as_listed(&facts.done(), head, job.id, paper)?;
        let stamp = Stamp {
            at: format!("{CLOCK_DAY}T10:00:00Z"),
            op: "half".to_owned(),
            request: [0; 32],
        };
        post(open, &posting.unwrap(), &stamp)?;
        Ok(job)
    });
    (books, job.unwrap())
}
