//! The slips of tape work: which readings somebody may have meant who wrote a given one, and how likely each is. Whether
//! one of them closes the room is left to `suspects`.
//!
//! How often each slip is made, and which digits are taken for each other, are settings (common practice, no source): they
//! only put readings in order that the room's geometry cannot tell apart. The chance of a reading meant is the rate of the
//! slip times the share of it that leads from the reading meant to the one written, so that a slip with few ways to go
//! wrong (two digits swapped) counts for more than one with many (a digit misread). Walls are written in inches three
//! times of four, else in feet and inches, and a slip is looked for in both.

use shared_model::{Length, Unit};

/// A slip with a single length.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Slip {
    /// Two digits next to each other swapped.
    Swapped,
    /// Feet and inches swapped.
    FeetAndInches,
    /// One digit taken for another.
    Misread,
    /// A foot too few or too many.
    Foot,
    /// An inch too few or too many: the wrong side of the mark, or a tape held at its 1.
    Inch,
    /// One fraction for another, or none written.
    Fraction,
    /// Feet for inches, or feet and inches run together.
    FeetAsInches,
    /// Strong for light.
    Strong,
    /// A metre, ten centimetres or a centimetre too few or too many.
    Metric,
    /// Centimetres for millimetres.
    TenTimes,
    /// Millimetres written bare among inches, or inches among millimetres.
    OtherUnit,
}

impl Slip {
    /// How often it is made, against the others.
    pub const fn rate(self) -> f64 {
        match self {
            Slip::Swapped | Slip::Misread => 2.0,
            Slip::Foot | Slip::Inch | Slip::Fraction | Slip::Metric => 2.0,
            Slip::FeetAndInches | Slip::FeetAsInches | Slip::Strong => 1.0,
            Slip::TenTimes | Slip::OtherUnit => 1.0,
        }
    }

    /// What happened, for one who reads it beside both readings.
    pub fn words(self, written: Length, meant: Length) -> &'static str {
        let lost = meant > written;
        match self {
            Slip::Swapped => "digits swapped",
            Slip::FeetAndInches => "feet and inches swapped",
            Slip::Misread => "a digit misread",
            Slip::Foot if lost => "a foot lost",
            Slip::Foot => "a foot too many",
            Slip::Inch if lost => "an inch lost",
            Slip::Inch => "an inch too many",
            Slip::Fraction => "the fraction misread",
            Slip::FeetAsInches => "feet and inches mixed up",
            Slip::Strong => "strong for light",
            Slip::Metric => match (meant - written).abs() {
                step if step == Length::millimetres(1000) && lost => "a metre lost",
                step if step == Length::millimetres(1000) => "a metre too many",
                step if step == Length::millimetres(100) && lost => "ten centimetres lost",
                step if step == Length::millimetres(100) => "ten centimetres too many",
                _ if lost => "a centimetre lost",
                _ => "a centimetre too many",
            },
            Slip::TenTimes => "centimetres for millimetres",
            Slip::OtherUnit if lost => "inches not said",
            Slip::OtherUnit => "mm not said",
        }
    }
}

/// A reading that may have been meant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Meant {
    /// The reading.
    pub length: Length,
    /// The likeliest slip that leads from it to what is written.
    pub slip: Slip,
    /// Rate times share, over all slips that lead there.
    pub weight: f64,
}

/// Every reading that one slip turns into the written one, shortest first.
pub fn meant(written: Length, unit: Unit) -> Vec<Meant> {
    let mut found = Found {
        written,
        list: Vec::new(),
    };
    match unit {
        Unit::Inch => inches(&mut found),
        _ => millimetres(&mut found),
    }
    found.merged()
}

struct Found {
    written: Length,
    list: Vec<Meant>,
}

impl Found {
    fn add(&mut self, slip: Slip, length: Length, share: f64) {
        if length > Length::ZERO && length <= Length::LONGEST && length != self.written {
            self.list.push(Meant {
                length,
                slip,
                weight: slip.rate() * share,
            });
        }
    }

    /// One entry for each reading.
    fn merged(mut self) -> Vec<Meant> {
        self.list.sort_by(|a, b| {
            let weight = b.weight.total_cmp(&a.weight);
            a.length
                .cmp(&b.length)
                .then(weight)
                .then(a.slip.cmp(&b.slip))
        });
        let mut merged: Vec<Meant> = Vec::new();
        for entry in self.list {
            match merged.last_mut() {
                Some(last) if last.length == entry.length => last.weight += entry.weight,
                _ => merged.push(entry),
            }
        }
        merged
    }
}

/// The share of lengths that are written in inches alone.
const INCHES_ALONE: f64 = 0.75;
/// Inches in a foot.
const FOOT: u32 = 12;

