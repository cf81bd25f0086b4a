//! boltfolio compiles a plain-text plan for stripping, weighing and rebuilding a machine: it checks what the
//! plan declares, and prints a shop binder.
//!
//! [`compile::compile`] is the one entry: texts in, a [`compile::Compilation`] out, no disk. [`binder::bind`] makes a
//! neutral document of it, and [`press`] turns that into pages and Markdown. All but [`press`] and [`desk`] is the crate
//! `boltfolio-core`, which knows no page engine.

pub use boltfolio_core::{
    analysis, base, binder, compile, editor, enter, plan, reckon, rules, syntax, walk, weights,
};

pub mod desk;
pub mod press;
