//! Rounded outside corners: two miters of half the turn each, with a small filler between the walls' boards. Which corners
//! are rounded is the walk's to say.

use shared_model::{Angle, End, Length};

/// A rounded outside corner. The walls are measured to where their lines would meet.
///
/// Board does not bend, so three straight backs go round the bend: the walls' own and the filler's, which touches the
/// rounding in its middle. With a turn of a = 180 - g and a radius r the rounding begins r tan(a/2) before the lines would
/// meet, and two lines that touch it a/2 apart meet r tan(a/4) beyond the points where they touch it (both from the right
/// triangle of radius and tangent).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rounding {
    /// The corner's gauge angle, laid on the two walls.
    pub gauge: Angle,
    /// The radius of the wall's rounding.
    pub radius: Length,
}

impl Rounding {
    /// What both boards and both ends of the filler are mitered for: half the turn, so a gauge of 90 + g/2.
    pub fn end(&self) -> End {
        let gauge = Angle::hundredths(9000 + self.gauge.in_hundredths() / 2);
        End::OutsideMiter { gauge }
    }

    /// How far along the back each wall's board stops before the lines would meet: r (tan(a/2) - tan(a/4)).
    pub fn shortening(&self) -> Length {
        let turn = self.turn();
        self.radius
            .times(libm::tan(turn / 2.0) - libm::tan(turn / 4.0))
    }

    /// How long the filler is along its back: 2 r tan(a/4).
    pub fn filler(&self) -> Length {
        self.radius.times(2.0 * libm::tan(self.turn() / 4.0))
    }

    fn turn(&self) -> f64 {
        core::f64::consts::PI - self.gauge.radians()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inches(length: Length) -> f64 {
        f64::from(length.units()) / f64::from(Length::UNITS_PER_INCH)
    }

    #[test]
    fn a_square_corner_of_three_quarters_is_three_sides_of_an_octagon() {
        // the side of the octagon round a circle of this radius: 2 r tan 22.5 = .6213 in; r - r tan 22.5 = .4393, computed
        let rounding = Rounding {
            gauge: Angle::RIGHT,
            radius: Length::sixteenths(12),
        };
        assert!((inches(rounding.filler()) - 0.6213).abs() < 1e-4);
        assert!((inches(rounding.shortening()) - 0.4393).abs() < 1e-4);
        assert_eq!(rounding.end().setting(), Angle::hundredths(2250));
    }

    #[test]
    fn the_backs_meet_and_the_filler_touches_the_rounding_in_its_middle() {
        // computed: the corner at the origin, one wall to it along x, the other from it, turned clockwise
        for gauge in (40..175).step_by(5) {
            for radius in [4, 12, 24, 160] {
                let rounding = Rounding {
                    gauge: Angle::degrees(gauge),
                    radius: Length::sixteenths(radius),
                };
                let (off, long) = (inches(rounding.shortening()), inches(rounding.filler()));
                let turn = (180.0 - f64::from(gauge)).to_radians();
                let from = (-off, 0.0);
                let (sin, cos) = (turn / 2.0).sin_cos();
                let to = (from.0 + long * cos, from.1 - long * sin);
                let other = (off * turn.cos(), -off * turn.sin());
                assert!(
                    (to.0 - other.0).hypot(to.1 - other.1) < 5e-4,
                    "{gauge} {radius}"
                );
                // the centre lies a radius inside of both walls
                let radius = inches(rounding.radius);
                let centre = (-radius * (turn / 2.0).tan(), -radius);
                let (x, y) = (centre.0 - from.0, centre.1 - from.1);
                let (along, beside) = (x * cos - y * sin, x * sin + y * cos);
                assert!((along - long / 2.0).abs() < 5e-4, "{gauge} {radius}");
                assert!((beside.abs() - radius).abs() < 5e-4, "{gauge} {radius}");
            }
        }
    }
}
