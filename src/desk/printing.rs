//! Where the desk reaches binder and press: a compiled plan becomes the files of its binder, in each form.

use super::command_line::Form;
use crate::base::date::Date;
use crate::binder;
use crate::binder::kept::Kept;
use crate::compile::Compilation;
use crate::plan::model::{Paper, Sides, StepLine};
use crate::press::{self, PressError};

/// How the binder is wanted.
pub(super) struct Wanted {
    pub(super) forms: Vec<Form>,
    pub(super) paper: Option<Paper>,
    pub(super) sides: Option<Sides>,
    pub(super) today: Date,
    pub(super) unchecked: bool,
    /// Only the cards of what is still to do.
    pub(super) to_do: bool,
    /// Only the pages that changed since the print before.
    pub(super) changed: bool,
    /// What the print before left beside its binder.
    pub(super) kept: Kept,
}

/// One file to be written: where inside the output folder, what, and a word on it ("61 pages").
pub(super) struct Sheet {
    pub(super) path: String,
    pub(super) bytes: Vec<u8>,
    pub(super) word: String,
}

/// What came off the press.
#[derive(Default)]
pub(super) struct Printed {
    pub(super) sheets: Vec<Sheet>,
    /// Folders in which nothing of an earlier print is to stay.
    pub(super) whole: Vec<String>,
    /// Sentences that the owner should read.
    pub(super) notes: Vec<String>,
}

/// The binder of a compiled plan, as files: `NAME.pdf`, and the Markdown with its pictures in a folder `NAME`.
///
/// # Errors
/// A sentence where the page engine refuses.
pub(super) fn printed(compilation: &Compilation, wanted: &Wanted, name: &str) -> Result<Printed, String> {
    let bound = binder::Wanted {
        paper: wanted.paper,
        sides: wanted.sides,
        today: wanted.today,
        unchecked: wanted.unchecked,
        to_do: wanted.to_do,
        kept: wanted.kept.clone(),
    };
    let mut document = binder::bind(compilation, &bound);
    let refused = |error: PressError| refused(compilation, &error);
    press::pictures::prepare(&mut document).map_err(refused)?;
    let mut printed = Printed::default();
    let numbers = Sheet {
        path: format!("{name}.numbers"),
        bytes: document.kept.write().into_bytes(),
        word: "keeps numbers of steps and bags for the next print".to_owned(),
    };
    let whole = document.clone();
    let name = &if wanted.changed {
        if wanted.kept.is_first() {
            printed.notes.push(format!(
                "There is no print before this one in that folder ({name}.numbers), so that nothing can be told to have changed. Print the whole binder first."
            ));
            return Ok(printed);
        }
        let Some(cut) = binder::only_changed(&document) else {
            printed
                .notes
                .push("Nothing changed since the print before, so that nothing was printed.".to_owned());
            return Ok(printed);
        };
        document = cut;
        format!("{name}-changed")
    } else {
        name.to_owned()
    };
    for form in &wanted.forms {
        match form {
            Form::Pdf => {
                let pages = if wanted.changed {
                    press::changed(&whole).transpose()
                } else {
                    Some(press::pdf(&document))
                };
                let Some(pages) = pages else { continue };
                let pages = pages.map_err(refused)?;
                if !pages.missing_glyphs.is_empty() {
                    printed.notes.push(missing(&pages.missing_glyphs));
                }
                let word = if pages.pages == 1 {
                    "1 page".to_owned()
                } else {
                    format!("{} pages", pages.pages)
                };
                printed.sheets.push(Sheet {
                    path: format!("{name}.pdf"),
                    bytes: pages.pdf,
                    word,
                });
            }
            Form::Labels => match press::labels(&document).map_err(refused)? {
                None => printed.notes.push(
                    "No joint of the plan leaves loose fixings, so that there are no labels.".to_owned(),
                ),
                Some(sheets) => {
                    if !sheets.missing_glyphs.is_empty() {
                        printed.notes.push(missing(&sheets.missing_glyphs));
                    }
                    let pages = if sheets.pages == 1 { "sheet" } else { "sheets" };
                    let labels = if sheets.labels == 1 { "label" } else { "labels" };
                    printed.sheets.push(Sheet {
                        path: format!("{name}-labels.pdf"),
                        bytes: sheets.pdf,
                        word: format!(
                            "{} {labels} on {} {pages}, print at 100 %",
                            sheets.labels, sheets.pages
                        ),
                    });
                }
            },
            Form::Calendar => {
                let calendars = binder::day_events::calendars(compilation, &bound);
                if calendars.is_empty() {
                    printed.notes.push(
                        "The plan does not say when there is work, or the work fits no days, so that there is no calendar. Write, for example: works 8 h \
                         from 9:00 on saturday, sunday."
                            .to_owned(),
                    );
                }
                printed.sheets.extend(calendars.iter().map(|calendar| {
                    let of = calendar
                        .of
                        .as_ref()
                        .map_or_else(String::new, |of| format!("-{of}"));
                    let days = calendar.events.len();
                    Sheet {
                        path: format!("{name}{of}.ics"),
                        bytes: press::calendar::calendar(calendar, wanted.today).into_bytes(),
                        word: if days == 1 {
                            "1 day".to_owned()
                        } else {
                            format!("{days} days")
                        },
                    }
                }));
            }
            Form::Data => {
                let set = press::data::data(compilation, &document);
                printed
                    .sheets
                    .extend(set.files.into_iter().map(|(path, bytes)| Sheet {
                        path: format!("{name}/{path}"),
                        bytes,
                        word: String::new(),
                    }));
            }
            Form::Page => {
                let given = binder::given_back::given_back(compilation, &bound);
                printed.sheets.push(Sheet {
                    path: format!("{name}.html"),
                    bytes: press::shop::page(&document, &given),
                    word: "for a telephone".to_owned(),
                });
            }
            Form::Markdown => {
                let set = press::markdown(&document);
                let sheet = |path: String, bytes: Vec<u8>| Sheet {
                    path,
                    bytes,
                    word: String::new(),
                };
                printed.sheets.push(sheet(
                    format!("{name}/{}", press::markdown::INDEX),
                    set.text.into_bytes(),
                ));
                // Drawings are numbered: one that comes in or goes renames those behind it.
                printed
                    .whole
                    .push(format!("{name}/{}", press::markdown::PICTURES));
                let files = set.files.into_iter();
                printed
                    .sheets
                    .extend(files.map(|(path, bytes)| sheet(format!("{name}/{path}"), bytes)));
            }
        }
    }
    printed.sheets.push(numbers);
    Ok(printed)
}

