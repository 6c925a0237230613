//! Walls that are longer than a stick: where they are broken, over which stud, and which part laps over the other. The
//! studs' spacing, the bevel and the shortest part are settings of the walk.

use shared_model::{End, Length, Side};

use crate::finding::Finding;
use crate::joints::Wall;
use crate::pieces::Draft;
use crate::walk::{Corner, Direction, Room, ScarfRule, Stretch, Turn, Walk};

/// Which part of a seam has the longer face and laps over the other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Seam {
    /// The part on the installed left.
    LeftOver,
    /// The part on the installed right.
    RightOver,
}

/// Where a room's stretches lie, along its outline and in plan, and where people come in.
#[derive(Debug, Clone, PartialEq)]
pub struct Seams {
    direction: Direction,
    closed: bool,
    stretches: Vec<Laid>,
    around: f64,
    entry: f64,
    /// Where the way in lies in plan; none where a width that was not taken, or the lack of an opening, leaves it open.
    door: Option<(f64, f64)>,
}

/// A stretch laid out in walking order, as if walked clockwise: a mirrored room has the same laps, mirrored.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Laid {
    /// Along the outline.
    start: f64,
    length: f64,
    /// In plan.
    from: (f64, f64),
    heading: (f64, f64),
}

impl Laid {
    fn at(&self, along: f64) -> (f64, f64) {
        let (x, y) = self.from;
        (x + along * self.heading.0, y + along * self.heading.1)
    }
}

/// An opening whose width was not taken counts as this wide when ways along the outline are compared.
const UNTAKEN: Length = Length::inches(36);

impl Seams {
    /// Lays a room's outline out by its lengths and gauge angles.
    pub fn of(walk: &Walk, room: &Room) -> Seams {
        let mut seams = Seams {
            direction: walk.direction,
            closed: room.closed,
            stretches: Vec::new(),
            around: 0.0,
            entry: 0.0,
            door: None,
        };
        let (mut here, mut heading, mut openings) = ((0.0, 0.0), 0.0f64, 0);
        let mut all_taken = true;
        for item in &room.outline {
            let length = match item.stretch {
                Stretch::Wall(length) | Stretch::Existing(length) => length,
                Stretch::Opening(width) => {
                    all_taken &= width.is_some();
                    width.unwrap_or(UNTAKEN)
                }
            };
            let laid = Laid {
                start: seams.around,
                length: f64::from(length.units()),
                from: here,
                heading: (libm::cos(heading), libm::sin(heading)),
            };
            if matches!(item.stretch, Stretch::Opening(_)) {
                if openings == room.entry {
                    seams.entry = laid.start + laid.length / 2.0;
                    seams.door = Some(laid.at(laid.length / 2.0));
                }
                openings += 1;
            }
            here = laid.at(laid.length);
            heading += item.corner.map_or(0.0, turn_left);
            seams.around += laid.length;
            seams.stretches.push(laid);
        }
        seams.door = seams.door.filter(|_| all_taken);
        seams
    }

    /// Which part laps over at a seam that lies `from_left` from the installed left end of a stretch: the one on whose
    /// side of the seam, along this wall, people come in, so that nobody looks into the seam. Where the way in is not
    /// known in plan it is the one on the nearer way along the outline, a room without an opening counting as entered
    /// where its walk begins.
    pub fn lap(&self, item: usize, from_left: Length) -> Seam {
        let stretch = &self.stretches[item];
        let from_left = f64::from(from_left.units());
        let along = match self.direction {
            Direction::Clockwise => from_left,
            Direction::CounterClockwise => stretch.length - from_left,
        };
        let ahead = self.door.map(|door| {
            let seam = stretch.at(along);
            (door.0 - seam.0) * stretch.heading.0 + (door.1 - seam.1) * stretch.heading.1
        });
        let back = stretch.start + along - self.entry;
        let entry_lies_back = match ahead {
            Some(ahead) => ahead < 0.0,
            None if self.closed => (back + self.around) % self.around * 2.0 <= self.around,
            None => back >= 0.0,
        };
        // walking back is to the installed left when the walk goes clockwise
        match entry_lies_back == (self.direction == Direction::Clockwise) {
            true => Seam::LeftOver,
            false => Seam::RightOver,
        }
    }
}

