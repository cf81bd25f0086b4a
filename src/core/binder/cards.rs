//! The steps, stage by stage: a card for each, and the sheet that stands before one that moves something heavy.
//! Knows what a card is made of; the rows of acts are made elsewhere.

use std::collections::BTreeSet;

use super::after_state::after_state;
use super::binding::{Binding, prose, signal};
use super::card_acts::RowMaker;
use super::document::{
    ActRow, Block, Card, CardRow, Letters, Line, Message, PictureUse, SecondCheck, Section, SignalWord,
    TickItem,
};
use super::drawings::tightening;
use super::figures::{duration, spread};
use super::loaded::Loaded;
use super::rig_loads::Nearest;
use super::sizes::{IN_CARD, whole};
use super::step_title::step_title;
use super::words::{and_list, dotted, letter, run, strong};
use super::{at_hand, before_it_moves, card_joints, joint_words, letters, mentions, proof, weighing};
use crate::base::picture::PictureKind;
use crate::base::source::Span;
use crate::plan::model::{
    Act, Bearer, Caution, Does, Figure, Id, Joint, Rig, Said, Stage, Step, StepLine, Thing,
};

#[must_use]
pub fn sections(binding: &Binding<'_>) -> Vec<Section> {
    let mut sections: Vec<Section> = Vec::new();
    // What stood in full before: what hurts less, or breaks something only, once in the binder; the rest once a stage,
    // or where the job is small once too.
    let mut told: BTreeSet<Id<Caution>> = BTreeSet::new();
    for (stage, steps) in binding.stages() {
        let mut blocks = Vec::new();
        told.retain(|&caution| {
            binding.is_small() || signal(&binding.plan.cautions[caution]) > SignalWord::Warning
        });
        if let Some(stage) = stage {
            told.extend(stage_cautions(binding, stage));
            let notes = prose(&binding.plan.stages[stage].head.notes);
            if !notes.is_empty() {
                blocks.push(Block::Prose(notes));
            }
            blocks.extend(stage_messages(binding, stage).into_iter().map(Block::Message));
        }
        for step in steps {
            let sheet = before_it_moves::sheet(binding, step);
            let moves = sheet.as_ref().map(|(_, act)| *act);
            let (card, round) = card(binding, step, moves, &mut told);
            blocks.extend(sheet.map(|(mut sheet, _)| {
                sheet.when = round
                    .map(|before| looked_over(&card.number, before))
                    .into_iter()
                    .collect();
                Block::BeforeItMoves(sheet)
            }));
            blocks.push(Block::Card(card));
            blocks.extend(weighing::after_step(binding, step));
        }
        sections.push(Section {
            alone: false,
            key: key(binding, stage, sections.len()),
            title: binding.stage_title(stage),
            stage_mark: stage.map(|stage| binding.stage_number(stage)),
            titled: true,
            blocks,
        });
    }
    sections
}

/// When the sheet before a card is looked over: at which of its acts, so many standing before that.
fn looked_over(number: &str, before: usize) -> Line {
    let done = match before {
        0 => String::new(),
        1 => format!(", when {} is done", letter(1)),
        2 => format!(", when {} and {} are done", letter(1), letter(2)),
        _ => format!(", when {} to {} are done", letter(1), letter(before)),
    };
    vec![
        strong(format!("at act {} of {number}", letter(before + 1))),
        run(format!("{done}; not sooner")),
    ]
}

/// The cautions that guard all steps of a stage.
fn stage_cautions(binding: &Binding<'_>, stage: Id<Stage>) -> Vec<Id<Caution>> {
    let known = &binding.plan.stages[stage];
    let fits = |caution: &Id<Caution>| {
        let mut steps = known.steps.iter();
        steps.any(|step| binding.plan.fits_way(*caution, *step))
    };
    let cautions = known.cautions.iter().map(|said| said.value);
    gravest_first(binding, cautions.filter(fits).collect())
}

/// Their messages: in full where the stage begins.
fn stage_messages(binding: &Binding<'_>, stage: Id<Stage>) -> Vec<Message> {
    let name = binding.stage_key(stage);
    let numbered = stage_cautions(binding, stage).into_iter().zip(1..);
    numbered
        .map(|(caution, nth)| binding.message(caution, proof::stage_message(name, nth)))
        .collect()
}

