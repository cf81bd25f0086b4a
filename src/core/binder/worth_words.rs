//! The words for which swaps are worth it, for screen and paper alike: each swap a row, each shown set a letter, and the answers by these
//! letters. Knows no layout.

use super::binding::Binding;
use super::choices::{Advice, Answer, Grid, Shown, Stopped};
use super::figures::{decimal, duration};
use super::masses::{self, ShownMass};
use super::words::{and_list, capital, chance, counted, letter};
use crate::analysis::worth::{self, Axis, Fixed, Row};
use crate::base::digits;
use crate::base::finding::Severity;
use crate::plan::model::{Id, Swap, Target};
use crate::reckon::choosing::Chosen;

/// An answer in words: the question, and the letter of the set or why there is none.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answered {
    pub question: String,
    pub letter: Option<String>,
    /// "Sprung seat for a bucket; battery": what is done, or why there is no set.
    pub words: String,
    /// What is to be said beside it.
    pub more: Vec<String>,
}

/// Everything by its letter.
#[derive(Debug)]
pub struct Told<'t, 'a> {
    pub binding: &'t Binding<'a>,
    pub advice: &'t Advice,
    /// Each shown set once, the cheapest first: its letter is that of its place.
    pub sets: Vec<&'t Shown>,
}

/// A time of some minutes.
#[must_use]
pub fn time(minutes: i64) -> String {
    #[expect(clippy::cast_precision_loss, reason = "no job takes 2^53 min")]
    duration(minutes as f64)
}

impl<'t, 'a> Told<'t, 'a> {
    #[must_use]
    pub fn new(binding: &'t Binding<'a>, advice: &'t Advice) -> Self {
        let mut sets: Vec<&Shown> = advice.frontier.iter().collect();
        let answers = advice.target.iter().flatten().chain([&advice.most]);
        let cells = advice.grid.iter().flat_map(|grid| &grid.rows);
        let cells = cells.flat_map(|(_, row)| row.iter().flatten());
        for shown in answers.filter_map(|answer| answer.shown.as_ref()).chain(cells) {
            if sets.iter().all(|known| known.set.chosen != shown.set.chosen) {
                sets.push(shown);
            }
        }
        sets.sort_by_key(|shown| (shown.facts.cents, shown.set.worth, shown.facts.minutes));
        Self {
            binding,
            advice,
            sets,
        }
    }

    /// "A".
    #[must_use]
    pub fn letter(&self, chosen: Chosen) -> Option<String> {
        let place = self.sets.iter().position(|shown| shown.set.chosen == chosen)?;
        Some(letter(place + 1).to_uppercase())
    }

    #[must_use]
    pub fn money(&self, cents: i64) -> String {
        let currency = self.binding.compilation.money().currency;
        digits::money(cents, currency.unwrap_or(*b"   "))
    }

    /// Whether the plan says any sum at all.
    #[must_use]
    pub fn has_money(&self) -> bool {
        self.advice.choices.axis == Axis::Money
    }

    #[must_use]
    pub fn called(&self, swap: Id<Swap>) -> String {
        let swap = self.binding.plan.swaps.get(swap);
        swap.map_or_else(String::new, |swap| capital(&swap.head.called()))
    }

    fn inside(&self, swap: Id<Swap>) -> String {
        self.binding.inside(&self.called(swap))
    }

    /// The number of a swap among the rows.
    #[must_use]
    pub fn number(&self, swap: Id<Swap>) -> usize {
        let mut rows = self.advice.choices.rows.iter();
        rows.position(|row| row.id == swap).map_or(0, |place| place + 1)
    }

    /// "1 3 4"; "none".
    #[must_use]
    pub fn numbers(&self, swaps: &[Id<Swap>]) -> String {
        let mut numbers: Vec<usize> = swaps.iter().map(|&swap| self.number(swap)).collect();
        numbers.sort_unstable();
        match numbers.as_slice() {
            [] => "none".to_owned(),
            some => {
                let all: Vec<String> = some.iter().map(ToString::to_string).collect();
                all.join(" ")
            }
        }
    }

