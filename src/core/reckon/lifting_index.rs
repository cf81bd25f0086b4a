//! From a recommended weight limit to an index: of one task, and of several that one person does in turn. Knows nothing of how a limit
//! comes about.

use super::niosh::{Duration, Lift, Rounding, System, frequency_multiplier, multipliers};
use super::unfit::{Unfit, not_negative, positive};

/// LI = L/RWL. Over 1 some people are at risk, over 3 many (NIOSH 94-110, 1.4.4 and 2.3). Endless where nothing may be lifted so.
///
/// # Errors
/// A load or a limit under nothing; nothing lifted where nothing may be.
pub fn lifting_index(load: f64, limit: f64) -> Result<f64, Unfit> {
    let (load, limit) = (not_negative("load", load)?, not_negative("limit", limit)?);
    if load == 0.0 && limit == 0.0 {
        return Err(Unfit::NotPositive { what: "limit" });
    }
    Ok(load / limit)
}

/// One of several tasks that one person does in turn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Task {
    /// How it is lifted.
    pub lift: Lift,
    /// What is lifted on average, and at most.
    pub average: f64,
    /// The most that is lifted.
    pub most: f64,
}

/// What the manual's form for several tasks holds for one of them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// The limit with the frequency left out, and with it.
    pub free_limit: f64,
    /// With the frequency.
    pub limit: f64,
    /// Index of the most with the frequency left out; of the average with it.
    pub free_index: f64,
    /// The index of the average, with the frequency.
    pub index: f64,
}

/// FIRWL, STRWL, FILI and STLI of one task (NIOSH 94-110, 1.3.6 and figure 5).
///
/// # Errors
/// A measure that is no fit one; a limit of nothing.
pub fn line(task: &Task, rounding: Rounding) -> Result<Line, Unfit> {
    let multipliers = multipliers(&task.lift, rounding)?;
    let free_limit = positive(
        "limit",
        task.lift.system.load_constant() * multipliers.without_frequency(),
    )?;
    let limit = free_limit * positive("frequency multiplier", multipliers.frequency)?;
    Ok(Line {
        free_limit,
        limit,
        free_index: not_negative("most", task.most)? / free_limit,
        index: not_negative("average", task.average)? / limit,
    })
}

/// The composite lifting index: CLI = STLI1 + sum FILIk (1/FM(F1 + ... + Fk) - 1/FM(F1 + ... + Fk-1)), the tasks from the greatest STLI
/// down. The column of the frequency table is that of each task's own height.
///
/// # Errors
/// No task; tasks in different units; a task that is no fit one; more lifts a minute than the table allows.
pub fn composite_index(tasks: &[Task], duration: Duration, rounding: Rounding) -> Result<f64, Unfit> {
    let Some(first) = tasks.first() else {
        return Err(Unfit::TooFew {
            what: "tasks",
            least: 1,
        });
    };
    let mut lines = Vec::with_capacity(tasks.len());
    for task in tasks {
        if task.lift.system != first.lift.system {
            return Err(Unfit::NotTabulated { what: "units" });
        }
        let knuckles = match task.lift.system {
            System::Metric => 75.0,
            System::Inch => 30.0,
        };
        let high = task.lift.vertical_at_origin >= knuckles;
        lines.push((line(task, rounding)?, task.lift.frequency, high));
    }
    lines.sort_by(|(a, ..), (b, ..)| b.index.total_cmp(&a.index));
    let mut index = 0.0;
    let mut frequency = 0.0;
    for (nth, (line, f, high)) in lines.iter().enumerate() {
        let before = frequency;
        frequency += f;
        if nth == 0 {
            index = line.index;
            continue;
        }
        let over = |frequency: f64| {
            let multiplier = frequency_multiplier(frequency, duration, *high)?;
            Ok(1.0 / positive("frequency multiplier", multiplier)?)
        };
        index += line.free_index * (over(frequency)? - over(before)?);
    }
    Ok(index)
}
