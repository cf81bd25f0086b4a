//! Of the family **totals**: lists of readings against the sums given with them, and weighings of one thing against each other. A gap is
//! told with the slips that would explain it. Knows nothing of the vehicle's own weighings beyond that they are lists.

use std::collections::{BTreeMap, BTreeSet};

use super::totals::{self, DOES_NOT_ADD_UP, FAR_FROM_BELIEF, WEIGHED_OTHERWISE, names_of};
use super::{amounts, joined};
use crate::base::finding::Finding;
use crate::base::quantity::Mass;
use crate::base::source::Span;
use crate::plan::model::{Id, Origin, Plan, Reading, Reads, Said, Thing, WeighIn, Weighed};
use crate::reckon::gap::{self, Candidate, Cause, Entry, List, Misread, Which};
use crate::reckon::mass::MassEstimate;
use crate::weights::{self, Weights};

/// One line of a list as a finding names it.
struct Line {
    called: String,
    at: Span,
    figure: Mass,
}

pub(super) fn check(weights: &Weights<'_>, findings: &mut Vec<Finding>) {
    for (id, weigh_in) in weights.plan().weigh_ins.iter() {
        let sums_up = adds_up(weights, id, findings) && axles_agree(weights.plan(), weigh_in, findings);
        if sums_up {
            otherwise(weights, weigh_in, findings);
            far_off(weights, weigh_in, findings);
        }
    }
    read_twice(weights, findings);
    read_split(weights, findings);
}

/// Lines and entries of a list whose readings are all known; none otherwise.
fn list_of(weights: &Weights<'_>, weigh_in: &WeighIn) -> Option<(Vec<Line>, Vec<Entry>)> {
    let plan = weights.plan();
    let with = weigh_in.with.map(|said| said.value);
    let mut lines = Vec::new();
    let mut entries = Vec::new();
    let mut add = |called: String, at: Span, mass: Mass, give: Option<Mass>, expected: Option<(f64, f64)>| {
        let u = weights::reading(plan, mass, give, with)?.own;
        lines.push(Line {
            called,
            at,
            figure: mass,
        });
        entries.push(Entry {
            figure: mass,
            u,
            expected,
        });
        Some(())
    };
    for reads in &weigh_in.reads {
        let expected = otherwise_known(weights, reads).map(|estimate| (estimate.kg, estimate.u()));
        let called = names_of(plan, &reads.what);
        add(called, reads.at, reads.mass.known()?, reads.give, expected)?;
    }
    if let Some(said) = weigh_in.corners {
        let names = ["front left", "front right", "rear left", "rear right"];
        for (mass, name) in said.value.all().into_iter().zip(names) {
            add(name.to_owned(), said.at, mass.known()?, None, None)?;
        }
    } else if let Some(said) = weigh_in.axles {
        for (mass, name) in [(said.value.front, "front axle"), (said.value.rear, "rear axle")] {
            add(name.to_owned(), said.at, mass.known()?, None, None)?;
        }
    }
    Some((lines, entries))
}

/// What is known of the things of a line without this line: what the plan states of them.
fn otherwise_known(weights: &Weights<'_>, reads: &Reads) -> Option<MassEstimate> {
    let plan = weights.plan();
    let mut all = Vec::new();
    for said in &reads.what {
        let stated = match said.value {
            Weighed::Thing(Thing::Assembly(id)) if plan.assemblies[id].mass.is_some() => {
                plan.assemblies[id].mass.as_ref()
            }
            Weighed::Thing(thing) => {
                for part in plan.parts_of(thing) {
                    all.push(weights::stated(&plan.parts[part].mass.as_ref()?.value)?);
                }
                continue;
            }
            Weighed::Vehicle(id) => plan.vehicles[id].mass.as_ref(),
            Weighed::Hardware(_) => None,
        };
        all.push(weights::stated(&stated?.value)?);
    }
    (!all.is_empty()).then(|| MassEstimate::sum(&all))
}

