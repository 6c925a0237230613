//! A room's outline as a drawing, from its lengths and gauge angles: walls with their numbers, openings dashed, the joint at
//! each end of a piece. Whether the measurements close is not judged; where they do not, the drawing shows the gap.

use planner::plan::{Plan, PlannedPiece};
use planner::walk::{Direction, Room, Stretch, Turn, Walk};
use shared_model::{Joint, Length};

use super::put;

/// What the letters at the corners stand for, as a clause for people.
pub const KEY: &str = "S square, B butt, C cope, M miter, / scarf, R return.";

/// The longer side of the drawing, and the room around the outline for numbers.
const SIZE: f64 = 300.0;
const MARGIN: f64 = 22.0;
/// How far numbers stand from their wall, and letters from theirs.
const OFF: f64 = 11.0;
const NEAR: f64 = 8.0;
/// How far a letter stands from the end of its piece: beyond the letter of the wall round the corner.
const IN: f64 = 20.0;
/// Letters stand at both ends of a piece that is at least so long in the drawing, and together in its middle on a shorter.
const APART: f64 = 52.0;
/// What an opening is drawn as that was not measured and that nothing tells, in inches.
const UNKNOWN: f64 = 36.0;

/// A point or a way in the drawing: x to the right, y down.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Point {
    x: f64,
    y: f64,
}

impl Point {
    fn along(self, way: Point, far: f64) -> Point {
        Point {
            x: self.x + way.x * far,
            y: self.y + way.y * far,
        }
    }
}

/// A stretch where it lies, and which way it is walked.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Placed {
    from: Point,
    way: Point,
    length: f64,
}

impl Placed {
    fn at(&self, far: f64) -> Point {
        self.from.along(self.way, far)
    }
}

/// The outline as an SVG element, seen from above.
pub fn drawing(walk: &Walk, room: &Room, plan: &Plan) -> String {
    let (placed, scale, width, height) = fitted(outline(walk, room));
    let clockwise = walk.direction == Direction::Clockwise;
    let mut out = String::new();
    // as wide as every other room's, so that letters are of one size
    let aside = (width - SIZE) / 2.0;
    put(
        &mut out,
        format_args!("<svg viewBox=\"{aside:.1} 0 {SIZE} {height:.1}\">\n"),
    );
    let mut number = 0;
    for (item, place) in room.outline.iter().zip(&placed) {
        let style = match item.stretch {
            Stretch::Wall(_) => "stroke=\"#000\" stroke-width=\"3\"",
            Stretch::Opening(_) => "stroke=\"#000\" stroke-dasharray=\"4 4\"",
            Stretch::Existing(_) => "stroke=\"#999\" stroke-width=\"3\"",
        };
        line(&mut out, place.from, place.at(place.length), style);
        if !matches!(item.stretch, Stretch::Wall(_)) {
            continue;
        }
        number += 1;
        // the room lies to the right of who walks it clockwise
        let side = if clockwise { 1.0 } else { -1.0 };
        let inward = Point {
            x: -place.way.y * side,
            y: place.way.x * side,
        };
        let middle = place.at(place.length / 2.0).along(inward, -OFF);
        letter(&mut out, middle, 11, &number.to_string());
        let parts = (plan.pieces.iter())
            .filter(|piece| piece.room == room.name && piece.wall == Some(number))
            .filter(|piece| piece.small().is_none());
        let mut parts: Vec<&PlannedPiece> = parts.collect();
        if !clockwise {
            parts.reverse();
        }
        let mut start = 0.0;
        for piece in parts {
            let length = (inches(piece.length) * scale).min(place.length - start);
            let (begin, end) = (start, start + length);
            start = end;
            let ends = match clockwise {
                true => [piece.left, piece.right],
                false => [piece.right, piece.left],
            };
            let [at_begin, at_end] = ends.map(|end| sign(end.end.joint()));
            if length >= APART {
                letter(
                    &mut out,
                    place.at(begin + IN).along(inward, NEAR),
                    9,
                    at_begin,
                );
                letter(&mut out, place.at(end - IN).along(inward, NEAR), 9, at_end);
            } else {
                let at = place.at((begin + end) / 2.0).along(inward, NEAR);
                // read from left to right, whichever way the wall is walked
                let both = match place.way.x < -1e-9 {
                    true => format!("{at_end}{at_begin}"),
                    false => format!("{at_begin}{at_end}"),
                };
                letter(&mut out, at, 9, &both);
            }
            if piece.parts > 1 {
                let joint = place.at(end);
                line(
                    &mut out,
                    joint.along(inward, -5.0),
                    joint.along(inward, 5.0),
                    "stroke=\"#000\"",
                );
            }
        }
    }
    out.push_str("</svg>\n");
    out
}

fn line(out: &mut String, from: Point, to: Point, style: &str) {
    put(
        out,
        format_args!(
            "<line x1=\"{:.1}\" y1=\"{:.1}\" x2=\"{:.1}\" y2=\"{:.1}\" {style}/>\n",
            from.x, from.y, to.x, to.y
        ),
    );
}

fn letter(out: &mut String, at: Point, size: u32, text: &str) {
    put(
        out,
        format_args!(
            "<text x=\"{:.1}\" y=\"{:.1}\" font-size=\"{size}\" text-anchor=\"middle\">{text}</text>\n",
            at.x,
            at.y + f64::from(size) * 0.36
        ),
    );
}

