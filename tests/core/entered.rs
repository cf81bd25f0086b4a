//! What is entered goes where it belongs, and every other byte stays: single cases worked out by hand, then random plans and entries. The job is
//! invented.

use boltfolio_core::base::picture::NoPictures;
use boltfolio_core::base::source::Source;
use boltfolio_core::binder::kept::Kept;
use boltfolio_core::compile::{Compilation, compile, compile_with_trees};
use boltfolio_core::enter::{Entered, Entry, Paper, enter, news};
use proptest::prelude::{Just, ProptestConfig, Strategy, any, prop_oneof, proptest};
use proptest::sample::subsequence;

const JOB: &str = "plan wren-job \"Wren 900: nose off\"; for wren; dated 2026-03-01; crew ada, tom
vehicle wren \"Wren 900\"; body shell
person ada; lifts 30 kg
person tom; lifts 30 kg
scale hook \"Hanging scale\"; capacity 50 kg; division 0.1 kg
part grille \"Grille\"; mass 1 kg weighed
part bumper \"Bumper\"; mass 4 kg estimated; afterwards for sale
part lamp, each side \"Lamp\"; mass 1 kg weighed
part light-bumper \"Light bumper\"; in place of bumper; mass 2 kg quoted
joint grille-screws: grille to shell; carries; screws 4 x M6x1.0x20 class 8.8; torque 9 N m; head 10 mm
joint bumper-bolts: bumper to shell; carries; bolts 2 x M8x1.25x25 class 8.8; torque 22 N m; head 13 mm
joint lamp-clip, each side: lamp to shell; clip; carries
joint light-bolts: light-bumper to shell; in place of bumper-bolts; same as bumper-bolts
step grille-off \"Grille off\"; by ada; undo grille-screws; take off grille; time 20 min
step bumper-off \"Bumper off\"; by ada, tom; measure gap to come; undo bumper-bolts; take off bumper; weigh bumper with hook; time 40 min
step lamps-off \"Lamps off\"; by ada; undo both lamp-clips; take off both lamps; time 10 min
step lamps-on \"Lamps on\"; by ada; fit both lamps; start both lamp-clips; time 10 min
step bumper-on \"Bumper on\"; by ada; fit light-bumper; start light-bolts; tighten light-bolts; time 30 min
step grille-on \"Grille on\"; by ada; fit grille; start grille-screws; tighten grille-screws; time 20 min
";

const SHEET: &str = "weigh-in sheet \"What came off\"
  dated 2026-03-14; with hook # the old scale
  reads bumper to come \"with its foam\"
  # both on one hook
  reads both lamps to come
";

fn compiled(files: &[(String, String)]) -> Compilation {
    let sources = files.iter().map(|(name, text)| Source::new(name, text, false));
    compile(sources.collect(), &NoPictures)
}

fn file(name: &str, text: impl Into<String>) -> (String, String) {
    (name.to_owned(), text.into())
}

fn entered_by(
    files: &[(String, String)],
    entries: &[&str],
    kept: &Kept,
) -> Result<(Entered, Compilation), String> {
    let sources = files.iter().map(|(name, text)| Source::new(name, text, false));
    let (before, trees) = compile_with_trees(sources.collect(), &NoPictures);
    let entries: Vec<Entry> = entries
        .iter()
        .map(|text| Entry {
            text: (*text).to_owned(),
            called: "The entry".to_owned(),
        })
        .collect();
    let paper = Paper {
        kept,
        called: "the print in output",
    };
    let entered = enter(&before, &trees, &entries, paper)?;
    let after = compile(entered.change.sources(&before.sources), &NoPictures);
    let unread = news::unread(&news::new_findings(&before, &after));
    match unread.first() {
        Some(finding) => Err(format!("{}: {}", finding.rule.name, finding.what)),
        None => Ok((entered, after)),
    }
}

fn texts(done: &Compilation) -> Vec<(String, String)> {
    let all = done.sources.iter();
    all.map(|(_, source)| file(source.path(), source.text()))
        .collect()
}

/// The texts after an entry into one file.
#[track_caller]
fn after(text: &str, entries: &[&str]) -> String {
    let files = [file("job.boltplan", text)];
    let (_, done) = entered_by(&files, entries, &Kept::default()).expect("it is entered");
    let all = texts(&done);
    assert_eq!(all.len(), 1, "{all:?}");
    all[0].1.clone()
}

