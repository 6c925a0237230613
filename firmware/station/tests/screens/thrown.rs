//! Very many pieces to draw: every pair of ends in every pair of postures, all else thrown by dice that fall the same on
//! every machine. Single boards are in `views`.

use shared_model::{Angle, Caution, End, Mark, PieceState, Posture, Reason, SmallPiece};
use station::screen::Panel;
use station::settings::BoardWords;
use station::view::{NextView, PieceView, StickView};

use crate::views::{Board, cope, inches, inside, name, outside};

/// The colour panels, which show a piece at once.
pub const PANELS: [Panel; 4] = [Panel::SMALL, Panel::FINE, Panel::WIDE, Panel::LARGE];

/// Names short, long, wide and accented.
pub const NAMES: [&str; 6] = [
    "Bed 2",
    "Primary bathroom",
    "Küche",
    "WWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWW",
    "Ébénisterie à l'étage, côté cour",
    "Hall",
];

const LENGTHS: [(&str, Mark); 8] = [
    ("191 63/64", Mark::SixtyFourth),
    ("124 3/8", Mark::Sixteenth),
    ("239 31/32", Mark::ThirtySecond),
    ("7/8", Mark::Eighth),
    ("96", Mark::Sixteenth),
    ("191.9882", Mark::HalfMillimetre),
    ("236.1", Mark::Millimetre),
    ("6 1/2", Mark::Sixteenth),
];

pub fn ends() -> Vec<End> {
    let bevel = Angle::degrees(45);
    vec![
        End::Square,
        End::Butt {
            gauge: Angle::degrees(93),
        },
        cope(90),
        End::Cope {
            gauge: Angle::hundredths(9251),
        },
        inside(135),
        outside(90),
        outside(135),
        End::ScarfOver { bevel },
        End::ScarfUnder { bevel },
        End::Return,
    ]
}

/// Numbers that look thrown, the same on every machine.
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Dice {
        Dice(seed)
    }

    pub fn below(&mut self, count: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % count
    }

    pub fn pick<T: Clone>(&mut self, from: &[T]) -> T {
        from[self.below(from.len())].clone()
    }
}

/// A piece with these ends and postures, all else thrown.
pub fn thrown(dice: &mut Dice, left: End, right: End, postures: (Posture, Posture)) -> PieceView {
    let (length, mark) = dice.pick(&LENGTHS);
    let mut board = Board::new(length, left, right, postures.0);
    board.postures = postures;
    board.saw.slides = dice.below(2) == 0;
    let mut piece = board.piece();
    piece.mark = mark;
    piece.room = name(dice.pick(&NAMES));
    piece.moulding = name(dice.pick(&NAMES));
    piece.wall = dice.pick(&[0, 3, 12, 255]);
    (piece.part, piece.parts) = dice.pick(&[(1, 1), (1, 1), (2, 3), (12, 12)]);
    let small = matches!(
        (left, right),
        (End::Return, End::Square)
            | (End::Square, End::Return)
            | (End::OutsideMiter { .. }, End::OutsideMiter { .. })
    );
    if small && dice.below(3) == 0 {
        (piece.part, piece.parts) = (0, 0);
        piece.small = SmallPiece::of(0, left, right);
    }
    piece.number = dice.pick(&[1, 12, 188, 512]);
    piece.progress.pieces = dice.pick(&[86, 200, 512]).max(piece.number);
    piece.state = dice.pick(&[
        PieceState::Waiting,
        PieceState::Aside,
        PieceState::Again(Reason::WrongEnd),
    ]);
    piece.stick = dice.pick(&[
        StickView::Same { number: 7 },
        StickView::Same { number: 412 },
        StickView::Fresh {
            number: 412,
            length: inches("192"),
            offcut: false,
        },
        StickView::Fresh {
            number: 31,
            length: inches("161 15/16"),
            offcut: true,
        },
        StickView::Unplanned,
    ]);
    piece.new_moulding = dice.below(4) == 0;
    piece.looking = dice.below(8) == 0;
    piece.words = dice.pick(&[BoardWords::Edge, BoardWords::Edge, BoardWords::Board]);
    if dice.below(3) == 0 {
        piece.left.already = true;
    } else if dice.below(3) == 0 {
        piece.right.already = true;
    }
    for caution in Caution::ALL {
        if dice.below(4) == 0 {
            piece.cautions = piece.cautions.with(caution);
        }
    }
    if dice.below(6) == 0 {
        piece.next = None;
    } else {
        piece.next = Some(NextView {
            length: inches(dice.pick(&LENGTHS).0),
            room: name(dice.pick(&NAMES)),
            wall: dice.pick(&[0, 3, 12, 255]),
            fresh_stick: dice.below(2) == 0,
        });
    }
    piece
}

/// Every pair of ends in every pair of postures.
pub fn pieces() -> impl Iterator<Item = PieceView> {
    let mut dice = Dice::new(1);
    let mut all = Vec::new();
    for left in ends() {
        for right in ends() {
            for first in Posture::ALL {
                for second in Posture::ALL {
                    all.push(thrown(&mut dice, left, right, (first, second)));
                }
            }
        }
    }
    all.into_iter()
}
