//! Where in a file a value stands, so that what is wrong with its meaning can be told by line and column. The text has
//! been found to be JSON before; judging values is left to `meaning`.

use std::ops::Range;

/// One step from a value to a value inside it.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Step {
    /// To the value of this key of an object.
    Key(&'static str),
    /// To this element of a list, from 0.
    Index(usize),
}

/// Where a way into the text led.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Found {
    /// To a value, which takes these bytes.
    Value(Range<usize>),
    /// Not to the end: a key is absent in the innermost value that is there, which takes these bytes.
    Absent(Range<usize>),
}

impl Found {
    /// The first byte of the value, or of the innermost one that is there.
    pub fn start(&self) -> usize {
        match self {
            Found::Value(range) | Found::Absent(range) => range.start,
        }
    }
}

/// Follows the steps into a text that is JSON.
pub fn find(text: &str, steps: &[Step]) -> Found {
    let mut scan = Scan {
        bytes: text.as_bytes(),
        at: 0,
    };
    scan.space();
    for step in steps {
        let start = scan.at;
        let inside = match step {
            Step::Key(key) => scan.enter_key(key),
            Step::Index(index) => scan.enter_index(*index),
        };
        if !inside {
            scan.at = start;
            scan.value();
            return Found::Absent(start..scan.at);
        }
    }
    let start = scan.at;
    scan.value();
    Found::Value(start..scan.at)
}

/// Line and column of a byte, both from 1; the column counts characters.
pub fn line_and_column(text: &str, byte: usize) -> (usize, usize) {
    let before = &text[..byte];
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().unwrap_or(before).chars().count() + 1;
    (line, column)
}

/// The byte at a line and a byte of that line, both from 1, as the JSON reader counts; the nearest that begins a character.
pub fn byte_at(text: &str, line: usize, column: usize) -> usize {
    let start: usize = text
        .split_inclusive('\n')
        .take(line.saturating_sub(1))
        .map(str::len)
        .sum();
    let mut at = (start + column.saturating_sub(1)).min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

struct Scan<'a> {
    bytes: &'a [u8],
    at: usize,
}

impl Scan<'_> {
    fn peek(&self) -> u8 {
        self.bytes.get(self.at).copied().unwrap_or(0)
    }

    fn space(&mut self) {
        while matches!(self.peek(), b' ' | b'\t' | b'\n' | b'\r') {
            self.at += 1;
        }
    }

    fn string(&mut self) {
        self.at += 1;
        while !matches!(self.peek(), b'"' | 0) {
            self.at += if self.peek() == b'\\' { 2 } else { 1 };
        }
        self.at = (self.at + 1).min(self.bytes.len());
    }

    /// Goes past one value.
    fn value(&mut self) {
        let mut depth = 0usize;
        loop {
            match self.peek() {
                b'"' => self.string(),
                b'{' | b'[' => {
                    depth += 1;
                    self.at += 1;
                }
                b'}' | b']' => {
                    depth = depth.saturating_sub(1);
                    self.at += 1;
                }
                0 => return,
                b',' | b':' | b' ' | b'\t' | b'\n' | b'\r' => self.at += 1,
                _ => {
                    let ends = |c: u8| b",:]} \t\n\r".contains(&c) || c == 0;
                    while !ends(self.peek()) {
                        self.at += 1;
                    }
                }
            }
            if depth == 0 {
                return;
            }
        }
    }

    fn enter_key(&mut self, key: &str) -> bool {
        if self.peek() != b'{' {
            return false;
        }
        loop {
            self.at += 1;
            self.space();
            if self.peek() != b'"' {
                return false;
            }
            let start = self.at;
            self.string();
            let found = &self.bytes[start + 1..self.at - 1] == key.as_bytes();
            self.space();
            self.at += 1;
            self.space();
            if found {
                return true;
            }
            self.value();
            self.space();
        }
    }

    fn enter_index(&mut self, index: usize) -> bool {
        if self.peek() != b'[' {
            return false;
        }
        for _ in 0..index {
            self.at += 1;
            self.space();
            self.value();
            self.space();
            if self.peek() != b',' {
                return false;
            }
        }
        self.at += 1;
        self.space();
        self.peek() != b']'
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "{ \"rooms\": [\n  { \"name\": \"A \\\"b\\\", [c]\", \"outline\": [ {\"wall\": 1.5}, {\"wall\":\"3'\"} ] }\n] }";

    fn text_at(steps: &[Step]) -> Option<&'static str> {
        match find(TEXT, steps) {
            Found::Value(range) => Some(&TEXT[range]),
            Found::Absent(_) => None,
        }
    }

    #[test]
    fn finds_values_past_strings_that_look_like_brackets() {
        let room = [Step::Key("rooms"), Step::Index(0)];
        let item = |index| {
            let more = [Step::Key("outline"), Step::Index(index), Step::Key("wall")];
            [room.as_slice(), more.as_slice()].concat()
        };
        assert_eq!(text_at(&item(0)), Some("1.5"));
        assert_eq!(text_at(&item(1)), Some("\"3'\""));
        assert_eq!(text_at(&item(2)), None);
        assert_eq!(text_at(&[]), Some(TEXT));
        assert_eq!(text_at(&[Step::Key("level")]), None);
    }

    #[test]
    fn what_is_absent_is_placed_at_what_should_hold_it() {
        let steps = [
            Step::Key("rooms"),
            Step::Index(0),
            Step::Key("outline"),
            Step::Index(1),
            Step::Key("gauge"),
        ];
        let found = find(TEXT, &steps);
        assert_eq!(&TEXT[found.start()..found.start() + 7], "{\"wall\"");
        assert_eq!(line_and_column(TEXT, found.start()), (2, 57));
        assert!(matches!(found, Found::Absent(_)));
    }

    #[test]
    fn columns_count_characters() {
        assert_eq!(line_and_column("a\nü¾b", 6), (2, 3));
    }
}
