//! Reading the settings: what is wrong is told with its line, and a key that does not exist with the nearest that does.
//! What the keys mean is left to the settings.

use std::fmt;
use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::Settings;

/// The keys of each table; the first has no name.
const KEYS: [(&str, &[&str]); 5] = [
    ("", &["record", "screen", "link", "keys", "contacts"]),
    ("screen", &["output", "picture"]),
    ("link", &["tcp", "serial", "baud"]),
    (
        "keys",
        &[
            "devices",
            "pedal",
            "take-back",
            "set-aside",
            "look-ahead",
            "look-back",
            "cut-again",
            "bad-stick",
            "menu",
        ],
    ),
    (
        "contacts",
        &[
            "through",
            "chip",
            "closes-to",
            "pedal",
            "done",
            "take-back",
            "set-aside",
            "look-ahead",
            "look-back",
            "cut-again",
            "bad-stick",
            "menu",
            "beeper",
        ],
    ),
];

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
        table: &'static str,
        /// The key most like it.
        nearest: &'static str,
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
                let place = match *table {
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
    keys_exist(text, table.get_ref(), "")?;
    let settings: Settings = toml::from_str(text).map_err(told)?;
    nothing_twice(&settings)?;
    Ok(settings)
}

fn line(text: &str, span: Option<Range<usize>>) -> usize {
    let before = text.get(..span.map_or(0, |span| span.start));
    1 + before.unwrap_or_default().matches('\n').count()
}

fn keys_exist(text: &str, table: &DeTable<'_>, name: &str) -> Result<(), ReadError> {
    let Some((name, known)) = KEYS.into_iter().find(|(table, _)| *table == name) else {
        return Ok(());
    };
    // in the order of the file
    let mut entries: Vec<_> = table.iter().collect();
    entries.sort_by_key(|(key, _)| key.span().start);
    for (key, value) in entries {
        let word: &str = key.get_ref();
        if !known.contains(&word) {
            let like = |known: &&&str| strsim::damerau_levenshtein(known, word);
            return Err(ReadError::NoSuchKey {
                line: line(text, Some(key.span())),
                key: word.to_owned(),
                table: name,
                nearest: known.iter().min_by_key(like).copied().unwrap_or_default(),
            });
        }
        if let (true, DeValue::Table(inner)) = (name.is_empty(), value.get_ref()) {
            keys_exist(text, inner, word)?;
        }
    }
    Ok(())
}

/// A key of a keyboard does one thing, and a pin is wired to one.
fn nothing_twice(settings: &Settings) -> Result<(), ReadError> {
    let keys = &settings.keys;
    let mut pressed = vec![("pedal", &keys.pedal)];
    let beside = [
        ("take-back", &keys.take_back),
        ("set-aside", &keys.set_aside),
        ("look-ahead", &keys.look_ahead),
        ("look-back", &keys.look_back),
        ("cut-again", &keys.cut_again),
        ("bad-stick", &keys.bad_stick),
        ("menu", &keys.menu),
    ];
    pressed.extend(beside);
    for (at, (name, keys)) in pressed.iter().enumerate() {
        for (other, others) in &pressed[at + 1..] {
            if keys.iter().any(|key| others.contains(key)) {
                return Err(ReadError::Twice {
                    what: "the same key of a keyboard".to_owned(),
                    keys: [name, other],
                });
            }
        }
    }
    let contacts = &settings.contacts;
    let pins = [
        ("pedal", contacts.pedal),
        ("done", contacts.done),
        ("take-back", contacts.take_back),
        ("set-aside", contacts.set_aside),
        ("look-ahead", contacts.look_ahead),
        ("look-back", contacts.look_back),
        ("cut-again", contacts.cut_again),
        ("bad-stick", contacts.bad_stick),
        ("menu", contacts.menu),
        ("beeper", contacts.beeper),
    ];
    for (at, (name, pin)) in pins.iter().enumerate() {
        let same = |(_, other): &&(&str, u8)| *pin != 0 && other == pin;
        if let Some((other, _)) = pins[at + 1..].iter().find(same) {
            return Err(ReadError::Twice {
                what: format!("pin {pin}"),
                keys: [name, other],
            });
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::super::SAMPLE;
    use super::*;

    fn told(text: &str) -> String {
        let read = read(text);
        read.map_or_else(|error| error.to_string(), |_| "read".to_owned())
    }

    #[test]
    fn the_sample_has_every_key_and_says_what_holds_without_it() {
        assert_eq!(read(SAMPLE), Ok(Settings::default()));
        assert_eq!(read(""), Ok(Settings::default()));
        let sample: toml::Table = SAMPLE.parse().expect("TOML");
        for (table, keys) in KEYS {
            let stands = match table {
                "" => &sample,
                table => sample[table].as_table().expect("a table"),
            };
            for key in keys {
                assert!(stands.contains_key(*key), "{table}.{key}");
            }
            assert_eq!(stands.len(), keys.len(), "{table}");
        }
    }

    /// A key that reading passes over would be one of the list and of no setting.
    #[test]
    fn every_key_is_read() {
        for (table, keys) in KEYS {
            for key in keys {
                let head = match table {
                    "" => String::new(),
                    table => format!("[{table}]\n"),
                };
                let told = told(&format!("{head}{key} = 1.5\n"));
                assert!(
                    told.contains("line ") && told.contains("1.5"),
                    "{key}: {told}"
                );
            }
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
