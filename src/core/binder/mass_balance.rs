//! Mass and balance: the mass path, axle loads, sides and centre at the first weighing, now and at the end, and the plan view of the moving
//! centre. What is reckoned stands in `rules/` and `reckon/`; here it gets its words and drawings.

use super::binding::Binding;
use super::document::{Block, Cell, Section, TableGroup};
use super::drawings::{Drawing, mass_path, plan_view};
use super::masses::{self, ShownMass};
use super::rig_loads;
use super::tables::{column, grouped, right, row, section, text};
use super::words::{capital, inside, run};
use crate::analysis::account::{Known, Reckoner};
use crate::analysis::balance::{self, Balance};
use crate::analysis::centre_path::{self, Standing};
use crate::analysis::vehicle_weighings::{self, HeightFrom, When};
use crate::base::digits::Ruler;
use crate::plan::model::{Id, Plan, Step, Target, Units};
use crate::reckon::axles::{self, AxleLoads};
use crate::reckon::mass::Total;
use crate::reckon::polygon::{Spot, hull};

/// The vehicle at one moment, as the page tells it.
#[derive(Debug, Clone)]
pub struct Moment {
    /// "First weighing", "Now, after step 3.4", "At the end".
    pub called: String,
    pub mass: Total,
    /// Behind the front axle and right of the middle, in mm, each with what covers about 95 %.
    pub centre: Option<[(f64, f64); 2]>,
    /// By the centre; none where it is not known.
    pub axles: Option<AxleLoads>,
    /// Of the centre over the ground, in mm.
    pub height: Option<f64>,
}

/// The last step of the work that the log says is done.
#[must_use]
pub fn done_up_to(plan: &Plan) -> Option<Id<Step>> {
    plan.progress.last
}

/// First weighing, the last one where there was another, the state after a step, and the end. What the log says is the state where no step is
/// named.
#[must_use]
pub fn moments(binding: &Binding<'_>, after: Option<Id<Step>>) -> Vec<Moment> {
    let (plan, weights) = (binding.plan, &binding.weights);
    let weighings = binding.compilation.weighings();
    let account = binding.compilation.account();
    let walk = &binding.compilation.walk;
    let weighed = |called: String, known: &Known| {
        let own = weighings
            .iter()
            .find(|weighing| Some(weighing.id) == known.weigh_in);
        let own = own.and_then(|own| Balance::from(weights, weighings, own));
        let total = Total {
            known: known.estimate.clone(),
            unknown: 0,
        };
        moment(binding, called, total, own)
    };
    let Some(first) = account.first() else {
        return Vec::new();
    };
    let mut all = vec![weighed("First weighing".to_owned(), first)];
    all.extend(
        account
            .last()
            .map(|last| weighed(format!("Last weighing, {}", made(binding, last.when)), last)),
    );
    let now = after.or_else(|| done_up_to(plan));
    let named = |step: Id<Step>| {
        let number = binding.number(step);
        match after {
            Some(_) => format!("After step {number}"),
            None => format!("Now, after step {number}"),
        }
    };
    let reckoner = Reckoner::new(account, weights, walk);
    let halt = plan.progress.halt.filter(|_| after.is_none());
    if let Some((halt, reckoned)) = halt.and_then(|halt| Some((halt, reckoner.midst(halt)?))) {
        let called = format!("Now, within step {}", binding.number(halt.step));
        all.push(moment(binding, called, reckoned.total, None));
    }
    for (step, called) in [
        now.filter(|_| halt.is_none())
            .map(|step| (Some(step), named(step))),
        Some((None, "At the end".to_owned())),
    ]
    .into_iter()
    .flatten()
    {
        let Some(reckoned) = reckoner.at(step) else {
            continue;
        };
        let balance = Balance::after(weights, walk, weighings, step);
        all.push(moment(binding, called, reckoned.total, balance));
    }
    all
}

/// "as it was found", "after step 3.4", "in step 3.5, at the end": when the whole was weighed.
#[must_use]
pub fn made(binding: &Binding<'_>, when: When) -> String {
    let Some(step) = when.step() else {
        return "as it was found".to_owned();
    };
    let word = match when {
        When::Before(..) => "in",
        When::After(_) | When::AsFound => "after",
    };
    let end = if binding.plan.order.last() == Some(&step) {
        ", at the end"
    } else {
        ""
    };
    format!("{word} step {}{end}", binding.number(step))
}

