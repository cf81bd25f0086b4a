//! What is open, which plans that makes, and what is asked about them in turn. One message after the other: an answer takes milliseconds, and
//! nothing is answered for a text that has changed since.

use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use serde_json::{Value, json};

use super::answers::{self, Said};
use super::messages::{At, Can, Code, Diagnostic, Incoming, Position, Range, TextDocument};
use super::{frame, uri};
use crate::base::finding::Finding;
use crate::base::picture::{NoPictures, Pictures};
use crate::base::source::{Place, Source, SourceId, Unit};
use crate::compile::{Compilation, compile_with_trees};
use crate::editor::{Desk, standing};
use crate::rules;
use crate::syntax::tree::Tree;

/// Where a file belongs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Home {
    /// To the plan in this folder, or in this file.
    Plan(PathBuf),
    /// To no plan that is found.
    Alone,
}

/// A plan's files as they are now.
pub struct Files {
    pub sources: Vec<Source>,
    /// Where each source lies, as [`Disk::key`] says it.
    pub paths: Vec<PathBuf>,
    pub pictures: Box<dyn Pictures>,
}

/// What is open in the editor, by [`Disk::key`].
pub type Open = BTreeMap<PathBuf, Document>;

/// A text as the editor has it.
#[derive(Debug, Clone)]
pub struct Document {
    pub uri: String,
    pub version: i64,
    pub text: String,
}

/// The disk, as the server needs it.
pub trait Disk {
    /// One path for one file, whatever way it is named.
    fn key(&self, path: &Path) -> PathBuf;
    /// The plan that a file belongs to; files that are open count as they are in the editor. Nothing above the `roots` is looked at.
    fn home(&self, path: &Path, roots: &[PathBuf], open: &Open) -> Home;
    /// The files of a plan and its workshop, those that are open as they are in the editor.
    ///
    /// # Errors
    /// A sentence that says what cannot be read.
    fn read(&self, plan: &Path, open: &Open) -> Result<Files, String>;
    /// Whether paper of this plan may exist, that goes by its names.
    fn printed(&self, plan: &Path) -> bool;
}

/// A plan and what was made of it.
pub(super) struct Planned {
    /// Of a file that belongs to no plan.
    alone: bool,
    dirty: bool,
    pub(super) done: Arc<Compilation>,
    pub(super) trees: Vec<Tree>,
    /// By source.
    pub(super) paths: Vec<PathBuf>,
    pub(super) walked: Option<Arc<Compilation>>,
    /// What the last walk found, until there is another.
    left: Option<Vec<Finding>>,
    /// Why its files could not be read.
    trouble: Option<String>,
    pictures: Box<dyn Pictures>,
}

impl Planned {
    fn new(alone: bool) -> Self {
        Self {
            alone,
            dirty: true,
            done: Arc::default(),
            trees: Vec::new(),
            paths: Vec::new(),
            walked: None,
            left: None,
            trouble: None,
            pictures: Box::new(NoPictures),
        }
    }

    pub(super) fn desk(&self) -> Desk<'_> {
        Desk {
            done: &self.done,
            trees: &self.trees,
            walked: self.walked.as_deref(),
        }
    }

    pub(super) fn source(&self, key: &Path) -> Option<SourceId> {
        let at = self.paths.iter().position(|path| path == key)?;
        u32::try_from(at).ok().map(SourceId)
    }

    pub(super) fn pictures(&self) -> &dyn Pictures {
        &*self.pictures
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Phase {
    /// Nothing but `initialize` is answered.
    New,
    Ready,
    /// Nothing but `exit` is heard.
    Shut,
    Over,
}

/// The server: messages go in, messages come out.
pub struct Server<'d> {
    disk: &'d dyn Disk,
    phase: Phase,
    pub(super) can: Can,
    roots: Vec<PathBuf>,
    pub(super) open: Open,
    pub(super) plans: BTreeMap<PathBuf, Planned>,
    published: BTreeMap<String, Vec<Diagnostic>>,
    queue: VecDeque<Incoming>,
    out: Vec<Vec<u8>>,
    /// How often a plan was compiled.
    compiled: u64,
    shut_down: bool,
    next: i64,
}

