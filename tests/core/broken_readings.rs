//! The plans of `specs/` with one reading or sum broken on purpose: what lies beyond the uncertainty is noticed, what lies inside it is not,
//! and the true cause of a gap is among the named ones in at least 90 of 100.

use boltfolio_core::base::picture::NoPictures;
use boltfolio_core::base::source::Span;
use boltfolio_core::compile::{Compilation, compile};
use boltfolio_core::plan::model::{Id, WeighIn};
use boltfolio_core::weights;

use crate::support::{Texts, plan_texts as texts, sources_of};

fn compiled(texts: &Texts) -> Compilation {
    compile(sources_of(texts), &NoPictures)
}

/// The texts with one place replaced.
fn with(texts: &Texts, compilation: &Compilation, at: Span, new: &str) -> Texts {
    let path = compilation
        .sources
        .get(at.source)
        .expect("a source")
        .path()
        .to_owned();
    let mut all = texts.clone();
    let (_, text, _) = all
        .iter_mut()
        .find(|(name, _, _)| *name == path)
        .expect("the text of a span");
    text.replace_range(at.start as usize..at.end as usize, new);
    all
}

/// Findings about masses: rule and all its words.
fn told(compilation: &Compilation) -> Vec<(&'static str, String)> {
    compilation
        .findings
        .iter()
        .filter(|finding| finding.rule.name != "missing-figure")
        .map(|finding| {
            let labels: Vec<&str> = finding.labels.iter().map(|label| label.words.as_str()).collect();
            let words = format!("{} {} {}", finding.what, finding.harm, labels.join(" "));
            (finding.rule.name, words)
        })
        .collect()
}

/// A figure in kilograms within a statement: its place, and the digits.
struct Figure {
    at: Span,
    digits: String,
}

/// All figures of a statement that stand before `kg`.
fn figures(compilation: &Compilation, at: Span) -> Vec<Figure> {
    let text = compilation.sources.text(at);
    let mut all = Vec::new();
    for (place, _) in text.match_indices(" kg") {
        let before = &text[..place];
        let start = before
            .rfind(|c: char| !c.is_ascii_digit() && c != '.')
            .map_or(0, |at| at + 1);
        if start < place {
            let digits = before[start..].to_owned();
            let from = at.start + u32::try_from(start).expect("a short text");
            let to = at.start + u32::try_from(place).expect("a short text");
            all.push(Figure {
                at: Span::new(at.source, from, to),
                digits,
            });
        }
    }
    all
}

/// The figure with one digit changed, in each place; and with two neighbours swapped.
fn slips(digits: &str) -> Vec<String> {
    let bytes = digits.as_bytes();
    let mut all = Vec::new();
    for at in (0..bytes.len()).filter(|&at| bytes[at].is_ascii_digit()) {
        for more in [1, 3, 6] {
            let mut new = bytes.to_vec();
            new[at] = b'0' + (bytes[at] - b'0' + more) % 10;
            all.push(String::from_utf8(new).expect("digits"));
        }
        let next = (at + 1..bytes.len()).find(|&next| bytes[next].is_ascii_digit());
        if let Some(next) = next.filter(|&next| bytes[next] != bytes[at]) {
            let mut new = bytes.to_vec();
            new.swap(at, next);
            all.push(String::from_utf8(new).expect("digits"));
        }
    }
    all.sort();
    all.dedup();
    all
}

fn number(digits: &str) -> f64 {
    digits.parse().expect("digits")
}

/// What covers the difference between a list and its sum: 2 u, from the scale's step and repeatability alone (JCGM 100, F.2.2.1).
fn covered(compilation: &Compilation, weigh_in: &WeighIn) -> f64 {
    let scale = weigh_in.with.expect("the plans name their scales").value;
    let scale = weights::scale(&compilation.plan, scale).expect("and its step");
    let one = (scale.division.powi(2) / 12.0 + scale.repeatability.expect("stated").powi(2)).sqrt();
    let lines = f64::from(u32::try_from(weigh_in.reads.len()).expect("few"));
    2.0 * (lines * one * one + scale.division.powi(2) / 12.0).sqrt()
}

#[derive(Default)]
struct Tally {
    beyond: u32,
    noticed: u32,
    inside: u32,
    named: u32,
    explained: u32,
    wrong: Vec<String>,
}

