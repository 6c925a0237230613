//! Small rooms to plan in tests: a usual saw and base, and one line a wall.

use planner::plan::{Plan, PlannedPiece};
use planner::walk::*;
use shared_model::{Angle, Joint, Length, Mark, Side, Unit};

pub const T: Length = Length::sixteenths(9);

pub fn length(text: &str) -> Length {
    Length::read(text, Unit::Inch).unwrap()
}

pub fn base() -> MouldingStock {
    MouldingStock {
        name: "base".to_owned(),
        height: length("5 1/4"),
        thickness: T,
        profile: length("3/4"),
        sticks: vec![StickKind {
            length: length("192"),
            price: None,
            count: None,
        }],
        offcuts: Vec::new(),
    }
}

pub fn walk(rooms: Vec<Room>) -> Walk {
    Walk {
        setup: Setup {
            level: "Test".to_owned(),
            unit: Unit::Inch,
            mark: Mark::Sixteenth,
            old_house: false,
            saw: Saw::default(),
            mouldings: vec![base()],
        },
        direction: Direction::Clockwise,
        cope: Side::Left,
        cope_up_to: Angle::degrees(100),
        cope_least: Length::ZERO,
        casing_gap: Length::ZERO,
        spring: Vec::new(),
        scarf: ScarfRule {
            bevel: Angle::degrees(45),
            stud: Some(length("16")),
            from: Side::Left,
            least: length("24"),
        },
        accuracy: Accuracy::default(),
        rooms,
    }
}

pub fn room(name: &str, outline: Vec<Item>) -> Room {
    Room {
        name: name.to_owned(),
        moulding: 0,
        closed: true,
        island: false,
        entry: 0,
        outline,
        diagonals: Vec::new(),
    }
}

fn item(stretch: Stretch, corner: Option<Corner>) -> Item {
    Item {
        stretch,
        corner,
        radius: None,
        left: None,
        right: None,
    }
}

/// A wall that ends in an inside corner of this gauge.
pub fn inside(text: &str, gauge: u16) -> Item {
    let turn = Turn::Inside;
    let gauge = Angle::degrees(gauge);
    item(Stretch::Wall(length(text)), Some(Corner { turn, gauge }))
}

/// A wall that ends in an outside corner of this gauge.
pub fn outside(text: &str, gauge: u16) -> Item {
    let turn = Turn::Outside;
    let gauge = Angle::degrees(gauge);
    item(Stretch::Wall(length(text)), Some(Corner { turn, gauge }))
}

/// A wall with no corner at its end.
pub fn straight(text: &str) -> Item {
    item(Stretch::Wall(length(text)), None)
}

/// An opening with no corner at its end.
pub fn opening(text: &str) -> Item {
    item(Stretch::Opening(Some(length(text))), None)
}

/// A wall whose board hangs already, ending in an inside corner of 90.
pub fn existing(text: &str) -> Item {
    let corner = Corner {
        turn: Turn::Inside,
        gauge: Angle::RIGHT,
    };
    item(Stretch::Existing(length(text)), Some(corner))
}

/// The same item with joints forced at its installed ends.
pub fn force(mut item: Item, left: Option<Joint>, right: Option<Joint>) -> Item {
    (item.left, item.right) = (left, right);
    item
}

pub fn plan(walk: Walk) -> Plan {
    planner::plan(&Sheet::Walk(walk))
}

/// Wall number and both joints of every piece, in a word each.
pub fn ends(plan: &Plan) -> Vec<String> {
    let line = |piece: &PlannedPiece| {
        format!(
            "{} {} - {}",
            piece.wall.unwrap_or_default(),
            piece.left.end.joint(),
            piece.right.end.joint()
        )
    };
    plan.pieces.iter().map(line).collect()
}

/// The walls of the first room in the order of installing.
pub fn installed(plan: &Plan) -> Vec<u32> {
    let order = plan.install[0].order.iter();
    order.map(|&at| plan.pieces[at].wall.unwrap()).collect()
}

pub fn messages(plan: &Plan) -> Vec<String> {
    let line = |f: &planner::finding::Finding| {
        format!("{} {:?} {}", f.severity.word(), f.walls, f.message)
    };
    plan.findings.iter().map(line).collect()
}

/// A closed room of four walls, all corners inside and of this gauge.
pub fn four(gauge: u16) -> Vec<Item> {
    vec![
        inside("120", gauge),
        inside("144", gauge),
        inside("120", gauge),
        inside("144", gauge),
    ]
}

/// A closed room with a door in its first wall and corners of 90, 92, 90 and 88.
pub fn with_door() -> Vec<Item> {
    vec![
        straight("31 1/2"),
        opening("37 1/2"),
        inside("64 7/16", 90),
        inside("124 3/8", 92),
        inside("129", 90),
        inside("128 15/16", 88),
    ]
}
