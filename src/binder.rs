//! Floor 6: the binder as a neutral document: what stands on which page, in whose words. All wording of the
//! binder is here, so that a second language could follow. Knows neither Typst nor Markdown, and no disk.

pub mod document;
