//! Pictures from inside the plan's folder. Whatever leads out of it, by its spelling or through a link, is
//! not opened.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::Read;
use std::path::{Component, Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

use super::folder::PlanFiles;
use super::talk::reason;
use crate::base::picture::{PictureFile, PictureFound, PictureKind, Pictures};
use crate::press::pictures::look;

/// Largest picture that is read.
const LARGEST: u64 = 64 << 20;

/// A plan's folder as a place to find pictures in. A file is read once, however often it is asked for.
#[derive(Debug)]
pub(super) struct FolderPictures {
    root: PathBuf,
    before: String,
    known: Mutex<BTreeMap<String, PictureFound>>,
}

impl FolderPictures {
    pub(super) fn new(files: &PlanFiles) -> Self {
        Self {
            root: files.root.clone(),
            before: files.before.clone(),
            known: Mutex::new(BTreeMap::new()),
        }
    }

    /// Path inside the plan's folder of what a source names: beside the source first, then from the plan's
    /// folder.
    fn keys(&self, from: &str, file: &str) -> Vec<String> {
        let inside = from.strip_prefix(&self.before).unwrap_or(from);
        let beside = inside.rsplit_once('/').map_or("", |(folder, _)| folder);
        let mut keys: Vec<String> = [beside, ""]
            .iter()
            .filter_map(|folder| within(folder, file))
            .collect();
        keys.dedup();
        keys
    }

    fn load(&self, key: &str) -> PictureFound {
        let path = match self.root.join(key).canonicalize() {
            Ok(path) => path,
            Err(_) => return PictureFound::Missing,
        };
        if !path.starts_with(&self.root) {
            return PictureFound::Outside;
        }
        match read(&path) {
            Err(why) => PictureFound::NotAPicture(why),
            Ok(bytes) => match kind_of(&bytes) {
                None => PictureFound::NotAPicture(format!(
                    "it is {} long and no PNG, JPEG or SVG",
                    amount(bytes.len())
                )),
                Some(kind) => match look(&bytes, kind) {
                    Err(why) => PictureFound::NotAPicture(why),
                    Ok(()) => PictureFound::Is(PictureFile {
                        key: key.to_owned(),
                        kind,
                        bytes: Arc::from(bytes),
                    }),
                },
            },
        }
    }
}

impl Pictures for FolderPictures {
    fn find(&self, from: &str, file: &str) -> PictureFound {
        let keys = self.keys(from, file);
        if keys.is_empty() {
            return PictureFound::Outside;
        }
        // A panic elsewhere leaves the map whole: entries are put in at one stroke.
        let mut known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        for key in keys {
            let found = known.entry(key).or_insert_with_key(|key| self.load(key));
            if !matches!(found, PictureFound::Missing) {
                return found.clone();
            }
        }
        PictureFound::Missing
    }
}

/// A path inside the plan's folder, or nothing where it would lead out.
fn within(folder: &str, file: &str) -> Option<String> {
    if file.contains(['\\', '\0']) || file.is_empty() {
        return None;
    }
    let mut pieces: Vec<&str> = Vec::new();
    for piece in Path::new(folder).components().chain(Path::new(file).components()) {
        match piece {
            Component::Normal(name) => pieces.push(name.to_str()?),
            Component::CurDir => {}
            Component::ParentDir => {
                pieces.pop()?;
            }
            Component::RootDir | Component::Prefix(_) => return None,
        }
    }
    Some(pieces.join("/"))
}

/// The bytes of a picture, or why there are none.
fn read(path: &Path) -> Result<Vec<u8>, String> {
    let about = std::fs::metadata(path).map_err(|error| reason(&error))?;
    if about.is_dir() {
        return Err("it is a folder".to_owned());
    }
    if !about.is_file() {
        return Err("it is no file".to_owned());
    }
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|file| file.take(LARGEST + 1).read_to_end(&mut bytes))
        .map_err(|error| reason(&error))?;
    if bytes.len() as u64 > LARGEST {
        return Err("it is larger than 64 MiB".to_owned());
    }
    Ok(bytes)
}

/// Told by what is in the file, not by its name.
fn kind_of(bytes: &[u8]) -> Option<PictureKind> {
    if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
        Some(PictureKind::Png)
    } else if bytes.starts_with(b"\xff\xd8\xff") {
        Some(PictureKind::Jpeg)
    } else if std::str::from_utf8(bytes).is_ok_and(is_svg) {
        Some(PictureKind::Svg)
    } else {
        None
    }
}

