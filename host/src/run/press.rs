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

/// The keys by the names that pages use.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PressKey {
    Done,
    TakeBack,
    SetAside,
    LookAhead,
    LookBack,
    CutAgain,
    BadStick,
    Menu,
    #[serde(rename = "0")]
    Digit0,
    #[serde(rename = "1")]
    Digit1,
    #[serde(rename = "2")]
    Digit2,
    #[serde(rename = "3")]
    Digit3,
    #[serde(rename = "4")]
    Digit4,
    #[serde(rename = "5")]
    Digit5,
    #[serde(rename = "6")]
    Digit6,
    #[serde(rename = "7")]
    Digit7,
    #[serde(rename = "8")]
    Digit8,
    #[serde(rename = "9")]
    Digit9,
}

impl From<PressKey> for Input {
    fn from(key: PressKey) -> Input {
        match key {
            PressKey::Done => Input::Press(Key::Done),
            PressKey::TakeBack => Input::Press(Key::TakeBack),
            PressKey::SetAside => Input::Press(Key::SetAside),
            PressKey::LookAhead => Input::Press(Key::LookAhead),
            PressKey::LookBack => Input::Press(Key::LookBack),
            PressKey::CutAgain => Input::Press(Key::CutAgain),
            PressKey::BadStick => Input::Press(Key::BadStick),
            PressKey::Menu => Input::Press(Key::Menu),
            PressKey::Digit0 => Input::Digit(0),
            PressKey::Digit1 => Input::Digit(1),
            PressKey::Digit2 => Input::Digit(2),
            PressKey::Digit3 => Input::Digit(3),
            PressKey::Digit4 => Input::Digit(4),
            PressKey::Digit5 => Input::Digit(5),
            PressKey::Digit6 => Input::Digit(6),
            PressKey::Digit7 => Input::Digit(7),
            PressKey::Digit8 => Input::Digit(8),
            PressKey::Digit9 => Input::Digit(9),
        }
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
            key: PressKey::Done,
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
}
