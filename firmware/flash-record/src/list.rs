//! A saw list in flash, programmed page by page and read piece by piece. Which list is in use is left to the note.
//!
//! The first page of a list is its header, programmed last; then the head as postcard writes it, from a page of its own;
//! then the pieces, from a page of their own, nine to a page. Every page but the first is 252 bytes and their CRC.
//!
//! | byte of the header | what (numbers are little-endian) |
//! | --- | --- |
//! | 0 | `saw list` |
//! | 8 | the format's version, u16 |
//! | 10 | how many pieces, u16 |
//! | 12 | the head's length, u16 |
//! | 14 | nothing (255) |
//! | 24 | check of all pages behind this one, u32 |
//! | 28 | CRC of bytes 0 to 27 |

use embedded_storage::nor_flash::NorFlash;
use heapless::Vec;
use postcard::ser_flavors::{Flavor, Size};
use serde::de::DeserializeOwned;
use shared_model::{ListHead, MAX_PIECES, Mark, Moulding, Name, Piece, SawList, Stock};

use crate::chip::{Chip, LIST_SECTORS, PAGE, SECTOR, SLOT, Trouble, check_more, is_whole, seal};
use crate::note::{Kept, VERSION};
use crate::piece::{self, PIECE};

const MAGIC: &[u8; 8] = b"saw list";
const BODY: usize = PAGE - 4;
const A_PAGE: usize = BODY / PIECE;
const PAGES: usize = (LIST_SECTORS * SECTOR) as usize / PAGE;

/// The longest part of a head that is read in one go.
const WINDOW: usize = 128;

/// How many pieces fit beside this head.
pub fn room_beside(head: &ListHead) -> u16 {
    let pages = head_length(head).div_ceil(BODY);
    let pieces = (PAGES - 1).saturating_sub(pages) * A_PAGE;
    pieces.min(MAX_PIECES) as u16
}

fn head_length(head: &ListHead) -> usize {
    // what cannot be measured fits nowhere
    postcard::serialize_with_flavor(head, Size::default()).unwrap_or(usize::MAX / 2)
}

fn page_at<F: NorFlash>(which: u8, page: usize) -> u32 {
    Chip::<F>::list(which) + (page * PAGE) as u32
}

/// A list that is being programmed.
#[derive(Debug)]
pub struct Loading<'a, F> {
    chip: Chip<'a, F>,
    /// Which of the two lists it will be.
    pub which: u8,
    pieces: u16,
    head_length: u16,
    put: u16,
    page: usize,
    filled: usize,
    bytes: [u8; PAGE],
    check: u32,
}

impl<'a, F: NorFlash> Loading<'a, F> {
    /// Erases the room that the list needs and programs its head. It has been seen that it fits.
    pub fn begin(chip: Chip<'a, F>, which: u8, head: &ListHead) -> Result<Self, Trouble> {
        let length = head_length(head);
        let pages = 1 + length.div_ceil(BODY) + usize::from(head.pieces).div_ceil(A_PAGE);
        let sectors = (pages * PAGE).div_ceil(SECTOR as usize) as u32;
        chip.erase(Chip::<F>::list(which), sectors)?;
        let loading = Loading {
            chip,
            which,
            pieces: head.pieces,
            head_length: length as u16,
            put: 0,
            page: 1,
            filled: 0,
            bytes: [0xff; PAGE],
            check: 0,
        };
        let mut loading = postcard::serialize_with_flavor(head, Stream(loading))
            .map_err(|_| Trouble::NotAsWritten)?;
        loading.end_page()?;
        Ok(loading)
    }

    /// How many pieces have not been put.
    pub fn missing(&self) -> u16 {
        self.pieces - self.put
    }

    pub fn put(&mut self, piece: &Piece) -> Result<(), Trouble> {
        self.put += 1;
        piece::bytes(piece)
            .into_iter()
            .try_for_each(|byte| self.push(byte))
    }

    /// Programs what is left and the header. The list is whole then, and not in use yet.
    pub fn end(mut self) -> Result<Kept, Trouble> {
        self.end_page()?;
        let mut header = [0xff; SLOT];
        header[..8].copy_from_slice(MAGIC);
        header[8..10].copy_from_slice(&VERSION.to_le_bytes());
        header[10..12].copy_from_slice(&self.pieces.to_le_bytes());
        header[12..14].copy_from_slice(&self.head_length.to_le_bytes());
        header[24..28].copy_from_slice(&self.check.to_le_bytes());
        seal(&mut header);
        self.chip.program(page_at::<F>(self.which, 0), &header)?;
        Ok(Kept {
            which: self.which,
            check: self.check,
        })
    }

    fn push(&mut self, byte: u8) -> Result<(), Trouble> {
        self.bytes[self.filled] = byte;
        self.filled += 1;
        match self.filled {
            BODY => self.end_page(),
            _ => Ok(()),
        }
    }

