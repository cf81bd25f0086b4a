//! Weighing sheets: one for each weigh-in, and one for what the steps weigh and no weigh-in lists. A blank has as
//! many boxes as the scale has digits; beside it stands a range, never the expected figure. Knows readings; the
//! program does the sums, nobody at the scale.

use super::binding::Binding;
use super::document::{Block, Section, TableGroup, WeighCell, WeighRow, WeighingSheet};
use super::figures;
use super::masses::{self, ShownMass};
use super::tables::{column, grouped, right, section};
use super::weighed;
use super::words::{capital, inside, run};
use crate::analysis::vehicle_weighings::{self, When};
use crate::base::quantity::Mass;
use crate::base::source::Span;
use crate::base::unit::Dimension;
use crate::plan::model::{
    Does, Driver, FrontRear, Id, Load, Origin, Reading, Reads, Said, Scale, Step, Thing, WeighIn, Weighed,
};
use crate::reckon::mass;
use crate::weights;

/// Half the width of a plausible range, as a share of what is known, by how well it is known.
const RANGES: [(Origin, f64); 4] = [
    (Origin::Weighed, 0.05),
    (Origin::Quoted, 0.15),
    (Origin::Estimated, 0.3),
    (Origin::Unsaid, 0.3),
];

#[must_use]
pub fn sections(binding: &Binding<'_>) -> Vec<Section> {
    let mut done: Vec<TableGroup> = Vec::new();
    let mut blocks: Vec<Block> = Vec::new();
    for (id, weigh_in) in binding.plan.weigh_ins.iter() {
        let sheet = of_weigh_in(binding, weigh_in);
        if has_blank(&sheet) && is_at_acts(binding, weigh_in) {
            let known = known_only(sheet);
            if !known.rows.is_empty() && !binding.is_small() {
                done.push(TableGroup {
                    head: Some(weighed::head(weigh_in)),
                    rows: weighed::rows(
                        weigh_in,
                        known,
                        scale_words(binding, weigh_in.with.map(|said| said.value)),
                    ),
                });
            }
        } else if !has_blank(&sheet) {
            done.push(TableGroup {
                head: Some(weighed::head(weigh_in)),
                rows: weighed::rows(
                    weigh_in,
                    sheet,
                    scale_words(binding, weigh_in.with.map(|said| said.value)),
                ),
            });
        } else if weighed::filled_in_at(binding, id).is_none() {
            blocks.push(Block::WeighingSheet(sheet));
        }
    }
    blocks.extend(during_the_work(binding).map(Block::WeighingSheet));
    if !done.is_empty() {
        let columns = vec![column("", 0), right("Scale reads", 40)];
        let table = grouped("", columns, done, 6);
        blocks.insert(0, Block::Table(table));
    }
    section("weighing", "Weighing", blocks)
}

/// Sheets that are filled in after this step: they stand after its card.
#[must_use]
pub fn after_step(binding: &Binding<'_>, step: Id<Step>) -> Vec<Block> {
    let all = binding.plan.weigh_ins.iter();
    all.filter(|(id, _)| weighed::filled_in_at(binding, *id) == Some(step))
        .filter(|(_, weigh_in)| !is_at_acts(binding, weigh_in))
        .map(|(_, weigh_in)| of_weigh_in(binding, weigh_in))
        .filter(has_blank)
        .map(Block::WeighingSheet)
        .collect()
}

