//! What lies over the piece: the menu, the settings, the jump to a number, and leaves. None of it moves the place or stores
//! an event. The cards before a list are tested in `tests_of_cards`.

use shared_model::{Mark, Posture};

use super::tests::Bench;
use super::tests_of_cards::{list, outside};
use super::{Beep, Input, Key};
use crate::runner::{Outcome, Runner};
use crate::sample::{Memory, Sample, cope};
use crate::settings::{BoardWords, Light, Setting, Settings, SettingsError, Sound};
use crate::timing::{DIGITS_STAND, HOLD_OFF, LOOKING_RETURNS, MENU_RETURNS, STABLE, WORD_STAYS};
use crate::view::{Banner, Body, MenuRow, PageView, ScrapView, View};
use crate::work::Card;

impl Bench {
    pub(super) fn body(&self) -> Body {
        self.runner.view().body
    }

    pub(super) fn card(&self) -> Option<Card> {
        match self.body() {
            Body::Page(PageView::Card { card, .. }) => Some(card),
            Body::Scrap(ScrapView { joint, .. }) => Some(Card::TestCut(joint)),
            _ => None,
        }
    }

    pub(super) fn chosen(&self) -> Option<MenuRow> {
        match self.body() {
            Body::Page(PageView::Menu { chosen }) => Some(chosen),
            _ => None,
        }
    }

    fn number(&self) -> Option<u16> {
        match self.body() {
            Body::Page(PageView::Jump { number, .. }) => Some(number),
            _ => None,
        }
    }

    pub(super) fn digit(&mut self, digit: u8) -> Outcome {
        self.wait(100);
        self.runner.take(Input::Digit(digit), self.now)
    }

    /// Opens the settings with this row chosen.
    fn settings(&mut self, row: Setting) {
        self.press(Key::Menu);
        self.press(Key::LookAhead);
        self.press(Key::Done);
        let steps = Setting::ALL.into_iter().take_while(|other| *other != row);
        for _ in steps {
            self.press(Key::LookAhead);
        }
    }
}

#[test]
fn the_menu_goes_round_leaves_and_closes_by_itself() {
    let mut bench = Bench::of(&[1, 1]);
    bench.press(Key::Menu);
    for row in MenuRow::ALL {
        assert_eq!(bench.chosen(), Some(row));
        bench.press(Key::LookAhead);
    }
    assert_eq!(bench.chosen(), Some(MenuRow::Jump));
    bench.press(Key::LookBack);
    assert_eq!(bench.chosen(), Some(MenuRow::Leave));
    for key in [Key::SetAside, Key::CutAgain, Key::BadStick] {
        assert_eq!(bench.press(key).beep, Some(Beep::Refused), "{key:?}");
    }
    bench.press(Key::Done);
    assert_eq!(bench.shown(), Some((1, false)));
    for key in [Key::Menu, Key::TakeBack] {
        bench.press(Key::Menu);
        bench.press(key);
        assert_eq!(bench.shown(), Some((1, false)), "{key:?}");
    }
    bench.press(Key::Menu);
    let opened = bench.now;
    assert_eq!(bench.runner.wake_at(), Some(opened + MENU_RETURNS));
    bench.wait(MENU_RETURNS - 1);
    assert!(bench.chosen().is_some());
    assert!(bench.wait(1).draw);
    assert_eq!(bench.shown(), Some((1, false)));
    // a press that was meant for the menu does not mark the piece
    let now = bench.now + HOLD_OFF - 1;
    bench.runner.take(Input::Press(Key::Done), now);
    assert!(bench.said().is_empty());
    bench.now = now;
    bench.press(Key::Done);
    assert_eq!(bench.said().len(), 1);
}

