//! The desk a command is given at: streams, clock, environment and files, so that a test can be a desk as well.

use crate::cmd::progress::Drawing;
use crate::domain::measure::Day;
use crate::intake::csv_file::MOST_BYTES;
use crate::print::escape::escape;
use crate::print::look::Look;
use std::collections::hash_map::RandomState;
use std::ffi::OsString;
use std::hash::{BuildHasher, Hasher};
use std::io::{BufRead, ErrorKind, IsTerminal, Read, Write};
use std::path::{Path, PathBuf};

/// An instant as a document bears it, and the civil day it falls on in the shop's zone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Moment {
    /// UTC, ISO 8601 to the second.
    pub at: String,
    /// The civil day where the shop is.
    pub day: Day,
}

/// What a process has around it.
pub struct Desk<'a> {
    /// The answer goes here.
    pub out: &'a mut dyn Write,
    /// Everything else goes here.
    pub err: &'a mut dyn Write,
    /// What a person types.
    pub input: &'a mut dyn BufRead,
    /// Whether a person sits at the input.
    pub input_is_person: bool,
    /// Whether a person reads the answer.
    pub out_is_person: bool,
    /// Whether a person reads the rest.
    pub err_is_person: bool,
    /// How wide the terminal is, in cells.
    pub width: usize,
    /// The clock; none where it stands outside the years we can write.
    pub clock: &'a dyn Fn() -> Option<Moment>,
    /// The environment.
    pub env: &'a dyn Fn(&str) -> Option<String>,
    /// A new operation id.
    pub new_op: &'a mut dyn FnMut() -> String,
    /// Called once where another process keeps us waiting.
    pub waiting: fn(),
    /// Where progress is drawn, if a person reads the rest.
    pub drawing: fn() -> Drawing,
}

/// How much of a line is read: nobody types more, and no scanner sends it.
const LONGEST_BYTES: u64 = 4096;

/// A line that was typed or scanned.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Line {
    /// Its text, without the blanks around it; the separators of a scan stay in it.
    Text(String),
    /// It is no text.
    Strange,
    /// Nothing more comes.
    End,
}

/// Colour, width and signs of a stream, by what was asked for and what the environment says.
impl Desk<'_> {
    /// How a stream is written to.
    pub fn look(&self, color: crate::print::look::ColorChoice, person: bool) -> Look {
        Look {
            width: self.width,
            color: crate::print::look::decide_color(color, self.env, person),
            ascii: crate::print::look::decide_ascii(self.env),
            tty: person,
        }
    }

    /// The next line, asked for where a person sits at the keyboard.
    pub fn next_line(&mut self, question: &str) -> Result<Line, std::io::Error> {
        loop {
            if self.input_is_person {
                self.err.write_all(escape(question).as_bytes())?;
                self.err.flush()?;
            }
            let mut bytes = Vec::new();
            match Read::take(&mut *self.input, LONGEST_BYTES).read_until(b'\n', &mut bytes) {
                Ok(0) => return Ok(Line::End),
                Ok(_) => {}
                Err(error) if error.kind() == ErrorKind::Interrupted => continue,
                Err(error) => return Err(error),
            }
            let text = String::from_utf8(bytes);
            return Ok(text.map_or(Line::Strange, |text| Line::Text(text.trim().to_owned())));
        }
    }
}

/// How many whole seconds lie between two instants; none where one cannot be read.
pub fn seconds_between(earlier: &Moment, later: &Moment) -> Option<i64> {
    let of = |moment: &Moment| {
        moment
            .at
            .parse::<jiff::Timestamp>()
            .ok()
            .map(jiff::Timestamp::as_second)
    };
    Some(of(later)? - of(earlier)?)
}

/// The files of a folder by name, or one file; nothing else of the machine is read.
// Folders are read here and nowhere else.
#[allow(clippy::disallowed_methods)]
pub fn read_files(path: &Path) -> Result<Vec<(String, Vec<u8>)>, std::io::Error> {
    if !std::fs::metadata(path)?.is_dir() {
        return Ok(vec![(file_name(path), read_file(path)?)]);
    }
    let mut found: Vec<PathBuf> = Vec::new();
    for entry in std::fs::read_dir(path)? {
        let path = entry?.path();
        if path
            .extension()
            .is_some_and(|ending| ending.eq_ignore_ascii_case("csv"))
        {
            found.push(path);
        }
    }
    found.sort();
    found
        .into_iter()
        .map(|path| Ok((file_name(&path), read_file(&path)?)))
        .collect()
}

fn file_name(path: &Path) -> String {
    path.file_name()
        .map(|name| name.to_string_lossy().into_owned())
        .unwrap_or_default()
}

/// Everything that stands in one file, or so much of it that it is seen to be too large.
// Files are opened here and nowhere else but for the store itself.
#[allow(clippy::disallowed_methods)]
pub fn read_file(path: &Path) -> Result<Vec<u8>, std::io::Error> {
    read_up_to_most(&mut std::fs::File::open(path)?)
}

