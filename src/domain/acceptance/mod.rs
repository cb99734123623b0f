//! Acceptance: the papers and checks that goods need before anybody may pick them.

pub mod approval;
pub mod certificate;
pub mod fault;
pub mod judge;
pub mod life;
pub mod papers;
pub mod rules;