impl Tally {
    /// One break: by how much, what should be named, and what was said.
    fn count(&mut self, what: &str, by: f64, covered: f64, cause: &[&str], broken: &Compilation) {
        let said = told(broken);
        // Figures that the scale cannot show are told whatever they add up to.
        let steps = said.iter().any(|(rule, _)| *rule == "finer-than-scale");
        if by.abs() <= covered {
            self.inside += 1;
            // A reading may well add up, and still differ from what the thing weighed before by more than both cover.
            let alone = by.abs() > covered / 2.0;
            let other: Vec<_> = said
                .iter()
                .filter(|(rule, _)| *rule != "finer-than-scale" && !(alone && *rule == "weighed-otherwise"))
                .collect();
            if !other.is_empty() {
                self.wrong.push(format!("inside, and told: {what}: {other:?}"));
            }
            return;
        }
        self.beyond += 1;
        if said.is_empty() {
            self.wrong.push(format!("beyond, and not told: {what}"));
            return;
        }
        self.noticed += 1;
        let Some((_, words)) = said.iter().find(|(rule, _)| *rule == "does-not-add-up") else {
            let fit = ["weighed-otherwise", "impossible-figure"];
            if !steps && !said.iter().any(|(rule, _)| fit.contains(rule)) {
                self.wrong
                    .push(format!("told as something else: {what}: {said:?}"));
            }
            return;
        };
        self.explained += 1;
        if cause.iter().all(|part| words.contains(part)) {
            self.named += 1;
        } else {
            self.wrong.push(format!("not named: {what}: {words}"));
        }
    }
}

fn called(compilation: &Compilation, weigh_in: &WeighIn, line: usize) -> String {
    use boltfolio_core::plan::model::{Thing, Weighed};
    let plan = &compilation.plan;
    let first = weigh_in.reads[line].what[0].value;
    match first {
        Weighed::Thing(Thing::Part(id)) => plan.parts[id].head.name.to_string(),
        Weighed::Thing(Thing::Assembly(id)) => plan.assemblies[id].head.name.to_string(),
        Weighed::Hardware(id) => plan.joints[id].head.name.to_string(),
        Weighed::Vehicle(id) => plan.vehicles[id].head.name.to_string(),
    }
}

#[test]
fn sums_and_their_readings() {
    let mut tally = Tally::default();
    for name in ["ouzel-front", "lathe-move", "starter"] {
        let texts = texts(name);
        let clean = compiled(&texts);
        assert_eq!(told(&clean), Vec::new(), "{name} is clean to begin with");
        let ids: Vec<Id<WeighIn>> = clean.plan.weigh_ins.ids().collect();
        for id in ids {
            let weigh_in = &clean.plan.weigh_ins[id];
            let Some(given) = weigh_in.sum_given.filter(|said| said.value.known().is_some()) else {
                continue;
            };
            let covered = covered(&clean, weigh_in);
            for (line, reads) in weigh_in.reads.iter().enumerate() {
                let called = called(&clean, weigh_in, line);
                let figure = &figures(&clean, reads.at)[0];
                let was = number(&figure.digits);
                for new in slips(&figure.digits) {
                    let broken = compiled(&with(&texts, &clean, figure.at, &new));
                    let what = format!("{name} {called}: {new} for {}", figure.digits);
                    tally.count(
                        &what,
                        number(&new) - was,
                        covered,
                        &[&called, &figure.digits],
                        &broken,
                    );
                }
                let places = figure.digits.split_once('.').map_or(0, |(_, after)| after.len());
                let doubled = format!("{:.places$}", 2.0 * was);
                let broken = compiled(&with(&texts, &clean, figure.at, &doubled));
                tally.count(
                    &format!("{name} {called} doubled"),
                    was,
                    covered,
                    &[&called],
                    &broken,
                );
                if weigh_in.reads.len() > 1 {
                    let broken = compiled(&with(&texts, &clean, reads.at, ""));
                    let stem = called.trim_end_matches("-left");
                    tally.count(
                        &format!("{name} {called} dropped"),
                        was,
                        covered,
                        &[stem, "not on the list"],
                        &broken,
                    );
                }
            }
            let figure = &figures(&clean, given.at)[0];
            for new in slips(&figure.digits) {
                let broken = compiled(&with(&texts, &clean, figure.at, &new));
                let what = format!(
                    "{name} sum of {}: {new} for {}",
                    weigh_in.head.name, figure.digits
                );
                let by = number(&new) - number(&figure.digits);
                tally.count(&what, by, covered, &["sum given", &figure.digits], &broken);
            }
        }
    }
    let summary = format!(
        "{} beyond the uncertainty, {} of them noticed; {} inside it; cause named in {} of {}",
        tally.beyond, tally.noticed, tally.inside, tally.named, tally.explained
    );
    let not_named = tally
        .wrong
        .iter()
        .filter(|wrong| wrong.starts_with("not named"))
        .count();
    assert_eq!(
        tally.wrong.len(),
        not_named,
        "{summary}\n{}",
        tally.wrong.join("\n")
    );
    assert_eq!(tally.noticed, tally.beyond, "{summary}");
    assert!(tally.beyond > 200 && tally.inside > 20, "{summary}");
    assert!(
        f64::from(tally.named) >= 0.9 * f64::from(tally.explained),
        "{summary}\n{}",
        tally.wrong.join("\n")
    );
}

