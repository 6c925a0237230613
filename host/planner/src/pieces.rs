//! From walls with decided ends to pieces with exact lengths: what a corner takes off, what is added to spring a board in,
//! and walls broken into parts. Which stick a piece comes from is left to `sticks`.

use shared_model::{Angle, End, Figure, Length, Side};

use crate::finding::Finding;
use crate::joints::{Wall, WallEnd};
use crate::scarf::{self, Break, Seam};
use crate::walk::{Corner, MouldingStock, Room, Spring, Turn, Walk};

/// A piece before its posture, stick and number for life are known.
#[derive(Debug, Clone, PartialEq)]
pub struct Draft {
    /// The wall's number in the room.
    pub wall: Option<u32>,
    /// Which part of the wall, from 1 at its installed left end; 0 for a small piece at the wall's end.
    pub part: u32,
    /// How many parts the wall has; 0 for a small piece at its end.
    pub parts: u32,
    /// Along the back.
    pub length: Length,
    /// The installed left end.
    pub left: End,
    /// The installed right end.
    pub right: End,
}

impl Draft {
    /// The wedges that close this board's returns, left before right. A wedge hangs round the finished end as if that were
    /// an outside corner: mitered where it meets the board, square against the wall, nothing on its back.
    pub fn wedges(&self) -> Vec<Draft> {
        let wedge = |left, right| small(self.wall, Length::ZERO, left, right);
        let at_left = (self.left == End::Return).then(|| wedge(End::Square, End::Return));
        let at_right = (self.right == End::Return).then(|| wedge(End::Return, End::Square));
        at_left.into_iter().chain(at_right).collect()
    }
}

/// A piece at a wall's end that is no part of its board.
fn small(wall: Option<u32>, length: Length, left: End, right: End) -> Draft {
    Draft {
        wall,
        part: 0,
        parts: 0,
        length,
        left,
        right,
    }
}

/// A room's pieces in the order of its walls, and which of them go on the wall before which.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct RoomPieces {
    /// The pieces; the parts of a wall follow each other from its installed left end, its small pieces after them.
    pub drafts: Vec<Draft>,
    /// Pairs of places in `drafts`: the first goes on the wall before the second.
    pub before: Vec<(usize, usize)>,
    /// What was found.
    pub findings: Vec<Finding>,
}

/// Breaks walls that are longer than a stick and gives every piece its length.
pub fn pieces(walk: &Walk, room: &Room, walls: &[Wall], stock: &mut LongStock) -> RoomPieces {
    let moulding = &walk.setup.mouldings[room.moulding];
    let seams = scarf::Seams::of(walk, room);
    let mut out = RoomPieces::default();
    // for every wall that could be made: its number and the places of its first and last part
    let mut spans: Vec<(u32, usize, usize)> = Vec::new();
    let gap = walk.casing_gap;
    for wall in walls {
        let wall = &with_laps(wall, walls, &seams);
        if let Some(finding) = too_short(room, wall, moulding.thickness, gap) {
            out.findings.push(finding);
            continue;
        }
        let back = back_length(wall, moulding.thickness, gap);
        let sprung = back + spring(wall, &walk.spring);
        let figure = Figure::of(sprung, wall.left.end, wall.right.end, moulding.thickness);
        let first = out.drafts.len();
        match stock.must_break(figure.overall) {
            Some(longest) => {
                let shortened = shortening(&wall.left, moulding.thickness, gap);
                let broken = Break {
                    room: &room.name,
                    wall,
                    back,
                    offset: shortened,
                    longest,
                    thickness: moulding.thickness,
                    rule: &walk.scarf,
                };
                let (parts, order, finding) = broken.into_parts(|at| seams.lap(wall.item, at));
                out.findings.extend(finding);
                out.before
                    .extend(order.iter().map(|(a, b)| (first + a, first + b)));
                out.drafts.extend(parts);
            }
            None => out.drafts.push(Draft {
                wall: Some(wall.number),
                part: 1,
                parts: 1,
                length: sprung,
                left: wall.left.end,
                right: wall.right.end,
            }),
        }
        let last = out.drafts.len() - 1;
        spans.push((wall.number, first, last));
        for board in first..=last {
            for wedge in out.drafts[board].wedges() {
                out.before.push((board, out.drafts.len()));
                out.drafts.push(wedge);
            }
        }
        // the corner at a wall's end in walking order is its own
        let ahead = walk.direction.ahead();
        if let Some(rounding) = wall.end(ahead).rounding {
            let board = if ahead == Side::Right { last } else { first };
            out.before.push((board, out.drafts.len()));
            out.drafts.push(small(
                Some(wall.number),
                rounding.filler(),
                rounding.end(),
                rounding.end(),
            ));
        }
    }
    for wall in walls {
        out.before.extend(waits(wall, &spans, &out.drafts));
    }
    out
}

