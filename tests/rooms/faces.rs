//! What must hold of the faces that are seen: they end where the neighbour's begin, all round the room, and no board
//! reaches into a wall or another board.

use shared_model::{End, Side};

use super::laid::{Laid, ROUNDING, SIDES, THICKNESS, at};
use super::outline::Kind;
use super::plane::Point;

/// How close faces must come in a joint.
const CLOSED: f64 = 0.05;

impl Laid<'_> {
    pub fn faces_close(&self) {
        for strip in 0..self.outline.strips.len() {
            let round = self.meets(strip, Side::Right).map(|(other, _)| other);
            if let Some(other) = round.or(self.runs_on(strip, Side::Right)) {
                let ends = (
                    self.seen_end(strip, Side::Right),
                    self.seen_end(other, Side::Left),
                );
                if let (Some(here), Some(there)) = ends {
                    let gap = here.to(there).length();
                    let what = self.what(strip);
                    assert!(
                        gap < CLOSED,
                        "{what}: faces {gap} apart, {here:?} {there:?}"
                    );
                }
            }
            for side in SIDES {
                self.stays_in_the_room(strip, side);
                self.hides_what_it_should(strip, side);
            }
            let boards = &self.boards[strip];
            for board in boards {
                assert!(board.back[1] > board.back[0], "{}", self.what(strip));
            }
            for (left, right) in boards.iter().zip(boards.iter().skip(1)) {
                let gap = (left.face[1] - right.face[0]).abs();
                assert!(
                    gap < ROUNDING,
                    "{}: scarfed faces {gap} apart",
                    self.what(strip)
                );
            }
        }
    }

    /// Where the face line of a strip meets its neighbour's.
    fn crossing(&self, strip: usize, other: usize) -> f64 {
        self.face_line(strip).crosses(&self.face_line(other))
    }

    /// Where the face that is seen ends at one end of a strip, if there is board: at the board's own end, or where the
    /// neighbour's board covers it.
    fn seen_end(&self, strip: usize, side: Side) -> Option<Point> {
        let meets = self.meets(strip, side);
        let along = match (self.end(strip, side), meets) {
            (Some(End::Square), Some((other, bend))) if bend.inside => self.crossing(strip, other),
            (Some(_), _) => at(self.outermost(strip, side)?.face, side),
            (None, Some((other, _))) if self.strip(strip).kind == Kind::Existing => {
                self.crossing(strip, other)
            }
            (None, _) => return None,
        };
        Some(self.face_line(strip).at(along))
    }

    /// No end reaches into the wall that it meets; a butt stays clear of that wall's board too, back and face.
    fn stays_in_the_room(&self, strip: usize, side: Side) {
        let (Some(board), Some((other, bend))) =
            (self.outermost(strip, side), self.meets(strip, side))
        else {
            return;
        };
        if !bend.inside {
            return;
        }
        let end = board.piece.end(side).end;
        let thickness = self.thickness();
        let face = at(board.face, side);
        let (back, clear) = match end {
            End::Butt { .. } => {
                let sawn_off = (end.slope(thickness) - end.reach(thickness)).units();
                let sawn_off = f64::from(sawn_off) / 640.0;
                (
                    at([board.back[0] + sawn_off, board.back[1] - sawn_off], side),
                    THICKNESS,
                )
            }
            _ => (at(board.back, side), 0.0),
        };
        for point in [
            self.strip(strip).line().at(back),
            self.face_line(strip).at(face),
        ] {
            let free = self.strip(other).line().beside(point) - clear;
            assert!(
                free > -CLOSED,
                "{}, {side:?}: {end:?} by {free}",
                self.what(strip)
            );
        }
    }

    /// A square end in an inside corner of gauge angle g hides t / tan(g/2) of its face behind the neighbour's board; under
    /// 90 it is t / tan(g) shorter.
    fn hides_what_it_should(&self, strip: usize, side: Side) {
        let (Some(board), Some((other, bend))) =
            (self.outermost(strip, side), self.meets(strip, side))
        else {
            return;
        };
        if board.piece.end(side).end != End::Square || !bend.inside {
            return;
        }
        let face = self.off_end(strip, side, at(board.face, side));
        let hidden = self.off_end(strip, side, self.crossing(strip, other)) - face;
        let gauge = bend.gauge.to_radians();
        let shorter = if bend.gauge < 90.0 {
            THICKNESS / gauge.tan()
        } else {
            0.0
        };
        let due = THICKNESS / (gauge / 2.0).tan() - shorter;
        let what = self.what(strip);
        assert!(
            (hidden - due).abs() < CLOSED,
            "{what}, {side:?}: {hidden} hidden, not {due}"
        );
    }
}
