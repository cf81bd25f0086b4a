//! `completions` and `manual`: what shells and `man` need, made from the one definition of the command line.

use super::command_line::{ShellName, definition, with_names};
use super::{Outcome, Trouble, talk};
use crate::rules::catalogue;

/// A script that completes commands, options and names of rules.
pub(super) fn completions(shell: ShellName) -> Result<Outcome, Trouble> {
    let families = catalogue().iter();
    let names = families.flat_map(|family| {
        let rules = family.rules.iter().map(|rule| rule.name);
        std::iter::once(family.name).chain(rules)
    });
    let mut command = with_names(names.collect());
    let shell = match shell {
        ShellName::Bash => clap_complete::Shell::Bash,
        ShellName::Zsh => clap_complete::Shell::Zsh,
        ShellName::Fish => clap_complete::Shell::Fish,
    };
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut command, "boltfolio", &mut script);
    shown(script)
}

/// The manual page: the program, then each command with its options and examples.
pub(super) fn manual() -> Result<Outcome, Trouble> {
    let unwritten =
        |error: std::io::Error| Trouble::new(format!("The manual page could not be made: {error}."));
    let mut page = Vec::new();
    let mut whole = definition();
    whole.build();
    let man = clap_mangen::Man::new(whole.clone());
    man.render_title(&mut page).map_err(unwritten)?;
    man.render_name_section(&mut page).map_err(unwritten)?;
    man.render_synopsis_section(&mut page).map_err(unwritten)?;
    man.render_description_section(&mut page).map_err(unwritten)?;
    man.render_options_section(&mut page).map_err(unwritten)?;
    for command in whole
        .get_subcommands()
        .filter(|command| command.get_name() != "help")
    {
        let name = command.get_name().to_uppercase();
        page.extend(format!(".SH \"COMMAND {name}\"\n").bytes());
        let man = clap_mangen::Man::new(command.clone());
        let mut own = Vec::new();
        man.render_description_section(&mut own).map_err(unwritten)?;
        man.render_synopsis_section(&mut own).map_err(unwritten)?;
        man.render_options_section(&mut own).map_err(unwritten)?;
        man.render_extra_section(&mut own).map_err(unwritten)?;
        // Sections of the page are parts of this one here.
        let own = String::from_utf8_lossy(&own).replace("\n.SH ", "\n.SS ");
        let own = own
            .strip_prefix(".SH ")
            .map_or_else(|| own.clone(), |rest| format!(".SS {rest}"));
        page.extend(own.bytes());
    }
    shown(page)
}

fn shown(bytes: Vec<u8>) -> Result<Outcome, Trouble> {
    talk::show(&String::from_utf8_lossy(&bytes))
}
