//! Reads a plan's files, and those of the workshop that it names. Knows files only: what is in them is text.

use std::collections::BTreeSet;
use std::fs::File;
use std::io::Read;
use std::path::{Component, Path, PathBuf};

use walkdir::WalkDir;

use super::Trouble;
use super::talk::reason;
use crate::base::source::Source;

/// The ending of plan files.
pub(super) const ENDING: &str = "boltplan";

/// Largest file, and largest sum of files, that is read.
const LARGEST: u64 = if (Source::LARGEST as u64) < 1 << 30 {
    Source::LARGEST as u64
} else {
    1 << 30
};

/// Entries of a folder that are looked at before it is taken for the wrong folder.
const MOST_ENTRIES: usize = 200_000;

/// A plan's texts as they were on the disk.
#[derive(Debug)]
pub(super) struct PlanFiles {
    pub(super) sources: Vec<Source>,
    /// How each source is reached from where the command was given.
    pub(super) reached: Vec<String>,
    /// Where each source lies on the disk; nowhere for standard input.
    pub(super) disk: Vec<Option<PathBuf>>,
    /// The plan's folder, without links: pictures are read inside it alone.
    pub(super) root: PathBuf,
    /// What sources' paths begin with, up to the plan's folder: `ouzel-front/`, or nothing for one file.
    pub(super) before: String,
    /// The folder's or file's own name, without an ending.
    pub(super) name: String,
}

/// The text that stands for a file, where there is one.
type Over<'a> = dyn Fn(&Path) -> Option<String> + 'a;

/// A file that was found, before it is read.
struct Found {
    disk: PathBuf,
    shown: String,
    reached: String,
    shared: bool,
}

/// Reads what the command names: a folder, one file, or `-` for standard input. `workshop_named` tells which
/// folder the texts name as their workshop.
pub(super) fn read(
    path: &Path,
    workshop_named: &dyn Fn(&[Source]) -> Option<String>,
) -> Result<PlanFiles, Trouble> {
    read_over(path, workshop_named, &|_| None, &[])
}

/// The same, with texts that stand for what lies on the disk, and with files of the plan's folder that do not lie there yet.
pub(super) fn read_over(
    path: &Path,
    workshop_named: &dyn Fn(&[Source]) -> Option<String>,
    over: &Over<'_>,
    more: &[PathBuf],
) -> Result<PlanFiles, Trouble> {
    let mut files = Vec::new();
    let mut disk = Vec::new();
    let folder = if path == Path::new("-") {
        PathBuf::from(".")
    } else {
        let about = std::fs::metadata(path).map_err(|error| {
            Trouble::new(format!("{} cannot be read: {}.", path.display(), reason(&error)))
        })?;
        if about.is_dir() {
            path.to_owned()
        } else {
            match path.parent() {
                Some(parent) if parent != Path::new("") => parent.to_owned(),
                _ => PathBuf::from("."),
            }
        }
    };
    let root = folder.canonicalize().map_err(|error| {
        Trouble::new(format!(
            "{} cannot be read: {}.",
            folder.display(),
            reason(&error)
        ))
    })?;
    let whole_folder = folder == path;
    let inside = plans_inside(path);
    if let [first, .., last] = inside.as_slice() {
        return Err(Trouble::new(format!(
            "{} holds {} plans, each in a folder of its own, from {} to {}. Name one of them.",
            path.display(),
            inside.len(),
            first.display(),
            last.display()
        )));
    }
    let (name, before) = if whole_folder {
        let name = own_name(&root);
        (name.clone(), format!("{name}/"))
    } else {
        let stem = path.file_stem().map(|stem| stem.to_string_lossy().into_owned());
        (
            stem.filter(|stem| stem != "-")
                .unwrap_or_else(|| "plan".to_owned()),
            String::new(),
        )
    };

    let mut sources = Vec::new();
    let mut left = LARGEST;
    if path == Path::new("-") {
        let bytes = bytes_of(&mut std::io::stdin().lock(), "standard input", &mut left)?;
        sources.push(Source::from_bytes("standard input", bytes, false));
        files.push("standard input".to_owned());
        disk.push(None);
    } else if whole_folder {
        let mut found = plan_files(path, &root, &before, false)?;
        found.extend(more.iter().map(|file| Found {
            disk: file.clone(),
            shown: format!("{before}{}", slashed(file.strip_prefix(&root).unwrap_or(file))),
            reached: slashed(file),
            shared: false,
        }));
        found.sort_by(|a, b| a.shown.cmp(&b.shown));
        if found.is_empty() {
            return Err(Trouble::new(format!(
                "No file in {} ends in .{ENDING}, so there is no plan to read. `boltfolio new {}` writes a small one.",
                path.display(),
                path.display()
            )));
        }
        disk.extend(found.iter().map(|file| Some(file.disk.clone())));
        read_all(found, over, &mut left, &mut sources, &mut files)?;
    } else {
        let shown = path.file_name().map(|name| name.to_string_lossy().into_owned());
        let found = Found {
            disk: path.to_owned(),
            shown: shown.unwrap_or_default(),
            reached: path.to_string_lossy().into_owned(),
            shared: false,
        };
        disk.push(Some(found.disk.clone()));
        read_all(vec![found], over, &mut left, &mut sources, &mut files)?;
    }

    if let Some(named) = workshop_named(&sources) {
        let plan = PlanFolder {
            folder: &folder,
            root: &root,
            before: &before,
        };
        add_workshop(&named, plan, over, &mut left, &mut sources, &mut files)?;
    }
    // Those of a workshop are the plan's to read alone.
    disk.resize(sources.len(), None);
    Ok(PlanFiles {
        sources,
        disk,
        reached: files,
        root,
        before,
        name,
    })
}

