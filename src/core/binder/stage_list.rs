//! The list of stages on "The job on one page": what is known of hours and kilograms becomes rows and their drawing, and what is not known
//! is said. Knows no other list of that page.

use super::binding::Binding;
use super::document::{Block, Cell, StageList, StageRow};
use super::drawings::metrics;
use super::drawings::stages::{self, Bar, Masses, Row, Stages};
use super::figures::{decimal, duration, long_duration};
use super::mass_account::class_minimum;
use super::masses::{self, ShownMass};
use super::sizes::T12;
use super::tables::{cell, column, figures as figure_column, right, row, table, text};
use super::words::{capital, counted, run, strong};
use crate::analysis::account::Reckoner;
use crate::analysis::timing::{Timed, Timing};
use crate::plan::model::{Id, Step, Target};
use crate::reckon::mass;

/// Height of a row, mm, and from so many stages on.
const ROW: f64 = 13.5;
const LOW_ROW: f64 = 9.0;
const FEW: usize = 9;
const NAME_LINES: usize = 2;
/// Rows of one drawing are no higher than this together, mm: one that does not fit on a page would be lost.
const HIGHEST: f64 = 150.0;

/// A stage as it is listed.
struct Stage {
    number: Option<String>,
    title: String,
    last: Id<Step>,
    steps: Vec<Timed>,
}

/// What is known of a plan's stages.
pub struct Known<'a> {
    stages: Vec<Stage>,
    timing: Option<&'a Timing>,
    masses: Option<Weighed>,
    /// Why a column is left out.
    pub notes: Vec<String>,
}

struct Weighed {
    masses: Masses,
    after: Vec<f64>,
    unit: &'static str,
}

const DRAWING: &str = "stages";

/// Works out hours and masses of all stages.
#[must_use]
pub fn known<'a>(binding: &Binding<'a>) -> Known<'a> {
    let plan = binding.plan;
    let timing = binding.compilation.timing();
    let timed = |step: Id<Step>| {
        let all = timing.as_ref().map(|timing| timing.steps.as_slice());
        all.and_then(|all| all.get(binding.place(step))).copied()
    };
    let stages: Vec<Stage> = binding
        .stages()
        .into_iter()
        .filter_map(|(stage, steps)| {
            Some(Stage {
                number: stage.map(|stage| binding.stage_number(stage).to_string()),
                title: match stage {
                    Some(stage) => capital(&plan.stages[stage].head.called()),
                    None => "The steps".to_owned(),
                },
                last: *steps.last()?,
                steps: steps.into_iter().filter_map(timed).collect(),
            })
        })
        .collect();
    let mut notes = Vec::new();
    let steps = plan.order.len();
    let timing = timing.filter(|timing| {
        match timing.unsaid {
            0 => {}
            unsaid if unsaid == steps => {
                notes.push("No step says how long it takes: there are no hours here.".to_owned());
            }
            unsaid => notes.push(format!(
                "{} without a time: the hours are longer than drawn.",
                counted(unsaid, "step", "steps")
            )),
        }
        timing.unsaid < steps
    });
    let masses = weighed(binding, &stages, &mut notes);
    Known {
        stages,
        timing,
        masses,
        notes,
    }
}