/// Why nothing was printed; of a picture, with the line that names it.
fn refused(compilation: &Compilation, error: &PressError) -> String {
    let PressError::Pictures(pictures) = error else {
        return error.to_string();
    };
    let told: Vec<String> = pictures
        .iter()
        .map(|(key, why)| {
            let line = named_at(compilation, key).map_or_else(String::new, |place| format!("{place}: "));
            format!("{line}\"{key}\" cannot be printed: {why}. Save it again, or take the line out.")
        })
        .collect();
    format!("{} Nothing was printed.", told.join(" "))
}

/// Where a plan first names a picture.
fn named_at(compilation: &Compilation, key: &str) -> Option<String> {
    let plan = &compilation.plan;
    let of_steps = plan
        .steps
        .iter()
        .flat_map(|(_, step)| &step.lines)
        .filter_map(|line| match line {
            StepLine::Figure(figure) => Some(figure),
            _ => None,
        });
    let of_things = plan.parts.iter().flat_map(|(_, part)| &part.figures);
    let of_sets = plan.assemblies.iter().flat_map(|(_, assembly)| &assembly.figures);
    let of_plan = plan.about.iter().flat_map(|about| &about.figures);
    let of_vehicles = plan.vehicles.iter().flat_map(|(_, vehicle)| &vehicle.figures);
    let figure = of_plan
        .chain(of_vehicles)
        .chain(of_steps)
        .chain(of_things)
        .chain(of_sets)
        .find(|figure| figure.key.as_deref() == Some(key))?;
    Some(compilation.sources.place(figure.file.at))
}

fn missing(glyphs: &[char]) -> String {
    let shown: Vec<String> = glyphs
        .iter()
        .take(20)
        .map(|c| format!("{c} (U+{:04X})", u32::from(*c)))
        .collect();
    format!(
        "The binder's letters lack {}; where they stand, the page shows a sign for a missing letter. Write these words \
         in Latin, Greek or Cyrillic letters.",
        shown.join(", ")
    )
}
