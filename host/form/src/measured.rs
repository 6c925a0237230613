//! What was measured on test cuts put into a set-up file: only the words that it changes are changed, everything else stays
//! byte for byte. Reading and writing the file itself is left to the program.

use std::ops::Range;

use serde_json::Value;
use shared_model::{Angle, Length, Unit};

use crate::Refusal;
use crate::number::decimal_text;
use crate::position::Step;
use crate::setup_files::judged;
use crate::text::reader::Reader;
use crate::words::UNITS;

/// What was measured at a saw; what was not stays as the file has it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Measured {
    /// The width of wood that the blade turns to dust, as a tape reads or in decimals.
    pub kerf: Option<String>,
    /// What the saw really does where its scale reads 45, in degrees.
    pub swing_left: Option<f64>,
    /// The same to the right.
    pub swing_right: Option<f64>,
    /// The same for the blade's tilt with its top to the left.
    pub tilt_left: Option<f64>,
    /// The same to the right.
    pub tilt_right: Option<f64>,
}

/// One thing that is set: the steps to it, its words, and the line that says it where the file has none.
struct Setting {
    steps: Vec<Step>,
    words: String,
    line: String,
}

impl Measured {
    fn settings(&self, unit: Unit) -> Result<Vec<Setting>, String> {
        let mut all = Vec::new();
        if let Some(kerf) = &self.kerf {
            let kerf = kerf.trim();
            match Length::read(kerf, unit) {
                Ok(length) if length <= Length::ZERO => {
                    return Err(format!("kerf {kerf}: a kerf is more than 0\n"));
                }
                Ok(length) if length > Length::inches(1) => {
                    return Err(format!("kerf {kerf}: no saw blade is thicker than 1 in\n"));
                }
                Ok(_) => all.push(Setting {
                    steps: vec![Step::Key("saw"), Step::Key("kerf")],
                    words: kerf.to_owned(),
                    line: format!("saw kerf {kerf}"),
                }),
                Err(error) => return Err(format!("kerf {kerf}: {error}\n")),
            }
        }
        for (key, word, degrees) in [
            ("swing_left", "swing left", self.swing_left),
            ("swing_right", "swing right", self.swing_right),
            ("tilt_left", "tilt left", self.tilt_left),
            ("tilt_right", "tilt right", self.tilt_right),
        ] {
            let Some(degrees) = degrees else {
                continue;
            };
            let words = decimal_text(degrees);
            let angle = Angle::read(&words).map(Angle::in_hundredths);
            if !angle.is_ok_and(|angle| (4000..=5000).contains(&angle)) {
                return Err(format!(
                    "true 45 {word} {words}: 40 to 50 degrees are believed; with more, the saw's own scale has to be put right\n"
                ));
            }
            all.push(Setting {
                steps: vec![Step::Key("saw"), Step::Key("true_45"), Step::Key(key)],
                line: format!("true 45 {word} {words}"),
                words,
            });
        }
        Ok(all)
    }
}

/// A set-up file's text with what was measured in it.
///
/// # Errors
/// The text is no set-up file, or what was measured cannot be.
pub fn with_measured(name: &str, text: &str, measured: &Measured) -> Result<String, Refusal> {
    judged(name, text)?;
    let before = Reader::of_setup(text);
    let unit = before.sheet["unit"].as_str();
    let unit = UNITS.iter().find(|(word, _)| Some(*word) == unit);
    let unit = unit.map_or(Unit::Inch, |(_, unit)| *unit);
    let settings = measured.settings(unit).map_err(Refusal::Unreadable)?;
    let mut changes: Vec<(Range<usize>, String)> = Vec::new();
    let mut lines = String::new();
    let line_end = if text.contains("\r\n") { "\r\n" } else { "\n" };
    for setting in &settings {
        match before.places.get(&setting.steps) {
            Some(range) => changes.push((range.clone(), setting.words.clone())),
            None => lines += &format!("{}{line_end}", setting.line),
        }
    }
    if !lines.is_empty() {
        let at = after_saw(&before, text);
        let begun = at > 0 && !text[..at].ends_with('\n');
        let lines = if begun {
            format!("{line_end}{lines}")
        } else {
            lines
        };
        changes.push((at..at, lines));
    }
    changes.sort_by_key(|(range, _)| range.start);
    let mut after = text.to_owned();
    for (range, words) in changes.into_iter().rev() {
        after.replace_range(range, &words);
    }
    let mut meant = before.sheet;
    for setting in &settings {
        set(&mut meant, setting);
    }
    judged(name, &after)?;
    match Reader::of_setup(&after).sheet == meant {
        true => Ok(after),
        false => {
            let sentence = "this file cannot be changed without changing more in it: put the figures in by hand";
            Err(Refusal::Unreadable(format!("{name}: {sentence}\n")))
        }
    }
}

