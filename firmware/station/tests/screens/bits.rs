//! The panel of one bit as rows of text, two rows of pixels to a line, so that a reviewer sees it: compared with the file in
//! the workspace's `tests/snapshots`. With BASERUN_BLESS=1 in the environment it is written anew.

use std::fmt::Write;
use std::path::Path;

use embedded_graphics::draw_target::DrawTargetExt;
use embedded_graphics::pixelcolor::{BinaryColor, Rgb565};
use embedded_graphics::prelude::*;
use shared_model::{Angle, Caution, Cautions, End, Mark, PieceState, Posture, Side};
use station::screen::{Panel, Screen};
use station::settings::{Setting, Settings};
use station::view::{Banner, MenuRow, PageView, PieceView, StickView, View};
use station::work::Card;

use crate::canvas::Canvas;
use crate::thrown::pieces;
use crate::views::{
    Board, cope, finished, inches, name, outside, page, scrap, shows, without_a_list,
};

/// A view as the panel shows it.
fn drawn(view: &View) -> Canvas {
    let mut canvas = Canvas::new(Panel::TINY);
    let screen = Screen::new(Panel::TINY);
    screen
        .draw(view, &mut canvas.color_converted::<BinaryColor>())
        .expect("memory does not fail");
    canvas
}

/// Half blocks: lit pixels are ink.
fn rows(view: &View) -> String {
    let canvas = drawn(view);
    let lit = |x: i32, y: i32| canvas.at(Point::new(x, y)) == Rgb565::WHITE;
    let mut text = String::new();
    for y in (0..64).step_by(2) {
        let line: String = (0..128)
            .map(|x| match (lit(x, y), lit(x, y + 1)) {
                (true, true) => '█',
                (true, false) => '▀',
                (false, true) => '▄',
                (false, false) => ' ',
            })
            .collect();
        writeln!(text, "|{line}|").expect("a string takes everything");
    }
    text
}

fn coped() -> PieceView {
    let posture = Posture::StandingUpsideDown;
    let mut piece = Board::new("124 3/8", cope(92), outside(90), posture).piece();
    piece.cautions = Cautions::NONE
        .with(Caution::PartDepth)
        .with(Caution::LongPiece);
    piece.stick = StickView::Fresh {
        number: 8,
        length: inches("192"),
        offcut: false,
    };
    piece
}

fn views() -> Vec<(&'static str, View)> {
    let mut views = Vec::new();
    let leaves = [
        "a cope and an outside miter, upside down: what is cut",
        "how it lies",
        "what it comes from, overall",
        "the back, what is minded",
    ];
    for (leaf, title) in (0..).zip(leaves) {
        let mut piece = coped();
        piece.leaf = leaf;
        views.push((title, shows(piece)));
    }
    let mut piece = coped();
    (piece.looking, piece.state) = (true, PieceState::Done);
    piece.left.already = true;
    piece.room = name("Küche");
    views.push(("looking, one end already cut", shows(piece)));
    let bevel = Angle::hundredths(2250);
    let mut piece = Board::new(
        "191 63/64",
        End::ScarfOver { bevel },
        cope(87),
        Posture::StandingUpright,
    )
    .piece();
    (piece.mark, piece.part, piece.parts) = (Mark::SixtyFourth, 2, 2);
    views.push(("the longest fraction, a scarf", shows(piece)));
    let mut piece = coped();
    (piece.figure.length, piece.mark) = (inches("191.9882"), Mark::HalfMillimetre);
    views.push(("half millimetres", shows(piece)));
    let mut question = shows(coped());
    question.banner = Some(Banner::BadStickAsked {
        number: 7,
        pieces: 3,
    });
    views.push(("a question", question));
    let mut held = shows(coped());
    held.banner = Some(Banner::LetGoToTakeBack { number: 11 });
    views.push(("a held pedal", held));
    for (title, banner) in [
        ("started again by itself", Banner::Restarted),
        ("a full memory", Banner::MemoryFull),
        ("damaged presses", Banner::PressesDamaged),
        ("a damaged list", Banner::ListDamaged),
    ] {
        let mut warned = shows(coped());
        warned.banner = Some(banner);
        views.push((title, warned));
    }
    let mut nearly = shows(coped());
    nearly.banner = Some(Banner::MemoryNearlyFull { left: 40 });
    views.push(("a memory nearly full", nearly));
    let [no_list, unreadable, other_program] = without_a_list();
    views.push(("no list", no_list));
    views.push(("a memory that cannot be read", unreadable));
    views.push(("another program's memory", other_program));
    let chosen = MenuRow::Cards;
    views.push(("the menu", page(PageView::Menu { chosen })));
    let (settings, list, chosen) = (Settings::default(), Mark::Sixteenth, Setting::Words);
    let settings = page(PageView::Settings {
        settings,
        list,
        chosen,
    });
    views.push(("the settings", settings));
    let (number, pieces) = (45, 115);
    views.push(("a number", page(PageView::Jump { number, pieces })));
    for (title, card) in [
        ("who decides", Card::Decide),
        ("hands", Card::Hands),
        ("a pair of miters, look", Card::MiterLook),
        ("a pair of miters, figure", Card::MiterFigure),
        ("the kerf", Card::Kerf),
    ] {
        let mark = Mark::Sixteenth;
        views.push((title, page(PageView::Card { card, mark })));
    }
    let test = scrap(outside(90), Posture::StandingUpsideDown, Mark::Sixteenth);
    views.push(("a test cut", test));
    views.push(("a finished list", finished()));
    views
}

