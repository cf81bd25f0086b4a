//! How a joint is told in a row of facts: count and thread, what is new, tool, place, hidden. Knows no step.

use super::binding::Binding;
use super::document::Line;
use super::figures::{Shown, bare, shown};
use super::order_list;
use super::words::{run, semi, sentence, strong};
use crate::plan::model::{
    Drive, End, Fixing, Joint, JointKind, Reach, ReachFrom, Reading, Side, Thread, ThreadState,
    TighteningOrder,
};

/// "4 nuts M10 × 1.25", "2 clips"; nothing where there is one thing without a thread.
#[must_use]
pub fn count_and_thread(joint: &Joint, only: Option<u32>) -> Line {
    let rows: Vec<String> = match joint.fixings.as_slice() {
        [] => unthreaded(joint, only).into_iter().collect(),
        [one] => vec![fixing(one, only)],
        many if only.is_none() => many.iter().map(|row| fixing(row, None)).collect(),
        // The plan does not say which of the sizes are meant.
        many => many.iter().map(size).collect(),
    };
    if rows.is_empty() {
        Line::new()
    } else {
        vec![run(rows.join(" + "))]
    }
}

fn fixing(row: &Fixing, only: Option<u32>) -> String {
    let count = only.unwrap_or(row.count);
    format!("{count} {} {}", row.what.words(count), size(row))
}

fn size(row: &Fixing) -> String {
    let mut text = thread(&row.thread);
    if let Some(class) = class(row) {
        text = format!("{text}, {class}");
    }
    if let Some(whereabouts) = &row.whereabouts {
        let whereabouts = whereabouts.trim();
        let at = if whereabouts.starts_with("at ") {
            ""
        } else {
            "at the "
        };
        text = format!("{text}, {at}{whereabouts}");
    }
    text
}

fn unthreaded(joint: &Joint, only: Option<u32>) -> Option<String> {
    let count = only.unwrap_or_else(|| joint.fixing_count());
    let word = unthreaded_word(joint.kind.value, count);
    (count > 1).then(|| format!("{count} {word}"))
}

/// What joins two things where there is no thread: "clips", "a pin".
#[must_use]
pub fn unthreaded_word(kind: JointKind, count: u32) -> &'static str {
    let (one, many) = kind.row().fixings;
    if count == 1 { one } else { many }
}

/// "M10 × 1.25 × 45", "3/8-16".
#[must_use]
pub fn thread(thread: &Thread) -> String {
    match thread {
        Thread::Metric {
            diameter,
            pitch,
            length,
        } => {
            let mut text = format!("M{}", bare(*diameter));
            for more in [pitch, length].into_iter().flatten() {
                text = format!("{text} × {}", bare(*more));
            }
            text
        }
        Thread::Unified { size, length, .. } => match length {
            Some(length) => format!("{size} × {} in", bare(*length)),
            None => size.to_string(),
        },
    }
}

/// Each drive with its size bold: "socket **16 mm**", "key **6 mm**".
#[must_use]
pub fn tools(binding: &Binding<'_>, joint: &Joint) -> Vec<Line> {
    joint
        .drives
        .iter()
        .map(|drive| tool(binding, joint, drive))
        .collect()
}

fn tool(binding: &Binding<'_>, joint: &Joint, drive: &Drive) -> Line {
    let row = drive.kind.row();
    let usual = match row.on_a_line {
        Some(tool) if joint.kind.value.is_line() => binding.words.say(tool.word()),
        _ => row.card,
    };
    let size = drive.size.to_string();
    let with = drive.with.as_deref().unwrap_or("").trim();
    let names_the_tool = ["socket", "crowfoot", "spanner", "wrench", "key"]
        .iter()
        .any(|tool| with.ends_with(tool));
    let mut line = if with.is_empty() || with.starts_with("or ") {
        vec![run(format!("{usual} ")), strong(size)]
    } else if names_the_tool {
        vec![run(format!("{with} ")), strong(size)]
    } else {
        vec![run(format!("{with} {usual} ")), strong(size)]
    };
    if with.starts_with("or ") {
        line.push(run(format!(", {with}")));
    }
    line
}

/// Where a hand gets at it: "underneath, from below".
#[must_use]
pub fn place(joint: &Joint) -> Line {
    let from_inside = joint
        .reach
        .is_some_and(|said| said.value.from == ReachFrom::Inside);
    let place = joint
        .place
        .filter(|said| !(from_inside && said.value == Side::Inside));
    let side = place.map(|said| match said.value {
        Side::Front => "at the front",
        Side::Right => "on the right",
        Side::Rear => "at the rear",
        Side::Left => "on the left",
        Side::Below => "underneath",
        Side::Inside => "inside",
    });
    let reach = joint.reach.map(|said| from(said.value));
    let all: Vec<String> = side.map(str::to_owned).into_iter().chain(reach).collect();
    if all.is_empty() {
        Line::new()
    } else {
        vec![run(all.join(", "))]
    }
}

