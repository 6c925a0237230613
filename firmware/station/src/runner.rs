//! A machine and its record run together, the same on a board and on the host's screen: what is to be stored is stored,
//! and what is left to do is handed out. Reading contacts, drawing and sounding are left to whoever owns the runner.

use shared_model::{Event, ListHead, Piece, Place, SawList};

use crate::machine::{Beep, Effects, Input, Key, Machine, Over};
use crate::record::{Damaged, Record, RecordError, check_list};
use crate::settings::{Light, Settings, SettingsError};
use crate::timing::{QUIET, reached};
use crate::view::View;

/// A machine that stores what it has to in its own record.
pub struct Runner<R> {
    machine: Machine,
    record: R,
    /// How many loads have begun.
    loads: u32,
    /// When a contact moved last, as long as that holds work on the record up.
    touched: Option<u32>,
}

/// A load that was begun; another one that begins ends it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Load(u32);

/// What is left to do after an input.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Outcome {
    /// Sound this, as loud as the settings say; where an input brought about several, the last.
    pub beep: Option<Beep>,
    /// Keep these settings, and take [`Input::SettingsNotKept`] where that fails.
    pub keep: Option<Settings>,
    /// Give the screen so much light.
    pub light: Option<Light>,
    /// The view is another one than before.
    pub draw: bool,
    /// Show which station this is by whatever else the board has, such as a lamp.
    pub point_out: bool,
    /// An event could not be stored, for this reason; the screen says that the press does not count.
    pub trouble: Option<RecordError>,
}

impl<R: Record> Runner<R> {
    /// Starts a station at time 0 with what its record holds: the place is the one before the power went. A contact
    /// that is closed at the start counts only after it has been open.
    pub fn start(record: R, pedal_closed: bool, keys_closed: &[Key]) -> Runner<R> {
        let (boot, last) = (record.boot(), record.last_sequence());
        let mut runner = Runner {
            machine: Machine::start(boot, last, pedal_closed, keys_closed),
            record,
            loads: 0,
            touched: None,
        };
        runner.fold();
        for what in Damaged::ALL {
            if runner.record.is_damaged(what) {
                runner.machine.take(Input::Damaged(what), 0);
            }
        }
        let left = runner.record.events_left();
        runner.machine.take(Input::EventsLeft(left), 0);
        runner
    }

    /// Goes by the settings that a keeper read at the start, or by the usual ones.
    pub fn set_settings(&mut self, read: Result<Option<Settings>, SettingsError>) -> Outcome {
        let mut outcome = Outcome::default();
        outcome.add(self.machine.set_settings(read));
        outcome
    }

    /// The settings in use.
    pub fn settings(&self) -> Settings {
        self.machine.settings()
    }

    /// The screen shows a piece in so many leaves.
    pub fn set_leaves(&mut self, leaves: u8) {
        self.machine.set_leaves(leaves);
    }

    /// Takes one input in, and before it whatever time has brought by then. `now` is in milliseconds since the start.
    pub fn take(&mut self, input: Input, now: u32) -> Outcome {
        let mut outcome = Outcome::default();
        self.catch_up(now, &mut outcome);
        if let Input::Pedal { .. } | Input::Contact { .. } = input {
            self.touched = Some(now);
        } else {
            self.touched = self.touched.filter(|at| now.wrapping_sub(*at) < QUIET);
        }
        self.step(input, now, &mut outcome);
        self.catch_up(now, &mut outcome);
        outcome
    }

    /// When time alone will change something; take [`Input::Time`] then.
    pub fn wake_at(&self) -> Option<u32> {
        self.machine.wake_at()
    }

    /// What the picture shows now.
    pub fn view(&self) -> View {
        self.machine.view(self.record.list())
    }

    /// Puts this list in place of the one in use. What was cut stays cut wherever the new list has a piece of that id.
    ///
    /// `made_with` is the number of the last event that was known when the list was made.
    ///
    /// # Errors
    /// Whatever [`check_list`] finds, [`RecordError::ListBehind`] where later events are stored, and what the record says
    /// of storing. The list before it then stays in use.
    pub fn load(&mut self, list: &impl SawList, made_with: u32) -> Result<Outcome, RecordError> {
        check_list(list)?;
        let load = self.begin_load(list.head(), made_with)?;
        for index in 0..list.head().pieces {
            let number = index + 1;
            let unreadable = RecordError::PieceUnreadable { number };
            self.put_piece(load, &list.piece(index).ok_or(unreadable)?)?;
        }
        self.commit_load(load, made_with)
    }

    /// Begins to load a list piece by piece; the one in use stays in use until the end. Its pieces are checked by whoever
    /// puts them.
    ///
    /// # Errors
    /// [`RecordError::ListBehind`] where events are stored that the list was made without, and what the record says.
    pub fn begin_load(&mut self, head: &ListHead, made_with: u32) -> Result<Load, RecordError> {
        self.not_behind(made_with)?;
        self.loads = self.loads.wrapping_add(1);
        self.record.begin(head)?;
        Ok(Load(self.loads))
    }

    /// Puts the next piece of the list that was begun.
    ///
    /// # Errors
    /// [`RecordError::NoListBegun`] where another load has begun since, and what the record says.
    pub fn put_piece(&mut self, load: Load, piece: &Piece) -> Result<(), RecordError> {
        self.is_last(load)?;
        self.record.put(piece)
    }

