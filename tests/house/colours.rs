//! Colouring for editors: files under `grammar/editors/`, written from the vocabulary, so that a new statement cannot be forgotten; and what
//! they colour in all plans of `specs/`, held against the project's own reading. `BOLTFOLIO_UPDATE=1` writes them anew.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use boltfolio::plan::declare::CONNECTING;
use boltfolio::syntax::grammar;
use boltfolio::syntax::shapes::{BLOCKS, BlockKind, SHAPES};
use boltfolio::syntax::tree::{TokenKind, Tree};
use fancy_regex::Regex;
use serde_json::{Value, json};

const TEXTMATE: &str = "grammar/editors/boltplan.tmLanguage.json";
const VIM_SYNTAX: &str = "grammar/editors/vim/syntax/boltplan.vim";
const VIM_FILES: &str = "grammar/editors/vim/ftdetect/boltplan.vim";
const VIM_INDENT: &str = "grammar/editors/vim/indent/boltplan.vim";

fn words_of_blocks() -> Vec<&'static str> {
    let mut all: Vec<&str> = BLOCKS.iter().map(|(_, word, _)| *word).collect();
    // A longer word first: `parts` before `part`.
    all.sort_by_key(|word| (std::cmp::Reverse(word.len()), *word));
    all
}

fn words_of_statements() -> Vec<&'static str> {
    let mut all: Vec<&str> = SHAPES.iter().map(|shape| shape.words).collect();
    all.sort_by_key(|word| (std::cmp::Reverse(word.len()), *word));
    all.dedup();
    all
}

/// A grammar for editors that read TextMate's form of JSON, in regular expressions of Oniguruma.
fn textmate() -> String {
    let alternatives = |words: Vec<&str>| words.join("|").replace(' ', "[ \\t]+");
    let blocks = alternatives(words_of_blocks());
    let statements = alternatives(words_of_statements());
    let connecting = alternatives(CONNECTING.to_vec());
    let end = "(?=[\\s,;:()]|$)";
    let grammar = json!({
        "name": "boltplan",
        "scopeName": "source.boltplan",
        "fileTypes": ["boltplan"],
        "patterns": [
            {
                "name": "string.unquoted.note.boltplan",
                "begin": "^([ \\t]+)(note)(?=[ \\t]|$)",
                "beginCaptures": {"2": {"name": "keyword.other.note.boltplan"}},
                "end": "^(?!\\1[ \\t]+\\S|[ \\t]*$)",
            },
            {
                "match": format!("(;)[ \\t]*(note)(?=[ \\t])(.*)$"),
                "captures": {"2": {"name": "keyword.other.note.boltplan"}, "3": {"name": "string.unquoted.note.boltplan"}},
            },
            {"name": "comment.line.number-sign.boltplan", "match": "(?:^|(?<=[ \\t;]))#.*$"},
            {"name": "string.quoted.double.boltplan", "match": "\"[^\"]*\"?"},
            {
                "match": format!("^({blocks}){end}(?:[ \\t]+([a-z][a-z0-9-]*))?"),
                "captures": {"1": {"name": "keyword.control.boltplan"}, "2": {"name": "entity.name.type.boltplan"}},
            },
            {
                "match": format!("(?:^[ \\t]+|;[ \\t]*)({statements}){end}"),
                "captures": {"1": {"name": "keyword.other.boltplan"}},
            },
            {"name": "constant.other.date.boltplan", "match": "(?<![\\w-])\\d{4}-\\d{2}-\\d{2}(?!\\w)"},
            {
                "name": "constant.numeric.boltplan",
                "match": "(?<![\\w.-])[-−]?\\d+(?:\\.\\d+)?(?:/\\d+)?",
            },
            {"name": "keyword.operator.boltplan", "match": format!("(?<![\\w-])(?:{connecting}){end}")},
            {"name": "variable.other.boltplan", "match": format!("(?<![\\w-])[a-z][a-z0-9-]*{end}")},
        ],
    });
    serde_json::to_string_pretty(&grammar).expect("it can be written") + "\n"
}