impl<'d> Server<'d> {
    #[must_use]
    pub fn new(disk: &'d dyn Disk) -> Self {
        Self {
            disk,
            phase: Phase::New,
            can: Can::default(),
            roots: Vec::new(),
            open: Open::new(),
            plans: BTreeMap::new(),
            published: BTreeMap::new(),
            queue: VecDeque::new(),
            out: Vec::new(),
            compiled: 0,
            shut_down: false,
            next: 0,
        }
    }

    /// Takes a frame; it waits its turn.
    pub fn push(&mut self, frame: frame::Frame) {
        let body = match frame {
            frame::Frame::Body(body) => body,
            frame::Frame::Bad(why) => return self.refuse(Value::Null, Code::ParseError, &why),
            frame::Frame::End => return,
        };
        let first = body.iter().find(|byte| !byte.is_ascii_whitespace());
        let incoming: Incoming = match serde_json::from_slice(&body) {
            // A list would be read as the fields in their order.
            Ok(incoming) if first == Some(&b'{') => incoming,
            Err(error) if !error.is_data() => {
                return self.refuse(
                    Value::Null,
                    Code::ParseError,
                    &format!("This is no JSON: {error}."),
                );
            }
            _ => {
                return self.refuse(
                    Value::Null,
                    Code::InvalidRequest,
                    "This is no message of JSON-RPC.",
                );
            }
        };
        if incoming.method.as_deref() == Some("$/cancelRequest") {
            self.cancel(incoming.params.as_ref().and_then(|params| params.get("id")));
            return;
        }
        self.queue.push_back(incoming);
    }

    fn cancel(&mut self, id: Option<&Value>) {
        let waits = |incoming: &Incoming| incoming.id.as_ref().is_some_and(|own| Some(own) == id);
        if let Some(at) = self.queue.iter().position(waits)
            && let Some(id) = self.queue.remove(at).and_then(|incoming| incoming.id)
        {
            self.refuse(id, Code::RequestCancelled, "Cancelled.");
        }
    }

    /// Whether a message waits.
    #[must_use]
    pub fn waits(&self) -> bool {
        !self.queue.is_empty()
    }

    /// Whether a text changed since it was compiled.
    #[must_use]
    pub fn is_dirty(&self) -> bool {
        self.plans.values().any(|plan| plan.dirty)
    }

    /// Whether the client said `exit`; and if so, whether it had said `shutdown` before.
    #[must_use]
    pub fn over(&self) -> Option<bool> {
        (self.phase == Phase::Over).then_some(self.shut_down)
    }

    /// Whether the client said `shutdown`.
    #[must_use]
    pub fn was_shut_down(&self) -> bool {
        self.shut_down
    }

    /// How often a plan was compiled so far: what a burst of changes costs.
    #[must_use]
    pub fn compiled(&self) -> u64 {
        self.compiled
    }

    /// What is to be sent, framed.
    pub fn sent(&mut self) -> Vec<Vec<u8>> {
        std::mem::take(&mut self.out)
    }

    fn send(&mut self, message: &Value) {
        self.out.push(frame::framed(message.to_string().as_bytes()));
    }

    fn refuse(&mut self, id: Value, code: Code, message: &str) {
        self.send(&json!({"jsonrpc": "2.0", "id": id, "error": {"code": code as i64, "message": message}}));
    }

    fn notify(&mut self, method: &str, params: Value) {
        self.send(&json!({"jsonrpc": "2.0", "method": method, "params": params}));
    }

    /// Says a sentence to the person at the editor.
    fn tell(&mut self, sentence: &str) {
        self.notify("window/showMessage", json!({"type": 2, "message": sentence}));
    }

