//! `editor`: the language server as an editor starts it, over pipes. What is asked and answered follows the Language Server Protocol 3.17.

#![allow(clippy::indexing_slicing, reason = "a test may stop at a mistake of its own")]

mod client;

use std::path::PathBuf;
use std::time::Instant;

use serde_json::{Value, json};

use super::{plan, plan_files_of, starter, write};
use client::{Editor, PATIENCE, at, edited, place, uri};

/// The demonstration with its workshop, and paths of some of its files.
fn demonstration() -> (tempfile::TempDir, PathBuf) {
    let around = plan_files_of(&["specs/ouzel-front", "specs/our-workshop"]);
    let folder = around.path().join("ouzel-front");
    (around, folder)
}

fn codes(found: &[Value]) -> Vec<String> {
    found
        .iter()
        .map(|one| one["code"].as_str().expect("a code").to_owned())
        .collect()
}

#[test]
fn an_afternoon_at_the_demonstration() {
    let (around, folder) = demonstration();
    let capabilities = json!({
        "workspace": {"workspaceEdit": {"documentChanges": true}},
        "textDocument": {
            "documentSymbol": {"hierarchicalDocumentSymbolSupport": true},
            "hover": {"contentFormat": ["markdown"]},
            "publishDiagnostics": {"relatedInformation": true},
        },
    });
    let (mut editor, hello) = Editor::ready(around.path(), capabilities);
    assert_eq!(hello["capabilities"]["positionEncoding"], "utf-16");
    let strip = folder.join("stages/3-strip-front.boltplan");
    let text = editor.open(&strip);
    // Clean, so nothing is said of it: a request is answered behind all that comes before.
    let outline = editor.result(
        "textDocument/documentSymbol",
        json!({"textDocument": {"uri": uri(&strip)}}),
    );
    assert!(
        outline[0]["children"]
            .as_array()
            .expect("steps below a stage")
            .len()
            > 5,
        "{outline}"
    );
    assert!(editor.findings.is_empty(), "{:?}", editor.findings);

    // Break it: the finding stands at its place.
    let broken = text.replacen("undo damper-eye-left", "undo damper-eye-lft", 1);
    editor.change(&strip, 2, &broken);
    let found = editor.until(&strip, "an unknown name", |found| {
        codes(found).contains(&"unknown-name".to_owned())
    });
    let one = found
        .iter()
        .find(|one| one["code"] == "unknown-name")
        .expect("just seen");
    assert_eq!(one["range"]["start"], at(&broken, "undo |damper-eye-lft"));
    assert_eq!(one["range"]["end"], at(&broken, "undo damper-eye-lft|"));
    assert_eq!(
        (&one["severity"], &one["source"]),
        (&json!(1), &json!("boltfolio"))
    );
    assert!(
        one["relatedInformation"]
            .as_array()
            .is_some_and(|all| !all.is_empty())
    );
    assert_eq!(editor.findings[&uri(&strip)]["version"], 2);

    // Take the mend.
    let range = one["range"].clone();
    let actions = editor.result(
        "textDocument/codeAction",
        json!({"textDocument": {"uri": uri(&strip)}, "range": range, "context": {"diagnostics": [one]}}),
    );
    let fix = actions
        .as_array()
        .expect("actions")
        .iter()
        .find(|action| action["edit"]["documentChanges"][0]["edits"][0]["newText"] == "damper-eye-left");
    let fix = fix.unwrap_or_else(|| panic!("{actions}"));
    assert_eq!(fix["kind"], "quickfix");
    let change = &fix["edit"]["documentChanges"][0];
    assert_eq!(change["textDocument"]["version"], 2);
    let mended = edited(&broken, change["edits"].as_array().expect("edits"));
    assert_eq!(mended, text);
    editor.change(&strip, 3, &mended);
    editor.until(&strip, "it is clean again", |found| found.is_empty());

    // Jump: the joint is declared in another file. References, in at least three files.
    let jump = editor.result(
        "textDocument/definition",
        place(&strip, &text, "undo damper-|eye-left"),
    );
    let there = jump[0]["uri"].as_str().expect("a file").to_owned();
    assert_ne!(there, uri(&strip));
    let mut asked = place(&strip, &text, "undo damper-|eye-left");
    asked["context"] = json!({"includeDeclaration": true});
    let all = editor.result("textDocument/references", asked);
    assert!(all.as_array().expect("places").len() > 2, "{all}");

    // Rename what three files name, and the plan stays clean.
    let prepared = editor.result(
        "textDocument/prepareRename",
        place(&strip, &text, "undo damper-|eye-left"),
    );
    assert_eq!(prepared["placeholder"], "damper-eye");
    let mut asked = place(&strip, &text, "undo damper-|eye-left");
    asked["newName"] = json!("strut-eye");
    let edit = editor.result("textDocument/rename", asked);
    let changes = edit["documentChanges"].as_array().expect("changes");
    assert!(changes.len() >= 3, "{} files", changes.len());
    for change in changes {
        let named = change["textDocument"]["uri"].as_str().expect("a URI");
        let path = PathBuf::from(named.trim_start_matches("file://").replace("%20", " "));
        let old = std::fs::read_to_string(&path).expect("a plan's file");
        let new = edited(&old, change["edits"].as_array().expect("edits"));
        assert!(
            !new.replace("tube-damper-eye", "").contains("damper-eye"),
            "{named}"
        );
        std::fs::write(&path, new).expect("written");
    }
    let renamed = std::fs::read_to_string(&strip).expect("there");
    editor.change(&strip, 4, &renamed);
    let half = renamed.replacen("  undo strut-eye-left", "  undo ", 1);
    assert_ne!(half, renamed);
    editor.change(&strip, 5, &half);

    // Complete behind `undo `: what is closed by then.
    let asked = place(&strip, &half, "  undo |, damper-stem-left");
    let offered = editor.result("textDocument/completion", asked);
    let labels: Vec<&str> = offered["items"]
        .as_array()
        .expect("items")
        .iter()
        .filter_map(|item| item["label"].as_str())
        .collect();
    assert!(labels.contains(&"strut-eye-left"), "{labels:?}");
    assert!(
        !labels.contains(&"damper-stem-left"),
        "it stands there already: {labels:?}"
    );
    editor.change(&strip, 6, &renamed);
    editor.until(&strip, "clean after the renaming", |found| found.is_empty());

    // Hover and the form of a statement.
    let told = editor.result(
        "textDocument/hover",
        place(&strip, &renamed, "undo strut-|eye-left"),
    );
    let told = told["contents"]["value"].as_str().expect("words").to_owned();
    assert!(
        told.contains("At this place of step") && told.contains("tight"),
        "{told}"
    );
    let form = editor.result(
        "textDocument/signatureHelp",
        place(&strip, &renamed, "undo |strut-eye-left"),
    );
    assert!(
        form["signatures"][0]["label"]
            .as_str()
            .expect("a form")
            .starts_with("undo JOINT")
    );

    // Format: what is left over at a line's end goes, and the plan says the same.
    let loose = renamed.replacen("\n", "   \n\n\n\n", 1);
    editor.change(&strip, 7, &loose);
    let edits = editor.result(
        "textDocument/formatting",
        json!({"textDocument": {"uri": uri(&strip)}, "options": {"tabSize": 2, "insertSpaces": true}}),
    );
    let formatted = edited(&loose, edits.as_array().expect("edits"));
    assert!(
        formatted.len() < loose.len() && !formatted.lines().any(|line| line.ends_with(' ')),
        "{edits}"
    );

    let numbers = editor.result(
        "textDocument/inlayHint",
        json!({"textDocument": {"uri": uri(&strip)}, "range": {"start": {"line": 0, "character": 0}, "end": {"line": 9999, "character": 0}}}),
    );
    assert!(
        numbers
            .as_array()
            .expect("hints")
            .iter()
            .any(|hint| hint["label"] == "3.1"),
        "{numbers}"
    );
    let folds = editor.result(
        "textDocument/foldingRange",
        json!({"textDocument": {"uri": uri(&strip)}}),
    );
    assert!(folds.as_array().expect("folds").len() > 5);
    let found = editor.result("workspace/symbol", json!({"query": "strut-eye-l"}));
    assert_eq!(found.as_array().map(Vec::len), Some(1), "{found}");
    editor.shut_down();
}

