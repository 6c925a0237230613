//! The picture's pixels: a frame buffer that the station's screen draws on, and the PNG made of it. What is drawn is left
//! to the station.

use std::convert::Infallible;

use embedded_graphics::pixelcolor::{Rgb565, Rgb888};
use embedded_graphics::prelude::*;
use embedded_graphics::primitives::Rectangle;

/// A frame buffer of a panel's size.
pub struct Frame {
    width: u32,
    height: u32,
    pixels: Vec<Rgb565>,
}

impl Frame {
    /// A black frame.
    pub fn new(width: u32, height: u32) -> Frame {
        Frame {
            width,
            height,
            pixels: vec![Rgb565::BLACK; (width * height) as usize],
        }
    }

    /// The frame as a PNG picture, pixel for pixel.
    ///
    /// # Errors
    /// Those of the encoder; a picture in memory has none to give.
    pub fn png(&self) -> Result<Vec<u8>, png::EncodingError> {
        let mut bytes = Vec::new();
        let mut encoder = png::Encoder::new(&mut bytes, self.width, self.height);
        encoder.set_color(png::ColorType::Rgb);
        encoder.set_compression(png::Compression::Fast);
        let colours = self.pixels.iter().flat_map(|pixel| {
            let colour = Rgb888::from(*pixel);
            [colour.r(), colour.g(), colour.b()]
        });
        let colours: Vec<u8> = colours.collect();
        let mut writer = encoder.write_header()?;
        writer.write_image_data(&colours)?;
        writer.finish()?;
        Ok(bytes)
    }

    fn row(&mut self, x: u32, y: u32, width: u32) -> &mut [Rgb565] {
        let start = (y * self.width + x) as usize;
        &mut self.pixels[start..start + width as usize]
    }
}

impl OriginDimensions for Frame {
    fn size(&self) -> Size {
        Size::new(self.width, self.height)
    }
}

impl DrawTarget for Frame {
    type Color = Rgb565;
    type Error = Infallible;

    fn draw_iter<I>(&mut self, pixels: I) -> Result<(), Infallible>
    where
        I: IntoIterator<Item = Pixel<Rgb565>>,
    {
        let area = self.bounding_box();
        for Pixel(point, colour) in pixels {
            if area.contains(point) {
                self.row(point.x as u32, point.y as u32, 1)[0] = colour;
            }
        }
        Ok(())
    }

    fn fill_solid(&mut self, area: &Rectangle, colour: Rgb565) -> Result<(), Infallible> {
        let area = area.intersection(&self.bounding_box());
        let corner = area.top_left;
        for line in 0..area.size.height {
            self.row(corner.x as u32, corner.y as u32 + line, area.size.width)
                .fill(colour);
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pixels_outside_are_dropped_and_the_rest_are_in_the_picture() {
        let mut frame = Frame::new(3, 2);
        let red = Rgb565::RED;
        frame
            .fill_solid(&Rectangle::new(Point::new(1, -1), Size::new(9, 2)), red)
            .expect("a frame takes everything");
        Pixel(Point::new(0, 1), Rgb565::GREEN)
            .draw(&mut frame)
            .expect("a frame takes everything");
        Pixel(Point::new(3, 0), Rgb565::GREEN)
            .draw(&mut frame)
            .expect("a frame takes everything");
        let png = frame.png().expect("a picture");
        let decoder = png::Decoder::new(std::io::Cursor::new(png));
        let mut reader = decoder.read_info().expect("a picture");
        let mut bytes = vec![0; 18];
        reader.next_frame(&mut bytes).expect("six pixels");
        let (black, red, green) = ([0, 0, 0], [255, 0, 0], [0, 255, 0]);
        assert_eq!(bytes, [black, red, red, green, black, black].concat());
    }
}
