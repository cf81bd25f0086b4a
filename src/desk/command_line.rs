//! The command line as it is written. The only file that knows clap; carries nothing out.

use std::io::IsTerminal;
use std::path::PathBuf;

use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{Args, CommandFactory, FromArgMatches, Parser, Subcommand, ValueEnum};

use crate::analysis::money::hundredths;
use crate::base::date::Date;
use crate::base::finding::Severity;
use crate::base::quantity::Number;
use crate::plan::model::{Money, Paper, Sides};

/// Compiles a plan for stripping, weighing and rebuilding a machine into a printed shop binder.
///
/// Exit status: 0 nothing at or above the severity asked for, 1 findings stand, 2 the command could not be
/// carried out.
#[derive(Debug, Parser)]
#[command(name = "boltfolio", version, max_term_width = 100)]
struct Line {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Walk plans through and report what is wrong or missing.
    Lint(Lint),
    /// Print the binder of a plan.
    Print(Print),
    /// Show the machine after a step: what is off, slack, held, live, still joined.
    State(State),
    /// Show weights and balance: weighed, off, on, saved against the target, and how it lies on the wheels.
    Masses(Masses),
    /// Work out how to take a part off, as steps of the plan.
    Draft(Draft),
    /// Write down what was done, read and found, in the plan's files: each where it belongs, and no other byte touched.
    ///
    /// Shows the change and what is new in the findings; asks before it writes where a person can answer. Entering the
    /// same twice changes nothing. What cannot be read, names nothing or fits two places is refused, and then nothing is
    /// written.
    Enter(Enter),
    /// Lay a plan's text out: spaces, indentation and line ends, and nothing that it says.
    Tidy(Tidy),
    /// Show what to do today: in so many hours, with those who are there, up to which place to stop.
    Today(Today),
    /// Show the money account: spent, to spend, to come in, left; by swap and stage, and what is still to be bought.
    Money(MoneyAsked),
    /// Show which swaps are worth it: what each saves, costs and takes, and the best sets for so much money and time.
    Worth(Worth),
    /// Serve an editor: findings while you type, mends, names that fit, jump and rename. The editor starts it.
    ///
    /// Speaks the Language Server Protocol 3.17 on standard input and output, and writes no file. Exit status 0 after
    /// `shutdown`, else 1.
    Editor,
    /// Explain a rule, or list the rules of a family; without a name, list all rules.
    Why {
        /// Name of a rule, as findings show it, or of a family of rules.
        rule: Option<String>,
    },
    /// Print what a shell needs to complete this command line.
    Completions {
        /// The shell.
        #[arg(value_enum)]
        shell: ShellName,
    },
    /// Print the manual page, for `man`.
    Manual,
    /// Start a small plan, or a rough one from a list of parts.
    New(New),
}

#[derive(Debug, Args)]
pub(super) struct New {
    /// Folder to write it into; made if it is not there.
    pub(super) dir: PathBuf,
    /// What the small plan is about, with the hazards of its kind.
    #[arg(long, value_enum, default_value_t = Kind::Car)]
    pub(super) kind: Kind,
    /// A list of parts as a spreadsheet saves it: CSV with heads such as name, mass kg, cost GBP, place, off or on.
    #[arg(long, value_name = "LIST.csv", conflicts_with = "kind")]
    pub(super) from: Option<PathBuf>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Kind {
    /// A car: a seat, the supply, an airbag.
    Car,
    /// A boat: an impeller, the sea cock, petrol vapour.
    Boat,
    /// A motorcycle or bicycle: brake pads, a stand.
    TwoWheeler,
    /// A machine on the floor: its motor, its supply.
    Machine,
}

#[derive(Debug, Args)]
pub(super) struct Lint {
    /// A folder with one plan's files, or one file; `-` is one file from standard input. Each is a plan of
    /// its own.
    #[arg(required = true, value_name = "PATH")]
    pub(super) paths: Vec<PathBuf>,
    /// How findings are written.
    #[arg(long, value_enum, default_value_t = Shape::Text)]
    pub(super) findings: Shape,
    /// Least severity that makes the exit status 1.
    #[arg(long, value_enum, default_value_t = Least::Fault)]
    pub(super) stop_at: Least,
    /// Swaps that are taken as not done: their steps go, and what they would replace stays.
    #[arg(long, value_name = "SWAP,..", value_delimiter = ',')]
    pub(super) without: Vec<String>,
    /// Apply the mends that need no choice: show the change, ask, and write; `--mend=all` does not ask.
    ///
    /// Only where a finding offers one mend and it brings no new fault; never an acceptance, and never a mend that takes out
    /// an act, a caution or a second check. What is left says why.
    #[arg(
        long,
        value_enum,
        value_name = "HOW",
        num_args = 0..=1,
        require_equals = true,
        default_missing_value = "ask",
        conflicts_with_all = ["findings", "without"]
    )]
    pub(super) mend: Option<MendHow>,
    /// Show every finding, not only the first fifty.
    #[arg(long)]
    pub(super) all: bool,
}

