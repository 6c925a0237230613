//! The record in a flash: opened, read and written so that a power cut at any byte is survived. How notes, slots, marks
//! and lists lie in bytes is left to the files named so.

use core::cell::RefCell;

use embedded_storage::nor_flash::NorFlash;
use heapless::Vec;
use shared_model::{Event, ListHead, Piece};
use station::record::{Damaged, Record, RecordError};

use crate::chip::{Chip, SECTOR, SLOT, Trouble, is_whole};
use crate::list::{FlashList, Loading, room_beside};
use crate::log::{self, Walk};
use crate::marks;
use crate::needed::{Places, needed};
use crate::note::{Kept, Note};
use crate::notes::{Found, Notes};
use crate::trouble::{Damage, OpenError, UpkeepError};

/// How often an event is written again where the flash does not hold it.
const TRIES: u8 = 3;

/// How many findings of damage are told apart; what is found beyond them is added to the last.
const FINDINGS: usize = 8;

/// A station's record in flash.
///
/// ```
/// use std::cell::RefCell;
/// use flash_record::FlashRecord;
/// use mock_flash::MockFlash;
/// use station::record::Record;
/// let flash = RefCell::new(MockFlash::<1>::new(16, 1));
/// let mut record = FlashRecord::open(&flash, 0, 16, 1).unwrap();
/// assert_eq!((record.boot(), record.last_sequence(), record.events_left()), (1, 0, 512));
/// record.keep_settings(b"quiet").unwrap();
/// let record = FlashRecord::open(&flash, 0, 16, 1).unwrap();
/// assert_eq!((record.boot(), record.settings()), (2, &b"quiet"[..]));
/// ```
#[derive(Debug)]
pub struct FlashRecord<'a, F> {
    chip: Chip<'a, F>,
    notes: Notes<'a, F>,
    note: Note,
    /// A note may be in the flash that says something else.
    doubt: bool,
    /// The log is not what it should be: nothing must be written there.
    stopped: bool,
    /// The next slot of the log.
    next: u16,
    last: u32,
    last_event: Option<Event>,
    /// The slot of the last event may be one that a power cut left, and read otherwise one day.
    repeat: bool,
    list: Option<FlashList<'a, F>>,
    loading: Option<Loading<'a, F>>,
    damage: Vec<Damage, FINDINGS>,
}

impl<'a, F: NorFlash> FlashRecord<'a, F> {
    /// Opens the record in so many sectors of a flash from an offset on, and counts one start. Where nothing was kept a
    /// record is begun, whose log has this epoch: a number that no record in this flash has had, or a random one.
    ///
    /// It may erase: a start is a moment in which no press is expected.
    ///
    /// # Errors
    /// Every [`OpenError`].
    pub fn open(
        flash: &'a RefCell<F>,
        from: u32,
        sectors: u32,
        epoch: u32,
    ) -> Result<Self, OpenError> {
        let chip = Chip::new(flash, from, sectors).ok_or(OpenError::NoRoom)?;
        let (notes, found) = Notes::find(chip)?;
        let mut note = match found {
            Found::Note(note) => note,
            Found::Version(version) => return Err(OpenError::OtherVersion { version }),
            Found::Nothing if holds_something(chip)? => return Err(OpenError::NoNote),
            Found::Nothing => Note {
                ready: false,
                ..Note::first(epoch)
            },
        };
        if !note.ready {
            erase_log(chip, chip.log_slots())?;
            note.ready = true;
        }
        note.boot = note.boot.saturating_add(1);
        let list = note.list.map(|kept| FlashList::open(chip, kept));
        let mut record = FlashRecord {
            chip,
            notes,
            note,
            doubt: false,
            stopped: false,
            next: 0,
            last: 0,
            last_event: None,
            repeat: false,
            list: None,
            loading: None,
            damage: Vec::new(),
        };
        record.look_for_damage();
        if let Some(list) = list {
            record.list = list;
            if record.list.is_none() {
                record.found(Damage::List);
            }
        }
        // from here on it is what was found now, however the cells of a torn slot may read the next time
        record.write_note(|_| {}, true)?;
        Ok(record)
    }