/// The plans that are meant by these paths: a folder that holds plans in folders of their own, and no file itself, stands for each of them.
pub(super) fn each_plan(paths: &[PathBuf]) -> Vec<PathBuf> {
    paths
        .iter()
        .flat_map(|path| {
            let inside = plans_inside(path);
            if inside.len() > 1 {
                inside
            } else {
                vec![path.clone()]
            }
        })
        .collect()
}

/// Folders with a plan block each, below one that holds no plan's file itself.
fn plans_inside(path: &Path) -> Vec<PathBuf> {
    let files = if path.is_dir() { plan_paths(path) } else { None };
    let mut homes: Vec<PathBuf> = Vec::new();
    for file in files.unwrap_or_default() {
        let Some(home) = file.parent() else { continue };
        if home == path {
            return Vec::new();
        }
        let plan = text(&file).is_some_and(|text| names_plan(&text));
        if plan && !homes.iter().any(|known| home.starts_with(known)) {
            homes.push(home.to_owned());
        }
    }
    homes
}

/// Whether a text has a block that says what the job is.
pub(super) fn names_plan(text: &str) -> bool {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    text.lines().any(|line| {
        line.strip_prefix("plan")
            .is_some_and(|rest| rest.starts_with([' ', '\t']))
    })
}

/// What a file is that no plan can be read from, by its first bytes.
fn what_it_is(bytes: &[u8]) -> Option<&'static str> {
    const SIGNS: &[(&[u8], &str)] = &[
        (
            b"%PDF-",
            "a PDF: a binder is printed from a plan, and is not read back",
        ),
        (b"PK\x03\x04", "an archive or an office document"),
        (b"\x89PNG", "a picture"),
        (b"\xff\xd8\xff", "a picture"),
        (b"\x1f\x8b", "a packed file"),
        (b"\x7fELF", "a program"),
    ];
    let known = SIGNS.iter().find(|(sign, _)| bytes.starts_with(sign));
    known.map(|(_, what)| *what)
}

/// Whether a file is one of a plan by its name.
pub(super) fn is_plan_file(path: &Path) -> bool {
    path.extension().is_some_and(|ending| ending == ENDING)
}

/// All plan files below a folder; none where it holds so much that it is hardly a plan's.
pub(super) fn plan_paths(folder: &Path) -> Option<Vec<PathBuf>> {
    const MOST: usize = 5_000;
    let walk = WalkDir::new(folder)
        .into_iter()
        .filter_entry(|entry| entry.depth() == 0 || !entry.file_name().as_encoded_bytes().starts_with(b"."));
    let mut all = Vec::new();
    for (number, entry) in walk.enumerate() {
        if number > MOST {
            return None;
        }
        // What cannot be looked into is told when the plan is read.
        let Ok(entry) = entry else { continue };
        if is_plan_file(entry.path()) && entry.file_type().is_file() {
            all.push(entry.into_path());
        }
    }
    all.sort();
    Some(all)
}

/// The text of a small file, as far as it is one.
pub(super) fn text(path: &Path) -> Option<String> {
    let short = std::fs::metadata(path).is_ok_and(|about| about.is_file() && about.len() <= LARGEST);
    short
        .then(|| std::fs::read(path).ok())
        .flatten()
        .map(|bytes| String::from_utf8_lossy(&bytes).into_owned())
}

