//! The page that `worth` prints: each swap a row, the best sets, what money and weekends buy, and every shown set with what it comes to.
//! Plain lines; knows no terminal.

use super::Wanted;
use super::binding::Binding;
use super::choices::{Advice, Purse, advice};
use super::words::{counted, cut, padded, right};
use super::worth_words::{Told, time};
use crate::compile::Compilation;
use crate::reckon::choosing::{MOST_CHOICES, Unsearchable};

/// A line: how far it stands in, and what it says.
pub type PageLine = (usize, String);

/// Characters of a row of figures beside the title of its swap, and between which bounds that is wide.
const FIGURES: usize = 52;
const TITLE: (usize, usize) = (20, 44);

/// Why there is no page, as a sentence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoPage(pub String);

/// The page, line by line.
///
/// # Errors
/// A plan without a swap that may be left out, or with more of them than can be searched.
pub fn lines(
    compilation: &Compilation,
    wanted: &Wanted,
    purse: Purse,
    columns: usize,
) -> Result<Vec<PageLine>, NoPage> {
    let binding = Binding::new(compilation, wanted);
    let advice = match advice(compilation, purse) {
        Some(Ok(advice)) => advice,
        Some(Err(why)) => return Err(NoPage(no_search(why))),
        None => return Err(NoPage(nothing_to_choose(compilation))),
    };
    let told = Told::new(&binding, &advice);
    let mut page = Page {
        told: &told,
        lines: vec![(0, binding.plan.title())],
        title: columns.saturating_sub(FIGURES).clamp(TITLE.0, TITLE.1),
    };
    page.all(&advice);
    Ok(page.lines)
}

/// The sentence for a search that cannot be made.
#[must_use]
pub fn no_search(why: Unsearchable) -> String {
    match why {
        Unsearchable::TooMany => format!(
            "The plan has more than {MOST_CHOICES} optional swaps, and so many are not searched. Take `optional` out where it is decided already."
        ),
        Unsearchable::Figure => {
            "A price or a time of the plan is under nothing, or too large to add up. boltfolio lint tells which.".to_owned()
        }
    }
}

fn nothing_to_choose(compilation: &Compilation) -> String {
    let plan = &compilation.plan;
    if plan.swaps.is_empty() {
        return "The plan has no swaps, so there is nothing to choose. A swap is written: swap seat-swap \"Seat for a bucket\"; comes off seat; \
                goes on bucket; optional."
            .to_owned();
    }
    if plan.swaps.values().all(|swap| swap.optional.is_none()) {
        return "No swap of the plan is optional, so there is nothing to choose. Say `optional` in each swap that could be left out."
            .to_owned();
    }
    "Every optional swap of the plan is begun already, or needed or shut out by one that is done in any case: there is nothing left to choose."
        .to_owned()
}

struct Page<'p, 't, 'a> {
    told: &'p Told<'t, 'a>,
    lines: Vec<PageLine>,
    /// Characters for the title of a swap.
    title: usize,
}