/// A stage whose steps do not lie together gets a section for each run of them.
fn key(binding: &Binding<'_>, stage: Option<Id<Stage>>, nth: usize) -> String {
    match stage {
        Some(stage) => {
            let name = &binding.plan.stages[stage].head.name;
            let earlier = binding
                .stages()
                .iter()
                .take(nth)
                .filter(|(other, _)| *other == Some(stage))
                .count();
            match earlier {
                0 => format!("stage/{name}"),
                more => format!("stage/{name}-{}", more + 1),
            }
        }
        None if nth == 0 => "steps".to_owned(),
        None => format!("steps-{}", nth + 1),
    }
}

/// A card, and how many of its acts stand before the one that a sheet guards; `moves` is the place of that one. What stands in full on it is
/// added to what was told.
fn card(
    binding: &Binding<'_>,
    id: Id<Step>,
    moves: Option<Span>,
    told: &mut BTreeSet<Id<Caution>>,
) -> (Card, Option<usize>) {
    let step = &binding.plan.steps[id];
    let mut writer = CardWriter::new(binding, id, moves, told);
    let place = writer.maker.one_place();
    writer.lines(step);
    for &asked in step.derived.iter().flat_map(|derived| &derived.asked) {
        let row = writer.maker.asked(asked);
        writer.rows.push(CardRow::Act(row));
    }
    let round = writer.round;
    let kills = writer.kills();
    let letters = letters::words(binding, id, &writer.ends());
    let (messages, rows, over) = writer.finish();
    let card = Card {
        number: binding.number(id),
        title: step_title(binding, step),
        derived: derived(binding, step),
        who_and_time: who_and_time(binding, id, !kills),
        at_hand: at_hand::line(binding, id),
        first: if kills { first(binding, id) } else { Vec::new() },
        place,
        messages,
        rows,
        over,
        second_check: second_check(binding, id),
        after: after_state(binding, id),
        safe_to_leave: match (step.safe_to_leave, step.safe_overnight) {
            (Some(_), _) => Some("Safe to leave like this.".to_owned()),
            (None, Some(_)) => Some("Safe to leave like this overnight, a week at most.".to_owned()),
            (None, None) => None,
        },
        letters: Letters(letters),
        proof: binding.card_proof(id),
    };
    (card, round)
}

/// The rows of a card, each with the act that it ends, by its place among the step's acts, and how many names of that act's list are done then.
pub fn lettered(binding: &Binding<'_>, id: Id<Step>) -> Vec<(String, usize, usize)> {
    let sheet = before_it_moves::sheet(binding, id);
    let mut told = BTreeSet::new();
    let mut writer = CardWriter::new(binding, id, sheet.map(|(_, act)| act), &mut told);
    writer.maker.one_place();
    writer.lines(&binding.plan.steps[id]);
    writer.ends()
}

/// Told at the act where the vehicle stands least safely.
fn nearest_to_tipping(binding: &Binding<'_>, nearest: &Nearest) -> Line {
    let kg = |kg: f64| super::masses::whole(binding, kg);
    let takes = match (nearest.taken_by, nearest.push) {
        (Some(rig), Some(push)) => {
            format!(
                ", should {} push with {} at its own place",
                binding.the_rig(rig),
                kg(push)
            )
        }
        (Some(rig), None) => format!(", should {} take all that it can", binding.the_rig(rig)),
        (None, _) => String::new(),
    };
    let harder = nearest.to_edge.map_or_else(String::new, |push| {
        format!(
            " While joints are tight it can push harder: with {} the {} stands on its edge.",
            kg(push),
            binding.vehicle()
        )
    });
    vec![
        strong("Closest to tipping in the whole job: "),
        run(format!(
            "the centre of gravity is only {} from the edge at the {}{takes}.{harder} Check every pad is loaded before you go on.",
            super::mass_balance::length_within(binding.units, nearest.inside, nearest.covers),
            nearest.side
        )),
    ]
}