fn inches(found: &mut Found) {
    let units = found.written.units();
    let whole = (units / Length::UNITS_PER_INCH) as u32;
    let rest = Length::from_units(units % Length::UNITS_PER_INCH);
    let with_rest = |whole: u32| Length::inches(whole.min(10_000) as i32) + rest;
    digits(found, whole, INCHES_ALONE, with_rest);
    let (feet, over) = (whole / FOOT, whole % FOOT);
    if feet > 0 {
        let share = 1.0 - INCHES_ALONE;
        digits(found, feet, share / 2.0, |feet| {
            with_rest(feet.saturating_mul(FOOT) + over)
        });
        for (other, chance) in misread(over) {
            if other < FOOT {
                found.add(
                    Slip::Misread,
                    with_rest(feet * FOOT + other),
                    chance * share / 2.0,
                );
            }
        }
        if feet < FOOT && over > 0 {
            found.add(Slip::FeetAndInches, with_rest(over * FOOT + feet), share);
        }
        // 10' 4 where 104 was meant
        let together = match over {
            0..10 => feet * 10 + over,
            _ => feet * 100 + over,
        };
        found.add(Slip::FeetAsInches, with_rest(together), 0.3 * share);
    }
    for sign in [1, -1] {
        let foot = Length::inches(sign * FOOT as i32);
        found.add(Slip::Foot, found.written + foot, 0.5);
        found.add(Slip::Inch, found.written + Length::inches(sign), 0.5);
        found.add(Slip::Strong, found.written + Length::sixteenths(sign), 0.5);
    }
    // 12 where 12' was meant, 104 where 10' 4 was
    if (1..=40).contains(&whole) {
        found.add(Slip::FeetAsInches, with_rest(whole * FOOT), 0.4);
    }
    for split in [10, 100] {
        let (feet, over) = (whole / split, whole % split);
        if feet > 0 && over < FOOT && (split == 10 || over >= 10) {
            found.add(Slip::FeetAsInches, with_rest(feet * FOOT + over), 0.3);
        }
    }
    if rest == Length::ZERO {
        let meant = Length::millimetres(whole.min(254_000) as i32);
        found.add(Slip::OtherUnit, meant, 1.0);
    }
    fractions(found, with_rest(whole) - rest, rest);
}

/// The fractions of an inch that are taken for the one written.
fn fractions(found: &mut Found, whole: Length, rest: Length) {
    let step = Length::sixteenths(1).units();
    if rest.units() % step != 0 {
        return;
    }
    let written = rest.units() / step;
    let mut add = |sixteenths: i32, share: f64| {
        if (0..16).contains(&sixteenths) && sixteenths != written {
            found.add(
                Slip::Fraction,
                whole + Length::sixteenths(sixteenths),
                share,
            );
        }
    };
    // read from the wrong side of the inch or the half: 3/8 for 5/8, 1/8 for 7/8
    add(16 - written, 0.3);
    // one mark of the 1/8 family for the next
    add(written + 2, 0.1);
    add(written - 2, 0.1);
    // the upper number kept, the lower one changed: 3/8 for 3/4, 3/8 for 3/16
    add(written * 2, 0.1);
    if written % 2 == 0 {
        add(written / 2, 0.1);
    }
    match written {
        0 => (1..16).for_each(|sixteenths| add(sixteenths, 0.3 / 15.0)),
        _ => add(0, 0.05),
    }
}

fn millimetres(found: &mut Found) {
    let units = found.written.units();
    let whole = (units / Length::UNITS_PER_MILLIMETRE) as u32;
    let rest = Length::from_units(units % Length::UNITS_PER_MILLIMETRE);
    let with_rest = |whole: u32| Length::millimetres(whole.min(254_000) as i32) + rest;
    digits(found, whole, 1.0, with_rest);
    for step in [1000, 100, 10] {
        for sign in [1, -1] {
            let meant = found.written + Length::millimetres(sign * step);
            found.add(Slip::Metric, meant, 1.0 / 6.0);
        }
    }
    found.add(Slip::TenTimes, with_rest(whole.saturating_mul(10)), 0.5);
    if whole.is_multiple_of(10) {
        found.add(Slip::TenTimes, with_rest(whole / 10), 0.5);
    }
    let inches = (i64::from(units) * 254 / 10).min(i64::from(Length::LONGEST.units()) + 1);
    found.add(Slip::OtherUnit, Length::from_units(inches as i32), 1.0);
}

/// Two digits swapped, or one misread, in a number that stands by itself.
fn digits(found: &mut Found, number: u32, share: f64, length: impl Fn(u32) -> Length) {
    for meant in swapped(number) {
        // the same number of pairs could have been swapped in what was meant
        let ways = swapped(meant).len().max(1) as f64;
        found.add(Slip::Swapped, length(meant), share / ways);
    }
    for (meant, chance) in misread(number) {
        found.add(Slip::Misread, length(meant), share * chance);
    }
}