/// What an act that weighs reads, or boxes for it, and about what that should be: where it is one reading, written nowhere else. None where a
/// sheet has it.
#[must_use]
pub fn at_the_act(
    binding: &Binding<'_>,
    things: &[Said<Load>],
    with: Option<Said<Id<Scale>>>,
) -> Option<(WeighCell, Option<String>)> {
    let what: Vec<Said<Weighed>> = things
        .iter()
        .map(|load| Said::new(lies_on_the_scale(load.value), load.at))
        .collect();
    if what.iter().any(|said| matches!(said.value, Weighed::Vehicle(_))) {
        return None;
    }
    let between = || between(binding, &what);
    let scale = with.map(|said| said.value);
    for weigh_in in binding.plan.weigh_ins.values() {
        if let Some(reads) = weigh_in.reads.iter().find(|reads| holds(reads, &what)) {
            let blank = blank(binding, weigh_in.with.map_or(scale, |said| Some(said.value)));
            return is_at_acts(binding, weigh_in)
                .then(|| (reading(binding, reads.mass, &blank), between()))
                .filter(|(cell, _)| few_boxes(cell));
        }
    }
    Some((blank(binding, scale), between())).filter(|(cell, _)| few_boxes(cell))
}

/// So many boxes stand beside an act; a scale of more digits has its sheet.
fn few_boxes(cell: &WeighCell) -> bool {
    match cell {
        WeighCell::Blank { whole, decimals, .. } => usize::from(*whole) + usize::from(*decimals) <= 4,
        WeighCell::Known(_) | WeighCell::Nothing => true,
    }
}

/// Whether a reading is of these.
fn holds(reads: &Reads, what: &[Said<Weighed>]) -> bool {
    let is = |said: &Said<Weighed>| reads.what.iter().any(|other| other.value == said.value);
    !what.is_empty() && what.iter().all(is)
}

/// Each reading that is to come is one act's, and written there: such a weighing needs no sheet.
fn is_at_acts(binding: &Binding<'_>, weigh_in: &WeighIn) -> bool {
    let blank = blank(binding, weigh_in.with.map(|said| said.value));
    let weighed = |reads: &Reads| {
        let mut acts = binding
            .plan
            .order
            .iter()
            .flat_map(|&step| binding.plan.steps[step].acts());
        acts.any(|act| match &act.does {
            Does::Weigh { things, .. } => {
                let what: Vec<Said<Weighed>> = things
                    .iter()
                    .map(|load| Said::new(lies_on_the_scale(load.value), load.at))
                    .collect();
                what.len() == reads.what.len() && holds(reads, &what)
            }
            // A scale reads by this alone.
            _ => false,
        })
    };
    let mut blanks = weigh_in
        .reads
        .iter()
        .filter(|reads| reads.mass == Reading::ToCome)
        .peekable();
    let sum_to_come = weigh_in
        .sum_given
        .is_some_and(|said| said.value == Reading::ToCome);
    !weighs_vehicle(weigh_in)
        && weigh_in.tare.is_empty()
        && !sum_to_come
        && few_boxes(&blank)
        && blanks.peek().is_some()
        && blanks.all(weighed)
}

/// A sheet with nothing but the readings that are in.
fn known_only(mut sheet: WeighingSheet) -> WeighingSheet {
    sheet.rows.retain(|row| matches!(row.reads, WeighCell::Known(_)));
    sheet.foot.clear();
    sheet
}

/// Whether a reading is still to be written.
fn has_blank(sheet: &WeighingSheet) -> bool {
    let blank = |cell: &WeighCell| matches!(cell, WeighCell::Blank { .. });
    sheet.rows.iter().any(|row| blank(&row.reads)) || sheet.corners.iter().flatten().any(blank)
}