/// Everything of a source, or so much of it that it is seen to be too large: no more is taken into memory.
pub fn read_up_to_most(source: &mut (impl Read + ?Sized)) -> Result<Vec<u8>, std::io::Error> {
    let mut bytes = Vec::new();
    let most = u64::try_from(MOST_BYTES).unwrap_or(u64::MAX).saturating_add(1);
    source.take(most).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// Makes a folder and those above it.
// Folders are made here and nowhere else.
#[allow(clippy::disallowed_methods)]
pub fn make_folder(path: &Path) -> Result<(), std::io::Error> {
    std::fs::create_dir_all(path)
}

/// Makes a new folder in which a demonstration may leave its store, and says where.
// The folder for what is thrown away is asked of the system here and nowhere else.
#[allow(clippy::disallowed_methods)]
pub fn scratch_folder(name: &str) -> Result<PathBuf, std::io::Error> {
    let folder = std::env::temp_dir().join(format!("bincard-{name}-{}", random_op().get(..8).unwrap_or("0")));
    std::fs::create_dir(&folder)?;
    Ok(folder)
}

/// Writes a new file; refuses where there is one.
// Files are written here and nowhere else.
#[allow(clippy::disallowed_methods)]
pub fn write_new(path: &Path, bytes: &[u8]) -> Result<(), std::io::Error> {
    std::fs::OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(path)?
        .write_all(bytes)
}

/// Where the default store lies: `$XDG_DATA_HOME/bincard/store.db`, else under the home folder; a relative folder in
/// the environment is not believed.
pub fn default_store(env: &dyn Fn(&str) -> Option<String>) -> Option<PathBuf> {
    let absolute = |name: &str| env(name).map(PathBuf::from).filter(|path| path.is_absolute());
    let data =
        absolute("XDG_DATA_HOME").or_else(|| absolute("HOME").map(|home| home.join(".local/share")))?;
    Some(data.join("bincard").join("store.db"))
}

/// Runs the program on the process's own arguments, streams, clock and environment.
// The process itself is met here and nowhere else.
#[allow(clippy::disallowed_methods)]
pub fn run_process() -> std::process::ExitCode {
    let usual = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |info| {
        let trace = std::env::var_os("RUST_BACKTRACE").is_some();
        let told = writeln!(
            std::io::stderr(),
            "bincard has a fault of its own and stopped; nothing was posted by this command. {}",
            info.location().map(|place| place.to_string()).unwrap_or_default()
        );
        if trace || told.is_err() {
            usual(info);
        }
    }));
    let args: Vec<OsString> = std::env::args_os().collect();
    let (mut out, mut err, mut input) = (std::io::stdout(), std::io::stderr(), std::io::stdin().lock());
    let (out_is_person, err_is_person) = (out.is_terminal(), err.is_terminal());
    let mut desk = Desk {
        input_is_person: std::io::stdin().is_terminal(),
        out_is_person,
        err_is_person,
        out: &mut out,
        err: &mut err,
        input: &mut input,
        width: terminal_width(),
        clock: &now,
        env: &|name| std::env::var(name).ok(),
        new_op: &mut random_op,
        waiting: || {
            // Nothing hangs on whether this line is seen.
            let _ = writeln!(std::io::stderr(), "waiting for another bincard process");
        },
        drawing: on_the_terminal,
    };
    let exit = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| crate::cmd::run(&mut desk, &args)));
    std::process::ExitCode::from(exit.unwrap_or(70))
}

/// The terminal behind the other stream, and the time from now on.
// The clock is read here and nowhere else.
#[allow(clippy::disallowed_methods)]
fn on_the_terminal() -> Drawing {
    let since = std::time::Instant::now();
    Drawing {
        onto: Box::new(std::io::stderr()),
        elapsed: Box::new(move || since.elapsed()),
    }
}

/// The width of the terminal: as the environment says it, else as the terminal does, else 80 cells.
// The environment is read here and nowhere else.
#[allow(clippy::disallowed_methods)]
fn terminal_width() -> usize {
    let said = std::env::var("COLUMNS").ok().and_then(|text| text.parse().ok());
    let asked = || terminal_size::terminal_size().map(|(width, _)| usize::from(width.0));
    said.or_else(asked).filter(|width| *width >= 20).unwrap_or(80)
}

/// The instant and the civil day where the machine is.
// The clock is read here and nowhere else.
#[allow(clippy::disallowed_methods)]
fn now() -> Option<Moment> {
    let zoned = jiff::ZonedDateTime::now();
    let date = zoned.date();
    let utc = zoned.timestamp().to_string();
    let seconds = utc.split('.').next()?.trim_end_matches('Z').to_owned();
    Some(Moment {
        at: format!("{seconds}Z"),
        day: Day::new(date.year(), date.month(), date.day())?,
    })
}

/// Thirty-two hexadecimal digits that nobody else has.
fn random_op() -> String {
    let word = || RandomState::new().build_hasher().finish();
    format!("{:016x}{:016x}", word(), word())
}
