//! Papers about parts and their sizes.

pub mod size_list;
