//! Planning what is left of a level after some of it was cut: finished pieces stay as they are, bad sticks are gone, what is
//! left of begun sticks and the sticks not begun are in hand, and what must be bought beyond that is told. A list that
//! still serves is kept as it is. What was said of pieces is in `said`, the sticks are in `wood`; recording events is left to the host.

mod said;
#[cfg(test)]
mod tests;
mod wood;

use std::fmt;

use shared_model::messages::StationId;
use shared_model::{DigestText, Event, Length, ListHead, Piece, What};

use crate::finding::Finding;
use crate::level::{Level, level_of};
use crate::plan::{Plan, PlannedPiece};
use crate::saw_list::{ListTooLarge, SawSheet};
use crate::sticks::{Effort, Wishes};
use crate::walk::{MouldingStock, Setup, Sheet};
use said::Said;
use wood::{InHand, Wood};

/// What happened to a level: the lists that were made of it, and what was said at the saw.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct History {
    /// Every list, in the order in which stations were given them.
    pub lists: Vec<SawSheet>,
    /// The digest of the list that was given last, where any was.
    pub in_use: Option<u32>,
    /// Everything that was said at the saw, in its order.
    pub events: Vec<Heard>,
    /// The station that is planned for; none: one that knows all of this.
    pub station: Option<StationId>,
}

/// An event, and when it was heard.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Heard {
    /// The event.
    pub event: Event,
    /// So many of the lists had been made before it was heard: those after them were made with it.
    pub lists: usize,
    /// Where it was said.
    pub station: StationId,
}

/// What is to be cut after what happened.
#[derive(Debug, Clone, PartialEq)]
pub enum Rest {
    /// The list in use still serves: nothing is wrong with it, and it is all that is left to be cut.
    Serves(Box<SawSheet>),
    /// Everything that the sheet asks for is cut.
    AllCut,
    /// What is left, planned anew.
    Anew(Box<Plan>),
}

/// What happened since a first plan, told by somebody.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Happened {
    /// What was said at the saw, in its order.
    pub events: Vec<Event>,
    /// What is in hand of each moulding by its name: it stands in place of what is reckoned from the events.
    pub in_hand: Vec<(String, Vec<Length>)>,
}

/// Why nothing can be planned after events.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum CannotReplan {
    /// the first plan is too large for a station, so no events can be of it
    TooLarge(ListTooLarge),
    /// the events are of another list: the file was changed since, or planned with another effort
    OtherList {
        /// The list of the events.
        events: u32,
        /// The list that is planned from the file.
        plan: u32,
    },
    /// something in hand is of a moulding that the file does not have
    NoSuchMoulding(String),
}

impl fmt::Display for CannotReplan {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            CannotReplan::TooLarge(error) => {
                write!(f, "there can be no events of this plan: {error}")
            }
            CannotReplan::OtherList { events, plan } => write!(
                f,
                "these events are of the list {}, and this file now gives the list {}: plan the file as it was, with the effort that it was planned with.",
                DigestText(*events),
                DigestText(*plan)
            ),
            CannotReplan::NoSuchMoulding(name) => {
                write!(f, "there is no moulding \"{name}\" in the file.")
            }
        }
    }
}

impl std::error::Error for CannotReplan {}

impl History {
    /// Nothing was said at the saw.
    pub fn is_empty(&self) -> bool {
        self.events.is_empty()
    }

    /// What was known when the list at this place was made.
    fn known_to(&self, list: usize) -> impl Iterator<Item = Heard> {
        let known = self.events.iter().filter(move |heard| heard.lists <= list);
        known.copied()
    }
}

/// What is to be cut of a sheet after what happened. Where nothing was said at the saw yet that is the whole sheet.
///
/// The list in use is kept where it gives everything that is left, so that nothing changes where nothing is wrong. It is
/// not where a stick is bad or gives less than it is to, where a piece has to be cut again, where the sheet's pieces or its
/// saw are others now, and where the station does not know of a piece that is cut.
pub fn rest(sheet: &Sheet, wishes: &Wishes, history: &History, effort: &mut Effort<'_>) -> Rest {
    let mut level = level_of(sheet, wishes);
    if history.is_empty() {
        return Rest::Anew(Box::new(level.finish(effort)));
    }
    let setup = sheet.setup();
    let said = Said::of(history.events.iter());
    let wood = Wood::of(history);
    finish_pieces(&mut level, &said);
    if level.pieces.iter().all(|piece| piece.finished) {
        return Rest::AllCut;
    }
    let mut lists = history.lists.iter();
    let in_use = lists.rfind(|list| Some(list.head.digest) == history.in_use);
    if let Some(list) = in_use
        && is_for(&list.head, setup)
        && gives_the_rest(list, &level.pieces, setup, &said, &wood)
        && history
            .station
            .is_none_or(|station| knows_what_is_cut(list, &said, station))
    {
        return Rest::Serves(Box::new(list.clone()));
    }
    let in_hand = use_up(&mut level, setup, &wood);
    Rest::Anew(Box::new(finish(level, in_hand, &wood, history, effort)))
}

