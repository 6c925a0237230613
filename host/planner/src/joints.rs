//! From a room's outline to what every wall's two ends must do. How long the pieces are and in which posture they are cut
//! is left to the steps that follow.

mod ring;

use shared_model::{Angle, End, Joint, Length, Side};

use crate::finding::Finding;
use crate::rounded::Rounding;
use crate::walk::{Corner, Item, MouldingStock, Room, Stretch, Turn, Walk};

/// A wall that gets board, with both ends decided.
#[derive(Debug, Clone, PartialEq)]
pub struct Wall {
    /// Its number in the room, from 1.
    pub number: u32,
    /// Its place in the room's outline.
    pub item: usize,
    /// As the tape read it.
    pub length: Length,
    /// The installed left end.
    pub left: WallEnd,
    /// The installed right end.
    pub right: WallEnd,
}

impl Wall {
    /// The end at an installed side.
    pub fn end(&self, side: Side) -> &WallEnd {
        match side {
            Side::Left => &self.left,
            Side::Right => &self.right,
        }
    }
}

/// One end of a wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WallEnd {
    /// What is cut.
    pub end: End,
    /// The corner in which it meets another wall, with or without board of its own.
    pub corner: Option<Corner>,
    /// The number of the wall to be cut that it meets, if there is one.
    pub meets: Option<u32>,
    /// It stops at an opening.
    pub at_opening: bool,
    /// The corner is a rounded one, and a filler goes between the two boards.
    pub rounding: Option<Rounding>,
}

/// Every wall of a room with its ends, and what was found on the way.
pub fn joints(walk: &Walk, room: &Room) -> (Vec<Wall>, Vec<Finding>) {
    let mut outline = Outline::new(walk, room);
    outline.decide_all();
    outline.spare_short_walls();
    outline.break_ring();
    outline.finish()
}

/// Where two stretches meet: `before` has its installed right end here, `after` its installed left end.
#[derive(Debug, Clone, Copy)]
struct Junction {
    before: usize,
    after: usize,
    corner: Option<Corner>,
    rounding: Option<Rounding>,
}

struct Outline<'a> {
    walk: &'a Walk,
    room: &'a Room,
    moulding: &'a MouldingStock,
    junctions: Vec<Junction>,
    left: Vec<Option<End>>,
    right: Vec<Option<End>>,
    findings: Vec<Finding>,
}

impl<'a> Outline<'a> {
    fn new(walk: &'a Walk, room: &'a Room) -> Self {
        let count = room.outline.len();
        let joined = if room.closed {
            count
        } else {
            count.saturating_sub(1)
        };
        let junctions = (0..joined).map(|item| {
            let next = (item + 1) % count;
            let (before, after) = match walk.direction.ahead() {
                Side::Right => (item, next),
                Side::Left => (next, item),
            };
            let Item { corner, radius, .. } = room.outline[item];
            let rounded = |corner: Corner| {
                let (gauge, radius) = (corner.gauge, radius?);
                (corner.turn == Turn::Outside).then_some(Rounding { gauge, radius })
            };
            Junction {
                before,
                after,
                corner,
                rounding: corner.and_then(rounded),
            }
        });
        Outline {
            walk,
            room,
            moulding: &walk.setup.mouldings[room.moulding],
            junctions: junctions.collect(),
            left: vec![None; count],
            right: vec![None; count],
            findings: Vec::new(),
        }
    }

    fn item(&self, index: usize) -> &Item {
        &self.room.outline[index]
    }

    fn is_wall(&self, index: usize) -> bool {
        matches!(self.item(index).stretch, Stretch::Wall(_))
    }

    /// The number of a wall: its place among the room's walls, from 1.
    fn number(&self, index: usize) -> u32 {
        let walls = (0..=index).filter(|&item| self.is_wall(item));
        walls.count() as u32
    }

    fn over_profile(&self, gauge: Angle) -> End {
        match self.moulding.profile == Length::ZERO {
            true => End::Butt { gauge },
            false => End::Cope { gauge },
        }
    }