/// Masses after each stage, or why there are none.
fn weighed(binding: &Binding<'_>, stages: &[Stage], notes: &mut Vec<String>) -> Option<Weighed> {
    let weights = &binding.weights;
    let account = binding.compilation.account();
    let what = if binding.is_machine() { "machine" } else { "car" };
    if account.first().is_none() {
        notes.push(format!(
            "The mass of the {what} is not known: there are no kilograms here."
        ));
        return None;
    }
    let kg = |kg: f64| masses::in_unit(binding, kg);
    let mut after = Vec::new();
    let mut unknown = usize::from(account.start.is_none());
    let reckoner = Reckoner::new(account, weights, &binding.compilation.walk);
    for stage in stages {
        let total = reckoner.at(Some(stage.last))?.total;
        unknown = unknown.max(total.unknown);
        // A path with an unknown mass in it would be drawn wrong.
        after.extend(total.whole().map(|estimate| kg(estimate.kg)));
    }
    let Some(first) = account.start.as_ref().filter(|_| unknown == 0) else {
        let masses = counted(unknown, "mass is", "masses are");
        notes.push(format!(
            "{} not known: there are no kilograms here.",
            capital(&masses)
        ));
        return None;
    };
    let first_kg = kg(first.kg);
    if after.iter().all(|mass| (mass - first_kg).abs() < 1e-9) {
        notes.push(format!("No stage changes what the {what} weighs."));
        return None;
    }
    let about = binding.about();
    let target = about.and_then(|about| about.target).map(|said| match said.value {
        Target::Save(mass) => kg(first.kg - mass.base()),
        Target::Reach(mass) => kg(mass.base()),
    });
    if account.class_has_more(binding.plan) != 0.0 {
        notes.extend(class_minimum(binding).map(|words| {
            format!("The class minimum of {words} stands here as what the {what} then weighs as it was weighed here.")
        }));
    }
    let unit = masses::unit(binding);
    let word = if unit == "lb" { "Pounds" } else { "Kilograms" };
    Some(Weighed {
        masses: Masses {
            head: format!("{word} on the {what}"),
            places: places(binding, first),
            first: first_kg,
            range: (
                after.iter().copied().fold(first_kg, f64::min),
                after.iter().copied().fold(first_kg, f64::max),
            ),
            target,
            minimum: about
                .and_then(|about| about.class_minimum)
                .map(|said| kg(said.value.base() - account.class_has_more(binding.plan))),
        },
        after,
        unit,
    })
}

fn places(binding: &Binding<'_>, first: &mass::MassEstimate) -> i32 {
    masses::places(binding, ShownMass::reckoned(binding, first).last).min(1)
}

