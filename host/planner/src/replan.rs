//! Planning what is left after some of a plan was cut: finished pieces stay as they are, bad sticks are gone, what is left
//! of begun sticks and the sticks not begun are in hand, and what must be bought beyond the first list is told. Events
//! and what follows from them for a piece are the shared model's; recording them is left to the host.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use shared_model::{DigestText, Event, Length, PieceId, PieceState, Place, What};

use crate::finding::Finding;
use crate::level::level_of;
use crate::plan::{Plan, Stick};
use crate::saw_list::{ListTooLarge, SawSheet};
use crate::sticks::{Effort, Wishes, left_of};
use crate::walk::{MouldingStock, Sheet};

/// What happened since the first plan.
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

/// Plans what is left of a sheet whose `first` plan was begun.
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
    let wood = Wood::after(&happened.events, list.head.digest)?;
    let too_large = CannotReplan::TooLarge(ListTooLarge::Pieces(list.pieces.len()));
    let mut place = Place::at_start(&list).ok_or(too_large)?;
    happened.events.iter().for_each(|event| place.take(event));

    let mut level = level_of(sheet, wishes);
    for piece in &mut level.pieces {
        let state = place.index(piece.id).and_then(|index| place.state(index));
        piece.finished = state == Some(PieceState::Done);
    }
    for (number, stock) in level.stocks.iter_mut().enumerate() {
        let used = first.sticks.iter().filter(|stick| stick.moulding == number);
        let used: Vec<&Stick> = used.collect();
        buy_less(stock, &used);
        stock.offcuts = in_hand(first, stock, &used, &wood);
    }
    for (name, lengths) in &happened.in_hand {
        let stock = level.stocks.iter_mut().find(|stock| stock.name == *name);
        let stock = stock.ok_or_else(|| CannotReplan::NoSuchMoulding(name.clone()))?;
        stock.offcuts.clone_from(lengths);
    }
    let mut plan = level.finish(effort);
    tell_what_to_buy(&mut plan);
    Ok(plan)
}

/// What became of the sticks of a list.
struct Wood {
    /// Pieces that came off their stick of the list, in the order in which they did.
    cut: Vec<PieceId>,
    bad: BTreeSet<u16>,
}

impl Wood {
    fn after(events: &[Event], digest: u32) -> Result<Wood, CannotReplan> {
        // what was said of each piece and not taken back: whether it was that it is cut, and when
        let mut said: BTreeMap<PieceId, Vec<Option<usize>>> = BTreeMap::new();
        let mut bad = BTreeSet::new();
        for (at, event) in events.iter().enumerate() {
            match event.what {
                What::Done { list, .. }
                | What::BadStick { list, .. }
                | What::StickKept { list, .. }
                    if list != digest =>
                {
                    return Err(CannotReplan::OtherList {
                        events: list,
                        plan: digest,
                    });
                }
                What::Done { piece, .. } => said.entry(piece).or_default().push(Some(at)),
                What::TakenBack { piece } => {
                    said.entry(piece).or_default().pop();
                }
                What::SetAside { piece } | What::CutAgain { piece, .. } => {
                    said.entry(piece).or_default().push(None);
                }
                What::BadStick { stick, .. } => {
                    bad.insert(stick);
                }
                What::StickKept { stick, .. } => {
                    bad.remove(&stick);
                }
            }
        }
        // a piece that is cut again comes from elsewhere, so its first cut counts
        let first = |(piece, said): (PieceId, Vec<Option<usize>>)| {
            Some((said.into_iter().flatten().next()?, piece))
        };
        let mut cut: Vec<(usize, PieceId)> = said.into_iter().filter_map(first).collect();
        cut.sort_unstable();
        Ok(Wood {
            cut: cut.into_iter().map(|(_, piece)| piece).collect(),
            bad,
        })
    }
}

/// Sticks that the first plan takes are bought; of those that are few there are so many less.
fn buy_less(stock: &mut MouldingStock, used: &[&Stick]) {
    for stick in used.iter().filter(|stick| !stick.from_offcut) {
        let mut kinds: Vec<_> = stock.sticks.iter_mut().collect();
        kinds.sort_by_key(|kind| kind.price);
        let kind = kinds
            .into_iter()
            .find(|kind| kind.length == stick.length && kind.count != Some(0));
        if let Some(kind) = kind {
            kind.count = kind.count.map(|count| count - 1);
        }
    }
}

/// What is in hand of a moulding: offcuts that no stick of the first plan is, sticks not begun, and what is left of those
/// that are.
fn in_hand(first: &Plan, stock: &MouldingStock, used: &[&Stick], wood: &Wood) -> Vec<Length> {
    let mut lengths = stock.offcuts.clone();
    for stick in used.iter().filter(|stick| stick.from_offcut) {
        if let Some(at) = lengths.iter().position(|&length| length == stick.length) {
            lengths.remove(at);
        }
    }
    for stick in used {
        if u16::try_from(stick.number).is_ok_and(|number| wood.bad.contains(&number)) {
            continue;
        }
        let on_stick = |id: &PieceId| {
            let mut pieces = stick.pieces.iter();
            pieces.find(|&&at| first.pieces[at].id == *id).copied()
        };
        let cut: Vec<usize> = wood.cut.iter().filter_map(on_stick).collect();
        let left = left_of(first, stick, &cut);
        if left > Length::ZERO {
            lengths.push(left);
        }
    }
    lengths
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
        let message = format!("to be bought beyond the first list: {}.", more.join(", "));
        plan.findings.push(Finding::of_level(message));
    }
}
