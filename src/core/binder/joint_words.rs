//! How a joint is told in a row of facts: count and thread, what is new, tool, place, hidden. Knows no step.

use super::binding::Binding;
use super::document::{Line, TorqueShown};
use super::figures::{bare, shown};
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
    if let Some(class) = &row.class {
        text = format!("{text}, {}", class.value);
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
        ReachFrom::Below => "reach from below",
        ReachFrom::Inside => "reach from inside",
        ReachFrom::Above => "reach from above",
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
        Some(Some(what)) if order_list::names_a_thing(what) => {
            let thing = order_list::thing(what, joint.fixing_count());
            vec![strong(format!("new {thing}"))]
        }
        Some(Some(remark)) => match without_size(joint, remark).as_str() {
            "" => vec![strong("new")],
            left => vec![strong("new"), run(format!(" ({left})"))],
        },
        Some(None) => vec![strong("new")],
        None => Line::new(),
    }
}

/// A remark on fixings without their thread and class, which stand before it.
#[must_use]
pub fn without_size(joint: &Joint, remark: &str) -> String {
    let plain = |text: &str| text.to_lowercase().replace('×', "x").replace(' ', "");
    let threads: Vec<String> = joint
        .fixings
        .iter()
        .map(|row| plain(&thread(&row.thread)))
        .collect();
    let classes: Vec<String> = joint
        .fixings
        .iter()
        .filter_map(|row| row.class.as_ref())
        .map(|class| plain(&class.value))
        .collect();
    let says_thread = |word: &str| {
        let word = plain(word.trim_end_matches([',', ';']));
        threads.iter().any(|thread| {
            thread
                .strip_prefix(&word)
                .is_some_and(|rest| word.len() > 1 && (rest.is_empty() || rest.starts_with('x')))
        })
    };
    let mut left: Vec<&str> = Vec::new();
    let mut words = remark.split_whitespace().peekable();
    while let Some(word) = words.next() {
        if says_thread(word) {
            continue;
        }
        let of_class = |next: &&str| classes.contains(&plain(next.trim_end_matches([',', ';'])));
        if word.eq_ignore_ascii_case("class") && words.next_if(of_class).is_some() {
            continue;
        }
        left.push(word);
    }
    left.join(" ").trim_end_matches([',', ';']).to_owned()
}

/// The torque figure of a joint; nothing where it has none, or it is still to come.
#[must_use]
pub fn torque(binding: &Binding<'_>, joint: &Joint) -> Option<TorqueShown> {
    let figure = joint.torque.as_ref()?;
    let torque = figure.value.torque.known()?;
    let shown = shown(torque, binding.units);
    Some(TorqueShown {
        first: shown.first,
        second: shown.second,
    })
}

/// The joint wants a figure and the plan has none yet.
#[must_use]
pub fn torque_to_come(joint: &Joint) -> bool {
    joint
        .torque
        .as_ref()
        .is_some_and(|said| said.value.torque == Reading::ToCome)
}

/// "standing on its wheels": how the vehicle must stand when it is tightened.
#[must_use]
pub fn standing(binding: &Binding<'_>) -> &'static str {
    let machine = binding
        .plan
        .vehicle()
        .is_some_and(|id| binding.plan.vehicles[id].is_machine);
    if machine {
        "standing on its feet"
    } else {
        "standing on its wheels"
    }
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
            let all: Vec<String> = rising.iter().map(|&torque| binding.one(torque)).collect();
            if !all.is_empty() {
                row.push(vec![run(format!(
                    "all at {} first, then to the figure",
                    all.join(", then ")
                ))]);
            }
        }
        if let Some(angle) = figure.then {
            row.push(vec![
                run("after the figure, turn on by "),
                strong(super::figures::angle(angle)),
            ]);
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