#[test]
fn columns_are_counted_as_the_editor_counts() {
    let text = starter().replacen("  hold seat by tom;", "  look \"é🔧\"; hold set by tom;", 1);
    for (encodings, utf8) in [
        (json!(["utf-8", "utf-16"]), true),
        (json!(["utf-16"]), false),
        (Value::Null, false),
    ] {
        let around = plan(&text);
        let path = around.path().join("ouzel/plan.boltplan");
        let (mut editor, hello) = Editor::ready(
            around.path(),
            json!({"general": {"positionEncodings": encodings}}),
        );
        assert_eq!(
            hello["capabilities"]["positionEncoding"],
            if utf8 { "utf-8" } else { "utf-16" }
        );
        editor.open(&path);
        let found = editor.until(&path, "an unknown name", |found| !found.is_empty());
        let one = found
            .iter()
            .find(|one| one["code"] == "unknown-name")
            .expect("it is told");
        let start = one["range"]["start"]["character"].as_u64().expect("a column");
        let line = text
            .lines()
            .find(|line| line.contains("hold set"))
            .expect("there");
        let before = &line[..line.find("set by").expect("there")];
        let wanted = if utf8 {
            before.len()
        } else {
            before.encode_utf16().count()
        };
        assert_eq!(start, wanted as u64);
        editor.shut_down();
    }
}

