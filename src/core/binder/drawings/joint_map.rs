//! What an assembly is joined to before it moves: the assembly in the middle, the things left and right of it, and a line for each joint
//! with its name and fixings. Joints of one place stand together, those on a side on their side; lines run level, so that none crosses
//! another. Not to scale. Knows words, no plan.

use super::canvas::{Canvas, Side, TEXT};
use super::{Drawing, metrics};

/// More joints than this are a list.
pub const MOST: usize = 14;
/// Fewer are seen without a drawing.
pub const LEAST: usize = 4;
/// Higher than this it would need a page of its own, mm.
const HIGHEST: f64 = 140.0;
const WIDTH: f64 = super::super::sizes::LIVE;
/// Width of a thing's box, and of the one in the middle, mm.
const THING: f64 = 31.0;
const MIDDLE: f64 = 27.0;
/// Between one line of text and the next, mm.
const LINE_OF_TEXT: f64 = 4.4;
/// Between text and what stands beside it, mm.
const PAD: f64 = 1.5;

/// One joint.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Joint {
    /// "Lower ball left".
    pub name: String,
    /// "1 nut M12".
    pub what: String,
    pub hidden: bool,
    /// The thing at its other end.
    pub to: String,
    /// "Below"; joints of one place follow each other.
    pub place: String,
    /// It stands on this side whatever its place.
    pub hand: Option<Hand>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hand {
    Left,
    Right,
}

/// What is drawn; joints in the order of their places.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Map {
    /// "Cast front end".
    pub middle: String,
    pub joints: Vec<Joint>,
}

/// A text on its line, its middle at this height.
#[derive(Debug, Clone, PartialEq)]
struct Text {
    at: (f64, f64),
    side: Side,
    text: String,
    bold: bool,
}

/// Left, top, width, height.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Area(f64, f64, f64, f64);

/// From, to, hidden.
type Line = ((f64, f64), (f64, f64), bool);

/// All that is put on paper.
#[derive(Debug, Clone, PartialEq, Default)]
struct Layout {
    texts: Vec<Text>,
    boxes: Vec<Area>,
    lines: Vec<Line>,
    height: f64,
}

/// Why there is no drawing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoMap {
    TooFew,
    TooMany,
}

/// The drawing under this name.
///
/// # Errors
/// Too few joints to need one, or too many to be read.
pub fn draw(map: &Map, name: &str) -> Result<Drawing, NoMap> {
    if map.joints.len() < LEAST {
        return Err(NoMap::TooFew);
    }
    if map.joints.len() > MOST {
        return Err(NoMap::TooMany);
    }
    let layout = layout(map);
    if layout.height > HIGHEST {
        return Err(NoMap::TooMany);
    }
    let mut canvas = Canvas::new(WIDTH, layout.height);
    for (from, to, hidden) in &layout.lines {
        canvas.line(*from, *to, 0.7, if *hidden { "2.2 1.1" } else { "" });
    }
    for area in &layout.boxes {
        canvas.area(area.0, area.1, area.2, area.3, false);
    }
    for text in &layout.texts {
        canvas.label(text.at, text.side, &text.text, text.bold);
    }
    let hidden = map.joints.iter().filter(|joint| joint.hidden).count();
    let also = match hidden {
        0 => String::new(),
        1 => ", 1 of them hidden: the broken line".to_owned(),
        more => format!(", {more} of them hidden: broken lines"),
    };
    let title = format!("{}: {} joints{also}", map.middle, map.joints.len());
    Ok(canvas.done(name, title, alt(map)))
}

/// Each place with its joints, and what they lead to.
fn alt(map: &Map) -> String {
    let mut alt = format!("{} in the middle, and what it is joined to.", map.middle);
    let mut place = "";
    for joint in &map.joints {
        if joint.place != place {
            place = &joint.place;
            alt.push_str(&format!(" {place}:"));
        }
        let hidden = if joint.hidden { ", hidden" } else { "" };
        let end = if map
            .joints
            .iter()
            .skip_while(|other| *other != joint)
            .nth(1)
            .is_some_and(|next| next.place == *place)
        {
            ";"
        } else {
            "."
        };
        alt.push_str(&format!(
            " {} to {}, {}{hidden}{end}",
            joint.name, joint.to, joint.what
        ));
    }
    alt
}

/// A joint on its way to its row.
struct Row<'m> {
    joint: &'m Joint,
    names: Vec<String>,
    whats: Vec<String>,
    height: f64,
}

