//! A first plan from a list of parts: what is in the list as parts, a joint to come for each, a step for each way. What the list does not
//! say is asked for by what it says, and never guessed. Knows cells, no files.

use std::collections::BTreeMap;

use crate::base::letters;
use crate::base::quantity::{Mass, Number};
use crate::base::unit::{self, Dimension, UnitId};
use crate::plan::declare::{CONNECTING, FLOOR};
use crate::syntax::hidden;

/// A row of a list, and the line that it begins in, from 1.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// From 1.
    pub line: u64,
    /// Their text, without quotes.
    pub cells: Vec<String>,
}

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Column {
    Name,
    Mass,
    Cost,
    Place,
    OffOrOn,
}

/// The words of heads, each with the column that it heads; the first of each is the one that the reference names.
const HEADS: &[(Column, &[&str])] = &[
    (
        Column::Name,
        &["name", "part", "item", "thing", "title", "description", "what"],
    ),
    (Column::Mass, &["mass", "weight", "weighs"]),
    (Column::Cost, &["cost", "price", "costs"]),
    (
        Column::Place,
        &["place", "location", "where", "shelf", "box", "goes to", "stored"],
    ),
    (
        Column::OffOrOn,
        &[
            "off or on",
            "off on",
            "on off",
            "on or off",
            "off",
            "on",
            "which way",
            "what happens",
            "action",
            "state",
        ],
    ),
];

/// What becomes of a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Way {
    /// Off, and back at the end.
    Round,
    Off,
    On,
}

const WAYS: &[(Way, &[&str])] = &[
    (
        Way::Round,
        &[
            "",
            "off and on",
            "off and back",
            "both",
            "back",
            "goes back",
            "refit",
        ],
    ),
    (
        Way::Off,
        &[
            "off",
            "out",
            "comes off",
            "remove",
            "removed",
            "old",
            "away",
            "stays off",
        ],
    ),
    (
        Way::On,
        &[
            "on",
            "in",
            "goes on",
            "new",
            "fit",
            "fitted",
            "add",
            "added",
            "install",
            "installed",
        ],
    ),
];

/// Longest name of a part; its joint and its steps add to it.
const LONGEST: usize = 48;

/// The plan, and what it leaves to be said.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rough {
    /// A plan that compiles.
    pub text: String,
    parts: usize,
    without_mass: usize,
}

impl Rough {
    /// What was made and what is asked, in a sentence or two.
    #[must_use]
    pub fn told(&self) -> String {
        let masses = match self.without_mass {
            0 => "Every part has a mass.".to_owned(),
            1 => "1 mass is still to come.".to_owned(),
            many => format!("{many} masses are still to come."),
        };
        let (parts, each) = match self.parts {
            1 => ("1 part".to_owned(), "its joint"),
            many => (format!("{many} parts"), "a joint of each"),
        };
        format!(
            "{parts}, {each} with its torque to come, and the steps. {masses} Now look at the machine: what else holds each part, a plug, a hose, a clip?"
        )
    }
}

struct Part<'a> {
    name: String,
    title: &'a str,
    mass: Option<String>,
    /// More than one pair of hands takes without a look at how.
    heavy: bool,
    cost: Option<String>,
    place: Option<&'a str>,
    way: Way,
}

/// Makes a plan of a list. `called` is what the plan is to be called, `list` how the list is named in a message.
///
/// # Errors
/// A sentence with the line, where a row cannot be understood; no plan is made of the rest.
pub fn plan(called: &str, list: &str, heads: &Row, rows: &[Row]) -> Result<Rough, String> {
    let columns = columns(list, heads)?;
    if rows.is_empty() {
        return Err(format!(
            "{list} has heads and no row below them, so there is no part to begin with."
        ));
    }
    let mut parts: Vec<Part<'_>> = Vec::with_capacity(rows.len());
    let mut seen: BTreeMap<String, u64> = BTreeMap::new();
    for row in rows {
        let part = part(list, heads, &columns, row)?;
        if let Some(first) = seen.insert(part.name.clone(), row.line) {
            return Err(format!(
                "{list}:{} has {:?}, which line {first} has already. Tell them apart, such as {:?}.",
                row.line,
                part.title,
                format!("{} left", part.title)
            ));
        }
        parts.push(part);
    }
    let text = written(called, list, &parts);
    let without_mass = parts.iter().filter(|part| part.mass.is_none()).count();
    Ok(Rough {
        text,
        parts: parts.len(),
        without_mass,
    })
}

