//! What becomes of stock besides going into kits: used up, weighed back, made up, sent out.

mod away;
mod make;
mod parcel;
mod using;
mod weigh;

use crate::desk::{Counter, Ran, split};
use crate::stores::{done_and_undone, refused};

/// Types a line as a shell parts it.
fn types(counter: &Counter, line: &str) -> Ran {
    let words = split(line);
    counter.run(&words.iter().map(String::as_str).collect::<Vec<_>>())
}

/// A line is refused with this number and exit and says this; the books stay as they were.
#[track_caller]
fn turned_away(counter: &Counter, line: &str, number: u16, exit: u8, says: &str) {
    let words = split(line);
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    refused(counter, &words, number, exit, says);
}

/// A line is tried, done, proved and undone.
#[track_caller]
fn there_and_back(counter: &Counter, line: &str) -> Ran {
    let words = split(line);
    done_and_undone(counter, &words.iter().map(String::as_str).collect::<Vec<_>>())
}

/// The number of the lot with this batch or serial.
fn lot_of(counter: &Counter, batch: &str) -> String {
    let raw = rusqlite::Connection::open(counter.store()).unwrap();
    let sql = "SELECT number FROM lot WHERE batch = $1 OR serial = $1 ORDER BY id DESC LIMIT 1";
    raw.query_row(sql, [batch], |row| row.get(0)).unwrap()
}

/// What of a lot lies in places of a kind, in millionths.
fn lies(counter: &Counter, lot: &str, kind: i64) -> i64 {
    counter.figure(&format!(
        "SELECT COALESCE(SUM(b.qty), 0) FROM balance b JOIN lot l ON l.id = b.lot WHERE l.number = '{lot}' \
         AND b.place / 1000000 = {kind}"
    ))
}
