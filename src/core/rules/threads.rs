//! Threads, marks and drives of fixings: which of them do not exist, and which spanner does not fit. Knows joints as declared, no step.

use std::collections::BTreeMap;

use super::torques::marking;
use super::{joined, odd_heads, rule};
use crate::base::finding::Finding;
use crate::base::source::Span;
use crate::plan::model;
use crate::plan::model::{Drive, DriveKind, Fixing, FixingKind, Id, Joint, Plan};
use crate::reckon::amounts::{INCH, Millimetres};
use crate::reckon::spanner::{
    HexSeries, InchSeries, KeySeries, goes_on, hexalobular, hexalobular_apart, hexalobular_of, inch_keys,
    inch_size,
};
use crate::reckon::thread::{self, Listed, Thread};

rule!(
    UNKNOWN_THREAD,
    "unknown-thread",
    Doubt,
    true,
    "A fixing has a thread that no standard lists: a size or a pitch that there is not."
);
rule!(
    UNKNOWN_CLASS,
    "unknown-class",
    Doubt,
    true,
    "A fixing has a property class or grade that its kind of fixing never carries."
);
rule!(
    WRONG_SPANNER,
    "wrong-spanner",
    Doubt,
    true,
    "A spanner, key or bit does not fit the thread's size in any series of heads."
);
rule!(
    THREAD_NOT_ENGAGED,
    "thread-not-engaged",
    Doubt,
    true,
    "A thread is engaged over less than it takes to bear what the fixing bears."
);

/// Nuts above this thread size belong to hubs and shafts, and have whatever flats their maker chose.
const LARGEST_ORDINARY_NUT: f64 = 16.5;

/// The thread as it can be reckoned, its pitch the coarse one where none is said; none where it is no thread.
#[must_use]
pub fn reckoned(written: &model::Thread) -> Option<Thread> {
    match written {
        model::Thread::Metric { diameter, pitch, .. } => match pitch {
            Some(pitch) => Thread::metric(Millimetres(*diameter), Millimetres(*pitch)),
            None => Thread::metric_coarse(Millimetres(*diameter)),
        }
        .ok(),
        model::Thread::Unified {
            diameter, per_inch, ..
        } => {
            let per_inch = per_inch.or_else(|| thread::threads_an_inch(*diameter).0)?;
            Thread::unified(*diameter, per_inch).ok()
        }
    }
}

/// "M10 × 1.25", "3/8-16": without the length.
#[must_use]
pub fn designation(written: &model::Thread) -> String {
    match written {
        model::Thread::Metric { diameter, pitch, .. } => match pitch {
            Some(pitch) => format!("M{diameter} × {pitch}"),
            None => format!("M{diameter}"),
        },
        model::Thread::Unified { size, .. } => size.to_string(),
    }
}

/// Asks all rules of this file.
pub(super) fn check(plan: &Plan, findings: &mut Vec<Finding>) {
    let mut told: BTreeMap<Span, usize> = BTreeMap::new();
    // Sides, and joints with `same as`, share one statement: it is told once, with all their names.
    let mut once = |at: Span, joint: &Joint, finding: &dyn Fn() -> Finding, findings: &mut Vec<Finding>| {
        let name = joint.head.name.to_string();
        if let Some(told) = told.get(&at).and_then(|&nth| findings.get_mut(nth)) {
            told.about.push(name);
        } else {
            told.insert(at, findings.len());
            findings.push(finding().about(name));
        }
    };
    for (id, joint) in plan.joints.iter() {
        for fixing in &joint.fixings {
            if let Some(wrong) = no_such_thread(joint, fixing) {
                once(fixing.at, joint, &|| unknown_thread(fixing, &wrong), findings);
                continue;
            }
            if let Some(class) = fixing
                .class
                .as_ref()
                .filter(|class| unknown_mark(fixing, &class.value))
            {
                once(
                    class.at,
                    joint,
                    &|| unknown_class(fixing, &class.value, class.at),
                    findings,
                );
            }
        }
        for drive in &joint.drives {
            if let Some(fits) = misfit(plan, id, drive) {
                once(drive.at, joint, &|| wrong_spanner(joint, drive, &fits), findings);
            }
        }
        if let Some(short) = not_engaged(joint) {
            once(short.at, joint, &|| engagement(joint, &short), findings);
        }
    }
    odd_heads::check(plan, &told, findings);
}

/// What is wrong with a thread.
enum NoThread {
    Size,
    Pitch,
}

