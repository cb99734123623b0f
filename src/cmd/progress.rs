//! How far a long command has come, drawn over one line for the person who reads along.
//!
//! Nothing is drawn where nobody reads along, where the answer is for a program, where lines must not be redrawn, and
//! before the work has lasted a while.

use crate::cmd::args::Form;
use crate::cmd::shop::Shop;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle, TermLike};
use std::fmt;
use std::io::{Error, Write};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::Duration;

/// How long work lasts before it is worth a word.
const WORTH_A_WORD: Duration = Duration::from_secs(1);
/// How often the line is drawn where no step is made.
const EVERY: Duration = Duration::from_millis(200);
/// After how many rows the line is written anew.
const ROWS: usize = 500;

/// Where progress is drawn, and how long it is since the drawing was asked for.
pub struct Drawing {
    /// A terminal.
    pub onto: Box<dyn Write + Send>,
    /// The time since.
    pub elapsed: Box<dyn Fn() -> Duration + Send + Sync>,
}

/// How far one command has come; where nothing is drawn every step is for nothing and costs nothing.
pub struct Progress {
    draws: Option<(fn() -> Drawing, usize)>,
    bar: Option<ProgressBar>,
    what: &'static str,
    of: usize,
    done: usize,
}

impl Progress {
    /// Begins a stage of so many rows, or of none where nobody knows how long it takes. Nothing is drawn before the first:
    /// until then the line may be a prompt's.
    pub fn begin(&mut self, what: &'static str, of: usize) {
        (self.what, self.of, self.done) = (what, of, 0);
        if self.bar.is_none() {
            self.bar = self.draws.map(|(drawing, width)| line(drawing(), width));
        }
        self.tell();
    }

    /// One row is done.
    pub fn step(&mut self) {
        self.done += 1;
        if self.done.is_multiple_of(ROWS) {
            self.tell();
        }
    }

    fn tell(&self) {
        let Some(bar) = &self.bar else { return };
        bar.set_message(match self.of {
            0 => self.what.to_owned(),
            of => format!("{}: row {} of {of}", self.what, self.done),
        });
    }
}

/// A line that is drawn over and over.
fn line(drawing: Drawing, width: usize) -> ProgressBar {
    let screen = Screen {
        onto: Mutex::new(drawing.onto),
        elapsed: drawing.elapsed,
        width: u16::try_from(width).unwrap_or(u16::MAX),
    };
    let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::term_like(Box::new(screen)));
    // A template that was not understood would leave the default, which is a line as well; a test sees the text.
    let style = ProgressStyle::with_template("{msg}").unwrap_or_else(|_| ProgressStyle::default_spinner());
    bar.set_style(style);
    bar.enable_steady_tick(EVERY);
    bar
}

impl Drop for Progress {
    /// The line is taken away again: the answer stands alone.
    fn drop(&mut self) {
        if let Some(bar) = &self.bar {
            bar.finish_and_clear();
        }
    }
}

impl Shop<'_, '_> {
    /// How far this command has come, drawn if anybody wants to see it.
    pub fn progress(&self) -> Progress {
        let set = |name: &str| (self.desk.env)(name).filter(|value| !value.is_empty());
        let wanted = self.desk.err_is_person
            && matches!(self.globals.format, Form::Table)
            && set("ACCESSIBLE").is_none()
            && set("TERM").is_none_or(|term| term != "dumb");
        Progress {
            draws: wanted.then_some((self.desk.drawing, self.desk.width)),
            bar: None,
            what: "",
            of: 0,
            done: 0,
        }
    }
}

/// One line of a terminal; before the work has lasted a while it takes everything and shows nothing.
struct Screen {
    onto: Mutex<Box<dyn Write + Send>>,
    elapsed: Box<dyn Fn() -> Duration + Send + Sync>,
    width: u16,
}

impl fmt::Debug for Screen {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Screen").field("width", &self.width).finish()
    }
}

impl Screen {
    fn put(&self, text: &str) -> Result<(), Error> {
        if (self.elapsed)() < WORTH_A_WORD {
            return Ok(());
        }
        self.terminal().write_all(text.as_bytes())
    }

    fn terminal(&self) -> MutexGuard<'_, Box<dyn Write + Send>> {
        self.onto.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn go(&self, lines_or_cells: usize, way: char) -> Result<(), Error> {
        match lines_or_cells {
            0 => Ok(()),
            n => self.put(&format!("\u{1b}[{n}{way}")),
        }
    }
}

impl TermLike for Screen {
    fn width(&self) -> u16 {
        self.width
    }

    fn move_cursor_up(&self, n: usize) -> Result<(), Error> {
        self.go(n, 'A')
    }

    fn move_cursor_down(&self, n: usize) -> Result<(), Error> {
        self.go(n, 'B')
    }

    fn move_cursor_right(&self, n: usize) -> Result<(), Error> {
        self.go(n, 'C')
    }

    fn move_cursor_left(&self, n: usize) -> Result<(), Error> {
        self.go(n, 'D')
    }

    fn write_line(&self, s: &str) -> Result<(), Error> {
        self.put(s)?;
        self.put("\n")
    }

    fn write_str(&self, s: &str) -> Result<(), Error> {
        self.put(s)
    }

    fn clear_line(&self) -> Result<(), Error> {
        self.put("\r\u{1b}[2K")
    }

    fn flush(&self) -> Result<(), Error> {
        self.terminal().flush()
    }
}