#[test]
fn a_line_that_is_half_typed_silences_nothing() {
    // A fault of the walk: nobody holds the seat.
    let text = starter().replacen("hold seat by tom; ", "", 1);
    let around = plan(&text);
    let path = around.path().join("ouzel/plan.boltplan");
    let (mut editor, _) = Editor::ready(around.path(), json!({}));
    editor.open(&path);
    let before = editor.until(&path, "a fault of the walk", |found| !found.is_empty());
    let code = before[0]["code"].clone();
    let line = before[0]["range"]["start"]["line"].as_u64().expect("a line");
    // Key by key a step is begun above.
    let typed = "step half \"Half\"; by ada; time 5 min; undo heater-pl";
    let head = text.find("step make-dead").expect("a step");
    for end in 1..=typed.len() {
        let now = format!("{}{}\n{}", &text[..head], &typed[..end], &text[head..]);
        editor.change(&path, end as i64 + 1, &now);
        // Answered behind the findings of this text.
        editor.result(
            "textDocument/foldingRange",
            json!({"textDocument": {"uri": uri(&path)}}),
        );
        let found = editor.findings[&uri(&path)]["diagnostics"]
            .as_array()
            .expect("findings")
            .clone();
        let still = found.iter().find(|one| one["code"] == code);
        let still =
            still.unwrap_or_else(|| panic!("{:?}: {code} is gone: {:?}", &typed[..end], codes(&found)));
        assert_eq!(still["range"]["start"]["line"], line + 1, "{:?}", &typed[..end]);
    }
    editor.shut_down();
}

#[test]
fn two_hundred_changes_cost_ten_compilations_at_most() {
    let around = plan(&starter());
    let path = around.path().join("ouzel/plan.boltplan");
    let (mut editor, _) = Editor::ready(around.path(), json!({}));
    let text = editor.open(&path);
    editor.result(
        "textDocument/foldingRange",
        json!({"textDocument": {"uri": uri(&path)}}),
    );
    editor.published = 0;
    for nth in 0..200 {
        // Each text has another finding, so that each compilation is published.
        let last = text.replacen("undo heater-plug,", &format!("undo zebra-{nth},"), 1);
        editor.change(&path, nth + 2, &last);
    }
    editor.until(&path, "the last one", |found| {
        found.iter().any(|one| {
            one["message"]
                .as_str()
                .is_some_and(|told| told.contains("zebra-199"))
        })
    });
    assert!(editor.published <= 10, "{} compilations", editor.published);
    assert_eq!(editor.findings[&uri(&path)]["version"], 201);
    editor.shut_down();
}