/// "undoes 2.8": a derived step, or one that stands in for such a step.
fn derived(binding: &Binding<'_>, step: &Step) -> Option<String> {
    let said = step.instead_of.map(|said| said.value);
    let undone = said.map(|other| {
        let from = binding.plan.steps[other].derived.as_ref();
        from.map_or(other, |derived| derived.from)
    });
    let from = step.derived.as_ref().map(|derived| derived.from);
    Some(format!("undoes {}", binding.number(undone.or(from)?)))
}

/// Who does it, how long it takes, and, where no squares ask for them, after which steps.
fn who_and_time(binding: &Binding<'_>, id: Id<Step>, after: bool) -> Line {
    let step = &binding.plan.steps[id];
    let mut facts = Vec::new();
    let who = binding.who(step);
    if !who.is_empty() {
        facts.push(vec![run(who)]);
    }
    if let Some(time) = step.time.map(|said| said.value) {
        let mut line = vec![strong(duration(time.likely.base()))];
        if let Some((best, worst)) = time.spread {
            let spread = spread(time.likely.base(), best.base(), worst.base());
            line.push(run(format!(" {spread}")));
        }
        facts.push(line);
    }
    if let Some(caller) = step.calls {
        facts.push(vec![run(format!(
            "{} gives the word",
            binding.person(caller.value)
        ))]);
    }
    if let Some(word) = &step.stop_word {
        facts.push(vec![run("stop word "), strong(format!("“{}”", word.value))]);
    }
    let here = binding.place(id);
    let asked: Vec<String> = step
        .after
        .iter()
        .filter(|said| after && binding.place(said.value) + 1 != here)
        .map(|said| binding.number(said.value))
        .collect();
    if !asked.is_empty() {
        facts.push(vec![run("after "), strong(and_list(&asked))]);
    }
    dotted(facts)
}

/// What the stage warns of and the step itself does not: what can kill or maim, and of the rest what the step's own acts meet.
fn of_stage(binding: &Binding<'_>, id: Id<Step>) -> Vec<Id<Caution>> {
    let step = &binding.plan.steps[id];
    let of_stage = step
        .stage
        .iter()
        .flat_map(|&stage| &binding.plan.stages[stage].cautions);
    of_stage
        .map(|said| said.value)
        .filter(|&caution| {
            let grave = signal(&binding.plan.cautions[caution]) <= SignalWord::Warning;
            grave || binding.meets(id, caution)
        })
        .collect()
}

/// At most three things that must be so before: steps that are done, but for the one on the card before, then rigs that are loaded here.
fn first(binding: &Binding<'_>, id: Id<Step>) -> Vec<TickItem> {
    let step = &binding.plan.steps[id];
    let here = binding.place(id);
    let apart = |other: &&Said<Id<Step>>| binding.place(other.value) + 1 != here;
    let done = step.after.iter().filter(apart).map(|said| {
        let other = &binding.plan.steps[said.value];
        vec![
            strong(binding.number(said.value)),
            run(format!(" done: {}", binding.inside(&step_title(binding, other)))),
        ]
    });
    let loaded = step.acts().filter_map(|act| match &act.does {
        Does::Hold { by, .. } => match by.value {
            Bearer::Rig(rig) => Some(rig),
            Bearer::Person(_) => None,
        },
        Does::Raise { on, .. } => on.map(|said| said.value),
        // No rig takes anything up by it.
        _ => None,
    });
    let mut rigs: Vec<Id<Rig>> = Vec::new();
    for rig in loaded.filter(|&rig| !binding.plan.rigs[rig].is_floor) {
        if !rigs.contains(&rig) {
            rigs.push(rig);
        }
    }
    let rigs = rigs.into_iter().map(|id| {
        let rig = &binding.plan.rigs[id];
        let rated = rig.rated.map(|said| {
            let each = if said.value.each { " each" } else { "" };
            format!(", {}{each}", binding.at_most(said.value.mass))
        });
        vec![run(format!(
            "{} in place{}",
            binding.rig(id),
            rated.unwrap_or_default()
        ))]
    });
    done.chain(rigs)
        .take(3)
        .map(|text| TickItem {
            text,
            right: None,
            tick: true,
        })
        .collect()
}

