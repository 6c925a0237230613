//! Saw lists as a level gives them, with their true digests. What is done with them is left to the tests.

use fastrand::Rng;
use shared_model::{
    Angle, Caution, Cautions, End, Length, ListDigest, ListHead, Mark, Moulding, Name, Piece,
    PieceEnd, PieceId, Posture, SawHead, SawList, Side, Stock, True45,
};

#[derive(Debug, Clone, PartialEq)]
pub struct Sample {
    pub head: ListHead,
    pub pieces: Vec<Piece>,
}

impl SawList for Sample {
    fn head(&self) -> &ListHead {
        &self.head
    }
    fn piece(&self, index: u16) -> Option<Piece> {
        self.pieces.get(usize::from(index)).copied()
    }
}

pub fn name(text: &str) -> Name {
    Name::try_from(text).expect("a short name")
}

/// A list of so many pieces in rooms of about six, some of them with ids that other lists have too.
pub fn list(pieces: usize, dice: &mut Rng) -> Sample {
    let rooms = pieces.div_ceil(6).clamp(1, 128);
    let gauge = |dice: &mut Rng| Angle::hundredths(9_000 + dice.u16(0..8) * 50 - 200);
    let end = |dice: &mut Rng| PieceEnd {
        end: match dice.u8(0..10) {
            0..4 => End::Square,
            4..7 => End::Cope { gauge: gauge(dice) },
            7 => End::InsideMiter { gauge: gauge(dice) },
            _ => End::OutsideMiter { gauge: gauge(dice) },
        },
        posture: Posture::StandingUpsideDown,
    };
    let first_id = dice.u32(0..1 << 30);
    let pieces: Vec<Piece> = (0..pieces)
        .map(|index| Piece {
            // numbers as a check sum gives them, and the first twenty in every list
            id: PieceId(match index {
                0..20 => 0x8000_0000 + index as u32,
                _ => first_id + index as u32 * 0x0010_0801 % (1 << 30),
            }),
            room: (index % rooms) as u8,
            wall: dice.u8(1..9),
            part: 1,
            parts: 1,
            moulding: u8::from(dice.u8(0..6) == 0),
            length: Length::sixteenths(dice.i32(40..3_000)),
            left: end(dice),
            right: end(dice),
            stick: (index / 4) as u16 + 1,
            stick_length: Length::inches(192),
            from_offcut: dice.u8(0..10) == 0,
            first: if dice.bool() { Side::Left } else { Side::Right },
            shared: dice.bool(),
            cautions: match dice.bool() {
                true => Cautions::NONE.with(Caution::PartDepth),
                false => Cautions::NONE,
            },
        })
        .collect();
    let moulding = |text| Moulding {
        name: name(text),
        height: Length::sixteenths(84),
        thickness: Length::sixteenths(9),
        profile: Length::sixteenths(12),
    };
    let room = |number| name(&format!("Bedroom {number}"));
    let head = ListHead {
        level: name("Upper floor"),
        digest: 0,
        pieces: pieces.len() as u16,
        sticks: (pieces.len() / 4 + 1) as u16,
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
        mouldings: [moulding("base"), moulding("closet base")]
            .into_iter()
            .collect(),
        rooms: (1..=rooms).map(room).collect(),
    };
    let mut list = Sample { head, pieces };
    let mut digest = ListDigest::of_head(&list.head);
    list.pieces.iter().for_each(|piece| digest.put(piece));
    list.head.digest = digest.value();
    list
}