fn sign(joint: Joint) -> &'static str {
    match joint {
        Joint::Square => "S",
        Joint::Butt => "B",
        Joint::Cope => "C",
        Joint::InsideMiter | Joint::OutsideMiter => "M",
        Joint::Scarf => "/",
        Joint::Return => "R",
    }
}

fn inches(length: Length) -> f64 {
    f64::from(length.units()) / f64::from(Length::UNITS_PER_INCH)
}

/// Every stretch in inches from where the walk begins.
fn outline(walk: &Walk, room: &Room) -> Vec<Placed> {
    let mut heading = 0.0f64;
    let mut ways = Vec::new();
    for item in &room.outline {
        ways.push(Point {
            x: heading.sin(),
            y: -heading.cos(),
        });
        if let Some(corner) = item.corner {
            let turn = std::f64::consts::PI - corner.gauge.radians();
            let inside = corner.turn == Turn::Inside;
            let clockwise = walk.direction == Direction::Clockwise;
            heading += if inside == clockwise { turn } else { -turn };
        }
    }
    let known = |stretch| match stretch {
        Stretch::Wall(length) | Stretch::Existing(length) => Some(inches(length)),
        Stretch::Opening(width) => width.map(inches),
    };
    let mut lengths: Vec<Option<f64>> = room
        .outline
        .iter()
        .map(|item| known(item.stretch))
        .collect();
    let unknown: Vec<usize> = (0..lengths.len())
        .filter(|&at| lengths[at].is_none())
        .collect();
    if let (true, &[only]) = (room.closed, unknown.as_slice()) {
        // the one width that was not taken is what closes the room
        let sum = |part: fn(Point) -> f64| -> f64 {
            let walls = lengths.iter().zip(&ways);
            walls
                .map(|(length, &way)| length.unwrap_or(0.0) * part(way))
                .sum()
        };
        let back = -(sum(|way| way.x) * ways[only].x + sum(|way| way.y) * ways[only].y);
        lengths[only] = Some(back).filter(|back| *back > 0.0);
    }
    let mut from = Point { x: 0.0, y: 0.0 };
    let stretches = lengths.into_iter().zip(ways).map(|(length, way)| {
        let placed = Placed {
            from,
            way,
            length: length.unwrap_or(UNKNOWN),
        };
        from = placed.at(placed.length);
        placed
    });
    stretches.collect()
}

/// The stretches in the drawing's own measure, the scale, and the drawing's size.
fn fitted(mut placed: Vec<Placed>) -> (Vec<Placed>, f64, f64, f64) {
    let corners = || {
        placed
            .iter()
            .flat_map(|place| [place.from, place.at(place.length)])
    };
    let least = corners().fold(Point { x: 0.0, y: 0.0 }, |least, corner| Point {
        x: least.x.min(corner.x),
        y: least.y.min(corner.y),
    });
    let most = corners().fold(Point { x: 0.0, y: 0.0 }, |most, corner| Point {
        x: most.x.max(corner.x),
        y: most.y.max(corner.y),
    });
    let (wide, high) = (most.x - least.x, most.y - least.y);
    // a closet is not drawn as large as a hall
    let scale = (SIZE - 2.0 * MARGIN) / wide.max(high).max(72.0);
    for place in &mut placed {
        place.from = Point {
            x: (place.from.x - least.x) * scale + MARGIN,
            y: (place.from.y - least.y) * scale + MARGIN,
        };
        place.length *= scale;
    }
    let side = |inches: f64| inches * scale + 2.0 * MARGIN;
    (placed, scale, side(wide), side(high))
}

#[cfg(test)]
mod tests {
    use planner::walk::Sheet;

    use super::*;

    fn outline_of(direction: &str, opening: &str) -> Vec<Placed> {
        let text = format!(
            r#"{{ "walk": 1, "level": "Test", "direction": "{direction}",
                "mouldings": [ {{ "name": "base", "height": 5, "thickness": 0.5, "profile": 0.5,
                                  "sticks": [ {{ "length": 192 }} ] }} ],
                "rooms": [ {{ "name": "Den", "moulding": "base",
                    "outline": [ {{ "wall": 40 }}, {{ "opening": {opening} }}, {{ "wall": 30, "corner": "inside" }},
                                 {{ "wall": 120, "corner": "inside" }}, {{ "wall": 100, "corner": "inside" }},
                                 {{ "wall": 120, "corner": "inside" }} ] }} ] }}"#
        );
        match form::read_text("a test", &text, &[]).expect("a walk") {
            Sheet::Walk(walk) => outline(&walk, &walk.rooms[0]),
            Sheet::CutList(_) => panic!("a walk was read"),
        }
    }

    #[test]
    fn the_width_that_was_not_taken_closes_the_room() {
        let placed = outline_of("clockwise", "null");
        assert!((placed[1].length - 30.0).abs() < 1e-9, "{:?}", placed[1]);
        let last = placed[5].at(placed[5].length);
        assert!(last.x.abs() < 1e-9 && last.y.abs() < 1e-9, "{last:?}");
    }

    #[test]
    fn walked_the_other_way_the_room_lies_on_the_other_side() {
        let right = outline_of("clockwise", "30");
        let left = outline_of("counter-clockwise", "30");
        for (right, left) in right.iter().zip(&left) {
            assert!((right.from.x + left.from.x).abs() < 1e-9);
            assert!((right.from.y - left.from.y).abs() < 1e-9);
        }
        assert!(
            right[3].at(120.0).x > 100.0,
            "clockwise the room is to the right"
        );
    }
}
