//! The record on a disk: opened, read and written so that a power cut at any byte is survived. How slots and lists lie in
//! bytes is left to `log` and `list`.

use std::fmt;
use std::io;
use std::ops::RangeInclusive;
use std::path::Path;
use std::time::{SystemTime, UNIX_EPOCH};

use shared_model::{Event, ListHead, MAX_PIECES, Piece};
use station::record::{Damaged, Record, RecordError};

use crate::disk::{Disk, Folder, replace};
use crate::list::{HeldList, NoList};
use crate::log::{self, Log};
use crate::slot::{self, Header};

const EVENTS: &str = "events";
const LIST: &str = "list";
const BOOTS: &str = "boots";
const BOOTS_KIND: &[u8; 8] = b"boots\0\0\0";

/// A station's record in a folder.
///
/// ```
/// use file_record::{FileRecord, OpenError};
/// use station::record::Record;
/// let folder = std::env::temp_dir().join(format!("record-{}", std::process::id()));
/// let record = FileRecord::open(&folder).unwrap();
/// assert_eq!((record.boot(), record.last_sequence()), (1, 0));
/// assert!(matches!(FileRecord::open(&folder), Err(OpenError::InUse)));
/// # drop(record);
/// # std::fs::remove_dir_all(&folder).unwrap();
/// ```
#[derive(Debug)]
pub struct FileRecord<D = Folder> {
    disk: D,
    epoch: u32,
    boot: u16,
    log: Log,
    /// An event may be on the disk that was not confirmed: nothing must be written behind it.
    stopped: bool,
    list: Option<HeldList>,
    begun: Option<HeldList>,
    damage: Vec<Damage>,
    trouble: Option<io::Error>,
}

/// Why a record cannot be opened, as a person reads it. Nothing is changed then.
#[derive(Debug)]
pub enum OpenError {
    /// the record is in use by another running station
    InUse,
    /// the record cannot be read or written: and what the system says
    System(io::Error),
    /// a file of the record is in another version of the format
    OtherVersion {
        /// The file's name.
        file: &'static str,
        /// Its format's version.
        version: u16,
    },
    /// the file with the events is damaged at its beginning, or is something else
    NoEvents,
}

impl fmt::Display for OpenError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            OpenError::InUse => f.write_str("the record is in use by another running station"),
            OpenError::System(error) => write!(f, "the record cannot be read or written: {error}"),
            OpenError::OtherVersion { file, version } => write!(
                f,
                "the record's file \"{file}\" has the format {version} and this program reads {}: use the program that wrote it",
                slot::VERSION
            ),
            OpenError::NoEvents => f.write_str(
                "the record's file \"events\" is damaged at its beginning, or is something else: put it aside to start a new one",
            ),
        }
    }
}

impl std::error::Error for OpenError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            OpenError::System(error) => Some(error),
            _ => None,
        }
    }
}

impl From<io::Error> for OpenError {
    fn from(error: io::Error) -> OpenError {
        OpenError::System(error)
    }
}

/// What was found damaged in a record that could be opened; it is left as it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Damage {
    /// events with these numbers were stored and cannot be read any more
    EventsMissing(RangeInclusive<u32>),
    /// so many entries at the end of the events cannot be read: more than a power cut leaves
    EventsEnd(usize),
    /// the file with the events is gone: nothing counts as cut any more
    EventsGone,
    /// the saw list is damaged and has to be loaded again
    List,
}

impl Damage {
    /// What of a record it is damage of.
    const fn what(&self) -> Damaged {
        match self {
            Damage::List => Damaged::List,
            Damage::EventsMissing(_) | Damage::EventsEnd(_) | Damage::EventsGone => {
                Damaged::Presses
            }
        }
    }
}

