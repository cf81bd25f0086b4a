//! What is asked before a step lowers, raises or takes off something substantial: every declared joint between what moves and what stays.
//! Where a rig moves it, or more than one pair of hands, that is a sheet: by place, drawn as a map and listed to be looked at by two
//! people. Else it is a line at the act. Knows no card.

use std::collections::{BTreeMap, BTreeSet};

use super::binding::Binding;
use super::document::{BeforeItMoves, Line, MoveRow, text_of};
use super::drawings::Drawing;
use super::drawings::joint_map::{self, Hand, Map, NoMap};
use super::joint_words;
use super::masses;
use super::proof;
use super::words::{counted, run, semi, strong};
use crate::base::source::Span;
use crate::plan::model::{
    Act, Bearer, Does, Id, Joint, JointKind, Load, Part, ReachFrom, Said, Side, Step, Thing,
};
use crate::walk::after::After;
use crate::walk::state::{Holder, Opening};

/// From so many joints on a single part is worth a round of its own.
const MANY_JOINTS: usize = 3;
/// Rows between two pauses.
const ROWS_IN_A_GROUP: usize = 9;
/// Characters of where a joint hides.
const HIDDEN_AT_MOST: usize = 36;
/// Rows for the joints that the plan does not know.
const BLANK_ROWS: usize = 2;

/// What moves, and which way.
struct Move<'p> {
    way: &'static str,
    loads: Vec<Said<Load>>,
    /// It moves a little way: what gives may stay on.
    a_little: bool,
    does: &'p Does,
}

/// A sheet, and the place of the act that it guards.
pub type Guarded = (BeforeItMoves, Span);

/// The joints of a sheet by place, in the order in which they are looked at.
type Places = Vec<(String, Vec<Id<Joint>>)>;

/// The sheet of a step, from how things stand before the act that moves; nothing where the step moves nothing
/// substantial that is still near its joints.
#[must_use]
pub fn sheet(binding: &Binding<'_>, step: Id<Step>) -> Option<Guarded> {
    let (moved, at, now) = guarded(binding, step)?;
    let set = now.moving(&parts_of(binding, &moved.loads));
    let places = places(binding, &set, &now);
    Some((made(binding, step, &moved, &set, &now, &places), at))
}

/// "All loose: hinges 4, strap": for an act that takes off something substantial which one person has in hand; none where it has a sheet.
#[must_use]
pub fn all_loose(binding: &Binding<'_>, step: Id<Step>, nth: usize, act: &Act) -> Option<Line> {
    let moved = moves(&act.does).filter(|moved| matches!(moved.does, Does::TakeOff(_)))?;
    if !substantial(binding, &moved) {
        return None;
    }
    let now = binding.compilation.walk.before_act(binding.plan, step, nth)?;
    let set = now.moving(&parts_of(binding, &moved.loads));
    if needs_two(&moved, &set, &now) {
        return None;
    }
    let named: Vec<String> = places(binding, &set, &now)
        .into_iter()
        .flat_map(|(_, joints)| joints)
        .map(|id| {
            let joint = &binding.plan.joints[id];
            let called = binding.inside(&joint.head.called());
            match joint.fixing_count() {
                0 | 1 => called,
                more => format!("{called} {more}"),
            }
        })
        .collect();
    (!named.is_empty()).then(|| {
        vec![
            strong("All loose: "),
            run(format!(
                "{}. Another joint? ____________________",
                named.join(", ")
            )),
        ]
    })
}

/// Whether a rig moves it, or more than one pair of hands, or nothing holds the vehicle but what moves it.
fn needs_two(moved: &Move<'_>, set: &BTreeSet<Id<Part>>, now: &After<'_>) -> bool {
    let held = holders(moved, set, now);
    let by_rig = held.iter().any(|holder| matches!(holder, Bearer::Rig(_)));
    is_vehicle(moved) || by_rig || held.len() > 1
}

