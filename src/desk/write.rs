//! Writes what was printed: all files of a set or none, each whole. Keeps a record of what it wrote, so that
//! a file that somebody has changed since is left alone. Knows nothing of what is in the files.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io::{self, BufRead, Write};
use std::path::{Component, Path, PathBuf};

use tempfile::{NamedTempFile, TempPath};

use super::Trouble;
use super::printing::Sheet;
use super::talk::reason;

/// The record in an output folder: a hash and a path a line. A file may stand in it twice, while its old self
/// is being replaced.
const RECORD: &str = ".boltfolio-printed";

type Hashes = BTreeMap<String, BTreeSet<String>>;

/// What was written, and what was taken away.
#[derive(Debug)]
pub(super) struct Written {
    /// Where each sheet is, in their order.
    pub(super) at: Vec<PathBuf>,
    /// Files of an earlier print that this one no longer has.
    pub(super) gone: usize,
}

/// Writes sheets into a folder, which is made if need be. In the folders `whole` (inside it, by their paths) nothing of an earlier
/// print stays but what is among these sheets; what somebody changed or put there does.
///
/// # Errors
/// Where a file there is not ours or cannot be written; everything is then as it was before.
pub(super) fn write_all(to: &Path, sheets: &[Sheet], whole: &[String]) -> Result<Written, Trouble> {
    let to = if to == Path::new("") { Path::new(".") } else { to };
    let mut folders = Folders::default();
    let written = folders
        .make(to)
        .and_then(|()| set(to, sheets, whole, &mut folders));
    if written.is_err() {
        folders.take_back();
    }
    written
}

/// Writes one file into a folder, which is made if need be; a file of that name is left alone.
pub(super) fn write_new(dir: &Path, name: &str, bytes: &[u8]) -> Result<PathBuf, Trouble> {
    let dir = if dir == Path::new("") { Path::new(".") } else { dir };
    let mut folders = Folders::default();
    let path = dir.join(name);
    let written = folders.make(dir).and_then(|()| {
        let staged = stage(dir, bytes).map_err(|error| refused(&path, &error))?;
        staged
            .persist_noclobber(&path)
            .map_err(|error| refused(&path, &error.error))
    });
    match written {
        Ok(_) => {
            settle(&[dir]);
            Ok(path)
        }
        Err(trouble) => {
            folders.take_back();
            Err(trouble)
        }
    }
}

/// A file to be written anew: what it held when it was read, none where it was not there, and what it shall hold.
#[derive(Debug)]
pub(super) struct Rewrite {
    pub(super) path: PathBuf,
    pub(super) old: Option<Vec<u8>>,
    pub(super) new: Vec<u8>,
}

/// Writes all of these files or none, each whole, and none that was changed since it was read.
///
/// # Errors
/// Where one was changed meanwhile, may not be written, or cannot be; everything is then as it was before.
pub(super) fn rewrite(all: &[Rewrite]) -> Result<(), Trouble> {
    let mut moves = Vec::new();
    for one in all {
        let path = match &one.old {
            // Through a link to the file itself.
            Some(_) => one
                .path
                .canonicalize()
                .map_err(|error| refused(&one.path, &error))?,
            None => one.path.clone(),
        };
        unchanged(&path, one)?;
        let about = one.old.as_ref().map(|_| fs::metadata(&path)).transpose();
        let about = about.map_err(|error| refused(&one.path, &error))?;
        if about.as_ref().is_some_and(|about| about.permissions().readonly()) {
            return Err(Trouble::new(format!(
                "{} may only be read. Nothing was written. Mend its permissions.",
                one.path.display()
            )));
        }
        let step = Move::staged(&path, &one.new, one.old.is_some())?;
        if let Some(about) = about {
            fs::set_permissions(&step.new, about.permissions())
                .map_err(|error| refused(&one.path, &error))?;
        }
        moves.push(step);
    }
    // Prepared as a whole; now the names, if nobody was at the files meanwhile.
    for (step, one) in moves.iter().zip(all) {
        unchanged(&step.target, one)?;
    }
    let folders: Vec<PathBuf> = moves
        .iter()
        .filter_map(|step| step.target.parent().map(Path::to_owned))
        .collect();
    carry_out(moves)?;
    settle(&folders.iter().map(PathBuf::as_path).collect::<Vec<_>>());
    Ok(())
}