/// Where each column stands, and the unit that its head says.
type Columns = BTreeMap<Column, (usize, Option<String>)>;

fn columns(list: &str, heads: &Row) -> Result<Columns, String> {
    let mut all = Columns::new();
    for (nth, head) in heads.cells.iter().enumerate() {
        let Some((column, unit)) = column(head) else {
            continue;
        };
        if all.insert(column, (nth, unit)).is_some() {
            return Err(format!(
                "{list}:{} has two heads for one thing, the second is {head:?}. Take one out.",
                heads.line
            ));
        }
    }
    if all.contains_key(&Column::Name) {
        return Ok(all);
    }
    let given: Vec<&str> = heads.cells.iter().map(String::as_str).collect();
    Err(format!(
        "{list}:{} has no head that says where names stand; its heads are {}. Call that column: name.",
        heads.line,
        shortened(&given.join(", "))
    ))
}

/// "Mass (kg)", "weight lb", "Cost £", "kg": what a head stands over, and the unit that it says.
fn column(head: &str) -> Option<(Column, Option<String>)> {
    let lower = head.to_lowercase();
    let words: Vec<&str> = lower
        .split(|c: char| !(c.is_alphanumeric() || CURRENCIES.iter().any(|(sign, _)| *sign == c)))
        .filter(|word| !word.is_empty())
        .collect();
    let joined = words.join(" ");
    for (column, names) in HEADS {
        for name in *names {
            if joined == *name {
                return Some((*column, None));
            }
            let rest = joined.strip_prefix(name).and_then(|rest| rest.strip_prefix(' '));
            if let Some(rest) = rest
                && (mass_unit(rest).is_some()
                    || currency(rest).is_some()
                    || rest == "in kg"
                    || rest == "in lb")
            {
                return Some((*column, Some(rest.trim_start_matches("in ").to_owned())));
            }
        }
    }
    mass_unit(&joined).map(|_| (Column::Mass, Some(joined.clone())))
}

/// A unit of mass by its spelling; those that mean two masses are none.
fn mass_unit(text: &str) -> Option<UnitId> {
    let text = match text {
        "lbs" | "pounds" | "pound" => "lb",
        "kilo" | "kilos" | "kilograms" | "kgs" => "kg",
        "grams" | "gram" => "g",
        other => other,
    };
    unit::find(text).filter(|id| id.unit().dimension == Dimension::Mass)
}

/// Signs that are one currency and no other.
const CURRENCIES: &[(char, &str)] = &[('£', "GBP"), ('€', "EUR")];

fn currency(text: &str) -> Option<String> {
    let mut chars = text.chars();
    if let (Some(sign), None) = (chars.next(), chars.next())
        && let Some((_, letters)) = CURRENCIES.iter().find(|(known, _)| *known == sign)
    {
        return Some((*letters).to_owned());
    }
    let three = text.len() == 3 && text.bytes().all(|byte| byte.is_ascii_alphabetic());
    three.then(|| text.to_uppercase())
}