/// What a row that weighs says of the place to write.
#[must_use]
pub fn where_to_write(binding: &Binding<'_>, things: &[Said<Load>]) -> String {
    const DURING: &str = "sheet “Weighed during the work”";
    let listed = binding.plan.weigh_ins.values().find_map(|weigh_in| {
        let row = weigh_in.reads.iter().position(|reads| {
            things.iter().all(|load| {
                reads
                    .what
                    .iter()
                    .any(|said| said.value == lies_on_the_scale(load.value))
            })
        })?;
        Some(format!(
            "sheet “{}”, row {}",
            capital(&weigh_in.head.called()),
            row + 1
        ))
    });
    if let Some(listed) = listed {
        return listed;
    }
    if !things.iter().any(|load| matches!(load.value, Load::Vehicle(_))) {
        return DURING.to_owned();
    }
    let called = |id: Id<WeighIn>| format!("“{}”", capital(&binding.plan.weigh_ins[id].head.called()));
    // The sheet of this moment, whether its figures are in or to come.
    let own: Vec<String> = things
        .first()
        .and_then(|load| act_of(binding, load.at))
        .map_or_else(Vec::new, |(step, nth)| {
            let moments = vehicle_weighings::moments(binding.plan).into_iter();
            let here = [When::Before(step, nth), When::After(step)];
            moments
                .filter(|(_, when)| here.contains(when))
                .map(|(id, _)| called(id))
                .collect()
        });
    let sheets = binding
        .plan
        .weigh_ins
        .iter()
        .filter(|(_, weigh_in)| weighs_vehicle(weigh_in));
    let sheets: Vec<String> = sheets.map(|(id, _)| called(id)).collect();
    match (own.as_slice(), sheets.as_slice()) {
        ([_, ..], _) => format!("sheet {}", own.join(" or ")),
        (_, []) => DURING.to_owned(),
        (_, all) => format!("sheet {}", all.join(" or ")),
    }
}

/// The step, and the place in it, of the act that weighs what is named here.
fn act_of(binding: &Binding<'_>, at: Span) -> Option<(Id<Step>, usize)> {
    binding.plan.order.iter().find_map(|&step| {
        let mut acts = binding.plan.steps[step].acts();
        let nth = acts.position(|act| match &act.does {
            Does::Weigh { things, .. } => things.iter().any(|load| load.at == at),
            // A scale reads by this alone.
            _ => false,
        })?;
        Some((step, nth))
    })
}

pub(super) fn weighs_vehicle(weigh_in: &WeighIn) -> bool {
    weigh_in.corners.is_some() || weigh_in.axles.is_some()
}

pub(super) fn lies_on_the_scale(load: Load) -> Weighed {
    match load {
        Load::Thing(thing) => Weighed::Thing(thing),
        Load::Vehicle(id) => Weighed::Vehicle(id),
    }
}

fn of_weigh_in(binding: &Binding<'_>, weigh_in: &WeighIn) -> WeighingSheet {
    let scale = weigh_in.with.map(|said| said.value);
    let blank = blank(binding, scale);
    let name = &weigh_in.head.name;
    let mut rows: Vec<WeighRow> = weigh_in
        .reads
        .iter()
        .zip(1..)
        .map(|(reads, nth): (_, usize)| {
            let mut what = vec![run(called(binding, &reads.what))];
            what.extend(reads.words.as_ref().map(|words| run(format!(", {words}"))));
            WeighRow {
                what,
                between: between(binding, &reads.what).filter(|_| reads.mass == Reading::ToCome),
                reads: reading(binding, reads.mass, &blank),
                tare: if weigh_in.tare.is_empty() && reads.mass == Reading::ToCome {
                    blank.clone()
                } else {
                    WeighCell::Nothing
                },
                proof: format!("weigh/{name}/{nth}"),
            }
        })
        .collect();
    rows.extend(
        weigh_in
            .tare
            .iter()
            .zip(1..)
            .map(|(tare, nth): (_, usize)| WeighRow {
                what: vec![run(format!(
                    "{}, taken away",
                    capital(&tare.name.replace('-', " "))
                ))],
                between: None,
                reads: WeighCell::Nothing,
                tare: WeighCell::Known(binding.one(tare.mass)),
                proof: format!("weigh/{name}/tare/{nth}"),
            }),
    );
    if let Some(axles) = weigh_in.axles.map(|said| said.value) {
        let words = if binding.is_machine() {
            ["Front end", "Rear end"]
        } else {
            ["Front axle", "Rear axle"]
        };
        let ends = words.into_iter().zip([axles.front, axles.rear]);
        rows.extend(ends.zip(1..).map(|((end, mass), nth): (_, usize)| WeighRow {
            what: vec![run(end)],
            between: None,
            reads: reading(binding, mass, &blank),
            tare: WeighCell::Nothing,
            proof: format!("weigh/{name}/axle/{nth}"),
        }));
    }
    WeighingSheet {
        title: title(binding, &capital(&weigh_in.head.called()), scale),
        conditions: conditions(binding, weigh_in),
        rows,
        corners: weigh_in
            .corners
            .map(|said| said.value.all().map(|mass| reading(binding, mass, &blank))),
        foot: foot(binding, weigh_in),
        proof: format!("weighing/{name}"),
    }
}