/// Width of the text between a thing and the middle, mm.
fn zone() -> f64 {
    (WIDTH - MIDDLE) / 2.0 - THING
}

fn lines(count: usize) -> f64 {
    LINE_OF_TEXT * f64::from(u32::try_from(count).unwrap_or(u32::MAX))
}

fn row(joint: &Joint) -> Row<'_> {
    let room = zone() - 2.0 * PAD;
    // A side that it has on the drawing needs no word there.
    let sides = [", left", ", right"].into_iter();
    let named = sides
        .filter(|_| joint.hand.is_some())
        .find_map(|side| joint.name.strip_suffix(side));
    let names = metrics::at_most(named.unwrap_or(&joint.name), TEXT, room, 2);
    let whats = metrics::at_most(&joint.what, TEXT, room, 3);
    Row {
        joint,
        height: lines(names.len() + whats.len()) + 1.8,
        names,
        whats,
    }
}

fn layout(map: &Map) -> Layout {
    let [left, right] = columns(map);
    // One place for all of them needs no name.
    let places = map.joints.iter().map(|joint| &joint.place);
    let several = places.clone().zip(places.skip(1)).any(|(one, next)| one != next);
    let (left, right) = (column(left, several), column(right, several));
    let middles = metrics::lines(&map.middle, TEXT, MIDDLE - 2.0 * PAD);
    let body = left.1.max(right.1).max(lines(middles.len()) + 2.0 * PAD);
    let mut layout = Layout {
        height: body + 1.0,
        ..Layout::default()
    };
    let from = (WIDTH - MIDDLE) / 2.0;
    layout.boxes.push(Area(from, 0.5, MIDDLE, body));
    let top = 0.5 + (body - lines(middles.len())) / 2.0;
    stack(&mut layout, (WIDTH / 2.0, top), Side::Middle, &middles, true);
    for ((rows, high), hand) in [(left, Hand::Left), (right, Hand::Right)] {
        put(&mut layout, &rows, 0.5 + (body - high) / 2.0, hand);
    }
    layout
}

fn columns(map: &Map) -> [Vec<Row<'_>>; 2] {
    let mut sides: [Vec<Row<'_>>; 2] = [Vec::new(), Vec::new()];
    let [left, right] = &mut sides;
    for (joint, hand) in map.joints.iter().zip(hands(map)) {
        match hand {
            Hand::Left => left.push(row(joint)),
            Hand::Right => right.push(row(joint)),
        }
    }
    sides
}

/// On which side each joint stands: where it says, else what belongs together where there is more room.
#[must_use]
pub fn hands(map: &Map) -> Vec<Hand> {
    let rows: Vec<Row<'_>> = map.joints.iter().map(row).collect();
    let mut high = [0.0, 0.0];
    let [high_left, high_right] = &mut high;
    for row in &rows {
        match row.joint.hand {
            Some(Hand::Left) => *high_left += row.height,
            Some(Hand::Right) => *high_right += row.height,
            None => {}
        }
    }
    let mut last: Option<(&str, &str, Hand)> = None;
    let mut hands = Vec::new();
    for row in &rows {
        hands.push(row.joint.hand.unwrap_or_else(|| {
            let lower = if *high_right < *high_left {
                Hand::Right
            } else {
                Hand::Left
            };
            let hand = match last {
                Some((place, to, hand)) if place == row.joint.place && to == row.joint.to => {
                    // A thing keeps its side unless that gets much the longer one.
                    let (own, other) = match hand {
                        Hand::Left => (*high_left, *high_right),
                        Hand::Right => (*high_right, *high_left),
                    };
                    if own > other + 2.0 * row.height {
                        lower
                    } else {
                        hand
                    }
                }
                _ => lower,
            };
            match hand {
                Hand::Left => *high_left += row.height,
                Hand::Right => *high_right += row.height,
            }
            last = Some((&row.joint.place, &row.joint.to, hand));
            hand
        }));
    }
    hands
}

/// The rows that one box of a side spans, under a head where a place begins.
struct Span<'m> {
    head: Option<&'m str>,
    things: Vec<String>,
    rows: Vec<Row<'m>>,
    height: f64,
}