fn no_such_thread(joint: &Joint, fixing: &Fixing) -> Option<NoThread> {
    let line = joint.kind.value.is_line() || !joint.opens.is_empty();
    let listed = match &fixing.thread {
        model::Thread::Metric { diameter, pitch, .. } => match pitch {
            Some(pitch) => thread::listed_metric(Millimetres(*diameter), Millimetres(*pitch)),
            None if thread::coarse_pitch(Millimetres(*diameter)).is_some() => Listed::Coarse,
            None => Listed::NoSuchSize,
        },
        model::Thread::Unified {
            diameter, per_inch, ..
        } => match per_inch {
            Some(per_inch) if line && thread::listed_pipe(*diameter, *per_inch) => Listed::Special,
            Some(per_inch) => thread::listed_unified(*diameter, *per_inch),
            None if thread::threads_an_inch(*diameter).0.is_some() => Listed::Coarse,
            None => Listed::NoSuchSize,
        },
    };
    match listed {
        Listed::OtherPitch => Some(NoThread::Pitch),
        Listed::NoSuchSize => Some(NoThread::Size),
        _ => None,
    }
}

fn unknown_thread(fixing: &Fixing, wrong: &NoThread) -> Finding {
    let size = designation(&fixing.thread);
    let (what, known) = match (&fixing.thread, wrong) {
        (model::Thread::Metric { diameter, .. }, NoThread::Pitch) => {
            let d = Millimetres(*diameter);
            let pitches: Vec<String> = thread::coarse_pitch(d)
                .into_iter()
                .chain(thread::fine_pitches(d))
                .map(|pitch| format!("M{diameter}x{}", two_places(pitch.0)))
                .collect();
            (format!("there is no pitch {size}"), pitches)
        }
        (model::Thread::Metric { diameter, .. }, NoThread::Size) => {
            let near = thread::nearest_metric(Millimetres(*diameter));
            let near = near.into_iter().flatten().map(|near| format!("M{}", near.0));
            (format!("there is no thread {size}"), near.collect())
        }
        (
            model::Thread::Unified {
                size: written,
                diameter,
                ..
            },
            _,
        ) => {
            let (coarse, fine) = thread::threads_an_inch(*diameter);
            let diameter = written.split('-').next().unwrap_or(written);
            let known = [coarse, fine].into_iter().flatten();
            let known = known.map(|count| format!("{diameter}-{count}")).collect();
            (format!("there is no thread {size}"), known)
        }
    };
    let finding = Finding::new(&UNKNOWN_THREAD, what)
        .at(fixing.at, "in no table of ISO 261 or ASME B1.1")
        .harm("The new bolt that is ordered by this line does not come, or is run in across the old thread.");
    let special = "If it is a Whitworth thread or a maker's own, accept it and say so";
    if known.is_empty() {
        finding.mend(format!("Measure it again. {special}"))
    } else {
        finding.mend(format!("Perhaps {}? {special}", joined(&known, "or")))
    }
}

/// "1.5", "1.25": a pitch as a designation writes it.
fn two_places(pitch: f64) -> String {
    if (pitch - pitch.round()).abs() < 1e-9 {
        format!("{pitch:.1}")
    } else {
        format!("{pitch}")
    }
}

fn unknown_mark(fixing: &Fixing, mark: &str) -> bool {
    reckoned(&fixing.thread).is_some_and(|thread| marking(fixing.what, mark, thread).is_none())
}

fn unknown_class(fixing: &Fixing, mark: &str, at: Span) -> Finding {
    let nut = fixing.what == FixingKind::Nuts;
    let inch = matches!(fixing.thread, model::Thread::Unified { .. });
    let known = match (nut, inch) {
        (_, true) => "grade 2, 5 or 8",
        (true, false) => "class 5, 6, 8, 10 or 12, or A2-70",
        (false, false) => "class 4.6, 5.6, 5.8, 6.8, 8.8, 9.8, 10.9 or 12.9; stainless: A2-70, A4-80",
    };
    Finding::new(
        &UNKNOWN_CLASS,
        format!(
            "{} {} carry no mark {mark}",
            fixing.what.words(2),
            designation(&fixing.thread)
        ),
    )
    .at(
        at,
        "in no table of ISO 898 or ISO 3506, or SAE J429 for inch sizes",
    )
    .harm("Nobody can say what torque it bears, and the new one is ordered too soft.")
    .mend(format!("Read the mark on its head or face: {known}"))
}

