//! How every command behaves towards people, whatever it is for.

mod progress;
mod prompts;
mod screen;
mod stream;
mod tree;
