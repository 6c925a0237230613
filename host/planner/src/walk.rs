//! What comes in: a walk (rooms as measured) or a cut list, with the saw and the stock. How they are written in a file is
//! left to the host; every length is exact, every angle in degrees.

use shared_model::{Angle, End, Joint, Length, Mark, Posture, SawHead, Side, True45, Unit};

use crate::cautions::SHORT_PIECE;

/// What a file holds.
#[derive(Debug, Clone, PartialEq)]
pub enum Sheet {
    /// Rooms as measured; the joints are decided here.
    Walk(Walk),
    /// Pieces whose ends somebody has decided already.
    CutList(CutList),
}

impl Sheet {
    /// Level, saw and stock.
    pub const fn setup(&self) -> &Setup {
        match self {
            Sheet::Walk(walk) => &walk.setup,
            Sheet::CutList(list) => &list.setup,
        }
    }
}

/// What walk and cut list have in common.
#[derive(Debug, Clone, PartialEq)]
pub struct Setup {
    /// The level's name.
    pub level: String,
    /// The unit of the file's numbers: inches or millimetres.
    pub unit: Unit,
    /// The finest mark of the tape on which lengths are shown to people.
    pub mark: Mark,
    /// The saw.
    pub saw: Saw,
    /// The mouldings and what there is of each.
    pub mouldings: Vec<MouldingStock>,
    /// The house is so old that its paint may hold lead.
    pub old_house: bool,
}

/// Rooms as measured, and how the carpenter works.
#[derive(Debug, Clone, PartialEq)]
pub struct Walk {
    /// Level, saw and stock.
    pub setup: Setup,
    /// Which way the rooms are walked.
    pub direction: Direction,
    /// The installed end that is coped at an inside corner.
    pub cope: Side,
    /// Inside corners wider than this are mitered.
    pub cope_up_to: Angle,
    /// A wall shorter than this is not coped where its neighbours can be coped over it; 0: every wall may be.
    pub cope_least: Length,
    /// What is left open between a board and each casing that it meets.
    pub casing_gap: Length,
    /// What is added to pieces between two walls, by length.
    pub spring: Vec<Spring>,
    /// How walls longer than a stick are joined.
    pub scarf: ScarfRule,
    /// How far the readings may be out.
    pub accuracy: Accuracy,
    /// The rooms.
    pub rooms: Vec<Room>,
}

/// Which way the rooms are walked, seen from above.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Direction {
    /// Left to right along every wall faced.
    Clockwise,
    /// Right to left along every wall faced.
    CounterClockwise,
}

impl Direction {
    /// The installed side at which a wall ends in walking order.
    pub const fn ahead(self) -> Side {
        match self {
            Direction::Clockwise => Side::Right,
            Direction::CounterClockwise => Side::Left,
        }
    }
}

/// Pieces between two walls that are longer than `over` are lengthened by `add` and sprung in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Spring {
    /// The length above which this holds.
    pub over: Length,
    /// What is added.
    pub add: Length,
}

/// How walls longer than a stick are joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ScarfRule {
    /// The bevel, from square.
    pub bevel: Angle,
    /// Stud spacing from one end of the wall; none: anywhere.
    pub stud: Option<Length>,
    /// The installed end from which the studs are known.
    pub from: Side,
    /// The shortest part.
    pub least: Length,
}

/// How far the readings may be out, as far as the carpenter knows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Accuracy {
    /// What lengths are taken with; none: a tape of the kind whose marks are used.
    pub with: Option<Measure>,
    /// The standard deviation of a corner that was only called square.
    pub corners: Angle,
    /// How far an angle finder's reading is out at most.
    pub gauge: Angle,
}

impl Default for Accuracy {
    /// A quarter of a degree for corners called square, half a degree for a gauge.
    fn default() -> Accuracy {
        Accuracy {
            with: None,
            corners: Angle::hundredths(25),
            gauge: Angle::hundredths(50),
        }
    }
}

/// What lengths are taken with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measure {
    /// A tape within the American tolerance.
    UsTape,
    /// A tape of European class I.
    ClassI,
    /// A tape of European class II.
    ClassII,
    /// A tape of European class III.
    ClassIII,
    /// A laser good to 1/16 in.
    Laser,
}

/// What the saw can do and how it is set up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Saw {
    /// The posture asked for; none: whichever is best.
    pub posture: Option<Posture>,
    /// The tallest board that it takes on edge.
    pub standing_height: Length,
    /// The widest board that it takes lying flat.
    pub flat_width: Length,
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
    /// The widest back cut that is made (`End::back_cut`); a corner that wants more is told.
    pub back_cut_up_to: Angle,
    /// The head slides.
    pub slides: bool,
    /// The width of wood that a square cut turns to dust.
    pub kerf: Length,
    /// What is cut off a factory end.
    pub end_trim: Length,
    /// The side of the saw at which the uncut stick lies.
    pub stock_side: Side,
    /// When a piece is short, and what must then be left to hold.
    pub hold: HoldRule,
}

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