/// The four wheels and two axles of a car weighed level, raised and stated: a reading that is off by more than all of these are known to is
/// noticed, and one that is off by less than the least of them is not.
#[test]
fn weighings_of_the_vehicle() {
    let (mut beyond, mut inside) = (0, 0);
    for (name, covered) in [("ouzel-front", 4.0), ("lathe-move", 2.0)] {
        let texts = texts(name);
        let clean = compiled(&texts);
        for weigh_in in clean.plan.weigh_ins.values() {
            let places = [
                weigh_in.corners.map(|said| said.at),
                weigh_in.axles.map(|said| said.at),
            ];
            for at in places.into_iter().flatten() {
                for figure in figures(&clean, at) {
                    for new in slips(&figure.digits) {
                        let by = number(&new) - number(&figure.digits);
                        let broken = compiled(&with(&texts, &clean, figure.at, &new));
                        let said = told(&broken);
                        if by.abs() > covered && name == "ouzel-front" {
                            beyond += 1;
                            assert!(!said.is_empty(), "{name}: {new} for {}", figure.digits);
                        }
                        if by.abs() < 1.0 {
                            inside += 1;
                            let other = said.iter().find(|(rule, _)| *rule != "finer-than-scale");
                            assert_eq!(other, None, "{name}: {new} for {}", figure.digits);
                        }
                    }
                }
            }
        }
    }
    assert!(beyond > 40 && inside > 10, "{beyond} {inside}");
}

/// Lists whose things the plan knows nothing else of: then the figures alone have to tell.
#[test]
fn lists_of_unknown_things() {
    use boltfolio_core::base::quantity::{Mass, Number};
    use boltfolio_core::base::unit::find;
    use boltfolio_core::reckon::gap::{Cause, Entry, List, Which, at_odds, causes};
    let unit = find("kg").expect("a unit");
    let mass = |mantissa: i64| {
        Mass::new(
            Number {
                mantissa,
                decimals: 1,
                denominator: 1,
            },
            unit,
        )
        .expect("a mass")
    };
    let entry = |mantissa: i64| Entry {
        figure: mass(mantissa),
        u: 0.1,
        expected: None,
    };
    // SplitMix64, fixed seed.
    let mut state = 14u64;
    let mut under = |most: i64| {
        state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        i64::try_from((z ^ (z >> 31)) % u64::try_from(most).expect("positive")).expect("small")
    };
    let mut named = [(0, 0); 4];
    for _ in 0..2000 {
        let count = usize::try_from(3 + under(4)).expect("small");
        let right: Vec<i64> = (0..count).map(|_| 10 + under(600)).collect();
        let sum: i64 = right.iter().sum();
        let at = usize::try_from(under(i64::try_from(count).expect("small"))).expect("small");
        let kind = usize::try_from(under(4)).expect("small");
        let (entries, given): (Vec<Entry>, i64) = match kind {
            // Two digits of a reading swapped.
            0 => {
                let digits = right[at].to_string();
                let mut bytes = digits.into_bytes();
                let place =
                    usize::try_from(under(i64::try_from(bytes.len() - 1).expect("small"))).expect("small");
                bytes.swap(place, place + 1);
                let wrong: i64 = String::from_utf8(bytes).expect("digits").parse().expect("digits");
                let mut read = right.clone();
                read[at] = wrong;
                (read.into_iter().map(entry).collect(), sum)
            }
            // A reading left out of the sum; counted twice; the sum's digits swapped.
            1 => (right.iter().copied().map(entry).collect(), sum - right[at]),
            2 => (right.iter().copied().map(entry).collect(), sum + right[at]),
            _ => {
                let mut bytes = sum.to_string().into_bytes();
                let last = bytes.len() - 1;
                bytes.swap(last, last - 1);
                let wrong: i64 = String::from_utf8(bytes).expect("digits").parse().expect("digits");
                (right.iter().copied().map(entry).collect(), wrong)
            }
        };
        let u = f64::from(u32::try_from(count).expect("small")).sqrt() * 0.1;
        let list = List {
            entries: &entries,
            tares: &[],
            given: mass(given),
            unlisted: &[],
            u,
        };
        if !at_odds(&list) {
            continue;
        }
        let found = causes(&list);
        let truth = match kind {
            0 => Cause::Swapped(Which::Reading(at)),
            1 => Cause::LeftOut(at),
            2 => Cause::CountedTwice(at),
            _ => Cause::Swapped(Which::Given),
        };
        named[kind].0 += 1;
        named[kind].1 += u32::from(found.iter().any(|candidate| candidate.cause == truth));
    }
    for (of, hit) in named {
        assert!(of > 100 && f64::from(hit) >= 0.9 * f64::from(of), "{named:?}");
    }
}

