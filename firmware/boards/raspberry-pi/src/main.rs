//! The program at the saw: reads its settings, puts the parts together and runs the station until it is told to stop. What
//! each part does is left to the library.

#[cfg(target_os = "linux")]
mod start;

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::{env, fs, io};

use raspberry_pi::settings::{self, SAMPLE, Settings};
use raspberry_pi::trouble::Trouble;

/// Where the settings are looked for; there they may be missing.
const SETTINGS: &str = "/etc/baserun/station.toml";

const HELP: &str = "\
Shows the saw list one piece at a time, on this computer's own screen.

    baserun-station                 with the settings in /etc/baserun/station.toml
    baserun-station FILE            with the settings in this file
    baserun-station --check [FILE]  says what is wrong in the settings and ends
    baserun-station --times [FILE]  runs, and tells how long every picture takes
    baserun-station --sample        prints settings with every key explained
    baserun-station --devices       lists keyboards and pedals by their names
    baserun-station --contacts [FILE]  tells what wired contacts do, until Ctrl-C
    baserun-station --version
";

fn main() -> ExitCode {
    let arguments: Vec<String> = env::args().skip(1).collect();
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let done = match arguments[..] {
        ["--help" | "-h"] => Ok(HELP.to_owned()),
        ["--version"] => Ok(format!("baserun-station {}\n", env!("CARGO_PKG_VERSION"))),
        ["--sample"] => Ok(SAMPLE.to_owned()),
        ["--devices"] => devices(),
        ["--contacts"] => read(None).and_then(|settings| contacts(&settings)),
        ["--contacts", file] => read(Some(file)).and_then(|settings| contacts(&settings)),
        ["--check"] => read(None).map(|_| "the settings are in order\n".to_owned()),
        ["--check", file] => read(Some(file)).map(|_| "the settings are in order\n".to_owned()),
        [] => read(None).and_then(|settings| start(&settings, false)),
        ["--times"] => read(None).and_then(|settings| start(&settings, true)),
        ["--times", file] => read(Some(file)).and_then(|settings| start(&settings, true)),
        [file] if !file.starts_with('-') => {
            read(Some(file)).and_then(|settings| start(&settings, false))
        }
        _ => {
            eprint!("{HELP}");
            return ExitCode::from(2);
        }
    };
    match done {
        Ok(text) => {
            print!("{text}");
            ExitCode::SUCCESS
        }
        Err(trouble) => {
            eprintln!("{trouble}");
            ExitCode::FAILURE
        }
    }
}

fn read(file: Option<&str>) -> Result<Settings, Trouble> {
    let path = Path::new(file.unwrap_or(SETTINGS));
    let text = match fs::read_to_string(path) {
        Ok(text) => text,
        Err(error) if file.is_none() && error.kind() == io::ErrorKind::NotFound => String::new(),
        Err(error) => return Err(Trouble::NoSettings(PathBuf::from(path), error)),
    };
    settings::read(&text).map_err(|error| Trouble::Settings(path.into(), error.to_string()))
}

#[cfg(target_os = "linux")]
fn devices() -> Result<String, Trouble> {
    let names = raspberry_pi::keyboards::names();
    Ok(match names.as_slice() {
        [] => "there are none, or the right to read them is missing (group input)\n".to_owned(),
        names => names.join("\n") + "\n",
    })
}

#[cfg(target_os = "linux")]
fn contacts(settings: &Settings) -> Result<String, Trouble> {
    start::tell_contacts(settings)
}

#[cfg(target_os = "linux")]
fn start(settings: &Settings, times: bool) -> Result<String, Trouble> {
    start::start(settings, times)
}

#[cfg(not(target_os = "linux"))]
fn devices() -> Result<String, Trouble> {
    Err(Trouble::NotLinux)
}

#[cfg(not(target_os = "linux"))]
fn contacts(_: &Settings) -> Result<String, Trouble> {
    Err(Trouble::NotLinux)
}

#[cfg(not(target_os = "linux"))]
fn start(_: &Settings, _: bool) -> Result<String, Trouble> {
    Err(Trouble::NotLinux)
}
