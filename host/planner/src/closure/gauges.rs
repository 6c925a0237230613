//! The slips of reading and writing a corner's gauge: which angles somebody may have meant who wrote a given one. Which of
//! them closes the room is left to `search`; the rates are settings, as in `slips`.

use shared_model::Angle;

use super::slips::{misread, swapped};

/// A slip with a single gauge reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GaugeSlip {
    /// Two digits swapped.
    Swapped,
    /// One digit taken for another.
    Misread,
    /// The angle beside it written, 180 less the corner's.
    OtherSide,
}

impl GaugeSlip {
    /// What happened, for one who reads it beside both angles.
    pub const fn words(self) -> &'static str {
        match self {
            GaugeSlip::Swapped => "digits swapped",
            GaugeSlip::Misread => "a digit misread",
            GaugeSlip::OtherSide => "read on the other side of the angle finder",
        }
    }

    /// How often it is made, on the same footing as `Slip::rate`: gauges are read less often than tapes.
    const fn rate(self) -> f64 {
        0.5
    }
}

/// An angle that may have been meant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeantGauge {
    /// The angle.
    pub gauge: Angle,
    /// The slip that leads from it to what is written.
    pub slip: GaugeSlip,
    /// Rate times the share of the slip that leads there.
    pub weight: f64,
}

/// Every angle that one slip turns into the written one. Of a corner called square nothing was read, so none was misread.
pub fn meant(written: Angle) -> Vec<MeantGauge> {
    if written == Angle::RIGHT {
        return Vec::new();
    }
    let hundredths = u32::from(written.in_hundredths());
    let (whole, rest) = (hundredths / 100, hundredths % 100);
    let mut list = Vec::new();
    let mut add = |slip: GaugeSlip, hundredths: u32, share: f64| {
        if (1..STRAIGHT).contains(&hundredths) {
            list.push(MeantGauge {
                gauge: Angle::hundredths(hundredths as u16),
                slip,
                weight: slip.rate() * share,
            });
        }
    };
    add(GaugeSlip::OtherSide, STRAIGHT - hundredths, 1.0);
    for meant in swapped(whole) {
        let ways = swapped(meant).len().max(1) as f64;
        add(GaugeSlip::Swapped, meant * 100 + rest, 1.0 / ways);
    }
    // the last digit makes a corner that is a few degrees off, which is tried for any angle
    let far = misread(whole)
        .into_iter()
        .filter(|(meant, _)| meant.abs_diff(whole) >= 10);
    for (meant, chance) in far {
        add(GaugeSlip::Misread, meant * 100 + rest, chance);
    }
    list
}

/// Half a turn, in hundredths of a degree.
const STRAIGHT: u32 = 18_000;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_slips_of_an_angle_finder_are_found() {
        for (written, read, slip) in [
            (1900, 9100, GaugeSlip::Swapped),
            (3150, 9150, GaugeSlip::Misread),
            (4500, 13_500, GaugeSlip::OtherSide),
            (13_500, 4500, GaugeSlip::OtherSide),
            (12_500, 13_500, GaugeSlip::Misread),
        ] {
            let list = meant(Angle::hundredths(written));
            let found = list.iter().find(|m| m.gauge == Angle::hundredths(read));
            assert_eq!(found.map(|found| found.slip), Some(slip), "{written}");
        }
        assert!(meant(Angle::RIGHT).is_empty());
    }

    #[test]
    fn every_angle_that_may_have_been_meant_is_one() {
        for written in 1..18_000 {
            let written = Angle::hundredths(written);
            for meant in meant(written) {
                assert!((1..18_000).contains(&meant.gauge.in_hundredths()));
                assert!(meant.gauge != written && meant.weight > 0.0);
            }
        }
    }
}