/// Tells a sum that does not add up; says whether it does, or cannot be asked.
fn adds_up(weights: &Weights<'_>, id: Id<WeighIn>, findings: &mut Vec<Finding>) -> bool {
    let plan = weights.plan();
    let weigh_in = &plan.weigh_ins[id];
    let Some((given_at, given)) = weigh_in
        .sum_given
        .and_then(|said| Some((said.at, said.value.known()?)))
    else {
        return true;
    };
    let Some((lines, entries)) = list_of(weights, weigh_in).filter(|(lines, _)| !lines.is_empty()) else {
        return true;
    };
    let with = weigh_in.with.map(|said| said.value);
    let tares: Vec<Mass> = weigh_in.tare.iter().map(|tare| tare.mass).collect();
    let mut u = given.last_place() / 12f64.sqrt();
    for entry in &entries {
        u = u.hypot(entry.u);
    }
    for tare in &tares {
        u = u.hypot(weights::reading(plan, *tare, None, with).map_or(0.0, |estimate| estimate.own));
    }
    let others = unlisted(weights, weigh_in);
    let known: Vec<(f64, f64)> = others
        .iter()
        .map(|(_, estimate)| (estimate.kg, estimate.u()))
        .collect();
    let list = List {
        entries: &entries,
        tares: &tares,
        given,
        unlisted: &known,
        u,
    };
    if !gap::at_odds(&list) {
        return !twice_in_sum(plan, weigh_in, findings);
    }
    if weighed_again(plan, weigh_in, &list) {
        return true;
    }
    let causes = gap::causes(&list);
    let net = gap::net(&list);
    let difference = (given.base() - net).abs();
    let more = if given.base() > net { "more" } else { "less" };
    let mut finding = Finding::new(
        &DOES_NOT_ADD_UP,
        format!(
            "`{}`: the sum given is {given}, and the readings come to {}",
            weigh_in.head.name,
            amounts::like(given, net)
        ),
    )
    .at(
        given_at,
        format!("{} {more} than the readings", amounts::like(given, difference)),
    )
    .harm(explained(&causes, &lines, given, &tares, &others, u, plan))
    .about(weigh_in.head.name.to_string());
    for candidate in &causes {
        if let Some(line) = line_of(candidate.cause).and_then(|at| lines.get(at)) {
            finding = finding.at(line.at, "look here");
        }
    }
    findings.push(finding.mend(format!(
        "Look at the paper, or weigh again. If the readings are right: sum given {}",
        amounts::like(given, net)
    )));
    false
}

/// The line that a cause is about.
fn line_of(cause: Cause) -> Option<usize> {
    match (gap::figure_of(cause), cause) {
        (Some(Which::Reading(at)), _) => Some(at),
        (
            _,
            Cause::LeftOut(at) | Cause::CountedTwice(at) | Cause::TakenAway(at) | Cause::PairLeftOut(at, _),
        ) => Some(at),
        _ => None,
    }
}

/// The slips that would explain the gap, in words, the most plausible first.
fn explained(
    causes: &[Candidate],
    lines: &[Line],
    given: Mass,
    tares: &[Mass],
    others: &[(String, MassEstimate)],
    u: f64,
    plan: &Plan,
) -> String {
    let covers = amounts::kg(plan, 2.0 * u, u);
    if causes.is_empty() {
        return format!(
            "Nothing simple explains it: no reading left out or counted twice, no digits swapped, no decimal point out of place. The scale covers {covers}. \
             The saving and the balance are reckoned from these readings."
        );
    }
    let named: Vec<String> = causes
        .iter()
        .map(|candidate| slip(candidate, lines, given, tares, others))
        .collect();
    format!(
        "It would be explained if {}. The scale covers only {covers}; the saving and the balance are reckoned from these readings.",
        joined(&named, "or if")
    )
}