    fn decide_all(&mut self) {
        for junction in self.junctions.clone() {
            let forced = (
                self.item(junction.before)
                    .right
                    .filter(|_| self.is_wall(junction.before)),
                self.item(junction.after)
                    .left
                    .filter(|_| self.is_wall(junction.after)),
            );
            let usual = self.usual(junction);
            let (right, left) = match forced {
                (None, None) => usual,
                _ => self.forced(junction, forced, usual),
            };
            self.right[junction.before] = Some(right);
            self.left[junction.after] = Some(left);
            self.judge_rounding(junction);
        }
        for index in 0..self.room.outline.len() {
            for side in [Side::Left, Side::Right] {
                if self.ends(side)[index].is_none() {
                    let end = self.loose_end(index, side);
                    self.ends(side)[index] = Some(end);
                }
            }
        }
    }

    fn ends(&mut self, side: Side) -> &mut Vec<Option<End>> {
        match side {
            Side::Left => &mut self.left,
            Side::Right => &mut self.right,
        }
    }

    /// The end of an open run: square unless forced.
    fn loose_end(&mut self, index: usize, side: Side) -> End {
        let item = *self.item(index);
        let forced = match side {
            Side::Left => item.left,
            Side::Right => item.right,
        };
        let corner = self.corner_ahead(index, side);
        if let Some(problem) = forced.and_then(|joint| misfit(joint, corner)) {
            let number = self.number(index);
            let message = format!("{problem}; it is cut square instead.");
            self.findings
                .push(Finding::error(&self.room.name, &[number], message));
            return End::Square;
        }
        forced.map_or(End::Square, |joint| self.forced_end(joint, corner))
    }

    /// The corner in which an open run ends: that of its last stretch, which meets a wall without board there.
    fn corner_ahead(&self, index: usize, side: Side) -> Option<Corner> {
        let last = !self.room.closed
            && index + 1 == self.room.outline.len()
            && side == self.walk.direction.ahead();
        self.item(index).corner.filter(|_| last)
    }

    /// What a junction asks for by itself: the right end of the stretch before it, the left end of the one after.
    fn usual(&self, junction: Junction) -> (End, End) {
        let carries = |index: usize| match self.item(index).stretch {
            Stretch::Wall(_) => Some(true),
            Stretch::Existing(_) => Some(false),
            Stretch::Opening(_) => None,
        };
        let (Some(new_before), Some(new_after)) =
            (carries(junction.before), carries(junction.after))
        else {
            return (End::Square, End::Square);
        };
        let Some(Corner { turn, gauge }) = junction.corner else {
            let bevel = self.walk.scarf.bevel;
            return match new_before && new_after {
                // which part laps over the other hangs on the way in and is settled with the scarfs
                true => (End::ScarfOver { bevel }, End::ScarfUnder { bevel }),
                false => (End::Square, End::Square),
            };
        };
        match turn {
            Turn::Outside => match junction.rounding.filter(|_| new_before && new_after) {
                Some(rounding) => (rounding.end(), rounding.end()),
                None => (End::OutsideMiter { gauge }, End::OutsideMiter { gauge }),
            },
            Turn::Inside if gauge > self.walk.cope_up_to => {
                (End::InsideMiter { gauge }, End::InsideMiter { gauge })
            }
            Turn::Inside => {
                let coped = match (new_before, new_after) {
                    (true, false) => Side::Right,
                    (false, true) => Side::Left,
                    _ => self.walk.cope,
                };
                match coped {
                    Side::Right => (self.over_profile(gauge), End::Square),
                    Side::Left => (End::Square, self.over_profile(gauge)),
                }
            }
        }
    }

