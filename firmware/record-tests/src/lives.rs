//! Random work at a saw: presses, holds, keys, other lists, kills, power cuts at random and at every byte, full disks;
//! after each step the station is held against the reference.

use shared_model::{PieceId, PieceState, Place, Reason, TakeBack, What};
use station::machine::{Input, Key};
use station::record::Record;
use station::runner::Runner;
use station::timing::MENU_RETURNS;

use crate::reference::{Reference, Standing};
use crate::sample::{Sample, pass_cards};
use crate::{Dice, MeanMedium};

#[derive(Debug, Clone, Copy)]
enum Act {
    Tap,
    Press,
    TwoTapsAtOnce,
    ParkedFoot,
    Hold,
    TakeBack,
    LookThenTap(i8),
    SetAside(i8),
    CutAgain(i8, usize),
    BadStick(i8),
    BadStickAskedOnly,
    AskThenTap,
    /// A row of the menu, and a digit and a tap on what it opened.
    OverThePiece(u8, u8),
}

fn random_act(dice: &mut Dice) -> Act {
    let look = |dice: &mut Dice| dice.roll(9) as i8 - 4;
    match dice.roll(22) {
        0..5 => Act::Tap,
        5..7 => Act::Press,
        7 => Act::TwoTapsAtOnce,
        8 => Act::ParkedFoot,
        9..11 => Act::Hold,
        11 => Act::TakeBack,
        12 => Act::LookThenTap(look(dice)),
        13..15 => Act::SetAside(look(dice)),
        15..17 => Act::CutAgain(look(dice), dice.roll(4) as usize + 1),
        17 => Act::BadStick(look(dice)),
        18 => Act::BadStickAskedOnly,
        19 | 20 => Act::OverThePiece(dice.roll(4) as u8, dice.roll(10) as u8),
        _ => Act::AskThenTap,
    }
}

/// What an act should store, by the reference, one after another.
fn expected(reference: &Reference, act: Act) -> Vec<What> {
    match act {
        // the tap settles the question first, and then means the piece that was shown
        Act::AskThenTap => [Act::CutAgain(0, 1), Act::Tap]
            .into_iter()
            .filter_map(|act| says(reference, act))
            .collect(),
        act => says(reference, act).into_iter().collect(),
    }
}

/// What an act says by itself.
fn says(reference: &Reference, act: Act) -> Option<What> {
    let Standing {
        states,
        current,
        take_back,
        last_done,
        ..
    } = reference.standing();
    let list = reference.digest;
    let id = |index: u16| reference.pieces[usize::from(index)].0;
    let stick = |index: u16| reference.pieces[usize::from(index)].1;
    let state = |index: u16| states[usize::from(index)];
    let shown = |steps: i8| {
        let mut shown = current;
        for _ in 0..steps.unsigned_abs() {
            let next = match (shown, steps > 0) {
                (Some(index), true) => Some(index + 1),
                (Some(index), false) => index.checked_sub(1),
                (None, true) => Some(0),
                (None, false) => (states.len() as u16).checked_sub(1),
            };
            shown = next
                .filter(|next| usize::from(*next) < states.len())
                .or(shown);
        }
        shown
    };
    let done = || {
        let piece = id(current?);
        Some(What::Done { piece, list })
    };
    match act {
        Act::Tap | Act::Press | Act::TwoTapsAtOnce => done(),
        Act::ParkedFoot | Act::BadStickAskedOnly | Act::AskThenTap | Act::OverThePiece(..) => None,
        Act::Hold | Act::TakeBack => Some(match take_back? {
            TakeBack::Piece(index) => What::TakenBack { piece: id(index) },
            TakeBack::Stick(stick) => What::StickKept { list, stick },
        }),
        Act::LookThenTap(steps) if shown(steps) == current => done(),
        Act::LookThenTap(_) => None,
        Act::SetAside(steps) => {
            let index = shown(steps).filter(|index| state(*index) == PieceState::Waiting)?;
            Some(What::SetAside { piece: id(index) })
        }
        Act::CutAgain(steps, presses) => {
            let here = shown(steps).filter(|index| state(*index) == PieceState::Done);
            let piece = id(here.or(last_done)?);
            let reason = *Reason::ALL.get(presses - 1)?;
            Some(What::CutAgain { piece, reason })
        }
        Act::BadStick(steps) => {
            let index = shown(steps)?;
            let good = !matches!(state(index), PieceState::Again(_) | PieceState::NoStick);
            let stick = stick(index);
            let uncut = |state| matches!(state, PieceState::Waiting | PieceState::Aside);
            let mut of_stick = (0..states.len() as u16).filter(|i| same(reference, *i, stick));
            let gives = of_stick.any(|index| uncut(state(index)));
            (good && gives).then_some(What::BadStick { list, stick })
        }
    }
}

