//! The eight keys, each wired to its pin, do what they are for; and what is set by them is kept without power. What each
//! press means is left to the station's own tests.

use station::machine::Key;
use station::settings::{Light, Setting};
use station::timing::{BAD_STICK_STANDS, CUT_AGAIN_STANDS, LOOKING_RETURNS, WORD_STAYS};

use super::pico::{FlashTimes, Pico};
use super::pictures::shows;
use super::saw_list::{Twin, flash, sheet};

/// From one press to the next, in milliseconds.
const APART: u32 = 800;

struct Both {
    pico: Pico,
    twin: Twin,
}

impl Both {
    fn press(&mut self, keys: &[Key]) {
        for &key in keys {
            let name = match key {
                Key::Done => "done",
                Key::TakeBack => "takeBack",
                Key::SetAside => "setAside",
                Key::LookAhead => "ahead",
                Key::LookBack => "back",
                Key::CutAgain => "cutAgain",
                Key::BadStick => "badStick",
                Key::Menu => "menu",
            };
            self.pico.run(f64::from(APART) - 400.0);
            self.pico.press(name, 120.0);
            self.twin.press_after(APART, key);
            self.agree(name);
        }
    }

    fn wait(&mut self, milliseconds: u32) {
        self.pico.run(f64::from(milliseconds));
        self.twin.wait(milliseconds);
        self.agree("after a while");
    }

    fn agree(&mut self, when: &str) {
        assert!(shows(&mut self.pico, &self.twin.picture()), "{when}");
    }

    /// How bright the panel is lit, in percent.
    fn light(&mut self) -> u32 {
        self.pico.picture().light.into()
    }
}

#[test]
#[ignore = "needs node, npm ci and the Pico image"]
fn every_key_does_what_it_is_for_and_a_setting_outlives_the_power() {
    let sheet = sheet();
    let mut pico = Pico::new(FlashTimes::TYPICAL, Some(&flash(&sheet)));
    pico.start();
    let twin = Twin::of(&sheet);
    let mut both = Both { pico, twin };
    both.press(&[Key::LookAhead, Key::LookAhead, Key::LookBack]);
    both.wait(LOOKING_RETURNS);
    both.press(&[Key::SetAside, Key::Done, Key::TakeBack]);
    both.press(&[Key::CutAgain, Key::CutAgain]);
    both.wait(CUT_AGAIN_STANDS + WORD_STAYS);
    both.press(&[Key::BadStick, Key::BadStick]);
    both.wait(BAD_STICK_STANDS);

    both.press(&[Key::Menu, Key::LookAhead, Key::Done]);
    let before = Setting::ALL.into_iter();
    let before = before.take_while(|row| *row != Setting::Light).count();
    both.press(&vec![Key::LookAhead; before]);
    let full = u32::from(Light::default().thousandths()) / 10;
    assert_eq!(both.light(), full);
    both.press(&[Key::Done]);
    let changed = both.light();
    assert_ne!(changed, full);
    both.press(&[Key::Menu]);
    both.pico.power(false);
    both.pico.start();
    both.pico.run(10.0);
    both.twin = both.twin.again();
    both.agree("after the power was gone");
    assert_eq!(both.light(), changed);
}
