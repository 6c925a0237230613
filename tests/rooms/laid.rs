//! A room's pieces laid along its walls in the plane, reckoned from the outline alone: lines moved off the walls by the
//! board's thickness, and where they cross. What must hold of them stands in `joints`, `faces` and `seams`.

use planner::finding::{Finding, Severity};
use planner::plan::{Plan, PlannedPiece};
use planner::walk::Walk;
use shared_model::{End, Length, Side};

use super::outline::{Bend, Kind, Outline, Strip, millimetres};
use super::plane::Line;

/// The board's thickness, 9/16 in.
pub const THICKNESS: f64 = 14.2875;
/// A few units of length, for sums of rounded ones.
pub const ROUNDING: f64 = 0.01;
pub const SIDES: [Side; 2] = [Side::Left, Side::Right];

pub struct Laid<'a> {
    pub outline: &'a Outline,
    pub walk: &'a Walk,
    pub plan: &'a Plan,
    pub room: usize,
    /// What hangs on each strip of the outline, from installed left to right.
    pub boards: Vec<Vec<Part<'a>>>,
}

/// A piece on its wall: where its back and its face begin and end, measured along the wall from its installed left.
pub struct Part<'a> {
    pub place: usize,
    pub piece: &'a PlannedPiece,
    pub back: [f64; 2],
    pub face: [f64; 2],
}

/// Ends that go over a board that hangs already.
pub fn over(end: End) -> bool {
    matches!(end, End::Cope { .. } | End::Butt { .. })
}

/// Of a pair for left and right, the one at a side.
pub fn at<T: Copy>(pair: [T; 2], side: Side) -> T {
    match side {
        Side::Left => pair[0],
        Side::Right => pair[1],
    }
}

impl<'a> Laid<'a> {
    pub fn of(outlines: &'a [Outline], room: usize, walk: &'a Walk, plan: &'a Plan) -> Laid<'a> {
        let outline = &outlines[room];
        let mut laid = Laid {
            outline,
            walk,
            plan,
            room,
            boards: outline.strips.iter().map(|_| Vec::new()).collect(),
        };
        let walls = outline.walls(walk.direction);
        for (place, piece) in plan.pieces.iter().enumerate() {
            if piece.room == outline.name && piece.small().is_none() {
                let wall = piece.wall.expect("a room's piece has a wall") as usize;
                laid.boards[walls[wall - 1]].push(Part {
                    place,
                    piece,
                    back: [0.0; 2],
                    face: [0.0; 2],
                });
            }
        }
        for strip in 0..outline.strips.len() {
            laid.lay(strip);
        }
        laid
    }

    fn lay(&mut self, strip: usize) {
        let mut boards = std::mem::take(&mut self.boards[strip]);
        boards.sort_by_key(|board| board.piece.part);
        let first = boards.first().map(|board| board.piece.left.end);
        let mut begin = first.map_or(0.0, |end| self.takes_off(strip, Side::Left, end));
        for Part {
            piece, back, face, ..
        } in &mut boards
        {
            let reach = |end: End| millimetres(end.reach(self.thickness()));
            *back = [begin, begin + millimetres(piece.length)];
            *face = [
                back[0] - reach(piece.left.end),
                back[1] + reach(piece.right.end),
            ];
            begin = back[1];
        }
        self.boards[strip] = boards;
    }

    pub fn thickness(&self) -> Length {
        self.plan.mouldings[0].thickness
    }

    pub fn pieces(&self) -> usize {
        self.boards.iter().map(Vec::len).sum()
    }

    pub fn strip(&self, strip: usize) -> &Strip {
        &self.outline.strips[strip]
    }

    /// The line of the faces of a strip's boards.
    pub fn face_line(&self, strip: usize) -> Line {
        self.strip(strip).line().moved_right(THICKNESS)
    }

    pub fn what(&self, strip: usize) -> String {
        let walls = self.outline.walls(self.walk.direction);
        let number = walls
            .iter()
            .position(|&wall| wall == strip)
            .map_or(0, |place| place + 1);
        let (name, walk) = (&self.outline.name, self.walk);
        format!(
            "{name}, wall {number}, {:?}, cope {:?}",
            walk.direction, walk.cope
        )
    }

    /// The board at one end of a strip.
    pub fn outermost(&self, strip: usize, side: Side) -> Option<&Part<'a>> {
        match side {
            Side::Left => self.boards[strip].first(),
            Side::Right => self.boards[strip].last(),
        }
    }

