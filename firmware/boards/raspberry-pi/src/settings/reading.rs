//! Reading the settings: what is wrong is told with its line, and a key that does not exist with the nearest that does.
//! What the keys mean is left to the settings.

use std::fmt;
use std::ops::Range;

use station::machine::Key;
use toml::Table;
use toml::de::{DeTable, DeValue};

use super::{KeyName, SAMPLE, Settings};

/// Why settings cannot be read, as a person reads it; lines are counted from 1.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ReadError {
    /// line 3: what the reader of TOML says
    NotUnderstood {
        /// The line.
        line: usize,
        /// What is wrong there.
        what: String,
    },
    /// line 3: there is no key "ouput" in the table screen; the nearest is "output"
    NoSuchKey {
        /// The line.
        line: usize,
        /// What stands there.
        key: String,
        /// The table it stands in; empty above all tables.
        table: String,
        /// The key most like it.
        nearest: String,
    },
    /// the same thing is given to two of them
    Twice {
        /// What is given twice.
        what: String,
        /// The keys that it is given to.
        keys: [&'static str; 2],
    },
}

impl fmt::Display for ReadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ReadError::NotUnderstood { line, what } => write!(f, "line {line}: {what}"),
            ReadError::NoSuchKey {
                line,
                key,
                table,
                nearest,
            } => {
                let place = match table.as_str() {
                    "" => String::new(),
                    table => format!(" in [{table}]"),
                };
                write!(
                    f,
                    "line {line}: there is no key \"{key}\"{place}; the nearest is \"{nearest}\""
                )
            }
            ReadError::Twice { what, keys: [a, b] } => {
                write!(f, "{what} is given to \"{a}\" and to \"{b}\"")
            }
        }
    }
}

impl std::error::Error for ReadError {}

/// Reads settings.
///
/// # Errors
/// The first thing that is wrong.
pub fn read(text: &str) -> Result<Settings, ReadError> {
    let told = |error: toml::de::Error| ReadError::NotUnderstood {
        line: line(text, error.span()),
        what: error.message().to_owned(),
    };
    let table = DeTable::parse(text).map_err(told)?;
    let sample: Table = SAMPLE.parse().map_err(told)?;
    keys_exist(text, table.get_ref(), "", &sample)?;
    let settings: Settings = toml::from_str(text).map_err(told)?;
    nothing_twice(&settings)?;
    Ok(settings)
}

fn line(text: &str, span: Option<Range<usize>>) -> usize {
    let before = text.get(..span.map_or(0, |span| span.start));
    1 + before.unwrap_or_default().matches('\n').count()
}

/// The sample has every key that there is.
fn keys_exist(
    text: &str,
    table: &DeTable<'_>,
    name: &str,
    sample: &Table,
) -> Result<(), ReadError> {
    // in the order of the file
    let mut entries: Vec<_> = table.iter().collect();
    entries.sort_by_key(|(key, _)| key.span().start);
    for (key, value) in entries {
        let word: &str = key.get_ref();
        let Some(known) = sample.get(word) else {
            let like = |known: &&String| strsim::damerau_levenshtein(known, word);
            return Err(ReadError::NoSuchKey {
                line: line(text, Some(key.span())),
                key: word.to_owned(),
                table: name.to_owned(),
                nearest: sample.keys().min_by_key(like).cloned().unwrap_or_default(),
            });
        };
        if let (DeValue::Table(inner), Some(known)) = (value.get_ref(), known.as_table()) {
            keys_exist(text, inner, word, known)?;
        }
    }
    Ok(())
}

