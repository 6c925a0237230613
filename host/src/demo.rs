//! The demo level: an invented house, shown where no file is given. It is an ordinary walk, read like any other.

use form::Source;

const UPPER_FLOOR: &str = include_str!("../demo/upper-floor.txt");

/// The demo level's text.
pub fn source() -> Source {
    Source {
        name: "the demo level".to_owned(),
        text: UPPER_FLOOR.to_owned(),
        path: None,
    }
}

/// The demo level's walk, for tests.
#[cfg(test)]
pub fn sheet() -> planner::walk::Sheet {
    form::read_source(&source()).expect("the demo level is read")
}

#[cfg(test)]
mod tests {
    use super::*;
    use planner::walk::{Direction, Item, Room, Sheet, Stretch, Turn, Walk};
    use shared_model::Length;

    fn walk() -> Walk {
        match sheet() {
            Sheet::Walk(walk) => walk,
            Sheet::CutList(_) => panic!("the demo level is a walk"),
        }
    }

    #[test]
    fn its_json_says_the_same() {
        let json = include_str!("../demo/upper-floor.json");
        let json = form::read_text("upper-floor.json", json, &[]).expect("JSON");
        assert_eq!(sheet(), json);
    }

    /// How far the room is from coming back to where it began, in inches; openings that were not measured are left out.
    fn misclosure(room: &Room) -> f64 {
        let (mut x, mut y, mut heading) = (0.0f64, 0.0f64, 0.0f64);
        for item in &room.outline {
            let length = match item.stretch {
                Stretch::Wall(length) | Stretch::Existing(length) => length,
                Stretch::Opening(width) => width.unwrap_or(Length::ZERO),
            };
            let inches = f64::from(length.units()) / f64::from(Length::UNITS_PER_INCH);
            x += inches * heading.sin();
            y += inches * heading.cos();
            if let Some(corner) = item.corner {
                let turn = std::f64::consts::PI - corner.gauge.radians();
                heading += match corner.turn {
                    Turn::Inside => turn,
                    Turn::Outside => -turn,
                };
            }
        }
        let turns = heading / std::f64::consts::TAU;
        assert!((turns.abs() - 1.0).abs() < 1e-9, "{}: {turns}", room.name);
        x.hypot(y)
    }

    #[test]
    fn every_closed_room_closes() {
        let walk = walk();
        assert_eq!(walk.direction, Direction::Clockwise);
        for room in walk.rooms.iter().filter(|room| room.closed) {
            let unknown = |item: &Item| item.stretch == Stretch::Opening(None);
            if room.outline.iter().any(unknown) {
                continue;
            }
            let inches = misclosure(room);
            assert!(inches < 0.0625, "{}: {inches}", room.name);
        }
    }

    #[test]
    fn it_holds_what_a_level_can_hold() {
        let walk = walk();
        assert!((15..=20).contains(&walk.rooms.len()));
        let items = || walk.rooms.iter().flat_map(|room| &room.outline);
        let gauge = |hundredths| {
            let wanted = |item: &Item| {
                let gauge = item.corner.map(|corner| corner.gauge.in_hundredths());
                gauge == Some(hundredths)
            };
            items().any(wanted)
        };
        assert!([9200, 8700, 13_500].into_iter().all(gauge));
        assert!(walk.rooms.iter().any(|room| room.island));
        assert!(walk.rooms.iter().any(|room| !room.closed));
        let ring = |room: &Room| {
            let all = |wanted: fn(&Item) -> bool| room.outline.iter().all(wanted);
            room.closed
                && all(|item| matches!(item.stretch, Stretch::Wall(_)))
                && all(|item| {
                    item.corner
                        .is_some_and(|corner| corner.turn == Turn::Inside)
                })
        };
        assert!(walk.rooms.iter().any(ring));
        let longest = Length::inches(192);
        assert!(
            items().any(|item| matches!(item.stretch, Stretch::Wall(length) if length > longest))
        );
        assert!(items().any(|item| matches!(item.stretch, Stretch::Existing(_))));
        assert!(items().any(|item| item.left.is_some() || item.right.is_some()));
        let plain = |square: bool| {
            let mouldings = walk.setup.mouldings.iter();
            mouldings
                .filter(|m| (m.profile == Length::ZERO) == square)
                .count()
        };
        assert_eq!((plain(true), plain(false)), (1, 1));
    }

    #[test]
    fn it_is_planned_without_errors() {
        let plan = planner::plan(&Sheet::Walk(walk()));
        assert!(!plan.has_errors(), "{:#?}", plan.findings);
        assert!(
            (80..=120).contains(&plan.pieces.len()),
            "{}",
            plan.pieces.len()
        );
        assert!(plan.pieces.iter().all(|piece| piece.cut.is_some()));
    }
}
