//! Levels of a house by the piece: bedrooms with closets, baths, halls, living rooms with bays and columns, kitchens, as
//! the trade walks them. An invented builder's habits; what is made of the pieces is left to the classes.

use planner::sticks::Blank;
use shared_model::{Angle, End, Length, PieceEnd, Posture};

use super::mersenne::Mersenne;

/// The longest piece that is not broken by a scarf, in sixteenths.
const LONGEST: i32 = (16 * 12 - 3) * 16;

/// The kinds of end that count along a stick.
#[derive(Clone, Copy, PartialEq)]
enum Cut {
    Square,
    /// The face shorter than the back, as at a cope.
    Inside(f64),
    Outside(f64),
}

/// How a wall ends.
#[derive(Clone, Copy)]
enum Turn {
    In,
    Out,
    /// An outside corner of a bay, by the saw's setting.
    OutAt(f64),
    /// An inside corner of a bay.
    BayAt(f64),
}

type Wall = (f64, Turn, Vec<(f64, f64)>);

struct Builder {
    draw: Mersenne,
    /// Length in sixteenths, left end, right end.
    pieces: Vec<(i32, Cut, Cut)>,
}

/// The pieces of a level: rooms are added until there are enough.
pub fn level(pieces: usize, seed: u64) -> Vec<Blank> {
    let mut builder = Builder {
        draw: Mersenne::new(seed * 1_000_003 + pieces as u64),
        pieces: Vec::new(),
    };
    let rooms: [fn(&mut Builder); 8] = [
        Builder::bedroom,
        Builder::bath,
        Builder::hall,
        Builder::living,
        Builder::kitchen,
        Builder::bedroom,
        Builder::bath,
        Builder::bedroom,
    ];
    let mut next = 0;
    while builder.pieces.len() < pieces {
        rooms[next % rooms.len()](&mut builder);
        next += 1;
    }
    builder.pieces.truncate(pieces);
    let numbered = builder.pieces.into_iter().enumerate();
    numbered
        .map(|(piece, (length, left, right))| Blank {
            piece,
            length: Length::sixteenths(length),
            left: end(left),
            right: end(right),
        })
        .collect()
}

fn end(cut: Cut) -> PieceEnd {
    let gauge = |setting: f64| Angle::hundredths((18_000.0 - 200.0 * setting) as u16);
    let end = match cut {
        Cut::Square => End::Square,
        Cut::Inside(setting) => End::Cope {
            gauge: gauge(setting),
        },
        Cut::Outside(setting) => End::OutsideMiter {
            gauge: gauge(setting),
        },
    };
    PieceEnd {
        end,
        posture: Posture::StandingUpright,
    }
}

fn sixteenths(inches: f64) -> i32 {
    // halves to the even one, as the published generators round
    ((inches * 32.0 / 2.0).round_ties_even() as i32).max(32)
}

impl Builder {
    fn add(&mut self, inches: f64, mut left: Cut, right: Cut) {
        if inches < 2.0 {
            return;
        }
        let mut length = sixteenths(inches);
        while length > LONGEST {
            let part = match length < 2 * LONGEST {
                true => sixteenths(self.draw.between(0.45, 0.6) * f64::from(length) / 16.0),
                false => LONGEST,
            };
            let part = part.min(LONGEST);
            self.pieces.push((part, left, Cut::Outside(45.0)));
            left = Cut::Inside(45.0);
            length -= part;
        }
        if length >= 32 {
            self.pieces.push((length, left, right));
        }
    }

    fn room(&mut self, walls: &[Wall]) {
        let count = walls.len();
        let (mut lefts, mut rights) = (vec![Cut::Square; count], vec![Cut::Square; count]);
        for (at, wall) in walls.iter().enumerate() {
            let next = (at + 1) % count;
            let (right, left) = match wall.1 {
                Turn::In if self.draw.fraction() < 0.12 => (Cut::Inside(45.0), Cut::Inside(45.0)),
                Turn::In if self.draw.fraction() < 0.75 => (Cut::Square, Cut::Inside(45.0)),
                Turn::In => (Cut::Inside(45.0), Cut::Square),
                Turn::Out => (Cut::Outside(45.0), Cut::Outside(45.0)),
                Turn::OutAt(setting) => (Cut::Outside(setting), Cut::Outside(setting)),
                Turn::BayAt(setting) => (Cut::Inside(setting), Cut::Inside(setting)),
            };
            (rights[at], lefts[next]) = (right, left);
        }
        for (at, (length, _, openings)) in walls.iter().enumerate() {
            let (mut from, mut left) = (0.0, lefts[at]);
            let mut sorted = openings.clone();
            sorted.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
            for (begin, end) in sorted {
                if begin - from >= 2.0 {
                    self.add(begin - from, left, Cut::Square);
                }
                (from, left) = (end, Cut::Square);
            }
            if length - from >= 2.0 {
                self.add(length - from, left, rights[at]);
            }
        }
    }