impl Default for Saw {
    /// A common one on a low stand, as it is taken where a file does not say otherwise.
    fn default() -> Saw {
        Saw {
            posture: Some(Posture::StandingUpsideDown),
            standing_height: Length::sixteenths(6 * 16 + 8),
            flat_width: Length::inches(12),
            swing_left: Angle::degrees(50),
            swing_right: Angle::degrees(60),
            tilt_left: Angle::degrees(48),
            tilt_right: Angle::degrees(48),
            true_45: True45::EXACT,
            back_cut_up_to: Angle::degrees(5),
            slides: false,
            kerf: Length::sixteenths(2),
            end_trim: Length::sixteenths(8),
            stock_side: Side::Left,
            hold: HoldRule::USUAL,
        }
    }
}

impl Saw {
    /// What its cuts hang on.
    pub const fn head(&self) -> SawHead {
        SawHead {
            slides: self.slides,
            swing_left: self.swing_left,
            swing_right: self.swing_right,
            tilt_left: self.tilt_left,
            tilt_right: self.tilt_right,
            true_45: self.true_45,
        }
    }
}

/// A moulding and what there is of it.
#[derive(Debug, Clone, PartialEq)]
pub struct MouldingStock {
    /// Its name.
    pub name: String,
    /// From bottom edge to top edge.
    pub height: Length,
    /// From back to face.
    pub thickness: Length,
    /// The height of the shaped part at the top; 0 on square-edged stock.
    pub profile: Length,
    /// The lengths in which it is bought.
    pub sticks: Vec<StickKind>,
    /// Offcuts in hand; free.
    pub offcuts: Vec<Length>,
}

impl MouldingStock {
    /// The height of the plain part below the profile.
    pub fn plain_part(&self) -> Length {
        self.height - self.profile
    }
}

/// A length in which a moulding is bought.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StickKind {
    /// How long.
    pub length: Length,
    /// What one costs, in the price's own unit; none: cost goes by length.
    pub price: Option<Price>,
    /// How many there are; none: as many as needed.
    pub count: Option<u32>,
}

/// An exact price: a count of ten-thousandths of the money's unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Price(pub i64);

/// A room, a run, or a column standing in a room.
#[derive(Debug, Clone, PartialEq)]
pub struct Room {
    /// Its name.
    pub name: String,
    /// The moulding, as a place in [`Setup::mouldings`].
    pub moulding: usize,
    /// The last item meets the first.
    pub closed: bool,
    /// A column, an island or the end of a half wall: its corners are all outside, and it is walked with the wall on the
    /// same hand.
    pub island: bool,
    /// The opening by which people come in, as a number among the room's openings from 0.
    pub entry: usize,
    /// The outline in walking order.
    pub outline: Vec<Item>,
    /// Diagonals taken as a check.
    pub diagonals: Vec<Diagonal>,
}

/// One stretch of a room's outline and the corner at which it ends in walking order.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Item {
    /// What it is.
    pub stretch: Stretch,
    /// The corner at its end; none: the next stretch goes straight on.
    pub corner: Option<Corner>,
    /// The radius of the rounding, where that corner is a rounded outside one.
    pub radius: Option<Length>,
    /// The joint forced at its installed left end.
    pub left: Option<Joint>,
    /// The joint forced at its installed right end.
    pub right: Option<Joint>,
}

/// What a stretch of outline is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stretch {
    /// A wall that gets board.
    Wall(Length),
    /// Anything that stops board; none where its width was not taken.
    Opening(Option<Length>),
    /// A wall whose board hangs already.
    Existing(Length),
}

/// A corner, with the angle that an angle finder reads in or on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Corner {
    /// Inside or outside.
    pub turn: Turn,
    /// The gauge angle.
    pub gauge: Angle,
}

/// The two kinds of corner.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turn {
    /// The walls close in on the room.
    Inside,
    /// The walls open away from it.
    Outside,
}

/// A length taken across a room between two corners, numbered by the item they follow; 0 is where the walk begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Diagonal {
    /// From this corner.
    pub from: usize,
    /// To this one.
    pub to: usize,
    /// How long.
    pub length: Length,
}

/// Pieces whose ends somebody has decided already.
#[derive(Debug, Clone, PartialEq)]
pub struct CutList {
    /// Level, saw and stock.
    pub setup: Setup,
    /// The pieces, as installed.
    pub pieces: Vec<ListedPiece>,
}

/// A piece of a cut list.
#[derive(Debug, Clone, PartialEq)]
pub struct ListedPiece {
    /// The room's name.
    pub room: String,
    /// The wall's number, if one is given.
    pub wall: Option<u32>,
    /// The moulding, as a place in [`Setup::mouldings`].
    pub moulding: usize,
    /// Along the back.
    pub length: Length,
    /// The installed left end.
    pub left: End,
    /// The installed right end.
    pub right: End,
}
