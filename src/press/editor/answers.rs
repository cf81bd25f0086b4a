//! What the compiler answers, in the words of the protocol.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use serde_json::{Value, json};

use super::messages::{At, Can, Code, Diagnostic, Location, Position, Range, Related, TextEdit};
use super::server::{Planned, Server};
use crate::base::finding::{Edit, Finding, Severity};
use crate::base::source::{Place, SourceId, Span, Unit};
use crate::editor::complete::{Offered, complete};
use crate::editor::hover::{hover, signature};
use crate::editor::outline::{Outlined, folds, outline};
use crate::editor::rename::{prepare, rename};
use crate::editor::{mending, notes, places};
use crate::plan::scope::Entity;
use crate::syntax::shapes::BlockKind;

/// The answer to a request, or why there is none.
pub(super) type Said = Result<Value, (Code, String)>;

/// The name under which findings stand in an editor's list.
const SOURCE: &str = "boltfolio";

pub(super) fn unit(can: Can) -> Unit {
    if can.utf8 { Unit::Utf8 } else { Unit::Utf16 }
}

const ASKED: &[&str] = &[
    "textDocument/completion",
    "textDocument/hover",
    "textDocument/signatureHelp",
    "textDocument/definition",
    "textDocument/references",
    "textDocument/documentHighlight",
    "textDocument/documentSymbol",
    "textDocument/codeAction",
    "textDocument/formatting",
    "textDocument/rangeFormatting",
    "textDocument/prepareRename",
    "textDocument/rename",
    "textDocument/foldingRange",
    "textDocument/inlayHint",
    "workspace/symbol",
];

pub(super) fn knows(method: &str) -> bool {
    ASKED.contains(&method)
}

/// What is answered of a text of which nothing is known.
pub(super) fn nothing(method: &str) -> Value {
    match method {
        "textDocument/hover"
        | "textDocument/signatureHelp"
        | "textDocument/prepareRename"
        | "textDocument/rename" => Value::Null,
        _ => json!([]),
    }
}

pub(super) fn capabilities(can: Can) -> Value {
    json!({
        "serverInfo": {"name": SOURCE, "version": env!("CARGO_PKG_VERSION")},
        "capabilities": {
            "positionEncoding": if can.utf8 { "utf-8" } else { "utf-16" },
            "textDocumentSync": {"openClose": true, "change": 1, "save": {"includeText": false}},
            "completionProvider": {"triggerCharacters": [" ", ","]},
            "hoverProvider": true,
            "signatureHelpProvider": {"triggerCharacters": [" "]},
            "definitionProvider": true,
            "referencesProvider": true,
            "documentHighlightProvider": true,
            "documentSymbolProvider": true,
            "workspaceSymbolProvider": true,
            "codeActionProvider": {"codeActionKinds": ["quickfix", "source.fixAll"]},
            "documentFormattingProvider": true,
            "documentRangeFormattingProvider": true,
            "renameProvider": {"prepareProvider": true},
            "foldingRangeProvider": true,
            "inlayHintProvider": true,
            "workspace": {"workspaceFolders": {"supported": true, "changeNotifications": true}},
        },
    })
}

/// Files that could not be read, at the top of one that is open.
pub(super) fn trouble(why: &str) -> Diagnostic {
    Diagnostic {
        range: Range {
            start: Position {
                line: 0,
                character: 0,
            },
            end: Position {
                line: 0,
                character: 0,
            },
        },
        severity: 1,
        code: "cannot-be-read".to_owned(),
        source: SOURCE,
        message: why.to_owned(),
        related_information: Vec::new(),
    }
}

/// Places of one plan in the editor's words.
pub(super) struct Words<'a> {
    plan: &'a Planned,
    uris: Vec<String>,
    /// Texts that the editor has with a mark of the byte order before them.
    marked: Vec<bool>,
    versions: Vec<Option<i64>>,
    can: Can,
}

impl<'a> Words<'a> {
    pub(super) fn of(server: &Server<'_>, plan: &'a Planned) -> Self {
        let open = |key: &PathBuf| server.open.get(key);
        Self {
            plan,
            uris: plan.paths.iter().map(|key| server.uri_of(key)).collect(),
            marked: plan
                .paths
                .iter()
                .map(|key| open(key).is_some_and(|document| document.text.starts_with('\u{feff}')))
                .collect(),
            versions: plan
                .paths
                .iter()
                .map(|key| open(key).map(|document| document.version))
                .collect(),
            can: server.can,
        }
    }

