//! What the screens' colours are on a panel: in full colour, or in one bit, where all that is not ink is dark and ink is
//! lit. Which colour a thing has is left to the scenes.

use embedded_graphics::pixelcolor::{BinaryColor, PixelColor, Rgb565};
use embedded_graphics::prelude::*;

/// The colours in use. Ink is dark and paper is light, because glare adds light to a dark background but hardly to a
/// light one, and dust on the glass shows on black; every meaning has a shape or a word beside its colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Colour {
    /// White.
    Paper,
    /// Black.
    Ink,
    /// Yellow, behind cautions.
    Caution,
    /// A light brown, inside the board's picture.
    Wood,
}

impl Colour {
    /// The colour as a colour panel takes it.
    pub const fn rgb(self) -> Rgb565 {
        match self {
            Colour::Paper => Rgb565::new(31, 63, 31),
            Colour::Ink => Rgb565::new(0, 0, 0),
            Colour::Caution => Rgb565::new(31, 52, 0),
            Colour::Wood => Rgb565::new(30, 55, 22),
        }
    }
}

/// The colours of a panel's pixels.
pub trait Tone: PixelColor {
    /// The colours from paper to ink, by thirds of a pixel's coverage.
    fn levels(ink: Colour, paper: Colour) -> [Self; 4];

    /// One colour, all over.
    fn flat(colour: Colour) -> Self {
        let [flat, ..] = Self::levels(colour, colour);
        flat
    }
}

impl Tone for Rgb565 {
    fn levels(ink: Colour, paper: Colour) -> [Rgb565; 4] {
        [0, 1, 2, 3].map(|level| mix(paper.rgb(), ink.rgb(), level))
    }
}

/// A panel of one bit gives light of its own: ink is lit on dark.
impl Tone for BinaryColor {
    fn levels(ink: Colour, paper: Colour) -> [BinaryColor; 4] {
        let bit = |colour| BinaryColor::from(colour == Colour::Ink);
        [bit(paper), bit(paper), bit(ink), bit(ink)]
    }
}

/// The colour `level` thirds of the way from paper to ink.
fn mix(paper: Rgb565, ink: Rgb565, level: u16) -> Rgb565 {
    let channel = |paper: u8, ink: u8| {
        ((u16::from(paper) * (3 - level) + u16::from(ink) * level + 1) / 3) as u8
    };
    Rgb565::new(
        channel(paper.r(), ink.r()),
        channel(paper.g(), ink.g()),
        channel(paper.b(), ink.b()),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn mixing_ends_at_both_colours() {
        let (paper, ink) = (Rgb565::new(31, 62, 30), Rgb565::new(1, 2, 3));
        assert_eq!((mix(paper, ink, 0), mix(paper, ink, 3)), (paper, ink));
        assert_eq!(mix(paper, ink, 1), Rgb565::new(21, 42, 21));
    }

    #[test]
    fn in_one_bit_ink_is_lit_and_half_a_pixel_is_a_whole_one() {
        let (on, off) = (BinaryColor::On, BinaryColor::Off);
        let levels = BinaryColor::levels(Colour::Ink, Colour::Caution);
        assert_eq!(levels, [off, off, on, on]);
        assert_eq!(
            BinaryColor::levels(Colour::Paper, Colour::Ink),
            [on, on, off, off]
        );
        assert_eq!(BinaryColor::flat(Colour::Wood), off);
    }
}
