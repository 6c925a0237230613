//! A piece in 28 bytes, so that its place in a list follows from its number. Where lists lie is left to `list`.
//!
//! | byte | what (numbers are little-endian) |
//! | --- | --- |
//! | 0 | id, u32 |
//! | 4 | room, wall, part, parts, moulding, a byte each |
//! | 9 | bit 0: from an offcut; bit 1: the right end is cut first; bit 2: its first cut is shared |
//! | 10 | length, i32 |
//! | 14 | the stick's length, i32 |
//! | 18 | the stick's number, u16 |
//! | 20 | cautions, a bit each, u16 |
//! | 22 | the left end: its kind in the lower half of the byte, its posture in the upper |
//! | 23 | the left end's angle in hundredths of a degree, u16 |
//! | 25 | the right end likewise |

use shared_model::{
    Angle, Caution, Cautions, End, Length, Piece, PieceEnd, PieceId, Posture, Side,
};

/// The bytes of a piece.
pub const PIECE: usize = 28;

const OFFCUT: u8 = 1;
const RIGHT_FIRST: u8 = 2;
const SHARED: u8 = 4;

/// The postures, in the order of their numbers.
const POSTURES: [Posture; 4] = [
    Posture::StandingUpright,
    Posture::StandingUpsideDown,
    Posture::FlatTopToFence,
    Posture::FlatBottomToFence,
];

/// The piece as bytes.
pub fn bytes(piece: &Piece) -> [u8; PIECE] {
    let mut bytes = [0; PIECE];
    bytes[..4].copy_from_slice(&piece.id.0.to_le_bytes());
    let Piece {
        room,
        wall,
        part,
        parts,
        moulding,
        ..
    } = *piece;
    let flag = |on: bool, bit: u8| if on { bit } else { 0 };
    let flags = flag(piece.from_offcut, OFFCUT)
        | flag(piece.first == Side::Right, RIGHT_FIRST)
        | flag(piece.shared, SHARED);
    bytes[4..10].copy_from_slice(&[room, wall, part, parts, moulding, flags]);
    bytes[10..14].copy_from_slice(&piece.length.units().to_le_bytes());
    bytes[14..18].copy_from_slice(&piece.stick_length.units().to_le_bytes());
    bytes[18..20].copy_from_slice(&piece.stick.to_le_bytes());
    let cautions = piece.cautions.iter();
    let cautions = cautions.fold(0u16, |bits, caution| bits | 1 << caution as u16);
    bytes[20..22].copy_from_slice(&cautions.to_le_bytes());
    bytes[22..25].copy_from_slice(&end_bytes(piece.left));
    bytes[25..28].copy_from_slice(&end_bytes(piece.right));
    bytes
}

/// The piece of these bytes; none where they are no piece of this version.
pub fn read(bytes: &[u8; PIECE]) -> Option<Piece> {
    let long = |at: usize| [0, 1, 2, 3].map(|next| bytes[at + next]);
    let short = |at: usize| u16::from_le_bytes([bytes[at], bytes[at + 1]]);
    let known = Caution::ALL
        .into_iter()
        .filter(|caution| short(20) & 1 << *caution as u16 != 0);
    Some(Piece {
        id: PieceId(u32::from_le_bytes(long(0))),
        room: bytes[4],
        wall: bytes[5],
        part: bytes[6],
        parts: bytes[7],
        moulding: bytes[8],
        from_offcut: bytes[9] & OFFCUT != 0,
        first: match bytes[9] & RIGHT_FIRST {
            0 => Side::Left,
            _ => Side::Right,
        },
        shared: bytes[9] & SHARED != 0,
        length: Length::from_units(i32::from_le_bytes(long(10))),
        stick_length: Length::from_units(i32::from_le_bytes(long(14))),
        stick: short(18),
        cautions: known.fold(Cautions::NONE, Cautions::with),
        left: end(bytes[22], short(23))?,
        right: end(bytes[25], short(26))?,
    })
}

