//! The page that `masses` prints: what was weighed first, what is off and on after a step, what each swap is worth, how the target stands, and how
//! the weight lies on the wheels. Plain lines; knows no terminal.

use super::Wanted;
use super::binding::Binding;
use super::mass_account;
use super::mass_balance::{self, Moment};
use super::masses::{self, ShownMass};
use super::masses_path;
use super::words::{and_list, capital, chance, cut, padded, right};
use crate::analysis::account::{Account, Known, Reckoner};
use crate::analysis::vehicle_weighings::When;
use crate::compile::Compilation;
use crate::plan::model::{Id, Part, Step, Target};
use crate::reckon::ballast;
use crate::reckon::corners::Cross;
use crate::reckon::mass;
use crate::rules::totals_aims;

/// Where figures of lines stand.
const LABEL: usize = 34;
/// Characters of a line at most; a long word alone may go over.
const WIDEST: usize = 96;

/// The page, line by line, for so many columns: where they are few, the path is not drawn. `after` is the step after which the state is told; else what the log says is done.
#[must_use]
pub fn lines(
    compilation: &Compilation,
    wanted: &Wanted,
    after: Option<Id<Step>>,
    columns: usize,
) -> Vec<String> {
    let binding = Binding::new(compilation, wanted);
    let account = compilation.account();
    let mut page = Page {
        binding: &binding,
        lines: vec![binding.plan.title()],
    };
    page.masses(account, after);
    page.stages(columns);
    page.swaps(account);
    page.aims(account);
    page.balance(after);
    page.taken_for_granted();
    page.lines
}

struct Page<'b, 'a> {
    binding: &'b Binding<'a>,
    lines: Vec<String>,
}

impl Page<'_, '_> {
    fn heading(&mut self, text: &str) {
        self.lines.push(String::new());
        self.lines.push(text.to_owned());
    }

    fn line(&mut self, label: &str, figure: &str, more: &str) {
        let label = padded(&cut(label, LABEL - 1), LABEL);
        let line = format!("  {label}{}  {more}", right(figure, 16));
        if line.chars().count() <= WIDEST {
            self.lines.push(line.trim_end().to_owned());
            return;
        }
        // What is said of a figure goes below it where a line would be too long for a screen.
        let figure = format!("  {label}{}", right(figure, 16));
        self.lines.push(figure.trim_end().to_owned());
        let mut below = String::from("     ");
        for word in more.split(' ') {
            if below.chars().count() + 1 + word.chars().count() > WIDEST && below.trim() != "" {
                self.lines.push(below);
                below = String::from("     ");
            }
            below.push(' ');
            below.push_str(word);
        }
        self.lines.push(below);
    }

    fn estimate(&self, estimate: &mass::MassEstimate) -> String {
        masses::with_give(self.binding, ShownMass::reckoned(self.binding, estimate))
    }

    fn parts(&self, parts: &[Id<Part>]) -> String {
        let names: Vec<String> = parts
            .iter()
            .take(4)
            .map(|&id| self.binding.plan.parts[id].head.called())
            .collect();
        // Titles have commas of their own.
        match parts.len().saturating_sub(4) {
            0 => names.join("; "),
            more => format!("{}; and {more} more", names.join("; ")),
        }
    }

