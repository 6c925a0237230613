//! How a picture lies on a screen: which size of picture, how many times enlarged, where; and its pixels in the screen's
//! own bytes. Which screen it is is left to the display.

use embedded_graphics::pixelcolor::{Rgb565, RgbColor};
use embedded_graphics::prelude::*;
use embedded_graphics::primitives::Rectangle;
use station::screen::Panel;

use crate::frame::Frame;
use crate::settings::Picture;

/// Bytes of a pixel on the screen: blue, green, red and one that is not shown.
pub const BYTES: usize = 4;

/// How a picture lies on a screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fit {
    /// The picture's size.
    pub panel: Panel,
    /// A pixel of the picture is so many rows high and columns wide.
    pub times: u32,
    /// Columns left free at the left.
    pub left: u32,
    /// Rows left free at the top.
    pub top: u32,
}

impl Fit {
    /// The picture of this size, or of the one that covers most, in the middle of a screen of so many columns and rows,
    /// as many whole times enlarged as it has room for. None where the screen is too small.
    pub fn on(columns: u32, rows: u32, chosen: Option<Picture>) -> Option<Fit> {
        let fit = |Picture(panel): Picture| {
            let times = (columns / panel.width).min(rows / panel.height);
            (times > 0).then(|| Fit {
                panel,
                times,
                left: (columns - times * panel.width) / 2,
                top: (rows - times * panel.height) / 2,
            })
        };
        match chosen {
            Some(picture) => fit(picture),
            // of those that cover as much the last one: its letters are the largest for the eye
            None => {
                // small pictures are for small screens: enlarged, they would only be coarse
                let made_for = |fit: &Fit| fit.times == 1 || fit.panel.width >= Panel::WIDE.width;
                let all = Picture::ALL.into_iter().filter_map(fit).filter(made_for);
                all.max_by_key(|fit| fit.times * fit.times * fit.panel.width * fit.panel.height)
            }
        }
    }

    /// Writes an area of the picture into the screen's memory, whose rows lie `stride` bytes apart; gives the area of the
    /// screen that it covers.
    pub fn paint(
        &self,
        frame: &Frame,
        area: Rectangle,
        screen: &mut [u8],
        stride: usize,
    ) -> Rectangle {
        let area = area.intersection(&frame.bounding_box());
        let (from, columns) = (area.top_left.x.unsigned_abs(), area.size.width);
        let times = self.times as usize;
        let left = (self.left + from * self.times) as usize * BYTES;
        let width = columns as usize * times * BYTES;
        for row in area.rows() {
            let row = row.unsigned_abs();
            let first = (self.top + row * self.times) as usize * stride + left;
            let line = &mut screen[first..first + width];
            let pixels = frame.row(row, from, columns);
            let (places, _) = line.as_chunks_mut();
            if times == 1 {
                // what nearly all screens are, by a loop without another in it
                for (place, pixel) in places.iter_mut().zip(pixels) {
                    *place = eight_bits(*pixel);
                }
                continue;
            }
            for (places, pixel) in places.chunks_exact_mut(times).zip(pixels) {
                places.fill(eight_bits(*pixel));
            }
            for again in 1..times {
                screen.copy_within(first..first + width, first + again * stride);
            }
        }
        let corner = Point::new(
            (self.left + from * self.times).cast_signed(),
            self.top.cast_signed() + area.top_left.y * self.times.cast_signed(),
        );
        Rectangle::new(corner, area.size * self.times)
    }
}

/// A pixel in the screen's bytes: full stays full, and nothing is rounded to a neighbour.
fn eight_bits(colour: Rgb565) -> [u8; BYTES] {
    let five = |value: u8| value << 3 | value >> 2;
    let six = |value: u8| value << 2 | value >> 4;
    [five(colour.b()), six(colour.g()), five(colour.r()), 0]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_screen_is_filled_as_far_as_whole_numbers_go() {
        let lies = |columns, rows| {
            let fit = Fit::on(columns, rows, None)?;
            Some((fit.panel.width, fit.times, fit.left, fit.top))
        };
        for (screen, expected) in [
            ((800, 480), (800, 1, 0, 0)),
            ((1024, 600), (1024, 1, 0, 0)),
            ((1280, 800), (1024, 1, 128, 100)),
            ((1366, 768), (1024, 1, 171, 84)),
            ((1920, 1080), (800, 2, 160, 60)),
            ((1920, 1200), (800, 2, 160, 120)),
            ((3840, 2160), (800, 4, 320, 120)),
            ((480, 320), (480, 1, 0, 0)),
            ((320, 240), (320, 1, 0, 0)),
            ((640, 480), (480, 1, 80, 80)),
        ] {
            assert_eq!(lies(screen.0, screen.1), Some(expected), "{screen:?}");
        }
        assert_eq!(lies(128, 64), None);
        let chosen = Fit::on(1024, 600, Some(Picture(Panel::WIDE)));
        assert_eq!(
            chosen.map(|fit| (fit.times, fit.left, fit.top)),
            Some((1, 112, 60))
        );
        assert_eq!(Fit::on(800, 480, Some(Picture(Panel::LARGE))), None);
    }

    #[test]
    fn an_area_lands_enlarged_in_its_place_and_nowhere_else() {
        let mut frame = Frame::new(Panel::SMALL);
        let area = Rectangle::new(Point::new(2, 1), Size::new(2, 1));
        let Ok(()) = frame.fill_solid(&area, Rgb565::RED);
        let fit = Fit {
            panel: Panel::SMALL,
            times: 2,
            left: 3,
            top: 5,
        };
        let stride = 700 * BYTES;
        let mut screen = vec![9; stride * 500];
        let covered = fit.paint(&frame, area, &mut screen, stride);
        assert_eq!(covered, Rectangle::new(Point::new(7, 7), Size::new(4, 2)));
        for (at, pixel) in screen.chunks_exact(BYTES).enumerate() {
            let at = Point::new((at % 700) as i32, (at / 700) as i32);
            let expected = match covered.contains(at) {
                true => [0, 0, 255, 0],
                false => [9; BYTES],
            };
            assert_eq!(pixel, expected, "{at}");
        }
    }
}
