//! The host program: reads a walk or a cut list, plans it, and prints the plan or shows the station. What is asked for is
//! in `command`; planning is left to `planner`, the station to `station`.

mod check;
mod command;
mod demo;
mod events;
mod jobs;
mod load;
mod manual;
mod measured;
mod paper;
mod planned;
mod progress;
mod reach;
mod rest;
mod run;
mod say;
mod search;
mod taking;

use std::io::{self, IsTerminal, Write};
use std::process::ExitCode;

use clap::Parser;
use planner::finding::{Finding, any_error};
use planner::plan::Plan;
use planner::sticks::Wishes;
use planner::walk::Sheet;

use command::{Command, CommandLine, Format, RunOptions, SchemaOf, SearchOptions, SheetForm};
use form::Source;
use form::cut_list::CutListForm;
use form::plan::PlanOut;
use form::walk::WalkForm;
use paper::Look;
use say::{print, print_json, tell, written};

fn main() -> ExitCode {
    let command = match CommandLine::try_parse() {
        Ok(line) => line.command,
        Err(error) if error.use_stderr() => error.exit(),
        Err(help) => return ended(help_shown(&help)),
    };
    ended(
        match command.unwrap_or_else(|| Command::Run(RunOptions::demo())) {
            Command::Check { file, detail } => check(&file, detail),
            Command::Plan {
                file,
                format,
                ascii,
                search,
            } => plan(&file, format, ascii, &search),
            Command::Run(options) => run::run(&options),
            Command::Load(options) => load::load(&options),
            Command::Progress(options) => progress::progress(&options),
            Command::Convert { file, form } => convert(&file, form),
            Command::Measured(options) => measured::measured(&options),
            Command::Schema { form } => schema(form),
            Command::Completions { shell } => {
                print(&manual::completions(shell)).map(|()| ExitCode::SUCCESS)
            }
            Command::Manual => print(&manual::manual()).map(|()| ExitCode::SUCCESS),
        },
    )
}

/// Help and version, which were asked for.
fn help_shown(help: &clap::Error) -> Result<ExitCode, String> {
    written(help.print().and_then(|()| io::stdout().flush())).map(|()| ExitCode::SUCCESS)
}

fn ended(done: Result<ExitCode, String>) -> ExitCode {
    done.unwrap_or_else(|sentence| {
        tell(sentence);
        ExitCode::FAILURE
    })
}

fn check(file: &str, detail: bool) -> Result<ExitCode, String> {
    let source = planned::read(file)?;
    if form::is_setup_file(&source) {
        return check_setup_file(&source);
    }
    let sheet = form::read_source(&source).map_err(|refusal| refusal.told("nothing is planned"))?;
    let findings = planner::check(&sheet);
    print(&check::drawn(&findings, &sheet))?;
    if detail {
        print(&check::detail(&sheet))?;
    }
    tell(format_args!("{}\n", check::count(&findings)));
    Ok(status(&findings))
}

/// A set-up file has no rooms: its saw and its stock are judged.
fn check_setup_file(source: &Source) -> Result<ExitCode, String> {
    let setup = form::read_setup_file(source).map_err(|refusal| refusal.told("nothing is used"))?;
    let findings = setup.as_ref().map(planner::setup_findings);
    let findings = findings.unwrap_or_default();
    print(&check::paragraphs(&findings))?;
    let name = &source.name;
    tell(format_args!(
        "{name} has no rooms: it is a set-up file, for every level that has the line: setup {name}\n{}\n",
        check::count(&findings)
    ));
    Ok(status(&findings))
}

fn plan(
    file: &str,
    format: Format,
    ascii: bool,
    search: &SearchOptions,
) -> Result<ExitCode, String> {
    let sheet = read(file)?;
    let wishes = Wishes {
        room_by_room: search.room_by_room,
    };
    let plan = match (&search.after, search.rest) {
        (Some(events), _) => after(&sheet, &wishes, events, search.effort)?,
        (None, false) => search::with_effort(search.effort, |effort| {
            planner::plan_with(&sheet, &wishes, effort)
        }),
        (None, true) => match rest::rest(&sheet, &wishes, search.effort)? {
            Some(plan) => plan,
            None => return Ok(ExitCode::SUCCESS),
        },
    };
    let look = Look {
        ascii,
        colour: colour_is_wanted(),
    };
    match format {
        Format::Text => print(&paper::text(&plan, look))?,
        Format::Html => print(&paper::page(&sheet, &plan))?,
        Format::Json => print_json(&PlanOut::of(&plan))?,
    }
    tell(format_args!("{}\n", check::summary(&plan)));
    Ok(status(&plan.findings))
}

/// Plans what is left after what happened at the saw.
fn after(sheet: &Sheet, wishes: &Wishes, file: &str, allowed: u32) -> Result<Plan, String> {
    let happened = events::read(file)?;
    let first = search::with_effort(allowed, |effort| planner::plan_with(sheet, wishes, effort));
    search::with_effort(allowed, |effort| {
        planner::replan(sheet, wishes, &first, &happened, effort)
    })
    .map_err(|error| format!("{file}: {error}\n"))
}

fn schema(form: SchemaOf) -> Result<ExitCode, String> {
    let schema = match form {
        SchemaOf::Walk => schemars::schema_for!(WalkForm),
        SchemaOf::CutList => schemars::schema_for!(CutListForm),
        SchemaOf::Plan => schemars::schema_for!(PlanOut),
        SchemaOf::Progress => schemars::schema_for!(progress::Report),
        SchemaOf::Events => schemars::schema_for!(events::EventsForm),
    };
    print_json(&schema)?;
    Ok(ExitCode::SUCCESS)
}

fn convert(file: &str, form: SheetForm) -> Result<ExitCode, String> {
    let sheet = form::read(file).map_err(|refusal| refusal.told("nothing is converted"))?;
    print(&match form {
        SheetForm::Text => form::to_text(&sheet),
        SheetForm::Csv => form::to_csv(&sheet),
        SheetForm::Json => form::to_json(&sheet)?,
    })?;
    Ok(ExitCode::SUCCESS)
}

/// For a plan.
fn read(file: &str) -> Result<Sheet, String> {
    form::read(file).map_err(|refusal| refusal.told("nothing is planned"))
}

fn status(findings: &[Finding]) -> ExitCode {
    match any_error(findings) {
        true => ExitCode::FAILURE,
        false => ExitCode::SUCCESS,
    }
}

/// Whether a person looks at standard output and has not asked for plain text (no-color.org).
fn colour_is_wanted() -> bool {
    let plain = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
    io::stdout().is_terminal() && !plain
}
