//! Masses on their way to paper: how many digits each carries, and in which unit. What things weigh is reckoned in `rules/` and `reckon/`;
//! an unknown mass stays unknown. Knows no page.

use super::binding::Binding;
use super::figures;
use crate::base::unit::Dimension;
use crate::plan::model::{Load, Said, Thing, Units, Weighed};
use crate::reckon::mass;
use crate::reckon::uncertainty;

/// A known mass as it is printed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShownMass {
    /// kg
    pub kg: f64,
    /// What covers about 95 %: two standard uncertainties, in kg.
    pub within: f64,
    /// Last place that is printed, in kg.
    pub last: f64,
}

impl ShownMass {
    /// A figure of the plan: with the digits that were written.
    fn written(estimate: &mass::MassEstimate, last: f64) -> ShownMass {
        ShownMass {
            kg: estimate.kg,
            within: estimate.expanded(),
            last,
        }
    }

    /// A reckoned figure: with the digits that its uncertainty deserves, at least whole kilograms and at most grams.
    #[must_use]
    pub fn reckoned(binding: &Binding<'_>, estimate: &mass::MassEstimate) -> ShownMass {
        let one = in_unit(binding, 1.0);
        let places = uncertainty::decimals(estimate.expanded() * one)
            .unwrap_or(1)
            .clamp(0, 3);
        ShownMass {
            kg: estimate.kg,
            within: estimate.expanded(),
            last: 10f64.powi(-places) / one,
        }
    }
}

/// "233 kg": whole ones of the plan's unit.
#[must_use]
pub fn whole(binding: &Binding<'_>, kg: f64) -> String {
    format!("{} {}", figures::decimal(in_unit(binding, kg), 0), unit(binding))
}

/// "0.8 kg": to a tenth of the plan's unit.
#[must_use]
pub fn tenth(binding: &Binding<'_>, kg: f64) -> String {
    format!("{} {}", figures::decimal(in_unit(binding, kg), 1), unit(binding))
}

/// What is known of something that lies on a scale: its own latest reading, else what the plan says of it, else the sum of its parts if all
/// of these are known.
#[must_use]
pub fn of(binding: &Binding<'_>, what: Weighed) -> Option<ShownMass> {
    let estimate = binding.weights.of(what)?;
    Some(match last_written(binding, what) {
        Some(last) => ShownMass::written(&estimate, last),
        None => ShownMass::reckoned(binding, &estimate),
    })
}

/// The last place of the figure that a thing has of its own; none where it is reckoned from others.
fn last_written(binding: &Binding<'_>, what: Weighed) -> Option<f64> {
    let plan = binding.plan;
    let readings = plan.weigh_ins.values().flat_map(|weigh_in| {
        let dated = weigh_in.dated.map(|said| said.value);
        weigh_in.reads.iter().map(move |reads| (dated, reads))
    });
    let read = readings
        .filter(|(_, reads)| matches!(reads.what.as_slice(), [only] if only.value == what))
        .filter_map(|(dated, reads)| Some((dated, reads.mass.known()?.last_place())))
        .max_by_key(|(dated, _)| *dated)
        .map(|(_, last)| last);
    let stated = match what {
        Weighed::Thing(Thing::Part(id)) if binding.weights.is_read(id) => None,
        Weighed::Thing(Thing::Part(id)) => plan.parts[id].mass.as_ref(),
        Weighed::Thing(Thing::Assembly(id)) => plan.assemblies[id].mass.as_ref(),
        Weighed::Vehicle(id) => plan.vehicles[id].mass.as_ref(),
        Weighed::Hardware(_) => None,
    };
    // An assembly's own figure is printed as it was written only where it is the one that counts.
    let counts = |kg: f64| {
        binding
            .weights
            .of(what)
            .is_some_and(|estimate| (estimate.kg - kg).abs() < 1e-9)
    };
    let stated = stated.filter(|said| counts(said.value.mass.base()));
    read.or_else(|| stated.map(|said| said.value.mass.last_place()))
}

/// The same for what an act handles.
#[must_use]
pub fn of_load(binding: &Binding<'_>, load: Load) -> Option<ShownMass> {
    of(binding, weighed(load))
}

/// What several loads weigh together; none where one of them is not known.
#[must_use]
pub fn of_loads(binding: &Binding<'_>, loads: &[Said<Load>]) -> Option<ShownMass> {
    match loads {
        [] => None,
        [one] => of_load(binding, one.value),
        several => {
            let all: Option<Vec<mass::MassEstimate>> = several
                .iter()
                .map(|load| binding.weights.of(weighed(load.value)))
                .collect();
            Some(ShownMass::reckoned(binding, &mass::MassEstimate::sum(&all?)))
        }
    }
}

fn weighed(load: Load) -> Weighed {
    match load {
        Load::Thing(thing) => Weighed::Thing(thing),
        Load::Vehicle(id) => Weighed::Vehicle(id),
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
pub fn figure(binding: &Binding<'_>, estimate: ShownMass) -> String {
    figures::decimal(in_unit(binding, estimate.kg), places(binding, estimate.last))
}

/// "74.5 kg".
#[must_use]
pub fn text(binding: &Binding<'_>, estimate: ShownMass) -> String {
    format!("{} {}", figure(binding, estimate), unit(binding))
}

/// "74.5 ± 0.4 kg"; without what it lies within where that is not known.
#[must_use]
pub fn with_give(binding: &Binding<'_>, estimate: ShownMass) -> String {
    if estimate.within <= 0.0 {
        return text(binding, estimate);
    }
    let places = places(binding, estimate.last);
    let within = figures::decimal(in_unit(binding, estimate.within), places);
    format!("{} ± {within} {}", figure(binding, estimate), unit(binding))
}
