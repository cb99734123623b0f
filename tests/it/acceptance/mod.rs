//! Acceptance: certificates, what classes of part ask for, approvals of suppliers.

mod approval;
mod certificate;
mod nasty;
mod papers;
