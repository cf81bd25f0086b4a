//! The job on one page: three large figures, the stages with their hours, and four short lists. Knows sums, and
//! no single act.

use super::binding::Binding;
use super::document::{BigFigure, Block, Cell, Line, Section, TickItem};
use super::figures::long_duration;
use super::masses::{self, Heft};
use super::tables::{cell, column, right, section, table, text, tick_row};
use super::words::{capital, counted, run, strong};
use super::{get_ready, hazards, mass_account, order_list};
use crate::base::finding::Severity;
use crate::plan::model::{Bearer, Does, Id, Load, Said, Step, Target, Thing};

/// Rows of one list: what does not fit stands on the page that the list is taken from.
const ROWS: usize = 4;
/// More steps than this are counted, not named.
const NAMED_STEPS: usize = 8;

#[must_use]
pub fn sections(binding: &Binding<'_>) -> Vec<Section> {
    if binding.plan.order.is_empty() {
        return Vec::new();
    }
    let mut blocks = vec![
        Block::Text(vec![run(opening(binding))]),
        Block::Figures(figures(binding)),
        stages(binding),
    ];
    let left = [hurt(binding), have(binding)];
    let right = [lifts(binding), stops(binding)];
    let kept = |lists: [Option<Block>; 2]| lists.into_iter().flatten().collect::<Vec<_>>();
    let (left, right) = (kept(left), kept(right));
    if !left.is_empty() || !right.is_empty() {
        blocks.push(Block::Halves(left, right));
    }
    section("one-page", "The job on one page", blocks)
}

/// "62 steps in 7 stages. Mo leads; Pip is needed for 5 steps: 2.7, 2.8."
fn opening(binding: &Binding<'_>) -> String {
    let stages = binding.plan.stage_order.len();
    let mut words = counted(binding.plan.order.len(), "step", "steps");
    if stages > 1 {
        words = format!("{words} in {stages} stages");
    }
    words.push('.');
    let crew = binding.about().map_or(&[][..], |about| about.crew.as_slice());
    if let Some((lead, others)) = crew.split_first() {
        words = format!("{words} {} leads.", binding.person(lead.value));
        for other in others {
            let steps: Vec<Id<Step>> = binding
                .plan
                .order
                .iter()
                .copied()
                .filter(|&step| {
                    binding.plan.steps[step]
                        .by
                        .iter()
                        .any(|said| said.value == other.value)
                })
                .collect();
            if !steps.is_empty() {
                let which = if steps.len() > NAMED_STEPS {
                    String::new()
                } else {
                    format!(": {}", binding.numbers(&steps))
                };
                words = format!(
                    "{words} {} is needed for {}{which}.",
                    binding.person(other.value),
                    counted(steps.len(), "step", "steps"),
                );
            }
        }
    }
    words
}

/// Hours of some steps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hours {
    /// Minutes.
    pub likely: f64,
    pub best: f64,
    pub worst: f64,
    /// Steps whose time the plan does not say.
    pub unsaid: usize,
}

impl Hours {
    #[must_use]
    pub fn text(self) -> String {
        long_duration(self.likely)
    }

    /// "; 18 h to 31 h if all goes best or worst; 3 steps without a time".
    #[must_use]
    pub fn note(self) -> String {
        let mut note = String::new();
        if self.best < self.likely || self.worst > self.likely {
            note = format!(
                "; {} if all goes best, {} if all goes worst",
                long_duration(self.best),
                long_duration(self.worst)
            );
        }
        if self.unsaid > 0 {
            note = format!("{note}; {} without a time", counted(self.unsaid, "step", "steps"));
        }
        note
    }
}

/// The plain sum of the times of these steps; `None` where none of them has one.
#[must_use]
pub fn hours(binding: &Binding<'_>, steps: &[Id<Step>]) -> Option<Hours> {
    let mut sum = Hours {
        likely: 0.0,
        best: 0.0,
        worst: 0.0,
        unsaid: 0,
    };
    for &step in steps {
        let Some(time) = binding.plan.steps[step].time.map(|said| said.value) else {
            sum.unsaid += 1;
            continue;
        };
        let (best, worst) = time.spread.unwrap_or((time.likely, time.likely));
        sum.likely += time.likely.base();
        sum.best += best.base();
        sum.worst += worst.base();
    }
    (sum.unsaid < steps.len()).then_some(sum)
}

