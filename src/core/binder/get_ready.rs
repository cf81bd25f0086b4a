//! Get ready: first what has to be bought, made, borrowed or ordered, then what is there already, in columns; then rigs with their ratings.
//! Which step needs what stands on its card. Knows lists, and no single act's wording.

use std::collections::{BTreeMap, BTreeSet};

use super::binding::Binding;
use super::document::{Block, Cell, Dense, DenseItem, Line, Section, TableRow, text_of};
use super::drawings::metrics;
use super::drives::DriveNeed;
use super::figures::duration;
use super::masses;
use super::sizes::T11;
use super::tables::{cell, column, right, section, table, tick_row};
use super::words::{and_list, capital, run, strong};
use super::{at_hand, fixings_from, money_words, order_list, rig_loads};
use crate::analysis::money::{For, Kind, Sums};
use crate::plan::drives;
use crate::plan::model::{Does, Id, Load, Money, Paid, Part, Rig, Said, Step, Supply, Tool, Way, Weighed};

/// So many sizes of one kind stand in one line.
const SIZES_ABREAST: usize = 5;

#[must_use]
pub fn sections(binding: &Binding<'_>) -> Vec<Section> {
    if binding.plan.order.is_empty() {
        return Vec::new();
    }
    let (there, wanted) = sort(binding);
    let lists = [
        dense(&parts_title(binding), parts(binding)),
        dense("Make, borrow, hire, buy", wanted),
        dense("Order: use-once fixings, with spares", hardware(binding)),
        dense("Fixings not in a bag", fixings_from::without_a_bag(binding)),
        dense("Consumables", consumables(binding)),
    ];
    let sides = side_by_side(lists.into_iter().flatten().collect());
    let [left, right] = sides.map(|side| side.into_iter().map(Block::Dense).collect::<Vec<_>>());
    let mut blocks = match (left.is_empty(), right.is_empty()) {
        (false, false) => vec![Block::Halves(left, right)],
        _ => left,
    };
    let there = dense("There already", there).map(|there| Block::Dense(Dense { columns: 3, ..there }));
    blocks.extend(there.into_iter().chain(rigs(binding)));
    section("get-ready", "Get ready", blocks)
}

fn dense(title: &str, items: Vec<DenseItem>) -> Option<Dense> {
    (!items.is_empty()).then(|| Dense {
        title: title.to_owned(),
        columns: 1,
        items,
    })
}

/// The lists in two columns that are about as high, each column in the order of the lists.
fn side_by_side(lists: Vec<Dense>) -> [Vec<Dense>; 2] {
    let heights: Vec<f64> = lists.iter().map(high).collect();
    let all: f64 = heights.iter().sum();
    let of = |choice: u32| -> f64 {
        let on_left = heights.iter().zip(0..).filter(|(_, nth)| choice >> nth & 1 == 1);
        on_left.map(|(high, _)| high).sum()
    };
    // The first list stands on the left; there are five at most.
    let choices = (0..1u32 << lists.len()).filter(|choice| choice & 1 == 1);
    let higher = |choice: &u32| of(*choice).max(all - of(*choice));
    let best = choices.min_by(|one, two| higher(one).total_cmp(&higher(two)));
    let mut sides = [Vec::new(), Vec::new()];
    let [left, right] = &mut sides;
    for (list, nth) in lists.into_iter().zip(0..) {
        if best.is_some_and(|choice| choice >> nth & 1 == 1) {
            left.push(list);
        } else {
            right.push(list);
        }
    }
    sides
}

/// Height of a list in half of the page's width, about, in mm.
fn high(list: &Dense) -> f64 {
    let item = |item: &DenseItem| {
        let right = metrics::width(item.right.as_deref().unwrap_or(""), T11.mm());
        let room = if right > 33.0 { 38.0 } else { 75.0 - right };
        let lines = metrics::lines(&text_of(&item.text), T11.mm(), room).len().max(1);
        1.2 + 5.0 * f64::from(u32::try_from(lines).unwrap_or(u32::MAX))
    };
    15.0 + list.items.iter().map(item).sum::<f64>()
}