/// "What came off: hanging scale, 100 kg in steps of 0.1 kg".
fn title(binding: &Binding<'_>, what: &str, scale: Option<Id<Scale>>) -> String {
    match scale_words(binding, scale) {
        Some(scale) => format!("{what}: {scale}"),
        None => what.to_owned(),
    }
}

/// "hanging scale, 100 kg in steps of 0.1 kg".
fn scale_words(binding: &Binding<'_>, scale: Option<Id<Scale>>) -> Option<String> {
    let scale = &binding.plan.scales[scale?];
    let mut words = inside(&scale.head.called());
    if let Some(capacity) = scale.capacity {
        let each = if capacity.value.each { " each" } else { "" };
        words = format!("{words}, {}{each}", capacity.value.mass);
    }
    if let Some(division) = scale.division {
        words = format!("{words} in steps of {}", division.value);
    }
    Some(words)
}

/// What makes two weighings comparable; what the plan does not say is a line to write on.
fn conditions(binding: &Binding<'_>, weigh_in: &WeighIn) -> Vec<(String, Option<String>)> {
    let mut conditions = vec![(
        "Date".to_owned(),
        weigh_in.dated.map(|said| said.value.to_string()),
    )];
    let whole_vehicle = weigh_in.corners.is_some()
        || weigh_in.axles.is_some()
        || weigh_in.reads.iter().any(|reads| {
            reads
                .what
                .iter()
                .any(|said| matches!(said.value, Weighed::Vehicle(_)))
        });
    if !whole_vehicle {
        return conditions;
    }
    let machine = binding.is_machine();
    let mut add = |label: &str, value: Option<String>| conditions.push((label.to_owned(), value));
    add(
        "Level floor",
        weigh_in.level.as_ref().map(|said| said.value.to_string()),
    );
    if machine {
        add("At rest, read twice", None);
        return conditions;
    }
    add(
        "Fuel",
        weigh_in
            .fuel
            .and_then(|said| said.value.known())
            .map(|fuel| binding.both(fuel)),
    );
    add(
        "Driver",
        weigh_in.driver.map(|said| match said.value {
            Driver::In => "in".to_owned(),
            Driver::Out => "out".to_owned(),
            Driver::Mass(mass) => binding.both(mass),
        }),
    );
    add(
        capital(binding.words.say("tyre pressures")).as_str(),
        weigh_in.tyres.map(|said| {
            let FrontRear { front, rear } = said.value;
            format!("{} front, {} rear", binding.both(front), binding.both(rear))
        }),
    );
    if let Some(raised) = weigh_in.raised {
        let (end, by) = raised.value;
        let end = match end {
            crate::plan::model::End::Front => "Front raised",
            crate::plan::model::End::Rear => "Rear raised",
        };
        add(end, Some(binding.both(by)));
    }
    add("Rolled to settle, read twice", None);
    conditions
}

fn foot(binding: &Binding<'_>, weigh_in: &WeighIn) -> Vec<(String, Option<String>)> {
    let mut foot = Vec::new();
    if let Some(sum) = sum(binding, weigh_in) {
        foot.push(("Sum of the readings, tare taken away".to_owned(), Some(sum)));
    }
    if let Some(given) = weigh_in.sum_given.map(|said| said.value) {
        foot.push((
            "Sum given".to_owned(),
            given.known().map(|mass| binding.one(mass)),
        ));
    }
    foot
}