/// Whether somebody is asked before mends are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum MendHow {
    /// Show the change, and ask.
    Ask,
    /// Write without asking.
    All,
}

#[derive(Debug, Args)]
pub(super) struct Print {
    /// A folder with one plan's files, or one file; `-` is one file from standard input.
    pub(super) path: PathBuf,
    /// Folder to write into; nothing is written outside it.
    #[arg(long, value_name = "DIR", default_value = "output")]
    pub(super) to: PathBuf,
    /// What to print, with commas between.
    #[arg(long, value_enum, value_delimiter = ',', default_value = "pdf")]
    pub(super) form: Vec<Form>,
    /// Size of paper, against what the plan says.
    #[arg(long, value_enum, ignore_case = true)]
    paper: Option<PaperName>,
    /// Printed on one side of a sheet or on two, against what the plan says.
    #[arg(long, value_enum)]
    sides: Option<SidesName>,
    /// Print although faults stand; every page then says that it is not proved.
    #[arg(long)]
    pub(super) unchecked: bool,
    /// Print only the pages that changed since the print before into the same folder.
    #[arg(long)]
    pub(super) changed: bool,
    /// Leave steps that are over, by the log, to a line each.
    #[arg(long)]
    pub(super) to_do: bool,
    /// Day to print as today, such as 2026-03-14.
    #[arg(long, value_name = "DATE", value_parser = day)]
    pub(super) dated: Option<Date>,
    /// Show every finding, not only the first fifty.
    #[arg(long)]
    pub(super) all: bool,
}

#[derive(Debug, Args)]
pub(super) struct State {
    /// A folder with one plan's files, or one file; `-` is one file from standard input.
    pub(super) path: PathBuf,
    /// Name or number of the step; without it, the last one that the log says is done.
    #[arg(long, value_name = "STEP", conflicts_with = "found")]
    pub(super) after: Option<String>,
    /// The machine as it was found.
    #[arg(long)]
    pub(super) found: bool,
    #[command(flatten)]
    pub(super) numbers: Numbers,
    /// Name everything, however long the lists are.
    #[arg(long)]
    pub(super) all: bool,
}

#[derive(Debug, Args)]
pub(super) struct Masses {
    /// A folder with one plan's files, or one file; `-` is one file from standard input.
    pub(super) path: PathBuf,
    /// Name or number of the step; without it, the last one that the log says is done.
    #[arg(long, value_name = "STEP")]
    pub(super) after: Option<String>,
    #[command(flatten)]
    pub(super) numbers: Numbers,
}

/// Whose numbers steps go by.
#[derive(Debug, Args)]
pub(super) struct Numbers {
    /// Folder that the binder was printed into: steps go by the numbers on that paper.
    #[arg(long, value_name = "DIR", default_value = "output")]
    pub(super) binder: PathBuf,
}

#[derive(Debug, Args)]
pub(super) struct Draft {
    /// A folder with one plan's files, or one file; `-` is one file from standard input.
    pub(super) path: PathBuf,
    /// Names of the parts and assemblies that are to come off, in this order.
    #[arg(long, value_name = "THING,..", value_delimiter = ',', required = true)]
    pub(super) off: Vec<String>,
    /// Name or number of the step that the work begins behind; without it, as early as what is live on the way allows.
    #[arg(long, value_name = "STEP")]
    pub(super) after: Option<String>,
    #[command(flatten)]
    pub(super) numbers: Numbers,
}

