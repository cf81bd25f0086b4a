//! The page that `money` prints: the account, by swap and by stage, and what is to be bought, with what is bought ticked. Plain lines;
//! knows no terminal.

use super::Wanted;
use super::binding::Binding;
use super::money_words::{Account, Group};
use super::words::{cut, padded, right};
use crate::analysis::money::{Item, Kind, Standing, Sums};
use crate::base::digits;
use crate::compile::Compilation;

/// A line: how far it stands in, and what it says.
pub type PageLine = (usize, String);

/// Characters of a title, and of a column of figures.
const TITLE: (usize, usize) = (24, 48);
const COLUMN: usize = 12;

/// The page, line by line; none where the plan says no sum.
#[must_use]
pub fn lines(compilation: &Compilation, wanted: &Wanted, columns: usize) -> Option<Vec<PageLine>> {
    let binding = Binding::new(compilation, wanted);
    let account = Account::of(&binding)?;
    let mut page = Page {
        account: &account,
        lines: vec![(0, binding.plan.title())],
        title: columns.saturating_sub(2 + 3 * COLUMN).clamp(TITLE.0, TITLE.1),
        columns,
    };
    page.all();
    Some(page.lines)
}

struct Page<'p, 't, 'a> {
    account: &'p Account<'t, 'a>,
    lines: Vec<PageLine>,
    title: usize,
    columns: usize,
}

impl Page<'_, '_, '_> {
    fn line(&mut self, indent: usize, text: impl Into<String>) {
        self.lines.push((indent, text.into().trim_end().to_owned()));
    }

    fn heading(&mut self, text: &str) {
        self.line(0, "");
        self.line(0, text);
    }

    fn all(&mut self) {
        self.line(0, "");
        for (label, sum) in self.account.rows() {
            let line = format!("{}{}", padded(&label, self.title), right(&sum, COLUMN + 4));
            self.line(2, line);
        }
        for words in self.account.beside() {
            self.line(2, words);
        }
        let groups: Vec<Group> = self
            .account
            .by_swap()
            .into_iter()
            .map(|(group, _)| group)
            .collect();
        if groups.len() > 1 {
            self.groups("By swap", &groups);
        }
        let stages = self.account.by_stage();
        if stages.len() > 1 {
            self.groups("By the stage that needs it first", &stages);
        }
        let items: Vec<&Item> = self.account.account.items.iter().collect();
        let buys = items.iter().copied().filter(|item| item.kind != Kind::Sale);
        self.items("To buy, hire and make", &buys.collect::<Vec<_>>());
        let sales = items.iter().copied().filter(|item| item.kind == Kind::Sale);
        self.items("To sell", &sales.collect::<Vec<_>>());
    }

    fn groups(&mut self, title: &str, groups: &[Group]) {
        let currency = self.account.currency();
        let head = format!(
            "{}{}{}{}",
            padded(&format!("{title}, {currency}"), self.title + 2),
            right("spent", COLUMN),
            right("to spend", COLUMN),
            right("sold for", COLUMN)
        );
        self.heading(&head);
        for group in groups {
            let sums = group.sums;
            if sums
                == (Sums {
                    unknown: sums.unknown,
                    ..Sums::default()
                })
            {
                // Nothing of it has a price.
                continue;
            }
            let figure = |cents: i64| match cents {
                0 => String::new(),
                cents => digits::sum(cents),
            };
            let line = format!(
                "{}{}{}{}",
                padded(&cut(&group.called, self.title - 1), self.title),
                right(&figure(sums.spent), COLUMN),
                right(&figure(sums.to_spend), COLUMN),
                right(&figure(sums.came_in.saturating_add(sums.to_come_in)), COLUMN)
            );
            self.line(2, line);
        }
    }

    fn items(&mut self, title: &str, items: &[&Item]) {
        if items.is_empty() {
            return;
        }
        self.heading(title);
        for item in items {
            let done = matches!(item.standing, Standing::Done(_));
            let tick = if done { "[x]" } else { "[ ]" };
            let sum = item
                .cents
                .map_or_else(String::new, |cents| self.account.money(cents));
            let line = format!(
                "{tick} {}{}",
                padded(&cut(&self.account.called(item), self.title - 1), self.title),
                right(&sum, COLUMN + 2)
            );
            let standing = self.account.standing(item);
            if line.chars().count() + standing.chars().count() + 4 <= self.columns {
                self.line(2, format!("{line}  {standing}"));
            } else {
                self.line(2, line);
                self.line(6, standing);
            }
        }
    }
}
