//! What must hold of scarfs: walls longer than a stick are broken over studs into as few parts as can be, and the part
//! nearer to where people come in has the longer face.

use shared_model::{End, Side};

use super::laid::{Laid, Part, ROUNDING, THICKNESS};
use super::outline::{Strip, millimetres};

/// What trim, overlaps and ends of a part take of a stick at most.
const TAKEN: f64 = 80.0;

impl Laid<'_> {
    pub fn scarfs_are_over_studs_and_lap_away_from_the_door(&self) {
        for (strip, boards) in self.boards.iter().enumerate() {
            if boards.len() > 1 {
                self.is_well_broken(strip, boards);
            }
            for (left, right) in boards.iter().zip(boards.iter().skip(1)) {
                let middle = (left.back[1] + left.face[1]) / 2.0;
                self.laps_away(strip, middle, left.piece.right.end, right.piece.left.end);
            }
            let open = self
                .runs_on(strip, Side::Right)
                .and_then(|next| self.end(next, Side::Left));
            if let (Some(left), Some(right)) = (self.end(strip, Side::Right), open) {
                self.laps_away(strip, self.strip(strip).length(), left, right);
            }
        }
    }

    fn is_well_broken(&self, strip: usize, boards: &[Part<'_>]) {
        let what = self.what(strip);
        let length = self.strip(strip).length();
        let sticks = &self.plan.mouldings[0].sticks;
        let stick = sticks
            .iter()
            .map(|kind| millimetres(kind.length))
            .fold(0.0, f64::max);
        let least = millimetres(self.walk.scarf.least);
        assert!(length > stick - TAKEN, "{what}: broken without need");
        for board in boards {
            let from = board.back[0].min(board.face[0]);
            let to = board.back[1].max(board.face[1]);
            assert!(to - from <= stick, "{what}: {} from a stick", to - from);
        }
        let Some(stud) = self.walk.scarf.stud.map(millimetres) else {
            return;
        };
        // a choice that leaves so much to spare must have been found
        let sure = fewest_parts(length, stud, least + TAKEN, stick - TAKEN);
        let blocked = self.plan.findings.iter().any(|finding| {
            finding.room.as_ref() == Some(&self.outline.name)
                && finding.walls.iter().copied().eq(boards[0].piece.wall)
                && finding.message.contains("no stud")
        });
        if blocked {
            assert_eq!(sure, None, "{what}: studs would serve");
            return;
        }
        assert!(
            sure.is_none_or(|fewest| boards.len() <= fewest),
            "{what}: too many parts"
        );
        for (left, right) in boards.iter().zip(boards.iter().skip(1)) {
            let middle = (left.back[1] + left.face[1]) / 2.0;
            let off = middle - (middle / stud).round() * stud;
            assert!(off.abs() < ROUNDING, "{what}: {middle} is {off} off a stud");
            for part in [left, right] {
                let short = part.back[1] - part.back[0] < least - THICKNESS;
                assert!(!short, "{what}: a part silly short");
            }
        }
    }

    fn laps_away(&self, strip: usize, middle: f64, left: End, right: End) {
        let left_over = match (left, right) {
            (End::ScarfOver { bevel }, End::ScarfUnder { bevel: other }) if bevel == other => true,
            (End::ScarfUnder { bevel }, End::ScarfOver { bevel: other }) if bevel == other => false,
            ends => panic!("{}: {ends:?} are no scarf", self.what(strip)),
        };
        if let Some(nearer) = self.left_is_nearer_to_the_door(strip, middle) {
            assert_eq!(left_over, nearer, "{}, seam at {middle}", self.what(strip));
        }
    }

    /// Whether the part to the left of a seam is the one nearer to where people come in, so that nobody looks into the
    /// seam: the one on whose side of it, along this wall, the middle of the door stands. A room without an opening is
    /// entered where its walk begins, and the nearer way along the outline counts. None where neither side is nearer.
    fn left_is_nearer_to_the_door(&self, strip: usize, along: f64) -> Option<bool> {
        let strips = &self.outline.strips;
        let to_left = match self.outline.entry {
            Some(door) => {
                let line = self.strip(strip).line();
                let door = strips[door].line().at(strips[door].length() / 2.0);
                along - line.begin.to(door).dot(line.along)
            }
            None => {
                let lengths = |strips: &[Strip]| strips.iter().map(Strip::length).sum::<f64>();
                let by_left = lengths(&strips[..strip]) + along;
                let by_right = lengths(strips) - by_left;
                by_right - by_left
            }
        };
        (to_left.abs() > 1.0).then_some(to_left > 0.0)
    }
}

/// The fewest parts into which studs can break a wall, none of them shorter or longer than this.
fn fewest_parts(length: f64, stud: f64, shortest: f64, longest: f64) -> Option<usize> {
    let mut reached: Vec<(f64, usize)> = vec![(0.0, 0)];
    let studs = (1..)
        .map(|n| f64::from(n) * stud)
        .take_while(|&stud| stud < length);
    for place in studs.chain([length]) {
        let from = reached
            .iter()
            .filter(|(from, _)| (shortest..=longest).contains(&(place - from)));
        if let Some(parts) = from.map(|(_, parts)| parts + 1).min() {
            reached.push((place, parts));
        }
    }
    reached
        .iter()
        .find(|(place, _)| *place == length)
        .map(|(_, parts)| *parts)
}
