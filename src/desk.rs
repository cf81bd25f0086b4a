//! Floor 10: the disk and the command line. The only reader and writer of files, and the only place with a
//! clock and a terminal. Says nothing about machines.

mod command_line;
mod draft;
mod editor;
mod enter;
mod folder;
mod lint;
mod list;
mod masses;
mod mend;
mod money;
mod numbers;
mod pictures;
mod print;
mod printing;
mod shell;
mod starter;
mod state;
mod surroundings;
mod talk;
mod tidy;
mod today;
mod why;
mod worth;
mod write;

use std::process::ExitCode;

use command_line::{Command, Given};
use surroundings::Surroundings;

/// What became of a command that could be carried out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Outcome {
    /// Nothing stands at or above the severity that was asked.
    Clean,
    /// Findings stand.
    Findings,
}

/// Why a command could not be carried out, as whole sentences.
#[derive(Debug, PartialEq, Eq)]
struct Trouble(String);

impl Trouble {
    fn new(sentences: impl Into<String>) -> Self {
        Self(sentences.into())
    }
}

/// Reads the command line, does what it says and returns the exit status: 0 nothing at or above the severity
/// asked for, 1 findings, 2 the command could not be carried out.
#[must_use]
pub fn main() -> ExitCode {
    let around = Surroundings::seen();
    // A mistake of the program is told like any other trouble; it must not look like findings.
    std::panic::set_hook(Box::new(move |told| {
        let place = told
            .location()
            .map_or_else(String::new, |place| format!(" at {place}"));
        let why = told.payload_as_str().unwrap_or("no reason given");
        talk::sentence(
            &format!(
                "The program came to a stop{place}: {why}. That is a mistake in it, and none in the plan."
            ),
            &around,
        );
    }));
    std::panic::catch_unwind(|| carry_out(&around)).unwrap_or_else(|_| ExitCode::from(2))
}

fn carry_out(around: &Surroundings) -> ExitCode {
    let command = match command_line::read() {
        Given::Command(command) => command,
        Given::Help(text) => {
            return talk::show(&text).map_or_else(|trouble| fail(&trouble, around), done);
        }
        Given::NoCommand(text) => {
            talk::aside(&text);
            return ExitCode::from(2);
        }
        Given::Misread(text) => return fail(&Trouble::new(text), around),
    };
    let outcome = match command {
        Command::Lint(asked) => lint::lint(&asked, around),
        Command::Print(asked) => print::print(&asked, around),
        Command::State(asked) => state::state(&asked, around),
        Command::Masses(asked) => masses::masses(&asked, around),
        Command::Draft(asked) => draft::draft(&asked, around),
        Command::Enter(asked) => enter::enter(&asked, around),
        Command::Tidy(asked) => tidy::tidy(&asked, around),
        Command::Today(asked) => today::today(&asked, around),
        Command::Money(asked) => money::money(&asked, around),
        Command::Worth(asked) => worth::worth(&asked, around),
        Command::Editor => return editor::editor(around),
        Command::Completions { shell } => shell::completions(shell),
        Command::Manual => shell::manual(),
        Command::Why { rule } => why::why(rule.as_deref(), around),
        Command::New(asked) => starter::new(&asked, around),
    };
    outcome.map_or_else(|trouble| fail(&trouble, around), done)
}

fn done(outcome: Outcome) -> ExitCode {
    match outcome {
        Outcome::Clean => ExitCode::SUCCESS,
        Outcome::Findings => ExitCode::from(1),
    }
}

fn fail(trouble: &Trouble, around: &Surroundings) -> ExitCode {
    talk::sentence(&trouble.0, around);
    ExitCode::from(2)
}
