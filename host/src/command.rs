//! The command line: what can be asked for. Doing it is left to `main` and the modules that it calls.

use clap::{Args, Parser, Subcommand, ValueEnum};
use clap_complete::Shell;
use planner::sticks::Effort;

/// Where the station's place is kept.
const KEPT: &str = "What was cut is kept in this program's data folder, level by level: a file that names the same level \
    goes on where that one was. The environment variable BASERUN_DATA names another data folder.";

const COMPLETED: &str =
    "For bash: baserun completions bash > ~/.local/share/bash-completion/completions/baserun";

const READ: &str = "To read it: baserun manual > baserun.1, then man ./baserun.1";

/// From measured rooms to the right cut on the screen, place kept.
///
/// Without a command the demo level is planned and shown, like `baserun run`.
#[derive(Debug, Parser)]
#[command(name = "baserun", version)]
pub struct CommandLine {
    /// What to do.
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Say what is wrong or doubtful in a walk or a cut list, and nothing else
    Check {
        /// A walk or a cut list; - reads standard input
        file: String,
    },
    /// Plan every piece, stick and cut, and write the whole plan to standard output
    ///
    /// As text it is 80 columns wide, for a terminal, a phone or a printer; colour is used only on a terminal and only
    /// where the environment variable NO_COLOR is not set.
    Plan {
        /// A walk or a cut list; - reads standard input
        file: String,
        /// The form in which the plan is written
        #[arg(long, value_enum, default_value_t)]
        format: Format,
        /// Draw with plain letters and signs only; the file's own names stay as they are
        #[arg(long)]
        ascii: bool,
        #[command(flatten)]
        search: SearchOptions,
    },
    /// Plan, and show the station on this computer as a web page
    #[command(after_help = KEPT)]
    Run(RunOptions),
    /// Write the same walk or cut list in another form, without its remarks, to standard output
    Convert {
        /// A walk or a cut list; - reads standard input
        file: String,
        /// The form that is wanted
        #[arg(long, value_enum)]
        form: SheetForm,
    },
    /// Print the JSON Schema of a form
    Schema {
        /// Which form
        #[arg(value_enum)]
        form: SchemaOf,
    },
    /// Print what a shell needs to complete this program's commands and options
    #[command(after_help = COMPLETED)]
    Completions {
        /// Which shell
        #[arg(value_enum)]
        shell: Shell,
    },
    /// Print the manual page, for man
    #[command(after_help = READ)]
    Manual,
}

/// How a plan is looked for.
#[derive(Debug, Clone, Args)]
pub struct SearchOptions {
    /// How long to look for cheaper sticks, in steps of about a thousandth of a second; it ends sooner where the plan is
    /// proved the cheapest. The same file and effort always give the same plan
    #[arg(long, value_name = "N", default_value_t = Effort::USUAL)]
    pub effort: u32,
    /// Cut the pieces of a room close together in the list, though the saw is set anew more often
    #[arg(long)]
    pub room_by_room: bool,
    /// What happened at the saw since the first plan: only the rest is planned, what is cut stays cut
    #[arg(long, value_name = "EVENTS.json")]
    pub after: Option<String>,
}

/// How a plan is written.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For people: lines of 80 columns
    #[default]
    Text,
    /// For people: one page with drawings, to be opened in a browser and printed
    Html,
    /// For programs
    Json,
}

/// How a walk or a cut list is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum SheetForm {
    /// For people: a line a wall.
    Text,
    /// For programs.
    Json,
}

/// The forms that have a schema.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum SchemaOf {
    /// Rooms as measured, read
    Walk,
    /// Pieces decided already, read
    CutList,
    /// The whole plan, written
    Plan,
    /// What happened at the saw, read
    Events,
}

/// What `run` can be told.
#[derive(Debug, Clone, Args)]
pub struct RunOptions {
    /// A walk or a cut list; - reads standard input; without it the demo level is shown
    pub file: Option<String>,
    /// The port of the page on this computer; 0 takes any that is free
    #[arg(long, default_value_t = RunOptions::PORT)]
    pub port: u16,
    /// The station's screen in pixels: 320x240 or 800x480
    #[arg(long, value_name = "WxH", default_value = "800x480", value_parser = screen_size)]
    pub screen: (u32, u32),
    /// Do not open the page in a browser
    #[arg(long)]
    pub no_open: bool,
    /// Show a plan that has error findings, without what they leave out
    #[arg(long)]
    pub despite_errors: bool,
    /// Begin the level anew, as for the next house of the same plan; what was cut before is put away, not deleted
    #[arg(long)]
    pub anew: bool,
}

impl RunOptions {
    /// The port where none is asked for.
    pub const PORT: u16 = 7373;

    /// The demo level on the usual screen.
    pub fn demo() -> RunOptions {
        RunOptions {
            file: None,
            port: RunOptions::PORT,
            screen: (800, 480),
            no_open: false,
            despite_errors: false,
            anew: false,
        }
    }
}

fn screen_size(text: &str) -> Result<(u32, u32), String> {
    match text {
        "320x240" => Ok((320, 240)),
        "800x480" => Ok((800, 480)),
        _ => Err("the screens are 320x240 and 800x480".to_owned()),
    }
}
