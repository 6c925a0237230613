//! Where the regions lie on a panel: from its size and the heights of its faces, in whole pixels. What is in a region is
//! left to its own module.

use embedded_graphics::prelude::*;
use embedded_graphics::primitives::Rectangle;

use super::{Class, Faces, Panel};
use crate::letters::Face;
use crate::view::Body;

/// A part of the screen that is painted as a whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Region {
    /// Room and wall, and what to write on the back.
    Title,
    /// The length, the place in the list, the stick.
    Figure,
    /// The end at saw-left.
    LeftEnd,
    /// The end at saw-right.
    RightEnd,
    /// The board's picture and the notes, or a banner.
    Foot,
    /// All above the foot, where no piece is shown.
    Page,
    /// All of a screen that shows a piece in leaves.
    Leaf,
}

impl Region {
    /// The regions of a body; they cover the screen and do not overlap.
    pub(super) const fn of(body: &Body, faces: &Faces) -> &'static [Region] {
        match body {
            _ if faces.in_leaves => &[Region::Leaf],
            Body::Piece(_) | Body::Scrap(_) => &[
                Region::Title,
                Region::Figure,
                Region::LeftEnd,
                Region::RightEnd,
                Region::Foot,
            ],
            Body::NoList | Body::NoMemory(_) | Body::Finished { .. } | Body::Page(_) => {
                &[Region::Page, Region::Foot]
            }
        }
    }
}

/// The regions' borders on one panel.
#[derive(Debug, Clone, Copy)]
pub(super) struct Layout {
    width: u32,
    height: u32,
    title: u32,
    figure: u32,
    ends: u32,
}

impl Layout {
    pub(super) fn of(panel: Panel, faces: &Faces) -> Layout {
        let (title, figure, ends) = least(faces);
        // room to spare goes where it helps most: around the length and between the ends' lines
        let spare = panel.height.saturating_sub(rows(faces));
        Layout {
            width: panel.width,
            height: panel.height,
            title: title + spare / 8,
            figure: figure + spare / 4,
            ends: ends + spare / 4,
        }
    }

    pub(super) fn area(&self, region: Region) -> Rectangle {
        let half = self.width / 2;
        let figure = self.title;
        let ends = figure + self.figure;
        let foot = ends + self.ends;
        let (x, y, width, height) = match region {
            Region::Title => (0, 0, self.width, self.title),
            Region::Figure => (0, figure, self.width, self.figure),
            Region::LeftEnd => (0, ends, half, self.ends),
            Region::RightEnd => (half, ends, self.width - half, self.ends),
            Region::Foot => (0, foot, self.width, self.height.saturating_sub(foot)),
            Region::Page => (0, 0, self.width, foot),
            Region::Leaf => (0, 0, self.width, self.height),
        };
        Rectangle::new(Point::new(x as i32, y as i32), Size::new(width, height))
    }
}

/// Rows that the regions need together.
pub(super) fn rows(faces: &Faces) -> u32 {
    let (title, figure, ends) = least(faces);
    title + figure + ends + foot_rows(faces)
}

/// Rows of title, figure and ends at least.
fn least(faces: &Faces) -> (u32, u32, u32) {
    let (title, ends) = (faces.of(Class::Title), faces.of(Class::Ends));
    let number = faces.of(Class::Number).cap_height();
    let fraction = 2 * faces.of(Class::Fraction).cap_height() + number / 10 + 1;
    let joint = if faces.full_words { ends.below() } else { 0 };
    (
        title.over_cap() + title.cap_height() + title.below(),
        number.max(fraction) + 3,
        2 * ends.cap_height() + joint + ends.below() + 1,
    )
}

/// Rows of the foot at least: the fence or the table, a board with a line of notes in it, and two lines of notes, the
/// second with room names; or a banner of two large lines.
pub(super) fn foot_rows(faces: &Faces) -> u32 {
    let notes = faces.of(Class::Notes);
    let line = notes.cap_height() + notes.below();
    let (fence, back, face) = stroke_rows(notes.cap_height());
    let over = over_line(notes) as u32;
    let piece = fence + back + face + 2 * (over + line) + notes.over_cap() + line;
    let ends = faces.of(Class::Ends);
    piece.max(over_line(ends) as u32 + 2 * (ends.cap_height() + ends.below()))
}

/// Rows that small letters with a riser need over a capital's top.
pub(super) fn over_line(face: &Face) -> i32 {
    -face.rows("l").0
}

/// The rows of fence, back line and face line in a picture whose notes have capitals so high.
pub(super) fn stroke_rows(cap: u32) -> (u32, u32, u32) {
    (cap / 8, cap / 16, cap * 3 / 16)
}
