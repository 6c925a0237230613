//! A panel in memory, and PNG files of it. It is strict: a pixel outside the panel is a failed test.

use std::convert::Infallible;
use std::fs::File;
use std::io::{BufReader, BufWriter};
use std::path::Path;

use embedded_graphics::pixelcolor::Rgb565;
use embedded_graphics::prelude::*;
use embedded_graphics::primitives::Rectangle;
use station::screen::Panel;

/// A panel's pixels.
#[derive(Clone, PartialEq, Eq)]
pub struct Canvas {
    size: Size,
    pixels: Vec<Rgb565>,
    /// How many pixels were written so far.
    pub written: usize,
}

impl Canvas {
    /// A panel that shows magenta, which no screen uses: a pixel that is never painted is seen.
    pub fn new(panel: Panel) -> Canvas {
        Canvas {
            size: Size::new(panel.width, panel.height),
            pixels: vec![Rgb565::MAGENTA; (panel.width * panel.height) as usize],
            written: 0,
        }
    }

    /// The colour at a place.
    pub fn at(&self, at: Point) -> Rgb565 {
        self.pixels[at.y as usize * self.size.width as usize + at.x as usize]
    }

    /// Whether an area shows this colour and nothing else.
    pub fn is_all(&self, area: &Rectangle, colour: Rgb565) -> bool {
        let (left, width) = (area.top_left.x as usize, area.size.width as usize);
        area.rows().all(|row| {
            let from = row as usize * self.size.width as usize + left;
            let pixels = &self.pixels[from..from + width];
            pixels.first() == Some(&colour) && pixels[1..] == pixels[..width - 1]
        })
    }

    /// Whether both show the same.
    pub fn shows_the_same(&self, other: &Canvas) -> bool {
        self.pixels == other.pixels
    }

    /// Whether every pixel has been painted.
    pub fn is_covered(&self) -> bool {
        self.pixels.iter().all(|&pixel| pixel != Rgb565::MAGENTA)
    }

    /// The pixels as 8-bit red, green and blue.
    pub fn rgb(&self) -> Vec<u8> {
        self.pixels.iter().copied().flat_map(eight_bits).collect()
    }

    /// Writes a PNG file.
    pub fn write_png(&self, path: &Path) {
        write_png(path, self.size, &self.rgb());
    }
}

/// Writes a PNG file of 8-bit pixels.
pub fn write_png(path: &Path, size: Size, pixels: &[u8]) {
    let file = BufWriter::new(File::create(path).expect("the folder can be written"));
    let mut encoder = png::Encoder::new(file, size.width, size.height);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_compression(png::Compression::High);
    let mut writer = encoder.write_header().expect("a size that PNG takes");
    writer
        .write_image_data(pixels)
        .expect("as many bytes as the size says");
}

/// A PNG file's size and 8-bit pixels; none where there is no such file.
pub fn read_png(path: &Path) -> Option<(Size, Vec<u8>)> {
    let file = BufReader::new(File::open(path).ok()?);
    let mut reader = png::Decoder::new(file).read_info().expect("a PNG file");
    let mut pixels = vec![0; reader.output_buffer_size().expect("a picture that fits")];
    let info = reader.next_frame(&mut pixels).expect("a whole picture");
    pixels.truncate(info.buffer_size());
    Some((Size::new(info.width, info.height), pixels))
}

/// A panel's colour as 8-bit red, green and blue.
pub fn eight_bits(colour: Rgb565) -> [u8; 3] {
    let five = |value: u8| value << 3 | value >> 2;
    let six = |value: u8| value << 2 | value >> 4;
    [five(colour.r()), six(colour.g()), five(colour.b())]
}

impl OriginDimensions for Canvas {
    fn size(&self) -> Size {
        self.size
    }
}

impl DrawTarget for Canvas {
    type Color = Rgb565;
    type Error = Infallible;

    fn draw_iter<I>(&mut self, pixels: I) -> Result<(), Infallible>
    where
        I: IntoIterator<Item = Pixel<Rgb565>>,
    {
        let area = Rectangle::new(Point::zero(), self.size);
        for Pixel(at, colour) in pixels {
            assert!(area.contains(at), "{at} is outside the panel");
            self.pixels[at.y as usize * self.size.width as usize + at.x as usize] = colour;
            self.written += 1;
        }
        Ok(())
    }

    fn fill_solid(&mut self, area: &Rectangle, colour: Rgb565) -> Result<(), Infallible> {
        if area.is_zero_sized() {
            return Ok(());
        }
        let panel = Rectangle::new(Point::zero(), self.size);
        assert_eq!(area.intersection(&panel), *area, "outside the panel");
        let width = self.size.width as usize;
        for row in area.rows() {
            let from = row as usize * width + area.top_left.x as usize;
            self.pixels[from..from + area.size.width as usize].fill(colour);
        }
        self.written += (area.size.width * area.size.height) as usize;
        Ok(())
    }
}