fn part<'a>(list: &str, heads: &Row, columns: &Columns, row: &'a Row) -> Result<Part<'a>, String> {
    let at = format!("{list}:{}", row.line);
    if let Some(over) = row
        .cells
        .iter()
        .skip(heads.cells.len())
        .find(|cell| !cell.is_empty())
    {
        return Err(format!(
            "{at} has more cells than there are heads, the first is {}. Put a text that holds what parts the cells into quotes.",
            shortened(over)
        ));
    }
    let cell = |column: Column| -> &'a str {
        let place = columns.get(&column).map(|(nth, _)| *nth);
        place
            .and_then(|nth| row.cells.get(nth))
            .map_or("", String::as_str)
    };
    let unit = |column: Column| columns.get(&column).and_then(|(_, unit)| unit.as_deref());
    let title = cell(Column::Name);
    for text in [title, cell(Column::Place)] {
        if text.contains(['\n', '\r']) {
            return Err(format!(
                "{at} has a cell that goes over several lines: {}. Is a quote not closed? Write it on one line.",
                shortened(text.lines().next().unwrap_or_default())
            ));
        }
        let odd: Vec<char> = letters::lacking(text)
            .map(|(_, sign)| sign)
            .chain(text.chars().filter(|&c| hidden::is_hidden(c)))
            .collect();
        if !odd.is_empty() {
            return Err(format!(
                "{at} has what the binder cannot print: {}. Write it in Latin, Greek or Cyrillic letters.",
                letters::named(&odd)
            ));
        }
    }
    if title.is_empty() {
        return Err(format!(
            "{at} has no name. Give the part one, or take the line out."
        ));
    }
    let way = cell(Column::OffOrOn).to_lowercase();
    let known = WAYS.iter().find(|(_, words)| words.contains(&way.as_str()));
    let Some((way, _)) = known else {
        return Err(format!(
            "{at} says {}, and expected is off, on, or nothing for a part that comes off and goes back.",
            shortened(&way)
        ));
    };
    let weighed = mass(&at, cell(Column::Mass), unit(Column::Mass))?;
    Ok(Part {
        name: name_of(title, row.line),
        title,
        heavy: weighed.as_ref().is_some_and(|(_, kg)| *kg > BY_HAND_KG),
        mass: weighed.map(|(mass, _)| mass),
        cost: cost(&at, cell(Column::Cost), unit(Column::Cost))?,
        place: Some(cell(Column::Place)).filter(|place| !place.is_empty()),
        way: *way,
    })
}

/// "driver-s-seat" would be no name of a seat: signs within a word go, others part words.
fn name_of(title: &str, line: u64) -> String {
    let lower = title.to_lowercase();
    let mut name = String::new();
    for c in lower.chars() {
        match c {
            '\'' | '’' | '"' | '”' | '“' => {}
            c if (c.is_lowercase() && letters::held(c)) || c.is_ascii_digit() => name.push(c),
            _ if name.ends_with('-') || name.is_empty() => {}
            _ => name.push('-'),
        }
    }
    let mut name: String = name.chars().take(LONGEST).collect();
    name.truncate(name.trim_end_matches('-').len());
    if name.is_empty() {
        return format!("part-{line}");
    }
    let own = [
        BODY,
        VEHICLE,
        FIRST,
        SECOND,
        RIG,
        FLOOR,
        STRIP,
        TOGETHER,
        NOT_WEIGHED,
    ]
    .contains(&name.as_str());
    if own || CONNECTING.contains(&name.as_str()) || name.starts_with(|c: char| !c.is_lowercase()) {
        name.insert_str(0, "part-");
    }
    name
}

/// A number with its decimal comma or point, and what stands round it. A comma or point that may be either is asked.
fn figure(at: &str, cell: &str) -> Result<(Number, String), String> {
    let digit = |c: char| c.is_ascii_digit();
    let from = cell
        .find(digit)
        .ok_or_else(|| format!("{at} has {}, where a figure is expected.", shortened(cell)))?;
    let to = cell.rfind(digit).map_or(cell.len(), |last| last + 1);
    let (before, rest) = cell.split_at(from);
    let (digits, behind) = rest.split_at(to - from);
    let before = before.trim();
    if before.ends_with(['-', '−']) {
        return Err(format!(
            "{at} has {}: nothing weighs or costs less than nothing. Correct the figure.",
            shortened(cell)
        ));
    }
    let digits: String = digits
        .chars()
        .filter(|c| !c.is_whitespace() && *c != '\'' && *c != '’')
        .collect();
    let signs: Vec<(usize, char)> = digits
        .char_indices()
        .filter(|(_, c)| matches!(c, ',' | '.'))
        .collect();
    let plain = match signs.as_slice() {
        [] => digits.clone(),
        [(place, sign)] => {
            let three = digits.len() - place == 4 && *place <= 3 && !digits.starts_with('0');
            if three && *sign == ',' {
                return Err(format!(
                    "{at} has {}, which is {} to some and {} to others. Write it without the comma.",
                    shortened(cell),
                    digits.replace(',', "."),
                    digits.replace(',', "")
                ));
            }
            digits.replace(',', ".")
        }
        // Of several kinds the last is the decimal one; of one kind all part thousands, three digits and three digits.
        [.., (place, last)] => {
            let first = signs.first().map_or(*last, |(_, first)| *first);
            let (thousands, rest) = if first == *last {
                (digits.as_str(), "")
            } else {
                digits.split_at(*place)
            };
            let mut groups = thousands.split(first);
            let head = groups.next().is_some_and(|group| (1..=3).contains(&group.len()));
            if !head || groups.any(|group| group.len() != 3 || !group.chars().all(digit)) {
                return Err(format!("{at} has {}, which is no figure.", shortened(cell)));
            }
            format!("{}{}", thousands.replace(first, ""), rest.replace(',', "."))
        }
    };
    let number =
        Number::read(&plain).ok_or_else(|| format!("{at} has {}, which is no figure.", shortened(cell)))?;
    Ok((number, format!("{before} {}", behind.trim()).trim().to_owned()))
}