    /// Carries out the message that has waited longest.
    pub fn step(&mut self) {
        let Some(incoming) = self.queue.pop_front() else {
            return;
        };
        let Some(method) = incoming.method else {
            // An answer to what was asked of the client; nothing hangs on it. What is neither is told.
            if let Some(id) = incoming.id.filter(|_| incoming.params.is_some()) {
                self.refuse(id, Code::InvalidRequest, "This names no method.");
            }
            return;
        };
        let params = incoming.params.unwrap_or(Value::Null);
        let done = catch_unwind(AssertUnwindSafe(|| match &incoming.id {
            Some(_) => self.request(&method, params).map(Some),
            None => {
                self.notification(&method, params);
                Ok(None)
            }
        }));
        let Some(id) = incoming.id else { return };
        match done {
            Ok(Ok(result)) => {
                self.send(&json!({"jsonrpc": "2.0", "id": id, "result": result.unwrap_or(Value::Null)}));
            }
            Ok(Err((code, message))) => self.refuse(id, code, &message),
            Err(_) => self.refuse(
                id,
                Code::InternalError,
                "The program came to a stop. That is a mistake in it, and none in the plan.",
            ),
        }
    }

    fn request(&mut self, method: &str, params: Value) -> Said {
        match (self.phase, method) {
            (Phase::New, "initialize") => return Ok(self.initialize(&params)),
            (Phase::New, _) => {
                return Err((
                    Code::ServerNotInitialized,
                    "Before anything else comes `initialize`.".to_owned(),
                ));
            }
            (Phase::Ready, "initialize") => {
                return Err((Code::InvalidRequest, "`initialize` comes once.".to_owned()));
            }
            (Phase::Ready, "shutdown") => {
                self.phase = Phase::Shut;
                self.shut_down = true;
                return Ok(Value::Null);
            }
            (Phase::Ready, _) => {}
            (Phase::Shut | Phase::Over, _) => {
                return Err((
                    Code::InvalidRequest,
                    "After `shutdown` only `exit` is heard.".to_owned(),
                ));
            }
        }
        if !answers::knows(method) {
            return Err((Code::MethodNotFound, format!("{method} is not known here.")));
        }
        self.settle();
        if method == "workspace/symbol" {
            let query = params
                .get("query")
                .and_then(Value::as_str)
                .unwrap_or_default()
                .to_owned();
            return Ok(answers::symbols_everywhere(self, &query));
        }
        let at: At = serde_json::from_value(params)
            .map_err(|error| (Code::InvalidParams, format!("This cannot be read: {error}.")))?;
        let key = self.key_of(&at.text_document.uri);
        let plan = self
            .plans
            .iter()
            .find(|(_, plan)| plan.source(&key).is_some())
            .map(|(path, _)| path.clone());
        let Some(plan) = plan else {
            if !self.open.contains_key(&key) {
                return Err((
                    Code::RequestFailed,
                    format!("{} is not open.", at.text_document.uri),
                ));
            }
            return Ok(answers::nothing(method));
        };
        let printed = method == "textDocument/rename" && self.disk.printed(&plan);
        let (answer, told) = answers::answer(self, method, &plan, &key, &at, printed)?;
        for sentence in told {
            self.tell(&sentence);
        }
        Ok(answer)
    }

    fn initialize(&mut self, params: &Value) -> Value {
        self.phase = Phase::Ready;
        self.can = Can::of(params.get("capabilities").unwrap_or(&Value::Null));
        let folders = params.get("workspaceFolders").and_then(Value::as_array);
        let mut named: Vec<&str> = folders
            .into_iter()
            .flatten()
            .filter_map(|folder| folder.get("uri").and_then(Value::as_str))
            .collect();
        if named.is_empty() {
            named.extend(params.get("rootUri").and_then(Value::as_str));
        }
        self.roots = named
            .into_iter()
            .filter_map(uri::path)
            .map(|path| self.disk.key(&path))
            .collect();
        answers::capabilities(self.can)
    }