/// The act of a step that has a sheet, its place, and how things stand before it.
fn guarded<'a>(binding: &Binding<'a>, step: Id<Step>) -> Option<(Move<'a>, Span, After<'a>)> {
    let plan = binding.plan;
    for (nth, act) in plan.steps[step].acts().enumerate() {
        let Some(moved) = moves(&act.does).filter(|moved| substantial(binding, moved)) else {
            continue;
        };
        let now = binding.compilation.walk.before_act(plan, step, nth)?;
        let set = now.moving(&parts_of(binding, &moved.loads));
        if needs_two(&moved, &set, &now) && !places(binding, &set, &now).is_empty() {
            return Some((moved, act.at, now));
        }
    }
    None
}

/// The parts of what an act handles; of the vehicle its body.
fn parts_of(binding: &Binding<'_>, loads: &[Said<Load>]) -> BTreeSet<Id<Part>> {
    let plan = binding.plan;
    loads
        .iter()
        .flat_map(|load| match load.value {
            Load::Thing(thing) => plan.parts_of(thing),
            Load::Vehicle(id) => plan.vehicles[id].body.iter().map(|said| said.value).collect(),
        })
        .collect()
}

fn moves(does: &Does) -> Option<Move<'_>> {
    match does {
        Does::TakeOff(things) => Some(Move {
            way: "off",
            loads: things
                .iter()
                .map(|thing| Said::new(Load::Thing(thing.value), thing.at))
                .collect(),
            a_little: false,
            does,
        }),
        Does::Lower { things, by } => Some(Move {
            way: "down",
            loads: things.clone(),
            a_little: by.is_some(),
            does,
        }),
        Does::Raise { things, by, .. } => Some(Move {
            way: "up",
            loads: things.clone(),
            a_little: by.is_some(),
            does,
        }),
        // Nothing heavy moves by it.
        _ => None,
    }
}

fn substantial(binding: &Binding<'_>, moved: &Move<'_>) -> bool {
    moved.loads.iter().any(|load| match load.value {
        Load::Vehicle(_) => !matches!(moved.does, Does::TakeOff(_)),
        Load::Thing(Thing::Assembly(_)) => true,
        Load::Thing(Thing::Part(part)) => {
            if light(binding, load.value) {
                return false;
            }
            let joints = binding
                .plan
                .joints
                .values()
                .filter(|joint| joint.in_place_of.is_none());
            joints.filter(|joint| touches(binding, joint, part)).count() >= MANY_JOINTS
        }
    })
}

/// Known to be lighter than what one lifts by hand without a thought.
fn light(binding: &Binding<'_>, load: Load) -> bool {
    let by_hand = binding.plan.house().by_hand_mg() as f64 / 1e6;
    masses::of_load(binding, load).is_some_and(|estimate| estimate.kg < by_hand)
}

fn touches(binding: &Binding<'_>, joint: &Joint, part: Id<Part>) -> bool {
    joint.ends.is_some_and(|ends| {
        ends.iter()
            .any(|end| binding.plan.parts_of(end.value).contains(&part))
    })
}

fn is_rigid(joint: &Joint) -> bool {
    joint.rigid.map_or(!joint.kind.value.gives(), |said| said.value)
}

/// The joints of the cut, place by place, hidden ones first in theirs.
fn places(binding: &Binding<'_>, set: &BTreeSet<Id<Part>>, now: &After<'_>) -> Places {
    let plan = binding.plan;
    let mut places: BTreeMap<usize, Vec<Id<Joint>>> = BTreeMap::new();
    for (id, joint) in plan.joints.iter() {
        let Some(ends) = joint.ends else { continue };
        let ends = ends.map(|end| plan.parts_of(end.value));
        let all_on = ends.iter().flatten().all(|&part| !now.is_off(part));
        let within = ends
            .each_ref()
            .map(|end| end.iter().all(|part| set.contains(part)));
        if all_on && within.iter().filter(|&&is| is).count() == 1 {
            places.entry(place(joint)).or_default().push(id);
        }
    }
    let unplaced = if places.len() == 1 {
        "all round"
    } else {
        "elsewhere"
    };
    places
        .into_iter()
        .map(|(place, mut joints)| {
            joints.sort_by_key(|&id| (plan.joints[id].hidden.is_none(), id));
            let word = Side::ALL.get(place).map_or(unplaced, |(_, word)| *word);
            (word.to_owned(), joints)
        })
        .collect()
}

