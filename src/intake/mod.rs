//! Paper coming in: the bytes of CSV files turned into rows of domain values, or into every fault at once; scanned codes.

pub mod csv_file;
pub mod fault;
pub mod rows;
pub mod rows_house;
pub mod rows_kits;
pub mod rows_packs;
pub mod rows_parts;
pub mod rows_rules;
pub mod scanned;
pub mod words;

mod cells;
mod labels;
mod sheet;

pub use csv_file::SourceFile;
pub use fault::{Fault, Faults};
pub use rows::{HEADINGS, Intake, KEYS, Listed, read};
pub use sheet::Placed;
