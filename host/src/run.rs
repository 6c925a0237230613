//! `run`: plans, loads the list into this computer's own station and shows it as a page on loopback until stopped. The
//! station's thread is `owner`, the page's side `server`; what the station does is left to the `station` crate.

mod frame;
mod guard;
mod owner;
mod press;
mod record;
mod server;
mod shown;

use std::net::{Ipv4Addr, TcpListener};
use std::process::ExitCode;

use planner::plan::Plan;
use planner::saw_list::SawSheet;
use planner::walk::Sheet;
use station::screen::Panel;

use crate::check;
use crate::command::RunOptions;
use crate::{demo, say};
use owner::Owner;

/// Plans and shows the station until it is stopped.
///
/// # Errors
/// A sentence: the file, the plan, the port or the record stands in the way.
pub fn run(options: &RunOptions) -> Result<ExitCode, String> {
    let plan = planner::plan(&sheet(options)?);
    if !plan.findings.is_empty() {
        say::tell(check::paragraphs(&plan.findings));
    }
    if plan.has_errors() && !options.despite_errors {
        return Err(format!(
            "{}: nothing is shown while a plan has errors; put them right, or say --despite-errors\n",
            check::count(&plan.findings)
        ));
    }
    tell_left_out(&plan);
    let sheet = SawSheet::of(&plan).map_err(|error| format!("{error}\n"))?;
    let level = options.file.is_some().then_some(plan.level.as_str());
    let folder = record::folder(level)?;
    if options.anew {
        record::put_away(&folder)?;
    }
    let listener = listen(options.port)?;
    let record = record::open(&folder)?;
    say::tell(format_args!("{}: {}\n", plan.level, check::summary(&plan)));
    let runner = record::load(record, &sheet)?;
    let owner = Owner::start(runner, panel(options.screen));
    let address = listener.local_addr().map_err(no_port(options.port))?;
    let serving = server::serve(listener, owner.handle(), || {
        let address = format!("http://{address}/");
        say::tell(format_args!("station at {address}\n"));
        if !options.no_open && open::that_detached(&address).is_err() {
            say::tell(format_args!(
                "open this address in a browser; none could be opened from here\n"
            ));
        }
    });
    let told = owner.stop();
    serving.map_err(|error| format!("the page can no longer be served: {error}\n"))?;
    say::tell(format_args!("stopped; the place is kept: {told}\n"));
    Ok(ExitCode::SUCCESS)
}

fn sheet(options: &RunOptions) -> Result<Sheet, String> {
    match &options.file {
        Some(file) => form::read(file).map_err(|refusal| refusal.to_string()),
        None => demo::sheet(),
    }
}

/// Pieces that no stick can give are not on the list.
fn tell_left_out(plan: &Plan) {
    for piece in plan.pieces.iter().filter(|piece| piece.cut.is_none()) {
        let wall = piece.wall.map(|wall| format!(", wall {wall}"));
        say::tell(format_args!(
            "left out: {}{}, {}\n",
            piece.room,
            wall.unwrap_or_default(),
            piece.length.on_tape(plan.mark)
        ));
    }
}

fn panel((width, height): (u32, u32)) -> Panel {
    let panels = [Panel::SMALL, Panel::WIDE];
    let asked = panels
        .into_iter()
        .find(|panel| (panel.width, panel.height) == (width, height));
    asked.unwrap_or(Panel::WIDE)
}

fn listen(port: u16) -> Result<TcpListener, String> {
    TcpListener::bind((Ipv4Addr::LOCALHOST, port)).map_err(no_port(port))
}

fn no_port(port: u16) -> impl Fn(std::io::Error) -> String {
    move |error| match error.kind() {
        std::io::ErrorKind::AddrInUse => format!(
            "port {port} is taken on this computer: say --port N for another, or --port 0 for any that is free\n"
        ),
        _ => format!("port {port} cannot be used: {error}; say --port 0 for any that is free\n"),
    }
}