/// One row for each joint, with a pause after so many. `hands` are the sides of the map, where there is one.
fn rows(
    binding: &Binding<'_>,
    step: Id<Step>,
    moved: &Move<'_>,
    now: &After<'_>,
    places: &Places,
    hands: &[Hand],
) -> Vec<(String, Vec<MoveRow>)> {
    let plan = binding.plan;
    let name = binding.step_key(step);
    let mut nth = 0;
    let mut groups = Vec::new();
    for (word, joints) in places {
        for (part, chunk) in joints.chunks(ROWS_IN_A_GROUP).enumerate() {
            let head = if part == 0 {
                word.clone()
            } else {
                format!("{word}, continued")
            };
            let rows = chunk
                .iter()
                .map(|&id| {
                    nth += 1;
                    let joint = &plan.joints[id];
                    let hand = hands.get(nth - 1).copied();
                    MoveRow {
                        state: state(binding, id, moved, now).to_owned(),
                        joint: joint_line(joint, hand.is_some()),
                        hidden: joint.hidden.as_ref().map(|said| where_hidden(&said.value)),
                        right: hand == Some(Hand::Right),
                        fixings: joint.fixing_count(),
                        proof: proof::before_row(name, nth),
                    }
                })
                .collect();
            groups.push((super::words::capital(&head), rows));
        }
    }
    groups
}

/// The joints round what moves, drawn.
fn map(
    binding: &Binding<'_>,
    step: Id<Step>,
    moved: &Move<'_>,
    set: &BTreeSet<Id<Part>>,
    places: &Places,
) -> Result<(Drawing, Vec<Hand>), NoMap> {
    let plan = binding.plan;
    let mut joints = Vec::new();
    for (place, ids) in places {
        for &id in ids {
            let joint = &plan.joints[id];
            let other = joint.ends.iter().flatten().find(|end| {
                let parts = plan.parts_of(end.value);
                !parts.iter().all(|part| set.contains(part))
            });
            joints.push(joint_map::Joint {
                name: super::words::capital(&joint.head.called()),
                what: fixings(joint),
                hidden: joint.hidden.is_some(),
                to: other.map_or_else(String::new, |end| super::words::capital(&plan.called(end.value))),
                place: super::words::capital(place),
                hand: hand(joint),
            });
        }
    }
    let map = Map {
        middle: super::words::capital(&called(binding, moved)),
        joints,
    };
    let drawing = joint_map::draw(&map, &format!("map-{}", binding.step_key(step)))?;
    Ok((drawing, joint_map::hands(&map)))
}

/// "cast front end".
fn called(binding: &Binding<'_>, moved: &Move<'_>) -> String {
    let all = moved.loads.iter().map(|load| match load.value {
        Load::Thing(thing) => binding.inside(&binding.plan.called(thing)),
        Load::Vehicle(_) => binding.vehicle(),
    });
    super::words::and_list(&all.collect::<Vec<String>>())
}

/// "4 bolts M12", "hose, 1 nut M10", "plug": as much as a label holds.
fn fixings(joint: &Joint) -> String {
    let kind = joint.kind.value;
    let count = text_of(&joint_words::count_and_thread(joint, None));
    let sizes: Vec<&str> = count
        .split(" + ")
        .map(|size| size.split([',', '×']).next().unwrap_or(size).trim())
        .collect();
    let sizes = sizes.join(" + ");
    if sizes.is_empty() {
        kind.word().to_owned()
    } else if kind == JointKind::Bolted || sizes.contains(kind.word()) {
        sizes
    } else {
        format!("{}, {sizes}", kind.word())
    }
}

