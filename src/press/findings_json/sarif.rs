//! SARIF 2.1.0, the interchange format for results of static analysis (OASIS Standard, 27 March 2020). Faults
//! are its errors, doubts its warnings, advice its notes. Knows no plan text beyond places in it.

use serde::Serialize;

use super::{At, Checked, Places, written};
use crate::base::finding::{Finding, Rule, Severity};

#[derive(Serialize)]
struct Log<'a> {
    #[serde(rename = "$schema")]
    schema: &'static str,
    version: &'static str,
    runs: [Run<'a>; 1],
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Run<'a> {
    tool: Tool<'a>,
    column_kind: &'static str,
    results: Vec<Outcome<'a>>,
}

#[derive(Serialize)]
struct Tool<'a> {
    driver: Driver<'a>,
}

#[derive(Serialize)]
struct Driver<'a> {
    name: &'static str,
    version: &'static str,
    rules: Vec<Described<'a>>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Described<'a> {
    id: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    short_description: Option<Message>,
    #[serde(skip_serializing_if = "Option::is_none")]
    help: Option<Help<'a>>,
    default_configuration: Configuration,
}

#[derive(Serialize)]
struct Help<'a> {
    text: &'a str,
    markdown: &'a str,
}

#[derive(Serialize)]
struct Configuration {
    level: &'static str,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Outcome<'a> {
    rule_id: &'a str,
    rule_index: usize,
    level: &'static str,
    message: Message,
    locations: Vec<Location>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    related_locations: Vec<Location>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    fixes: Vec<Fix>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    suppressions: Vec<Suppression>,
}

#[derive(Serialize)]
struct Message {
    text: String,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Location {
    physical_location: Physical,
    #[serde(skip_serializing_if = "Option::is_none")]
    message: Option<Message>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Physical {
    artifact_location: Artifact,
    region: Region,
}

#[derive(Serialize, PartialEq, Clone)]
struct Artifact {
    uri: String,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Region {
    start_line: usize,
    start_column: usize,
    end_line: usize,
    end_column: usize,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Fix {
    #[serde(skip_serializing_if = "Option::is_none")]
    description: Option<Message>,
    artifact_changes: Vec<Change>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Change {
    artifact_location: Artifact,
    replacements: Vec<Replacement>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Replacement {
    deleted_region: Region,
    inserted_content: Message,
}

#[derive(Serialize)]
struct Suppression {
    kind: &'static str,
    justification: String,
}

/// One run over all plans. Rules are those that have findings, by name; what the plan accepts is suppressed
/// in the source, with the owner's reason.
#[must_use]
pub fn sarif(all: &[Checked]) -> String {
    let mut rules: Vec<&Rule> = Vec::new();
    for done in all {
        let accepted = done.compilation.accepted.iter().map(|(finding, _)| finding);
        rules.extend(
            done.compilation
                .findings
                .iter()
                .chain(accepted)
                .map(|finding| finding.rule),
        );
    }
    rules.sort_unstable_by_key(|rule| rule.name);
    rules.dedup_by_key(|rule| rule.name);

    let mut results = Vec::new();
    for done in all {
        let mut places = Places::new(*done);
        let standing = done.compilation.findings.iter().map(|finding| (finding, None));
        let accepted = done.compilation.accepted.iter();
        let accepted = accepted.map(|(finding, accept)| (finding, Some(&*accept.because)));
        for (finding, reason) in standing.chain(accepted) {
            let index = rules
                .binary_search_by_key(&finding.rule.name, |rule| rule.name)
                .expect("the rule of every finding was listed above");
            results.push(outcome(finding, index, reason, &mut places));
        }
    }
    written(&Log {
        schema: "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json",
        version: "2.1.0",
        runs: [Run {
            tool: Tool {
                driver: Driver {
                    name: env!("CARGO_PKG_NAME"),
                    version: env!("CARGO_PKG_VERSION"),
                    rules: rules.iter().map(|rule| described(rule)).collect(),
                },
            },
            column_kind: "unicodeCodePoints",
            results,
        }],
    })
}

fn level(severity: Severity) -> &'static str {
    match severity {
        Severity::Fault => "error",
        Severity::Doubt => "warning",
        Severity::Advice => "note",
    }
}

fn described(rule: &Rule) -> Described<'_> {
    Described {
        id: rule.name,
        short_description: message(rule.summary),
        help: (!rule.page.is_empty()).then_some(Help {
            text: rule.page,
            markdown: rule.page,
        }),
        default_configuration: Configuration {
            level: level(rule.severity),
        },
    }
}

/// An empty message is no message.
fn message(text: &str) -> Option<Message> {
    (!text.is_empty()).then(|| Message {
        text: text.to_owned(),
    })
}

fn outcome<'a>(
    finding: &'a Finding,
    rule_index: usize,
    reason: Option<&str>,
    places: &mut Places,
) -> Outcome<'a> {
    let mut locations: Vec<Location> = finding
        .labels
        .iter()
        .enumerate()
        // The format wants no location twice.
        .filter(|(number, label)| !finding.labels.iter().take(*number).any(|other| other == *label))
        .filter_map(|(_, label)| Some(location(places.at(label.span)?, &label.words)))
        .collect();
    let related_locations = locations.split_off(locations.len().min(1));
    let mut text = finding.what.clone();
    if !finding.harm.is_empty() {
        text.push_str("\nIf left: ");
        text.push_str(&finding.harm);
    }
    if !finding.mend.words.is_empty() {
        text.push_str("\nWrite: ");
        text.push_str(&finding.mend.words);
    }
    Outcome {
        rule_id: finding.rule.name,
        rule_index,
        level: level(finding.severity),
        message: Message { text },
        locations,
        related_locations,
        fixes: fix(finding, places).into_iter().collect(),
        suppressions: reason
            .map(|reason| Suppression {
                kind: "inSource",
                justification: reason.to_owned(),
            })
            .into_iter()
            .collect(),
    }
}

fn location(at: At, words: &str) -> Location {
    Location {
        physical_location: Physical {
            artifact_location: artifact(at.path),
            region: region(at),
        },
        message: message(words),
    }
}

fn region(at: At) -> Region {
    Region {
        start_line: at.line,
        start_column: at.column,
        end_line: at.end_line,
        end_column: at.end_column,
    }
}

fn fix(finding: &Finding, places: &mut Places) -> Option<Fix> {
    let mut changes: Vec<Change> = Vec::new();
    for edit in &finding.mend.edits {
        let at = places.at(edit.span)?;
        let place = artifact(at.path);
        let replacement = Replacement {
            deleted_region: region(at),
            inserted_content: Message {
                text: edit.text.clone(),
            },
        };
        match changes
            .iter_mut()
            .find(|change| change.artifact_location == place)
        {
            Some(change) => change.replacements.push(replacement),
            None => changes.push(Change {
                artifact_location: place,
                replacements: vec![replacement],
            }),
        }
    }
    (!changes.is_empty()).then(|| Fix {
        description: message(&finding.mend.words),
        artifact_changes: changes,
    })
}

/// A path as a URI reference (RFC 3986): relative as it is, absolute with its scheme.
fn artifact(path: &str) -> Artifact {
    let mut uri = String::with_capacity(path.len());
    if path.starts_with('/') {
        uri.push_str("file://");
    }
    for byte in path.bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~/".contains(&byte) {
            uri.push(char::from(byte));
        } else {
            uri.push_str(&format!("%{byte:02X}"));
        }
    }
    Artifact { uri }
}
