//! What the ends of a piece can be, as installed: the joint, the saw's setting for it and how far the face goes beyond
//! the back. Which way that is swung at the saw is left to the saw view.

use core::fmt;

use serde::{Deserialize, Serialize};

use crate::{Angle, Length};

/// The kinds of end that a piece of moulding can have.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Joint {
    /// Cut square; butts into a wall or against a casing.
    Square,
    /// Square-edged stock cut to meet the face of the board that runs into the corner.
    Butt,
    /// Shaped to the face profile of the board that it meets in an inside corner.
    Cope,
    /// One half of an inside corner, on the bisector.
    InsideMiter,
    /// One half of an outside corner, on the bisector.
    OutsideMiter,
    /// One of two parallel bevels that join two boards of one wall.
    Scarf,
    /// Mitered at 45 for a small piece that turns the moulding's end back into the wall.
    Return,
}

impl Joint {
    /// Every joint, in the order of their names above.
    pub const ALL: [Joint; 7] = [
        Joint::Square,
        Joint::Butt,
        Joint::Cope,
        Joint::InsideMiter,
        Joint::OutsideMiter,
        Joint::Scarf,
        Joint::Return,
    ];

    /// The trade's word.
    pub const fn word(self) -> &'static str {
        match self {
            Joint::Square => "square",
            Joint::Butt => "butt",
            Joint::Cope => "cope",
            Joint::InsideMiter => "inside miter",
            Joint::OutsideMiter => "outside miter",
            Joint::Scarf => "scarf",
            Joint::Return => "return",
        }
    }

    /// The article that goes before the word.
    pub const fn article(self) -> &'static str {
        match self {
            Joint::InsideMiter | Joint::OutsideMiter => "an",
            _ => "a",
        }
    }
}

impl fmt::Display for Joint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// Which of a cut's two arrises goes farther at this end.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Lean {
    /// Cut square: neither.
    Even,
    /// The face goes beyond the back.
    FaceLonger,
    /// The back goes beyond the face.
    FaceShorter,
}

/// One end of a piece, with the angle that it takes.
///
/// ```
/// use shared_model::{Angle, End, Length};
/// let cope = End::Cope { gauge: Angle::degrees(90) };
/// assert_eq!(cope.setting(), Angle::degrees(45));
/// assert_eq!(cope.reach(Length::sixteenths(9)), -Length::sixteenths(9));
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum End {
    /// Square.
    Square,
    /// Butt in an inside corner of this gauge angle.
    Butt {
        /// The corner's gauge angle.
        gauge: Angle,
    },
    /// Cope in an inside corner of this gauge angle.
    Cope {
        /// The corner's gauge angle.
        gauge: Angle,
    },
    /// Inside miter in a corner of this gauge angle.
    InsideMiter {
        /// The corner's gauge angle.
        gauge: Angle,
    },
    /// Outside miter on a corner of this gauge angle.
    OutsideMiter {
        /// The corner's gauge angle.
        gauge: Angle,
    },
    /// The scarf's part with the longer face: it laps over the other.
    ScarfOver {
        /// The bevel, from square.
        bevel: Angle,
    },
    /// The scarf's part with the shorter face: it goes on the wall first.
    ScarfUnder {
        /// The bevel, from square.
        bevel: Angle,
    },
    /// Mitered at 45 for a return.
    Return,
}

impl End {
    /// The joint this end belongs to.
    pub const fn joint(self) -> Joint {
        match self {
            End::Square => Joint::Square,
            End::Butt { .. } => Joint::Butt,
            End::Cope { .. } => Joint::Cope,
            End::InsideMiter { .. } => Joint::InsideMiter,
            End::OutsideMiter { .. } => Joint::OutsideMiter,
            End::ScarfOver { .. } | End::ScarfUnder { .. } => Joint::Scarf,
            End::Return => Joint::Return,
        }
    }

    /// The gauge angle of the corner at this end, where there is one.
    pub const fn gauge(self) -> Option<Angle> {
        match self {
            End::Butt { gauge }
            | End::Cope { gauge }
            | End::InsideMiter { gauge }
            | End::OutsideMiter { gauge } => Some(gauge),
            End::Square | End::ScarfOver { .. } | End::ScarfUnder { .. } | End::Return => None,
        }
    }

    /// The setting from square of the full-depth cut: half the corner's rest for miters and copes, the back cut for a
    /// butt, the bevel for a scarf.
    pub const fn setting(self) -> Angle {
        match self {
            End::Square => Angle::ZERO,
            End::Butt { gauge } => gauge.over_right(),
            End::Cope { gauge } | End::InsideMiter { gauge } | End::OutsideMiter { gauge } => {
                gauge.setting()
            }
            End::ScarfOver { bevel } | End::ScarfUnder { bevel } => bevel,
            End::Return => Angle::degrees(45),
        }
    }

    /// Which arris the full-depth cut leaves longer.
    pub fn lean(self) -> Lean {
        match self {
            _ if self.setting() == Angle::ZERO => Lean::Even,
            End::Square => Lean::Even,
            End::Cope { .. } | End::InsideMiter { .. } | End::ScarfUnder { .. } => {
                Lean::FaceShorter
            }
            End::Butt { .. } | End::OutsideMiter { .. } | End::ScarfOver { .. } | End::Return => {
                Lean::FaceLonger
            }
        }
    }

