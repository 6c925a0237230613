//! A disk in memory on which the power goes after so many units of work: a byte written is one, a sync, a shortening and
//! the two halves of a renaming are one each. What then is on the medium is as bad as real disks leave it.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::io::{self, ErrorKind};
use std::rc::Rc;

use file_record::{Disk, FileRecord};
use record_tests::{Dice, MeanMedium, Medium};

/// A folder's names, each for a file by its number, and the files' bytes: a real folder too is written apart from them.
#[derive(Debug, Clone, Default)]
struct Files {
    names: BTreeMap<String, usize>,
    bytes: BTreeMap<usize, Vec<u8>>,
}

impl Files {
    fn read(&self, name: &str) -> Option<&Vec<u8>> {
        self.bytes.get(self.names.get(name)?)
    }
}

#[derive(Debug, Clone)]
struct State {
    /// What the running system shows.
    seen: Files,
    /// What a power cut leaves.
    medium: Files,
    left: Option<u64>,
    /// A disk that runs full fails and lives on; otherwise the power is gone.
    only_full: bool,
    dead: bool,
    spent: u64,
    dice: Dice,
}

/// The disk; clones are the same disk.
#[derive(Debug, Clone)]
pub struct MeanDisk(Rc<RefCell<State>>);

impl MeanDisk {
    pub fn new(run: u64) -> MeanDisk {
        MeanDisk(Rc::new(RefCell::new(State {
            seen: Files::default(),
            medium: Files::default(),
            left: None,
            only_full: false,
            dead: false,
            spent: 0,
            dice: Dice::new(run),
        })))
    }

    /// Another disk with the same content, which dies otherwise.
    pub fn fork(&self, run: u64) -> MeanDisk {
        let mut state = self.0.borrow().clone();
        state.dice = Dice::new(run);
        MeanDisk(Rc::new(RefCell::new(state)))
    }

    /// The power goes after so many further units.
    pub fn die_after(&self, units: u64) {
        let mut state = self.0.borrow_mut();
        (state.left, state.only_full) = (Some(units), false);
    }

    /// Writing fails after so many further units; cutting files shorter goes on working.
    pub fn full_after(&self, units: u64) {
        let mut state = self.0.borrow_mut();
        (state.left, state.only_full) = (Some(units), true);
    }

    /// There is room again.
    pub fn refill(&self) {
        self.0.borrow_mut().left = None;
    }

    pub fn is_dead(&self) -> bool {
        self.0.borrow().dead
    }

    /// Units of work so far.
    pub fn spent(&self) -> u64 {
        self.0.borrow().spent
    }

    /// The process was killed and the system lives on: it shows all that was written.
    pub fn after_kill(&self) {
        let mut state = self.0.borrow_mut();
        (state.left, state.dead) = (None, false);
    }

    /// The power was off: what is left is what was on the medium.
    pub fn after_power_cut(&self) {
        self.after_kill();
        let mut state = self.0.borrow_mut();
        state.seen = state.medium.clone();
    }

    /// Changes a file behind the record's back.
    pub fn tamper(&self, name: &str, change: impl Fn(&mut Vec<u8>)) {
        let mut state = self.0.borrow_mut();
        let file = state.seen.names[name];
        change(state.seen.bytes.entry(file).or_default());
        state.medium = state.seen.clone();
    }

    pub fn bytes(&self, name: &str) -> Vec<u8> {
        self.0.borrow().seen.read(name).cloned().unwrap_or_default()
    }
}

impl State {
    /// How much of some work is done; less than all of it is the end.
    fn spend(&mut self, units: u64) -> io::Result<u64> {
        if self.dead {
            return Err(io::Error::other("no power"));
        }
        let done = self.left.map_or(units, |left| left.min(units));
        self.left = self.left.map(|left| left - done);
        self.spent += done;
        self.dead = done < units && !self.only_full;
        Ok(done)
    }