fn slip(
    candidate: &Candidate,
    lines: &[Line],
    given: Mass,
    tares: &[Mass],
    others: &[(String, MassEstimate)],
) -> String {
    let called = |at: usize| lines.get(at).map_or("a reading", |line| line.called.as_str());
    let figure = |which: Which| match which {
        Which::Given => ("the sum given".to_owned(), given),
        Which::Reading(at) => (
            format!("the reading of {}", called(at)),
            lines.get(at).map_or(given, |line| line.figure),
        ),
    };
    let tare = tares.first().map_or(String::new(), Mass::to_string);
    match candidate.cause {
        Cause::LeftOut(at) => format!("{} was left out of the sum", called(at)),
        Cause::CountedTwice(at) => format!("{} was added twice", called(at)),
        Cause::TakenAway(at) => format!("{} was taken away instead of added", called(at)),
        Cause::PairLeftOut(a, b) => format!("{} and {} were left out of the sum", called(a), called(b)),
        Cause::Swapped(which) => {
            let (name, mass) = figure(which);
            format!(
                "two digits of {name} are swapped, {} for {mass}",
                amounts::like(mass, candidate.right)
            )
        }
        Cause::Slipped(which) => {
            let (name, mass) = figure(which);
            format!(
                "the decimal point of {name} is out of place, {} for {mass}",
                amounts::like(mass, candidate.right)
            )
        }
        Cause::Digit(which) => {
            let (name, mass) = figure(which);
            format!(
                "one digit of {name} is wrong, {} for {mass}",
                amounts::like(mass, candidate.right)
            )
        }
        Cause::Missing(which) => {
            let (name, mass) = figure(which);
            format!(
                "a digit of {name} is missing, {} for {mass}",
                amounts::like(mass, candidate.right)
            )
        }
        Cause::OfTwo(at) => format!("the reading of {} is of two of them", called(at)),
        Cause::OfOne(at) => format!("the reading of {} is of only one of two", called(at)),
        Cause::TareKept => format!("the tare of {tare} was not taken away"),
        Cause::TareTwice => format!("the tare of {tare} was taken away twice"),
        Cause::TareEach => format!("the tare of {tare} was taken away from each reading"),
        Cause::Unlisted(at) => {
            let name = others.get(at).map_or("something", |(name, _)| name.as_str());
            format!("{name} is in the sum and not on the list")
        }
    }
}

/// Things with a known mass that no line of the list is about: parts, pairs of them, and assemblies.
fn unlisted(weights: &Weights<'_>, weigh_in: &WeighIn) -> Vec<(String, MassEstimate)> {
    let plan = weights.plan();
    let listed: Vec<Weighed> = weigh_in
        .reads
        .iter()
        .flat_map(|reads| {
            reads
                .what
                .iter()
                .flat_map(|said| totals::covers(plan, said.value))
        })
        .collect();
    let free = |part| !listed.contains(&Weighed::Thing(Thing::Part(part)));
    let mut all = Vec::new();
    for (id, part) in plan.parts.iter().filter(|(id, part)| free(*id) && !part.is_body) {
        let Some(estimate) = part.mass.as_ref().and_then(|said| weights::stated(&said.value)) else {
            continue;
        };
        if let Some(stem) = part.head.name.strip_suffix("-left") {
            let twin = format!("{stem}-right");
            let other = plan.parts.iter().find(|(_, part)| *part.head.name == *twin);
            let mass = other
                .filter(|(id, _)| free(*id))
                .and_then(|(_, part)| weights::stated(&part.mass.as_ref()?.value));
            if let Some(mass) = mass {
                all.push((format!("`both {stem}s`"), estimate.plus(&mass)));
            }
        }
        all.push((totals::name_of(plan, Weighed::Thing(Thing::Part(id))), estimate));
    }
    for (id, assembly) in plan.assemblies.iter() {
        if assembly.parts.iter().all(|&part| free(part)) && !assembly.parts.is_empty() {
            let what = Weighed::Thing(Thing::Assembly(id));
            all.extend(
                weights
                    .of(what)
                    .map(|estimate| (totals::name_of(plan, what), estimate)),
            );
        }
    }
    all
}