/// What another person sees and signs for.
fn second_check(binding: &Binding<'_>, id: Id<Step>) -> Option<SecondCheck> {
    let step = &binding.plan.steps[id];
    let mut joints: Vec<Id<Joint>> = Vec::new();
    let mut verifies_all = false;
    for act in step.acts() {
        if let Does::Verify { joints: named, .. } = &act.does {
            let owed = |joint: &Id<Joint>| binding.plan.joints[*joint].second_check.is_some();
            joints.extend(named.iter().map(|said| said.value).filter(owed));
            verifies_all |= named.is_empty();
        }
    }
    let here = binding.place(id);
    let tightened = step.acts().flat_map(|act| match &act.does {
        Does::Tighten(all) => all.as_slice(),
        // A second check is owed for what is tightened.
        _ => &[],
    });
    for fixings in tightened {
        let joint = fixings.joint.value;
        let owed = binding.plan.joints[joint].second_check.is_some();
        let later = binding
            .work
            .verified
            .steps(joint)
            .iter()
            .any(|&other| binding.place(other) > here);
        if owed && (verifies_all || !later) {
            joints.push(joint);
        }
    }
    let mut seen = BTreeSet::new();
    joints.retain(|&joint| seen.insert(joint));
    if joints.is_empty() {
        return None;
    }
    let mut lines = card_joints::by_pairs(&joints, |&first, second| {
        let (one, at) = (&binding.plan.joints[first], checked(binding, first));
        let Some(&second) = second else {
            return Some(format!("{}{at}.", super::words::capital(&one.head.called())));
        };
        let name = card_joints::pair_name(one, &binding.plan.joints[second])?;
        let alike = checked(binding, second) == at;
        alike.then(|| format!("{}, left and right{at}.", super::words::capital(&name)))
    });
    if joints
        .iter()
        .any(|&joint| binding.plan.joints[joint].is_tightened())
    {
        lines.push("Paint-mark every fixing.".to_owned());
    }
    Some(SecondCheck {
        lines,
        proof: proof::second_check(&step.head.name),
    })
}

/// " at 210 N·m, then 30° on"; what has no figure is home in its seat.
fn checked(binding: &Binding<'_>, id: Id<Joint>) -> String {
    let joint = &binding.plan.joints[id];
    let Some(torque) = joint_words::torque(binding, joint) else {
        return if joint.is_tightened() {
            String::new()
        } else {
            " home, in its seat".to_owned()
        };
    };
    let then = joint
        .torque
        .as_ref()
        .and_then(|said| said.value.then)
        .map(|angle| format!(", then a further {}", super::figures::angle(angle)));
    format!(" at {}{}", torque.first, then.unwrap_or_default())
}

/// A picture as the page uses it; nothing where the file was not found.
#[must_use]
pub fn picture(binding: &Binding<'_>, figure: &Figure, what: &str, proof: String) -> Option<PictureUse> {
    let key = figure.key.as_ref()?;
    let file = binding.compilation.pictures.get(key.as_ref())?;
    let alt = [&figure.alt, &figure.caption]
        .into_iter()
        .flatten()
        .find(|text| !text.trim().is_empty())
        .map_or_else(|| format!("Picture for {what}"), ToString::to_string);
    Some(PictureUse {
        key: key.to_string(),
        caption: figure.caption.as_ref().map(ToString::to_string),
        alt,
        // Drawings take the text's whole width; a photograph at that size would take half a page.
        width: if file.kind == PictureKind::Svg {
            whole(IN_CARD)
        } else {
            100
        },
        drawn: None,
        proof,
    })
}