/// XML whose first element is `svg`, behind declaration, comments and document type.
fn is_svg(text: &str) -> bool {
    let mut rest = text.trim_start_matches('\u{feff}').trim_start();
    loop {
        let end = if rest.starts_with("<?") {
            "?>"
        } else if rest.starts_with("<!--") {
            "-->"
        } else if rest.starts_with("<!DOCTYPE svg") {
            // Declarations of its own stand in brackets.
            let own = rest.split('>').next().is_some_and(|head| head.contains('['));
            if own { "]>" } else { ">" }
        } else {
            break;
        };
        match rest.split_once(end) {
            Some((_, after)) => rest = after.trim_start(),
            None => return false,
        }
    }
    rest.strip_prefix("<svg")
        .or_else(|| rest.strip_prefix("<svg:svg"))
        .is_some_and(|after| after.starts_with([' ', '\t', '\r', '\n', '>', '/']))
}

fn amount(bytes: usize) -> String {
    if bytes == 1 {
        "1 byte".to_owned()
    } else {
        format!("{bytes} bytes")
    }
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::{FolderPictures, is_svg, within};
    use crate::base::picture::{PictureFound, PictureKind, Pictures};
    use crate::desk::folder::PlanFiles;

    #[test]
    fn no_spelling_leads_out_of_the_folder() {
        assert_eq!(within("strip", "../a.png").as_deref(), Some("a.png"));
        assert_eq!(within("", "b/./c/../a.png").as_deref(), Some("b/a.png"));
        for out in [
            "../a.png",
            "/etc/hostname",
            "b/../../a.png",
            "..\\a.png",
            "",
            "a\0.png",
        ] {
            assert_eq!(within("", out), None, "{out:?}");
        }
    }

    #[test]
    fn an_svg_is_told_by_its_first_element() {
        for yes in [
            "<svg/>",
            "<svg xmlns='x'>",
            "\u{feff}<?xml version='1.0'?>\n<!-- a > b -->\n<svg >",
            "<!DOCTYPE svg [<!ENTITY a 'b'>]><svg/>",
        ] {
            assert!(is_svg(yes), "{yes}");
        }
        for no in [
            "",
            "<svgx>",
            "<html><svg/></html>",
            "svg",
            "<!-- <svg>",
            "<!DOCTYPE html><svg/>",
        ] {
            assert!(!is_svg(no), "{no}");
        }
    }

    #[test]
    fn only_pictures_inside_the_folder_are_found() {
        let around = tempfile::tempdir().expect("a temporary folder");
        let root = around.path().join("ouzel");
        fs::create_dir_all(root.join("strip")).expect("made");
        // One white dot.
        let png = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\x01\0\0\0\x01\x08\0\0\0\0:~\x9bU\0\0\0\nIDATx\x9cc\xf8\x0f\0\x01\x01\x01\0\x1b\xb6\xeeV\0\0\0\0IEND\xaeB`\x82";
        fs::write(root.join("a.png"), png).expect("written");
        let drawing = "<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'/>";
        fs::write(root.join("strip/b.png"), drawing).expect("written");
        fs::write(root.join("c.png"), b"abc").expect("written");
        fs::write(around.path().join("secret.png"), png).expect("written");
        let files = PlanFiles {
            sources: Vec::new(),
            disk: Vec::new(),
            reached: Vec::new(),
            root: root.canonicalize().expect("it is there"),
            before: "ouzel/".to_owned(),
            name: String::new(),
        };
        let pictures = FolderPictures::new(&files);
        let is = |from: &str, file: &str| match pictures.find(from, file) {
            PictureFound::Is(picture) => Some((picture.key, picture.kind)),
            _ => None,
        };
        assert_eq!(
            is("ouzel/p.boltplan", "a.png"),
            Some(("a.png".to_owned(), PictureKind::Png))
        );
        assert_eq!(
            is("ouzel/strip/s.boltplan", "a.png"),
            is("ouzel/p.boltplan", "a.png")
        );
        assert_eq!(
            is("ouzel/strip/s.boltplan", "b.png"),
            Some(("strip/b.png".to_owned(), PictureKind::Svg)),
            "a name's ending decides nothing"
        );
        let find = |file: &str| pictures.find("ouzel/p.boltplan", file);
        assert!(matches!(find("../secret.png"), PictureFound::Outside));
        assert!(matches!(find("none.png"), PictureFound::Missing));
        assert!(matches!(find("strip"), PictureFound::NotAPicture(_)));
        fs::write(root.join("cut.png"), &png[..40]).expect("written");
        assert!(matches!(find("cut.png"), PictureFound::NotAPicture(_)));
        match find("c.png") {
            PictureFound::NotAPicture(why) => assert_eq!(why, "it is 3 bytes long and no PNG, JPEG or SVG"),
            other => panic!("{other:?}"),
        }
        #[cfg(unix)]
        {
            std::os::unix::fs::symlink("../secret.png", root.join("link.png")).expect("linked");
            assert!(matches!(find("link.png"), PictureFound::Outside));
        }
        fs::remove_file(root.join("a.png")).expect("removed");
        assert!(is("ouzel/p.boltplan", "a.png").is_some(), "read once, then kept");
    }
}
