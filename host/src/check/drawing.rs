//! A room as a small drawing of plain letters, as it is walked from its lower left corner upwards, with the walls marked that
//! a finding is about. Only rooms of square corners are drawn, with the first proposed reading put in so that they close:
//! of others the letters would give a wrong picture.

use planner::finding::Finding;
use planner::walk::{Corner, Direction, Room, Stretch, Turn, Walk};
use shared_model::Length;

/// The most columns and rows between the outermost walls.
const SIZE: (f64, f64) = (44.0, 12.0);
/// A letter is so many times as high as it is wide.
const LETTER: f64 = 2.0;
/// With more stretches than this the numbers stand in each other's way.
const MOST: usize = 14;
/// Corners this far from 90 look square enough, in hundredths of a degree.
const SQUARE: u16 = 500;

/// The drawing, a line a row; none where it would not be clear.
pub fn drawing(walk: &Walk, finding: &Finding) -> Option<String> {
    let room = walk
        .rooms
        .iter()
        .find(|room| Some(&room.name) == finding.room.as_ref())?;
    let first = finding.readings.first()?;
    let (wall, instead) = (first.wall?, first.instead?);
    if !room.closed || room.island || room.outline.len() > MOST {
        return None;
    }
    let sides = sides(room, wall, instead)?;
    let drawn = Sheet::of(&sides, walk.direction)?.draw(&sides, &finding.walls);
    Some(drawn + "    # can hold the error, a gap is an opening\n")
}

/// A side to be drawn.
struct Side {
    wall: Option<u32>,
    opening: bool,
    length: f64,
    /// A quarter turn at its end: 1 to the inside, -1 to the outside, 0 straight on.
    turn: i32,
}

fn sides(room: &Room, wrong: u32, instead: Length) -> Option<Vec<Side>> {
    let mut number = 0;
    let sides = room.outline.iter().map(|item| {
        let (length, opening) = match item.stretch {
            Stretch::Wall(length) | Stretch::Existing(length) => (length, false),
            Stretch::Opening(width) => (width?, true),
        };
        let is_wall = matches!(item.stretch, Stretch::Wall(_));
        number += u32::from(is_wall);
        let wall = is_wall.then_some(number);
        let length = match wall == Some(wrong) {
            true => instead,
            false => length,
        };
        Some(Side {
            wall,
            opening,
            length: f64::from(length.units()),
            turn: quarter(item.corner)?,
        })
    });
    sides.collect()
}

fn quarter(corner: Option<Corner>) -> Option<i32> {
    let Some(Corner { turn, gauge }) = corner else {
        return Some(0);
    };
    let square = gauge.in_hundredths().abs_diff(9000) <= SQUARE;
    square.then_some(match turn {
        Turn::Inside => 1,
        Turn::Outside => -1,
    })
}

/// The letters, row by row from the top, and where each side begins on them.
struct Sheet {
    rows: Vec<Vec<char>>,
    corners: Vec<(usize, usize)>,
}

impl Sheet {
    fn of(sides: &[Side], direction: Direction) -> Option<Sheet> {
        let hand = match direction {
            Direction::Clockwise => 1,
            Direction::CounterClockwise => -1,
        };
        let (mut x, mut y, mut heading) = (0.0, 0.0, 0i32);
        let mut points = vec![(x, y)];
        for side in sides {
            let (right, up) =
                [(0.0, 1.0), (1.0, 0.0), (0.0, -1.0), (-1.0, 0.0)][heading.rem_euclid(4) as usize];
            (x, y) = (x + right * side.length, y + up * side.length);
            points.push((x, y));
            heading += hand * side.turn;
        }
        let least = |of: fn(&(f64, f64)) -> f64| points.iter().map(of).fold(f64::MAX, f64::min);
        let most = |of: fn(&(f64, f64)) -> f64| points.iter().map(of).fold(f64::MIN, f64::max);
        let (left, bottom) = (least(|p| p.0), least(|p| p.1));
        let (wide, high) = (most(|p| p.0) - left, most(|p| p.1) - bottom);
        let column = (wide / SIZE.0).max(high / SIZE.1 / LETTER);
        let place = |at: f64, step: f64| (at / step).round() as usize;
        let bottom_row = place(high, column * LETTER);
        let corners: Vec<(usize, usize)> = (points.iter())
            .map(|(x, y)| {
                (
                    place(x - left, column),
                    bottom_row - place(y - bottom, column * LETTER),
                )
            })
            .collect();
        // what does not close on the letters either would be a wrong picture
        (corners.first() == corners.last()).then(|| Sheet {
            rows: vec![vec![' '; place(wide, column) + 1]; bottom_row + 1],
            corners,
        })
    }