/// From where a hand gets at it, without the side of the machine that it is on: "from below".
#[must_use]
pub fn reached(joint: &Joint) -> Option<Line> {
    let reach = joint.reach?;
    Some(vec![run(from(reach.value))])
}

fn from(reach: Reach) -> String {
    let from = match reach.from {
        ReachFrom::Below => "from below",
        ReachFrom::Inside => "from inside",
        ReachFrom::Above => "from above",
    };
    match reach.end {
        Some(End::Front) => format!("{from}, front"),
        Some(End::Rear) => format!("{from}, rear"),
        None => from.to_owned(),
    }
}

/// "Hidden: the rear bolt is behind the arch."
#[must_use]
pub fn hidden(joint: &Joint) -> Option<Line> {
    let hidden = joint.hidden.as_ref()?;
    Some(vec![semi("Hidden: "), run(sentence(&hidden.value))])
}

/// What must be new when it goes together: "new", "new split pin".
#[must_use]
pub fn new_hardware(joint: &Joint) -> Line {
    match joint.renew.as_ref().map(|said| &said.value) {
        Some(Some(what)) if order_list::renewed_thing(joint, what).is_some() => {
            let what = order_list::renewed_thing(joint, what).unwrap_or(what);
            let thing = order_list::thing(what, joint.fixing_count());
            vec![strong(format!("new {thing}"))]
        }
        Some(Some(remark)) => match beyond_size(joint, remark) {
            "" => vec![strong("new")],
            left => vec![strong("new"), run(format!(" ({left})"))],
        },
        Some(None) => vec![strong("new")],
        None => Line::new(),
    }
}

/// "4 washers, plain, under the heads": what lies under the fixings as they go in.
#[must_use]
pub fn washers(joint: &Joint) -> Option<Line> {
    let said = &joint.tightening.washers.as_ref()?.value;
    let mut text = match said.count {
        Some(1) => "1 washer".to_owned(),
        Some(count) => format!("{count} washers"),
        None => "washers".to_owned(),
    };
    if let Some(what) = &said.what {
        text.push_str(if said.count.is_some() { ", " } else { ": " });
        text.push_str(what);
    }
    Some(vec![run(text)])
}

/// "**threadlock**, medium": it goes onto the thread before the thread goes in.
#[must_use]
pub fn threadlock(joint: &Joint) -> Option<Line> {
    let said = joint.tightening.threadlock.as_ref()?;
    let mut line = vec![strong("threadlock")];
    line.extend(said.value.as_ref().map(|which| run(format!(", {which}"))));
    Some(line)
}

/// A remark on fixings; nothing where it says only their thread and class, which stand before it.
#[must_use]
pub fn beyond_size<'r>(joint: &Joint, remark: &'r str) -> &'r str {
    if remark.split_whitespace().all(|word| says_size(joint, word)) {
        ""
    } else {
        remark.trim()
    }
}

/// "locking nuts" of "locking nuts M12x1.5, class 8": a thing that is named together with the joint's own thread and class, and nothing else.
#[must_use]
pub fn sized_thing<'r>(joint: &Joint, remark: &'r str) -> Option<&'r str> {
    let is_size = |word: &str| says_size(joint, word);
    let from = remark.find(|c: char| c.is_ascii_digit())?;
    let from = remark.get(..from)?.rfind(' ')?;
    let (thing, size) = remark.split_at_checked(from)?;
    let thing = thing.trim_end_matches("class").trim_end_matches([' ', ',']);
    let plain =
        thing.split(' ').count() <= 3 && thing.chars().all(|c| c.is_alphabetic() || c == ' ' || c == '-');
    (plain && order_list::names_a_thing(thing) && size.split_whitespace().all(is_size)).then_some(thing)
}

/// It is a piece of the thread or the class of one of the joint's fixings.
fn says_size(joint: &Joint, word: &str) -> bool {
    let plain = |text: &str| text.to_lowercase().replace('×', "x").replace(' ', "");
    let word = plain(word.trim_matches([',', ';']));
    let is_thread = |row: &Fixing| {
        let thread = plain(&thread(&row.thread));
        let rest = thread.strip_prefix(word.as_str());
        word.len() > 1 && rest.is_some_and(|rest| rest.is_empty() || rest.starts_with('x'))
    };
    let is_class = |row: &Fixing| {
        row.class
            .as_ref()
            .is_some_and(|class| plain(&class.value) == word)
    };
    word.is_empty() || word == "class" || joint.fixings.iter().any(|row| is_thread(row) || is_class(row))
}

