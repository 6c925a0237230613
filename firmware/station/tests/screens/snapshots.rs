//! Screens as PNG files in the workspace's `tests/snapshots`, compared pixel for pixel. With BASERUN_BLESS=1 in the
//! environment they are written anew; look at them before they are committed.

use std::path::{Path, PathBuf};

use shared_model::{Caution, Cautions, End, Length, Mark, PieceState, Posture, SmallPiece};
use station::screen::{Panel, Screen};
use station::settings::{BoardWords, Setting, Settings};
use station::view::{Banner, Body, MenuRow, PageView, PieceView, StickView, View};
use station::work::Card;

use crate::canvas::{Canvas, read_png};
use crate::thrown::PANELS;
use crate::views::{
    Board, cope, finished, inside, name, outside, page, scrap, shows, without_a_list,
};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/snapshots")
}

fn compare(picture: &str, panel: Panel, view: &View) {
    let mut canvas = Canvas::new(panel);
    Screen::new(panel)
        .draw(view, &mut canvas)
        .expect("memory does not fail");
    let file = format!("{picture}-{}x{}.png", panel.width, panel.height);
    let path = folder().join(&file);
    if std::env::var_os("BASERUN_BLESS").is_some() {
        canvas.write_png(&path);
        return;
    }
    let size = (panel.width, panel.height);
    let same = read_png(&path)
        .is_some_and(|(read, pixels)| (read.width, read.height) == size && pixels == canvas.rgb());
    if !same {
        let new = Path::new(env!("CARGO_TARGET_TMPDIR")).join(file.replace(".png", ".new.png"));
        canvas.write_png(&new);
        panic!("{file} is not what is drawn now: see {}", new.display());
    }
}

fn both(picture: &str, view: &View) {
    compare(picture, Panel::SMALL, view);
    compare(picture, Panel::WIDE, view);
}

fn everywhere(picture: &str, view: &View) {
    for panel in PANELS {
        compare(picture, panel, view);
    }
}

/// The usual piece: cope on the installed left, upside down, so at saw-right.
fn coped() -> PieceView {
    let mut piece = Board::new(
        "124 3/8",
        cope(90),
        End::Square,
        Posture::StandingUpsideDown,
    )
    .piece();
    piece.cautions = Cautions::NONE.with(Caution::PartDepth);
    piece
}

#[test]
fn cope_upside_down() {
    everywhere("cope-upside-down", &shows(coped()));
}

#[test]
fn outside_to_outside() {
    let mut piece =
        Board::new("22 1/2", outside(90), outside(90), Posture::StandingUpright).piece();
    piece.room = name("Living room");
    piece.wall = 11;
    piece.cautions = Cautions::NONE.with(Caution::LongPiece);
    piece.stick = StickView::Fresh {
        number: 8,
        length: Length::inches(192),
        offcut: false,
    };
    both("outside-to-outside", &shows(piece));
}

#[test]
fn flat_with_a_turn() {
    let mut board = Board::new(
        "191 63/64",
        outside(90),
        inside(135),
        Posture::FlatTopToFence,
    );
    board.postures.1 = Posture::FlatBottomToFence;
    let mut piece = board.piece();
    piece.mark = Mark::SixtyFourth;
    piece.cautions = Cautions::NONE
        .with(Caution::FenceClear)
        .with(Caution::LongPiece);
    piece.moulding = name("tall base");
    piece.new_moulding = true;
    piece.stick = StickView::Fresh {
        number: 31,
        length: Length::inches(192),
        offcut: false,
    };
    everywhere("flat-with-a-turn", &shows(piece));
}

#[test]
fn already_cut() {
    let mut piece =
        Board::new("61 1/4", cope(92), outside(90), Posture::StandingUpsideDown).piece();
    piece.left.already = true;
    piece.cautions = Cautions::NONE
        .with(Caution::PartDepth)
        .with(Caution::ShortHold);
    both("already-cut", &shows(piece));
}

#[test]
fn scarf_of_a_long_wall() {
    let bevel = shared_model::Angle::degrees(45);
    let mut piece = Board::new(
        "138 5/16",
        End::ScarfOver { bevel },
        cope(87),
        Posture::StandingUpright,
    )
    .piece();
    (piece.part, piece.parts) = (2, 2);
    piece.room = name("Great room");
    piece.cautions = Cautions::NONE.with(Caution::LongPiece);
    both("scarf", &shows(piece));
}

#[test]
fn bay_in_millimetres() {
    let mut piece = Board::new(
        "10' 4 3/8",
        inside(135),
        outside(135),
        Posture::StandingUpright,
    )
    .piece();
    piece.figure.length = Length::from_units(4876 * 640 + 320);
    piece.figure.overall = Length::from_units(4882 * 640);
    piece.mark = Mark::HalfMillimetre;
    piece.room = name("Küche");
    piece.stick = StickView::Fresh {
        number: 14,
        length: Length::millimetres(4900),
        offcut: false,
    };
    both("bay-in-millimetres", &shows(piece));
}

