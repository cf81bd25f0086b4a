//! The compiler of boltfolio without its pages and its disk: the language, the walk through the machine's states, the reckoning,
//! the rules and the binder as a neutral document.
//!
//! [`compile::compile`] is the one entry: texts in, a [`compile::Compilation`] out. [`binder::bind`] makes a neutral document of
//! it; [`enter`] puts what was done into the plan's texts.

#![warn(missing_docs)]

pub mod analysis;
pub mod base;
pub mod binder;
pub mod compile;
pub mod editor;
pub mod enter;
pub mod plan;
pub mod reckon;
pub mod rules;
pub mod syntax;
pub mod walk;
pub mod weights;
