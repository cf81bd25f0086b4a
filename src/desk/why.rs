//! `why`: shows a rule's page, or the list of all rules by family.

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
                None => return Err(unknown(name)),
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
    let mut text = format!(
        "{}: {}, of the family \"{}\"; {accepted}\n\n",
        rule.name,
        rule.severity.word(),
        family.name
    );
    let mut fenced = false;
    for line in rule.page.lines() {
        let fence = line.starts_with("```");
        fenced ^= fence;
        // Plans are shown as they are to be written; only prose and lists are broken anew.
        if fenced || fence || line.starts_with('|') {
            text.push_str(line);
            text.push('\n');
            continue;
        }
        let indent = line.len() - line.trim_start().len();
        let lead = " ".repeat(indent);
        for part in wrapped(line.trim_start(), columns.saturating_sub(indent), 0) {
            text.push_str(&format!("{lead}{part}\n"));
        }
    }
    text
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
        page: "# would-fall\n\nA long line of prose that does not fit.\n\n```boltplan\nstep a \"a very long line of a plan\"\n```\n",
        acceptable: false,
    };

    #[test]
    fn pages_break_prose_and_keep_plans() {
        let text = page(&SUPPORT, &FALL, 20);
        assert!(
            text.contains("A long line of prose\nthat does not fit.\n"),
            "{text}"
        );
        assert!(
            text.contains("\nstep a \"a very long line of a plan\"\n"),
            "{text}"
        );
        assert!(text.starts_with("would-fall: fault, of the family \"support\"; never accepted\n"));
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
