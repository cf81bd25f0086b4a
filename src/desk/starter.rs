//! `new`: writes the small plan that everybody begins from.

use std::path::Path;

use walkdir::WalkDir;

use super::talk::{self, reason};
use super::write::write_new;
use super::{Outcome, Trouble};
use crate::press::terminal::visible;

const STARTER: &str = include_str!("../../specs/starter/starter.boltplan");

pub(super) fn new(dir: &Path) -> Result<Outcome, Trouble> {
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
    let path = write_new(dir, "plan.boltplan", STARTER.as_bytes())?;
    let shown = visible(&dir.to_string_lossy());
    talk::show(&format!(
        "{}\n`boltfolio lint {shown}` checks it, `boltfolio print {shown}` prints it.\n",
        visible(&path.to_string_lossy())
    ))
}
