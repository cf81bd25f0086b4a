//! Floor 7: from texts to a compilation. No disk, no terminal, no formats.

#![allow(
    clippy::indexing_slicing,
    reason = "only lists are indexed, by ids that were made with them"
)]

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::analysis::Analysis;
use crate::analysis::account::Account;
use crate::analysis::centre_path::{Borne, Standing};
use crate::analysis::money::MoneyAccount;
use crate::analysis::timing::Timing;
use crate::analysis::vehicle_weighings::Weighing;
use crate::analysis::work::Work;
use crate::base::finding::{Finding, Severity};
use crate::base::picture::{PictureFile, Pictures};
use crate::base::source::{Source, SourceId, Sources, Span};
use crate::plan::declare;
use crate::plan::halts;
use crate::plan::model::{Accept, Id, Plan, Step, Swap};
use crate::plan::named::Names;
use crate::plan::plan_error::PlanError;
use crate::plan::resolve::{Resolved, resolve};
use crate::plan::swaps;
use crate::rules;
use crate::syntax::grammar;
use crate::syntax::tree::Tree;
use crate::walk::{self, Walk};
use crate::weights::{Table as Masses, Weights};

/// All that came out of one plan's texts.
#[derive(Debug, Clone, Default)]
pub struct Compilation {
    /// All texts, to show findings in.
    pub sources: Sources,
    /// What they declare; what could not be read is left out.
    pub plan: Plan,
    /// The machine's state through the steps.
    pub walk: Walk,
    /// What they come to: masses, balance, time.
    pub analysis: Analysis,
    /// What the walk found is not among the findings: the text itself has faults.
    pub unwalked: bool,
    /// Findings that stand, in order of their places.
    pub findings: Vec<Finding>,
    /// Findings that the plan accepts, with the acceptance.
    pub accepted: Vec<(Finding, Accept)>,
    /// Every picture that the plan uses, by key.
    pub pictures: BTreeMap<String, PictureFile>,
    /// Where each name is declared and mentioned.
    pub names: Names,
}

impl Compilation {
    /// Masses of the plan's things; the table behind them is made once.
    #[must_use]
    pub fn weights(&self) -> Weights<'_> {
        self.analysis.weights(&self.plan)
    }

    /// The weighings of the vehicle, in the order of their dates.
    #[must_use]
    pub fn weighings(&self) -> &[Weighing] {
        self.analysis.weighings(&self.plan)
    }

    /// What the job saves, and what it ends with, in kg; made once.
    #[must_use]
    pub fn account(&self) -> &Account {
        self.analysis.account(&self.plan, &self.walk)
    }

    /// The centre through the walk; none where the first weighing does not tell it.
    #[must_use]
    pub fn standings(&self) -> Option<&[Standing]> {
        self.analysis.standings(&self.plan, &self.walk)
    }

    /// The mass of the vehicle through the walk; none where nothing tells it.
    #[must_use]
    pub fn borne(&self) -> Option<&[Borne]> {
        self.analysis.borne(&self.plan, &self.walk)
    }

    /// The work in time; none where there is none.
    #[must_use]
    pub fn timing(&self) -> Option<&Timing> {
        self.analysis.timing(&self.plan, &self.walk)
    }

    /// What is spent, to be spent, and to come in.
    #[must_use]
    pub fn money(&self) -> &MoneyAccount {
        self.analysis.money(&self.plan, &self.walk)
    }

    /// Who handles what, and what each act does to each joint.
    #[must_use]
    pub fn work(&self) -> &Work {
        self.analysis.work(&self.plan)
    }

    /// How many findings of this severity stand.
    #[must_use]
    pub fn count(&self, severity: Severity) -> usize {
        self.findings
            .iter()
            .filter(|finding| finding.severity == severity)
            .count()
    }

    /// First four hexadecimal digits of a hash over all texts and their names, shared workshop included: what
    /// the binder's pages carry as their revision.
    #[must_use]
    pub fn revision(&self) -> String {
        let mut hash = blake3::Hasher::new();
        for (_, source) in self.sources.iter() {
            for piece in [source.path(), source.text()] {
                hash.update(&(piece.len() as u64).to_le_bytes());
                hash.update(piece.as_bytes());
            }
        }
        hash.finalize().to_hex().chars().take(4).collect()
    }
}

/// Compiles a plan from its texts. Total: whatever is wrong is a finding.
#[must_use]
pub fn compile(sources: Vec<Source>, pictures: &dyn Pictures) -> Compilation {
    compiled(Sources::new(sources), pictures, |_, _| {}).0
}

