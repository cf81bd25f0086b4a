//! The job on one page: three large figures, the stages with their hours, where the job may stop, and two short lists. Knows sums, and
//! no single act.

use super::binding::Binding;
use super::document::{BigFigure, Block, Line, Section, TickItem, text_of};
use super::drawings::metrics;
use super::figures::{long_duration, long_range};
use super::masses::{self, ShownMass};
use super::sizes::{self, HALF, LIVE, T12};
use super::stage_list::{self, Known};
use super::tables::section;
use super::words::{counted, run, strong};
use super::{day_pages, days_strip, job_lists, mass_account};
use crate::analysis::pace::Paces;
use crate::analysis::timing;
use crate::base::finding::Severity;
use crate::plan::model::{Id, Step, Target};
use crate::reckon::durations::Estimate;
use crate::reckon::pace::Job;

/// Rows of each short list, and as few as they may get so that all stands on one page.
const ROWS: [usize; 4] = [8, 5, 2, 1];
/// What a further line of text takes, mm.
const LINE: f64 = T12.pitch;
/// "Likely" is what holds nine times in ten: one time in twenty it is less, one in twenty more.
const SELDOM: f64 = 0.05;
/// More steps than this are counted, not named.
const NAMED_STEPS: usize = 8;

#[must_use]
pub fn sections(binding: &Binding<'_>) -> Vec<Section> {
    if binding.plan.order.is_empty() || binding.is_small() {
        return Vec::new();
    }
    let known = stage_list::known(binding);
    let Fit { row, rows, days } = fit(binding, &known);
    let mut blocks = start(binding, &known);
    blocks.extend(known.blocks(row));
    let notes = known.notes.join(" ");
    if !notes.is_empty() {
        blocks.push(Block::Text(vec![run(notes)]));
    }
    let told = told(binding);
    if !told.is_empty() {
        blocks.push(Block::Text(told));
    }
    if let Some(drawing) = days_strip::drawing(binding).filter(|_| days) {
        blocks.push(Block::Picture(drawing.shown("drawing/days".to_owned())));
    }
    let [left, right] = halves(binding, rows);
    if !left.is_empty() || !right.is_empty() {
        blocks.push(Block::Halves(left, right));
    }
    section("one-page", "The job on one page", blocks)
}

fn start(binding: &Binding<'_>, known: &Known) -> Vec<Block> {
    vec![
        Block::Text(vec![run(opening(binding))]),
        Block::Figures(figures(binding, known)),
    ]
}

/// Where the job may stop, and what has to be there.
fn told(binding: &Binding<'_>) -> Line {
    let (mut told, have) = (job_lists::stops(binding), job_lists::have(binding));
    for line in [have, day_pages::told(binding)] {
        if !told.is_empty() && !line.is_empty() {
            told.push(run(if text_of(&told).ends_with('.') { " " } else { ". " }));
        }
        told.extend(line);
    }
    told
}

fn halves(binding: &Binding<'_>, rows: usize) -> [Vec<Block>; 2] {
    if rows == 0 {
        return [Vec::new(), Vec::new()];
    }
    // A hazard takes one line mostly, a lift two.
    let left = [job_lists::hurt(binding, rows + rows / 2)];
    let right = [job_lists::lifts(binding, rows)];
    let [mut left, mut right] =
        [left, right].map(|lists| lists.into_iter().flatten().collect::<Vec<Block>>());
    // Half a page stays white rather than its left.
    if left.is_empty() {
        std::mem::swap(&mut left, &mut right);
    }
    if right.is_empty() && left.len() > 1 {
        right.extend(left.pop());
    }
    [left, right]
}

/// What stands on the page.
#[derive(Debug, Clone, Copy)]
struct Fit {
    /// Height of the stages' rows, mm.
    row: f64,
    /// Rows of the lists.
    rows: usize,
    /// The strip of days.
    days: bool,
}

/// With what all stands on one page: rows of the stages a little lower rather than a list cut, the days rather than the lists. If nothing does, the
/// lists go over to a second page, and all is as large as it should be.
fn fit(binding: &Binding<'_>, known: &Known) -> Fit {
    let heights = known.row_heights();
    let [most, fewer, few, fewest] = ROWS;
    let whole = room(binding, known);
    let strip = days_strip::high(binding);
    let lists = |rows: usize| {
        let high = |lists: &Vec<Block>| lists.iter().map(list_height).sum::<f64>();
        halves(binding, rows).iter().map(high).fold(0.0, f64::max)
    };
    // Low rows are for names in one line, so two rows of a list go before they come.
    let (roomy, low) = heights.split_at(heights.len().min(3));
    let ways = [
        (most, roomy),
        (fewer, roomy),
        (fewer, low),
        (few, heights.as_slice()),
        (fewest, heights.as_slice()),
        (0, heights.as_slice()),
    ];
    // One of many says little, and the days take its room; without them it is better than nothing, and nothing better than a second page.
    for (days, skipped) in [(true, fewest), (false, 0), (false, fewest)] {
        let room = if days { whole - strip } else { whole };
        if days && strip <= 0.0 {
            continue;
        }
        for (rows, heights) in ways.into_iter().filter(|(rows, _)| *rows != skipped) {
            let lists = lists(rows);
            if let Some(&row) = heights.iter().find(|row| known.high(**row) + lists <= room) {
                return Fit { row, rows, days };
            }
        }
    }
    Fit {
        row: heights.first().copied().unwrap_or_default(),
        rows: most,
        days: strip > 0.0,
    }
}

