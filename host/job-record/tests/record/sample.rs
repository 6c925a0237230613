//! Lists, events and clocks for these tests. What is done with them is left to the tests.

use job_record::{ClockReading, JobRecord, LevelName, Log, Making, Moment, RevisionId, Source};
use planner::saw_list::SawSheet;
use shared_model::messages::StationId;
use shared_model::{
    Angle, Cautions, End, Event, Length, ListDigest, ListHead, Mark, Moulding, Name, Piece,
    PieceEnd, PieceId, Posture, SawHead, Side, Stock, True45, What,
};

pub const LOG: Log = Log {
    station: StationId(0x0123_4567_89ab_cdef),
    epoch: 7,
};

pub const SOURCE: Source<'static> = Source {
    file: "den.txt",
    text: "level Den\n",
};

fn name(text: &str) -> Name {
    Name::try_from(text).expect("a short name")
}

/// A list of pieces with these ids, four to a stick.
pub fn list(level: &str, ids: &[u32]) -> SawSheet {
    let posture = Posture::StandingUpsideDown;
    let gauge = Angle::degrees(92);
    let piece = |(index, id): (usize, &u32)| Piece {
        id: PieceId(*id),
        room: (index % 2) as u8,
        wall: index as u8 + 1,
        part: 1,
        parts: 1,
        moulding: 0,
        length: Length::sixteenths(300 + *id as i32),
        left: PieceEnd {
            end: End::Cope { gauge },
            posture,
        },
        right: PieceEnd {
            end: End::Square,
            posture,
        },
        stick: index as u16 / 4 + 1,
        stick_length: Length::inches(192),
        from_offcut: false,
        first: Side::Left,
        shared: false,
        cautions: Cautions::NONE,
    };
    let pieces: Vec<Piece> = ids.iter().enumerate().map(piece).collect();
    let moulding = Moulding {
        name: name("base"),
        height: Length::sixteenths(84),
        thickness: Length::sixteenths(9),
        profile: Length::sixteenths(12),
    };
    let mut head = ListHead {
        level: name(level),
        digest: 0,
        pieces: pieces.len() as u16,
        sticks: pieces.last().map_or(0, |piece| piece.stick),
        mark: Mark::Sixteenth,
        stock: Stock {
            side: Side::Left,
            saw: SawHead {
                slides: false,
                swing_left: Angle::degrees(50),
                swing_right: Angle::degrees(60),
                tilt_left: Angle::degrees(48),
                tilt_right: Angle::degrees(48),
                true_45: True45::EXACT,
            },
        },
        mouldings: [moulding].into_iter().collect(),
        rooms: [name("Den"), name("Hall")].into_iter().collect(),
    };
    let mut digest = ListDigest::of_head(&head);
    pieces.iter().for_each(|piece| digest.put(piece));
    head.digest = digest.value();
    SawSheet { head, pieces }
}

/// A list as it is made of a file of which nothing is cut.
pub fn made(list: &SawSheet) -> Making<'_> {
    Making {
        source: SOURCE,
        list,
        finished: &[],
    }
}

/// Keeps a list as one that was made of a file.
pub fn keep(record: &mut JobRecord, list: &SawSheet) -> RevisionId {
    let level = LevelName::OfFile(list.head.level.as_str());
    let kept = record.keep(level, made(list), Moment(1_000));
    kept.expect("a list")
}

/// An event in the first start of a station.
pub fn event(sequence: u32, what: What) -> Event {
    Event {
        sequence,
        boot: 1,
        milliseconds: sequence * 1_000,
        what,
    }
}

pub fn done(sequence: u32, piece: u32, list: u32) -> Event {
    let piece = PieceId(piece);
    event(sequence, What::Done { piece, list })
}

/// The clock of the first start: the station was switched on at the tenth hour of 1970.
pub fn clock(milliseconds: u32) -> ClockReading {
    ClockReading {
        at: Moment(36_000_000 + i64::from(milliseconds)),
        boot: 1,
        milliseconds,
    }
}
