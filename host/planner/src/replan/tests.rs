//! Histories from a number: pieces cut, taken back, set aside and cut again, bad sticks, edited sheets, two stations; and lists
//! loaded in between until all is cut. What must hold is reckoned here from lists and events alone, in plain sums.

use std::collections::{BTreeMap, BTreeSet};

use shared_model::{
    Angle, End, Event, Length, Mark, PieceEnd, PieceId, PieceState, Place, Reason, SawList,
    TakeBack, Unit, What,
};

use super::*;
use crate::plan::Stick;
use crate::sticks::tests::level::{Draw, moulding, saw};
use crate::walk::{CutList, ListedPiece};

const EFFORT: u32 = 20;

fn sheet(draw: &mut Draw, pieces: i32) -> Sheet {
    let mut plinth = moulding(&[(12, None, None)], &[]);
    plinth.name = "plinth".to_owned();
    plinth.profile = Length::ZERO;
    let base = moulding(&[(16, Some(2150), None), (12, Some(1700), None)], &[61, 40]);
    let piece = |wall: i32| listed(draw, wall);
    let pieces = (1..=pieces).map(piece).collect();
    Sheet::CutList(CutList {
        setup: Setup {
            level: "Upper floor".to_owned(),
            unit: Unit::Inch,
            mark: Mark::Sixteenth,
            saw: saw(),
            mouldings: vec![base, plinth],
            old_house: false,
        },
        pieces,
    })
}

fn listed(draw: &mut Draw, wall: i32) -> ListedPiece {
    let right = Angle::RIGHT;
    let end = |draw: &mut Draw| match draw.between(0, 5) {
        0 => End::Cope { gauge: right },
        1 => End::OutsideMiter { gauge: right },
        2 => End::InsideMiter {
            gauge: Angle::degrees(135),
        },
        _ => End::Square,
    };
    ListedPiece {
        room: format!("Room {}", wall / 6),
        wall: Some(wall as u32),
        moulding: usize::from(draw.one_in(5)),
        length: Length::sixteenths(draw.between(6 * 16, 142 * 16)),
        left: end(draw),
        right: end(draw),
    }
}

/// A saw with what happened at it so far.
struct Job {
    sheet: Sheet,
    history: History,
    /// The digest of the list that each station has, and all that was said at it.
    stations: [(Option<u32>, Vec<Event>); 2],
    /// The sheet was edited at some time.
    edited: bool,
}

impl Job {
    fn new(sheet: Sheet) -> Job {
        Job {
            sheet,
            history: History::default(),
            stations: [(None, Vec::new()), (None, Vec::new())],
            edited: false,
        }
    }

    fn place(&self, station: usize) -> Option<(Place, &SawSheet)> {
        let (list, log) = &self.stations[station];
        let mut lists = self.history.lists.iter();
        let list = lists.find(|of| Some(of.head.digest) == *list)?;
        let mut place = Place::at_start(list)?;
        log.iter().for_each(|event| place.take(event));
        Some((place, list))
    }

    fn say(&mut self, station: usize, what: What) {
        let log = &mut self.stations[station].1;
        let event = Event {
            sequence: log.len() as u32 + 1,
            boot: 1,
            milliseconds: 0,
            what,
        };
        log.push(event);
        self.history.events.push(Heard {
            event,
            lists: self.history.lists.len(),
            station: StationId(station as u64),
        });
    }

    fn rest(&self, station: usize) -> Rest {
        let history = History {
            station: Some(StationId(station as u64)),
            ..self.history.clone()
        };
        let mut go_on = |_| true;
        let mut effort = Effort::new(EFFORT, &mut go_on);
        rest(&self.sheet, &Wishes::USUAL, &history, &mut effort)
    }

    fn plan_in_use(&self) -> Option<Plan> {
        let mut go_on = |_| true;
        let mut effort = Effort::new(EFFORT, &mut go_on);
        plan_in_use(&self.sheet, &Wishes::USUAL, &self.history, &mut effort)
    }

    /// Asks for the rest, sees that it is right, and gives it to a station; whether anything is left.
    fn load(&mut self, station: usize) -> bool {
        let list = match self.rest(station) {
            Rest::AllCut => {
                assert_eq!(self.to_cut(), BTreeSet::new());
                return false;
            }
            Rest::Serves(list) => {
                let place = self.place(station);
                let left = (list.pieces.iter())
                    .filter(|piece| !self.is_cut(piece.id))
                    .map(|piece| piece.id);
                assert_eq!(left.collect::<BTreeSet<_>>(), self.to_cut());
                if let Some((place, used)) = place
                    && used.head.digest == list.head.digest
                {
                    let progress = place.progress();
                    assert_eq!((progress.no_stick, progress.again), (0, 0));
                }
                let again = self.plan_in_use().map(|plan| SawSheet::of(&plan));
                // a sheet that was edited and still asks for the same may give the list in another order
                if !self.edited {
                    assert_eq!(again, Some(Ok((*list).clone())));
                }
                *list
            }
            Rest::Anew(plan) => {
                self.check(&plan);
                SawSheet::of(&plan).expect("it fits")
            }
        };
        let digest = list.head.digest;
        let lists = &mut self.history.lists;
        if self.history.events.is_empty() {
            lists.retain(|known| known.head.digest != digest);
        }
        if lists.iter().all(|known| known.head.digest != digest) {
            lists.push(list);
        }
        self.history.in_use = Some(digest);
        self.stations[station].0 = Some(digest);
        let (place, _) = self.place(station).expect("a list");
        assert!(
            place.current().is_some(),
            "something is left, and it can be cut"
        );
        true
    }

