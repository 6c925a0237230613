//! The one check sum of the link, of lists and of what is stored. What is summed is left to those who use it.

use crc::{CRC_32_ISCSI, Crc};
use postcard::ser_flavors::Flavor;
use serde::Serialize;

use crate::{ListHead, Piece};

/// CRC-32/ISCSI of the CRC catalogue (check value e3069283).
///
/// Chosen by strength: in as many bits as the longest frame has it finds every error of up to five and every burst of up
/// to 32, where the more widely used CRC-32/ISO-HDLC misses some errors of four. Published: P. Koopman, 32-bit cyclic
/// redundancy codes for internet applications, 2002 (from memory: up to 5,243 bits); computed again in this crate's tests.
///
/// ```
/// assert_eq!(shared_model::CRC.checksum(b"123456789"), 0xe306_9283);
/// ```
pub static CRC: Crc<u32> = Crc::<u32>::new(&CRC_32_ISCSI);

/// A list's digest as it grows: the check sum over everything that a station shows of a list, head first and the pieces
/// in their order, the digest itself counted as 0.
#[derive(Clone)]
pub struct ListDigest(crc::Digest<'static, u32>);

impl ListDigest {
    /// The digest of a list of which no piece has been put yet.
    pub fn of_head(head: &ListHead) -> ListDigest {
        let mut digest = ListDigest(CRC.digest());
        digest.add(&(
            (&head.level, 0u32, head.pieces, head.sticks),
            (&head.mark, &head.stock, &head.mouldings, &head.rooms),
            // how postcard begins a sequence
            usize::from(head.pieces),
        ));
        digest
    }

    /// Puts the next piece.
    pub fn put(&mut self, piece: &Piece) {
        self.add(piece);
    }

    /// The digest of what has been put.
    pub fn value(&self) -> u32 {
        self.0.clone().finalize()
    }

    fn add(&mut self, value: &impl Serialize) {
        // summing cannot fail, nor can what a list holds fail to be written
        let _ = postcard::serialize_with_flavor(value, Summing(&mut self.0));
    }
}

/// Bytes that are summed and not kept.
struct Summing<'a>(&'a mut crc::Digest<'static, u32>);

impl Flavor for Summing<'_> {
    type Output = ();

    fn try_extend(&mut self, data: &[u8]) -> postcard::Result<()> {
        self.0.update(data);
        Ok(())
    }

    fn try_push(&mut self, data: u8) -> postcard::Result<()> {
        self.try_extend(&[data])
    }

    fn finalize(self) -> postcard::Result<()> {
        Ok(())
    }
}
