//! What pieces take and sticks hold in whole grains, for sums that run over all lengths. Nothing that fits by the exact
//! geometry is left out; the little that does not fit and gets in is for `order` to find. What is summed is left to
//! `sums` and `knapsack`.
//!
//! # Rounding
//!
//! A length is rounded up only as far as all that is gained on one stick can be less than a grain: with E for what a
//! stick's room is below the next whole grain, a piece of length l may gain e where e / l <= E / room, since what the
//! pieces of a stick take together is no more than the room. Other lengths are rounded down. So a set that fits a stick
//! fits its grains.
//!
//! # Wedges
//!
//! Seen from the lean 0 (see `wedges`) a piece that *rises* ends leaning up (or begins leaning down) without the other
//! end doing likewise; its wedge is wasted unless a piece that *falls* on that side takes it up. So a rise counts in
//! full, or without its wedge and with a *claim* on a fall. A piece that leans up at both ends wastes nothing if
//! another one leads up or down there: else its wedge counts. Where it leans less at its far end, it can pay that smaller
//! wedge and take up a rise for it, which then pays nothing.
//!
//! # The last kerf
//!
//! The last kerf may run off the stick's end, so a piece with a wide kerf takes no more than with a square cut's where it
//! lies last. That too is a claim, made at the beginning: on a piece with a kerf wider than a square cut's that can lie
//! last. A piece whose far end takes up another's wedge cannot, nor one that must be held as it comes off.

use super::along::Laid;
use super::stock::Lot;

/// What a piece does to the claims on one side of the lean 0.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) enum Act {
    /// Nothing.
    #[default]
    None,
    /// It rises and claims a fall.
    Claim,
    /// It rises and pays.
    Pay,
    /// It falls, and takes up a claim if there is one.
    Fall,
    /// It leans out at both ends and wants a piece that leads there.
    Want,
    /// It leans out at both ends, less at the one that counts: it pays for that, and takes up a rise if there is one.
    Swap,
}

/// The claims on one side: how many rises wait for a fall (more than [`MOST_CLAIMS`] count as so many, so that nothing that
/// fits is lost), or that a piece is wanted which leads there.
const WANTED: u8 = 7;
/// With fewer, sticks with many short pieces between outside corners seem to hold far more than they do.
const MOST_CLAIMS: u8 = 4;
/// A rise yet to come is taken up, or two of them and more.
const TAKEN: u8 = 5;
const MORE_TAKEN: u8 = 6;
/// Bits for the claims on one side.
const SIDE: u8 = 3;

impl Act {
    const fn on(self, claims: u8) -> u8 {
        match (self, claims) {
            (Act::None, claims) => claims,
            (Act::Claim, 0 | WANTED) => 1,
            (Act::Claim, TAKEN) => 0,
            (Act::Claim, MOST_CLAIMS | MORE_TAKEN) => claims,
            (Act::Claim, claims) => claims + 1,
            (Act::Pay, WANTED) => 0,
            (Act::Pay, claims) => claims,
            (Act::Swap, 0 | WANTED) => TAKEN,
            (Act::Swap, TAKEN | MORE_TAKEN) => MORE_TAKEN,
            (Act::Fall, 0 | TAKEN..=WANTED) => 0,
            (Act::Fall | Act::Swap, claims) => claims - 1,
            (Act::Want, 0) => WANTED,
            (Act::Want, claims) => claims,
        }
    }
}

/// All sets of claims: those on the upper side, on the lower side, and on a last piece with a wide kerf.
pub(super) const PLANES: usize = 128;
const KERF: u8 = 64;

/// The most grains on a stick.
const MOST: i64 = 6144;

/// One way in which a piece can be laid.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Way {
    /// What it does on the upper and on the lower side.
    pub acts: [Act; 2],
    /// It is the last, and its wide kerf runs off the end.
    pub last: bool,
    /// What it takes of the stick.
    pub takes: u32,
}

