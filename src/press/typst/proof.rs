//! Proves from the finished pages that nothing was lost: each key once, inside the live area, and no ink where
//! nothing may be printed. Must not know the engine, nor what a key stands for.

use std::collections::BTreeMap;

use super::engine::{Ink, PageFound};

// What is proved is said here once more, and not taken from `sizes.rs`: a wrong size there has to be found out.

/// Half the heaviest rule, whose square ends stand out so far, and rounding.
const TOLERANCE: f64 = 0.4;
/// Nothing at all is printed nearer to the bound edge.
const HOLE_STRIP: f64 = 20.0;
const INNER: f64 = 24.0;
const LIVE: f64 = 174.0;
const HEAD_TOP: f64 = 9.0;
const BODY_TOP: f64 = 20.0;
/// From the page's bottom edge, by paper: the body ends there, and the foot.
const BODY_END: f64 = 16.0;
const FOOT_END: f64 = 8.0;
/// Many printers leave this much of the edge white.
const EDGE: f64 = 3.5;

/// What the proof found wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Wrong {
    Missing(String),
    Twice(String, Vec<usize>),
    /// The mark stands outside the live area of this page.
    Outside(String, usize),
    /// Something is printed where nothing may be: what, page.
    Ink(String, usize),
}

/// Pages of the keys, or all that is wrong.
///
/// # Errors
/// Every key that is missing, doubled or outside, and all ink outside.
pub fn prove<'a>(
    keys: impl Iterator<Item = &'a str>,
    pages: &[PageFound],
    two_sided: bool,
) -> Result<BTreeMap<String, usize>, Vec<Wrong>> {
    let mut found: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    let mut wrong = Vec::new();
    for (page, number) in pages.iter().zip(1..) {
        let area = Area::of(page, two_sided && number % 2 == 0);
        for sign in page.signs.iter().filter(|sign| sign.kind == "k") {
            found.entry(&sign.name).or_default().push(number);
            if !area.holds(sign.x, sign.y) {
                wrong.push(Wrong::Outside(sign.name.clone(), number));
            }
        }
        // One text that runs off the page is many lines: the first of a page tells where to look.
        let mut outside = page.ink.iter().filter(|ink| !area.may_print(ink));
        if let Some(ink) = outside.next() {
            let more = outside.count();
            let more = if more > 0 {
                format!(", and {more} more,")
            } else {
                String::new()
            };
            wrong.push(Wrong::Ink(format!("{}{more}", shown(ink)), number));
        }
    }
    let mut places = BTreeMap::new();
    for key in keys {
        match found.get(key).map(Vec::as_slice) {
            None | Some([]) => wrong.push(Wrong::Missing(key.to_owned())),
            Some([page]) => {
                places.insert(key.to_owned(), *page);
            }
            Some(several) => wrong.push(Wrong::Twice(key.to_owned(), several.to_vec())),
        }
    }
    if wrong.is_empty() { Ok(places) } else { Err(wrong) }
}

/// The first few words of a text and its place are enough to find it.
fn shown(ink: &Ink) -> String {
    let what: String = ink.what.chars().take(40).collect();
    format!(
        "{what} at {:.1} to {:.1}, {:.1} to {:.1} mm",
        ink.left, ink.right, ink.top, ink.bottom
    )
}

struct Area {
    left: f64,
    right: f64,
    body_end: f64,
    foot_end: f64,
    width: f64,
    mirrored: bool,
}

impl Area {
    fn of(page: &PageFound, mirrored: bool) -> Self {
        let left = if mirrored {
            page.width - INNER - LIVE
        } else {
            INNER
        };
        Area {
            left,
            right: left + LIVE,
            body_end: page.height - BODY_END,
            foot_end: page.height - FOOT_END,
            width: page.width,
            mirrored,
        }
    }

    fn holds(&self, x: f64, y: f64) -> bool {
        (self.left - TOLERANCE..=self.right + TOLERANCE).contains(&x)
            && (BODY_TOP - TOLERANCE..=self.body_end + TOLERANCE).contains(&y)
    }

    fn may_print(&self, ink: &Ink) -> bool {
        let (inner, outer) = if self.mirrored {
            (self.width - ink.right, ink.left)
        } else {
            (ink.left, self.width - ink.right)
        };
        let live = ink.left >= self.left - TOLERANCE && ink.right <= self.right + TOLERANCE;
        // The stage mark alone stands outside the live width, at the outer edge.
        let at_edge = outer >= EDGE
            && if self.mirrored {
                ink.right <= self.left - 1.0
            } else {
                ink.left >= self.right + 1.0
            };
        inner >= HOLE_STRIP
            && (live || at_edge)
            && ink.top >= HEAD_TOP
            && ink.bottom <= self.foot_end + TOLERANCE
    }
}

#[cfg(test)]
mod tests {
    use super::{Wrong, prove};
    use crate::press::typst::engine::{Ink, PageFound, Sign};

    fn page(signs: &[(&str, f64, f64)], ink: &[(f64, f64)]) -> PageFound {
        PageFound {
            width: 210.0,
            height: 297.0,
            signs: signs
                .iter()
                .map(|(name, x, y)| Sign {
                    kind: "k".to_owned(),
                    name: (*name).to_owned(),
                    x: *x,
                    y: *y,
                })
                .collect(),
            ink: ink
                .iter()
                .map(|(left, right)| Ink {
                    what: "shape".to_owned(),
                    left: *left,
                    right: *right,
                    top: 50.0,
                    bottom: 60.0,
                    points: None,
                })
                .collect(),
        }
    }

    #[test]
    fn each_key_is_found_once_and_inside() {
        let good = [
            page(&[("a", 30.0, 40.0)], &[(24.0, 198.0), (200.0, 206.0)]),
            page(&[("b", 30.0, 40.0)], &[]),
        ];
        let places = prove(["a", "b"].into_iter(), &good, false).expect("both stand in the live area");
        assert_eq!(places.get("b"), Some(&2));
        assert_eq!(
            prove(["a", "b", "c"].into_iter(), &good, false),
            Err(vec![Wrong::Missing("c".to_owned())])
        );
        let doubled = [page(&[("a", 30.0, 40.0), ("a", 30.0, 80.0)], &[])];
        assert_eq!(
            prove(["a"].into_iter(), &doubled, false),
            Err(vec![Wrong::Twice("a".to_owned(), vec![1, 1])])
        );
        let below = [page(&[("a", 30.0, 290.0)], &[])];
        assert_eq!(
            prove(["a"].into_iter(), &below, false),
            Err(vec![Wrong::Outside("a".to_owned(), 1)])
        );
    }

    #[test]
    fn the_hole_strip_stays_clear_on_both_sides() {
        let holes = [page(&[], &[(19.0, 40.0)])];
        assert_eq!(
            prove([].into_iter(), &holes, false),
            Err(vec![Wrong::Ink(
                "shape at 19.0 to 40.0, 50.0 to 60.0 mm".to_owned(),
                1
            )])
        );
        let left_hand = [page(&[], &[]), page(&[], &[(12.0, 186.0), (4.0, 10.0)])];
        assert!(prove([].into_iter(), &left_hand, true).is_ok());
        let bound_right = [page(&[], &[]), page(&[], &[(24.0, 198.0)])];
        assert_eq!(
            prove([].into_iter(), &bound_right, true),
            Err(vec![Wrong::Ink(
                "shape at 24.0 to 198.0, 50.0 to 60.0 mm".to_owned(),
                2
            )])
        );
    }
}