fn same(reference: &Reference, index: u16, stick: u16) -> bool {
    reference.pieces[usize::from(index)].1 == stick
}

/// A running station and its clock.
struct Station<R> {
    runner: Runner<R>,
    now: u32,
}

impl<R: Record> Station<R> {
    fn start(record: R) -> Station<R> {
        let runner = Runner::start(record, false, &[]);
        Station { runner, now: 1_000 }
    }

    fn take(&mut self, input: Input, then: u32) {
        self.runner.take(input, self.now);
        self.now += then;
    }

    fn pedal(&mut self, milliseconds: u32) {
        // a bounce at each end
        for (closed, then) in [(true, 3), (false, 2), (true, milliseconds)] {
            self.take(Input::Pedal { closed }, then);
        }
        for (closed, then) in [(false, 4), (true, 1), (false, 30)] {
            self.take(Input::Pedal { closed }, then);
        }
        self.take(Input::Time, 0);
    }

    fn press(&mut self, key: Key) {
        self.take(Input::Press(key), 400);
    }

    fn look(&mut self, steps: i8) {
        for _ in 0..steps.unsigned_abs() {
            self.press(match steps > 0 {
                true => Key::LookAhead,
                false => Key::LookBack,
            });
        }
    }

    /// Does it and waits until nothing is asked or looked at any more.
    fn act(&mut self, act: Act) {
        self.now = pass_cards(&mut self.runner, self.now);
        match act {
            Act::Tap => self.pedal(110),
            Act::Press => self.press(Key::Done),
            Act::TwoTapsAtOnce => {
                self.pedal(90);
                self.now += 150;
                self.pedal(90);
            }
            Act::ParkedFoot => self.pedal(4_000),
            Act::Hold => self.pedal(1_200),
            Act::TakeBack => self.press(Key::TakeBack),
            Act::LookThenTap(steps) => {
                self.look(steps);
                self.pedal(100);
            }
            Act::SetAside(steps) => {
                self.look(steps);
                self.press(Key::SetAside);
            }
            Act::CutAgain(steps, presses) => {
                self.look(steps);
                (0..presses).for_each(|_| self.press(Key::CutAgain));
            }
            Act::BadStick(steps) => {
                self.look(steps);
                self.press(Key::BadStick);
                // where the first one is refused the second is too
                self.press(Key::BadStick);
            }
            Act::BadStickAskedOnly => self.press(Key::BadStick),
            Act::AskThenTap => {
                self.press(Key::CutAgain);
                self.pedal(100);
            }
            Act::OverThePiece(row, digit) => {
                self.press(Key::Menu);
                (0..row).for_each(|_| self.press(Key::LookAhead));
                // the last row only closes the menu
                self.press(if row == 3 { Key::Menu } else { Key::Done });
                self.take(Input::Digit(digit), 100);
                self.pedal(100);
                // the menu and the settings close
                self.now += MENU_RETURNS;
            }
        }
        self.now += 6_000;
        self.take(Input::Time, 0);
    }

    fn stored(&self) -> usize {
        self.runner.record().last_sequence() as usize
    }

    fn log(&self) -> Vec<What> {
        self.runner
            .record()
            .events()
            .map(|event| event.what)
            .collect()
    }

    fn check(&self, reference: &Reference, step: &str) {
        assert_eq!(self.log(), reference.log, "{step}");
        let sequences = self.runner.record().events().map(|event| event.sequence);
        assert!(sequences.eq(1..=reference.log.len() as u32), "{step}");
        let place = self.runner.place().expect("a list");
        assert_eq!(place.digest(), reference.digest, "{step}");
        let pieces = reference.pieces.len() as u16;
        let standing = Standing {
            states: (0..pieces).filter_map(|index| place.state(index)).collect(),
            current: place.current(),
            take_back: place.to_take_back(),
            last_done: place.last_done(),
            not_in_list: place.progress().not_in_list,
        };
        assert_eq!(standing, reference.standing(), "{step}");
        assert_eq!(self.runner.view().banner, None, "{step}");
    }
}

/// A list of some of the pieces there are, cut from sticks of one to four pieces.
fn random_list(digest: u32, dice: &mut Dice) -> Sample {
    let mut stick = 1;
    let mut pieces: Vec<(PieceId, u16)> = Vec::new();
    for id in 0..16 {
        if dice.roll(4) > 0 {
            pieces.push((PieceId(id), stick));
            stick += u16::from(dice.roll(3) == 0);
        }
    }
    Sample::of(digest, &pieces)
}

fn use_list(reference: &mut Reference, list: &Sample) {
    reference.digest = list.head.digest;
    reference.pieces = list.pieces.iter().map(|p| (p.id, p.stick)).collect();
}

