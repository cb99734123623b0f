//! Acceptance: the papers and checks that goods need before anybody may pick them.

pub mod certificate;
pub mod fault;
pub mod papers;