/// Whether a file holds, byte for byte, what was read from it.
fn unchanged(path: &Path, one: &Rewrite) -> Result<(), Trouble> {
    let now = match fs::read(path) {
        Ok(bytes) => Some(bytes),
        Err(error) if error.kind() == io::ErrorKind::NotFound => None,
        Err(error) => return Err(refused(&one.path, &error)),
    };
    if now == one.old {
        return Ok(());
    }
    Err(Trouble::new(format!(
        "{} was changed while this was worked out. Nothing was written. Give the command again.",
        one.path.display()
    )))
}

fn set(to: &Path, sheets: &[Sheet], whole: &[String], folders: &mut Folders) -> Result<Written, Trouble> {
    let record_path = to.join(RECORD);
    let known = recorded(&record_path);
    let inside = to.canonicalize().map_err(|error| refused(to, &error))?;
    let mut targets = Vec::new();
    let mut by_hand = Vec::new();
    let mut changed = Vec::new();
    for sheet in sheets {
        let path = to.join(relative(&sheet.path)?);
        let folder = path.parent().unwrap_or(to);
        folders.make(folder)?;
        let real = folder.canonicalize().map_err(|error| refused(folder, &error))?;
        if !real.starts_with(&inside) {
            return Err(Trouble::new(format!(
                "{} leads out of {}, and nothing is written outside it. Take the link away, or print into another \
                 folder.",
                folder.display(),
                to.display()
            )));
        }
        let hash = blake3::hash(&sheet.bytes).to_hex().to_string();
        match standing(&path).map_err(|error| refused(&path, &error))? {
            Standing::Nothing => changed.push((path.clone(), sheet, false)),
            Standing::File(there) if there == hash => {}
            Standing::File(there) if known.get(&sheet.path).is_some_and(|known| known.contains(&there)) => {
                changed.push((path.clone(), sheet, true));
            }
            Standing::File(_) | Standing::Other => by_hand.push(path.display().to_string()),
        }
        targets.push((path, sheet.path.clone(), hash));
    }
    if !by_hand.is_empty() {
        return Err(not_ours(&by_hand));
    }

    let mut during = known.clone();
    let mut after = known;
    for (_, path, hash) in &targets {
        during.entry(path.clone()).or_default().insert(hash.clone());
        after.insert(path.clone(), BTreeSet::from([hash.clone()]));
    }
    // The record first says what is coming, then what is there, so that a cut in the middle leaves no file
    // that looks changed by hand.
    let mut moves = vec![Move::staged(
        &record_path,
        record(&during).as_bytes(),
        record_path.exists(),
    )?];
    for (path, sheet, replaces) in changed {
        moves.push(Move::staged(&path, &sheet.bytes, replaces)?);
    }
    moves.push(Move::staged(&record_path, record(&after).as_bytes(), false)?);
    carry_out(moves)?;
    let gone = sweep(to, &inside, &targets, whole, after);
    let mut touched: Vec<&Path> = targets.iter().filter_map(|(path, ..)| path.parent()).collect();
    touched.push(to);
    touched.sort_unstable();
    touched.dedup();
    settle(&touched);
    Ok(Written {
        at: targets.into_iter().map(|(path, ..)| path).collect(),
        gone,
    })
}

type Target = (PathBuf, String, String);

