//! Random lives of a record with everything that can be done to it, and power cuts at random in the middle of any of it,
//! against a simple model: the place is the fold of what was acknowledged since the last forgetting, or of one statement
//! in flight beyond it.

use flash_record::{FlashRecord, UpkeepError};
use mock_flash::{Dice, MockFlash};
use record_tests::{MeanMedium, Medium, Sample};
use shared_model::{PieceId, Reason, SawList, What};
use station::record::{Record, RecordError};

use crate::flash::{Flash, SECTORS, Standing, load, say, standing, whats};

/// Something is said of the pieces below this one.
const PIECES: u32 = 30;
/// The digests of all lists.
const DIGESTS: [u32; 12] = [0, 1, 2, 3, 4, 5, 10, 11, 12, 13, 14, 15];

/// What the record has to know, and what it may know instead where the power went in between.
#[derive(Debug, Clone)]
struct Model {
    log: Vec<What>,
    last: u32,
    boot: u16,
    list: Option<Sample>,
    settings: Vec<u8>,
}

/// What was done, so that it can be undone in the model where it did not come to pass.
enum Act {
    Say(What),
    Load(Box<Sample>),
    Truncate,
    BeginAnew,
    Settings(Vec<u8>),
    Start,
}

impl Act {
    fn name(&self) -> &'static str {
        match self {
            Act::Say(_) => "an event",
            Act::Load(_) => "a load",
            Act::Truncate => "a truncation",
            Act::BeginAnew => "a forgetting",
            Act::Settings(_) => "settings",
            Act::Start => "a start",
        }
    }
}

/// How much was done.
#[derive(Debug, Default)]
struct Tally {
    cuts: u64,
    presses: u64,
    loads: u64,
    truncations: u64,
    fulls: u64,
    starts: u64,
}

/// A list of some of forty pieces, now and then a long one; the digest follows from what is in it, as it should.
fn random_list(dice: &mut Dice) -> Sample {
    let pieces = if dice.roll(40) == 0 { 450 } else { 40 };
    let (kind, mut stick) = (dice.roll(6), 1);
    let mut of_kind = Dice::new(kind);
    let mut all = Vec::new();
    for id in 0..pieces {
        if of_kind.roll(4) > 0 {
            all.push((PieceId(id), stick));
            stick += u16::from(of_kind.roll(3) == 0);
        }
    }
    let long = u32::from(pieces > 40);
    Sample::of(10 * long + kind as u32, &all)
}

fn random_what(dice: &mut Dice, model: &Model) -> What {
    let digest = model.list.as_ref().map_or(0, |list| list.head.digest);
    let list = if dice.roll(8) == 0 { 3 } else { digest };
    // few pieces, so that much is said of the same ones
    let piece = PieceId(dice.roll(PIECES.into()) as u32);
    let stick = 1 + dice.roll(12) as u16;
    match dice.roll(16) {
        0..7 => What::Done { piece, list },
        7..10 => What::TakenBack { piece },
        10 | 11 => What::SetAside { piece },
        12 | 13 => What::CutAgain {
            piece,
            reason: Reason::ALL[dice.roll(3) as usize],
        },
        14 => What::BadStick { list, stick },
        _ => What::StickKept { list, stick },
    }
}

fn random_act(dice: &mut Dice, model: &Model, seldom: u64) -> Act {
    match dice.roll(100) {
        // a host that comes seldom lets the log run full
        86..92 if dice.roll(seldom) > 0 => Act::Start,
        0..78 => Act::Say(random_what(dice, model)),
        78..86 => Act::Load(Box::new(random_list(dice))),
        86..91 => Act::Truncate,
        91 => Act::BeginAnew,
        92..95 => {
            let length = dice.roll(33);
            Act::Settings((0..length).map(|_| dice.roll(256) as u8).collect())
        }
        _ => Act::Start,
    }
}

/// Does it; whether it came to pass, as the record says.
fn does<const WORD: usize>(
    record: &mut FlashRecord<'_, MockFlash<WORD>>,
    act: &Act,
    tally: &mut Tally,
) -> bool {
    let (epoch, last) = (record.epoch(), record.last_sequence());
    match act {
        Act::Say(what) => {
            let said = say(record, *what);
            tally.presses += u64::from(said.is_ok());
            tally.fulls += u64::from(said == Err(RecordError::Full));
            said.is_ok()
        }
        Act::Load(list) => {
            let loaded = load(record, list.as_ref());
            tally.loads += u64::from(loaded.is_ok());
            loaded.is_ok()
        }
        Act::Truncate => {
            let wrong = record.truncate(epoch, last + 1);
            assert!(matches!(wrong, Err(UpkeepError::NotTaken { .. })));
            let done = record.truncate(epoch, last);
            tally.truncations += u64::from(done.is_ok());
            done.is_ok()
        }
        Act::BeginAnew => record.begin_anew(epoch, last).is_ok(),
        Act::Settings(settings) => record.keep_settings(settings).is_ok(),
        Act::Start => true,
    }
}

