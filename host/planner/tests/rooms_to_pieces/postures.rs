//! In which posture an end is cut, and ends that somebody decided already.

use planner::walk::*;
use shared_model::{Angle, End, Posture};

use crate::small_rooms::*;

#[test]
fn each_end_gets_a_posture_that_the_saw_can_cut() {
    let corner = || {
        vec![
            outside("40", 90),
            outside("40", 90),
            outside("40", 90),
            outside("40", 90),
        ]
    };
    let column = |saw: Saw| {
        let mut island = room("Column", corner());
        island.island = true;
        let mut walk = walk(vec![island]);
        walk.setup.saw = saw;
        plan(walk)
    };
    // a saw that tilts left only: one end with the top to the fence, then the board is turned
    let lying = Saw {
        posture: Some(Posture::FlatTopToFence),
        tilt_right: Angle::ZERO,
        ..Saw::default()
    };
    let plan = column(lying);
    let piece = &plan.pieces[0];
    assert_eq!(piece.left.posture, Posture::FlatTopToFence);
    assert_eq!(piece.right.posture, Posture::FlatBottomToFence);
    assert!(
        messages(&plan)[0]
            .starts_with("warning [1, 2, 3, 4] An outside miter needs 45 degrees to the right")
    );
    // a board too tall to stand lies flat
    let low = Saw {
        standing_height: length("4"),
        ..Saw::default()
    };
    let plan = column(low);
    assert_eq!(plan.pieces[0].left.posture, Posture::FlatTopToFence);
    assert!(messages(&plan)[0].contains("taller than the saw takes on edge"));
    // told once for all walls, whatever their ends are
    let mut bedroom = walk(vec![room("Bed", with_door())]);
    bedroom.setup.saw = low;
    let told = messages(&planner::plan(&Sheet::Walk(bedroom)));
    let tall: Vec<&String> = told.iter().filter(|told| told.contains("taller")).collect();
    assert_eq!(tall.len(), 1, "{told:?}");
    assert!(tall[0].ends_with("these ends are cut in another posture than the one asked for."));
    // "any" takes a posture that cuts both ends
    let free = Saw {
        posture: None,
        swing_right: Angle::degrees(30),
        ..Saw::default()
    };
    let plan = column(free);
    assert_eq!(plan.pieces[0].left.posture, Posture::FlatTopToFence);
    assert_eq!(plan.pieces[0].right.posture, Posture::FlatTopToFence);
    assert_eq!(messages(&plan), [""; 0]);
}

#[test]
fn what_no_posture_can_cut_is_an_error_in_the_asked_one() {
    let mut outline = with_door();
    outline[3] = inside("124 3/8", 55);
    let steep = plan(walk(vec![room("Steep", outline)]));
    assert!(steep.has_errors());
    let lacking = "error [4] A cope needs 62.5 degrees to the left, and the saw swings 50 that way, and no other way of laying the board helps (the saw swings 60 to the right, tilts 48 to the right and tilts 48 to the left): cut this end by other means, or use a saw that can.";
    let told = messages(&steep);
    assert!(told.iter().any(|told| told == lacking), "{told:#?}");
    assert_eq!(steep.pieces[3].left.posture, Posture::StandingUpsideDown);
    // at 60 the same saw still can, with the board the right way up: its table swings farther to the right
    let mut outline = with_door();
    outline[3] = inside("124 3/8", 60);
    let mut sharp = room("Sharp", outline);
    // with such a corner it no longer closes
    sharp.closed = false;
    let turned = plan(walk(vec![sharp]));
    assert_eq!(turned.pieces[3].left.posture, Posture::StandingUpright);
    assert!(!turned.has_errors());
}

#[test]
fn a_board_too_large_for_the_saw_is_told_with_what_the_saw_takes() {
    for (tall, wide, tilt, why) in [
        ("4", "5", 48, "takes 5\" lying flat"),
        (
            "4",
            "12",
            20,
            "tilts 20 to the right and tilts 20 to the left",
        ),
        ("4", "12", 0, "tilts 0 to the right and tilts 0 to the left"),
    ] {
        let mut bedroom = walk(vec![room("Bed", with_door())]);
        bedroom.setup.saw = Saw {
            standing_height: length(tall),
            flat_width: length(wide),
            tilt_left: Angle::degrees(tilt),
            tilt_right: Angle::degrees(tilt),
            ..Saw::default()
        };
        let told = messages(&plan(bedroom));
        let due = format!(
            "Base is 5 1/4\" high, taller than the saw takes on edge (4\"), and no other way of laying the board helps (the saw {why}): cut these ends by other means, or use a saw that can."
        );
        assert!(told.iter().any(|told| told.ends_with(&due)), "{told:#?}");
    }
}

