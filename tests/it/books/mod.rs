//! The books: opened safely, guarded by the engine itself, proved by `check`, shared by many at once.

mod opening;