/// Sizes that would fit, in words; none where the drive fits or cannot be judged.
fn misfit(plan: &Plan, id: Id<Joint>, drive: &Drive) -> Option<Vec<String>> {
    let joint = &plan.joints[id];
    let line = joint.kind.value.is_line();
    let plug = !joint.opens.is_empty() && joint.fixings.iter().all(|fixing| fixing.class.is_none());
    if drive.kind == DriveKind::Hexalobular {
        let number = drive.size.strip_prefix(['T', 'E'])?.parse::<u32>().ok()?;
        if drive.size.starts_with('T') && hexalobular(number).is_none() {
            return Some(vec![
                "a size of ISO 10664: T20, T25, T27, T30, T40, T45, T50, T55, T60".to_owned(),
            ]);
        }
    }
    if line || plug || plan.on_a_wheel(joint) || joint.fixings.is_empty() {
        return None;
    }
    let mut would: Vec<String> = Vec::new();
    for fixing in &joint.fixings {
        let wants_nut = fixing.what == FixingKind::Nuts || drive.kind == DriveKind::NutHead;
        let fits = match &fixing.thread {
            model::Thread::Metric { diameter, .. } => metric_fit(*diameter, drive, wants_nut),
            model::Thread::Unified { diameter, size, .. } => inch_fit(*diameter, size, drive),
        };
        match fits {
            // It fits this size, or this size cannot be judged.
            None => return None,
            Some(sizes) => would.extend(
                sizes
                    .into_iter()
                    .filter(|size| !would.contains(size))
                    .collect::<Vec<_>>(),
            ),
        }
    }
    Some(would)
}

/// Nothing if the drive fits this metric size, or there is no table to say so; else what would.
fn metric_fit(diameter: f64, drive: &Drive, nut: bool) -> Option<Vec<String>> {
    let d = Millimetres(diameter);
    let inch = drive
        .across
        .is_some_and(|across| across.unit().unit().symbol == "in");
    let fits = |size: Millimetres| {
        drive.across.is_some_and(|across| {
            let spanner = Millimetres(across.base());
            (spanner.0 - size.0).abs() < 0.01 || inch && goes_on(spanner, size)
        })
    };
    match drive.kind {
        DriveKind::Head | DriveKind::NutHead => {
            if nut && diameter > LARGEST_ORDINARY_NUT || HexSeries::Iso.across(d).is_none() {
                return None;
            }
            let sizes = HexSeries::ALL.map(|series| (series, series.across(d)));
            if sizes.iter().filter_map(|(_, size)| *size).any(fits) {
                return None;
            }
            let mut said: Vec<(f64, String)> = Vec::new();
            for (series, size) in sizes {
                let Some(size) = size else { continue };
                if said.iter().all(|(other, _)| (other - size.0).abs() > 0.01) {
                    said.push((size.0, format!("{} mm ({})", size.0, series_word(series))));
                }
            }
            Some(said.into_iter().map(|(_, words)| words).collect())
        }
        DriveKind::Key => {
            KeySeries::CapScrew.key(d)?;
            let sizes = KeySeries::ALL.map(|series| (series, series.key(d)));
            if sizes.iter().filter_map(|(_, size)| *size).any(fits) {
                return None;
            }
            let named = sizes
                .into_iter()
                .filter_map(|(series, size)| Some(format!("{} mm ({})", size?.0, key_word(series))));
            Some(named.collect())
        }
        DriveKind::Hexalobular => {
            let number = drive.size.strip_prefix('T')?.parse::<u32>().ok()?;
            let usual = hexalobular_of(d)?;
            // Heads lower than a cap screw's have the size below, button heads of car makers the one above.
            (hexalobular_apart(number, usual)? > 2).then(|| vec![format!("T{usual} (ISO 14579)")])
        }
        DriveKind::TripleSquare | DriveKind::DoubleSquare | DriveKind::Slotted | DriveKind::Cross => None,
    }
}

/// The same for an inch size.
fn inch_fit(diameter: f64, size: &str, drive: &Drive) -> Option<Vec<String>> {
    let across = Millimetres(drive.across?.base());
    let fits = |inches: f64| goes_on(across, inch_size(inches));
    let known: Vec<(f64, &str)> = match drive.kind {
        DriveKind::Head | DriveKind::NutHead => InchSeries::ALL
            .into_iter()
            .zip(["cap screw", "nut", "heavy"])
            .filter_map(|(series, word)| Some((series.across(diameter)?, word)))
            .collect(),
        DriveKind::Key => inch_keys(diameter).map(|key| (key, "socket screw")).collect(),
        DriveKind::Hexalobular
        | DriveKind::TripleSquare
        | DriveKind::DoubleSquare
        | DriveKind::Slotted
        | DriveKind::Cross => return None,
    };
    if known.is_empty() || known.iter().any(|(inches, _)| fits(*inches)) || size.is_empty() {
        return None;
    }
    let mut said: Vec<String> = Vec::new();
    for (inches, word) in known {
        let size = format!("{} in", sixty_fourths(inches));
        if said.iter().all(|other| !other.starts_with(&size)) {
            said.push(format!("{size} ({word})"));
        }
    }
    Some(said)
}