impl fmt::Display for Damage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Damage::EventsMissing(numbers) if numbers.start() == numbers.end() => write!(
                f,
                "event {} was stored and cannot be read any more: check which pieces are cut",
                numbers.start()
            ),
            Damage::EventsMissing(numbers) => write!(
                f,
                "events {} to {} were stored and cannot be read any more: check which pieces are cut",
                numbers.start(),
                numbers.end()
            ),
            Damage::EventsEnd(count) => write!(
                f,
                "the last {count} entries of the events cannot be read: check which pieces are cut"
            ),
            Damage::EventsGone => f.write_str(
                "the file with the events is gone, so nothing counts as cut any more: check which pieces are cut",
            ),
            Damage::List => f.write_str("the saw list is damaged and has to be loaded again"),
        }
    }
}

impl FileRecord {
    /// Opens the record in a folder, which is made if it is not there, and counts one start.
    ///
    /// # Errors
    /// Every [`OpenError`].
    pub fn open(folder: &Path) -> Result<FileRecord, OpenError> {
        let folder = Folder::open(folder)?.ok_or(OpenError::InUse)?;
        FileRecord::on(folder)
    }
}

impl<D: Disk> FileRecord<D> {
    /// Opens the record on a disk and counts one start.
    ///
    /// # Errors
    /// Every [`OpenError`] but [`OpenError::InUse`].
    pub fn on(mut disk: D) -> Result<FileRecord<D>, OpenError> {
        // a record makes its events before it counts a start
        let gone = disk.read(EVENTS)?.is_none() && disk.read(BOOTS)?.is_some();
        let (epoch, log) = open_log(&mut disk)?;
        let mut damage: Vec<Damage> = log
            .missing
            .iter()
            .cloned()
            .map(Damage::EventsMissing)
            .collect();
        damage.extend(gone.then_some(Damage::EventsGone));
        let list = match disk.read(LIST)?.map(|bytes| HeldList::read(&bytes)) {
            None => None,
            Some(Ok(list)) => Some(list),
            Some(Err(NoList::Version(version))) => {
                let file = LIST;
                return Err(OpenError::OtherVersion { file, version });
            }
            Some(Err(NoList::Damaged)) => {
                damage.push(Damage::List);
                None
            }
        };
        let boot = count_start(&mut disk, &log)?;
        // each start since the last event can have ended in a write that the power cut short, of which nobody was told
        // that it was stored; more of them were
        let last = log.events.last().map_or(0, |event| event.boot);
        let torn = usize::from(boot.saturating_sub(last));
        damage.extend((log.unreadable > torn).then_some(Damage::EventsEnd(log.unreadable)));
        Ok(FileRecord {
            disk,
            epoch,
            boot,
            log,
            stopped: false,
            list,
            begun: None,
            damage,
            trouble: None,
        })
    }

    /// What was found damaged when it was opened.
    pub fn damage(&self) -> &[Damage] {
        &self.damage
    }

    /// What the system said when something could last not be written.
    pub fn trouble(&self) -> Option<&io::Error> {
        self.trouble.as_ref()
    }

    fn write_list(&mut self, list: &HeldList) -> io::Result<HeldList> {
        let bytes = list.bytes().map_err(io::Error::other)?;
        replace(&mut self.disk, LIST, &bytes)?;
        // what is used from here on is what will be there after a start
        match self.disk.read(LIST)?.map(|bytes| HeldList::read(&bytes)) {
            Some(Ok(list)) => Ok(list),
            _ => Err(io::Error::other("the list does not read back")),
        }
    }
}

/// Reads the log and its epoch, or begins one.
fn open_log(disk: &mut impl Disk) -> Result<(u32, Log), OpenError> {
    let bytes = match disk.read(EVENTS)? {
        Some(bytes) => {
            // left by a killed process it may be in the system's memory alone; what is shown again must outlive a cut
            disk.sync(EVENTS)?;
            bytes
        }
        None => {
            let header = slot::header(log::KIND, new_epoch(disk)?);
            replace(disk, EVENTS, &header)?;
            header.to_vec()
        }
    };
    match slot::read_header(log::KIND, &bytes) {
        Header::Ours(epoch) => Ok((epoch, Log::read(&bytes))),
        Header::Version(version) => {
            let file = EVENTS;
            Err(OpenError::OtherVersion { file, version })
        }
        Header::Unknown => Err(OpenError::NoEvents),
    }
}