/// What the page has for stages and lists, mm.
fn room(binding: &Binding<'_>, known: &Known) -> f64 {
    let page = sizes::body(binding.paper());
    let band = if binding.compilation.count(Severity::Fault) > 0 {
        sizes::BAND
    } else {
        0.0
    };
    let text = |text: &str, room: f64| metrics::lines(text, T12.mm(), room).len().max(1);
    let as_figure = |count: usize| f64::from(u32::try_from(count).unwrap_or(u32::MAX));
    let below = figures(binding, known);
    let below = below
        .iter()
        .map(|figure| figure.below.iter().map(|line| text(line, 44.0)).sum());
    let notes = known.notes.join(" ");
    let notes = if notes.is_empty() {
        0
    } else {
        text(&notes, LIVE) + 1
    };
    let told = text_of(&told(binding));
    let told = if told.is_empty() { 0 } else { text(&told, LIVE) + 1 };
    let title = 14.0;
    let opening = 3.0 + LINE * as_figure(text(&opening(binding), LIVE));
    let figures = 23.5 + LINE * as_figure(below.max().unwrap_or_default());
    page - band - title - opening - figures - LINE * as_figure(notes + told)
}

/// How high a short list gets at most, mm.
fn list_height(list: &Block) -> f64 {
    let Block::TickList { items, .. } = list else {
        return 0.0;
    };
    let ticks = if items.iter().any(|item| item.tick) {
        8.0
    } else {
        0.0
    };
    let row = |item: &TickItem| {
        let right = item.right.as_deref().unwrap_or_default();
        let wide = metrics::width(right, T12.mm());
        let (left_room, right_room) = if wide > (HALF - 40.0) / 2.0 {
            let half = (HALF - ticks) / 2.0;
            (half, half - 3.0)
        } else {
            (HALF - ticks - wide - 3.0, wide + 1.0)
        };
        let lines = metrics::lines(&text_of(&item.text), T12.mm(), left_room).len();
        let lines = lines
            .max(metrics::lines(right, T12.mm(), right_room).len())
            .max(1);
        2.2 + LINE * f64::from(u32::try_from(lines).unwrap_or(u32::MAX))
    };
    12.5 + items.iter().map(row).sum::<f64>()
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
                "; best case {}, worst case {}",
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
        let Some(time) = timing::takes(binding.plan, step) else {
            sum.unsaid += 1;
            continue;
        };
        sum.likely += time.likely();
        sum.best += time.best();
        sum.worst += time.worst();
    }
    (sum.unsaid < steps.len()).then_some(sum)
}

fn figures(binding: &Binding<'_>, known: &Known) -> Vec<BigFigure> {
    let mut all = Vec::new();
    if let Some(hours) = hours(binding, &binding.plan.order) {
        let mut below = Vec::new();
        below.extend(likely(binding, hours));
        if let Some(length) = known.shorter(hours.likely) {
            below.push(format!("{} from beginning to end", long_duration(length)));
        }
        if hours.unsaid > 0 {
            below.push(format!(
                "{} without a time",
                counted(hours.unsaid, "step", "steps")
            ));
        }
        // What is logged moves the headline, so that it lies in its own range.
        let paces = Paces::of(binding.plan);
        let figure = if paces.logged > 0 {
            below.push(format!("{} as planned", hours.text()));
            long_duration(hours.likely * paces.common.factor())
        } else {
            hours.text()
        };
        all.push(BigFigure {
            figure,
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

/// "31 to 81 h", and what 9 times in 10: by the three figures of each step.
fn likely(binding: &Binding<'_>, hours: Hours) -> Vec<String> {
    if hours.best >= hours.worst {
        return Vec::new();
    }
    let mut said = vec![long_range(hours.best, hours.worst)];
    if hours.unsaid == 0 {
        let steps = binding.plan.order.iter();
        let pieces: Vec<Estimate> = steps
            .filter_map(|&step| timing::takes(binding.plan, step))
            .collect();
        // All of them run late together: what is common to them widens the whole, and what is logged moves it.
        let paces = Paces::of(binding.plan);
        let job = Job::of(&pieces, paces.common);
        let range = job.and_then(|job| job.time_for(SELDOM).ok().zip(job.time_for(1.0 - SELDOM).ok()));
        if let Some((from, to)) = range {
            said.push(format!("9 times in 10: {}", long_range(from, to)));
        }
        if paces.logged > 0 {
            let share = (paces.common.factor() - 1.0) * 100.0;
            let slower = if share >= 0.0 { "more" } else { "less" };
            said.push(format!("logged so far: {:.0} % {slower}", share.abs()));
        }
    }
    said
}

/// "8.6 kg of the 8 kg wanted", for a cover; none where nothing comes off.
#[must_use]
pub fn comes_off(binding: &Binding<'_>) -> Option<Line> {
    let saved = saved(binding)?;
    let more: Vec<String> = saved
        .below
        .iter()
        .filter(|line| !line.starts_with("target"))
        .cloned()
        .collect();
    let more = more.iter().map(|line| format!("; {line}")).collect::<String>();
    (saved.word == "off").then(|| vec![strong(saved.figure), run(more)])
}

fn saved(binding: &Binding<'_>) -> Option<BigFigure> {
    let account = mass_account::account(binding);
    // One saving everywhere: by what the target is judged, where there is one.
    let aim = account.aim(binding.plan);
    let saved = match &aim {
        Some(aim) => mass_account::judged(binding, aim),
        None => mass_account::saved(binding, account)?,
    };
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
    let unknown = mass_account::unknown(binding, account).len();
    if unknown > 0 {
        below.push(format!("{} not known", counted(unknown, "mass", "masses")));
    }
    let gained = saved.kg < 0.0;
    let size = ShownMass {
        kg: saved.kg.abs(),
        ..saved
    };
    Some(BigFigure {
        figure: masses::text(binding, size),
        word: if gained { "on" } else { "off" }.to_owned(),
        below,
    })
}