    fn masses(&mut self, account: &Account, after: Option<Id<Step>>) {
        let (plan, weights) = (self.binding.plan, &self.binding.weights);
        let Some(first) = account.first() else {
            self.heading("The vehicle was not weighed, and the plan gives it no mass.");
            return;
        };
        self.heading("On the vehicle");
        self.known("first weighing", first);
        match (&account.start, first.when) {
            (_, When::AsFound) => {}
            (Some(start), _) if start.kg == first.estimate.kg => {}
            (Some(start), _) => {
                let estimate = self.estimate(start);
                self.line(
                    "as it was found",
                    &estimate,
                    "the first weighing, and what came off before it",
                );
            }
            (None, _) => self.line("as it was found", "not known", ""),
        }
        if let Some(last) = account.last() {
            self.known("last weighing", last);
        }
        let walk = &self.binding.compilation.walk;
        let now = after.or_else(|| mass_balance::done_up_to(plan));
        let reckoner = Reckoner::new(account, weights, walk);
        // Where the log stopped within a step, the machine stands there.
        let halt = plan.progress.halt.filter(|_| after.is_none());
        let reckoned = match halt {
            Some(halt) => reckoner.midst(halt),
            None => now.and_then(|step| reckoner.at(Some(step))),
        };
        if let (Some(reckoned), Some(step)) = (reckoned, halt.map(|halt| halt.step).or(now)) {
            let moment = &reckoned.moment;
            if let Some(sheet) = reckoned.from.weigh_in.filter(|_| account.last().is_some()) {
                let since = format!("since “{}”", capital(&plan.weigh_ins[sheet].head.called()));
                self.lines.push(format!("  {since}"));
            }
            for (label, parts, sign) in [
                ("off for now", &moment.off_for_now, "−"),
                ("off, and stays off", &moment.off_for_good, "−"),
                ("on, and new", &moment.on_new, "+"),
            ] {
                if parts.is_empty() {
                    continue;
                }
                let sum = weights.sum(parts);
                let figure = match sum.unknown {
                    0 => format!("{sign}{}", self.estimate(&sum.known)),
                    unknown => format!("{unknown} not known"),
                };
                let names = self.parts(parts);
                self.line(label, &figure, &names);
            }
            for (label, fluids) in [
                ("drained", &moment.drained),
                ("off in its tank", &moment.carried_off),
                ("filled", &moment.filled),
            ] {
                if !fluids.is_empty() {
                    let names: Vec<String> = fluids.iter().map(|&id| self.binding.fluid(id)).collect();
                    self.line(label, "", &and_list(&names));
                }
            }
            let where_it_stands = if halt.is_some() {
                "within step"
            } else {
                "after step"
            };
            let label = format!("{where_it_stands} {}", self.binding.number(step));
            let title = plan.steps[step].head.called();
            self.total(&label, &reckoned.total, &title);
        }
        if let Some(ending) = &account.ending {
            let more = if ending.by_swaps {
                "by the swaps: no step moves anything for good"
            } else {
                ""
            };
            self.total("at the end", &ending.total, more);
        }
    }

    /// A known mass: how much, by which sheet, and when that was.
    fn known(&mut self, label: &str, known: &Known) {
        let plan = self.binding.plan;
        let from = known.weigh_in.map_or_else(
            || "as the plan says".to_owned(),
            |id| {
                let called = plan.weigh_ins[id].head.called();
                let with = mass_account::weighed_with(self.binding, known.weigh_in);
                let start = self.binding.compilation.account().start.as_ref();
                match known.when {
                    _ if start.is_some_and(|start| *start == known.estimate) => format!("{called}{with}"),
                    When::AsFound => format!("{called}{with}"),
                    when => format!("{called}, {}{with}", mass_balance::made(self.binding, when)),
                }
            },
        );
        let estimate = self.estimate(&known.estimate);
        self.line(label, &estimate, &from);
    }

    /// The path from the first weighing to the end, stage by stage.
    fn stages(&mut self, columns: usize) {
        let titles: Vec<String> = self
            .binding
            .stages()
            .into_iter()
            .filter(|(_, steps)| !steps.is_empty())
            .map(|(stage, _)| stage.map_or_else(String::new, |id| self.binding.plan.stages[id].head.called()))
            .collect();
        if titles.len() < 2 {
            return;
        }
        let path = mass_balance::path(self.binding);
        let Some(lines) = path.and_then(|path| masses_path::lines(&path, &titles, columns)) else {
            return;
        };
        self.lines.push(String::new());
        self.lines.extend(lines);
    }