/// "7/16", "1 1/8".
fn sixty_fourths(inches: f64) -> String {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "flats are a few inches at most"
    )]
    let mut over = (inches * 64.0).round() as u32;
    let mut under = 64;
    while over.is_multiple_of(2) && under > 1 {
        over /= 2;
        under /= 2;
    }
    match (over / under, over % under) {
        (whole, 0) => format!("{whole}"),
        (0, rest) => format!("{rest}/{under}"),
        (whole, rest) => format!("{whole} {rest}/{under}"),
    }
}

fn series_word(series: HexSeries) -> &'static str {
    match series {
        HexSeries::Iso => "ISO",
        HexSeries::OldDin => "old DIN",
        HexSeries::SmallFlange => "small flange head",
        HexSeries::OldFlange => "old flange head",
        HexSeries::SmallJapanese => "small Japanese head",
        HexSeries::Structural => "structural",
    }
}

fn key_word(series: KeySeries) -> &'static str {
    match series {
        KeySeries::CapScrew => "cap screw",
        KeySeries::LowHead => "low head",
        KeySeries::Countersunk => "countersunk or button head",
        KeySeries::SetScrew => "set screw",
    }
}

fn wrong_spanner(joint: &Joint, drive: &Drive, fits: &[String]) -> Finding {
    let sizes: Vec<String> = joint
        .fixings
        .iter()
        .map(|fixing| designation(&fixing.thread))
        .fold(Vec::new(), |mut sizes, size| {
            if !sizes.contains(&size) {
                sizes.push(size);
            }
            sizes
        });
    let what = match drive.kind {
        DriveKind::Head => "spanner",
        DriveKind::NutHead => "nut spanner",
        other => other.row().tool.short_word(),
    };
    let on = if sizes.is_empty() {
        String::new()
    } else {
        format!(" on {}", joined(&sizes, "or"))
    };
    Finding::new(&WRONG_SPANNER, format!("no {what} {}{on}", drive.size))
        .at(drive.at, "no series of heads has it")
        .harm("The fitter lies below with the wrong socket, and rounds the head with the next one.")
        .mend(format!("Would fit: {}", fits.join(", ")))
}

/// An engagement that is too short, or longer than the fixing.
struct Short {
    at: Span,
    engaged: f64,
    diameter: f64,
    wanted: f64,
    size: String,
    longer_than: Option<f64>,
}

/// Over at least 0.8 d up to class 8.8 and the whole d above it, in steel; a soft metal wants twice that, which only the owner knows.
/// Common practice, no source.
fn not_engaged(joint: &Joint) -> Option<Short> {
    let said = joint.tightening.engagement.as_ref()?;
    let engaged = said.value.base();
    joint.fixings.iter().find_map(|fixing| {
        let thread = reckoned(&fixing.thread)?;
        let diameter = thread.diameter().0;
        let strong = fixing
            .class
            .as_ref()
            .is_some_and(|class| matches!(&*class.value, "10.9" | "12.9" | "10" | "12"));
        let wanted = if strong { diameter } else { 0.8 * diameter };
        let length = match fixing.thread {
            model::Thread::Metric { length, .. } => length,
            model::Thread::Unified { length, .. } => length.map(|inches| inches * INCH),
        };
        let longer_than = length.filter(|&length| engaged >= length);
        let short = engaged < wanted - 1e-9 || longer_than.is_some();
        short.then(|| Short {
            at: said.at,
            engaged,
            diameter,
            wanted,
            size: designation(&fixing.thread),
            longer_than,
        })
    })
}

fn engagement(joint: &Joint, short: &Short) -> Finding {
    let name = &joint.head.name;
    if let Some(length) = short.longer_than {
        return Finding::new(
            &THREAD_NOT_ENGAGED,
            format!("`{name}` is engaged over more than its whole length"),
        )
        .at(
            short.at,
            format!("the fixing is {length:.0} mm long, and goes through something first"),
        )
        .harm("One of the two figures is wrong, and the new bolt may be too short.")
        .mend("Measure both again");
    }
    Finding::new(
        &THREAD_NOT_ENGAGED,
        format!("`{name}` is engaged over too little of its thread"),
    )
    .at(
        short.at,
        format!(
            "{:.1} of the diameter; {} wants {:.0} mm or more in steel, twice that in light alloy",
            short.engaged / short.diameter,
            short.size,
            short.wanted.ceil()
        ),
    )
    .harm("The thread strips before the bolt is tight, or the first time that it is loaded.")
    .mend("Take a longer fixing, or measure again how far it turns in")
}