/// Whether numbers of an earlier print lie in a folder.
pub(super) fn has_numbers(folder: &Path) -> bool {
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    entries
        .take(1_000)
        .any(|entry| entry.path().extension().is_some_and(|ending| ending == "numbers"))
}

fn own_name(root: &Path) -> String {
    root.file_name()
        .map_or_else(|| "plan".to_owned(), |name| name.to_string_lossy().into_owned())
}

/// The plan's own folder: as it was named, without links, and what paths of its files begin with.
#[derive(Clone, Copy)]
struct PlanFolder<'a> {
    folder: &'a Path,
    root: &'a Path,
    before: &'a str,
}

fn add_workshop(
    named: &str,
    plan: PlanFolder<'_>,
    over: &Over<'_>,
    left: &mut u64,
    sources: &mut Vec<Source>,
    files: &mut Vec<String>,
) -> Result<(), Trouble> {
    let PlanFolder { folder, root, before } = plan;
    let place = place_of(named, sources).map_or_else(String::new, |place| format!("{place}: "));
    let named = named.trim_end_matches('/');
    if Path::new(named).is_absolute() {
        return Err(Trouble::new(format!(
            "{place}the workshop folder `{named}` is given from the top of this computer's disk. Write its way \
             from the plan's folder, such as `workshop \"../our-workshop\"`."
        )));
    }
    let disk = folder.join(named);
    let canonical = disk.canonicalize().map_err(|error| {
        Trouble::new(format!(
            "{place}the workshop folder `{named}` cannot be read: {}. It was looked for at {}. Mend the path in the \
             plan, or take the line out.",
            reason(&error),
            disk.display()
        ))
    })?;
    if !canonical.is_dir() {
        return Err(Trouble::new(format!(
            "{place}the workshop `{named}` is a file, and has to be a folder. Write the folder that the file lies in."
        )));
    }
    if let Ok(inside) = canonical.strip_prefix(root) {
        // Read already, as part of the plan's folder; now it is known to be shared.
        let prefix = format!("{before}{}/", slashed(inside));
        if inside.as_os_str().is_empty() || sources.iter().any(|source| source.path().starts_with(&prefix)) {
            for source in sources.iter_mut().filter(|_| !inside.as_os_str().is_empty()) {
                // One that is no text is left out by the compiler, shared or not.
                if source.path().starts_with(&prefix) && source.broken().is_none() {
                    *source = Source::new(source.path().to_owned(), source.text().to_owned(), true);
                }
            }
            return Ok(());
        }
    }
    let mut found = plan_files(&disk, &canonical, &format!("{named}/"), true)?;
    // The plan's folder may lie inside its workshop's: what is the plan's stays the plan's.
    found.retain(|file| {
        file.disk
            .canonicalize()
            .map_or(true, |file| !file.starts_with(root))
    });
    if found.is_empty() {
        return Err(Trouble::new(format!(
            "{place}no file in the workshop folder `{named}` ends in .{ENDING}. Mend the path in the plan, or take \
             the line out."
        )));
    }
    read_all(found, over, left, sources, files)
}

/// `path:line` of the statement that names the workshop.
fn place_of(named: &str, sources: &[Source]) -> Option<String> {
    let quoted = format!("\"{named}\"");
    sources.iter().find_map(|source| {
        let line = source
            .text()
            .lines()
            .position(|line| line.contains("workshop") && line.contains(&quoted))?;
        Some(format!("{}:{}", source.path(), line + 1))
    })
}

