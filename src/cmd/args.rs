//! What a person may type. The texts here are the help.

use crate::print::look::ColorChoice;
use crate::print::paper::Format;
use clap::{Args, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Everything typed.
#[derive(Parser, Debug)]
#[command(
    name = "bincard",
    version,
    disable_help_subcommand = true,
    args_override_self = false
)]
pub struct Cli {
    /// What stands before or after any command.
    #[command(flatten)]
    pub globals: Globals,
    /// The command.
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// What stands before or after any command.
#[derive(Args, Clone, Debug, Default)]
pub struct Globals {
    /// The store's file (also BINCARD_STORE)
    #[arg(long, global = true, hide_short_help = true, value_name = "PATH")]
    pub store: Option<PathBuf>,
    /// The day it happened, if not today: YYYY-MM-DD
    #[arg(long, global = true, hide_short_help = true, value_name = "DATE")]
    pub on: Option<String>,
    /// Whose initials stand on the document
    #[arg(long, global = true, hide_short_help = true, value_name = "INITIALS")]
    pub by: Option<String>,
    /// How the answer is written
    #[arg(
        long,
        global = true,
        hide_short_help = true,
        value_enum,
        default_value_t,
        value_name = "FORM"
    )]
    pub format: Form,
    /// Do everything, show everything, post nothing
    #[arg(short = 'n', long, global = true, hide_short_help = true)]
    pub dry_run: bool,
    /// Never ask, refuse instead
    #[arg(long, global = true, hide_short_help = true)]
    pub no_input: bool,
    /// An id of your own, so that the same command twice posts once
    #[arg(long, global = true, hide_short_help = true, value_name = "ID")]
    pub op_id: Option<String>,
    /// Whether colour is used
    #[arg(
        long,
        global = true,
        hide_short_help = true,
        value_enum,
        default_value_t,
        value_name = "WHEN"
    )]
    pub color: Color,
}

impl Globals {
    /// What was said once for every line that follows, as it would be typed; the initials are for each line to say.
    pub fn typed(&self) -> Vec<String> {
        let mut typed = Vec::new();
        let mut says = |flag: &str, value: Option<String>| {
            if let Some(value) = value {
                typed.extend([flag.to_owned(), value]);
            }
        };
        let word =
            |value: Option<clap::builder::PossibleValue>| value.map(|value| value.get_name().to_owned());
        says(
            "--store",
            self.store.as_ref().map(|path| path.display().to_string()),
        );
        says("--on", self.on.clone());
        says(
            "--format",
            word(
                Some(self.format)
                    .filter(|form| *form != Form::Table)
                    .and_then(|form| form.to_possible_value()),
            ),
        );
        says(
            "--color",
            word(
                Some(self.color)
                    .filter(|color| *color != Color::Auto)
                    .and_then(|color| color.to_possible_value()),
            ),
        );
        for (flag, set) in [("--dry-run", self.dry_run), ("--no-input", self.no_input)] {
            if set {
                typed.push(flag.to_owned());
            }
        }
        typed
    }
}

/// The forms of an answer.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Form {
    /// For people
    #[default]
    Table,
    /// A record a line, parted by tabs
    Plain,
    /// With a heading of keys
    Csv,
    /// One document, decimals as text
    Json,
}

impl Form {
    /// The print floor's word for it.
    pub fn format(self) -> Format {
        match self {
            Form::Table => Format::Table,
            Form::Plain => Format::Plain,
            Form::Csv => Format::Csv,
            Form::Json => Format::Json,
        }
    }
}

/// When colour is used.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Color {
    /// On a terminal, unless the environment says no
    #[default]
    Auto,
    /// Always
    Always,
    /// Never
    Never,
}

impl Color {
    /// The print floor's word for it.
    pub fn choice(self) -> ColorChoice {
        match self {
            Color::Auto => ColorChoice::Auto,
            Color::Always => ColorChoice::Always,
            Color::Never => ColorChoice::Never,
        }
    }
}

/// Every command, room by room.
#[derive(Subcommand, Debug)]
#[command(defer = true)]
pub enum Command {
    /// Getting started.
    #[command(flatten)]
    Start(crate::cmd::start::Command),
    /// The counter.
    #[command(flatten)]
    Stores(crate::cmd::stores::Command),
    /// Used, made and sent out.
    #[command(flatten)]
    Making(crate::cmd::making::Command),
    /// Kits.
    #[command(flatten)]
    Kitting(crate::cmd::kitting::Command),
    /// Buying.
    #[command(flatten)]
    Buying(crate::cmd::buying::Command),
    /// Estimating.
    #[command(flatten)]
    Estimating(crate::cmd::estimating::Command),
    /// Inspection.
    #[command(flatten)]
    Tracing(crate::cmd::tracing::Command),
}