#[track_caller]
fn refused(text: &str, entry: &str, words: &[&str]) {
    let told = entered_by(&[file("job.boltplan", text)], &[entry], &Kept::default());
    let told = told.map(|(entered, _)| entered).expect_err("it is refused");
    for word in words {
        assert!(told.contains(word), "{word}: {told}");
    }
}

#[test]
fn a_blank_is_filled_and_nothing_beside_it() {
    let job = format!("{JOB}{SHEET}");
    assert_eq!(
        after(&job, &["reads bumper 4.2 kg"]),
        job.replace("reads bumper to come", "reads bumper 4.2 kg")
    );
    // Named one by one or together, in any order: the same two.
    let lamps = job.replace("both lamps to come", "both lamps 1.9 kg");
    assert_eq!(after(&job, &["reads lamp-right, lamp-left 1.9 kg"]), lamps);
    assert_eq!(after(&job, &["reads both lamps 1.9 kg"]), lamps);
    assert_eq!(after(&job, &["weigh-in sheet; reads both lamps 1.9 kg"]), lamps);
    assert_eq!(
        after(&job, &["measure gap 4.5 mm"]),
        job.replace("measure gap to come", "measure gap 4.5 mm")
    );
    let corners = format!("{JOB}weigh-in all-up; corners to come, to come front, to come, to come rear\n");
    assert_eq!(
        after(&corners, &["corners 200 kg, 201.5 kg front, 150 kg, 149 kg rear"]),
        corners.replace(
            "corners to come, to come front, to come, to come rear",
            "corners 200 kg, 201.5 kg front, 150 kg, 149 kg rear"
        )
    );
}

#[test]
fn a_log_stands_behind_the_last_one_or_at_the_end() {
    let log = "log grille-off; done 2026-03-07 by ada";
    assert_eq!(after(JOB, &[log]), format!("{JOB}\n{log}\n"));
    // Without a last line end there is none after either.
    let open = JOB.trim_end();
    assert_eq!(after(open, &[log]), format!("{open}\n\n{log}"));
    let with_log = format!("{JOB}log grille-off\n  done 2026-03-07\n  # rusty\npart spare \"Spare\"\n");
    assert_eq!(
        after(&with_log, &["log bumper-off; done 2026-03-08"]),
        with_log.replace("  # rusty\n", "  # rusty\nlog bumper-off; done 2026-03-08\n")
    );
    // Lines of a file end as they did.
    let windows = JOB.replace('\n', "\r\n");
    assert_eq!(
        after(&windows, &["log grille-off\n  done 2026-03-07\n"]),
        format!("{windows}\r\nlog grille-off\r\n  done 2026-03-07\r\n")
    );
}

#[test]
fn a_plan_of_several_files_keeps_its_logs_in_a_file_of_their_own() {
    let files = [file("car/parts/a.boltplan", SHEET), file("car/job.boltplan", JOB)];
    let (_, done) =
        entered_by(&files, &["log grille-off; done 2026-03-07"], &Kept::default()).expect("entered");
    let all = texts(&done);
    assert!(
        all.contains(&file("car/log.boltplan", "log grille-off; done 2026-03-07\n")),
        "{all:?}"
    );
    assert!(all.contains(&files[0]) && all.contains(&files[1]), "{all:?}");
    // Where one of them has a log, there the next one stands.
    let with_log = format!("{SHEET}log grille-off; done 2026-03-07\n");
    let files = [
        file("car/job.boltplan", JOB),
        file("car/weighed.boltplan", with_log.clone()),
    ];
    let (_, done) =
        entered_by(&files, &["log bumper-off; done 2026-03-08"], &Kept::default()).expect("entered");
    let all = texts(&done);
    assert_eq!(all[1].1, format!("{with_log}log bumper-off; done 2026-03-08\n"));
}

