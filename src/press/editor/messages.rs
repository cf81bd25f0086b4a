//! What of LSP 3.17 is read and written, as mirrors of its own field names.

use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::base::source::Place;

/// Codes of JSON-RPC 2.0 and of LSP 3.17, section "Base Protocol".
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Code {
    ParseError = -32700,
    InvalidRequest = -32600,
    MethodNotFound = -32601,
    InvalidParams = -32602,
    InternalError = -32603,
    ServerNotInitialized = -32002,
    RequestFailed = -32803,
    RequestCancelled = -32800,
}

/// Any message that comes in.
#[derive(Debug, Deserialize)]
pub struct Incoming {
    /// A number or a text; none of a notification.
    #[serde(default)]
    pub id: Option<Value>,
    #[serde(default)]
    pub method: Option<String>,
    #[serde(default)]
    pub params: Option<Value>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Position {
    pub line: u32,
    pub character: u32,
}

impl From<Position> for Place {
    fn from(position: Position) -> Place {
        Place {
            line: position.line,
            column: position.character,
        }
    }
}

impl From<Place> for Position {
    fn from(place: Place) -> Position {
        Position {
            line: place.line,
            character: place.column,
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Range {
    pub start: Position,
    pub end: Position,
}

#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Location {
    pub uri: String,
    pub range: Range,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct TextEdit {
    pub range: Range,
    pub new_text: String,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Diagnostic {
    pub range: Range,
    pub severity: u8,
    pub code: String,
    pub source: &'static str,
    pub message: String,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub related_information: Vec<Related>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Related {
    pub location: Location,
    pub message: String,
}

#[derive(Debug, Deserialize)]
pub struct TextDocument {
    pub uri: String,
    #[serde(default)]
    pub version: Option<i64>,
    #[serde(default)]
    pub text: Option<String>,
}

/// Params of most requests: a document, and where it says so a place, a stretch and a name in it.
#[derive(Debug, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct At {
    pub text_document: TextDocument,
    #[serde(default)]
    pub position: Option<Position>,
    #[serde(default)]
    pub range: Option<Range>,
    #[serde(default)]
    pub new_name: Option<String>,
    #[serde(default)]
    pub context: Option<Context>,
    #[serde(default)]
    pub content_changes: Vec<Changed>,
}

#[derive(Debug, Default, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Context {
    #[serde(default)]
    pub include_declaration: bool,
    #[serde(default)]
    pub only: Option<Vec<String>>,
}

#[derive(Debug, Deserialize)]
pub struct Changed {
    #[serde(default)]
    pub range: Option<Range>,
    pub text: String,
}

/// What of a client's capabilities is asked.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Can {
    pub utf8: bool,
    pub snippets: bool,
    pub snippet_edits: bool,
    pub document_changes: bool,
    pub markdown: bool,
    pub watch: bool,
    pub tree_of_symbols: bool,
    pub related: bool,
}

impl Can {
    /// Reads them where they stand; what is missing or of another form cannot be done.
    pub fn of(capabilities: &Value) -> Self {
        let yes = |path: &str| capabilities.pointer(path).and_then(Value::as_bool) == Some(true);
        let lists = |path: &str, word: &str| {
            let list = capabilities.pointer(path).and_then(Value::as_array);
            list.is_some_and(|list| list.iter().any(|item| item.as_str() == Some(word)))
        };
        Self {
            utf8: lists("/general/positionEncodings", "utf-8"),
            snippets: yes("/textDocument/completion/completionItem/snippetSupport"),
            snippet_edits: yes("/workspace/workspaceEdit/snippetEditSupport"),
            document_changes: yes("/workspace/workspaceEdit/documentChanges"),
            markdown: lists("/textDocument/hover/contentFormat", "markdown"),
            watch: yes("/workspace/didChangeWatchedFiles/dynamicRegistration"),
            tree_of_symbols: yes("/textDocument/documentSymbol/hierarchicalDocumentSymbolSupport"),
            related: yes("/textDocument/publishDiagnostics/relatedInformation"),
        }
    }
}
