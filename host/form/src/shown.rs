//! A line of a file as it is shown to the person who wrote it, with the place marked under it. What is wrong at the place
//! is left to `meaning` and the readers.

use std::ops::Range;

/// More letters of a line are not shown.
const LETTERS: usize = 72;
/// So many letters before the place stay in sight.
const BEFORE: usize = 30;

/// The line on which the marked bytes begin, and under it a line of `^`.
pub fn shown(text: &str, marked: Range<usize>) -> String {
    let start = text[..marked.start].rfind('\n').map_or(0, |at| at + 1);
    let end = text[marked.start..]
        .find('\n')
        .map_or(text.len(), |at| marked.start + at);
    let before = text[start..marked.start].chars().count();
    let marks = text[marked.start..marked.end.clamp(marked.start, end)]
        .trim_end()
        .chars()
        .count()
        .max(1);
    let length = text[start..end].trim_end().chars().count();
    let first = match length <= LETTERS {
        true => 0,
        false => before.saturating_sub(BEFORE),
    };
    let seen = text[start..end].trim_end().chars().skip(first);
    let line: String = seen.take(LETTERS).map(visible).collect();
    let ahead = if first > 0 { "..." } else { "" };
    let behind = if length > first + LETTERS { "..." } else { "" };
    let room = " ".repeat(ahead.len() + before - first);
    let marks = "^".repeat(marks.min(LETTERS.saturating_sub(before - first).max(1)));
    format!("{ahead}{line}{behind}\n{room}{marks}")
}

/// A text in which nothing steers a terminal.
pub fn visible_text(text: &str) -> String {
    text.chars().map(visible).collect()
}

/// One column for every letter, and nothing that steers a terminal.
fn visible(letter: char) -> char {
    match letter {
        '\t' => ' ',
        letter if letter.is_control() => '\u{fffd}',
        '\u{200e}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => '\u{fffd}',
        letter => letter,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_line_is_shown_and_the_place_marked() {
        assert_eq!(shown("a\nroom ü 3/7\nb", 10..13), "room ü 3/7\n       ^^^");
        assert_eq!(shown("\tx\u{1b}[2J", 1..2), " x\u{fffd}[2J\n ^");
        assert_eq!(shown("", 0..0), "\n^");
        assert_eq!(shown("ab", 2..2), "ab\n  ^");
    }

    #[test]
    fn a_long_line_is_shown_where_the_place_is() {
        let text = format!("{}X{}", "a".repeat(100), "b".repeat(100));
        let shown = shown(&text, 100..101);
        let lines: Vec<&str> = shown.lines().collect();
        assert_eq!(lines[0].chars().count(), 3 + LETTERS + 3);
        assert_eq!(lines[0].find('X'), lines[1].find('^'));
    }
}