/// The end of the last line that says anything of the saw; the end of the text where none does.
fn after_saw(reader: &Reader, text: &str) -> usize {
    let of_saw = reader
        .places
        .iter()
        .filter(|(steps, _)| steps.first() == Some(&Step::Key("saw")));
    let last = of_saw.map(|(_, range)| range.end).max();
    last.map_or(text.len(), |end| {
        text[end..]
            .find('\n')
            .map_or(text.len(), |more| end + more + 1)
    })
}

fn set(sheet: &mut Value, setting: &Setting) {
    let mut holder = sheet;
    for step in &setting.steps {
        if let Step::Key(key) = step {
            holder = &mut holder[*key];
        }
    }
    *holder = match setting.words.parse::<f64>() {
        Ok(degrees) if setting.steps.len() == 3 => degrees.into(),
        _ => setting.words.as_str().into(),
    };
}

#[cfg(test)]
mod tests {
    use super::*;

    const SAW: &str = "\u{a7} // the van\r\nsaw standing upright, Kerf 1/8,  trim 1/2  // measured?\r\ntrue 45 left 45\r\nmoulding base // tall\r\nhigh 5 1/4 thick 9/16 profile 3/4\r\nstick 192";

    fn saw() -> String {
        SAW.replace("\u{a7} ", "")
    }

    fn put(text: &str, measured: &Measured) -> String {
        with_measured("my-saw.txt", text, measured).expect("a set-up file")
    }

    #[test]
    fn only_what_was_measured_is_changed() {
        let measured = Measured {
            kerf: Some("0.127".to_owned()),
            swing_left: Some(44.8),
            tilt_right: Some(45.1),
            ..Measured::default()
        };
        let expected = saw()
            .replace("Kerf 1/8", "Kerf 0.127")
            .replace("left 45\r\n", "left 44.8\r\ntrue 45 tilt right 45.1\r\n");
        assert_eq!(put(&saw(), &measured), expected);
        assert_eq!(put(&expected, &measured), expected);
        assert_eq!(put(&saw(), &Measured::default()), saw());
        let bare = "cope right";
        assert_eq!(
            put(bare, &measured),
            "cope right\nsaw kerf 0.127\ntrue 45 swing left 44.8\ntrue 45 tilt right 45.1\n"
        );
    }

    #[test]
    fn what_cannot_be_is_refused() {
        let refused = |text: &str, kerf: &str, swing_left| {
            let measured = Measured {
                kerf: Some(kerf.to_owned()),
                swing_left,
                ..Measured::default()
            };
            let refusal = with_measured("my-saw.txt", text, &measured);
            refusal
                .expect_err("this cannot be")
                .told("nothing is written")
        };
        for (kerf, swing_left, sentence) in [
            (
                "1/7",
                None,
                "kerf 1/7: the lower number of a fraction must be",
            ),
            (
                "1 1/2",
                None,
                "kerf 1 1/2: no saw blade is thicker than 1 in",
            ),
            ("0", None, "kerf 0: a kerf is more than 0"),
            ("1/8 wide 3", None, "kerf 1/8 wide 3: "),
            (
                "1/8",
                Some(50.01),
                "true 45 swing left 50.01: 40 to 50 degrees are believed",
            ),
            ("1/8", Some(f64::NAN), "true 45 swing left NaN: 40 to 50"),
        ] {
            let told = refused(&saw(), kerf, swing_left);
            assert!(told.starts_with(sentence), "{told}");
        }
        let level = refused("level x\nroom Den\nopen\n60\n", "1/8", None);
        assert!(level.starts_with("my-saw.txt:1:1: line 1"), "{level}");
        let bad = refused(&saw().replace("trim 1/2", "trim 1/7"), "1/8", None);
        assert!(
            bad.contains("read     1/7")
                && bad.ends_with("nothing is written: put 1 thing right first\n"),
            "{bad}"
        );
        assert!(refused("{ \"saw\": {} }", "1/8", None).contains("looks like JSON"));
    }
}
