//! What a person may ask of a stick plan beyond the sticks and the pieces. What comes of it is left to the planner.

/// What is asked of a stick plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wishes {
    /// A room's pieces are to come close together in the list.
    pub room_by_room: bool,
}

impl Wishes {
    /// Nothing but the usual.
    pub const USUAL: Wishes = Wishes {
        room_by_room: false,
    };
}
