//! The family **order**: acts on lines that are shut, records that come too late, doubt without a part to renew with. The statics
//! stand with the others of the family.

use super::order_acts::{NOTHING_OPEN, NOTHING_TO_RENEW_WITH, TOO_LATE};
use super::phrases::Wording;
use crate::base::finding::Finding;

pub(super) fn nothing_open(tell: Wording<'_>) -> Finding {
    let finding = tell
        .finding(
            &NOTHING_OPEN,
            format!("{} {} not open for this", tell.all(), tell.form("is", "are")),
            "nothing to close here",
        )
        .harm("The cap stays on the bench, and the line that it was meant for stays open.");
    let finding = finding.mend(format!("Before this act: undo {}", tell.all_bare()));
    tell.behind_undone(finding)
}

pub(super) fn too_late(tell: Wording<'_>) -> Finding {
    let finding = tell
        .finding(
            &TOO_LATE,
            format!("{} {} parted already", tell.all(), tell.form("is", "are")),
            "recorded here, too late",
        )
        .harm("What shows how it sat is gone, and cannot be had again.")
        .mend("Move this act before the one that undoes it");
    tell.before_undone(finding)
}

pub(super) fn nothing_to_renew_with(tell: Wording<'_>) -> Finding {
    let name = tell.all_bare();
    let finding = tell
        .finding(
            &NOTHING_TO_RENEW_WITH,
            format!("nothing is declared to renew {} with", tell.all()),
            "judged here",
        )
        .harm("If it is worn, the job stands still until one is had.")
        .mend(format!(
            "Declare it: part {name}-new; in place of {name}, if renewed"
        ));
    match tell.parts_first() {
        Some(part) => {
            let block = tell.plan.parts[part].head.block;
            let text = format!("\npart {name}-new; in place of {name}, if renewed");
            finding.edit(block.after(), text)
        }
        None => finding,
    }
}