#[derive(Debug, Args)]
pub(super) struct Enter {
    /// A folder with one plan's files, or one file.
    pub(super) path: PathBuf,
    /// Blocks and single statements of the plan's language, one an argument.
    #[arg(value_name = "BLOCK", required_unless_present = "from")]
    pub(super) blocks: Vec<String>,
    /// A file of them; `-` is standard input.
    #[arg(long, value_name = "FILE")]
    pub(super) from: Vec<PathBuf>,
    #[command(flatten)]
    pub(super) numbers: Numbers,
    /// Write without asking.
    #[arg(long)]
    pub(super) yes: bool,
    /// Show what would be written, and write nothing.
    #[arg(long, conflicts_with = "yes")]
    pub(super) dry_run: bool,
    /// Show every finding that is new, not only the first fifty.
    #[arg(long)]
    pub(super) all: bool,
}

#[derive(Debug, Args)]
pub(super) struct Tidy {
    /// A folder with one plan's files, or one file; `-` reads standard input and writes to standard output.
    pub(super) path: PathBuf,
    /// Show what would change, and write nothing; the exit status is 1 where something would.
    #[arg(long)]
    pub(super) dry_run: bool,
}

#[derive(Debug, Args)]
pub(super) struct Today {
    /// A folder with one plan's files, or one file; `-` is one file from standard input.
    pub(super) path: PathBuf,
    /// How long there is: `4`, or '3 h 30 min'; without it, the steps to the next place to stop.
    #[arg(long, value_name = "HOURS", value_parser = hours)]
    pub(super) hours: Option<Minutes>,
    /// Who is there besides the first of the crew; and what has come that the work waited for.
    #[arg(long, value_name = "PERSON,..", value_delimiter = ',')]
    pub(super) with: Vec<String>,
    /// Rigs, tools, scales, consumables, parts and people that are not there.
    #[arg(long, value_name = "THING,..", value_delimiter = ',')]
    pub(super) without: Vec<String>,
    /// The day, such as 2026-03-14; else today.
    #[arg(long, value_name = "DATE", value_parser = day)]
    pub(super) on: Option<Date>,
    #[command(flatten)]
    pub(super) numbers: Numbers,
}

#[derive(Debug, Args)]
pub(super) struct MoneyAsked {
    /// A folder with one plan's files, or one file; `-` is one file from standard input.
    pub(super) path: PathBuf,
}

#[derive(Debug, Args)]
pub(super) struct Worth {
    /// A folder with one plan's files, or one file; `-` is one file from standard input.
    pub(super) path: PathBuf,
    /// What may still be spent on the whole job: '500 GBP', or 500 in the plan's own currency; else what the budget leaves.
    #[arg(long, value_name = "SUM", value_parser = sum)]
    pub(super) spend: Option<Sum>,
    /// How long the whole job may still take: `32`, or '31 h 30 min'; else the hours up to the day in `finish by`.
    #[arg(long, value_name = "HOURS", value_parser = long_hours)]
    pub(super) hours: Option<Minutes>,
}

/// A sum of money, in hundredths, and its currency where one is given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Sum {
    pub(super) cents: i64,
    pub(super) currency: Option<[u8; 3]>,
}

/// A time, in minutes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Minutes(pub(super) f64);

impl Print {
    pub(super) fn paper(&self) -> Option<Paper> {
        self.paper.map(|paper| match paper {
            PaperName::A4 => Paper::A4,
            PaperName::Letter => Paper::Letter,
        })
    }