impl Model {
    /// The model once the act has come to pass.
    fn after(&self, act: &Act) -> Model {
        let mut model = self.clone();
        match act {
            Act::Say(what) => {
                model.log.push(*what);
                model.last += 1;
            }
            Act::Load(list) => model.list = Some(list.as_ref().clone()),
            Act::BeginAnew => model.log.clear(),
            Act::Settings(settings) => model.settings = settings.clone(),
            Act::Truncate | Act::Start => {}
        }
        model
    }

    /// Whether the record knows just this: of the list in use, and of every piece there is by every digest there is.
    fn is<const WORD: usize>(&self, record: &FlashRecord<'_, MockFlash<WORD>>) -> bool {
        let head = record.list().map(|list| list.head());
        if record.last_sequence() != self.last
            || head != self.list.as_ref().map(|list| &list.head)
            || record.settings() != self.settings
        {
            return false;
        }
        let found: Vec<What> = whats(record).collect();
        let same = |held: &dyn Fn(&[What]) -> Standing| held(&found) == held(&self.log);
        let listed = record.list().is_none_or(|held| {
            let mine = self.list.as_ref().expect("the same head");
            let pieces = 0..mine.head.pieces;
            pieces
                .into_iter()
                .all(|index| held.piece(index) == mine.piece(index))
                && same(&|whats| standing(held, whats.iter().copied()))
        });
        listed
            && DIGESTS.iter().all(|digest| {
                let all: Vec<_> = (0..PIECES)
                    .map(|id| (PieceId(id), 1 + id as u16 / 3))
                    .collect();
                let list = Sample::of(*digest, &all);
                same(&|whats| standing(&list, whats.iter().copied()))
            })
    }
}

/// One record's life of so many acts.
fn life<const WORD: usize>(run: u64, acts: u32, tally: &mut Tally) {
    let mut dice = Dice::new(run);
    let sectors = [13, 14, SECTORS][dice.roll(3) as usize];
    let flash = Flash::<WORD>::of(sectors, run);
    if dice.roll(2) == 0 {
        flash.chip.borrow_mut().be_unsteady();
    }
    let seldom = [1, 20][dice.roll(2) as usize];
    let mut record = flash.start();
    let mut model = Model {
        log: Vec::new(),
        last: 0,
        boot: 1,
        list: None,
        settings: Vec::new(),
    };
    for step in 0..acts {
        let act = random_act(&mut dice, &model, seldom);
        let name = || format!("run {run} step {step}: {}, {sectors} sectors", act.name());
        let deadly = dice.roll(2) == 0;
        if deadly {
            let most = match act {
                Act::Say(_) => 40,
                Act::Load(_) => 2_600,
                Act::Truncate | Act::BeginAnew => 1_200,
                Act::Settings(_) => 150,
                Act::Start => 0,
            };
            flash.die_after(dice.roll(most + 1));
        }
        let did = does(&mut record, &act, tally);
        let after = model.after(&act);
        if did {
            model = after.clone();
        }
        if flash.is_dead() || matches!(act, Act::Start) {
            tally.cuts += u64::from(flash.is_dead());
            drop(record);
            flash.after_power_cut();
            // a start can be cut too, again and again
            while dice.roll(4) == 0 {
                flash.die_after(dice.roll(200));
                model.boot = flash.open().map_or(model.boot, |record| record.boot());
                tally.cuts += u64::from(flash.is_dead());
                flash.after_power_cut();
            }
            record = flash.start();
            tally.starts += 1;
            if after.is(&record) {
                model = after;
            }
            assert!(record.boot() > model.boot, "{}", name());
            model.boot = record.boot();
        }
        flash.after_power_cut();
        assert!(model.is(&record), "{}", name());
    }
}

fn lives(cuts: u64) -> Tally {
    let mut tally = Tally::default();
    let mut run = 0;
    while tally.cuts < cuts {
        match run % 3 {
            0 => life::<1>(run, 300, &mut tally),
            1 => life::<4>(run, 300, &mut tally),
            _ => life::<32>(run, 300, &mut tally),
        }
        run += 1;
    }
    println!("{run} lives: {tally:?}");
    tally
}

#[test]
fn thousands_of_random_cuts_lose_nothing() {
    let tally = lives(4_000);
    assert!(tally.truncations > 100 && tally.fulls > 10, "{tally:?}");
}

#[test]
#[ignore = "takes minutes: a hundred thousand random cuts"]
fn a_hundred_thousand_random_cuts_lose_nothing() {
    let tally = lives(100_000);
    assert!(tally.truncations > 3_000 && tally.fulls > 300, "{tally:?}");
}