#[test]
fn the_same_twice_is_once() {
    let job = format!("{JOB}{SHEET}");
    let entries = [
        "log grille-off, bumper-off; done 2026-03-07 by ada; found \"rust\"",
        "reads bumper 4.2 kg",
        "measure gap 4.5 mm",
    ];
    let once = after(&job, &entries);
    assert_eq!(after(&once, &entries), once);
    // Written otherwise it is the same.
    assert_eq!(
        after(
            &once,
            &["log grille-off to bumper-off\n    done 2026-03-07   by ada # on Saturday\n    found \"rust\""]
        ),
        once
    );
    // What is more of the same day goes into the same log.
    assert_eq!(
        after(
            &once,
            &["log grille-off to bumper-off; done 2026-03-07 by ada; took 70 min"]
        ),
        once.replace("found \"rust\"\n", "found \"rust\"\n  took 70 min\n")
    );
    // Another day is another log.
    let again = "log grille-off, bumper-off; done 2026-03-08 by ada";
    assert_eq!(after(&once, &[again]), format!("{once}{again}\n"));
    // The same said twice in one go.
    assert_eq!(after(&job, &[again, again]), after(&job, &[again]));
}

#[test]
fn a_line_before_a_log_goes_where_it_belongs_and_nowhere_else() {
    let job = format!("{JOB}{SHEET}");
    let entry = "  reads bumper 4.2 kg\nlog grille-off; done 2026-03-07 by ada\n";
    let done = after(&job, &[entry]);
    assert_eq!(done.matches("reads bumper 4.2 kg").count(), 1, "{done}");
    assert!(done.contains("log grille-off; done 2026-03-07 by ada"), "{done}");
}

#[test]
fn a_line_that_is_given_twice_is_written_once() {
    let job = format!("{JOB}{SHEET}");
    let entry = "weigh-in sheet; reads grille 0.5 kg";
    assert_eq!(after(&job, &[entry, entry]), after(&job, &[entry]));
}

#[test]
fn what_fits_two_places_or_none_is_refused_with_their_lines() {
    let two = format!("{JOB}{SHEET}weigh-in second \"Again\"; with hook; reads bumper to come\n");
    // The sheet begins at line 20: 19 lines stand before it.
    refused(
        &two,
        "reads bumper 4.2 kg",
        &[
            "fits 2 blanks",
            "job.boltplan:22 (weigh-in sheet)",
            "job.boltplan:25 (weigh-in second)",
            "weigh-in sheet; reads bumper 4.2 kg",
        ],
    );
    let one = after(&two, &["weigh-in second; reads bumper 4.2 kg"]);
    assert_eq!(
        one,
        two.replace(
            "with hook; reads bumper to come",
            "with hook; reads bumper 4.2 kg"
        )
    );
    refused(
        JOB,
        "reads bumpr 4.2 kg",
        &["nothing of the plan is called `bumpr`", "bumper"],
    );
    refused(
        JOB,
        "reads bumper 4.2 kg",
        &["fits no blank", "log STEP; reads bumper 4.2 kg"],
    );
    refused(
        JOB,
        "found \"rust\"",
        &["belongs to a step", "log STEP; found \"rust\""],
    );
    refused(
        JOB,
        "log nose-off; done 2026-03-07",
        &["unknown-name", "nose-off"],
    );
    refused(JOB, "log grille-off; done yesterday", &["unreadable-line"]);
    refused(JOB, "log grille-off; done 2026-02-30", &["unreadable-line"]);
    refused(JOB, "frobs", &["opens no block and is no statement"]);
    refused(JOB, "part boot \"Boot\"", &["no part `boot`", "own file"]);
    refused(JOB, "  ", &["holds no block"]);
    let filled = after(&format!("{JOB}{SHEET}"), &["reads bumper 4.2 kg"]);
    refused(
        &filled,
        "reads bumper 5 kg",
        &["reads bumper 4.2 kg", "job.boltplan:22", "not overwritten"],
    );
    // Two readings for one blank.
    let both = [file("job.boltplan", format!("{JOB}{SHEET}"))];
    let told = entered_by(
        &both,
        &["reads bumper 4.2 kg", "reads bumper 4.3 kg"],
        &Kept::default(),
    );
    let told = told.map(|(entered, _)| entered).expect_err("two for one");
    assert!(
        told.contains("reads bumper 4.2 kg") && told.contains("Leave one of the two out"),
        "{told}"
    );
}

