//! A panel that forgets what is painted on it. What is painted is left to the station's own tests.

use std::convert::Infallible;

use embedded_graphics::Pixel;
use embedded_graphics::draw_target::DrawTarget;
use embedded_graphics::geometry::{OriginDimensions, Size};
use embedded_graphics::pixelcolor::Rgb565;
use station::screen::Panel;

/// As large as the small panel.
pub struct Paper;

impl OriginDimensions for Paper {
    fn size(&self) -> Size {
        Size::new(Panel::SMALL.width, Panel::SMALL.height)
    }
}

impl DrawTarget for Paper {
    type Color = Rgb565;
    type Error = Infallible;

    fn draw_iter<I>(&mut self, pixels: I) -> Result<(), Infallible>
    where
        I: IntoIterator<Item = Pixel<Rgb565>>,
    {
        pixels.into_iter().for_each(drop);
        Ok(())
    }
}
