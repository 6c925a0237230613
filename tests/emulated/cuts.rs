//! Power cuts in whatever the board is doing: after each the place is the last one that was confirmed, or the press that was
//! in flight beyond it; never an earlier one, never another. After one in a load it is in the list before or in the new one.
//! While its log is emptied nothing changes at all. Every byte of every cut is left to the record's own tests.

use std::fmt;
use std::time::Duration;

use link::Manner;
use station::machine::Key;
use station::timing::QUIET;

use super::dice::Dice;
use super::host::{PRESSES, host};
use super::pico::{FlashTimes, Pico};
use super::pictures::shows;
use super::saw_list::{Twin, flash, flash_after, sheet, sheet_of};

/// How often the power goes in all: as many times as CI has time for, or what BASERUN_CUTS says.
const CUTS: u32 = 150;

/// A start after a cut may have to erase first.
const START: f64 = 5_000.0;

/// In what the power went.
#[derive(Default)]
struct Counts {
    erase: u32,
    program: u32,
    /// No planned cut came before the power went.
    idle: u32,
}

impl Counts {
    fn add(&mut self, cut: Option<&str>) {
        match cut {
            Some("in erase") => self.erase += 1,
            Some("in program") => self.program += 1,
            _ => self.idle += 1,
        }
    }
}

impl fmt::Display for Counts {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Counts {
            erase,
            program,
            idle,
        } = self;
        let all = erase + program + idle;
        write!(
            f,
            "{all} cuts: {erase} in an erase, {program} in a program, {idle} between"
        )
    }
}

/// So many twelfths of all cuts, rounded up.
fn share(twelfths: u32) -> u32 {
    let all = std::env::var("BASERUN_CUTS").ok();
    let all: u32 = all.map_or(CUTS, |text| text.parse().expect("BASERUN_CUTS is a number"));
    (all * twelfths).div_ceil(12)
}

/// A host that asks again before long, but not before the slowest erases are over.
fn manner() -> Manner {
    Manner {
        patience: Duration::from_millis(1_500),
        asks: 2,
        ..Manner::default()
    }
}

/// Starts the board and presses until the power has gone so often.
fn cut_at_the_pedal(times: FlashTimes, cuts: u32, seed: u64) {
    let mut dice = Dice::new(seed);
    let sheet = sheet();
    let mut pico = Pico::new(times, Some(&flash(&sheet)));
    // the place that was shown last, and the one that a press in flight leads to
    let mut confirmed = Twin::of(&sheet);
    let mut in_flight: Option<Twin> = None;
    let mut counts = Counts::default();
    for number in 1..=cuts {
        plan(&mut pico, &mut dice);
        pico.power(true);
        if pico.run_until("shown", START) {
            pico.run(20.0 + dice.below(100.0));
        }
        if pico.report().on {
            let went_on = in_flight
                .take()
                .filter(|twin| shows(&mut pico, &twin.picture()));
            match went_on {
                Some(twin) => confirmed = twin,
                None => assert!(
                    shows(&mut pico, &confirmed.picture()),
                    "cut {number}: {counts}"
                ),
            }
            in_flight = press(&mut pico, &mut confirmed, &mut dice);
        }
        let report = pico.report();
        if report.on {
            pico.power(false);
        }
        counts.add(report.cut.as_deref());
    }
    println!("at the pedal, {counts}; {} pieces cut", confirmed.done());
}

fn plan(pico: &mut Pico, dice: &mut Dice) {
    let kind = match dice.below(4.0) as u32 {
        0 => "erase",
        _ => "program",
    };
    pico.plan_cut(kind, 1 + dice.below(4.0) as u32, dice.below(1.0));
}

/// Presses, and waits for some time that may not be enough; what may or may not have been stored then.
fn press(pico: &mut Pico, confirmed: &mut Twin, dice: &mut Dice) -> Option<Twin> {
    let (name, key) = match confirmed.done() > 0 && dice.below(3.0) < 1.0 {
        true => ("takeBack", Key::TakeBack),
        false => ("pedal", Key::Done),
    };
    let mut after = confirmed.again();
    after.press(key);
    let after = after.again();
    pico.contact(name, &[(0.0, true), (60.0, false)]);
    pico.run(60.0 + dice.below(80.0));
    if !pico.report().on || !shows(pico, &after.picture()) {
        return Some(after);
    }
    *confirmed = after;
    None
}