/// Lines that are about the same thing: the later with the earlier.
fn overlaps(plan: &Plan, weigh_in: &WeighIn) -> Vec<(usize, Said<Weighed>, usize, Said<Weighed>)> {
    let mut all = Vec::new();
    for (later, reads) in weigh_in.reads.iter().enumerate() {
        for said in &reads.what {
            let parts = totals::covers(plan, said.value);
            let before = weigh_in.reads.iter().take(later).enumerate();
            let first = before
                .flat_map(|(at, reads)| reads.what.iter().map(move |said| (at, *said)))
                .find(|(_, first)| {
                    let covers = totals::covers(plan, first.value);
                    covers.iter().any(|part| parts.contains(part))
                });
            all.extend(first.map(|(earlier, first)| (later, *said, earlier, first)));
        }
    }
    all
}

/// A sum that agrees with all lines, of which two are about one thing.
fn twice_in_sum(plan: &Plan, weigh_in: &WeighIn, findings: &mut Vec<Finding>) -> bool {
    let all = overlaps(plan, weigh_in);
    for (_, second, _, first) in &all {
        let name = &weigh_in.head.name;
        findings.push(totals::twice(plan, *second, *first, "is summed twice", name));
    }
    !all.is_empty()
}

/// A sum that agrees once a thing that was weighed again counts once.
fn weighed_again(plan: &Plan, weigh_in: &WeighIn, list: &List<'_>) -> bool {
    let overlapping = overlaps(plan, weigh_in);
    overlapping.iter().any(|(later, _, earlier, _)| {
        [later, earlier].into_iter().any(|without| {
            let entries: Vec<Entry> = list
                .entries
                .iter()
                .enumerate()
                .filter(|(at, _)| at != without)
                .map(|(_, entry)| *entry)
                .collect();
            !gap::at_odds(&List {
                entries: &entries,
                ..*list
            })
        })
    })
}

/// Axles given beside corners are sums of these.
fn axles_agree(plan: &Plan, weigh_in: &WeighIn, findings: &mut Vec<Finding>) -> bool {
    let (Some(corners), Some(axles)) = (weigh_in.corners, weigh_in.axles) else {
        return true;
    };
    let with = weigh_in.with.map(|said| said.value);
    let read = |mass: Reading<Mass>| weights::reading(plan, mass.known()?, None, with);
    let ends = [
        (
            "front",
            corners.value.front_left,
            corners.value.front_right,
            axles.value.front,
        ),
        (
            "rear",
            corners.value.rear_left,
            corners.value.rear_right,
            axles.value.rear,
        ),
    ];
    for (end, left, right, axle) in ends {
        let (Some(left), Some(right), Some(whole)) = (read(left), read(right), read(axle)) else {
            continue;
        };
        let sum = left.plus(&right);
        let u = whole.own.hypot(sum.own);
        if (whole.kg - sum.kg).abs() > 2.0 * u + 1e-9 {
            findings.push(
                Finding::new(
                    &DOES_NOT_ADD_UP,
                    format!(
                        "`{}`: the {end} axle is {}, and its two wheels come to {}",
                        weigh_in.head.name,
                        amounts::kg(plan, whole.kg, u),
                        amounts::kg(plan, sum.kg, u)
                    ),
                )
                .at(axles.at, "these axles")
                .at(corners.at, "and these wheels")
                .harm("One of them was read wrongly, and the centre is reckoned from both.")
                .mend("Weigh again, or give only one of the two")
                .about(weigh_in.head.name.to_string()),
            );
            return false;
        }
    }
    true
}

/// A reading against what the plan says was weighed before. What was only estimated or quoted is simply overtaken.
fn otherwise(weights: &Weights<'_>, weigh_in: &WeighIn, findings: &mut Vec<Finding>) {
    let plan = weights.plan();
    for reads in &weigh_in.reads {
        let (Some(read), Some(stated)) = (
            weights::of_reads(plan, weigh_in, reads),
            weighed_before(weights, reads),
        ) else {
            continue;
        };
        if !read.differs(&stated) {
            continue;
        }
        let name = names_of(plan, &reads.what);
        findings.push(
            Finding::new(
                &WEIGHED_OTHERWISE,
                format!(
                    "{name}: read at {}, and stated as {}",
                    amounts::with_give(plan, &read),
                    amounts::with_give(plan, &stated)
                ),
            )
            .at(reads.at, "read here")
            .harm("One of them is of another state of the thing, or was read wrongly; sums take the reading.")
            .mend("Weigh it again, or say in quotes after both in which state it was")
            .about(name.trim_matches('`').to_owned())
            .about(weigh_in.head.name.to_string()),
        );
    }
}

