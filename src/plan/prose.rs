//! The owner's prose: CommonMark, read by pulldown-cmark, which no other file touches. Raw HTML and deep nesting are
//! refused here, so that no later floor has to think of them.

use pulldown_cmark::{Event, Parser, Tag};

use super::slip::NoteFault;

/// Deepest nesting of lists and quotations that a page carries; the page engine itself gives up at about twice this.
pub const DEEPEST: usize = 8;

/// Why a note cannot be printed, if so.
#[must_use]
pub fn judge(text: &str) -> Option<NoteFault> {
    let mut depth = 0usize;
    for event in Parser::new(text) {
        match event {
            Event::Html(_) | Event::InlineHtml(_) | Event::Start(Tag::HtmlBlock) => {
                return Some(NoteFault::Html);
            }
            Event::Start(Tag::List(_) | Tag::BlockQuote(_)) => {
                depth += 1;
                if depth > DEEPEST {
                    return Some(NoteFault::TooDeep);
                }
            }
            Event::End(pulldown_cmark::TagEnd::List(_) | pulldown_cmark::TagEnd::BlockQuote(_)) => {
                depth = depth.saturating_sub(1);
            }
            _ => {}
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn html_and_depth() {
        assert_eq!(judge("*fine* 3 < 4 & 5 > 2"), None);
        assert_eq!(judge("a <b>c</b>"), Some(NoteFault::Html));
        assert_eq!(judge("<div>\nx\n</div>"), Some(NoteFault::Html));
        assert_eq!(judge(&format!("{}x", ">".repeat(40))), Some(NoteFault::TooDeep));
        assert_eq!(judge(&format!("{}x", ">".repeat(8))), None);
    }
}
