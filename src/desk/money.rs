//! `money`: the money account on a terminal. The page comes from the binder; here it is fitted to the terminal.

use super::command_line::MoneyAsked;
use super::lint::compiled;
use super::state::unwalked;
use super::surroundings::{Surroundings, today};
use super::talk::{self, Progress};
use super::worth::fitted;
use super::{Outcome, Trouble};
use crate::binder::{Wanted, money_page};

pub(super) fn money(asked: &MoneyAsked, around: &Surroundings) -> Result<Outcome, Trouble> {
    let progress = Progress::new(around);
    let done = compiled(&asked.path, &progress);
    progress.done();
    let compilation = done?.compilation;
    if compilation.unwalked {
        return Err(unwalked());
    }
    let columns = around.columns();
    let page = money_page::lines(&compilation, &Wanted::printed(today()), columns);
    let page = page.ok_or_else(|| {
        Trouble::new("The plan gives no sum of money. A budget is written `budget 1800 GBP` in the plan's block, a price `cost 240 GBP`.")
    })?;
    talk::show(&fitted(&page, columns))
}
