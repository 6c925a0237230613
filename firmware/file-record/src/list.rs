//! The saw list as bytes and as it is held. Where the bytes are kept is left to the record.

use shared_model::{ListHead, Piece, SawList};

use crate::slot::{self, CRC, Header, SLOT};

/// The list's kind, in its header.
pub const KIND: &[u8; 8] = b"list\0\0\0\0";

/// A saw list, held whole.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HeldList {
    head: ListHead,
    pieces: Vec<Piece>,
}

impl SawList for HeldList {
    fn head(&self) -> &ListHead {
        &self.head
    }

    fn piece(&self, index: u16) -> Option<Piece> {
        self.pieces.get(usize::from(index)).copied()
    }
}

/// Why bytes are no list.
#[derive(Debug, PartialEq, Eq)]
pub enum NoList {
    /// It is in another version of the format.
    Version(u16),
    /// It is damaged, or is something else.
    Damaged,
}

impl HeldList {
    /// A list of which no piece has been put.
    pub fn begun(head: &ListHead) -> HeldList {
        HeldList {
            head: head.clone(),
            pieces: Vec::with_capacity(usize::from(head.pieces)),
        }
    }

    /// Puts the next piece.
    pub fn put(&mut self, piece: &Piece) {
        self.pieces.push(*piece);
    }

    /// How many pieces have not been put.
    pub fn missing(&self) -> usize {
        usize::from(self.head.pieces).saturating_sub(self.pieces.len())
    }

    /// The file: a header with the length, head and pieces as postcard writes them, a CRC over that.
    pub fn bytes(&self) -> Result<Vec<u8>, postcard::Error> {
        let body = postcard::to_stdvec(&(&self.head, &self.pieces))?;
        let mut bytes = slot::header(KIND, body.len() as u32).to_vec();
        bytes.extend(&body);
        bytes.extend(CRC.checksum(&body).to_le_bytes());
        Ok(bytes)
    }

    /// Reads the file back.
    pub fn read(bytes: &[u8]) -> Result<HeldList, NoList> {
        let length = match slot::read_header(KIND, bytes) {
            Header::Ours(length) => length as usize,
            Header::Version(version) => return Err(NoList::Version(version)),
            Header::Unknown => return Err(NoList::Damaged),
        };
        let list = || {
            let (body, crc) = bytes.get(SLOT..)?.split_at_checked(length)?;
            if crc != CRC.checksum(body).to_le_bytes() {
                return None;
            }
            let ((head, pieces), rest) = postcard::take_from_bytes(body).ok()?;
            let list = HeldList { head, pieces };
            (rest.is_empty() && list.missing() == 0).then_some(list)
        };
        list().ok_or(NoList::Damaged)
    }
}
