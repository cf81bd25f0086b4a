//! Work of which some pieces have to wait for others: how early and how late each can begin, what time it has to spare, and how long the
//! whole takes. Forward and backward pass of the critical path method, as every text on planning of projects has it. Any one unit of time.
//! Knows nothing of people: where one person does two pieces, one waits for the other.

use super::unfit::{Unfit, not_negative};

/// A piece of work.
#[derive(Debug, Clone, PartialEq)]
pub struct Activity {
    /// How long it takes.
    pub takes: f64,
    /// What has to be done first, by place in the list; all of it stands further up.
    pub behind: Vec<usize>,
}

/// When a piece of work can be done, counted from the beginning of the whole.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Times {
    /// No piece before it is done sooner.
    pub early_start: f64,
    /// Its end, beginning then.
    pub early_finish: f64,
    /// Later than that the whole takes longer.
    pub late_start: f64,
    /// Its end, beginning then.
    pub late_finish: f64,
}

impl Times {
    /// How long it can wait, or take longer, without the whole taking longer. Rounding of sums is not time to spare.
    #[must_use]
    pub fn spare(self) -> f64 {
        let spare = self.late_start - self.early_start;
        if spare > 1e-9 * self.late_finish.abs() {
            spare
        } else {
            0.0
        }
    }
}

/// The whole.
#[derive(Debug, Clone, PartialEq)]
pub struct Network {
    /// From the beginning to the last end.
    pub length: f64,
    /// In the order in which the pieces were given.
    pub times: Vec<Times>,
}

/// Reckons the times of all pieces: ES = the latest EF before it, LF = the earliest LS behind it.
///
/// # Errors
/// A time under nothing; a piece that waits for itself or for one further down.
pub fn network(activities: &[Activity]) -> Result<Network, Unfit> {
    let mut times: Vec<Times> = Vec::with_capacity(activities.len());
    for activity in activities {
        let takes = not_negative("time", activity.takes)?;
        let mut start: f64 = 0.0;
        for &before in &activity.behind {
            let before = times.get(before).ok_or(Unfit::Outside {
                what: "what it waits for",
                least: 0.0,
                most: as_figure(times.len()),
            })?;
            start = start.max(before.early_finish);
        }
        times.push(Times {
            early_start: start,
            early_finish: start + takes,
            ..Times::default()
        });
    }
    let length = times.iter().map(|times| times.early_finish).fold(0.0, f64::max);
    let mut latest = vec![length; times.len()];
    for (at, activity) in activities.iter().enumerate().rev() {
        let finish = latest.get(at).copied().unwrap_or(length);
        let start = finish - activity.takes;
        if let Some(own) = times.get_mut(at) {
            own.late_finish = finish;
            own.late_start = start;
        }
        for &before in &activity.behind {
            if let Some(until) = latest.get_mut(before) {
                *until = until.min(start);
            }
        }
    }
    Ok(Network { length, times })
}

/// Which pieces have no time to spare however long each piece takes: all others come before or behind them.
#[must_use]
pub fn on_every_path(activities: &[Activity]) -> Vec<bool> {
    let count = activities.len();
    // Nothing passes a piece by: each one above it leads to one no further down, each one below waits for one no further up.
    let mut first_behind = vec![count; count];
    for (at, activity) in activities.iter().enumerate() {
        for &before in &activity.behind {
            if let Some(first) = first_behind.get_mut(before) {
                *first = (*first).min(at);
            }
        }
    }
    let mut reached = vec![true; count];
    let mut furthest = 0;
    for (at, (reaches, first)) in reached.iter_mut().zip(&first_behind).enumerate() {
        *reaches = furthest <= at;
        furthest = furthest.max(*first);
    }
    // One more than the place of the last piece that each waits for; nothing where it waits for none.
    let mut nearest = usize::MAX;
    for (at, (activity, reaches)) in activities.iter().zip(&mut reached).enumerate().rev() {
        *reaches &= nearest > at;
        nearest = nearest.min(activity.behind.iter().max().map_or(0, |last| last + 1));
    }
    reached
}

fn as_figure(count: usize) -> f64 {
    f64::from(u32::try_from(count).unwrap_or(u32::MAX))
}
