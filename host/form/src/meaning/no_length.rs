//! Why a text is no length, in words that say what may have been meant: a letter for a digit, feet without their mark, a
//! space left out, a date. Reading a length is left to the model.

use shared_model::{Length, ReadLengthError, ReadLengthProblem, Unit};

/// What was expected in place of a text, and a right example where the text itself gives one.
pub struct Why {
    /// What was expected.
    pub expected: String,
    /// The text as it may have been meant.
    pub example: Option<String>,
}

/// The first letters of the months, as spreadsheets of several languages write them.
const MONTHS: [&str; 17] = [
    "jan", "feb", "mar", "mrz", "m\u{e4}r", "apr", "may", "mai", "jun", "jul", "aug", "sep", "oct",
    "okt", "nov", "dec", "dez",
];

/// Why this is no length.
pub fn why(written: &str, error: &ReadLengthError) -> Why {
    let said = |more: String, example: Option<String>| Why {
        expected: format!("a length: {more}"),
        example,
    };
    if is_date(written) {
        let date = "this looks like a date, which a spreadsheet makes of a fraction: make the cells text, then type it again";
        return said(date.to_owned(), None);
    }
    match error.problem {
        ReadLengthProblem::Trailing => {
            if let Some(feet) = with_foot_mark(written, error.at) {
                return said(format!("feet need a mark: {feet}"), Some(feet));
            }
        }
        ReadLengthProblem::NotProper => {
            if let Some(apart) = with_space(written, error.at) {
                let example = format!("{}{apart}", &written[..error.at]);
                return said(format!("a space is missing: {apart}"), Some(example));
            }
        }
        ReadLengthProblem::FeetWithoutInches if error.at == written.len() => {
            return said(error.to_string(), Some(format!("{} 0", written.trim())));
        }
        _ => {}
    }
    said(
        letter(written, error).unwrap_or_else(|| error.to_string()),
        None,
    )
}

/// A letter that looks like a digit is named.
fn letter(written: &str, error: &ReadLengthError) -> Option<String> {
    let (before, rest) = written.split_at_checked(error.at)?;
    let letter = rest.chars().next()?;
    let meant = match letter {
        'O' | 'o' => '0',
        'l' | 'I' => '1',
        'S' => '5',
        'B' => '8',
        _ => return None,
    };
    let after_digit = before.ends_with(|c: char| c.is_ascii_digit());
    after_digit.then(|| format!("the letter {letter} stands here where the digit {meant} is meant"))
}

/// Two numbers of which the first can be feet and the second their inches.
fn with_foot_mark(written: &str, at: usize) -> Option<String> {
    let (before, rest) = written.split_at_checked(at)?;
    let feet = before.trim();
    let digits = !feet.is_empty() && feet.len() <= 2 && feet.bytes().all(|b| b.is_ascii_digit());
    let meant = format!("{feet}' {}", rest.trim());
    (digits && Length::read(&meant, Unit::Inch).is_ok()).then_some(meant)
}

/// A fraction such as 73/8, which begins at this byte, with the space that makes it 7 3/8.
fn with_space(written: &str, at: usize) -> Option<String> {
    let rest = written.get(at..)?;
    let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
    (1..digits).rev().find_map(|place| {
        let (whole, fraction) = rest.split_at(place);
        let meant = format!("{whole} {fraction}");
        // on a tape the upper number is odd
        let odd = rest[place..digits].ends_with(['1', '3', '5', '7', '9']);
        let all = format!("{}{meant}", &written[..at]);
        let right = odd && !fraction.starts_with('0') && Length::read(&all, Unit::Inch).is_ok();
        right.then_some(meant)
    })
}

/// Such as `3-Aug`, `08.Mrz`, `Aug-05`, `08.03.2026`.
fn is_date(written: &str) -> bool {
    let parts: Vec<&str> = written.trim().split(['-', '.', '/', ' ']).collect();
    let digits = |part: &&str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
    let month = |part: &&str| {
        let lower = part.to_lowercase();
        part.chars().all(char::is_alphabetic) && MONTHS.iter().any(|month| lower.starts_with(month))
    };
    let parts: Vec<&str> = parts.into_iter().filter(|part| !part.is_empty()).collect();
    let numbers = parts.iter().filter(|part| digits(part)).count();
    let months = parts.iter().filter(|part| month(part)).count();
    let year = |part: &&str| digits(part) && part.len() == 4;
    match (parts.len(), months, numbers) {
        (2, 1, 1) | (3, 1, 2) => true,
        (3, 0, 3) => !written.trim().contains(' ') && (year(&parts[0]) || year(&parts[2])),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(written: &str) -> (String, Option<String>) {
        let error = Length::read(written, Unit::Inch).expect_err(written);
        let why = why(written, &error);
        (why.expected, why.example)
    }

    #[test]
    fn what_may_have_been_meant_is_said() {
        for (written, part, example) in [
            ("11 2 1/2", "feet need a mark: 11' 2 1/2", Some("11' 2 1/2")),
            ("5 0", "feet need a mark: 5' 0", Some("5' 0")),
            ("9' 73/8", "a space is missing: 7 3/8", Some("9' 7 3/8")),
            ("73/8", "a space is missing: 7 3/8", Some("7 3/8")),
            ("12'", "after feet the inches must follow", Some("12' 0")),
            ("12O", "the letter O stands here where the digit 0", None),
            ("124 92", "there is more here than one length", None),
            ("8/8", "must be smaller than the lower one", None),
        ] {
            let (expected, found) = of(written);
            assert!(expected.contains(part), "{written}: {expected}");
            assert_eq!(found.as_deref(), example, "{written}");
        }
        for date in [
            "3-Aug",
            "08.Mrz",
            "5-Aug",
            "Aug-05",
            "08.03.2026",
            "2026-08-03",
            "5. M\u{e4}r",
        ] {
            assert!(of(date).0.contains("looks like a date"), "{date}");
        }
        for text in ["24 3 8", "1.2.3", "12 miles"] {
            assert!(!is_date(text), "{text}");
        }
    }
}