#[test]
fn a_moulding_that_no_room_has_is_told() {
    let mut bedroom = walk(vec![room("Bed", with_door())]);
    let mut shoe = bedroom.setup.mouldings[0].clone();
    shoe.name = "shoe".to_owned();
    bedroom.setup.mouldings.push(shoe);
    assert_eq!(
        messages(&plan(bedroom)),
        [
            "warning [] No room has shoe, though the file says what it is: if one should, write under its name: with shoe; if none should, leave shoe out."
        ]
    );
}

#[test]
fn cut_lists_keep_the_ends_that_somebody_decided() {
    let gauge = Angle::RIGHT;
    let list = CutList {
        setup: walk(Vec::new()).setup,
        pieces: vec![
            ListedPiece {
                room: "Bed".to_owned(),
                wall: Some(3),
                moulding: 0,
                length: length("124 3/8"),
                left: End::Cope { gauge },
                right: End::Square,
            },
            ListedPiece {
                room: "Bed".to_owned(),
                wall: None,
                moulding: 0,
                length: length("20"),
                left: End::Square,
                right: End::OutsideMiter { gauge },
            },
        ],
    };
    let plan = planner::plan(&Sheet::CutList(list));
    assert_eq!(ends(&plan), ["3 cope - square", "0 square - outside miter"]);
    assert_eq!(plan.pieces[0].length, length("124 3/8"));
    assert_eq!(plan.install[0].order, [0, 1]);
}

/// How often the board is laid another way, end by end in the order in which a list is cut.
fn changes(plan: &planner::plan::Plan) -> usize {
    let mut pieces: Vec<_> = plan.pieces.iter().collect();
    pieces.sort_by_key(|piece| piece.cut.unwrap().order);
    let postures = pieces.iter().flat_map(|piece| {
        let first = piece.cut.unwrap().first;
        [first, first.other()].map(|side| piece.end(side).posture)
    });
    let postures: Vec<Posture> = postures.collect();
    postures
        .windows(2)
        .filter(|pair| pair[0] != pair[1])
        .count()
}

#[test]
fn where_any_posture_will_do_the_list_changes_between_as_few_as_can_be() {
    let rooms = || vec![room("One", with_door()), room("Two", with_door())];
    let free = |change: fn(&mut Saw)| {
        let mut walk = walk(rooms());
        walk.setup.saw.posture = None;
        change(&mut walk.setup.saw);
        plan(walk)
    };
    // everything can stand upside down, and does
    let usual = free(|_| {});
    assert_eq!(changes(&usual), 0);
    assert!(
        usual
            .pieces
            .iter()
            .all(|p| p.left.posture == Posture::StandingUpsideDown)
    );
    // copes on the left swing to the left there: a saw that cannot go so far has them all the other way up
    let upright = free(|saw| saw.swing_left = Angle::degrees(30));
    assert_eq!(changes(&upright), 0, "{:?}", upright.pieces);
    assert!(
        upright
            .pieces
            .iter()
            .all(|p| p.left.posture == Posture::StandingUpright)
    );
    // a board too tall to stand: all of it lies, and lies the same way
    let flat = free(|saw| saw.standing_height = length("4"));
    assert_eq!(changes(&flat), 0);
    assert!(!flat.pieces[0].left.posture.stands());
    // computed: an outside corner of 72 wants 54 degrees, beyond the 50 that this saw swings to the left: its left board
    // only upright, its right one only upside down. One of them costs the change to it and back, wherever it comes.
    let mut run = room("Run", vec![outside("40", 72), straight("40")]);
    run.closed = false;
    let mut walk = walk(vec![room("One", with_door()), run]);
    walk.setup.saw.posture = None;
    let mixed = plan(walk);
    let other: Vec<(&str, u32)> = (mixed.pieces.iter())
        .filter(|piece| piece.left.posture != Posture::StandingUpsideDown)
        .map(|piece| (piece.room.as_str(), piece.wall.unwrap()))
        .collect();
    assert_eq!(other, [("Run", 1)]);
    assert!(changes(&mixed) <= 2, "{}", changes(&mixed));
}