    fn draw(mut self, sides: &[Side], marked: &[u32]) -> String {
        let spans: Vec<_> = self
            .corners
            .windows(2)
            .map(|pair| (pair[0], pair[1]))
            .collect();
        for (side, &(from, to)) in sides.iter().zip(&spans) {
            let along = from.1 == to.1;
            let is_marked = side.wall.is_some_and(|wall| marked.contains(&wall));
            let letter = match (side.opening, is_marked, along) {
                (true, ..) => ' ',
                (_, true, _) => '#',
                (_, _, true) => '-',
                _ => '|',
            };
            for column in from.0.min(to.0)..=from.0.max(to.0) {
                for row in from.1.min(to.1)..=from.1.max(to.1) {
                    self.rows[row][column] = letter;
                }
            }
        }
        for &(column, row) in &self.corners {
            self.rows[row][column] = '+';
        }
        for (side, &(from, to)) in sides.iter().zip(&spans) {
            if let Some(wall) = side.wall {
                self.number(&format!("{wall}"), from, to);
            }
        }
        let rows = self.rows.iter().map(|row| row.iter().collect::<String>());
        rows.map(|row| format!("    {}", row.trim_end()).trim_end().to_owned() + "\n")
            .collect()
    }

    /// A wall's number in the middle of its line, where there is room for it.
    fn number(&mut self, number: &str, from: (usize, usize), to: (usize, usize)) {
        let (wide, high) = (from.0.abs_diff(to.0), from.1.abs_diff(to.1));
        let (column, row) = (usize::midpoint(from.0, to.0), usize::midpoint(from.1, to.1));
        let fits = match high {
            0 => wide >= number.len() + 3,
            _ => high >= 2,
        };
        if !fits {
            return;
        }
        let begin = match high {
            0 => column - number.len() / 2,
            _ => column.min(self.rows[row].len() - number.len()),
        };
        for (at, digit) in number.chars().enumerate() {
            self.rows[row][begin + at] = digit;
        }
    }
}

#[cfg(test)]
mod tests {
    use planner::walk::Sheet;

    /// The drawings of a level's findings.
    fn drawings(rooms: &str) -> Vec<Option<String>> {
        let level = format!(
            "level Test\nmoulding base\nhigh 5 1/4 thick 9/16 profile 3/4\nstick 192\n{rooms}"
        );
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("level.txt");
        std::fs::write(&file, level).expect("a file");
        let sheet = form::read(&file.to_string_lossy()).expect("a level");
        let Sheet::Walk(walk) = &sheet else {
            panic!("a walk");
        };
        let plan = planner::plan(&sheet);
        let findings = plan.findings.iter();
        findings
            .map(|finding| super::drawing(walk, finding))
            .collect()
    }

    const ELL: &str = "room Ell\n108 1/4\n134 1/2\n60 3/8\n48 1/8 out\n47 7/8\n95 3/8\n";

    #[test]
    fn the_walls_that_can_hold_the_error_are_marked() {
        let expected = "    +###############2###############+
    |                               |
    |                               |
    |                               3
    |                               |
    |                               |
    1                               |
    |                    +####4#####+
    |                    |
    |                    5
    |                    |
    |                    |
    +#########6##########+
    # can hold the error, a gap is an opening
";
        assert_eq!(drawings(ELL), [Some(expected.to_owned())]);
        // walked the other way the same lines go round the other way, and the opening is a gap
        let mirrored = drawings(
            "walk counter-clockwise\nroom Den\n31 1/2\ndoor 37 1/2\n57\n124 3/8\n144\n124 3/8\n",
        );
        let mirrored = mirrored[0].as_deref().unwrap_or_default();
        let rows: Vec<&str> = mirrored.lines().collect();
        assert_eq!(rows[0], "    +---------3----------+");
        assert_eq!(rows[2], "    #                    #");
        assert_eq!(rows[7], "    #");
    }

    #[test]
    fn what_would_be_a_wrong_picture_is_not_drawn() {
        // a bay, a corner in doubt, nothing in doubt
        let bay = "room Bay\n120\n60 out 135\n30 corner 135\n50 corner 135\n30 out 135\n60\n102\n181 1/2\n";
        assert_eq!(drawings(bay), [None]);
        assert_eq!(drawings(&ELL.replace("134 1/2", "143 1/2 out")), [None]);
        assert_eq!(drawings(&ELL.replace("134 1/2", "143 1/2")), []);
    }
}
