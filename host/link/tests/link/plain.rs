//! Lines without faults: what is refused, what is told, a station in this computer and one behind TCP. Faulty lines are
//! left to `faults`.

use std::io::{ErrorKind, Read, Write};
use std::net::TcpListener;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;
use std::time::Duration;

use fastrand::Rng;
use link::{Link, LinkError, Loaded, Manner, TICK, To, connect, pipe};
use shared_model::frame::{self, Kind, MOST_FRAME};
use shared_model::messages::{Answer, Known, LINK_VERSION, Refusal};
use station::machine::Key;
use station::record::Record;

use crate::line::{CLEAN, Line, Station, about, last};
use crate::sample::list;

fn manner() -> Manner {
    Manner {
        first_number: 1,
        ..Manner::default()
    }
}

#[test]
fn a_list_is_loaded_once_and_a_later_press_refuses_the_next() {
    let mut dice = Rng::with_seed(1);
    let (first, second) = (list(130, &mut dice), list(20, &mut dice));
    let mut station = Station::new(1);
    let known = |sequence| Known { epoch: 1, sequence };
    {
        let line = Line::to(&mut station, CLEAN, 1);
        let mut link = Link::open(line, manner()).expect("a station");
        assert_eq!(link.station().list, None);
        let mut steps = Vec::new();
        let loaded = link.load(&first, known(0), &mut |step| steps.push(step.done));
        assert_eq!(loaded.expect("no refusal"), Loaded::New);
        assert!(steps.is_sorted() && steps.last() == Some(&130), "{steps:?}");
        let loaded = link.load(&first, known(0), &mut |_| {});
        assert_eq!(loaded.expect("no refusal"), Loaded::InUseAlready);
        assert_eq!(link.time().expect("a clock").boot, 1);
        link.show().expect("shown");
    }
    assert_eq!(station.runner.record().list(), Some(&first));
    station.press(Key::Done);
    let line = Line::to(&mut station, CLEAN, 2);
    let mut link = Link::open(line, manner()).expect("a station");
    let behind = link.load(&second, known(0), &mut |_| {});
    let Err(LinkError::Refused(Refusal::ListBehind { made_with, stored })) = behind else {
        panic!("{behind:?}");
    };
    assert_eq!((made_with, stored), (known(0), known(1)));
    let other = link.load(
        &second,
        Known {
            epoch: 9,
            sequence: 1,
        },
        &mut |_| {},
    );
    let sentence = other.expect_err("another epoch").to_string();
    assert!(sentence.contains("begun its events anew"), "{sentence}");
    let taken = link.take_events(known(0), &mut |_| {}).expect("events");
    assert_eq!((taken.events.len(), taken.last), (1, known(1)));
    let again = link.take_events(taken.last, &mut |_| {}).expect("none");
    assert_eq!((again.events, again.missing), (vec![], vec![]));
    // a record that knows more than the station has lost something
    let gone = link.take_events(known(5), &mut |_| {});
    assert!(
        matches!(gone, Err(LinkError::EventsGone { taken: 5, last: 1 })),
        "{gone:?}"
    );
    // a log of another epoch is taken from its beginning
    let anew = link.take_events(
        Known {
            epoch: 8,
            sequence: 70,
        },
        &mut |_| {},
    );
    assert_eq!(anew.expect("events").events.len(), 1);
    assert!(matches!(
        link.load(&second, known(1), &mut |_| {}),
        Ok(Loaded::New)
    ));
}

#[test]
fn numbers_that_the_station_no_longer_has_are_told() {
    let mut dice = Rng::with_seed(2);
    let mut station = Station::new(2);
    let sheet = list(90, &mut dice);
    {
        let line = Line::to(&mut station, CLEAN, 1);
        let mut link = Link::open(line, manner()).expect("a station");
        link.load(
            &sheet,
            Known {
                epoch: 1,
                sequence: 0,
            },
            &mut |_| {},
        )
        .expect("loaded");
    }
    (0..80).for_each(|_| station.press(Key::Done));
    assert_eq!(last(&station), 80);
    // dropped after another host confirmed them, and two in the middle that cannot be read
    station
        .medium
        .borrow_mut()
        .events
        .retain(|event| event.sequence > 10);
    station
        .medium
        .borrow_mut()
        .events
        .retain(|event| !(40..42).contains(&event.sequence));
    // `Memory` counts what it holds, so that the last events seem to be gone as well
    let line = Line::to(&mut station, CLEAN, 3);
    let mut link = Link::open(line, manner()).expect("a station");
    let taken = link
        .take_events(
            Known {
                epoch: 1,
                sequence: 4,
            },
            &mut |_| {},
        )
        .expect("events");
    assert_eq!(taken.missing, [5..=10, 40..=41]);
    assert_eq!((taken.events.len(), taken.last.sequence), (68, 80));
}

#[test]
fn a_question_that_stands_is_waited_for_and_then_makes_the_list_old() {
    let mut dice = Rng::with_seed(9);
    let mut station = Station::new(9);
    let known = |sequence| Known { epoch: 1, sequence };
    let (first, second) = (list(9, &mut dice), list(8, &mut dice));
    {
        let line = Line::to(&mut station, CLEAN, 1);
        let mut link = Link::open(line, manner()).expect("a station");
        link.load(&first, known(0), &mut |_| {}).expect("loaded");
    }
    station.press(Key::Done);
    station.begin_press(Key::CutAgain);
    let line = Line::to(&mut station, CLEAN, 2);
    let mut link = Link::open(line, manner()).expect("a station");
    let behind = link.load(&second, known(1), &mut |_| {});
    let Err(LinkError::Refused(Refusal::ListBehind { stored, .. })) = behind else {
        panic!("{behind:?}");
    };
    assert_eq!(stored, known(2));
    let loaded = link.load(&second, known(2), &mut |_| {});
    assert_eq!(loaded.expect("no refusal"), Loaded::New);
}