/// How far a clockwise walk turns to the left at a corner, in radians.
fn turn_left(corner: Corner) -> f64 {
    let by = core::f64::consts::PI - corner.gauge.radians();
    match corner.turn {
        Turn::Inside => -by,
        Turn::Outside => by,
    }
}

/// A stick that has less than this to give beside its ends and overlaps is no stick to break a wall for.
const SHORTEST_STICK: Length = Length::inches(6);

/// A joint stays so far from the wall's ends, which are corners and openings, where it can be helped: common practice, no
/// source.
const AWAY: Length = Length::inches(24);

/// A wall to be broken into parts.
#[derive(Debug)]
pub struct Break<'a> {
    /// The room's name.
    pub room: &'a str,
    /// The wall.
    pub wall: &'a Wall,
    /// The length along the back of all its parts together.
    pub back: Length,
    /// How far from the wall's installed left end the back begins.
    pub offset: Length,
    /// The longest part, tip to tip.
    pub longest: Length,
    /// The board's thickness.
    pub thickness: Length,
    /// The settings.
    pub rule: &'a ScarfRule,
}

impl Break<'_> {
    /// The parts from the installed left, which of them goes on the wall before which, and a finding where no stud
    /// serves. `lap` says which part laps over at a seam so far from the wall's installed left end.
    pub fn into_parts(
        self,
        lap: impl Fn(Length) -> Seam,
    ) -> (Vec<Draft>, Vec<(usize, usize)>, Option<Finding>) {
        let half = self.half_overlap();
        // ends and two half overlaps at most stick out beyond a part's share of the back
        let room_for_ends = self.beyond(self.wall.left.end) + self.beyond(self.wall.right.end);
        let most = self.longest - half - half - room_for_ends;
        if most < SHORTEST_STICK {
            let message = format!(
                "wall {} is longer than a stick, and its ends and the joints between its parts would use up a stick of {}: look at its corners' angles, or get longer sticks.",
                self.wall.number,
                self.longest.feet_inches(shared_model::Mark::Sixteenth),
            );
            let whole = self.part(1, 1, self.back, self.wall.left.end, self.wall.right.end);
            let finding = Finding::error(self.room, &[self.wall.number], message);
            return (vec![whole], Vec::new(), Some(finding));
        }
        let (seams, finding) = self.seams(most);
        let bevel = self.rule.bevel;
        let mut parts: Vec<Draft> = Vec::new();
        let mut order = Vec::new();
        let mut begin = Length::ZERO;
        let mut left = self.wall.left.end;
        let count = seams.len() as u32 + 1;
        for (part, &seam) in (1..).zip(&seams) {
            let lap = lap(seam + self.offset);
            // the backs of both parts meet on the side of the shorter face's part
            let (end, next, meet) = match lap {
                Seam::LeftOver => (
                    End::ScarfOver { bevel },
                    End::ScarfUnder { bevel },
                    seam - half,
                ),
                Seam::RightOver => (
                    End::ScarfUnder { bevel },
                    End::ScarfOver { bevel },
                    seam + half,
                ),
            };
            parts.push(self.part(part, count, meet - begin, left, end));
            let index = parts.len() - 1;
            order.push(match lap {
                Seam::LeftOver => (index + 1, index),
                Seam::RightOver => (index, index + 1),
            });
            (begin, left) = (meet, next);
        }
        parts.push(self.part(count, count, self.back - begin, left, self.wall.right.end));
        (parts, order, finding)
    }

    fn part(&self, part: u32, parts: u32, length: Length, left: End, right: End) -> Draft {
        Draft {
            wall: Some(self.wall.number),
            part,
            parts,
            length,
            left,
            right,
        }
    }

    fn half_overlap(&self) -> Length {
        let bevel = self.rule.bevel;
        let overlap = End::ScarfOver { bevel }.reach(self.thickness);
        Length::from_units(overlap.units() / 2)
    }

    fn beyond(&self, end: End) -> Length {
        end.reach(self.thickness).max(Length::ZERO)
    }

    /// Where the middles of the overlaps lie along the back: over studs, as few parts as can be, as equal as can be.
    fn seams(&self, most: Length) -> (Vec<Length>, Option<Finding>) {
        let total = i64::from(self.back.units());
        let most = i64::from(most.units());
        let fewest = (total + most - 1) / most;
        for parts in fewest..fewest + 3 {
            let seams = (self.over_studs(parts, most, AWAY))
                .or_else(|| self.over_studs(parts, most, Length::ZERO));
            if let Some(seams) = seams {
                return (seams, None);
            }
        }
        let equal = (1..fewest).map(|part| Length::from_units((total * part / fewest) as i32));
        let message = format!(
            "wall {} is longer than a stick, and no stud of its spacing leaves parts of at least {} that a stick can give: it is broken into {fewest} equal parts, so put blocking behind the joints.",
            self.wall.number,
            self.rule.least.feet_inches(shared_model::Mark::Sixteenth),
        );
        let finding = Finding::warning(self.room, &[self.wall.number], message);
        (equal.collect(), Some(finding))
    }

    /// The best seams over studs for so many parts, by the sum of the parts' squares; none where no choice keeps every
    /// part between the shortest and the longest and every seam so far away from the wall's ends.
    fn over_studs(&self, parts: i64, most: i64, away: Length) -> Option<Vec<Length>> {
        let total = i64::from(self.back.units());
        let least = i64::from(self.rule.least.units());
        let fits = |length: i64| length >= least && length <= most;
        let Some(stud) = self.rule.stud else {
            // equal parts, so the joints are as far from the ends as they can be
            let fits = fits(total / parts) && fits(total - total / parts * (parts - 1));
            let equal = (1..parts).map(|part| Length::from_units((total * part / parts) as i32));
            return fits.then(|| equal.collect());
        };
        let (wall, offset) = (self.wall.length.units(), i64::from(self.offset.units()));
        let (stud, wall) = (i64::from(stud.units()), i64::from(wall));
        let away = i64::from(away.units());
        let mut studs: Vec<i64> = (1..)
            .map(|n| n * stud)
            .take_while(|&along| along < wall)
            .map(|along| match self.rule.from {
                Side::Left => along - offset,
                Side::Right => wall - along - offset,
            })
            .filter(|at| (least..=total - least).contains(at))
            .filter(|at| (away..=wall - away).contains(&(at + offset)))
            .collect();
        studs.sort_unstable();
        // best[s]: least sum of squares, and the stud before, for the parts so far to end over stud s
        let square = |length: i64| i128::from(length) * i128::from(length);
        let mut best: Vec<Option<i128>> = studs
            .iter()
            .map(|&at| fits(at).then(|| square(at)))
            .collect();
        let mut came: Vec<Vec<usize>> = Vec::new();
        for _ in 2..parts {
            let mut next = vec![None; studs.len()];
            let mut from = vec![0; studs.len()];
            for (s, &at) in studs.iter().enumerate() {
                let near = studs[..s].iter().enumerate().rev();
                for (p, &before) in near.take_while(|(_, before)| at - **before <= most) {
                    let Some(sum) = best[p].filter(|_| fits(at - before)) else {
                        continue;
                    };
                    let sum = sum + square(at - before);
                    if next[s].is_none_or(|known| sum < known) {
                        (next[s], from[s]) = (Some(sum), p);
                    }
                }
            }
            best = next;
            came.push(from);
        }
        let whole = |s: usize| {
            let rest = total - studs[s];
            best[s]
                .filter(|_| fits(rest))
                .map(|sum| (sum + square(rest), s))
        };
        let (_, mut last) = (0..studs.len()).filter_map(whole).min()?;
        let mut seams = vec![Length::from_units(studs[last] as i32)];
        for from in came.iter().rev() {
            last = from[last];
            seams.push(Length::from_units(studs[last] as i32));
        }
        seams.reverse();
        Some(seams)
    }
}
