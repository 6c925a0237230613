//! A press as a page sends it, and what becomes of it. A press counts once however often it is sent, and only for the
//! piece that was on the page when it was made; what it does is left to the station.

use std::collections::VecDeque;

use serde::{Deserialize, Serialize};
use station::machine::{Input, Key};

/// A press of a key in one of the windows.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Press {
    /// The running station that the page knows.
    pub session: String,
    /// The window, by a name that it gave itself.
    pub window: String,
    /// The press's number in its window, rising.
    pub number: u64,
    /// The key.
    pub key: PressKey,
    /// What was on the page's picture when it was made: what lay over the piece, or the piece that was to be cut.
    pub seen: Option<String>,
}

/// A key by the name that pages use, or a digit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(try_from = "String")]
pub struct PressKey(pub Input);

impl TryFrom<String> for PressKey {
    type Error = String;

    fn try_from(name: String) -> Result<PressKey, String> {
        let key = match name.as_str() {
            "done" => Key::Done,
            "take-back" => Key::TakeBack,
            "set-aside" => Key::SetAside,
            "look-ahead" => Key::LookAhead,
            "look-back" => Key::LookBack,
            "cut-again" => Key::CutAgain,
            "bad-stick" => Key::BadStick,
            "menu" => Key::Menu,
            digit => {
                return match digit.as_bytes() {
                    [digit @ b'0'..=b'9'] => Ok(PressKey(Input::Digit(digit - b'0'))),
                    _ => Err(format!("there is no key \"{name}\"")),
                };
            }
        };
        Ok(PressKey(Input::Press(key)))
    }
}

/// What became of a press.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "press")]
pub enum Answer {
    /// The station took it; what it did is on the picture of this version or a later one.
    Taken {
        /// An event was stored.
        stored: bool,
        /// The picture's version after it.
        version: u64,
        /// Pieces done after it.
        done: u16,
    },
    /// Another piece was to be cut by then, or something else was over it: the page has to look again.
    MovedOn,
    /// The page knows another running station: it has to look again.
    OtherSession,
    /// The window has sent a later press already.
    TooLate,
}

/// The last press of each window and what became of it.
#[derive(Debug, Default)]
pub struct Windows {
    known: VecDeque<(String, u64, Answer)>,
}

impl Windows {
    /// So many windows are remembered, the latest to press first.
    const MOST: usize = 64;

    /// What became of this press if the window sent it, or a later one, before.
    pub fn answered(&self, press: &Press) -> Option<Answer> {
        let (_, number, answer) = self.known.iter().find(|(w, ..)| *w == press.window)?;
        match press.number.cmp(number) {
            std::cmp::Ordering::Greater => None,
            std::cmp::Ordering::Equal => Some(*answer),
            std::cmp::Ordering::Less => Some(Answer::TooLate),
        }
    }

    /// Remembers what became of a press.
    pub fn remember(&mut self, press: &Press, answer: Answer) {
        self.known.retain(|(window, ..)| *window != press.window);
        self.known
            .push_front((press.window.clone(), press.number, answer));
        self.known.truncate(Windows::MOST);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn press(window: &str, number: u64) -> Press {
        Press {
            session: String::new(),
            window: window.to_owned(),
            number,
            key: PressKey(Input::Press(Key::Done)),
            seen: None,
        }
    }

    #[test]
    fn a_press_sent_again_gets_its_first_answer() {
        let mut windows = Windows::default();
        let answer = Answer::Taken {
            stored: true,
            version: 7,
            done: 3,
        };
        assert_eq!(windows.answered(&press("a", 1)), None);
        windows.remember(&press("a", 1), answer);
        assert_eq!(windows.answered(&press("a", 1)), Some(answer));
        assert_eq!(windows.answered(&press("a", 0)), Some(Answer::TooLate));
        assert_eq!(windows.answered(&press("a", 2)), None);
        assert_eq!(windows.answered(&press("b", 1)), None);
    }

    #[test]
    fn only_the_latest_windows_are_remembered() {
        let mut windows = Windows::default();
        for window in 0..=Windows::MOST {
            windows.remember(&press(&window.to_string(), 1), Answer::MovedOn);
        }
        assert_eq!(windows.answered(&press("0", 1)), None);
        assert_eq!(windows.answered(&press("1", 1)), Some(Answer::MovedOn));
        assert_eq!(windows.known.len(), Windows::MOST);
    }

    #[test]
    fn keys_have_the_names_that_pages_use_and_others_are_told() {
        let key = |name: &str| PressKey::try_from(name.to_owned());
        assert_eq!(key("menu"), Ok(PressKey(Input::Press(Key::Menu))));
        for digit in 0..=9 {
            assert_eq!(key(&digit.to_string()), Ok(PressKey(Input::Digit(digit))));
        }
        for name in ["", "10", "Done", "x", "\u{663}"] {
            assert!(key(name).is_err(), "{name}");
        }
    }
}
