//! `worth`: which swaps, for how much money and how many hours. The page comes from the binder; here sums are turned into the plan's currency,
//! and it is fitted to the terminal.

use super::command_line::{Sum, Worth};
use super::lint::compiled;
use super::state::unwalked;
use super::surroundings::{Surroundings, today};
use super::talk::{self, Progress};
use super::{Outcome, Trouble};
use crate::analysis::money::Rates;
use crate::binder::Wanted;
use crate::binder::choices::Purse;
use crate::binder::worth_page::{NoPage, lines};
use crate::compile::Compilation;
use crate::press::terminal::{visible, wrapped};

pub(super) fn worth(asked: &Worth, around: &Surroundings) -> Result<Outcome, Trouble> {
    let progress = Progress::new(around);
    let done = compiled(&asked.path, &progress);
    progress.done();
    let compilation = done?.compilation;
    if compilation.unwalked {
        return Err(unwalked());
    }
    let cents = asked
        .spend
        .map(|sum| in_currency(&compilation, sum))
        .transpose()?;
    #[expect(clippy::cast_possible_truncation, reason = "at most a year of minutes")]
    let minutes = asked.hours.map(|minutes| minutes.0.round() as i64);
    let wanted = Wanted::printed(today());
    progress.now("Trying the sets");
    let columns = around.columns();
    let page = lines(&compilation, &wanted, Purse { cents, minutes }, columns);
    progress.done();
    let page = page.map_err(|NoPage(why)| Trouble::new(why))?;
    talk::show(&fitted(&page, columns))
}

/// Rows of figures as they are where they fit; what is too long goes on below, two further in.
pub(super) fn fitted(page: &[(usize, String)], columns: usize) -> String {
    let mut text = String::new();
    for (indent, line) in page {
        let indent = *indent;
        let shown = visible(line);
        let space = " ".repeat(indent);
        // Rows of figures stay as they are where they fit.
        if indent + shown.chars().count() <= columns {
            text.push_str(format!("{space}{shown}").trim_end());
            text.push('\n');
            continue;
        }
        let room = columns.saturating_sub(indent + 2).max(16);
        for (nth, part) in wrapped(&shown, room, 0).iter().enumerate() {
            let space = if nth == 0 { indent } else { indent + 2 };
            text.push_str(&format!("{}{part}\n", " ".repeat(space)));
        }
    }
    text
}

/// A sum of the command line in the currency of the account.
fn in_currency(done: &Compilation, sum: Sum) -> Result<i64, Trouble> {
    let own = done.money().currency;
    match (sum.currency, own) {
        (None, _) => Ok(sum.cents),
        (Some(currency), Some(own)) => Rates::of(&done.plan).turn(sum.cents, currency, own).ok_or_else(|| {
            let (one, other) = (String::from_utf8_lossy(&currency), String::from_utf8_lossy(&own));
            Trouble::new(format!(
                "The plan's account is in {other}, and it gives no rate for {one}. Give one in the plan's block, such as rate 1 {one} is 0.80 {other}."
            ))
        }),
        (Some(_), None) => Err(Trouble::new(
            "The plan gives no prices, so that a sum of money bounds nothing. A price is written cost 240 GBP.".to_owned(),
        )),
    }
}
