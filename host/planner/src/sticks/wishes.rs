//! What a person may ask of a stick plan beyond the sticks and the pieces. What comes of it is left to the planner.

use shared_model::Length;

use crate::cautions::SHORT_PIECE;

/// When a piece is too short to be held, and what must then remain of the stick beyond the kerf.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct HoldRule {
    /// Pieces shorter than this, tip to tip, are never held by hand.
    pub short_piece: Length,
    /// What must remain of the stick in the hand as a short piece comes off.
    pub least_hold: Length,
}

impl HoldRule {
    /// 8 in and 12 in: common practice on site, no source.
    pub const USUAL: HoldRule = HoldRule {
        short_piece: SHORT_PIECE,
        least_hold: Length::inches(12),
    };
}

/// What is asked of a stick plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wishes {
    /// The rule for short pieces.
    pub hold: HoldRule,
    /// A room's pieces are to come close together in the list.
    pub room_by_room: bool,
}

impl Wishes {
    /// Nothing but the usual.
    pub const USUAL: Wishes = Wishes {
        hold: HoldRule::USUAL,
        room_by_room: false,
    };
}