/// Rows of a side by place and thing, and how high they get.
fn column(rows: Vec<Row<'_>>, heads: bool) -> (Vec<Span<'_>>, f64) {
    let mut spans: Vec<Span<'_>> = Vec::new();
    let mut place: Option<&str> = None;
    for row in rows {
        let same_place = place == Some(row.joint.place.as_str());
        let same = spans
            .last()
            .and_then(|span| span.rows.last())
            .is_some_and(|last| last.joint.to == row.joint.to && same_place);
        place = Some(&row.joint.place);
        let height = row.height;
        match spans.last_mut().filter(|_| same) {
            Some(span) => {
                span.height += height;
                span.rows.push(row);
            }
            None => spans.push(Span {
                head: (heads && !same_place).then_some(row.joint.place.as_str()),
                things: metrics::at_most(&row.joint.to, TEXT, THING - 2.0 * PAD, 4),
                height,
                rows: vec![row],
            }),
        }
    }
    for span in &mut spans {
        span.height = span.height.max(lines(span.things.len()) + PAD) + PAD;
    }
    let heads: f64 = spans
        .iter()
        .filter(|span| span.head.is_some())
        .map(|_| lines(1))
        .sum();
    let high = heads + spans.iter().map(|span| span.height).sum::<f64>();
    (spans, high)
}