/// A key of a keyboard does one thing, and a pin is wired to one.
fn nothing_twice(settings: &Settings) -> Result<(), ReadError> {
    let keys = settings.keys.all();
    for (at, (does, keys_of_it)) in keys.iter().enumerate() {
        let same =
            |(_, others): &&(_, &[KeyName])| keys_of_it.iter().any(|key| others.contains(key));
        if let Some((other, _)) = keys[at + 1..].iter().find(same) {
            return Err(ReadError::Twice {
                what: "the same key of a keyboard".to_owned(),
                keys: [name(*does), name(*other)],
            });
        }
    }
    let contacts = &settings.contacts;
    let wired = contacts.wired();
    let wired = wired.into_iter().map(|(pin, does)| (pin, name(does)));
    let mut pins: Vec<_> = wired.collect();
    if contacts.beeper != 0 {
        pins.push((contacts.beeper, "beeper"));
    }
    for (at, (pin, name)) in pins.iter().enumerate() {
        if let Some((_, other)) = pins[at + 1..].iter().find(|(other, _)| other == pin) {
            return Err(ReadError::Twice {
                what: format!("pin {pin}"),
                keys: [name, other],
            });
        }
    }
    Ok(())
}

/// What the settings call a key; none is the pedal.
pub fn name(key: Option<Key>) -> &'static str {
    match key {
        None => "pedal",
        Some(Key::Done) => "done",
        Some(Key::TakeBack) => "take-back",
        Some(Key::SetAside) => "set-aside",
        Some(Key::LookAhead) => "look-ahead",
        Some(Key::LookBack) => "look-back",
        Some(Key::CutAgain) => "cut-again",
        Some(Key::BadStick) => "bad-stick",
        Some(Key::Menu) => "menu",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(text: &str) -> String {
        let read = read(text);
        read.map_or_else(|error| error.to_string(), |_| "read".to_owned())
    }

    #[test]
    fn the_sample_says_what_holds_without_it() {
        assert_eq!(read(SAMPLE), Ok(Settings::default()));
        assert_eq!(read(""), Ok(Settings::default()));
    }

    /// A key that reading passes over would be one of the sample and of no setting.
    #[test]
    fn every_key_of_the_sample_is_read() {
        let sample: Table = SAMPLE.parse().expect("TOML");
        let told = |head: &str, key: &str| {
            let told = told(&format!("{head}{key} = 1.5\n"));
            let with_place = told.contains("line ") && told.contains("1.5");
            assert!(with_place, "{head}{key}: {told}");
        };
        for (name, value) in &sample {
            told("", name);
            let keys = value.as_table().into_iter().flat_map(|table| table.keys());
            keys.for_each(|key| told(&format!("[{name}]\n"), key));
        }
    }

    #[test]
    fn what_is_wrong_is_told_with_its_line() {
        for (text, expected) in [
            (
                "\n[scren]\n",
                "line 2: there is no key \"scren\"; the nearest is \"screen\"",
            ),
            (
                "[contacts]\npedal = 17\ntakeback = 3\n",
                "line 3: there is no key \"takeback\" in [contacts]; the nearest is \"take-back\"",
            ),
            (
                "[keys]\n\nmenu = [\"n\", \"escpae\"]\n",
                "line 3: no key is called \"escpae\"; the nearest is \"escape\"",
            ),
            (
                "[screen]\npicture = \"640x480\"\n",
                "line 2: there is no picture of \"640x480\"; there are \"auto\", \"1024x600\", \"800x480\", \"480x320\", \"320x240\"",
            ),
            (
                "[contacts]\nthrough = \"pins\"\n",
                "line 2: contacts are read through \"kernel\", \"rppal\" or \"off\", not \"pins\"",
            ),
            (
                "[contacts]\ncloses-to = \"earth\"\n",
                "line 2: a contact closes to \"ground\" or \"supply\", not \"earth\"",
            ),
            (
                "[link]\ntcp = \"localhost\"\n",
                "line 2: invalid socket address syntax",
            ),
            (
                "[keys]\nmenu = [\"n\", \"s\"]\n",
                "the same key of a keyboard is given to \"set-aside\" and to \"menu\"",
            ),
            (
                "[contacts]\nmenu = 17\n",
                "pin 17 is given to \"pedal\" and to \"menu\"",
            ),
        ] {
            assert_eq!(told(text), expected);
        }
        assert!(told("record = \n").starts_with("line 1: "));
    }
}