fn end_bytes(end: PieceEnd) -> [u8; 3] {
    let (kind, angle) = match end.end {
        End::Square => (0, Angle::ZERO),
        End::Butt { gauge } => (1, gauge),
        End::Cope { gauge } => (2, gauge),
        End::InsideMiter { gauge } => (3, gauge),
        End::OutsideMiter { gauge } => (4, gauge),
        End::ScarfOver { bevel } => (5, bevel),
        End::ScarfUnder { bevel } => (6, bevel),
        End::Return => (7, Angle::ZERO),
    };
    let posture = match end.posture {
        Posture::StandingUpright => 0,
        Posture::StandingUpsideDown => 1,
        Posture::FlatTopToFence => 2,
        Posture::FlatBottomToFence => 3,
    };
    let [low, high] = angle.in_hundredths().to_le_bytes();
    [posture << 4 | kind, low, high]
}

fn end(kinds: u8, angle: u16) -> Option<PieceEnd> {
    let angle = Angle::hundredths(angle);
    let end = match kinds & 0x0f {
        0 => End::Square,
        1 => End::Butt { gauge: angle },
        2 => End::Cope { gauge: angle },
        3 => End::InsideMiter { gauge: angle },
        4 => End::OutsideMiter { gauge: angle },
        5 => End::ScarfOver { bevel: angle },
        6 => End::ScarfUnder { bevel: angle },
        7 => End::Return,
        _ => return None,
    };
    let posture = *POSTURES.get(usize::from(kinds >> 4))?;
    Some(PieceEnd { end, posture })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ends() -> impl Iterator<Item = PieceEnd> {
        let ends = [Angle::ZERO, Angle::hundredths(9_251), Angle::degrees(360)]
            .into_iter()
            .flat_map(|angle| {
                [
                    End::Square,
                    End::Butt { gauge: angle },
                    End::Cope { gauge: angle },
                    End::InsideMiter { gauge: angle },
                    End::OutsideMiter { gauge: angle },
                    End::ScarfOver { bevel: angle },
                    End::ScarfUnder { bevel: angle },
                    End::Return,
                ]
            });
        ends.flat_map(|end| POSTURES.map(|posture| PieceEnd { end, posture }))
    }

    #[test]
    fn every_field_reads_back_at_its_limits() {
        for (number, end) in (0u32..).zip(ends()) {
            let bit = |bit: u32| number >> bit & 1 == 1;
            let most = |odd: bool| if odd { u8::MAX } else { 0 };
            let length = |odd: bool| Length::from_units(if odd { i32::MAX } else { i32::MIN });
            let cautions = Caution::ALL.into_iter().filter(|it| bit(*it as u32 % 5));
            let plain = PieceEnd {
                end: End::Square,
                posture: Posture::StandingUpright,
            };
            let piece = Piece {
                id: PieceId(u32::MAX - number),
                room: most(bit(0)),
                wall: most(bit(1)),
                part: most(bit(2)),
                parts: most(bit(3)),
                moulding: most(bit(4)),
                length: length(bit(0)),
                left: if bit(1) { plain } else { end },
                right: if bit(1) { end } else { plain },
                stick: if bit(2) { u16::MAX } else { 1 },
                stick_length: length(bit(3)),
                from_offcut: bit(0),
                first: if bit(1) { Side::Left } else { Side::Right },
                shared: bit(2),
                cautions: cautions.fold(Cautions::NONE, Cautions::with),
            };
            assert_eq!(read(&bytes(&piece)), Some(piece));
        }
    }

    #[test]
    fn an_end_of_no_known_kind_is_no_piece() {
        let mut none = [0; PIECE];
        assert!(read(&none).is_some());
        none[22] = 8;
        assert_eq!(read(&none), None);
        none[22] = 0x40;
        assert_eq!(read(&none), None);
    }
}