/// Where every reading is in; a sum with a hole in it is none.
fn sum(binding: &Binding<'_>, weigh_in: &WeighIn) -> Option<String> {
    let mut readings: Vec<Reading<Mass>> = weigh_in.reads.iter().map(|reads| reads.mass).collect();
    readings.extend(weigh_in.corners.iter().flat_map(|said| said.value.all()));
    if let Some(axles) = weigh_in.axles.map(|said| said.value) {
        readings.extend([axles.front, axles.rear]);
    }
    let with = weigh_in.with.map(|said| said.value);
    let estimate = |mass: Mass| weights::reading(binding.plan, mass, None, with);
    let known: Vec<Mass> = readings.into_iter().map(Reading::known).collect::<Option<_>>()?;
    if known.len() < 2 {
        return None;
    }
    let all: Option<Vec<mass::MassEstimate>> = known.iter().map(|&mass| estimate(mass)).collect();
    let tare: Option<Vec<mass::MassEstimate>> =
        weigh_in.tare.iter().map(|tare| estimate(tare.mass)).collect();
    let sum = mass::MassEstimate::sum(&all?).minus(&mass::MassEstimate::sum(&tare?));
    // A sum of readings is as coarse as the coarsest of them.
    let last = known.iter().map(|mass| mass.last_place()).fold(0.0, f64::max);
    let printed = ShownMass {
        kg: sum.kg,
        within: sum.expanded(),
        last,
    };
    Some(masses::text(binding, printed))
}

fn reading(binding: &Binding<'_>, mass: Reading<Mass>, blank: &WeighCell) -> WeighCell {
    match mass {
        Reading::Is(mass) => WeighCell::Known(binding.one(mass)),
        Reading::ToCome => blank.clone(),
    }
}

fn called(binding: &Binding<'_>, what: &[Said<Weighed>]) -> String {
    let names: Vec<String> = what.iter().map(|said| name_of(binding, said.value)).collect();
    capital(&super::words::and_list(&names))
}

/// What lies on the scale, as a page calls it.
#[must_use]
pub fn name_of(binding: &Binding<'_>, what: Weighed) -> String {
    match what {
        Weighed::Thing(thing) => binding.inside(&binding.plan.called(thing)),
        Weighed::Hardware(joint) => format!("hardware of {}", binding.the_joint(joint)),
        Weighed::Vehicle(id) => binding.plan.vehicles[id].head.called(),
    }
}

/// The same of what lies on a scale, in kilograms.
#[must_use]
pub fn range(binding: &Binding<'_>, things: &[Said<Load>]) -> Option<(f64, f64)> {
    let each = things
        .iter()
        .map(|load| known(binding, lies_on_the_scale(load.value)));
    each.reduce(|sum, one| Some((sum?.0 + one?.0, sum?.1 + one?.1)))
        .flatten()
        .map(|(kg, half)| ((kg - half).max(0.0), kg + half))
}

/// A plausible range in whole steps, from what the plan itself says; never the figure.
fn between(binding: &Binding<'_>, what: &[Said<Weighed>]) -> Option<String> {
    let mut low = 0.0;
    let mut high = 0.0;
    for said in what {
        let (kg, half) = known(binding, said.value)?;
        low += kg - half;
        high += kg + half;
    }
    let (low, high) = (masses::in_unit(binding, low), masses::in_unit(binding, high));
    let step = if high >= 50.0 {
        5.0
    } else if high >= 5.0 {
        1.0
    } else {
        0.1
    };
    let places = if step < 1.0 { 1 } else { 0 };
    Some(format!(
        "{} to {} {}",
        figures::decimal((low / step).floor().max(0.0) * step, places),
        figures::decimal((high / step).ceil() * step, places),
        masses::unit(binding)
    ))
}