#[test]
fn the_menu_does_not_close_under_a_foot_nor_open_over_a_question() {
    let mut bench = Bench::of(&[1, 1]);
    bench.press(Key::Menu);
    bench.wait(MENU_RETURNS - 50);
    let now = bench.now;
    bench.runner.take(Input::Pedal { closed: true }, now);
    bench.wait(200);
    assert_eq!(bench.chosen(), Some(MenuRow::Jump));
    let now = bench.now;
    bench.runner.take(Input::Pedal { closed: false }, now);
    bench.wait(STABLE);
    // the tap took the row that was on the screen
    assert_eq!(bench.number(), Some(1));
    bench.press(Key::Menu);
    bench.press(Key::BadStick);
    assert_eq!(bench.press(Key::Menu).beep, Some(Beep::Refused));
    assert_eq!(bench.digit(2).beep, Some(Beep::Refused));
    assert!(matches!(bench.banner(), Some(Banner::BadStickAsked { .. })));
    assert_eq!(bench.shown(), Some((1, false)));
}

#[test]
fn digits_and_done_look_at_a_piece_and_the_place_stays() {
    let mut bench = Bench::of(&[1; 115]);
    bench.press(Key::Done);
    for (digit, number) in [(1, 1), (0, 10), (4, 104)] {
        bench.digit(digit);
        assert_eq!(bench.number(), Some(number));
    }
    bench.press(Key::TakeBack);
    assert_eq!(bench.number(), Some(10));
    bench.press(Key::Done);
    assert_eq!(
        (bench.shown(), bench.current()),
        (Some((10, true)), Some(1))
    );
    // from there on it is a look as any other
    bench.press(Key::LookAhead);
    assert_eq!(bench.shown(), Some((11, true)));
    assert_eq!(bench.press(Key::Done).beep, Some(Beep::Refused));
    assert_eq!(bench.banner(), Some(Banner::BackFromLooking));
    bench.digit(2);
    bench.press(Key::Done);
    assert_eq!(bench.shown(), Some((2, false)));
    bench.digit(9);
    bench.press(Key::Done);
    bench.wait(LOOKING_RETURNS);
    assert_eq!((bench.shown(), bench.said().len()), (Some((2, false)), 1));
}

#[test]
fn a_number_that_is_not_in_the_list_says_so() {
    let mut bench = Bench::of(&[1; 15]);
    for digits in [&[0][..], &[1, 6], &[9, 9, 9, 9]] {
        digits.iter().for_each(|digit| {
            bench.digit(*digit);
        });
        let number = digits
            .iter()
            .fold(0, |number, digit| 10 * number + u16::from(*digit));
        assert_eq!(bench.press(Key::Done).beep, Some(Beep::Refused));
        let pieces = 15;
        assert_eq!(bench.banner(), Some(Banner::NotInList { number, pieces }));
        assert_eq!(bench.number(), Some(number));
    }
    // the next digit begins a number of its own
    bench.digit(7);
    assert_eq!((bench.number(), bench.banner()), (Some(7), None));
    for _ in 0..3 {
        bench.digit(7);
    }
    assert_eq!(bench.digit(7).beep, Some(Beep::Refused));
    assert_eq!(bench.number(), Some(7_777));
    assert_eq!(bench.digit(10).beep, Some(Beep::Refused));
    assert!(bench.said().is_empty());
}

#[test]
fn digits_that_nobody_confirms_are_dropped() {
    let mut bench = Bench::of(&[1; 15]);
    bench.digit(1);
    bench.wait(DIGITS_STAND - 101);
    bench.digit(2);
    bench.wait(DIGITS_STAND - 1);
    assert_eq!(bench.number(), Some(12));
    assert!(bench.wait(1).draw);
    assert_eq!(bench.shown(), Some((1, false)));
    bench.digit(3);
    assert_eq!(bench.number(), Some(3));
    // taken back to nothing, the piece is back as well
    bench.press(Key::TakeBack);
    assert_eq!(bench.shown(), Some((1, false)));
    assert!(bench.said().is_empty());
}

