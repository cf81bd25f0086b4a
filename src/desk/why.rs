//! `why`: shows a rule's page, or the list of all rules by family.

use super::printing::families;
use super::surroundings::Surroundings;
use super::{Outcome, Trouble, talk};
use crate::base::finding::Rule;
use crate::press::terminal::{visible, wrapped};

/// How alike a name must be to be offered, from 0 to 1.
const ALIKE: f64 = 0.75;

pub(super) fn why(name: Option<&str>, around: &Surroundings) -> Result<Outcome, Trouble> {
    let families = families();
    let text = match name {
        None => list(&families, around.columns()),
        Some(name) => {
            let found = families
                .iter()
                .find_map(|(family, rules)| Some((family, *rules.iter().find(|rule| rule.name == name)?)));
            match found {
                Some((family, rule)) => page(family, rule, around.columns()),
                None => return Err(unknown(name, &families)),
            }
        }
    };
    talk::show(&text)
}

fn list(families: &[(&str, Vec<&Rule>)], columns: usize) -> String {
    let mut text = String::new();
    for (family, rules) in families {
        if !text.is_empty() {
            text.push('\n');
        }
        text.push_str(&format!("{family}\n"));
        for rule in rules {
            text.push_str(&format!("  {} ({})\n", rule.name, rule.severity.word()));
            for line in wrapped(rule.summary, columns.saturating_sub(6), 0) {
                text.push_str(&format!("      {line}\n"));
            }
        }
    }
    text
}

fn page(family: &str, rule: &Rule, columns: usize) -> String {
    let accepted = if rule.acceptable {
        "may be accepted"
    } else {
        "never accepted"
    };
    let mut text = format!(
        "{}: {}, of the family \"{family}\"; {accepted}\n\n",
        rule.name,
        rule.severity.word()
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

fn unknown(name: &str, families: &[(&str, Vec<&Rule>)]) -> Trouble {
    let mut near: Vec<(f64, &str)> = families
        .iter()
        .flat_map(|(_, rules)| rules)
        .map(|rule| {
            let part = !name.is_empty() && rule.name.split('-').any(|word| word == name);
            let alike = if part {
                1.0
            } else {
                strsim::jaro_winkler(rule.name, name)
            };
            (alike, rule.name)
        })
        .filter(|(alike, _)| *alike >= ALIKE)
        .collect();
    near.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(b.1)));
    near.truncate(3);
    let shown = visible(name);
    let offer = if near.is_empty() {
        "`boltfolio why` lists them all.".to_owned()
    } else {
        let names: Vec<String> = near.iter().map(|(_, name)| format!("`{name}`")).collect();
        format!("Is it {}? `boltfolio why` lists them all.", names.join(" or "))
    };
    Trouble::new(format!("There is no rule `{shown}`. {offer}"))
}

#[cfg(test)]
mod tests {
    use super::{list, page, unknown};
    use crate::base::finding::{Rule, Severity};

    static FALL: Rule = Rule {
        name: "would-fall",
        severity: Severity::Fault,
        summary: "Nothing bears it",
        page: "# would-fall\n\nA long line of prose that does not fit.\n\n```boltplan\nstep a \"a very long line of a plan\"\n```\n",
        acceptable: false,
    };

    #[test]
    fn pages_break_prose_and_keep_plans() {
        let text = page("support", &FALL, 20);
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

    #[test]
    fn near_names_are_offered() {
        let families = [("support", vec![&FALL])];
        assert!(unknown("wuld-fall", &families).0.contains("Is it `would-fall`?"));
        assert!(unknown("fall", &families).0.contains("Is it `would-fall`?"));
        assert!(!unknown("zzz\u{1b}", &families).0.contains("Is it"));
        assert!(list(&families, 80).contains("support\n  would-fall (fault)\n      Nothing bears it\n"));
    }
}
