//! `new`: writes the small plan that everybody begins from, or a rough one from a list of parts.

use std::path::Path;

use walkdir::WalkDir;

use super::command_line::{Kind, New};
use super::list;
use super::surroundings::Surroundings;
use super::talk::{self, reason};
use super::write::write_new;
use super::{Outcome, Trouble};
use crate::enter::rough;
use crate::press::terminal::visible;

fn starter(kind: Kind) -> &'static str {
    match kind {
        Kind::Car => include_str!("../../specs/starter/starter.boltplan"),
        Kind::Boat => include_str!("../../specs/starter-boat/starter.boltplan"),
        Kind::TwoWheeler => include_str!("../../specs/starter-two-wheeler/starter.boltplan"),
        Kind::Machine => include_str!("../../specs/starter-machine/starter.boltplan"),
    }
}

pub(super) fn new(asked: &New, around: &Surroundings) -> Result<Outcome, Trouble> {
    let dir = &asked.dir;
    without_plan(dir)?;
    let shown = visible(&dir.to_string_lossy());
    let Some(from) = &asked.from else {
        let path = write_new(dir, "plan.boltplan", starter(asked.kind).as_bytes())?;
        return talk::show(&format!(
            "{}\n`boltfolio lint {shown}` checks it, `boltfolio print {shown}` prints it.\n",
            visible(&path.to_string_lossy())
        ));
    };
    let listed = list::read(from)?;
    let called = dir
        .file_name()
        .map_or_else(|| "car".to_owned(), |name| name.to_string_lossy().into_owned());
    let rough = rough::plan(&called, &listed.called, &listed.heads, &listed.rows)
        .map_err(|why| Trouble::new(format!("{why} Nothing was written.")))?;
    let path = write_new(dir, "plan.boltplan", rough.text.as_bytes())?;
    talk::show(&format!("{}\n", visible(&path.to_string_lossy())))?;
    talk::sentence(
        &format!(
            "{}\n`boltfolio lint {shown}` tells what is still to be said.",
            rough.told()
        ),
        around,
    );
    Ok(Outcome::Clean)
}

/// Whether a plan can be begun in this folder.
fn without_plan(dir: &Path) -> Result<(), Trouble> {
    if dir.exists() {
        if !dir.is_dir() {
            return Err(Trouble::new(format!(
                "{} is a file, and the plan needs a folder. Give another name.",
                dir.display()
            )));
        }
        for entry in WalkDir::new(dir) {
            let entry = entry.map_err(|error| {
                let why = error
                    .io_error()
                    .map_or_else(|| "it leads back into itself".to_owned(), reason);
                Trouble::new(format!("{} cannot be looked through: {why}.", dir.display()))
            })?;
            if entry
                .path()
                .extension()
                .is_some_and(|ending| ending == "boltplan")
            {
                return Err(Trouble::new(format!(
                    "{} has a plan already: {}. Nothing was written. Give a folder without plans.",
                    dir.display(),
                    entry.path().display()
                )));
            }
        }
    }
    Ok(())
}