/// Puts a step's lines in the order of the card: messages directly above what they guard.
struct CardWriter<'b, 'a> {
    binding: &'b Binding<'a>,
    step: Id<Step>,
    moves: Option<Span>,
    maker: RowMaker<'b, 'a>,
    /// Guard the whole step.
    whole: Vec<Id<Caution>>,
    /// Guard the act that comes next.
    next: Vec<Id<Caution>>,
    shown: BTreeSet<Id<Caution>>,
    /// Stand in full in this stage already.
    told: &'b mut BTreeSet<Id<Caution>>,
    rows: Vec<CardRow>,
    /// What can kill or maim on this card, in a line each.
    grave: Vec<Message>,
    messages: usize,
    pictures: usize,
    acted: bool,
    loaded: Loaded,
    /// So many of the step's acts are on the card.
    acts: usize,
    /// So many acts stand before the one that the sheet guards.
    round: Option<usize>,
    /// Rows before those of an act, how many it has, and the place of the act that they end.
    lettered: Vec<(usize, usize, usize)>,
}

impl<'b, 'a> CardWriter<'b, 'a> {
    fn new(
        binding: &'b Binding<'a>,
        step: Id<Step>,
        moves: Option<Span>,
        told: &'b mut BTreeSet<Id<Caution>>,
    ) -> Self {
        let mut writer = Self {
            binding,
            step,
            moves,
            maker: RowMaker::new(binding, step),
            whole: Vec::new(),
            next: Vec::new(),
            shown: BTreeSet::new(),
            told,
            rows: Vec::new(),
            grave: Vec::new(),
            messages: 0,
            pictures: 0,
            acted: false,
            loaded: loaded(binding, step),
            acts: 0,
            round: None,
            lettered: Vec::new(),
        };
        let known = &binding.plan.steps[step];
        let in_lines: BTreeSet<Id<Caution>> = known
            .lines
            .iter()
            .filter_map(|line| match line {
                StepLine::Caution(caution) => Some(caution.value),
                _ => None,
            })
            .collect();
        let of_step = known.cautions.iter().map(|said| said.value);
        let of_stage = of_stage(binding, step);
        for caution in of_step
            .chain(of_stage)
            .filter(|caution| !in_lines.contains(caution))
        {
            writer.guard_all(caution);
        }
        writer
    }

    fn fits(&self, caution: Id<Caution>) -> bool {
        self.binding.plan.fits_way(caution, self.maker.step)
    }

    fn guard_all(&mut self, caution: Id<Caution>) {
        if self.fits(caution) && self.shown.insert(caution) {
            self.whole.push(caution);
        }
    }

    fn guard_next(&mut self, caution: Id<Caution>) {
        if self.fits(caution) && self.shown.insert(caution) {
            self.next.push(caution);
        }
    }

    /// All lines of the step, two acts in one row where they are done as one.
    fn lines(&mut self, step: &Step) {
        let mut lines = step.lines.iter().peekable();
        while let Some(line) = lines.next() {
            if let (StepLine::Act(one), Some(StepLine::Act(two))) = (line, lines.peek())
                && self.two_acts(one, two)
            {
                lines.next();
                continue;
            }
            self.line(line);
        }
    }

    fn line(&mut self, line: &StepLine) {
        match line {
            StepLine::Caution(caution) if self.acted => self.guard_next(caution.value),
            StepLine::Caution(caution) => self.guard_all(caution.value),
            StepLine::Note(note) => {
                let blocks = crate::plan::prose::read(&note.text);
                if !blocks.is_empty() {
                    self.rows.push(CardRow::Prose(blocks));
                }
            }
            StepLine::Figure(figure) => self.figure(figure),
            StepLine::Act(act) => self.act(act),
        }
    }

    fn act(&mut self, act: &Act) {
        for caution in mentions::cautions(self.binding.plan, &act.does) {
            if self.acted {
                self.guard_next(caution);
            } else {
                self.guard_all(caution);
            }
        }
        self.guards();
        let before = self.maker.number();
        let rows = self.maker.rows(act);
        self.lettered.push((before, rows.len(), self.acts));
        self.done(act, rows, before);
        self.loaded.after(self.binding.plan, &act.does);
        self.drawings(act);
    }

