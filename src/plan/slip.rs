//! What is wrong with a plan's names and amounts, as data; `rules/names.rs` words it.
