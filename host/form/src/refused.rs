//! One thing in a file that cannot be, as it is told to the person who wrote it: file, line and column, the line with its
//! place marked, what was read, what was expected, a right example. What is wrong is left to the readers and `meaning`.

use std::fmt;

use super::shown::visible_text;

/// One thing in a file that cannot be, as it is told.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refused {
    /// The file, where it is not the level's own.
    pub file: Option<String>,
    /// The line, from 1.
    pub line: usize,
    /// The column in characters, from 1.
    pub column: usize,
    /// The line itself, as much of it as a screen shows, and under it the mark of the place.
    pub shown: String,
    /// The place in words.
    pub place: String,
    /// What was read there.
    pub read: String,
    /// What was expected.
    pub expected: String,
    /// A right example.
    pub example: String,
    /// How many more there are that are not told; on the last one only.
    pub beyond: usize,
}

impl Refused {
    /// So many are told; a file with more is not one that was meant.
    pub const MOST: usize = 100;
    /// What is read where nothing stands.
    pub const NOTHING: &str = "nothing";

    /// The whole file is not what was meant.
    pub fn whole(read: impl Into<String>, expected: impl Into<String>, example: &str) -> Refused {
        Refused {
            file: None,
            line: 1,
            column: 1,
            shown: String::new(),
            place: "the file".to_owned(),
            read: read.into(),
            expected: expected.into(),
            example: example.to_owned(),
            beyond: 0,
        }
    }

    /// The same, in a set-up file.
    pub fn in_file(mut self, file: &str) -> Refused {
        self.file = Some(file.to_owned());
        self
    }

    /// In the order in which they are told: what the level's file names first, since the rest may follow from it; nothing that
    /// was read twice; a flood cut short and counted.
    pub fn in_order(mut all: Vec<Refused>) -> Vec<Refused> {
        all.sort_by(|a, b| {
            let order = |one: &Refused| (one.file.is_none(), one.line, one.column);
            (order(a), &a.file).cmp(&(order(b), &b.file))
        });
        all.dedup_by(|next, kept| {
            let place = |one: &Refused| (one.line, one.column);
            let same = place(next) == place(kept)
                && next.file == kept.file
                && next.read == kept.read
                && next.read != Refused::NOTHING;
            if same {
                kept.beyond += next.beyond;
            }
            same
        });
        let counted: usize = all
            .iter_mut()
            .map(|one| std::mem::take(&mut one.beyond))
            .sum();
        let beyond = counted + all.len().saturating_sub(Refused::MOST);
        all.truncate(Refused::MOST);
        if let Some(last) = all.last_mut() {
            last.beyond = beyond;
        }
        all
    }
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(
            f,
            "{}:{}: {}",
            self.line,
            self.column,
            visible_text(&self.place)
        )?;
        for line in self.shown.lines() {
            writeln!(f, "    {line}")?;
        }
        writeln!(f, "    read     {}", visible_text(&self.read))?;
        writeln!(f, "    expected {}", visible_text(&self.expected))?;
        write!(f, "    example  {}", visible_text(&self.example))?;
        match self.beyond {
            0 => Ok(()),
            1 => write!(f, "\nand 1 more"),
            more => write!(f, "\nand {more} more"),
        }
    }
}

/// What was read, on one line and no longer than a screen shows.
pub fn shortened(text: &str) -> String {
    /// More letters of what was read are not repeated.
    const LETTERS: usize = 60;
    let mut line = String::new();
    let mut count = 0;
    for word in text.split_whitespace() {
        let space = if line.is_empty() { "" } else { " " };
        for letter in space.chars().chain(word.chars()) {
            if count == LETTERS {
                return line + "...";
            }
            line.push(letter);
            count += 1;
        }
    }
    line
}