/// How many standard uncertainties of both a reading may lie from an estimate before somebody is asked: three leave one in some hundreds.
const FAR: f64 = 3.0;

/// A reading that lies too far from what was only estimated or quoted.
fn far_off(weights: &Weights<'_>, weigh_in: &WeighIn, findings: &mut Vec<Finding>) {
    let plan = weights.plan();
    for reads in &weigh_in.reads {
        let of_vehicle = |said: &Said<Weighed>| matches!(said.value, Weighed::Vehicle(_));
        if reads.what.iter().any(of_vehicle) || weighed_before(weights, reads).is_some() {
            continue;
        }
        let (Some(read), Some(believed)) = (
            weights::of_reads(plan, weigh_in, reads),
            otherwise_known(weights, reads),
        ) else {
            continue;
        };
        let apart = (read.kg - believed.kg).abs();
        // What the scale cannot weigh is told as that.
        let capacity = weigh_in.with.and_then(|said| plan.scales[said.value].capacity);
        let beyond = capacity.is_some_and(|most| read.kg > most.value.mass.base());
        if beyond || other_state(plan, reads) || apart <= FAR * read.u().hypot(believed.u()) {
            continue;
        }
        let name = names_of(plan, &reads.what);
        let slips = gap::misread(read.kg, believed.kg, 2.0 * read.u().hypot(believed.u()));
        let explained = slips.first().map_or_else(String::new, |slip| {
            format!(" It would be explained if {}.", misread(plan, *slip))
        });
        let said = reads
            .what
            .iter()
            .filter_map(|said| figure_at(plan, said.value))
            .next();
        let mut finding = Finding::new(
            &FAR_FROM_BELIEF,
            format!(
                "{name}: read at {}, and believed to weigh {}",
                amounts::with_give(plan, &read),
                amounts::with_give(plan, &believed)
            ),
        )
        .at(reads.at, "read here");
        if let Some(at) = said {
            finding = finding.at(at, "believed here");
        }
        findings.push(
            finding
                .harm(format!(
                    "Hands, rigs and totals take the reading. If it is wrong, somebody lifts what is not that light, and a saving is counted that is none.{explained}"
                ))
                .mend("Weigh it again; where the reading is right, write it in its block too: mass ... weighed")
                .about(name.trim_matches('`').to_owned())
                .about(weigh_in.head.name.to_string()),
        );
    }
}

fn misread(plan: &Plan, slip: Misread) -> String {
    let kg = |right: f64| amounts::kg(plan, right, right / 100.0);
    match slip {
        Misread::Point(right) => format!("its decimal point is misplaced, {} being right", kg(right)),
        Misread::PoundsForKilograms(right) => {
            format!("the scale showed pounds, and {} is right", kg(right))
        }
        Misread::KilogramsForPounds(right) => {
            format!("the scale showed kilograms, and {} is right", kg(right))
        }
        Misread::Two(right) => format!("two of them lay on the scale, and {} is right", kg(right)),
        Misread::Half(right) => format!("only one of two lay on the scale, and {} is right", kg(right)),
    }
}

/// Where the plan states the figure of a thing.
fn figure_at(plan: &Plan, what: Weighed) -> Option<Span> {
    match what {
        Weighed::Thing(Thing::Part(id)) => plan.parts[id].mass.as_ref().map(|said| said.at),
        Weighed::Thing(Thing::Assembly(id)) => {
            let assembly = &plan.assemblies[id];
            let parts = assembly.parts.iter();
            assembly.mass.as_ref().map(|said| said.at).or_else(|| {
                parts
                    .filter_map(|&part| Some(plan.parts[part].mass.as_ref()?.at))
                    .next()
            })
        }
        Weighed::Vehicle(id) => plan.vehicles[id].mass.as_ref().map(|said| said.at),
        Weighed::Hardware(_) => None,
    }
}