    fn forced(
        &mut self,
        junction: Junction,
        forced: (Option<Joint>, Option<Joint>),
        usual: (End, End),
    ) -> (End, End) {
        for (joint, index) in [(forced.0, junction.before), (forced.1, junction.after)] {
            if let Some(problem) = joint.and_then(|joint| misfit(joint, junction.corner)) {
                let (number, name) = (self.number(index), &self.room.name);
                let message =
                    format!("{problem}; the joint that the corner asks for is used instead.");
                self.findings.push(Finding::error(name, &[number], message));
                return usual;
            }
        }
        let (right, left) = match forced {
            (Some(right), Some(left)) => (
                self.forced_end(right, junction.corner),
                self.forced_end(left, junction.corner),
            ),
            (Some(right), None) => {
                let right = self.forced_end(right, junction.corner);
                (right, self.mate(right, junction, junction.after, usual.1))
            }
            (None, Some(left)) => {
                let left = self.forced_end(left, junction.corner);
                (self.mate(left, junction, junction.before, usual.0), left)
            }
            (None, None) => usual,
        };
        self.judge_pair(junction, right, left);
        for (end, index) in [(right, junction.before), (left, junction.after)] {
            if self.involves_opening(junction) && self.is_wall(index) {
                self.judge_at_opening(index, end);
            }
        }
        (right, left)
    }

    /// The end that a forced joint means in a corner; a corner without a reading counts as 90.
    fn forced_end(&self, joint: Joint, corner: Option<Corner>) -> End {
        let gauge = corner.map_or(Angle::RIGHT, |corner| corner.gauge);
        match joint {
            Joint::Square => End::Square,
            Joint::Butt => End::Butt { gauge },
            Joint::Cope => self.over_profile(gauge),
            Joint::InsideMiter => End::InsideMiter { gauge },
            Joint::OutsideMiter => End::OutsideMiter { gauge },
            Joint::Scarf => End::ScarfOver {
                bevel: self.walk.scarf.bevel,
            },
            Joint::Return => End::Return,
        }
    }

    /// What the other board of a junction does when one end of it is forced.
    fn mate(&self, forced: End, junction: Junction, other: usize, usual: End) -> End {
        if !self.is_wall(other) || self.involves_opening(junction) {
            return usual;
        }
        match (forced, junction.corner) {
            (
                End::Square,
                Some(Corner {
                    turn: Turn::Inside,
                    gauge,
                }),
            ) => self.over_profile(gauge),
            (End::InsideMiter { .. } | End::OutsideMiter { .. }, _) => forced,
            (End::ScarfOver { bevel } | End::ScarfUnder { bevel }, _) => End::ScarfUnder { bevel },
            _ => End::Square,
        }
    }

    /// The rounding of a corner between two boards that leave room for a filler.
    fn rounding(&self, junction: &Junction) -> Option<Rounding> {
        let rounding = junction.rounding?;
        let end = Some(rounding.end());
        let ends = [self.right[junction.before], self.left[junction.after]];
        let new = self.is_wall(junction.before) && self.is_wall(junction.after);
        (new && ends == [end, end]).then_some(rounding)
    }

    /// Says when a rounded corner gets no filler.
    fn judge_rounding(&mut self, junction: Junction) {
        let left_out = junction.rounding.is_some() && self.rounding(&junction).is_none();
        if !left_out || self.involves_opening(junction) {
            return;
        }
        let walls = [junction.before, junction.after];
        let walls: Vec<u32> = (walls.into_iter().filter(|&index| self.is_wall(index)))
            .map(|index| self.number(index))
            .collect();
        let message = "their rounded corner gets no filler, because a joint is forced there or board hangs there already: its boards are cut as for a sharp corner, so measure what they have to meet.";
        self.findings.push(Finding::warning(
            &self.room.name,
            &walls,
            message.to_owned(),
        ));
    }

    fn involves_opening(&self, junction: Junction) -> bool {
        [junction.before, junction.after]
            .iter()
            .any(|&index| matches!(self.item(index).stretch, Stretch::Opening(_)))
    }