    fn notification(&mut self, method: &str, params: Value) {
        match (self.phase, method) {
            (_, "exit") => {
                self.phase = Phase::Over;
                return;
            }
            (Phase::Ready, _) => {}
            // What comes too early or too late is dropped, as the protocol says.
            (Phase::New | Phase::Shut | Phase::Over, _) => return,
        }
        let at = || serde_json::from_value::<At>(params.clone()).ok();
        match method {
            "initialized" => self.watch(),
            "textDocument/didOpen" => {
                if let Some(at) = at() {
                    self.opened(at.text_document);
                }
            }
            "textDocument/didChange" => {
                if let Some(at) = at() {
                    self.changed(at);
                }
            }
            "textDocument/didClose" => {
                if let Some(at) = at() {
                    self.closed(&at.text_document.uri);
                }
            }
            "textDocument/didSave" => {
                if let Some(at) = at() {
                    let key = self.key_of(&at.text_document.uri);
                    self.soil(&key);
                }
            }
            "workspace/didChangeWatchedFiles" => self.moved(),
            "workspace/didChangeWorkspaceFolders" => {
                let list = |name: &str| -> Vec<PathBuf> {
                    let folders = params
                        .pointer(&format!("/event/{name}"))
                        .and_then(Value::as_array);
                    let uris = folders
                        .into_iter()
                        .flatten()
                        .filter_map(|folder| folder.get("uri").and_then(Value::as_str));
                    uris.filter_map(uri::path)
                        .map(|path| self.disk.key(&path))
                        .collect()
                };
                let (added, removed) = (list("added"), list("removed"));
                self.roots.retain(|root| !removed.contains(root));
                self.roots.extend(added);
                self.moved();
            }
            // Others say nothing that is needed here.
            _ => {}
        }
    }

    /// Asks to be told of files that change behind the editor's back.
    fn watch(&mut self) {
        if !self.can.watch {
            return;
        }
        self.next += 1;
        let watchers = json!([{"globPattern": "**/*.boltplan"}, {"globPattern": "**/*.{svg,png,jpg,jpeg}"}]);
        let register = json!([{
            "id": "files",
            "method": "workspace/didChangeWatchedFiles",
            "registerOptions": {"watchers": watchers},
        }]);
        let id = format!("boltfolio-{}", self.next);
        self.send(&json!({
            "jsonrpc": "2.0",
            "id": id,
            "method": "client/registerCapability",
            "params": {"registrations": register},
        }));
    }

    pub(super) fn key_of(&self, named: &str) -> PathBuf {
        match uri::path(named) {
            Some(path) => self.disk.key(&path),
            // A text that lies on no disk.
            None => PathBuf::from(named),
        }
    }

    fn opened(&mut self, document: TextDocument) {
        let key = self.key_of(&document.uri);
        self.open.insert(
            key.clone(),
            Document {
                version: document.version.unwrap_or_default(),
                text: document.text.unwrap_or_default(),
                uri: document.uri,
            },
        );
        self.house(&key);
    }

    /// Finds the plan of an open file, and reads it anew.
    fn house(&mut self, key: &Path) {
        let mut known = false;
        for plan in self.plans.values_mut().filter(|plan| !plan.alone) {
            if plan.paths.iter().any(|path| path == key) {
                plan.dirty = true;
                known = true;
            }
        }
        if known {
            return;
        }
        let named = self
            .open
            .get(key)
            .map(|document| document.uri.clone())
            .unwrap_or_default();
        let home = match uri::path(&named) {
            Some(_) => self.disk.home(key, &self.roots, &self.open),
            None => Home::Alone,
        };
        let (path, alone) = match home {
            Home::Plan(path) => (path, false),
            Home::Alone => (key.to_owned(), true),
        };
        let plan = self.plans.entry(path).or_insert_with(|| Planned::new(alone));
        plan.dirty = true;
    }

