//! The examples of `WIRE.md`: the code writes and reads each of them, and none is missing. What they mean is said there.

use shared_model::frame::Receiver;
use shared_model::messages::{
    Answer, LINK_VERSION, MOST_EVENTS, MOST_MOULDINGS, MOST_ROOMS, Mismatch, Request,
};
use shared_model::{Cautions, End, Event, Length, Moulding, Piece, PieceEnd, PieceId, What};

use crate::examples::{Message, all, heard, known, piece, text};

pub const WIRE: &str = include_str!("../../WIRE.md");

/// `name: bytes` lines of the page's examples.
fn examples() -> Vec<(String, Vec<u8>)> {
    let blocks = WIRE.split("```").skip(1).step_by(2);
    let mut all: Vec<(String, Vec<u8>)> = Vec::new();
    for line in blocks.flat_map(str::lines) {
        let (name, bytes) = match line.split_once(':') {
            Some((name, bytes)) => {
                all.push((name.trim().to_owned(), Vec::new()));
                (name, bytes)
            }
            None => ("", line),
        };
        let bytes = bytes
            .split_whitespace()
            .map(|byte| u8::from_str_radix(byte, 16));
        let bytes: Vec<u8> = bytes
            .collect::<Result<_, _>>()
            .unwrap_or_else(|_| panic!("{name}"));
        if let Some(last) = all.last_mut() {
            last.1.extend(bytes);
        }
    }
    all
}

#[test]
fn the_page_and_the_code_write_the_same_bytes() {
    let on_page = examples();
    let mut wanted = String::new();
    let mut same = on_page.len() == all().len();
    for (name, message) in all() {
        let frame = message.frame(1);
        let bytes: Vec<String> = frame.iter().map(|byte| format!("{byte:02x}")).collect();
        let lines: Vec<String> = bytes.chunks(32).map(|line| line.join(" ")).collect();
        wanted.push_str(&format!("{name}: {}\n", lines.join("\n    ")));
        same &= on_page.contains(&(name.to_owned(), frame.clone()));
        let kind = message.kind();
        let read = heard(&mut Receiver::of(kind), kind, &frame);
        assert_eq!(read, [(1, message)], "{name}");
    }
    assert!(same, "the code writes\n{wanted}");
}

#[test]
fn a_mismatch_says_what_to_do() {
    let sentence = |station| {
        let program = LINK_VERSION;
        Mismatch { station, program }.to_string()
    };
    let newer = LINK_VERSION + 1;
    assert!(
        sentence(newer)
            .starts_with("this station speaks link 2, this program link 1: get the newer program")
    );
    assert!(sentence(0).contains("give it the newer firmware"));
    assert!(WIRE.contains(&sentence(newer)));
}

#[test]
fn the_most_of_each_fit_a_frame_however_long_they_are() {
    let (load, offset) = (u32::MAX, u16::MAX);
    let long = Length::from_units(i32::MIN);
    let name = text(&"W".repeat(40));
    let widest = Moulding {
        name: name.clone(),
        height: long,
        thickness: long,
        profile: long,
    };
    let end = PieceEnd {
        end: End::ScarfOver {
            bevel: shared_model::Angle::hundredths(u16::MAX),
        },
        ..piece().left
    };
    let cautions = shared_model::Caution::ALL
        .into_iter()
        .fold(Cautions::NONE, Cautions::with);
    let longest = Piece {
        id: PieceId(u32::MAX),
        length: long,
        left: end,
        right: end,
        stick: u16::MAX,
        stick_length: long,
        cautions,
        ..piece()
    };
    let event = Event {
        sequence: u32::MAX,
        boot: u16::MAX,
        milliseconds: u32::MAX,
        what: What::Done {
            piece: PieceId(u32::MAX),
            list: u32::MAX,
        },
    };
    let mouldings = std::iter::repeat_n(widest, MOST_MOULDINGS).collect();
    let rooms = std::iter::repeat_n(name, MOST_ROOMS).collect();
    let pieces = std::iter::repeat_n(longest, 15).collect();
    let events = std::iter::repeat_n(event, MOST_EVENTS).collect();
    let last = known(u32::MAX, u32::MAX);
    for message in [
        Message::Request(Request::Mouldings {
            load,
            offset,
            mouldings,
        }),
        Message::Request(Request::Rooms {
            load,
            offset,
            rooms,
        }),
        Message::Request(Request::Pieces {
            load,
            offset,
            pieces,
        }),
        Message::Answer(Answer::Events { last, events }),
    ] {
        let kind = message.kind();
        let frame = message.frame(u32::MAX);
        let read = heard(&mut Receiver::of(kind), kind, &frame);
        assert_eq!(read, [(u32::MAX, message)]);
    }
}