/// The power goes during an act: afterwards it is stored or not, and nothing else has changed.
fn cut_short<'a, M: MeanMedium>(
    disk: &'a M,
    station: &mut Station<M::Record<'a>>,
    reference: &mut Reference,
    act: Act,
    units: u64,
    kill: bool,
) {
    let step = format!("{act:?} cut at {units}, killed {kill}");
    let wanted = expected(reference, act);
    disk.die_after(units);
    station.act(act);
    // what is acknowledged is the first of what was wanted, and all of it where the power lasted
    let acknowledged = station.stored() - reference.log.len();
    let (acknowledged, in_flight) = wanted.split_at(acknowledged);
    reference.log.extend(acknowledged);
    if disk.is_dead() {
        // whatever is pressed now is refused
        station.act(Act::Press);
        station.act(Act::Hold);
    } else {
        assert!(in_flight.is_empty(), "{step}");
    }
    // without power nothing can be read but what the station has in hand
    assert_eq!(station.stored(), reference.log.len(), "{step}");
    let dead = disk.is_dead();
    match kill {
        true => disk.after_kill(),
        false => disk.after_power_cut(),
    }
    *station = Station::start(disk.start());
    if dead && station.log().len() > reference.log.len() {
        reference.log.extend(in_flight.first());
    }
    station.check(reference, &step);
    disk.after_power_cut();
    *station = Station::start(disk.start());
    station.check(reference, &format!("{step}, then the power went"));
}

/// One station's life. Says how many steps and cuts there were.
fn life<M: MeanMedium>(disk: &M, run: u64, steps: u32) -> (u32, u32) {
    let mut dice = Dice::new(run);
    let mut lists = vec![random_list(1, &mut dice)];
    let mut station = Station::start(disk.start());
    station.runner.load(&lists[0], 0).expect("a good list");
    let mut reference = Reference {
        digest: 1,
        pieces: Vec::new(),
        log: Vec::new(),
    };
    use_list(&mut reference, &lists[0]);
    let mut cuts = 0;
    for step in 0..steps {
        let act = random_act(&mut dice);
        let name = format!("run {run} step {step}: {act:?}");
        match dice.roll(24) {
            // at every byte, each on a disk of its own
            0 => {
                for units in 0..=66 {
                    let disk = disk.fork(run + units);
                    let mut station = Station::start(disk.start());
                    let mut reference = reference.clone();
                    cut_short(
                        &disk,
                        &mut station,
                        &mut reference,
                        act,
                        units,
                        units % 2 == 0,
                    );
                    cuts += 1;
                }
            }
            1..4 => {
                let (units, kill) = (dice.roll(40), dice.roll(2) == 0);
                cut_short(disk, &mut station, &mut reference, act, units, kill);
                cuts += 1;
            }
            4 => {
                station = Station::start(disk.start());
                station.check(&reference, &name);
            }
            5 => {
                let full = disk.full_after(dice.roll(33));
                let wanted = expected(&reference, act);
                station.act(act);
                disk.refill();
                reference.log.extend(wanted.iter().filter(|_| !full));
                station.check(&reference, &format!("{name} on a full disk"));
            }
            6 | 7 => {
                if dice.roll(2) == 0 {
                    let list = random_list(lists.len() as u32 + 1, &mut dice);
                    lists.push(list);
                }
                let list = &lists[dice.roll(lists.len() as u64) as usize];
                let die = dice.roll(2) == 0;
                if die {
                    disk.die_after(dice.roll(700));
                }
                let loaded = station.runner.load(list, reference.log.len() as u32);
                if loaded.is_ok() {
                    use_list(&mut reference, list);
                }
                if !disk.is_dead() {
                    station.check(&reference, &format!("{name}: a list"));
                }
                if die {
                    disk.after_power_cut();
                    station = Station::start(disk.start());
                    if station.runner.place().map(Place::digest) == Some(list.head.digest) {
                        use_list(&mut reference, list);
                    }
                    cuts += 1;
                }
                station.check(&reference, &format!("{name}: a list, and a start"));
            }
            _ => {
                let wanted = expected(&reference, act);
                station.act(act);
                reference.log.extend(wanted);
                station.check(&reference, &name);
            }
        }
    }
    (steps, cuts)
}

/// Random lives of stations, each on a fresh medium of its own, held against a second way to the place.
pub fn random_lives_keep_to_the_reference<M: MeanMedium>(fresh: impl Fn(u64) -> M) {
    let (mut steps, mut cuts) = (0, 0);
    for run in 0..40 {
        let (more_steps, more_cuts) = life(&fresh(run), run, 120);
        steps += more_steps;
        cuts += more_cuts;
    }
    assert!(
        steps >= 4_000 && cuts >= 5_000,
        "{steps} steps, {cuts} cuts"
    );
}