/// The same, with the trees of its sources, for whoever changes their texts.
#[must_use]
pub fn compile_with_trees(sources: Vec<Source>, pictures: &dyn Pictures) -> (Compilation, Vec<Tree>) {
    compiled(Sources::new(sources), pictures, |_, _| {})
}

/// `change` sees what was read before anything is worked out or walked.
fn compiled(
    sources: Sources,
    pictures: &dyn Pictures,
    change: impl FnOnce(&mut Plan, &mut Vec<PlanError>),
) -> (Compilation, Vec<Tree>) {
    compiled_of(sources, pictures, swaps::said_left_out, change)
}

/// The same, and said of the plan which swaps are left out of it.
fn compiled_of(
    sources: Sources,
    pictures: &dyn Pictures,
    left_out: impl FnOnce(&Plan) -> BTreeSet<Id<Swap>>,
    change: impl FnOnce(&mut Plan, &mut Vec<PlanError>),
) -> (Compilation, Vec<Tree>) {
    let trees: Vec<Tree> = sources.iter().map(|(_, source)| tree(source)).collect();
    let Resolved {
        mut plan,
        mut slips,
        names,
        pictures,
    } = resolve(&sources, &trees, pictures);
    unreadable_files(&sources, &mut slips);
    let left_out = left_out(&plan);
    swaps::leave_out(&mut plan, &left_out);
    change(&mut plan, &mut slips);
    let masses = Arc::new(Masses::of(&plan));
    let asked = walk::derive(&mut plan, &masses);
    halts::settle(&mut plan);
    let mut walk = walk::walk(&plan, &masses);
    walk.breaks.splice(0..0, asked);
    // A plan that is not what its owner wrote would break where nothing is wrong: first the text, then the work.
    let analysis = Analysis::over(masses);
    let walked = !slips.iter().any(PlanError::stops_the_walk);
    let (findings, accepted) = rules::judge(&plan, slips, walked.then_some(&walk), &analysis);
    let done = Compilation {
        sources,
        plan,
        walk,
        analysis,
        unwalked: !walked,
        findings,
        accepted,
        pictures,
        names,
    };
    (done, trees)
}

/// The name under which a trial text stands beside the plan's own files.
const TRIAL: &str = "\u{0}trial";

/// What a text of steps would bring, done right behind a step and with nothing after it: its own findings, as if it stood in the plan.
///
/// # Errors
/// The slip for which it could not be walked, as a finding: that nothing else was found then says nothing.
pub fn tried(done: &Compilation, text: &str, after: Option<Id<Step>>) -> Result<Vec<Finding>, Box<Finding>> {
    let (trial, of_trial) = with_steps(done, text, after);
    let place = |finding: &&Finding| finding.place().is_some_and(|at| at.source == of_trial);
    if trial.unwalked {
        let mut all = trial.findings.iter().filter(place).chain(&trial.findings);
        return all
            .next()
            .map_or(Ok(Vec::new()), |finding| Err(Box::new(finding.clone())));
    }
    Ok(trial.findings.iter().filter(place).cloned().collect())
}

/// The plan up to a step, with a text of steps right behind it and nothing after that; and the source that this text is.
#[must_use]
pub fn with_steps(done: &Compilation, text: &str, after: Option<Id<Step>>) -> (Compilation, SourceId) {
    let own = &done.plan;
    let kept = after
        .and_then(|after| own.order.iter().position(|&step| step == after))
        .map_or(0, |at| at + 1);
    let kept: BTreeSet<&str> = own
        .order
        .iter()
        .take(kept)
        .map(|&step| &*own.steps[step].head.name)
        .collect();
    let mut texts: Vec<Source> = done.sources.iter().map(|(_, source)| source.clone()).collect();
    // Others may stand there already, from a text tried before.
    let name = format!("{TRIAL}{}", texts.len());
    texts.push(Source::new(&name, text, false));
    let sources = Sources::new(texts);
    let own = sources.iter().find(|(_, source)| source.path() == name);
    let of_trial = own.map_or(SourceId(u32::MAX), |(id, _)| id);
    let (trial, _) = compiled(sources, &crate::base::picture::NoPictures, |plan, slips| {
        // Where its stages stand among the plan's is said here, and is the owner's to write down.
        slips.retain(|slip| {
            !matches!(
                slip,
                PlanError::StageNotListed { .. }
                    | PlanError::NoStageOrder { .. }
                    | PlanError::StepsWithoutStage { .. }
            )
        });
        let is_of_trial = |step: &Step| {
            let from = step.derived.as_ref().map(|derived| derived.from);
            [Some(step), from.map(|from| &plan.steps[from])]
                .into_iter()
                .flatten()
                .any(|step| step.head.at.source == of_trial)
        };
        let is_kept = |step: &Step| kept.contains(&*step.head.name);
        let (before, rest): (Vec<Id<Step>>, Vec<Id<Step>>) =
            plan.order.iter().partition(|&&step| is_kept(&plan.steps[step]));
        let of_trial = rest.into_iter().filter(|&step| is_of_trial(&plan.steps[step]));
        let order: Vec<Id<Step>> = before.into_iter().chain(of_trial).collect();
        plan.stage_order.retain(|&stage| {
            let mut steps = order.iter();
            steps.any(|&step| plan.steps[step].stage == Some(stage))
        });
        plan.order = order;
    });
    (trial, of_trial)
}

