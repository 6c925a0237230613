//! What stands at the top of a level: its name, how the carpenter works, the saw and the stock, word by word. A text sheet
//! writes the words in a line, a table writes them in the cells of a row.

use crate::number::decimal_text;
use crate::out::Form;
use crate::setup::{MouldingForm, SawForm};
use crate::walk::{AccuracyForm, ScarfForm, WalkForm};

/// The words of each line; none for an empty line.
pub fn head(form: &Form) -> Vec<Vec<String>> {
    let mut head = Head(Vec::new());
    match form {
        Form::Walk(walk) => {
            head.top(
                &walk.level,
                &walk.unit,
                walk.mark.as_deref(),
                walk.old_house,
            );
            head.way(walk);
            head.saw(&walk.saw);
            head.mouldings(&walk.mouldings);
        }
        Form::CutList(list) => {
            head.line(&["cut", "list"]);
            head.top(
                &list.level,
                &list.unit,
                list.mark.as_deref(),
                list.old_house,
            );
            head.saw(&list.saw);
            head.mouldings(&list.mouldings);
        }
    }
    head.0
}

struct Head(Vec<Vec<String>>);

impl Head {
    fn line(&mut self, words: &[&str]) {
        self.0
            .push(words.iter().map(|word| (*word).to_owned()).collect());
    }

    fn top(&mut self, level: &str, unit: &str, mark: Option<&str>, old_house: bool) {
        self.line(&["level", level]);
        self.line(&["unit", unit]);
        if let Some(mark) = mark {
            self.line(&["tape", mark]);
        }
        if old_house {
            self.line(&["old", "house"]);
        }
    }

    fn way(&mut self, walk: &WalkForm) {
        self.line(&["walk", &walk.direction]);
        let mut words = vec!["cope", &walk.cope];
        words.extend((walk.cope_least.iter()).flat_map(|least| ["least", &least.0]));
        self.line(&words);
        if let Some(gap) = &walk.casing_gap {
            self.line(&["casing", "gap", &gap.0]);
        }
        self.line(&["miter", "over", &decimal_text(walk.cope_up_to)]);
        for spring in &walk.spring {
            self.line(&["spring", &spring.add.0, "over", &spring.over.0]);
        }
        let stud = walk.scarf.stud.as_ref();
        let degrees = decimal_text(walk.scarf.degrees);
        let mut words = vec!["scarf", &degrees, "stud"];
        words.push(stud.map_or("none", |stud| &stud.0));
        if walk.scarf.from != ScarfForm::default().from {
            words.extend(["from", &walk.scarf.from]);
        }
        words.extend(["least", &walk.scarf.least.0]);
        self.line(&words);
        let accuracy = &walk.accuracy;
        if *accuracy != AccuracyForm::default() {
            let (corners, gauge) = (decimal_text(accuracy.corners), decimal_text(accuracy.gauge));
            let mut words = vec!["accuracy"];
            words.extend(accuracy.with.as_deref());
            words.extend(["corners", &corners, "gauge", &gauge]);
            self.line(&words);
        }
    }

    fn saw(&mut self, saw: &SawForm) {
        self.line(&["saw", &saw.posture]);
        let slides = if saw.slides { "yes" } else { "no" };
        self.line(&[
            "saw",
            "tall",
            &saw.standing_height.0,
            "wide",
            &saw.flat_width.0,
            "kerf",
            &saw.kerf.0,
            "trim",
            &saw.end_trim.0,
            "stock",
            &saw.stock_side,
            "slides",
            slides,
        ]);
        for (word, left, right) in [
            ("swing", saw.swing_left, saw.swing_right),
            ("tilt", saw.tilt_left, saw.tilt_right),
        ] {
            let (left, right) = (decimal_text(left), decimal_text(right));
            self.line(&[word, "left", &left, "right", &right]);
        }
        self.back_cut(saw);
        self.hold(saw);
        let measured = saw.true_45;
        for (word, left, right) in [
            ("swing", measured.swing_left, measured.swing_right),
            ("tilt", measured.tilt_left, measured.tilt_right),
        ] {
            if (left, right) != (45.0, 45.0) {
                let (left, right) = (decimal_text(left), decimal_text(right));
                self.line(&["true", "45", word, "left", &left, "right", &right]);
            }
        }
    }

    fn back_cut(&mut self, saw: &SawForm) {
        if saw.back_cut_up_to != SawForm::default().back_cut_up_to {
            let degrees = decimal_text(saw.back_cut_up_to);
            self.line(&["back", "cut", "up", "to", &degrees]);
        }
    }

    fn hold(&mut self, saw: &SawForm) {
        let usual = SawForm::default();
        if (&saw.least_hold, &saw.short_piece) != (&usual.least_hold, &usual.short_piece) {
            self.line(&["hold", &saw.least_hold.0, "under", &saw.short_piece.0]);
        }
    }

    fn mouldings(&mut self, mouldings: &[MouldingForm]) {
        for moulding in mouldings {
            self.line(&[]);
            self.line(&["moulding", &moulding.name]);
            self.line(&[
                "high",
                &moulding.height.0,
                "thick",
                &moulding.thickness.0,
                "profile",
                &moulding.profile.0,
            ]);
            for stick in &moulding.sticks {
                let price = stick.price.map(decimal_text);
                let count = stick.count.map(|count| count.to_string());
                let mut words = vec!["stick", &stick.length.0];
                words.extend(price.iter().flat_map(|price| ["at", price]));
                words.extend(count.iter().flat_map(|count| ["have", count]));
                self.line(&words);
            }
            for offcut in &moulding.offcuts {
                self.line(&["offcut", &offcut.0]);
            }
        }
    }
}