/// Loads two lists in turn until the power has gone so often.
fn cut_in_loads(times: FlashTimes, cuts: u32, seed: u64) {
    let mut dice = Dice::new(seed);
    let lists = [sheet(), sheet_of(5)];
    let mut pico = Pico::new(times, Some(&flash(&lists[0])));
    let mut twin = Twin::of(&lists[0]);
    let mut current = 0;
    let mut port = None;
    let mut counts = Counts::default();
    for number in 0..cuts {
        pico.power(true);
        assert!(pico.run_until("shown", START));
        assert!(pico.run_until("plugged", START));
        pico.run(20.0);
        let port = *port.get_or_insert_with(|| pico.listen("usb"));
        let (kind, most) = [("erase", 1.0), ("program", 6.0)][number as usize % 2];
        pico.plan_cut(kind, 1 + dice.below(most) as u32, dice.below(1.0));
        let list = &lists[1 - current];
        let loaded = host(port, manner()).and_then(|mut host| {
            let made_with = host.station().last();
            host.load(list, made_with, &mut |_| {})
        });
        let cut = pico.report().cut;
        pico.power(false);
        pico.power(true);
        assert!(pico.run_until("shown", START));
        pico.run(20.0);
        let after = twin.with_list(list);
        if shows(&mut pico, &after.picture()) {
            twin = after;
            current = 1 - current;
        } else {
            assert!(loaded.is_err(), "cut {number}: it was said to be loaded");
            assert!(shows(&mut pico, &twin.picture()), "cut {number}: {cut:?}");
        }
        pico.power(false);
        counts.add(cut.as_deref());
    }
    println!("in loads, {counts}");
}

/// Lets the host empty the log until the power has gone in that so often.
fn cut_while_the_log_is_emptied(times: FlashTimes, cuts: u32, seed: u64) {
    let mut dice = Dice::new(seed);
    let sheet = sheet();
    let full = flash_after(&sheet, PRESSES);
    let mut counts = Counts::default();
    for number in 0..cuts {
        let mut pico = Pico::new(times, Some(&full));
        let mut twin = Twin::of(&sheet);
        pico.start();
        assert!(pico.run_until("plugged", START));
        pico.run(f64::from(QUIET) + 100.0);
        let port = pico.listen("usb");
        let (kind, most) = [("erase", 2.0), ("program", 4.0)][number as usize % 2];
        pico.plan_cut(kind, 1 + dice.below(most) as u32, dice.below(1.0));
        // whether this comes to its end is no matter
        let _ = host(port, manner()).and_then(|mut host| {
            let taken = host.take_events(host.station().last(), &mut |_| {})?;
            host.confirm(taken.last)
        });
        let cut = pico.report().cut;
        pico.power(false);
        pico.power(true);
        assert!(pico.run_until("shown", START));
        pico.run(400.0);
        let when = format!("cut {number}: {cut:?}");
        assert!(shows(&mut pico, &twin.picture()), "{when}");
        pico.press("pedal", 120.0);
        twin.press(Key::Done);
        assert!(shows(&mut pico, &twin.picture()), "{when}, then a press");
        assert!(pico.run_until("plugged", START));
        let last = host(port, manner()).expect("the station answers");
        assert_eq!(last.station().last().sequence, PRESSES + 1, "{when}");
        counts.add(cut.as_deref());
    }
    println!("while the log is emptied, {counts}");
}

macro_rules! tests {
    ($($name:ident: $cut:ident, $times:ident, share $twelfths:literal, seed $seed:literal;)*) => {$(
        #[test]
        #[ignore = "needs node, npm ci and the Pico image"]
        fn $name() {
            $cut(FlashTimes::$times, share($twelfths), $seed);
        }
    )*};
}

tests! {
    cuts_with_a_flash_as_it_typically_is:
        cut_at_the_pedal, TYPICAL, share 3, seed 11;
    cuts_with_a_flash_at_its_slowest:
        cut_at_the_pedal, WORST, share 3, seed 12;
    cuts_in_loads_with_a_flash_as_it_typically_is:
        cut_in_loads, TYPICAL, share 2, seed 5;
    cuts_in_loads_with_a_flash_at_its_slowest:
        cut_in_loads, WORST, share 2, seed 6;
    cuts_while_the_log_is_emptied_with_a_flash_as_it_typically_is:
        cut_while_the_log_is_emptied, TYPICAL, share 1, seed 21;
    cuts_while_the_log_is_emptied_with_a_flash_at_its_slowest:
        cut_while_the_log_is_emptied, WORST, share 1, seed 22;
}
