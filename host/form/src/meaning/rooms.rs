//! What the rooms of a walk mean. The shape in which they are written is `walk`; whether a room closes is left to
//! the planner.

use std::collections::HashSet;

use planner::walk::{
    Accuracy, Corner, Diagonal, Direction, Item, Room, ScarfRule, Spring, Stretch, Turn, Walk,
};
use shared_model::{Joint, Length, Side};

use super::setup::{SetupForm, leave_out_unused, moulding_place, setup};
use super::{Judge, Least, MOST_STRETCHES, Refused, Spot};
use crate::number::Written;
use crate::places::Sources;
use crate::setup::MouldingForm;
use crate::walk::{
    AccuracyForm, DiagonalForm, ItemForm, RoomForm, ScarfForm, SpringForm, WalkForm,
};
use crate::words::{DIRECTIONS, JOINTS, MEASURES, RINGS, SIDES, TURNS};

const ITEM: &str = "{ \"wall\": 60, \"corner\": \"inside\" }";

/// The walk that a file means.
///
/// # Errors
/// Everything that cannot be, in the file's order.
pub fn walk(form: &WalkForm, sources: &Sources) -> Result<Walk, Vec<Refused>> {
    let mut judge = Judge::of(sources);
    let root = Spot::default();
    if form.walk != 1 {
        let expected = "1: the version of the form that this program reads";
        judge.tell(root.key("walk"), expected, "\"walk\": 1");
    }
    let mut setup = setup(
        &mut judge,
        &SetupForm {
            level: &form.level,
            unit: &form.unit,
            mark: form.mark.as_deref(),
            old_house: form.old_house,
            saw: &form.saw,
            mouldings: &form.mouldings,
        },
    );
    let direction = judge.choice(root.key("direction"), &form.direction, &DIRECTIONS);
    let cope = judge.choice(root.key("cope"), &form.cope, &SIDES);
    let cope_up_to = judge.angle(
        root.key("cope_up_to"),
        form.cope_up_to,
        9000..13_501,
        "90 to 135 degrees: inside corners wider than this are mitered",
        "\"cope_up_to\": 100",
    );
    let mut some = |key, written: &Option<Written>, most, expected: &str, example: &str| {
        let Some(written) = written else {
            return Length::ZERO;
        };
        let length = judge.length(root.key(key), written, Least::MoreThanZero, example);
        if length > most {
            judge.tell(root.key(key), expected, example);
        }
        length
    };
    let cope_least = some(
        "cope_least",
        &form.cope_least,
        Length::inches(48),
        "at most 48 in: a longer wall is coped",
        "\"cope_least\": 6",
    );
    let casing_gap = some(
        "casing_gap",
        &form.casing_gap,
        Length::inches(1),
        "at most 1 in: what caulk fills",
        "\"casing_gap\": 0.03125",
    );
    let spring = form.spring.iter().enumerate().map(|(index, form)| {
        let spot = root.element("spring", index);
        spring_of(&mut judge, &spot, form)
    });
    let spring = spring.collect();
    let scarf = scarf_of(&mut judge, &root.key("scarf"), &form.scarf);
    let accuracy = accuracy_of(&mut judge, &root.key("accuracy"), &form.accuracy);
    if form.rooms.is_empty() {
        let example = "\"rooms\": [ { \"name\": \"Bed 2\", \"moulding\": \"base\", \"closed\": false, \"outline\": [ { \"wall\": 60 } ] } ]";
        judge.tell(root.key("rooms"), "at least one room", example);
    }
    let stretches = form.rooms.iter().map(|room| room.outline.len()).sum();
    let what = "stretches of outline in all rooms";
    judge.at_most(root.key("rooms"), stretches, MOST_STRETCHES, what);
    let mut names = HashSet::new();
    let rooms = form.rooms.iter().enumerate().map(|(index, room)| {
        let spot = root.element("rooms", index).named(&room.name);
        judge.name(spot.key("name"), &room.name, "\"name\": \"Bed 2\"");
        if !names.insert(room.name.trim()) {
            let expected = "a name that no other room has";
            judge.tell(spot.key("name"), expected, "\"name\": \"Bed 2 closet\"");
        }
        room_of(&mut judge, &spot, room, &form.mouldings)
    });
    let mut rooms: Vec<Room> = rooms.collect();
    let used = rooms.iter_mut().map(|room| &mut room.moulding).collect();
    leave_out_unused(&judge, &mut setup.mouldings, used);
    let walk = Walk {
        setup,
        direction: direction.unwrap_or(Direction::Clockwise),
        cope: cope.unwrap_or(Side::Left),
        cope_up_to,
        cope_least,
        casing_gap,
        spring,
        scarf,
        accuracy,
        rooms,
    };
    judge.verdict(walk)
}