/// Takes away what an earlier print left in folders that this one fills alone: unchanged since, and not among its own. Gives how many
/// went. The record tells of them until they are gone, and one that will not go stays in it.
fn sweep(to: &Path, inside: &Path, targets: &[Target], whole: &[String], mut known: Hashes) -> usize {
    let own: BTreeSet<&str> = targets.iter().map(|(_, path, _)| path.as_str()).collect();
    let before = known.len();
    known.retain(|path, hashes| {
        let within = whole.iter().any(|folder| {
            let below = path.strip_prefix(folder.as_str());
            below.is_some_and(|rest| rest.starts_with('/'))
        });
        if !within || own.contains(path.as_str()) {
            return true;
        }
        let Ok(name) = relative(path) else { return true };
        let file = to.join(name);
        let real = file.parent().and_then(|folder| folder.canonicalize().ok());
        let ours = matches!(standing(&file), Ok(Standing::File(hash)) if hashes.contains(&hash));
        let inside = real.is_some_and(|folder| folder.starts_with(inside));
        !(ours && inside && fs::remove_file(&file).is_ok())
    });
    let gone = before - known.len();
    if gone > 0 {
        // Where this fails, the record names files that are not there: no harm.
        let _ = Move::staged(&to.join(RECORD), record(&known).as_bytes(), false)
            .and_then(|told| carry_out(vec![told]));
    }
    gone
}

fn not_ours(paths: &[String]) -> Trouble {
    const SHOWN: usize = 5;
    let mut names = paths.iter().take(SHOWN).cloned().collect::<Vec<_>>().join(", ");
    if paths.len() > SHOWN {
        names.push_str(&format!(" and {} more", paths.len() - SHOWN));
    }
    let (was, it) = if paths.len() == 1 {
        ("was", "it")
    } else {
        ("were", "them")
    };
    Trouble::new(format!(
        "{names} {was} not printed by this program, or {was} changed by hand since. Nothing was written. Move {it} \
         away, or name another folder with `--to`."
    ))
}

fn refused(path: &Path, error: &io::Error) -> Trouble {
    Trouble::new(format!(
        "{} could not be written: {}. Nothing was changed there. Make room or mend its permissions, or name another \
         folder.",
        path.display(),
        reason(error)
    ))
}

/// A path that stays inside the folder that it is joined to.
fn relative(path: &str) -> Result<&Path, Trouble> {
    let inside = Path::new(path)
        .components()
        .all(|piece| matches!(piece, Component::Normal(_)));
    if inside && !path.is_empty() && path != RECORD {
        return Ok(Path::new(path));
    }
    Err(Trouble::new(format!(
        "`{path}` is no name for a file inside the output folder. Nothing was written."
    )))
}

/// What stands where a file is to be written.
enum Standing {
    Nothing,
    /// A file, by its hash.
    File(String),
    /// A folder, a link, a device.
    Other,
}

fn standing(path: &Path) -> io::Result<Standing> {
    match fs::symlink_metadata(path) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(Standing::Nothing),
        Err(error) => Err(error),
        Ok(about) if about.is_file() => {
            let mut hasher = blake3::Hasher::new();
            let mut file = io::BufReader::with_capacity(1 << 16, fs::File::open(path)?);
            loop {
                let piece = file.fill_buf()?;
                if piece.is_empty() {
                    break;
                }
                hasher.update(piece);
                let read = piece.len();
                file.consume(read);
            }
            Ok(Standing::File(hasher.finalize().to_hex().to_string()))
        }
        Ok(_) => Ok(Standing::Other),
    }
}

/// What the record knows. A record that is no text knows nothing: then files count as somebody's.
fn recorded(path: &Path) -> Hashes {
    let mut known = Hashes::new();
    let text = fs::read_to_string(path).unwrap_or_default();
    for (hash, path) in text
        .lines()
        .filter(|line| !line.starts_with('#'))
        .filter_map(|line| line.split_once("  "))
    {
        known.entry(path.to_owned()).or_default().insert(hash.to_owned());
    }
    known
}

fn record(hashes: &Hashes) -> String {
    let mut text =
        "# What boltfolio wrote here, by BLAKE3 hash. A file that differs is left alone.\n".to_owned();
    for (path, hashes) in hashes {
        for hash in hashes {
            text.push_str(&format!("{hash}  {path}\n"));
        }
    }
    text
}

