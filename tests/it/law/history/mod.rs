//! Histories by chance, steered over every movement by each method: the statements of the law hold as they go, what is
//! refused leaves no trace, the newest document is undone exactly, an older one is undone or refused.

mod chance;
mod choices;
mod deeds;

use super::acts::{Done, Fault};
use super::look::Stood;
use super::world::*;
use bincard::domain::refusal::Refusal;
use bincard::domain::stores::ids::DocId;
use bincard::domain::stores::law::{MOVEMENTS, Role};
use bincard::domain::stores::stock::Method;
use chance::Chance;
use std::collections::BTreeSet;

/// How many documents each method writes, in histories of this length.
const DOCUMENTS: i64 = 3_360;
const LENGTH: i64 = 420;

/// A history while it is being made.
pub struct History {
    pub world: World,
    pub chance: Chance,
    /// How many jobs and serials there are, so that the next gets a number of its own.
    pub jobs: i64,
    pub serials: i64,
    /// What was done last, for the message of a failure.
    pub last: &'static str,
    method: Method,
    refusals: u64,
    undone: u64,
    older: [u64; 2],
}

#[test]
fn histories_by_actual_cost() {
    histories(Method::Actual);
}

#[test]
fn histories_by_fifo() {
    histories(Method::Fifo);
}

#[test]
fn histories_by_average() {
    histories(Method::Average);
}

fn histories(method: Method) {
    let mut met = BTreeSet::new();
    let (mut documents, mut undone, mut refusals, mut older) = (0, 0, 0, [0; 2]);
    let mut seed = 20_260_302 + method as u64 * 1_000;
    while documents < DOCUMENTS {
        seed += 1;
        let mut history = History::begin(method, seed);
        history.run(seed);
        documents += history.world.number("SELECT COUNT(*) FROM document");
        let rows = history.world.rows("SELECT DISTINCT law / 10000 FROM entry");
        met.extend(rows.iter().map(|row| row.int(0).unwrap()));
        undone += history.undone;
        refusals += history.refusals;
        older = [older[0] + history.older[0], older[1] + history.older[1]];
    }
    let wanted: BTreeSet<i64> = MOVEMENTS.into_iter().map(|movement| movement.code()).collect();
    assert_eq!(met, wanted, "movements met");
    // A history that is hardly ever refused, or hardly ever undone, tells little.
    assert!(
        undone > 150 && refusals > 300,
        "{undone} undone, {refusals} refused"
    );
    assert!(
        older.iter().all(|count| *count > 20),
        "older ones undone and refused: {older:?}"
    );
}

impl History {
    fn begin(method: Method, seed: u64) -> History {
        let (world, chance) = (World::new(method), Chance::of(seed));
        History {
            world,
            chance,
            jobs: 3,
            serials: 0,
            last: "",
            method,
            refusals: 0,
            undone: 0,
            older: [0; 2],
        }
    }