    /// Whether a piece is cut, as the place of a list that names it says at any station.
    fn is_cut(&self, piece: PieceId) -> bool {
        let mut lists = self.history.lists.iter();
        let Some(list) = lists.rfind(|list| list.pieces.iter().any(|p| p.id == piece)) else {
            return false;
        };
        self.stations.iter().any(|(_, log)| {
            let mut place = Place::at_start(list).expect("a list");
            log.iter().for_each(|event| place.take(event));
            let index = place.index(piece).expect("it is in the list");
            place.state(index) == Some(PieceState::Done)
        })
    }

    /// Every piece of the sheet that is not cut.
    fn to_cut(&self) -> BTreeSet<PieceId> {
        let all = level_of(&self.sheet, &Wishes::USUAL).pieces;
        let all = all.iter().map(|piece| piece.id);
        all.filter(|id| !self.is_cut(*id)).collect()
    }

    fn check(&self, plan: &Plan) {
        for finding in &plan.findings {
            let message = &finding.message;
            assert!(!message.contains("planned wrong"), "{message}");
        }
        let planned = plan.sticks.iter().flat_map(|stick| &stick.pieces);
        let mut planned: Vec<PieceId> = planned.map(|&at| plan.pieces[at].id).collect();
        let count = planned.len();
        planned.sort_unstable();
        planned.dedup();
        assert_eq!(planned.len(), count, "no piece is planned twice");
        assert_eq!(planned.into_iter().collect::<BTreeSet<_>>(), self.to_cut());
        let told: Vec<&str> = (plan.findings.iter())
            .filter_map(|finding| finding.message.strip_prefix("To be bought"))
            .collect();
        match self.history.is_empty() {
            true => assert_eq!(told.len(), 0),
            false => assert_eq!(told.len(), usize::from(!plan.buy().is_empty())),
        }
        for (number, stock) in self.sheet.setup().mouldings.iter().enumerate() {
            let on_hand = |stick: &&Stick| stick.moulding == number && stick.from_offcut;
            let used = plan.sticks.iter().filter(on_hand);
            let used: i64 = used.map(|stick| i64::from(stick.length.units())).sum();
            let there = self.wood(stock);
            assert!(used <= there, "{used} of {there} of {}", stock.name);
        }
    }

    /// How much of a moulding there can be at most: what was bought and the file's offcuts, less what came off.
    fn wood(&self, stock: &MouldingStock) -> i64 {
        let units = |length: Length| i64::from(length.units());
        let mut there: i64 = stock.offcuts.iter().map(|&length| units(length)).sum();
        let events = self.history.events.iter();
        let events: Vec<What> = events.map(|heard| heard.event.what).collect();
        // a cut that was taken back may have been one all the same: it is left out
        let stands = |piece: PieceId, digest: u32| {
            let cuts = events.iter().filter(|what| {
                **what
                    == What::Done {
                        piece,
                        list: digest,
                    }
            });
            let backs = events
                .iter()
                .filter(|what| **what == What::TakenBack { piece });
            cuts.count() > backs.count()
        };
        for list in &self.history.lists {
            let mut bought: BTreeMap<u16, Length> = BTreeMap::new();
            for piece in &list.pieces {
                let shape = &list.head.mouldings[usize::from(piece.moulding)];
                if shape.name.as_str() != stock.name {
                    continue;
                }
                if !piece.from_offcut {
                    bought.insert(piece.stick, piece.stick_length);
                }
                if stands(piece.id, list.head.digest) {
                    let reach = |end: PieceEnd| end.end.reach(shape.thickness).units().min(0);
                    let shorter = i64::from(reach(piece.left) + reach(piece.right));
                    there -= (units(piece.length) + shorter).max(0);
                }
            }
            there += bought.into_values().map(units).sum::<i64>();
        }
        there
    }

    /// Something is said at a station, as its keys allow.
    fn press(&mut self, draw: &mut Draw, station: usize, only_done: bool) {
        let Some((place, list)) = self.place(station) else {
            return;
        };
        let digest = list.head().digest;
        let piece = |index: u16| place.id(index).expect("a piece");
        let current = place.current();
        let done = |index| What::Done {
            piece: piece(index),
            list: digest,
        };
        let what = match (draw.between(0, 19), current) {
            (_, Some(index)) if only_done => Some(done(index)),
            (0..=11, Some(index)) => Some(done(index)),
            (12..=13, _) => place.to_take_back().map(|what| match what {
                TakeBack::Piece(index) => What::TakenBack {
                    piece: piece(index),
                },
                TakeBack::Stick(stick) => What::StickKept {
                    list: digest,
                    stick,
                },
            }),
            (14..=16, Some(index)) => Some(What::SetAside {
                piece: piece(index),
            }),
            (17, Some(index)) => place.stick(index).map(|stick| What::BadStick {
                list: digest,
                stick,
            }),
            (18, _) => place.last_done().map(|index| What::CutAgain {
                piece: piece(index),
                reason: Reason::Short,
            }),
            _ => None,
        };
        if let Some(what) = what {
            self.say(station, what);
        }
    }
}