/// Both reading and figure say in which state the thing was, and not the same.
fn other_state(plan: &Plan, reads: &Reads) -> bool {
    reads.what.iter().any(|said| {
        let figure = match said.value {
            Weighed::Thing(Thing::Part(id)) => plan.parts[id].mass.as_ref(),
            Weighed::Thing(Thing::Assembly(id)) => plan.assemblies[id].mass.as_ref(),
            Weighed::Vehicle(id) => plan.vehicles[id].mass.as_ref(),
            Weighed::Hardware(_) => None,
        };
        let states = reads
            .words
            .as_ref()
            .zip(figure.and_then(|figure| figure.value.state.as_ref()));
        states.is_some_and(|(read, stated)| read != stated)
    })
}

/// Two readings of the same things that differ by more than both can be off, each told against the one before it.
fn read_twice(weights: &Weights<'_>, findings: &mut Vec<Finding>) {
    let plan = weights.plan();
    let mut sheets: Vec<&WeighIn> = plan.weigh_ins.values().collect();
    sheets.sort_by_key(|weigh_in| weigh_in.dated.map(|said| said.value));
    let mut before: BTreeMap<Vec<Weighed>, (&WeighIn, &Reads, MassEstimate)> = BTreeMap::new();
    for weigh_in in sheets {
        for reads in &weigh_in.reads {
            let of_vehicle = |said: &Said<Weighed>| matches!(said.value, Weighed::Vehicle(_));
            let Some(read) = weights::of_reads(plan, weigh_in, reads) else {
                continue;
            };
            if reads.what.iter().any(of_vehicle) {
                continue;
            }
            let mut key: Vec<Weighed> = reads.what.iter().map(|said| said.value).collect();
            key.sort_unstable();
            let (at, words) = (reads.at, &reads.words);
            if let Some((sheet, first, known)) = before.insert(key, (weigh_in, reads, read.clone()))
                && read.differs(&known)
                && words
                    .as_ref()
                    .zip(first.words.as_ref())
                    .is_none_or(|(a, b)| a == b)
            {
                let name = names_of(plan, &reads.what);
                findings.push(
                    Finding::new(
                        &WEIGHED_OTHERWISE,
                        format!(
                            "{name}: read at {}, and at {} before",
                            amounts::with_give(plan, &read),
                            amounts::with_give(plan, &known)
                        ),
                    )
                    .at(at, "read here")
                    .at(first.at, "read here before")
                    .harm("One of them is of another state of the thing, or was read wrongly; sums take the later one.")
                    .mend("Weigh it again, or say in quotes after both in which state it was")
                    .about(name.trim_matches('`').to_owned())
                    .about(weigh_in.head.name.to_string())
                    .about(sheet.head.name.to_string()),
                );
            }
        }
    }
}

/// A line that was read, with what it is about.
struct Read<'p> {
    sheet: &'p WeighIn,
    reads: &'p Reads,
    covers: BTreeSet<Weighed>,
    estimate: MassEstimate,
}