    /// "sprung seat for a bucket (1); battery (4)".
    #[must_use]
    pub fn names(&self, swaps: &[Id<Swap>]) -> String {
        let mut all: Vec<(usize, String)> = swaps
            .iter()
            .map(|&swap| (self.number(swap), self.inside(swap)))
            .collect();
        all.sort_unstable();
        let all: Vec<String> = all
            .iter()
            .map(|(number, name)| format!("{name} ({number})"))
            .collect();
        match all.as_slice() {
            [] => "none of them".to_owned(),
            some => some.join("; "),
        }
    }

    /// "25.6 ± 0.9".
    #[must_use]
    pub fn saved(&self, estimate: &crate::reckon::mass::MassEstimate) -> String {
        let unit = format!(" {}", masses::unit(self.binding));
        let text = masses::with_give(self.binding, ShownMass::reckoned(self.binding, estimate));
        text.strip_suffix(&unit).map_or(text.clone(), str::to_owned)
    }

    #[must_use]
    pub fn unit(&self) -> &'static str {
        masses::unit(self.binding)
    }

    /// "2.7": kilograms for a hundred of money, or for an hour.
    #[must_use]
    pub fn rate(&self, row: &Row, per: i64, hundred: i64) -> Option<String> {
        let kg = row.saved.as_ref()?.kg;
        #[expect(clippy::cast_precision_loss, reason = "no job costs or takes 2^53")]
        let rate = masses::in_unit(self.binding, kg) * hundred as f64 / per as f64;
        (per > 0).then(|| decimal(rate, 1))
    }

    /// "GBP".
    #[must_use]
    pub fn currency(&self) -> String {
        let letters = self.binding.compilation.money().currency;
        letters.map_or_else(String::new, |letters| {
            String::from_utf8_lossy(&letters).into_owned()
        })
    }

    /// What is to be said of a swap beside its figures, and of its money.
    #[must_use]
    pub fn beside(&self, row: &Row) -> Vec<String> {
        let mut all = self.bound(row);
        if row.spent > 0 {
            all.push(format!("{} spent already", self.money(row.spent)));
        }
        if row.to_come_in > 0 {
            all.push(format!("old parts bring {}", self.money(row.to_come_in)));
        }
        all
    }

    /// What binds a swap, and what is not known of it.
    #[must_use]
    pub fn bound(&self, row: &Row) -> Vec<String> {
        let mut all = Vec::new();
        let list = |ids: &[Id<Swap>]| {
            let mut numbers: Vec<usize> = ids.iter().map(|&id| self.number(id)).collect();
            numbers.sort_unstable();
            let numbers: Vec<String> = numbers.iter().map(ToString::to_string).collect();
            and_list(&numbers)
        };
        match &row.fixed {
            None => {}
            Some(Fixed::NotOptional) => all.push("not optional: done in any case".to_owned()),
            Some(Fixed::Begun) => all.push("begun, by the log: done in any case".to_owned()),
            Some(Fixed::Needed(by)) => all.push(format!("{} needs it: done in any case", self.number(*by))),
            Some(Fixed::ShutOut(by)) => all.push(format!("{} shuts it out", self.number(*by))),
        }
        if !row.needs.is_empty() {
            all.push(format!("needs {}", list(&row.needs)));
        }
        if !row.not_with.is_empty() {
            all.push(format!("not with {}", list(&row.not_with)));
        }
        if !row.shares_with.is_empty() {
            let with: Vec<Id<Swap>> = row.shares_with.iter().copied().collect();
            let mut of_it = Vec::new();
            if row.shared_minutes > 0 {
                of_it.push(time(row.shared_minutes));
            }
            if row.shared_cents > 0 {
                of_it.push(self.money(row.shared_cents));
            }
            all.push(format!("shares {} with {}", and_list(&of_it), list(&with)));
        }
        if row.saved.is_none() {
            all.push("a mass is not known: it counts as saving nothing".to_owned());
        }
        if row.unknown_prices > 0 {
            let prices = counted(row.unknown_prices, "price is", "prices are");
            all.push(format!("{prices} not known"));
        }
        if row.unsaid > 0 {
            all.push(format!(
                "{} no time given",
                counted(row.unsaid, "step has", "steps have")
            ));
        }
        all
    }

    /// What there is to spend, what time there is, what is wanted.
    #[must_use]
    pub fn given(&self) -> Vec<String> {
        let (advice, plan) = (self.advice, self.binding.plan);
        let mut all = Vec::new();
        if self.has_money() {
            let account = self.binding.compilation.money();
            all.push(match (advice.cents, account.budget) {
                (Some(cents), Some(budget)) if account.purse() == Some(cents) => {
                    let spent = account.sums().spent;
                    let spent = match spent {
                        0 => String::new(),
                        spent => format!(", of which {} is spent", self.money(spent)),
                    };
                    format!(
                        "{} to spend: the budget is {}{spent}.",
                        self.money(cents),
                        self.money(budget)
                    )
                }
                (Some(cents), _) => format!("{} to spend.", self.money(cents)),
                (None, _) => "The plan gives no budget: `budget 500 GBP`, or --spend.".to_owned(),
            });
        } else {
            all.push("The plan gives no prices, so sets are compared by hours: `cost 240 GBP`.".to_owned());
        }
        all.push(match (advice.minutes, worth::minutes_left(plan)) {
            (Some(minutes), Some(left)) if minutes == left => {
                let by = plan.about.as_ref().and_then(|about| about.calendar.finish_by);
                let by = by.map_or_else(String::new, |by| format!(", up to {}", by.value));
                format!("{} of work{by}.", time(minutes))
            }
            (Some(minutes), _) => format!("{} of work.", time(minutes)),
            (None, _) => "As many hours as it takes: no `finish by`, no --hours.".to_owned(),
        });
        if let Some(target) = plan.about.as_ref().and_then(|about| about.target) {
            all.push(match target.value {
                Target::Save(mass) => format!("Target: save {}.", self.binding.one(mass)),
                Target::Reach(mass) => format!("Target: come to {}.", self.binding.one(mass)),
            });
        }
        let choices = &advice.choices;
        let mut base = format!("Done in any case: {}", time(choices.base_minutes));
        if self.has_money() {
            base.push_str(&format!(", {}", self.money(choices.base_cents)));
        }
        if choices.base_unknown_prices > 0 {
            let prices = counted(choices.base_unknown_prices, "price", "prices");
            base.push_str(&format!(" and {prices} not known"));
        }
        if let Some(saved) = choices.base_saved.as_ref().filter(|saved| saved.kg.abs() >= 0.05) {
            base.push_str(&format!(", saving {} {}", self.saved(saved), self.unit()));
        }
        all.push(format!("{base}."));
        all
    }

    /// Why no sets are shown, where none are.
    #[must_use]
    pub fn no_sets(&self) -> Option<String> {
        let advice = self.advice;
        if advice.faults > 0 {
            let stand = if advice.faults == 1 { "stands" } else { "stand" };
            return Some(format!(
                "No sets are shown: {} {stand} in the plan itself. `boltfolio lint` tells which.",
                Severity::Fault.words(advice.faults)
            ));
        }
        None
    }

    /// Each question with its answer.
    #[must_use]
    pub fn answers(&self) -> Vec<Answered> {
        let advice = self.advice;
        let target = self.binding.plan.about.as_ref().and_then(|about| about.target);
        let words = target.map(|target| match target.value {
            Target::Save(mass) => format!("{} off", self.binding.one(mass)),
            Target::Reach(mass) => self.binding.one(mass),
        });
        let least = if self.has_money() {
            "Least money"
        } else {
            "Least time"
        };
        let mut all = Vec::new();
        if let (Some([likely, sure]), Some(words)) = (&advice.target, words) {
            for (answer, how) in [(likely, "as likely as not"), (sure, "nine times in ten")] {
                let none = if advice.out_of_time {
                    "None: the rest of the job alone takes longer than there is.".to_owned()
                } else {
                    match advice.choices.all_of_them() {
                        Some(all) if advice.choices.falls_short(&all) => {
                            format!(
                                "None: all of them together save {} {}.",
                                self.saved(&all),
                                self.unit()
                            )
                        }
                        _ if advice.minutes.is_some() && answer.stopped.is_empty() => {
                            format!("None: no set gets there {how} in these hours.")
                        }
                        _ => format!("None: no set gets there {how}."),
                    }
                };
                all.push(self.answered(format!("{least} for {words}, {how}"), answer, &none, false));
            }
        }
        let limit = match (advice.cents, advice.minutes) {
            (Some(cents), Some(minutes)) => format!(" for {} in {}", self.money(cents), time(minutes)),
            (Some(cents), None) => format!(" for {}", self.money(cents)),
            (None, Some(minutes)) => format!(" in {}", time(minutes)),
            (None, None) => String::new(),
        };
        let none = match (advice.out_of_money, advice.out_of_time) {
            (true, _) => "None: the rest of the job alone costs more.",
            (_, true) => "None: the rest of the job alone takes longer.",
            _ => "None.",
        };
        all.push(self.answered(
            format!("Most {} off{limit}", self.unit()),
            &advice.most,
            none,
            true,
        ));
        all
    }

    fn answered(&self, question: String, answer: &Answer, none: &str, most: bool) -> Answered {
        let mut more: Vec<String> = answer
            .stopped
            .iter()
            .map(|stopped| self.stopped(stopped))
            .collect();
        if answer.gave_up {
            more.push("No more sets were tried.".to_owned());
        }
        if let Some(at_most) = answer.at_most {
            #[expect(clippy::cast_precision_loss, reason = "no plan weighs 2^53 g")]
            let kg = at_most as f64 / 1000.0;
            more.push(if most {
                format!(
                    "The search was cut short: the best found; no set takes off more than {} beyond what is done in any case.",
                    masses::tenth(self.binding, kg)
                )
            } else {
                "The search was cut short: the best found, not proved the least.".to_owned()
            });
        }
        match &answer.shown {
            Some(shown) => Answered {
                question,
                letter: self.letter(shown.set.chosen),
                words: self.names(&shown.swaps),
                more,
            },
            None => Answered {
                question,
                letter: None,
                words: none.to_owned(),
                more,
            },
        }
    }

    /// "Lamp for LED (1) would do better, and cannot be done as the plan stands: would-fall, ...".
    #[must_use]
    pub fn stopped(&self, stopped: &Stopped) -> String {
        format!(
            "{} would do better, and cannot be done as the plan stands: {}, {}",
            capital(&self.names(&stopped.swaps)),
            stopped.by.rule.name,
            stopped.by.what
        )
    }

    /// Sets on the way that cannot be done, each once.
    #[must_use]
    pub fn frontier_stopped(&self) -> Vec<String> {
        let mut all: Vec<String> = Vec::new();
        for stopped in &self.advice.frontier_stopped {
            let words = format!(
                "{} cannot be done as the plan stands: {}, {}",
                capital(&self.names(&stopped.swaps)),
                stopped.by.rule.name,
                stopped.by.what
            );
            if !all.contains(&words) {
                all.push(words);
            }
        }
        all
    }

    /// A set's figures: saved, chance, money, what comes back, time, class, front axle; none where nothing is said of it.
    #[must_use]
    pub fn chance(&self, shown: &Shown) -> Option<String> {
        shown.facts.chance.map(chance)
    }

    /// "12 kg over", "3 kg under".
    #[must_use]
    pub fn class(&self, shown: &Shown) -> Option<String> {
        let over = shown.facts.over_minimum?;
        let side = if over < 0.0 { "under" } else { "over" };
        Some(format!("{} {side}", masses::tenth(self.binding, over.abs())))
    }

    /// "58.1 ± 0.4 %".
    #[must_use]
    pub fn front(&self, shown: &Shown) -> Option<String> {
        let (share, within) = shown.facts.front?;
        Some(format!(
            "{} ± {} %",
            decimal(share * 100.0, 1),
            decimal((within * 100.0).max(0.1), 1)
        ))
    }

    /// The heads of the grid: "1 weekend, 16 h".
    #[must_use]
    pub fn weekends(grid: &Grid) -> Vec<String> {
        let each = grid.weekends.iter().enumerate();
        each.map(|(nth, minutes)| format!("{}, {}", counted(nth + 1, "weekend", "weekends"), time(*minutes)))
            .collect()
    }

    /// "C 18.4": the set, and what it takes off.
    #[must_use]
    pub fn cell(&self, cell: Option<&Shown>) -> String {
        let Some(shown) = cell else {
            return "too little".to_owned();
        };
        let letter = self.letter(shown.set.chosen).unwrap_or_default();
        match &shown.facts.saved {
            Some(saved) => format!("{letter} {}", decimal(masses::in_unit(self.binding, saved.kg), 1)),
            None => letter,
        }
    }

    /// How far the end is above the class minimum: "12.4", "−3.0".
    #[must_use]
    pub fn over_class(&self, shown: &Shown) -> Option<String> {
        let over = shown.facts.over_minimum?;
        Some(decimal(masses::in_unit(self.binding, over), 1))
    }

    /// "58.1 %": the share of the front axle at the end.
    #[must_use]
    pub fn front_share(&self, shown: &Shown) -> Option<String> {
        let (share, _) = shown.facts.front?;
        Some(format!("{} %", decimal(share * 100.0, 1)))
    }

    /// What the heads of the tables on paper stand for.
    #[must_use]
    pub fn heads(&self) -> Vec<String> {
        let facts = || self.sets.iter().map(|shown| &shown.facts);
        let mut all = Vec::new();
        if self.has_money() {
            let (currency, unit) = (self.currency(), self.unit());
            all.push(format!(
                "{currency}: still to pay. {unit}/100: for each hundred of it. Back: what old parts bring."
            ));
        }
        if facts().any(|facts| facts.unknown_prices > 0 || facts.unsaid > 0) {
            all.push("+ ?: and prices or times that are not known.".to_owned());
        }
        if facts().any(|facts| facts.chance.is_some()) {
            all.push("Chance: that the target is met.".to_owned());
        }
        if facts().any(|facts| facts.over_minimum.is_some()) {
            all.push(format!(
                "Over: {} above the class minimum at the end.",
                self.unit()
            ));
        }
        if facts().any(|facts| facts.front.is_some()) {
            all.push("Front: share of the front axle at the end.".to_owned());
        }
        all
    }

    /// How to read it, in sentences.
    #[must_use]
    pub fn to_read(&self) -> Vec<String> {
        let mut all = vec![
            "Every set shown was worked through without the other swaps: the steps still go together."
                .to_owned(),
        ];
        if self.has_money() {
            all.push(
                "Money is what is still to be paid; what old parts bring stands beside it and is not counted off."
                    .to_owned(),
            );
        }
        all.push("Hours are likely hours of work, one step after the other.".to_owned());
        if self.advice.grid.is_some() {
            all.push(
                "A weekend is so many hours: who is away, what is still to come and where the work can stop are not asked here; the pages of the days ask."
                    .to_owned(),
            );
        }
        let (shown, points) = (self.advice.frontier.len(), self.advice.points);
        if points > shown {
            all.push(format!("{shown} of the {points} steps of the line are shown."));
        }
        if self.advice.cut {
            all.push("The search for the line was cut short: better sets may be missing.".to_owned());
        }
        if self.advice.under_minimum {
            all.push("The class minimum is missed whatever is chosen; it bounds nothing here.".to_owned());
        }
        let plan = self.binding.plan;
        if plan
            .about
            .as_ref()
            .is_none_or(|about| about.calendar.works.is_empty())
        {
            all.push("A weekend is taken as 16 h: the plan gives no days of work.".to_owned());
        }
        all
    }
}