    fn marked(&self, source: SourceId) -> bool {
        self.marked.get(source.0 as usize).copied().unwrap_or(false)
    }

    fn uri(&self, source: SourceId) -> &str {
        self.uris.get(source.0 as usize).map_or("", String::as_str)
    }

    fn position(&self, source: SourceId, at: u32) -> Position {
        let place = self.plan.done.sources.get(source);
        let place = place.map_or_else(Place::default, |file| {
            file.place(at, unit(self.can), self.marked(source))
        });
        place.into()
    }

    fn range(&self, span: Span) -> Range {
        Range {
            start: self.position(span.source, span.start),
            end: self.position(span.source, span.end),
        }
    }

    fn byte(&self, source: SourceId, position: Position) -> u32 {
        let file = self.plan.done.sources.get(source);
        file.map_or(0, |file| {
            file.byte(position.into(), unit(self.can), self.marked(source))
        })
    }

    fn location(&self, span: Span) -> Location {
        Location {
            uri: self.uri(span.source).to_owned(),
            range: self.range(span),
        }
    }

    /// A finding, and the file that it is shown in: its own, or the plan's where it has no place.
    pub(super) fn diagnostic(&self, finding: &Finding) -> Option<(String, Diagnostic)> {
        let about = self.plan.done.plan.about.as_deref();
        let place = finding.place().or_else(|| about.map(|about| about.head.at));
        let place = place.unwrap_or(Span::new(SourceId(0), 0, 0));
        let related = finding.labels.iter().skip(1).filter(|_| self.can.related);
        let mut message = finding.what.clone();
        if !self.can.related {
            for label in finding.labels.iter().skip(1) {
                let at = self.plan.done.sources.place(label.span);
                message.push_str(&format!("\n{at}: {}", label.words));
            }
        }
        self.uris.get(place.source.0 as usize)?;
        Some((
            self.uri(place.source).to_owned(),
            Diagnostic {
                range: self.range(place),
                severity: match finding.severity {
                    Severity::Fault => 1,
                    Severity::Doubt => 2,
                    Severity::Advice => 3,
                },
                code: finding.rule.name.to_owned(),
                source: SOURCE,
                message,
                related_information: related
                    .map(|label| Related {
                        location: self.location(label.span),
                        message: label.words.clone(),
                    })
                    .collect(),
            },
        ))
    }

    /// Edits of any files, with the versions that they are for where the editor takes them.
    fn workspace_edit(&self, edits: &[Edit]) -> Value {
        let mut by_file: BTreeMap<SourceId, Vec<TextEdit>> = BTreeMap::new();
        for edit in edits {
            by_file.entry(edit.span.source).or_default().push(TextEdit {
                range: self.range(edit.span),
                new_text: edit.text.clone(),
            });
        }
        if self.can.document_changes {
            let changes: Vec<Value> = by_file
                .into_iter()
                .map(|(source, edits)| {
                    let version = self.versions.get(source.0 as usize).copied().flatten();
                    json!({"textDocument": {"uri": self.uri(source), "version": version}, "edits": edits})
                })
                .collect();
            return json!({"documentChanges": changes});
        }
        let changes: BTreeMap<&str, Vec<TextEdit>> = by_file
            .into_iter()
            .map(|(source, edits)| (self.uri(source), edits))
            .collect();
        json!({"changes": changes})
    }
}

