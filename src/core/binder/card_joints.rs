//! Rows of acts on one joint: loosening, putting in, tightening. Torque is large only where it is applied.
//! Knows one act at a time, and no card.

use super::binding::Binding;
use super::document::{ActRow, Field, Line, Marks};
use super::fixings_from::{self, Source};
use super::recall::RecordKind;
use super::words::{dotted, run, sentence, strong};
use super::{card_acts::RowMaker, card_marks, proof};
use super::{joint_words, order_list};
use crate::plan::model::{Fixings, Id, Joint, Load, Said, Step, Thing, Tool};
use crate::plan::vocabulary::acts::ActKind;

/// What is done to the fixings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turn {
    Slacken,
    Undo,
    Start,
    Tighten,
}

impl Turn {
    fn verb(self, joint: &Joint) -> &'static str {
        match self {
            Turn::Slacken => ActKind::Slacken.card(),
            Turn::Undo => ActKind::Undo.card(),
            // What has nothing to turn is not started.
            Turn::Start if !joint.is_tightened() => joint.kind.value.row().start,
            Turn::Start => ActKind::Start.card(),
            Turn::Tighten => ActKind::Tighten.card(),
        }
    }
}

/// What a row does: `Start` and `Tighten` where a joint is started and then tightened with nothing between.
type Turns<'t> = &'t [Turn];

/// One row for one joint of the act's list.
#[must_use]
pub fn turn(maker: &mut RowMaker<'_, '_>, what: Turns<'_>, fixings: &Fixings) -> ActRow {
    let binding = maker.binding;
    let joint = &binding.plan.joints[fixings.joint.value];
    let mut row = maker.row(&verb(what, joint), object(binding, fixings));
    let known = known(binding, maker.step, what, fixings);
    let place = maker.place(joint);
    let mut facts = known.row;
    facts.extend(place);
    facts.extend(known.bag);
    facts.extend(known.then);
    let mut lines = vec![dotted(facts)];
    lines.extend(maker.hidden(fixings.joint.value));
    lines.extend(known.recalled);
    lines.extend(maker.notes(fixings.joint.value));
    row.facts = lines;
    row.facts.retain(|line| !line.is_empty());
    row.marks = marks(maker, what, joint, fixings, 0, false);
    finish(maker, &mut row, what, joint);
    row
}

/// One row for both of a pair, left and right, where they differ in nothing but their bags and what hides them.
#[must_use]
pub fn turn_pair(
    maker: &mut RowMaker<'_, '_>,
    what: Turns<'_>,
    left: &Fixings,
    right: &Fixings,
) -> Option<ActRow> {
    let binding = maker.binding;
    let [one, two] = [left, right].map(|fixings| &binding.plan.joints[fixings.joint.value]);
    let name = pair_name(one, two)?;
    let [known, other] = [left, right].map(|fixings| known(binding, maker.step, what, fixings));
    let alike = known.row == other.row
        && known.then == other.then
        && take_out(one) == take_out(two)
        && text_of_torque(binding, one) == text_of_torque(binding, two)
        && only(binding, left) == only(binding, right)
        && said(&one.reach) == said(&two.reach);
    if !alike {
        return None;
    }
    let object = vec![run(format!("the {}, left and right", binding.inside(&name)))];
    let mut row = maker.row(&verb(what, one), object);
    let mut facts = known.row;
    // Where one goes left and the other right, that is said; where both are alike, the place too.
    facts.extend(if said(&one.place) == said(&two.place) {
        maker.place(one)
    } else {
        joint_words::reached(one)
    });
    facts.extend(pair_of(known.bag, other.bag, " left", " right"));
    facts.extend(known.then);
    let mut lines = vec![dotted(facts)];
    lines.extend(hidden_pair(
        maker.hidden(left.joint.value),
        maker.hidden(right.joint.value),
    ));
    for line in known.recalled.into_iter().chain(other.recalled) {
        if !lines.contains(&line) {
            lines.push(line);
        }
    }
    for line in [left, right]
        .map(|fixings| maker.notes(fixings.joint.value))
        .concat()
    {
        if !lines.contains(&line) {
            lines.push(line);
        }
    }
    lines.retain(|line| !line.is_empty());
    row.facts = lines;
    let mut from = 0;
    for (joint, fixings, side) in [(one, left, "L"), (two, right, "R")] {
        for mut marks in marks(maker, what, joint, fixings, from, true) {
            for group in &mut marks.groups {
                from += u32::try_from(group.rows.iter().map(Vec::len).sum::<usize>()).unwrap_or(0);
                group.side = Some(side);
            }
            // One below the other: rings of both, hexagons of both.
            match row.marks.iter_mut().find(|known| known.shape == marks.shape) {
                Some(known) => known.groups.extend(marks.groups),
                None => row.marks.push(marks),
            }
        }
    }
    finish(maker, &mut row, what, one);
    maker.pairs.insert(maker.number());
    if row.also.is_empty() {
        row.also = vec![proof::second_act(maker.name(), maker.number())];
    }
    Some(row)
}