#[test]
fn what_the_protocol_forbids_is_answered_by_the_protocol() {
    let around = plan(&starter());
    let path = around.path().join("ouzel/plan.boltplan");
    let document = json!({"textDocument": {"uri": uri(&path)}, "position": {"line": 0, "character": 0}});
    let mut editor = Editor::started(around.path());
    let code = |answer: &Value| answer["error"]["code"].as_i64();
    // Before `initialize`; with ids of any form.
    assert_eq!(
        code(&editor.request("textDocument/hover", document.clone())),
        Some(-32002)
    );
    for id in [json!("a text"), json!(9_999_999_999_i64), json!(-1), json!(0)] {
        editor.message(&json!({"jsonrpc": "2.0", "id": id, "method": "textDocument/hover", "params": {}}));
        assert_eq!(code(&editor.answer(&id)), Some(-32002));
    }
    editor.notify("textDocument/didOpen", json!({}));
    let hello = editor.result("initialize", json!({"capabilities": {}}));
    assert_eq!(hello["serverInfo"]["name"], "boltfolio");
    assert_eq!(
        code(&editor.request("initialize", json!({"capabilities": {}}))),
        Some(-32600)
    );
    assert_eq!(
        code(&editor.request("textDocument/noSuchThing", document.clone())),
        Some(-32601)
    );
    assert_eq!(
        code(&editor.request("textDocument/hover", document.clone())),
        Some(-32803)
    );
    assert_eq!(
        code(&editor.request("textDocument/hover", json!({"x": 1}))),
        Some(-32602)
    );
    editor.notify("no/such/notification", json!([1, 2]));
    editor.notify("$/setTrace", json!({"value": "off"}));
    editor.open(&path);
    assert_eq!(
        code(&editor.request("textDocument/hover", json!({"textDocument": {"uri": uri(&path)}}))),
        Some(-32602)
    );

    // Frames that cannot be read.
    for bad in [
        "Content-Length: 3\r\n\r\n{x}",
        "Content-Length: 2\r\n\r\n[]",
        "Content-Length: 4\r\n\r\nnull",
        "Content-Length: 99999999999999\r\n\r\n",
        "Content-Length: many\r\n\r\n",
        "Nonsense\r\n\r\n",
    ] {
        editor.bytes(bad.as_bytes());
        let told = editor.answer(&Value::Null);
        assert!(matches!(code(&told), Some(-32700 | -32600)), "{bad}: {told}");
        assert!(
            editor.request("textDocument/foldingRange", document.clone())["result"].is_array(),
            "{bad}"
        );
    }

    // Positions past the end, before the start of an edit, in the midst of a letter.
    for (line, character) in [(0, 99_999), (99_999, 0), (u32::MAX, u32::MAX), (3, 7)] {
        let place = json!({"textDocument": {"uri": uri(&path)}, "position": {"line": line, "character": character}, "newName": "x", "context": {"includeDeclaration": true}});
        for method in [
            "textDocument/completion",
            "textDocument/hover",
            "textDocument/definition",
            "textDocument/references",
            "textDocument/documentHighlight",
            "textDocument/signatureHelp",
            "textDocument/prepareRename",
            "textDocument/rename",
        ] {
            let answer = editor.request(method, place.clone());
            assert!(matches!(code(&answer), None | Some(-32803)), "{method}: {answer}");
        }
    }
    assert_eq!(editor.result("shutdown", Value::Null), Value::Null);
    assert_eq!(
        code(&editor.request("textDocument/hover", document)),
        Some(-32600)
    );
    editor.notify("exit", Value::Null);
    assert_eq!(editor.ended(), 0);
}

