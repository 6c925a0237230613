//! A stick as one line of blocks, to scale, as it lies at the saw. Where its pieces lie is the planner's.

use planner::plan::{Plan, Stick};
use planner::sticks::{EndLine, places};
use shared_model::{Length, Side};

use super::words;

/// The signs that a stick is drawn with.
struct Signs {
    wood: char,
    cut: char,
    shared: char,
    rest: char,
}

const BLOCKS: Signs = Signs {
    wood: '\u{2588}',
    cut: '\u{2502}',
    shared: '\u{2573}',
    rest: '\u{2591}',
};
const PLAIN: Signs = Signs {
    wood: '=',
    cut: '|',
    shared: 'X',
    rest: '.',
};

/// What the signs mean, in a line.
pub fn legend(ascii: bool) -> String {
    let signs = signs(ascii);
    format!(
        "{} piece   {} cut   {} one cut for both its neighbours   {} left over or waste",
        signs.wood, signs.cut, signs.shared, signs.rest
    )
}

fn signs(ascii: bool) -> &'static Signs {
    if ascii { &PLAIN } else { &BLOCKS }
}

/// A stick so wide that the plan's longest would take `width` characters. Every piece carries its place in the whole list
/// where there is room for it; the fresh end is at the side of the saw at which it is cut.
pub fn bar(plan: &Plan, stick: &Stick, width: usize, ascii: bool) -> String {
    let signs = signs(ascii);
    let longest = plan.sticks.iter().map(|stick| stick.length).max();
    let longest = i64::from(longest.unwrap_or(stick.length).units()).max(1);
    let column = |length: Length| {
        let scaled = i64::from(length.units()) * width as i64 / longest;
        scaled.clamp(0, width as i64) as usize
    };
    let mean = |line: EndLine| Length::from_units((line.back + line.face).units() / 2);

    let mut cells = vec![signs.rest; column(stick.length).max(1)];
    let end = cells.len();
    let mut numbers: Vec<(usize, String)> = Vec::new();
    for on_stick in places(plan, stick) {
        let piece = &plan.pieces[on_stick.piece];
        let near = column(mean(on_stick.near)).min(end);
        let far = column(mean(on_stick.far)).min(end);
        cells[near..far].fill(signs.wood);
        let Some(cut) = piece.cut else { continue };
        if let Some(cell) = cells.get_mut(near) {
            *cell = if cut.shared { signs.shared } else { signs.cut };
        }
        if let Some(cell) = cells.get_mut(far) {
            *cell = signs.cut;
        }
        let number = format!(" {} ", cut.order);
        if far > near && far - near > number.len() + 2 {
            numbers.push((near + 1 + (far - near - 1 - number.len()) / 2, number));
        }
    }
    let fresh_right = words::riding(plan, stick).fresh == Side::Right;
    if fresh_right {
        cells.reverse();
    }
    for (at, number) in numbers {
        let at = if fresh_right {
            end - at - number.len()
        } else {
            at
        };
        for (cell, sign) in cells[at..].iter_mut().zip(number.chars()) {
            *cell = sign;
        }
    }
    cells.into_iter().collect()
}