/// The answer to a request about a file of a plan, and sentences for the person at the editor.
pub(super) fn answer(
    server: &Server<'_>,
    method: &str,
    plan: &Path,
    key: &Path,
    at: &At,
    printed: bool,
) -> Result<(Value, Vec<String>), (Code, String)> {
    let Some(planned) = server.plans.get(plan) else {
        return Ok((nothing(method), Vec::new()));
    };
    let Some(source) = planned.source(key) else {
        return Ok((nothing(method), Vec::new()));
    };
    let words = Words::of(server, planned);
    let desk = planned.desk();
    let byte = at.position.map(|position| words.byte(source, position));
    let place = || byte.ok_or((Code::InvalidParams, "The request has no position.".to_owned()));
    let quiet = |value: Value| Ok((value, Vec::new()));
    let refused = |why: String| (Code::RequestFailed, why);
    match method {
        "textDocument/completion" => quiet(offers(&words, source, place()?)),
        "textDocument/hover" => {
            let Some(found) = hover(desk, source, place()?) else {
                return quiet(Value::Null);
            };
            let (kind, text) = if server.can.markdown {
                ("markdown", found.markdown)
            } else {
                ("plaintext", found.markdown.replace("**", "").replace('`', ""))
            };
            quiet(json!({"contents": {"kind": kind, "value": text}, "range": words.range(found.at)}))
        }
        "textDocument/signatureHelp" => quiet(match signature(desk, source, place()?) {
            Some(form) => {
                json!({"signatures": [{"label": form}], "activeSignature": 0, "activeParameter": 0})
            }
            None => Value::Null,
        }),
        "textDocument/definition" => {
            let found = places::found(desk, source, place()?);
            let all: Vec<Location> = found
                .iter()
                .flat_map(|found| places::declarations(desk, found))
                .map(|span| words.location(span))
                .collect();
            quiet(json!(all))
        }
        "textDocument/references" => {
            let declared = at
                .context
                .as_ref()
                .is_some_and(|context| context.include_declaration);
            let found = places::found(desk, source, place()?);
            let all: Vec<Location> = found
                .iter()
                .flat_map(|found| places::references(desk, found, declared))
                .map(|span| words.location(span))
                .collect();
            quiet(json!(all))
        }
        "textDocument/documentHighlight" => {
            let found = places::found(desk, source, place()?);
            let all: Vec<Value> = found
                .iter()
                .flat_map(|found| places::references(desk, found, true))
                .filter(|span| span.source == source)
                .map(|span| json!({"range": words.range(span), "kind": 1}))
                .collect();
            quiet(json!(all))
        }
        "textDocument/documentSymbol" => quiet(symbols(&words, source)),
        "textDocument/foldingRange" => {
            let file = desk.file(source);
            let all: Vec<Value> = file
                .map(|(file, tree)| folds(file, tree, source))
                .unwrap_or_default()
                .into_iter()
                .map(|(first, last)| json!({"startLine": first, "endLine": last}))
                .collect();
            quiet(json!(all))
        }
        "textDocument/inlayHint" => {
            let range = at.range.map(|range| {
                Span::new(
                    source,
                    words.byte(source, range.start),
                    words.byte(source, range.end),
                )
            });
            let all: Vec<Value> = notes::notes(desk, source)
                .into_iter()
                .filter(|note| range.is_none_or(|range| (range.start..=range.end).contains(&note.at)))
                .map(|note| {
                    json!({
                        "position": words.position(source, note.at),
                        "label": note.text,
                        "paddingLeft": true,
                    })
                })
                .collect();
            quiet(json!(all))
        }
        "textDocument/prepareRename" => {
            let (span, name) = prepare(desk, source, place()?).map_err(refused)?;
            quiet(json!({"range": words.range(span), "placeholder": name}))
        }
        "textDocument/rename" => {
            let new = at.new_name.as_deref().unwrap_or_default();
            let done = rename(desk, source, place()?, new, printed).map_err(refused)?;
            Ok((words.workspace_edit(&done.edits), done.told))
        }
        "textDocument/codeAction" => quiet(actions(&words, source, at)),
        "textDocument/formatting" | "textDocument/rangeFormatting" => {
            let within = at.range.map(|range| {
                Span::new(
                    source,
                    words.byte(source, range.start),
                    words.byte(source, range.end),
                )
            });
            quiet(formatted(&words, source, within))
        }
        _ => quiet(nothing(method)),
    }
}

fn offers(words: &Words<'_>, source: SourceId, at: u32) -> Value {
    let kind = |is: Offered| match is {
        Offered::Block => 7,
        Offered::Statement => 14,
        Offered::Unit => 11,
        Offered::Word => 12,
        Offered::Rule => 21,
        Offered::Name(entity) => match entity {
            Entity::Step(_) | Entity::Stage(_) => 23,
            Entity::Joint(_) => 18,
            Entity::Person(_) => 9,
            Entity::Caution(_) => 24,
            _ => 6,
        },
    };
    let items: Vec<Value> = complete(words.plan.desk(), source, at)
        .into_iter()
        .enumerate()
        .map(|(nth, offer)| {
            let filled = offer.snippet.filter(|_| words.can.snippets);
            let mut item = json!({
                "label": offer.text,
                "kind": kind(offer.is),
                "detail": offer.about,
                "sortText": format!("{:03}{nth:05}", offer.rank),
                "filterText": offer.text,
                "insertTextFormat": if filled.is_some() { 2 } else { 1 },
                "textEdit": {"range": words.range(offer.at), "newText": filled.as_ref().unwrap_or(&offer.text)},
            });
            if offer.about.is_empty() && let Some(item) = item.as_object_mut() {
                item.remove("detail");
            }
            item
        })
        .collect();
    json!({"isIncomplete": false, "items": items})
}

