//! How every command behaves towards people, whatever it is for.

mod prompts;
mod screen;
mod stream;
mod tree;