    /// A start and the tighten that follows it at once, in one row a joint; false where they are rows of their own.
    fn two_acts(&mut self, start: &Act, tighten: &Act) -> bool {
        let guarded = mentions::cautions(self.binding.plan, &start.does)
            .into_iter()
            .chain(mentions::cautions(self.binding.plan, &tighten.does));
        let told_apart = guarded.count() > 0 || self.moves == Some(start.at);
        let nearest = self.binding.nearest.as_ref().map(|nearest| nearest.act);
        if told_apart || nearest == Some(start.at) || nearest == Some(tighten.at) {
            return false;
        }
        let before = self.maker.number();
        let Some(rows) = self.maker.started_and_tightened(start, tighten) else {
            return false;
        };
        self.guards();
        self.lettered.push((before, rows.len(), self.acts + 1));
        self.done(start, rows, before);
        self.acts += 1;
        self.loaded.after(self.binding.plan, &start.does);
        self.loaded.after(self.binding.plan, &tighten.does);
        self.drawings(tighten);
        true
    }

    /// Whether something on the card can kill by its own acts.
    fn kills(&self) -> bool {
        let mut all = self.shown.iter();
        all.any(|&caution| self.binding.kills_here(self.step, caution))
    }

    /// The rows so far, each with the act that it ends, and how many names of that act's list are done then.
    fn ends(&self) -> Vec<(String, usize, usize)> {
        let mut all = Vec::new();
        for &(before, rows, act) in &self.lettered {
            let mut names = 0;
            for row in before + 1..=before + rows {
                names += 1 + usize::from(self.maker.pairs.contains(&row));
                // The last row of an act ends it, whatever its list has.
                let done = if row == before + rows { usize::MAX } else { names };
                all.push((letter(row), act, done));
            }
        }
        all
    }

    /// The messages that wait for the act that comes now.
    fn guards(&mut self) {
        for caution in gravest_first(self.binding, std::mem::take(&mut self.next)) {
            let message = self.message(caution);
            self.rows.push(CardRow::Message(message));
        }
    }

    /// Puts the rows of an act on the card, so many standing before them.
    fn done(&mut self, act: &Act, mut rows: Vec<ActRow>, before: usize) {
        if self.moves == Some(act.at)
            && let Some(row) = rows.first_mut()
        {
            row.facts.insert(0, vec![strong("Sign the checklist first.")]);
            self.round = Some(before);
        }
        if let Some(loose) = before_it_moves::all_loose(self.binding, self.step, self.acts, act)
            && let Some(row) = rows.first_mut()
        {
            row.facts.push(loose);
        }
        self.acts += 1;
        if let Some(nearest) = &self.binding.nearest
            && nearest.act == act.at
            && let Some(row) = rows.first_mut()
        {
            row.facts.push(nearest_to_tipping(self.binding, nearest));
        }
        // Of an act with several rows the first may load what the others are done under.
        let mut then = self.loaded.clone();
        then.after(self.binding.plan, &act.does);
        for (nth, row) in rows.iter_mut().enumerate() {
            row.tied = self.loaded.is() || (nth > 0 && then.is());
        }
        self.rows.extend(rows.into_iter().map(CardRow::Act));
        self.acted = true;
    }

    /// What is drawn below an act.
    fn drawings(&mut self, act: &Act) {
        if let Does::Tighten(all) = &act.does {
            for fixings in all.iter().filter(|fixings| fixings.count.is_none()) {
                self.tightening_order(fixings.joint.value);
            }
        }
        if let Does::TakeOff(things) | Does::Fit(things) = &act.does {
            for thing in things {
                let figures = match thing.value {
                    Thing::Part(part) => self.binding.plan.parts[part].figures.as_slice(),
                    Thing::Assembly(assembly) => self.binding.plan.assemblies[assembly].figures.as_slice(),
                };
                for figure in figures {
                    self.figure(figure);
                }
            }
        }
    }

    /// What a page says again that begins where something is loaded, gravest first.
    fn over(&mut self) -> Vec<Message> {
        let loaded = |row: &CardRow| matches!(row, CardRow::Act(row) if row.tied);
        if !self.rows.iter().any(loaded) {
            return Vec::new();
        }
        let mut grave = std::mem::take(&mut self.grave);
        grave.sort_by_key(|message| message.signal);
        grave.dedup_by(|one, next| one.hazard == next.hazard);
        grave
    }