#[test]
fn a_block_of_the_plan_is_named_to_fill_its_blanks_and_a_sheet_takes_more() {
    let job = JOB.replace(
        "joint lamp-clip, each",
        "joint spare: grille to lamp-left; bolts 1 x M6x1.0; torque to come\njoint lamp-clip, each",
    );
    // Two words of the header will do; the rest of it stays the plan's.
    assert_eq!(
        after(&job, &["joint spare; torque 9 N m"]),
        job.replace("torque to come", "torque 9 N m")
    );
    assert_eq!(
        after(&job, &["torque 9 N m"]),
        job.replace("torque to come", "torque 9 N m")
    );
    refused(&job, "joint spare; torque 9", &["unit"]);
    refused(
        &job,
        "joint bumper-bolts; torque 23 N m",
        &["torque 22 N m", "not overwritten"],
    );
    refused(
        &job,
        "part bumper; cost 20 GBP",
        &["fits no blank of part `bumper`"],
    );
    let sheet = format!("{JOB}{SHEET}");
    assert_eq!(
        after(
            &sheet,
            &["weigh-in sheet\n  reads grille 0.9 kg\n  note Wet,\n    and dirty."]
        ),
        format!("{sheet}  reads grille 0.9 kg\n  note Wet,\n    and dirty.\n")
    );
    refused(
        &sheet,
        "weigh-in sheet \"Another\"; reads grille 0.9 kg",
        &["Leave out what stands after the name"],
    );
    refused(
        &sheet,
        "weigh-in sheet; dated 2026-03-15",
        &["dated 2026-03-14", "not overwritten"],
    );
    // A comment that has no place where its lines go is told.
    let log = after(&sheet, &["log grille-off; done 2026-03-07"]);
    let files = [file("job.boltplan", log)];
    let (entered, _) = entered_by(
        &files,
        &["log grille-off; done 2026-03-07; found \"rust # 1\" # by the lamp"],
        &Kept::default(),
    )
    .expect("entered");
    assert!(
        entered.said.iter().any(|said| said.ends_with(": # by the lamp")),
        "{:?}",
        entered.said
    );
}

#[test]
fn a_reading_belongs_to_the_weigh_in_of_the_day_that_is_logged_with_it() {
    let two =
        format!("{JOB}{SHEET}weigh-in second \"Again\"; dated 2026-03-21; with hook; reads bumper to come\n");
    let log = "log bumper-off; done 2026-03-21";
    // Two wait for the bumper; one of them is of that day.
    assert_eq!(
        after(&two, &[log, "reads bumper 4.2 kg"]),
        format!(
            "{}\n{log}\n",
            two.replace(
                "with hook; reads bumper to come",
                "with hook; reads bumper 4.2 kg"
            )
        )
    );
    refused(&two, "reads bumper 4.2 kg", &["fits 2 blanks"]);
    // None waits for the grille; the sheet of the day takes it.
    assert_eq!(
        after(&two, &["reads grille 0.9 kg", log]),
        format!("{two}  reads grille 0.9 kg\n\n{log}\n")
    );
    let once = after(&two, &["reads grille 0.9 kg", log]);
    assert_eq!(after(&once, &["reads grille 0.9 kg", log]), once);
    // Days that differ tell nothing.
    let other = "log grille-off; done 2026-03-14";
    let files = [file("job.boltplan", two)];
    let told = entered_by(&files, &[log, other, "reads bumper 4.2 kg"], &Kept::default())
        .map(|(entered, _)| entered);
    assert!(told.expect_err("two days").contains("fits 2 blanks"));
}