/// Puts one side on paper, from this height down.
fn put(layout: &mut Layout, spans: &[Span<'_>], mut y: f64, hand: Hand) {
    // From the outer edge to the middle: box, text, middle.
    let (outer, edge, box_left, text, middle, side) = match hand {
        Hand::Left => (0.0, THING, 0.0, THING + PAD, (WIDTH - MIDDLE) / 2.0, Side::Right),
        Hand::Right => {
            let edge = WIDTH - THING;
            (
                WIDTH,
                edge,
                edge,
                edge - PAD,
                f64::midpoint(WIDTH, MIDDLE),
                Side::Left,
            )
        }
    };
    for span in spans {
        if let Some(head) = span.head {
            // Over the box, at the paper's edge, where no joint's name stands.
            let head = metrics::at_most(head, TEXT, THING, 1);
            stack(layout, (outer, y), side, &head, true);
            y += lines(1);
        }
        let high = span.height - PAD;
        layout.boxes.push(Area(box_left, y, THING, high));
        let top = y + (high - lines(span.things.len())) / 2.0;
        stack(
            layout,
            (box_left + THING / 2.0, top),
            Side::Middle,
            &span.things,
            false,
        );
        let used: f64 = span.rows.iter().map(|row| row.height).sum();
        let mut at = y + (high - used) / 2.0;
        for row in &span.rows {
            stack(layout, (text, at), side, &row.names, true);
            let level = at + lines(row.names.len()) + 0.6;
            layout
                .lines
                .push(((edge, level), (middle, level), row.joint.hidden));
            stack(layout, (text, level + 0.6), side, &row.whats, false);
            at += row.height;
        }
        y += span.height;
    }
}

/// Lines of text one below the other, from this height down.
fn stack(layout: &mut Layout, (x, top): (f64, f64), side: Side, texts: &[String], bold: bool) {
    let mut y = top + LINE_OF_TEXT / 2.0;
    for text in texts {
        layout.texts.push(Text {
            at: (x, y),
            side,
            text: text.clone(),
            bold,
        });
        y += LINE_OF_TEXT;
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn joints() -> impl Strategy<Value = Vec<Joint>> {
        let name = "[A-Za-z]{1,14}( [a-z]{1,12}){0,4}";
        let one = (
            name,
            "[0-9]{1,2} (bolts|nuts) M[0-9]{1,2}",
            any::<bool>(),
            0usize..4,
            0usize..5,
            0u8..3,
        );
        proptest::collection::vec(one, LEAST..=MOST).prop_map(|mut list| {
            list.sort_by_key(|joint| joint.4);
            let things = [
                "Shell",
                "Steering column and wheel with its airbag",
                "Engine",
                "Upright, left",
            ];
            let places = ["Front", "Right", "Left", "Below", "Elsewhere"];
            list.into_iter()
                .map(|(name, what, hidden, thing, place, hand)| Joint {
                    name,
                    what,
                    hidden,
                    to: things[thing].to_owned(),
                    place: places[place].to_owned(),
                    hand: [None, Some(Hand::Left), Some(Hand::Right)][usize::from(hand)],
                })
                .collect()
        })
    }

    /// Left, top, right, bottom of what is inked; letters are lower than their line.
    fn of_text(text: &Text) -> [f64; 4] {
        let width = metrics::width(&text.text, TEXT);
        let left = match text.side {
            Side::Right => text.at.0,
            Side::Left => text.at.0 - width,
            Side::Middle => text.at.0 - width / 2.0,
        };
        [left, text.at.1 - TEXT / 2.0, left + width, text.at.1 + TEXT / 2.0]
    }

    fn meet(a: [f64; 4], b: [f64; 4]) -> bool {
        a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3]
    }

    proptest! {
        #[test]
        fn nothing_meets_and_all_is_inside(joints in joints()) {
            let map = Map { middle: "Cast front end with rack and bar".to_owned(), joints };
            let layout = layout(&map);
            let texts: Vec<[f64; 4]> = layout.texts.iter().map(of_text).collect();
            let frame = [0.0, 0.0, WIDTH, layout.height];
            for (nth, text) in texts.iter().enumerate() {
                prop_assert!(text[0] >= frame[0] && text[1] >= frame[1] && text[2] <= frame[2] && text[3] <= frame[3],
                    "{:?}", layout.texts[nth]);
                for other in &texts[nth + 1..] {
                    prop_assert!(!meet(*text, *other), "{:?} {:?}", layout.texts[nth], other);
                }
                for ((ax, ay), (bx, by), _) in &layout.lines {
                    let line = [ax.min(*bx), ay.min(*by) - 0.35, ax.max(*bx), ay.max(*by) + 0.35];
                    prop_assert!(!meet(*text, line), "{:?} {line:?}", layout.texts[nth]);
                }
            }
            let boxes: Vec<[f64; 4]> = layout.boxes.iter().map(|b| [b.0, b.1, b.0 + b.2, b.1 + b.3]).collect();
            for (nth, one) in boxes.iter().enumerate() {
                prop_assert!(one[0] >= 0.0 && one[1] >= 0.0 && one[2] <= WIDTH && one[3] <= layout.height);
                for other in &boxes[nth + 1..] {
                    prop_assert!(!meet(*one, *other), "{one:?} {other:?}");
                }
            }
            // One line a joint, each from a thing's box to the middle; level, so two cross only if they lie on each other.
            prop_assert_eq!(layout.lines.len(), map.joints.len());
            for (nth, ((ax, ay), (bx, by), _)) in layout.lines.iter().enumerate() {
                prop_assert_eq!(ay, by);
                prop_assert!(boxes[1..].iter().any(|b| (b[0] == *ax || b[2] == *ax) && b[1] <= *ay && *ay <= b[3]));
                prop_assert!(boxes[0][0] == *bx || boxes[0][2] == *bx);
                for ((cx, cy), (dx, _), _) in &layout.lines[nth + 1..] {
                    let apart = (cy - ay).abs() > 1.0 || ax.max(*bx) <= cx.min(*dx) || cx.max(*dx) <= ax.min(*bx);
                    prop_assert!(apart);
                }
            }
            // What is said is drawn: every name begins somewhere, and the words for who cannot see it have all of them.
            let said = alt(&map);
            for joint in &map.joints {
                let words = format!("{} to {}, {}", joint.name, joint.to, joint.what);
                prop_assert!(said.contains(&words));
                let row = row(joint);
                prop_assert!(layout.texts.iter().any(|text| Some(&text.text) == row.names.first()));
                if let Some(hand) = joint.hand {
                    // Another joint's second line may read the same: one of them is on its side.
                    let mut drawn = layout.texts.iter().filter(|text| Some(&text.text) == row.names.first());
                    prop_assert!(drawn.any(|text| (text.at.0 < WIDTH / 2.0) == (hand == Hand::Left)));
                }
            }
        }
    }

    #[test]
    fn too_few_and_too_many() {
        let joint = |nth: usize| Joint {
            name: format!("Joint {nth}"),
            what: "1 bolt M8".to_owned(),
            hidden: nth == 1,
            to: "Shell".to_owned(),
            place: "Below".to_owned(),
            hand: None,
        };
        let map = |count: usize| Map {
            middle: "Axle".to_owned(),
            joints: (0..count).map(joint).collect(),
        };
        assert_eq!(draw(&map(3), "m"), Err(NoMap::TooFew));
        assert_eq!(draw(&map(15), "m"), Err(NoMap::TooMany));
        let drawing = draw(&map(14), "m").expect("fits");
        assert_eq!(
            drawing.caption,
            "Axle: 14 joints, 1 of them hidden: the broken line"
        );
        assert_eq!(drawing.svg.matches("stroke-dasharray").count(), 1);
        assert!(
            drawing.alt.ends_with("Joint 13 to Shell, 1 bolt M8."),
            "{}",
            drawing.alt
        );
    }
}
