//! What a thing is known to weigh, and how that is printed. An unknown mass stays unknown: nothing is assumed
//! and no part is left out of a sum without being named. Knows no page.

use super::binding::Binding;
use super::figures;
use crate::base::quantity::Mass;
use crate::base::unit::Dimension;
use crate::plan::model::{Id, Load, MassFigure, Part, Reading, Thing, Units, Weighed};

/// A known mass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heft {
    /// kg
    pub kg: f64,
    /// Stated uncertainty, one standard deviation, in kg.
    pub give: Option<f64>,
    /// Last place that it was written or read to, in kg.
    pub last: f64,
}

impl Heft {
    fn of(mass: Mass, give: Option<Mass>) -> Heft {
        Heft {
            kg: mass.base(),
            give: give.map(Mass::base),
            last: mass.last_place(),
        }
    }

    /// The sum, as coarse as its coarsest part; its uncertainty is known if all are, combined as independent
    /// (JCGM 100, 5.1.2).
    #[must_use]
    pub fn sum(all: &[Heft]) -> Heft {
        let gives: Option<Vec<f64>> = all.iter().map(|heft| heft.give).collect();
        Heft {
            kg: all.iter().map(|heft| heft.kg).sum(),
            give: gives
                .filter(|gives| !gives.is_empty())
                .map(|gives| gives.iter().map(|give| give * give).sum::<f64>().sqrt()),
            last: all.iter().map(|heft| heft.last).fold(0.0, f64::max),
        }
    }
}

/// What is known of something that lies on a scale: its own latest reading, else what the plan says of it, else
/// the sum of its parts if all of these are known.
#[must_use]
pub fn of(binding: &Binding<'_>, what: Weighed) -> Option<Heft> {
    let reading = binding
        .plan
        .weigh_ins
        .values()
        .flat_map(|weigh_in| weigh_in.reads.iter().map(move |reads| (weigh_in.dated, reads)))
        .filter(|(_, reads)| matches!(reads.what.as_slice(), [only] if only.value == what))
        .filter_map(|(dated, reads)| match reads.mass {
            Reading::Is(mass) => Some((dated.map(|said| said.value), Heft::of(mass, reads.give))),
            Reading::ToCome => None,
        })
        .max_by_key(|(dated, _)| *dated)
        .map(|(_, heft)| heft);
    reading.or_else(|| declared(binding, what))
}

fn declared(binding: &Binding<'_>, what: Weighed) -> Option<Heft> {
    match what {
        Weighed::Thing(Thing::Part(id)) => {
            stated(binding.plan.parts[id].mass.as_ref().map(|said| &said.value))
        }
        Weighed::Thing(Thing::Assembly(id)) => {
            let assembly = &binding.plan.assemblies[id];
            stated(assembly.mass.as_ref().map(|said| &said.value)).or_else(|| {
                let parts: Option<Vec<Heft>> = assembly
                    .parts
                    .iter()
                    .map(|&part| part_heft(binding, part))
                    .collect();
                parts
                    .filter(|parts| !parts.is_empty())
                    .map(|parts| Heft::sum(&parts))
            })
        }
        Weighed::Vehicle(id) => stated(binding.plan.vehicles[id].mass.as_ref().map(|said| &said.value)),
        Weighed::Hardware(_) => None,
    }
}

fn part_heft(binding: &Binding<'_>, part: Id<Part>) -> Option<Heft> {
    of(binding, Weighed::Thing(Thing::Part(part)))
}

fn stated(figure: Option<&MassFigure>) -> Option<Heft> {
    figure.map(|figure| Heft::of(figure.mass, figure.give))
}

/// The same for what an act handles.
#[must_use]
pub fn of_load(binding: &Binding<'_>, load: Load) -> Option<Heft> {
    match load {
        Load::Thing(thing) => of(binding, Weighed::Thing(thing)),
        Load::Vehicle(id) => of(binding, Weighed::Vehicle(id)),
    }
}

/// "kg" or "lb": the unit of the plan's columns.
#[must_use]
pub fn unit(binding: &Binding<'_>) -> &'static str {
    match binding.units {
        Units::Metric => "kg",
        Units::Inch => "lb",
    }
}

/// In the unit of the columns.
#[must_use]
pub fn in_unit(binding: &Binding<'_>, kg: f64) -> f64 {
    figures::value_in(kg, unit(binding), Dimension::Mass).unwrap_or(kg)
}

/// Decimals that a figure known to this last place carries, in the unit of the columns.
#[must_use]
pub fn places(binding: &Binding<'_>, last: f64) -> i32 {
    let last = in_unit(binding, last);
    if last <= 0.0 {
        return 1;
    }
    #[expect(clippy::cast_possible_truncation, reason = "a power of ten is small")]
    let lead = (last.log10() - 1e-9).floor() as i32 + i32::from(is_power_of_ten(last));
    (-lead).clamp(0, 3)
}

fn is_power_of_ten(value: f64) -> bool {
    (value.log10() - value.log10().round()).abs() < 1e-9
}

/// The bare figure of a column.
#[must_use]
pub fn figure(binding: &Binding<'_>, heft: Heft) -> String {
    figures::decimal(in_unit(binding, heft.kg), places(binding, heft.last))
}

/// "74.5 kg".
#[must_use]
pub fn text(binding: &Binding<'_>, heft: Heft) -> String {
    format!("{} {}", figure(binding, heft), unit(binding))
}
