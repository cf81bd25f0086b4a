//! A list of rows that went over a page's end: how high it is where it need not, and where it ends when it starts
//! elsewhere. Knows where its rows stood; must not know what is in them.

use super::stands::{Body, Cursor, Place, Span};

/// A row of which nothing else is known, and a head that was not yet seen again, in mm.
const ROW: f64 = 10.0;
const HEAD: f64 = 9.5;

/// Heights in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct Rows {
    /// From the list's top to its first row: title and head.
    lead: f64,
    /// Of each row with what stands between it and the next.
    rows: Vec<f64>,
    /// What is repeated on the pages after the first.
    again: f64,
}

impl Rows {
    /// From the span of the list and where each row begins; none where these are not in order, as in two columns.
    #[must_use]
    pub fn of((start, end): Span, places: &[Place], body: Body) -> Option<Rows> {
        let first = *places.first()?;
        if first.0 != start.0 || first.1 < start.1 {
            return None;
        }
        let mut rows: Vec<Option<f64>> = Vec::new();
        let mut again = None;
        let ends = places.iter().skip(1).chain([&end]);
        for ((place, next), nth) in places.iter().zip(ends).zip(1..) {
            if next.0 != place.0 && nth == places.len() {
                // What follows the last row went over the page's end itself.
                rows.push(Some(body.height(&(*place, *next))));
            } else if next.0 == place.0 {
                if next.1 < place.1 {
                    return None;
                }
                rows.push(Some(next.1 - place.1));
            } else {
                // The row that ends a page has some white below it.
                rows.push(None);
                let head = (next.1 - body.top).max(0.0);
                again = Some(again.map_or(head, |least: f64| least.min(head)));
            }
        }
        let known: Vec<f64> = rows.iter().flatten().copied().collect();
        let usual = if known.is_empty() {
            ROW
        } else {
            known.iter().sum::<f64>() / known.len() as f64
        };
        // A row is most like the one before it.
        let mut before = usual;
        let rows = rows.into_iter().zip(places).map(|(high, place)| {
            let left = (body.end - place.1).max(0.0);
            before = high.unwrap_or_else(|| before.min(left));
            before
        });
        Some(Rows {
            lead: first.1 - start.1,
            rows: rows.collect(),
            again: again.unwrap_or(HEAD),
        })
    }

    /// On one page.
    #[must_use]
    pub fn high(&self) -> f64 {
        self.lead + self.rows.iter().sum::<f64>()
    }

    /// Goes over as many pages as it needs.
    pub(super) fn flow(&self, now: &mut Cursor, body: Body) {
        let first = self.lead + self.rows.first().copied().unwrap_or(0.0);
        if !body.holds(now.y, first) && now.y > body.top {
            now.page += 1;
            now.y = body.top;
        }
        now.y += self.lead;
        for high in &self.rows {
            if !body.holds(now.y, *high) {
                now.page += 1;
                now.y = body.top + self.again;
            }
            now.y += high;
        }
    }
}