#[test]
fn the_exit_status_is_the_protocol_s() {
    let around = plan(&starter());
    // `exit` without `shutdown`; a client that dies, before and after it said who it is, and in the midst of a frame.
    let (mut editor, _) = Editor::ready(around.path(), json!({}));
    editor.notify("exit", Value::Null);
    assert_eq!(editor.ended(), 1);
    assert_eq!(Editor::started(around.path()).ended(), 1);
    let (mut editor, _) = Editor::ready(around.path(), json!({}));
    editor.bytes(b"Content-Length: 400\r\n\r\n{\"jsonrpc\"");
    assert_eq!(editor.ended(), 1);
    let (mut editor, _) = Editor::ready(around.path(), json!({}));
    editor.result("shutdown", Value::Null);
    assert_eq!(editor.ended(), 0);
}

#[test]
fn a_request_that_waits_is_called_off() {
    let around = plan(&starter());
    let path = around.path().join("ouzel/plan.boltplan");
    let (mut editor, _) = Editor::ready(around.path(), json!({}));
    editor.open(&path);
    let ask = |id: i64| {
        let body = json!({"jsonrpc": "2.0", "id": id, "method": "textDocument/foldingRange", "params": {"textDocument": {"uri": uri(&path)}}}).to_string();
        format!("Content-Length: {}\r\n\r\n{body}", body.len())
    };
    let off = json!({"jsonrpc": "2.0", "method": "$/cancelRequest", "params": {"id": 902}}).to_string();
    let all = format!(
        "{}{}{}Content-Length: {}\r\n\r\n{off}",
        ask(900),
        ask(901),
        ask(902),
        off.len()
    );
    editor.bytes(all.as_bytes());
    let answer = editor.answer(&json!(902));
    // It may have been answered already: what is not queued any more is not called off.
    assert!(
        answer["error"]["code"] == -32800 || answer["result"].is_array(),
        "{answer}"
    );
    editor.shut_down();
}

#[test]
fn files_come_go_and_are_no_text() {
    let (around, folder) = demonstration();
    let (mut editor, _) = Editor::ready(
        around.path(),
        json!({"workspace": {"didChangeWatchedFiles": {"dynamicRegistration": true}}}),
    );
    let strip = folder.join("stages/3-strip-front.boltplan");
    editor.open(&strip);
    let settled = |editor: &mut Editor| {
        editor.result(
            "textDocument/foldingRange",
            json!({"textDocument": {"uri": uri(&strip)}}),
        );
    };
    settled(&mut editor);
    assert!(
        editor
            .said
            .iter()
            .any(|said| said["method"] == "client/registerCapability")
    );
    let changed = |editor: &mut Editor| {
        editor.notify("workspace/didChangeWatchedFiles", json!({"changes": []}));
        settled(editor);
    };
    // A file with joints goes: what names them names nothing.
    let corners = folder.join("assemblies/corners.boltplan");
    let kept = std::fs::read(&corners).expect("there");
    std::fs::remove_file(&corners).expect("gone");
    changed(&mut editor);
    editor.until(&strip, "names are unknown", |found| {
        codes(found).contains(&"unknown-name".to_owned())
    });
    // It comes back under another name.
    std::fs::write(folder.join("assemblies/wheels.boltplan"), &kept).expect("written");
    changed(&mut editor);
    editor.until(&strip, "all is known again", |found| found.is_empty());
    // A file that is no UTF-8.
    let odd = folder.join("odd.boltplan");
    std::fs::write(&odd, b"part x\n  note \xff\xfe\n").expect("written");
    changed(&mut editor);
    editor.until(&odd, "it is told", |found| {
        codes(found).contains(&"not-text".to_owned()) || !found.is_empty()
    });
    std::fs::remove_file(&odd).expect("gone");
    changed(&mut editor);
    editor.until(&odd, "nothing is told of what is gone", |found| found.is_empty());
    // The workshop goes: a sentence, and all else still answers.
    std::fs::rename(
        around.path().join("our-workshop"),
        around.path().join("elsewhere"),
    )
    .expect("moved");
    changed(&mut editor);
    let told = editor.until(&strip, "it cannot be read", |found| {
        codes(found).contains(&"cannot-be-read".to_owned())
    });
    assert!(
        told[0]["message"]
            .as_str()
            .expect("a sentence")
            .contains("our-workshop"),
        "{told:?}"
    );
    std::fs::rename(
        around.path().join("elsewhere"),
        around.path().join("our-workshop"),
    )
    .expect("back");
    changed(&mut editor);
    editor.until(&strip, "all is there again", |found| found.is_empty());
    // The open file itself goes from the disk; the editor has it still.
    std::fs::remove_file(&strip).expect("gone");
    changed(&mut editor);
    settled(&mut editor);
    editor.shut_down();
}

