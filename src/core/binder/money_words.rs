//! The money account in words: what each sum is for, how far it has come, and what all of it comes to. For screen and paper; knows no layout.

use super::binding::Binding;
use super::words::{capital, counted};
use crate::analysis::money::{For, Item, Kind, MoneyAccount, Standing, Sums};
use crate::base::digits;
use crate::plan::model::{Id, Stage, Swap};

/// A row of figures with what it is of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Group {
    pub called: String,
    pub sums: Sums,
}

/// What the account is asked for in words.
#[derive(Debug)]
pub struct Account<'t, 'a> {
    pub binding: &'t Binding<'a>,
    pub account: &'a MoneyAccount,
}

impl<'t, 'a> Account<'t, 'a> {
    /// None where the plan says no sum.
    #[must_use]
    pub fn of(binding: &'t Binding<'a>) -> Option<Self> {
        let account = binding.compilation.money();
        (account.currency.is_some() && !binding.compilation.unwalked).then_some(Self { binding, account })
    }

    #[must_use]
    pub fn money(&self, cents: i64) -> String {
        digits::money(cents, self.account.currency.unwrap_or(*b"   "))
    }

    #[must_use]
    pub fn currency(&self) -> String {
        String::from_utf8_lossy(&self.account.currency.unwrap_or(*b"   ")).into_owned()
    }

    /// "Bucket seat with frame", "Drive-on ramp, hire, 2 days".
    #[must_use]
    pub fn called(&self, item: &Item) -> String {
        let head = item.what.head(self.binding.plan);
        let called = capital(&head.called());
        match (item.kind, item.what) {
            (Kind::Hire(Some(days)), _) => {
                format!("{called}, hire, {}", counted(days as usize, "day", "days"))
            }
            (Kind::Hire(None), _) if item.guessed_days => format!("{called}, hire, taken as one day"),
            (Kind::Hire(None), _) => format!("{called}, hire"),
            (Kind::Make, _) => format!("{called}, to make"),
            (Kind::Borrow, _) => format!("{called}, borrowed"),
            (Kind::Buy, For::Joint(_)) => format!("{called}, new fixings"),
            (Kind::Buy | Kind::Sale, _) => called,
        }
    }

    /// "bought 2026-04-18", "if worn".
    #[must_use]
    pub fn standing(&self, item: &Item) -> String {
        match (item.kind, item.standing) {
            (Kind::Sale, Standing::Done(day)) => format!("sold {day}"),
            (Kind::Sale, _) => "to be sold".to_owned(),
            (_, Standing::Done(day)) => {
                let planned = item.planned.map_or_else(String::new, |planned| {
                    format!(", planned {}", self.money(planned))
                });
                format!("bought {day}{planned}")
            }
            (_, Standing::ToCome) if item.cents.is_none() => "price not known".to_owned(),
            (_, Standing::ToCome) => String::new(),
            (_, Standing::Perhaps) => "only if the old one is worn".to_owned(),
        }
    }

    /// By what wants it: the job in any case first, then each swap, then what several share.
    #[must_use]
    pub fn by_swap(&self) -> Vec<(Group, Vec<&'a Item>)> {
        let mut all = crate::analysis::worth::by_swap(self.account);
        all.sort_by_key(|(swaps, _)| (swaps.len() > 1, swaps.clone()));
        all.into_iter()
            .map(|(swaps, items)| {
                let names: Vec<String> = swaps.iter().map(|&swap| self.swap(swap)).collect();
                let called = match names.as_slice() {
                    [] => "In no swap".to_owned(),
                    [one] => one.clone(),
                    some => format!("Shared: {}", some.join("; ")),
                };
                let sums = Sums::of(items.iter().copied());
                (Group { called, sums }, items)
            })
            .collect()
    }

    fn swap(&self, swap: Id<Swap>) -> String {
        let swap = self.binding.plan.swaps.get(swap);
        swap.map_or_else(String::new, |swap| capital(&swap.head.called()))
    }

    /// By the stage that needs it first, in the order of work; what no step needs comes last.
    #[must_use]
    pub fn by_stage(&self) -> Vec<Group> {
        let plan = self.binding.plan;
        let stages: Vec<Option<Id<Stage>>> =
            plan.stage_order.iter().copied().map(Some).chain([None]).collect();
        stages
            .into_iter()
            .filter_map(|stage| {
                let mut items = self
                    .account
                    .items
                    .iter()
                    .filter(|item| item.stage == stage)
                    .peekable();
                items.peek()?;
                let called = match stage {
                    Some(stage) => plan
                        .stages
                        .get(stage)
                        .map_or_else(String::new, |stage| capital(&stage.head.called())),
                    None => "No stage".to_owned(),
                };
                Some(Group {
                    called,
                    sums: Sums::of(items),
                })
            })
            .collect()
    }

    /// The account in rows: what, and how much.
    #[must_use]
    pub fn rows(&self) -> Vec<(String, String)> {
        let sums = self.account.sums();
        let mut all = Vec::new();
        if let Some(budget) = self.account.budget {
            all.push(("Budget".to_owned(), self.money(budget)));
        }
        all.push(("Spent".to_owned(), self.money(sums.spent)));
        all.push(("To spend".to_owned(), self.money(sums.to_spend)));
        if sums.came_in > 0 {
            all.push(("Came in".to_owned(), self.money(sums.came_in)));
        }
        if let Some(left) = self.account.left() {
            all.push(("Left when all is paid".to_owned(), self.money(left)));
        }
        if sums.to_come_in > 0 {
            all.push(("To come in for old parts".to_owned(), self.money(sums.to_come_in)));
            if let Some(left) = self.account.left() {
                all.push((
                    "Left with that".to_owned(),
                    self.money(left.saturating_add(sums.to_come_in)),
                ));
            }
        }
        all
    }

    /// What is in no sum, and at what rate sums were turned, in sentences.
    #[must_use]
    pub fn beside(&self) -> Vec<String> {
        let sums = self.account.sums();
        let mut all = Vec::new();
        if sums.unknown > 0 {
            let prices = counted(sums.unknown, "price is", "prices are");
            all.push(format!("{prices} not known, and in no sum."));
        }
        if sums.perhaps > 0 {
            all.push(format!(
                "{} more if old parts turn out to be worn.",
                self.money(sums.perhaps)
            ));
        }
        let rates = self
            .binding
            .plan
            .about
            .as_ref()
            .map_or(&[][..], |about| &about.rates);
        for rate in rates {
            let shown = |money: crate::plan::model::Money| format!("{} {}", money.number, money.currency());
            all.push(format!(
                "{} is taken as {}.",
                shown(rate.of.value),
                shown(rate.is.value)
            ));
        }
        if self.account.items.iter().any(|item| item.guessed_days) {
            all.push("What is hired for days that nobody gives is taken as hired for one day.".to_owned());
        }
        all
    }
}