fn said<T: Copy>(word: &Option<Said<T>>) -> Option<T> {
    word.as_ref().map(|said| said.value)
}

/// One row for both tapers of a pair, a ring for each.
#[must_use]
pub fn press_apart_pair(
    maker: &mut RowMaker<'_, '_>,
    left: Id<Joint>,
    right: Id<Joint>,
    with: Option<Said<Id<Tool>>>,
) -> Option<ActRow> {
    let binding = maker.binding;
    let [one, two] = [left, right].map(|id| &binding.plan.joints[id]);
    let name = pair_name(one, two)?;
    let tail = with.map_or_else(String::new, |tool| format!(" with {}", maker.tool(tool.value)));
    let object = format!("the {}, left and right{tail}", binding.inside(&name));
    let mut row = maker.row(ActKind::PressApart.card(), vec![run(object)]);
    row.facts = hidden_pair(maker.hidden(left), maker.hidden(right));
    let mut from = 0;
    for (joint, side) in [(one, "L"), (two, "R")] {
        let count = joint.fixing_count();
        let Some(mut marks) = card_marks::rings_of_pair(joint, count, &key(maker, from)) else {
            continue;
        };
        from += count;
        for group in &mut marks.groups {
            group.side = Some(side);
        }
        match row.marks.first_mut() {
            Some(known) => known.groups.extend(marks.groups),
            None => row.marks.push(marks),
        }
    }
    row.also = vec![proof::second_act(maker.name(), maker.number())];
    maker.pairs.insert(maker.number());
    Some(row)
}

fn verb(what: Turns<'_>, joint: &Joint) -> String {
    match what {
        [one] => one.verb(joint).to_owned(),
        _ => format!("{}, then tighten", ActKind::Start.card()),
    }
}

/// Its rings, then its hexagons, their keys from so many on.
fn marks(
    maker: &RowMaker<'_, '_>,
    what: Turns<'_>,
    joint: &Joint,
    fixings: &Fixings,
    mut from: u32,
    of_pair: bool,
) -> Vec<Marks> {
    let count = count(joint, fixings);
    let mut all = Vec::new();
    for turn in what {
        let key = key(maker, from);
        let made = match turn {
            Turn::Tighten => card_marks::hexagons(joint, count, &key),
            Turn::Slacken | Turn::Undo | Turn::Start if of_pair => {
                card_marks::rings_of_pair(joint, count, &key)
            }
            Turn::Slacken | Turn::Undo | Turn::Start => card_marks::rings(joint, count, &key),
        };
        if made.is_some() {
            from += count;
        }
        all.extend(made);
    }
    all
}

/// What stands large or apart from the facts, and the key of a second act.
fn finish(maker: &RowMaker<'_, '_>, row: &mut ActRow, what: Turns<'_>, joint: &Joint) {
    if what.contains(&Turn::Undo) {
        row.take_out = take_out(joint);
    }
    if what.contains(&Turn::Tighten) {
        figure(maker.binding, joint, row);
    }
    if what.len() > 1 {
        row.also = vec![proof::second_act(maker.name(), maker.number())];
    }
}

