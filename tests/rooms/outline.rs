//! Outlines of rooms as stretches of wall and openings between corners, and as somebody writes them down who walks them.
//! What a plan of them must be like is left to the checks.

use planner::walk::{Corner, Direction, Item, Room, Stretch, Turn};
use shared_model::{Angle, Length};

use super::data::Corners;
use super::plane::{Line, Point};

/// Stretches of wall no longer than this are not counted in the data's totals.
pub const UNCOUNTED: f64 = 20.0;

impl Corners {
    /// Every stretch between corners and door edges, from installed left to installed right.
    pub fn outline(&self) -> Outline {
        let count = self.points.len();
        let mut strips = Vec::new();
        for edge in 0..count {
            let line = Line::through(self.points[edge], self.points[(edge + 1) % count]);
            let length = self.edge(edge).length();
            let mut at = 0.0;
            let doors = self.doors.iter().filter(|door| door.edge == edge);
            let mut cuts: Vec<(f64, Kind)> = Vec::new();
            for door in doors {
                cuts.push((door.from, Kind::Wall));
                cuts.push((door.to, Kind::Opening));
            }
            cuts.push((length, Kind::Wall));
            for (to, kind) in cuts {
                // a door that ends at a corner does so up to rounding
                if to > at + 1e-6 {
                    let (from, to) = (line.at(at), line.at(to));
                    strips.push(Strip {
                        from,
                        to,
                        kind,
                        corner: None,
                    });
                }
                at = to;
            }
            if let Some(last) = strips.last_mut() {
                last.corner = Some(Bend::between(
                    self.edge(edge),
                    self.edge((edge + 1) % count),
                ));
            }
        }
        let mut openings = (0..strips.len()).filter(|&strip| strips[strip].kind == Kind::Opening);
        let entry = openings.nth(self.entry);
        Outline {
            name: self.name.clone(),
            strips,
            entry,
            column: self.column,
        }
    }
}

/// A closed outline with the room on the right of one who goes from installed left to installed right.
#[derive(Debug, Clone)]
pub struct Outline {
    pub name: String,
    pub strips: Vec<Strip>,
    /// The opening that people come in by.
    pub entry: Option<usize>,
    pub column: bool,
}

/// A straight stretch of outline, and the corner at its installed right end.
#[derive(Debug, Clone, Copy)]
pub struct Strip {
    pub from: Point,
    pub to: Point,
    pub kind: Kind,
    pub corner: Option<Bend>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    Wall,
    Opening,
    Existing,
}

/// A corner: whether it is an inside one, and its gauge angle in degrees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bend {
    pub inside: bool,
    pub gauge: f64,
}

impl Bend {
    fn between(before: Point, after: Point) -> Bend {
        let turn = before.cross(after).atan2(before.dot(after)).to_degrees();
        Bend {
            inside: turn < 0.0,
            gauge: 180.0 - turn.abs(),
        }
    }
}

impl Strip {
    pub fn length(&self) -> f64 {
        self.from.to(self.to).length()
    }

    pub fn line(&self) -> Line {
        Line::through(self.from, self.to)
    }
}

impl Outline {
    pub fn next(&self, strip: usize) -> usize {
        (strip + 1) % self.strips.len()
    }

    pub fn before(&self, strip: usize) -> usize {
        (strip + self.strips.len() - 1) % self.strips.len()
    }

    /// Whether board on this strip runs from one wall to another, with an inside corner at both ends.
    pub fn runs_between_walls(&self, strip: usize) -> bool {
        let (before, next) = (self.before(strip), self.next(strip));
        [(before, before), (strip, next)]
            .iter()
            .all(|&(at, other)| {
                let inside = self.strips[at].corner.is_some_and(|bend| bend.inside);
                inside && self.strips[other].kind != Kind::Opening
            })
    }

    /// The strips in walking order, from the same corner both ways round.
    pub fn walked(&self, direction: Direction) -> Vec<usize> {
        let strips = 0..self.strips.len();
        match direction {
            Direction::Clockwise => strips.collect(),
            Direction::CounterClockwise => strips.rev().collect(),
        }
    }

    /// The walls that get board, in walking order: wall n of the room is the strip at n - 1.
    pub fn walls(&self, direction: Direction) -> Vec<usize> {
        let walked = self.walked(direction).into_iter();
        walked
            .filter(|&strip| self.strips[strip].kind == Kind::Wall)
            .collect()
    }

    /// Stretches too short to count become places that stop board; in a room without a door people come in by the first.
    pub fn without_slivers(mut self) -> Outline {
        for (at, strip) in self.strips.iter_mut().enumerate() {
            if strip.length() <= UNCOUNTED {
                strip.kind = Kind::Opening;
                self.entry = self.entry.or(Some(at));
            }
        }
        self
    }

    /// Board hangs already on every third wall.
    pub fn partly_hung(mut self) -> Outline {
        let walls = self
            .strips
            .iter_mut()
            .filter(|strip| strip.kind == Kind::Wall);
        for wall in walls.skip(1).step_by(3) {
            wall.kind = Kind::Existing;
        }
        self
    }

    /// Long walls are measured in two stretches, with a joint left open in the line.
    pub fn in_stretches(mut self) -> Outline {
        let strips = std::mem::take(&mut self.strips);
        for strip in strips {
            if strip.kind == Kind::Wall && strip.length() > 2000.0 {
                let middle = strip.line().at(strip.length() * 0.4);
                self.strips.push(Strip {
                    to: middle,
                    corner: None,
                    ..strip
                });
                self.strips.push(Strip {
                    from: middle,
                    ..strip
                });
            } else {
                self.strips.push(strip);
            }
        }
        self.entry = self.entry.and(
            self.strips
                .iter()
                .position(|strip| strip.kind == Kind::Opening),
        );
        self
    }

    /// The room as somebody measures it who walks this way.
    pub fn room(&self, direction: Direction) -> Room {
        let walked = self.walked(direction);
        let item = |&strip: &usize| {
            let length = tape(self.strips[strip].length());
            let ahead = match direction {
                Direction::Clockwise => strip,
                Direction::CounterClockwise => self.before(strip),
            };
            Item {
                stretch: match self.strips[strip].kind {
                    Kind::Wall => Stretch::Wall(length),
                    Kind::Opening => Stretch::Opening(Some(length)),
                    Kind::Existing => Stretch::Existing(length),
                },
                corner: self.strips[ahead].corner.map(|bend| Corner {
                    turn: if bend.inside {
                        Turn::Inside
                    } else {
                        Turn::Outside
                    },
                    gauge: Angle::hundredths((bend.gauge * 100.0).round() as u16),
                }),
                radius: None,
                left: None,
                right: None,
            }
        };
        let mut openings = walked
            .iter()
            .filter(|&&strip| self.strips[strip].kind == Kind::Opening);
        let entry = openings.position(|&strip| Some(strip) == self.entry);
        Room {
            name: self.name.clone(),
            moulding: 0,
            closed: true,
            island: self.column,
            entry: entry.unwrap_or(0),
            outline: walked.iter().map(item).collect(),
            diagonals: Vec::new(),
        }
    }
}

/// Millimetres as an exact length.
pub fn tape(millimetres: f64) -> Length {
    Length::from_units((millimetres * f64::from(Length::UNITS_PER_MILLIMETRE)).round() as i32)
}

/// A length in millimetres.
pub fn millimetres(length: Length) -> f64 {
    f64::from(length.units()) / f64::from(Length::UNITS_PER_MILLIMETRE)
}