/// The plan of the list in use as it was made, where the same sheet and wishes still give it with what was known then.
pub fn plan_in_use(
    sheet: &Sheet,
    wishes: &Wishes,
    history: &History,
    effort: &mut Effort<'_>,
) -> Option<Plan> {
    let digest = history.in_use?;
    let mut lists = history.lists.iter();
    let made = lists.rposition(|list| list.head.digest == digest)?;
    let before = History {
        lists: history.lists[..made].to_vec(),
        in_use: None,
        events: history.known_to(made).collect(),
        station: None,
    };
    match rest(sheet, wishes, &before, effort) {
        Rest::Anew(plan) => Some(*plan)
            .filter(|plan| SawSheet::of(plan).is_ok_and(|list| list.head.digest == digest)),
        Rest::Serves(_) | Rest::AllCut => None,
    }
}

/// Plans what is left of a sheet whose `first` plan was begun, whether or not that plan would still serve.
///
/// # Errors
/// [`CannotReplan`].
pub fn replan(
    sheet: &Sheet,
    wishes: &Wishes,
    first: &Plan,
    happened: &Happened,
    effort: &mut Effort<'_>,
) -> Result<Plan, CannotReplan> {
    let list = SawSheet::of(first).map_err(CannotReplan::TooLarge)?;
    let digest = list.head.digest;
    for event in &happened.events {
        if let What::Done { list, .. } | What::BadStick { list, .. } | What::StickKept { list, .. } =
            event.what
            && list != digest
        {
            return Err(CannotReplan::OtherList {
                events: list,
                plan: digest,
            });
        }
    }
    let heard = |event: &Event| Heard {
        event: *event,
        lists: 1,
        station: StationId(0),
    };
    let history = History {
        lists: vec![list],
        in_use: Some(digest),
        events: happened.events.iter().map(heard).collect(),
        station: None,
    };
    let setup = sheet.setup();
    let mut level = level_of(sheet, wishes);
    finish_pieces(&mut level, &Said::of(history.events.iter()));
    let wood = Wood::of(&history);
    let mut in_hand = use_up(&mut level, setup, &wood);
    for (name, lengths) in &happened.in_hand {
        let at = level.stocks.iter().position(|stock| stock.name == *name);
        let at = at.ok_or_else(|| CannotReplan::NoSuchMoulding(name.clone()))?;
        level.stocks[at].offcuts.clone_from(lengths);
        in_hand[at].clear();
    }
    Ok(finish(level, in_hand, &wood, &history, effort))
}

/// The plan of what is not finished, from what is in hand and what is bought.
fn finish(
    level: Level<'_>,
    in_hand: Vec<Vec<InHand>>,
    wood: &Wood,
    history: &History,
    effort: &mut Effort<'_>,
) -> Plan {
    let mut plan = level.finish(effort);
    number_sticks(&mut plan, in_hand, wood.next_number());
    tell_what_to_buy(&mut plan);
    plan.after = history.events.len();
    plan
}

fn finish_pieces(level: &mut Level<'_>, said: &Said) {
    for piece in &mut level.pieces {
        piece.finished = said.is_cut(piece.id);
    }
}

/// What was bought and what was begun stands in place of the sheet's sticks and offcuts: what is in hand of each moulding.
fn use_up(level: &mut Level<'_>, setup: &Setup, wood: &Wood) -> Vec<Vec<InHand>> {
    let stocks = level.stocks.iter_mut().map(|stock| {
        for length in wood.bought(stock) {
            buy_one_less(stock, length);
        }
        let in_hand = wood.in_hand(stock, &setup.saw);
        stock.offcuts = in_hand.iter().map(|in_hand| in_hand.length).collect();
        in_hand
    });
    stocks.collect()
}

