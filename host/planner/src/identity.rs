//! Numbers for life: a piece keeps its id as long as level, room, moulding, length and both ends stay as they are, whatever
//! else of the list is edited; the next house of the same plan has other ids at the same station. Matching ids with what has been cut is left to the place and the record.

use std::collections::{BTreeMap, BTreeSet};

use crc::{CRC_32_ISCSI, Crc};
use shared_model::{End, Length, PieceId};

const CRC: Crc<u32> = Crc::<u32>::new(&CRC_32_ISCSI);

/// What a piece is known by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Likeness<'a> {
    /// The room's name.
    pub room: &'a str,
    /// The moulding's name.
    pub moulding: &'a str,
    /// Along the back.
    pub length: Length,
    /// Both ends, as written by [`mark_of`].
    pub ends: (u32, u32),
}

/// A number that differs for ends that differ.
pub fn mark_of(end: End) -> u32 {
    let (kind, angle) = match end {
        End::Square => (0, 0),
        End::Butt { gauge } => (1, gauge.in_hundredths()),
        End::Cope { gauge } => (2, gauge.in_hundredths()),
        End::InsideMiter { gauge } => (3, gauge.in_hundredths()),
        End::OutsideMiter { gauge } => (4, gauge.in_hundredths()),
        End::ScarfOver { bevel } => (5, bevel.in_hundredths()),
        End::ScarfUnder { bevel } => (6, bevel.in_hundredths()),
        End::Return => (7, 0),
    };
    kind << 16 | u32::from(angle)
}

/// An id for each piece of a level: equal pieces of one room get ids in the order in which they stand.
pub fn ids(level: &str, pieces: &[Likeness<'_>]) -> Vec<PieceId> {
    let mut seen: BTreeMap<Likeness<'_>, u32> = BTreeMap::new();
    let mut given = BTreeSet::new();
    pieces
        .iter()
        .map(|piece| {
            let nth = seen.entry(*piece).or_default();
            *nth += 1;
            // two unlike pieces with one check sum are kept apart by trying further salts
            let mut salts = 0u32..;
            loop {
                let id = PieceId(check_sum(
                    level,
                    piece,
                    *nth,
                    salts.next().unwrap_or_default(),
                ));
                if given.insert(id) {
                    return id;
                }
            }
        })
        .collect()
}

fn check_sum(level: &str, piece: &Likeness<'_>, nth: u32, salt: u32) -> u32 {
    let mut digest = CRC.digest();
    for name in [level, piece.room, piece.moulding] {
        digest.update(&(name.len() as u32).to_le_bytes());
        digest.update(name.as_bytes());
    }
    digest.update(&piece.length.units().to_le_bytes());
    for number in [piece.ends.0, piece.ends.1, nth, salt] {
        digest.update(&number.to_le_bytes());
    }
    digest.finalize()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn like(room: &str, inches: i32) -> Likeness<'_> {
        Likeness {
            room,
            moulding: "base",
            length: Length::inches(inches),
            ends: (0, 1),
        }
    }

    #[test]
    fn an_edit_elsewhere_changes_no_id() {
        let before = [like("Hall", 20), like("Hall", 30), like("Bath", 30)];
        let after = [like("Attic", 9), like("Hall", 30), like("Bath", 30)];
        let (before, after) = (ids("Lot 12", &before), ids("Lot 12", &after));
        assert_eq!(before[1..], after[1..]);
        assert_ne!(before[0], after[0]);
    }

    #[test]
    fn equal_pieces_get_ids_of_their_own() {
        let twins = ids("Lot 12", &[like("Hall", 20), like("Hall", 20)]);
        assert_ne!(twins[0], twins[1]);
        assert_eq!(ids("Lot 12", &[like("Hall", 20)])[0], twins[0]);
    }

    #[test]
    fn the_next_house_of_the_same_plan_has_ids_of_its_own() {
        let rooms = [like("Hall", 20), like("Hall", 30), like("Bath", 30)];
        let (first, next) = (ids("Lot 12", &rooms), ids("Lot 13", &rooms));
        assert!(first.iter().all(|id| !next.contains(id)));
    }
}
