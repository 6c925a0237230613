//! The whole way from a sheet to a plan: joints, pieces, postures, sticks, order, cautions and findings, each step in its
//! own module.

mod look;
mod told;

use shared_model::{Cautions, End, PieceEnd, Posture, Side};

use crate::finding::{Finding, Severity};
use crate::identity::{Likeness, ids, mark_of};
use crate::joints::joints;
use crate::pieces::{Draft, LongStock, pieces};
use crate::plan::{Cost, CutPlace, Plan, PlannedPiece, RoomOrder, Settings, Stick};
use crate::posture::{Choice, choose, other_lacks, preference};
use crate::saw_list::SawSheet;
use crate::sticks::check::{self, Fault};
use crate::sticks::{Blank, Effort, SticksPlan, Task, Wishes, plan_sticks};
use crate::walk::{CutList, MouldingStock, Price, Saw, Setup, Sheet, Walk};
use crate::{cautions, closure, install};
use told::{Told, lacking, no_other_way};

/// Plans a sheet as usual. A plan is always given; what is wrong stands in its findings.
pub fn plan(sheet: &Sheet) -> Plan {
    let mut go_on = |_| true;
    plan_with(
        sheet,
        &Wishes::USUAL,
        &mut Effort::new(Effort::USUAL, &mut go_on),
    )
}

/// Plans a sheet with wishes and so much effort; the mouldings take of it one after another.
pub fn plan_with(sheet: &Sheet, wishes: &Wishes, effort: &mut Effort<'_>) -> Plan {
    level_of(sheet, wishes).finish(effort)
}

/// What is found in a sheet without looking for the cheapest sticks: of findings of [`plan`] all but what is about the
/// cost and what only the program's own check of a finished plan can find.
pub fn check(sheet: &Sheet) -> Vec<Finding> {
    level_of(sheet, &Wishes::USUAL).look()
}

/// A sheet's pieces before any stick is thought of.
pub(crate) fn level_of<'a>(sheet: &'a Sheet, wishes: &Wishes) -> Level<'a> {
    let (setup, rooms) = match sheet {
        Sheet::Walk(walk) => (&walk.setup, walked(walk)),
        Sheet::CutList(list) => (&list.setup, listed(list)),
    };
    Level::new(setup, rooms, *wishes)
}

/// One room's pieces on their way into the plan.
struct RoomDrafts {
    name: String,
    moulding: Vec<usize>,
    drafts: Vec<Draft>,
    order: Vec<usize>,
    findings: Vec<Finding>,
}

fn walked(walk: &Walk) -> Vec<RoomDrafts> {
    let end_trim = walk.setup.saw.end_trim;
    let stocks = walk.setup.mouldings.iter();
    let mut stocks: Vec<LongStock> = stocks.map(|m| LongStock::of(m, end_trim)).collect();
    let checked = closure::check(walk);
    let rooms = walk.rooms.iter().zip(checked).map(|(room, mut findings)| {
        let (walls, found) = joints(walk, room);
        findings.extend(found);
        let made = pieces(walk, room, &walls, &mut stocks[room.moulding]);
        findings.extend(made.findings);
        let count = made.drafts.len();
        let order = install::order(count, &made.before).unwrap_or_else(|circle| {
            let message = "these boards wait for each other to be on the wall first, so none can be the first: let one corner go the other way.";
            let mut numbers: Vec<u32> = circle.iter().filter_map(|&at| made.drafts[at].wall).collect();
            numbers.dedup();
            findings.push(Finding::error(&room.name, &numbers, message.to_owned()));
            (0..count).collect()
        });
        RoomDrafts {
            name: room.name.clone(),
            moulding: vec![room.moulding; count],
            drafts: made.drafts,
            order,
            findings,
        }
    });
    rooms.collect()
}

