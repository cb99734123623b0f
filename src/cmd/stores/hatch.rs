//! `hatch`: a standing prompt with the same commands; a bare word or a scan is looked for.

use crate::cmd::args::{Color, Form, Globals};
use crate::cmd::desk::Desk;
use crate::cmd::error::{Failure, exit};
use crate::cmd::help::is_command;
use crate::cmd::shop::Shop;
use crate::db::people;
use crate::print::escape::escape;
use clap::{Args, ValueEnum};
use std::ffi::OsString;
use std::io::{BufRead, ErrorKind, Read};

/// Stand at the hatch: initials once, then any command, or a bare word or scan to find
#[derive(Args, Debug)]
pub struct Ask {}

/// How much of a line is read: nobody types more, and no scanner sends it.
const LONGEST_BYTES: u64 = 4096;

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
    while let Some(typed) = line(desk, &format!("{by}> "))? {
        let words = split(&typed);
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        match words.as_slice() {
            [] => {}
            ["quit"] => break,
            ["by", initials] => take_over(desk, &globals, initials, &mut by),
            ["bincard"] => {}
            ["bincard", rest @ ..] | rest => one(desk, &globals, &by, rest),
        }
    }
    Ok(exit::DONE)
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
fn one(desk: &mut Desk<'_>, globals: &Globals, by: &str, words: &[&str]) {
    let first = words.first().copied().unwrap_or_default();
    if first == "hatch" {
        let failure = Failure::usage("this is the hatch already", "type a command, or `quit`");
        crate::cmd::write_failure(desk, globals, &failure);
        return;
    }
    let mut typed = vec!["bincard".to_owned()];
    typed.extend(standing(globals));
    let says_who = words
        .iter()
        .any(|word| *word == "--by" || word.starts_with("--by="));
    if !by.is_empty() && !says_who {
        typed.extend(["--by".to_owned(), by.to_owned()]);
    }
    if !is_command(first) && !first.starts_with('-') {
        typed.push("find".to_owned());
    }
    typed.extend(words.iter().map(|word| (*word).to_owned()));
    let args: Vec<OsString> = typed.into_iter().map(OsString::from).collect();
    // The exit has been told in words; the next line is another matter.
    crate::cmd::run(desk, &args);
}

/// What was said once for every line.
fn standing(globals: &Globals) -> Vec<String> {
    let mut typed = Vec::new();
    let mut says = |flag: &str, value: Option<String>| {
        if let Some(value) = value {
            typed.extend([flag.to_owned(), value]);
        }
    };
    let word = |value: Option<clap::builder::PossibleValue>| value.map(|value| value.get_name().to_owned());
    says(
        "--store",
        globals.store.as_ref().map(|path| path.display().to_string()),
    );
    says("--on", globals.on.clone());
    says(
        "--format",
        word(
            Some(globals.format)
                .filter(|form| *form != Form::Table)
                .and_then(|form| form.to_possible_value()),
        ),
    );
    says(
        "--color",
        word(
            Some(globals.color)
                .filter(|color| *color != Color::Auto)
                .and_then(|color| color.to_possible_value()),
        ),
    );
    for (flag, set) in [("--dry-run", globals.dry_run), ("--no-input", globals.no_input)] {
        if set {
            typed.push(flag.to_owned());
        }
    }
    typed
}

/// The next line, asked for where a person sits at the keyboard; none where nothing more comes.
fn line(desk: &mut Desk<'_>, question: &str) -> Result<Option<String>, Failure> {
    let failed = |error: std::io::Error| Failure::File {
        path: "what is typed".to_owned(),
        because: error.to_string(),
        exit: exit::IO,
    };
    loop {
        if desk.input_is_person {
            let shown = escape(question);
            let asked = desk
                .err
                .write_all(shown.as_bytes())
                .and_then(|()| desk.err.flush());
            asked.map_err(failed)?;
        }
        let mut bytes = Vec::new();
        let read = Read::take(&mut *desk.input, LONGEST_BYTES).read_until(b'\n', &mut bytes);
        match read {
            Ok(0) => return Ok(None),
            Ok(_) => {}
            Err(error) if error.kind() == ErrorKind::Interrupted => continue,
            Err(error) => return Err(failed(error)),
        }
        match String::from_utf8(bytes) {
            Ok(text) => return Ok(Some(text.trim().to_owned())),
            Err(_) => {
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