#[test]
fn two_plans_in_one_workspace_do_not_mix() {
    let around = plan(&starter());
    let one = around.path().join("ouzel/plan.boltplan");
    let broken = starter().replacen("undo heater-plug", "undo heater-plg", 1);
    let two = around.path().join("redpoll/plan.boltplan");
    write(&two, &broken);
    // And two plans of one file each, side by side.
    let (three, four) = (
        around.path().join("small/a.boltplan"),
        around.path().join("small/b.boltplan"),
    );
    write(&three, starter());
    write(&four, &broken);
    let (mut editor, _) = Editor::ready(around.path(), json!({}));
    for path in [&one, &two, &three, &four] {
        editor.open(path);
    }
    editor.until(&two, "the broken one", |found| {
        codes(found).contains(&"unknown-name".to_owned())
    });
    editor.until(&four, "the other broken one", |found| {
        codes(found).contains(&"unknown-name".to_owned())
    });
    for path in [&one, &three] {
        assert!(
            editor
                .findings
                .get(&uri(path))
                .is_none_or(|params| params["diagnostics"] == json!([])),
            "{path:?}"
        );
    }
    // A file of a workshop is of every plan that names it; closing the plan takes its findings away.
    editor.notify(
        "textDocument/didClose",
        json!({"textDocument": {"uri": uri(&two)}}),
    );
    editor.until(&two, "closed", |found| found.is_empty());
    editor.shut_down();
}

#[test]
fn a_text_that_lies_on_no_disk_is_a_plan_by_itself() {
    let around = tempfile::tempdir().expect("a folder");
    let (mut editor, _) = Editor::ready(around.path(), json!({}));
    let text = starter().replacen("undo heater-plug", "undo heater-plg", 1);
    let document =
        json!({"uri": "untitled:Untitled-1", "languageId": "boltplan", "version": 1, "text": text});
    editor.notify("textDocument/didOpen", json!({"textDocument": document}));
    let end = Instant::now() + PATIENCE;
    while !editor.findings.contains_key("untitled:Untitled-1") {
        assert!(Instant::now() < end);
        editor.take();
    }
    let found = &editor.findings["untitled:Untitled-1"]["diagnostics"];
    assert_eq!(found[0]["code"], "unknown-name");
    editor.shut_down();
}

#[test]
fn a_path_with_spaces_and_letters_of_any_kind() {
    let around = tempfile::tempdir().expect("a folder");
    let path = around.path().join("mein Auto ü 100%/plän.boltplan");
    write(
        &path,
        starter().replacen("undo heater-plug", "undo heater-plg", 1),
    );
    let (mut editor, _) = Editor::ready(around.path(), json!({}));
    editor.open(&path);
    editor.until(&path, "the finding", |found| {
        codes(found).contains(&"unknown-name".to_owned())
    });
    editor.shut_down();
}

