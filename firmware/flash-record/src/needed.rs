//! Which of the statements in a log are needed so that their fold gives the same place, whatever the list: for a piece
//! that was cut and nothing else, the one "done". How they are kept is left to `marks`.
//!
//! What was said of one piece, or of one stick of one list, changes nothing for another, and of the times only their
//! order counts. So each is looked at alone, a few at a time in a small table: a pass over the log for each tableful.

use heapless::Vec;
use shared_model::{PieceId, Reason, What};

/// The most statements that can be looked at: a set of marks and the longest log.
const MOST: usize = crate::marks::MOST as usize
    + (crate::chip::MOST_LOG_SECTORS * crate::chip::SECTOR) as usize / crate::chip::SLOT;

/// How many pieces and sticks are looked at in one pass.
const AT_ONCE: usize = 16;

/// A set of places in the log.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Places([u8; MOST.div_ceil(8)]);

impl Places {
    /// No place.
    pub const NONE: Places = Places([0; MOST.div_ceil(8)]);

    /// Whether a place is in the set.
    pub fn has(&self, place: usize) -> bool {
        self.0
            .get(place / 8)
            .is_some_and(|byte| byte & 1 << (place % 8) != 0)
    }

    fn add(&mut self, place: usize) {
        if let Some(byte) = self.0.get_mut(place / 8) {
            *byte |= 1 << (place % 8);
        }
    }
}

/// What a statement is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Subject {
    Piece(PieceId),
    Stick { list: u32, stick: u16 },
}

impl Subject {
    fn of(what: What) -> Subject {
        match what {
            What::Done { piece, .. }
            | What::TakenBack { piece }
            | What::SetAside { piece }
            | What::CutAgain { piece, .. } => Subject::Piece(piece),
            What::BadStick { list, stick } | What::StickKept { list, stick } => {
                Subject::Stick { list, stick }
            }
        }
    }
}

type Said = (usize, What);

/// How one piece or stick stands, as the place folds it, for every list at once.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
struct Standing {
    cut: bool,
    aside: bool,
    again: Option<Reason>,
    /// By which list it was cut when it was last called to be cut again: for another one that is planned.
    again_after: Option<u32>,
    /// By which list it was cut and when, until that is taken back.
    cut_at: Option<(u32, usize)>,
    said_at: Option<usize>,
    bad_at: Option<usize>,
}

impl Standing {
    fn take(&mut self, (place, what): Said) {
        match what {
            What::Done { list, .. } => {
                self.cut = true;
                self.cut_at = Some((list, place));
                self.said_at = Some(place);
            }
            What::SetAside { .. } => {
                self.aside = true;
                self.said_at = Some(place);
            }
            What::CutAgain { reason, .. } => {
                self.cut = false;
                self.aside = false;
                self.again = Some(reason);
                self.again_after = self.cut_at.map(|(list, _)| list);
                self.said_at = Some(place);
            }
            What::TakenBack { .. } => {
                self.said_at = None;
                if self.cut {
                    self.cut = false;
                    self.cut_at = None;
                } else if self.aside {
                    self.aside = false;
                } else if self.again.is_some() {
                    (self.again, self.again_after) = (None, None);
                    self.cut = true;
                }
            }
            What::BadStick { .. } => self.bad_at = Some(place),
            What::StickKept { .. } => self.bad_at = None,
        }
    }
}

/// One piece or stick, how it stands, and the last statement of each kind.
#[derive(Debug, Clone, Copy)]
struct Row {
    of: Subject,
    standing: Standing,
    done: Option<Said>,
    aside: Option<Said>,
    again: Option<Said>,
    /// The cut that stood when it was last called to be cut again.
    before_again: Option<Said>,
    bad: Option<Said>,
    /// The last taking back, and what it undid.
    taken_back: Option<(Said, Option<Said>)>,
}

impl Row {
    fn new(of: Subject) -> Row {
        Row {
            of,
            standing: Standing::default(),
            done: None,
            aside: None,
            again: None,
            before_again: None,
            bad: None,
            taken_back: None,
        }
    }

    fn take(&mut self, said: Said) {
        let before = self.standing;
        self.standing.take(said);
        match said.1 {
            What::Done { .. } => self.done = Some(said),
            What::SetAside { .. } => self.aside = Some(said),
            What::CutAgain { .. } => {
                self.again = Some(said);
                self.before_again = self.done.filter(|_| before.cut_at.is_some());
            }
            What::BadStick { .. } => self.bad = Some(said),
            What::StickKept { .. } => {}
            What::TakenBack { .. } => {
                let undone = match before {
                    Standing { cut: true, .. } => self.done,
                    Standing { aside: true, .. } => self.aside,
                    _ => self.again,
                };
                self.taken_back = Some((said, undone));
            }
        }
    }

