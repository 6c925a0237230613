//! Saw lists for tests of records. What is done with them is left to the tests.

use shared_model::{
    Angle, Cautions, End, Length, ListHead, Mark, Moulding, Name, Piece, PieceEnd, PieceId,
    Posture, SawHead, SawList, Side, Stock, True45,
};
use station::machine::{Input, Key};
use station::record::Record;
use station::runner::Runner;
use station::timing::HOLD_OFF;
use station::view::Body;

/// Leafs through the cards that stand before a list; gives the time from which the next press counts.
pub fn pass_cards(runner: &mut Runner<impl Record>, mut now: u32) -> u32 {
    while matches!(runner.view().body, Body::Page(_) | Body::Scrap(_)) {
        runner.take(Input::Press(Key::Done), now);
        now += HOLD_OFF;
    }
    now
}

/// A list held in memory.
#[derive(Debug, Clone, PartialEq)]
pub struct Sample {
    /// What is said once.
    pub head: ListHead,
    /// The pieces, in order.
    pub pieces: Vec<Piece>,
}

fn name(text: &str) -> Name {
    Name::try_from(text).expect("a short name")
}

impl Sample {
    /// A list with this digest of these pieces, each with its stick.
    pub fn of(digest: u32, pieces: &[(PieceId, u16)]) -> Sample {
        let end = PieceEnd {
            end: End::Square,
            posture: Posture::StandingUpsideDown,
        };
        let piece = |(index, &(id, stick)): (usize, &(PieceId, u16))| Piece {
            id,
            room: 0,
            wall: (index % 200) as u8 + 1,
            part: 1,
            parts: 1,
            moulding: 0,
            length: Length::sixteenths(300 + id.0 as i32),
            left: end,
            right: end,
            stick,
            stick_length: Length::inches(192),
            from_offcut: false,
            first: Side::Left,
            shared: id.0 % 3 == 0,
            cautions: Cautions::NONE,
        };
        let moulding = Moulding {
            name: name("tall base"),
            height: Length::sixteenths(84),
            thickness: Length::sixteenths(9),
            profile: Length::sixteenths(12),
        };
        Sample {
            head: ListHead {
                level: name("Upper floor"),
                digest,
                pieces: pieces.len() as u16,
                sticks: pieces.iter().map(|(_, stick)| *stick).max().unwrap_or(0),
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
                rooms: [name("Bed 2")].into_iter().collect(),
            },
            pieces: pieces.iter().enumerate().map(piece).collect(),
        }
    }

    /// So many pieces, four to a stick.
    pub fn plain(digest: u32, pieces: u32) -> Sample {
        let pieces: Vec<_> = (0..pieces)
            .map(|index| (PieceId(100 + index), index as u16 / 4 + 1))
            .collect();
        Sample::of(digest, &pieces)
    }
}

impl SawList for Sample {
    fn head(&self) -> &ListHead {
        &self.head
    }
    fn piece(&self, index: u16) -> Option<Piece> {
        self.pieces.get(usize::from(index)).copied()
    }
}