    /// Gives up whatever is kept in these sectors, so that the next start begins a record.
    ///
    /// # Errors
    /// [`OpenError::NoRoom`], [`OpenError::Flash`].
    pub fn give_up(flash: &'a RefCell<F>, from: u32, sectors: u32) -> Result<(), OpenError> {
        let chip = Chip::new(flash, from, sectors).ok_or(OpenError::NoRoom)?;
        // first what says that there is anything
        chip.erase(Chip::<F>::notes(0), 2)?;
        Ok(chip.erase(0, sectors)?)
    }

    /// What was found damaged when it was opened.
    pub fn damage(&self) -> &[Damage] {
        &self.damage
    }
    /// The number of the last event before the log begins: those up to it were taken by the host and are kept as marks.
    pub fn taken_up_to(&self) -> u32 {
        self.note.base
    }

    /// The settings that were kept last; empty where none were.
    pub fn settings(&self) -> &[u8] {
        &self.note.settings
    }

    /// Keeps settings, at most 32 bytes, in place of those before. It may erase a sector: call it only where no press
    /// can be missed.
    ///
    /// # Errors
    /// [`UpkeepError::SettingsTooLong`], [`UpkeepError::NotWritten`].
    pub fn keep_settings(&mut self, settings: &[u8]) -> Result<(), UpkeepError> {
        let settings = Vec::from_slice(settings).map_err(|_| UpkeepError::SettingsTooLong)?;
        let written = self.write_note(|note| note.settings = settings, true);
        written.map_err(UpkeepError::NotWritten)
    }

    /// Empties the log once the host has stored every event of it for good: the host names the epoch and the last event.
    /// What the events gave stays as marks, so that the place is the same as before. The log has the next epoch then;
    /// the events' numbers go on. It erases: call it only where no press can be missed.
    ///
    /// # Errors
    /// Every [`UpkeepError`] but [`UpkeepError::SettingsTooLong`].
    pub fn truncate(&mut self, epoch: u32, confirmed: u32) -> Result<(), UpkeepError> {
        self.check_taken(epoch, confirmed)?;
        if self.next == 0 {
            return Ok(());
        }
        let needed = needed(|| self.events().map(|event| event.what));
        self.next_epoch(&needed)
    }

    /// The same, and forgets what was said of every piece and stick: for another level, after its list is in use.
    ///
    /// # Errors
    /// Every [`UpkeepError`] but [`UpkeepError::SettingsTooLong`] and [`UpkeepError::TooMuch`].
    pub fn begin_anew(&mut self, epoch: u32, confirmed: u32) -> Result<(), UpkeepError> {
        self.check_taken(epoch, confirmed)?;
        self.next_epoch(&Places::NONE)
    }

    fn check_taken(&self, epoch: u32, confirmed: u32) -> Result<(), UpkeepError> {
        let stored = self.last;
        match (epoch, confirmed) == (self.note.epoch, stored) {
            true => Ok(()),
            false => Err(UpkeepError::NotTaken {
                epoch,
                confirmed,
                stored,
            }),
        }
    }

    fn next_epoch(&mut self, needed: &Places) -> Result<(), UpkeepError> {
        let most = marks::MOST;
        self.settle().map_err(UpkeepError::NotWritten)?;
        let whats = || {
            let whats = self.events().map(|event| event.what).enumerate();
            whats.filter_map(|(place, what)| needed.has(place).then_some(what))
        };
        if marks::count(whats()) > usize::from(most) {
            return Err(UpkeepError::TooMuch { most });
        }
        let which = self.note.marks.map_or(0, |kept| 1 - kept.which);
        let written = marks::write(self.chip, which, whats());
        let (mark_count, check) = written.map_err(UpkeepError::NotWritten)?;
        let used = self.next;
        let base = self.last;
        let commit = |note: &mut Note| {
            note.epoch += 1;
            note.marks = Some(Kept { which, check });
            note.mark_count = mark_count;
            note.base = base;
            note.settled = 0;
            note.ready = false;
        };
        self.write_note(commit, true)
            .map_err(UpkeepError::NotWritten)?;
        self.stopped = true;
        self.next = 0;
        self.repeat = false;
        erase_log(self.chip, used)
            .and_then(|()| self.write_note(|note| note.ready = true, true))
            .map_err(UpkeepError::StartAgain)?;
        self.stopped = false;
        Ok(())
    }

