//! Views to draw: boards with real saw cuts and figures, and everything else that a view can say. Nothing here knows
//! how they are drawn.

use shared_model::{
    Angle, Cautions, End, Figure, Joint, Length, Mark, Name, PieceState, Posture, Progress, Reason,
    SawHead, Side, True45, saw_cut,
};
use station::settings::{BoardWords, Setting, Settings};
use station::view::{
    Banner, BoardView, Body, EndView, MenuRow, NextView, NoMemory, PageView, PieceView, ScrapView,
    StickView, View,
};
use station::work::Card;

/// A board to show, as installed.
#[derive(Debug, Clone)]
pub struct Board {
    pub back: Length,
    pub left: End,
    pub right: End,
    /// The posture of each end's cut, installed left and right.
    pub postures: (Posture, Posture),
    pub saw: SawHead,
}

pub const THICKNESS: Length = Length::sixteenths(9);

pub fn name(text: &str) -> Name {
    Name::try_from(text).expect("a name of at most 40 bytes")
}

pub fn inches(text: &str) -> Length {
    Length::read(text, shared_model::Unit::Inch).expect("a length")
}

pub fn cope(gauge: u16) -> End {
    End::Cope {
        gauge: Angle::degrees(gauge),
    }
}

pub fn outside(gauge: u16) -> End {
    End::OutsideMiter {
        gauge: Angle::degrees(gauge),
    }
}

pub fn inside(gauge: u16) -> End {
    End::InsideMiter {
        gauge: Angle::degrees(gauge),
    }
}

impl Board {
    pub fn new(back: &str, left: End, right: End, posture: Posture) -> Board {
        Board {
            back: inches(back),
            left,
            right,
            postures: (posture, posture),
            saw: SawHead {
                slides: false,
                swing_left: Angle::degrees(50),
                swing_right: Angle::degrees(60),
                tilt_left: Angle::degrees(48),
                tilt_right: Angle::degrees(48),
                true_45: True45::EXACT,
            },
        }
    }

    /// The piece on the screen, as it lies for its installed left end's cut.
    pub fn piece(&self) -> PieceView {
        let shown = self.postures.0;
        let at = |installed: Side| {
            let (end, posture) = match installed {
                Side::Left => (self.left, self.postures.0),
                Side::Right => (self.right, self.postures.1),
            };
            let cut = saw_cut(end, installed, posture, Length::sixteenths(72), &self.saw);
            EndView {
                cut,
                already: false,
                turned: posture != shown,
                by_hand: cut.joint == Joint::Cope && cut.plain.is_none(),
            }
        };
        PieceView {
            room: name("Bed 2"),
            wall: 3,
            small: None,
            part: 1,
            parts: 1,
            number: 12,
            progress: Progress {
                done: 11,
                pieces: 86,
                ..Progress::default()
            },
            state: PieceState::Waiting,
            looking: false,
            leaf: 0,
            figure: Figure::of(self.back, self.left, self.right, THICKNESS),
            mark: Mark::Sixteenth,
            posture: shown,
            words: BoardWords::Edge,
            installed_left: shown.swaps(Side::Left),
            left: at(shown.swaps(Side::Left)),
            right: at(shown.swaps(Side::Right)),
            moulding: name("base"),
            new_moulding: false,
            stick: StickView::Same { number: 7 },
            cautions: Cautions::NONE,
            next: Some(NextView {
                length: inches("88 1/2"),
                room: name("Bed 2"),
                wall: 4,
                fresh_stick: false,
            }),
        }
    }
}

/// A view of a piece, nothing said across it.
pub fn shows(piece: PieceView) -> View {
    View {
        body: Body::Piece(piece),
        banner: None,
    }
}

/// Every banner, with numbers as long as they get.
pub fn banners() -> Vec<Banner> {
    let mut banners = vec![
        Banner::LetGoToTakeBack { number: 512 },
        Banner::LetGoToKeepStick { number: 412 },
        Banner::NothingToTakeBack,
        Banner::PedalParked,
        Banner::PedalClosedAtStart,
        Banner::BadStickAsked {
            number: 412,
            pieces: 12,
        },
        Banner::TakenBack { number: 512 },
        Banner::LetGoToGoBack,
        Banner::NotInList {
            number: 9999,
            pieces: 512,
        },
        Banner::SettingsUnreadable,
        Banner::SettingsNotKept,
        Banner::BackFromLooking,
        Banner::StillStoring,
        Banner::NothingToDo,
        Banner::MemoryNearlyFull { left: 999 },
        Banner::NotStored,
        Banner::Restarted,
        Banner::MemoryFull,
        Banner::ListDamaged,
        Banner::PressesDamaged,
        Banner::ThisStation,
    ];
    banners.extend(Reason::ALL.map(|reason| Banner::CutAgainAsked {
        number: 512,
        reason,
    }));
    banners
}

/// A page of words.
pub fn page(page: PageView) -> View {
    View {
        body: Body::Page(page),
        banner: None,
    }
}

/// A test cut of this end, installed left, and of its mate where it is a miter.
pub fn scrap(end: End, posture: Posture, mark: Mark) -> View {
    let other = match end {
        End::OutsideMiter { .. } => end,
        _ => End::Square,
    };
    let mut piece = Board::new("16", end, other, posture).piece();
    piece.mark = mark;
    View {
        body: Body::Scrap(ScrapView {
            joint: end.joint(),
            number: 1,
            of: 3,
            board: BoardView {
                part_depth: true,
                ..piece.board()
            },
        }),
        banner: None,
    }
}

/// Every page and card, on an inch tape and on a metric one.
pub fn pages() -> Vec<View> {
    let mut all: Vec<View> = MenuRow::ALL
        .map(|chosen| page(PageView::Menu { chosen }))
        .to_vec();
    for list in [Mark::Sixteenth, Mark::HalfMillimetre] {
        for chosen in Setting::ALL {
            let mut settings = Settings::default();
            for _ in 0..5 {
                all.push(page(PageView::Settings {
                    settings,
                    list,
                    chosen,
                }));
                settings = settings.next(chosen, list);
            }
        }
        for card in [
            Card::OldHouse,
            Card::Decide,
            Card::Hands,
            Card::MiterLook,
            Card::MiterFigure,
            Card::Kerf,
        ] {
            all.push(page(PageView::Card { card, mark: list }));
        }
        let bevel = Angle::degrees(45);
        for end in [cope(92), outside(90), End::ScarfOver { bevel }] {
            all.extend(Posture::ALL.map(|posture| scrap(end, posture, list)));
        }
    }
    for number in [0, 7, 115, 9999] {
        let pieces = 512;
        all.push(page(PageView::Jump { number, pieces }));
    }
    all
}

/// What a station says that has no list, and one that cannot use its memory.
pub fn without_a_list() -> [View; 3] {
    [
        Body::NoList,
        Body::NoMemory(NoMemory::Unreadable),
        Body::NoMemory(NoMemory::OtherProgram),
    ]
    .map(|body| View { body, banner: None })
}

/// The finished list.
pub fn finished() -> View {
    View {
        body: Body::Finished {
            level: name("Upper floor"),
            digest: 0x1f0c_22a7,
            progress: Progress {
                done: 83,
                no_stick: 3,
                pieces: 86,
                not_in_list: 2,
                ..Progress::default()
            },
        },
        banner: None,
    }
}