#[test]
fn numbers_of_the_paper_become_names() {
    let mut kept = Kept::default();
    for (name, number) in [
        ("grille-off", "7"),
        ("bumper-off", "7a"),
        ("lamps-off", "9"),
        ("old-step", "11"),
    ] {
        kept.steps.insert(name.to_owned(), number.to_owned());
    }
    let files = [file("job.boltplan", JOB)];
    let (entered, done) = entered_by(&files, &["log 7 to 9; done 2026-03-07"], &kept).expect("entered");
    assert_eq!(
        texts(&done)[0].1,
        format!("{JOB}\nlog grille-off to lamps-off; done 2026-03-07\n")
    );
    assert!(
        entered
            .said
            .iter()
            .any(|said| said == "7 is `grille-off`, by the print in output."),
        "{:?}",
        entered.said
    );
    let (_, done) = entered_by(&files, &["log 7a; stopped 2026-03-07 after 9"], &kept).expect("entered");
    assert!(
        texts(&done)[0]
            .1
            .ends_with("log bumper-off; stopped 2026-03-07 after lamps-off\n")
    );
    let told = entered_by(&files, &["log 11; done 2026-03-07"], &kept).map(|(entered, _)| entered);
    assert!(told.expect_err("it is gone").contains("11 is `old-step`"));
    let told = entered_by(&files, &["log 12.1; done 2026-03-07"], &kept).map(|(entered, _)| entered);
    assert!(
        told.expect_err("it never was")
            .contains("no step has the number 12.1")
    );
    // Without a print the numbers are those of today: 2 is the second.
    let (entered, done) = entered_by(&files, &["log 2; done 2026-03-07"], &Kept::default()).expect("entered");
    assert!(texts(&done)[0].1.ends_with("\nlog bumper-off; done 2026-03-07\n"));
    assert!(
        entered.said[0].contains("as the plan stands today"),
        "{:?}",
        entered.said
    );
}

#[test]
fn a_letter_becomes_the_acts_own_words() {
    // The card of `bumper-off`: a measure, b undo, c take off, d weigh.
    let job = after(JOB, &["log bumper-off; stopped 2026-03-07 at act b"]);
    assert!(
        job.ends_with("log bumper-off; stopped 2026-03-07 at undo bumper-bolts\n"),
        "{job}"
    );
    refused(
        JOB,
        "log bumper-off; stopped 2026-03-07 at act k",
        &["letters a to d"],
    );
    // On paper b was something else: what the paper says counts, wherever it stands now.
    let mut kept = Kept::default();
    kept.steps.insert("bumper-off".to_owned(), "2".to_owned());
    let letters = [
        ("a", "undo bumper-bolts"),
        ("b", "take off bumper"),
        ("c", "photograph nose"),
    ];
    let letters = letters.map(|(letter, words)| (letter.to_owned(), words.to_owned()));
    kept.letters.insert("bumper-off".to_owned(), letters.to_vec());
    let files = [file("job.boltplan", JOB)];
    let (_, done) = entered_by(
        &files,
        &["log 2; stopped 2026-03-07 at act b waiting for \"foam\""],
        &kept,
    )
    .expect("entered");
    assert!(
        texts(&done)[0]
            .1
            .ends_with("log bumper-off; stopped 2026-03-07 at take off bumper waiting for \"foam\"\n")
    );
    let told = entered_by(&files, &["log 2; stopped 2026-03-07 at act c"], &kept).map(|(entered, _)| entered);
    assert!(told.expect_err("it is gone").contains("photograph nose"));
}

#[test]
fn a_diff_shows_what_changes_and_a_line_around_it() {
    let job = format!("{JOB}{SHEET}");
    let files = [file("job.boltplan", job)];
    let (entered, _) = entered_by(
        &files,
        &["reads bumper 4.2 kg", "log grille-off; done 2026-03-07"],
        &Kept::default(),
    )
    .expect("entered");
    let shown = entered.change.diff(&compiled(&files).sources);
    assert_eq!(
        shown,
        "--- job.boltplan
+++ job.boltplan
@@ -21,4 +21,6 @@
   dated 2026-03-14; with hook # the old scale
-  reads bumper to come \"with its foam\"
+  reads bumper 4.2 kg \"with its foam\"
   # both on one hook
   reads both lamps to come
+
+log grille-off; done 2026-03-07
"
    );
}

/// A plan in one or two files, its lines ending in one way or the other, with or without a log, a comment, a last line end.
#[derive(Debug, Clone)]
struct Shape {
    split: bool,
    crlf: bool,
    open: bool,
    tabs: bool,
    log: u8,
    comment: bool,
}

fn shape() -> impl Strategy<Value = Shape> {
    (
        any::<bool>(),
        any::<bool>(),
        any::<bool>(),
        any::<bool>(),
        0..4u8,
        any::<bool>(),
    )
        .prop_map(|(split, crlf, open, tabs, log, comment)| Shape {
            split,
            crlf,
            open,
            tabs,
            log,
            comment,
        })
}

