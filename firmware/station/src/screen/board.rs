//! The picture of the board as it lies on the saw, its ends slanted as they are cut. What is written in it is left to
//! `inscription`.
//!
//! A standing board is drawn in plan, seen from above: the fence is the bar at the top, the upper line is the back and
//! the lower, heavier one the face. A flat board is drawn from the front: the upper, heavier line is the face, and the
//! bar below is the saw's table. A return's wedge is a triangle, its words beside it. Ends that are to be cut have heavy strokes, an end that is cut already a thin one.

use embedded_graphics::primitives::Rectangle;
use shared_model::{Angle, Lean, SawCut, Side, Way};

use super::inscription::{Words, write};
use super::layout::stroke_rows;
use super::scene::{BLACK_ON_WHITE, BLACK_ON_WOOD, Colour, Scene};
use super::{Class, Screen};
use crate::view::{BoardView, EndView};

/// Draws it; gives whether the plain cuts have a caution's sign.
pub(super) fn draw(screen: &Screen, area: Rectangle, scene: &mut Scene, lying: &BoardView) -> bool {
    let cap = screen.face(Class::Notes).cap_height();
    let (fence, back, face) = stroke_rows(cap);
    let (fence, back, face) = (fence as i32, back as i32, face as i32);
    let (top, height) = (area.top_left.y, area.size.height as i32);
    let (left, right) = (0, area.size.width as i32);
    let stands = lying.posture.stands();
    let rows = height - fence;
    let (bar, top) = match stands {
        true => (top, top + fence),
        false => (top + rows, top),
    };
    scene.slab((bar, fence), (left, right), (left, right), Colour::Ink);

    let margin = screen.margin();
    let end = |end: &EndView| end_slope(end, rows, stands, (right - left) / 6);
    let ((lu, ll), (ru, rl)) = (end(&lying.left), end(&lying.right));
    let (from, mut to) = (left + margin, right - margin);
    if lying.wedge {
        // in its true shape: nothing on its back
        to = from + [lu, ll, ru, rl].into_iter().max().unwrap_or(0);
    }
    let (upper, lower) = ((from + lu, to - ru), (from + ll, to - rl));
    scene.slab((top, rows), upper, lower, Colour::Ink);

    let (over, under) = if stands { (back, face) } else { (face, back) };
    let stroke = |end: &EndView| cap as i32 / if end.already { 8 } else { 4 };
    let (at_left, at_right) = (stroke(&lying.left), stroke(&lying.right));
    let along = |(a, b): (i32, i32), row: i32| a + (b - a) * row / (rows - 1).max(1);
    let inside = |row: i32| {
        let first = along((upper.0, lower.0), row) + at_left;
        let last = along((upper.1, lower.1), row) - at_right;
        (first, last.max(first))
    };
    let (first, last) = (inside(over), inside(rows - 1 - under));
    let inner = rows - over - under;
    scene.slab((top + over, inner), first, last, Colour::Wood);

    let (words_from, words_to, colours) = match lying.wedge {
        true => (to, right, BLACK_ON_WHITE),
        false => (first.0.max(last.0), first.1.min(last.1), BLACK_ON_WOOD),
    };
    let words = Words {
        left: words_from + margin,
        right: words_to - margin,
        top: top + over,
        rows: inner,
        colours,
    };
    write(screen, scene, lying, &words)
}

/// How far the end's upper and lower corner lie inside its farthest point.
fn end_slope(end: &EndView, rows: i32, stands: bool, most: i32) -> (i32, i32) {
    let slope = run(rows, end.cut.degrees).min(most);
    let face = match lean(&end.cut) {
        Lean::Even => return (0, 0),
        Lean::FaceLonger => 0,
        Lean::FaceShorter => slope,
    };
    match stands {
        true => (slope - face, face),
        false => (face, slope - face),
    }
}

/// Which arris a cut leaves longer: the saw view's own table read backwards.
fn lean(cut: &SawCut) -> Lean {
    [Lean::FaceLonger, Lean::FaceShorter]
        .into_iter()
        .find(|&lean| cut.way != Way::None && Way::at(cut.side, lean) == cut.way)
        .unwrap_or(Lean::Even)
}

/// rows * tan(angle) in whole numbers, by Bhaskara's approximation of the sine, 4x(180 - x) / (40500 - x(180 - x)) in
/// degrees, which is within a sixth of a pixel for pictures under 100 rows and angles up to 60 degrees.
fn run(rows: i32, angle: Angle) -> i32 {
    const WHOLE: i64 = 405_000_000;
    let x = i64::from(angle.in_hundredths()).min(8000);
    let product = |x: i64| x * (18_000 - x);
    let (sine, cosine) = (product(x), product(9000 - x));
    let (above, below) = (sine * (WHOLE - cosine), (WHOLE - sine) * cosine);
    ((2 * i64::from(rows) * (above / 1000) + below / 1000) / (2 * (below / 1000))) as i32
}

/// The installed side's point as it lies at a side of the saw.
pub(super) fn at_saw<T>(installed_left: Side, left: T, right: T) -> (T, T) {
    match installed_left {
        Side::Left => (left, right),
        Side::Right => (right, left),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use shared_model::Posture;

    #[test]
    fn slopes_are_those_of_the_tangent() {
        // tangents of a published table, to four places
        for (degrees, tangent) in [
            (15, 2679),
            (30, 5774),
            (45, 10_000),
            (50, 11_918),
            (60, 17_321),
        ] {
            for rows in [20, 45, 90] {
                let exact = rows * tangent;
                let drawn = run(rows, Angle::degrees(degrees)) * 10_000;
                assert!(
                    (drawn - exact).abs() <= 6_700,
                    "{degrees} {rows}: {drawn} {exact}"
                );
            }
        }
        assert_eq!(run(90, Angle::ZERO), 0);
    }

    #[test]
    fn a_cut_leans_as_the_saw_view_says() {
        let cut = |side, way| SawCut {
            side,
            joint: shared_model::Joint::Scarf,
            posture: Posture::StandingUpright,
            by: shared_model::By::Swing,
            way,
            degrees: Angle::degrees(45),
            scale: Angle::degrees(45),
            plain: None,
        };
        assert_eq!(lean(&cut(Side::Right, Way::Right)), Lean::FaceLonger);
        assert_eq!(lean(&cut(Side::Right, Way::Left)), Lean::FaceShorter);
        assert_eq!(lean(&cut(Side::Left, Way::Left)), Lean::FaceLonger);
        assert_eq!(lean(&cut(Side::Left, Way::Right)), Lean::FaceShorter);
        assert_eq!(lean(&cut(Side::Left, Way::None)), Lean::Even);
    }
}