#[test]
fn every_piece_is_cut_once_whatever_happens() {
    let (mut anew, mut served) = (0, 0);
    for number in 0..60 {
        let mut draw = Draw::new(number);
        let pieces = draw.between(3, 24);
        let mut job = Job::new(sheet(&mut draw, pieces));
        let two = draw.one_in(3);
        let mut station = 0;
        job.load(station);
        for _ in 0..80 {
            match draw.between(0, 11) {
                0 => {
                    // he goes on at the one that was loaded last
                    station = usize::from(two && draw.one_in(2));
                    let lists = job.history.lists.len();
                    job.load(station);
                    match job.history.lists.len() > lists {
                        true => anew += 1,
                        false => served += 1,
                    }
                }
                1 if draw.one_in(4) => {
                    job.edited = true;
                    let Sheet::CutList(list) = &mut job.sheet else {
                        unreachable!("a cut list")
                    };
                    let at = draw.between(0, list.pieces.len() as i32 - 1) as usize;
                    let wall = at as i32 + 1;
                    match draw.one_in(2) {
                        true => list.pieces[at] = listed(&mut draw, wall),
                        false => list.pieces.push(listed(&mut draw, 90 + wall)),
                    }
                }
                _ => job.press(&mut draw, station, false),
            }
        }
        // what is left is loaded and cut
        for _ in 0..200 {
            let current = job.place(0).and_then(|(place, _)| place.current());
            if current.is_none() && !job.load(0) {
                break;
            }
            job.load(0);
            job.press(&mut draw, 0, true);
        }
        assert_eq!(job.to_cut(), BTreeSet::new(), "level {number}");
    }
    assert!(anew > 50 && served > 20, "{anew} anew, {served} served");
}

#[test]
fn where_nothing_is_wrong_nothing_changes() {
    for number in 0..20 {
        let mut draw = Draw::new(1000 + number);
        let mut job = Job::new(sheet(&mut draw, 18));
        let mut go_on = |_| true;
        let mut effort = Effort::new(EFFORT, &mut go_on);
        let first = crate::plan_with(&job.sheet, &Wishes::USUAL, &mut effort);
        assert_eq!(job.rest(0), Rest::Anew(Box::new(first)));
        assert!(job.load(0));
        let list = job.history.lists[0].clone();
        for _ in 0..draw.between(1, 17) {
            job.press(&mut draw, 0, true);
            assert_eq!(job.rest(0), Rest::Serves(Box::new(list.clone())));
        }
        // a station that does not know what is cut is not given the list in which it stands
        assert!(matches!(job.rest(1), Rest::Anew(_)));
    }
}

#[test]
fn a_bad_stick_costs_no_more_than_a_new_one() {
    for number in 0..20 {
        let mut draw = Draw::new(2000 + number);
        let mut job = Job::new(sheet(&mut draw, 18));
        job.load(0);
        for _ in 0..draw.between(1, 12) {
            job.press(&mut draw, 0, true);
        }
        let (place, list) = job.place(0).expect("a list");
        let index = place.current().expect("a piece");
        let stick = place.stick(index).expect("a stick");
        let on_it = place.waiting_on(stick);
        let bad = list.pieces[usize::from(index)].moulding;
        let others: BTreeMap<u16, Length> = (list.pieces.iter())
            .filter(|piece| piece.moulding == bad && piece.stick != stick)
            .map(|piece| (piece.stick, piece.stick_length))
            .collect();
        let stock = &job.sheet.setup().mouldings[usize::from(bad)];
        let others = others.into_values().chain(stock.offcuts.iter().copied());
        let others: i64 = others.map(|length| i64::from(length.units())).sum();
        let list = list.head.digest;
        job.say(0, What::BadStick { list, stick });
        let Rest::Anew(plan) = job.rest(0) else {
            panic!("its pieces wait for a new plan");
        };
        job.check(&plan);
        // the pieces that lay on it need no more sticks than there are pieces
        let bought: u32 = plan.buy().iter().map(|purchase| purchase.count).sum();
        assert!(bought <= u32::from(on_it), "{bought} for {on_it}");
        // nothing of it is used, begun or not
        let in_hand = plan.sticks.iter().filter(|stick| stick.from_offcut);
        let in_hand = in_hand.filter(|stick| stick.moulding == usize::from(bad));
        let used: i64 = in_hand.map(|stick| i64::from(stick.length.units())).sum();
        assert!(used <= others, "{used} of {others}");
        job.say(0, What::StickKept { list, stick });
        assert!(matches!(job.rest(0), Rest::Serves(_)));
    }
}
