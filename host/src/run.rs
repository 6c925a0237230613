//! `run`: plans, loads the list into this computer's own station and shows it as a page on loopback until stopped. The
//! station's thread is `owner`, the page's side `server`, the job record's `job` and `recorder`; what the station does is left to the `station` crate.

mod frame;
mod guard;
mod job;
mod line;
mod owner;
mod press;
mod record;
mod recorder;
mod server;
mod shown;

use std::net::{Ipv4Addr, TcpListener};
use std::process::ExitCode;

use file_record::FileRecord;
use station::runner::Runner;

use crate::command::RunOptions;
use crate::planned::{self, Planned, Refusing};
use crate::{demo, jobs, say};
use owner::Owner;
use recorder::Recorder;

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
    let level = planned::level_of(&source)?;
    // where nothing can have been said yet a plan with errors is refused before anything is put away or made
    let fresh = options.anew || !jobs::data_folder()?.exists();
    let fresh = fresh.then(|| planned::plan(source.clone(), None, refusing));
    let fresh = fresh.transpose()?;
    let folder = record::folder((!demo).then_some(level.as_str()))?;
    if options.anew {
        record::put_away(&folder)?;
    }
    let listener = listen(options.port)?;
    let record = record::open(&folder)?;
    let station = record::station_id(&folder)?;
    let mut runner = Runner::start(record, false, &[]);
    let level = planned::level_name(&level, demo);
    let mut job = job::Job::open(level, options.anew, &mut runner, station, options.screen);
    let known = job.as_ref().map(|job| job.known(station));
    let planned = match fresh {
        Some(planned) => planned,
        None => planned::plan(source, known, refusing)?,
    };
    match planned {
        Planned::Ready(ready) => {
            say::tell(format_args!("{}: {}\n", ready.level, ready.summary));
            record::load(&mut runner, &ready.list)?;
            if let Some(job) = &mut job {
                job.loaded(&ready, &runner, station);
            }
        }
        Planned::AllCut(level) => all_cut(&level, &runner)?,
    }
    let keeper = record::settings()?;
    let (stored, heard) = recorder::telling();
    let owner = Owner::start(runner, keeper, options.screen, station, stored.clone());
    let handle = owner.handle();
    let shown = move |trouble| handle.not_recorded(trouble);
    let recorder = Recorder::start(owner.line(), stored, heard, shown);
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

/// Every piece of the level is cut: the station shows that by the list it has.
///
/// # Errors
/// A sentence: it has none.
fn all_cut(level: &str, runner: &Runner<FileRecord>) -> Result<(), String> {
    let cut = format!("{level}: every piece of it is cut");
    match runner.place() {
        Some(_) => {
            say::tell(format_args!("{cut}\n"));
            Ok(())
        }
        None => Err(format!(
            "{cut}, at another station: there is nothing left to show; --anew begins it anew\n"
        )),
    }
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