/// On which side of the vehicle: as the joint says, else as one of a pair is named.
fn hand(joint: &Joint) -> Option<Hand> {
    match joint.place.map(|said| said.value) {
        Some(Side::Left) => return Some(Hand::Left),
        Some(Side::Right) => return Some(Hand::Right),
        _ => {}
    }
    let name = &joint.head.name;
    if name.ends_with("-left") {
        Some(Hand::Left)
    } else if name.ends_with("-right") {
        Some(Hand::Right)
    } else {
        None
    }
}

/// Place in walking order: as the joint says, else from where it is reached.
fn place(joint: &Joint) -> usize {
    let side = joint
        .place
        .map(|said| said.value)
        .or_else(|| match joint.reach?.value.from {
            ReachFrom::Below => Some(Side::Below),
            ReachFrom::Inside => Some(Side::Inside),
            ReachFrom::Above => None,
        });
    side.and_then(|side| Side::ALL.iter().position(|(other, _)| *other == side))
        .unwrap_or(Side::ALL.len())
}

/// What must be seen at the joint. Not what the plan has come to: what has to be so before it moves.
fn state(binding: &Binding<'_>, id: Id<Joint>, moved: &Move<'_>, now: &After<'_>) -> &'static str {
    let joint = &binding.plan.joints[id];
    match now.opening(id) {
        Opening::Capped => return "capped",
        Opening::Plugged => return "plugged",
        Opening::CappedAndPlugged => return "capped and plugged",
        _ => {}
    }
    let kind = joint.kind.value;
    let still_in = now.ties(id);
    if moved.a_little && still_in && !is_rigid(joint) {
        "clear"
    } else if kind.slides() || kind.is_pressed() || joint.fully_out.is_some() {
        "out"
    } else {
        "undone"
    }
}

/// "hidden: behind the spring turret": as much of where it hides as is taken in while somebody reads aloud; the card has all of it.
fn where_hidden(told: &str) -> String {
    let clause = told.split([';', ':', '.']).next().unwrap_or(told).trim();
    if clause.chars().count() <= HIDDEN_AT_MOST {
        return format!("hidden: {}", super::words::inside(clause));
    }
    let short: String = clause.chars().take(HIDDEN_AT_MOST).collect();
    let whole = short
        .rsplit_once([',', ' '])
        .map_or(short.as_str(), |(whole, _)| whole);
    let whole = whole.trim_end_matches([',', ' ']);
    format!("hidden: {}…", super::words::inside(whole))
}

/// The name; with the fixings where no map has them.
fn joint_line(joint: &Joint, on_map: bool) -> Line {
    let mut line = vec![semi(super::words::capital(&joint.head.called()))];
    let count = joint_words::count_and_thread(joint, None);
    if !on_map && !count.is_empty() {
        line.push(run(": "));
        line.extend(count);
    }
    line
}

fn made(
    binding: &Binding<'_>,
    step: Id<Step>,
    moved: &Move<'_>,
    set: &BTreeSet<Id<Part>>,
    now: &After<'_>,
    places: &Places,
) -> BeforeItMoves {
    let known = &binding.plan.steps[step];
    let held = holders(moved, set, now);
    let can_crush = is_vehicle(moved) || held.iter().any(|holder| matches!(holder, Bearer::Rig(_)));
    let joints = binding.plan.joints.len();
    let map = map(binding, step, moved, set, places);
    let rows: usize = places.iter().map(|(_, joints)| joints.len()).sum();
    let hands = map.as_ref().map_or(&[][..], |(_, hands)| hands);
    let groups = self::rows(binding, step, moved, now, places, hands);
    BeforeItMoves {
        title: format!(
            "Checklist: {} {}, {}",
            called(binding, moved),
            moved.way,
            binding.number(step)
        ),
        when: Vec::new(),
        held_by: held_by(binding, moved, &held),
        who: who(binding, known, can_crush),
        no_map: (map.as_ref().err() == Some(&NoMap::TooMany))
            .then(|| format!("{rows} joints are too many for a drawing: the list below has them all.")),
        map: map
            .ok()
            .map(|(drawing, _)| drawing.shown(proof::before_map(binding.step_key(step)))),
        groups,
        claim: format!(
            "Checked against the {} that this plan declares; look for one it missed.",
            counted(joints, "joint", "joints")
        ),
        blank_rows: BLANK_ROWS,
        proof: proof::before(binding.step_key(step)),
    }
}

/// Rigs and people that have what moves, each once.
fn holders(moved: &Move<'_>, set: &BTreeSet<Id<Part>>, now: &After<'_>) -> Vec<Bearer> {
    let mut all: Vec<Bearer> = Vec::new();
    let held = now.held();
    let of_parts = held.iter().filter_map(|(holder, parts)| {
        let bearer = match holder {
            Holder::Rig(rig) => Bearer::Rig(*rig),
            Holder::Person(person) => Bearer::Person(*person),
            Holder::Repair => return None,
        };
        parts.iter().any(|part| set.contains(part)).then_some(bearer)
    });
    let of_act = match moved.does {
        Does::Raise { on: Some(rig), .. } => Some(Bearer::Rig(rig.value)),
        // It is borne by what held it before.
        _ => None,
    };
    for holder in of_parts.chain(of_act) {
        if !all.contains(&holder) {
            all.push(holder);
        }
    }
    all
}

fn is_vehicle(moved: &Move<'_>) -> bool {
    moved
        .loads
        .iter()
        .any(|load| matches!(load.value, Load::Vehicle(_)))
}

fn held_by(binding: &Binding<'_>, moved: &Move<'_>, held: &[Bearer]) -> Vec<Line> {
    let mut lines: Vec<Line> = held.iter().map(|&holder| holder_line(binding, holder)).collect();
    let estimate = masses::of_loads(binding, &moved.loads);
    if !is_vehicle(moved) {
        let mut weight = vec![semi("Weight: ")];
        match estimate {
            Some(estimate) => {
                weight.push(strong(masses::text(binding, estimate)));
                weight.push(run(", plus anything still on it"));
            }
            None => weight.push(run("unknown: treat it as heavy")),
        }
        lines.push(weight);
    }
    lines
}

/// "Lifting table, rated **350 kg**", "Tam, by hand".
fn holder_line(binding: &Binding<'_>, holder: Bearer) -> Line {
    let id = match holder {
        Bearer::Person(person) => {
            return vec![semi(binding.person(person)), run(", by hand")];
        }
        Bearer::Rig(rig) => rig,
    };
    let rig = &binding.plan.rigs[id];
    let mut line = vec![semi(super::words::capital(&binding.rig(id)))];
    match rig.rated {
        Some(rated) => {
            let each = if rated.value.each { " each" } else { "" };
            line.push(run(", rated "));
            line.push(strong(format!("{}{each}", binding.at_most(rated.value.mass))));
        }
        None => line.push(run(", rating not stated: see its plate")),
    }
    line
}

fn who(binding: &Binding<'_>, step: &Step, can_crush: bool) -> Vec<Line> {
    let mut lines = Vec::new();
    let people = binding.who(step);
    if !people.is_empty() {
        lines.push(vec![run(people)]);
    }
    if let Some(caller) = step.calls {
        lines.push(vec![
            strong(binding.person(caller.value)),
            run(" gives the word."),
        ]);
    }
    if let Some(word) = &step.stop_word {
        lines.push(vec![run("Stop word: "), strong(format!("“{}”", word.value))]);
    }
    if can_crush {
        lines.push(vec![run("Stay out from under while it moves.")]);
    }
    lines
}