/// The numbers with two neighbouring digits swapped and no zero in front.
pub fn swapped(number: u32) -> Vec<u32> {
    let mut numbers = Vec::new();
    let mut place = 1;
    while number / place >= 10 {
        let (low, high) = (number / place % 10, number / place / 10 % 10);
        let first = number / place < 100;
        if low != high && !(first && low == 0) {
            numbers.push(number - place * (low + 10 * high) + place * (high + 10 * low));
        }
        place *= 10;
    }
    numbers
}

/// Digits that look alike in haste or upside down on a hanging tape.
const ALIKE: [&[u32]; 10] = [
    &[6, 8, 9],
    &[7],
    &[7],
    &[8, 5],
    &[9],
    &[6, 3],
    &[5, 8, 0, 9],
    &[1, 2],
    &[3, 6, 0],
    &[4, 6, 0],
];
/// The share of misread digits that go to one that looks alike.
const TO_ALIKE: f64 = 0.7;

/// The numbers that differ in one digit, with the chance that such a misreading gives the number written.
pub fn misread(number: u32) -> Vec<(u32, f64)> {
    let mut numbers = Vec::new();
    let mut place = 1;
    let count = f64::from(number.checked_ilog10().unwrap_or(0) + 1);
    loop {
        let digit = number / place % 10;
        let first = number / place < 10;
        for meant in (0..10).filter(|&meant| meant != digit) {
            if first && meant == 0 && place > 1 {
                continue;
            }
            let alike = ALIKE[meant as usize];
            let chance = match alike.contains(&digit) {
                true => TO_ALIKE / alike.len() as f64,
                false => (1.0 - TO_ALIKE) / (9 - alike.len()) as f64,
            };
            numbers.push((number - place * digit + place * meant, chance / count));
        }
        if first {
            return numbers;
        }
        place *= 10;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inch(text: &str) -> Length {
        Length::read(text, Unit::Inch).expect("a length")
    }

    #[test]
    fn the_slips_that_carpenters_tell_of_are_found() {
        for (written, read, slip) in [
            ("134 1/2", "143 1/2", Slip::Swapped),
            ("117 3/8", "171 3/8", Slip::Swapped),
            ("63 1/4", "68 1/4", Slip::Misread),
            ("112 1/4", "124 1/4", Slip::Foot),
            ("89 3/4", "88 3/4", Slip::Inch),
            ("3' 8", "8' 3", Slip::FeetAndInches),
            ("40 3/8", "40 5/8", Slip::Fraction),
            ("40 3/8", "40 3/4", Slip::Fraction),
            ("104 1/2", "10' 4 1/2", Slip::FeetAsInches),
            ("12", "144", Slip::FeetAsInches),
            ("10' 4", "104", Slip::FeetAsInches),
            ("40 3/8", "40 7/16", Slip::Strong),
            ("1400", "1400 mm", Slip::OtherUnit),
        ] {
            let list = meant(inch(written), Unit::Inch);
            let found = list.iter().find(|meant| meant.length == inch(read));
            let found = found.unwrap_or_else(|| panic!("{written} for {read}"));
            assert_eq!(found.slip, slip, "{written} for {read}");
        }
        for (written, read, slip) in [
            (3610, 3160, Slip::Swapped),
            (2160, 3160, Slip::Misread),
            (3260, 3160, Slip::Metric),
            (316, 3160, Slip::TenTimes),
            (50, 1270, Slip::OtherUnit),
        ] {
            let list = meant(Length::millimetres(written), Unit::Millimetre);
            let found = list.iter().find(|m| m.length == Length::millimetres(read));
            assert!(
                found.is_some_and(|found| found.weight > 0.0),
                "{written} {slip:?}"
            );
        }
    }

    #[test]
    fn swapped_digits_are_likelier_than_any_digit_misread() {
        let list = meant(inch("134 1/2"), Unit::Inch);
        let weight = |text: &str| {
            list.iter()
                .find(|m| m.length == inch(text))
                .expect("a reading")
                .weight
        };
        assert!(weight("143 1/2") > weight("164 1/2"));
        // 7 looks like 1, 5 does not
        assert!(weight("734 1/2") > weight("534 1/2"));
    }

    #[test]
    fn readings_are_different_and_longer_than_nothing() {
        for written in ["1", "12", "10", "99 15/16", "1/2", "240", "9' 11"] {
            let list = meant(inch(written), Unit::Inch);
            assert!(list.windows(2).all(|pair| pair[0].length < pair[1].length));
            assert!(
                list.iter()
                    .all(|m| m.length > Length::ZERO && m.length != inch(written))
            );
        }
    }
}
