//! A region's content as data, texts and flat shapes, and painting it. Tests read it to see where every text lies; what
//! goes into it is left to the regions' own modules.

use core::fmt::{self, Write};

use embedded_graphics::prelude::*;
use embedded_graphics::primitives::Rectangle;
use heapless::{String, Vec};

pub(super) use super::tone::Colour;
use super::{Class, Faces, Tone};

/// The most items in one scene.
pub const MAX_ITEMS: usize = 32;

/// A line of text on the screen.
pub type Line = String<80>;

/// Ink and paper of usual text.
pub(super) const BLACK_ON_WHITE: (Colour, Colour) = (Colour::Ink, Colour::Paper);
/// Ink and paper of what asks for something else than usual.
pub(super) const WHITE_ON_BLACK: (Colour, Colour) = (Colour::Paper, Colour::Ink);
/// Ink and paper of what is to be minded.
pub(super) const BLACK_ON_YELLOW: (Colour, Colour) = (Colour::Ink, Colour::Caution);
/// Ink and paper inside the board's picture.
pub(super) const BLACK_ON_WOOD: (Colour, Colour) = (Colour::Ink, Colour::Wood);

/// One thing in a scene.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Item {
    /// A line of text.
    Text {
        /// The left end of a capital's top row.
        at: Point,
        /// What kind of text.
        class: Class,
        /// The text.
        text: Line,
        /// The letters' colour.
        ink: Colour,
        /// The colour behind them.
        paper: Colour,
    },
    /// A flat shape with level top and bottom rows and straight sides.
    Slab {
        /// Its first row.
        top: i32,
        /// How many rows it has.
        rows: i32,
        /// First column and one past the last, in the first row.
        upper: (i32, i32),
        /// First column and one past the last, in the last row.
        lower: (i32, i32),
        /// Its colour.
        colour: Colour,
    },
}

/// What one region shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Scene {
    /// The region.
    pub area: Rectangle,
    /// Its background.
    pub paper: Colour,
    /// What stands on it, in the order of painting.
    pub items: Vec<Item, MAX_ITEMS>,
}

impl Scene {
    pub(super) fn new(area: Rectangle, paper: Colour) -> Scene {
        Scene {
            area,
            paper,
            items: Vec::new(),
        }
    }

    pub(super) fn text(
        &mut self,
        at: Point,
        class: Class,
        text: &Line,
        (ink, paper): (Colour, Colour),
    ) {
        self.push(Item::Text {
            at,
            class,
            text: text.clone(),
            ink,
            paper,
        });
    }

    pub(super) fn slab(
        &mut self,
        (top, rows): (i32, i32),
        upper: (i32, i32),
        lower: (i32, i32),
        colour: Colour,
    ) {
        self.push(Item::Slab {
            top,
            rows,
            upper,
            lower,
            colour,
        });
    }

    pub(super) fn fill(&mut self, area: Rectangle, colour: Colour) {
        let (left, width) = (area.top_left.x, area.size.width as i32);
        let sides = (left, left + width);
        self.slab(
            (area.top_left.y, area.size.height as i32),
            sides,
            sides,
            colour,
        );
    }

    /// A caution's sign, `rows` high and as wide: a triangle with an exclamation mark.
    pub(super) fn sign(&mut self, at: Point, rows: i32, behind: Colour) {
        let middle = at.x + rows / 2;
        let stroke = (rows / 8).max(2);
        self.slab(
            (at.y, rows),
            (middle - 1, middle + 1),
            (at.x, at.x + rows),
            Colour::Ink,
        );
        let mark = (middle - stroke / 2, middle - stroke / 2 + stroke);
        let (from, to) = (at.y + rows * 3 / 8, at.y + rows * 11 / 16);
        self.slab((from, to - from), mark, mark, behind);
        self.slab(
            (at.y + rows * 13 / 16, stroke.min(rows / 8)),
            mark,
            mark,
            behind,
        );
    }

    fn push(&mut self, item: Item) {
        let pushed = self.items.push(item);
        debug_assert!(pushed.is_ok(), "a region has at most {MAX_ITEMS} items");
    }

    /// Paints the whole region.
    ///
    /// # Errors
    /// Those of the target.
    pub fn paint<D>(&self, faces: &Faces, target: &mut D) -> Result<(), D::Error>
    where
        D: DrawTarget<Color: Tone>,
    {
        target.fill_solid(&self.area, D::Color::flat(self.paper))?;
        for item in &self.items {
            match item {
                Item::Text {
                    at,
                    class,
                    text,
                    ink,
                    paper,
                } => faces
                    .of(*class)
                    .draw(text, *at, D::Color::levels(*ink, *paper), target)?,
                Item::Slab {
                    top,
                    rows,
                    upper,
                    lower,
                    colour,
                } => paint_slab(
                    (*top, *rows),
                    *upper,
                    *lower,
                    D::Color::flat(*colour),
                    target,
                )?,
            }
        }
        Ok(())
    }
}

fn paint_slab<D>(
    (top, rows): (i32, i32),
    upper: (i32, i32),
    lower: (i32, i32),
    colour: D::Color,
    target: &mut D,
) -> Result<(), D::Error>
where
    D: DrawTarget<Color: Tone>,
{
    let fill = |target: &mut D, y: i32, rows: i32, (left, right): (i32, i32)| {
        let size = Size::new((right - left).max(0) as u32, rows.max(0) as u32);
        target.fill_solid(&Rectangle::new(Point::new(left, y), size), colour)
    };
    if upper == lower {
        return fill(target, top, rows, upper);
    }
    let last = (rows - 1).max(1);
    for row in 0..rows {
        let between = |a: i32, b: i32| a + (2 * (b - a) * row + last).div_euclid(2 * last);
        let sides = (between(upper.0, lower.0), between(upper.1, lower.1));
        fill(target, top + row, 1, sides)?;
    }
    Ok(())
}

/// A line of text from a format; what does not fit a line is left off as a whole piece of the format.
pub(super) fn line(text: fmt::Arguments<'_>) -> Line {
    let mut line = Line::new();
    // a failed write leaves the pieces before it, which is all that a line can hold
    let _ = line.write_fmt(text);
    line
}
