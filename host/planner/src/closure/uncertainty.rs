//! How far a reading may be out by itself: tape, mark, hook, gauge, and a corner that was only called square. What follows
//! for a room is left to `adjust`.
//!
//! A limit that a standard gives is taken as a rectangular distribution, whose standard deviation is the limit over the
//! square root of 3, and a reading to the nearest mark as one of half a mark (JCGM 100:2008, the guide to the expression of
//! uncertainty in measurement, 4.3.7). Errors of different readings are taken as independent. A tape that is long all over
//! is long on every wall: that is not seen here, and does not keep boards from fitting.

use shared_model::{Angle, Length, Mark};

use crate::walk::{Corner, Measure, Walk};

const INCH: f64 = 25.4;
const SQUARE_ROOT_OF_3: f64 = 1.732_050_807_568_877_2;

/// What lengths are taken with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tape {
    /// A tape within the American tolerance for tapes: up to 6 ft 1/32 in, up to 30 ft 1/16, beyond 1/8 (NIST Handbook 44,
    /// section 5.52).
    Handbook44,
    /// A tape of European class I, II or III: a + b times the metres begun, in mm, and at the hook once more (Directive
    /// 2014/32/EU; the figures as in UK SI 2016/1153, schedule 1I).
    Class(TapeClass),
    /// A laser with the maker's figure in mm, which holds for 95 of 100 readings (as ISO 16331-1 has it stated): two
    /// standard deviations.
    Laser(f64),
}

/// A European class of tapes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TapeClass {
    /// .1 + .1 L, and .1 at the hook.
    I,
    /// .3 + .2 L, and .2 at the hook.
    II,
    /// .6 + .4 L, and .3 at the hook.
    III,
}

impl Tape {
    /// The most that it may be out over a length, both in mm; for a laser what the maker states.
    pub fn limit(self, length: f64) -> f64 {
        let metres = libm::ceil(length / 1000.0);
        match self {
            Tape::Handbook44 if length <= 72.0 * INCH => INCH / 32.0,
            Tape::Handbook44 if length <= 360.0 * INCH => INCH / 16.0,
            Tape::Handbook44 => INCH / 8.0,
            Tape::Class(TapeClass::I) => 0.1 + 0.1 * metres + 0.1,
            Tape::Class(TapeClass::II) => 0.3 + 0.2 * metres + 0.2,
            Tape::Class(TapeClass::III) => 0.6 + 0.4 * metres + 0.3,
            Tape::Laser(stated) => stated,
        }
    }

    fn deviation(self, length: f64) -> f64 {
        match self {
            Tape::Laser(stated) => stated / 2.0,
            _ => self.limit(length) / SQUARE_ROOT_OF_3,
        }
    }
}

/// How far each kind of reading may be out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Uncertainty {
    /// What lengths are taken with.
    pub tape: Tape,
    /// The mark to which they are read.
    pub mark: Length,
    /// The standard deviation of holding the tape: its hook on the casing, its bend in the corner; in mm.
    pub holding: f64,
    /// The standard deviation of a corner that was only called square, in degrees.
    pub square: f64,
    /// The limit of a corner's gauge reading, in degrees.
    pub gauge: f64,
}

impl Uncertainty {
    /// A quarter of a degree for a corner called square is where the setting starts: over 8 ft it is 3/8 in, what a framing
    /// square and a chalk line leave and drywall adds; more is noticed by eye when the board is held in. A gauge is good to
    /// half a degree, a laser to 1/16 in, and holding a tape to 1/32 (all common practice, no source).
    pub fn of(walk: &Walk) -> Uncertainty {
        let mark = walk.setup.mark;
        let measure = walk.accuracy.with.unwrap_or(match mark {
            Mark::Millimetre | Mark::HalfMillimetre => Measure::ClassII,
            _ => Measure::UsTape,
        });
        let tape = match measure {
            Measure::UsTape => Tape::Handbook44,
            Measure::ClassI => Tape::Class(TapeClass::I),
            Measure::ClassII => Tape::Class(TapeClass::II),
            Measure::ClassIII => Tape::Class(TapeClass::III),
            Measure::Laser => Tape::Laser(INCH / 16.0),
        };
        Uncertainty {
            tape,
            mark: mark.step(),
            holding: INCH / 32.0,
            square: degrees(walk.accuracy.corners),
            gauge: degrees(walk.accuracy.gauge),
        }
    }

    /// The standard deviation of a length, both in mm.
    pub fn of_length(&self, length: f64) -> f64 {
        let mark = f64::from(self.mark.units()) / f64::from(Length::UNITS_PER_MILLIMETRE);
        let tape = self.tape.deviation(length);
        (tape * tape + mark * mark / 12.0 + self.holding * self.holding).sqrt()
    }

    /// The standard deviation of a corner in radians: one of exactly 90 counts as only called square.
    pub fn of_corner(&self, corner: Corner) -> f64 {
        let degrees = match corner.gauge == Angle::RIGHT {
            true => self.square,
            false => self.gauge / SQUARE_ROOT_OF_3,
        };
        degrees.to_radians()
    }
}

fn degrees(angle: Angle) -> f64 {
    f64::from(angle.in_hundredths()) / 100.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tapes_as_their_standards_have_them() {
        // UK SI 2016/1153, schedule 1I: class II is out by 1.3 mm at 5 m, 1.5 from the hook, 1.9 at 8 m and 2.3 at 10 m
        for (class, metres, limit) in [
            (TapeClass::II, 5.0, 1.5),
            (TapeClass::II, 7.4, 2.1),
            (TapeClass::II, 10.0, 2.5),
            (TapeClass::I, 5.0, 0.7),
            (TapeClass::III, 5.0, 2.9),
        ] {
            let got = Tape::Class(class).limit(metres * 1000.0);
            assert!((got - limit).abs() < 1e-9, "{class:?} {metres}: {got}");
        }
        // NIST Handbook 44, 5.52: to 6 ft 1/32 in, 7 to 30 ft 1/16, 31 to 55 ft 1/8
        for (feet, inches) in [
            (6.0, 1.0 / 32.0),
            (7.0, 1.0 / 16.0),
            (30.0, 1.0 / 16.0),
            (31.0, 1.0 / 8.0),
        ] {
            assert_eq!(Tape::Handbook44.limit(feet * 12.0 * INCH), inches * INCH);
        }
    }

    #[test]
    fn a_reading_is_out_by_its_tape_its_mark_and_the_hand_together() {
        // JCGM 100:2008: a limit a as a / sqrt 3, a mark d as d / sqrt 12, added as squares; computed
        let mut worth = Uncertainty {
            tape: Tape::Handbook44,
            mark: Length::sixteenths(1),
            holding: INCH / 32.0,
            square: 0.25,
            gauge: 0.5,
        };
        let near = |got: f64, due: f64| assert!((got - due).abs() < 1e-4, "{got} {due}");
        near(worth.of_length(100.0 * INCH), 1.296_2);
        worth.mark = Length::sixteenths(16);
        near(worth.of_length(100.0 * INCH), 7.431_9);
        worth.tape = Tape::Laser(INCH / 16.0);
        worth.holding = 0.0;
        near(worth.of_length(100.0 * INCH), 7.375_2);
        let corner = |gauge| Corner {
            turn: crate::walk::Turn::Inside,
            gauge,
        };
        near(worth.of_corner(corner(Angle::RIGHT)).to_degrees(), 0.25);
        near(
            worth.of_corner(corner(Angle::degrees(91))).to_degrees(),
            0.288_7,
        );
    }
}
