//! The saw view: from an end as installed and the posture of its cut to what is set at the saw. It is computed here and
//! nowhere else; drawing it is left to the screens, choosing the posture to the planner.

use core::fmt;

use serde::{Deserialize, Serialize};

use crate::{Angle, End, Joint, Lean, Length};

/// Left or right; of the board as installed or of the saw, as each use says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Side {
    /// Left.
    Left,
    /// Right.
    Right,
}

impl Side {
    /// The other side.
    pub const fn other(self) -> Side {
        match self {
            Side::Left => Side::Right,
            Side::Right => Side::Left,
        }
    }

    /// `left` or `right`.
    pub const fn word(self) -> &'static str {
        match self {
            Side::Left => "left",
            Side::Right => "right",
        }
    }
}

/// How the board rides on the saw while one of its ends is cut. You stand in front of the saw and face its fence.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Posture {
    /// Back on the fence, bottom edge down.
    StandingUpright,
    /// Back on the fence, top edge down.
    StandingUpsideDown,
    /// Face up, top edge to the fence.
    FlatTopToFence,
    /// Face up, bottom edge to the fence.
    FlatBottomToFence,
}

/// What makes the angle of a cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum By {
    /// Swinging the table; a way is that of its handle.
    Swing,
    /// Tilting the blade; a way is that of the blade's top.
    Tilt,
}

impl By {
    /// `swing` or `tilt`.
    pub const fn word(self) -> &'static str {
        match self {
            By::Swing => "swing",
            By::Tilt => "tilt",
        }
    }
}

/// The way the handle (swing) or the blade's top (tilt) goes from square, seen by who faces the fence.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Way {
    /// To the left.
    Left,
    /// To the right.
    Right,
    /// Nowhere: the cut is square.
    None,
}

impl Way {
    /// `left`, `right` or `none`.
    pub const fn word(self) -> &'static str {
        match self {
            Way::Left => "left",
            Way::Right => "right",
            Way::None => "none",
        }
    }

    /// The way for an end that lies at `side` of the saw and leans so.
    ///
    /// ```
    /// use shared_model::{Lean, Side, Way};
    /// assert_eq!(Way::at(Side::Right, Lean::FaceLonger), Way::Right);
    /// assert_eq!(Way::at(Side::Right, Lean::FaceShorter), Way::Left);
    /// ```
    pub const fn at(side: Side, lean: Lean) -> Way {
        match (side, lean) {
            (_, Lean::Even) => Way::None,
            (Side::Right, Lean::FaceLonger) | (Side::Left, Lean::FaceShorter) => Way::Right,
            (Side::Left, Lean::FaceLonger) | (Side::Right, Lean::FaceShorter) => Way::Left,
        }
    }
}

impl Posture {
    /// Every posture, the usual one first.
    pub const ALL: [Posture; 4] = [
        Posture::StandingUpsideDown,
        Posture::StandingUpright,
        Posture::FlatTopToFence,
        Posture::FlatBottomToFence,
    ];

    /// The posture in words, as files write it.
    pub const fn words(self) -> &'static str {
        match self {
            Posture::StandingUpright => "standing upright",
            Posture::StandingUpsideDown => "standing upside down",
            Posture::FlatTopToFence => "flat top to fence",
            Posture::FlatBottomToFence => "flat bottom to fence",
        }
    }

    /// Whether the board stands on edge with its back on the fence.
    pub const fn stands(self) -> bool {
        matches!(self, Posture::StandingUpright | Posture::StandingUpsideDown)
    }

    /// The posture after turning the board end for end about the line out of its face: left and right swap, and top and
    /// bottom. Turning twice is no turn.
    pub const fn turned(self) -> Posture {
        match self {
            Posture::StandingUpright => Posture::StandingUpsideDown,
            Posture::StandingUpsideDown => Posture::StandingUpright,
            Posture::FlatTopToFence => Posture::FlatBottomToFence,
            Posture::FlatBottomToFence => Posture::FlatTopToFence,
        }
    }

    /// Where at the saw the end lies that is at `installed` on the wall; its own inverse.
    ///
    /// ```
    /// use shared_model::{Posture, Side};
    /// assert_eq!(Posture::StandingUpsideDown.swaps(Side::Left), Side::Right);
    /// assert_eq!(Posture::StandingUpright.swaps(Side::Left), Side::Left);
    /// ```
    pub const fn swaps(self, installed: Side) -> Side {
        match self {
            Posture::StandingUpright | Posture::FlatTopToFence => installed,
            Posture::StandingUpsideDown | Posture::FlatBottomToFence => installed.other(),
        }
    }

    /// What makes the angle in this posture.
    pub const fn by(self) -> By {
        match self.stands() {
            true => By::Swing,
            false => By::Tilt,
        }
    }
}

