//! Drawing a view on a panel: the whole of it, or only the regions whose content differs. What a view says is left to
//! the machine, pixels' way to the panel to the boards and the host.
//!
//! The screen is cut into a fixed set of regions. Each is a pure function of the view, first as a scene (texts and flat
//! shapes as data) and then as paint that covers the whole region, so that any sequence of partial redraws ends in the
//! same pixels as one full draw. All geometry is in whole numbers.

mod banner;
mod board;
mod cards;
mod ends;
mod faces;
mod figure;
mod foot;
mod inscription;
mod layout;
mod leaves;
mod page;
mod scene;
mod scrap;
mod sheet;
mod title;
mod tone;
mod warnings;
mod words;

use embedded_graphics::prelude::*;
use embedded_graphics::primitives::Rectangle;

pub use faces::{Class, Faces, Sight};
use layout::{Layout, Region};
pub use scene::{Item, Line, MAX_ITEMS, Scene};
pub use tone::{Colour, Tone};

use crate::letters::Face;
use crate::view::{Body, View};

/// A panel's size and how fine it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Panel {
    /// Columns.
    pub width: u32,
    /// Rows.
    pub height: u32,
    /// From one pixel to the next, in nanometres.
    pub pitch_nanometres: u32,
}

impl Panel {
    /// 320x240 on 2.8 in.
    pub const SMALL: Panel = Panel {
        width: 320,
        height: 240,
        pitch_nanometres: 177_800,
    };
    /// 480x320 on 3.5 in.
    pub const FINE: Panel = Panel {
        width: 480,
        height: 320,
        pitch_nanometres: 153_000,
    };
    /// 800x480 on 7 in.
    pub const WIDE: Panel = Panel {
        width: 800,
        height: 480,
        pitch_nanometres: 192_600,
    };
    /// 1024x600 on 7 in, from row to row; on 10.1 in a row is 208,800 and all is so much larger.
    pub const LARGE: Panel = Panel {
        width: 1024,
        height: 600,
        pitch_nanometres: 143_200,
    };
    /// 128x64 in one bit, on 2.42 in.
    pub const TINY: Panel = Panel {
        width: 128,
        height: 64,
        pitch_nanometres: 430_000,
    };
    /// Every panel that has a name here, the smallest first.
    pub const ALL: [Panel; 5] = [
        Panel::TINY,
        Panel::SMALL,
        Panel::FINE,
        Panel::WIDE,
        Panel::LARGE,
    ];
}

/// Draws views on a panel.
#[derive(Debug, Clone, Copy)]
pub struct Screen {
    faces: &'static Faces,
    layout: Layout,
}

impl Screen {
    /// A screen for this panel, with the largest faces that it has room for.
    pub fn new(panel: Panel) -> Screen {
        Screen::with_faces(panel, Faces::for_panel(panel))
    }

    /// A screen with faces chosen by the caller: a board short of memory names one set, and the others are left out of
    /// its image.
    pub fn with_faces(panel: Panel, faces: &'static Faces) -> Screen {
        Screen {
            faces,
            layout: Layout::of(panel, faces),
        }
    }

    /// The faces in use.
    pub fn faces(&self) -> &'static Faces {
        self.faces
    }

    /// Draws the whole view.
    ///
    /// # Errors
    /// Those of the target.
    pub fn draw<D>(&self, view: &View, target: &mut D) -> Result<(), D::Error>
    where
        D: DrawTarget<Color: Tone>,
    {
        for &region in Region::of(&view.body, self.faces) {
            self.scene(region, view).paint(self.faces, target)?;
        }
        Ok(())
    }

    /// Draws the regions of `new` that differ from `old`, which is what the target shows.
    ///
    /// # Errors
    /// Those of the target; what it shows is then unknown, and the whole view is to be drawn.
    pub fn redraw<D>(&self, old: &View, new: &View, target: &mut D) -> Result<(), D::Error>
    where
        D: DrawTarget<Color: Tone>,
    {
        for scene in self.changes(old, new) {
            scene.paint(self.faces, target)?;
        }
        Ok(())
    }

    /// The scenes of `new` that differ from those of `old`: for a board that paints region by region on its way to the
    /// panel and keeps no whole picture.
    pub fn changes<'a>(&'a self, old: &'a View, new: &'a View) -> impl Iterator<Item = Scene> + 'a {
        let regions = Region::of(&new.body, self.faces);
        let all = Region::of(&old.body, self.faces) != regions;
        regions.iter().filter_map(move |&region| {
            let scene = self.scene(region, new);
            (all || scene != self.scene(region, old)).then_some(scene)
        })
    }

    /// The scenes of a view, region by region: what is painted, as data.
    pub fn scenes(&self, view: &View) -> impl Iterator<Item = Scene> {
        Region::of(&view.body, self.faces)
            .iter()
            .map(|&region| self.scene(region, view))
    }

    /// In how many leaves it shows a piece: 1 where all of it is on the screen at once.
    pub fn leaves(&self) -> u8 {
        match self.faces.in_leaves {
            true => leaves::COUNT,
            false => 1,
        }
    }

    fn face(&self, class: Class) -> &'static Face {
        self.faces.of(class)
    }

    /// Columns left free at the sides, and half of what is left between two texts.
    fn margin(&self) -> i32 {
        self.face(Class::Notes).cap_height() as i32 / 4
    }

    fn page(&self) -> Rectangle {
        self.layout.area(Region::Page)
    }

    fn foot_rows(&self) -> i32 {
        layout::foot_rows(self.faces) as i32
    }

    fn scene(&self, region: Region, view: &View) -> Scene {
        let area = self.layout.area(region);
        match (region, &view.body) {
            (Region::Title, Body::Piece(piece)) => title::scene(self, area, piece),
            (Region::Figure, Body::Piece(piece)) => figure::scene(self, area, piece),
            (Region::LeftEnd, Body::Piece(piece)) => ends::scene(self, area, piece.left, true),
            (Region::RightEnd, Body::Piece(piece)) => ends::scene(self, area, piece.right, false),
            (Region::Title, Body::Scrap(scrap)) => scrap::title(self, area, scrap),
            (Region::Figure, Body::Scrap(scrap)) => scrap::words(self, area, scrap),
            (Region::LeftEnd, Body::Scrap(scrap)) => {
                ends::scene(self, area, scrap.board.left, true)
            }
            (Region::RightEnd, Body::Scrap(scrap)) => {
                ends::scene(self, area, scrap.board.right, false)
            }
            (Region::Leaf, _) => leaves::scene(self, area, view),
            (Region::Foot, _) => foot::scene(self, area, view),
            (_, Body::Page(page)) => sheet::scene(self, area, page),
            _ => page::scene(self, area, &view.body),
        }
    }
}
