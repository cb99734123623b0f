//! What a person types: parse, begin and read, decide, post and commit, print.

pub mod desk;

pub mod answers;
pub mod args;
pub mod bench;
pub mod dating;
pub mod error;
pub mod explained;
pub mod help;
pub mod keeping;
pub mod likeness;
pub mod ordered;
pub mod progress;
pub mod shelf;
pub mod shop;
pub mod things;
pub mod tolerance;

pub mod start;
pub mod stores;

pub mod kitting;

pub mod making;

pub mod buying;

pub mod estimating;

pub mod tracing;

use crate::print::escape::escape;
use crate::print::paper::{Format, Paper, aside, render};
use crate::print::wire::error_json;
use args::{Cli, Command, Form, Globals};
use clap::{CommandFactory, FromArgMatches};
use desk::Desk;
use error::{Failure, exit};
use shop::{Done, Shop};
use std::ffi::OsString;
use std::io::ErrorKind;

/// Runs one command line at a desk and returns its exit.
pub fn run(desk: &mut Desk<'_>, args: &[OsString]) -> u8 {
    let args = &things::unlabelled(args);
    let command = help::dressed(Cli::command(), args);
    let parsed = command
        .try_get_matches_from(args)
        .and_then(|found| Cli::from_arg_matches(&found));
    let cli = match parsed {
        Ok(cli) => cli,
        Err(error) => return misunderstood(desk, args, &error),
    };
    let globals = cli.globals.clone();
    let outcome = match cli.command {
        None => return say(desk, &help::short(), exit::DONE),
        Some(command) => perform(desk, globals.clone(), command),
    };
    match outcome {
        Ok(Said::Paper(done)) => write_paper(desk, &globals, &done.paper, done.exit),
        Ok(Said::Told(exit)) => exit,
        Err(Failure::ReaderGone) => exit::DONE,
        Err(Failure::Trial(paper, exit)) => write_paper(desk, &globals, &paper, exit),
        Err(failure) => write_failure(desk, &globals, &failure),
    }
}

/// What a command has to say: a paper still to be written, or nothing that it has not told already.
pub enum Said {
    /// A paper.
    Paper(Box<Done>),
    /// Everything was told; only the exit is left.
    Told(u8),
}

/// Runs one command.
fn perform(desk: &mut Desk<'_>, globals: Globals, command: Command) -> Result<Said, Failure> {
    let request = format!("{command:?}");
    match command {
        Command::Start(start::Command::Demo(ask)) => start::demo::run(desk, &ask).map(Said::Told),
        Command::Stores(stores::Command::Scan(ask)) if ask.is_bare() => {
            stores::scan::stand(desk, &globals, &ask).map(Said::Told)
        }
        Command::Stores(stores::Command::Hatch(_)) => stores::hatch::run(desk, globals).map(Said::Told),
        other => {
            let mut shop = Shop::new(desk, globals, request);
            let done = match other {
                Command::Start(command) => start::run(&mut shop, command),
                Command::Stores(command) => stores::run(&mut shop, command),
                Command::Making(command) => making::run(&mut shop, command),
                Command::Kitting(command) => kitting::run(&mut shop, command),
                Command::Buying(command) => buying::run(&mut shop, command),
                Command::Estimating(command) => estimating::run(&mut shop, command),
                Command::Tracing(command) => tracing::run(&mut shop, command),
            };
            done.map(|done| Said::Paper(Box::new(done)))
        }
    }
}

/// Writes a paper to the answer's stream, and what its form leaves out beside it.
fn write_paper(desk: &mut Desk<'_>, globals: &Globals, paper: &Paper, exit: u8) -> u8 {
    let format = globals.format.format();
    let look = desk.look(globals.color.choice(), desk.out_is_person);
    let text = render(paper, format, &look);
    let beside = aside(
        paper,
        format,
        &desk.look(globals.color.choice(), desk.err_is_person),
    );
    if !beside.is_empty() && desk.err.write_all(beside.as_bytes()).is_err() {
        return exit::IO;
    }
    let written = say(desk, &text, exit);
    if written == exit::IO
        && let Some(document) = paper.document_number()
    {
        // The answer's stream is gone; if this one is too, nothing more can be said.
        let _ = writeln!(desk.err, "{document} is posted, its paper could not be written");
    }
    written
}

/// Writes text to the answer's stream; a reader who has gone is no fault.
fn say(desk: &mut Desk<'_>, text: &str, exit: u8) -> u8 {
    match desk
        .out
        .write_all(text.as_bytes())
        .and_then(|()| desk.out.flush())
    {
        Ok(()) => exit,
        Err(error) if error.kind() == ErrorKind::BrokenPipe => exit,
        Err(_) => exit::IO,
    }
}

/// Writes a failure to the other stream: what, why, what to do next, and its number.
fn write_failure(desk: &mut Desk<'_>, globals: &Globals, failure: &Failure) -> u8 {
    let (number, message, hint) = (failure.number(), failure.message(), failure.hint());
    let text = if globals.format.format() == Format::Json {
        let store = globals
            .store
            .as_ref()
            .map(|path| ("store".to_owned(), path.display().to_string()));
        let context: Vec<(String, String)> = store.into_iter().collect();
        error_json(number, &message, &hint, &context)
    } else {
        let look = desk.look(globals.color.choice(), desk.err_is_person);
        let lines = message
            .lines()
            .map(|line| look.fold(&escape(line)))
            .collect::<Vec<_>>()
            .join("\n");
        let kind = if (200..300).contains(&number) {
            "refusal"
        } else {
            "error"
        };
        let head = look.paint(crate::print::look::Tone::Stop, &format!("{kind} {number}"));
        format!("{head}: {lines}\n  next: {}\n", look.fold(&escape(&hint)))
    };
    match desk.err.write_all(text.as_bytes()) {
        Ok(()) => failure.exit(),
        Err(_) => exit::IO,
    }
}

/// Help that was asked for, or a command line that cannot be understood.
fn misunderstood(desk: &mut Desk<'_>, args: &[OsString], error: &clap::Error) -> u8 {
    let text = error.render().to_string();
    let clean: String = text.lines().map(|line| format!("{}\n", escape(line))).collect();
    if !error.use_stderr() {
        return say(desk, &clean, exit::DONE);
    }
    let wants_json =
        args.windows(2).any(|pair| pair == ["--format", "json"]) || args.iter().any(|a| a == "--format=json");
    let globals = Globals {
        format: if wants_json { Form::Json } else { Form::Table },
        ..Globals::default()
    };
    let failure = help::misunderstood(&clean, error);
    write_failure(desk, &globals, &failure)
}