/// The lengths of a moulding that a wall can be cut from in one piece: the longest of which there are as many as needed,
/// and every longer stick or offcut of which there are only so many.
#[derive(Debug, Clone, PartialEq)]
pub struct LongStock {
    always: Option<Length>,
    few: Vec<Length>,
}

impl LongStock {
    /// What there is of a moulding, less the trim of a factory end.
    pub fn of(moulding: &MouldingStock, end_trim: Length) -> LongStock {
        let unlimited = moulding.sticks.iter().filter(|kind| kind.count.is_none());
        let always = unlimited.map(|kind| kind.length - end_trim).max();
        let counted = moulding.sticks.iter().flat_map(|kind| {
            // a level has fewer walls than this, however many sticks there are
            std::iter::repeat_n(kind.length, kind.count.unwrap_or(0).min(1000) as usize)
        });
        let mut few: Vec<Length> = counted
            .chain(moulding.offcuts.iter().copied())
            .map(|length| length - end_trim)
            .filter(|length| always.is_none_or(|always| *length > always))
            .collect();
        few.sort();
        LongStock { always, few }
    }

    /// The longest part that a wall of this overall length may be broken into; none where one stick gives it whole. Of
    /// the few longer ones the shortest that serves is then spoken for.
    fn must_break(&mut self, overall: Length) -> Option<Length> {
        if self.always.is_some_and(|always| overall <= always) {
            return None;
        }
        if let Some(at) = self.few.iter().position(|length| *length >= overall) {
            self.few.remove(at);
            return None;
        }
        self.always.or(self.few.last().copied())
    }
}

/// Gives the two ends of an open joint in a straight line their lap: the part nearer to the way in has the longer face.
fn with_laps(wall: &Wall, walls: &[Wall], seams: &scarf::Seams) -> Wall {
    let mut wall = wall.clone();
    for side in [Side::Left, Side::Right] {
        let end = match side {
            Side::Left => &mut wall.left,
            Side::Right => &mut wall.right,
        };
        let (End::ScarfOver { bevel } | End::ScarfUnder { bevel }) = end.end else {
            continue;
        };
        let Some(other) = walls.iter().find(|other| Some(other.number) == end.meets) else {
            continue;
        };
        // both walls ask about the same seam from the one whose right end it is, so that their laps fit
        let (at_right_end_of, offset) = match side {
            Side::Right => (wall.item, wall.length),
            Side::Left => (other.item, other.length),
        };
        let left_part_over = seams.lap(at_right_end_of, offset) == Seam::LeftOver;
        let this_is_left_part = side == Side::Right;
        end.end = match left_part_over == this_is_left_part {
            true => End::ScarfOver { bevel },
            false => End::ScarfUnder { bevel },
        };
    }
    wall
}