/// Memory is what it was after the first edits: on Linux, as the kernel counts it.
#[test]
fn memory_is_steady_over_many_edits() {
    let around = plan(&starter());
    let path = around.path().join("ouzel/plan.boltplan");
    let (mut editor, _) = Editor::ready(around.path(), json!({}));
    let text = editor.open(&path);
    let pages = |editor: &Editor| -> Option<u64> {
        let statm = std::fs::read_to_string(format!("/proc/{}/statm", editor.child.id())).ok()?;
        statm.split(' ').nth(1)?.parse().ok()
    };
    let edits = std::env::var("BOLTFOLIO_EDITS")
        .ok()
        .and_then(|count| count.parse().ok())
        .unwrap_or(600);
    let mut first = None;
    for nth in 0..edits {
        let now = text.replacen("undo heater-plug,", &format!("undo zebra-{nth},"), 1);
        editor.change(&path, nth + 2, &now);
        editor.result(
            "textDocument/foldingRange",
            json!({"textDocument": {"uri": uri(&path)}}),
        );
        if nth == 100 {
            first = pages(&editor);
        }
    }
    if let (Some(first), Some(last)) = (first, pages(&editor)) {
        println!("{edits} edits: {first} pages after a hundred, {last} at the end");
        assert!(last < first + first / 4 + 512, "{first} pages became {last}");
    }
    editor.shut_down();
}

#[test]
fn it_works_in_the_folder_that_is_there() {
    // A single file outside of all that the editor works in.
    let around = plan(&starter().replacen("undo heater-plug", "undo heater-plg", 1));
    let other = tempfile::tempdir().expect("a folder");
    let (mut editor, _) = Editor::ready(other.path(), json!({}));
    let path = around.path().join("ouzel/plan.boltplan");
    editor.open(&path);
    editor.until(&path, "the finding", |found| {
        codes(found).contains(&"unknown-name".to_owned())
    });
    // A new file of the plan, not saved yet, counts.
    let new = around.path().join("ouzel/new.boltplan");
    editor.open_text(&new, "tool mirror \"Mirror\"\n  frobs\n");
    editor.until(&new, "its line is no statement", |found| !found.is_empty());
    editor.shut_down();
}

#[test]
fn all_mends_of_a_rule_and_an_acceptance_with_its_reason() {
    let text = starter()
        .replacen("undo heater-plug, seat-bolts", "undo heater-plg, seat-blts", 1)
        .replacen(
            "part battery \"Battery\"",
            "tool mirror \"Mirror\"\npart battery \"Battery\"",
            1,
        );
    let around = plan(&text);
    let path = around.path().join("ouzel/plan.boltplan");
    let (mut editor, _) = Editor::ready(
        around.path(),
        json!({"workspace": {"workspaceEdit": {"documentChanges": true, "snippetEditSupport": true}}}),
    );
    editor.open(&path);
    editor.until(&path, "unknown names", |found| {
        codes(found).contains(&"unknown-name".to_owned())
    });
    let ask = |editor: &mut Editor, text: &str, marked: &str, only: Value| -> Vec<Value> {
        let place = at(text, marked);
        let mut asked = json!({
            "textDocument": {"uri": uri(&path)},
            "range": {"start": place, "end": place},
            "context": {"diagnostics": []},
        });
        if !only.is_null() {
            asked["context"]["only"] = only;
        }
        editor
            .result("textDocument/codeAction", asked)
            .as_array()
            .expect("actions")
            .clone()
    };
    let all = ask(&mut editor, &text, "undo heater|-plg", Value::Null);
    let both = all
        .iter()
        .find(|action| action["title"] == "Mend all 2 of unknown-name in this file");
    let both = both.unwrap_or_else(|| panic!("{all:?}"));
    let mended = edited(
        &text,
        both["edit"]["documentChanges"][0]["edits"]
            .as_array()
            .expect("edits"),
    );
    assert!(mended.contains("undo heater-plug, seat-bolts"), "{mended}");
    // The same, asked for as one: what needs no choice, and nothing else.
    assert!(all.iter().all(|action| action["kind"] == "quickfix"));
    let fixes = ask(&mut editor, &text, "undo heater|-plg", json!(["source.fixAll"]));
    assert_eq!(fixes.len(), 1, "{fixes:?}");
    let fixed = edited(
        &text,
        fixes[0]["edit"]["documentChanges"][0]["edits"]
            .as_array()
            .expect("edits"),
    );
    assert_eq!(fixed, mended);
    // An acceptance goes where its reason is typed.
    editor.change(&path, 2, &mended);
    editor.until(&path, "a tool is never used", |found| {
        codes(found).contains(&"never-used".to_owned())
    });
    let all = ask(&mut editor, &mended, "tool mir|ror", Value::Null);
    let accept = all
        .iter()
        .find(|action| action["title"] == "Accept never-used for mirror, with a reason");
    let snippet =
        &accept.unwrap_or_else(|| panic!("{all:?}"))["edit"]["documentChanges"][0]["edits"][0]["snippet"];
    assert_eq!(
        snippet["value"],
        "accept never-used for mirror because \"${1:why it may stand}\"\n"
    );
    editor.shut_down();
}

