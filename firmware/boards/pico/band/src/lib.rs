//! A part of the picture in memory, as the panel takes it. What is painted on it is left to the station, sending it to the
//! panel.
//!
//! A crate of its own because all of a picture's pixels come by here: it is compiled for speed, the board's program for size.

#![no_std]

use core::convert::Infallible;

use embedded_graphics::pixelcolor::Rgb565;
use embedded_graphics::prelude::*;
use embedded_graphics::primitives::Rectangle;
use station::screen::{Faces, Scene};

/// Pixels that a band holds: 40 rows of the whole width. Two of them, one filled while the other is sent, take a third of
/// what a whole picture would.
pub const PIXELS: usize = 320 * 40;

/// A band over some rectangle of the panel. Whatever is painted outside is left off.
pub struct Band {
    area: Rectangle,
    /// Row by row without gaps, each pixel's high byte first, which is the order on the bus.
    pixels: &'static mut [u16; PIXELS],
}

impl Band {
    /// A band over nothing.
    pub fn new(pixels: &'static mut [u16; PIXELS]) -> Band {
        Band {
            area: Rectangle::zero(),
            pixels,
        }
    }

    /// Lays the band over the upper rows of a rectangle, as many as so many pixels are; at most [`PIXELS`].
    pub fn lay(&mut self, over: Rectangle, pixels: usize) {
        let width = over.size.width;
        let most = pixels.min(PIXELS) as u32 / width.max(1);
        let size = Size::new(width, over.size.height.min(most));
        self.area = Rectangle::new(over.top_left, size);
    }

    /// The rectangle under it.
    pub fn area(&self) -> Rectangle {
        self.area
    }

    /// Paints what of a scene lies under it.
    pub fn paint(&mut self, scene: &Scene, faces: &Faces) {
        let Ok(()) = scene.paint(faces, self);
    }

    /// Its pixels as they go over the bus.
    pub fn bytes(&self) -> &[u8] {
        let count = (self.area.size.width * self.area.size.height) as usize;
        bytemuck::cast_slice(&self.pixels[..count])
    }

    /// The part of a row that lies in `columns`, both within the band.
    fn row(&mut self, row: i32, columns: &Rectangle) -> &mut [u16] {
        let across = self.area.size.width as usize;
        let down = (row - self.area.top_left.y) as usize;
        let from = down * across + (columns.top_left.x - self.area.top_left.x) as usize;
        &mut self.pixels[from..from + columns.size.width as usize]
    }
}

fn on_bus(colour: Rgb565) -> u16 {
    colour.into_storage().to_be()
}

impl Dimensions for Band {
    fn bounding_box(&self) -> Rectangle {
        self.area
    }
}

impl DrawTarget for Band {
    type Color = Rgb565;
    type Error = Infallible;

    fn draw_iter<I>(&mut self, pixels: I) -> Result<(), Infallible>
    where
        I: IntoIterator<Item = Pixel<Rgb565>>,
    {
        for Pixel(at, colour) in pixels {
            if self.area.contains(at) {
                let alone = Rectangle::new(at, Size::new(1, 1));
                self.row(at.y, &alone)[0] = on_bus(colour);
            }
        }
        Ok(())
    }

    fn fill_contiguous<I>(&mut self, area: &Rectangle, colours: I) -> Result<(), Infallible>
    where
        I: IntoIterator<Item = Rgb565>,
    {
        let seen = area.intersection(&self.area);
        let mut colours = colours.into_iter();
        if seen.is_zero_sized() {
            return Ok(());
        }
        if seen.size.width < area.size.width || seen.top_left.y > area.top_left.y {
            return self.draw_iter(
                area.points()
                    .zip(colours)
                    .map(|(at, colour)| Pixel(at, colour)),
            );
        }
        // the way of every letter: rows above the band are cut off by who writes it, rows below are never asked for
        for row in seen.rows() {
            for (pixel, colour) in self.row(row, &seen).iter_mut().zip(&mut colours) {
                *pixel = on_bus(colour);
            }
        }
        Ok(())
    }

    fn fill_solid(&mut self, area: &Rectangle, colour: Rgb565) -> Result<(), Infallible> {
        let seen = area.intersection(&self.area);
        let colour = on_bus(colour);
        for row in seen.rows() {
            // two pixels at a time: most of a picture is paper
            let (first, pairs, last) =
                bytemuck::pod_align_to_mut::<u16, [u16; 2]>(self.row(row, &seen));
            pairs.fill([colour; 2]);
            first
                .iter_mut()
                .chain(last)
                .for_each(|pixel| *pixel = colour);
        }
        Ok(())
    }
}