impl Page<'_, '_, '_> {
    fn line(&mut self, indent: usize, text: impl Into<String>) {
        self.lines.push((indent, text.into().trim_end().to_owned()));
    }

    fn heading(&mut self, text: &str) {
        self.line(0, "");
        self.line(0, text);
    }

    fn all(&mut self, advice: &Advice) {
        for words in self.told.given() {
            self.line(0, words);
        }
        self.swaps(advice);
        if let Some(why) = self.told.no_sets() {
            self.heading(&why);
            return;
        }
        self.answers();
        self.grid(advice);
        self.sets();
        self.heading("How to read it");
        for words in self.told.to_read() {
            self.line(2, words);
        }
    }

    fn swaps(&mut self, advice: &Advice) {
        let told = self.told;
        let unit = told.unit();
        let money = told.has_money();
        let mut head = format!(
            "    {}{}",
            padded("Swap", self.title),
            right(&format!("{unit} off"), 11)
        );
        if money {
            head.push_str(&right("to spend", 12));
        }
        head.push_str(&right("time", 12));
        if money {
            head.push_str(&right(&format!("{unit}/100"), 7));
        }
        head.push_str(&right(&format!("{unit}/h"), 6));
        self.heading(&head);
        for (nth, row) in advice.choices.rows.iter().enumerate() {
            let saved = row
                .saved
                .as_ref()
                .map_or_else(|| "not known".to_owned(), |saved| told.saved(saved));
            let mut line = format!(
                "{} {}{}",
                right(&(nth + 1).to_string(), 3),
                padded(&cut(&told.called(row.id), self.title - 1), self.title),
                right(&saved, 11)
            );
            if money {
                line.push_str(&right(&told.money(row.cents), 12));
            }
            line.push_str(&right(&time(row.minutes), 12));
            if money {
                line.push_str(&right(&told.rate(row, row.cents, 10_000).unwrap_or_default(), 7));
            }
            line.push_str(&right(&told.rate(row, row.minutes, 60).unwrap_or_default(), 6));
            self.line(0, line);
            let beside = told.beside(row);
            if !beside.is_empty() {
                self.line(6, beside.join("; "));
            }
        }
    }

    fn answers(&mut self) {
        self.heading("The best sets");
        for answered in self.told.answers() {
            let letter = answered
                .letter
                .map_or_else(String::new, |letter| format!("set {letter}: "));
            self.line(2, format!("{}:", answered.question));
            self.line(4, format!("{letter}{}", answered.words));
            for words in answered.more {
                self.line(6, words);
            }
        }
    }

    fn grid(&mut self, advice: &Advice) {
        let Some(grid) = &advice.grid else { return };
        let told = self.told;
        let title = if told.has_money() {
            format!(
                "What money and weekends buy: the set, and its {} off",
                told.unit()
            )
        } else {
            format!("What weekends buy: the set, and its {} off", told.unit())
        };
        self.heading(&title);
        let first = if told.has_money() { 14 } else { 0 };
        let mut head = padded(if told.has_money() { "to spend" } else { "" }, first);
        for weekend in Told::weekends(grid) {
            head.push_str(&right(&weekend, 19));
        }
        self.line(2, head);
        for (cents, row) in &grid.rows {
            let mut line = match told.has_money() {
                true => padded(&told.money(*cents), first),
                false => String::new(),
            };
            for cell in row {
                line.push_str(&right(&told.cell(cell.as_ref()), 19));
            }
            self.line(2, line);
        }
    }

    fn sets(&mut self) {
        let told = self.told;
        self.heading("The sets");
        for shown in &told.sets {
            let letter = told.letter(shown.set.chosen).unwrap_or_default();
            self.line(2, format!("{letter}: {}", told.names(&shown.swaps)));
            let facts = &shown.facts;
            let mut all = Vec::new();
            if let Some(saved) = &facts.saved {
                all.push(format!("{} {} off", told.saved(saved), told.unit()));
            }
            if let Some(chance) = told.chance(shown) {
                all.push(format!("chance of the target {chance}"));
            }
            if told.has_money() {
                let mut money = format!("{} to spend", told.money(facts.cents));
                if facts.unknown_prices > 0 {
                    let prices = counted(facts.unknown_prices, "price", "prices");
                    money.push_str(&format!(" and {prices} not known"));
                }
                if facts.to_come_in > 0 {
                    money.push_str(&format!(", {} to come in", told.money(facts.to_come_in)));
                }
                all.push(money);
            }
            all.push(match facts.unsaid {
                0 => time(facts.minutes),
                unsaid => format!(
                    "{} and {} without a time",
                    time(facts.minutes),
                    counted(unsaid, "step", "steps")
                ),
            });
            if let Some(class) = told.class(shown) {
                all.push(format!("{class} the class minimum"));
            }
            if let Some(front) = told.front(shown) {
                all.push(format!("front axle {front}"));
            }
            self.line(5, all.join("; "));
        }
        let stopped = told.frontier_stopped();
        for words in stopped {
            self.line(2, words);
        }
    }
}
