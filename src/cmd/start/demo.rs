//! `demo`: the whole job walked aloud in a store that is thrown away.

use crate::cmd::desk::Desk;
use crate::cmd::error::Failure;
use clap::Args;

/// What `demo` takes.
#[derive(Args, Debug)]
pub struct Ask {}

/// Walks through the job.
pub fn run(_desk: &mut Desk<'_>, _ask: &Ask) -> Result<u8, Failure> {
    Err(Failure::usage("no demo", "later"))
}