/// A whole file beside its place, on the disk, not yet under its name.
fn stage(folder: &Path, bytes: &[u8]) -> io::Result<NamedTempFile> {
    let mut builder = named();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // As every other new file: the owner's mask takes from it.
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    let mut file = builder.tempfile_in(folder)?;
    file.write_all(bytes)?;
    file.flush()?;
    file.as_file().sync_all()?;
    Ok(file)
}

fn named() -> tempfile::Builder<'static, 'static> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".boltfolio-").suffix(".tmp");
    builder
}

/// One file about to take its name, and the old one kept under another until all have.
struct Move {
    target: PathBuf,
    new: TempPath,
    old: Option<TempPath>,
}

impl Move {
    fn staged(target: &Path, bytes: &[u8], replaces: bool) -> Result<Move, Trouble> {
        let folder = target.parent().unwrap_or(Path::new("."));
        let kept = |way: &dyn Fn(&Path) -> io::Result<()>| {
            named()
                .make_in(folder, |path| way(path))
                .map(|file| file.into_temp_path())
        };
        let staged = || -> io::Result<Move> {
            let new = stage(folder, bytes)?.into_temp_path();
            let old = if replaces {
                // Disks that know no second name for a file get a copy.
                let linked = kept(&|path| fs::hard_link(target, path));
                Some(linked.or_else(|_| kept(&|path| fs::copy(target, path).map(drop)))?)
            } else {
                None
            };
            Ok(Move {
                target: target.to_owned(),
                new,
                old,
            })
        };
        staged().map_err(|error| refused(target, &error))
    }
}

/// Gives every file its name. When one is refused, those before it get their old selves back.
fn carry_out(moves: Vec<Move>) -> Result<(), Trouble> {
    let mut done: Vec<(PathBuf, Option<TempPath>)> = Vec::new();
    for step in moves {
        match step.new.persist(&step.target) {
            Ok(()) => done.push((step.target, step.old)),
            Err(error) => {
                let trouble = refused(&step.target, &error.error);
                for (target, old) in done.into_iter().rev() {
                    // Nothing more can be done where even this is refused; the record knows both selves.
                    let _ = match old {
                        Some(old) => old.persist(&target).map_err(|error| error.error),
                        None => fs::remove_file(&target),
                    };
                }
                return Err(trouble);
            }
        }
    }
    Ok(())
}

/// Lets the new names reach the disk too. Not every system can; the files themselves are there already.
fn settle(folders: &[&Path]) {
    for folder in folders {
        let folder = if *folder == Path::new("") {
            Path::new(".")
        } else {
            folder
        };
        let _ = fs::File::open(folder).and_then(|folder| folder.sync_all());
    }
}

/// Folders that were made on the way, to be taken back when nothing comes to lie in them.
#[derive(Default)]
struct Folders {
    made: Vec<PathBuf>,
}

impl Folders {
    fn make(&mut self, folder: &Path) -> Result<(), Trouble> {
        let missing: Vec<PathBuf> = folder
            .ancestors()
            .take_while(|path| *path != Path::new("") && !path.exists())
            .map(Path::to_owned)
            .collect();
        for path in missing.into_iter().rev() {
            fs::create_dir(&path).map_err(|error| not_made(&path, &error))?;
            self.made.push(path);
        }
        if folder != Path::new("") && !folder.is_dir() {
            return Err(Trouble::new(format!(
                "{} is a file, and a folder is needed there. Move it away, or name another folder.",
                folder.display()
            )));
        }
        Ok(())
    }

    fn take_back(&self) {
        for path in self.made.iter().rev() {
            let _ = fs::remove_dir(path);
        }
    }
}

fn not_made(path: &Path, error: &io::Error) -> Trouble {
    Trouble::new(format!(
        "The folder {} could not be made: {}. Name another one.",
        path.display(),
        reason(error)
    ))
}

#[cfg(test)]
mod tests;