    /// Puts the list that was begun in place of the one in use. What is asked or looked at falls away.
    ///
    /// # Errors
    /// [`RecordError::ListBehind`] where events have been stored since it was made, [`RecordError::NoListBegun`] where
    /// another load has begun since, and what the record says.
    pub fn commit_load(&mut self, load: Load, made_with: u32) -> Result<Outcome, RecordError> {
        self.is_last(load)?;
        self.not_behind(made_with)?;
        self.record.commit()?;
        let effects = self.fold();
        Ok(Outcome {
            draw: effects.draw,
            ..Outcome::default()
        })
    }

    /// Lets work be done on the record that stores no event, such as emptying its log, and takes in what came of it.
    /// `now` is in milliseconds since the start.
    pub fn tend<T>(&mut self, now: u32, work: impl FnOnce(&mut R) -> T) -> (T, Outcome) {
        let mut outcome = Outcome::default();
        self.catch_up(now, &mut outcome);
        let done = work(&mut self.record);
        outcome.add(self.fold());
        let left = self.record.events_left();
        outcome.add(self.machine.take(Input::EventsLeft(left), now));
        (done, outcome)
    }

    /// Lets work be done on the record that changes neither its list nor its events, such as keeping settings.
    pub fn keep<T>(&mut self, work: impl FnOnce(&mut R) -> T) -> T {
        work(&mut self.record)
    }

    /// A press or a question is not done yet, and means the list that is in use.
    pub fn is_busy(&self) -> bool {
        self.machine.is_busy()
    }

    /// Nobody has been at pedal or keys for [`QUIET`] by `now`, and no question stands: work during which a board does not
    /// look at its contacts may be done.
    pub fn is_quiet(&self, now: u32) -> bool {
        let touched = self.touched.is_some_and(|at| now.wrapping_sub(at) < QUIET);
        !touched && !self.is_busy()
    }

    /// The host keeps every event up to this one for good. The record is told only while [`Runner::is_quiet`], since it may
    /// erase then; the host says it again the next time that it takes events. `now` is in milliseconds since the start.
    ///
    /// # Errors
    /// What the record says; every event is kept then.
    pub fn confirm(&mut self, up_to: u32, now: u32) -> Result<Outcome, RecordError> {
        let mut outcome = Outcome::default();
        if !self.is_quiet(now) {
            return Ok(outcome);
        }
        self.record.confirm(up_to)?;
        let left = self.record.events_left();
        outcome.add(self.machine.take(Input::EventsLeft(left), now));
        Ok(outcome)
    }

    /// What lies over the piece, if anything does.
    pub fn over(&self) -> Option<Over> {
        self.machine.over()
    }

    /// The place; none without a list.
    pub fn place(&self) -> Option<&Place> {
        self.machine.place()
    }

    /// The record, for reading.
    pub fn record(&self) -> &R {
        &self.record
    }

    fn is_last(&self, load: Load) -> Result<(), RecordError> {
        match load == Load(self.loads) {
            true => Ok(()),
            false => Err(RecordError::NoListBegun),
        }
    }

    fn not_behind(&self, made_with: u32) -> Result<(), RecordError> {
        let stored = self.record.last_sequence();
        match made_with < stored {
            true => Err(RecordError::ListBehind { made_with, stored }),
            false => Ok(()),
        }
    }

    /// The place anew from the list and every event.
    fn fold(&mut self) -> Effects {
        self.machine.go_on(self.record.list(), self.record.events())
    }

    fn catch_up(&mut self, now: u32, outcome: &mut Outcome) {
        while let Some(moment) = self
            .machine
            .wake_at()
            .filter(|moment| reached(now, *moment))
        {
            // what was held up under a foot is due now and not when it would have been
            let behind = now.wrapping_sub(moment);
            let behind = behind.min(now.wrapping_sub(self.machine.now()));
            self.step(Input::Time, now.wrapping_sub(behind), outcome);
        }
    }

    fn step(&mut self, input: Input, now: u32, outcome: &mut Outcome) {
        let mut effects = self.machine.take(input, now);
        outcome.add(effects);
        while let Some(event) = effects.store {
            let answer = self.store(&event, outcome);
            effects = self.machine.take(answer, now);
            outcome.add(effects);
            let left = self.record.events_left();
            outcome.add(self.machine.take(Input::EventsLeft(left), now));
        }
    }

    fn store(&mut self, event: &Event, outcome: &mut Outcome) -> Input {
        match self.record.append(event) {
            Ok(()) => Input::Stored(event.sequence),
            Err(error) => {
                outcome.trouble = Some(error);
                Input::NotStored
            }
        }
    }
}

impl Outcome {
    /// This and what came after it.
    #[must_use]
    pub fn then(self, later: Outcome) -> Outcome {
        Outcome {
            beep: later.beep.or(self.beep),
            keep: later.keep.or(self.keep),
            light: later.light.or(self.light),
            draw: self.draw || later.draw,
            point_out: self.point_out || later.point_out,
            trouble: later.trouble.or(self.trouble),
        }
    }

    fn add(&mut self, effects: Effects) {
        self.beep = effects.beep.or(self.beep);
        self.keep = effects.keep.or(self.keep);
        self.light = effects.light.or(self.light);
        self.draw |= effects.draw;
        self.point_out |= effects.point_out;
    }
}