impl Way {
    /// The claims after it; none where it is the last and no last one is wanted.
    pub const fn on(&self, open: u8) -> Option<u8> {
        let upper = self.acts[0].on(open & WANTED);
        let lower = self.acts[1].on(open >> SIDE & WANTED);
        match (self.last, open & KERF) {
            (true, 0) => None,
            (true, _) => Some(upper | lower << SIDE),
            (false, kerf) => Some(upper | lower << SIDE | kerf),
        }
    }
}

/// Two on each side, and each of them as the last.
const MOST_WAYS: usize = 8;

/// How a piece goes into sums.
#[derive(Debug, Clone, Copy)]
pub(super) struct Grains {
    ways: [Way; MOST_WAYS],
    count: u8,
    /// Pieces are summed in the order of their turns: first those that lean out at both ends, then those that rise, those
    /// that fall, and the others.
    pub turn: u8,
    /// The order within a turn: of those that lean out at both ends one that pays least comes last, so that all others
    /// may want it.
    pub rank: i64,
    /// What it takes at least.
    pub least: u32,
}

impl Grains {
    /// A piece that can be laid in these ways.
    pub fn new(turn: u8, ways: &[Way]) -> Grains {
        let mut all = [Way::default(); MOST_WAYS];
        for (to, way) in all.iter_mut().zip(ways) {
            *to = *way;
        }
        Grains {
            ways: all,
            count: ways.len().min(MOST_WAYS) as u8,
            turn,
            rank: 0,
            least: ways.iter().map(|way| way.takes).min().unwrap_or(0),
        }
    }

    /// A piece that is laid in the way that takes most.
    fn plain(&self) -> Grains {
        let takes = self.ways().iter().map(|way| way.takes).max().unwrap_or(0);
        let way = Way {
            takes,
            ..Way::default()
        };
        Grains::new(0, &[way])
    }

    /// The claims that are open as this piece's turn comes; none where they have become hopeless.
    pub const fn before(&self, open: u8) -> Option<u8> {
        if self.turn < 2 {
            return Some(open);
        }
        let (mut upper, mut lower) = (open & WANTED, open >> SIDE & WANTED);
        (upper, lower) = (due(upper), due(lower));
        let kerf = open & KERF;
        let hopeless = match self.turn {
            2 => false,
            3 => lower > 0 || kerf > 0,
            _ => upper > 0 || lower > 0 || kerf > 0,
        };
        if hopeless {
            None
        } else {
            Some(upper | lower << SIDE | kerf)
        }
    }

    /// Whether nothing is missing where these claims are open after all pieces.
    pub const fn settled(open: u8) -> bool {
        let upper = due(open & WANTED);
        let lower = due(open >> SIDE & WANTED);
        upper == 0 && lower == 0 && open & KERF == 0
    }

    /// Each way in which it can be laid.
    pub fn ways(&self) -> &[Way] {
        &self.ways[..self.count as usize]
    }
}

/// The falls that are still needed on a side once all rises are laid.
const fn due(claims: u8) -> u8 {
    match claims {
        // only a fall leads there now, and it takes up a claim as well
        WANTED => 1,
        TAKEN | MORE_TAKEN => 0,
        claims => claims,
    }
}

/// A lot in grains.
#[derive(Debug, Clone)]
pub(super) struct Coarse {
    /// How long a grain is.
    pub grain: i64,
    /// Each piece.
    pub pieces: Vec<Grains>,
    /// What each kind of stick holds, the last kerf being a square cut's.
    pub rooms: Vec<u32>,
    /// What it holds if the last kerf is the widest.
    pub brims: Vec<u32>,
    /// Some piece has a wide kerf.
    pub wide: bool,
}

