//! What other programs are told of the command line, from its own definition: completions for shells and the manual page. The
//! definition is `command`'s.

use clap::{Command, CommandFactory};
use clap_complete::Shell;
use clap_mangen::Man;
use clap_mangen::roff::{Roff, bold, roman};

use crate::command::CommandLine;

/// The exit statuses and what each means.
const STATUSES: [(&str, &str); 3] = [
    ("0", "done, with warnings or none"),
    ("1", "error findings, unreadable input, or refused"),
    ("2", "wrong usage"),
];

/// The script by which a shell completes commands and options.
pub fn completions(shell: Shell) -> String {
    let mut script = Vec::new();
    let mut definition = CommandLine::command();
    let name = definition.get_name().to_owned();
    clap_complete::generate(shell, &mut definition, name, &mut script);
    String::from_utf8_lossy(&script).into_owned()
}

/// The manual page in roff: the program, then each of its commands.
pub fn manual() -> String {
    let mut definition = CommandLine::command();
    definition.build();
    let page = Man::new(definition.clone());
    let mut out = String::new();
    out.push_str(&section(|out| page.render_title(out)));
    out.push_str(&section(|out| page.render_name_section(out)));
    out.push_str(&section(|out| page.render_synopsis_section(out)));
    out.push_str(&section(|out| page.render_description_section(out)));
    out.push_str(&section(|out| page.render_options_section(out)));
    for command in definition
        .get_subcommands()
        .filter(|command| command.get_name() != "help")
    {
        out.push_str(&of_command(command));
    }
    let mut statuses = Roff::new();
    statuses.control("SH", ["EXIT STATUS"]);
    for (status, meaning) in STATUSES {
        statuses.control("TP", []);
        statuses.text([bold(status)]);
        statuses.text([roman(meaning)]);
    }
    out.push_str(&statuses.to_roff());
    out
}

/// One command's part of the page; its sections become paragraphs under its name.
fn of_command(command: &Command) -> String {
    let page = Man::new(command.clone());
    let mut heading = Roff::new();
    heading.control("SH", [command.get_name().to_uppercase().as_str()]);
    let mut out = heading.to_roff();
    for part in [
        section(|out| page.render_synopsis_section(out)),
        section(|out| page.render_description_section(out)),
        section(|out| page.render_options_section(out)),
    ] {
        out.push_str(&part.replace(".SH ", ".SS "));
    }
    if let Some(more) = command.get_after_help() {
        let mut paragraph = Roff::new();
        paragraph.control("PP", []);
        paragraph.text([roman(more.to_string())]);
        out.push_str(&paragraph.to_roff());
    }
    out
}

/// What is written to memory; that cannot fail.
fn section(write: impl FnOnce(&mut dyn std::io::Write) -> std::io::Result<()>) -> String {
    let mut out = Vec::new();
    let _ = write(&mut out);
    String::from_utf8_lossy(&out).into_owned()
}
