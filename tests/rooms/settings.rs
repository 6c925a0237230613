//! Real rooms with the settings that leave something open, spare short walls, turn ends back into the wall or go round
//! rounded corners: every end meets its mate, and nothing waits for itself. What holds of any room stands beside this file.

use planner::plan::{Plan, PlannedPiece};
use planner::walk::*;
use shared_model::{Angle, End, Joint, Length, Side, SmallPiece};

use super::laid::{Laid, ROUNDING, SIDES, THICKNESS, over};
use super::outline::{Kind, Outline, millimetres, tape};
use super::ways::{USUAL, walk, ways};
use super::{as_measured, each_level, judged};

fn planned(walk: &Walk) -> Plan {
    planner::plan(&Sheet::Walk(walk.clone()))
}

/// Whether a strip's board stops at an opening on this side.
fn stops(outline: &Outline, strip: usize, side: Side) -> bool {
    let other = match side {
        Side::Left => outline.before(strip),
        Side::Right => outline.next(strip),
    };
    outline.strips[other].kind == Kind::Opening
}

#[test]
fn gaps_are_left_at_openings_alone() {
    let gap = tape(0.8);
    let mut gaps = 0;
    each_level(as_measured, |outlines| {
        for way in ways(&USUAL) {
            let plain = walk(outlines, way, &[192]);
            let mut open = plain.clone();
            open.casing_gap = gap;
            let (before, after) = (judged(outlines, &plain), planned(&open));
            let whole = |plan: &Plan| -> Vec<PlannedPiece> {
                let pieces = plan.pieces.iter().filter(|piece| piece.parts == 1);
                pieces.cloned().collect()
            };
            for (before, after) in whole(&before).iter().zip(&whole(&after)) {
                let outline = outlines.iter().find(|outline| outline.name == before.room);
                let outline = outline.expect("a piece's room");
                let wall = before.wall.expect("a piece's wall") as usize;
                let strip = outline.walls(way.direction)[wall - 1];
                let at = SIDES
                    .into_iter()
                    .filter(|&side| stops(outline, strip, side));
                let count = at.count() as i32;
                let due = Length::from_units(gap.units() * count);
                assert_eq!(before.length - after.length, due, "{} {wall}", before.room);
                gaps += count;
            }
        }
    });
    assert!(gaps > 8 * 100, "{gaps}");
}

#[test]
fn short_walls_run_square_and_nothing_waits_for_itself() {
    let mut spared = 0;
    each_level(as_measured, |outlines| {
        for way in ways(&USUAL) {
            let mut walk = walk(outlines, way, &[192]);
            walk.cope_least = tape(300.0);
            let plan = judged(outlines, &walk);
            assert!(!plan.has_errors(), "{:?}", plan.findings);
            for room in 0..outlines.len() {
                let laid = Laid::of(outlines, room, &walk, &plan);
                spared += short_walls_are_not_coped_over_longer_ones(&laid);
            }
        }
    });
    assert!(spared > 8 * 20, "{spared}");
}

fn short_walls_are_not_coped_over_longer_ones(laid: &Laid<'_>) -> usize {
    let least = millimetres(laid.walk.cope_least);
    let mut spared = 0;
    for strip in laid.outline.walls(laid.walk.direction) {
        for side in SIDES {
            let Some((other, _)) = laid.meets(strip, side) else {
                continue;
            };
            let (short, long) = (laid.strip(strip).length(), laid.strip(other).length());
            let both_new = laid.strip(other).kind == Kind::Wall;
            if !both_new || short >= least || long < least {
                continue;
            }
            let goes_over = laid.end(strip, side).is_some_and(over);
            assert!(!goes_over, "{}", laid.what(strip));
            spared += usize::from(laid.end(strip, side) == Some(End::Square));
        }
    }
    spared
}

#[test]
fn returns_at_every_opening_have_their_wedges() {
    let mut wedges = 0;
    each_level(as_measured, |outlines| {
        for way in ways(&USUAL) {
            let mut walk = walk(outlines, way, &[192]);
            let mut forced = 0;
            for (outline, room) in outlines.iter().zip(&mut walk.rooms) {
                for (item, strip) in room.outline.iter_mut().zip(outline.walked(way.direction)) {
                    if outline.strips[strip].kind != Kind::Wall {
                        continue;
                    }
                    // a wall must leave some face beside two returns
                    let long = outline.strips[strip].length() > 4.0 * THICKNESS;
                    let at = |side| (long && stops(outline, strip, side)).then_some(Joint::Return);
                    (item.left, item.right) = (at(Side::Left), at(Side::Right));
                    forced += usize::from(item.left.is_some()) + usize::from(item.right.is_some());
                }
            }
            let plan = judged(outlines, &walk);
            let small: Vec<usize> = (0..plan.pieces.len())
                .filter(|&at| plan.pieces[at].small().is_some())
                .collect();
            assert_eq!(small.len(), forced);
            for at in small {
                wedge_closes_its_board(&plan, at);
                wedges += 1;
            }
        }
    });
    assert!(wedges > 8 * 100, "{wedges}");
}