/// The same for Vim and Neovim.
fn vim_syntax() -> String {
    let alternatives = |words: Vec<&str>| words.join("\\|").replace(' ', "\\s\\+");
    let end = "\\ze\\%([[:space:],;:()]\\|$\\)";
    let blocks = alternatives(words_of_blocks());
    let statements = alternatives(words_of_statements());
    let connecting = alternatives(CONNECTING.to_vec());
    format!(
        "\" Plans of boltfolio. Written by a test from the table of statements: change nothing here.\n\
         if exists('b:current_syntax')\n  finish\nendif\n\
         syn case match\n\
         syn match boltplanName /\\%([[:alnum:]_.-]\\)\\@<![a-z][a-z0-9-]*{end}/\n\
         syn match boltplanConnecting /\\%([[:alnum:]_.-]\\)\\@<!\\%({connecting}\\){end}/\n\
         syn match boltplanNumber /\\%([[:alnum:]_.-]\\)\\@<![-−]\\?\\d\\+\\%(\\.\\d\\+\\)\\?\\%(\\/\\d\\+\\)\\?/\n\
         syn match boltplanDate /\\%([[:alnum:]_-]\\)\\@<!\\d\\{{4}}-\\d\\{{2}}-\\d\\{{2}}\\>/\n\
         syn match boltplanStatement /^\\s\\+\\zs\\%({statements}\\){end}/\n\
         syn match boltplanStatement /;\\s*\\zs\\%({statements}\\){end}/\n\
         syn match boltplanBlock /^\\%({blocks}\\){end}/ nextgroup=boltplanHead skipwhite\n\
         syn match boltplanHead /[a-z][a-z0-9-]*/ contained\n\
         syn match boltplanText /\"[^\"]*\"\\?/\n\
         syn match boltplanComment /\\%(^\\|[ \\t;]\\)\\@<=#.*$/\n\
         syn match boltplanNote /;\\s*note\\s.*$/ contains=boltplanNoteWord\n\
         syn region boltplanNote start=/^\\z(\\s\\+\\)note\\%(\\s\\|$\\)\\@=/ end=/^\\%(\\z1\\s\\+\\S\\|\\s*$\\)\\@!/me=s-1 contains=boltplanNoteWord\n\
         syn match boltplanNoteWord /^\\s\\+\\zsnote\\%(\\s\\|$\\)\\@=/ contained\n\
         syn match boltplanNoteWord /;\\s*\\zsnote\\s\\@=/ contained\n\
         syn sync minlines=200\n\
         hi def link boltplanBlock Statement\n\
         hi def link boltplanHead Function\n\
         hi def link boltplanStatement Keyword\n\
         hi def link boltplanNoteWord Keyword\n\
         hi def link boltplanConnecting Operator\n\
         hi def link boltplanName Identifier\n\
         hi def link boltplanNumber Number\n\
         hi def link boltplanDate Constant\n\
         hi def link boltplanText String\n\
         hi def link boltplanNote SpecialComment\n\
         hi def link boltplanComment Comment\n\
         let b:current_syntax = 'boltplan'\n"
    )
}

fn vim_files() -> String {
    // A plan may begin with a comment, which Vim takes for another kind of file.
    "\" Files of boltfolio plans.\nautocmd BufRead,BufNewFile *.boltplan set filetype=boltplan\n".to_owned()
}

fn vim_indent() -> String {
    "\" A line under a block is indented by two; a new block begins at the left edge by hand.\n\
     if exists('b:did_indent')\n  finish\nendif\n\
     let b:did_indent = 1\n\
     setlocal shiftwidth=2 expandtab commentstring=#\\ %s comments=:#\n\
     setlocal indentexpr=BoltplanIndent()\n\
     function! BoltplanIndent()\n\
     \x20 let above = prevnonblank(v:lnum - 1)\n\
     \x20 if above == 0 || getline(v:lnum) =~# '^\\S'\n\
     \x20   return 0\n\
     \x20 endif\n\
     \x20 return indent(above) == 0 && getline(above) !~# '^#' ? shiftwidth() : indent(above)\n\
     endfunction\n"
        .to_owned()
}