/// Things that were read together once and otherwise another time: sums are compared where they are of the same things, and where the one lies
/// wholly in the other.
fn read_split(weights: &Weights<'_>, findings: &mut Vec<Finding>) {
    let plan = weights.plan();
    let mut sheets: Vec<&WeighIn> = plan.weigh_ins.values().collect();
    sheets.sort_by_key(|weigh_in| weigh_in.dated.map(|said| said.value));
    let mut all: Vec<Read<'_>> = Vec::new();
    // Of each thing the line that named it last on the sheets before.
    let mut last: BTreeMap<Weighed, usize> = BTreeMap::new();
    for sheet in sheets {
        let from = all.len();
        for reads in &sheet.reads {
            let of_vehicle = |said: &Said<Weighed>| matches!(said.value, Weighed::Vehicle(_));
            let estimate = weights::of_reads(plan, sheet, reads);
            if let Some(estimate) = estimate.filter(|_| !reads.what.iter().any(of_vehicle)) {
                let covers = reads
                    .what
                    .iter()
                    .flat_map(|said| totals::covers(plan, said.value));
                all.push(Read {
                    sheet,
                    reads,
                    covers: covers.collect(),
                    estimate,
                });
            }
        }
        let mut told: BTreeSet<usize> = BTreeSet::new();
        for nth in from..all.len() {
            if !told.contains(&nth) {
                let (now, before) = together(&all, from, nth, &last);
                told.extend(&now);
                let of = |places: &BTreeSet<usize>| -> Vec<&Read<'_>> {
                    places.iter().filter_map(|&place| all.get(place)).collect()
                };
                findings.extend(split_finding(plan, &of(&now), &of(&before)));
            }
        }
        for (nth, read) in all.iter().enumerate().skip(from) {
            last.extend(read.covers.iter().map(|what| (*what, nth)));
        }
    }
    // What was read together on one sheet, and each alone on several others.
    let mut alone: BTreeMap<Weighed, &Read<'_>> = BTreeMap::new();
    for read in &all {
        if let (Some(only), 1) = (read.covers.first(), read.covers.len()) {
            alone.insert(*only, read);
        }
    }
    for group in all.iter().filter(|read| read.covers.len() > 1) {
        let each: Option<Vec<&Read<'_>>> = group.covers.iter().map(|what| alone.get(what).copied()).collect();
        let sheets = each.iter().flatten().map(|read| &read.sheet.head.name);
        let sheets: BTreeSet<_> = sheets.chain([&group.sheet.head.name]).collect();
        if let Some(each) = each.filter(|_| sheets.len() > 2) {
            findings.extend(split_finding(plan, &each, &[group]));
        }
    }
}