/// A wedge comes from a stick, and goes on after the board that has a return on the side opposite to the wedge's own.
fn wedge_closes_its_board(plan: &Plan, at: usize) {
    let wedge = &plan.pieces[at];
    assert_eq!(wedge.small(), Some(SmallPiece::Wedge));
    assert!(wedge.cut.is_some());
    let figure = wedge.figure(&plan.mouldings[wedge.moulding]);
    assert!((millimetres(figure.length) - THICKNESS).abs() < ROUNDING);
    let side = match wedge.left.end {
        End::Return => Side::Right,
        _ => Side::Left,
    };
    let same = |piece: &PlannedPiece| {
        piece.small().is_none() && (&piece.room, piece.wall) == (&wedge.room, wedge.wall)
    };
    let boards = (0..at).rev().filter(|&board| same(&plan.pieces[board]));
    let mut closed = boards.filter(|&board| plan.pieces[board].end(side).end == End::Return);
    let board = closed.next().expect("a board with a return");
    let room = plan.install.iter().find(|room| room.room == wedge.room);
    let order = &room.expect("a room").order;
    let turn = |at: usize| order.iter().position(|&place| place == at);
    assert!(turn(board) < turn(at));
}

#[test]
fn fillers_meet_the_boards_on_both_sides_of_rounded_corners() {
    let radius = tape(19.0);
    let mut fillers = 0;
    for shear in [0.0, 0.07] {
        each_level(
            |corners| as_measured(&corners.sheared(shear)),
            |outlines| {
                for way in ways(&USUAL) {
                    let mut walk = walk(outlines, way, &[192]);
                    let items = walk.rooms.iter_mut().flat_map(|room| &mut room.outline);
                    for item in items {
                        let outside = item.corner.is_some_and(|c| c.turn == Turn::Outside);
                        item.radius = outside.then_some(radius);
                    }
                    let plan = planned(&walk);
                    for room in 0..outlines.len() {
                        let laid = Laid::of(outlines, room, &walk, &plan);
                        laid.what_goes_over_comes_after();
                        fillers += fillers_fit(&laid);
                    }
                }
            },
        );
    }
    assert!(fillers > 8 * 50, "{fillers}");
}

/// From where one board's back ends to where the next one's begins is a filler's back, and it turns half of the corner
/// against both.
fn fillers_fit(laid: &Laid<'_>) -> usize {
    let mut found = 0;
    for strip in 0..laid.outline.strips.len() {
        let Some((next, bend)) = laid.meets(strip, Side::Right) else {
            continue;
        };
        let boards = (
            laid.outermost(strip, Side::Right),
            laid.outermost(next, Side::Left),
        );
        let (false, (Some(before), Some(after))) = (bend.inside, boards) else {
            continue;
        };
        // a board's length is all that is known of where it ends: the rest of its wall is taken off at this corner
        let off = |strip: usize, side: Side| {
            let wall = laid.strip(strip).length();
            let boards: f64 = (laid.boards[strip].iter())
                .map(|board| millimetres(board.piece.length))
                .sum();
            let other = side.other();
            let rounded = laid
                .meets(strip, other)
                .is_some_and(|(_, bend)| !bend.inside);
            let beyond = match laid.end(strip, other) {
                Some(end) if !rounded => laid.takes_off(strip, other, end),
                _ => f64::NAN,
            };
            wall - boards - beyond
        };
        let offs = [off(strip, Side::Right), off(next, Side::Left)];
        let own = match laid.walk.direction {
            Direction::Clockwise => before,
            Direction::CounterClockwise => after,
        };
        let filler = laid.plan.pieces.iter().find(|piece| {
            let same = (&piece.room, piece.wall) == (&own.piece.room, own.piece.wall);
            same && piece.small() == Some(SmallPiece::Filler)
        });
        let filler = filler.unwrap_or_else(|| panic!("{} has no filler", laid.what(strip)));
        let half = Angle::hundredths(9000 + (bend.gauge * 50.0).round() as u16);
        for end in [
            before.piece.right.end,
            filler.left.end,
            filler.right.end,
            after.piece.left.end,
        ] {
            let gauge = end.gauge().expect("a miter");
            assert_eq!(end.joint(), Joint::OutsideMiter);
            assert!(gauge.in_hundredths().abs_diff(half.in_hundredths()) <= 1);
        }
        let long = millimetres(filler.length);
        for off in offs.into_iter().filter(|off| off.is_finite()) {
            // two sides of a triangle about the corner's angle: twice off times the sine of half the gauge
            let due = 2.0 * off * (bend.gauge.to_radians() / 2.0).sin();
            assert!(
                (long - due).abs() < 0.02,
                "{}: {long} {due}",
                laid.what(strip)
            );
        }
        found += 1;
    }
    found
}