/// What is there, and what has to be come by: hand tools by kind and size, then tools, then rigs and scales.
fn sort(binding: &Binding<'_>) -> (Vec<DenseItem>, Vec<DenseItem>) {
    let (mut there, mut wanted) = (Vec::new(), Vec::new());
    let mut add = |text: Line, how: Option<String>, proof: String| match how {
        Some(how) => wanted.push(DenseItem {
            text,
            right: Some(how),
            proof,
            done: false,
        }),
        None => there.push(DenseItem {
            text,
            right: None,
            proof,
            done: false,
        }),
    };
    // Sizes of one kind stand side by side, apart only by whether they are there.
    let mut kinds: Vec<(String, bool, Vec<String>)> = Vec::new();
    for need in size_needs(binding).into_keys() {
        let (one, many) = need.family.words(binding);
        let called = if need.with.is_empty() {
            capital(&many)
        } else if need.with.ends_with(one) && !need.with.starts_with("or ") {
            capital(&need.with)
        } else {
            format!("{}, {}", capital(one), need.with)
        };
        let missing = drives::in_kit(binding.plan, &need) == Some(false);
        match kinds
            .iter_mut()
            .find(|(kind, gone, sizes)| *kind == called && *gone == missing && sizes.len() < SIZES_ABREAST)
        {
            Some((_, _, sizes)) => sizes.push(need.size),
            None => kinds.push((called, missing, vec![need.size])),
        }
    }
    for ((called, missing, sizes), nth) in kinds.into_iter().zip(1..) {
        add(
            vec![run(format!("{called} ")), strong(sizes.join(", "))],
            missing.then(|| "missing from kit".to_owned()),
            format!("ready/size/{nth}"),
        );
    }
    let runs_into = containers(binding);
    for id in tool_steps(binding).into_keys() {
        let tool = &binding.plan.tools[id];
        let mut sizes = Vec::new();
        // The square of a drive is called by its inches everywhere.
        sizes.extend(tool.size.map(|size| size.value.to_string()));
        sizes.extend(tool.range.map(|range| {
            format!(
                "{} to {}",
                binding.at_least(range.value.0),
                binding.at_most(range.value.1)
            )
        }));
        sizes.extend(tool.holds.map(|holds| binding.one(holds.value)));
        let mut text = vec![run(capital(&tool.head.called()))];
        if !sizes.is_empty() {
            text.push(run(", "));
            text.push(strong(sizes.join(", ")));
        }
        if let Some(all) = runs_into.get(&Some(id)) {
            text.push(run(format!(": {}", and_list(all))));
        }
        let how = match tool.supply.way {
            Some(way) => Some(with_time(way.value, &tool.supply)),
            None if drives::tool_in_kit(binding.plan, id) || binding.plan.kits.is_empty() => None,
            None => Some("missing from kit".to_owned()),
        };
        add(text, how, format!("ready/tool/{}", tool.head.name));
    }
    for (id, scale) in binding.plan.scales.iter() {
        if binding.work.scales.steps(id).is_empty() {
            continue;
        }
        let mut text = vec![run(capital(&scale.head.called()))];
        if let Some(capacity) = scale.capacity {
            let each = if capacity.value.each { " each" } else { "" };
            text.push(run(", "));
            text.push(strong(format!("{}{each}", capacity.value.mass)));
        }
        if let Some(division) = scale.division {
            text.push(run(format!(" in steps of {}", division.value)));
        }
        add(text, None, format!("ready/scale/{}", scale.head.name));
    }
    if let Some(all) = runs_into.get(&None) {
        let text = vec![run(format!("A tray for {}: ________", and_list(all)))];
        add(text, None, "ready/container".to_owned());
    }
    (there, wanted)
}

fn size_needs(binding: &Binding<'_>) -> BTreeMap<DriveNeed, Vec<Id<Step>>> {
    let mut needs: BTreeMap<DriveNeed, Vec<Id<Step>>> = BTreeMap::new();
    for &step in &binding.plan.order {
        for need in drives::of_step(binding.plan, step) {
            needs.entry(need).or_default().push(step);
        }
    }
    needs
}