impl Coarse {
    /// The lot in grains as fine as its lengths ask for, if that is no more than can be summed.
    pub fn of(lot: &Lot) -> Coarse {
        let rooms: Vec<i64> = (0..lot.kinds.len()).map(|kind| lot.room(kind)).collect();
        let largest = rooms.iter().copied().max().unwrap_or(0).max(1);
        let grain = grain(lot, largest);
        let roundest = rooms.iter().map(|room| grain - 1 - room.rem_euclid(grain));
        let gain = roundest.min().unwrap_or(0);
        let round = |length: i64| {
            let (length, over) = (length.max(0), length.max(0) % grain);
            let gained = i128::from((grain - over) % grain);
            let up = gained * i128::from(largest) <= i128::from(gain) * i128::from(length);
            (length / grain + i64::from(over > 0 && up)) as u32
        };
        let sides = Sides::of(lot);
        let held = |room: i64| ((room + gain).max(0) / grain) as u32;
        // all of the widest kerf that runs off, and what is gained on it
        let more = 2 * (lot.widest_kerf - lot.kerf);
        Coarse {
            grain,
            pieces: lot.pieces.iter().map(|p| sides.grains(p, round)).collect(),
            wide: more > 0,
            brims: rooms.iter().map(|&room| held(room + more)).collect(),
            rooms: rooms.iter().map(|&room| held(room)).collect(),
        }
    }

    /// The same without any claims: every piece takes what it takes whatever lies beside it. Sums are made much faster with
    /// it, but some sets that fit are left out.
    pub fn plain(&self) -> Coarse {
        Coarse {
            grain: self.grain,
            pieces: self.pieces.iter().map(Grains::plain).collect(),
            rooms: self.rooms.clone(),
            brims: self.rooms.clone(),
            wide: false,
        }
    }

    /// The sets of claims with which a stick can begin.
    pub fn starts(&self) -> &'static [usize] {
        match self.wide {
            true => &[0, KERF as usize],
            false => &[0],
        }
    }

    /// The most that any stick holds.
    pub fn top(&self) -> u32 {
        self.rooms.iter().copied().max().unwrap_or(0)
    }
}

/// The measure that all square-ended pieces and rooms share, if there are not too many of it on a stick.
fn grain(lot: &Lot, largest: i64) -> i64 {
    let square = lot.pieces.iter().filter(|piece| piece.kerf == lot.kerf);
    let lengths = square.map(|piece| piece.bare());
    let rooms = (0..lot.kinds.len()).map(|kind| lot.room(kind));
    let shared = lengths.chain(rooms).fold(0, divisor);
    match shared > 0 && largest / shared <= MOST {
        true => shared,
        false => largest / MOST + 1,
    }
}

/// The greatest common divisor.
pub(super) fn divisor(a: i64, b: i64) -> i64 {
    match b {
        0 => a.abs(),
        b => divisor(b, a % b),
    }
}

/// What is known of the two sides of the lean 0.
struct Sides {
    /// The greatest lean that a near line takes up, and a far line below 0 with its sign turned.
    takers: [i64; 2],
    /// What a piece that leans out less at the end that counts pays at least, where a rise could come down by several of
    /// them one after the other.
    least_paid: [Option<i64>; 2],
    /// What a square cut takes.
    kerf: i64,
    /// What must remain of a stick as a short piece comes off.
    hold: i64,
}

impl Sides {
    fn of(lot: &Lot) -> Sides {
        let pieces = &lot.pieces;
        let greatest = |values: &mut dyn Iterator<Item = i64>| values.fold(0, i64::max);
        Sides {
            kerf: lot.kerf,
            hold: lot.hold,
            takers: [
                greatest(&mut pieces.iter().map(|p| p.near.lean)),
                greatest(&mut pieces.iter().map(|p| -p.far.lean)),
            ],
            least_paid: [0, 1].map(|side| {
                let swaps = pieces.iter().filter(|p| swaps(p, side));
                let swaps: Vec<(i64, i64)> = swaps.map(|p| sides(p, side)).collect();
                let paid = swaps.iter().map(|(out, _)| *out);
                let (least, most) = (paid.clone().min(), paid.max());
                let taken = swaps.iter().map(|(_, taken)| *taken).min();
                least.filter(|_| taken <= most)
            }),
        }
    }