impl Known<'_> {
    /// Minutes from beginning to end, where some steps run side by side and all times are known.
    #[must_use]
    pub fn shorter(&self, work: f64) -> Option<f64> {
        let timing = self.timing.as_ref()?;
        (timing.unsaid == 0 && timing.length < work - 0.5).then_some(timing.length)
    }

    /// Rows as high as they should be, or as low as they can be: a name needs its lines.
    #[must_use]
    pub fn row_heights(&self) -> Vec<f64> {
        if self.stages.len() > FEW {
            vec![LOW_ROW]
        } else {
            vec![ROW, 12.5, 11.5, 10.5, LOW_ROW]
        }
    }

    fn names(&self, stage: &Stage) -> Vec<String> {
        let until = match (&self.timing, &self.masses) {
            (Some(_), _) => stages::hours(true).0 - 1.0,
            (None, Some(_)) => stages::KILOGRAMS.0 - 8.0,
            (None, None) => stages::TICKS - 3.0,
        };
        metrics::at_most(&stage.title, T12.mm(), until - stages::NAMES, NAME_LINES)
    }

    fn height(&self, stage: &Stage, least: f64) -> f64 {
        let lines = u32::try_from(self.names(stage).len()).unwrap_or(1);
        least.max(f64::from(lines) * T12.pitch + 0.5)
    }

    /// Height of all drawings with rows of this height, mm.
    #[must_use]
    pub fn high(&self, row: f64) -> f64 {
        self.pieces(row).iter().map(|(list, _)| list.height() + 9.0).sum()
    }

    /// The drawings, with the stage that each begins with.
    fn pieces(&self, row: f64) -> Vec<(Stages, usize)> {
        let mut pieces = Vec::new();
        let (mut from, mut high) = (0, 0.0);
        for (nth, stage) in self.stages.iter().enumerate() {
            let height = self.height(stage, row);
            if high + height > HIGHEST && nth > from {
                pieces.push((self.piece(from, nth, row), from));
                (from, high) = (nth, 0.0);
            }
            high += height;
        }
        if from < self.stages.len() {
            pieces.push((self.piece(from, self.stages.len(), row), from));
        }
        pieces
    }

    fn piece(&self, from: usize, to: usize, row: f64) -> Stages {
        let stages = self.stages.get(from..to).unwrap_or_default();
        let mass = |nth: usize| {
            let after = self.masses.as_ref().and_then(|weighed| weighed.after.get(nth));
            after.copied().unwrap_or_default()
        };
        let masses = self.masses.as_ref().map(|weighed| Masses {
            first: from.checked_sub(1).map_or(weighed.masses.first, mass),
            ..weighed.masses.clone()
        });
        Stages {
            rows: stages
                .iter()
                .zip(from..)
                .map(|(stage, nth)| Row {
                    number: stage.number.clone(),
                    height: self.height(stage, row),
                    bar: self.timing.as_ref().and_then(|_| bar(stage)),
                    mass: mass(nth),
                })
                .collect(),
            length: self.timing.as_ref().map(|timing| timing.length),
            masses,
            begun: from > 0,
            unfinished: to < self.stages.len(),
            title: self.message(),
            alt: self.alt(from, to),
        }
    }

    /// "48 h from beginning to end; 832 kg at the end, 2 kg under the target of 834 kg".
    fn message(&self) -> String {
        let mut said = Vec::new();
        if let Some(timing) = &self.timing {
            let more = if timing.unsaid > 0 { "more than " } else { "" };
            said.push(format!(
                "{more}{} from beginning to end",
                long_duration(timing.length)
            ));
        }
        if let Some(weighed) = &self.masses
            && let Some(last) = weighed.after.last()
        {
            let figure = |mass: f64| format!("{} {}", decimal(mass, weighed.masses.places), weighed.unit);
            let mut words = format!("{} at the end", figure(*last));
            if let Some(target) = weighed.masses.target {
                // Who takes one printed figure from the other finds the third.
                let tenth = 10f64.powi(weighed.masses.places);
                let apart = ((last * tenth).round() - (target * tenth).round()) / tenth;
                let (apart, side) = (apart.abs(), if apart <= 0.0 { "under" } else { "over" });
                words = format!(
                    "{words}, {} {side} the target of {}",
                    figure(apart),
                    figure(target)
                );
            }
            said.push(words);
        }
        if said.is_empty() {
            said.push(counted(self.stages.len(), "stage", "stages"));
        }
        capital(&said.join("; "))
    }

    fn alt(&self, from: usize, to: usize) -> String {
        let mut alt = String::from("The stages, one a row.");
        for (nth, stage) in self.stages.iter().enumerate().take(to).skip(from) {
            let number = stage
                .number
                .as_ref()
                .map_or_else(String::new, |number| format!("{number}, "));
            let mut facts = Vec::new();
            if self.timing.is_some() {
                facts.push(match bar(stage) {
                    Some(bar) => format!(
                        "{} of work between {} and {}, {}",
                        bar.label,
                        duration(bar.from),
                        duration(bar.to),
                        spare(stage)
                    ),
                    None => "no time given".to_owned(),
                });
            }
            if let Some(weighed) = &self.masses
                && let Some(mass) = weighed.after.get(nth)
            {
                facts.push(format!(
                    "{} {} after it",
                    decimal(*mass, weighed.masses.places),
                    weighed.unit
                ));
            }
            let colon = if facts.is_empty() { "" } else { ": " };
            alt.push_str(&format!(" {number}{}{colon}{}.", stage.title, facts.join("; ")));
        }
        if let Some(weighed) = &self.masses {
            let figure = |mass: f64| format!("{} {}", decimal(mass, weighed.masses.places), weighed.unit);
            alt.push_str(&format!(
                " {} at the first weighing.",
                figure(weighed.masses.first)
            ));
            for (mass, called) in [
                (weighed.masses.target, "Target"),
                (weighed.masses.minimum, "Class minimum"),
            ] {
                alt.extend(mass.map(|mass| format!(" {called} {}.", figure(mass))));
            }
        }
        alt
    }

    /// The lists as blocks, with rows of this height.
    #[must_use]
    pub fn blocks(&self, row: f64) -> Vec<Block> {
        let pieces = self.pieces(row).into_iter();
        pieces
            .map(|(list, from)| {
                let mut drawing = stages::draw(&list, &name(from)).shown_by_key();
                drawing.caption =
                    (drawing.caption).filter(|_| self.timing.is_some() || self.masses.is_some());
                Block::Stages(StageList {
                    drawing,
                    rows: self.rows(&list, from),
                    table: self.table(from, list.rows.len()),
                })
            })
            .collect()
    }

    fn rows(&self, list: &Stages, from: usize) -> Vec<StageRow> {
        let mut top = stages::HEAD;
        let stages = self.stages.iter().zip(1..).skip(from);
        stages
            .zip(&list.rows)
            .map(|((stage, nth), row)| {
                top += row.height;
                StageRow {
                    names: self.names(stage),
                    strong: self.timing.is_none() || spare(stage) == NO_TIME,
                    top: top - row.height,
                    height: row.height,
                    proof: format!("done/stage/{nth}"),
                }
            })
            .collect()
    }

    /// The same in letters, for a form without a drawing to tick on.
    fn table(&self, from: usize, count: usize) -> super::document::Table {
        let mut columns = vec![column("", 14), column("Stage", 0)];
        if self.timing.is_some() {
            columns.extend([right("Hours", 36), column("Time to spare", 36)]);
        }
        if let Some(weighed) = &self.masses {
            columns.push(figure_column(&format!("{} after it", weighed.unit), 30));
        }
        columns.push(column("Done", 14));
        let stages = self.stages.iter().enumerate().skip(from).take(count);
        let rows = stages
            .map(|(nth, stage)| {
                let number = stage
                    .number
                    .clone()
                    .map_or(Cell::Empty, |number| cell(vec![strong(number)]));
                let mut cells = vec![number, text(stage.title.clone())];
                if self.timing.is_some() {
                    cells.push(bar(stage).map_or(Cell::Empty, |bar| cell(vec![strong(bar.label)])));
                    cells.push(text(spare(stage)));
                }
                if let Some(weighed) = &self.masses {
                    let mass = weighed.after.get(nth).copied().unwrap_or_default();
                    cells.push(cell(vec![run(decimal(mass, weighed.masses.places))]));
                }
                cells.push(Cell::Square);
                row(cells)
            })
            .collect();
        table("", columns, rows, 9)
    }
}

