//! Of the family **hazards**: what sparks and dust of work on the body find near it. The walk finds it; here it is worded.

use super::phrases::Wording;
use super::rule;
use crate::base::finding::Finding;

rule!(
    SPARKS_BY_FUEL,
    "sparks-by-fuel",
    Doubt,
    true,
    "Something is welded, ground, cut or heated while fuel is in the vehicle, or while its line stands open."
);
rule!(
    DUST_INTO_LINE,
    "dust-into-line",
    Doubt,
    true,
    "Something is cut, ground or drilled while a line stands open beside it."
);

pub(super) fn sparks_by_fuel(tell: Wording<'_>) -> Finding {
    let fuel = tell.all();
    let line = tell
        .of
        .with
        .first()
        .map(|&line| (tell.name(line), tell.bare(line)));
    let what = match &line {
        Some((line, _)) => format!("sparks or heat while {line} of {fuel} stands open"),
        None => format!("sparks or heat while {fuel} is in the vehicle"),
    };
    let finding = tell
        .finding(&SPARKS_BY_FUEL, what, "sparks or heat here")
        .harm("Vapour finds the spark before anybody smells it. Burns. Death.");
    match line {
        Some((_, line)) => tell.write_before(finding, &format!("cap {line}")),
        None => finding.mend(format!(
            "Before this act: drain {} into a closed can that stands outside, and take its tank out; or accept this with how the fuel is kept away",
            tell.all_bare()
        )),
    }
}

pub(super) fn dust_into_line(tell: Wording<'_>) -> Finding {
    let finding = tell
        .finding(
            &DUST_INTO_LINE,
            format!(
                "{} {} open while dust and chips fly",
                tell.all(),
                tell.form("stands", "stand")
            ),
            "dust and chips here",
        )
        .harm("A chip in a brake line or an oilway is found on the road.");
    tell.write_before(finding, &format!("cap {}", tell.all_bare()))
}