    fn total(&mut self, label: &str, total: &mass::Total, more: &str) {
        let figure = match total.whole() {
            Some(estimate) => self.estimate(estimate),
            None => "not known".to_owned(),
        };
        self.line(label, &figure, more);
    }

    fn swaps(&mut self, account: &Account) {
        if account.swaps.is_empty() {
            return;
        }
        let unit = masses::unit(self.binding);
        self.heading(&format!(
            "  {}{}{}{}{}",
            padded("Swap", 44),
            right(&format!("off {unit}"), 9),
            right(&format!("on {unit}"), 9),
            right("saved", 9),
            right("±", 7)
        ));
        for swap in &account.swaps {
            let called = capital(&self.binding.plan.swaps[swap.id].head.called());
            let off = mass_account::sum_of(&swap.off);
            let on = mass_account::sum_of(&swap.on);
            self.row(&called, off, on, mass_account::saved_of(self.binding, swap));
        }
        if account.swaps.len() > 1 {
            let saved = mass_account::saved(self.binding, account);
            self.row("All of them", None, None, saved);
        }
        let unknown = mass_account::unknown(self.binding, account);
        if !unknown.is_empty() {
            self.lines.push(format!(
                "  Not known yet: {}. The sum leaves them out.",
                and_list(&unknown)
            ));
        }
    }

    fn row(&mut self, called: &str, off: Option<f64>, on: Option<f64>, saved: Option<ShownMass>) {
        let figure = |kg: Option<f64>| {
            kg.map_or_else(String::new, |kg| {
                super::figures::decimal(masses::in_unit(self.binding, kg), 1)
            })
        };
        let line = format!(
            "  {}{}{}{}{}",
            padded(&cut(called, 43), 44),
            right(&figure(off), 9),
            right(&figure(on), 9),
            right(&figure(saved.map(|estimate| estimate.kg)), 9),
            right(&figure(saved.map(|estimate| estimate.within)), 7)
        );
        self.lines.push(line.trim_end().to_owned());
    }

    fn aims(&mut self, account: &Account) {
        let plan = self.binding.plan;
        let Some(about) = self.binding.about() else {
            return;
        };
        if about.target.is_none() && about.class_minimum.is_none() && about.axle_split.is_none() {
            return;
        }
        self.heading("Target");
        if let Some(target) = about.target {
            let words = match target.value {
                Target::Save(mass) => format!("save {}", self.binding.one(mass)),
                Target::Reach(mass) => format!("come to {}", self.binding.one(mass)),
            };
            let more = account.aim(plan).map_or_else(
                || "not all masses are known".to_owned(),
                |aim| {
                    // As the paper has it.
                    let saved = mass_account::judged(self.binding, &aim);
                    let saved = masses::with_give(self.binding, saved);
                    format!(
                        "{saved} are saved; the chance that it is met: {}",
                        chance(aim.chance)
                    )
                },
            );
            self.line("target", &words, &more);
        }
        if let Some(minimum) = about.class_minimum {
            let more = match (account.ballast(plan), account.as_the_class_weighs(plan)) {
                (Some((missing, sure)), Some(end)) => {
                    let kg = |kg: f64| {
                        let estimate = ShownMass {
                            kg,
                            ..ShownMass::reckoned(self.binding, &end)
                        };
                        masses::text(self.binding, estimate)
                    };
                    let walk = &self.binding.compilation.walk;
                    let place = totals_aims::ballast_place(&self.binding.weights, account, walk, sure)
                        .map_or_else(String::new, |behind| {
                            let split = match about.axle_split {
                                Some(_) => "for the split that is asked for",
                                None => "to keep the split",
                            };
                            format!(
                                ", its middle {} the {} {split}",
                                mass_balance::along(self.binding.units, behind, 0.0),
                                self.binding.axles().0
                            )
                        });
                    format!(
                        "{} missing; {} of ballast to be sure{place}",
                        kg(missing),
                        kg(sure)
                    )
                }
                (None, Some(end)) => {
                    let room = (end.kg - minimum.value.base()).max(0.0);
                    let estimate = ShownMass {
                        kg: room,
                        ..ShownMass::reckoned(self.binding, &end)
                    };
                    let sure = ballast::missing_for_sure(&end, minimum.value.base()).unwrap_or_default();
                    let surely = if sure > 0.0 {
                        ", which the scales leave in doubt"
                    } else {
                        ""
                    };
                    format!(
                        "{} over it at the end{surely}",
                        masses::text(self.binding, estimate)
                    )
                }
                _ => "the end is not known".to_owned(),
            };
            let words = self.binding.at_least(minimum.value);
            let with = mass_account::class_with(self.binding);
            let more = match with.trim_start() {
                "" => more,
                with => format!("{with}: {more}"),
            };
            self.line("class minimum", &words, &more);
        }
        if let Some(split) = about.axle_split {
            let words = format!("{} {}", split.value.share, split.value.end.word());
            self.line(
                if self.binding.is_machine() {
                    "between the ends"
                } else {
                    "between the axles"
                },
                &words,
                "wanted; how it comes out stands under balance",
            );
        }
    }