    /// Programs an event into the next slot that holds it.
    fn store(&mut self, event: &Event) -> Result<(), RecordError> {
        let slot = log::slot(self.note.epoch, event).ok_or(RecordError::EventNotStored)?;
        for _ in 0..TRIES {
            if self.next == self.chip.log_slots() {
                return Err(RecordError::Full);
            }
            let at = Chip::<F>::log(self.next);
            self.next += 1;
            if self.chip.program(at, &slot).is_ok() {
                return Ok(());
            }
            // some of it may be there, even all of it, and would count at the next start: a note says that it does not
            if self.write_note(|_| {}, false).is_err() {
                self.stopped = true;
                return Err(RecordError::StartAgain);
            }
        }
        Err(RecordError::EventNotStored)
    }

    /// Writes a note if one that could not be written may be in force at the next start.
    fn settle(&mut self) -> Result<(), Trouble> {
        match self.doubt {
            true => self.write_note(|_| {}, true),
            false => Ok(()),
        }
    }

    fn write_note(
        &mut self,
        change: impl FnOnce(&mut Note),
        may_erase: bool,
    ) -> Result<(), Trouble> {
        let mut note = Note {
            settled: self.next,
            last: self.last,
            last_event: self.last_event,
            ..self.note.clone()
        };
        change(&mut note);
        let written = self.notes.write(&mut note, may_erase);
        self.doubt = written.is_err();
        match self.doubt {
            true => self.note.number = note.number,
            false => self.note = note,
        }
        written
    }

    /// Walks over the log once: where it ends, and what is missing.
    fn look_for_damage(&mut self) {
        let mut last = self.note.base;
        let end = log::end(self.chip, self.note.settled);
        let mut walk = Walk::new(self.chip, &self.note, end);
        let mut missing: Vec<Damage, FINDINGS> = Vec::new();
        let mut last_event = None;
        for event in walk.by_ref() {
            if event.sequence > last + 1 {
                add(&mut missing, last + 1, event.sequence - 1);
            }
            (last, last_event) = (event.sequence, Some(event));
        }
        if last < self.note.last {
            add(&mut missing, last + 1, self.note.last);
            last = self.note.last;
        }
        (self.next, self.last) = (walk.slot, last);
        if self.next < self.chip.log_slots() && !self.chip.stays_blank(Chip::<F>::log(self.next)) {
            self.next += 1;
        }
        self.last_event = last_event
            .or(self.note.last_event)
            .filter(|event| event.sequence == last);
        self.repeat = self.last > self.note.base && self.last_event.is_some();
        self.damage = missing;
        // one write can have been cut short, of which nobody was told that it was stored; more were
        if walk.unreadable > 1 {
            self.found(Damage::EventsEnd(walk.unreadable));
        }
        let count = self.note.mark_count;
        let whole = |kept: Kept| marks::is_there(self.chip, kept.which, count, kept.check);
        if !self.note.marks.is_none_or(whole) {
            let before = self.note.base + 1;
            self.found(Damage::Marks { before });
        }
    }

    fn found(&mut self, damage: Damage) {
        if self.damage.is_full() {
            self.damage.pop();
        }
        // there is room now
        let _ = self.damage.push(damage);
    }
}

/// Adds missing numbers to the findings.
fn add(missing: &mut Vec<Damage, FINDINGS>, first: u32, last: u32) {
    let new = Damage::EventsMissing { first, last };
    if missing.push(new).is_err()
        && let Some(Damage::EventsMissing { last: end, .. }) = missing.last_mut()
    {
        *end = last;
    }
}

/// Whether there is an event or a list, though no note.
fn holds_something<F: NorFlash>(chip: Chip<'_, F>) -> Result<bool, Trouble> {
    let log = (0..chip.log_slots()).map(Chip::<F>::log);
    for at in log.chain([0, 1].map(Chip::<F>::list)) {
        let mut bytes = [0; SLOT];
        chip.read(at, &mut bytes)?;
        if is_whole(&bytes) {
            return Ok(true);
        }
    }
    Ok(false)
}

