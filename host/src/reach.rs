//! The way to a station: the one that was named, or the only one that is found; and what takes a while there, with a bar.
//! What is taken and sent is left to the callers.

use std::fmt::Write as _;

use indicatif::{ProgressBar, ProgressStyle};
use job_record::JobRecord;
use link::{Link, LinkError, Loaded, Manner, Search, Step, To, Wire, connect, find};
use planner::saw_list::SawSheet;
use shared_model::messages::{Hello, Known};

use crate::taking::{Kept, take};
use crate::{check, say};

/// A station that answers.
pub struct Reached {
    /// The way to it.
    pub to: String,
    /// The line to it.
    pub link: Link<Box<dyn Wire + Send>>,
}

impl Reached {
    /// What the station says of itself and where it is, such as `station 0123456789abcdef (test board) at COM3`.
    fn words(&self) -> String {
        format!("{} at {}", station_words(self.link.station()), self.to)
    }

    /// Takes its events into the record, with a bar while they come, and tells how many were new.
    ///
    /// # Errors
    /// A sentence of the link or the record.
    pub fn take(&mut self, record: &mut JobRecord) -> Result<Kept, String> {
        let bar = bar("events");
        let kept = take(&mut self.link, record, &self.to, &mut |step| {
            show(&bar, step);
        });
        bar.finish_and_clear();
        let kept = kept.map_err(|error| format!("{}: {error}\n", self.to))?;
        let new = match kept.new {
            0 => "nothing new".to_owned(),
            new => format!("{} taken", check::plural(new, "event")),
        };
        say::tell(format_args!("{}: {new}\n", self.words()));
        for sentence in &kept.told {
            say::tell(format_args!("{sentence}\n"));
        }
        Ok(kept)
    }

    /// Sends it a list, with a bar meanwhile.
    ///
    /// # Errors
    /// Those of the link.
    pub fn load(&mut self, list: &SawSheet, made_with: Known) -> Result<Loaded, LinkError> {
        let bar = bar("pieces");
        let loaded = self
            .link
            .load(list, made_with, &mut |step| show(&bar, step));
        bar.finish_and_clear();
        loaded
    }
}

/// Reaches the station that is named, or else the only one that is found.
///
/// # Errors
/// A sentence: it does not answer, there is none, or there are several and how to name one.
pub fn reach(to: Option<&str>) -> Result<Reached, String> {
    let to: To = match to {
        Some(to) => to.parse().map_err(|error| format!("{error}\n"))?,
        None => the_only_one(find())?,
    };
    let wire = connect(&to).map_err(|error| format!("{error}\n"))?;
    let link = Link::open(wire, Manner::default()).map_err(|error| format!("{to}: {error}\n"))?;
    Ok(Reached {
        to: to.to_string(),
        link,
    })
}

fn the_only_one(mut search: Search) -> Result<To, String> {
    match (search.stations.len(), search.stations.pop()) {
        (1, Some(station)) => Ok(station.to),
        (_, Some(last)) => {
            search.stations.push(last);
            let mut text = "several stations are plugged in: say which one with --to\n".to_owned();
            for station in &search.stations {
                // writing to a text cannot fail
                let _ = writeln!(
                    text,
                    "  --to {}  {}{}",
                    station.to,
                    station_words(&station.hello),
                    list_words(&station.hello)
                );
            }
            Err(text)
        }
        (_, None) => {
            let mut text = "no station was found: switch one on and plug it in, or say where it is with --to, such as \
                 --to /dev/ttyACM0, --to COM3 or --to tcp:192.168.1.20:7370\n"
                .to_owned();
            for silent in &search.silent {
                let _ = writeln!(text, "  {}: {}", silent.to, silent.why);
            }
            Err(text)
        }
    }
}

fn station_words(hello: &Hello) -> String {
    format!("station {} ({})", hello.station, hello.board)
}

fn list_words(hello: &Hello) -> String {
    let list = hello.list.as_ref();
    list.map_or_else(
        || ", without a list".to_owned(),
        |list| format!(", {}", list.level),
    )
}

/// A bar that fills, on standard error and only where a person looks at it.
fn bar(what: &'static str) -> ProgressBar {
    let bar = ProgressBar::new(0);
    let style = ProgressStyle::with_template("{msg} {wide_bar} {pos} of {len}");
    bar.set_style(style.unwrap_or_else(|_| ProgressStyle::default_bar()));
    bar.set_message(what);
    bar
}

/// Shows on the bar how far something is; nothing where there is nothing to come.
fn show(bar: &ProgressBar, step: Step) {
    if step.of == 0 {
        return;
    }
    bar.set_length(u64::from(step.of));
    bar.set_position(u64::from(step.done));
}

#[cfg(test)]
mod tests {
    use link::{Found, LinkError, Silent};
    use shared_model::messages::{ListInUse, ScreenSize, StationId};

    use super::*;

    fn found(port: &str, level: Option<&str>) -> Found {
        let list = level.map(|level| ListInUse {
            level: level.try_into().expect("a short name"),
            digest: 1,
        });
        Found {
            to: To::Serial(port.to_owned()),
            hello: Hello {
                version: 1,
                station: StationId(0xabc),
                epoch: 1,
                last_event: 0,
                boot: 1,
                firmware: "0.1.0".try_into().expect("a short name"),
                board: "test board".try_into().expect("a short name"),
                screen: ScreenSize {
                    width: 320,
                    height: 240,
                },
                capacity: 512,
                list,
            },
        }
    }

    #[test]
    fn one_station_is_taken_and_several_are_listed() {
        let one = Search {
            stations: vec![found("COM3", None)],
            silent: Vec::new(),
        };
        assert_eq!(the_only_one(one), Ok(To::Serial("COM3".to_owned())));
        let several = Search {
            stations: vec![found("COM3", None), found("COM4", Some("Upper floor"))],
            silent: Vec::new(),
        };
        let expected = "\
several stations are plugged in: say which one with --to
  --to COM3  station 0000000000000abc (test board), without a list
  --to COM4  station 0000000000000abc (test board), Upper floor
";
        assert_eq!(the_only_one(several), Err(expected.to_owned()));
    }

    #[test]
    fn where_there_is_none_it_says_what_to_do_and_what_was_tried() {
        let none = Search {
            stations: Vec::new(),
            silent: vec![Silent {
                to: To::Serial("COM7".to_owned()),
                why: LinkError::NoAnswer,
            }],
        };
        let told = the_only_one(none).expect_err("no station");
        let lines: Vec<&str> = told.lines().collect();
        assert!(lines[0].starts_with("no station was found: switch one on and plug it in"));
        assert!(lines[1].starts_with("  COM7: nothing answers"));
        assert_eq!(lines.len(), 2);
    }
}
