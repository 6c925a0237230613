//! What looks wrong without any reckoning: a length that no other in the level comes near, a wall line written twice, a room
//! in which nothing is cut. What
//! closing a room shows is left to `findings`.

use shared_model::Length;

use super::names::Names;
use super::survey::millimetres;
use crate::finding::Finding;
use crate::walk::{Room, Stretch, Walk};

/// Walls shorter than this, in mm, are no wonder however short the others are (20 ft).
const LONG: f64 = 6_096.0;
/// So many times the next longest is no wall of the same house.
const BEYOND: f64 = 3.0;

/// Lengths of the level that no other comes near, in rooms that do not prove them by closing.
pub fn lengths_beyond(walk: &Walk, proved: impl Fn(&Room) -> bool) -> Vec<Finding> {
    let mut walls: Vec<(Length, &Room, usize)> = Vec::new();
    for room in &walk.rooms {
        for (side, item) in room.outline.iter().enumerate() {
            if let Stretch::Wall(length) | Stretch::Existing(length) = item.stretch {
                walls.push((length, room, side));
            }
        }
    }
    walls.sort_by_key(|(length, ..)| std::cmp::Reverse(*length));
    let longest = walls.first().copied();
    let next = walls.get(1).map_or(0.0, |wall| millimetres(wall.0));
    let beyond = longest.filter(|(length, room, _)| {
        let long = millimetres(*length);
        long > LONG && next > 0.0 && long > BEYOND * next && !proved(room)
    });
    let finding = beyond.map(|(length, room, side)| {
        let names = Names {
            room,
            setup: &walk.setup,
        };
        let message = format!(
            "{} is {} long, and the next longest wall of the level {}: measure it again.",
            names.side(side),
            names.tape(length),
            names.tape(walls[1].0),
        );
        let numbers: Vec<u32> = names.wall(side).into_iter().collect();
        Finding::warning(&room.name, &numbers, message)
    });
    finding.into_iter().collect()
}

/// A room in which no wall gets board.
pub fn without_walls(room: &Room) -> Option<Finding> {
    let mut stretches = room.outline.iter().map(|item| item.stretch);
    let none = !stretches.any(|stretch| matches!(stretch, Stretch::Wall(_)));
    none.then(|| {
        let message =
            "no wall of it gets board, so nothing is cut for it: leave it out, or write its walls.";
        Finding::warning(&room.name, &[], message.to_owned())
    })
}

/// In an open run, which nothing closes: a wall that reads to the mark like the one before it.
pub fn written_twice(walk: &Walk, room: &Room) -> Vec<Finding> {
    if room.closed {
        return Vec::new();
    }
    let names = Names {
        room,
        setup: &walk.setup,
    };
    let pairs = room.outline.windows(2).enumerate();
    let twice = pairs.filter_map(|(side, pair)| {
        let (first, second) = (pair[0], pair[1]);
        let same = matches!(first.stretch, Stretch::Wall(_)) && first == second;
        let numbers = [names.wall(side)?, names.wall(side + 1)?];
        let message = format!(
            "{} and {} read alike to the mark: is one of them the other, written twice?",
            names.side(side),
            names.side(side + 1),
        );
        same.then(|| Finding::warning(&room.name, &numbers, message))
    });
    twice.collect()
}
