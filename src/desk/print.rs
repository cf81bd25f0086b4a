//! `print`: reads a plan, compiles it, and writes its binder.

use super::command_line::Print;
use super::lint::{compiled, outcome};
use super::numbers::{file_name, kept};
use super::printing::{Wanted, printed};
use super::surroundings::{Surroundings, today};
use super::talk::{self, Progress};
use super::write::write_all;
use super::{Outcome, Trouble};
use crate::base::finding::Severity;
use crate::press::terminal::{findings, visible};

pub(super) fn print(asked: &Print, around: &Surroundings) -> Result<Outcome, Trouble> {
    let progress = Progress::new(around);
    let compiled = compiled(&asked.path, &progress);
    progress.done();
    let compiled = compiled?;
    let compilation = &compiled.compilation;
    if !compilation.findings.is_empty() || !compilation.accepted.is_empty() {
        talk::aside(&findings(&[compilation], around.error_look(asked.all)));
    }
    let outcome = outcome([compilation].into_iter(), Severity::Fault);
    if outcome == Outcome::Findings && !asked.unchecked {
        let count = compilation.count(Severity::Fault);
        talk::sentence(
            &format!(
                "Nothing was printed, since {} {}. Mend what is found, or print with `--unchecked`; then every page \
                 says that it is not proved.",
                Severity::Fault.words(count),
                if count == 1 { "stands" } else { "stand" }
            ),
            around,
        );
        return Ok(outcome);
    }

    let mut forms = Vec::new();
    for form in &asked.form {
        if !forms.contains(form) {
            forms.push(*form);
        }
    }
    let name = file_name(&compilation.plan, &compiled.name);
    let wanted = Wanted {
        forms,
        paper: asked.paper(),
        sides: asked.sides(),
        today: asked.dated.unwrap_or_else(today),
        unchecked: asked.unchecked,
        to_do: asked.to_do,
        changed: asked.changed,
        kept: kept(&asked.to, &compilation.plan, name),
    };
    progress.now("Laying out the pages");
    let printed = printed(compilation, &wanted, name);
    progress.done();
    let printed = printed.map_err(Trouble::new)?;
    let written = write_all(&asked.to, &printed.sheets, &printed.whole)?;
    for note in &printed.notes {
        talk::sentence(note, around);
    }
    let mut text = String::new();
    for (path, sheet) in written.at.iter().zip(&printed.sheets) {
        let shown = visible(&path.to_string_lossy());
        let gap = if sheet.word.is_empty() { "" } else { ", " };
        text.push_str(&format!("{shown}{gap}{}\n", sheet.word));
    }
    talk::show(&text)?;
    if written.gone > 0 {
        let files = if written.gone == 1 { "file" } else { "files" };
        talk::sentence(
            &format!("Taken away: {} {files} of an earlier print.", written.gone),
            around,
        );
    }
    Ok(outcome)
}