fn listed(list: &CutList) -> Vec<RoomDrafts> {
    let mut rooms: Vec<RoomDrafts> = Vec::new();
    for piece in &list.pieces {
        let at = rooms.iter().position(|room| room.name == piece.room);
        let at = at.unwrap_or_else(|| {
            rooms.push(RoomDrafts {
                name: piece.room.clone(),
                moulding: Vec::new(),
                drafts: Vec::new(),
                order: Vec::new(),
                findings: Vec::new(),
            });
            rooms.len() - 1
        });
        let room = &mut rooms[at];
        room.order.push(room.drafts.len());
        room.moulding.push(piece.moulding);
        room.drafts.push(Draft {
            wall: piece.wall,
            part: 1,
            parts: 1,
            length: piece.length,
            left: piece.left,
            right: piece.right,
        });
    }
    for room in &mut rooms {
        number_parts(&mut room.drafts);
        for board in 0..room.drafts.len() {
            for wedge in room.drafts[board].wedges() {
                room.order.push(room.drafts.len());
                room.moulding.push(room.moulding[board]);
                room.drafts.push(wedge);
            }
        }
    }
    rooms
}

/// Pieces of a cut list that name one wall are its parts, in the order in which they stand.
fn number_parts(drafts: &mut [Draft]) {
    for index in 0..drafts.len() {
        let same = |draft: &&Draft| draft.wall.is_some() && draft.wall == drafts[index].wall;
        let parts = drafts.iter().filter(same).count().max(1) as u32;
        let before = drafts[..index].iter().filter(same).count() as u32;
        (drafts[index].part, drafts[index].parts) = (before + 1, parts);
    }
}

/// A level on its way to a plan.
pub(crate) struct Level<'a> {
    setup: &'a Setup,
    wishes: Wishes,
    /// Every piece.
    pub(crate) pieces: Vec<PlannedPiece>,
    /// What there is of each moulding: the sheet's, unless some of it is used up.
    pub(crate) stocks: Vec<MouldingStock>,
    install: Vec<RoomOrder>,
    /// What was found so far.
    pub(crate) findings: Vec<Finding>,
    /// For every moulding the postures in the order in which they are tried.
    postures: Vec<[Posture; 4]>,
}

