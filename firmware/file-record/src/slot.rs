//! Slots of 32 bytes, each with a CRC of its own: what the event log and the small files are made of. Which slot follows
//! which is left to the log.

use crc::{CRC_32_ISCSI, Crc};
use shared_model::Event;

/// The length of a slot in bytes. An event takes at most 24 of them as postcard writes it.
pub const SLOT: usize = 32;
const BODY: usize = SLOT - 4;

/// The check of every slot and of the list.
pub const CRC: Crc<u32> = Crc::<u32>::new(&CRC_32_ISCSI);

/// The version of all formats here.
pub const VERSION: u16 = 1;

/// What the first slot of a file says.
#[derive(Debug, PartialEq, Eq)]
pub enum Header {
    /// This kind of file in the format that is written here, and a number that belongs to it.
    Ours(u32),
    /// This kind of file in another version of the format.
    Version(u16),
    /// Not this kind of file, or damaged.
    Unknown,
}

/// The first slot of a file: its kind, the format's version and a number.
pub fn header(kind: &[u8; 8], number: u32) -> [u8; SLOT] {
    let mut body = [0; BODY];
    body[..8].copy_from_slice(b"baserun ");
    body[8..16].copy_from_slice(kind);
    body[16..18].copy_from_slice(&VERSION.to_le_bytes());
    body[18..22].copy_from_slice(&number.to_le_bytes());
    sealed(body)
}

/// Reads the first slot of a file that should be of this kind.
pub fn read_header(kind: &[u8; 8], bytes: &[u8]) -> Header {
    let Some(body) = bytes.first_chunk().and_then(unsealed) else {
        return Header::Unknown;
    };
    if &body[..8] != b"baserun " || &body[8..16] != kind {
        return Header::Unknown;
    }
    match u16::from_le_bytes([body[16], body[17]]) {
        VERSION => Header::Ours(u32::from_le_bytes([body[18], body[19], body[20], body[21]])),
        version => Header::Version(version),
    }
}

/// A slot with an event: its length, its postcard bytes, nothing, the CRC. None where it did not fit, which no event of
/// this version does not.
pub fn event_slot(event: &Event) -> Option<[u8; SLOT]> {
    let mut body = [0; BODY];
    let length = postcard::to_slice(event, &mut body[1..]).ok()?.len();
    body[0] = length as u8;
    Some(sealed(body))
}

/// The event of a slot; none where the slot is torn, burnt or damaged.
pub fn read_event(slot: &[u8; SLOT]) -> Option<Event> {
    let body = unsealed(slot)?;
    let bytes = body.get(1..1 + usize::from(body[0]))?;
    let (event, rest) = postcard::take_from_bytes(bytes).ok()?;
    rest.is_empty().then_some(event)
}

fn sealed(body: [u8; BODY]) -> [u8; SLOT] {
    let mut slot = [0; SLOT];
    slot[..BODY].copy_from_slice(&body);
    slot[BODY..].copy_from_slice(&CRC.checksum(&body).to_le_bytes());
    slot
}

fn unsealed(slot: &[u8; SLOT]) -> Option<&[u8; BODY]> {
    let (body, crc) = slot.split_first_chunk::<BODY>()?;
    (CRC.checksum(body).to_le_bytes() == *crc).then_some(body)
}

#[cfg(test)]
mod tests {
    use shared_model::{PieceId, Reason, What};

    use super::*;

    #[test]
    fn the_check_is_crc_32_iscsi() {
        // published: the CRC catalogue's check value of "123456789"
        assert_eq!(CRC.checksum(b"123456789"), 0xe306_9283);
    }

    #[test]
    fn postcard_writes_what_its_specification_says() {
        // published: postcard's wire format
        let bytes = |value: &dyn Fn() -> postcard::Result<Vec<u8>>| value().expect("small values");
        assert_eq!(
            bytes(&|| postcard::to_stdvec(&16_384u16)),
            [0x80, 0x80, 0x01]
        );
        assert_eq!(bytes(&|| postcard::to_stdvec(&-65i16)), [0x81, 0x01]);
        for refused in [&[0x80, 0x80, 0x80, 0x00][..], &[0xff, 0xff, 0x07]] {
            assert!(postcard::from_bytes::<u16>(refused).is_err());
        }
        let fields = (300u16, -65i32, "Hall", true, None::<u8>);
        assert_eq!(
            bytes(&|| postcard::to_stdvec(&fields)),
            [
                0xac, 0x02, 0x81, 0x01, 0x04, 0x48, 0x61, 0x6c, 0x6c, 0x01, 0x00
            ]
        );
    }

    fn events() -> Vec<Event> {
        let piece = PieceId(u32::MAX);
        let (list, stick) = (u32::MAX, u16::MAX);
        let reason = Reason::Damaged;
        [
            What::Done { piece, list },
            What::TakenBack { piece },
            What::SetAside { piece },
            What::CutAgain { piece, reason },
            What::BadStick { list, stick },
            What::StickKept { list, stick },
        ]
        .map(|what| Event {
            sequence: u32::MAX,
            boot: u16::MAX,
            milliseconds: u32::MAX,
            what,
        })
        .to_vec()
    }

    #[test]
    fn the_longest_events_fit_and_read_back() {
        for event in events() {
            let slot = event_slot(&event).expect("it fits");
            assert!(slot[0] <= 24, "{event:?}");
            assert_eq!(read_event(&slot), Some(event));
        }
    }

    #[test]
    fn a_slot_with_any_bit_turned_and_an_empty_one_are_no_events() {
        let slot = event_slot(&events()[0]).expect("it fits");
        for bit in 0..SLOT * 8 {
            let mut bad = slot;
            bad[bit / 8] ^= 1 << (bit % 8);
            assert_eq!(read_event(&bad), None, "bit {bit}");
        }
        assert_eq!(read_event(&[0; SLOT]), None);
        assert_eq!(read_event(&[0xff; SLOT]), None);
    }

    #[test]
    fn a_header_is_read_only_as_what_it_is() {
        let bytes = header(b"events\0\0", 9);
        assert_eq!(read_header(b"events\0\0", &bytes), Header::Ours(9));
        assert_eq!(read_header(b"list\0\0\0\0", &bytes), Header::Unknown);
        assert_eq!(read_header(b"events\0\0", &bytes[..31]), Header::Unknown);
        assert_eq!(read_event(&bytes), None);
    }
}