/// Two that follow each other together, where `make` can say both in one; else each by itself.
pub fn by_pairs<T, R>(all: &[T], mut make: impl FnMut(&T, Option<&T>) -> Option<R>) -> Vec<R> {
    let mut made = Vec::new();
    let mut rest = all;
    while let Some((first, others)) = rest.split_first() {
        let both = others.first().and_then(|second| make(first, Some(second)));
        rest = others.get(usize::from(both.is_some())..).unwrap_or(&[]);
        made.extend(both.or_else(|| make(first, None)));
    }
    made
}

/// "Link nut" of "Link nut left" and "Link nut right": one of a pair is named as the other is, but for its side.
#[must_use]
pub fn pair_name(left: &Joint, right: &Joint) -> Option<String> {
    let base = left.head.name.strip_suffix("-left")?;
    if right.head.name.strip_suffix("-right") != Some(base) {
        return None;
    }
    let cut = |text: String, side: &str| {
        let text = text
            .strip_suffix(side)?
            .trim_end()
            .trim_end_matches(',')
            .to_owned();
        (!text.is_empty()).then_some(text)
    };
    let name = cut(left.head.called(), "left")?;
    (cut(right.head.called(), "right")? == name).then_some(name)
}

/// "bag 32 left, bag 33 right".
fn pair_of(left: Option<Line>, right: Option<Line>, of_left: &str, of_right: &str) -> Option<Line> {
    match (left, right) {
        (Some(left), Some(right)) if left == right => Some(left),
        (None, None) => None,
        (left, right) => {
            let mut line = Line::new();
            for (side, word) in [(left, of_left), (right, of_right)] {
                let Some(side) = side else { continue };
                if !line.is_empty() {
                    line.push(run(", "));
                }
                // The bag of an old joint says its side itself.
                let says = super::document::text_of(&side).ends_with(word);
                line.extend(side);
                if !says {
                    line.push(run(word));
                }
            }
            Some(line)
        }
    }
}

fn hidden_pair(left: Option<Line>, right: Option<Line>) -> Vec<Line> {
    match (left, right) {
        (Some(left), Some(right)) if left == right => vec![left],
        (left, right) => [(left, "Left: "), (right, "Right: ")]
            .into_iter()
            .filter_map(|(line, side)| {
                let mut line = line?;
                line.insert(0, strong(side));
                Some(line)
            })
            .collect(),
    }
}

fn text_of_torque(binding: &Binding<'_>, joint: &Joint) -> Option<String> {
    joint_words::torque(binding, joint).map(|torque| torque.first)
}

fn count(joint: &Joint, fixings: &Fixings) -> u32 {
    fixings
        .count
        .map_or_else(|| joint.fixing_count(), |said| said.value)
}

fn object(binding: &Binding<'_>, fixings: &Fixings) -> Line {
    let all = binding.plan.joints[fixings.joint.value].fixing_count();
    let mut object = vec![run(binding.the_joint(fixings.joint.value))];
    if let Some(only) = only(binding, fixings) {
        object.push(run(", "));
        object.push(strong(format!("{only} of {all}")));
    }
    object
}

/// So many of them, where it is not all.
fn only(binding: &Binding<'_>, fixings: &Fixings) -> Option<u32> {
    let all = binding.plan.joints[fixings.joint.value].fixing_count();
    fixings.count.map(|said| said.value).filter(|&count| count != all)
}

/// Keys for the marks of the row made last, from so many on.
fn key(maker: &RowMaker<'_, '_>, from: u32) -> impl Fn(u32) -> String {
    let (step, nth) = (maker.name().to_owned(), maker.number());
    move |mark| proof::fixing(&step, nth, mark + from)
}

fn take_out(joint: &Joint) -> Option<String> {
    joint.fully_out.as_ref().map(|said| match &said.value {
        Some(why) => format!("All the way out. {}", sentence(why)),
        None => "All the way out.".to_owned(),
    })
}