fn symbol_kind(kind: BlockKind) -> u8 {
    match kind {
        BlockKind::Stage => 3,
        BlockKind::Step => 12,
        BlockKind::Joint => 11,
        BlockKind::Plan | BlockKind::Vehicle | BlockKind::Machine => 2,
        BlockKind::Assembly => 5,
        BlockKind::Caution => 24,
        BlockKind::Log => 18,
        BlockKind::Accept
        | BlockKind::Person
        | BlockKind::Scale
        | BlockKind::Rig
        | BlockKind::Tool
        | BlockKind::Consumable
        | BlockKind::Kit
        | BlockKind::Part
        | BlockKind::Parts
        | BlockKind::Fluid
        | BlockKind::Energy
        | BlockKind::WeighIn
        | BlockKind::Swap => 19,
    }
}

fn symbols(words: &Words<'_>, source: SourceId) -> Value {
    let desk = words.plan.desk();
    let Some((file, tree)) = desk.file(source) else {
        return json!([]);
    };
    fn one(words: &Words<'_>, line: &Outlined) -> Value {
        let below: Vec<Value> = line.below.iter().map(|line| one(words, line)).collect();
        // An empty name is refused by some editors.
        let name = if line.name.is_empty() {
            line.kind.word()
        } else {
            &line.name
        };
        json!({
            "name": name,
            "detail": format!("{} {}", line.kind.word(), line.about).trim_end(),
            "kind": symbol_kind(line.kind),
            "range": words.range(line.block),
            "selectionRange": words.range(line.at),
            "children": below,
        })
    }
    let all = outline(file, tree, source);
    if words.can.tree_of_symbols {
        return json!(all.iter().map(|line| one(words, line)).collect::<Vec<_>>());
    }
    let flat = all.iter().flat_map(|line| {
        let below = line.below.iter().map(|step| (step, line.name.as_str()));
        std::iter::once((line, "")).chain(below)
    });
    let flat: Vec<Value> = flat
        .map(|(line, within)| {
            json!({
                "name": line.name,
                "kind": symbol_kind(line.kind),
                "location": words.location(line.block),
                "containerName": within,
            })
        })
        .collect();
    json!(flat)
}

/// Names of all plans that are open, in which the letters of the query stand.
pub(super) fn symbols_everywhere(server: &Server<'_>, query: &str) -> Value {
    let query = query.to_lowercase();
    let mut all: Vec<Value> = Vec::new();
    for plan in server.plans.values() {
        let words = Words::of(server, plan);
        let done = &plan.done;
        for known in done.names.declared() {
            let head = crate::editor::head(&done.plan, known.entity);
            let title = head.and_then(|head| head.title.as_deref()).unwrap_or_default();
            let fits =
                query.is_empty() || known.name.contains(&query) || title.to_lowercase().contains(&query);
            if fits && known.origin != crate::plan::named::Origin::Derived {
                all.push(json!({
                    "name": known.name,
                    "kind": if matches!(known.entity, Entity::Step(_)) { 12 } else { 19 },
                    "location": words.location(known.at),
                    "containerName": title,
                }));
            }
        }
    }
    json!(all)
}