#[test]
fn with_eight_keys_a_piece_is_found_by_tens() {
    let mut bench = Bench::of(&[1; 37]);
    bench.press(Key::LookAhead);
    bench.press(Key::Menu);
    bench.press(Key::Done);
    assert_eq!(bench.number(), Some(2));
    for number in [12, 22, 32, 37] {
        bench.press(Key::LookAhead);
        assert_eq!(bench.number(), Some(number));
    }
    assert_eq!(bench.press(Key::LookAhead).beep, Some(Beep::Refused));
    for number in [27, 17, 7, 1] {
        bench.press(Key::LookBack);
        assert_eq!(bench.number(), Some(number));
    }
    assert_eq!(bench.press(Key::LookBack).beep, Some(Beep::Refused));
    bench.press(Key::LookAhead);
    bench.press(Key::Done);
    assert_eq!(
        (bench.shown(), bench.current()),
        (Some((11, true)), Some(0))
    );
}

#[test]
fn without_a_list_or_before_its_cards_are_passed_there_is_nothing_to_look_at() {
    let mut bench = Bench::with(Memory {
        list: None,
        ..Memory::with(Sample::of(7, &[]))
    });
    assert_eq!(bench.digit(1).beep, Some(Beep::Refused));
    bench.press(Key::Menu);
    assert_eq!(bench.press(Key::Done).beep, Some(Beep::Refused));
    let mut bench = Bench::at_start(Memory::with(Sample::of(7, &[1, 1])));
    bench.press(Key::Menu);
    assert_eq!(bench.digit(1).beep, Some(Beep::Refused));
    assert_eq!(bench.press(Key::Done).beep, Some(Beep::Refused));
    assert_eq!(bench.card(), Some(Card::Decide));
}

#[test]
fn a_setting_is_kept_at_each_change_and_changes_how_figures_are_shown_only() {
    let mut bench = Bench::of(&[1, 1, 1]);
    bench.settings(Setting::Unit);
    let mut kept = Settings::default();
    for _ in 0..2 {
        kept = kept.next(Setting::Unit, Mark::Sixteenth);
        assert_eq!(bench.press(Key::Done).keep, Some(kept));
    }
    bench.press(Key::LookAhead);
    bench.press(Key::LookAhead);
    let outcome = bench.press(Key::Done);
    assert_eq!(outcome.keep.map(|kept| kept.words), Some(BoardWords::Board));
    assert_eq!(outcome.light, None);
    bench.press(Key::Menu);
    let Body::Piece(piece) = bench.body() else {
        panic!("the piece");
    };
    assert_eq!(
        (piece.mark, piece.words),
        (Mark::Millimetre, BoardWords::Board)
    );
    // 20 in are 508 mm (25.4 mm to the inch)
    assert_eq!(
        std::format!("{}", piece.figure.length.on_tape(piece.mark)),
        "508"
    );
    assert_eq!(piece.figure.length, shared_model::Length::inches(20));
    assert!(bench.said().is_empty());
}

#[test]
fn the_light_and_the_beep_follow_their_settings() {
    let mut bench = Bench::of(&[1, 1, 1]);
    bench.settings(Setting::Light);
    let light = |bench: &mut Bench| bench.press(Key::Done).light.map(Light::step);
    for step in [1, 2, 3, 4, 5] {
        assert_eq!(light(&mut bench), Some(step));
    }
    bench.press(Key::LookBack);
    bench.press(Key::Done);
    assert_eq!(bench.runner.settings().sound, Sound::Soft);
    assert_eq!(bench.press(Key::SetAside).beep, Some(Beep::Refused));
    bench.press(Key::Done);
    assert_eq!(bench.runner.settings().sound, Sound::Off);
    bench.press(Key::TakeBack);
    assert_eq!(bench.chosen(), Some(MenuRow::Jump));
    bench.press(Key::Menu);
    assert_eq!(bench.press(Key::Done).beep, None);
    assert_eq!(bench.said().len(), 1);
}