/// A number that no log of this station had before: the second in which it begins, and the starts until then, so that a log
/// that is lost at once has another number too.
fn new_epoch(disk: &impl Disk) -> io::Result<u32> {
    let since = SystemTime::now().duration_since(UNIX_EPOCH);
    let seconds = since.map_or(0, |since| since.as_secs() as u32);
    let starts = match disk
        .read(BOOTS)?
        .map(|bytes| slot::read_header(BOOTS_KIND, &bytes))
    {
        Some(Header::Ours(starts)) => starts,
        Some(Header::Version(_) | Header::Unknown) | None => 0,
    };
    Ok(seconds.wrapping_add(starts))
}

/// Counts this start, on the disk before anything hangs on it. Where the count is lost it goes on from the last event.
fn count_start(disk: &mut impl Disk, log: &Log) -> Result<u16, OpenError> {
    let counted = match disk.read(BOOTS)? {
        Some(bytes) => match slot::read_header(BOOTS_KIND, &bytes) {
            Header::Ours(count) => count as u16,
            Header::Version(version) => {
                let file = BOOTS;
                return Err(OpenError::OtherVersion { file, version });
            }
            Header::Unknown => 0,
        },
        None => 0,
    };
    let used = log.events.last().map_or(0, |event| event.boot);
    let boot = counted.max(used).saturating_add(1);
    replace(disk, BOOTS, &slot::header(BOOTS_KIND, u32::from(boot)))?;
    Ok(boot)
}

impl<D: Disk> Record for FileRecord<D> {
    type List = HeldList;

    fn epoch(&self) -> u32 {
        self.epoch
    }

    fn boot(&self) -> u16 {
        self.boot
    }

    fn last_sequence(&self) -> u32 {
        self.log.last_sequence()
    }

    fn events_left(&self) -> u32 {
        u32::MAX - self.log.last_sequence()
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
        if event.sequence != self.log.last_sequence() + 1 {
            return Err(RecordError::OutOfOrder);
        }
        let entry = self.log.entry(event).ok_or(RecordError::EventNotStored)?;
        if let Err(error) = self.disk.append(EVENTS, &entry) {
            self.trouble = Some(error);
            // some of it may be there, even all of it, and would count at the next start
            let struck_out = self.disk.shorten(EVENTS, self.log.length);
            self.stopped = struck_out.is_err();
            return Err(match self.stopped {
                true => RecordError::StartAgain,
                false => RecordError::EventNotStored,
            });
        }
        self.log.length += entry.len() as u64;
        self.log.events.push(*event);
        Ok(())
    }

    fn events(&self) -> impl Iterator<Item = Event> {
        self.log.events.iter().copied()
    }

    /// Files grow: nothing has to be dropped, and nothing is.
    fn confirm(&mut self, up_to: u32) -> Result<(), RecordError> {
        match up_to > self.log.last_sequence() {
            true => Err(RecordError::OutOfOrder),
            false => Ok(()),
        }
    }

    fn begin(&mut self, head: &ListHead) -> Result<(), RecordError> {
        if usize::from(head.pieces) > MAX_PIECES {
            let most = MAX_PIECES as u16;
            return Err(RecordError::ListTooLong { most });
        }
        self.begun = Some(HeldList::begun(head));
        Ok(())
    }

    fn put(&mut self, piece: &Piece) -> Result<(), RecordError> {
        let list = self.begun.as_mut().ok_or(RecordError::NoListBegun)?;
        if list.missing() == 0 {
            return Err(RecordError::TooManyPieces);
        }
        list.put(piece);
        Ok(())
    }

    fn commit(&mut self) -> Result<(), RecordError> {
        let list = self.begun.take().ok_or(RecordError::NoListBegun)?;
        if list.missing() > 0 {
            return Err(RecordError::PiecesMissing);
        }
        match self.write_list(&list) {
            Ok(list) => {
                self.list = Some(list);
                Ok(())
            }
            Err(error) => {
                self.trouble = Some(error);
                Err(RecordError::ListNotStored)
            }
        }
    }

    fn list(&self) -> Option<&HeldList> {
        self.list.as_ref()
    }
}