fn files_of(shape: &Shape) -> Vec<(String, String)> {
    let log = match shape.log {
        0 => "",
        1 => "log grille-off; done 2026-03-07 by ada; took 20 min   # Saturday\n",
        2 => "log grille-off\n  done 2026-03-07 by ada\n  note Hands full.\n    Of rust.\n\n  # and more\n\n",
        _ => "log grille-off to bumper-off\n  found \"a crack\"\n",
    };
    let comment = if shape.comment {
        "# the end;   of it \u{e4}\n"
    } else {
        ""
    };
    let dress = |text: String| {
        let mut text = if shape.tabs {
            text.replace("\n  ", "\n\t")
        } else {
            text
        };
        if shape.open {
            text = text.trim_end_matches('\n').to_owned();
        }
        if shape.crlf {
            text.replace('\n', "\r\n")
        } else {
            text
        }
    };
    if shape.split {
        vec![
            file("job.boltplan", dress(JOB.to_owned())),
            file("weighed.boltplan", dress(format!("{SHEET}{log}{comment}"))),
        ]
    } else {
        vec![file("job.boltplan", dress(format!("{JOB}{log}{SHEET}{comment}")))]
    }
}

const ENTRIES: &[&str] = &[
    "log grille-off; done 2026-03-07 by ada; took 25 min",
    "log grille-off; done 2026-03-07 by ada\n",
    "log bumper-off; done 2026-03-08; broke 1 of bumper-bolts; found \"sheared; # flush\"",
    "log 3; done 2026-03-08\n  # two lines\n  found \"a clip gone\"",
    "log grille-off to bumper-off; lost 1 of grille-screws",
    "log lamps-on; stopped 2026-03-09 at act b waiting for tom",
    "reads bumper 4.2 kg",
    "reads lamp-left, lamp-right 1.9 kg",
    "measure gap 4.5 mm",
    "weigh-in sheet; reads grille 0.9 kg \"wet\"",
    "weigh-in late \"Later\"\n  dated 2026-03-20\n  reads grille 0.9 kg\n",
    "accept log-gap for grille-off because \"done in winter\"",
];

/// Lines that an entry may bring, by their words alone; numbers and letters as they come out.
fn may_stand(line: &str, entries: &[&str]) -> bool {
    let plain = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let line = plain(line);
    let given = entries.iter().flat_map(|entry| {
        let whole = entry
            .replace("log 3;", "log lamps-off;")
            .replace("at act b", "at start lamp-clip-right");
        let mut lines: Vec<String> = whole.lines().map(plain).collect();
        lines.extend(whole.split([';', '\n']).map(plain));
        lines
    });
    line.is_empty() || given.into_iter().any(|given| given == line)
}

/// What of an old text is not in the new one, line by line, but for a blank that was filled and lines that the entries brought.
fn lost(old: &str, new: &str, entries: &[&str]) -> Option<String> {
    let ends = if old.contains("\r\n") { "\r\n" } else { "\n" };
    let mut new_lines = new.split_inclusive('\n').peekable();
    let old_lines: Vec<&str> = old.split_inclusive('\n').collect();
    for (nth, line) in old_lines.iter().enumerate() {
        loop {
            let Some(next) = new_lines.next() else {
                return Some(format!("{line:?} is gone"));
            };
            let last = nth + 1 == old_lines.len() && !line.ends_with('\n');
            let filled = line.split_once("to come").is_some_and(|(before, behind)| {
                next.starts_with(before)
                    && next.trim_end().ends_with(behind.trim_end())
                    && !next.contains("to come")
            });
            // A text that was open goes on with a line end.
            if next == *line || filled || (last && next == format!("{line}{ends}")) {
                break;
            }
            if !may_stand(next, entries) {
                return Some(format!("{next:?} stands for {line:?}"));
            }
            if next.ends_with('\n') && !next.ends_with(ends) {
                return Some(format!("{next:?} ends otherwise"));
            }
        }
    }
    let more = new_lines.find(|line| !may_stand(line, entries));
    if let Some(line) = more {
        return Some(format!("{line:?} was not given"));
    }
    (old.ends_with('\n') != new.ends_with('\n')).then(|| "the last line end differs".to_owned())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn the_text_outside_of_what_is_entered_stays_to_the_byte(
        shape in shape(),
        chosen in prop_oneof![subsequence(ENTRIES.to_vec(), 1..4), Just(ENTRIES.to_vec()).prop_shuffle().prop_map(|all| all[..3].to_vec())],
    ) {
        let files = files_of(&shape);
        let (entered, done) = entered_by(&files, &chosen, &Kept::default())
            .unwrap_or_else(|why| panic!("{why}\n{files:#?}\n{chosen:#?}"));
        let new = texts(&done);
        for (name, old) in &files {
            let (_, text) = new.iter().find(|(other, _)| other == name).expect("no file goes");
            let wrong = lost(old, text, &chosen);
            assert!(wrong.is_none(), "{}\n{old}\n---\n{text}\n{chosen:#?}", wrong.unwrap_or_default());
        }
        for (name, text) in &new {
            let known = files.iter().any(|(other, _)| other == name);
            assert!(known || name == "log.boltplan", "{name}");
            // Nothing of what was given is lost either.
            assert_eq!(name == "log.boltplan", !known, "{text}");
        }
        let whole: String = new.iter().map(|(_, text)| text.replace('\r', "")).collect();
        for entry in &chosen {
            for statement in entry.split(';').skip(1).flat_map(str::lines).map(str::trim) {
                let known = ["sheared", "# flush\"", "stopped", "# two lines"].iter().any(|part| statement.contains(part));
                assert!(known || whole.contains(statement), "{statement} of {entry:?} is lost\n{whole}");
            }
        }
        let again = entered_by(&new, &chosen, &Kept::default()).map(|(entered, _)| entered);
        let again = again.unwrap_or_else(|why| panic!("{why}\n{new:#?}\n{chosen:#?}"));
        assert!(again.change.is_empty(), "{again:#?}\n{entered:#?}\n{new:#?}");
    }
}