/// Tools that steps need, and for how long: each with its steps.
fn tool_steps(binding: &Binding<'_>) -> BTreeMap<Id<Tool>, Vec<Id<Step>>> {
    let mut steps: BTreeMap<Id<Tool>, Vec<Id<Step>>> = BTreeMap::new();
    for &step in &binding.plan.order {
        for tool in at_hand::tools(binding, step) {
            steps.entry(tool).or_default().push(step);
        }
    }
    steps
}

/// How a thing that is not at hand is come by.
fn how(supply: &Supply) -> Option<Line> {
    let way = supply.way?.value;
    let mut line = vec![strong(way_word(way))];
    if let Some(time) = supply.time {
        line.push(run(format!(", {}", duration(time.value.base()))));
    }
    Some(line)
}

fn way_word(way: Way) -> &'static str {
    match way {
        Way::Borrow => "borrow",
        Way::Hire => "hire",
        Way::Buy => "buy",
        Way::ToMake => "make",
    }
}

/// What is needed and is not at hand, with how it is come by: for the list of what to have before the start.
#[must_use]
pub fn wanting(binding: &Binding<'_>) -> Vec<(String, String)> {
    let mut wanting = Vec::new();
    for id in tool_steps(binding).into_keys() {
        let tool = &binding.plan.tools[id];
        let called = capital(&tool.head.called());
        match tool.supply.way {
            Some(way) => wanting.push((called, with_time(way.value, &tool.supply))),
            None if !drives::tool_in_kit(binding.plan, id) && !binding.plan.kits.is_empty() => {
                wanting.push((called, "missing from kit".to_owned()));
            }
            None => {}
        }
    }
    for (id, rig) in binding.plan.rigs.iter() {
        if let Some(way) = rig.supply.way.filter(|_| !binding.work.rigs.steps(id).is_empty()) {
            wanting.push((capital(&rig.head.called()), with_time(way.value, &rig.supply)));
        }
    }
    for need in size_needs(binding).into_keys() {
        if drives::in_kit(binding.plan, &need) == Some(false) {
            let (one, _) = need.family.words(binding);
            wanting.push((
                format!("{} {}", capital(one), need.size),
                "missing from kit".to_owned(),
            ));
        }
    }
    wanting
}

fn with_time(way: Way, supply: &Supply) -> String {
    match supply.time {
        Some(time) => format!("{}, {}", way_word(way), duration(time.value.base())),
        None => way_word(way).to_owned(),
    }
}

fn rigs(binding: &Binding<'_>) -> Option<Block> {
    let rows: Vec<TableRow> = binding
        .plan
        .rigs
        .iter()
        .filter(|(id, rig)| !rig.is_floor && !binding.work.rigs.steps(*id).is_empty())
        .map(|(id, rig)| {
            let does = match (rig.lifts.is_some(), rig.holds.is_some()) {
                (true, true) => "Lifts, holds.",
                (true, false) => "Lifts only: stay out from under.",
                (false, true) => "Holds.",
                (false, false) => "",
            };
            let notes = rig.head.notes.iter();
            let notes = notes.map(|note| crate::plan::prose::words_of(&note.text));
            let said: Vec<String> = std::iter::once(does.to_owned())
                .chain(notes)
                .filter(|words| !words.is_empty())
                .collect();
            let mut name = vec![vec![run(capital(&rig.head.called()))]];
            if !said.is_empty() {
                name.push(vec![run(said.join(" "))]);
            }
            let rated = rig.rated.map_or_else(
                || vec![run("see rating plate")],
                |said| {
                    let each = if said.value.each { " each" } else { "" };
                    vec![strong(format!("{}{each}", binding.at_most(said.value.mass)))]
                },
            );
            let need = heaviest(binding, id);
            let come_by = how(&rig.supply).unwrap_or_else(|| vec![run("have")]);
            tick_row(
                vec![
                    Cell::Square,
                    Cell::Lines(name),
                    cell(rated),
                    Cell::Lines(need),
                    cell(come_by),
                ],
                format!("ready/rig/{}", rig.head.name),
            )
        })
        .collect();
    let columns = vec![
        column("", 8),
        column("Rig", 0),
        right("Rated", 20),
        right("Most it carries", 38),
        column("Source", 19),
    ];
    (!rows.is_empty()).then(|| Block::Table(table("What holds and lifts", columns, rows, 8)))
}

