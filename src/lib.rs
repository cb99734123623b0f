//! `bincard` keeps the bin cards of a workshop's stores: floors of the house, lowest first.

pub mod domain;

pub mod db;
pub mod intake;
pub mod print;

pub mod cmd;
