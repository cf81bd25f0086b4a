//! `editor`: the language server on standard input and output. Reads frames beside the server, so that a burst of changes is one compilation;
//! reads a plan's files as the editor has them, and writes none. Nothing but the server's messages goes to standard output.

use std::io::{self, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::mpsc::{Receiver, RecvTimeoutError, TryRecvError, sync_channel};
use std::time::{Duration, Instant};

use super::folder;
use super::pictures::FolderPictures;
use super::surroundings::Surroundings;
use super::talk;
use crate::compile::workshop_named;
use crate::press::editor::frame::{self, Frame};
use crate::press::editor::{Disk, Files, Home, Open, Server};

/// So long the next key is waited for before a change is compiled.
const SETTLES: Duration = Duration::from_millis(5);

/// So long at most, while keys keep coming.
const LONGEST: Duration = Duration::from_millis(60);

/// Messages that are read ahead.
const AHEAD: usize = 64;

/// Folders above a file that are looked at for its plan, where the editor names no folder that it works in.
const ABOVE: usize = 4;

/// Serves until the client says `exit`, or goes away. Exit status as the protocol says: 0 after `shutdown`, else 1.
pub(super) fn editor(around: &Surroundings) -> ExitCode {
    let (send, frames) = sync_channel::<Frame>(AHEAD);
    // It ends with the process: a read that waits cannot be called off.
    std::thread::spawn(move || {
        let mut from = BufReader::new(io::stdin());
        loop {
            let frame = frame::read(&mut from).unwrap_or(Frame::End);
            let over = frame == Frame::End;
            if send.send(frame).is_err() || over {
                return;
            }
        }
    });
    let disk = PlanDisk;
    let mut server = Server::new(&disk);
    let shut_down = serve(&mut server, &frames);
    if !shut_down {
        talk::sentence("The editor went away without `shutdown`.", around);
    }
    if shut_down {
        ExitCode::SUCCESS
    } else {
        ExitCode::from(1)
    }
}

/// Gives whether the client had said `shutdown`.
fn serve(server: &mut Server<'_>, frames: &Receiver<Frame>) -> bool {
    let mut dirty_since: Option<Instant> = None;
    let mut ended = false;
    loop {
        // All that is there already comes first: a later change makes an earlier one moot, and a request may be called off.
        while !ended {
            match frames.try_recv() {
                Ok(Frame::End) | Err(TryRecvError::Disconnected) => ended = true,
                Ok(frame) => server.push(frame),
                Err(TryRecvError::Empty) => break,
            }
        }
        // What was refused at once goes out before anything is waited for.
        let mut out = io::stdout().lock();
        for message in server.sent() {
            if out.write_all(&message).and_then(|()| out.flush()).is_err() {
                return server.was_shut_down();
            }
        }
        drop(out);
        if let Some(shut_down) = server.over() {
            return shut_down;
        }
        if server.waits() {
            server.step();
        } else if server.is_dirty() {
            let since = *dirty_since.get_or_insert_with(Instant::now);
            let next = if ended || since.elapsed() >= LONGEST {
                None
            } else {
                match frames.recv_timeout(SETTLES) {
                    Ok(Frame::End) | Err(RecvTimeoutError::Disconnected) => {
                        ended = true;
                        None
                    }
                    Ok(frame) => Some(frame),
                    Err(RecvTimeoutError::Timeout) => None,
                }
            };
            match next {
                Some(frame) => server.push(frame),
                None => server.settle(),
            }
        } else if ended {
            return server.was_shut_down();
        } else {
            match frames.recv() {
                Ok(Frame::End) | Err(_) => ended = true,
                Ok(frame) => server.push(frame),
            }
        }
        if !server.is_dirty() {
            dirty_since = None;
        }
    }
}

/// Plans as they lie on this disk.
struct PlanDisk;

impl Disk for PlanDisk {
    fn key(&self, path: &Path) -> PathBuf {
        if let Ok(real) = path.canonicalize() {
            return real;
        }
        // One that is not written yet, in a folder that is there.
        match (
            path.parent().and_then(|parent| parent.canonicalize().ok()),
            path.file_name(),
        ) {
            (Some(parent), Some(name)) => parent.join(name),
            _ => path.to_owned(),
        }
    }

    fn home(&self, path: &Path, roots: &[PathBuf], open: &Open) -> Home {
        let text_of = |file: &Path| -> Option<String> {
            match open.get(&self.key(file)) {
                Some(document) => Some(document.text.clone()),
                None => folder::text(file),
            }
        };
        let holds_plan = |file: &Path| text_of(file).is_some_and(|text| folder::names_plan(&text));
        let root = roots
            .iter()
            .filter(|root| path.starts_with(root))
            .max_by_key(|root| root.components().count());
        for (nth, folder) in path.ancestors().skip(1).enumerate() {
            if root.map_or(nth >= ABOVE, |root| !folder.starts_with(root)) {
                break;
            }
            let Some(files) = folder::plan_paths(folder) else {
                break;
            };
            let mut with_plan: Vec<&PathBuf> = files.iter().filter(|file| holds_plan(file)).collect();
            let open_here = open
                .keys()
                .filter(|key| key.starts_with(folder) && !files.iter().any(|file| self.key(file) == **key));
            let open_here: Vec<&PathBuf> = open_here.filter(|key| holds_plan(key)).collect();
            with_plan.extend(open_here);
            match with_plan.as_slice() {
                [] => {}
                [_] => return Home::Plan(folder.to_owned()),
                many => {
                    // Each is a plan of its own, if it stands in one file.
                    if many.iter().any(|file| self.key(file) == path) {
                        return Home::Plan(path.to_owned());
                    }
                    let beside = many.iter().filter(|file| file.parent() == Some(folder)).count();
                    return if beside > 1 {
                        Home::Plan(folder.to_owned())
                    } else {
                        Home::Alone
                    };
                }
            }
        }
        Home::Alone
    }

    fn read(&self, plan: &Path, open: &Open) -> Result<Files, String> {
        let over = |path: &Path| open.get(&self.key(path)).map(|document| document.text.clone());
        let not_there: Vec<PathBuf> = if plan.is_dir() {
            let new = |key: &&PathBuf| key.starts_with(plan) && folder::is_plan_file(key) && !key.exists();
            open.keys().filter(new).cloned().collect()
        } else {
            Vec::new()
        };
        let mut files = folder::read_over(plan, &|sources| workshop_named(sources), &over, &not_there)
            .map_err(|trouble| trouble.0)?;
        let pictures = FolderPictures::new(&files);
        Ok(Files {
            sources: std::mem::take(&mut files.sources),
            paths: files
                .reached
                .iter()
                .map(|reached| self.key(Path::new(reached)))
                .collect(),
            pictures: Box::new(pictures),
        })
    }

    fn printed(&self, plan: &Path) -> bool {
        let folder = if plan.is_dir() {
            plan
        } else {
            plan.parent().unwrap_or(plan)
        };
        [
            folder.to_owned(),
            folder.join("output"),
            folder.join("binder"),
            PathBuf::from("output"),
        ]
        .iter()
        .any(|folder| folder::has_numbers(folder))
    }
}
