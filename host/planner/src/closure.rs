//! Catches wrong measurements while the carpenter is still in the room: a room is a closed figure, so that what was read
//! has to fit together.
//!
//! One module an idea: `traverse` (legs, misclosure, compass rule), `uncertainty` (how far each reading may be out),
//! `survey` (a room as readings), `adjust` (least squares), `snoop` (each reading against the rest, and the smallest error
//! that shows), `slips` (what tape work gets wrong), `gauges` (and the angle finder), `suspects` and `search` (which slip
//! explains a room), `advice` (which further reading would help), `widths` (openings that were not measured), `findings`,
//! `pairs`, `proposals` and `report` (all that in sentences), `shape` (what looks wrong without reckoning).

pub mod adjust;
pub mod advice;
mod findings;
pub mod gauges;
pub(crate) mod names;
mod pairs;
mod proposals;
pub mod report;
mod search;
mod shape;
pub mod slips;
pub mod snoop;
pub mod survey;
pub mod suspects;
pub mod traverse;
pub mod uncertainty;
pub mod widths;

#[cfg(test)]
mod tests;

use crate::finding::Finding;
use crate::walk::{Room, Walk};

/// What there is to say about every room's measurements, in the order of the rooms.
pub fn check(walk: &Walk) -> Vec<Vec<Finding>> {
    let rooms = walk.rooms.iter().map(|room| {
        let mut findings = findings::room_findings(walk, room);
        findings.extend(shape::written_twice(walk, room));
        findings.extend(shape::without_walls(room));
        findings
    });
    let mut rooms: Vec<Vec<Finding>> = rooms.collect();
    let place = |room: &str| walk.rooms.iter().position(|other| other.name == room);
    // a room that closes proves its lengths, and one that does not is told of already
    let told = |room: &Room| room.closed;
    for finding in shape::lengths_beyond(walk, told) {
        if let Some(at) = finding.room.as_deref().and_then(place) {
            rooms[at].push(finding);
        }
    }
    rooms
}
