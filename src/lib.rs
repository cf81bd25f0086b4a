//! boltfolio compiles a plain-text plan for stripping, weighing and rebuilding a machine: it checks what the
//! plan declares, and prints a shop binder.

pub mod base;
pub mod binder;
pub mod compile;
pub mod desk;
pub mod plan;
pub mod press;
pub mod rules;
pub mod syntax;
