//! Stock and a saw that can be but are hardly meant: a board thicker than any baseboard, a stick too short to be bought, a
//! blade as wide as a finger. What may be meant is said, nothing is changed; whether they can be at all is left to the
//! host's reading.

use shared_model::{Angle, Length, Mark};

use crate::finding::Finding;
use crate::walk::{HoldRule, MouldingStock, Saw, Setup};

/// No baseboard is thicker, nor its blocks and plinths: common practice, no source.
const THICKEST: Length = Length::inches(2);
/// Moulding is not sold in shorter sticks: common practice, no source.
const SHORTEST: Length = Length::inches(36);

/// No miter saw takes a taller board on edge, nor a wider one lying flat: common practice, no source.
const TALLEST: Length = Length::inches(10);
const WIDEST: Length = Length::inches(20);
/// A miter saw's blade takes about 1/8 in, never so much and never so little: common practice, no source.
const KERFS: [Length; 2] = [Length::sixteenths(1), Length::sixteenths(4)];
/// So much is not cut off a stick's end for being a factory end: common practice, no source.
const MOST_TRIM: Length = Length::inches(6);

/// What is doubted of a saw and its stock, whatever they are used for.
pub fn setup_findings(setup: &Setup) -> Vec<Finding> {
    let stock = setup.mouldings.iter();
    let stock = stock.flat_map(|moulding| doubts(moulding, setup.mark));
    let all = saw_doubts(&setup.saw, setup.mark).into_iter().chain(stock);
    all.map(Finding::of_level).collect()
}

/// A sentence for everything about a saw that is not believed; lengths are shown to this mark.
pub fn saw_doubts(saw: &Saw, mark: Mark) -> Vec<String> {
    let told = |length| tape(length, mark);
    let mut all = Vec::new();
    for (takes, most, how) in [
        (saw.standing_height, TALLEST, "on edge"),
        (saw.flat_width, WIDEST, "lying flat"),
    ] {
        if takes > most {
            all.push(format!(
                "the saw is said to take a board of {} {how}, and no miter saw takes more than {}. Is a space or a point missing?",
                told(takes),
                told(most)
            ));
        }
    }
    if saw.kerf < KERFS[0] || saw.kerf > KERFS[1] {
        all.push(format!(
            "the kerf is said to be {}: a miter saw's blade takes about {}.",
            told(saw.kerf),
            told(Length::sixteenths(2))
        ));
    }
    if saw.end_trim > MOST_TRIM {
        all.push(format!(
            "{} is said to be cut off every stick's end before its first piece. Is that meant?",
            told(saw.end_trim)
        ));
    }
    let usual = HoldRule::USUAL;
    if saw.hold.least_hold < usual.least_hold || saw.hold.short_piece < usual.short_piece {
        all.push(format!(
            "pieces under {} are to come off with as little as {} of stick to hold: common practice is {} and {}, and the saw's manual may ask for more.",
            told(saw.hold.short_piece),
            told(saw.hold.least_hold),
            told(usual.short_piece),
            told(usual.least_hold)
        ));
    }
    let ways = [
        saw.swing_left,
        saw.swing_right,
        saw.tilt_left,
        saw.tilt_right,
    ];
    if ways.iter().all(|way| *way == Angle::ZERO) {
        all.push(
            "the saw is said to swing and tilt nowhere, so it can cut square ends only.".to_owned(),
        );
    }
    all
}

/// A sentence for everything about a moulding that is not believed; lengths are shown to this mark.
pub fn doubts(moulding: &MouldingStock, mark: Mark) -> Vec<String> {
    let name = &moulding.name;
    let told = |length| tape(length, mark);
    let mut all = Vec::new();
    if moulding.thickness > THICKEST || moulding.thickness > moulding.height {
        let meant = slash_missing(moulding.thickness);
        let meant = meant.map_or(
            "Is it what the tape reads from back to face?".to_owned(),
            |meant| format!("Is a slash missing: {meant}?"),
        );
        let thick = told(moulding.thickness);
        all.push(format!("{name} is {thick} thick. {meant}"));
    }
    let short = moulding.sticks.iter().map(|kind| kind.length);
    all.extend(short.filter(|length| *length < SHORTEST).map(|length| {
        let feet = length.units() / Length::UNITS_PER_INCH;
        let whole = Length::inches(feet) == length && feet > 3;
        let meant = match whole {
            true => format!("Are feet meant: {feet}' 0?"),
            false => "Is it an offcut?".to_owned(),
        };
        format!("a stick of {name} is only {} long. {meant}", told(length))
    }));
    all
}

