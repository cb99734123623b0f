//! Getting started: stores made, records taken on.

mod demo;
mod import;
mod init;
mod update;