/// The figure to apply, or a line for one that is still to come.
fn figure(binding: &Binding<'_>, joint: &Joint, row: &mut ActRow) {
    row.torque = joint_words::torque(binding, joint);
    if joint_words::torque_to_come(joint) {
        row.write.push(Field {
            caption: "torque, from the maker's procedure".to_owned(),
            unit: Some("N·m".to_owned()),
            width: 40,
        });
    }
}

/// What there is to know for a row, but for where a hand goes and what hides the joint.
struct Known {
    /// Count and thread, what is new, tool.
    row: Vec<Line>,
    bag: Option<Line>,
    /// How it is tightened, or what becomes of it.
    then: Vec<Line>,
    /// What was recorded of it before.
    recalled: Vec<Line>,
}

fn known(binding: &Binding<'_>, step: Id<Step>, what: Turns<'_>, fixings: &Fixings) -> Known {
    let id = fixings.joint.value;
    let joint = &binding.plan.joints[id];
    let starts = what.contains(&Turn::Start);
    let tightens = what.contains(&Turn::Tighten);
    let undoes = what.contains(&Turn::Undo);
    let puts_back = starts || (tightens && !binding.work.is_started_or_pressed(id));
    let mut row = vec![joint_words::count_and_thread(joint, only(binding, fixings))];
    if puts_back {
        row.push(joint_words::new_hardware(joint));
        row.extend(joint_words::washers(joint));
        row.extend(joint_words::threadlock(joint));
    }
    if what != [Turn::Start] {
        row.extend(joint_words::tools(binding, joint));
    }
    // One that broke is not in the bag any more.
    let new = |of: Id<Joint>| {
        let missing = order_list::missing(binding.plan, of);
        (starts && missing > 0).then(|| [run(", "), strong(format!("{missing} of them new"))])
    };
    let bag = match fixings_from::from(binding, id) {
        Source::Bag(bag) if undoes || starts => {
            let mut line = vec![run("bag\u{a0}"), strong(bag.to_string())];
            line.extend(new(id).into_iter().flatten());
            Some(line)
        }
        Source::BagOf(bag, old) if starts => {
            let mut line = vec![
                run("bag\u{a0}"),
                strong(bag.to_string()),
                run(format!(", of {}", binding.the_joint(old))),
            ];
            line.extend(new(old).into_iter().flatten());
            Some(line)
        }
        Source::NoBag if starts => Some(vec![run("from no bag")]),
        _ => None,
    };
    let mut then = Vec::new();
    if tightens {
        if joint.with_wheels_down.is_some() {
            then.push(vec![strong(joint_words::standing(binding))]);
        }
        then.extend(joint_words::tightening(binding, joint));
    } else if starts {
        then.extend(after_starting(binding, step, id));
    } else {
        then.extend(back_at(binding, id));
    }
    if undoes {
        match &joint.gone {
            Some(gone) => then.push(vec![run(match gone.value.as_deref() {
                Some(why) => format!("not refitted: {why}"),
                None => "not refitted".to_owned(),
            })]),
            None if joint.renew.is_some() => then.push(vec![run("not used again")]),
            None => {}
        }
    }
    Known {
        row,
        bag,
        then,
        recalled: if puts_back {
            recalled(binding, step, id)
        } else {
            Vec::new()
        },
    }
}

/// The figure that it goes back to; nothing where the joint does not come back.
fn back_at(binding: &Binding<'_>, id: Id<Joint>) -> Option<Line> {
    let joint = &binding.plan.joints[id];
    let replaced = binding.work.is_replaced(id);
    if replaced || joint.gone.is_some() {
        return None;
    }
    let torque = joint_words::torque(binding, joint)?;
    Some(vec![run(format!("back at {}", torque.first))])
}

