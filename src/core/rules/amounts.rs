//! Masses in the words of findings: no more digits than their uncertainty deserves, in the plan's own unit. Knows no rule.

use crate::base::digits::{self, Ruler, Side, decimal};
use crate::base::quantity::{Mass, Measures, Quantity};
use crate::plan::model::{Money, Plan, Units};
use crate::reckon::mass::MassEstimate;
use crate::reckon::uncertainty::decimals;

/// Symbol of the plan's unit, and kilograms of one.
fn unit_of(plan: &Plan) -> (&'static str, f64) {
    if inch(plan) {
        ("lb", 0.453_592_37)
    } else {
        ("kg", 1.0)
    }
}

pub(super) fn inch(plan: &Plan) -> bool {
    let units = plan.about.as_ref().and_then(|about| about.units);
    units.is_some_and(|said| said.value == Units::Inch)
}

/// "48.3 kg", with the decimals that the uncertainty deserves; with one where there is none.
pub(super) fn kg(plan: &Plan, value: f64, u: f64) -> String {
    let (symbol, one) = unit_of(plan);
    let places = decimals(2.0 * u / one).unwrap_or(1).clamp(0, 3);
    format!("{} {symbol}", decimal(value / one, places))
}

/// "48.3 ± 0.4 kg": the figure, and what covers about 95 %.
pub(super) fn with_give(plan: &Plan, estimate: &MassEstimate) -> String {
    let (symbol, one) = unit_of(plan);
    let give = estimate.expanded() / one;
    let Some(places) = decimals(give) else {
        return kg(plan, estimate.kg, 0.0);
    };
    let places = places.clamp(0, 3);
    format!(
        "{} ± {} {symbol}",
        decimal(estimate.kg / one, places),
        decimal(give, places)
    )
}

/// "410 GBP".
pub(super) fn money(cents: i64, currency: [u8; 3]) -> String {
    digits::money(cents, currency)
}

/// As the plan writes it.
pub(super) fn money_as_written(money: Money) -> String {
    format!("{} {}", money.number, money.currency())
}

/// "GBP".
pub(super) fn currency(letters: [u8; 3]) -> String {
    String::from_utf8_lossy(&letters).into_owned()
}

/// The same amount, in base units, in the unit in which another figure was written, with its decimals, and more where it takes more.
pub(super) fn like<D: Measures>(figure_of: Quantity<D>, value: f64) -> String {
    let unit = figure_of.unit().unit();
    #[expect(clippy::cast_precision_loss, reason = "factors of units are short")]
    let one = unit.num as f64 / unit.den as f64;
    let value = value / one;
    let least = i32::from(figure_of.number().decimals);
    let exact = (least..least + 3).find(|places| {
        let shown = 10f64.powi(*places) * value;
        (shown - shown.round()).abs() < 1e-6
    });
    format!("{} {}", decimal(value, exact.unwrap_or(least)), unit.symbol)
}

/// An amount in base units, in the unit in which another figure was written, with three figures, as a wrench is set.
pub(super) fn three_figures<D: Measures>(figure_of: Quantity<D>, value: f64) -> String {
    let unit = figure_of.unit().unit();
    #[expect(clippy::cast_precision_loss, reason = "factors of units are short")]
    let value = value * unit.den as f64 / unit.num as f64;
    format!("{} {}", digits::three_figures(Side::Nearest, value), unit.symbol)
}

/// Whether two figures were written in one unit, so that their steps can be compared.
pub(super) fn same_unit(a: Mass, b: Mass) -> bool {
    a.unit() == b.unit()
}

/// A length in the plan's unit: whole millimetres, or tenths of an inch.
pub(super) fn length(plan: &Plan, mm: f64) -> String {
    ruler(plan, 1.0).length(mm)
}

/// "504 ± 28 mm": a length with what covers about 95 %; in tens of millimetres where that is 50 mm or more.
pub(super) fn length_within(plan: &Plan, mm: f64, give: f64) -> String {
    ruler(plan, if give >= 50.0 { 10.0 } else { 1.0 }).length_within(mm, give)
}

fn ruler(plan: &Plan, step: f64) -> Ruler {
    if inch(plan) {
        Ruler::Inches
    } else {
        Ruler::Millimetres(step)
    }
}

/// A chance in words: never nothing, never all.
pub(super) fn chance(chance: f64) -> String {
    let percent = (chance * 100.0).round();
    match percent {
        percent if percent < 1.0 => "under 1 %".to_owned(),
        percent if percent > 99.0 => "over 99 %".to_owned(),
        percent => format!("about {percent} %"),
    }
}