impl<'a> Level<'a> {
    fn new(setup: &'a Setup, rooms: Vec<RoomDrafts>, wishes: Wishes) -> Level<'a> {
        let postures: Vec<[Posture; 4]> = (setup.mouldings.iter().enumerate())
            .map(|(number, stock)| {
                let drafts = rooms
                    .iter()
                    .flat_map(|room| room.moulding.iter().zip(&room.drafts));
                let own = drafts.filter(|(moulding, _)| **moulding == number);
                let ends: Vec<(End, End)> = own.map(|(_, d)| (d.left, d.right)).collect();
                preference(&setup.saw, stock, &ends)
            })
            .collect();
        let mut level = Level {
            setup,
            wishes,
            stocks: setup.mouldings.clone(),
            pieces: Vec::new(),
            install: Vec::new(),
            findings: Vec::new(),
            postures,
        };
        for room in rooms {
            level.take_room(room);
        }
        let likeness: Vec<Likeness<'_>> = level
            .pieces
            .iter()
            .map(|piece| Likeness {
                room: &piece.room,
                moulding: &setup.mouldings[piece.moulding].name,
                length: piece.length,
                ends: (mark_of(piece.left.end), mark_of(piece.right.end)),
            })
            .collect();
        let ids = ids(&setup.level, &likeness);
        for (piece, id) in level.pieces.iter_mut().zip(ids) {
            piece.id = id;
        }
        level
    }

    fn take_room(&mut self, room: RoomDrafts) {
        let first = self.pieces.len();
        self.findings.extend(room.findings);
        let mut told: Vec<Told> = Vec::new();
        for (draft, &moulding) in room.drafts.iter().zip(&room.moulding) {
            let stock = &self.setup.mouldings[moulding];
            let preferred = &self.postures[moulding];
            let (left, right) = choose(&self.setup.saw, stock, preferred, draft.left, draft.right);
            for (choice, end, side) in [
                (left, draft.left, Side::Left),
                (right, draft.right, Side::Right),
            ] {
                let Some(lack) = choice.instead else {
                    continue;
                };
                let impossible = choice.impossible;
                let mut lacks = lacking(lack, end, stock, self.setup);
                if impossible {
                    let end = (end, side);
                    let others = other_lacks(&self.setup.saw, stock, end, choice.posture);
                    lacks.push_str(&no_other_way(&others, self.setup));
                }
                let known = told
                    .iter()
                    .position(|told| told.impossible == impossible && told.lacks == lacks);
                let at = known.unwrap_or(told.len());
                if known.is_none() {
                    told.push(Told {
                        lacks,
                        impossible,
                        ends: 0,
                        walls: Vec::new(),
                    });
                }
                told[at].ends += 1;
                let wall = draft.wall.filter(|wall| !told[at].walls.contains(wall));
                told[at].walls.extend(wall);
            }
            self.pieces.push(PlannedPiece {
                id: shared_model::PieceId::default(),
                room: room.name.clone(),
                wall: draft.wall,
                part: draft.part,
                parts: draft.parts,
                moulding,
                length: draft.length,
                left: placed(draft.left, left),
                right: placed(draft.right, right),
                cautions: Cautions::NONE,
                cut: None,
                finished: false,
            });
        }
        self.tell_wide_corners(&room.name, &room.drafts);
        for told in told {
            let message = told.message();
            self.findings.push(match told.impossible {
                true => Finding::error(&room.name, &told.walls, message),
                false => Finding::warning(&room.name, &told.walls, message),
            });
        }
        self.install.push(RoomOrder {
            room: room.name,
            order: room.order.iter().map(|&at| first + at).collect(),
        });
    }

    /// Plans the sticks and puts it all together.
    pub(crate) fn finish(mut self, effort: &mut Effort<'_>) -> Plan {
        let stocks = std::mem::take(&mut self.stocks);
        let mut sticks: Vec<Stick> = Vec::new();
        let mut parts: Vec<Part> = Vec::new();
        let mut short_holds = Vec::new();
        let (mut order, mut settings) = (0, Settings::default());
        for (number, blanks) in self.wanted(&stocks) {
            let moulding = &stocks[number];
            let rooms = self.rooms_of(&blanks);
            let saw = self.saw_for(number);
            let task = Task {
                number,
                moulding,
                saw: &saw,
                blanks: &blanks,
                rooms: &rooms,
                wishes: self.wishes,
            };
            let mut planned = plan_sticks(&task, effort);
            if let Err(fault) = check::check(&task.asked(), &planned) {
                self.findings.push(fault_of(&moulding.name, &fault));
                planned = SticksPlan::nothing(&blanks, planned.first);
            }
            self.place(&blanks, &planned, sticks.len() as u32, &mut order);
            self.tell_unplaced(&planned.unplaced, moulding);
            short_holds.extend_from_slice(&planned.short_holds);
            settings.add(&planned);
            let priced = moulding.sticks.iter().all(|kind| kind.price.is_some());
            parts.push(Part {
                moulding: number,
                priced,
                cost: planned.cost,
                bound: planned.bound,
            });
            let before = sticks.len() as u32;
            sticks.extend(planned.sticks.into_iter().map(|mut stick| {
                stick.number += before;
                stick
            }));
        }
        self.caution(&short_holds);
        self.tell_short_holds(&short_holds);
        self.tell_old_house();
        self.tell_unpriced(&parts);
        self.findings.sort_by_key(Finding::rank);
        let placed = |piece: &PlannedPiece| piece.finished || piece.cut.is_some();
        let optimal =
            self.pieces.iter().all(placed) && parts.iter().all(|part| part.cost == part.bound);
        let mut plan = Plan {
            level: self.setup.level.clone(),
            unit: self.setup.unit,
            mark: self.setup.mark,
            saw: self.setup.saw,
            mouldings: stocks,
            pieces: self.pieces,
            cost: total(&parts),
            optimal,
            effort: effort.passed(),
            after: 0,
            settings,
            sticks,
            install: self.install,
            findings: self.findings,
        };
        if let Err(error) = SawSheet::of(&plan) {
            plan.findings.push(told::too_large(&error));
        }
        plan
    }

    /// The mouldings of which something is still to be cut, by their numbers, and what. A saw and stock that are hardly
    /// meant are told, and mouldings that no room has.
    fn wanted(&mut self, stocks: &[MouldingStock]) -> Vec<(usize, Vec<Blank>)> {
        self.tell_saw_doubts();
        let mut wanted = Vec::new();
        for (number, moulding) in stocks.iter().enumerate() {
            let blanks = self.blanks(number);
            match blanks.is_empty() {
                true => self.tell_unused(number),
                false => {
                    self.tell_doubts(moulding);
                    wanted.push((number, blanks));
                }
            }
        }
        wanted
    }

    /// The saw as it is used for a moulding: where no posture is asked for, the sticks lie as most of their pieces are cut.
    fn saw_for(&self, moulding: usize) -> Saw {
        Saw {
            posture: Some(self.postures[moulding][0]),
            ..self.setup.saw
        }
    }

    /// The pieces of a moulding that are still to be cut.
    fn blanks(&self, moulding: usize) -> Vec<Blank> {
        let pieces = self.pieces.iter().enumerate();
        let open = pieces.filter(|(_, piece)| !piece.finished && piece.moulding == moulding);
        open.map(|(at, piece)| Blank {
            piece: at,
            length: piece.length,
            left: piece.left,
            right: piece.right,
        })
        .collect()
    }

    /// The number of each blank's room.
    fn rooms_of(&self, blanks: &[Blank]) -> Vec<usize> {
        let rooms = self.install.iter().enumerate();
        let mut of = vec![0; self.pieces.len()];
        for (number, room) in rooms {
            for &piece in &room.order {
                of[piece] = number;
            }
        }
        blanks.iter().map(|blank| of[blank.piece]).collect()
    }

    fn place(&mut self, blanks: &[Blank], planned: &SticksPlan, before: u32, order: &mut u32) {
        for stick in &planned.sticks {
            for &piece in &stick.pieces {
                *order += 1;
                // blanks stand in the order of the pieces
                let blank = blanks.binary_search_by_key(&piece, |blank| blank.piece);
                self.pieces[piece].cut = Some(CutPlace {
                    stick: stick.number + before,
                    order: *order,
                    first: planned.first,
                    shared: blank.is_ok_and(|blank| planned.shared[blank].is_some()),
                });
            }
        }
    }

    fn caution(&mut self, short_holds: &[usize]) {
        for (at, piece) in self.pieces.iter_mut().enumerate() {
            let moulding = &self.setup.mouldings[piece.moulding];
            let short_hold = short_holds.contains(&at);
            piece.cautions = cautions::cautions(piece, moulding, &self.setup.saw, short_hold);
        }
    }
}

/// A plan that failed its check is not shown: the fault is the program's own.
fn fault_of(moulding: &str, fault: &Fault) -> Finding {
    Finding {
        severity: Severity::Error,
        room: None,
        walls: Vec::new(),
        message: format!(
            "The sticks of {moulding} were planned wrong, and the program's own check found it: {fault} This is a fault of the program, not of the sheet; please report it. Nothing of {moulding} is planned."
        ),
        readings: Vec::new(),
    }
}

fn placed(end: End, choice: Choice) -> PieceEnd {
    PieceEnd {
        end,
        posture: choice.posture,
    }
}

/// What one moulding's sticks cost.
#[derive(Clone, Copy)]
struct Part {
    moulding: usize,
    priced: bool,
    cost: i64,
    bound: i64,
}

/// The level's cost: in money where a moulding has prices, else by length.
fn total(parts: &[Part]) -> Cost {
    let in_money = parts.iter().any(|part| part.priced);
    let counted = parts.iter().filter(|part| part.priced == in_money);
    let (cost, bound) = counted.fold((0, 0), |(cost, bound), part| {
        (cost + part.cost, bound + part.bound)
    });
    match in_money {
        true => Cost::Priced {
            cost: Price(cost),
            bound: Price(bound),
        },
        false => Cost::ByLength { cost, bound },
    }
}