fn moment(binding: &Binding<'_>, called: String, mass: Total, balance: Option<Balance<'_>>) -> Moment {
    let centre = balance.as_ref().and_then(Balance::centre);
    let wheelbase = binding
        .plan
        .vehicle()
        .and_then(|id| binding.plan.vehicles[id].wheelbase)
        .map(|said| said.value.base());
    let axles = centre.zip(wheelbase).and_then(|((at, _), wheelbase)| {
        let reckoned = balance.as_ref()?.mass().0;
        let weight = if mass.unknown == 0 {
            mass.known.kg
        } else {
            reckoned
        };
        axles::loads(weight, wheelbase, at.behind).ok()
    });
    Moment {
        called,
        mass,
        centre: centre.map(|(at, u)| [(at.behind, 2.0 * u.behind), (at.right, 2.0 * u.right)]),
        axles,
        height: balance.as_ref().and_then(Balance::height),
    }
}

/// How far, whichever way: "1120 mm", "44.1 in"; whole millimetres, coarser where the uncertainty is, or tenths of an inch.
#[must_use]
pub fn length(units: Units, value: f64, within: f64) -> String {
    ruler(units, if within >= 20.0 { 10.0 } else { 1.0 }).length(value.abs())
}

fn ruler(units: Units, step: f64) -> Ruler {
    match units {
        Units::Metric => Ruler::Millimetres(step),
        Units::Inch => Ruler::Inches,
    }
}

/// "97 ± 56 mm": a length with what covers about 95 % of how well it is known, both to the millimetre or the tenth of an inch.
#[must_use]
pub fn length_within(units: Units, value: f64, covers: f64) -> String {
    ruler(units, 1.0).length_within(value, covers)
}

/// Which way from the front axle; on it counts as behind.
#[must_use]
pub fn ahead_or_behind(value: f64) -> &'static str {
    if value < 0.0 { "ahead of" } else { "behind" }
}

/// "1120 mm behind", "40 mm ahead of": the front axle follows.
#[must_use]
pub fn along(units: Units, value: f64, within: f64) -> String {
    format!("{} {}", length(units, value, within), ahead_or_behind(value))
}

/// "4 mm left".
#[must_use]
pub fn sideways(units: Units, value: f64, within: f64) -> String {
    let shown = length(units, value, within);
    match (shown.as_str(), value < 0.0) {
        ("0 mm" | "0.0 in", _) => "in the middle".to_owned(),
        (_, true) => format!("{shown} left"),
        (_, false) => format!("{shown} right"),
    }
}

/// "504 ± 28 mm, by the weighing with an end raised": the height of the centre at the first weighing, and where it comes from.
#[must_use]
pub fn height(binding: &Binding<'_>) -> Option<String> {
    let found = vehicle_weighings::height(binding.plan, binding.compilation.weighings())?;
    let percent = |share: f64| format!("{} %", super::figures::decimal(share * 100.0, 0));
    let from = match found.from {
        HeightFrom::Weighing(_) => "by the weighing with an end raised".to_owned(),
        HeightFrom::Stated => format!(
            "as the plan says, taken to lie within {}",
            percent(vehicle_weighings::STATED_WITHIN)
        ),
        HeightFrom::Assumed => format!(
            "assumed, and taken to lie within {}",
            percent(vehicle_weighings::ASSUMED_WITHIN)
        ),
    };
    let shown = length_within(binding.units, found.over_ground, 2.0 * found.u);
    Some(format!(
        "Height of the centre at the first weighing: {shown}, {from}."
    ))
}

/// What the figures of balance take for granted, where the plan says nothing.
#[must_use]
pub fn taken_for_granted(binding: &Binding<'_>) -> String {
    format!(
        "A place is taken as known within {}; a part without one is taken at the centre, and may be anywhere along the {}.",
        length(binding.units, balance::PLACE_WITHIN, 0.0),
        if binding.is_machine() {
            "machine"
        } else {
            "wheelbase"
        }
    )
}