/// Each rating of a rig that the work puts something on, lowered to a kilogram; each jacking place moved to the other side of the centre;
/// each part's mass doubled that is known from elsewhere.
#[test]
fn ratings_supports_and_masses() {
    use boltfolio_core::walk::loads::{LoadChange, ends};
    use boltfolio_core::walk::state::Stand;
    let mut tried = [0; 3];
    for name in ["ouzel-front", "lathe-move", "starter"] {
        let texts = texts(name);
        let clean = compiled(&texts);
        let mut used = Vec::new();
        for event in &clean.walk.loads {
            match &event.change {
                LoadChange::Rig(change) if !change.alone.join.is_empty() => used.push(change.rig),
                LoadChange::Stand { front, rear } => {
                    for (_, stand) in ends(*front, *rear) {
                        if let Stand::Rig { rig, .. } = stand {
                            used.push(rig);
                        }
                    }
                }
                _ => {}
            }
        }
        used.sort_unstable();
        used.dedup();
        for rig in used {
            let declared = &clean.plan.rigs[rig];
            let Some(rated) = declared.rated else { continue };
            let figure = &figures(&clean, rated.at)[0];
            let broken = compiled(&with(&texts, &clean, figure.at, "1"));
            let found = told(&broken);
            tried[0] += 1;
            assert!(
                found
                    .iter()
                    .any(|(rule, _)| ["over-rated", "arm-overloaded"].contains(rule)),
                "{name}: {} rated for a kilogram: {found:?}",
                declared.head.name
            );
        }
        let vehicle = &clean.plan.vehicles[clean.plan.vehicle().expect("one")];
        for place in [vehicle.jacking.front, vehicle.jacking.rear]
            .into_iter()
            .flatten()
        {
            let text = clean.sources.text(place.at).to_owned();
            // Far behind the rear axle, or far ahead of the front one: the other side of the centre.
            let front = Some(place.at) == vehicle.jacking.front.map(|said| said.at);
            let moved = if front {
                "1900 mm behind front axle"
            } else {
                "500 mm ahead of front axle"
            };
            let end = text.find(" axle").expect("a place by the front axle") + " axle".len();
            let new = format!("{moved}{}", &text[end..]);
            let broken = compiled(&with(&texts, &clean, place.at, &new));
            let found = told(&broken);
            tried[1] += 1;
            assert!(
                found.iter().any(|(rule, _)| *rule == "off-balance"),
                "{name}: {text} moved to {new}: {found:?}"
            );
        }
        for (id, part) in clean.plan.parts.iter() {
            let known_twice = clean.plan.weigh_ins.values().any(|weigh_in| {
                weigh_in.reads.iter().any(|reads| {
                    use boltfolio_core::plan::model::{Thing, Weighed};
                    let alone = reads
                        .what
                        .iter()
                        .any(|said| said.value == Weighed::Thing(Thing::Part(id)));
                    // In other words it may be of another state.
                    let state = part.mass.as_ref().and_then(|said| said.value.state.clone());
                    let alike = reads.words.is_none() || state.is_none() || reads.words == state;
                    alone && alike && reads.mass.known().is_some()
                })
            });
            let weighed = part
                .mass
                .as_ref()
                .filter(|said| said.value.origin == boltfolio_core::plan::model::Origin::Weighed);
            let (true, Some(mass)) = (known_twice, weighed) else {
                continue;
            };
            // The first figure of it: what follows +- is another.
            let text = clean.sources.text(mass.at);
            let end = text
                .find(|c: char| !c.is_ascii_digit() && c != '.')
                .unwrap_or(text.len());
            let doubled = format!("{:.3}", 2.0 * number(&text[..end]));
            let to = mass.at.start + u32::try_from(end).expect("a short text");
            let place = Span::new(mass.at.source, mass.at.start, to);
            let broken = compiled(&with(&texts, &clean, place, &doubled));
            tried[2] += 1;
            assert!(!told(&broken).is_empty(), "{name}: {} doubled", part.head.name);
        }
    }
    assert!(tried[0] >= 10 && tried[1] == 4 && tried[2] >= 8, "{tried:?}");
}