impl fmt::Display for Posture {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.words())
    }
}

/// What a saw can do, as far as its cuts hang on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct SawHead {
    /// The head slides.
    pub slides: bool,
    /// How far the table swings with its handle to the left; 0: not at all.
    pub swing_left: Angle,
    /// The same to the right.
    pub swing_right: Angle,
    /// How far the blade tilts with its top to the left; 0: not at all.
    pub tilt_left: Angle,
    /// The same to the right.
    pub tilt_right: Angle,
    /// What it really does where its scales read 45.
    pub true_45: True45,
}

/// What a saw really does where its scales read 45, each way, as measured on test cuts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct True45 {
    /// Swung left.
    pub swing_left: Angle,
    /// Swung right.
    pub swing_right: Angle,
    /// Tilted left.
    pub tilt_left: Angle,
    /// Tilted right.
    pub tilt_right: Angle,
}

impl True45 {
    /// A saw whose scales are true; taken where nothing was measured.
    pub const EXACT: True45 = True45 {
        swing_left: FORTY_FIVE,
        swing_right: FORTY_FIVE,
        tilt_left: FORTY_FIVE,
        tilt_right: FORTY_FIVE,
    };
}

const FORTY_FIVE: Angle = Angle::degrees(45);

impl SawHead {
    /// What the scale has to read for a true angle this way: evenly between the square cut, which is set with a square,
    /// and the true 45 as measured. Where that is not 45, rounded to 1/10 degree: no scale is read finer.
    ///
    /// ```
    /// use shared_model::{Angle, By, SawHead, True45, Way};
    /// let swing_left = Angle::read("44.8").unwrap();
    /// let wide = Angle::degrees(60);
    /// let saw = SawHead {
    ///     slides: false, swing_left: wide, swing_right: wide, tilt_left: wide, tilt_right: wide,
    ///     true_45: True45 { swing_left, ..True45::EXACT },
    /// };
    /// assert_eq!(saw.scale(By::Swing, Way::Left, Angle::degrees(45)).to_string(), "45.2");
    /// assert_eq!(saw.scale(By::Swing, Way::Right, Angle::degrees(45)).to_string(), "45");
    /// ```
    pub fn scale(&self, by: By, way: Way, angle: Angle) -> Angle {
        let measured = match (by, way) {
            (_, Way::None) => return angle,
            (By::Swing, Way::Left) => self.true_45.swing_left,
            (By::Swing, Way::Right) => self.true_45.swing_right,
            (By::Tilt, Way::Left) => self.true_45.tilt_left,
            (By::Tilt, Way::Right) => self.true_45.tilt_right,
        };
        match measured == FORTY_FIVE {
            true => angle,
            false => angle.scaled_to_tenths(FORTY_FIVE, measured),
        }
    }

    /// How far the saw goes this way, by its scale.
    pub const fn range(&self, by: By, way: Way) -> Angle {
        match (by, way) {
            (_, Way::None) => Angle::ZERO,
            (By::Swing, Way::Left) => self.swing_left,
            (By::Swing, Way::Right) => self.swing_right,
            (By::Tilt, Way::Left) => self.tilt_left,
            (By::Tilt, Way::Right) => self.tilt_right,
        }
    }
}

/// A cope's plain cut: a part-depth one from above through the plain part of the face, down to where the profile begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PlainCut {
    /// The way of the handle or the blade's top.
    pub way: Way,
    /// The angle from square: the corner's back cut, or 0.
    pub degrees: Angle,
    /// What the saw's scale has to read for it.
    pub scale: Angle,
    /// From the board's upper edge (standing) or its bottom edge (flat) to where the profile begins.
    pub depth: Length,
}

/// One end's cut as it is set at the saw.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SawCut {
    /// The side of the saw at which this end lies.
    pub side: Side,
    /// The joint.
    pub joint: Joint,
    /// How the board rides.
    pub posture: Posture,
    /// What makes the angle.
    pub by: By,
    /// Which way.
    pub way: Way,
    /// How far from square the cut is to be.
    pub degrees: Angle,
    /// What the saw's scale has to read for it: the same on a saw whose scale is true.
    pub scale: Angle,
    /// The cope's plain cut; none where it is no cope or the plain part is cut by hand.
    pub plain: Option<PlainCut>,
}