/// Where it is tightened, if not here.
fn after_starting(binding: &Binding<'_>, step: Id<Step>, id: Id<Joint>) -> Option<Line> {
    let here = binding.place(step);
    let later = binding
        .work
        .tightened
        .steps(id)
        .iter()
        .copied()
        .find(|&other| binding.place(other) >= here)?;
    if later == step {
        return None;
    }
    let mut line = vec![run("tightened in "), strong(binding.number(later))];
    if binding.plan.joints[id].with_wheels_down.is_some() {
        line.push(run(format!(", {}", joint_words::standing(binding))));
    }
    Some(line)
}

/// What was recorded of this joint before now.
#[must_use]
pub fn recalled(binding: &Binding<'_>, step: Id<Step>, id: Id<Joint>) -> Vec<Line> {
    let here = binding.place(step);
    let before = |steps: &[Id<Step>]| {
        steps
            .iter()
            .rev()
            .copied()
            .find(|&other| binding.place(other) < here)
    };
    let mut lines = Vec::new();
    if let Some(marked) = before(binding.recalls.marked(id)) {
        lines.push(vec![run("to the mark made in "), strong(binding.number(marked))]);
    }
    if let Some(tagged) = before(binding.recalls.tagged(id)) {
        lines.push(vec![
            run("by the tag hung on in "),
            strong(binding.number(tagged)),
        ]);
    }
    let joint = &binding.plan.joints[id];
    lines.extend(named(binding, step, &[&joint.head.name]));
    lines
}

/// Photographs and figures recorded before now under names that belong to these.
#[must_use]
pub fn named(binding: &Binding<'_>, step: Id<Step>, names: &[&str]) -> Vec<Line> {
    let here = binding.place(step);
    binding
        .recalls
        .named(names)
        .filter(|record| binding.place(record.step) < here)
        .map(|record| {
            let name = record.name.replace('-', " ");
            let number = binding.number(record.step);
            match &record.kind {
                RecordKind::Photograph => {
                    vec![run(format!("photograph “{name}” of ")), strong(number)]
                }
                RecordKind::Measured(Some(figure)) => {
                    vec![
                        run(format!("{name} was ")),
                        strong(figure.clone()),
                        run(format!(" in {number}")),
                    ]
                }
                RecordKind::Measured(None) => {
                    vec![run(format!("{name} as written down in ")), strong(number)]
                }
            }
        })
        .collect()
}

/// The owner's notes on a joint.
pub fn notes(joint: &Joint) -> impl Iterator<Item = Line> {
    joint
        .head
        .notes
        .iter()
        .map(|note| vec![run(crate::plan::prose::words_of(&note.text))])
        .filter(|line| !super::document::text_of(line).is_empty())
}

/// `pin N of J`: so many stay, a ring for each that comes out.
#[must_use]
pub fn pin(maker: &mut RowMaker<'_, '_>, fixings: &Fixings, with: Option<Said<Id<Tool>>>) -> ActRow {
    let binding = maker.binding;
    let id = fixings.joint.value;
    let joint = &binding.plan.joints[id];
    let all = joint.fixing_count();
    let stay = fixings.count.map_or(1, |said| said.value).min(all);
    let mut row = maker.row(ActKind::Pin.card(), vec![run(binding.the_joint(id))]);
    let guides = if stay == 1 { "guide" } else { "guides" };
    row.facts.push(vec![
        strong(format!("{stay} of {all}")),
        run(format!(" stay in as {guides}, ")),
        strong(format!("{}", all - stay)),
        run(" out"),
    ]);
    if let Some(tool) = with {
        row.facts.push(vec![run(format!(
            "with the {}",
            binding.inside(&binding.plan.tools[tool.value].head.called())
        ))]);
    }
    row.facts.extend(maker.hidden(id));
    row.marks
        .extend(card_marks::rings(joint, all - stay, &key(maker, 0)));
    row
}

/// The names that a thing's records may belong to.
#[must_use]
pub fn names_of<'a>(binding: &Binding<'a>, load: Load) -> Vec<&'a str> {
    match load {
        Load::Thing(Thing::Part(id)) => vec![&binding.plan.parts[id].head.name],
        Load::Thing(Thing::Assembly(id)) => vec![&binding.plan.assemblies[id].head.name],
        Load::Vehicle(_) => Vec::new(),
    }
}
