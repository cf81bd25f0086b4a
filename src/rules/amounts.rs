//! Masses in the words of findings: no more digits than their uncertainty deserves, in the plan's own unit. Knows no rule.

use crate::base::quantity::Mass;
use crate::plan::model::{Plan, Units};
use crate::reckon::mass::Heft;
use crate::reckon::uncertainty::decimals;

/// Symbol of the plan's unit, and kilograms of one.
fn unit_of(plan: &Plan) -> (&'static str, f64) {
    let inch = plan
        .about
        .as_ref()
        .and_then(|about| about.units)
        .is_some_and(|said| said.value == Units::Inch);
    if inch { ("lb", 0.453_592_37) } else { ("kg", 1.0) }
}

/// "48.3 kg", with the decimals that the uncertainty deserves; with one where there is none.
pub(super) fn kg(plan: &Plan, value: f64, u: f64) -> String {
    let (symbol, one) = unit_of(plan);
    let places = decimals(2.0 * u / one).unwrap_or(1).clamp(0, 3);
    format!("{} {symbol}", figure(value / one, places))
}

/// "48.3 ± 0.4 kg": the figure, and what covers about 95 %.
pub(super) fn with_give(plan: &Plan, heft: &Heft) -> String {
    let (symbol, one) = unit_of(plan);
    let give = heft.expanded() / one;
    let Some(places) = decimals(give) else {
        return kg(plan, heft.kg, 0.0);
    };
    let places = places.clamp(0, 3);
    format!(
        "{} ± {} {symbol}",
        figure(heft.kg / one, places),
        figure(give, places)
    )
}

/// The same kilograms in the unit in which another figure was written, with its decimals, and more where it takes more.
pub(super) fn like(figure_of: Mass, value: f64) -> String {
    let unit = figure_of.unit().unit();
    #[expect(clippy::cast_precision_loss, reason = "factors of units are short")]
    let one = unit.num as f64 / unit.den as f64;
    let value = value / one;
    let least = i32::from(figure_of.number().decimals);
    let exact = (least..least + 3).find(|places| {
        let shown = 10f64.powi(*places) * value;
        (shown - shown.round()).abs() < 1e-6
    });
    format!("{} {}", figure(value, exact.unwrap_or(least)), unit.symbol)
}

/// Whether two figures were written in one unit, so that their steps can be compared.
pub(super) fn same_unit(a: Mass, b: Mass) -> bool {
    a.unit() == b.unit()
}

/// A figure of so many millimetres, whole.
pub(super) fn mm(value: f64) -> String {
    format!("{} mm", figure(value, 0))
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

/// With so many decimals, and the sign that print has.
fn figure(value: f64, places: i32) -> String {
    let places = usize::try_from(places).unwrap_or_default();
    let text = format!("{value:.places$}");
    let nothing = text.trim_start_matches('-').chars().all(|c| c == '0' || c == '.');
    match text.strip_prefix('-') {
        Some(rest) if !nothing => format!("−{rest}"),
        Some(rest) => rest.to_owned(),
        None => text,
    }
}