/// The most that a rig bears, in lines: alone, with what it shares, and that a spring pushes too.
fn heaviest(binding: &Binding<'_>, rig: Id<Rig>) -> Vec<Line> {
    let most = rig_loads::most(binding, rig);
    let given = worst_need(binding, rig);
    let alone = match most {
        Some(most) => most.alone.filter(|_| given.is_some()),
        None => given,
    };
    let known = match (alone, given) {
        (Some(alone), Some(given)) if given.kg > alone.kg => Some(given),
        _ => alone,
    };
    let mut lines = vec![match known {
        Some(estimate) => vec![run(masses::text(binding, estimate))],
        None => vec![run("not known")],
    }];
    let above = known.map_or(0.0, |estimate| estimate.kg);
    if let Some(shared) = most
        .and_then(|most| most.shared)
        .filter(|shared| shared.kg > above)
    {
        lines.push(vec![run(format!("can take {}", masses::text(binding, shared)))]);
    }
    if most.is_some_and(|most| most.spring) {
        lines.push(vec![strong("plus a spring’s force")]);
    }
    lines
}

/// The heaviest thing of known mass that a rig is given; `None` where one of them is unknown, for then the worst
/// is unknown too.
fn worst_need(binding: &Binding<'_>, rig: Id<Rig>) -> Option<masses::ShownMass> {
    let mut worst: Option<masses::ShownMass> = None;
    let mut takes_vehicle = false;
    for &step in binding.work.rigs.steps(rig) {
        for act in binding.plan.steps[step].acts() {
            let things = match &act.does {
                Does::Hold { things, .. } | Does::Raise { things, .. } | Does::Set { things, .. } => things,
                // A rig takes on no weight by it.
                _ => continue,
            };
            if !super::mentions::of(&act.does).rigs.contains(&rig) {
                continue;
            }
            if things.iter().any(|load| matches!(load.value, Load::Vehicle(_))) {
                takes_vehicle = true;
                continue;
            }
            let load = masses::of_loads(binding, things)?;
            if worst.is_none_or(|worst| load.kg > worst.kg) {
                worst = Some(load);
            }
        }
    }
    if takes_vehicle {
        let vehicle = rig_loads::vehicle(binding, rig)?;
        return Some(worst.filter(|worst| worst.kg > vehicle.kg).unwrap_or(vehicle));
    }
    worst
}

/// What runs out, by what it runs into; under none where the plan names nothing.
fn containers(binding: &Binding<'_>) -> BTreeMap<Option<Id<Tool>>, Vec<String>> {
    let mut all: BTreeMap<Option<Id<Tool>>, Vec<String>> = BTreeMap::new();
    for &step in &binding.plan.order {
        for act in binding.plan.steps[step].acts() {
            let Does::Drain { fluids, into } = &act.does else {
                continue;
            };
            for fluid in fluids {
                let called = binding.fluid(fluid.value);
                let runs_out = binding
                    .runs_out(fluid.value, step)
                    .map_or_else(String::new, |volume| format!(", up to {}", binding.both(volume)));
                let into = into.map(|said| said.value);
                let number = binding.number(step);
                all.entry(into)
                    .or_default()
                    .push(format!("{called}{runs_out} in {number}"));
            }
        }
    }
    all
}

fn consumables(binding: &Binding<'_>) -> Vec<DenseItem> {
    let used = binding
        .plan
        .consumables
        .iter()
        .filter(|(id, _)| !binding.work.consumables.steps(*id).is_empty());
    used.map(|(_, consumable)| {
        let mut text = vec![run(capital(&consumable.head.called()))];
        if let Some(amount) = &consumable.amount {
            text.push(run(", "));
            text.push(strong(amount.value.to_string()));
        }
        let supply = &consumable.supply;
        let how = supply.way.map(|way| with_time(way.value, supply));
        let price = price(supply.cost, supply.bought);
        let right: Vec<String> = how.into_iter().chain(price).collect();
        DenseItem {
            text,
            right: (!right.is_empty()).then(|| right.join(", ")),
            proof: format!("ready/consumable/{}", consumable.head.name),
            done: supply.bought.is_some(),
        }
    })
    .collect()
}

