//! Getting started: stores made, records taken on.

mod demo;
mod export;
mod import;
mod init;
mod people;
mod sample;
mod update;
mod update_lawful;
