//! A saw list as bytes, for records and plans that keep it whole. What a list is, is left to the parent.

use shared_model::ListDigest;

use super::SawSheet;

impl SawSheet {
    /// Head and pieces as postcard writes them.
    pub fn bytes(&self) -> Vec<u8> {
        // writing to a growing vector cannot fail
        postcard::to_stdvec(&(&self.head, &self.pieces)).unwrap_or_default()
    }

    /// Reads [`SawSheet::bytes`] back; none where they are cut short, changed, or of another list than their digest says.
    pub fn of_bytes(bytes: &[u8]) -> Option<SawSheet> {
        let ((head, pieces), rest) = postcard::take_from_bytes(bytes).ok()?;
        let sheet = SawSheet { head, pieces };
        let mut digest = ListDigest::of_head(&sheet.head);
        sheet.pieces.iter().for_each(|piece| digest.put(piece));
        let whole = rest.is_empty()
            && usize::from(sheet.head.pieces) == sheet.pieces.len()
            && digest.value() == sheet.head.digest;
        whole.then_some(sheet)
    }
}