#[test]
fn settings_that_were_kept_hold_from_the_start_and_lost_ones_are_told() {
    let kept = Settings::default()
        .next(Setting::Light, Mark::Sixteenth)
        .next(Setting::Mark, Mark::Sixteenth);
    for (read, settings, banner) in [
        (Ok(Some(kept)), kept, None),
        (Ok(None), Settings::default(), None),
        (
            Err(SettingsError::Damaged),
            Settings::default(),
            Some(Banner::SettingsUnreadable),
        ),
    ] {
        let memory = Memory::with(Sample::of(7, &[1, 1]));
        let mut runner = Runner::start(memory, false, &[]);
        let outcome = runner.set_settings(read);
        assert_eq!((outcome.keep, outcome.light), (None, Some(settings.light)));
        assert_eq!(runner.settings(), settings);
        assert_eq!(runner.view().banner, banner);
        runner.take(Input::Time, WORD_STAYS);
        assert_eq!(runner.view().banner, None);
    }
    let mut bench = Bench::of(&[1, 1]);
    bench.settings(Setting::Sound);
    bench.press(Key::Done);
    let now = bench.now;
    let outcome = bench.runner.take(Input::SettingsNotKept, now);
    assert_eq!(outcome.beep, Some(Beep::Refused));
    assert_eq!(bench.banner(), Some(Banner::SettingsNotKept));
    assert_eq!(bench.runner.settings().sound, Sound::Soft);
}

#[test]
fn in_leaves_looking_goes_through_a_piece_before_the_next() {
    let mut bench = Bench::of(&[1, 1, 1]);
    bench.runner.set_leaves(4);
    let leaf = |bench: &Bench| match bench.body() {
        Body::Piece(piece) => (piece.number, piece.leaf, piece.looking),
        _ => panic!("a piece"),
    };
    for expected in [
        (1, 1, false),
        (1, 2, false),
        (1, 3, false),
        (2, 0, true),
        (2, 1, true),
    ] {
        bench.press(Key::LookAhead);
        assert_eq!(leaf(&bench), expected);
    }
    for expected in [(2, 0, true), (1, 0, false)] {
        bench.press(Key::LookBack);
        assert_eq!(leaf(&bench), expected);
    }
    assert_eq!(bench.press(Key::LookBack).beep, Some(Beep::Refused));
    bench.press(Key::LookAhead);
    bench.wait(LOOKING_RETURNS);
    assert_eq!(leaf(&bench), (1, 0, false));
    // another leaf of the piece at the place is that piece
    bench.press(Key::LookAhead);
    assert_eq!(bench.press(Key::Done).beep, Some(Beep::Accepted));
    assert_eq!(leaf(&bench), (2, 0, false));
}

/// Keys, digits, taps, holds and time at random: under a page or a card nothing is stored and the place stays; whatever is
/// stored was pressed on a piece.
#[test]
fn at_random_nothing_over_the_piece_stores_or_moves_the_place() {
    let mut seed: u64 = 9;
    let mut roll = |below: u64| {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
        (seed >> 33) % below
    };
    let covered = |view: &View| matches!(view.body, Body::Page(_) | Body::Scrap(_));
    let (mut over, mut stored) = (0, 0);
    for round in 0..40 {
        let end = [cope(90), outside(90)][round % 2];
        let mut bench = Bench::at_start(Memory::with(list(end, Posture::StandingUpright)));
        for _ in 0..120 {
            let (before, events, place) =
                (bench.runner.view(), bench.said().len(), bench.current());
            match roll(14) {
                0 => {
                    bench.digit(roll(11) as u8);
                }
                1 => {
                    bench.wait(roll(12_000) as u32);
                }
                2 => {
                    bench.pedal(roll(4_000) as u32);
                }
                3..6 => {
                    bench.press(Key::Menu);
                }
                key => {
                    bench.press(Key::ALL[key as usize % Key::ALL.len()]);
                }
            }
            let new = bench.said().len() - events;
            stored += new;
            // a page may close while a pedal is waited for, and the tap then means the piece
            let closed = bench.runner.view().body != before.body;
            if covered(&before) && (covered(&bench.runner.view()) || !closed) {
                assert_eq!((new, bench.current()), (0, place), "{before:?}");
                over += 1;
            }
            let asked = bench.banner();
            let question = matches!(
                asked,
                Some(Banner::CutAgainAsked { .. } | Banner::BadStickAsked { .. })
            );
            assert!(!question || !covered(&bench.runner.view()), "{asked:?}");
        }
    }
    assert!(over > 500 && stored > 100, "{over} {stored}");
}
