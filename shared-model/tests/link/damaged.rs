//! Frames that were damaged on their way, and bytes that never were frames: none is taken for a message, and the frame
//! after them is heard. What a station does then is left to its own tests.

use fastrand::Rng;
use shared_model::frame::{Heard, Kind, MOST_FRAME, MOST_MESSAGE, Receiver, write};

use crate::examples::Message;
use crate::examples::{all, heard, hello};
use shared_model::messages::Answer;

/// Feeds the bytes and then a whole frame: of the bytes nothing is accepted but what was meant, and the frame is heard.
fn survives(receiver: &mut Receiver, kind: Kind, bytes: &[u8], meant: &(u32, Message)) {
    let accepted = heard(receiver, kind, bytes);
    assert!(
        accepted.iter().all(|message| message == meant),
        "{accepted:?} out of {bytes:02x?}"
    );
    let after = meant.1.frame(99);
    let again = heard(receiver, kind, &after);
    assert_eq!(
        again.last(),
        Some(&(99, meant.1.clone())),
        "after {bytes:02x?}"
    );
}

#[test]
fn every_single_bit_that_is_turned_is_found() {
    let mut turned = 0;
    for (name, message) in all() {
        let kind = message.kind();
        let mut receiver = Receiver::of(kind);
        let frame = message.frame(7);
        for bit in 0..frame.len() * 8 {
            let mut bad = frame.clone();
            bad[bit / 8] ^= 1 << (bit % 8);
            let accepted = heard(&mut receiver, kind, &bad);
            assert!(accepted.is_empty(), "{name}, bit {bit}");
            let after = heard(&mut receiver, kind, &message.frame(8));
            assert_eq!(after, [(8, message.clone())], "{name}, bit {bit}");
            turned += 1;
        }
    }
    assert!(turned > 3_000, "{turned}");
}

#[test]
fn ten_thousand_mutated_frames_are_survived() {
    let mut dice = Rng::with_seed(1);
    let examples = all();
    for _ in 0..10_000 {
        let message = dice.choice(&examples).expect("examples").1.clone();
        let kind = message.kind();
        let mut bytes = message.frame(7);
        for _ in 0..dice.usize(1..=4) {
            if bytes.is_empty() {
                break;
            }
            let at = dice.usize(0..bytes.len());
            match dice.u8(0..6) {
                0 => bytes[at] = dice.u8(..),
                1 => bytes.insert(at, dice.u8(..)),
                2 => drop(bytes.remove(at)),
                3 => bytes.truncate(at.max(1)),
                4 => {
                    let doubled = bytes[at..].to_vec();
                    bytes.extend(doubled);
                }
                _ => bytes[at..].reverse(),
            }
        }
        let mut receiver = Receiver::of(kind);
        survives(&mut receiver, kind, &bytes, &(7, message));
    }
}

#[test]
fn a_mebibyte_at_random_is_no_message() {
    let mut dice = Rng::with_seed(2);
    let meant = Message::Answer(Answer::Hello(hello()));
    let mut receiver = Receiver::of(Kind::Answer);
    let mut left = 1 << 20;
    while left > 0 {
        // with and without zeros, so that both short and endless frames come
        let zeros = dice.bool();
        let bytes: Vec<u8> = (0..dice.usize(1..4_096))
            .map(|_| dice.u8(u8::from(!zeros)..))
            .collect();
        left -= bytes.len().min(left);
        assert_eq!(heard(&mut receiver, Kind::Answer, &bytes), []);
        let after = heard(&mut receiver, Kind::Answer, &meant.frame(3));
        assert_eq!(after, [(3, meant.clone())]);
    }
}

#[test]
fn every_byte_has_a_named_outcome() {
    let mut receiver = Receiver::of(Kind::Request);
    assert_eq!(receiver.hear(0), Heard::Nothing);
    assert_eq!(receiver.hear(3), Heard::Part);
    assert_eq!(receiver.hear(0), Heard::Damaged);
    // longer than any frame
    for _ in 0..MOST_FRAME {
        receiver.hear(0xff);
    }
    assert_eq!(receiver.hear(0xff), Heard::TooLong);
    assert_eq!(receiver.hear(0), Heard::Damaged);
    // a station's own words
    let own = Message::Answer(Answer::Shown).frame(1);
    let last = own
        .iter()
        .map(|byte| receiver.hear(*byte) == Heard::Echo)
        .last();
    assert_eq!(last, Some(true));
    // the longest message fits, one more byte does not
    let mut buffer = [0; MOST_FRAME];
    let bytes = [0x41u8; MOST_MESSAGE - 2];
    let longest = heapless::Vec::<u8, MOST_FRAME>::from_slice(&bytes).expect("it fits");
    let frame = write(Kind::Request, u32::MAX, &longest, &mut buffer).map(<[u8]>::len);
    assert_eq!(frame, Ok(MOST_FRAME));
    let mut longer = longest.clone();
    longer.push(0x41).expect("it fits");
    assert!(write(Kind::Request, 1, &longer, &mut buffer).is_err());
    // what was begun is forgotten with the line
    receiver.hear(9);
    receiver.forget();
    assert_eq!(receiver.hear(0), Heard::Nothing);
}