    fn changed(&mut self, at: At) {
        let key = self.key_of(&at.text_document.uri);
        let unit = answers::unit(self.can);
        let Some(document) = self.open.get_mut(&key) else {
            return;
        };
        for change in at.content_changes {
            match change.range {
                None => document.text = change.text,
                // Whole texts are asked for; a client that sends pieces is understood too.
                Some(range) => document.text = spliced(&document.text, range, &change.text, unit),
            }
        }
        document.version = at.text_document.version.unwrap_or(document.version + 1);
        self.soil(&key);
    }

    /// What a file is part of is to be compiled again.
    fn soil(&mut self, key: &Path) {
        let mut any = false;
        for (path, plan) in &mut self.plans {
            if path == key || plan.paths.iter().any(|own| own == key) {
                plan.dirty = true;
                any = true;
            }
        }
        if !any && self.open.contains_key(key) {
            self.house(key);
        }
    }

    fn closed(&mut self, named: &str) {
        let key = self.key_of(named);
        self.open.remove(&key);
        self.soil(&key);
        let open: BTreeSet<&PathBuf> = self.open.keys().collect();
        self.plans.retain(|path, plan| {
            open.contains(path)
                || plan.paths.iter().any(|own| open.contains(own))
                || (plan.paths.is_empty() && !open.is_empty())
        });
        self.publish();
    }

    /// Files came, went or changed: every open file may belong elsewhere now.
    fn moved(&mut self) {
        self.plans.retain(|_, plan| !plan.alone);
        for plan in self.plans.values_mut() {
            plan.dirty = true;
        }
        self.settle();
        let keys: Vec<PathBuf> = self.open.keys().cloned().collect();
        for key in keys {
            self.house(&key);
        }
    }

    /// Compiles what changed, and tells what is found.
    pub fn settle(&mut self) {
        if !self.is_dirty() {
            return;
        }
        let mut homeless: Vec<PathBuf> = Vec::new();
        for (path, plan) in &mut self.plans {
            if !plan.dirty {
                continue;
            }
            plan.dirty = false;
            let files = if plan.alone {
                Ok(alone(path, &self.open))
            } else {
                self.disk.read(path, &self.open)
            };
            let files = match files {
                Ok(files) => files,
                Err(why) => {
                    plan.trouble = Some(why);
                    continue;
                }
            };
            plan.trouble = None;
            self.compiled += 1;
            let compiled = catch_unwind(AssertUnwindSafe(|| {
                compile_with_trees(files.sources, &*files.pictures)
            }));
            let Ok((done, trees)) = compiled else {
                plan.trouble =
                    Some("The program came to a stop over this text. That is a mistake in it.".to_owned());
                continue;
            };
            let before: Vec<PathBuf> = std::mem::replace(&mut plan.paths, files.paths);
            homeless.extend(before.into_iter().filter(|path| !plan.paths.contains(path)));
            plan.done = Arc::new(done);
            plan.trees = trees;
            plan.pictures = files.pictures;
            if !plan.done.unwalked {
                plan.walked = Some(Arc::clone(&plan.done));
                plan.left = None;
            } else if plan.left.is_none() {
                plan.left = plan.walked.as_deref().map(standing::of_the_walk);
            }
        }
        // Files that a plan has no longer, a workshop's say, are open still.
        for key in homeless {
            if self.open.contains_key(&key) && !self.plans.values().any(|plan| plan.paths.contains(&key)) {
                self.house(&key);
            }
        }
        // Of a file that turned out to belong to a plan the copy that stood alone goes.
        let housed: BTreeSet<PathBuf> = self
            .plans
            .values()
            .filter(|plan| !plan.alone)
            .flat_map(|plan| plan.paths.iter().cloned())
            .collect();
        self.plans
            .retain(|path, plan| !plan.alone || !housed.contains(path));
        self.publish();
    }