    pub(super) fn sides(&self) -> Option<Sides> {
        self.sides.map(|sides| match sides {
            SidesName::One => Sides::One,
            SidesName::Two => Sides::Two,
        })
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Shape {
    /// For reading.
    Text,
    /// For other programs.
    Json,
    /// SARIF 2.1.0, for programs that collect findings.
    Sarif,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Least {
    Fault,
    Doubt,
    Advice,
}

impl Least {
    pub(super) fn severity(self) -> Severity {
        match self {
            Least::Fault => Severity::Fault,
            Least::Doubt => Severity::Doubt,
            Least::Advice => Severity::Advice,
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Form {
    /// The binder for the printer.
    Pdf,
    /// The binder as Markdown, with its pictures.
    Markdown,
    /// Plan, walk and reckonings as JSON; mass account and torque table as CSV.
    Data,
    /// Labels for the bags of loose fixings, on sheets of labels.
    Labels,
    /// The days of work, as a file that calendars read.
    Calendar,
    /// The binder as one file for a telephone: tick, read, note, and give it back.
    Page,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum ShellName {
    Bash,
    Zsh,
    Fish,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum PaperName {
    #[value(name = "A4")]
    A4,
    #[value(name = "Letter")]
    Letter,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum SidesName {
    One,
    Two,
}

fn day(text: &str) -> Result<Date, String> {
    Date::read(text).ok_or_else(|| "a day is written year-month-day, such as 2026-03-14".to_owned())
}

/// `500`, `500 GBP`, `499.50GBP`.
fn sum(text: &str) -> Result<Sum, String> {
    let bad = || "a sum is written such as 500, 500.50 or '500 GBP', and is not under nothing".to_owned();
    let text = text.trim();
    let at = text.find(|c: char| c.is_ascii_alphabetic()).unwrap_or(text.len());
    let (figure, letters) = text.split_at(at);
    let currency = match letters {
        "" => None,
        letters => {
            let letters = <[u8; 3]>::try_from(letters.as_bytes()).map_err(|_| bad())?;
            Some(letters.map(|letter| letter.to_ascii_uppercase()))
        }
    };
    let number = Number::read(figure.trim()).ok_or_else(bad)?;
    let money = Money {
        number,
        currency: currency.unwrap_or(*b"   "),
    };
    let cents = hundredths(money).filter(|cents| *cents >= 0).ok_or_else(bad)?;
    Ok(Sum { cents, currency })
}

/// Up to a year of hours.
fn long_hours(text: &str) -> Result<Minutes, String> {
    minutes_of(
        text,
        365.0 * 24.0 * 60.0,
        "hours are written such as 32, 31.5, '31 h 30 min' or '90 min', and are 1 min to a year",
    )
}

/// `4`, `3.5`, `4 h`, `3 h 30 min`, `90 min`.
fn hours(text: &str) -> Result<Minutes, String> {
    minutes_of(
        text,
        24.0 * 60.0,
        "hours are written such as 4, 3.5, '3 h 30 min' or '90 min', and are 1 min to 24 h",
    )
}

fn minutes_of(text: &str, most: f64, form: &str) -> Result<Minutes, String> {
    let bad = || form.to_owned();
    // A figure and its unit may touch.
    let is_figure = |c: char| c.is_ascii_digit() || c == '.';
    let mut words: Vec<String> = Vec::new();
    let mut last: Option<char> = None;
    for c in text.chars() {
        if !c.is_whitespace() {
            match words
                .last_mut()
                .filter(|_| last.is_some_and(|last| is_figure(last) == is_figure(c)))
            {
                Some(word) => word.push(c),
                None => words.push(c.to_string()),
            }
        }
        last = Some(c).filter(|c| !c.is_whitespace());
    }
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let number = |word: &str| word.parse::<f64>().map_err(|_| bad());
    let minutes = match words.as_slice() {
        [hours] | [hours, "h"] => number(hours)? * 60.0,
        [minutes, "min"] => number(minutes)?,
        [hours, "h", minutes, "min"] => number(hours)? * 60.0 + number(minutes)?,
        _ => return Err(bad()),
    };
    if (1.0..=most).contains(&minutes) {
        Ok(Minutes(minutes))
    } else {
        Err(bad())
    }
}

/// What the command line amounts to.
pub(super) enum Given {
    Command(Command),
    /// Help or version: for standard output.
    Help(String),
    /// No command: help, for standard error.
    NoCommand(String),
    /// What is wrong with it, as sentences.
    Misread(String),
}

/// A command, and how it is called in practice; the first is the plainest.
const EXAMPLES: &[(&str, &[&str])] = &[
    (
        "lint",
        &[
            "boltfolio lint my-car",
            "boltfolio lint my-car --mend",
            "boltfolio lint my-car --stop-at advice",
        ],
    ),
    (
        "print",
        &[
            "boltfolio print my-car --to paper",
            "boltfolio print my-car --to paper --changed",
        ],
    ),
    (
        "state",
        &[
            "boltfolio state my-car",
            "boltfolio state my-car --after seat-out",
        ],
    ),
    ("masses", &["boltfolio masses my-car"]),
    ("draft", &["boltfolio draft my-car --off gearbox"]),
    (
        "enter",
        &[
            "boltfolio enter my-car 'log seat-out; done 2026-03-14 by ada; took 35 min'",
            "boltfolio enter my-car 'log 1.2, 1.4 to 1.6; done 2026-03-14' 'reads seat 14.2 kg'",
            "boltfolio enter my-car 'log 3.20; stopped 2026-03-14 at act d' --binder paper",
            "boltfolio enter my-car --from saturday.txt",
        ],
    ),
    ("today", &["boltfolio today my-car --hours 4 --with tom"]),
    ("money", &["boltfolio money my-car"]),
    (
        "worth",
        &[
            "boltfolio worth my-car",
            "boltfolio worth my-car --spend '500 GBP' --hours '32 h'",
        ],
    ),
    ("editor", &["boltfolio editor"]),
    ("why", &["boltfolio why unknown-name", "boltfolio why support"]),
    (
        "completions",
        &["boltfolio completions bash > ~/.local/share/bash-completion/completions/boltfolio"],
    ),
    ("manual", &["boltfolio manual > boltfolio.1"]),
    (
        "tidy",
        &["boltfolio tidy my-car --dry-run", "boltfolio tidy my-car"],
    ),
    (
        "new",
        &[
            "boltfolio new my-car",
            "boltfolio new my-boat --kind boat",
            "boltfolio new my-car --from parts.csv",
        ],
    ),
];

/// The whole command line, each command with its examples.
pub(super) fn definition() -> clap::Command {
    EXAMPLES.iter().fold(Line::command(), |line, (name, examples)| {
        line.mut_subcommand(*name, |command| {
            let text = examples.join("\n  ");
            command.after_help(format!("Such as:\n  {text}"))
        })
    })
}

/// The same, with names of rules as what may stand after `why`: for whoever completes a command line.
pub(super) fn with_names(names: Vec<&'static str>) -> clap::Command {
    definition().mut_subcommand("why", |why| {
        why.mut_arg("rule", |rule| {
            rule.value_parser(clap::builder::PossibleValuesParser::new(names))
        })
    })
}

/// Reads the arguments that the program was called with.
pub(super) fn read() -> Given {
    let line = definition()
        .try_get_matches()
        .and_then(|matches| Line::from_arg_matches(&matches));
    match line {
        Ok(line) => Given::Command(line.command),
        Err(error)
            if error.use_stderr() && error.kind() != ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand =>
        {
            let command = std::env::args().nth(1).unwrap_or_default();
            Given::Misread(misread(&error, &command))
        }
        Err(error) => {
            let text = error.render();
            let missing = error.use_stderr();
            let terminal = if missing {
                std::io::stderr().is_terminal()
            } else {
                std::io::stdout().is_terminal()
            };
            let text = if super::surroundings::colour_wanted() && terminal {
                text.ansi().to_string()
            } else {
                text.to_string()
            };
            if missing {
                Given::NoCommand(text)
            } else {
                Given::Help(text)
            }
        }
    }
}

/// What is wrong with the arguments, in the words of all other sentences: what, what may be meant, where to read on.
fn misread(error: &clap::Error, command: &str) -> String {
    let example = EXAMPLES
        .iter()
        .find(|(name, _)| *name == command)
        .and_then(|(_, all)| all.first());
    let own = match example {
        Some(_) => format!("boltfolio {command}"),
        None => "boltfolio".to_owned(),
    };
    let text = |kind: ContextKind| -> Vec<String> {
        match error.get(kind) {
            Some(ContextValue::String(text)) => vec![text.clone()],
            Some(ContextValue::Strings(all)) => all.clone(),
            _ => Vec::new(),
        }
    };
    let first = |kind: ContextKind| text(kind).into_iter().next().unwrap_or_default();
    // `--form <FORM>`: the option alone is what was typed.
    let option = first(ContextKind::InvalidArg);
    let option = option
        .split([' ', '[', '='])
        .next()
        .unwrap_or_default()
        .to_owned();
    let perhaps = |kind: ContextKind| {
        let all: Vec<String> = text(kind).iter().map(|name| format!("`{name}`")).collect();
        if all.is_empty() {
            String::new()
        } else {
            format!(" Is it {}?", all.join(" or "))
        }
    };
    let such_as = example.map_or_else(String::new, |example| format!(" Such as: {example}"));
    let more = format!(" `{own} --help` tells what it takes.");
    match error.kind() {
        ErrorKind::InvalidSubcommand => format!(
            "There is no command `{}`.{} `boltfolio --help` lists them all.",
            first(ContextKind::InvalidSubcommand),
            perhaps(ContextKind::SuggestedSubcommand)
        ),
        ErrorKind::MissingRequiredArgument => {
            let wanted = text(ContextKind::InvalidArg).join(" ").replace("...", "");
            format!("`{own}` wants {wanted}.{more}{such_as}")
        }
        ErrorKind::UnknownArgument => {
            let taken = if option.starts_with('-') {
                format!("`{own}` has no `{option}`.{}", perhaps(ContextKind::SuggestedArg))
            } else {
                format!("`{own}` takes no `{option}` here.")
            };
            format!("{taken}{more}")
        }
        ErrorKind::InvalidValue => {
            let value = first(ContextKind::InvalidValue);
            let all = text(ContextKind::ValidValue).join(", ");
            if value.is_empty() {
                return format!("`{option}` takes one of these: {all}.");
            }
            let without = match option.as_str() {
                "--kind" => " Without it the plan is a car's; `--from LIST.csv` begins with your own parts.",
                _ => "",
            };
            format!(
                "`{value}` is none of what `{option}` takes: {all}.{}{without}",
                perhaps(ContextKind::SuggestedValue)
            )
        }
        ErrorKind::ValueValidation => {
            let value = first(ContextKind::InvalidValue);
            let why = std::error::Error::source(error).map_or_else(String::new, |why| format!(": {why}"));
            format!("`{value}` cannot be read as `{option}`{why}.{more}")
        }
        ErrorKind::ArgumentConflict => {
            let other = text(ContextKind::PriorArg).join(" and ");
            let other = other.split([' ', '[', '=']).next().unwrap_or_default();
            if other == option || other.is_empty() {
                return format!("`{option}` is said more than once.{more}");
            }
            format!("`{option}` and `{other}` exclude each other.{more}")
        }
        ErrorKind::NoEquals => format!("`{option}` needs an `=` before its value.{more}"),
        ErrorKind::InvalidUtf8 => "An argument is not UTF-8, and nobody could name it.".to_owned(),
        _ => {
            let told = error.to_string();
            let told = told.lines().next().unwrap_or_default();
            let told = told.strip_prefix("error: ").unwrap_or(told);
            format!("The command line cannot be read: {told}.{more}")
        }
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn hours_are_read_as_they_are_written() {
        for (text, minutes) in [
            ("4", 240.0),
            ("3.5", 210.0),
            ("4 h", 240.0),
            ("4h", 240.0),
            ("3 h 30 min", 210.0),
            ("3h30min", 210.0),
            ("90 min", 90.0),
        ] {
            assert_eq!(super::hours(text), Ok(super::Minutes(minutes)), "{text}");
        }
        for text in ["", "four", "0", "-1", "25", "3 h 30", "4 d", "1e9", "NaN"] {
            assert!(super::hours(text).is_err(), "{text}");
        }
    }

    #[test]
    fn the_definition_holds_together() {
        super::definition().debug_assert();
    }

    /// Every command shows how it is called, and is called so.
    #[test]
    fn every_command_has_examples_that_are_read() {
        let definition = super::definition();
        for command in definition
            .get_subcommands()
            .filter(|command| command.get_name() != "help")
        {
            let examples = super::EXAMPLES
                .iter()
                .find(|(name, _)| *name == command.get_name());
            let (_, examples) = examples.unwrap_or_else(|| panic!("{} has no example", command.get_name()));
            for example in *examples {
                let example = example.split(" > ").next().expect("a command");
                let mut words: Vec<String> = Vec::new();
                for (nth, piece) in example.split('\'').enumerate() {
                    if nth % 2 == 1 {
                        words.push(piece.to_owned());
                    } else {
                        words.extend(piece.split_whitespace().map(str::to_owned));
                    }
                }
                assert_eq!(words[1], command.get_name(), "{example}");
                let read = super::definition().try_get_matches_from(&words);
                assert!(read.is_ok(), "{example}: {:?}", read.err());
            }
        }
    }
}
