//! What would explain that a list of readings and the sum given with it do not agree: slips of hand and eye, ranked by how plausible each
//! is. The ranks are judgement: common practice, no source. Knows figures as they were written; neither plans nor wording.

use crate::base::quantity::{Mass, Number};

/// One reading of the list.
#[derive(Debug, Clone, Copy)]
pub struct Entry {
    /// As written.
    pub figure: Mass,
    /// Its own standard uncertainty, in kg.
    pub u: f64,
    /// What else is known of the same thing, and the standard uncertainty of that, in kg.
    pub expected: Option<(f64, f64)>,
}

/// A single reading that was misread, with what it is then, in kg.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Misread {
    /// The decimal point stands one place off.
    Point(f64),
    /// The scale showed pounds, and kilograms were written.
    PoundsForKilograms(f64),
    /// The other way round.
    KilogramsForPounds(f64),
    /// Two of them lay on the scale.
    Two(f64),
    /// One of two lay on it.
    Half(f64),
}

/// International pound, exactly. NIST SP 811, B.8.
const KG_IN_LB: f64 = 0.453_592_37;

/// The slips that would bring a reading, in kg, to within `reach` of what is believed of the thing; the commonest first.
#[must_use]
pub fn misread(read: f64, believed: f64, reach: f64) -> Vec<Misread> {
    let all = [
        Misread::Point(read / 10.0),
        Misread::Point(read * 10.0),
        Misread::PoundsForKilograms(read * KG_IN_LB),
        Misread::KilogramsForPounds(read / KG_IN_LB),
        Misread::Two(read / 2.0),
        Misread::Half(read * 2.0),
    ];
    let off = |slip: &Misread| {
        let (Misread::Point(kg)
        | Misread::PoundsForKilograms(kg)
        | Misread::KilogramsForPounds(kg)
        | Misread::Two(kg)
        | Misread::Half(kg)) = *slip;
        (kg - believed).abs()
    };
    all.into_iter().filter(|slip| off(slip) <= reach).collect()
}

/// A list with its sum.
#[derive(Debug, Clone, Copy)]
pub struct List<'a> {
    /// The readings, one a place.
    pub entries: &'a [Entry],
    /// Taken from the sum of the readings, once.
    pub tares: &'a [Mass],
    /// The sum that was given.
    pub given: Mass,
    /// Things that are not on the list, in kg with the standard uncertainty.
    pub unlisted: &'a [(f64, f64)],
    /// The standard uncertainty of the difference between sum and given figure.
    pub u: f64,
}

/// A figure of the list, or the sum.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Which {
    /// The one at this place.
    Reading(usize),
    /// The sum.
    Given,
}

/// What may have gone wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// The sum was made without this reading.
    LeftOut(usize),
    /// The sum was made with this reading twice.
    CountedTwice(usize),
    /// This reading was taken away instead of added.
    TakenAway(usize),
    /// The sum was made without these two.
    PairLeftOut(usize, usize),
    /// Two neighbouring digits stand in each other's place.
    Swapped(Which),
    /// The decimal point slipped.
    Slipped(Which),
    /// One digit is another one.
    Digit(Which),
    /// One digit was left away.
    Missing(Which),
    /// This reading is of two such things.
    OfTwo(usize),
    /// This reading is of one of two.
    OfOne(usize),
    /// The tare was not taken away.
    TareKept,
    /// The tare was taken away twice.
    TareTwice,
    /// The tare was taken away from each reading.
    TareEach,
    /// This thing is in the sum and not on the list.
    Unlisted(usize),
}

/// A cause with what the figure would have to be, in kg, and how plausible it is beside others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Candidate {
    /// What would explain the gap.
    pub cause: Cause,
    /// The right figure of the reading or sum that is meant.
    pub right: f64,
    /// Against the others; more is likelier.
    pub weight: f64,
}

/// How many are named at most.
pub const MOST: usize = 3;

/// Sum of the readings less the tares, in kg.
#[must_use]
pub fn net(list: &List<'_>) -> f64 {
    let gross: f64 = list.entries.iter().map(|entry| entry.figure.base()).sum();
    gross - list.tares.iter().map(|tare| tare.base()).sum::<f64>()
}

