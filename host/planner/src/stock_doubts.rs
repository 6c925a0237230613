//! Stock that can be but is hardly meant: a board thicker than any baseboard, a stick too short to be bought. What may be
//! meant is said, nothing is changed; whether stock can be at all is left to the host's reading.

use shared_model::{Length, Mark};

use crate::walk::MouldingStock;

/// No baseboard is thicker, nor its blocks and plinths: common practice, no source.
const THICKEST: Length = Length::inches(2);
/// Moulding is not sold in shorter sticks: common practice, no source.
const SHORTEST: Length = Length::inches(36);

/// A sentence for everything about a moulding that is not believed; lengths are shown to this mark.
pub fn doubts(moulding: &MouldingStock, mark: Mark) -> Vec<String> {
    let name = &moulding.name;
    let told = |length: Length| {
        let reading = length.on_tape(mark);
        let unit = if reading.metric { "mm" } else { "in" };
        format!("{reading} {unit}")
    };
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
}