    /// Sends the findings of each file where they are others than before, and takes away those of files that have none.
    fn publish(&mut self) {
        let mut all: BTreeMap<String, Vec<Diagnostic>> = BTreeMap::new();
        for plan in self.plans.values() {
            for (uri, diagnostic) in self.diagnostics(plan) {
                let own = all.entry(uri).or_default();
                // A workshop's file is of several plans.
                if !own.contains(&diagnostic) {
                    own.push(diagnostic);
                }
            }
        }
        let mut changed: Vec<(String, Vec<Diagnostic>)> = Vec::new();
        for (uri, diagnostics) in &all {
            if self.published.get(uri) != Some(diagnostics) {
                changed.push((uri.clone(), diagnostics.clone()));
            }
        }
        let gone = self.published.keys().filter(|uri| !all.contains_key(*uri));
        changed.extend(gone.map(|uri| (uri.clone(), Vec::new())));
        self.published = all;
        for (uri, diagnostics) in changed {
            let version = self
                .open
                .values()
                .find(|document| document.uri == uri)
                .map(|document| document.version);
            let mut params = json!({"uri": uri, "diagnostics": diagnostics});
            if let (Some(version), Some(object)) = (version, params.as_object_mut()) {
                object.insert("version".to_owned(), json!(version));
            }
            self.notify("textDocument/publishDiagnostics", params);
        }
    }

    fn diagnostics(&self, plan: &Planned) -> Vec<(String, Diagnostic)> {
        let words = answers::Words::of(self, plan);
        let mut all = Vec::new();
        if let Some(why) = &plan.trouble {
            let here = plan.paths.iter().find(|path| self.open.contains_key(*path));
            let here = here.or_else(|| self.open.keys().next());
            if let Some(document) = here.and_then(|key| self.open.get(key)) {
                all.push((document.uri.clone(), answers::trouble(why)));
            }
            return all;
        }
        let sketch = plan.alone
            && !plan.done.sources.iter().any(|(_, source)| {
                let text = source.text();
                text.starts_with("plan ") || text.contains("\nplan ")
            });
        let reading = |finding: &&Finding| {
            let family = rules::catalogue().iter().find(|family| family.name == "reading");
            !sketch
                || (finding.rule.name != "no-plan"
                    && finding.rule.name != "no-steps"
                    && family
                        .is_some_and(|family| family.rules.iter().any(|rule| rule.name == finding.rule.name)))
        };
        for finding in plan.done.findings.iter().filter(reading) {
            all.extend(words.diagnostic(finding));
        }
        if let (Some(left), Some(walked)) = (&plan.left, &plan.walked) {
            let known: BTreeSet<(&str, &str)> = plan
                .done
                .findings
                .iter()
                .map(|finding| (finding.rule.name, finding.what.as_str()))
                .collect();
            for finding in standing::moved(left, &walked.sources, &plan.done.sources) {
                if !known.contains(&(finding.rule.name, finding.what.as_str())) {
                    all.extend(words.diagnostic(&finding));
                }
            }
        }
        all
    }

    /// The file as the editor names it: as it opened it, else by its path.
    pub(super) fn uri_of(&self, key: &Path) -> String {
        match self.open.get(key) {
            Some(document) => document.uri.clone(),
            None if key.is_absolute() => uri::of(key),
            None => key.to_string_lossy().into_owned(),
        }
    }
}

fn alone(path: &Path, open: &Open) -> Files {
    let text = open.get(path).map_or("", |document| document.text.as_str());
    let name = path
        .file_name()
        .map_or_else(|| path.to_string_lossy(), |name| name.to_string_lossy());
    Files {
        sources: vec![Source::new(name.into_owned(), text, false)],
        paths: vec![path.to_owned()],
        pictures: Box::new(NoPictures),
    }
}

/// A text with a stretch of it changed.
fn spliced(text: &str, range: Range, new: &str, unit: Unit) -> String {
    let marked = text.starts_with('\u{feff}');
    let source = Source::new("", text, false);
    let at = |position: Position| source.byte(Place::from(position), unit, marked) as usize;
    let (start, end) = (at(range.start), at(range.end));
    let own = source.text();
    let before = own.get(..start.min(end)).unwrap_or_default();
    let behind = own.get(start.max(end)..).unwrap_or_default();
    let mark = if marked { "\u{feff}" } else { "" };
    format!("{mark}{before}{new}{behind}")
}
