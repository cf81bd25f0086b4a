//! What a page's foot says of its neighbours: "after 5.3, before 5.5", so that a loose page finds its place. Must
//! not know the engine, nor what a step is.

use crate::press::words;

/// Something that pages are put in order by: a card, or a section without cards.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stop {
    /// Kind and name of the sign that stands where it starts.
    pub kind: &'static str,
    pub key: String,
    /// The card's block; none for a section.
    pub block: Option<String>,
    /// As the foot says it: "5.4", "Read first".
    pub name: String,
}

/// The feet of all pages, from the stops and their pages, both in order.
#[must_use]
pub fn feet(stops: &[(&str, usize)], pages: usize) -> Vec<String> {
    let mut first = 0;
    (1..=pages)
        .map(|page| {
            first += stops.iter().skip(first).take_while(|(_, at)| *at < page).count();
            let here = stops.iter().skip(first).take_while(|(_, at)| *at == page).count();
            // Where nothing starts, the page carries on with what started before it.
            let before = if here == 0 {
                first.checked_sub(2)
            } else {
                first.checked_sub(1)
            };
            let name = |at: usize| stops.get(at).map(|(name, _)| *name);
            let after = before
                .and_then(name)
                .map(|name| format!("{}{name}", words::AFTER_PAGE));
            let next = name(first + here).map(|name| format!("{}{name}", words::BEFORE_PAGE));
            after.into_iter().chain(next).collect::<Vec<_>>().join(", ")
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::feet;

    #[test]
    fn a_loose_page_finds_its_place() {
        let stops = [("Cover", 1), ("5.3", 2), ("5.4", 3), ("5.5", 5), ("5.6", 5)];
        assert_eq!(
            feet(&stops, 6),
            [
                "before 5.3",
                "after Cover, before 5.4",
                "after 5.3, before 5.5",
                "after 5.3, before 5.5",
                "after 5.4",
                "after 5.5",
            ]
        );
    }
}
