//! boltfolio compiles a plain-text plan for stripping, weighing and rebuilding a machine: it checks what the
//! plan declares, and prints a shop binder.
//!
//! [`compile::compile`] is the one entry: texts in, a [`compile::Compilation`] out, no disk. [`binder::bind`] makes a
//! neutral document of it, and [`press`] turns that into pages and Markdown.

pub mod analysis;
pub mod base;
pub mod binder;
pub mod compile;
pub mod desk;
pub mod enter;
pub mod plan;
pub mod press;
pub mod reckon;
pub mod rules;
pub mod syntax;
pub mod walk;
pub mod weights;