/// "10.9" of a bolt, "class 8" of a nut, "grade 8" of an inch bolt: a bare whole number would be read as a size.
#[must_use]
pub fn class(row: &Fixing) -> Option<String> {
    let class = &row.class.as_ref()?.value;
    let bare = !class.is_empty() && class.chars().all(|c| c.is_ascii_digit());
    Some(match (&row.thread, bare) {
        (_, false) => class.to_string(),
        (Thread::Unified { .. }, true) => format!("grade {class}"),
        (Thread::Metric { .. }, true) => format!("class {class}"),
    })
}

/// The torque figure of a joint; nothing where it has none, or it is still to come.
#[must_use]
pub fn torque(binding: &Binding<'_>, joint: &Joint) -> Option<Shown> {
    let figure = joint.torque.as_ref()?;
    Some(shown(figure.value.torque.known()?, binding.units))
}

/// The joint wants a figure and the plan has none yet.
#[must_use]
pub fn torque_to_come(joint: &Joint) -> bool {
    joint
        .torque
        .as_ref()
        .is_some_and(|said| said.value.torque == Reading::ToCome)
}

/// "on its wheels": how the vehicle must stand when it is tightened.
#[must_use]
pub fn standing(binding: &Binding<'_>) -> &'static str {
    let machine = binding
        .plan
        .vehicle()
        .is_some_and(|id| binding.plan.vehicles[id].is_machine);
    if machine { "on its feet" } else { "on its wheels" }
}

/// What goes with the figure, fact by fact: threads, rising figures, a further angle, the maker's band, the order.
#[must_use]
pub fn tightening(binding: &Binding<'_>, joint: &Joint) -> Vec<Line> {
    let mut row = Vec::new();
    match joint.tightening.threads.map(|said| said.value) {
        Some(ThreadState::Dry) => row.push(vec![run("threads dry")]),
        Some(ThreadState::Oiled) => row.push(vec![run("threads oiled")]),
        Some(ThreadState::Coated) => row.push(vec![run("threads coated")]),
        None => {}
    }
    if joint.tightening.left_hand.is_some() {
        row.push(vec![strong("left-hand thread")]);
    }
    if let Some(order) = order(joint) {
        row.push(vec![run(order)]);
    }
    if let Some(figure) = joint.torque.as_ref().map(|said| &said.value) {
        if let [rising @ .., _] = figure.in_stages.as_slice() {
            let all = figure.in_stages.iter().zip(1..);
            let all: Vec<String> = all
                .map(|(&torque, nth)| format!("{nth}: all to {}", binding.one(torque)))
                .collect();
            if !rising.is_empty() {
                row.push(vec![run(all.join(". "))]);
            }
        }
        if let Some(angle) = figure.then {
            row.push(vec![run("then a further "), strong(super::figures::angle(angle))]);
        }
        if let Some((low, high)) = figure.band {
            row.push(vec![run(format!(
                "the maker allows {} to {}",
                binding.at_least(low),
                binding.at_most(high)
            ))]);
        }
    }
    row
}

/// The tightening order in words.
#[must_use]
pub fn order(joint: &Joint) -> Option<&'static str> {
    if joint.fixing_count() < 2 {
        return None;
    }
    Some(match joint.tightening.order?.value {
        TighteningOrder::Across => "crosswise",
        TighteningOrder::Spiral => "from the middle outwards",
        TighteningOrder::Along => "one after the other along the line",
    })
}

#[cfg(test)]
mod tests {
    use super::{beyond_size, sized_thing};
    use crate::base::picture::NoPictures;
    use crate::base::source::Source;
    use crate::compile::compile;

    #[test]
    fn the_owners_words_are_printed_whole_or_not_at_all() {
        let text = "plan p \"P\"; for wren\nvehicle wren \"W\"; body shell\npart arm\njoint ball: arm to shell; nuts 1 x M12x1.5 class 8\n";
        let source = Source::new("plan.boltplan".to_owned(), text.to_owned(), false);
        let done = compile(vec![source], &NoPictures);
        let joint = done.plan.joints.values().next().expect("a joint");
        for (remark, beyond) in [
            ("M12x1.5, class 8", ""),
            ("class 10 in place of class 8", "class 10 in place of class 8"),
            ("M12 nuts with a collar", "M12 nuts with a collar"),
            ("four of seven break", "four of seven break"),
        ] {
            assert_eq!(beyond_size(joint, remark), beyond);
            assert_eq!(sized_thing(joint, remark), None, "{remark}");
        }
        assert_eq!(
            sized_thing(joint, "locking nuts M12x1.5, class 8"),
            Some("locking nuts")
        );
        assert_eq!(sized_thing(joint, "locking nuts M10, class 8"), None);
    }
}
