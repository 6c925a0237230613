//! The lines of a text sheet and the parts of a line: its first word, the value after it, and the clauses that other
//! words begin. What the words mean is left to `table` and `reader`.

use std::ops::Range;

/// A stretch of the text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// The bytes that it takes.
    pub range: Range<usize>,
    /// What stands there, without spaces and commas around it.
    pub text: String,
}

impl Part {
    /// What stands at these bytes.
    pub fn of(text: &str, range: Range<usize>) -> Part {
        let raw = &text[range.clone()];
        let trimmed = raw.trim_start();
        let start = range.start + raw.len() - trimmed.len();
        let trimmed = trimmed.trim_end_matches(|c: char| c.is_whitespace() || c == ',');
        Part {
            range: start..start + trimmed.len(),
            text: trimmed.to_owned(),
        }
    }

    /// Its words with their places.
    pub fn words(&self) -> Vec<Part> {
        let mut words = Vec::new();
        let mut from = 0;
        for word in self.text.split_whitespace() {
            // every word of the split stands in the rest of the text
            let at = from + self.text[from..].find(word).unwrap_or(0);
            from = at + word.len();
            let start = self.range.start + at;
            words.push(Part {
                range: start..start + word.len(),
                text: word.to_owned(),
            });
        }
        words
    }

    /// In small letters, one space between words.
    pub fn plain(&self) -> String {
        let words: Vec<&str> = self.text.split_whitespace().collect();
        words.join(" ").to_lowercase()
    }
}

/// A line without its remark; never empty.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// Its first word.
    pub head: Part,
    /// What follows it.
    pub rest: Part,
    /// All of it.
    pub whole: Part,
}

/// A clause of a line: the word that begins it and the value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Clause {
    /// The word, in small letters.
    pub word: &'static str,
    /// Where the word stands.
    pub at: Part,
    /// What follows it.
    pub value: Part,
}

/// The words before a name; what follows them may be in quotation marks.
pub const NAMING: [&str; 5] = ["level", "moulding", "room", "with", "setup"];

/// The lines that say something.
pub fn lines(text: &str) -> Vec<Line> {
    let mut lines = Vec::new();
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        let whole = Part::of(text, start..start + without_remark(line));
        start += line.len();
        if whole.text.is_empty() {
            continue;
        }
        let length = whole
            .text
            .find(char::is_whitespace)
            .unwrap_or(whole.text.len());
        let middle = whole.range.start + length;
        let mut head = Part {
            range: whole.range.start..middle,
            text: whole.text[..length].to_owned(),
        };
        // a heading may be followed by a colon or a comma
        let word = head.text.trim_end_matches([':', ',']);
        if !word.is_empty() {
            head.range.end = head.range.start + word.len();
            head.text = word.to_owned();
        }
        lines.push(Line {
            rest: Part::of(text, middle..whole.range.end),
            head,
            whole,
        });
    }
    lines
}

/// The bytes of a line before `//`, which begins a remark at the line's start or after a space, outside of a quoted name.
fn without_remark(line: &str) -> usize {
    let trimmed = line.trim_start();
    let head = trimmed.split_whitespace().next().unwrap_or_default();
    let after = line.len() - trimmed.len() + head.len();
    let named = NAMING.contains(&head.trim_end_matches(':').to_lowercase().as_str());
    let quoted = match line[after..].trim_start().strip_prefix('"') {
        Some(name) if named => line.len() - name.len() + closing(name),
        _ => 0,
    };
    let mut from = quoted;
    while let Some(at) = line[from..].find("//").map(|at| from + at) {
        if line[..at]
            .chars()
            .next_back()
            .is_none_or(char::is_whitespace)
        {
            return at;
        }
        from = at + 1;
    }
    line.len()
}

/// The bytes of a quoted name with its closing mark.
fn closing(name: &str) -> usize {
    let mut escaped = false;
    for (at, letter) in name.char_indices() {
        match letter {
            '"' if !escaped => return at + 1,
            letter => escaped = letter == '\\' && !escaped,
        }
    }
    name.len()
}

/// What stands before the first of these words, and the clauses that they begin.
pub fn clauses(text: &str, rest: &Part, words: &[&'static str]) -> (Part, Vec<Clause>) {
    let found = |part: Part| {
        let plain = part.text.trim_end_matches([',', ':']).to_lowercase();
        let word = words.iter().find(|word| **word == plain)?;
        Some((*word, part))
    };
    let begins: Vec<(&'static str, Part)> = rest.words().into_iter().filter_map(found).collect();
    let end = |index: usize| {
        begins
            .get(index)
            .map_or(rest.range.end, |(_, part)| part.range.start)
    };
    let value = Part::of(text, rest.range.start..end(0));
    let clauses = begins.iter().enumerate().map(|(index, (word, at))| Clause {
        word,
        at: at.clone(),
        value: Part::of(text, at.range.end..end(index + 1)),
    });
    (value, clauses.collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn first(text: &str) -> (String, String) {
        let line = lines(text).swap_remove(0);
        (line.head.text, line.rest.text)
    }

    #[test]
    fn remarks_are_left_out_and_names_kept() {
        let pair = |head: &str, rest: &str| (head.to_owned(), rest.to_owned());
        assert_eq!(first("// all\n\n  60 // wet"), pair("60", ""));
        assert_eq!(first("room Bed //2"), pair("room", "Bed"));
        assert_eq!(first("Room: http://x"), pair("Room", "http://x"));
        assert_eq!(
            first("room \"a // \\\"b\" // c"),
            pair("room", "\"a // \\\"b\"")
        );
        assert_eq!(first("3/8\" // c"), pair("3/8\"", ""));
        assert!(lines("\n //\n\t\n").is_empty());
    }

    #[test]
    fn words_begin_clauses() {
        let text = "10' 4 3/8,  Corner 92, left outside miter";
        let whole = Part::of(text, 0..text.len());
        let (value, clauses) = clauses(text, &whole, &["corner", "left"]);
        assert_eq!((value.text.as_str(), value.range), ("10' 4 3/8", 0..9));
        let said: Vec<(&str, &str)> = clauses
            .iter()
            .map(|clause| (clause.word, clause.value.text.as_str()))
            .collect();
        assert_eq!(said, [("corner", "92"), ("left", "outside miter")]);
        assert_eq!(&text[clauses[0].value.range.clone()], "92");
    }
}