/// All plan files in a folder, in order of their paths. Hidden ones are passed over, and so are links to
/// folders: what lies in the plan's folder is found without them, and what lies elsewhere is not the plan's.
fn plan_files(folder: &Path, root: &Path, before: &str, shared: bool) -> Result<Vec<Found>, Trouble> {
    let mut found = Vec::new();
    let mut seen = BTreeSet::new();
    let walk = WalkDir::new(folder)
        .into_iter()
        .filter_entry(|entry| entry.depth() == 0 || !entry.file_name().as_encoded_bytes().starts_with(b"."));
    for (number, entry) in walk.enumerate() {
        if number > MOST_ENTRIES {
            return Err(Trouble::new(format!(
                "{} holds more than {MOST_ENTRIES} files and folders; that is hardly one plan. Name the plan's own \
                 folder.",
                folder.display()
            )));
        }
        let entry = entry.map_err(|error| {
            let place = error.path().unwrap_or(folder).display().to_string();
            let why = error
                .io_error()
                .map_or_else(|| "it leads back into itself".to_owned(), reason);
            Trouble::new(format!("{place} cannot be read: {why}."))
        })?;
        let path = entry.path();
        if entry.depth() == 0 || path.extension().is_none_or(|ending| ending != ENDING) {
            continue;
        }
        let kind = std::fs::metadata(path).map_err(|error| {
            Trouble::new(format!(
                "{} cannot be read: {}. Mend the link, or take it away.",
                path.display(),
                reason(&error)
            ))
        })?;
        if !kind.is_file() {
            continue;
        }
        let real = path.canonicalize().map_err(|error| {
            Trouble::new(format!("{} cannot be read: {}.", path.display(), reason(&error)))
        })?;
        if entry.path_is_symlink() && !real.starts_with(root) {
            return Err(Trouble::new(format!(
                "{} is a link to {}, outside the folder {}, and nothing is read from there. Copy the file into the \
                 folder, or name the other folder with `workshop`.",
                path.display(),
                real.display(),
                folder.display()
            )));
        }
        if !seen.insert(real) {
            continue;
        }
        let inside = path.strip_prefix(folder).unwrap_or(path);
        if inside.to_str().is_none() {
            return Err(Trouble::new(format!(
                "The name of {} is not UTF-8, and findings could not name it. Rename the file.",
                path.display()
            )));
        }
        found.push(Found {
            disk: path.to_owned(),
            shown: format!("{before}{}", slashed(inside)),
            reached: slashed(path),
            shared,
        });
    }
    found.sort_by(|a, b| a.shown.cmp(&b.shown));
    Ok(found)
}

/// A path with `/` between folders, dots for the current folder left out, and steps back taken where a name
/// stands before them.
fn slashed(path: &Path) -> String {
    let mut pieces: Vec<String> = Vec::new();
    let mut top = "";
    for piece in path.components() {
        match piece {
            Component::RootDir => top = "/",
            Component::CurDir => {}
            Component::ParentDir if pieces.last().is_some_and(|last| last != "..") => {
                pieces.pop();
            }
            other => pieces.push(other.as_os_str().to_string_lossy().into_owned()),
        }
    }
    format!("{top}{}", pieces.join("/"))
}

fn read_all(
    found: Vec<Found>,
    over: &Over<'_>,
    left: &mut u64,
    sources: &mut Vec<Source>,
    files: &mut Vec<String>,
) -> Result<(), Trouble> {
    for file in found {
        if let Some(text) = over(&file.disk) {
            sources.push(Source::new(file.shown, text, file.shared));
            files.push(file.reached);
            continue;
        }
        let mut open = File::open(&file.disk)
            .map_err(|error| Trouble::new(format!("{} cannot be read: {}.", file.reached, reason(&error))))?;
        // A huge file is refused before it is read; what is no plain file tells no size.
        if open
            .metadata()
            .is_ok_and(|about| about.is_file() && about.len() > *left)
        {
            return Err(too_large(&file.reached));
        }
        let bytes = bytes_of(&mut open, &file.reached, left)?;
        if !is_plan_file(&file.disk)
            && let Some(what) = what_it_is(&bytes)
        {
            return Err(Trouble::new(format!(
                "{} is {what}. Plans are text, in files that end in .{ENDING}: name such a file, or the folder that they lie in.",
                file.reached
            )));
        }
        sources.push(Source::from_bytes(file.shown, bytes, file.shared));
        files.push(file.reached);
    }
    Ok(())
}

/// The whole of a stream. `left` is what may still be read for this plan.
fn bytes_of(from: &mut dyn Read, place: &str, left: &mut u64) -> Result<Vec<u8>, Trouble> {
    let mut bytes = Vec::new();
    from.take(*left + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| Trouble::new(format!("{place} cannot be read: {}.", reason(&error))))?;
    let size = bytes.len() as u64;
    if size > *left {
        return Err(too_large(place));
    }
    *left -= size;
    Ok(bytes)
}

fn too_large(place: &str) -> Trouble {
    Trouble::new(format!(
        "{place} is too large: the files of one plan may hold 1 GiB together. Is it a plan? If so, split the job \
         into several plans."
    ))
}

#[cfg(test)]
mod tests {
    use super::slashed;
    use std::path::Path;

    #[test]
    fn paths_are_shown_with_slashes_and_without_detours() {
        for (given, shown) in [
            ("./a/b", "a/b"),
            ("specs/ouzel/../our-workshop/x", "specs/our-workshop/x"),
            ("../../a", "../../a"),
            ("/a/./b", "/a/b"),
        ] {
            assert_eq!(slashed(Path::new(given)), shown);
        }
    }
}