    /// The fewest statements, in order, that are known to give the same standing; none where only all of them do.
    fn enough(&self) -> Option<Vec<Said, 7>> {
        let it = self.standing;
        let done = self.done.filter(|_| it.cut_at.is_some());
        let aside = self.aside.filter(|_| it.aside);
        let again = self.again.filter(|_| it.again.is_some());
        let first = self.before_again.filter(|_| it.again.is_some());
        let bad = self.bad.filter(|_| it.bad_at.is_some());
        let plain = [first, done, aside, again, bad, None, None];
        let (back, undone) = match self.taken_back {
            Some((back, undone)) => (Some(back), undone),
            None => (None, None),
        };
        let with_back = [first, done, aside, again, bad, undone, back];
        [plain, with_back].into_iter().find_map(|picked| {
            let mut in_order: Vec<Said, 7> = Vec::new();
            for said in picked.into_iter().flatten() {
                let at = in_order.iter().take_while(|(place, _)| *place < said.0);
                let at = at.count();
                if in_order.get(at).is_none_or(|(place, _)| *place != said.0) {
                    in_order.insert(at, said).ok()?;
                }
            }
            let mut standing = Standing::default();
            in_order.iter().for_each(|said| standing.take(*said));
            (standing == it).then_some(in_order)
        })
    }
}

/// The places of the statements that are needed. `log` gives them all, from the first, each time it is asked.
pub fn needed<I: Iterator<Item = What>>(log: impl Fn() -> I) -> Places {
    let mut needed = Places::NONE;
    let mut seen = Places::NONE;
    loop {
        let mut rows: Vec<Row, AT_ONCE> = Vec::new();
        for said in log().enumerate() {
            if seen.has(said.0) {
                continue;
            }
            let of = Subject::of(said.1);
            let row = match rows.iter().position(|row| row.of == of) {
                Some(row) => row,
                None => {
                    if rows.push(Row::new(of)).is_err() {
                        continue;
                    }
                    rows.len() - 1
                }
            };
            seen.add(said.0);
            rows[row].take(said);
        }
        if rows.is_empty() {
            return needed;
        }
        for row in &rows {
            match row.enough() {
                Some(picked) => picked.iter().for_each(|(place, _)| needed.add(*place)),
                None => {
                    let all = log()
                        .enumerate()
                        .filter(|(_, what)| Subject::of(*what) == row.of);
                    all.for_each(|(place, _)| needed.add(place));
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use mock_flash::Dice;
    use std::vec::Vec;

    use super::*;

    /// A statement of one of two pieces or sticks, by one of two lists; machines say less than this.
    fn random(dice: &mut Dice) -> What {
        let piece = PieceId(dice.roll(2) as u32);
        let (list, stick) = (dice.roll(2) as u32, dice.roll(2) as u16);
        match dice.roll(7) {
            0 | 1 => What::Done { piece, list },
            2 => What::TakenBack { piece },
            3 => What::SetAside { piece },
            4 => What::CutAgain {
                piece,
                reason: Reason::ALL[dice.roll(3) as usize],
            },
            5 => What::BadStick { list, stick },
            _ => What::StickKept { list, stick },
        }
    }

    fn standings(log: &[Said]) -> Vec<Standing> {
        let keys = (0..2).map(|id| Subject::Piece(PieceId(id)));
        let sticks = (0..4).map(|n| Subject::Stick {
            list: n / 2,
            stick: (n % 2) as u16,
        });
        keys.chain(sticks)
            .map(|key| {
                let mut standing = Standing::default();
                let own = log.iter().filter(|(_, what)| Subject::of(*what) == key);
                own.for_each(|said| standing.take(*said));
                standing
            })
            .collect()
    }

    #[test]
    fn what_is_needed_gives_the_same_standing_and_is_short() {
        let mut dice = Dice::new(1);
        let mut longest = 0;
        for _ in 0..20_000 {
            let length = dice.roll(24) as usize;
            let log: Vec<What> = (0..length).map(|_| random(&mut dice)).collect();
            let needed = needed(|| log.iter().copied());
            let all: Vec<Said> = log.iter().copied().enumerate().collect();
            let kept: Vec<Said> = all
                .iter()
                .copied()
                .filter(|said| needed.has(said.0))
                .collect();
            assert_eq!(standings(&kept), standings(&all), "{log:?}");
            longest = longest.max(kept.len());
        }
        // two pieces and four sticks; where two take-backs of one piece are needed, all that was said of it is kept
        assert!(longest <= 20, "{longest}");
    }

    #[test]
    fn a_piece_that_was_cut_needs_one_statement_and_one_taken_back_none() {
        let (piece, list) = (PieceId(1), 7);
        let done = What::Done { piece, list };
        let back = What::TakenBack { piece };
        let again = What::CutAgain {
            piece,
            reason: Reason::Short,
        };
        let count = |log: &[What]| {
            let needed = needed(|| log.iter().copied());
            (0..log.len()).filter(|place| needed.has(*place)).count()
        };
        assert_eq!(count(&[done]), 1);
        assert_eq!(count(&[done, back]), 0);
        assert_eq!(count(&[done, back, done]), 1);
        assert_eq!(count(&[done, again, done, back, done, again, done]), 3);
        // it was said, and no longer can be taken back
        assert_eq!(count(&[done, again, back]), 3);
    }

    #[test]
    fn more_pieces_than_fit_a_pass_are_all_kept() {
        let list = 7;
        let done = |id| What::Done {
            piece: PieceId(id),
            list,
        };
        let needed = needed(|| (0..500).map(done));
        assert!((0..500).all(|place| needed.has(place)));
        assert!(!needed.has(500));
    }
}
