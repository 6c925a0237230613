//! A message in a frame: a kind, a number, the message as postcard writes it, a check sum; stuffed so that the byte 00
//! stands only between frames. `WIRE.md` is the contract; what messages say is left to `messages`.

use core::fmt;

use cobs::{CobsEncoder, DecodeResult, DecoderState};
use serde::Serialize;

use crate::CRC;

/// The most bytes of a frame on the wire, both delimiters counted: ten packets of full-speed USB.
pub const MOST_FRAME: usize = 640;
/// The most bytes of a message within a frame.
pub const MOST_MESSAGE: usize = MOST_CONTENT - BEFORE - CHECK;

/// The most bytes before they are stuffed; stuffing adds one for each 254 begun, and two delimiters go around.
const MOST_CONTENT: usize = 635;
/// Kind and number.
const BEFORE: usize = 5;
const CHECK: usize = 4;
const DELIMITER: u8 = 0;

/// Who speaks. It is part of every frame, so that nobody takes his own words, thrown back by a line, for the other's.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// The host asks: `?`.
    Request,
    /// A station answers: `!`.
    Answer,
}

impl Kind {
    const fn byte(self) -> u8 {
        match self {
            Kind::Request => b'?',
            Kind::Answer => b'!',
        }
    }
}

/// Why a frame was not made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FrameError {
    /// the message is longer than a frame holds
    TooLong,
}

impl fmt::Display for FrameError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            FrameError::TooLong => f.write_str("the message is longer than a frame holds"),
        }
    }
}

impl core::error::Error for FrameError {}

/// Writes a message as a frame into the buffer; the slice is what goes on the wire.
///
/// ```
/// use shared_model::frame::{self, Heard, Kind, MOST_FRAME, Receiver};
/// let mut buffer = [0; MOST_FRAME];
/// let bytes = frame::write(Kind::Request, 7, &300u16, &mut buffer).unwrap();
/// assert_eq!((bytes.first(), bytes.last()), (Some(&0), Some(&0)));
/// let mut receiver = Receiver::of(Kind::Request);
/// let (last, before) = bytes.split_last().unwrap();
/// assert!(before.iter().all(|byte| matches!(receiver.hear(*byte), Heard::Nothing | Heard::Part)));
/// assert_eq!(receiver.hear(*last), Heard::Message { number: 7, message: &[0xac, 0x02] });
/// ```
///
/// # Errors
/// [`FrameError::TooLong`] where the message takes more than [`MOST_MESSAGE`] bytes.
pub fn write<'a>(
    kind: Kind,
    number: u32,
    message: &impl Serialize,
    buffer: &'a mut [u8; MOST_FRAME],
) -> Result<&'a [u8], FrameError> {
    let mut content = [0; MOST_CONTENT - CHECK];
    let (before, rest) = content.split_at_mut(BEFORE);
    before[0] = kind.byte();
    before[1..].copy_from_slice(&number.to_le_bytes());
    let message = postcard::to_slice(message, rest).map_err(|_| FrameError::TooLong)?;
    let length = BEFORE + message.len();
    let content = &content[..length];
    let mut encoder = CobsEncoder::new(&mut buffer[1..]);
    encoder.push(content).map_err(|_| FrameError::TooLong)?;
    let check = CRC.checksum(content).to_le_bytes();
    encoder.push(&check).map_err(|_| FrameError::TooLong)?;
    let end = 1 + encoder.finalize();
    buffer[0] = DELIMITER;
    buffer[end] = DELIMITER;
    Ok(&buffer[..=end])
}

/// What a byte brought.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Heard<'a> {
    /// Nothing: it is a delimiter after another one.
    Nothing,
    /// It belongs to a frame that has not ended yet.
    Part,
    /// It belongs to something longer than any frame, which is passed over up to the next delimiter.
    TooLong,
    /// It ends something that is no frame, or one that was damaged on its way: nothing of it counts.
    Damaged,
    /// It ends a whole frame of the other kind: one's own words thrown back.
    Echo,
    /// It ends a whole frame.
    Message {
        /// The number that an answer repeats.
        number: u32,
        /// The message as postcard writes it.
        message: &'a [u8],
    },
}

/// Takes bytes one by one and finds the frames among them. Whatever came before, the frame after the next delimiter is
/// heard whole; memory is bounded by the longest frame.
pub struct Receiver {
    kind: Kind,
    state: DecoderState,
    content: [u8; MOST_CONTENT],
    length: usize,
    /// Longer than any frame: passed over.
    too_long: bool,
}

impl Receiver {
    /// One that listens for frames of this kind.
    pub const fn of(kind: Kind) -> Receiver {
        Receiver {
            kind,
            state: DecoderState::Idle,
            content: [0; MOST_CONTENT],
            length: 0,
            too_long: false,
        }
    }

    /// Takes in one byte.
    pub fn hear(&mut self, byte: u8) -> Heard<'_> {
        if self.too_long {
            if byte == DELIMITER {
                self.forget();
                return Heard::Damaged;
            }
            return Heard::TooLong;
        }
        match self.state.feed(byte) {
            Ok(DecodeResult::NoData) if byte == DELIMITER => Heard::Nothing,
            Ok(DecodeResult::NoData) => Heard::Part,
            Ok(DecodeResult::DataStart) => {
                self.length = 0;
                Heard::Part
            }
            Ok(DecodeResult::DataContinue(byte)) => match self.content.get_mut(self.length) {
                Some(place) => {
                    *place = byte;
                    self.length += 1;
                    Heard::Part
                }
                None => {
                    self.too_long = true;
                    Heard::TooLong
                }
            },
            Ok(DecodeResult::DataComplete) => {
                self.state = DecoderState::Idle;
                self.whole()
            }
            Err(_) => {
                self.forget();
                Heard::Damaged
            }
        }
    }

    /// Forgets what has come of a frame: the line was cut.
    pub fn forget(&mut self) {
        self.state = DecoderState::Idle;
        self.length = 0;
        self.too_long = false;
    }

    fn whole(&self) -> Heard<'_> {
        let content = &self.content[..self.length];
        let Some((content, check)) = content.split_last_chunk::<CHECK>() else {
            return Heard::Damaged;
        };
        if *check != CRC.checksum(content).to_le_bytes() {
            return Heard::Damaged;
        }
        match content.split_first_chunk::<BEFORE>() {
            Some(([kind, a, b, c, d], message)) if *kind == self.kind.byte() => Heard::Message {
                number: u32::from_le_bytes([*a, *b, *c, *d]),
                message,
            },
            Some(([kind, ..], _))
                if [Kind::Request, Kind::Answer].map(Kind::byte).contains(kind) =>
            {
                Heard::Echo
            }
            _ => Heard::Damaged,
        }
    }
}
