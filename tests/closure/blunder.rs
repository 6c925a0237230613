//! One slip of the pen in a room as measured, drawn at random, each kind as often as any other. Written without a look at
//! how the planner seeks them: this goes from the right reading to the wrong one.

use planner::closure::survey::Which;
use planner::closure::suspects::{Change, Proposal};
use planner::walk::{Room, Stretch, Turn};
use shared_model::Length;

use super::random::Random;

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    DigitsSwapped,
    DigitMisread,
    Foot,
    Inch,
    Fraction,
    FeetAsInches,
    Strong,
    WallTwice,
    WallLeftOut,
    CornerTurned,
    OpeningLeftOut,
}

pub const KINDS: [Kind; 11] = [
    Kind::DigitsSwapped,
    Kind::DigitMisread,
    Kind::Foot,
    Kind::Inch,
    Kind::Fraction,
    Kind::FeetAsInches,
    Kind::Strong,
    Kind::WallTwice,
    Kind::WallLeftOut,
    Kind::CornerTurned,
    Kind::OpeningLeftOut,
];

/// A slip that was made.
pub struct Blunder {
    pub kind: Kind,
    /// The stretch in the room as noted: the wrong one, or the one before what was left out.
    pub side: usize,
    /// What it would have to read.
    pub right: Length,
    /// By how much a length is wrong in mm; none where a corner is wrong with it.
    pub size: Option<f64>,
}

fn millimetres(length: Length) -> f64 {
    f64::from(length.units()) / f64::from(Length::UNITS_PER_MILLIMETRE)
}

fn read(stretch: Stretch) -> Length {
    match stretch {
        Stretch::Wall(length) | Stretch::Existing(length) | Stretch::Opening(Some(length)) => {
            length
        }
        Stretch::Opening(None) => Length::ZERO,
    }
}

fn with(stretch: Stretch, length: Length) -> Stretch {
    match stretch {
        Stretch::Opening(_) => Stretch::Opening(Some(length)),
        _ => Stretch::Wall(length),
    }
}

impl Blunder {
    /// Makes one in a room; again at another place where the slip does not change what is written.
    pub fn make(room: &mut Room, random: &mut Random) -> Blunder {
        loop {
            let kind = random.pick(&KINDS);
            for _ in 0..50 {
                if let Some(blunder) = Blunder::of(kind, room, random) {
                    return blunder;
                }
            }
        }
    }

    fn of(kind: Kind, room: &mut Room, random: &mut Random) -> Option<Blunder> {
        let count = room.outline.len();
        let side = random.below(count);
        let right = read(room.outline[side].stretch);
        let mut blunder = Blunder {
            kind,
            side,
            right,
            size: None,
        };
        match kind {
            Kind::WallTwice => {
                room.outline.insert(side, room.outline[side]);
                move_diagonals(room, |corner| corner + usize::from(corner > side));
            }
            Kind::WallLeftOut => {
                let corner = room.outline[side].corner?;
                let right_angle = corner.gauge.in_hundredths() == 9000;
                if !right_angle || count < 4 || side == 0 || !wall(room, side) {
                    return None;
                }
                // a diagonal from a corner that is not written cannot be written either
                let ends = |end: usize| end == side || end == side + 1;
                if room.diagonals.iter().any(|d| ends(d.from) || ends(d.to)) {
                    return None;
                }
                room.outline.remove(side);
                move_diagonals(room, |corner| corner - usize::from(corner > side));
                blunder.side = side - 1;
            }
            Kind::CornerTurned => {
                let corner = room.outline[side].corner.as_mut()?;
                corner.turn = match corner.turn {
                    Turn::Inside => Turn::Outside,
                    Turn::Outside => Turn::Inside,
                };
            }
            Kind::OpeningLeftOut => {
                if wall(room, side) || side == 0 || right < Length::inches(8) {
                    return None;
                }
                let before = &room.outline[side - 1];
                let corner = room.outline[side].corner;
                if before.corner.is_some()
                    || room
                        .diagonals
                        .iter()
                        .any(|d| d.from == side || d.to == side)
                {
                    return None;
                }
                room.outline[side - 1].corner = corner;
                room.outline.remove(side);
                move_diagonals(room, |end| end - usize::from(end > side));
                blunder.side = side - 1;
                blunder.size = Some(millimetres(right));
            }
            _ => {
                let sixteenths = right.units() / Length::sixteenths(1).units();
                let wrong = Length::sixteenths(miswritten(kind, sixteenths, random)?);
                if wrong <= Length::ZERO || wrong == right {
                    return None;
                }
                room.outline[side].stretch = with(room.outline[side].stretch, wrong);
                blunder.size = Some(millimetres((wrong - right).abs()));
            }
        }
        Some(blunder)
    }

