//! The command line: what can be asked for. Doing it is left to `main` and the modules that it calls.

use clap::{Args, Parser, Subcommand, ValueEnum};
use clap_complete::Shell;
use planner::sticks::Effort;
use station::screen::Panel;

/// Where the station's place is kept.
const KEPT: &str = "What was cut is kept in this program's data folder, level by level: a file that names the same level \
    goes on where that one was. The environment variable BASERUN_DATA names another data folder.";

/// Which station is meant.
const REACHED: &str = "Without --to the station that is plugged in is found by itself. What stations say is kept in the file \
    job-record.sqlite in this program's data folder; the environment variable BASERUN_DATA names another one.";

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
        /// A walk, a cut list or a set-up file; - reads standard input
        file: String,
        /// Say of every room, too, how well it closes, how small an error would show, and which reading would help most
        #[arg(long)]
        detail: bool,
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
    /// Plan what is left, and show the station on this computer as a web page
    #[command(after_help = KEPT)]
    Run(RunOptions),
    /// Plan, and give the list to a station
    ///
    /// What was said at the saw is taken from the station first. What is cut stays cut; where nothing is wrong the list stays
    /// as it is; where a stick is bad, a piece has to be cut again or the file is another, what is left is planned anew from
    /// what is left of every stick. A plan that plan --format json wrote is loaded as it was written, with its digest, unless
    /// more was said at the saw since.
    #[command(after_help = REACHED)]
    Load(LoadOptions),
    /// Take a station's events, and print what is done and what is left
    #[command(after_help = REACHED)]
    Progress(ProgressOptions),
    /// Write the same walk or cut list in another form, without its remarks, to standard output
    Convert {
        /// A walk or a cut list; - reads standard input
        file: String,
        /// The form that is wanted
        #[arg(long, value_enum)]
        form: SheetForm,
    },
    /// Put what was measured on test cuts into a set-up file
    ///
    /// Only those words are changed; the file as it was is kept beside it.
    Measured(MeasuredOptions),
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
    /// Only what is left, by what this computer knows was said at the saw: what load and run would give the station
    #[arg(long, conflicts_with = "after")]
    pub rest: bool,
    /// What happened at the saw since the first plan, from a file: only the rest is planned, what is cut stays cut
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
    /// For spreadsheets: a row a wall, lengths in decimals.
    Csv,
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
    /// What is done and left, written
    Progress,
    /// What happened at the saw, read
    Events,
}

/// How progress is written.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub enum ProgressFormat {
    /// For people: lines of 80 columns
    #[default]
    Text,
    /// For programs
    Json,
}

/// What `load` can be told.
#[derive(Debug, Clone, Args)]
pub struct LoadOptions {
    /// A walk, a cut list, or a plan as JSON; - reads standard input
    pub file: String,
    /// The station: a serial port such as /dev/ttyACM0 or COM3, or tcp:HOST:PORT
    #[arg(long, value_name = "DEVICE")]
    pub to: Option<String>,
    /// Load a plan that has error findings, without what they leave out
    #[arg(long)]
    pub despite_errors: bool,
}

/// What `progress` can be told.
#[derive(Debug, Clone, Args)]
pub struct ProgressOptions {
    /// The station: a serial port such as /dev/ttyACM0 or COM3, or tcp:HOST:PORT
    #[arg(long, value_name = "DEVICE")]
    pub to: Option<String>,
    /// Ask no station: what this computer holds of the level of this name
    #[arg(long, value_name = "NAME", conflicts_with = "to")]
    pub level: Option<String>,
    /// The form in which it is written
    #[arg(long, value_enum, default_value_t)]
    pub format: ProgressFormat,
}

/// What `measured` is told.
#[derive(Debug, Clone, Args)]
pub struct MeasuredOptions {
    /// The set-up file that levels name
    pub file: String,
    /// What was measured.
    #[command(flatten)]
    pub figures: Figures,
}

/// What can be measured on test cuts; at least one of it.
#[derive(Debug, Clone, Args)]
#[group(required = true, multiple = true)]
pub struct Figures {
    /// The width of wood that the blade turns to dust, as a tape reads or in decimals
    #[arg(long, value_name = "LENGTH")]
    pub kerf: Option<String>,
    /// What the saw cuts, in degrees, swung to the left with its scale at 45
    #[arg(long, value_name = "DEGREES")]
    pub true_45_left: Option<f64>,
    /// The same, swung to the right
    #[arg(long, value_name = "DEGREES")]
    pub true_45_right: Option<f64>,
    /// The same, tilted to the left
    #[arg(long, value_name = "DEGREES")]
    pub true_45_tilt_left: Option<f64>,
    /// The same, tilted to the right
    #[arg(long, value_name = "DEGREES")]
    pub true_45_tilt_right: Option<f64>,
}

/// What `run` can be told.
#[derive(Debug, Clone, Args)]
pub struct RunOptions {
    /// A walk or a cut list; - reads standard input; without it the demo level is shown
    pub file: Option<String>,
    /// The port of the page on this computer; 0 takes any that is free
    #[arg(long, default_value_t = RunOptions::PORT)]
    pub port: u16,
    /// The station's screen in pixels: 128x64, 320x240, 480x320, 800x480 or 1024x600
    #[arg(long, value_name = "WxH", default_value = "800x480", value_parser = screen)]
    pub screen: Panel,
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
            screen: Panel::WIDE,
            no_open: false,
            despite_errors: false,
            anew: false,
        }
    }
}

fn screen(text: &str) -> Result<Panel, String> {
    let size = |panel: &Panel| format!("{}x{}", panel.width, panel.height);
    let asked = Panel::ALL.into_iter().find(|panel| size(panel) == text);
    asked.ok_or_else(|| {
        let sizes = Panel::ALL.each_ref().map(size);
        format!("the screens are {}", sizes.join(", "))
    })
}
