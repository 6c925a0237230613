//! Makes a linked program into what a Pico is flashed with, and holds its sizes against a budget. Building the program is
//! left to the board's own folder.

mod budget;
mod program;
mod uf2;

use std::path::Path;
use std::process::ExitCode;
use std::{env, fs};

use budget::Budget;
use program::Program;

const USAGE: &str = "image uf2 PROGRAM FILE       writes FILE, to be dropped on the board's drive
image sizes PROGRAM BUDGET   prints the sizes; fails where one is over the budget";

fn main() -> ExitCode {
    let arguments: Vec<String> = env::args().skip(1).collect();
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let told = match arguments[..] {
        ["uf2", program, file] => write_uf2(Path::new(program), Path::new(file)),
        ["sizes", program, budget] => sizes(Path::new(program), Path::new(budget)),
        _ => Err(USAGE.to_owned()),
    };
    match told {
        Ok(text) => {
            println!("{text}");
            ExitCode::SUCCESS
        }
        Err(text) => {
            eprintln!("{text}");
            ExitCode::FAILURE
        }
    }
}

fn write_uf2(program: &Path, file: &Path) -> Result<String, String> {
    let program = read(program)?;
    let blocks = uf2::blocks(&program);
    fs::write(file, blocks.concat()).map_err(|error| format!("{}: {error}", file.display()))?;
    Ok(format!(
        "{}: {} blocks for the {}",
        file.display(),
        blocks.len(),
        program.chip
    ))
}

fn sizes(program: &Path, budget: &Path) -> Result<String, String> {
    let program = read(program)?;
    let text =
        fs::read_to_string(budget).map_err(|error| format!("{}: {error}", budget.display()))?;
    let budget: Budget = text
        .parse()
        .map_err(|error| format!("{}: {error}", budget.display()))?;
    budget.hold(program.flash(), program.ram, program.chip.memory())
}

fn read(path: &Path) -> Result<Program, String> {
    let bytes = fs::read(path).map_err(|error| format!("{}: {error}", path.display()))?;
    Program::read(&bytes).map_err(|error| format!("{}: {error}", path.display()))
}