fn holds(path: &str, wanted: &str) {
    if std::env::var_os("BOLTFOLIO_UPDATE").is_some() {
        fs::create_dir_all(Path::new(path).parent().expect("in a folder")).expect("made");
        fs::write(path, wanted).expect("written");
    }
    let there = fs::read_to_string(path).unwrap_or_default();
    assert!(
        there == wanted,
        "{path} is not what the vocabulary says: BOLTFOLIO_UPDATE=1 cargo test --test house colours"
    );
}

#[test]
fn colours_are_written_from_the_vocabulary() {
    holds(TEXTMATE, &textmate());
    holds(VIM_SYNTAX, &vim_syntax());
    holds(VIM_FILES, &vim_files());
    holds(VIM_INDENT, &vim_indent());
}

/// What a stretch of a plan is, as the project itself reads it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Is {
    Block,
    Statement,
    /// A name, or a word that connects.
    Name,
    Number,
    Date,
    Text,
    Note,
    Comment,
}

fn plans() -> Vec<(PathBuf, String)> {
    fn walk(folder: &Path, all: &mut Vec<(PathBuf, String)>) {
        for entry in fs::read_dir(folder).expect("specs") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                walk(&path, all);
            } else if path.extension().is_some_and(|end| end == "boltplan") {
                let text = fs::read_to_string(&path).expect("a plan is text");
                all.push((path, text));
            }
        }
    }
    let mut all = Vec::new();
    walk(Path::new("specs"), &mut all);
    all.sort();
    assert!(all.len() > 15);
    all
}

/// First byte and kind of each token, and of each comment.
fn own(text: &str) -> Vec<(usize, Is)> {
    let tree: Tree = grammar::parse(text);
    let mut all: Vec<(usize, Is)> = Vec::new();
    let mut taken: Vec<(usize, usize)> = Vec::new();
    for &block in tree.blocks() {
        let kind = tree.statements(block).first().and_then(|header| {
            let word = tree.tokens(header).first()?;
            BlockKind::of_word(&text[word.start() as usize..word.end() as usize])
        });
        for (nth, statement) in tree.statements(block).iter().enumerate() {
            let tokens = tree.tokens(statement);
            let word = |at: usize| {
                tokens
                    .get(at)
                    .map(|token| &text[token.start() as usize..token.end() as usize])
            };
            let keyword = match (nth, kind) {
                (0, _) => 1,
                (_, Some(kind)) if !statement.is_note => {
                    let found = boltfolio::syntax::shapes::find(kind, word(0).unwrap_or_default(), word);
                    found.map_or(0, |(_, words)| words)
                }
                _ => 0,
            };
            taken.push((statement.start as usize, statement.end as usize));
            for (at, token) in tokens.iter().enumerate() {
                let is = match token.kind() {
                    _ if at < keyword && nth == 0 => Is::Block,
                    _ if at < keyword => Is::Statement,
                    TokenKind::Name => Is::Name,
                    TokenKind::Number => Is::Number,
                    TokenKind::Date => Is::Date,
                    TokenKind::Text => Is::Text,
                    TokenKind::NoteText => Is::Note,
                    // Marks and words such as `M10x1.25` have no colour that matters.
                    _ => continue,
                };
                all.push((token.start() as usize, is));
            }
        }
    }
    // A sign of a comment that no statement holds.
    for (at, _) in text.match_indices('#') {
        let outside = !taken.iter().any(|(start, end)| (*start..*end).contains(&at));
        let begins = at == 0 || text[..at].ends_with(['\n', ' ', '\t']);
        let line = text[..at].rfind('\n').map_or(0, |end| end + 1);
        let first = all
            .iter()
            .all(|(other, is)| *is != Is::Comment || !(line..at).contains(other));
        if outside && begins && first {
            all.push((at, Is::Comment));
        }
    }
    all.sort();
    all
}

/// Numbers that touch a unit or another number, as in `3/8-16`, are a matter of taste.
fn apart(text: &str, at: usize) -> bool {
    at == 0 || text[..at].ends_with(|c: char| c.is_whitespace() || matches!(c, '(' | ',' | ';'))
}

/// Colours by TextMate's rules: of the patterns the one that begins first, of several the first; a stretch from `begin` to `end` over lines.
struct TextMate {
    patterns: Vec<(Value, Regex)>,
}

