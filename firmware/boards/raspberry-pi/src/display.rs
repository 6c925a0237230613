//! What the station needs of a screen: one small trait, for the kernel's display and for tests. What is drawn is left to
//! the station.

#[cfg(target_os = "linux")]
pub mod kms;

use embedded_graphics::primitives::Rectangle;
use station::screen::Panel;
use station::settings::Light;

use crate::frame::Frame;
use crate::trouble::Trouble;

/// A screen that shows a picture of its size.
pub trait Display {
    /// The picture's size.
    fn panel(&self) -> Panel;

    /// Shows this part of the picture; the rest is as it was shown before.
    ///
    /// # Errors
    /// Whatever keeps it from the screen.
    fn show(&mut self, frame: &Frame, area: Rectangle) -> Result<(), Trouble>;

    /// Sets the light, where there is one.
    fn light(&mut self, light: Light);
}