#[must_use]
pub fn sections(binding: &Binding<'_>) -> Vec<Section> {
    let mut blocks: Vec<Block> = Vec::new();
    let picture = |drawing: Drawing| Block::Picture(drawing.shown_by_key());
    let path = path(binding).as_ref().and_then(mass_path::draw);
    let view = view(binding).as_ref().and_then(plan_view::draw);
    blocks.extend(path.map(picture));
    let view = view.map(picture);
    let mut figures: Vec<Block> = Vec::new();
    if let Some(table) = balance_table(binding) {
        figures.push(table);
    }
    let words = (!figures.is_empty()).then(|| {
        let height = height(binding).map(|height| format!("{height} "));
        Block::Text(vec![
            run(height.unwrap_or_default() + &taken_for_granted(binding)),
        ])
    });
    match view {
        Some(view) if !figures.is_empty() => blocks.push(Block::Halves(figures, vec![view])),
        view => blocks.extend(figures.into_iter().chain(view)),
    }
    blocks.extend(words);
    if blocks.is_empty() {
        return Vec::new();
    }
    section("balance", "Mass and balance", blocks)
}

fn balance_table(binding: &Binding<'_>) -> Option<Block> {
    let moments = moments(binding, None);
    if moments.iter().all(|moment| moment.centre.is_none()) {
        return None;
    }
    let unit = masses::unit(binding);
    // A centre ahead of the axle changes the head, and each row says its way.
    let ahead = |moment: &Moment| moment.centre.is_some_and(|[(behind, _), _]| behind < 0.0);
    let some_ahead = moments.iter().any(ahead);
    let (front, rear) = binding.axles();
    let way = if some_ahead { "from" } else { "behind" };
    let named = [
        format!("Weight, {unit}"),
        format!("{}, {}", capital(front), inside(rear)),
        format!("Centre {way} {front}"),
        "Off centre".to_owned(),
    ];
    // One moment below the other, each figure with its name: so they have room beside the drawing.
    let groups: Vec<TableGroup> = moments
        .iter()
        .map(|moment| TableGroup {
            head: Some(moment.called.clone()),
            rows: named
                .iter()
                .zip(figures_of(binding, moment, some_ahead))
                .filter(|(_, figure)| !matches!(figure, Cell::Empty))
                .map(|(name, figure)| row(vec![text(name.clone()), figure]))
                .collect(),
        })
        .collect();
    let columns = vec![column("", 0), right("", 32)];
    Some(Block::Table(grouped("", columns, groups, 6)))
}

/// Weight, axles, and where the centre lies, along and across.
fn figures_of(binding: &Binding<'_>, moment: &Moment, some_ahead: bool) -> [Cell; 4] {
    let figure = |kg: f64| {
        let estimate = ShownMass {
            kg,
            within: moment.mass.known.expanded(),
            last: ShownMass::reckoned(binding, &moment.mass.known).last,
        };
        masses::figure(binding, estimate)
    };
    let mass = text(if moment.mass.unknown == 0 {
        figure(moment.mass.known.kg)
    } else {
        "not known".to_owned()
    });
    let axles = moment.axles.map_or(Cell::Empty, |axles| {
        text(format!("{}, {}", figure(axles.front), figure(axles.rear)))
    });
    let (behind, beside) = match moment.centre {
        Some([(behind, within), (right, side_within)]) => (
            text(format!(
                "{}{}",
                length_within(binding.units, behind.abs(), within),
                match (behind < 0.0, some_ahead) {
                    (true, _) => " ahead",
                    (false, true) => " behind",
                    (false, false) => "",
                }
            )),
            text(sideways(binding.units, right, side_within)),
        ),
        None => (Cell::Empty, Cell::Empty),
    };
    [mass, axles, behind, beside]
}

/// Each stage's mark with its last step; steps without stages are one.
fn stage_ends(binding: &Binding<'_>) -> Vec<(String, Id<Step>)> {
    binding
        .stages()
        .into_iter()
        .filter_map(|(stage, steps)| {
            let last = *steps.last()?;
            let mark = stage.map_or_else(|| "1".to_owned(), |stage| binding.stage_number(stage).to_string());
            Some((mark, last))
        })
        .collect()
}