#[test]
fn a_workshop_s_file_is_of_the_plans_that_name_it() {
    let around = plan_files_of(&["specs/ouzel-front", "specs/our-workshop", "specs/siskin-choices"]);
    let (mut editor, _) = Editor::ready(around.path(), json!({}));
    let strip = around.path().join("ouzel-front/stages/3-strip-front.boltplan");
    editor.open(&strip);
    editor.result(
        "textDocument/foldingRange",
        json!({"textDocument": {"uri": uri(&strip)}}),
    );
    let tools = around.path().join("our-workshop/tools.boltplan");
    let text = editor.open(&tools);
    // A tool that the plan needs is called otherwise now: told in the plan's file, that nobody touched.
    let changed = text.replacen("tool ball-press", "tool ball-puller", 1);
    assert_ne!(changed, text);
    editor.change(&tools, 2, &changed);
    // It stands at the first place that uses it, with the others beside it.
    let told = |editor: &Editor| {
        let mut all = editor
            .findings
            .values()
            .filter_map(|params| params["diagnostics"].as_array());
        all.any(|found| codes(found).contains(&"unknown-name".to_owned()))
    };
    while !told(&editor) {
        editor.take();
    }
    editor.change(&tools, 3, &text);
    while told(&editor) {
        editor.take();
    }
    // Renamed in the workshop it is renamed in the plan, and the owner is told of other plans.
    let mut asked = place(&tools, &text, "tool ball-pr|ess");
    asked["newName"] = json!("joint-press");
    let edit = editor.result("textDocument/rename", asked);
    let files = edit["changes"].as_object().expect("changes");
    assert!(files.len() >= 2, "{edit}");
    assert!(
        editor
            .said
            .iter()
            .any(|said| said["method"] == "window/showMessage"),
        "{:?}",
        editor.said
    );
    editor.shut_down();
}

/// Numbers on paper stay: where a print lies, a renamed step says what it was.
#[test]
fn a_step_that_is_printed_keeps_its_number() {
    let around = plan(&starter());
    let printed = super::run(
        around.path(),
        &["print", "ouzel", "--form", "labels", "--to", "ouzel/output"],
    );
    assert_eq!(super::status(&printed), 0, "{}", super::err(&printed));
    let path = around.path().join("ouzel/plan.boltplan");
    let (mut editor, _) = Editor::ready(around.path(), json!({}));
    let text = editor.open(&path);
    // A step put in before it would take its number, were it not kept.
    let mut asked = place(&path, &text, "step seat-o|ut");
    asked["newName"] = json!("sprung-seat-off");
    let edit = editor.result("textDocument/rename", asked);
    let renamed = edited(&text, edit["changes"][uri(&path)].as_array().expect("edits"));
    assert!(
        renamed.contains("step sprung-seat-off \"Seat out, onto the bench\"; was seat-out; by ada, tom"),
        "{renamed}"
    );
    let renamed = renamed.replacen(
        "step make-dead",
        "step look-round \"Look round\"; by ada; look \"All is there\"\nstep make-dead",
        1,
    );
    write(&path, &renamed);
    let state = super::run(
        around.path(),
        &[
            "state",
            "ouzel",
            "--after",
            "sprung-seat-off",
            "--binder",
            "ouzel/output",
        ],
    );
    assert!(
        super::out(&state).contains("after step 1.2 sprung-seat-off"),
        "{}{}",
        super::out(&state),
        super::err(&state)
    );
    editor.shut_down();
}
