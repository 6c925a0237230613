//! The cautions that belong to single pieces. What the saw's own manual says comes first; when each applies is decided by
//! the planner.

use serde::{Deserialize, Serialize};

/// One caution.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Caution {
    /// Too short to be held by hand.
    ShortPiece,
    /// Little is left in the hand when this piece comes off.
    ShortHold,
    /// Long and whippy.
    LongPiece,
    /// The setting is near the end of the saw's range.
    NearSawLimit,
    /// A wide swing or any tilt: the fence must stand clear of the blade.
    FenceClear,
    /// A cut that does not go through.
    PartDepth,
    /// The board stands nearly as tall as the saw takes on edge.
    TallBoard,
    /// It is a return's wedge.
    ReturnWedge,
    /// The house is old, and its paint may hold lead: on the first piece of a list, for the whole of it.
    LeadPaint,
}

impl Caution {
    /// Every caution, the gravest first.
    pub const ALL: [Caution; 9] = [
        Caution::ShortPiece,
        Caution::ShortHold,
        Caution::ReturnWedge,
        Caution::PartDepth,
        Caution::FenceClear,
        Caution::NearSawLimit,
        Caution::TallBoard,
        Caution::LongPiece,
        Caution::LeadPaint,
    ];

    /// A few words for the screen at the saw.
    pub const fn words(self) -> &'static str {
        match self {
            Caution::ShortPiece => "short: clamp it",
            Caution::ShortHold => "little to hold: clamp",
            Caution::LongPiece => "support both ends",
            Caution::NearSawLimit => "near the saw's limit",
            Caution::FenceClear => "fence clear of blade",
            Caution::PartDepth => "part depth: blade still",
            Caution::TallBoard => "tall board: check fence",
            Caution::ReturnWedge => "wedge: blade still first",
            Caution::LeadPaint => "old paint: lead",
        }
    }

    /// The whole sentence for paper and page.
    pub const fn sentence(self) -> &'static str {
        match self {
            Caution::ShortPiece => {
                "Short piece: never held by hand; clamp it, hands well away from the blade."
            }
            Caution::ShortHold => {
                "Little board is left to hold at this cut: clamp it, hands well away from the blade."
            }
            Caution::LongPiece => {
                "Long board: support both ends, so that it neither sags nor closes the kerf."
            }
            Caution::NearSawLimit => {
                "The setting is near the end of the saw's range: check that it locks there."
            }
            Caution::FenceClear => {
                "Wide swing or tilt: move the fence clear of the blade before cutting, blade stopped."
            }
            Caution::PartDepth => {
                "Part-depth cut: make a test cut, finish, let go of the trigger, and lift only when the blade is still."
            }
            Caution::TallBoard => {
                "Tall board on edge: see that fence and guard take it, by the saw's manual."
            }
            Caution::ReturnWedge => {
                "The return's wedge is cut from a long stick, never held by hand; touch it only when the blade is still."
            }
            Caution::LeadPaint => {
                "Old house: its paint may hold lead (in the US, paint from before 1978). Find out before old trim is pulled or paint is sanded, keep the dust down, and keep to the local rules for it."
            }
        }
    }
}

/// A set of cautions.
///
/// ```
/// use shared_model::{Caution, Cautions};
/// let set = Cautions::NONE.with(Caution::LongPiece).with(Caution::ShortPiece);
/// assert_eq!(set.iter().next(), Some(Caution::ShortPiece));
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Cautions(u16);

impl Cautions {
    /// No caution.
    pub const NONE: Cautions = Cautions(0);

    /// This set and one more.
    #[must_use]
    pub const fn with(self, caution: Caution) -> Cautions {
        Cautions(self.0 | 1 << caution as u16)
    }

    /// Whether the set holds this caution.
    pub const fn has(self, caution: Caution) -> bool {
        self.0 & 1 << caution as u16 != 0
    }

    /// The cautions in the set, the gravest first.
    pub fn iter(self) -> impl Iterator<Item = Caution> {
        Caution::ALL.into_iter().filter(move |&c| self.has(c))
    }
}
