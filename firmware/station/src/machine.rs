//! The station's state machine: contact edges, keys, time and what the record answers go in; what to store, to sound and
//! to draw comes out. What each key does is in `keys`, what is shown in `picture` and `banner`; storing is left to the runner.

mod banner;
mod keys;
mod pages;
mod picture;
mod scrap;
mod terms;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod tests_of_cards;
#[cfg(test)]
mod tests_of_keys;
#[cfg(test)]
mod tests_of_pages;
#[cfg(test)]
mod tests_of_picture;
#[cfg(test)]
mod tests_of_time;

use shared_model::{Event, Place, Reason, SawList, What};

use crate::contact::{Contact, Settled};
use crate::pedal::{Pedal, PedalSays};
use crate::record::Damaged;
use crate::settings::{Settings, SettingsError, Sound};
use crate::timing::reached;
use crate::timing::{BAD_STICK_STANDS, CUT_AGAIN_STANDS, HOLD_OFF, LOOKING_RETURNS, WORD_STAYS};
use crate::view::{Banner, Body, View};
use crate::work::Work;

pub use banner::NEARLY_FULL;
use pages::{Opened, Page};
pub use terms::{Beep, Effects, Input, Key, Over};

/// The machine. An event moves the place only when it is stored, and one is stored at a time.
#[derive(Debug)]
pub struct Machine {
    boot: u16,
    last_sequence: u32,
    now: u32,
    pedal: Pedal,
    keys: [Contact; Key::ALL.len()],
    /// The contact of the key "done" is closed by a press that counted.
    done_down: bool,
    /// The last "done", or the release of its key, while it still holds further ones off.
    done_at: Option<u32>,
    place: Option<Place>,
    in_flight: Option<Event>,
    /// Said by the same press as what is in flight, and stored right after it.
    queued: Option<What>,
    looking: Option<Looking>,
    /// Never together with an event in flight: whatever stores one ends the question.
    question: Option<Question>,
    word: Option<Word>,
    /// Said until a list comes.
    list_damaged: bool,
    /// Said until a press is stored.
    presses_damaged: bool,
    /// Over the piece. Never together with an event in flight or a question: it is not opened then, and stores nothing.
    page: Option<Opened>,
    /// The card of the work's that is still to be passed; a page lies over it.
    card: Option<u8>,
    work: Work,
    settings: Settings,
    /// In how many leaves the screen shows a piece.
    leaves: u8,
    events_left: u32,
    /// How often the place or the list has changed.
    changes: u32,
    /// As of the last input.
    shown: Shown,
}

/// Another piece than the one at the place is on the screen.
#[derive(Debug, Clone, Copy)]
struct Looking {
    index: u16,
    leaf: u8,
    since: u32,
}

#[derive(Debug, Clone, Copy)]
struct Question {
    asked: Asked,
    since: u32,
}

#[derive(Debug, Clone, Copy)]
enum Asked {
    CutAgain { index: u16, reason: Reason },
    BadStick { stick: u16 },
}

/// Said for a while: about a press that did nothing, or because the host asked.
#[derive(Debug, Clone, Copy)]
struct Word {
    banner: Banner,
    since: u32,
}

/// All that a picture hangs on beside the list: where two are equal, so are the pictures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct Shown {
    changes: u32,
    looking: Option<(u16, u8)>,
    banner: Option<Banner>,
    page: Option<Page>,
    card: Option<u8>,
    settings: Settings,
}

impl Machine {
    /// A machine at the station's start, time 0, without a list. A contact that is closed then counts only after it has
    /// been open.
    pub fn start(
        boot: u16,
        last_sequence: u32,
        pedal_closed: bool,
        keys_closed: &[Key],
    ) -> Machine {
        let mut machine = Machine {
            boot,
            last_sequence,
            now: 0,
            pedal: Pedal::new(pedal_closed),
            keys: Key::ALL.map(|key| Contact::new(keys_closed.contains(&key))),
            done_down: false,
            done_at: None,
            place: None,
            in_flight: None,
            queued: None,
            looking: None,
            question: None,
            word: None,
            list_damaged: false,
            presses_damaged: false,
            page: None,
            card: None,
            work: Work::default(),
            settings: Settings::default(),
            leaves: 1,
            events_left: u32::MAX,
            changes: 0,
            shown: Shown::default(),
        };
        machine.refresh();
        machine
    }