/// Erases the sectors in which the first slots of the log lie.
fn erase_log<F: NorFlash>(chip: Chip<'_, F>, slots: u16) -> Result<(), Trouble> {
    let sectors = (u32::from(slots) * SLOT as u32).div_ceil(SECTOR);
    chip.erase(Chip::<F>::log(0), sectors)
}

impl<'a, F: NorFlash> Record for FlashRecord<'a, F> {
    type List = FlashList<'a, F>;

    fn epoch(&self) -> u32 {
        self.note.epoch
    }

    fn boot(&self) -> u16 {
        self.note.boot
    }

    fn last_sequence(&self) -> u32 {
        self.last
    }

    fn events_left(&self) -> u32 {
        let slots = self.chip.log_slots() - self.next;
        let slots = slots.saturating_sub(u16::from(self.repeat));
        u32::from(slots).min(u32::MAX - self.last)
    }

    fn damaged(&self) -> impl Iterator<Item = Damaged> {
        self.damage.iter().map(Damage::what)
    }

    fn append(&mut self, event: &Event) -> Result<(), RecordError> {
        if self.stopped {
            return Err(RecordError::StartAgain);
        }
        if self.events_left() == 0 {
            return Err(RecordError::Full);
        }
        if event.sequence != self.last + 1 {
            return Err(RecordError::OutOfOrder);
        }
        if let Some(last) = self.last_event.filter(|_| self.repeat) {
            self.store(&last)?;
            self.repeat = false;
        }
        self.store(event)?;
        (self.last, self.last_event) = (event.sequence, Some(*event));
        Ok(())
    }

    fn events(&self) -> impl Iterator<Item = Event> {
        let count = self.note.mark_count;
        let kept = self.note.marks.into_iter();
        let whats = kept.flat_map(move |kept| marks::read(self.chip, kept.which, count));
        let before = whats.map(|what| Event {
            sequence: 0,
            boot: 0,
            milliseconds: 0,
            what,
        });
        before.chain(Walk::new(self.chip, &self.note, self.next))
    }

    /// Drops nothing while more than a quarter of the log is free: emptying it erases.
    fn confirm(&mut self, up_to: u32) -> Result<(), RecordError> {
        if up_to > self.last {
            return Err(RecordError::OutOfOrder);
        }
        let slots = u32::from(self.chip.log_slots());
        if up_to < self.last || self.events_left() > slots / 4 {
            return Ok(());
        }
        match self.truncate(self.note.epoch, up_to) {
            // what cannot be dropped is kept
            Ok(()) | Err(UpkeepError::TooMuch { .. }) => Ok(()),
            Err(UpkeepError::StartAgain(_)) => Err(RecordError::StartAgain),
            Err(_) => Err(RecordError::EventNotStored),
        }
    }

    fn begin(&mut self, head: &ListHead) -> Result<(), RecordError> {
        self.loading = None;
        let most = room_beside(head);
        if head.pieces > most {
            return Err(RecordError::ListTooLong { most });
        }
        let which = self.note.list.map_or(0, |kept| 1 - kept.which);
        let begun = self
            .settle()
            .and_then(|()| Loading::begin(self.chip, which, head));
        self.loading = Some(begun.map_err(|_| RecordError::ListNotStored)?);
        Ok(())
    }

    fn put(&mut self, piece: &Piece) -> Result<(), RecordError> {
        let loading = self.loading.as_mut().ok_or(RecordError::NoListBegun)?;
        if loading.missing() == 0 {
            return Err(RecordError::TooManyPieces);
        }
        if loading.put(piece).is_err() {
            self.loading = None;
            return Err(RecordError::ListNotStored);
        }
        Ok(())
    }

    fn commit(&mut self) -> Result<(), RecordError> {
        let loading = self.loading.take().ok_or(RecordError::NoListBegun)?;
        if loading.missing() > 0 {
            return Err(RecordError::PiecesMissing);
        }
        let list = loading.end().and_then(|kept| {
            // what is used from here on is what will be there after a start
            let list = FlashList::open(self.chip, kept).ok_or(Trouble::NotAsWritten)?;
            self.write_note(|note| note.list = Some(kept), true)?;
            Ok(list)
        });
        self.list = Some(list.map_err(|_| RecordError::ListNotStored)?);
        Ok(())
    }

    fn list(&self) -> Option<&FlashList<'a, F>> {
        self.list.as_ref()
    }
}
