//! `why`: shows a rule's page, with the lines marked that the mend changes; the rules of a family; or the list of all rules by family.

use super::surroundings::Surroundings;
use super::{Outcome, Trouble, talk};
use crate::base::finding::Rule;
use crate::press::terminal::{visible, wrapped};
use crate::rules::{Family, RETIRED, catalogue, near};

pub(super) fn why(name: Option<&str>, around: &Surroundings) -> Result<Outcome, Trouble> {
    let text = match name {
        None => list(catalogue(), around.columns()),
        Some(name) => {
            let found = catalogue()
                .iter()
                .find_map(|family| Some((family, *family.rules.iter().find(|rule| rule.name == name)?)));
            match found {
                Some((family, rule)) => page(family, rule, around.columns()),
                None => match catalogue().iter().find(|family| family.name == name) {
                    Some(family) => list(&[family], around.columns()),
                    None => return Err(unknown(name)),
                },
            }
        }
    };
    talk::show(&text)
}

fn list(families: &[&Family], columns: usize) -> String {
    let mut text = String::new();
    for family in families {
        if !text.is_empty() {
            text.push('\n');
        }
        for line in wrapped(&format!("{}: {}", family.name, family.about), columns, 0) {
            text.push_str(&format!("{line}\n"));
        }
        for rule in family.rules {
            text.push_str(&format!("  {} ({})\n", rule.name, rule.severity.word()));
            for line in wrapped(rule.summary, columns.saturating_sub(6), 0) {
                text.push_str(&format!("      {line}\n"));
            }
        }
    }
    text
}

fn page(family: &Family, rule: &Rule, columns: usize) -> String {
    let accepted = if rule.acceptable {
        "may be accepted"
    } else {
        "never accepted"
    };
    let head = format!(
        "{}: {}, of the family \"{}\"; {accepted}",
        rule.name,
        rule.severity.word(),
        family.name
    );
    let mut text = wrapped(&head, columns, 0).join("\n") + "\n\n";
    // The page begins with what the line above says already.
    let told = [format!("# {}", rule.name), rule.severity.word().to_owned()];
    let changed = changed(rule.page);
    let mut plans = 0;
    let mut lines = rule
        .page
        .lines()
        .skip_while(|line| line.is_empty() || told.iter().any(|t| t == line))
        .peekable();
    while let Some(line) = lines.next() {
        if line.starts_with("```") {
            // Plans are shown as they are to be written.
            text.push_str(&format!("{line}\n"));
            plans += usize::from(line == PLAN);
            let mend = line == PLAN && plans == 2;
            for (nth, line) in lines.by_ref().enumerate() {
                let mark = if mend && changed.contains(&nth) { MARK } else { "" };
                text.push_str(&format!("{line}{mark}\n"));
                if line.starts_with("```") {
                    break;
                }
            }
            continue;
        }
        let mut paragraph = line.to_owned();
        while let Some(next) = lines.next_if(|next| is_prose(line) && goes_on(next)) {
            paragraph.push(' ');
            paragraph.push_str(next.trim());
        }
        if line.starts_with('|') {
            text.push_str(&format!("{line}\n"));
            continue;
        }
        let lead = if line.starts_with("- ") { "  " } else { "" };
        for (number, part) in wrapped(&paragraph, columns.saturating_sub(lead.len()), 0)
            .iter()
            .enumerate()
        {
            text.push_str(if number == 0 { "" } else { lead });
            text.push_str(&format!("{part}\n"));
        }
    }
    text
}

/// How a plan on a page begins.
const PLAN: &str = "```boltplan";

/// What stands behind a line that the mend changes: a comment, so that the plan can be copied as it is shown.
const MARK: &str = "  # changed";

/// The lines of the second plan on a page that the first one does not have, from 0. In a note nothing is a comment, and nothing is marked.
fn changed(page: &str) -> Vec<usize> {
    let mut plans = page
        .split(PLAN)
        .skip(1)
        .filter_map(|rest| rest.split("```").next());
    let (Some(broken), Some(mended)) = (plans.next(), plans.next()) else {
        return Vec::new();
    };
    let before: Vec<&str> = broken.lines().skip(1).collect();
    let mut left = before.clone();
    let mut note: Option<usize> = None;
    let mut all = Vec::new();
    for (nth, line) in mended.lines().skip(1).enumerate() {
        let indent = line.len() - line.trim_start().len();
        if note.is_some_and(|above| indent <= above && !line.trim().is_empty()) {
            note = None;
        }
        let first = line.trim_start();
        if note.is_none() && (first == "note" || first.starts_with("note ") || line.contains("; note ")) {
            note = Some(indent);
        }
        match left.iter().position(|known| *known == line) {
            Some(at) => {
                left.remove(at);
            }
            None if note.is_some() || first.is_empty() || first.starts_with('#') => {}
            // A list that goes on in the next line ends in its comma.
            None if line.trim_end().ends_with(',') => {}
            None => all.push(nth),
        }
    }
    all
}

/// Whether a line of a page may go on in the next one.
fn is_prose(line: &str) -> bool {
    !line.is_empty() && !line.starts_with('#') && !line.starts_with('|')
}

/// Whether a line goes on with the paragraph or the item before it.
fn goes_on(line: &str) -> bool {
    is_prose(line) && !line.starts_with("```") && !line.starts_with("- ")
}

fn unknown(name: &str) -> Trouble {
    let shown = visible(name);
    if let Some((_, instead)) = RETIRED.iter().find(|(retired, _)| *retired == name) {
        return Trouble::new(format!(
            "The rule `{shown}` was given up; see `boltfolio why {instead}`."
        ));
    }
    let near = near(name);
    let offer = if near.is_empty() || name.is_empty() {
        String::new()
    } else {
        let names: Vec<String> = near.iter().map(|name| format!("`{name}`")).collect();
        format!("Is it {}? ", names.join(" or "))
    };
    Trouble::new(format!(
        "There is no rule `{shown}`. {offer}`boltfolio why` lists them all."
    ))
}

#[cfg(test)]
mod tests {
    use super::{list, page};
    use crate::base::finding::{Rule, Severity};
    use crate::rules::Family;

    static FALL: Rule = Rule {
        name: "would-fall",
        severity: Severity::Fault,
        summary: "Nothing bears it",
        page: "# would-fall\n\nfault\n\nA long line of\nprose that does not fit.\n- one\n- two and\n  more of it\n\n```boltplan\nstep a \"a very long line of a plan\"\n```\n",
        acceptable: false,
    };

    #[test]
    fn pages_break_prose_and_keep_plans() {
        assert_eq!(
            page(&SUPPORT, &FALL, 20),
            "would-fall: fault,\nof the family\n\"support\"; never\naccepted\n\n\
             A long line of prose\nthat does not fit.\n- one\n- two and more of\n  it\n\n\
             ```boltplan\nstep a \"a very long line of a plan\"\n```\n"
        );
    }

    static SUPPORT: Family = Family {
        name: "support",
        about: "what bears what",
        rules: &[&FALL],
    };

    #[test]
    fn the_list_goes_by_family() {
        assert_eq!(
            list(&[&SUPPORT], 80),
            "support: what bears what\n  would-fall (fault)\n      Nothing bears it\n"
        );
    }
}