fn hardware(binding: &Binding<'_>) -> Vec<DenseItem> {
    let all = order_list::all(binding).into_iter().zip(1..);
    all.map(|(order, nth): (_, usize)| DenseItem {
        text: vec![
            strong(format!("{} ", order.count)),
            run(format!(
                "{}: {}",
                order.what,
                binding.inside(&and_list(&sides_at_once(&order.joints)))
            )),
        ],
        right: (order.spares > 0).then(|| format!("+ {}", order.spares)),
        proof: format!("ready/order/{nth}"),
        done: false,
    })
    .collect()
}

/// "Track rod end, left and right" of two names that say no more.
fn sides_at_once(names: &[String]) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    let mut rest = names.iter().peekable();
    while let Some(name) = rest.next() {
        let base = name.strip_suffix("left").filter(|base| !base.is_empty());
        let other = base.map(|base| format!("{base}right"));
        if other.is_some() && rest.peek().copied() == other.as_ref() {
            rest.next();
            all.push(format!("{name} and right"));
        } else {
            all.push(name.clone());
        }
    }
    if let [_, others @ ..] = all.as_mut_slice() {
        for other in others {
            *other = super::words::inside(other);
        }
    }
    all
}

/// Every new part, with what it costs: ticked where it is bought.
fn parts(binding: &Binding<'_>) -> Vec<DenseItem> {
    let plan = binding.plan;
    let listed: BTreeSet<Id<Part>> = plan
        .swaps_done()
        .flat_map(|(_, swap)| &swap.goes_on)
        .flat_map(|said| match said.value {
            Weighed::Thing(thing) => plan.parts_of(thing),
            Weighed::Hardware(_) | Weighed::Vehicle(_) => Vec::new(),
        })
        .collect();
    let found = binding.compilation.walk.before(plan);
    let left_out = &plan.left_out.parts;
    let is_new = |id: Id<Part>, part: &Part| {
        let new = part.in_place_of.is_some() || part.new.is_some() || listed.contains(&id);
        new && found.is_off(id) && !left_out.contains(&id) || part.bought.is_some()
    };
    let new = plan.parts.iter().filter(|(id, part)| is_new(*id, part));
    new.map(|(_, part)| {
        let mut text = vec![run(capital(&part.head.called()))];
        if let Some(rule) = &part.required_by {
            text.push(run(format!(", required by {}", rule.value)));
        }
        if part.in_place_of.is_some_and(|said| said.value.if_renewed) {
            text.push(run(", if the old one is worn"));
        }
        DenseItem {
            text,
            right: price(part.cost, part.bought),
            done: part.bought.is_some(),
            proof: format!("ready/part/{}", part.head.name),
        }
    })
    .collect()
}

/// What is paid, else what is to be paid.
fn price(cost: Option<Said<Money>>, bought: Option<Said<Paid>>) -> Option<String> {
    let paid = bought.and_then(|paid| paid.value.sum);
    paid.or(cost)
        .map(|said| format!("{} {}", said.value.number, said.value.currency()))
}

/// "Buy: new parts, 649 GBP": with what is still to be paid for them.
fn parts_title(binding: &Binding<'_>) -> String {
    let title = "Buy: new parts";
    let Some(account) = money_words::Account::of(binding) else {
        return title.to_owned();
    };
    let items = account.account.items.iter();
    let parts = items.filter(|item| matches!(item.what, For::Part(_)) && item.kind == Kind::Buy);
    match Sums::of(parts) {
        Sums { to_spend: 0, .. } => title.to_owned(),
        sums => format!("{title}, {} to pay", account.money(sums.to_spend)),
    }
}