/// A stick in hand keeps the number under which lists have named it; those that none has named go on from `next`. So
/// what was said of a stick is never taken for another, and he finds it by the number that he knows.
fn number_sticks(plan: &mut Plan, mut in_hand: Vec<Vec<InHand>>, next: u32) {
    let mut next = next..;
    for stick in &mut plan.sticks {
        let there = &mut in_hand[stick.moulding];
        let same = |in_hand: &InHand| stick.from_offcut && in_hand.length == stick.length;
        let number = there.iter().position(same).map(|at| there.remove(at));
        let number = number.and_then(|in_hand| in_hand.number).map(u32::from);
        stick.number = number.or_else(|| next.next()).unwrap_or(u32::MAX);
        for &piece in &stick.pieces {
            if let Some(cut) = &mut plan.pieces[piece].cut {
                cut.stick = stick.number;
            }
        }
    }
}

/// Of sticks that are few there is one less; of two kinds of one length the cheaper is bought first.
fn buy_one_less(stock: &mut MouldingStock, length: Length) {
    let kinds = stock.sticks.iter_mut();
    let kinds = kinds.filter(|kind| kind.length == length && kind.count != Some(0));
    if let Some(kind) = kinds.min_by_key(|kind| kind.price) {
        kind.count = kind.count.map(|count| count - 1);
    }
}

/// Whether a list was made for this tape, saw and stock.
fn is_for(head: &ListHead, setup: &Setup) -> bool {
    let same = |stock: &MouldingStock| {
        let mut shapes = head.mouldings.iter();
        shapes.any(|shape| {
            shape.name.as_str() == stock.name
                && shape.height == stock.height
                && shape.thickness == stock.thickness
                && shape.profile == stock.profile
        })
    };
    head.mark == setup.mark
        && head.stock.side == setup.saw.stock_side
        && head.stock.saw == setup.saw.head()
        && setup.mouldings.iter().all(same)
}

/// Whether what a list still has to give is just what is left of the sheet, and its sticks can give it.
fn gives_the_rest(
    list: &SawSheet,
    pieces: &[PlannedPiece],
    setup: &Setup,
    said: &Said,
    wood: &Wood,
) -> bool {
    let digest = list.head.digest;
    let to_give: Vec<&Piece> = (list.pieces.iter())
        .filter(|piece| !said.is_cut(piece.id))
        .collect();
    let left: Vec<&PlannedPiece> = pieces.iter().filter(|piece| !piece.finished).collect();
    let is_left = |piece: &&Piece| {
        let mut left = left.iter();
        let shape = list.head.mouldings.get(usize::from(piece.moulding));
        let same = left.any(|left| {
            let name = &setup.mouldings[left.moulding].name;
            left.id == piece.id
                && (left.length, left.left, left.right) == (piece.length, piece.left, piece.right)
                && shape.is_some_and(|shape| shape.name.as_str() == name)
        });
        same && !said.again_after(digest, piece.id)
    };
    let of_stick = |stick: u16| -> Vec<Piece> {
        let on_stick = to_give.iter().filter(|piece| piece.stick == stick);
        on_stick.map(|piece| **piece).collect()
    };
    let mut sticks: Vec<u16> = to_give.iter().map(|piece| piece.stick).collect();
    sticks.sort_unstable();
    sticks.dedup();
    to_give.len() == left.len()
        && to_give.iter().all(is_left)
        && (sticks.into_iter()).all(|stick| wood.gives(digest, stick, &of_stick(stick), &setup.saw))
}

/// Whether a station knows of every piece of a list that is cut: it would have it cut once more.
fn knows_what_is_cut(list: &SawSheet, said: &Said, station: StationId) -> bool {
    let mut ids = list.pieces.iter().map(|piece| piece.id);
    ids.all(|id| !said.is_cut(id) || said.is_cut_at(station, id))
}

fn tell_what_to_buy(plan: &mut Plan) {
    let more: Vec<String> = (plan.buy().iter())
        .map(|purchase| {
            format!(
                "{} of {} in {}",
                purchase.count,
                purchase.length.feet_inches(plan.mark),
                plan.mouldings[purchase.moulding].name
            )
        })
        .collect();
    if !more.is_empty() {
        let message = format!("to be bought beyond the list before: {}.", more.join(", "));
        plan.findings.push(Finding::of_level(message));
    }
}
