//! `run`: plans, loads the list into this computer's own station and shows it as a page on loopback until stopped. The
//! station's thread is `owner`, the page's side `server`, the job record's `recorder`; what the station does is left to the `station` crate.

mod frame;
mod guard;
mod line;
mod owner;
mod press;
mod record;
mod recorder;
mod server;
mod shown;

use std::net::{Ipv4Addr, TcpListener};
use std::process::ExitCode;

use crate::command::RunOptions;
use crate::planned::{self, Refusing};
use crate::{demo, say};
use owner::Owner;
use recorder::{Job, Recorder};

/// Plans and shows the station until it is stopped.
///
/// # Errors
/// A sentence: the file, the plan, the port or the record stands in the way.
pub fn run(options: &RunOptions) -> Result<ExitCode, String> {
    let demo = options.file.is_none();
    let source = match &options.file {
        Some(file) => planned::read(file)?,
        None => demo::source(),
    };
    let refusing = Refusing {
        despite_errors: options.despite_errors,
        done: "shown",
    };
    let ready = planned::plan(source, refusing)?;
    let folder = record::folder((!demo).then_some(ready.level.as_str()))?;
    if options.anew {
        record::put_away(&folder)?;
    }
    let listener = listen(options.port)?;
    let record = record::open(&folder)?;
    say::tell(format_args!("{}: {}\n", ready.level, ready.summary));
    let station = record::station_id(&folder)?;
    let runner = record::load(record, &ready.list)?;
    let keeper = record::settings()?;
    let (stored, heard) = recorder::telling();
    let owner = Owner::start(runner, keeper, options.screen, station, stored.clone());
    let anew = options.anew;
    let job = Job { ready, demo, anew };
    let handle = owner.handle();
    let shown = move |trouble| handle.not_recorded(trouble);
    let recorder = Recorder::start(owner.line(), job, stored, heard, shown);
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
    recorder.stop();
    let told = owner.stop();
    serving.map_err(|error| format!("the page can no longer be served: {error}\n"))?;
    say::tell(format_args!("stopped; the place is kept: {told}\n"));
    Ok(ExitCode::SUCCESS)
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