impl TextMate {
    fn new() -> Self {
        let grammar: Value = serde_json::from_str(&textmate()).expect("JSON");
        let list = grammar["patterns"].as_array().expect("patterns").iter();
        let patterns = list
            .map(|pattern| {
                let text = pattern["match"]
                    .as_str()
                    .or(pattern["begin"].as_str())
                    .expect("a pattern");
                (pattern.clone(), Regex::new(text).expect("a regular expression"))
            })
            .collect();
        Self { patterns }
    }

    /// The innermost scope at each byte.
    fn scopes(&self, text: &str) -> BTreeMap<usize, String> {
        let mut all = BTreeMap::new();
        let mut open: Option<(String, Regex)> = None;
        let mut offset = 0;
        for line in text.split_inclusive('\n') {
            let bare = line.trim_end_matches(['\n', '\r']);
            let mut at = 0;
            if let Some((scope, end)) = &open {
                if end.is_match(bare).expect("it runs") {
                    open = None;
                } else {
                    (0..bare.len()).for_each(|byte| drop(all.insert(offset + byte, scope.clone())));
                    offset += line.len();
                    continue;
                }
            }
            while at <= bare.len() {
                let found = self
                    .patterns
                    .iter()
                    .filter_map(|(pattern, regex)| {
                        let captures = regex.captures_from_pos(bare, at).expect("it runs")?;
                        Some((captures.get(0)?.start(), pattern, captures))
                    })
                    .min_by_key(|(start, ..)| *start);
                let Some((start, pattern, captures)) = found else {
                    break;
                };
                let end = captures.get(0).expect("the whole").end();
                let mut colour = |from: usize, to: usize, scope: &str| {
                    (from..to).for_each(|byte| drop(all.insert(offset + byte, scope.to_owned())));
                };
                if let Some(name) = pattern["name"].as_str() {
                    colour(start, end, name);
                }
                for key in ["captures", "beginCaptures"] {
                    for (group, scope) in pattern[key].as_object().into_iter().flatten() {
                        let group = captures.get(group.parse().expect("a number"));
                        if let (Some(group), Some(scope)) = (group, scope["name"].as_str()) {
                            colour(group.start(), group.end(), scope);
                        }
                    }
                }
                if let Some(close) = pattern["end"].as_str() {
                    let scope = pattern["name"].as_str().expect("a name").to_owned();
                    let space = captures.get(1).map_or("", |space| space.as_str());
                    colour(end, bare.len(), &scope);
                    let close = Regex::new(&close.replace("\\1", space)).expect("a regular expression");
                    open = Some((scope, close));
                    break;
                }
                at = if end > start { end } else { end + 1 };
                while at < bare.len() && !bare.is_char_boundary(at) {
                    at += 1;
                }
            }
            offset += line.len();
        }
        all
    }
}

fn agree(path: &Path, text: &str, seen: impl Fn(usize) -> Option<Is>) -> Vec<String> {
    own(text)
        .into_iter()
        .filter(|(at, is)| *is != Is::Number || apart(text, *at))
        .filter(|(at, is)| seen(*at) != Some(*is))
        .map(|(at, is)| {
            let line = text[..at].matches('\n').count() + 1;
            format!(
                "{}:{line}: {:?} is {is:?} and is coloured {:?}",
                path.display(),
                text[at..].split_whitespace().next(),
                seen(at)
            )
        })
        .collect()
}

#[test]
fn colours_of_textmate_are_what_the_plans_say() {
    let grammar = TextMate::new();
    let mut wrong = Vec::new();
    for (path, text) in plans() {
        let scopes = grammar.scopes(&text);
        wrong.extend(agree(&path, &text, |at| {
            Some(match scopes.get(&at)?.as_str() {
                "keyword.control.boltplan" => Is::Block,
                "keyword.other.boltplan" => Is::Statement,
                "entity.name.type.boltplan" | "variable.other.boltplan" | "keyword.operator.boltplan" => {
                    Is::Name
                }
                "constant.numeric.boltplan" => Is::Number,
                "constant.other.date.boltplan" => Is::Date,
                "string.quoted.double.boltplan" => Is::Text,
                "string.unquoted.note.boltplan" => Is::Note,
                "comment.line.number-sign.boltplan" => Is::Comment,
                _ => return None,
            })
        }));
    }
    assert!(
        wrong.is_empty(),
        "{} places:\n{}",
        wrong.len(),
        wrong[..wrong.len().min(20)].join("\n")
    );
}