    /// Goes on with this list, or none, at the place where all that has happened leaves it. What was asked or looked at
    /// falls away. Where no piece of the list was ever said to be done the work begins, and its cards come first. Not
    /// while an event is in flight: it would be in the place already, or twice.
    pub fn go_on(
        &mut self,
        list: Option<&impl SawList>,
        events: impl Iterator<Item = Event>,
    ) -> Effects {
        let place = self.place.get_or_insert(Place::empty());
        let mut begins = list.is_some_and(|list| place.restart(list));
        if begins {
            for event in events {
                place.take(&event);
                if let What::Done { piece, list } = event.what {
                    begins &= list != place.digest() && place.index(piece).is_none();
                }
            }
        } else {
            self.place = None;
        }
        self.work = list.map(Work::of).unwrap_or_default();
        self.page = None;
        self.card = begins.then_some(0);
        self.queued = None;
        self.looking = None;
        self.question = None;
        self.word = None;
        self.list_damaged &= list.is_none();
        self.changes = self.changes.wrapping_add(1);
        Effects {
            draw: self.refresh(),
            ..Effects::default()
        }
    }

    /// Goes by these settings: what a keeper read at the start. Where it has none, or none that can be read, the usual
    /// ones hold; the screen says so of those that were lost, since nothing is wrong where none were kept yet.
    pub fn set_settings(&mut self, read: Result<Option<Settings>, SettingsError>) -> Effects {
        let banner = read.is_err().then_some(Banner::SettingsUnreadable);
        let since = self.now;
        self.word = banner.map(|banner| Word { banner, since });
        self.settings = read.ok().flatten().unwrap_or_default();
        Effects {
            light: Some(self.settings.light),
            draw: self.refresh(),
            ..Effects::default()
        }
    }

    /// The settings in use.
    pub fn settings(&self) -> Settings {
        self.settings
    }

    /// The screen shows a piece in so many leaves, which looking ahead goes through before it goes to the next piece.
    pub fn set_leaves(&mut self, leaves: u8) {
        self.leaves = leaves;
    }

    /// The time of the last input.
    pub fn now(&self) -> u32 {
        self.now
    }

    /// The place; none without a list.
    pub fn place(&self) -> Option<&Place> {
        self.place.as_ref()
    }

    /// Takes one input in; inputs come in the order of their times.
    ///
    /// Each call does one thing at most: while [`Machine::wake_at`] is not after `now`, time has more to tell.
    pub fn take(&mut self, input: Input, now: u32) -> Effects {
        self.now = now;
        self.done_at = self
            .done_at
            .filter(|done| now.wrapping_sub(*done) < HOLD_OFF);
        let mut effects = Effects::default();
        match input {
            Input::Pedal { closed } => {
                let says = self.pedal.edge(closed, now);
                self.pedal_says(says, &mut effects);
            }
            Input::Contact { key, closed } => {
                let settled = self.keys[key as usize].edge(closed, now);
                self.key_settled(key, settled, &mut effects);
            }
            Input::Unwatched { until } => {
                self.pedal.unwatched(until);
                self.keys.iter_mut().for_each(|key| key.unwatched(until));
            }
            Input::Press(Key::Done) => {
                self.done(&mut effects);
            }
            Input::Press(key) => self.press(key, &mut effects),
            Input::Show => {
                let (banner, since) = (Banner::ThisStation, now);
                self.word = Some(Word { banner, since });
                effects.beep = Some(Beep::Question);
                effects.point_out = true;
            }
            Input::Digit(digit) => self.digit(digit, &mut effects),
            Input::Time => self.time(&mut effects),
            Input::Stored(sequence) => self.stored(sequence, &mut effects),
            Input::NotStored => {
                self.queued = None;
                if self.in_flight.take().is_some() {
                    self.refuse(Banner::NotStored, &mut effects);
                }
            }
            Input::SettingsNotKept => self.refuse(Banner::SettingsNotKept, &mut effects),
            Input::EventsLeft(left) => self.events_left = left,
            Input::Restarted => {
                let banner = Banner::Restarted;
                self.word = Some(Word { banner, since: now });
            }
            Input::Damaged(Damaged::List) => self.list_damaged = true,
            Input::Damaged(Damaged::Presses) => self.presses_damaged = true,
        }
        if self.settings.sound == Sound::Off {
            effects.beep = None;
        }
        effects.draw = self.refresh();
        effects
    }

    /// When time alone will change something; tell it [`Input::Time`] then.
    pub fn wake_at(&self) -> Option<u32> {
        let contacts = self.keys.iter().filter_map(Contact::settles_at);
        contacts
            .chain(self.pedal.changes_at(self.now))
            .chain(self.question_ends())
            .chain(self.looking_ends())
            .chain(self.page_ends())
            .chain(self.word_ends())
            // distances across the clock's wrapping: what is due lies behind and comes first
            .min_by_key(|moment| moment.wrapping_sub(self.now).cast_signed())
    }

    /// What the picture shows, as of the last input. `list` is the one whose place was set.
    pub fn view(&self, list: Option<&impl SawList>) -> View {
        let over = self.page_view().or_else(|| self.card_view(list));
        let body = over.unwrap_or_else(|| match (list, &self.place) {
            (Some(list), Some(place)) => {
                picture::body(list, place, self.shown.looking, &self.settings)
            }
            _ => Body::NoList,
        });
        View {
            body,
            banner: self.shown.banner,
        }
    }

