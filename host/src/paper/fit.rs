//! Text within a width: broken into lines, cut short, padded. A width counts characters. What is written is left to the
//! callers.

/// The columns of a line.
pub const COLUMNS: usize = 80;

/// Words in lines of at most `width`; a word that is longer is broken.
pub fn wrapped(text: &str, width: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let mut rest: Vec<char> = word.chars().collect();
        while !rest.is_empty() {
            let line = &lines[lines.len() - 1];
            let used = match line.chars().count() {
                0 => 0,
                used => used + 1,
            };
            if used > 0 && used + rest.len() > width {
                lines.push(String::new());
                continue;
            }
            let last = lines.len() - 1;
            if used > 0 {
                lines[last].push(' ');
            }
            lines[last].extend(rest.drain(..rest.len().min(width)));
        }
    }
    lines
}

/// The text, or a little of its beginning and more of its end with a sign that more was between: rooms whose names begin
/// alike are mostly told apart by how they end.
pub fn short(text: &str, width: usize, ascii: bool) -> String {
    let count = text.chars().count();
    if count <= width {
        return text.to_owned();
    }
    let more = if ascii { "~" } else { "\u{2026}" };
    let kept = width.saturating_sub(1);
    let (first, last) = (kept / 3, kept - kept / 3);
    let beginning: String = text.chars().take(first).collect();
    let end: String = text.chars().skip(count - last).collect();
    format!("{}{more}{}", beginning.trim_end(), end.trim_start())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_words_are_broken_and_long_texts_cut_short() {
        assert_eq!(wrapped("one two three", 8), ["one two", "three"]);
        assert_eq!(wrapped("a abcdefgh ij", 5), ["a", "abcde", "fgh", "ij"]);
        assert_eq!(wrapped("", 5), [""]);
        assert_eq!(short("Main bedroom", 12, false), "Main bedroom");
        assert_eq!(short("Main bedroom", 6, false), "M\u{2026}room");
        assert_eq!(short("Main bedroom", 6, true), "M~room");
        assert_eq!(short("Main bedroom", 1, true), "~");
        let closets = ["first", "second"].map(|which| {
            let name = format!("Closet of the long bedroom, {which}");
            short(&name, 23, false)
        });
        assert_eq!(closets[0], "Closet\u{2026}bedroom, first");
        assert_eq!(closets[1], "Closet\u{2026}bedroom, second");
    }
}