    fn end_page(&mut self) -> Result<(), Trouble> {
        if self.filled == 0 {
            return Ok(());
        }
        seal(&mut self.bytes);
        let at = page_at::<F>(self.which, self.page);
        self.chip.program(at, &self.bytes)?;
        self.check = check_more(self.check, &self.bytes);
        (self.page, self.filled, self.bytes) = (self.page + 1, 0, [0xff; PAGE]);
        Ok(())
    }
}

/// Postcard's way into the pages.
struct Stream<'a, F>(Loading<'a, F>);

impl<'a, F: NorFlash> Flavor for Stream<'a, F> {
    type Output = Loading<'a, F>;

    fn try_push(&mut self, byte: u8) -> postcard::Result<()> {
        let pushed = self.0.push(byte);
        pushed.map_err(|_| postcard::Error::SerializeBufferFull)
    }

    fn finalize(self) -> postcard::Result<Loading<'a, F>> {
        Ok(self.0)
    }
}

/// A saw list in flash: its head is held, its pieces are read when they are asked for.
#[derive(Debug)]
pub struct FlashList<'a, F> {
    pages: Pages<'a, F>,
    head: ListHead,
}

impl<'a, F: NorFlash> FlashList<'a, F> {
    /// The list that was programmed here; none where any of it cannot be read.
    pub fn open(chip: Chip<'a, F>, kept: Kept) -> Option<Self> {
        let which = kept.which;
        let mut header = [0; SLOT];
        chip.read(page_at::<F>(which, 0), &mut header).ok()?;
        let short = |at: usize| u16::from_le_bytes([header[at], header[at + 1]]);
        let ours = is_whole(&header)
            && &header[..8] == MAGIC
            && short(8) == VERSION
            && header[24..28] == kept.check.to_le_bytes();
        let pages = Pages {
            chip,
            which,
            head_length: usize::from(short(12)),
        };
        let last = pages.first_of_pieces() + usize::from(short(10)).div_ceil(A_PAGE);
        if !ours || last > PAGES {
            return None;
        }
        let check =
            (1..last).try_fold(0, |check, page| Some(check_more(check, &pages.read(page)?)));
        if check != Some(kept.check) {
            return None;
        }
        let head = pages.head()?;
        (head.pieces == short(10)).then_some(FlashList { pages, head })
    }
}

impl<F: NorFlash> SawList for FlashList<'_, F> {
    fn head(&self) -> &ListHead {
        &self.head
    }

    fn piece(&self, index: u16) -> Option<Piece> {
        if index >= self.head.pieces {
            return None;
        }
        let index = usize::from(index);
        let bytes = self
            .pages
            .read(self.pages.first_of_pieces() + index / A_PAGE)?;
        piece::read(bytes[index % A_PAGE * PIECE..].first_chunk()?)
    }
}

/// Where the pages of a list lie.
#[derive(Debug)]
struct Pages<'a, F> {
    chip: Chip<'a, F>,
    which: u8,
    head_length: usize,
}

impl<F: NorFlash> Pages<'_, F> {
    fn first_of_pieces(&self) -> usize {
        1 + self.head_length.div_ceil(BODY)
    }

    fn read(&self, page: usize) -> Option<[u8; PAGE]> {
        let mut bytes = [0; PAGE];
        let at = page_at::<F>(self.which, page);
        self.chip.read(at, &mut bytes).ok()?;
        is_whole(&bytes).then_some(bytes)
    }

    /// The head, read field by field: postcard writes a struct as its fields one after another.
    fn head(&self) -> Option<ListHead> {
        let mut at = 0;
        let (level, digest, pieces, sticks, mark, stock): (Name, u32, u16, u16, Mark, Stock) =
            self.field(&mut at)?;
        let count: usize = self.field(&mut at)?;
        let mut mouldings = Vec::new();
        for _ in 0..count {
            mouldings.push(self.field::<Moulding>(&mut at)?).ok()?;
        }
        let count: usize = self.field(&mut at)?;
        let mut rooms = Vec::new();
        for _ in 0..count {
            rooms.push(self.field::<Name>(&mut at)?).ok()?;
        }
        let head = ListHead {
            level,
            digest,
            pieces,
            sticks,
            mark,
            stock,
            mouldings,
            rooms,
        };
        (at == self.head_length).then_some(head)
    }

    fn field<T: DeserializeOwned>(&self, at: &mut usize) -> Option<T> {
        let mut window = [0; WINDOW];
        let length = WINDOW.min(self.head_length.checked_sub(*at)?);
        let mut filled = 0;
        while filled < length {
            let from = *at + filled;
            let page = self.read(1 + from / BODY)?;
            let bytes = &page[from % BODY..BODY];
            let bytes = &bytes[..bytes.len().min(length - filled)];
            window[filled..filled + bytes.len()].copy_from_slice(bytes);
            filled += bytes.len();
        }
        let (field, rest) = postcard::take_from_bytes(&window[..length]).ok()?;
        *at += length - rest.len();
        Some(field)
    }
}
