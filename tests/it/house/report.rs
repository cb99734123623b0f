//! What a rule finds, and the three ways a test asks it.

use super::source::{File, PROJECT, tree};
use std::fmt;

/// A rule of the house: the files in, every breach out.
pub type Rule = fn(&[File]) -> Vec<Fault>;

/// One breach of one rule.
pub struct Fault {
    path: String,
    line: usize,
    /// What stands there, and why it may not.
    what: String,
}

impl Fault {
    /// A breach at a line (counted from 1) of a file.
    pub fn new(file: &File, line: usize, what: impl Into<String>) -> Self {
        Self::at(&file.path, line, what)
    }

    /// A breach at a path which need not be a text file.
    pub fn at(path: &str, line: usize, what: impl Into<String>) -> Self {
        Self {
            path: path.to_owned(),
            line,
            what: what.into(),
        }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}:{}: {}", self.path, self.line, self.what)
    }
}

/// Fails with every breach of the rule in the project.
#[track_caller]
pub fn keeps(rule: Rule) {
    all_well(&rule(&PROJECT));
}

/// Fails with these breaches, if there are any.
#[track_caller]
pub fn all_well(faults: &[Fault]) {
    let lines: Vec<String> = faults.iter().map(Fault::to_string).collect();
    assert!(
        faults.is_empty(),
        "{} breaches of a house rule\n{}\n",
        faults.len(),
        lines.join("\n")
    );
}

/// Fails unless each case (path, source, line) has exactly one breach, at its line.
#[track_caller]
pub fn bites(rule: Rule, cases: &[(&str, &str, usize)]) {
    for (path, text, line) in cases {
        let faults = rule(&pieces(&[(path, text)]));
        let lines: Vec<usize> = faults.iter().map(|fault| fault.line).collect();
        let found: Vec<String> = faults.iter().map(Fault::to_string).collect();
        assert_eq!(lines, [*line], "{path}\n{text}\nfound: {found:#?}");
    }
}

/// Fails unless the rule lets each case (path, source) pass.
#[track_caller]
pub fn lets_pass(rule: Rule, cases: &[(&str, &str)]) {
    for case in cases {
        all_well(&rule(&pieces(&[*case])));
    }
}

/// A small made-up project of paths and texts.
pub fn pieces(files: &[(&str, &str)]) -> Vec<File> {
    tree(
        files
            .iter()
            .map(|(path, text)| ((*path).to_owned(), (*text).to_owned())),
    )
}
