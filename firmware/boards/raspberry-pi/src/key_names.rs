//! What the keys of a keyboard are called in the settings, and the numbers that Linux gives them. What a key does is left
//! to the settings.

/// A number of its own is written so.
const BY_NUMBER: &str = "key ";

/// Names and numbers; the numbers are those of Linux's `input-event-codes.h`.
#[rustfmt::skip]
const NAMES: &[(&str, u16)] = &[
    ("escape", 1), ("1", 2), ("2", 3), ("3", 4), ("4", 5), ("5", 6), ("6", 7), ("7", 8), ("8", 9), ("9", 10), ("0", 11),
    ("minus", 12), ("equal", 13), ("backspace", 14), ("tab", 15),
    ("q", 16), ("w", 17), ("e", 18), ("r", 19), ("t", 20), ("y", 21), ("u", 22), ("i", 23), ("o", 24), ("p", 25),
    ("enter", 28), ("a", 30), ("s", 31), ("d", 32), ("f", 33), ("g", 34), ("h", 35), ("j", 36), ("k", 37), ("l", 38),
    ("z", 44), ("x", 45), ("c", 46), ("v", 47), ("b", 48), ("n", 49), ("m", 50),
    ("comma", 51), ("dot", 52), ("slash", 53), ("keypad-star", 55), ("space", 57),
    ("f1", 59), ("f2", 60), ("f3", 61), ("f4", 62), ("f5", 63), ("f6", 64), ("f7", 65), ("f8", 66), ("f9", 67),
    ("f10", 68), ("keypad-minus", 74), ("keypad-plus", 78), ("keypad-dot", 83), ("f11", 87), ("f12", 88),
    ("keypad-enter", 96), ("keypad-slash", 98), ("home", 102), ("up", 103), ("page-up", 104), ("left", 105),
    ("right", 106), ("end", 107), ("down", 108), ("page-down", 109), ("insert", 110), ("delete", 111),
    ("volume-down", 114), ("volume-up", 115), ("play", 164),
];

/// The digits of the upper row and of the keypad, from 0 to 9.
const DIGITS: [[u16; 10]; 2] = [
    [11, 2, 3, 4, 5, 6, 7, 8, 9, 10],
    [82, 79, 80, 81, 75, 76, 77, 71, 72, 73],
];

/// A key's number by its name.
pub fn number(name: &str) -> Option<u16> {
    if let Some(number) = name.strip_prefix(BY_NUMBER) {
        return number.parse().ok();
    }
    let named = NAMES.iter().find(|(known, _)| *known == name);
    named.map(|(_, number)| *number)
}

/// The name that is most like this one.
pub fn nearest(name: &str) -> &'static str {
    let names = NAMES.iter().map(|(known, _)| *known);
    names
        .min_by_key(|known| strsim::damerau_levenshtein(known, name))
        .unwrap_or_default()
}

/// The digit that stands on a key.
pub fn digit(number: u16) -> Option<u8> {
    let rows = DIGITS.iter();
    let mut found = rows.filter_map(|row| row.iter().position(|digit| *digit == number));
    found.next().map(|digit| digit as u8)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_name_and_every_number_is_there_once() {
        for (at, (name, code)) in NAMES.iter().enumerate() {
            let again = |(other, number): &(&str, u16)| other == name || number == code;
            assert!(!NAMES[at + 1..].iter().any(again), "{name}");
            assert_eq!(number(name), Some(*code));
        }
        assert_eq!(number("key 304"), Some(304));
        assert_eq!(number("key x"), None);
        assert_eq!(nearest("pagedown"), "page-down");
    }

    /// The evdev crate takes its numbers from the kernel's headers.
    #[cfg(target_os = "linux")]
    #[test]
    fn the_numbers_are_the_kernels() {
        for (name, code) in NAMES {
            let kernel = format!("{:?}", evdev::KeyCode::new(*code)).to_lowercase();
            let plain = name
                .replace("keypad-", "kp")
                .replace("star", "asterisk")
                .replace("escape", "esc")
                .replace("play", "playpause")
                .replace('-', "");
            assert_eq!(kernel, format!("key_{plain}"), "{name}");
        }
        for (row, prefix) in DIGITS.iter().zip(["KEY_", "KEY_KP"]) {
            for (number, code) in row.iter().enumerate() {
                let kernel = format!("{:?}", evdev::KeyCode::new(*code));
                assert_eq!(kernel, format!("{prefix}{number}"));
                assert_eq!(digit(*code), Some(number as u8));
            }
        }
        assert_eq!(digit(30), None);
    }
}