    /// Writes behind `before`; on the medium is then any beginning of what was written, or its length without its bytes.
    fn write(&mut self, name: &str, before: Vec<u8>, bytes: &[u8]) -> io::Result<()> {
        let all = bytes.len() as u64 + 1;
        let done = self.spend(all)?;
        let written = &bytes[..bytes.len().min(done as usize)];
        let seen = [&before, written].concat();
        let mut medium = seen.clone();
        if done < all {
            let kept = before.len() + self.dice.roll(written.len() as u64 + 1) as usize;
            match self.dice.roll(3) {
                0 => medium.truncate(kept),
                1 => medium[kept..].fill(0),
                _ => {}
            }
        }
        let new = self.seen.bytes.len();
        let file = *self.seen.names.entry(name.to_owned()).or_insert(new);
        self.seen.bytes.insert(file, seen);
        self.medium.bytes.insert(file, medium);
        match done < all {
            true => Err(ErrorKind::StorageFull.into()),
            false => Ok(()),
        }
    }
}

impl Disk for MeanDisk {
    fn read(&self, name: &str) -> io::Result<Option<Vec<u8>>> {
        let state = self.0.borrow();
        match state.dead {
            true => Err(io::Error::other("no power")),
            false => Ok(state.seen.read(name).cloned()),
        }
    }

    fn sync(&mut self, name: &str) -> io::Result<()> {
        let mut state = self.0.borrow_mut();
        if state.spend(1)? < 1 {
            return Err(io::Error::other("not synced"));
        }
        let file = state.seen.names[name];
        let bytes = state.seen.bytes[&file].clone();
        state.medium.bytes.insert(file, bytes);
        Ok(())
    }

    fn append(&mut self, name: &str, bytes: &[u8]) -> io::Result<()> {
        let mut state = self.0.borrow_mut();
        let before = state.seen.bytes[&state.seen.names[name]].clone();
        state.write(name, before, bytes)
    }

    fn shorten(&mut self, name: &str, length: u64) -> io::Result<()> {
        let mut state = self.0.borrow_mut();
        let full = state.only_full.then(|| state.left.take()).flatten();
        let done = state.spend(1)?;
        state.left = state.left.or(full);
        if done < 1 {
            return Err(io::Error::other("not shortened"));
        }
        let file = state.seen.names[name];
        let mut bytes = state.seen.bytes[&file].clone();
        bytes.truncate(length as usize);
        state.seen.bytes.insert(file, bytes.clone());
        state.medium.bytes.insert(file, bytes);
        Ok(())
    }

    fn write(&mut self, name: &str, bytes: &[u8]) -> io::Result<()> {
        self.0.borrow_mut().write(name, Vec::new(), bytes)
    }

    fn rename(&mut self, from: &str, to: &str) -> io::Result<()> {
        let mut state = self.0.borrow_mut();
        let done = state.spend(2)?;
        if done >= 1
            && let Some(file) = state.seen.names.remove(from)
        {
            state.seen.names.insert(to.to_owned(), file);
        }
        // not synced yet, the medium has it or not
        if done == 2 || (done == 1 && state.dice.roll(2) == 0) {
            state.medium.names = state.seen.names.clone();
        }
        match done {
            2 => Ok(()),
            _ => Err(io::Error::other("not renamed")),
        }
    }
}

impl Medium for MeanDisk {
    type Record<'a> = FileRecord<MeanDisk>;

    fn start(&self) -> FileRecord<MeanDisk> {
        let record = FileRecord::on(self.clone()).expect("a record");
        assert_eq!(record.damage(), []);
        record
    }
}

impl MeanMedium for MeanDisk {
    fn fork(&self, run: u64) -> MeanDisk {
        self.fork(run)
    }

    fn die_after(&self, units: u64) {
        self.die_after(units);
    }

    fn is_dead(&self) -> bool {
        self.is_dead()
    }

    fn after_power_cut(&self) {
        self.after_power_cut();
    }

    fn after_kill(&self) {
        self.after_kill();
    }

    fn full_after(&self, units: u64) -> bool {
        self.full_after(units);
        true
    }

    fn refill(&self) {
        self.refill();
    }
}
