//! Real rooms as they get built and as somebody measures them: corners that are not quite what they are called, a tape that
//! is as good as its standard says, lengths to 1/16 in. Blunders are left to `blunder`.

use planner::closure::traverse::Vector;
use planner::closure::uncertainty::{Tape, Uncertainty};
use planner::walk::{Corner, Diagonal, Item, Room, Stretch, Turn};
use shared_model::{Angle, Length};

use crate::rooms::data::Corners;
use crate::rooms::outline::Kind;

use super::random::Random;

/// A corner this close to square is called square by one who has no gauge in hand, in degrees.
const CALLED_SQUARE: f64 = 1.0;

/// A room that stands: the lengths in mm between corners and openings, and the turns to the right in radians.
pub struct Built {
    pub name: String,
    pub lengths: Vec<f64>,
    pub kinds: Vec<Kind>,
    /// None where the next stretch goes straight on.
    pub turns: Vec<Option<f64>>,
    /// Whether the corner at a stretch's end is called square.
    pub square: Vec<bool>,
}

/// What every reading is worth when the corners are off by so many degrees.
pub fn worth(corner: f64) -> Uncertainty {
    Uncertainty {
        tape: Tape::Handbook44,
        mark: Length::sixteenths(1),
        holding: 25.4 / 32.0,
        square: corner,
        gauge: corner * 3f64.sqrt(),
    }
}

impl Built {
    /// The room as planned, or with every corner that is called square off by its own share of `noise`, a standard
    /// deviation in degrees, and the walls as long as that makes them.
    pub fn of(corners: &Corners, noise: f64, random: &mut Random) -> Built {
        loop {
            let mut built = Built::planned(corners);
            built.lean(noise, random);
            built.close();
            if built.lengths.iter().all(|length| *length > 3.0) {
                return built;
            }
        }
    }

    pub fn planned(corners: &Corners) -> Built {
        let outline = corners.outline();
        let turn = |inside: bool, gauge: f64| match inside {
            true => (180.0 - gauge).to_radians(),
            false => (gauge - 180.0).to_radians(),
        };
        let called = |gauge: f64| (gauge - 90.0).abs() < CALLED_SQUARE;
        let strips = &outline.strips;
        Built {
            name: corners.name.clone(),
            lengths: strips.iter().map(|strip| strip.length()).collect(),
            kinds: strips.iter().map(|strip| strip.kind).collect(),
            turns: (strips.iter())
                .map(|strip| strip.corner.map(|bend| turn(bend.inside, bend.gauge)))
                .collect(),
            square: (strips.iter())
                .map(|strip| strip.corner.is_some_and(|bend| called(bend.gauge)))
                .collect(),
        }
    }

    fn lean(&mut self, noise: f64, random: &mut Random) {
        let round: f64 = std::f64::consts::TAU;
        let right = std::f64::consts::FRAC_PI_2;
        for (turn, square) in self.turns.iter_mut().zip(&self.square) {
            if let (Some(turn), true) = (turn, square) {
                *turn = right.copysign(*turn) + random.normal() * noise.to_radians();
            }
        }
        // what is left of the whole turn is in the corners that are read with a gauge, or else shared by all
        let gauged = |at: &usize| self.turns[*at].is_some() && !self.square[*at];
        let mut takers: Vec<usize> = (0..self.turns.len()).filter(gauged).collect();
        if takers.is_empty() {
            takers = (0..self.turns.len())
                .filter(|&at| self.turns[at].is_some())
                .collect();
        }
        let left = round - self.turns.iter().flatten().sum::<f64>();
        for &at in &takers {
            if let Some(turn) = &mut self.turns[at] {
                *turn += left / takers.len() as f64;
            }
        }
    }

    fn ways(&self) -> Vec<Vector> {
        let mut bearing = 0.0;
        let sides = self.lengths.iter().zip(&self.turns);
        let ways = sides.map(|(length, turn)| {
            let way = Vector::along(bearing, *length);
            bearing += turn.unwrap_or(0.0);
            way
        });
        ways.collect()
    }

    /// Makes the lengths close, each changed as little for its size as can be.
    fn close(&mut self) {
        for _ in 0..3 {
            let ways = self.ways();
            let end = ways
                .iter()
                .fold(Vector::default(), |end, way| end.plus(*way));
            let sum = |part: fn(&Vector) -> f64| ways.iter().map(part).sum::<f64>();
            let (nn, ne, ee) = (
                sum(|way| way.north * way.north),
                sum(|way| way.north * way.east),
                sum(|way| way.east * way.east),
            );
            let size = nn * ee - ne * ne;
            let north = (ee * end.north - ne * end.east) / size;
            let east = (nn * end.east - ne * end.north) / size;
            for (length, way) in self.lengths.iter_mut().zip(ways) {
                *length *= 1.0 - (way.north * north + way.east * east);
            }
        }
    }

    /// The straight distance between two corners, by the stretches that they follow.
    fn across(&self, from: usize, to: usize) -> f64 {
        let ways = self.ways();
        let way = ways[from..to]
            .iter()
            .fold(Vector::default(), |end, way| end.plus(*way));
        way.length()
    }

    /// What somebody notes who measures the room, with diagonals between these corners. No noise: what the marks leave of
    /// the room as planned.
    pub fn measured(
        &self,
        noise: Option<f64>,
        across: &[(usize, usize)],
        random: &mut Random,
    ) -> Room {
        let mut read = |length: f64| {
            let uncertainty = worth(0.0);
            let out = match noise {
                Some(_) => {
                    let tape = random.within(uncertainty.tape.limit(length));
                    tape + random.normal() * uncertainty.holding
                }
                None => 0.0,
            };
            let sixteenths = ((length + out) / 25.4 * 16.0).round().max(1.0);
            Length::sixteenths(sixteenths as i32)
        };
        let lengths: Vec<Length> = self.lengths.iter().map(|length| read(*length)).collect();
        let diagonals = across.iter().map(|&(from, to)| Diagonal {
            from,
            to,
            length: read(self.across(from, to)),
        });
        let diagonals: Vec<Diagonal> = diagonals.collect();
        let corner = |at: usize, random: &mut Random| {
            let turn = self.turns[at]?;
            let gauge = match self.square[at] {
                true => 90.0,
                false => {
                    let read =
                        180.0 - turn.abs().to_degrees() + random.normal() * noise.unwrap_or(0.0);
                    (read * 10.0).round() / 10.0
                }
            };
            Some(Corner {
                turn: if turn > 0.0 {
                    Turn::Inside
                } else {
                    Turn::Outside
                },
                gauge: Angle::hundredths((gauge * 100.0).round() as u16),
            })
        };
        let outline = lengths.iter().enumerate().map(|(at, &length)| Item {
            stretch: match self.kinds[at] {
                Kind::Opening => Stretch::Opening(Some(length)),
                _ => Stretch::Wall(length),
            },
            corner: corner(at, random),
            radius: None,
            left: None,
            right: None,
        });
        Room {
            name: self.name.clone(),
            moulding: 0,
            closed: true,
            island: false,
            entry: 0,
            outline: outline.collect(),
            diagonals,
        }
    }
}
