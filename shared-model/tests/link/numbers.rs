//! The numbers of every choice on the wire: they are in `WIRE.md`, and none may ever change. What is chosen by them is said
//! there.

use serde::Serialize;
use shared_model::messages::Refusal;
use shared_model::{Angle, Caution, Cautions, End, Mark, PieceId, Posture, Reason, Side, What};

use crate::examples::known;
use crate::wire::WIRE;

/// The first byte of each, and that the page has a line with them: `0 left, 1 right`.
fn are_numbered<T: Serialize>(choices: &[(&str, T)]) {
    let mut names = Vec::new();
    for (number, (name, choice)) in choices.iter().enumerate() {
        let bytes = postcard::to_stdvec(choice).expect("small values");
        assert_eq!(usize::from(bytes[0]), number, "{name}");
        names.push(format!("{number} {name}"));
    }
    let line = |line: &str| names.iter().all(|name| line.contains(name));
    assert!(WIRE.lines().any(line), "{names:?}");
}

#[test]
fn choices_keep_their_numbers() {
    let (piece, list, stick) = (PieceId(1), 2, 3);
    let reason = Reason::Short;
    let (gauge, bevel) = (Angle::RIGHT, Angle::RIGHT);
    are_numbered(&[("left", Side::Left), ("right", Side::Right)]);
    are_numbered(&[
        ("eighth", Mark::Eighth),
        ("sixteenth", Mark::Sixteenth),
        ("thirty-second", Mark::ThirtySecond),
        ("sixty-fourth", Mark::SixtyFourth),
        ("millimetre", Mark::Millimetre),
        ("half millimetre", Mark::HalfMillimetre),
    ]);
    are_numbered(&[
        ("square", End::Square),
        ("butt", End::Butt { gauge }),
        ("cope", End::Cope { gauge }),
        ("inside miter", End::InsideMiter { gauge }),
        ("outside miter", End::OutsideMiter { gauge }),
        ("scarf over", End::ScarfOver { bevel }),
        ("scarf under", End::ScarfUnder { bevel }),
        ("return", End::Return),
    ]);
    are_numbered(&[
        ("standing upright", Posture::StandingUpright),
        ("standing upside down", Posture::StandingUpsideDown),
        ("flat top to fence", Posture::FlatTopToFence),
        ("flat bottom to fence", Posture::FlatBottomToFence),
    ]);
    are_numbered(&[
        ("done (piece, list)", What::Done { piece, list }),
        ("taken back (piece)", What::TakenBack { piece }),
        ("set aside (piece)", What::SetAside { piece }),
        (
            "cut again (piece, reason)",
            What::CutAgain { piece, reason },
        ),
        ("bad stick (list, stick)", What::BadStick { list, stick }),
        ("stick kept (list, stick)", What::StickKept { list, stick }),
    ]);
    are_numbered(&[
        ("short", Reason::Short),
        ("wrong end", Reason::WrongEnd),
        ("damaged", Reason::Damaged),
    ]);
}

#[test]
fn refusals_keep_their_numbers() {
    let (number, id) = (1, PieceId(1));
    let (made_with, stored) = (known(1, 1), known(1, 2));
    let (rooms, mouldings) = (128, 8);
    for (number, (name, refusal)) in [
        ("not understood", Refusal::NotUnderstood),
        ("no such load", Refusal::NoSuchLoad),
        ("too many pieces", Refusal::TooManyPieces { most: 512 }),
        ("too many names", Refusal::TooManyNames { rooms, mouldings }),
        ("list behind", Refusal::ListBehind { made_with, stored }),
        ("other epoch", Refusal::OtherEpoch { epoch: 2 }),
        ("name missing", Refusal::NameMissing { number }),
        ("same id", Refusal::SameId { id }),
        ("other digest", Refusal::OtherDigest { came: 5 }),
        ("not stored", Refusal::NotStored),
        ("press under way", Refusal::PressUnderWay),
    ]
    .into_iter()
    .enumerate()
    {
        let bytes = postcard::to_stdvec(&refusal).expect("small values");
        assert_eq!(usize::from(bytes[0]), number, "{name}");
        assert!(WIRE.contains(&format!("\n| {number} {name} | ")), "{name}");
        // as a person reads it
        assert!(refusal.to_string().len() > 20, "{name}");
    }
}

#[test]
fn cautions_keep_their_bits() {
    let bits = [
        (Caution::ShortPiece, "short 1,"),
        (Caution::ShortHold, "short hold 2,"),
        (Caution::LongPiece, "long 4,"),
        (Caution::NearSawLimit, "near the limit 8,"),
        (Caution::FenceClear, "fence clear 16,"),
        (Caution::PartDepth, "part depth 32,"),
        (Caution::TallBoard, "tall 64,"),
        (Caution::ReturnWedge, "wedge 128,"),
        (Caution::LeadPaint, "lead paint 256 "),
    ];
    for (place, (caution, name)) in bits.into_iter().enumerate() {
        let bytes = postcard::to_stdvec(&Cautions::NONE.with(caution)).expect("small values");
        let varint = match place {
            7.. => vec![0x80, 1u8 << (place - 7)],
            place => vec![1u8 << place],
        };
        assert_eq!(bytes, varint, "{name}");
        assert!(WIRE.contains(name), "{name}");
    }
}
