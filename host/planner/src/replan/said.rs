//! What was said of each piece at each station: whether it is cut, as the station's place has it, and by which lists. What
//! that leaves of the sticks is left to `wood`.

use std::collections::{BTreeMap, BTreeSet};

use shared_model::messages::StationId;
use shared_model::{PieceId, What};

use super::Heard;

/// How every piece stands of which something was said, station by station: what is taken back at one was said there.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Said(BTreeMap<PieceId, BTreeMap<StationId, Standing>>);

#[derive(Debug, Clone, PartialEq, Eq, Default)]
struct Standing {
    cut: bool,
    aside: bool,
    again: bool,
    /// The digests of the lists by which it was cut, and the events' places in the order of all; without those that were
    /// taken back.
    cuts: Vec<(usize, u32)>,
}

/// A piece that came off its stick of a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Cut {
    pub piece: PieceId,
    /// The list's digest.
    pub list: u32,
}

impl Said {
    /// Takes in events in their order.
    pub fn of<'a>(events: impl Iterator<Item = &'a Heard>) -> Said {
        let mut said = Said::default();
        for (at, heard) in events.enumerate() {
            let mut standing = |piece: PieceId, say: fn(&mut Standing, (usize, u32)), list| {
                let stations = said.0.entry(piece).or_default();
                say(stations.entry(heard.station).or_default(), (at, list));
            };
            match heard.event.what {
                What::Done { piece, list } => standing(piece, Standing::done, list),
                What::CutAgain { piece, .. } => standing(piece, |of, _| of.again(), 0),
                What::TakenBack { piece } => standing(piece, |of, _| of.take_back(), 0),
                What::SetAside { piece } => standing(piece, |of, _| of.aside = true, 0),
                What::BadStick { .. } | What::StickKept { .. } => {}
            }
        }
        said
    }

    /// Whether a piece is cut and good, as any station has it.
    pub fn is_cut(&self, piece: PieceId) -> bool {
        self.stations(piece).any(|(_, standing)| standing.cut)
    }

    /// Whether a station knows that a piece is cut and good.
    pub fn is_cut_at(&self, station: StationId, piece: PieceId) -> bool {
        let mut stations = self.stations(piece);
        stations.any(|(at, standing)| *at == station && standing.cut)
    }

    /// Whether a piece that was cut by the list with this digest has to be cut again since.
    pub fn again_after(&self, list: u32, piece: PieceId) -> bool {
        let by_it = |of: &Standing| of.cuts.last().is_some_and(|(_, last)| *last == list);
        let mut stations = self.stations(piece);
        !self.is_cut(piece) && stations.any(|(_, standing)| standing.again && by_it(standing))
    }

    /// The pieces that came off a stick, in the order in which they did. A piece that is cut a second time by one list is
    /// cut from board that the list does not name.
    pub fn cuts(&self) -> Vec<Cut> {
        let mut cuts: Vec<(usize, Cut)> = Vec::new();
        for (&piece, stations) in &self.0 {
            let mut lists = BTreeSet::new();
            let all = stations.values().flat_map(|standing| &standing.cuts);
            let firsts = all.filter(|(_, list)| lists.insert(*list));
            cuts.extend(firsts.map(|&(at, list)| (at, Cut { piece, list })));
        }
        cuts.sort_unstable_by_key(|(at, _)| *at);
        cuts.into_iter().map(|(_, cut)| cut).collect()
    }

    fn stations(&self, piece: PieceId) -> impl Iterator<Item = (&StationId, &Standing)> {
        self.0.get(&piece).into_iter().flatten()
    }
}

impl Standing {
    fn done(&mut self, (at, list): (usize, u32)) {
        self.cut = true;
        self.cuts.push((at, list));
    }

    fn again(&mut self) {
        (self.cut, self.aside, self.again) = (false, false, true);
    }

    /// Undoes what the place undoes: a cut, else the setting aside, else the call for another cut.
    fn take_back(&mut self) {
        if self.cut {
            self.cut = false;
            self.cuts.pop();
        } else if self.aside {
            self.aside = false;
        } else if self.again {
            (self.again, self.cut) = (false, true);
        }
    }
}
