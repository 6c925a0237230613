//! From a view to the panel, band by band: while one band is on the bus the next is painted. What a view shows and which
//! regions of it are new is left to the station's screen.

use band::{Band, PIXELS};
use embassy_futures::join::join;
use embedded_graphics::primitives::Rectangle;
use static_cell::StaticCell;
use station::screen::{Faces, Scene, Screen};
use station::view::View;

use crate::panel::Panel;
use crate::settings::PANEL;

/// Paints views on the panel.
pub struct Painter {
    screen: Screen,
    panel: Panel,
    /// The one that is painted, and the one that is sent.
    bands: [Band; 2],
}

impl Painter {
    /// A painter; once only, since it takes the memory for its bands.
    pub fn new(panel: Panel) -> Painter {
        static BANDS: [StaticCell<[u16; PIXELS]>; 2] = [StaticCell::new(), StaticCell::new()];
        Painter {
            // one set of faces named, the others are left out of the image
            screen: Screen::with_faces(PANEL, Faces::SMALL),
            panel,
            bands: BANDS
                .each_ref()
                .map(|band| Band::new(band.init_with(|| [0; PIXELS]))),
        }
    }

    /// The panel under it.
    pub fn panel(&mut self) -> &mut Panel {
        &mut self.panel
    }

    /// Paints the whole view.
    pub async fn paint_all(&mut self, view: &View) {
        let scenes = self.screen.scenes(view);
        paint(
            self.screen.faces(),
            scenes,
            &mut self.panel,
            &mut self.bands,
        )
        .await;
    }

    /// Paints what differs from the view that is on the panel.
    pub async fn paint_changes(&mut self, old: &View, new: &View) {
        let scenes = self.screen.changes(old, new);
        paint(
            self.screen.faces(),
            scenes,
            &mut self.panel,
            &mut self.bands,
        )
        .await;
    }
}

async fn paint(
    faces: &Faces,
    scenes: impl Iterator<Item = Scene>,
    panel: &mut Panel,
    [one, other]: &mut [Band; 2],
) {
    let mut work = Work {
        faces,
        scenes,
        scene: None,
        left: Rectangle::zero(),
    };
    let (mut next, mut sent) = (one, other);
    // the bus waits for the first band alone: it is small, so that the wait is short
    let mut more = work.fill(next, PIXELS / 5);
    while more {
        (next, sent) = (sent, next);
        let send = panel.send(sent.area(), sent.bytes());
        // polled first, so that the bus is at work before the processor is
        ((), more) = join(send, async { work.fill(next, PIXELS) }).await;
    }
}

/// What is still to be painted.
struct Work<'a, I> {
    faces: &'a Faces,
    scenes: I,
    scene: Option<Scene>,
    /// The part of the scene's area that no band has covered yet.
    left: Rectangle,
}

impl<I: Iterator<Item = Scene>> Work<'_, I> {
    /// Paints the next part, at most so many pixels, on a band; whether there was one.
    fn fill(&mut self, band: &mut Band, most: usize) -> bool {
        if self.left.is_zero_sized() {
            self.scene = self.scenes.next();
            self.left = self
                .scene
                .as_ref()
                .map_or(Rectangle::zero(), |scene| scene.area);
        }
        let Some(scene) = &self.scene else {
            return false;
        };
        band.lay(self.left, most);
        band.paint(scene, self.faces);
        let rows = band.area().size.height;
        self.left.top_left.y += rows as i32;
        self.left.size.height -= rows;
        true
    }
}