/// Vim and Neovim, where they are installed, read the same file and are asked for each token.
#[test]
fn colours_of_vim_are_what_the_plans_say() {
    let around = tempfile::tempdir().expect("a folder");
    let runtime = around.path().join("vim");
    for (path, text) in [
        (VIM_SYNTAX, vim_syntax()),
        (VIM_FILES, vim_files()),
        (VIM_INDENT, vim_indent()),
    ] {
        let below = Path::new(path)
            .strip_prefix("grammar/editors/vim")
            .expect("it lies there");
        let path = runtime.join(below);
        fs::create_dir_all(path.parent().expect("in a folder")).expect("made");
        fs::write(path, text).expect("written");
    }
    for vim in ["vim", "nvim"] {
        if Command::new(vim).arg("--version").output().is_err() {
            println!("left out: {vim} is not installed");
            continue;
        }
        let mut script = format!(
            "set nocompatible nomore encoding=utf-8\nset runtimepath^={}\nsyntax on\nfiletype plugin indent on\nlet g:out = []\n",
            runtime.display()
        );
        let all = plans();
        for (path, text) in &all {
            let path = fs::canonicalize(path).expect("it is there");
            script.push_str(&format!(
                "edit {}\nsyn sync fromstart\n",
                path.display().to_string().replace(' ', "\\ ")
            ));
            script.push_str("call add(g:out, 'type ' . &filetype)\nlet g:places = [");
            for (at, _) in own(text) {
                let line = text[..at].matches('\n').count() + 1;
                let column = at - text[..at].rfind('\n').map_or(0, |end| end + 1) + 1;
                script.push_str(&format!("[{line},{column}],"));
            }
            script.push_str(
                "]\nfor p in g:places\n  call add(g:out, synIDattr(synID(p[0], p[1], 1), 'name'))\nendfor\n",
            );
        }
        let out = around.path().join(format!("{vim}.txt"));
        script.push_str(&format!("call writefile(g:out, '{}')\nqall!\n", out.display()));
        let file = around.path().join(format!("{vim}.vim"));
        fs::write(&file, script).expect("written");
        let mut command = Command::new(vim);
        match vim {
            // Which files are whose is settled when it starts.
            "nvim" => command
                .args(["--headless", "--clean", "-n", "--cmd"])
                .arg(format!("set runtimepath^={}", runtime.display()))
                .arg("-S")
                .arg(&file),
            _ => command.args(["-Nu", "NONE", "-n", "-es", "-S"]).arg(&file),
        };
        let done = command
            .stdin(std::process::Stdio::null())
            .output()
            .expect("it runs");
        let told = fs::read_to_string(&out).unwrap_or_else(|why| panic!("{vim}: {why} {done:?}"));
        let mut told = told.lines();
        let mut wrong = Vec::new();
        for (path, text) in &all {
            assert_eq!(told.next(), Some("type boltplan"), "{vim}: {}", path.display());
            let places = own(text);
            let names: BTreeMap<usize, &str> = places
                .iter()
                .map(|(at, _)| (*at, told.next().expect("an answer")))
                .collect();
            wrong.extend(agree(path, text, |at| {
                Some(match *names.get(&at)? {
                    "boltplanBlock" => Is::Block,
                    "boltplanStatement" => Is::Statement,
                    "boltplanHead" | "boltplanName" | "boltplanConnecting" => Is::Name,
                    "boltplanNumber" => Is::Number,
                    "boltplanDate" => Is::Date,
                    "boltplanText" => Is::Text,
                    "boltplanNote" => Is::Note,
                    "boltplanComment" => Is::Comment,
                    _ => return None,
                })
            }));
        }
        assert!(
            wrong.is_empty(),
            "{vim}: {} places:\n{}",
            wrong.len(),
            wrong[..wrong.len().min(20)].join("\n")
        );
    }
}