#[test]
fn the_small_panel_in_text() {
    let mut text = String::from("128x64 in one bit, two rows of pixels to a line\n");
    for (title, view) in views() {
        write!(text, "\n{title}\n{}", rows(&view)).expect("a string takes everything");
    }
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/snapshots/128x64.txt");
    if std::env::var_os("BASERUN_BLESS").is_some() {
        std::fs::write(&path, text).expect("the folder can be written");
        return;
    }
    let kept = std::fs::read_to_string(&path).unwrap_or_default();
    if kept != text {
        let new = Path::new(env!("CARGO_TARGET_TMPDIR")).join("128x64.new.txt");
        std::fs::write(&new, text).expect("the folder can be written");
        panic!("128x64.txt is not what is drawn now: see {}", new.display());
    }
}

#[test]
fn the_first_leaf_has_length_both_ends_room_and_wall() {
    let screen = Screen::new(Panel::TINY);
    for mut piece in pieces() {
        // longer names and numbers are shortened
        (piece.room, piece.wall, piece.parts, piece.small) = (name("Bed 2"), 12, 1, None);
        let scene = screen
            .scenes(&shows(piece.clone()))
            .next()
            .expect("a scene");
        let texts: Vec<String> = scene
            .items
            .iter()
            .filter_map(|item| match item {
                station::screen::Item::Text { text, .. } => Some(text.to_string()),
                station::screen::Item::Slab { .. } => None,
            })
            .collect();
        let said = texts.join("|");
        assert!(
            texts[0].starts_with("Bed 2 · ") && texts[0].ends_with("12"),
            "{said}"
        );
        let reading = piece.figure.length.on_tape(piece.mark);
        let whole = reading.whole.to_string();
        assert!(
            reading.whole == 0 || texts.contains(&whole),
            "{whole} in {said}"
        );
        if !reading.metric && reading.numerator > 0 {
            assert!(texts.contains(&reading.denominator.to_string()), "{said}");
        }
        let [.., left, right] = texts.as_slice() else {
            panic!("{said}");
        };
        for (end, words, side) in [
            (&piece.left, left, Side::Left),
            (&piece.right, right, Side::Right),
        ] {
            assert!(end.cut.side == side || end.turned);
            if end.already {
                assert_eq!(words, "ALREADY");
                continue;
            }
            let tenths = f64::from(end.cut.degrees.in_hundredths()) / 100.0;
            let joint = end.cut.joint.word().to_uppercase();
            let joint = joint.strip_suffix(" MITER").unwrap_or(&joint);
            let short = match joint {
                "INSIDE" => "IN",
                "OUTSIDE" => "OUT",
                joint => joint,
            };
            assert!(
                words.contains(short) || words.contains("LAP"),
                "{joint} in {said}"
            );
            if let Some(arrow) = match end.cut.way {
                shared_model::Way::Left => Some("←"),
                shared_model::Way::Right => Some("→"),
                shared_model::Way::None => None,
            } {
                assert!(words.contains(arrow), "{arrow} in {said}");
                let figure = format!("{}", (tenths * 10.0).round() / 10.0);
                assert!(
                    words.contains(&figure) || joint == "RETURN",
                    "{figure} in {said}"
                );
            }
        }
    }
}

#[test]
fn the_further_leaves_have_the_rest() {
    let screen = Screen::new(Panel::TINY);
    let said = |leaf| {
        let mut piece = coped();
        piece.leaf = leaf;
        let scene = screen.scenes(&shows(piece)).next().expect("a scene");
        let texts = scene.items.iter().filter_map(|item| match item {
            station::screen::Item::Text { text, .. } => Some(text.to_string()),
            station::screen::Item::Slab { .. } => None,
        });
        texts.collect::<Vec<_>>().join("|")
    };
    for (leaf, words) in [
        (
            1,
            &[
                "2/4",
                "base",
                "top edge down",
                "plain 4 1/2",
                "left: as it lies",
            ][..],
        ),
        (
            2,
            &[
                "stick 8",
                "take 16 ft",
                "back: short to tip",
                "overall 124 15/16",
            ],
        ),
        (
            3,
            &[
                "Bed 2 · wall 3",
                "right end: left on wall",
                "part depth",
                "long board",
            ],
        ),
    ] {
        for word in words {
            assert!(said(leaf).contains(word), "{word} in {}", said(leaf));
        }
    }
}
