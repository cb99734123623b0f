//! How the reader sees a paper: width, colour and the signs his terminal has.

/// The reader's side of one output stream; judged for each stream by itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look {
    /// Width in terminal cells; counts only where `tty` is set, and 0 means not known.
    pub width: usize,
    /// Whether colour may be added.
    pub color: bool,
    /// Whether our own signs must stay below U+0080.
    pub ascii: bool,
    /// Whether a person's terminal stands at the end of the stream.
    pub tty: bool,
}

/// What the person said about colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ColorChoice {
    /// Decide by environment and terminal.
    #[default]
    Auto,
    /// Colour whatever stands at the end.
    Always,
    /// No colour whatever stands at the end.
    Never,
}

/// The few colours in use, all of the 4-bit palette and each beside a word that says the same.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// The answer and headings.
    Strong,
    /// Something stops the work.
    Stop,
    /// Something to mind.
    Mind,
    /// All is well; cyan, so that nobody has to tell red from green.
    Well,
}

/// Our own signs beyond ASCII and what stands for them on a 7-bit terminal.
const SIGNS: &[(&str, &str)] = &[
    (" · ", " - "),
    ("·", "."),
    ("→", "->"),
    ("×", "x"),
    ("–", "-"),
    ("—", "-"),
    ("−", "-"),
    ("…", "..."),
    ("≤", "<="),
    ("≥", ">="),
    ("±", "+/-"),
    ("≈", "~"),
    (" °", " deg "),
    ("°", " deg"),
    ("π", "pi"),
    ("²", "2"),
    ("³", "3"),
    ("µ", "u"),
    ("½", "1/2"),
    ("‘", "'"),
    ("’", "'"),
    ("“", "\""),
    ("”", "\""),
];

impl Look {
    /// A stream without a terminal: no width limit, no colour, all signs.
    pub const PIPE: Look = Look {
        width: 0,
        color: false,
        ascii: false,
        tty: false,
    };

    /// The cells a line may take, or `None` where nothing limits it.
    #[must_use]
    pub fn room(&self) -> Option<usize> {
        (self.tty && self.width > 0).then_some(self.width)
    }

    /// Replaces our own signs where the terminal lacks them; names from the books do not go through here.
    #[must_use]
    pub fn fold(&self, text: &str) -> String {
        if !self.ascii || text.is_ascii() {
            return text.to_owned();
        }
        SIGNS.iter().fold(text.to_owned(), |folded, (sign, plain)| {
            folded.replace(sign, plain)
        })
    }

    /// Adds a tone to a word; without colour, or to nothing, the word comes back as it is.
    #[must_use]
    pub fn paint(&self, tone: Tone, word: &str) -> String {
        if !self.color || word.is_empty() {
            return word.to_owned();
        }
        let sgr = match tone {
            Tone::Strong => "1",
            Tone::Stop => "1;31",
            Tone::Mind => "1;33",
            Tone::Well => "36",
        };
        format!("\x1b[{sgr}m{word}\x1b[0m")
    }

    /// The stroke under a table's heads.
    #[must_use]
    pub fn stroke(&self) -> &'static str {
        // Box drawing only for eyes at a terminal: screen readers and files get dashes.
        if self.tty && !self.ascii { "─" } else { "-" }
    }
}

/// Decides on colour in the order: what the person said, NO_COLOR, CLICOLOR_FORCE, terminal and TERM.
///
/// An empty variable counts as unset; CLICOLOR_FORCE=0 forces nothing.
#[must_use]
pub fn decide_color(choice: ColorChoice, env: &dyn Fn(&str) -> Option<String>, tty: bool) -> bool {
    let set = |name: &str| env(name).filter(|value| !value.is_empty());
    match choice {
        ColorChoice::Always => true,
        ColorChoice::Never => false,
        ColorChoice::Auto if set("NO_COLOR").is_some() => false,
        ColorChoice::Auto if set("CLICOLOR_FORCE").is_some_and(|value| value != "0") => true,
        ColorChoice::Auto => tty && set("TERM").is_none_or(|term| term != "dumb"),
    }
}

/// Whether the locale leaves only ASCII: the first of LC_ALL, LC_CTYPE and LANG that says something decides.
///
/// With none of them set the locale is POSIX, which is ASCII.
#[must_use]
pub fn decide_ascii(env: &dyn Fn(&str) -> Option<String>) -> bool {
    let locale = ["LC_ALL", "LC_CTYPE", "LANG"]
        .into_iter()
        .find_map(|name| env(name).filter(|value| !value.is_empty()));
    !locale.is_some_and(|locale| speaks_utf8(&locale))
}

/// Whether a locale such as `en_GB.UTF-8@euro` names UTF-8 as its character set.
fn speaks_utf8(locale: &str) -> bool {
    let unmodified = locale.split('@').next().unwrap_or_default();
    let charset = unmodified.rsplit('.').next().unwrap_or_default();
    charset.eq_ignore_ascii_case("utf-8") || charset.eq_ignore_ascii_case("utf8")
}