    fn grains(&self, piece: &Laid, round: impl Fn(i64) -> u32) -> Grains {
        let wide = piece.kerf > self.kerf;
        let lies = [0, 1].map(|side| Lies::of(piece, side));
        let bare = piece.bare();
        let mut ways: Vec<Way> = vec![Way {
            // the kerf of a piece that must be held never runs off
            last: wide && !(piece.short && self.hold >= 0),
            ..Way::default()
        }];
        let mut wedges: Vec<i64> = vec![0];
        for (side, lies) in lies.into_iter().enumerate() {
            let out = sides(piece, side).0;
            let choices: &[(Act, i64)] = match lies {
                Lies::Plain => &[(Act::None, 0)],
                Lies::Falls => &[(Act::Fall, 0)],
                Lies::Rises => &[
                    (Act::Claim, (out - self.takers[side]).max(0)),
                    (Act::Pay, out),
                ],
                Lies::Both if swaps(piece, side) => &[
                    (Act::Want, 0),
                    (Act::Swap, self.least_paid[side].unwrap_or(out)),
                ],
                Lies::Both => &[(Act::Want, 0), (Act::Pay, out)],
            };
            let pairs = ways.iter().zip(&wedges);
            (ways, wedges) = pairs
                .flat_map(|(way, wedge)| {
                    choices.iter().map(move |&(act, more)| {
                        let mut way = *way;
                        way.acts[side] = act;
                        // leaning up it is followed by what takes that up, unless it pays
                        way.last &= side > 0 || !matches!(act, Act::Claim | Act::Want);
                        (way, wedge + more)
                    })
                })
                .unzip();
        }
        for (at, wedge) in wedges.into_iter().enumerate() {
            let can_be_last = ways[at].last;
            let way = &mut ways[at];
            (way.last, way.takes) = (false, round(bare + wedge));
            if can_be_last {
                let mut last = *way;
                (last.last, last.takes) = (true, round(bare + wedge - (piece.kerf - self.kerf)));
                if lies[1] == Lies::Falls {
                    // its far end takes up a wedge or lies last; lying last, it still leads there
                    last.acts[1] = Act::Pay;
                }
                ways.push(last);
            }
        }
        let turn = match lies {
            _ if lies.contains(&Lies::Both) => 0,
            _ if lies.contains(&Lies::Rises) => 1,
            [_, Lies::Falls] => 2,
            _ if wide => 2,
            [Lies::Falls, _] => 3,
            _ => 4,
        };
        let both = (0..2).find(|&side| lies[side] == Lies::Both);
        Grains {
            rank: both.map_or(0, |side| -sides(piece, side).0),
            ..Grains::new(turn, &ways)
        }
    }
}

/// How a piece lies to one side of the lean 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Lies {
    Plain,
    Falls,
    Rises,
    Both,
}

impl Lies {
    fn of(piece: &Laid, side: usize) -> Lies {
        let (out, taken) = sides(piece, side);
        match (out > 0, taken > 0) {
            (false, false) => Lies::Plain,
            (false, true) => Lies::Falls,
            (true, false) => Lies::Rises,
            (true, true) => Lies::Both,
        }
    }
}

/// How far a piece leans out on a side, and how far it can take up another's leaning.
fn sides(piece: &Laid, side: usize) -> (i64, i64) {
    match side {
        0 => (piece.far.lean, piece.near.lean),
        _ => (-piece.near.lean, -piece.far.lean),
    }
}

/// Whether it leans out at both ends, less at the one that counts.
fn swaps(piece: &Laid, side: usize) -> bool {
    let (out, taken) = sides(piece, side);
    out > 0 && taken > out
}