fn name(from: usize) -> String {
    format!("{DRAWING}-{}", from + 1)
}

const NO_TIME: &str = "no time to spare";

/// "no time to spare", "2 h to spare", "time to spare not known".
fn spare(stage: &Stage) -> String {
    let known: Vec<Option<f64>> = stage.steps.iter().map(|timed| timed.spare).collect();
    if known.iter().flatten().any(|spare| *spare <= 0.0) {
        return NO_TIME.to_owned();
    }
    match known.into_iter().collect::<Option<Vec<f64>>>() {
        Some(all) => {
            let least = all.into_iter().fold(f64::INFINITY, f64::min);
            if least.is_finite() {
                format!("{} to spare", duration(least))
            } else {
                String::new()
            }
        }
        None => "time to spare not known".to_owned(),
    }
}

/// None where no step of it has a time.
fn bar(stage: &Stage) -> Option<Bar> {
    let work: Vec<f64> = stage
        .steps
        .iter()
        .filter_map(|timed| Some(timed.takes?.likely()))
        .collect();
    if work.is_empty() {
        return None;
    }
    let timed = || stage.steps.iter().filter(|timed| timed.takes.is_some());
    let from = timed().map(|timed| timed.starts).fold(f64::INFINITY, f64::min);
    let to = timed().map(|timed| timed.ends).fold(0.0, f64::max);
    let mut black: Vec<(f64, f64)> = Vec::new();
    let mut tight: Vec<(f64, f64)> = timed()
        .filter(|timed| timed.spare == Some(0.0))
        .map(|timed| (timed.starts, timed.ends))
        .collect();
    tight.sort_by(|a, b| a.0.total_cmp(&b.0));
    for (start, end) in tight {
        match black.last_mut() {
            Some(last) if start <= last.1 + 1e-6 => last.1 = last.1.max(end),
            _ => black.push((start, end)),
        }
    }
    let mut label = short(work.iter().sum());
    if work.len() < stage.steps.len() {
        label.push_str(" and more");
    }
    Some(Bar {
        from,
        to,
        unknown: timed().any(|timed| timed.spare.is_none()),
        black,
        label,
    })
}

/// "4 h 05", "45 min", "12 h".
fn short(minutes: f64) -> String {
    let text = duration(minutes);
    match text.trim_end_matches(" min").split_once(" h ") {
        Some((hours, rest)) => format!("{hours} h {rest:0>2}"),
        None => text,
    }
}
