//! The floors use only the floors below, and the rooms of `cmd` leave each other alone.

use super::paths::paths;
use super::report::{Fault, bites, keeps, lets_pass, pieces};
use super::source::File;

/// Each floor and the floors it may use, besides itself.
const FLOORS: &[(&str, &[&str])] = &[
    ("domain", &[]),
    ("db", &["domain"]),
    ("intake", &["domain"]),
    ("print", &["domain"]),
    ("cmd", &["domain", "db", "intake", "print"]),
];

fn may_use(floor: &str) -> Option<&'static [&'static str]> {
    FLOORS
        .iter()
        .find(|(name, _)| *name == floor)
        .map(|(_, below)| *below)
}

/// A floor names only itself and the floors below it.
fn floors(files: &[File]) -> Vec<Fault> {
    let mut faults = Vec::new();
    for file in files {
        let Some(floor) = file.floor() else { continue };
        let Some(below) = may_use(floor) else {
            faults.push(Fault::new(
                file,
                1,
                format!("`{floor}` is no floor, so no rule says what it may use"),
            ));
            continue;
        };
        for named in paths(file) {
            let Some(own) = &named.own else { continue };
            let what = match own.get(1).map(String::as_str) {
                None if named.renamed => {
                    "the crate under another name, which hides the floors it is used for".into()
                }
                None => continue,
                Some(used) if used == floor || below.contains(&used) => continue,
                Some("*") => "everything in the crate, which hides the floors it is used for".into(),
                Some(used) if may_use(used).is_some() => {
                    format!("`{floor}` names `{used}`, but a floor uses only floors below it")
                }
                Some(used) => {
                    format!("`crate::{used}` stands on no floor, so it would let floors meet unseen")
                }
            };
            faults.push(Fault::new(file, named.line, what));
        }
    }
    faults
}

/// The room of a file of `cmd`: the folder it lies in.
fn room(file: &File) -> Option<&str> {
    let (room, _) = file.path.strip_prefix("src/cmd/")?.split_once('/')?;
    Some(room)
}

/// A room of `cmd` names no other room of `cmd`; files that lie directly in `cmd` are for all.
fn rooms(files: &[File]) -> Vec<Fault> {
    let all: Vec<&str> = files.iter().filter_map(room).collect();
    let mut faults = Vec::new();
    for file in files.iter().filter(|file| file.is_program()) {
        let Some(here) = room(file) else { continue };
        for named in paths(file) {
            let own: Vec<&str> = named.own.iter().flatten().map(String::as_str).collect();
            if let ["crate", "cmd", other, ..] = own.as_slice()
                && (*other == "*" || (*other != here && all.contains(other)))
            {
                let what = format!(
                    "room `{here}` names `cmd::{other}`: what two rooms need belongs on a floor below"
                );
                faults.push(Fault::new(file, named.line, what));
            }
        }
    }
    faults
}

#[test]
fn a_floor_uses_only_floors_below() {
    keeps(floors);
    bites(
        floors,
        &[
            ("src/domain/stores/lot.rs", "//! Doc.\nuse crate::db::Books;", 2),
            ("src/domain/mod.rs", "use crate::{domain::measure,\n intake};", 2),
            ("src/domain/stores/lot.rs", "fn f() -> crate::print::Card {}", 1),
            ("src/domain/lot.rs", "use super::super::cmd;", 1),
            (
                "src/domain/lot.rs",
                "mod tests {\n fn f() { super::super::super::db::open() } }",
                2,
            ),
            ("src/db/post.rs", "use crate::intake::csv;", 1),
            ("src/db/post.rs", "use crate::print;", 1),
            ("src/intake/code.rs", "use crate::db;", 1),
            ("src/print/card.rs", "use crate::intake;", 1),
            ("src/print/card.rs", "use crate::cmd::desk::Desk;", 1),
            ("src/print/card.rs", "use bincard::cmd;", 1),
            ("src/print/card.rs", "use crate as root;", 1),
            ("src/print/card.rs", "use crate::{self as root};", 1),
            ("src/db/mod.rs", "use super::*;", 1),
            ("src/db/mod.rs", "use crate::Shortcut;", 1),
            ("src/attic/mod.rs", "", 1),
        ],
    );
    lets_pass(
        floors,
        &[
            (
                "src/domain/stores/lot.rs",
                "use crate::domain::measure::Qty; mod tests { use super::*; }",
            ),
            (
                "src/db/post.rs",
                "use crate::domain::stores; use super::error::Error; pub(crate) fn f() {}",
            ),
            ("src/cmd/mod.rs", "use crate::{db, domain, intake, print};"),
            (
                "src/print/card.rs",
                "/// Never of `crate::db::Row`.\nfn f() { let s = \"crate::db\"; }",
            ),
            ("src/lib.rs", "pub mod cmd; pub mod db;"),
            ("src/main.rs", "fn main() { bincard::cmd::run() }"),
        ],
    );
}

#[test]
fn the_rooms_of_cmd_leave_each_other_alone() {
    keeps(rooms);
    let stores = ("src/cmd/stores/give.rs", "");
    let desk = ("src/cmd/desk.rs", "use super::stores::give;");
    let broken = [
        "use crate::cmd::stores::give;",
        "use super::super::stores;",
        "use crate::cmd::{desk, stores::give};",
        "use crate::cmd::*;",
    ];
    for text in broken {
        let faults = rooms(&pieces(&[("src/cmd/kitting/pick.rs", text), stores, desk]));
        assert_eq!(faults.len(), 1, "{text}");
    }
    let kept =
        "use crate::cmd::{desk::Desk, error, kitting::lines}; use super::list; use crate::domain::stores;";
    assert!(rooms(&pieces(&[("src/cmd/kitting/pick.rs", kept), stores, desk])).is_empty());
}