/// The plan compiled as if these swaps were not done, and all others were, whatever it says of them itself: their steps go, and what they would
/// replace stays or goes back.
#[must_use]
pub fn without(done: &Compilation, swaps: &BTreeSet<Id<Swap>>) -> Compilation {
    let sources = done.sources.clone();
    let (mut rest, _) = compiled_of(
        sources,
        &crate::base::picture::NoPictures,
        |_| swaps.clone(),
        |_, slips| {
            // No picture is looked for again: those that were not there are not there now.
            let missing = |at: Span| {
                let mut all = done
                    .findings
                    .iter()
                    .filter(|finding| finding.rule.name == "missing-figure");
                all.any(|finding| finding.place() == Some(at))
            };
            slips.retain(|slip| match slip {
                PlanError::MissingFigure { at, .. } => missing(*at),
                _ => true,
            });
        },
    );
    rest.pictures.clone_from(&done.pictures);
    rest
}

/// What the names of these texts stand for, and what is wrong with texts and names; nothing is worked out or walked, and no picture is
/// looked for.
#[must_use]
pub fn named(sources: &Sources, trees: &[Tree]) -> (Names, Vec<PlanError>) {
    let resolved = resolve(sources, trees, &crate::base::picture::NoPictures);
    (resolved.names, resolved.slips)
}

/// First eight hexadecimal digits of a text's hash: enough to see that it changed.
#[must_use]
pub fn short_hash(bytes: &[u8]) -> String {
    blake3::hash(bytes).to_hex().chars().take(8).collect()
}

fn tree(source: &Source) -> Tree {
    if source.broken().is_some() {
        Tree::default()
    } else {
        grammar::parse(source.text())
    }
}

/// Tells files that are no text, and takes out what only follows from something unread: what was lost may well have
/// declared or used what seems unknown or unused.
fn unreadable_files(sources: &Sources, slips: &mut Vec<PlanError>) {
    let broken: Vec<PlanError> = sources
        .iter()
        .filter_map(|(id, source)| {
            let end = u32::try_from(source.text().len()).unwrap_or(u32::MAX);
            source.broken().map(|byte| PlanError::NotText {
                at: Span::new(id, end, end),
                byte,
            })
        })
        .collect();
    let a_file = !broken.is_empty();
    let a_block = a_file
        || slips
            .iter()
            .any(|slip| matches!(slip, PlanError::UnknownBlock { .. }));
    let a_mention = a_block || slips.iter().any(PlanError::loses_a_mention);
    // A line that was refused may be the very one that a block lacks.
    let lost: Vec<Span> = slips
        .iter()
        .filter(|slip| slip.loses_a_mention())
        .filter_map(PlanError::place)
        .collect();
    slips.retain(|slip| match slip {
        PlanError::UnknownName { .. } => !a_file,
        PlanError::NoPlan { .. } | PlanError::NoSteps { .. } | PlanError::NoVehicle { .. } => !a_block,
        PlanError::NeverUsed { .. } => !a_mention,
        PlanError::Lacks { block, .. } => !lost.iter().any(|at| within(*at, *block)),
        _ => true,
    });
    slips.extend(broken);
}

fn within(place: Span, block: Span) -> bool {
    place.source == block.source && (block.start..=block.end).contains(&place.start)
}

/// The workshop folder that the plan block among these texts names.
#[must_use]
pub fn workshop_named(sources: &[Source]) -> Option<String> {
    let may_name = |source: &&Source| {
        let text = source.text();
        (text.starts_with("plan ") || text.contains("\nplan ")) && text.contains("workshop")
    };
    sources
        .iter()
        .filter(may_name)
        .find_map(|source| declare::workshop_named(source, &tree(source)))
}
