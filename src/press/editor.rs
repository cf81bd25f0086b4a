//! The language server: LSP 3.17 spoken over frames of JSON, what it asks put to `core/editor`, and the answers in its words. Holds what is
//! open; reads no file and no stream itself.

mod answers;
pub mod frame;
mod messages;
mod server;
mod uri;

pub use server::{Disk, Files, Home, Open, Server};