    fn balance(&mut self, after: Option<Id<Step>>) {
        let moments = mass_balance::moments(self.binding, after);
        if moments.iter().all(|moment| moment.centre.is_none()) {
            return;
        }
        self.heading("Balance");
        for moment in &moments {
            self.moment(moment);
        }
        let weighings = self.binding.compilation.weighings();
        let mut level = weighings.iter().filter(|weighing| weighing.raised.is_none());
        let level = level.find_map(|weighing| weighing.corners);
        if let Some(corners) = level
            && let (Ok(left), Ok(cross)) = (
                corners.left_share(),
                corners.cross_share(Cross::RightFrontLeftRear),
            )
        {
            let percent = |share: f64| format!("{} %", super::figures::decimal(share * 100.0, 1));
            self.line("left side, first weighing", &percent(left), "");
            self.line(
                "cross weight, first weighing",
                &percent(cross),
                "right front and left rear, of the whole",
            );
        }
    }

    /// What the figures rest on where the plan says nothing.
    fn taken_for_granted(&mut self) {
        self.heading("How to read the figures");
        let mut all = mass_account::taken_for_granted(self.binding);
        let mut moments = mass_balance::moments(self.binding, None).into_iter();
        if moments.any(|moment| moment.centre.is_some()) {
            all.extend(mass_balance::height(self.binding));
            all.push(mass_balance::taken_for_granted(self.binding));
        }
        for words in all {
            self.sentence(&words);
        }
    }

    /// A sentence, on as many lines as it takes.
    fn sentence(&mut self, words: &str) {
        let mut line = String::from(" ");
        for word in words.split(' ') {
            if line.chars().count() + 1 + word.chars().count() > WIDEST {
                self.lines.push(std::mem::replace(&mut line, String::from("   ")));
            }
            line.push(' ');
            line.push_str(word);
        }
        self.lines.push(line);
    }

    fn moment(&mut self, moment: &Moment) {
        let Some([(behind, within), (side, side_within)]) = moment.centre else {
            return;
        };
        let figure = format!(
            "{} ± {}",
            mass_balance::length(self.binding.units, behind, within),
            mass_balance::length(self.binding.units, within, within)
        );
        let mut more = format!(
            "centre {} the {}, {}",
            mass_balance::ahead_or_behind(behind),
            self.binding.axles().0,
            mass_balance::sideways(self.binding.units, side, side_within)
        );
        if let Some(height) = moment.height {
            more.push_str(&format!(
                ", {} up",
                mass_balance::length(self.binding.units, height, 20.0)
            ));
        }
        if let Some(axles) = moment.axles {
            let share = super::figures::decimal(axles.front_share() * 100.0, 1);
            more.push_str(&format!("; {} {share} %", self.binding.axles().0));
        }
        self.line(&moment.called.to_lowercase(), &figure, &more);
    }
}