    /// The back cut that the corner asks of a cope's plain part or of a butt: g - 90, at which the sawn end lies flat on
    /// the neighbour's face. It leans the other way than a cope's angled cut.
    ///
    /// Its margin is nothing: where the corner is wider by what a gauge may be out, half a degree, the back strikes
    /// first and the face of a 9/16 in board stays .005 in open (t tan 1/2): a third of the finest gap that joinery is
    /// graded by (0.4 mm, ANSI/AWI 0620).
    pub const fn back_cut(self) -> Angle {
        match self {
            End::Butt { gauge } | End::Cope { gauge } => gauge.over_right(),
            _ => Angle::ZERO,
        }
    }

    /// How far the face goes beyond the back at this end, for a board of this thickness; negative where it stays
    /// behind. A butt's back cut only relieves the back and is not counted: its figure is the face's.
    ///
    /// From the geometry of two boards meeting on the bisector: t / tan(g/2); for a bevel s: t * tan(s).
    pub fn reach(self, thickness: Length) -> Length {
        match self {
            End::Square | End::Butt { .. } => Length::ZERO,
            End::Cope { gauge } | End::InsideMiter { gauge } => -corner_reach(thickness, gauge),
            End::OutsideMiter { gauge } => corner_reach(thickness, gauge),
            End::ScarfOver { bevel } => thickness.times(libm::tan(bevel.radians())),
            End::ScarfUnder { bevel } => -thickness.times(libm::tan(bevel.radians())),
            End::Return => thickness,
        }
    }

    /// How far the sawn face goes beyond the sawn back: the reach, and for a butt what its back cut takes off the back.
    pub fn slope(self, thickness: Length) -> Length {
        match self {
            End::Butt { .. } => thickness.times(libm::tan(self.back_cut().radians())),
            _ => self.reach(thickness),
        }
    }
}

/// t / tan(g/2): how far two boards of this thickness overlap in a corner of this gauge angle.
fn corner_reach(thickness: Length, gauge: Angle) -> Length {
    if gauge.setting() == Angle::ZERO {
        return Length::ZERO;
    }
    thickness.times(1.0 / libm::tan(gauge.radians() / 2.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Unit;

    fn millimetres(length: Length) -> f64 {
        f64::from(length.units()) / f64::from(Unit::Millimetre.units())
    }

    #[test]
    fn reaches_of_nine_sixteenths_stock() {
        // t * tan(setting), computed with a second program: a 9/16 in board at 45, 44, 46 and 22.5 degrees
        let thickness = Length::sixteenths(9);
        for (gauge, expected) in [(90, 14.288), (92, 13.797), (88, 14.795), (135, 5.918)] {
            let gauge = Angle::degrees(gauge);
            let outside = millimetres(End::OutsideMiter { gauge }.reach(thickness));
            assert!((outside - expected).abs() < 0.001, "{outside} {expected}");
            let cope = millimetres(End::Cope { gauge }.reach(thickness));
            assert!((cope + expected).abs() < 0.001, "{cope} {expected}");
        }
        for (sixteenths, expected) in [(7, 11.113), (10, 15.875), (12, 19.050)] {
            let miter = End::InsideMiter {
                gauge: Angle::RIGHT,
            };
            let reach = millimetres(miter.reach(Length::sixteenths(sixteenths)));
            assert!((reach + expected).abs() < 0.001, "{reach} {expected}");
        }
    }

    #[test]
    fn scarf_overlaps() {
        // 9/16 in: 14.3 mm at 45 and 8.2 mm at 30, computed
        let thickness = Length::sixteenths(9);
        for (bevel, expected) in [(45, 14.3), (30, 8.2)] {
            let bevel = Angle::degrees(bevel);
            let over = End::ScarfOver { bevel }.reach(thickness);
            assert!((millimetres(over) - expected).abs() < 0.05);
            assert_eq!(End::ScarfUnder { bevel }.reach(thickness), -over);
        }
    }

    #[test]
    fn a_straight_or_reflex_gauge_needs_no_cut() {
        for gauge in [18_000, 19_000] {
            let end = End::OutsideMiter {
                gauge: Angle::hundredths(gauge),
            };
            assert_eq!(
                (end.setting(), end.reach(Length::sixteenths(9)), end.lean()),
                (Angle::ZERO, Length::ZERO, Lean::Even)
            );
        }
    }

    #[test]
    fn a_butt_over_ninety_is_relieved_to_the_neighbours_face() {
        // the back of a butt ends where the neighbour's face meets this board's back line: t / sin(g) from the corner
        let (thickness, gauge) = (Length::sixteenths(9), Angle::degrees(95));
        let butt = End::Butt { gauge };
        let face = corner_reach(thickness, gauge);
        let back = face + butt.slope(thickness);
        let neighbour = thickness.times(1.0 / libm::sin(gauge.radians()));
        assert!((back - neighbour).abs() <= Length::from_units(2));
    }

    #[test]
    fn a_back_cut_needs_no_margin_for_what_a_gauge_is_out() {
        // what stays open is less than the finest gap that joinery is graded by, 0.4 mm (ANSI/AWI 0620), even in 3/4 in
        for gauge in (9050..=10_000).step_by(50) {
            for (sixteenths, open) in [(9, 0.13), (12, 0.17)] {
                let slope = |gauge| {
                    let end = End::Butt {
                        gauge: Angle::hundredths(gauge),
                    };
                    millimetres(end.slope(Length::sixteenths(sixteenths)))
                };
                let left = slope(gauge + 50) - slope(gauge);
                assert!((0.0..open + 0.005).contains(&left), "{gauge}: {left}");
            }
        }
    }
}