    /// One thing that is due by time, contacts first.
    fn time(&mut self, effects: &mut Effects) {
        let says = self.pedal.time(self.now);
        if says.is_some() {
            return self.pedal_says(says, effects);
        }
        for key in Key::ALL {
            let settled = self.keys[key as usize].time(self.now);
            if settled.is_some() {
                return self.key_settled(key, settled, effects);
            }
        }
        let due = |moment: Option<u32>| moment.is_some_and(|moment| reached(self.now, moment));
        let (question, looking, page, word) = (
            due(self.question_ends()),
            due(self.looking_ends()),
            due(self.page_ends()),
            due(self.word_ends()),
        );
        if question {
            self.question_ended(effects);
        }
        if looking {
            self.looking = None;
        }
        if page {
            self.page = None;
            // a press on its way was meant for the page
            self.done_at = Some(self.now);
        }
        if word {
            self.word = None;
        }
    }

    fn pedal_says(&mut self, says: Option<PedalSays>, effects: &mut Effects) {
        match says {
            Some(PedalSays::Tap) => {
                self.done(effects);
            }
            Some(PedalSays::TakeBack) => self.press(Key::TakeBack, effects),
            None => {}
        }
    }

    fn key_settled(&mut self, key: Key, settled: Option<Settled>, effects: &mut Effects) {
        let Some(Settled { closed, at, seen }) = settled else {
            return;
        };
        match (key, closed) {
            // the screen may show something else than when the finger came
            (_, true) if !seen => {}
            (Key::Done, true) => self.done_down = self.done(effects),
            (Key::Done, false) => {
                if core::mem::take(&mut self.done_down) {
                    self.done_at = Some(at);
                }
            }
            (key, true) => self.press(key, effects),
            (_, false) => {}
        }
    }

    fn stored(&mut self, sequence: u32, effects: &mut Effects) {
        let Some(event) = self.in_flight.take_if(|event| event.sequence == sequence) else {
            return;
        };
        self.last_sequence = sequence;
        self.presses_damaged = false;
        self.changes = self.changes.wrapping_add(1);
        if let Some(place) = &mut self.place {
            place.take(&event);
        }
        match event.what {
            What::TakenBack { .. } | What::StickKept { .. } => {
                self.looking = None;
                effects.beep = Some(Beep::TakenBack);
            }
            _ => effects.beep = Some(Beep::Accepted),
        }
        let current = self.place.as_ref().and_then(Place::current);
        if let What::TakenBack { piece } = event.what {
            let index = self.place.as_ref().and_then(|place| place.index(piece));
            // where the place does not go to the piece, the screen would not show that anything happened
            if let Some(index) = index.filter(|index| Some(*index) != current) {
                let since = self.now;
                let number = index + 1;
                let banner = Banner::TakenBack { number };
                self.word = Some(Word { banner, since });
            }
        }
        self.looking = self
            .looking
            .filter(|looking| Some(looking.index) != current);
        if let Some(what) = self.queued.take() {
            self.store(what, effects);
        }
    }

    /// A press or a question is not done yet, and means the list that is in use.
    pub fn is_busy(&self) -> bool {
        self.pressed() || self.question.is_some() || self.in_flight.is_some()
    }

    /// Time does not end a question, nor bring the place back, under a foot or finger that is on its way: a press
    /// means what was on the screen when it began.
    fn pressed(&self) -> bool {
        self.pedal.is_pressed() || self.keys.iter().any(Contact::is_closing)
    }

    fn question_ends(&self) -> Option<u32> {
        let question = self.question.as_ref()?;
        let stands = match question.asked {
            Asked::CutAgain { .. } => CUT_AGAIN_STANDS,
            Asked::BadStick { .. } => BAD_STICK_STANDS,
        };
        (!self.pressed()).then(|| question.since.wrapping_add(stands))
    }

    fn looking_ends(&self) -> Option<u32> {
        let looking = self.looking.as_ref()?;
        (!self.pressed()).then(|| looking.since.wrapping_add(LOOKING_RETURNS))
    }

    fn word_ends(&self) -> Option<u32> {
        let word = self.word.as_ref()?;
        Some(word.since.wrapping_add(WORD_STAYS))
    }

    /// Brings what is shown up to date; says whether it changed since the last input.
    fn refresh(&mut self) -> bool {
        let shown = Shown {
            changes: self.changes,
            looking: self.looking.map(|looking| (looking.index, looking.leaf)),
            banner: self.banner(),
            page: self.page.map(|opened| opened.page),
            card: self.card,
            settings: self.settings,
        };
        let before = core::mem::replace(&mut self.shown, shown);
        before != shown
    }
}