fn mass(at: &str, cell: &str, head: Option<&str>) -> Result<Option<(String, f64)>, String> {
    if is_unknown(cell) {
        return Ok(None);
    }
    let (number, unit) = figure(at, cell)?;
    // What weighs nothing was not weighed.
    if number.mantissa == 0 {
        return Ok(None);
    }
    let said = if unit.is_empty() {
        head.unwrap_or_default()
    } else {
        &unit
    };
    if said.is_empty() {
        return Err(format!(
            "{at} has {} and no unit, and none is guessed. Write the head of that column as mass kg or mass lb.",
            shortened(cell)
        ));
    }
    let unit = mass_unit(&said.to_lowercase()).ok_or_else(|| {
        format!(
            "{at} has {}, and {} is no unit of mass that is known. Write kg or lb.",
            shortened(cell),
            shortened(said)
        )
    })?;
    let kg = Mass::new(number, unit).map_or(0.0, |mass| mass.base());
    Ok(Some((format!("{number} {}", unit.unit().symbol), kg)))
}

fn cost(at: &str, cell: &str, head: Option<&str>) -> Result<Option<String>, String> {
    if is_unknown(cell) {
        return Ok(None);
    }
    let (number, unit) = figure(at, cell)?;
    let said = if unit.is_empty() {
        head.unwrap_or_default()
    } else {
        &unit
    };
    let letters = currency(said).ok_or_else(|| {
        format!("{at} has {} and no currency that is one alone. Write the head of that column as cost GBP, or so.", shortened(cell))
    })?;
    Ok(Some(format!("{number} {letters}")))
}

fn is_unknown(cell: &str) -> bool {
    matches!(
        cell.to_lowercase().as_str(),
        "" | "-" | "–" | "?" | "??" | "n/a" | "to come" | "unknown" | "tbc"
    )
}

/// A cell in a message: not longer than a line.
fn shortened(text: &str) -> String {
    const LONGEST: usize = 60;
    let short: String = text.chars().take(LONGEST).collect();
    if short.len() < text.len() {
        format!("\"{short} ...\"")
    } else {
        format!("\"{short}\"")
    }
}

/// The load constant of the NIOSH lifting equation (1991): what one pair of hands may take where all else is at its best.
const BY_HAND_KG: f64 = 23.0;

const STRIP: &str = "strip";
const TOGETHER: &str = "together";
const NOT_WEIGHED: &str = "not-weighed";
const RIG: &str = "hoist";
const BODY: &str = "shell";
const VEHICLE: &str = "car";
const FIRST: &str = "owner";
const SECOND: &str = "helper";

fn held(part: &Part<'_>) -> String {
    if part.heavy {
        format!("with {RIG}")
    } else {
        format!("by {SECOND}")
    }
}

/// What a rig has is set down, or it has no hook for the next one.
fn set_down(part: &Part<'_>) -> String {
    if part.heavy {
        format!("; set {} down on {FLOOR}", part.name)
    } else {
        String::new()
    }
}

fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('"', "”"))
}