/// Whether every line of the old text stands in the new one, in order; a blank may be filled.
fn keeps(old: &str, new: &str) -> bool {
    let mut lines = new.lines();
    old.lines().all(|line| {
        lines.any(|next| {
            let filled = line
                .split_once("to come")
                .is_some_and(|(before, _)| next.starts_with(before));
            next == line || filled
        })
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn whatever_is_given_is_entered_or_refused_and_no_line_is_lost(
        pieces in proptest::collection::vec(
            prop_oneof![
                proptest::sample::select(vec![
                    "log ", "grille-off", "bumper-off", " to ", ", ", "; ", "\n", "  ", "done 2026-03-07", " by ada", "\"", "# x", "reads ",
                    "bumper ", "4 kg", "note ", "stopped 2026-03-07 ", "at act b", "at undo bumper-bolts", "after 3", "weigh-in ", "sheet", "\r\n",
                    "to come", "accept log-gap because \"x\"", "step grille-off", "measure gap 4 mm", "broke 1 of ", "bumper-bolts", "1.2", "\t",
                    "waiting for tom", "both lamps", "corners", "\u{feff}", "(",
                ]).prop_map(str::to_owned),
                "\\PC{0,3}",
            ],
            1..12,
        ),
        start in proptest::sample::select(vec!["", "log grille-off; done 2026-03-07; ", "log bumper-off\n  ", "log 3; found \"a\"\n# b\n", "weigh-in sheet; ", "reads bumper 4.2 kg\n"]),
        end in proptest::sample::select(vec!["", "\n", "part x \"X\",\n", "note a\n  b", "# c", "log grille-off\n  note x\n     y\n", "reads \"", "log grille-off,", "\tlook"]),
    ) {
        let entry = format!("{start}{}", pieces.concat());
        let files = [file("job.boltplan", format!("{JOB}{SHEET}{end}"))];
        if let Ok((entered, done)) = entered_by(&files, &[&entry], &Kept::default()) {
            let new = texts(&done);
            assert!(keeps(&files[0].1, &new[0].1), "{entry:?}\n{}", new[0].1);
            // The diff shows a line for each that is new.
            let added = entered.change.diff(&compiled(&files).sources);
            assert_eq!(added.is_empty(), entered.change.is_empty(), "{added}");
            let again = entered_by(&new, &[&entry], &Kept::default()).map(|(entered, _)| entered);
            let again = again.unwrap_or_else(|why| panic!("{why}\n{entry:?}\n{}", new[0].1));
            assert!(again.change.is_empty(), "{entry:?}\n{}\n{:?}", new[0].1, again.change);
        }
    }
}