    /// What is cut at one end of a strip.
    pub fn end(&self, strip: usize, side: Side) -> Option<End> {
        self.outermost(strip, side)
            .map(|board| board.piece.end(side).end)
    }

    /// The strip beyond one end of this one, and the corner between them.
    fn beyond(&self, strip: usize, side: Side) -> (usize, Option<Bend>) {
        match side {
            Side::Left => {
                let other = self.outline.before(strip);
                (other, self.strip(other).corner)
            }
            Side::Right => (self.outline.next(strip), self.strip(strip).corner),
        }
    }

    /// The strip with board, new or old, that this one meets round a corner at one of its ends.
    pub fn meets(&self, strip: usize, side: Side) -> Option<(usize, Bend)> {
        let (other, corner) = self.beyond(strip, side);
        let carries = self.strip(other).kind != Kind::Opening;
        corner.filter(|_| carries).map(|bend| (other, bend))
    }

    /// The wall that goes on from this one in the same line.
    pub fn runs_on(&self, strip: usize, side: Side) -> Option<usize> {
        let (other, corner) = self.beyond(strip, side);
        let wall = self.strip(other).kind == Kind::Wall;
        (wall && corner.is_none()).then_some(other)
    }

    /// A place on a strip's line, as the distance from the strip's end at `side`.
    pub fn off_end(&self, strip: usize, side: Side, along: f64) -> f64 {
        at([along, self.strip(strip).length() - along], side)
    }

    /// How far from the wall's end a board begins along its back.
    pub fn takes_off(&self, strip: usize, side: Side, end: End) -> f64 {
        let face = self.face_line(strip);
        match (end, self.meets(strip, side)) {
            // the face of a board that runs square into a corner stops at the other wall
            (End::Square, Some((other, bend))) if bend.inside => {
                let struck = face.crosses(&self.strip(other).line());
                self.off_end(strip, side, struck).max(0.0)
            }
            (End::Butt { .. }, Some((other, _))) => {
                self.off_end(strip, side, face.crosses(&self.face_line(other)))
            }
            // the finished end is the long point
            (End::Return, _) => THICKNESS,
            _ => 0.0,
        }
    }

    /// Every wall has one board, or parts that add up to it; only walls whose joints use them up have none, and an error
    /// says so.
    pub fn each_wall_is_covered_once(&self) {
        let mut bare = Vec::new();
        for (strip, number) in self
            .outline
            .walls(self.walk.direction)
            .into_iter()
            .zip(1u32..)
        {
            let (what, length) = (self.what(strip), self.strip(strip).length());
            let boards = &self.boards[strip];
            let count = boards.len() as u32;
            let parts = boards
                .iter()
                .map(|board| (board.piece.part, board.piece.parts));
            assert!(parts.eq((1..=count).map(|part| (part, count))), "{what}");
            let hidden = SIDES.map(|side| {
                let other = self
                    .meets(strip, side)
                    .map(|(other, _)| self.face_line(other));
                let crossing = other.map(|other| self.face_line(strip).crosses(&other));
                crossing.map_or(0.0, |along| self.off_end(strip, side, along))
            });
            let Some(last) = boards.last() else {
                let least = hidden[0].max(0.0) + hidden[1].max(0.0);
                assert!(length <= least + ROUNDING, "{what} is left out");
                bare.push(number);
                continue;
            };
            assert!(
                length > hidden[0] + hidden[1],
                "{what} has no face to be seen"
            );
            let due = length - self.takes_off(strip, Side::Right, last.piece.right.end);
            let ends = last.back[1];
            assert!(
                (ends - due).abs() < ROUNDING,
                "{what} ends at {ends}, not {due}"
            );
        }
        let errors = self.plan.findings.iter().filter(|finding| {
            finding.severity == Severity::Error && finding.room.as_ref() == Some(&self.outline.name)
        });
        let errors: Vec<&Finding> = errors.collect();
        let mut told: Vec<u32> = errors
            .iter()
            .flat_map(|error| error.walls.clone())
            .collect();
        told.sort_unstable();
        assert_eq!(told, bare, "{}: {errors:?}", self.outline.name);
    }
}
