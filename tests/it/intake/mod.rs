//! Paper coming in: what is read, and what is said of what cannot be read.

mod faults;
mod rows;
mod scanned;

use bincard::intake::{Fault, Faults, Intake, SourceFile, read};

/// A file of this name and text.
fn file(name: &str, text: impl AsRef<[u8]>) -> SourceFile {
    SourceFile {
        name: name.to_owned(),
        bytes: text.as_ref().to_vec(),
    }
}

/// What is read of one file.
fn taken(name: &str, text: impl AsRef<[u8]>) -> Intake {
    read(&[file(name, text)]).unwrap_or_else(|faults| panic!("{faults}"))
}

/// The faults of one file.
fn refused(name: &str, text: impl AsRef<[u8]>) -> Faults {
    read(&[file(name, text)]).expect_err("a fault was planted")
}

/// The one fault of one file.
fn only_fault(name: &str, text: impl AsRef<[u8]>) -> Fault {
    let faults = refused(name, text);
    assert_eq!(faults.total(), 1, "{faults}");
    faults.iter().next().cloned().expect("there is one")
}
