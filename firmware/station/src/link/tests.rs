//! A line to a station in memory and what is said on it, for the tests below. Frames are tested with the shared model,
//! whole loads over a faulty line with the host.

mod answers;
mod damage;
mod loads;

use std::vec::Vec;

use fastrand::Rng;
use shared_model::frame::{self, Heard, Kind, MOST_FRAME, Receiver};
use shared_model::messages::{
    self, Answer, Begin, Hello, Known, LINK_VERSION, MOST_EVENTS, Refusal, Request, ScreenSize,
    StationId,
};
use shared_model::{
    Event, ListDigest, MAX_MOULDINGS, MAX_PIECES, MAX_ROOMS, Piece, PieceId, SawList, What,
};

use super::{About, Link};
use crate::machine::{Beep, Input, Key};
use crate::record::Record;
use crate::runner::{Outcome, Runner};
use crate::sample::{Memory, Sample, name};
use crate::timing::HOLD_OFF;
use crate::view::Banner;

const EPOCH: u32 = 9;

struct Line {
    link: Link,
    runner: Runner<Memory>,
    number: u32,
    outcome: Outcome,
}

fn about() -> About {
    About {
        station: StationId(77),
        board: "test board".try_into().expect("a short name"),
        firmware: "0.1.0".try_into().expect("a short name"),
        screen: ScreenSize {
            width: 320,
            height: 240,
        },
    }
}

/// A list of so many pieces with its true digest.
fn list(pieces: usize) -> Sample {
    let sticks: Vec<u16> = (0..pieces).map(|index| index as u16 / 4 + 1).collect();
    let mut list = Sample::of(0, &sticks);
    list.head.digest = digest(&list);
    list
}

fn digest(list: &Sample) -> u32 {
    let mut digest = ListDigest::of_head(&list.head);
    list.pieces.iter().for_each(|piece| digest.put(piece));
    digest.value()
}

fn known(sequence: u32) -> Known {
    let epoch = EPOCH;
    Known { epoch, sequence }
}

fn begin(load: u32, list: &Sample, made_with: Known) -> Begin {
    Begin {
        load,
        made_with,
        level: list.head.level.clone(),
        digest: list.head.digest,
        pieces: list.head.pieces,
        sticks: list.head.sticks,
        mark: list.head.mark,
        stock: list.head.stock,
        mouldings: list.head.mouldings.len() as u16,
        rooms: list.head.rooms.len() as u16,
    }
}

fn pieces(load: u32, offset: u16, pieces: &[Piece]) -> Request {
    let pieces = heapless::Vec::from_slice(pieces).expect("they fit");
    Request::Pieces {
        load,
        offset,
        pieces,
    }
}

/// All that a load says, in order.
fn load_requests(load: u32, list: &Sample, made_with: Known) -> Vec<Request> {
    let mut requests = std::vec![
        Request::Begin(begin(load, list, made_with)),
        Request::Mouldings {
            load,
            offset: 0,
            mouldings: list.head.mouldings.clone(),
        },
        Request::Rooms {
            load,
            offset: 0,
            rooms: list.head.rooms.iter().cloned().collect(),
        },
    ];
    for (index, part) in list.pieces.chunks(12).enumerate() {
        requests.push(pieces(load, index as u16 * 12, part));
    }
    let digest = list.head.digest;
    requests.push(Request::Commit { load, digest });
    requests
}

impl Line {
    fn new(record: Memory) -> Line {
        let record = Memory {
            epoch: EPOCH,
            ..record
        };
        Line {
            link: Link::new(about()),
            runner: Runner::start(record, false, &[]),
            number: 0,
            outcome: Outcome::default(),
        }
    }

    /// Leafs through the cards that stand before a list.
    fn pass_cards(&mut self) {
        let mut now = 0;
        while self.runner.over().is_some() {
            self.runner.take(Input::Press(Key::Done), now);
            now += HOLD_OFF;
        }
    }

    /// The first piece is cut.
    fn press_done(&mut self) {
        self.pass_cards();
        self.runner.take(Input::Press(Key::Done), 4_000);
    }

    fn hear(&mut self, bytes: &[u8]) {
        self.outcome = self.link.take(bytes, &mut self.runner, 5_000);
    }

    fn fetch(&mut self) -> Option<(u32, Answer)> {
        let mut receiver = Receiver::of(Kind::Answer);
        let mut answer = None;
        while !self.link.to_send().is_empty() {
            // as a board does, in small parts
            let part: Vec<u8> = self.link.to_send().iter().copied().take(7).collect();
            self.link.sent(part.len());
            for byte in part {
                if let Heard::Message { number, message } = receiver.hear(byte) {
                    answer = messages::read(message).map(|answer| (number, answer));
                }
            }
        }
        answer
    }

    fn ask(&mut self, request: &Request) -> Answer {
        self.number += 1;
        let frame = framed(self.number, request);
        self.hear(&frame);
        let (number, answer) = self.fetch().expect("an answer");
        assert_eq!(number, self.number);
        answer
    }

    fn load(&mut self, load: u32, list: &Sample) -> Answer {
        let made_with = known(self.runner.record().last_sequence());
        let requests = load_requests(load, list, made_with);
        let answers: Vec<Answer> = requests.iter().map(|request| self.ask(request)).collect();
        answers.last().expect("some").clone()
    }

    fn is_alive(&mut self) {
        assert!(matches!(self.ask(&Request::Hello), Answer::Hello(_)));
    }
}

fn framed(number: u32, request: &Request) -> Vec<u8> {
    let mut buffer = [0; MOST_FRAME];
    let frame = frame::write(Kind::Request, number, request, &mut buffer);
    frame.expect("it fits").to_vec()
}

fn refused(refusal: Refusal) -> Answer {
    Answer::Refused(refusal)
}