/// The lines of this sheet that hang together with one of them by lines of the sheets before, and these.
fn together(
    all: &[Read<'_>],
    from: usize,
    nth: usize,
    last: &BTreeMap<Weighed, usize>,
) -> (BTreeSet<usize>, BTreeSet<usize>) {
    let own: BTreeMap<Weighed, usize> = all
        .iter()
        .enumerate()
        .skip(from)
        .flat_map(|(place, read)| read.covers.iter().map(move |what| (*what, place)))
        .collect();
    let (mut now, mut before) = (BTreeSet::from([nth]), BTreeSet::new());
    let mut left = vec![nth];
    while let Some(read) = left
        .pop()
        .and_then(|place| all.get(place).map(|read| (place, read)))
    {
        let (place, read) = read;
        let (others, set) = if place < from {
            (&own, &mut now)
        } else {
            (last, &mut before)
        };
        left.extend(
            read.covers
                .iter()
                .filter_map(|what| others.get(what).copied())
                .filter(|&place| set.insert(place)),
        );
    }
    (now, before)
}

fn split_finding(plan: &Plan, now: &[&Read<'_>], before: &[&Read<'_>]) -> Option<Finding> {
    let (first, earlier) = (now.first()?, before.first()?);
    let union = |reads: &[&Read<'_>]| -> BTreeSet<Weighed> {
        reads
            .iter()
            .flat_map(|read| read.covers.iter().copied())
            .collect()
    };
    let lines = |reads: &[&Read<'_>]| reads.iter().map(|read| read.covers.len()).sum::<usize>();
    let (here, there) = (union(now), union(before));
    // The same line twice is asked by itself, and what is named twice on one sheet was weighed again.
    let same_lines = now.len() == before.len() && now.iter().zip(before).all(|(a, b)| a.covers == b.covers);
    if same_lines || lines(now) != here.len() || lines(before) != there.len() {
        return None;
    }
    // An assembly's own reading is asked of its parts where it is declared.
    let assembly = |reads: &[&Read<'_>]| match reads {
        [only] => {
            matches!(only.reads.what.as_slice(), [said] if matches!(said.value, Weighed::Thing(Thing::Assembly(_))))
        }
        _ => false,
    };
    let states = |a: &Read<'_>| {
        let mut others = before.iter();
        others.any(|b| {
            a.reads
                .words
                .as_ref()
                .zip(b.reads.words.as_ref())
                .is_some_and(|(a, b)| a != b)
        })
    };
    if (here == there && (assembly(now) || assembly(before))) || now.iter().any(|read| states(read)) {
        return None;
    }
    let sum = |reads: &[&Read<'_>]| MassEstimate::sum(reads.iter().map(|read| &read.estimate));
    let (ours, theirs) = (sum(now), sum(before));
    let more = ours.minus(&theirs);
    let beyond = more.kg.abs() > more.expanded() + 1e-9;
    let name = |reads: &[&Read<'_>]| {
        let all: Vec<Said<Weighed>> = reads
            .iter()
            .flat_map(|read| read.reads.what.iter().copied())
            .collect();
        names_of(plan, &all)
    };
    let (a, b) = (name(now), name(before));
    let (ours_said, theirs_said) = (amounts::with_give(plan, &ours), amounts::with_give(plan, &theirs));
    let (what, advice) = if here == there {
        if !beyond {
            return None;
        }
        (
            format!(
                "{a}: read at {ours_said} together, and at {theirs_said} before, when they lay on the scale otherwise"
            ),
            false,
        )
    } else if here.is_subset(&there) {
        if !(beyond && more.kg > 0.0) {
            return None;
        }
        (
            format!("{a}: read at {ours_said}, and at {theirs_said} before with more on the scale: {b}"),
            false,
        )
    } else if there.is_subset(&here) {
        if !(beyond && more.kg < 0.0) {
            return None;
        }
        (
            format!("{a}: read at {ours_said}, and {b}, which is less, at {theirs_said} before"),
            false,
        )
    } else {
        (
            format!(
                "the readings of {a} cannot be compared with those before, of {b}: neither are all of the other"
            ),
            true,
        )
    };
    let mut finding = Finding::new(&WEIGHED_OTHERWISE, what);
    if advice {
        finding.severity = crate::base::finding::Severity::Advice;
    }
    for read in now {
        finding = finding
            .at(read.reads.at, "read here")
            .about(read.sheet.head.name.to_string());
    }
    for read in before {
        finding = finding
            .at(read.reads.at, "read here before")
            .about(read.sheet.head.name.to_string());
    }
    let (harm, mend) = if advice {
        (
            "Whether the scale said the same twice, nobody can tell; what each weighs is taken from the later reading and a share of the other.",
            "Read what was read together before together again, or each thing alone",
        )
    } else {
        (
            "One of them is of another state of the things, or was read wrongly; sums take the later ones.",
            "Weigh them again, in the same lots; or say in quotes after both in which state they were",
        )
    };
    for read in [first, earlier] {
        let name = names_of(plan, &read.reads.what);
        if read.reads.what.len() == 1 {
            finding = finding.about(name.trim_matches('`').to_owned());
        }
    }
    Some(finding.harm(harm).mend(mend))
}

/// The sum of what the plan states as weighed, if it states it of all things of the line and in no other state.
fn weighed_before(weights: &Weights<'_>, reads: &Reads) -> Option<MassEstimate> {
    let plan = weights.plan();
    let mut all = Vec::new();
    for said in &reads.what {
        let figure = match said.value {
            Weighed::Thing(Thing::Part(id)) => plan.parts[id].mass.as_ref(),
            Weighed::Thing(Thing::Assembly(id)) => plan.assemblies[id].mass.as_ref(),
            Weighed::Vehicle(id) => plan.vehicles[id].mass.as_ref(),
            Weighed::Hardware(_) => None,
        }?;
        let other_state = reads
            .words
            .as_ref()
            .zip(figure.value.state.as_ref())
            .is_some_and(|(a, b)| a != b);
        if figure.value.origin != Origin::Weighed || other_state {
            return None;
        }
        all.push(weights::stated(&figure.value)?);
    }
    (!all.is_empty()).then(|| MassEstimate::sum(&all))
}