    /// Openings that do not overlap on a wall.
    fn openings(&mut self, wall: f64, widths: &[f64]) -> Vec<(f64, f64)> {
        let mut out: Vec<(f64, f64)> = Vec::new();
        for &width in widths {
            for _ in 0..40 {
                let begin = if self.draw.fraction() < 0.5 {
                    if self.draw.fraction() < 0.5 {
                        let near = self.draw.between(2.0, 9.0);
                        self.draw.choice(&[0.0, near])
                    } else {
                        let near = self.draw.between(2.0, 9.0);
                        wall - width - self.draw.choice(&[0.0, near])
                    }
                } else {
                    self.draw.between(2.0, f64::max(2.1, wall - width - 2.0))
                };
                if begin < 0.0 || begin + width > wall {
                    continue;
                }
                let apart = |&(x, y): &(f64, f64)| begin >= y + 2.0 || begin + width <= x - 2.0;
                if out.iter().all(apart) {
                    out.push((begin, begin + width));
                    break;
                }
            }
        }
        out
    }

    fn door(&mut self) -> f64 {
        let width = self
            .draw
            .choice(&[24.0, 28.0, 30.0, 30.0, 32.0, 32.0, 36.0]);
        width + 2.0 * self.draw.choice(&[2.25, 2.5, 3.25])
    }

    fn doors(&mut self, count: usize) -> Vec<f64> {
        (0..count).map(|_| self.door()).collect()
    }

    fn closet(&mut self) {
        let sizes = [
            self.draw.between(36.0, 48.0),
            self.draw.between(54.0, 78.0),
            self.draw.between(72.0, 110.0),
        ];
        let width = self.draw.choice(&sizes);
        let depth = self.draw.between(22.0, 30.0);
        let opening = f64::min(
            width - 4.0,
            self.draw.choice(&[30.0, 48.0, 60.0, 72.0]) + 5.0,
        );
        let begin = ((width - opening) / 2.0 + self.draw.between(-1.0, 1.0)).max(0.0);
        let opening = (begin, width.min(begin + opening));
        self.room(&[
            (width, Turn::In, Vec::new()),
            (depth, Turn::In, Vec::new()),
            (width, Turn::In, vec![opening]),
            (depth, Turn::In, Vec::new()),
        ]);
    }

    fn bedroom(&mut self) {
        let (a, b) = (
            self.draw.between(114.0, 192.0),
            self.draw.between(108.0, 168.0),
        );
        let second = usize::from(self.draw.fraction() < 0.8);
        let last = usize::from(self.draw.fraction() < 0.3);
        if self.draw.fraction() < 0.2 {
            let (c, d) = (self.draw.between(20.0, 60.0), self.draw.between(24.0, 72.0));
            let door = self.doors(1);
            let first = self.openings(a, &door);
            let door = self.doors(1);
            let rest = f64::max(30.0, a - c);
            let fifth = self.openings(rest, &door);
            self.room(&[
                (a, Turn::In, first),
                (b - d, Turn::Out, Vec::new()),
                (c, Turn::In, Vec::new()),
                (d, Turn::In, Vec::new()),
                (rest, Turn::In, fifth),
                (b, Turn::In, Vec::new()),
            ]);
        } else {
            let counts = [(a, 1), (b, second), (a, 0), (b, last)];
            let walls: Vec<Wall> = counts
                .into_iter()
                .map(|(wall, count)| {
                    let doors = self.doors(count);
                    (wall, Turn::In, self.openings(wall, &doors))
                })
                .collect();
            self.room(&walls);
        }
        for _ in 0..self.draw.choice(&[1, 1, 2]) {
            self.closet();
        }
    }

    fn bath(&mut self) {
        let (a, b) = (
            self.draw.between(60.0, 72.0),
            self.draw.between(90.0, 130.0),
        );
        let tub = self.draw.between(30.0, 34.0);
        let vanity = self.draw.between(30.0, 62.0);
        let door = self.doors(1);
        let first = self.openings(a, &door);
        let second = match b - tub > vanity + 18.0 {
            true => {
                let begin = self.draw.between(2.0, 8.0);
                vec![(begin, self.draw.between(2.0, 8.0) + vanity)]
            }
            false => Vec::new(),
        };
        self.room(&[
            (a, Turn::In, first),
            (b - tub, Turn::In, second),
            (b - tub, Turn::In, Vec::new()),
        ]);
    }