fn spring_of(judge: &mut Judge, spot: &Spot, form: &SpringForm) -> Spring {
    let before = judge.told.len();
    let more = Least::MoreThanZero;
    let over = judge.length(spot.key("over"), &form.over, Least::Zero, "\"over\": 96");
    let add = judge.length(spot.key("add"), &form.add, more, "\"add\": 0.0625");
    if judge.told.len() == before && add > Length::inches(1) {
        let expected = "at most 1 in: a board is sprung in by a small part of an inch";
        judge.tell(spot.key("add"), expected, "\"add\": 0.0625");
    }
    Spring { over, add }
}

fn scarf_of(judge: &mut Judge, spot: &Spot, form: &ScarfForm) -> ScarfRule {
    let more = Least::MoreThanZero;
    let bevel = judge.angle(
        spot.key("degrees"),
        form.degrees,
        1..6001,
        "more than 0 and at most 60 degrees from square",
        "\"degrees\": 45",
    );
    let stud = form
        .stud
        .as_ref()
        .map(|stud| judge.length(spot.key("stud"), stud, more, "\"stud\": 16"));
    if stud.is_some_and(|stud| Length::ZERO < stud && stud < Length::inches(4)) {
        let expected = "at least 4 in from stud to stud";
        judge.tell(spot.key("stud"), expected, "\"stud\": 16");
    }
    let least = judge.length(spot.key("least"), &form.least, more, "\"least\": 24");
    let from = judge.choice(spot.key("from"), &form.from, &SIDES);
    ScarfRule {
        bevel,
        stud,
        from: from.unwrap_or(Side::Left),
        least,
    }
}

fn accuracy_of(judge: &mut Judge, spot: &Spot, form: &AccuracyForm) -> Accuracy {
    let mut within = |key, degrees| {
        judge.angle(
            spot.key(key),
            degrees,
            1..501,
            "more than 0 and at most 5 degrees",
            "\"accuracy\": { \"corners\": 0.25, \"gauge\": 0.5 }",
        )
    };
    let (corners, gauge) = (within("corners", form.corners), within("gauge", form.gauge));
    let with = form.with.as_ref();
    Accuracy {
        with: with.and_then(|word| judge.choice(spot.key("with"), word, &MEASURES)),
        corners,
        gauge,
    }
}

fn room_of(judge: &mut Judge, spot: &Spot, form: &RoomForm, mouldings: &[MouldingForm]) -> Room {
    let moulding = moulding_place(judge, spot.key("moulding"), &form.moulding, mouldings);
    let island = form
        .ring
        .as_ref()
        .and_then(|word| judge.choice(spot.key("ring"), word, &RINGS));
    if form.outline.is_empty() {
        let example = format!("\"outline\": [ {ITEM} ]");
        judge.tell(spot.key("outline"), "at least one wall", example);
    }
    let items = form
        .outline
        .iter()
        .enumerate()
        .map(|(index, item)| item_of(judge, &spot.element("outline", index), item));
    let outline: Vec<Item> = items.collect();
    let corners = form.outline.iter().filter(|i| i.corner.is_some()).count();
    if form.closed && !form.outline.is_empty() && corners < 3 {
        judge.tell_read(
            spot.key("outline"),
            match corners {
                1 => "a closed outline with 1 corner".to_owned(),
                count => format!("a closed outline with {count} corners"),
            },
            "at least 3 corners, an opening's too where it reaches one, or \"closed\": false where the last item does not meet the first",
            ITEM,
        );
    }
    let openings = form.outline.iter().filter(|i| i.opening.is_some()).count();
    let entry = entry_of(judge, spot, form.entry, openings);
    let diagonals = form.diagonals.iter().enumerate().map(|(index, diagonal)| {
        let place = spot.element("diagonals", index);
        diagonal_of(judge, &place, diagonal, outline.len(), form.closed)
    });
    Room {
        name: form.name.trim().to_owned(),
        moulding,
        closed: form.closed,
        island: island.unwrap_or(false),
        entry,
        diagonals: diagonals.collect(),
        outline,
    }
}

