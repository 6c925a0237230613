//! Power cuts in whatever the board is doing: after each the place is the last one that was confirmed, or the press that was
//! in flight beyond it; never an earlier one, never another. Every byte of every cut is left to the record's own tests.

use station::machine::Key;

use super::dice::Dice;
use super::pico::{FlashTimes, Pico};
use super::pictures::shows;
use super::saw_list::{Twin, flash, sheet};

/// How often the power goes in each of the two tests: together 150, as many as CI has time for.
const CUTS: u32 = 75;

/// A start after a cut may have to erase first.
const START: f64 = 5_000.0;

/// Starts the board and presses until the power has gone so often.
fn cut(times: FlashTimes, seed: u64) {
    let mut dice = Dice::new(seed);
    let sheet = sheet();
    let mut pico = Pico::new(times, Some(&flash(&sheet)));
    // the place that was shown last, and the one that a press in flight leads to
    let mut confirmed = Twin::of(&sheet);
    let mut in_flight: Option<Twin> = None;
    let mut counts = [("program", 0), ("erase", 0), ("idle", 0)];
    for number in 1..=CUTS {
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
                    "cut {number}: {counts:?}"
                ),
            }
            in_flight = press(&mut pico, &mut confirmed, &mut dice);
        }
        let report = pico.report();
        if report.on {
            pico.power(false);
        }
        let kind = report
            .cut
            .as_deref()
            .and_then(|cut| cut.strip_prefix("in "));
        for (name, count) in &mut counts {
            *count += u32::from(*name == kind.unwrap_or("idle"));
        }
    }
    println!("{counts:?}, {} pieces cut", confirmed.done());
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

#[test]
#[ignore = "needs node, npm ci and the Pico image"]
fn cuts_with_a_flash_as_it_typically_is() {
    cut(FlashTimes::TYPICAL, 11);
}

#[test]
#[ignore = "needs node, npm ci and the Pico image"]
fn cuts_with_a_flash_at_its_slowest() {
    cut(FlashTimes::WORST, 12);
}
