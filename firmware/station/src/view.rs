//! What a picture shows, as data: everything the screen module needs and nothing of how it is drawn. Left and right of a
//! board are the saw's here.

use shared_model::{
    Caution, Cautions, Figure, Joint, Length, Mark, Name, PieceState, Posture, Progress, Reason,
    SawCut, Side, SmallPiece,
};

use crate::settings::{BoardWords, Setting, Settings};
use crate::work::Card;

/// All that a picture shows; two equal views are the same picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct View {
    /// What fills the screen.
    pub body: Body,
    /// What is said across it, if anything.
    pub banner: Option<Banner>,
}

/// What fills the screen.
#[derive(Debug, Clone, PartialEq, Eq)]
// one view is held at a time, on the stack or in the station: boxing needs an allocator that a board does not have
#[allow(clippy::large_enum_variant)]
pub enum Body {
    /// There is no list: none has been loaded yet, or it is damaged.
    NoList,
    /// What the station's memory holds cannot be used, and nothing of it is touched.
    NoMemory(NoMemory),
    /// A piece to be cut, or looked at.
    Piece(PieceView),
    /// Nothing is left to cut that has a stick.
    Finished {
        /// The level's name.
        level: Name,
        /// The list's digest.
        digest: u32,
        /// How the list stands.
        progress: Progress,
    },
    /// A page of words, over the piece.
    Page(PageView),
    /// A test cut in scrap, before the list is begun.
    Scrap(ScrapView),
}

/// Why a memory cannot be used. The key for a bad stick, held at the start, gives up what it holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoMemory {
    /// It cannot be read.
    Unreadable,
    /// Another version of the program wrote it.
    OtherProgram,
}

/// A page of words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PageView {
    /// What the menu key offers.
    Menu {
        /// The row that "done" takes.
        chosen: MenuRow,
    },
    /// What can be set.
    Settings {
        /// As it is set.
        settings: Settings,
        /// The list's own tape.
        list: Mark,
        /// The row that "done" changes.
        chosen: Setting,
    },
    /// Which piece to look at.
    Jump {
        /// The number so far, from 1; 0 where only that, or nothing, was typed.
        number: u16,
        /// Pieces in the list.
        pieces: u16,
    },
    /// What is to be known before a list is begun.
    Card {
        /// Which.
        card: Card,
        /// The tape in use.
        mark: Mark,
    },
}

/// What the menu key offers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MenuRow {
    /// Look at a piece by its number.
    Jump,
    /// The settings.
    Settings,
    /// The cards that stand before a list.
    Cards,
    /// Back to the piece.
    Leave,
}

impl MenuRow {
    /// Every row, in order.
    pub const ALL: [MenuRow; 4] = [
        MenuRow::Jump,
        MenuRow::Settings,
        MenuRow::Cards,
        MenuRow::Leave,
    ];
}

/// A test cut in scrap, lying as such pieces of the list do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ScrapView {
    /// The joint that is tested.
    pub joint: Joint,
    /// Which of the test cuts, from 1.
    pub number: u8,
    /// How many there are.
    pub of: u8,
    /// How the scrap lies.
    pub board: BoardView,
}

/// A board as it lies at the saw.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BoardView {
    /// How it rides.
    pub posture: Posture,
    /// The end at the left of the saw.
    pub left: EndView,
    /// The end at the right of the saw.
    pub right: EndView,
    /// The tape's finest mark.
    pub mark: Mark,
    /// How its posture is worded.
    pub words: BoardWords,
    /// A part-depth cut is to be minded.
    pub part_depth: bool,
    /// It is a return's wedge: nothing on its back.
    pub wedge: bool,
}

/// One piece on the screen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PieceView {
    /// The room's name.
    pub room: Name,
    /// The wall's number; 0 where the list names none.
    pub wall: u8,
    /// Which part of the wall, from 1.
    pub part: u8,
    /// How many parts the wall has.
    pub parts: u8,
    /// The small piece that it is, if it is no part of a wall's board.
    pub small: Option<SmallPiece>,
    /// Its place in the list, from 1.
    pub number: u16,
    /// How the list stands.
    pub progress: Progress,
    /// How this piece stands.
    pub state: PieceState,
    /// The piece is only looked at: the place is elsewhere.
    pub looking: bool,
    /// Which leaf of it is up, from 0, on a screen that shows a piece in leaves.
    pub leaf: u8,
    /// The figure to mark. Its left and right are the installed ones; `installed_left` says where they lie.
    pub figure: Figure,
    /// The tape's finest mark.
    pub mark: Mark,
    /// How the board lies: the picture and both columns are drawn for this posture.
    pub posture: Posture,
    /// How its posture is worded.
    pub words: BoardWords,
    /// The side of the saw at which the installed left end lies: the arrow written on the back is to point to that end.
    pub installed_left: Side,
    /// The end at the left of the saw.
    pub left: EndView,
    /// The end at the right of the saw.
    pub right: EndView,
    /// The moulding's name.
    pub moulding: Name,
    /// The moulding differs from that of the piece before it in the list.
    pub new_moulding: bool,
    /// The stick.
    pub stick: StickView,
    /// What to mind.
    pub cautions: Cautions,
    /// What comes after it.
    pub next: Option<NextView>,
}