fn actions(words: &Words<'_>, source: SourceId, at: &At) -> Value {
    let only = at.context.as_ref().and_then(|context| context.only.as_ref());
    let wants = |kind: &str| {
        only.is_none_or(|only| {
            let mut only = only.iter();
            only.any(|wanted| {
                let rest = kind.strip_prefix(wanted.as_str());
                wanted.is_empty() || rest.is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
            })
        })
    };
    let done = &words.plan.done;
    let (start, end) = match at.range {
        Some(range) => (words.byte(source, range.start), words.byte(source, range.end)),
        None => (0, u32::MAX),
    };
    let touches = |finding: &&Finding| {
        finding
            .place()
            .is_some_and(|place| place.source == source && place.start <= end && start <= place.end)
    };
    let mut all: Vec<Value> = Vec::new();
    for finding in done.findings.iter().filter(touches).filter(|_| wants("quickfix")) {
        let diagnostic = words.diagnostic(finding).map(|(_, diagnostic)| diagnostic);
        let ways: Vec<&Vec<Edit>> = std::iter::once(&finding.mend.edits)
            .chain(&finding.mend.others)
            .filter(|edits| !edits.is_empty())
            .collect();
        for edits in &ways {
            all.push(json!({
                "title": title(words, finding, edits, ways.len()),
                "kind": "quickfix",
                "diagnostics": diagnostic.iter().collect::<Vec<_>>(),
                "isPreferred": ways.len() == 1,
                "edit": words.workspace_edit(edits),
            }));
        }
        let of_rule = mending::of_rule(done, finding.rule.name, source);
        let many = done.findings.iter().filter(|other| {
            other.rule == finding.rule
                && !other.mend.edits.is_empty()
                && other.place().is_some_and(|place| place.source == source)
        });
        let count = many.count();
        let told = all
            .iter()
            .any(|action| action.pointer("/data").and_then(Value::as_str) == Some(finding.rule.name));
        if count > 1 && !of_rule.is_empty() && !told {
            all.push(json!({
                "title": format!("Mend all {} of {} in this file", count, finding.rule.name),
                "kind": "quickfix",
                "data": finding.rule.name,
                "edit": words.workspace_edit(&of_rule),
            }));
        }
        if words.can.snippet_edits && finding.rule.acceptable {
            all.extend(acceptance(words, finding));
        }
    }
    // Each mend is tried by itself: only for whoever asks for it.
    if only.is_some() && wants("source.fixAll") {
        let mended = mending::mend(
            &done
                .sources
                .iter()
                .map(|(_, source)| source.clone())
                .collect::<Vec<_>>(),
            words.plan.pictures(),
        );
        if !mended.edits.is_empty() {
            all.push(json!({
                "title": format!("Mend what needs no choice: {}", mended.done.len()),
                "kind": "source.fixAll",
                "edit": words.workspace_edit(&mended.edits),
            }));
        }
    }
    json!(all)
}

/// What an action does, as an editor's menu says it.
fn title(words: &Words<'_>, finding: &Finding, edits: &[Edit], ways: usize) -> String {
    let only = match edits {
        [only] => only,
        _ => return finding.mend.words.clone(),
    };
    let old = words.plan.done.sources.text(only.span);
    let one_line = |text: &str| !text.contains('\n') && text.chars().count() <= 60;
    if ways > 1 || finding.mend.words.is_empty() {
        return match (old.is_empty(), only.text.is_empty()) {
            (_, true) => format!("Take out `{old}`"),
            (true, false) => format!("Write `{}`", only.text.trim_matches([' ', ';', '\n'])),
            (false, false) if one_line(old) => format!("`{}` instead of `{old}`", only.text),
            (false, false) => format!("Write `{}`", only.text),
        };
    }
    finding.mend.words.clone()
}

/// An acceptance to be given its reason: only where the editor puts the cursor there, since an empty reason is a fault.
fn acceptance(words: &Words<'_>, finding: &Finding) -> Option<Value> {
    let about = words.plan.done.plan.about.as_deref()?;
    let source = about.head.at.source;
    let file = words.plan.done.sources.get(source)?;
    let name = finding.about.first()?;
    let text = file.text();
    let end = u32::try_from(text.len()).ok()?;
    let gap = if text.is_empty() || text.ends_with('\n') {
        ""
    } else {
        "\n"
    };
    let line = format!(
        "{gap}accept {} for {name} because \"${{1:why it may stand}}\"\n",
        finding.rule.name
    );
    let edit = json!({
        "range": words.range(Span::new(source, end, end)),
        "snippet": {"kind": "snippet", "value": line},
    });
    let version = words.versions.get(source.0 as usize).copied().flatten();
    Some(json!({
        "title": format!("Accept {} for {name}, with a reason", finding.rule.name),
        "kind": "quickfix",
        "edit": {"documentChanges": [{"textDocument": {"uri": words.uri(source), "version": version}, "edits": [edit]}]},
    }))
}

/// The text in its one layout, as edits of the lines that differ.
fn formatted(words: &Words<'_>, source: SourceId, within: Option<Span>) -> Value {
    let desk = words.plan.desk();
    let edits: Vec<TextEdit> = crate::editor::layout::edits(desk, source, within)
        .into_iter()
        .map(|edit| TextEdit {
            range: words.range(edit.span),
            new_text: edit.text,
        })
        .collect();
    json!(edits)
}