fn written(called: &str, list: &str, parts: &[Part<'_>]) -> String {
    let of = |way: Way| parts.iter().filter(move |part| part.way == way);
    let mut out = format!(
        "# A first plan, made from {}. What is not known yet says `to come`; lines with ? are yours to settle.\n\n",
        list.replace(['\n', '\r'], " ")
    );
    let printed = letters::lacking(called).next().is_none()
        && !called.chars().any(|c| c.is_control() || hidden::is_hidden(c));
    let called = if printed && !called.trim().is_empty() {
        called.trim()
    } else {
        "First plan"
    };
    let plan = name_of(called, 0);
    let plan = if parts.iter().any(|part| part.name == plan) || plan == VEHICLE {
        format!("{plan}-plan")
    } else {
        plan
    };
    out.push_str(&format!(
        "plan {plan} {}\n  for {VEHICLE}\n  crew {FIRST}, {SECOND}\n",
        quoted(called)
    ));
    out.push_str(&format!("# ? Which machine, and who does the work. What may each of them lift: lifts 25 kg\nvehicle {VEHICLE} \"The car\"; body {BODY}\n"));
    out.push_str(&format!("person {FIRST} \"Owner\"\nperson {SECOND} \"Helper\"\n"));
    if parts.iter().any(|part| part.heavy) {
        out.push_str(&format!(
            "# ? What takes the parts over {BY_HAND_KG} kg, and what its plate says: rated 500 kg\nrig {RIG} \"What lifts the heavy parts\"; lifts, holds\n"
        ));
    }
    out.push('\n');
    out.push_str("# ? What fixes each part, which thread, which spanner: bolts 4 x M8x1.25; head 13 mm. What else holds it: a joint each.\n");
    for part in parts {
        out.push_str(&format!("part {} {}", part.name, quoted(part.title)));
        out.extend(part.mass.as_ref().map(|mass| format!("; mass {mass}")));
        out.extend(part.cost.as_ref().map(|cost| format!("; cost {cost}")));
        match part.way {
            Way::Round => {}
            Way::Off => out.push_str("; afterwards stays off"),
            Way::On => out.push_str("; new"),
        }
        match (part.place, part.way) {
            (Some(place), Way::On) => out.push_str(&format!("; note It lies at: {place}")),
            (Some(place), _) => out.push_str(&format!("; goes to {}", quoted(place))),
            (None, _) => {}
        }
        let gone = if part.way == Way::Off { "; gone" } else { "" };
        out.push_str(&format!(
            "\njoint {0}-fixings: {0} to {BODY}; carries; torque to come{gone}\n",
            part.name
        ));
    }
    if parts.iter().any(|part| part.way != Way::On) {
        out.push_str(&format!("\nstage {STRIP} \"Off\"\n"));
    }
    for part in parts.iter().filter(|part| part.way != Way::On) {
        out.push_str(&format!(
            "step {0}-off {1}; by {FIRST}, {SECOND}; hold {0} {2}; undo {0}-fixings; take off {0}{3}\n",
            part.name,
            quoted(&format!("{} off", part.title)),
            held(part),
            set_down(part)
        ));
    }
    if of(Way::On).next().is_some() {
        out.push_str("\n# ? What takes the place of an old part says so: in place of PART, instead of new. Its joint then too: in place of JOINT.\nstage new-parts \"New parts on\"\n");
    }
    for part in of(Way::On) {
        out.push_str(&format!(
            "step {0}-on {1}; by {FIRST}, {SECOND}; hold {0} {2}; fit {0}; start {0}-fixings; tighten {0}-fixings{3}\n",
            part.name,
            quoted(&format!("{} on", part.title)),
            held(part),
            if part.heavy { format!("; release {} from {RIG}", part.name) } else { String::new() }
        ));
    }
    if of(Way::Round).next().is_some() {
        out.push_str(&format!(
            "\nstage {TOGETHER} \"Back together\" reverses {STRIP}\n"
        ));
    }
    let asked: Vec<&Part<'_>> = parts.iter().filter(|part| part.mass.is_none()).collect();
    if !asked.is_empty() {
        out.push_str(&format!(
            "\nweigh-in {NOT_WEIGHED} \"What the list does not weigh\"\n"
        ));
    }
    for part in asked {
        out.push_str(&format!("  reads {} to come\n", part.name));
    }
    let listed = |way: Way| {
        of(way)
            .map(|part| part.name.as_str())
            .collect::<Vec<_>>()
            .join(", ")
    };
    let (off, on) = (listed(Way::Off), listed(Way::On));
    if !off.is_empty() || !on.is_empty() {
        out.push_str("\nswap list \"What stays off, what comes on\"\n");
        for (words, names) in [("comes off", off), ("goes on", on)] {
            if !names.is_empty() {
                out.push_str(&format!("  {words} {names}\n"));
            }
        }
    }
    out
}