/// What an end takes off the wall's length along the back; `gap` is left open at a casing.
fn shortening(end: &WallEnd, thickness: Length, gap: Length) -> Length {
    if let Some(rounding) = end.rounding {
        return rounding.shortening();
    }
    match (end.end, end.corner) {
        (End::Square, None) if end.at_opening => gap,
        // a board that runs square into a corner under 90 meets the other wall with its face first
        (
            End::Square,
            Some(Corner {
                turn: Turn::Inside,
                gauge,
            }),
        ) if gauge < Angle::RIGHT => thickness.times(1.0 / libm::tan(gauge.radians())),
        (End::Butt { gauge }, _) => hidden(gauge, thickness),
        (End::Return, _) => thickness,
        _ => Length::ZERO,
    }
}

/// t / tan(g/2): how much of a board's face the neighbour's thickness hides in an inside corner.
fn hidden(gauge: Angle, thickness: Length) -> Length {
    -End::InsideMiter { gauge }.reach(thickness)
}

/// The length along the back of a wall's board, not sprung.
fn back_length(wall: &Wall, thickness: Length, gap: Length) -> Length {
    wall.length - shortening(&wall.left, thickness, gap) - shortening(&wall.right, thickness, gap)
}

/// What is added to the board of a wall between two walls, so that it springs in.
fn spring(wall: &Wall, rules: &[Spring]) -> Length {
    let between_walls = [&wall.left, &wall.right].iter().all(|end| {
        matches!(
            end.corner,
            Some(Corner {
                turn: Turn::Inside,
                ..
            })
        )
    });
    let rules = rules
        .iter()
        .filter(|rule| between_walls && wall.length > rule.over);
    let rule = rules.max_by_key(|rule| rule.over);
    rule.map_or(Length::ZERO, |rule| rule.add)
}

/// A wall whose corners' boards leave nothing of its face to be seen, or that its cuts use up.
fn too_short(room: &Room, wall: &Wall, thickness: Length, gap: Length) -> Option<Finding> {
    let needs = |end: &WallEnd| match (end.end, end.corner) {
        (End::Return, _) => thickness,
        (End::OutsideMiter { .. }, _) if end.rounding.is_some() => shortening(end, thickness, gap),
        (End::Square, None) if end.at_opening => gap,
        (
            _,
            Some(Corner {
                turn: Turn::Inside,
                gauge,
            }),
        ) => hidden(gauge, thickness),
        (end, _) => (-end.reach(thickness)).max(Length::ZERO),
    };
    let needed = needs(&wall.left) + needs(&wall.right);
    (wall.length <= needed).then(|| {
        let mark = shared_model::Mark::SixtyFourth;
        let message = format!(
            "wall {} is {} long, and its two ends ({} and {}) take up {} before any face is left: measure it again, or leave it bare.",
            wall.number,
            wall.length.feet_inches(mark),
            wall.left.end.joint(),
            wall.right.end.joint(),
            needed.feet_inches(mark),
        );
        Finding::error(&room.name, &[wall.number], message)
    })
}

/// What a wall's board waits for: a cope or butt goes over a board that is on the wall already, and the shorter face of a
/// scarf goes on before the longer.
fn waits(wall: &Wall, spans: &[(u32, usize, usize)], drafts: &[Draft]) -> Vec<(usize, usize)> {
    let place = |number: u32, side: Side| {
        let span = spans.iter().find(|span| span.0 == number)?;
        Some(match side {
            Side::Left => span.1,
            Side::Right => span.2,
        })
    };
    let mut pairs = Vec::new();
    for side in [Side::Left, Side::Right] {
        let Some(own) = place(wall.number, side) else {
            continue;
        };
        let Some(other) = wall
            .end(side)
            .meets
            .and_then(|number| place(number, side.other()))
        else {
            continue;
        };
        let end = match side {
            Side::Left => drafts[own].left,
            Side::Right => drafts[own].right,
        };
        if matches!(
            end,
            End::Cope { .. } | End::Butt { .. } | End::ScarfOver { .. }
        ) {
            pairs.push((other, own));
        }
    }
    pairs
}
