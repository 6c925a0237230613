//! What must hold of the joints of a room: corners close, rings are broken, and what goes over another board comes after
//! it.

use planner::walk::Direction;
use shared_model::{End, Joint, Length, Side};

use super::laid::{Laid, Part, SIDES, over};
use super::outline::{Bend, Kind};

/// A piece shorter than this may be left square for its neighbours to be coped over it.
const SHORT: f64 = 300.0;

impl Laid<'_> {
    /// In every corner the two ends make a joint, for the corner's angle; at an opening a board stops square.
    pub fn corners_are_closed(&self) {
        for strip in 0..self.outline.strips.len() {
            for side in SIDES {
                let Some(end) = self.end(strip, side) else {
                    continue;
                };
                match (self.meets(strip, side), self.runs_on(strip, side)) {
                    (Some((other, bend)), _) => {
                        self.end_suits_its_corner(strip, end, bend);
                        self.ends_suit_each_other(strip, side, end, other);
                    }
                    (None, Some(other)) => {
                        self.is_scarfed(strip, end, self.end(other, side.other()))
                    }
                    (None, None) => self.stops_as_told(strip, side, end),
                }
            }
        }
    }

    /// At an opening a board is square, but where a return is forced.
    fn stops_as_told(&self, strip: usize, side: Side, end: End) {
        let mut walked = self.outline.walked(self.walk.direction).into_iter();
        let at = walked.position(|walked| walked == strip);
        let item = at.map(|at| self.walk.rooms[self.room].outline[at]);
        let forced = item.and_then(|item| match side {
            Side::Left => item.left,
            Side::Right => item.right,
        });
        let due = match forced {
            Some(Joint::Return) => End::Return,
            _ => End::Square,
        };
        assert_eq!(end, due, "{}", self.what(strip));
    }

    fn end_suits_its_corner(&self, strip: usize, end: End, bend: Bend) {
        let what = format!("{}: {end:?} in {bend:?}", self.what(strip));
        let gauge = (bend.gauge * 100.0).round() as u16;
        let mitered = gauge > self.walk.cope_up_to.in_hundredths();
        let moulded = self.plan.mouldings[0].profile > Length::ZERO;
        let suits = match end {
            End::OutsideMiter { .. } => !bend.inside,
            End::InsideMiter { .. } => bend.inside && mitered,
            End::Cope { .. } => bend.inside && !mitered && moulded,
            End::Butt { .. } => bend.inside && !mitered && !moulded,
            End::Square => bend.inside && !mitered,
            End::ScarfOver { .. } | End::ScarfUnder { .. } | End::Return => false,
        };
        assert!(suits, "{what}");
        let read = end.gauge().map(|gauge| gauge.in_hundredths());
        assert!(read.is_none_or(|read| read == gauge), "{what}");
    }

    fn ends_suit_each_other(&self, strip: usize, side: Side, end: End, other: usize) {
        let mate = self.end(other, side.other());
        let what = format!("{}: {end:?} {mate:?}", self.what(strip));
        let Some(mate) = mate else {
            // new board goes over what hangs already
            let hangs = self.strip(other).kind == Kind::Existing;
            assert!(!hangs || end != End::Square, "{what}");
            return;
        };
        match end {
            End::OutsideMiter { .. } | End::InsideMiter { .. } => assert_eq!(end, mate, "{what}"),
            _ => assert_ne!(over(end), over(mate), "{what}"),
        }
        let long = [strip, other]
            .iter()
            .all(|&strip| self.strip(strip).length() > SHORT);
        if over(end) && long && !self.is_a_ring() {
            assert_eq!(side, self.walk.cope, "{what}: coped on the wrong hand");
        }
    }

    fn is_scarfed(&self, strip: usize, end: End, mate: Option<End>) {
        let (over, under) = match (end, mate) {
            (End::ScarfOver { bevel }, Some(End::ScarfUnder { bevel: other })) => (bevel, other),
            (End::ScarfUnder { bevel }, Some(End::ScarfOver { bevel: other })) => (other, bevel),
            ends => panic!("{}: {ends:?} are no scarf", self.what(strip)),
        };
        assert_eq!(
            (over, under),
            (self.walk.scarf.bevel, self.walk.scarf.bevel)
        );
    }

    /// Closed, with board all round, every corner an inside one that is coped.
    pub fn is_a_ring(&self) -> bool {
        let limit = f64::from(self.walk.cope_up_to.in_hundredths()) / 100.0;
        let coped = |bend: Bend| bend.inside && bend.gauge < limit + 0.005;
        self.outline
            .strips
            .iter()
            .enumerate()
            .all(|(place, strip)| {
                let board = strip.kind == Kind::Wall && !self.boards[place].is_empty();
                board && strip.corner.is_none_or(coped)
            })
    }

    /// A ring's first-walked piece is square at both ends, and the one that meets it on its coping side coped at both.
    pub fn a_ring_is_broken_at_its_beginning(&self) {
        let open_joint = self
            .outline
            .strips
            .iter()
            .any(|strip| strip.corner.is_none());
        if open_joint || !self.is_a_ring() {
            return;
        }
        let walls = self.outline.walls(self.walk.direction);
        let both = match (self.walk.direction, self.walk.cope) {
            (Direction::Clockwise, Side::Left) | (Direction::CounterClockwise, Side::Right) => {
                walls.len() - 1
            }
            _ => 1,
        };
        for (place, &strip) in walls.iter().enumerate() {
            let goes_over = SIDES.map(|side| self.end(strip, side).is_some_and(over));
            let due = match place {
                0 => [false, false],
                place if place == both => [true, true],
                _ => SIDES.map(|side| side == self.walk.cope),
            };
            assert_eq!(goes_over, due, "{}", self.what(strip));
        }
    }

    /// Every piece goes on the wall once, after what it goes over.
    pub fn what_goes_over_comes_after(&self) {
        let install = &self.plan.install[self.room];
        assert_eq!(install.room, self.outline.name);
        let board = |place: &usize| self.plan.pieces[*place].small().is_none();
        let mut all: Vec<usize> = install.order.iter().copied().filter(board).collect();
        let mut due: Vec<usize> = self
            .boards
            .iter()
            .flatten()
            .map(|part| part.place)
            .collect();
        all.sort_unstable();
        due.sort_unstable();
        assert_eq!(all, due, "{}", self.outline.name);
        let turn = |part: &Part<'_>| install.order.iter().position(|&place| place == part.place);
        let later = |end: End| over(end) || matches!(end, End::ScarfOver { .. });
        for (strip, boards) in self.boards.iter().enumerate() {
            let round = self.meets(strip, Side::Right).map(|(other, _)| other);
            let next = round.or(self.runs_on(strip, Side::Right));
            let next = next.and_then(|next| self.boards[next].first());
            let within = boards.iter().zip(boards.iter().skip(1));
            for (left, right) in within.chain(boards.last().zip(next)) {
                let what = self.what(strip);
                let order = (turn(left), turn(right));
                assert!(!later(left.piece.right.end) || order.0 > order.1, "{what}");
                assert!(!later(right.piece.left.end) || order.1 > order.0, "{what}");
            }
        }
    }
}
