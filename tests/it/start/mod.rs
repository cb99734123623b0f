//! Getting started: stores made, records taken on.

mod import;
mod init;
