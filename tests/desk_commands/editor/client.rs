//! A small client of the Language Server Protocol 3.17: frames, requests, and the findings as they were last told; and the arithmetic of its
//! positions, written apart from the server's.

use std::collections::BTreeMap;
use std::io::{BufRead, BufReader, Read, Write};
use std::path::Path;
use std::process::{Child, ChildStdin, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

use serde_json::{Value, json};

use super::super::program;

/// Longest that anything is waited for: an unoptimised program on a busy machine.
pub const PATIENCE: Duration = Duration::from_secs(30);

/// An editor with the server behind it.
pub struct Editor {
    pub child: Child,
    pub to: Option<ChildStdin>,
    pub from: Receiver<Value>,
    pub next: i64,
    /// The latest findings by URI, and all messages besides.
    pub findings: BTreeMap<String, Value>,
    pub published: usize,
    pub said: Vec<Value>,
}

impl Editor {
    pub fn started(folder: &Path) -> Self {
        let mut child = program(folder)
            .arg("editor")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program starts");
        let out = child.stdout.take().expect("it was asked for");
        let (send, from) = channel();
        std::thread::spawn(move || {
            let mut out = BufReader::new(out);
            loop {
                let mut length = 0;
                loop {
                    let mut line = String::new();
                    if out.read_line(&mut line).unwrap_or(0) == 0 {
                        return;
                    }
                    let line = line.trim();
                    if line.is_empty() {
                        break;
                    }
                    if let Some(said) = line.strip_prefix("Content-Length: ") {
                        length = said.parse().expect("a length");
                    }
                }
                let mut body = vec![0; length];
                out.read_exact(&mut body).expect("the body");
                let message = serde_json::from_slice(&body).expect("JSON");
                if send.send(message).is_err() {
                    return;
                }
            }
        });
        Self {
            to: child.stdin.take(),
            child,
            from,
            next: 0,
            findings: BTreeMap::new(),
            published: 0,
            said: Vec::new(),
        }
    }

    pub fn ready(folder: &Path, capabilities: Value) -> (Self, Value) {
        let mut editor = Self::started(folder);
        let root = uri(folder);
        let answer = editor.request(
            "initialize",
            json!({"processId": null, "rootUri": root, "capabilities": capabilities}),
        );
        editor.notify("initialized", json!({}));
        (editor, answer["result"].clone())
    }

    pub fn bytes(&mut self, bytes: &[u8]) {
        let to = self.to.as_mut().expect("not gone yet");
        to.write_all(bytes).and_then(|()| to.flush()).expect("it is read");
    }

    pub fn message(&mut self, message: &Value) {
        let body = message.to_string();
        self.bytes(format!("Content-Length: {}\r\n\r\n{body}", body.len()).as_bytes());
    }

    pub fn notify(&mut self, method: &str, params: Value) {
        self.message(&json!({"jsonrpc": "2.0", "method": method, "params": params}));
    }

    pub fn asked(&mut self, method: &str, params: Value) -> i64 {
        self.next += 1;
        self.message(&json!({"jsonrpc": "2.0", "id": self.next, "method": method, "params": params}));
        self.next
    }

    #[track_caller]
    pub fn take(&mut self) -> Value {
        let message = self
            .from
            .recv_timeout(PATIENCE)
            .expect("the server says something");
        if message["method"] == "textDocument/publishDiagnostics" {
            let uri = message["params"]["uri"].as_str().expect("a URI").to_owned();
            self.findings.insert(uri, message["params"].clone());
            self.published += 1;
        } else if message.get("method").is_some() {
            self.said.push(message.clone());
        }
        message
    }

    #[track_caller]
    pub fn answer(&mut self, id: &Value) -> Value {
        loop {
            let message = self.take();
            if message.get("method").is_none() && message["id"] == *id {
                return message;
            }
        }
    }

    #[track_caller]
    pub fn request(&mut self, method: &str, params: Value) -> Value {
        let id = self.asked(method, params);
        self.answer(&json!(id))
    }

    #[track_caller]
    pub fn result(&mut self, method: &str, params: Value) -> Value {
        let answer = self.request(method, params);
        assert!(answer.get("error").is_none(), "{method}: {answer}");
        answer["result"].clone()
    }

    pub fn open(&mut self, path: &Path) -> String {
        let text = std::fs::read_to_string(path).expect("a plan's file");
        self.open_text(path, &text);
        text
    }

    pub fn open_text(&mut self, path: &Path, text: &str) {
        let document = json!({"uri": uri(path), "languageId": "boltplan", "version": 1, "text": text});
        self.notify("textDocument/didOpen", json!({"textDocument": document}));
    }

    pub fn change(&mut self, path: &Path, version: i64, text: &str) {
        let document = json!({"uri": uri(path), "version": version});
        self.notify(
            "textDocument/didChange",
            json!({"textDocument": document, "contentChanges": [{"text": text}]}),
        );
    }

    /// Waits until the findings of a file are so.
    #[track_caller]
    pub fn until(&mut self, path: &Path, what: &str, so: impl Fn(&[Value]) -> bool) -> Vec<Value> {
        let uri = uri(path);
        let end = Instant::now() + PATIENCE;
        loop {
            if let Some(found) = self
                .findings
                .get(&uri)
                .and_then(|params| params["diagnostics"].as_array())
                && so(found)
            {
                return found.clone();
            }
            assert!(Instant::now() < end, "{what}: {:?}", self.findings.get(&uri));
            self.take();
        }
    }

    pub fn ended(mut self) -> i32 {
        drop(self.to.take());
        let end = Instant::now() + PATIENCE;
        loop {
            if let Some(status) = self.child.try_wait().expect("it can be asked") {
                return status.code().expect("it ended by itself");
            }
            assert!(Instant::now() < end, "it does not end");
            std::thread::sleep(Duration::from_millis(5));
        }
    }

    pub fn shut_down(mut self) {
        assert_eq!(self.result("shutdown", Value::Null), Value::Null);
        self.notify("exit", Value::Null);
        assert_eq!(self.ended(), 0);
    }
}

impl Drop for Editor {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

pub fn uri(path: &Path) -> String {
    let real = path.canonicalize().unwrap_or_else(|_| path.to_owned());
    let text = real.to_string_lossy();
    let mut out = String::from("file://");
    for byte in text.bytes() {
        if byte.is_ascii_alphanumeric() || b"/-._~".contains(&byte) {
            out.push(char::from(byte));
        } else {
            out.push_str(&format!("%{byte:02x}"));
        }
    }
    out
}

/// Line and column, in UTF-16, of a text with `|` where the cursor is.
#[track_caller]
pub fn at(text: &str, marked: &str) -> Value {
    let offset = marked.find('|').expect("a cursor");
    let wanted = marked.replacen('|', "", 1);
    let found = text
        .find(&wanted)
        .unwrap_or_else(|| panic!("{wanted:?} is not there"))
        + offset;
    let before = &text[..found];
    let line = before.matches('\n').count();
    let column = before.rsplit('\n').next().expect("a line").encode_utf16().count();
    json!({"line": line, "character": column})
}

pub fn place(path: &Path, text: &str, marked: &str) -> Value {
    json!({"textDocument": {"uri": uri(path)}, "position": at(text, marked)})
}

/// A text with edits of the protocol made, columns in UTF-16.
pub fn edited(text: &str, edits: &[Value]) -> String {
    let byte = |position: &Value| {
        let line = position["line"].as_u64().expect("a line") as usize;
        let column = position["character"].as_u64().expect("a column") as usize;
        let start: usize = text.split_inclusive('\n').take(line).map(str::len).sum();
        let mut units = 0;
        let rest = text[start..].chars();
        let within: usize = rest
            .take_while(|c| {
                units += c.len_utf16();
                units <= column
            })
            .map(char::len_utf8)
            .sum();
        start + within
    };
    let mut all: Vec<(usize, usize, &str)> = edits
        .iter()
        .map(|edit| {
            let range = &edit["range"];
            (
                byte(&range["start"]),
                byte(&range["end"]),
                edit["newText"].as_str().expect("a text"),
            )
        })
        .collect();
    all.sort();
    for pair in all.windows(2) {
        assert!(pair[0].1 <= pair[1].0, "edits over each other: {all:?}");
    }
    let mut out = text.to_owned();
    for (start, end, new) in all.into_iter().rev() {
        out.replace_range(start..end, new);
    }
    out
}