#[test]
fn return_at_an_open_end() {
    let mut piece = Board::new("6 3/4", cope(90), End::Return, Posture::StandingUpsideDown).piece();
    piece.cautions = Caution::ALL
        .into_iter()
        .fold(Cautions::NONE, |set, caution| set.with(caution));
    piece.stick = StickView::Fresh {
        number: 40,
        length: shared_model::Length::sixteenths(61 * 16 + 4),
        offcut: true,
    };
    piece.next = None;
    both("return-and-cautions", &shows(piece));
}

#[test]
fn the_wedge_of_a_return() {
    let mut piece = Board::new("0", End::Return, End::Square, Posture::StandingUpsideDown).piece();
    (piece.part, piece.parts, piece.small) = (0, 0, Some(SmallPiece::Wedge));
    piece.cautions = Cautions::NONE
        .with(Caution::ShortPiece)
        .with(Caution::ReturnWedge);
    both("wedge", &shows(piece));
}

#[test]
fn looking_at_another() {
    let mut piece = coped();
    piece.looking = true;
    piece.state = PieceState::Done;
    both("looking", &shows(piece));
}

#[test]
fn a_question_over_a_piece() {
    let mut view = shows(coped());
    view.banner = Some(Banner::BadStickAsked {
        number: 7,
        pieces: 3,
    });
    both("question", &view);
}

#[test]
fn a_held_pedal() {
    let mut view = shows(coped());
    view.banner = Some(Banner::LetGoToTakeBack { number: 11 });
    compare("held-pedal", Panel::SMALL, &view);
}

#[test]
fn warnings_over_a_piece() {
    let mut view = shows(coped());
    for (name, banner) in [
        ("restarted", Banner::Restarted),
        ("memory-nearly-full", Banner::MemoryNearlyFull { left: 40 }),
        ("memory-full", Banner::MemoryFull),
        ("memory-damaged", Banner::PressesDamaged),
        ("settings-not-kept", Banner::SettingsNotKept),
    ] {
        view.banner = Some(banner);
        both(name, &view);
    }
}

#[test]
fn finished_list() {
    both("finished", &finished());
}

#[test]
fn no_list() {
    let [mut no_list, unreadable, other_program] = without_a_list();
    compare("no-list", Panel::SMALL, &no_list);
    no_list.banner = Some(Banner::ListDamaged);
    both("list-damaged", &no_list);
    both("memory-unreadable", &unreadable);
    both("memory-of-another-program", &other_program);
}

#[test]
fn the_menu() {
    let chosen = MenuRow::Jump;
    both("menu", &page(PageView::Menu { chosen }));
}

#[test]
fn the_settings() {
    let view = |settings, list, chosen| {
        page(PageView::Settings {
            settings,
            list,
            chosen,
        })
    };
    let usual = Settings::default();
    everywhere("settings", &view(usual, Mark::Sixteenth, Setting::Unit));
    let metric = usual
        .next(Setting::Unit, Mark::Sixteenth)
        .next(Setting::Unit, Mark::Sixteenth);
    let chosen = metric.next(Setting::Words, Mark::Sixteenth);
    let view = view(chosen, Mark::Sixteenth, Setting::Light);
    compare("settings-chosen", Panel::SMALL, &view);
}

#[test]
fn a_number_typed_and_one_that_is_not_in_the_list() {
    let (number, pieces) = (45, 115);
    let mut view = page(PageView::Jump { number, pieces });
    both("jump", &view);
    let number = 451;
    view.body = Body::Page(PageView::Jump { number, pieces });
    view.banner = Some(Banner::NotInList { number, pieces });
    compare("jump-not-in-list", Panel::SMALL, &view);
}

#[test]
fn the_cards_before_a_list() {
    for (name, card) in [
        ("card-old-house", Card::OldHouse),
        ("card-decide", Card::Decide),
        ("card-hands", Card::Hands),
        ("card-miter-look", Card::MiterLook),
        ("card-miter-figure", Card::MiterFigure),
        ("card-kerf", Card::Kerf),
    ] {
        let mark = Mark::Sixteenth;
        both(name, &page(PageView::Card { card, mark }));
        let mark = Mark::Millimetre;
        let name = format!("{name}-metric");
        if card != Card::OldHouse && card != Card::Decide && card != Card::MiterLook {
            compare(&name, Panel::SMALL, &page(PageView::Card { card, mark }));
        }
    }
}

#[test]
fn the_test_cuts() {
    let mark = Mark::Sixteenth;
    let down = Posture::StandingUpsideDown;
    both("test-cope", &scrap(cope(90), down, mark));
    both("test-miter", &scrap(outside(90), down, mark));
    let bevel = shared_model::Angle::degrees(45);
    let flat = Posture::FlatTopToFence;
    both("test-scarf", &scrap(End::ScarfOver { bevel }, flat, mark));
}

#[test]
fn a_board_told_by_how_it_lies() {
    let mut piece = coped();
    piece.words = BoardWords::Board;
    compare("board-words", Panel::SMALL, &shows(piece));
}

#[test]
fn plain_part_by_hand_and_a_new_stick_next() {
    let board = Board::new("124 3/8", cope(90), End::Square, Posture::FlatTopToFence);
    let mut piece = board.piece();
    piece.cautions = Cautions::NONE.with(Caution::LongPiece);
    if let Some(next) = &mut piece.next {
        next.fresh_stick = true;
    }
    both("plain-part-by-hand", &shows(piece));
}