fn figures(binding: &Binding<'_>) -> Vec<BigFigure> {
    let mut all = Vec::new();
    if let Some(hours) = hours(binding, &binding.plan.order) {
        let mut below = Vec::new();
        if hours.best < hours.likely || hours.worst > hours.likely {
            below.push(format!(
                "{} to {}",
                long_duration(hours.best),
                long_duration(hours.worst)
            ));
        }
        if hours.unsaid > 0 {
            below.push(format!(
                "{} without a time",
                counted(hours.unsaid, "step", "steps")
            ));
        }
        all.push(BigFigure {
            figure: hours.text(),
            word: "of work".to_owned(),
            below,
        });
    }
    all.extend(saved(binding));
    let faults = binding.compilation.count(Severity::Fault);
    let doubts = binding.compilation.count(Severity::Doubt);
    let accepted = binding.compilation.accepted.len();
    all.push(BigFigure {
        figure: faults.to_string(),
        word: if faults == 1 { "fault" } else { "faults" }.to_owned(),
        below: [
            (accepted > 0).then(|| format!("{accepted} accepted, in the log")),
            (doubts > 0).then(|| format!("{}, in the log", Severity::Doubt.words(doubts))),
        ]
        .into_iter()
        .flatten()
        .collect(),
    });
    all
}

fn saved(binding: &Binding<'_>) -> Option<BigFigure> {
    let account = mass_account::account(binding);
    let saved = mass_account::saved(binding, &account)?;
    let mut below = Vec::new();
    below.extend(
        match binding
            .about()
            .and_then(|about| about.target)
            .map(|said| said.value)
        {
            Some(Target::Save(mass)) => Some(format!("target {}", binding.one(mass))),
            Some(Target::Reach(mass)) => Some(format!("target: come to {}", binding.one(mass))),
            None => None,
        },
    );
    let unknown = mass_account::unknown(binding, &account).len();
    if unknown > 0 {
        below.push(format!("{} not known", counted(unknown, "mass", "masses")));
    }
    let gained = saved.kg < 0.0;
    let size = Heft {
        kg: saved.kg.abs(),
        ..saved
    };
    Some(BigFigure {
        figure: masses::text(binding, size),
        word: if gained { "on" } else { "off" }.to_owned(),
        below,
    })
}

fn stages(binding: &Binding<'_>) -> Block {
    let columns = vec![
        column("", 14),
        column("Stage", 0),
        column("Steps", 24),
        right("Hours", 36),
        column("Done", 14),
    ];
    let rows = binding
        .stages()
        .into_iter()
        .enumerate()
        .map(|(nth, (stage, steps))| {
            let title = match stage {
                Some(stage) => capital(&binding.plan.stages[stage].head.called()),
                None => "The steps".to_owned(),
            };
            let hours = hours(binding, &steps).map_or(Cell::Empty, |hours| cell(vec![strong(hours.text())]));
            let number = stage.map_or(Cell::Empty, |stage| {
                cell(vec![strong(binding.stage_number(stage).to_string())])
            });
            tick_row(
                vec![
                    number,
                    text(title),
                    text(steps.len().to_string()),
                    hours,
                    Cell::Square,
                ],
                format!("done/stage/{}", nth + 1),
            )
        })
        .collect();
    Block::Table(table("", columns, rows, 9))
}

fn list(title: &str, items: Vec<TickItem>) -> Option<Block> {
    (!items.is_empty()).then(|| Block::TickList {
        title: title.to_owned(),
        items,
    })
}

fn item(text: Line, right: impl Into<String>, tick: bool) -> TickItem {
    let right = right.into();
    TickItem {
        text,
        right: (!right.is_empty()).then_some(right),
        tick,
    }
}

fn hurt(binding: &Binding<'_>) -> Option<Block> {
    let items = hazards::all(binding)
        .into_iter()
        .take(ROWS)
        .map(|hazard| {
            let title = capital(&binding.plan.cautions[hazard.caution].head.called());
            let steps = match (hazard.whole_job, hazard.steps.len()) {
                (true, _) => "the whole job".to_owned(),
                (false, 0..=4) => binding.numbers(&hazard.steps),
                (false, more) => counted(more, "step", "steps"),
            };
            item(vec![run(title)], steps, false)
        })
        .collect();
    list("What can hurt you", items)
}

/// A known lift: what, how heavy, by what.
struct Lift {
    called: String,
    heft: Heft,
    by: String,
}

