//! The host program: reads a walk or a cut list, plans it, and prints the plan or shows the station. What is asked for is
//! in `command`; planning is left to `planner`, the station to `station`.

mod check;
mod command;
mod demo;
mod form;
mod run;

use std::io::{self, Write};
use std::process::ExitCode;

use clap::Parser;
use planner::plan::Plan;

use command::{Command, CommandLine, Format, RunOptions, SchemaOf, SheetForm};
use form::cut_list::CutListForm;
use form::plan::PlanOut;
use form::walk::WalkForm;

fn main() -> ExitCode {
    let command = CommandLine::parse().command;
    let done = match command.unwrap_or_else(|| Command::Run(RunOptions::demo())) {
        Command::Check { file } => check(&file),
        Command::Plan { file, format } => plan(&file, format),
        Command::Run(options) => run::run(&options),
        Command::Convert { file, form } => convert(&file, form),
        Command::Schema { form } => schema(form),
    };
    done.unwrap_or_else(|sentence| {
        eprint!("{sentence}");
        ExitCode::FAILURE
    })
}

fn check(file: &str) -> Result<ExitCode, String> {
    let plan = planned(file)?;
    print(&check::paragraphs(&plan.findings))?;
    eprintln!("{}", check::count(&plan.findings));
    Ok(status(&plan))
}

fn plan(file: &str, format: Format) -> Result<ExitCode, String> {
    let plan = planned(file)?;
    match format {
        Format::Json => print_json(&PlanOut::of(&plan))?,
    }
    eprintln!("{}", check::summary(&plan));
    Ok(status(&plan))
}

fn schema(form: SchemaOf) -> Result<ExitCode, String> {
    let schema = match form {
        SchemaOf::Walk => schemars::schema_for!(WalkForm),
        SchemaOf::CutList => schemars::schema_for!(CutListForm),
        SchemaOf::Plan => schemars::schema_for!(PlanOut),
    };
    print_json(&schema)?;
    Ok(ExitCode::SUCCESS)
}

fn convert(file: &str, form: SheetForm) -> Result<ExitCode, String> {
    let sheet = form::read(file).map_err(|refusal| refusal.to_string())?;
    print(&match form {
        SheetForm::Text => form::to_text(&sheet),
        SheetForm::Json => form::to_json(&sheet)?,
    })?;
    Ok(ExitCode::SUCCESS)
}

fn planned(file: &str) -> Result<Plan, String> {
    let sheet = form::read(file).map_err(|refusal| refusal.to_string())?;
    Ok(planner::plan(&sheet))
}

fn status(plan: &Plan) -> ExitCode {
    match plan.has_errors() {
        true => ExitCode::FAILURE,
        false => ExitCode::SUCCESS,
    }
}

fn print_json(value: &impl serde::Serialize) -> Result<(), String> {
    let text = serde_json::to_string_pretty(value)
        .map_err(|error| format!("the plan cannot be written: {error}\n"))?;
    print(&format!("{text}\n"))
}

/// Data to standard output; a reader that has gone away wants no more of it.
fn print(text: &str) -> Result<(), String> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
            Err(format!("standard output cannot be written: {error}\n"))
        }
        _ => Ok(()),
    }
}
