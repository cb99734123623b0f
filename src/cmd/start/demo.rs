//! `demo`: the whole job walked aloud in a store of its own, each command as it would be typed and what it prints.

use crate::cmd::desk::{Desk, make_folder, scratch_folder, write_new};
use crate::cmd::error::{Failure, exit};
use clap::Args;
use include_dir::{Dir, include_dir};
use std::ffi::OsString;
use std::path::{Path, PathBuf};

/// The sample workshop, in the program itself.
static SAMPLE: Dir<'static> = include_dir!("$CARGO_MANIFEST_DIR/sample-data");

/// Walk through the whole job in a store that is thrown away
#[derive(Args, Debug)]
pub struct Ask {
    /// A new folder for the store and the sample; without one, a folder for what is thrown away
    #[arg(long, value_name = "FOLDER")]
    into: Option<PathBuf>,
}

/// One step: what it shows, what is typed (`SAMPLE` stands for the sample's folder), and the exit it ends with.
type Step = (&'static str, &'static str, u8);

/// The walk.
const STEPS: &[Step] = &[
    (
        "A training store is made; its clock stands at the day the old cards were closed.",
        "init --name \"Tern Slip\" --training-day 2026-11-02 --by HP",
        exit::DONE,
    ),
    (
        "Parts, bins, bills, prices and opening stock are taken on, all or nothing.",
        "import SAMPLE/opening --by HP",
        exit::DONE,
    ),
    (
        "Three weeks go by.",
        "settings --training-day 2026-11-25 --by HP",
        exit::DONE,
    ),
    (
        "The manager's orders are on their way.",
        "import SAMPLE/orders.csv --by DA",
        exit::DONE,
    ),
    (
        "What is on the shelf of the sealant? One lot has died there.",
        "stock SE-50",
        exit::DONE,
    ),
    (
        "The bill by the cheap route: a spacer under each barrel.",
        "conversion expand TC-W -c route=spacer",
        exit::DONE,
    ),
    (
        "And by the dear one: low-compression pistons.",
        "conversion expand TC-W -c route=piston",
        exit::DONE,
    ),
    (
        "Two engines come in; each gets a job and a box of its own colour.",
        "job raise TC-W --engine W28-0533 -c route=piston --tag amber --use-day 2026-11-27 --by DA",
        exit::DONE,
    ),
    (
        "The second one goes the spacer way.",
        "job raise TC-W --engine W28-0417 -c route=spacer --tag blue --use-day 2026-12-02 --by DA",
        exit::DONE,
    ),
    (
        "Both kits are reserved in order of need; what is short and which sealant is dead is named.",
        "reserve --by TW",
        exit::NO,
    ),
    ("What is short, and is any of it coming?", "shorts", exit::NO),
    ("Blue's pick list, in walking order.", "pick blue", exit::DONE),
    (
        "It was picked as listed.",
        "pick blue --list 2 --as-listed --by TW",
        exit::DONE,
    ),
    ("The kit goes to the engine.", "issue blue --by TW", exit::DONE),
    ("What has it cost?", "cost blue", exit::DONE),
    ("Spacer against pistons.", "compare TC-W", exit::DONE),
    ("One bin card: the long studs.", "card ST-160", exit::DONE),
    ("And the books are proved.", "check", exit::DONE),
];

/// Walks through the job.
pub fn run(desk: &mut Desk<'_>, ask: &Ask) -> Result<u8, Failure> {
    let folder = match &ask.into {
        Some(folder) if folder.exists() => return Err(cannot(folder, "it is there already")),
        Some(folder) => make_folder(folder).map(|()| folder.clone()),
        None => scratch_folder("demo"),
    };
    let folder = folder.map_err(|error| cannot(Path::new("the demo's folder"), &error.to_string()))?;
    unpack(&SAMPLE, &folder)?;
    let store = folder.join("store.db");
    let set = format!("$ export BINCARD_STORE={}\n", store.display());
    tell(
        desk,
        &format!("The job from the shelf to the engine, in a workshop that is pure fiction.\n\n{set}"),
    )?;
    for (what, line, wanted) in STEPS {
        let typed = line.replace("SAMPLE", &folder.display().to_string());
        let words = split(&typed);
        tell(desk, &format!("\n# {what}\n$ bincard {typed}\n"))?;
        let found = step(desk, &store, &words);
        if found != *wanted {
            let because = format!("`bincard {typed}` ended with {found} instead of {wanted}");
            return Err(Failure::File {
                path: "demo".to_owned(),
                because,
                exit: exit::OURS,
            });
        }
    }
    tell(
        desk,
        &format!(
            "\nThe store is at {}\nTry next, with BINCARD_STORE set as above:\n  bincard shorts\n  bincard stock studs\n  \
             bincard compare TC-L\n",
            store.display()
        ),
    )?;
    Ok(exit::DONE)
}

/// The words of a line as a shell takes them, as far as quotes go.
fn split(line: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut quoted = false;
    for mark in line.chars() {
        match (mark, words.last_mut()) {
            ('"', _) => quoted = !quoted,
            (' ', _) if !quoted => words.push(String::new()),
            (other, Some(word)) => word.push(other),
            (_, None) => {}
        }
    }
    words
}

/// Types one command at the same desk, with the demo's store in the environment.
fn step(desk: &mut Desk<'_>, store: &Path, words: &[String]) -> u8 {
    let outer = desk.env;
    let env = |name: &str| match name {
        "BINCARD_STORE" => Some(store.display().to_string()),
        other => outer(other),
    };
    let args: Vec<OsString> = std::iter::once("bincard")
        .chain(words.iter().map(String::as_str))
        .map(OsString::from)
        .collect();
    let mut inner = Desk {
        out: &mut *desk.out,
        err: &mut *desk.err,
        input: &mut *desk.input,
        input_is_person: false,
        out_is_person: desk.out_is_person,
        err_is_person: desk.err_is_person,
        width: desk.width,
        clock: desk.clock,
        env: &env,
        new_op: &mut *desk.new_op,
        waiting: desk.waiting,
        drawing: desk.drawing,
    };
    crate::cmd::run(&mut inner, &args)
}

/// Writes the sample into a folder.
fn unpack(dir: &Dir<'_>, folder: &Path) -> Result<(), Failure> {
    for file in dir.files() {
        let path = folder.join(file.path());
        write_new(&path, file.contents()).map_err(|error| cannot(&path, &error.to_string()))?;
    }
    for inner in dir.dirs() {
        let path = folder.join(inner.path());
        make_folder(&path).map_err(|error| cannot(&path, &error.to_string()))?;
        unpack(inner, folder)?;
    }
    Ok(())
}

fn cannot(path: &Path, because: &str) -> Failure {
    Failure::File {
        path: path.display().to_string(),
        because: because.to_owned(),
        exit: exit::CANNOT_CREATE,
    }
}

/// Says something of the demo's own; a reader who has gone ends it quietly.
fn tell(desk: &mut Desk<'_>, text: &str) -> Result<(), Failure> {
    let written = desk
        .out
        .write_all(text.as_bytes())
        .and_then(|()| desk.out.flush());
    written.map_err(|error| match error.kind() {
        std::io::ErrorKind::BrokenPipe => Failure::ReaderGone,
        _ => Failure::File {
            path: "the answer".to_owned(),
            because: error.to_string(),
            exit: exit::IO,
        },
    })
}