/// What is set at the saw for the end that is at `installed` on the wall, cut in `posture`.
///
/// `plain_part` is the height of the moulding's plain part below the profile. A saw that does not slide can make the
/// plain cut only from above: standing upside down. A sliding one also lying flat with the top to the fence. Where the
/// saw does not go so far the way of the back cut, the plain part is cut by hand.
///
/// ```
/// use shared_model::{Angle, End, Length, Posture, SawHead, Side, True45, Way, saw_cut};
/// let wide = Angle::degrees(50);
/// let saw = SawHead {
///     slides: false, swing_left: wide, swing_right: wide, tilt_left: wide, tilt_right: wide, true_45: True45::EXACT,
/// };
/// // an installed-left cope, standing upside down: at saw-right, handle to the left
/// let cope = End::Cope { gauge: Angle::RIGHT };
/// let cut = saw_cut(cope, Side::Left, Posture::StandingUpsideDown, Length::sixteenths(72), &saw);
/// assert_eq!((cut.side, cut.way, cut.degrees), (Side::Right, Way::Left, Angle::degrees(45)));
/// assert_eq!(cut.plain.unwrap().depth, Length::sixteenths(72));
/// ```
pub fn saw_cut(
    end: End,
    installed: Side,
    posture: Posture,
    plain_part: Length,
    saw: &SawHead,
) -> SawCut {
    let side = posture.swaps(installed);
    let from_above = match posture {
        Posture::StandingUpsideDown => true,
        Posture::FlatTopToFence => saw.slides,
        Posture::StandingUpright | Posture::FlatBottomToFence => false,
    };
    let by = posture.by();
    let back_cut = end.back_cut();
    let lean = match back_cut == Angle::ZERO {
        true => Lean::Even,
        false => Lean::FaceLonger,
    };
    let plain_way = Way::at(side, lean);
    let plain = PlainCut {
        way: plain_way,
        degrees: back_cut,
        scale: saw.scale(by, plain_way, back_cut),
        depth: plain_part,
    };
    let by_saw = end.joint() == Joint::Cope
        && from_above
        && plain_part > Length::ZERO
        && plain.scale <= saw.range(by, plain.way);
    let way = Way::at(side, end.lean());
    SawCut {
        side,
        joint: end.joint(),
        posture,
        by,
        way,
        degrees: end.setting(),
        scale: saw.scale(by, way, end.setting()),
        plain: by_saw.then_some(plain),
    }
}

/// One of a board's two long lines that a length can run along.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Arris {
    /// Where the back meets the edge.
    Back,
    /// Where the face meets the edge.
    Face,
}

/// What a length ends at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Point {
    /// A square end: both arrises end here.
    Square,
    /// The farther of an angled end's two points.
    Long,
    /// The nearer of an angled end's two points.
    Short,
}

/// The figure to mark on a board: how long, along which arris, from which point to which (installed left and right).
///
/// Tip to tip on the face where both tips are on the face or where there is no back to mark, as on a return's wedge; else
/// along the back, as the tape read the wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Figure {
    /// The length to mark.
    pub length: Length,
    /// The arris that it runs along.
    pub arris: Arris,
    /// What it ends at on the installed left.
    pub left: Point,
    /// What it ends at on the installed right.
    pub right: Point,
    /// From the one end's farthest point to the other's.
    pub overall: Length,
}

impl Figure {
    /// The figure of a board whose back is `back` long, between two ends, `thickness` thick.
    ///
    /// ```
    /// use shared_model::{Angle, Arris, End, Figure, Length, Point};
    /// let miter = End::OutsideMiter { gauge: Angle::RIGHT };
    /// let hooked = Figure::of(Length::inches(20), miter, miter, Length::sixteenths(9));
    /// assert_eq!((hooked.arris, hooked.left, hooked.right), (Arris::Face, Point::Long, Point::Long));
    /// assert_eq!(hooked.length, Length::sixteenths(20 * 16 + 18));
    /// ```
    pub fn of(back: Length, left: End, right: End, thickness: Length) -> Figure {
        let (at_left, at_right) = (left.reach(thickness), right.reach(thickness));
        let beyond = |reach: Length| reach.max(Length::ZERO);
        let overall = back + beyond(at_left) + beyond(at_right);
        let on_face = (at_left > Length::ZERO && at_right > Length::ZERO) || back == Length::ZERO;
        let point = |reach: Length| match (reach.units().signum(), on_face) {
            (0, _) => Point::Square,
            (1, false) => Point::Short,
            _ => Point::Long,
        };
        Figure {
            length: if on_face { overall } else { back },
            arris: if on_face { Arris::Face } else { Arris::Back },
            left: point(at_left),
            right: point(at_right),
            overall,
        }
    }
}

#[cfg(test)]
mod tests;
