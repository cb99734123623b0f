//! `hatch`: a standing prompt with the same commands; a bare word or a scan is looked for.

use crate::cmd::args::Globals;
use crate::cmd::desk::{Desk, Line, Moment, seconds_between};
use crate::cmd::error::{Failure, exit};
use crate::cmd::help::is_command;
use crate::cmd::shop::Shop;
use crate::db::people;
use crate::db::stores::counts::last_document;
use clap::Args;
use std::ffi::OsString;

/// Stand at the hatch: initials once, then any command, or a bare word or scan to find
#[derive(Args, Debug)]
pub struct Ask {}

/// Within how many seconds the same line counts as one that a scanner or a hand sent twice.
const TWICE_SECONDS: i64 = 3;

/// The line that posted last, and when it was done.
struct Posted {
    line: String,
    at: Moment,
}

/// Asks, does and answers until somebody says `quit` or nothing more comes.
pub fn run(desk: &mut Desk<'_>, mut globals: Globals) -> Result<u8, Failure> {
    if globals.op_id.is_some() {
        return Err(Failure::usage(
            "one id cannot stand for everything that is done at the hatch",
            "leave `--op-id` out, or give it with the command",
        ));
    }
    let given = globals.by.take();
    let asked = match given {
        Some(by) => Some(by),
        None => line(desk, "initials: ")?,
    };
    let Some(asked) = asked else { return Ok(exit::DONE) };
    let mut by = String::new();
    take_over(desk, &globals, &asked, &mut by);
    let mut posted: Option<Posted> = None;
    while let Some(typed) = line(desk, &format!("{by}> "))? {
        let words = split(&typed);
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        match words.as_slice() {
            [] | ["bincard"] => {}
            ["quit"] => break,
            ["by", initials] => take_over(desk, &globals, initials, &mut by),
            _ if came_twice(desk, posted.as_ref(), &typed) => say_once(desk, &globals)?,
            ["bincard", rest @ ..] | rest => {
                let before = newest(desk, &globals);
                one(desk, &globals, &by, &typed, rest);
                let moment = (desk.clock)().filter(|_| newest(desk, &globals) != before);
                posted = moment.map(|at| Posted { line: typed, at }).or(posted);
            }
        }
    }
    Ok(exit::DONE)
}

/// Whether a line is the one that posted last, sent again so soon that nobody can have meant it. Only a person's lines
/// are judged: what a program sends is meant.
fn came_twice(desk: &Desk<'_>, posted: Option<&Posted>, typed: &str) -> bool {
    let (Some(posted), Some(now)) = (posted.filter(|_| desk.input_is_person), (desk.clock)()) else {
        return false;
    };
    let passed = seconds_between(&posted.at, &now);
    posted.line == typed && passed.is_some_and(|passed| (0..=TWICE_SECONDS).contains(&passed))
}

/// Says that a line was not done a second time.
fn say_once(desk: &mut Desk<'_>, globals: &Globals) -> Result<(), Failure> {
    let failure = Failure::usage(
        format!("the same line came twice within {TWICE_SECONDS} seconds: it is posted once"),
        "if it is meant twice, type it again now",
    );
    crate::cmd::write_failure(desk, globals, &failure);
    Ok(())
}

/// The newest document of the store, as far as it can be read.
fn newest(desk: &mut Desk<'_>, globals: &Globals) -> Option<i64> {
    let mut newest = None;
    let read = Shop::new(desk, globals.clone(), String::new()).read(|scene| {
        newest = Some(last_document(scene.books)?);
        Ok(crate::cmd::shop::Done::yes(scene.paper("hatch", "")))
    });
    read.ok().and(newest)
}

/// Takes other initials if the store knows them; those of before stay if it does not.
fn take_over(desk: &mut Desk<'_>, globals: &Globals, initials: &str, by: &mut String) {
    if initials.is_empty() {
        by.clear();
        return;
    }
    let mut known = String::new();
    let asked = Shop::new(desk, globals.clone(), String::new()).read(|scene| {
        let person = people::person::<Failure>(scene.books, initials, scene.day.max(scene.today))?;
        known = person.initials;
        Ok(crate::cmd::shop::Done::yes(scene.paper("hatch", "")))
    });
    match asked {
        Ok(_) => *by = known,
        Err(failure) => {
            crate::cmd::write_failure(desk, globals, &failure);
        }
    }
}

/// Does one line: a command, or something to find.
fn one(desk: &mut Desk<'_>, globals: &Globals, by: &str, line: &str, words: &[&str]) {
    let first = words.first().copied().unwrap_or_default();
    if first == "hatch" {
        let failure = Failure::usage("this is the hatch already", "type a command, or `quit`");
        crate::cmd::write_failure(desk, globals, &failure);
        return;
    }
    let mut typed = vec!["bincard".to_owned()];
    typed.extend(globals.typed());
    let says_who = words
        .iter()
        .any(|word| *word == "--by" || word.starts_with("--by="));
    if !by.is_empty() && !says_who {
        typed.extend(["--by".to_owned(), by.to_owned()]);
    }
    let bare = !is_command(first) && !first.starts_with('-');
    if bare {
        typed.push("scan".to_owned());
    }
    if bare && !words.iter().any(|word| word.starts_with("--")) {
        // What a scanner sends may hold quotes of its own, so it goes on as it came.
        typed.push(line.to_owned());
    } else {
        typed.extend(words.iter().map(|word| (*word).to_owned()));
    }
    let args: Vec<OsString> = typed.into_iter().map(OsString::from).collect();
    // The exit has been told in words; the next line is another matter.
    crate::cmd::run(desk, &args);
}

/// The next line; none where nothing more comes.
fn line(desk: &mut Desk<'_>, question: &str) -> Result<Option<String>, Failure> {
    loop {
        let read = desk.next_line(question).map_err(|error| Failure::File {
            path: "what is typed".to_owned(),
            because: error.to_string(),
            exit: exit::IO,
        })?;
        match read {
            Line::Text(text) => return Ok(Some(text)),
            Line::End => return Ok(None),
            Line::Strange => {
                let failure = Failure::usage("that line is no text in UTF-8", "type it again");
                crate::cmd::write_failure(desk, &Globals::default(), &failure);
            }
        }
    }
}

/// The words of a line, as far as double quotes go.
fn split(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    let (mut word, mut begun, mut quoted) = (String::new(), false, false);
    for mark in line.chars() {
        if mark == '"' {
            quoted = !quoted;
            begun = true;
        } else if mark.is_whitespace() && !quoted {
            if begun {
                words.push(std::mem::take(&mut word));
            }
            begun = false;
        } else {
            word.push(mark);
            begun = true;
        }
    }
    if begun {
        words.push(word);
    }
    words
}