/// A length with its unit, to this mark.
fn tape(length: Length, mark: Mark) -> String {
    let reading = length.on_tape(mark);
    let unit = if reading.metric { "mm" } else { "in" };
    format!("{reading} {unit}")
}

/// The fraction that a whole number of inches is when its slash is missing: 12 is 1/2, 916 is 9/16.
fn slash_missing(length: Length) -> Option<String> {
    let inches = length.units() / Length::UNITS_PER_INCH;
    if Length::inches(inches) != length {
        return None;
    }
    [(10, 2), (10, 4), (10, 8), (100, 16), (100, 32)]
        .into_iter()
        .find_map(|(tens, lower)| {
            let upper = inches / tens;
            let right = inches % tens == lower && upper % 2 == 1 && upper < lower;
            right.then(|| format!("{upper}/{lower}"))
        })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::walk::StickKind;

    fn told(thickness: Length, stick: Length) -> Vec<String> {
        let moulding = MouldingStock {
            name: "base".to_owned(),
            height: Length::sixteenths(84),
            thickness,
            profile: Length::ZERO,
            sticks: vec![StickKind {
                length: stick,
                price: None,
                count: None,
            }],
            offcuts: Vec::new(),
        };
        doubts(&moulding, Mark::Sixteenth)
    }

    #[test]
    fn what_may_be_meant_is_said() {
        let (thin, long) = (Length::sixteenths(9), Length::inches(192));
        for (thickness, stick, sentence) in [
            (
                Length::inches(12),
                long,
                "base is 12 in thick. Is a slash missing: 1/2?",
            ),
            (
                Length::inches(916),
                long,
                "base is 916 in thick. Is a slash missing: 9/16?",
            ),
            (
                Length::inches(3),
                long,
                "base is 3 in thick. Is it what the tape reads from back to face?",
            ),
            (
                thin,
                Length::inches(12),
                "a stick of base is only 12 in long. Are feet meant: 12' 0?",
            ),
            (
                thin,
                Length::sixteenths(500),
                "a stick of base is only 31 1/4 in long. Is it an offcut?",
            ),
        ] {
            assert_eq!(told(thickness, stick), [sentence]);
        }
        assert!(told(thin, Length::inches(36)).is_empty());
        assert!(told(Length::inches(2), long).is_empty());
    }

    #[test]
    fn a_saw_that_is_hardly_meant_is_told_and_one_that_is_not() {
        let usual = Saw::default();
        assert_eq!(saw_doubts(&usual, Mark::Sixteenth), [""; 0]);
        let odd = Saw {
            standing_height: Length::inches(65),
            flat_width: Length::inches(12),
            kerf: Length::ZERO,
            end_trim: Length::inches(12),
            swing_left: Angle::ZERO,
            swing_right: Angle::ZERO,
            tilt_left: Angle::ZERO,
            tilt_right: Angle::ZERO,
            hold: HoldRule {
                least_hold: Length::inches(6),
                ..HoldRule::USUAL
            },
            ..usual
        };
        assert_eq!(
            saw_doubts(&odd, Mark::Sixteenth),
            [
                "the saw is said to take a board of 65 in on edge, and no miter saw takes more than 10 in. Is a space or a point missing?",
                "the kerf is said to be 0 in: a miter saw's blade takes about 1/8 in.",
                "12 in is said to be cut off every stick's end before its first piece. Is that meant?",
                "pieces under 8 in are to come off with as little as 6 in of stick to hold: common practice is 8 in and 12 in, and the saw's manual may ask for more.",
                "the saw is said to swing and tilt nowhere, so it can cut square ends only.",
            ]
        );
    }
}