    fn message(&mut self, caution: Id<Caution>) -> Message {
        self.messages += 1;
        if signal(&self.binding.plan.cautions[caution]) <= SignalWord::Warning {
            self.grave
                .push(self.binding.message_again(caution, String::new()));
        }
        let name = self.binding.step_key(self.step);
        let proof = proof::message(name, self.messages);
        if self.in_full(caution) {
            self.told.insert(caution);
            self.binding.message(caution, proof)
        } else {
            self.binding.message_again(caution, proof)
        }
    }

    /// Where it first comes in the stage, and on each card by whose own acts it can kill.
    fn in_full(&self, caution: Id<Caution>) -> bool {
        !self.told.contains(&caution) || self.binding.kills_here(self.step, caution)
    }

    fn figure(&mut self, figure: &Figure) {
        self.pictures += 1;
        let step = &self.binding.plan.steps[self.step];
        let what = format!(
            "step {}, {}",
            self.binding.number(self.step),
            step_title(self.binding, step)
        );
        let proof = proof::picture(self.binding.step_key(self.step), self.pictures);
        self.rows
            .extend(picture(self.binding, figure, &what, proof).map(CardRow::Picture));
    }

    /// Too many fixings for marks in their places: how they stand is drawn.
    fn tightening_order(&mut self, joint: Id<Joint>) {
        let Some(drawing) = tightening::of_joint(&self.binding.plan.joints[joint]) else {
            return;
        };
        self.pictures += 1;
        let step = self.binding.step_key(self.step);
        let proof = proof::picture(step, self.pictures);
        self.rows.push(CardRow::Picture(drawing.shown(proof)));
    }

    /// The messages above the first act, the rows, and what is told again where the card goes over a page's end.
    fn finish(mut self) -> (Vec<Message>, Vec<CardRow>, Vec<Message>) {
        // A message behind the last act would come too late: it guards the whole step instead.
        let late = std::mem::take(&mut self.next);
        self.whole.extend(late);
        let mut whole = gravest_first(self.binding, std::mem::take(&mut self.whole));
        // What kills on this card comes first, and what is told in a line comes last.
        whole.sort_by_key(|&caution| {
            (
                !self.binding.kills_here(self.step, caution),
                !self.in_full(caution),
            )
        });
        let messages: Vec<Message> = whole.into_iter().map(|caution| self.message(caution)).collect();
        let over = self.over();
        // What stands before the first act would part the messages from it: a picture follows that act, and the messages follow prose.
        let first = self.rows.iter().position(|row| matches!(row, CardRow::Act(_)));
        let above: Vec<CardRow> = self.rows.drain(..first.unwrap_or(0)).collect();
        let is_picture = |row: &CardRow| matches!(row, CardRow::Picture(_));
        let (pictures, prose): (Vec<CardRow>, Vec<CardRow>) = above.into_iter().partition(is_picture);
        let behind_act = first.map_or(0, |_| 1);
        self.rows.splice(behind_act..behind_act, pictures);
        if prose.is_empty() {
            return (messages, self.rows, over);
        }
        let messages = messages.into_iter().map(CardRow::Message);
        self.rows.splice(0..0, prose.into_iter().chain(messages));
        (Vec::new(), self.rows, over)
    }
}

/// What bears where a step's card begins; nothing where the work was safe to leave, for a page is turned there.
fn loaded(binding: &Binding<'_>, step: Id<Step>) -> Loaded {
    let plan = binding.plan;
    let before = binding
        .place(step)
        .checked_sub(1)
        .and_then(|at| plan.order.get(at));
    let rests = before.is_none_or(|&before| plan.steps[before].safe_to_leave.is_some());
    let now = (!rests).then(|| binding.compilation.walk.before_act(plan, step, 0));
    now.flatten().map_or_else(Loaded::default, |now| Loaded::at(&now))
}

fn gravest_first(binding: &Binding<'_>, mut cautions: Vec<Id<Caution>>) -> Vec<Id<Caution>> {
    cautions.sort_by_key(|&id| signal(&binding.plan.cautions[id]) as u8);
    cautions
}
