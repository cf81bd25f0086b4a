//! Floor 5: what a plan and its walk come to: masses, the account, the centre as it moves, time. Each is worked out when it is first asked for, and
//! then kept: rules, binder, press and desk read it, and none makes its own. Words nothing.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use std::sync::{Arc, OnceLock};

use crate::plan::model::Plan;
use crate::walk::Walk;

pub mod account;
pub mod balance;
pub mod centre_path;
pub mod money;
pub mod pace;
pub mod runs;
pub mod timetable;
pub mod timing;
pub mod today;
pub mod vehicle_weighings;
pub mod work;
pub mod work_days;
pub mod worth;

use crate::weights::{Table, Weights};
use account::Account;
use centre_path::{Borne, Standing};
use money::MoneyAccount;
use timetable::{Laying, Stuck, Timetable};
use timing::Timing;
use vehicle_weighings::Weighing;
use work::Work;

/// What was worked out of one plan and its walk. It has to be asked with these, and no others.
#[derive(Debug, Clone, Default)]
pub struct Analysis {
    masses: OnceLock<Arc<Table>>,
    weighings: OnceLock<Vec<Weighing>>,
    account: OnceLock<Account>,
    standings: OnceLock<Option<Vec<Standing>>>,
    borne: OnceLock<Option<Vec<Borne>>>,
    timing: OnceLock<Option<Timing>>,
    work: OnceLock<Work>,
    money: OnceLock<MoneyAccount>,
    first_timetable: OnceLock<Option<Result<Timetable, Stuck>>>,
}

impl Analysis {
    /// Where it is known already what each thing weighs.
    #[must_use]
    pub fn over(masses: Arc<Table>) -> Self {
        Self {
            masses: OnceLock::from(masses),
            ..Self::default()
        }
    }

    /// Masses of the plan's things; the table behind them is made once.
    #[must_use]
    pub fn weights<'a>(&self, plan: &'a Plan) -> Weights<'a> {
        let table = self.masses.get_or_init(|| Arc::new(Table::of(plan)));
        Weights::over(plan, Arc::clone(table))
    }

    /// The weighings of the vehicle, in the order of their dates.
    #[must_use]
    pub fn weighings(&self, plan: &Plan) -> &[Weighing] {
        self.weighings.get_or_init(|| vehicle_weighings::all(plan))
    }

    /// What the job saves, and what it ends with, in kg; made once.
    #[must_use]
    pub fn account(&self, plan: &Plan, walk: &Walk) -> &Account {
        self.account
            .get_or_init(|| Account::of(&self.weights(plan), walk))
    }

    /// The centre through the walk; none where the first weighing does not tell it.
    #[must_use]
    pub fn standings(&self, plan: &Plan, walk: &Walk) -> Option<&[Standing]> {
        let all = self
            .standings
            .get_or_init(|| centre_path::standings(&self.weights(plan), walk));
        all.as_deref()
    }

    /// The mass of the vehicle through the walk; none where nothing tells it.
    #[must_use]
    pub fn borne(&self, plan: &Plan, walk: &Walk) -> Option<&[Borne]> {
        let all = self
            .borne
            .get_or_init(|| centre_path::borne(&self.weights(plan), walk, self.account(plan, walk)));
        all.as_deref()
    }

    /// The work in time; none where there is none.
    #[must_use]
    pub fn timing(&self, plan: &Plan, walk: &Walk) -> Option<&Timing> {
        self.timing.get_or_init(|| timing::timing(plan, walk)).as_ref()
    }

    /// The first layout of the work that is left in days, or why there is none; none where the plan says no days, or not from when on.
    pub fn first_timetable(&self, plan: &Plan, walk: &Walk) -> Option<&Result<Timetable, Stuck>> {
        let first = self.first_timetable.get_or_init(|| {
            let begins = timetable::begins(plan, None)?;
            let laying = Laying::new(plan, walk, &runs::likely(plan), begins)?;
            Some(laying.first())
        });
        first.as_ref()
    }

    /// What is spent, to be spent, and to come in.
    #[must_use]
    pub fn money(&self, plan: &Plan, walk: &Walk) -> &MoneyAccount {
        self.money.get_or_init(|| {
            // Only what is hired by the day, for days that nobody says, asks when the work is done.
            let days = money::asks_for_days(plan)
                .then(|| self.first_timetable(plan, walk)?.as_ref().ok())
                .flatten();
            MoneyAccount::of(plan, walk, self.work(plan), days)
        })
    }

    /// Who handles what, and what each act does to each joint.
    #[must_use]
    pub fn work(&self, plan: &Plan) -> &Work {
        self.work.get_or_init(|| Work::of(plan))
    }
}