    /// Whether a proposal is what was meant. What was left out has no reading to compare: its place counts.
    pub fn is(&self, proposal: &Proposal, room: &Room) -> bool {
        match proposal.change {
            Change::Length { which, meant, .. } => {
                which == Which::Length(self.side) && meant == self.right
            }
            Change::Turned(side) => self.kind == Kind::CornerTurned && side == self.side,
            Change::Twice(side) => {
                self.kind == Kind::WallTwice && (side == self.side || side == self.side + 1)
            }
            Change::WallLeftOut { after, .. } => {
                self.kind == Kind::WallLeftOut && after == self.side
            }
            Change::OpeningLeftOut { side, .. } => {
                self.kind == Kind::OpeningLeftOut && line(room, side) == line(room, self.side)
            }
            Change::Gauge { .. } | Change::Leans { .. } | Change::CornerForgotten { .. } => false,
        }
    }
}

/// The straight line of a stretch: where it begins.
fn line(room: &Room, side: usize) -> usize {
    let corners = (0..side)
        .rev()
        .find(|&at| room.outline[at].corner.is_some());
    corners.map_or(0, |corner| corner + 1)
}

fn wall(room: &Room, side: usize) -> bool {
    matches!(room.outline[side].stretch, Stretch::Wall(_))
}

fn move_diagonals(room: &mut Room, to: impl Fn(usize) -> usize) {
    for diagonal in &mut room.diagonals {
        (diagonal.from, diagonal.to) = (to(diagonal.from), to(diagonal.to));
    }
}

/// What is written for so many sixteenths of an inch.
fn miswritten(kind: Kind, right: i32, random: &mut Random) -> Option<i32> {
    let (whole, part) = (right / 16, right % 16);
    let mut digits: Vec<i32> = whole
        .to_string()
        .bytes()
        .map(|c| i32::from(c - b'0'))
        .collect();
    let number = |digits: &[i32]| digits.iter().fold(0, |sum, digit| sum * 10 + digit);
    let wrong = match kind {
        Kind::DigitsSwapped => {
            let at = random.below(digits.len().max(2) - 1);
            if digits.len() < 2 {
                return None;
            }
            digits.swap(at, at + 1);
            if digits[0] == 0 {
                return None;
            }
            number(&digits) * 16 + part
        }
        Kind::DigitMisread => {
            // two of three go to a digit of like shape
            const LIKE: [&[i32]; 10] = [
                &[6, 8],
                &[7],
                &[7],
                &[8, 5],
                &[9],
                &[6, 3],
                &[5, 8, 0],
                &[1, 2],
                &[3, 6, 0],
                &[4],
            ];
            let at = random.below(digits.len());
            let digit = digits[at] as usize;
            digits[at] = match random.part() < 2.0 / 3.0 {
                true => random.pick(LIKE[digit]),
                false => random.below(10) as i32,
            };
            if digits[0] == 0 && digits.len() > 1 {
                return None;
            }
            number(&digits) * 16 + part
        }
        Kind::Foot => right + random.either() * 12 * 16,
        Kind::Inch => right + random.either() * 16,
        Kind::Fraction => match random.below(3) {
            // eighths from the wrong side of the inch, the next eighth, none
            0 if part > 0 => whole * 16 + 16 - part,
            1 => right + random.either() * 2,
            _ => whole * 16,
        },
        Kind::FeetAsInches => {
            let (feet, over) = (whole / 12, whole % 12);
            match random.below(2) {
                0 if over == 0 && feet > 0 => feet * 16 + part,
                _ if feet > 0 => format!("{feet}{over}").parse::<i32>().ok()? * 16 + part,
                _ => whole * 12 * 16 + part,
            }
        }
        Kind::Strong => right + random.either(),
        _ => return None,
    };
    Some(wrong)
}