/// A station that answers every hello like this, whatever it is asked.
fn answers_hello(version: u16, number: u32) -> impl Read + Write {
    let (here, mut there) = pipe();
    thread::spawn(move || {
        let mut station = Station::new(3);
        let line = Line::to(&mut station, CLEAN, 3);
        let link = Link::open(line, manner()).expect("a station");
        let mut hello = link.station().clone();
        hello.version = version;
        let mut buffer = [0; MOST_FRAME];
        let frame = frame::write(Kind::Answer, number, &Answer::Hello(hello), &mut buffer);
        let frame = frame.expect("it fits");
        while there.write_all(frame).is_ok() {
            thread::sleep(TICK);
        }
    });
    here
}

#[test]
fn a_station_of_another_version_is_told_in_a_sentence() {
    let first_number = 41;
    let manner = Manner {
        first_number,
        ..manner()
    };
    let wire = answers_hello(LINK_VERSION + 1, 42);
    let error = Link::open(wire, manner).err().expect("another version");
    assert_eq!(
        error.to_string(),
        "this station speaks link 2, this program link 1: get the newer program; nothing was sent, and the station goes on as it is"
    );
}

#[test]
fn answers_to_others_and_silence_are_no_answers() {
    let short = Manner {
        patience: Duration::from_millis(60),
        asks: 2,
        first_number: 1,
    };
    // it answers all the time, and never this request
    let error = Link::open(answers_hello(LINK_VERSION, 77), short).err();
    assert!(matches!(error, Some(LinkError::NoAnswer)), "{error:?}");
    let (here, there) = pipe();
    let error = Link::open(here, short).err();
    assert!(matches!(error, Some(LinkError::NoAnswer)), "{error:?}");
    drop(there);
    let (here, there) = pipe();
    drop(there);
    let error = Link::open(here, short).err();
    assert!(matches!(error, Some(LinkError::Cut(_))), "{error:?}");
}

/// Runs a station at the other end of a line until the line is cut or it is told to stop.
fn serve(mut wire: impl Read + Write, stop: &AtomicBool) {
    let mut station = Station::new(4);
    let mut link = station::link::Link::new(about());
    let mut bytes = [0; 256];
    while !stop.load(Ordering::Relaxed) {
        match wire.read(&mut bytes) {
            Ok(0) => return,
            Ok(count) => {
                link.take(&bytes[..count], &mut station.runner, 5_000);
                let sent = link.to_send().to_vec();
                link.sent(sent.len());
                if wire.write_all(&sent).is_err() {
                    return;
                }
            }
            Err(error) if matches!(error.kind(), ErrorKind::TimedOut | ErrorKind::WouldBlock) => {}
            Err(_) => return,
        }
    }
}

#[test]
fn a_station_in_this_computer_is_loaded_through_a_pipe() {
    let (here, there) = pipe();
    let station = thread::spawn(move || serve(there, &AtomicBool::new(false)));
    let mut link = Link::open(here, manner()).expect("a station");
    let known = link.station().last();
    let loaded = link.load(&list(400, &mut Rng::with_seed(6)), known, &mut |_| {});
    assert_eq!(loaded.expect("no refusal"), Loaded::New);
    drop(link);
    station.join().expect("it ends with the line");
}

#[test]
fn a_station_behind_tcp_is_loaded() {
    let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
    let port = listener.local_addr().expect("an address").port();
    let station = thread::spawn(move || {
        let (stream, _) = listener.accept().expect("a host");
        stream.set_read_timeout(Some(TICK)).expect("a timeout");
        serve(stream, &AtomicBool::new(false));
    });
    let to: To = format!("tcp:127.0.0.1:{port}").parse().expect("a way");
    let mut link = Link::open(connect(&to).expect("a line"), manner()).expect("a station");
    let known = link.station().last();
    let sheet = list(50, &mut Rng::with_seed(7));
    assert_eq!(
        link.load(&sheet, known, &mut |_| {}).expect("no refusal"),
        Loaded::New
    );
    let in_use = link
        .greet()
        .expect("a station")
        .list
        .as_ref()
        .map(|list| list.digest);
    assert_eq!(in_use, Some(sheet.head.digest));
    drop(link);
    station.join().expect("it ends with the line");
    // nobody is there any more
    let error = connect(&to).err().expect("no station").to_string();
    assert!(
        error.starts_with(&format!("{to} cannot be opened: ")),
        "{error}"
    );
}

#[cfg(target_os = "linux")]
#[test]
fn a_station_behind_a_serial_port_is_loaded() {
    use serialport::{SerialPort, TTYPort};

    let Ok((mut there, here)) = TTYPort::pair() else {
        panic!("no pseudo-terminal");
    };
    there.set_timeout(TICK).expect("a timeout");
    let port = here.name().expect("a name");
    let stop = Arc::new(AtomicBool::new(false));
    let stopped = Arc::clone(&stop);
    let station = thread::spawn(move || serve(there, &stopped));
    // opened by its name as any port is; the pair holds its own end for itself alone until it is let go
    let to: To = port.parse().expect("a way");
    drop(here);
    let mut link = Link::open(connect(&to).expect("a line"), manner()).expect("a station");
    let known = link.station().last();
    let sheet = list(200, &mut Rng::with_seed(8));
    assert_eq!(
        link.load(&sheet, known, &mut |_| {}).expect("no refusal"),
        Loaded::New
    );
    drop(link);
    stop.store(true, Ordering::Relaxed);
    station.join().expect("it is told to stop");
}
