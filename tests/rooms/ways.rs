//! Ways of working: which way round, which hand, which posture, moulded or square-edged stock; and the walk that each makes
//! of a level.

use planner::walk::*;
use shared_model::{Angle, Length, Mark, Posture, Side, True45, Unit};

use super::laid::THICKNESS;
use super::outline::{Outline, tape};

/// One way of working.
#[derive(Debug, Clone, Copy)]
pub struct Way {
    pub direction: Direction,
    pub cope: Side,
    pub posture: Option<Posture>,
    pub moulded: bool,
}

const HANDS: [(Direction, Side); 4] = [
    (Direction::Clockwise, Side::Left),
    (Direction::Clockwise, Side::Right),
    (Direction::CounterClockwise, Side::Left),
    (Direction::CounterClockwise, Side::Right),
];

pub fn ways(postures: &[Option<Posture>]) -> Vec<Way> {
    let mut ways = Vec::new();
    for (direction, cope) in HANDS {
        for &posture in postures {
            for moulded in [true, false] {
                ways.push(Way {
                    direction,
                    cope,
                    posture,
                    moulded,
                });
            }
        }
    }
    ways
}

/// The four postures and none asked.
pub fn all_postures() -> Vec<Option<Posture>> {
    Posture::ALL.into_iter().map(Some).chain([None]).collect()
}

pub const USUAL: [Option<Posture>; 1] = [Some(Posture::StandingUpsideDown)];

/// A saw that can make every cut in every posture.
fn saw(posture: Option<Posture>) -> Saw {
    Saw {
        posture,
        standing_height: Length::inches(7),
        flat_width: Length::inches(12),
        swing_left: Angle::degrees(75),
        swing_right: Angle::degrees(75),
        tilt_left: Angle::degrees(75),
        tilt_right: Angle::degrees(75),
        true_45: True45::EXACT,
        back_cut_up_to: Angle::degrees(5),
        slides: false,
        kerf: tape(3.2),
        end_trim: tape(12.0),
        stock_side: Side::Left,
        hold: HoldRule::USUAL,
    }
}

/// A level's rooms as walked, with sticks so long in inches.
pub fn walk(outlines: &[Outline], way: Way, sticks: &[i32]) -> Walk {
    let stick = |&inches: &i32| StickKind {
        length: Length::inches(inches),
        price: None,
        count: None,
    };
    Walk {
        setup: Setup {
            level: "Storey".to_owned(),
            unit: Unit::Millimetre,
            mark: Mark::Millimetre,
            old_house: false,
            saw: saw(way.posture),
            mouldings: vec![MouldingStock {
                name: "base".to_owned(),
                height: tape(133.35),
                thickness: tape(THICKNESS),
                profile: if way.moulded {
                    tape(19.05)
                } else {
                    Length::ZERO
                },
                sticks: sticks.iter().map(stick).collect(),
                offcuts: Vec::new(),
            }],
        },
        direction: way.direction,
        cope: way.cope,
        cope_up_to: Angle::degrees(100),
        cope_least: Length::ZERO,
        casing_gap: Length::ZERO,
        spring: Vec::new(),
        scarf: ScarfRule {
            bevel: Angle::degrees(45),
            stud: Some(Length::inches(16)),
            from: Side::Left,
            least: Length::inches(24),
        },
        accuracy: Accuracy::default(),
        rooms: outlines
            .iter()
            .map(|outline| outline.room(way.direction))
            .collect(),
    }
}