/// The entry as the planner counts openings: from 0.
fn entry_of(judge: &mut Judge, spot: &Spot, entry: Option<u32>, openings: usize) -> usize {
    let Some(entry) = entry else {
        return 0;
    };
    let place = (entry as usize).checked_sub(1).filter(|&e| e < openings);
    place.unwrap_or_else(|| {
        let expected = match openings {
            0 => "nothing: this room has no opening".to_owned(),
            1 => "1: this room has one opening".to_owned(),
            count => format!("1 to {count}: openings are counted in walking order"),
        };
        judge.tell(spot.key("entry"), expected, "\"entry\": 1");
        0
    })
}

fn item_of(judge: &mut Judge, spot: &Spot, form: &ItemForm) -> Item {
    let stretch = stretch_of(judge, spot, form);
    let turn = form
        .corner
        .as_ref()
        .and_then(|word| judge.choice(spot.key("corner"), word, &TURNS));
    let gauge = judge.gauge(spot.key("gauge"), form.gauge);
    if form.gauge.is_some() && form.corner.is_none() {
        let expected = "a corner with it: without one the next item goes straight on";
        let example = "\"corner\": \"inside\", \"gauge\": 92";
        judge.tell(spot.key("gauge"), expected, example);
    }
    let radius = form.radius.as_ref().map(|radius| {
        let (place, example) = (spot.key("radius"), "\"radius\": 0.75");
        if turn != Some(Turn::Outside) {
            let expected = "an outside corner with it: only such a one is rounded";
            judge.tell(place.clone(), expected, example);
        }
        let length = judge.length(place.clone(), radius, Least::MoreThanZero, example);
        if length > Length::inches(24) {
            judge.tell(
                place,
                "at most 24 in: a wider bend is a wall of its own",
                example,
            );
        }
        length
    });
    let mut joint = |key, word: &Option<String>| -> Option<Joint> {
        let word = word.as_ref()?;
        if form.wall.is_none() {
            let expected = "nothing: a joint is forced on a wall that gets board";
            judge.tell(
                spot.key(key),
                expected,
                format!("{{ \"wall\": 22.5, \"{key}\": \"return\" }}"),
            );
            return None;
        }
        judge.choice(spot.key(key), word, &JOINTS)
    };
    Item {
        stretch,
        radius,
        left: joint("left", &form.left),
        right: joint("right", &form.right),
        corner: turn.map(|turn: Turn| Corner { turn, gauge }),
    }
}

fn stretch_of(judge: &mut Judge, spot: &Spot, form: &ItemForm) -> Stretch {
    let mut length = |key, written: &Written| {
        let example = format!("\"{key}\": 124.375");
        judge.length(spot.key(key), written, Least::MoreThanZero, &example)
    };
    match (&form.wall, &form.opening, &form.existing) {
        (Some(wall), None, None) => Stretch::Wall(length("wall", wall)),
        (None, Some(opening), None) => {
            Stretch::Opening(opening.as_ref().map(|width| length("opening", width)))
        }
        (None, None, Some(existing)) => Stretch::Existing(length("existing", existing)),
        (wall, opening, existing) => {
            let given = [
                ("wall", wall.is_some()),
                ("opening", opening.is_some()),
                ("existing", existing.is_some()),
            ];
            let given: Vec<&str> = given
                .into_iter()
                .filter_map(|(key, there)| there.then_some(key))
                .collect();
            let read = match given.is_empty() {
                true => "none of them".to_owned(),
                false => given.join(" and "),
            };
            let expected = "one of \"wall\", \"opening\" and \"existing\"";
            judge.tell_read(spot.clone(), read, expected, ITEM);
            Stretch::Opening(None)
        }
    }
}

fn diagonal_of(
    judge: &mut Judge,
    spot: &Spot,
    form: &DiagonalForm,
    items: usize,
    closed: bool,
) -> Diagonal {
    const EXAMPLE: &str = "{ \"from\": 0, \"to\": 2, \"length\": 180.5 }";
    let mut corner = |key, number: u32| {
        if number as usize > items {
            let expected = format!(
                "0 to {items}: corners are numbered along the outline, 0 where the walk begins"
            );
            judge.tell(spot.key(key), expected, EXAMPLE);
        }
        number as usize
    };
    let (from, to) = (corner("from", form.from), corner("to", form.to));
    let ends_meet = closed && from.abs_diff(to) == items;
    if from == to || ends_meet {
        judge.tell_read(
            spot.clone(),
            format!("from {from} to {to}"),
            "two different corners",
            EXAMPLE,
        );
    }
    let place = spot.key("length");
    let length = judge.length(place, &form.length, Least::MoreThanZero, EXAMPLE);
    Diagonal { from, to, length }
}