fn lifts(binding: &Binding<'_>) -> Option<Block> {
    let mut lifts: Vec<Lift> = Vec::new();
    for &step in &binding.plan.order {
        for act in binding.plan.steps[step].acts() {
            for lift in of_act(binding, step, &act.does) {
                if lifts.iter().all(|known| known.called != lift.called) {
                    lifts.push(lift);
                }
            }
        }
    }
    lifts.sort_by(|a, b| b.heft.kg.total_cmp(&a.heft.kg));
    let items = lifts
        .into_iter()
        .take(ROWS)
        .map(|lift| {
            let text = vec![
                run(format!("{}, ", lift.called)),
                strong(masses::text(binding, lift.heft)),
            ];
            item(text, lift.by, false)
        })
        .collect();
    list("Heaviest lifts", items)
}

fn of_act(binding: &Binding<'_>, step: Id<Step>, does: &Does) -> Vec<Lift> {
    let with_rig = |id: Id<crate::plan::model::Rig>| {
        let rig = &binding.plan.rigs[id];
        let rated = rig
            .rated
            .map(|said| format!(", {}", binding.one(said.value.mass)));
        format!("{}{}", binding.rig(id), rated.unwrap_or_default())
    };
    match does {
        Does::Hold { things, by } => {
            let by = match by.value {
                Bearer::Rig(rig) => with_rig(rig),
                Bearer::Person(person) => format!("by hand, {}", binding.person(person)),
            };
            lifted(binding, things, &by)
        }
        Does::Raise {
            things,
            on: Some(rig),
            ..
        } => lifted(binding, things, &with_rig(rig.value)),
        Does::TakeOff(things) | Does::Fit(things) => {
            let held = binding.plan.steps[step]
                .acts()
                .any(|act| matches!(&act.does, Does::Hold { .. } | Does::Raise { .. }));
            if held {
                return Vec::new();
            }
            let loads: Vec<Said<Load>> = things
                .iter()
                .map(|thing| Said::new(Load::Thing(thing.value), thing.at))
                .collect();
            let who = binding.who(&binding.plan.steps[step]);
            let by = if who.is_empty() {
                "by hand".to_owned()
            } else {
                format!("by hand, {who}")
            };
            lifted(binding, &loads, &by)
        }
        _ => Vec::new(),
    }
}

fn lifted(binding: &Binding<'_>, things: &[Said<Load>], by: &str) -> Vec<Lift> {
    things
        .iter()
        .filter_map(|load| {
            let Load::Thing(thing) = load.value else {
                return None;
            };
            let body = matches!(thing, Thing::Part(part) if binding.plan.parts[part].is_body);
            let heft = masses::of_load(binding, load.value).filter(|_| !body)?;
            Some(Lift {
                called: capital(&binding.plan.called(thing)),
                heft,
                by: by.to_owned(),
            })
        })
        .collect()
}

fn have(binding: &Binding<'_>) -> Option<Block> {
    let ordered = order_list::all(binding).into_iter().map(|order| {
        item(
            vec![strong(format!("{} ", order.count)), run(order.what)],
            "order",
            true,
        )
    });
    let wanting = get_ready::wanting(binding)
        .into_iter()
        .map(|(what, how)| item(vec![run(what)], how, true));
    let all: Vec<TickItem> = ordered.chain(wanting).collect();
    let (count, more) = (all.len(), all.len().saturating_sub(ROWS));
    let mut items: Vec<TickItem> = all
        .into_iter()
        .take(if more > 0 { ROWS - 1 } else { ROWS })
        .collect();
    if more > 0 {
        let rest = count - items.len();
        items.push(item(
            vec![run(format!("and {rest} more, in Get ready"))],
            "",
            true,
        ));
    }
    list("Have before you start", items)
}

/// Steps that say that the job may be left; where a stage has none, its last step if the walk finds nothing against it.
fn stops(binding: &Binding<'_>) -> Option<Block> {
    let plan = binding.plan;
    let says = |step: &Id<Step>| plan.steps[*step].safe_to_leave.is_some();
    let safe = |step: &Id<Step>| {
        let after = binding.compilation.walk.after(plan, *step);
        after.is_some_and(|after| after.unsafe_to_leave().is_empty())
    };
    let stages = binding.stages();
    let ends = stages.iter().flat_map(|(_, steps)| {
        let said: Vec<Id<Step>> = steps.iter().copied().filter(says).collect();
        let last = steps.last().copied().filter(|step| said.is_empty() && safe(step));
        said.into_iter().chain(last)
    });
    // The end of the job is no place to stop.
    let items = ends
        .filter(|step| Some(step) != plan.order.last())
        .take(ROWS)
        .map(|step| {
            let title = binding.inside(&super::step_title::step_title(binding, &binding.plan.steps[step]));
            let text = vec![
                run("After "),
                strong(binding.number(step)),
                run(format!(", {title}")),
            ];
            item(text, "", false)
        })
        .collect();
    list("Good places to stop", items)
}
