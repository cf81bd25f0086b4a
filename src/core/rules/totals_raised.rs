//! Of the family **totals**: a weighing with an end raised, asked whether its figures can be, and against the height that the plan states.
//! Knows nothing of sums.

use super::totals::RAISED_WEIGHING;
use super::{amounts, joined};
use crate::analysis::vehicle_weighings::{self, Weighing};
use crate::base::finding::{Finding, Severity};
use crate::plan::model::{End, Plan, Vehicle, WeighIn};
use crate::reckon::height::{self, Level, Lifted, Raised};
use crate::reckon::uncertainty::COVERAGE;

/// Where the centre of what has wheels lies, as shares of the wheelbase, where no height is stated: what a slip would mend falls in here.
/// Common practice, no source.
const USUAL: (f64, f64) = (0.1, 0.6);

pub(super) fn check(plan: &Plan, weighings: &[Weighing], findings: &mut Vec<Finding>) {
    let Some(vehicle) = plan.vehicle().map(|id| &plan.vehicles[id]) else {
        return;
    };
    for weighing in weighings.iter().filter(|weighing| weighing.raised.is_some()) {
        let Some(level) = vehicle_weighings::level_of(weighings, weighing) else {
            continue;
        };
        let Some((car, lifted, u)) = vehicle_weighings::raised(plan, level, weighing) else {
            continue;
        };
        let one = One {
            plan,
            vehicle,
            level,
            weighing,
            car,
            lifted,
            u,
        };
        findings.extend(one.finding());
    }
}

struct One<'a> {
    plan: &'a Plan,
    vehicle: &'a Vehicle,
    level: &'a Weighing,
    weighing: &'a Weighing,
    car: Level,
    lifted: Lifted,
    /// Of the height.
    u: f64,
}

impl One<'_> {
    fn weigh_in(&self) -> &WeighIn {
        &self.plan.weigh_ins[self.weighing.id]
    }

    fn finding(&self) -> Option<Finding> {
        let (plan, name) = (self.plan, &self.weigh_in().head.name);
        let found = height::implied(self.car, self.lifted).ok()?;
        let length = |mm: f64| amounts::length(plan, mm);
        let mut severity = Severity::Fault;
        let mut stated = false;
        let what = if let Some((end, load)) = self.overloaded() {
            format!(
                "`{name}`: the {end} axle bears {}, and the whole weighs {}",
                amounts::kg(plan, load, 0.0),
                amounts::with_give(plan, &self.level.total)
            )
        } else if found <= 0.0 {
            format!(
                "`{name}` puts the centre {} under the ground",
                length(found.abs())
            )
        } else if height::of_centre(self.car, self.lifted).is_err() {
            format!(
                "`{name}` puts the centre {} up, over twice the wheelbase",
                length(found)
            )
        } else if let Some(said) = vehicle_weighings::stated_height(self.vehicle) {
            if (found - said.over_ground).abs() <= COVERAGE * self.u.hypot(said.u) {
                return None;
            }
            // So far off no scale and no tape is.
            if (0.5..=2.0).contains(&(found / said.over_ground)) {
                severity = Severity::Doubt;
            }
            stated = true;
            format!(
                "`{name}` puts the centre {} up, and the plan says {}",
                amounts::length_within(plan, found, COVERAGE * self.u),
                amounts::length_within(plan, said.over_ground, COVERAGE * said.u)
            )
        } else {
            // Nothing else in the plan says how high it lies: only what is far from usual is asked about.
            let (low, high) = (USUAL.0 * self.car.wheelbase, USUAL.1 * self.car.wheelbase);
            if found + COVERAGE * self.u >= low && found - COVERAGE * self.u <= high {
                return None;
            }
            severity = Severity::Doubt;
            format!(
                "`{name}` puts the centre {} up, where hardly any vehicle has it, and the plan states no height",
                amounts::length_within(plan, found, COVERAGE * self.u)
            )
        };
        let mut finding = Finding::new(&RAISED_WEIGHING, what);
        finding.severity = severity;
        let loads = self.weigh_in().axles.map(|said| said.at);
        if let Some(said) = self.weigh_in().raised {
            finding = finding.at(said.at, "raised by so much");
        }
        finding = finding
            .at(loads.unwrap_or(self.weighing.at), "and so much on its axles")
            .at(self.level.at, "against so much level");
        if let Some(said) = self.vehicle.centre_height.filter(|_| stated) {
            finding = finding.at(said.at, "the plan's own height");
        }
        Some(
            finding
                .harm("How high the centre lies is not known, nor how far the vehicle may lean before it goes over.")
                .mend(self.mend())
                .about(name.to_string())
                .about(self.vehicle.head.name.to_string()),
        )
    }

    /// An axle with more than the whole on it.
    fn overloaded(&self) -> Option<(&'static str, f64)> {
        let axles = self.weighing.axles?;
        let most = self.level.total.kg + self.level.total.expanded();
        [("front", axles.front), ("rear", axles.rear)]
            .into_iter()
            .find(|(_, load)| *load > most)
    }

    /// Slips with which the figures would fit.
    fn mend(&self) -> String {
        let slips: Vec<String> = self.slips().into_iter().take(3).collect();
        let measure = if self.vehicle.centre_height.is_some() {
            "measure the lift at the middle of the wheels, suspension blocked and brakes free, and weigh again"
        } else {
            "measure the lift at the middle of the wheels, suspension blocked and brakes free, and weigh again; a book’s height in the block of the vehicle, height of centre 500 mm, lets it be compared"
        };
        if slips.is_empty() {
            measure.replacen('m', "M", 1)
        } else {
            format!("Perhaps {}; else {measure}", joined(&slips, "or"))
        }
    }

    fn slips(&self) -> Vec<String> {
        let Some((end, by)) = self.weigh_in().raised.map(|said| said.value) else {
            return Vec::new();
        };
        let mut all = Vec::new();
        for times in [10.0, 0.1] {
            let moved = Lifted {
                by: self.lifted.by * times,
                ..self.lifted
            };
            if self.fits(moved) {
                all.push(format!(
                    "it was raised {}: a misplaced point",
                    amounts::like(by, moved.by)
                ));
            }
        }
        if let Some(axles) = self.weighing.axles {
            let (other, word) = match end {
                End::Front => (axles.front, "rear"),
                End::Rear => (axles.rear, "front"),
            };
            let swapped = Lifted {
                other_axle: other,
                ..self.lifted
            };
            if self.fits(swapped) {
                all.push("the two axle figures are swapped".to_owned());
            }
            let turned = Lifted {
                end: match self.lifted.end {
                    Raised::Front => Raised::Rear,
                    Raised::Rear => Raised::Front,
                },
                ..swapped
            };
            if self.fits(turned) {
                all.push(format!("the {word} was raised"));
            }
        }
        all
    }

    /// Whether the height would be the stated one, or a usual one where none is stated.
    fn fits(&self, lifted: Lifted) -> bool {
        let Ok(found) = height::of_centre(self.car, lifted) else {
            return false;
        };
        match vehicle_weighings::stated_height(self.vehicle) {
            Some(said) => {
                let u = vehicle_weighings::u_of_height(self.car, lifted, self.weighing).unwrap_or(self.u);
                (found - said.over_ground).abs() <= COVERAGE * u.hypot(said.u)
            }
            None => (USUAL.0..=USUAL.1).contains(&(found / self.car.wheelbase)),
        }
    }
}
