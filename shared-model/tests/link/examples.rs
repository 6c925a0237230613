//! One of each message, as the examples of `WIRE.md` have them. What is done with them is left to the tests.

use heapless::{String, Vec};
use shared_model::frame::{self, Heard, Kind, MOST_FRAME, Receiver};
use shared_model::messages::{
    Answer, Begin, Hello, Known, ListInUse, Refusal, Request, ScreenSize, StationId, read,
};
use shared_model::{
    Angle, Caution, Cautions, End, Event, Length, Mark, Moulding, Name, Piece, PieceEnd, PieceId,
    Posture, Reason, SawHead, Side, Stock, True45, What,
};

#[derive(Debug, Clone, PartialEq)]
#[expect(clippy::large_enum_variant, reason = "a handful in a test")]
pub enum Message {
    Request(Request),
    Answer(Answer),
}

impl Message {
    pub fn kind(&self) -> Kind {
        match self {
            Message::Request(_) => Kind::Request,
            Message::Answer(_) => Kind::Answer,
        }
    }

    pub fn frame(&self, number: u32) -> std::vec::Vec<u8> {
        let mut buffer = [0; MOST_FRAME];
        let bytes = match self {
            Message::Request(request) => frame::write(Kind::Request, number, request, &mut buffer),
            Message::Answer(answer) => frame::write(Kind::Answer, number, answer, &mut buffer),
        };
        bytes.expect("it fits").to_vec()
    }
}

/// Every message that a receiver takes out of these bytes.
pub fn heard(receiver: &mut Receiver, kind: Kind, bytes: &[u8]) -> std::vec::Vec<(u32, Message)> {
    let mut all = std::vec::Vec::new();
    for byte in bytes {
        if let Heard::Message { number, message } = receiver.hear(*byte) {
            let message = match kind {
                Kind::Request => read(message).map(Message::Request),
                Kind::Answer => read(message).map(Message::Answer),
            };
            all.extend(message.map(|message| (number, message)));
        }
    }
    all
}

pub fn text<const N: usize>(text: &str) -> String<N> {
    String::try_from(text).expect("a short text")
}

pub fn known(epoch: u32, sequence: u32) -> Known {
    Known { epoch, sequence }
}

pub fn stock() -> Stock {
    Stock {
        side: Side::Left,
        saw: SawHead {
            slides: false,
            swing_left: Angle::degrees(50),
            swing_right: Angle::degrees(60),
            tilt_left: Angle::degrees(48),
            tilt_right: Angle::degrees(48),
            true_45: True45::EXACT,
        },
    }
}

pub fn moulding() -> Moulding {
    Moulding {
        name: text("base"),
        height: Length::sixteenths(84),
        thickness: Length::sixteenths(9),
        profile: Length::sixteenths(12),
    }
}

pub fn piece() -> Piece {
    let posture = Posture::StandingUpsideDown;
    let gauge = Angle::RIGHT;
    Piece {
        id: PieceId(0x9a3c_51e7),
        room: 0,
        wall: 3,
        part: 1,
        parts: 1,
        moulding: 0,
        length: Length::sixteenths(124 * 16 + 6),
        left: PieceEnd {
            end: End::Cope { gauge },
            posture,
        },
        right: PieceEnd {
            end: End::Square,
            posture,
        },
        stick: 7,
        stick_length: Length::inches(192),
        from_offcut: false,
        first: Side::Left,
        shared: true,
        cautions: Cautions::NONE.with(Caution::PartDepth),
    }
}

pub fn hello() -> Hello {
    Hello {
        version: 1,
        station: StationId(0x00e6_6138_41d2_7a2f),
        epoch: 5,
        last_event: 34,
        boot: 12,
        firmware: text("0.1.0"),
        board: text("test board"),
        screen: ScreenSize {
            width: 320,
            height: 240,
        },
        capacity: 512,
        list: Some(ListInUse {
            level: text("Upper floor"),
            digest: 0x1a2b_3c4d,
        }),
    }
}

/// The name of each example in `WIRE.md`, and its message.
pub fn all() -> std::vec::Vec<(&'static str, Message)> {
    let load = 0x0102_0304;
    let digest = 0x1a2b_3c4d;
    let event = |sequence, milliseconds, what| Event {
        sequence,
        boot: 12,
        milliseconds,
        what,
    };
    let id = PieceId(0x9a3c_51e7);
    let done = event(
        33,
        61_000,
        What::Done {
            piece: id,
            list: digest,
        },
    );
    let again = event(
        34,
        75_500,
        What::CutAgain {
            piece: id,
            reason: Reason::WrongEnd,
        },
    );
    let begin = Begin {
        load,
        made_with: known(5, 34),
        level: text("Upper floor"),
        digest,
        pieces: 115,
        sticks: 23,
        mark: Mark::Sixteenth,
        stock: stock(),
        mouldings: 1,
        rooms: 2,
    };
    let rooms: [Name; 2] = [text("Bed 2"), text("Hall")];
    let requests = [
        ("hello", Request::Hello),
        ("begin", Request::Begin(begin)),
        (
            "mouldings",
            Request::Mouldings {
                load,
                offset: 0,
                mouldings: Vec::from([moulding()]),
            },
        ),
        (
            "rooms",
            Request::Rooms {
                load,
                offset: 0,
                rooms: Vec::from(rooms),
            },
        ),
        (
            "pieces",
            Request::Pieces {
                load,
                offset: 0,
                pieces: Vec::from([piece()]),
            },
        ),
        ("commit", Request::Commit { load, digest }),
        (
            "events",
            Request::Events {
                after: known(5, 32),
            },
        ),
        (
            "confirm",
            Request::Confirm {
                up_to: known(5, 34),
            },
        ),
        ("time", Request::Time),
        ("show", Request::Show),
    ];
    let answers = [
        ("is", Answer::Hello(hello())),
        (
            "refused",
            Answer::Refused(Refusal::ListBehind {
                made_with: known(5, 32),
                stored: known(5, 34),
            }),
        ),
        (
            "loading",
            Answer::Loading {
                load,
                mouldings: 1,
                rooms: 2,
                pieces: 40,
            },
        ),
        ("committed", Answer::Committed { digest }),
        (
            "events are",
            Answer::Events {
                last: known(5, 34),
                events: Vec::from([done, again]),
            },
        ),
        (
            "confirmed",
            Answer::Confirmed {
                up_to: known(5, 34),
            },
        ),
        (
            "time is",
            Answer::Time {
                boot: 12,
                milliseconds: 75_600,
            },
        ),
        ("shown", Answer::Shown),
    ];
    let requests = requests.map(|(name, request)| (name, Message::Request(request)));
    let answers = answers.map(|(name, answer)| (name, Message::Answer(answer)));
    requests.into_iter().chain(answers).collect()
}