    fn hall(&mut self) {
        let (length, width) = (
            self.draw.between(140.0, 330.0),
            self.draw.between(36.0, 46.0),
        );
        let count = self.draw.choice(&[2, 3, 3]);
        let doors = self.doors(count);
        let first = self.openings(length, &doors);
        // the draw for whether comes before the door itself
        let second = match self.draw.fraction() < 0.4 {
            true => {
                let door = f64::min(width - 4.0, self.door());
                self.openings(width, &[door])
            }
            false => Vec::new(),
        };
        let doors = self.doors(count - 1);
        let third = self.openings(length, &doors);
        let mut walls = [
            (length, Turn::In, first),
            (width, Turn::In, second),
            (length, Turn::In, third),
            (width, Turn::In, Vec::new()),
        ];
        if self.draw.fraction() < 0.5 {
            walls[1] = (width, Turn::Out, Vec::new());
        }
        self.room(&walls);
    }

    fn living(&mut self) {
        let (a, b) = (
            self.draw.between(168.0, 264.0),
            self.draw.between(144.0, 222.0),
        );
        let kind = self.draw.fraction();
        let wide = |draw: &mut Mersenne, of: &[f64]| vec![draw.choice(of) + 6.0];
        let walls: Vec<Wall> = if kind < 0.35 {
            let (c, d) = (self.draw.between(30.0, 90.0), self.draw.between(30.0, 90.0));
            let door = wide(&mut self.draw, &[72.0, 96.0]);
            let first = self.openings(a, &door);
            let door = self.doors(1);
            let second = self.openings(b, &door);
            vec![
                (a, Turn::In, first),
                (b, Turn::In, second),
                (a - c, Turn::Out, Vec::new()),
                (d, Turn::In, Vec::new()),
                (c, Turn::In, Vec::new()),
                (f64::max(40.0, b - d), Turn::In, Vec::new()),
            ]
        } else if kind < 0.6 {
            let bay = self.draw.between(30.0, 48.0);
            let side = (b - 2.2 * bay) / 2.0;
            let doors = self.doors(2);
            let seventh = self.openings(a, &doors);
            let door = wide(&mut self.draw, &[60.0, 72.0]);
            let eighth = self.openings(b, &door);
            vec![
                (a, Turn::In, Vec::new()),
                (side, Turn::OutAt(22.5), Vec::new()),
                (bay, Turn::BayAt(22.5), Vec::new()),
                (bay, Turn::BayAt(22.5), Vec::new()),
                (bay, Turn::OutAt(22.5), Vec::new()),
                (side, Turn::In, Vec::new()),
                (a, Turn::In, seventh),
                (b, Turn::In, eighth),
            ]
        } else {
            let door = self.doors(1);
            let first = self.openings(a, &door);
            let door = self.door();
            let doors = [door, wide(&mut self.draw, &[60.0, 72.0])[0]];
            let third = self.openings(a, &doors);
            let fourth = self.openings(b, &[44.0]);
            vec![
                (a, Turn::In, first),
                (b, Turn::In, Vec::new()),
                (a, Turn::In, third),
                (b, Turn::In, fourth),
            ]
        };
        self.room(&walls);
        if self.draw.fraction() < 0.4 {
            let (x, y) = (self.draw.between(5.0, 16.0), self.draw.between(5.0, 40.0));
            let walls = [x, y, x, y].map(|wall| (wall, Turn::Out, Vec::new()));
            self.room(&walls);
        }
    }

    fn kitchen(&mut self) {
        let (a, b) = (
            self.draw.between(120.0, 190.0),
            self.draw.between(100.0, 160.0),
        );
        let first = vec![(0.0, a - self.draw.between(0.0, 30.0))];
        let second = match self.draw.fraction() < 0.5 {
            true => vec![(0.0, 26.0), (b - self.door(), b)],
            false => vec![(0.0, b * 0.6)],
        };
        let door = self.doors(1);
        let third = self.openings(a, &door);
        let door = self.doors(1);
        let fourth = self.openings(b, &door);
        self.room(&[
            (a, Turn::In, first),
            (b, Turn::In, second),
            (a, Turn::In, third),
            (b, Turn::In, fourth),
        ]);
    }
}