/// Whether sum and list differ by more than 2 u.
#[must_use]
pub fn at_odds(list: &List<'_>) -> bool {
    // A hair for the rounding of decimal figures in binary.
    (list.given.base() - net(list)).abs() > 2.0 * list.u + 1e-9
}

/// Causes that would explain the difference, the most plausible first, at most three. None where nothing simple does.
#[must_use]
pub fn causes(list: &List<'_>) -> Vec<Candidate> {
    let search = Search {
        list,
        gap: list.given.base() - net(list),
        found: Vec::new(),
    };
    let mut found = search.run();
    found.sort_by(|a, b| b.weight.total_cmp(&a.weight));
    let mut named: Vec<Candidate> = Vec::new();
    for candidate in found {
        // One figure misread is named once, by its most plausible slip.
        let same = |other: &Candidate| {
            figure_of(other.cause).is_some() && figure_of(other.cause) == figure_of(candidate.cause)
        };
        // A thousand times less plausible than the first is not worth a look.
        let faint = named
            .first()
            .is_some_and(|first| candidate.weight < 1e-3 * first.weight);
        if !faint && !named.iter().any(same) {
            named.push(candidate);
        }
        if named.len() == MOST {
            break;
        }
    }
    named
}

/// The figure that a slip of the eye changed.
#[must_use]
pub fn figure_of(cause: Cause) -> Option<Which> {
    match cause {
        Cause::Swapped(which) | Cause::Slipped(which) | Cause::Digit(which) | Cause::Missing(which) => {
            Some(which)
        }
        Cause::OfTwo(at) | Cause::OfOne(at) => Some(Which::Reading(at)),
        _ => None,
    }
}

struct Search<'a> {
    list: &'a List<'a>,
    /// Given less net.
    gap: f64,
    found: Vec<Candidate>,
}

impl Search<'_> {
    fn run(mut self) -> Vec<Candidate> {
        let list = self.list;
        for (at, entry) in list.entries.iter().enumerate() {
            let kg = entry.figure.base();
            self.by_sum(Cause::LeftOut(at), 1.0, -kg, kg);
            self.by_sum(Cause::CountedTwice(at), 0.5, kg, kg);
            self.by_sum(Cause::TakenAway(at), 0.2, -2.0 * kg, kg);
            self.by_figure(Cause::OfTwo(at), 0.2, at, kg / 2.0);
            self.by_figure(Cause::OfOne(at), 0.2, at, kg * 2.0);
            for (slip, cause, weight) in slips(entry.figure, Which::Reading(at)) {
                self.by_figure(cause, weight, at, slip);
            }
            for (other, second) in list.entries.iter().enumerate().skip(at + 1) {
                let both = kg + second.figure.base();
                self.by_sum(Cause::PairLeftOut(at, other), 0.1, -both, both);
            }
        }
        let given = list.given.base();
        for (right, cause, weight) in slips(list.given, Which::Given) {
            self.by_sum(cause, weight, given - right, right);
        }
        self.tares();
        for (at, (kg, u)) in list.unlisted.iter().enumerate() {
            let off = self.gap - kg;
            let u = u.hypot(list.u);
            if self.gap > 0.0 && off.abs() <= 2.0 * u {
                // What is known badly fits much, and so says little.
                let sharp = (list.u / u).min(1.0);
                let weight = 0.3 * sharp * self.fits(off, u);
                self.push(Cause::Unlisted(at), *kg, weight);
            }
        }
        self.found
    }

    fn tares(&mut self) {
        let tare: f64 = self.list.tares.iter().map(|tare| tare.base()).sum();
        if tare == 0.0 {
            return;
        }
        self.by_sum(Cause::TareKept, 1.0, tare, tare);
        self.by_sum(Cause::TareTwice, 0.3, -tare, tare);
        #[expect(clippy::cast_precision_loss, reason = "a count of readings is small")]
        let more = self.list.entries.len() as f64 - 1.0;
        if more > 0.0 {
            self.by_sum(Cause::TareEach, 1.0, -tare * more, tare);
        }
    }

    /// A cause that leaves all readings right, and makes the sum differ by `by`.
    fn by_sum(&mut self, cause: Cause, weight: f64, by: f64, right: f64) {
        let off = self.gap - by;
        if off.abs() <= 2.0 * self.list.u && by != 0.0 {
            let weight = weight * self.fits(off, self.list.u);
            self.push(cause, right, weight);
        }
    }

    /// A cause that makes the figure of a reading wrong: then the sum was made with the right one.
    fn by_figure(&mut self, cause: Cause, weight: f64, at: usize, right: f64) {
        let Some(entry) = self.list.entries.get(at) else {
            return;
        };
        let kg = entry.figure.base();
        let off = self.gap - (right - kg);
        if off.abs() <= 2.0 * self.list.u && right != kg {
            let weight = weight * self.fits(off, self.list.u) * agreement(entry, right);
            self.push(cause, right, weight);
        }
    }

    /// Slips change figures by whole steps, so that what they explain they explain to the last digit; a sum that was itself weighed
    /// leaves a rest.
    fn fits(&self, off: f64, u: f64) -> f64 {
        let exact = 0.5 * self.list.given.last_place() + 1e-9;
        if off.abs() < exact {
            1.0
        } else {
            0.2 * (-0.5 * (off / u.max(1e-12)).powi(2)).exp()
        }
    }

    fn push(&mut self, cause: Cause, right: f64, weight: f64) {
        self.found.push(Candidate { cause, right, weight });
    }
}

