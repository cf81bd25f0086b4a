//! Floor 7: what leaves the program: the binder as pages and Markdown, findings for a terminal and for other
//! programs. Knows no plan text and no disk.

pub mod findings_json;
pub mod terminal;