    /// Says when an end that goes against or over a board is forced where there is none.
    fn judge_at_opening(&mut self, index: usize, end: End) {
        if !matches!(end, End::Square | End::Return) {
            let number = self.number(index);
            let message = format!(
                "{} {} is forced at an opening, where there is no board for it to meet.",
                end.joint().article(),
                end.joint()
            );
            self.findings
                .push(Finding::warning(&self.room.name, &[number], message));
        }
    }

    /// Says when two forced ends do not make a joint.
    fn judge_pair(&mut self, junction: Junction, right: End, left: End) {
        if !(self.is_wall(junction.before) && self.is_wall(junction.after)) {
            return;
        }
        let walls = [self.number(junction.before), self.number(junction.after)];
        let name = &self.room.name;
        let over = |end| matches!(end, End::Cope { .. } | End::Butt { .. });
        let finding = match (right, left) {
            (right, left) if over(right) && over(left) => Finding::error(
                name,
                &walls,
                "both ends in their corner are cut to go over the other; one of them must run square into it.".to_owned(),
            ),
            (End::Square, End::Square) if junction.corner.is_some() => Finding::warning(
                name,
                &walls,
                "both ends in their corner are square, so nothing closes it.".to_owned(),
            ),
            (End::InsideMiter { .. } | End::OutsideMiter { .. }, other)
            | (other, End::InsideMiter { .. } | End::OutsideMiter { .. })
                if !matches!(other, End::InsideMiter { .. } | End::OutsideMiter { .. }) =>
            {
                Finding::warning(
                    name,
                    &walls,
                    "one end in their corner is mitered and the other is not.".to_owned(),
                )
            }
            _ => return,
        };
        self.findings.push(finding);
    }

    fn finish(self) -> (Vec<Wall>, Vec<Finding>) {
        let end = |index: usize, side: Side| {
            let junction = self.junctions.iter().find(|junction| match side {
                Side::Left => junction.after == index,
                Side::Right => junction.before == index,
            });
            let other = junction.map(|junction| match side {
                Side::Left => junction.before,
                Side::Right => junction.after,
            });
            let against_wall =
                other.is_some_and(|other| !matches!(self.item(other).stretch, Stretch::Opening(_)));
            let ends = match side {
                Side::Left => &self.left,
                Side::Right => &self.right,
            };
            WallEnd {
                end: ends[index].unwrap_or(End::Square),
                corner: junction
                    .and_then(|junction| junction.corner)
                    .filter(|_| against_wall)
                    .or_else(|| self.corner_ahead(index, side)),
                meets: other
                    .filter(|&other| self.is_wall(other))
                    .map(|other| self.number(other)),
                at_opening: other.is_some() && !against_wall,
                rounding: junction.and_then(|junction| self.rounding(junction)),
            }
        };
        let walls = self
            .room
            .outline
            .iter()
            .enumerate()
            .filter_map(|(index, item)| {
                let Stretch::Wall(length) = item.stretch else {
                    return None;
                };
                Some(Wall {
                    number: self.number(index),
                    item: index,
                    length,
                    left: end(index, Side::Left),
                    right: end(index, Side::Right),
                })
            });
        (walls.collect(), self.findings)
    }
}

/// Why a forced joint cannot be in such a corner, if it cannot.
fn misfit(joint: Joint, corner: Option<Corner>) -> Option<&'static str> {
    match (joint, corner.map(|corner| corner.turn)) {
        (Joint::Cope | Joint::Butt, Some(Turn::Outside)) => {
            Some("a cope or butt belongs in an inside corner, and this one is outside")
        }
        (Joint::InsideMiter, Some(Turn::Outside)) => {
            Some("an inside miter cannot go on an outside corner")
        }
        (Joint::OutsideMiter, Some(Turn::Inside)) => {
            Some("an outside miter cannot go into an inside corner")
        }
        (Joint::Scarf, Some(_)) => Some("a scarf joins two boards of one straight line"),
        _ => None,
    }
}