/// What the plan says a thing weighs, and how far off that may be.
fn known(binding: &Binding<'_>, what: Weighed) -> Option<(f64, f64)> {
    let figure = match what {
        Weighed::Thing(Thing::Part(id)) => binding.plan.parts[id].mass.as_ref(),
        Weighed::Thing(Thing::Assembly(id)) if binding.plan.assemblies[id].mass.is_none() => {
            let parts = &binding.plan.assemblies[id].parts;
            return parts
                .iter()
                .map(|&part| known(binding, Weighed::Thing(Thing::Part(part))))
                .reduce(|sum, part| Some((sum?.0 + part?.0, sum?.1 + part?.1)))
                .flatten();
        }
        Weighed::Thing(Thing::Assembly(id)) => binding.plan.assemblies[id].mass.as_ref(),
        Weighed::Vehicle(id) => binding.plan.vehicles[id].mass.as_ref(),
        Weighed::Hardware(_) => None,
    }?;
    let kg = figure.value.mass.base();
    let share = RANGES
        .iter()
        .find(|(origin, _)| *origin == figure.value.origin)
        .map_or(0.3, |(_, share)| *share);
    let stated = figure.value.give.map_or(0.0, |give| 3.0 * give.base());
    Some((kg, (kg * share).max(stated)))
}

/// Boxes for one reading: as many before the point as the capacity has, as many after it as the division has.
fn blank(binding: &Binding<'_>, scale: Option<Id<Scale>>) -> WeighCell {
    let scale = scale.map(|id| &binding.plan.scales[id]);
    let division = scale.and_then(|scale| scale.division).map(|said| said.value);
    let capacity = scale.and_then(|scale| scale.capacity).map(|said| said.value.mass);
    let unit = division
        .or(capacity)
        .map_or_else(|| masses::unit(binding), |mass| mass.unit().unit().symbol);
    let whole = capacity
        .and_then(|mass| figures::value_in(mass.base(), unit, Dimension::Mass))
        .map_or(4, digits);
    let decimals = division.map_or(1, |mass| mass.number().decimals);
    WeighCell::Blank {
        whole,
        decimals,
        unit: unit.to_owned(),
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "digits of a capacity: a small number, not negative"
)]
fn digits(capacity: f64) -> u8 {
    (capacity.max(1.0).log10() + 1e-9).floor() as u8 + 1
}

/// What steps weigh and no weigh-in lists, on scales of many digits: a sheet to be filled in.
fn during_the_work(binding: &Binding<'_>) -> Option<WeighingSheet> {
    let mut rows: Vec<WeighRow> = Vec::new();
    let mut only_scale: Option<Option<Id<Scale>>> = None;
    for &step in &binding.plan.order {
        for act in binding.plan.steps[step].acts() {
            let Does::Weigh { things, with } = &act.does else {
                continue;
            };
            let what: Vec<Said<Weighed>> = things
                .iter()
                .map(|load| Said::new(lies_on_the_scale(load.value), load.at))
                .collect();
            if is_listed(binding, &what) || at_the_act(binding, things, *with).is_some() {
                continue;
            }
            let scale = with.map(|said| said.value);
            only_scale = match only_scale {
                None => Some(scale),
                Some(known) if known == scale => Some(known),
                Some(_) => Some(None),
            };
            rows.push(WeighRow {
                what: vec![run(format!(
                    "{}, {}",
                    called(binding, &what),
                    binding.number(step)
                ))],
                between: between(binding, &what),
                reads: blank(binding, scale),
                tare: blank(binding, scale),
                proof: format!("weigh/~during/{}", rows.len() + 1),
            });
        }
    }
    (!rows.is_empty()).then(|| WeighingSheet {
        title: title(binding, "Weighed during the work", only_scale.flatten()),
        conditions: vec![("Date".to_owned(), None)],
        rows,
        corners: None,
        foot: Vec::new(),
        proof: "weighing/~during".to_owned(),
    })
}

fn is_listed(binding: &Binding<'_>, what: &[Said<Weighed>]) -> bool {
    binding.plan.weigh_ins.values().any(|weigh_in| {
        weigh_in.reads.iter().any(|reads| {
            what.iter()
                .all(|said| reads.what.iter().any(|other| other.value == said.value))
        }) || (weighs_vehicle(weigh_in) && what.iter().all(|said| matches!(said.value, Weighed::Vehicle(_))))
    })
}