/// The path over the stages; none where a mass is unknown, or where nothing changes it.
#[must_use]
pub fn path(binding: &Binding<'_>) -> Option<mass_path::Path> {
    let (plan, weights) = (binding.plan, &binding.weights);
    let account = binding.compilation.account();
    let first = account.start.as_ref()?;
    let reckoner = Reckoner::new(account, weights, &binding.compilation.walk);
    let kg = |kg: f64| masses::in_unit(binding, kg);
    let mut after = Vec::new();
    for (mark, step) in stage_ends(binding) {
        let total = reckoner.at(Some(step))?.total;
        // A path with an unknown mass in it would be drawn wrong.
        let mass = total.whole()?.kg;
        after.push(mass_path::After { mark, mass: kg(mass) });
    }
    let moves = after.iter().any(|after| (after.mass - kg(first.kg)).abs() > 1e-9);
    let about = plan.about.as_ref();
    let target = about.and_then(|about| about.target).map(|said| match said.value {
        Target::Save(mass) => kg(first.kg - mass.base()),
        Target::Reach(mass) => kg(mass.base()),
    });
    moves.then(|| mass_path::Path {
        unit: masses::unit(binding),
        places: masses::places(binding, ShownMass::reckoned(binding, first).last).min(1),
        first: kg(first.kg),
        after,
        target,
        minimum: about
            .and_then(|about| about.class_minimum)
            .map(|said| kg(said.value.base() - account.class_has_more(plan))),
    })
}

fn view(binding: &Binding<'_>) -> Option<plan_view::View> {
    let plan = binding.plan;
    let all = binding.compilation.standings()?;
    let first = all.first()?;
    let place = |spot: Spot| plan_view::Place {
        behind: spot.behind,
        right: spot.right,
    };
    let dot = |mark: String, standing: &Standing| plan_view::Dot {
        mark,
        at: place(standing.centre),
        within: plan_view::Place {
            behind: 2.0 * standing.u.behind,
            right: 2.0 * standing.u.right,
        },
    };
    let mut dots = vec![dot("0".to_owned(), first)];
    let at = |step: Id<Step>| plan.order.iter().position(|other| *other == step);
    for (mark, last) in stage_ends(binding) {
        let until = all.iter().rev().find(|standing| {
            let step = standing.step.and_then(at);
            step.is_none() || step <= at(last)
        });
        dots.extend(until.map(|standing| dot(mark, standing)));
    }
    let nearest = binding.nearest.as_ref();
    let least = match nearest {
        Some(nearest) => all.get(nearest.moment),
        None => rig_loads::least(all),
    };
    let least_margin = nearest
        .map(|nearest| nearest.inside)
        .or_else(|| least.map(Standing::inside));
    let contacts: Vec<_> = least.map_or_else(Vec::new, |least| {
        least.contacts.iter().map(|contact| contact.at).collect()
    });
    let supports = hull(&contacts).map_or(contacts, |hull| hull.corners().to_vec());
    let wheels = centre_path::contacts(plan, Default::default(), Default::default()).unwrap_or_default();
    Some(plan_view::View {
        wheels: wheels.iter().map(|contact| place(contact.at)).collect(),
        supports: supports.into_iter().map(place).collect(),
        dots,
        nearest: least.and_then(|least| {
            let mut dot = dot(binding.number(least.step?), least);
            if let Some((at, u)) = nearest.map(|nearest| nearest.centre) {
                dot.at = place(at);
                dot.within = place(Spot::new(2.0 * u.behind, 2.0 * u.right));
            }
            Some(dot)
        }),
        when: match least.and_then(|least| least.step) {
            Some(step) => {
                let takes =
                    nearest.map_or_else(String::new, |nearest| match (nearest.taken_by, nearest.push) {
                        (Some(rig), Some(push)) => format!(
                            ", should {} push with {}",
                            binding.the_rig(rig),
                            masses::whole(binding, push)
                        ),
                        (Some(rig), None) => {
                            format!(", should {} take all that it can", binding.the_rig(rig))
                        }
                        (None, _) => String::new(),
                    });
                format!("in step {}{takes}", binding.number(step))
            }
            None => "as it was found".to_owned(),
        },
        vehicle: if binding.is_machine() { "machine" } else { "car" },
        front: binding.axles().0,
        margin: least_margin,
        units: binding.units,
    })
}
