//! Which face each class of text takes on a panel, and how large each class must be to be read from where a carpenter
//! stands. Where the texts go is left to the layout.

use super::{Panel, layout, leaves};
use crate::letters::{
    DIGITS_33, DIGITS_42, DIGITS_74, DIGITS_90, DIGITS_150, Face, WORDS_11, WORDS_16, WORDS_20,
    WORDS_25, WORDS_30, WORDS_33, WORDS_50,
};

/// The classes of text, by how far away they are read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Class {
    /// The whole inches or millimetres of the length to mark.
    Number,
    /// The length's fraction.
    Fraction,
    /// What each end is, and what is said in large letters.
    Ends,
    /// Room and wall.
    Title,
    /// Everything else.
    Notes,
}

/// From how far a class is read and how high its letters must at least look from there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sight {
    /// Millimetres from eye to screen.
    pub distance: u32,
    /// Height of a capital or digit in minutes of arc.
    pub arcminutes: u32,
}

impl Class {
    /// Every class.
    pub const ALL: [Class; 5] = [
        Class::Number,
        Class::Fraction,
        Class::Ends,
        Class::Title,
        Class::Notes,
    ];

    /// From how far it is read. 16 minutes of arc are the least for reading, 20 to 22 preferred (NUREG-0700 rev. 2,
    /// 1.3.1-4); the length has twice that, since it is read in half a second.
    pub const fn sight(self) -> Sight {
        let (distance, arcminutes) = match self {
            Class::Number => (1000, 45),
            Class::Fraction => (1000, 20),
            Class::Ends | Class::Title => (750, 20),
            Class::Notes => (600, 16),
        };
        Sight {
            distance,
            arcminutes,
        }
    }

    /// The fewest rows that a capital of this class may have on a panel: height = 6.283 * distance * arcminutes / 21600
    /// (NUREG-0700), over the pitch, rounded up.
    pub const fn least_rows(self, panel: Panel) -> u32 {
        let Sight {
            distance,
            arcminutes,
        } = self.sight();
        let nanometres = 6283 * distance as u64 * arcminutes as u64 * 1_000_000 / 21_600_000;
        nanometres.div_ceil(panel.pitch_nanometres as u64) as u32
    }
}

/// A face for each class.
#[derive(Debug, PartialEq, Eq)]
pub struct Faces {
    number: &'static Face,
    fraction: &'static Face,
    ends: &'static Face,
    title: &'static Face,
    notes: &'static Face,
    /// Whether a column holds the joint's full words; else one word in capitals.
    pub(super) full_words: bool,
    /// Whether a piece is shown in leaves, one at a time, on a panel too small for all of it.
    pub(super) in_leaves: bool,
}

impl Faces {
    /// For panels of one bit, about 128x64.
    pub const TINY: &'static Faces = &Faces {
        number: &WORDS_33,
        fraction: &WORDS_16,
        ends: &WORDS_11,
        title: &WORDS_11,
        notes: &WORDS_11,
        full_words: false,
        in_leaves: true,
    };

    /// For panels about 320x240.
    pub const SMALL: &'static Faces = &Faces {
        number: &DIGITS_74,
        fraction: &DIGITS_33,
        ends: &WORDS_25,
        title: &WORDS_25,
        notes: &WORDS_16,
        full_words: false,
        in_leaves: false,
    };

    /// For fine panels about 480x320.
    pub const FINE: &'static Faces = &Faces {
        number: &DIGITS_90,
        fraction: &DIGITS_42,
        ends: &WORDS_30,
        title: &WORDS_30,
        notes: &WORDS_20,
        full_words: false,
        in_leaves: false,
    };

    /// For panels about 800x480 and larger.
    pub const WIDE: &'static Faces = &Faces {
        number: &DIGITS_150,
        fraction: &DIGITS_74,
        ends: &WORDS_50,
        title: &WORDS_33,
        notes: &WORDS_25,
        full_words: true,
        in_leaves: false,
    };

    /// The largest set that a panel has room for and on which every class can be read; the smallest where none is.
    pub fn for_panel(panel: Panel) -> &'static Faces {
        [Faces::WIDE, Faces::FINE, Faces::SMALL, Faces::TINY]
            .into_iter()
            .find(|faces| faces.fit(panel) && faces.are_legible(panel))
            .unwrap_or(Faces::SMALL)
    }

    /// Whether the regions' rows and two columns of the ends' longest words fit a panel.
    fn fit(&self, panel: Panel) -> bool {
        if self.in_leaves {
            return leaves::fit(self, panel);
        }
        let longest = if self.full_words {
            "Outside miter"
        } else {
            "22.5° right"
        };
        let margins = self.notes.cap_height();
        layout::rows(self) <= panel.height && 2 * self.ends.width(longest) + margins <= panel.width
    }

    /// Whether every class is at least as high on a panel as it has to be.
    pub fn are_legible(&self, panel: Panel) -> bool {
        Class::ALL
            .into_iter()
            .all(|class| self.of(class).cap_height() >= class.least_rows(panel))
    }

    /// The face of a class.
    pub const fn of(&self, class: Class) -> &'static Face {
        match class {
            Class::Number => self.number,
            Class::Fraction => self.fraction,
            Class::Ends => self.ends,
            Class::Title => self.title,
            Class::Notes => self.notes,
        }
    }
}