/// How much better the right figure agrees with what else is known of the thing than the one on the list: a ratio of normal
/// densities, kept within a thousand.
fn agreement(entry: &Entry, right: f64) -> f64 {
    let Some((kg, u)) = entry.expected else {
        return 1.0;
    };
    let u = u.hypot(entry.u).max(1e-9);
    let square = |value: f64| ((value - kg) / u).powi(2);
    (0.5 * (square(entry.figure.base()) - square(right)))
        .clamp(-1000f64.ln(), 1000f64.ln())
        .exp()
}

/// What a figure may have been before a slip of eye or hand, in kg, with the kind of slip and its weight.
fn slips(figure: Mass, which: Which) -> Vec<(f64, Cause, f64)> {
    let number = figure.number();
    let mut all = Vec::new();
    if number.denominator != 1 || number.mantissa <= 0 {
        return all;
    }
    let mut add = |mantissa: i64, cause: Cause, weight: f64| {
        let changed = Mass::new(Number { mantissa, ..number }, figure.unit());
        all.extend(changed.map(|mass| (mass.base(), cause, weight)));
    };
    let mut place: i64 = 1;
    // One place further than written: a leading digit that was left away.
    while place / 10 <= number.mantissa && place < i64::MAX / 1000 {
        let digit = number.mantissa / place % 10;
        let next = number.mantissa / place / 10 % 10;
        if next != digit && place * 10 <= number.mantissa {
            let swapped = number.mantissa + (next - digit) * place + (digit - next) * place * 10;
            add(swapped, Cause::Swapped(which), 0.8);
        }
        for other in (0..10).filter(|other| *other != digit) {
            let changed = number.mantissa + (other - digit) * place;
            add(changed, Cause::Digit(which), digit_weight(digit, other));
        }
        let (above, below) = (number.mantissa / place, number.mantissa % place);
        for digit in (0..10).filter(|digit| above > 0 || *digit > 0) {
            let longer = (above * 10 + digit) * place + below;
            add(longer, Cause::Missing(which), 0.15);
        }
        place *= 10;
    }
    let kg = figure.base();
    // Up, the figure had more places than the scale shows.
    let slipped = [(10.0, 0.6), (100.0, 0.3), (0.1, 0.2), (0.01, 0.1)];
    let slipped = slipped.map(|(times, weight)| (kg * times, Cause::Slipped(which), weight));
    all.extend(slipped);
    all
}

/// Digits that look alike, and neighbours as a dropped carry leaves them, are mixed up more easily.
fn digit_weight(a: i64, b: i64) -> f64 {
    const ALIKE: [(i64, i64); 8] = [(1, 7), (3, 8), (5, 6), (6, 8), (0, 6), (0, 8), (4, 9), (0, 9)];
    let pair = (a.min(b), a.max(b));
    if ALIKE.contains(&pair) || (a - b).abs() == 1 {
        0.4
    } else {
        0.25
    }
}