    fn run(&mut self, seed: u64) {
        let mut trail: Vec<String> = Vec::new();
        let raw = self.world.raw();
        let version = || -> i64 {
            raw.query_row("PRAGMA data_version", [], |row| row.get(0))
                .unwrap()
        };
        let mut count = 1;
        while count < LENGTH {
            self.set_day();
            let stood = self.world.stood();
            let check_undo = self.chance.percent(9);
            let before = check_undo.then(|| self.world.derived(stood));
            let digest = self.chance.percent(4).then(|| self.world.digest());
            let version_before = version();
            let done = self.act();
            self.world.roles = vec![Role::Clerk, Role::Manager, Role::Inspector];
            let Some(done) = done else { continue };
            trail.push(format!("{} {done:?}", self.last));
            let tail = || trail[trail.len().saturating_sub(6)..].join("\n");
            match done {
                Ok(document) => {
                    count += 1;
                    if let Some(before) = before {
                        count += self
                            .undo_newest(document, stood, &before, &|| format!("seed {seed}\n{}", tail()));
                    }
                }
                Err(Fault::Refused(Refusal::Unread { what, id })) => {
                    panic!("seed {seed}: {what} {id} was not read\n{}", tail())
                }
                Err(Fault::Refused(_)) => {
                    self.refusals += 1;
                    assert_eq!(
                        version(),
                        version_before,
                        "seed {seed}: a refusal wrote something\n{}",
                        tail()
                    );
                    assert!(
                        digest.is_none_or(|digest| digest == self.world.digest()),
                        "seed {seed}\n{}",
                        tail()
                    );
                }
                Err(Fault::Books(error)) => panic!(
                    "seed {seed}: the domain let pass what the books refuse: {error}\n{}",
                    tail()
                ),
            }
            if count % 60 == 0 {
                assert_eq!(
                    self.world.faults(),
                    Vec::<String>::new(),
                    "seed {seed} after {count}\n{}",
                    tail()
                );
            }
        }
        assert_eq!(
            self.world.faults(),
            Vec::<String>::new(),
            "seed {seed} at the end"
        );
        let found = self.world.books.read(bincard::db::check::check).unwrap();
        assert_eq!(
            found.faults,
            [],
            "seed {seed} at the end, by the program's own check"
        );
    }

    /// Undoes the newest document; all is as it was, but what cannot be undone by its nature is refused as such.
    fn undo_newest(&mut self, document: DocId, stood: Stood, before: &str, tail: &dyn Fn() -> String) -> i64 {
        match self.world.undo(document) {
            Ok(_) => {
                self.undone += 1;
                let after = self.world.derived(stood);
                assert!(
                    after == before,
                    "{} undone is not what was\n{}",
                    tail(),
                    differing(before, &after)
                );
                1
            }
            Err(Fault::Refused(Refusal::NoSecondUndo { .. } | Refusal::OnlyFields { .. })) => 0,
            Err(fault) => panic!("the newest could not be undone: {fault:?}\n{}", tail()),
        }
    }

    /// An older document is undone, or refused.
    pub fn undo_older(&mut self) -> Option<Done> {
        let newest = self.world.number("SELECT MAX(id) FROM document");
        let chosen = DocId((newest - self.chance.within(0, 40)).clamp(2.min(newest), newest));
        let done = self.world.undo(chosen);
        self.older[usize::from(done.is_err())] += 1;
        Some(done)
    }

    /// The clock goes on; now and then a document is dated back or forward.
    fn set_day(&mut self) {
        if self.chance.percent(6) {
            self.world.today = self.world.today.plus_days(self.chance.within(1, 2)).unwrap();
        }
        let shift = if self.chance.percent(12) {
            self.chance.within(-6, 6)
        } else {
            0
        };
        self.world.day = self.world.today.plus_days(shift).unwrap();
        if self.chance.percent(2) {
            self.world.roles =
                [vec![Role::Clerk], vec![Role::Inspector]][usize::from(self.chance.percent(50))].clone();
        }
    }

    /// The method that a restatement goes to.
    pub fn other_method(&mut self) -> Method {
        // There and back again, so that most of each history is by the method it is named for.
        let word = self.world.rows("SELECT value FROM setting WHERE name = 'method'")[0]
            .text(0)
            .unwrap();
        let others = [Method::Actual, Method::Fifo, Method::Average];
        if word == self.method.word() {
            *self.chance.one_of(&others).unwrap()
        } else {
            self.method
        }
    }
}

/// The lines in which two texts differ.
fn differing(before: &str, after: &str) -> String {
    let (old, new): (BTreeSet<&str>, BTreeSet<&str>) = (before.lines().collect(), after.lines().collect());
    let gone = old.difference(&new).map(|line| format!("- {line}"));
    let come = new.difference(&old).map(|line| format!("+ {line}"));
    gone.chain(come).collect::<Vec<_>>().join("\n")
}
