//! What must hold of the sticks of a plan: every piece comes from one of them, every end is made by one cut, and the
//! pieces laid one after another with the blade's width between them do not need more than the stick has.

use planner::plan::{Plan, Stick};
use shared_model::{End, Length, Side};

use super::laid::ROUNDING;
use super::outline::millimetres;
use crate::saw_solid::seen_at_the_saw;

pub fn sticks_give_their_pieces(plan: &Plan) {
    let mut given: Vec<usize> = Vec::new();
    for (stick, number) in plan.sticks.iter().zip(1..) {
        assert_eq!(stick.number, number);
        for &place in &stick.pieces {
            given.push(place);
            let piece = &plan.pieces[place];
            let cut = piece.cut.expect("a piece of a stick is cut");
            assert_eq!((cut.stick, cut.order), (number, given.len() as u32));
            assert_eq!(piece.moulding, stick.moulding);
        }
        cuts_make_every_end_once(plan, stick);
        pieces_fit(plan, stick);
    }
    given.sort_unstable();
    assert!(
        given.into_iter().eq(0..plan.pieces.len()),
        "every piece comes from one stick"
    );
}

fn cuts_make_every_end_once(plan: &Plan, stick: &Stick) {
    let mut made: Vec<(usize, Side)> = Vec::new();
    for cut in &stick.cuts {
        let seen = cut.ends.iter().map(|end| {
            let due = plan.pieces[end.piece].end(end.installed);
            assert_eq!(cut.posture, due.posture);
            made.push((end.piece, end.installed));
            seen_at_the_saw(due.end, end.installed, due.posture)
        });
        let seen: Vec<_> = seen.collect();
        if let [first, second] = seen[..] {
            assert_ne!(
                first.side, second.side,
                "neighbours lie on both sides of the blade"
            );
            assert_eq!((first.by, first.way), (second.by, second.way));
            assert!((first.degrees - second.degrees).abs() < 0.006);
        }
    }
    for (&place, number) in stick.pieces.iter().zip(0usize..) {
        let told = plan.pieces[place].cut.expect("a piece of a stick is cut");
        let near = (place, told.first);
        let one_cut = |before: &usize| {
            let far = (*before, told.first.other());
            stick.cuts.iter().any(|cut| {
                let ends: Vec<_> = cut
                    .ends
                    .iter()
                    .map(|end| (end.piece, end.installed))
                    .collect();
                ends.contains(&near) && ends.contains(&far)
            })
        };
        let before = number
            .checked_sub(1)
            .and_then(|before| stick.pieces.get(before));
        assert_eq!(
            told.shared,
            before.is_some_and(one_cut),
            "stick {}",
            stick.number
        );
        let cut_with = |end| made.iter().position(|&other| other == end);
        assert!(
            cut_with(near) < cut_with((place, told.first.other())),
            "the fresh end first"
        );
    }
    let both = |&piece: &usize| [(piece, Side::Left), (piece, Side::Right)];
    let mut due: Vec<(usize, Side)> = stick.pieces.iter().flat_map(both).collect();
    let key = |end: &(usize, Side)| (end.0, end.1 == Side::Right);
    made.sort_by_key(key);
    due.sort_by_key(key);
    assert_eq!(made, due);
}

/// Lays the pieces from the fresh end, each as close to the one before as the blade allows on the back and on the face.
fn pieces_fit(plan: &Plan, stick: &Stick) {
    let thickness = plan.mouldings[stick.moulding].thickness;
    let slope = |end: End| millimetres(end.slope(thickness));
    let relief = |end: End| slope(end) - millimetres(end.reach(thickness));
    let trim = millimetres(plan.saw.end_trim);
    let (mut back, mut face, mut farthest, mut fresh) = (trim, trim, trim, None);
    for &place in &stick.pieces {
        let piece = &plan.pieces[place];
        let first = piece.cut.expect("a piece of a stick is cut").first;
        assert!(
            fresh.is_none_or(|fresh| fresh == first),
            "all lie the same way round"
        );
        fresh = Some(first);
        let (near, far) = (piece.end(first).end, piece.end(first.other()).end);
        let length = millimetres(piece.length) - relief(near) - relief(far);
        let begin = back.max(face + slope(near));
        let ends = [begin + length, begin + length + slope(far)];
        farthest = ends[0].max(ends[1]);
        let setting = f64::from(far.setting().in_hundredths()) / 100.0;
        let blade = millimetres(plan.saw.kerf) / setting.to_radians().cos();
        (back, face) = (ends[0] + blade, ends[1] + blade);
    }
    let has = millimetres(stick.length);
    assert!(
        farthest <= has + ROUNDING,
        "stick {}: {farthest} of {has}",
        stick.number
    );
    let leftover = (has - back.max(face)).max(0.0);
    assert!(stick.leftover >= Length::ZERO);
    let told = millimetres(stick.leftover);
    assert!(
        told <= leftover + ROUNDING,
        "stick {}: {told} left, not {leftover}",
        stick.number
    );
}
