//! The picture in memory that the station draws on, and which part of it was drawn on. Its way to the screen is left to
//! the display.

use std::convert::Infallible;

use embedded_graphics::pixelcolor::Rgb565;
use embedded_graphics::prelude::*;
use embedded_graphics::primitives::Rectangle;
use station::screen::Panel;

/// A picture of a panel's size.
#[derive(Debug, Clone)]
pub struct Frame {
    size: Size,
    pixels: Vec<Rgb565>,
    drawn: Rectangle,
}

impl Frame {
    /// A black picture.
    pub fn new(panel: Panel) -> Frame {
        let size = Size::new(panel.width, panel.height);
        Frame {
            size,
            pixels: vec![Rgb565::BLACK; (size.width * size.height) as usize],
            drawn: Rectangle::zero(),
        }
    }

    /// The pixels of a row from one column on.
    pub fn row(&self, row: u32, from: u32, columns: u32) -> &[Rgb565] {
        let start = (row * self.size.width + from) as usize;
        &self.pixels[start..start + columns as usize]
    }

    /// The smallest area that holds everything drawn since it was last asked.
    pub fn take_drawn(&mut self) -> Rectangle {
        std::mem::replace(&mut self.drawn, Rectangle::zero())
    }

    fn is_drawn_on(&mut self, area: &Rectangle) {
        self.drawn = match (self.drawn.bottom_right(), area.bottom_right()) {
            (_, None) => self.drawn,
            (None, _) => *area,
            (Some(end), Some(other)) => Rectangle::with_corners(
                self.drawn.top_left.component_min(area.top_left),
                end.component_max(other),
            ),
        };
    }

    fn part(&mut self, at: Point, columns: u32) -> &mut [Rgb565] {
        let start = at.y as usize * self.size.width as usize + at.x as usize;
        &mut self.pixels[start..start + columns as usize]
    }
}

impl OriginDimensions for Frame {
    fn size(&self) -> Size {
        self.size
    }
}

impl DrawTarget for Frame {
    type Color = Rgb565;
    type Error = Infallible;

    fn draw_iter<I>(&mut self, pixels: I) -> Result<(), Infallible>
    where
        I: IntoIterator<Item = Pixel<Rgb565>>,
    {
        let all = self.bounding_box();
        for Pixel(at, colour) in pixels {
            if all.contains(at) {
                self.part(at, 1)[0] = colour;
                self.is_drawn_on(&Rectangle::new(at, Size::new(1, 1)));
            }
        }
        Ok(())
    }

    /// Letters come so: by rows they take a small part of the time that they take by pixels.
    fn fill_contiguous<I>(&mut self, area: &Rectangle, colours: I) -> Result<(), Infallible>
    where
        I: IntoIterator<Item = Rgb565>,
    {
        if area.intersection(&self.bounding_box()) != *area {
            let pixels = area.points().zip(colours);
            return self.draw_iter(pixels.map(|(at, colour)| Pixel(at, colour)));
        }
        let mut colours = colours.into_iter();
        for line in area.rows() {
            let row = self.part(Point::new(area.top_left.x, line), area.size.width);
            for (pixel, colour) in row.iter_mut().zip(&mut colours) {
                *pixel = colour;
            }
        }
        self.is_drawn_on(area);
        Ok(())
    }

    fn fill_solid(&mut self, area: &Rectangle, colour: Rgb565) -> Result<(), Infallible> {
        let area = area.intersection(&self.bounding_box());
        for line in area.rows() {
            self.part(Point::new(area.top_left.x, line), area.size.width)
                .fill(colour);
        }
        self.is_drawn_on(&area);
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_letter_is_the_same_wherever_it_lies_and_is_cut_off_at_the_edge() {
        let letter = [Rgb565::RED, Rgb565::GREEN, Rgb565::BLUE, Rgb565::WHITE];
        let mut frame = Frame::new(Panel::SMALL);
        for corner in [Point::new(10, 20), Point::new(319, 239)] {
            let area = Rectangle::new(corner, Size::new(2, 2));
            let Ok(()) = frame.fill_contiguous(&area, letter);
        }
        assert_eq!(frame.row(20, 10, 2), [Rgb565::RED, Rgb565::GREEN]);
        assert_eq!(frame.row(21, 10, 2), [Rgb565::BLUE, Rgb565::WHITE]);
        assert_eq!(frame.row(239, 318, 2), [Rgb565::BLACK, Rgb565::RED]);
        let drawn = Rectangle::with_corners(Point::new(10, 20), Point::new(319, 239));
        assert_eq!(frame.take_drawn(), drawn);
    }

    #[test]
    fn the_drawn_area_holds_everything_drawn_and_nothing_outside() {
        let mut frame = Frame::new(Panel::SMALL);
        assert!(frame.take_drawn().is_zero_sized());
        let Ok(()) = frame.fill_solid(
            &Rectangle::new(Point::new(300, -5), Size::new(90, 10)),
            Rgb565::RED,
        );
        let Ok(()) = Pixel(Point::new(7, 200), Rgb565::GREEN).draw(&mut frame);
        let Ok(()) = Pixel(Point::new(320, 0), Rgb565::GREEN).draw(&mut frame);
        let drawn = Rectangle::with_corners(Point::new(7, 0), Point::new(319, 200));
        assert_eq!(frame.take_drawn(), drawn);
        assert!(frame.take_drawn().is_zero_sized());
        assert_eq!(
            frame.row(4, 299, 3),
            [Rgb565::BLACK, Rgb565::RED, Rgb565::RED]
        );
        assert_eq!(frame.row(5, 300, 1), [Rgb565::BLACK]);
        assert_eq!(frame.row(200, 7, 1), [Rgb565::GREEN]);
    }
}