impl PieceView {
    /// The board alone.
    pub fn board(&self) -> BoardView {
        BoardView {
            posture: self.posture,
            left: self.left,
            right: self.right,
            mark: self.mark,
            words: self.words,
            part_depth: self.cautions.has(Caution::PartDepth),
            wedge: self.small == Some(SmallPiece::Wedge),
        }
    }
}

/// One end of the piece on the screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct EndView {
    /// What is set at the saw. Where `turned`, its side is the one at which the end lies after turning.
    pub cut: SawCut,
    /// The full-depth cut has been made with the piece before: at most a cope's plain cut is still to be made here.
    pub already: bool,
    /// The board is turned for this cut: it then rides as the cut's posture says, and not as the picture shows it.
    /// Mostly end for end; a posture that lies where the picture's stands (or the other way) is laid down or stood up.
    pub turned: bool,
    /// A cope whose plain part is left to the hand saw.
    pub by_hand: bool,
}

/// The stick that the piece comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StickView {
    /// The stick in hand goes on.
    Same {
        /// Its number.
        number: u16,
    },
    /// A fresh stick is taken.
    Fresh {
        /// Its number.
        number: u16,
        /// How long it is.
        length: Length,
        /// It is an offcut in hand.
        offcut: bool,
    },
    /// The plan names none: the piece is cut again from what is left.
    Unplanned,
}

/// The next piece, in small.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NextView {
    /// The length to mark.
    pub length: Length,
    /// The room's name.
    pub room: Name,
    /// The wall's number; 0 where the list names none.
    pub wall: u8,
    /// It begins a fresh stick.
    pub fresh_stick: bool,
}

/// What is said across the picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Banner {
    /// The pedal is held: letting go takes back what was said of the piece with this number.
    LetGoToTakeBack {
        /// Its place in the list, from 1.
        number: u16,
    },
    /// The pedal is held: letting go takes this stick, which was called bad, into use again.
    LetGoToKeepStick {
        /// The stick's number.
        number: u16,
    },
    /// There is nothing to take back.
    NothingToTakeBack,
    /// A foot is parked on the pedal: it is ignored until it lifts.
    PedalParked,
    /// The pedal was closed at power-on: it is ignored until it opens.
    PedalClosedAtStart,
    /// Press again to say that this stick is bad.
    BadStickAsked {
        /// The stick's number.
        number: u16,
        /// How many uncut pieces would wait for a new plan.
        pieces: u16,
    },
    /// The piece with this number is to be cut again, for this reason: stored in a few seconds or with the next "done",
    /// unless taken back.
    CutAgainAsked {
        /// Its place in the list, from 1.
        number: u16,
        /// Why; pressing again goes to the next reason.
        reason: Reason,
    },
    /// What was said last of the piece with this number is taken back, and the place stays where it is.
    TakenBack {
        /// Its place in the list, from 1.
        number: u16,
    },
    /// The pedal is held over a page: letting go goes one step back in it.
    LetGoToGoBack,
    /// No piece of the list has this number.
    NotInList {
        /// The number.
        number: u16,
        /// Pieces in the list.
        pieces: u16,
    },
    /// The settings that were kept cannot be read: the usual ones hold.
    SettingsUnreadable,
    /// The settings could not be kept: they hold until the power goes.
    SettingsNotKept,
    /// The press did nothing: a piece was only being looked at, and the place is back on the screen.
    BackFromLooking,
    /// The press did nothing: the last one is still being stored.
    StillStoring,
    /// The press did nothing: there is no piece to which it could apply.
    NothingToDo,
    /// The memory is nearly full: the host should take the events.
    MemoryNearlyFull {
        /// How many presses fit still.
        left: u32,
    },
    /// The memory is full: no press counts until the host has taken the events.
    MemoryFull,
    /// The press could not be stored and does not count.
    NotStored,
    /// The station has started again by itself after something went wrong in it.
    Restarted,
    /// The saw list was found damaged at the start: there is none until it is loaded again.
    ListDamaged,
    /// Presses that were stored were found damaged at the start: a piece that is cut may not be known to be.
    PressesDamaged,
    /// The host asked which station this is.
    ThisStation,
}
