//! Every text of very many views lies inside its region, on a plain background and clear of every other text, and says
//! what has to be on the screen at all times.

use embedded_graphics::prelude::*;
use embedded_graphics::primitives::Rectangle;
use shared_model::{Caution, End, Length, Mark, Posture, Side, Way};
use station::screen::{Class, Item, Panel, Scene, Screen};
use station::settings::BoardWords;
use station::view::{Body, EndView, StickView, View};

use crate::canvas::Canvas;
use crate::thrown::{Dice, NAMES, PANELS, pieces, thrown};
use crate::views::{
    Board, banners, cope, finished, inches, name, outside, pages, shows, without_a_list,
};

/// The rectangle of a text's ink, and its class and words.
fn boxes(screen: &Screen, scene: &Scene) -> Vec<(Rectangle, Class, String)> {
    let texts = scene.items.iter().filter_map(|item| match item {
        Item::Text {
            at, class, text, ..
        } => Some((at, *class, text)),
        Item::Slab { .. } => None,
    });
    texts
        .map(|(at, class, text)| {
            let face = screen.faces().of(class);
            let (first, last) = face.rows(text);
            let area = Rectangle::new(
                *at + Point::new(0, first),
                Size::new(face.width(text), (last - first) as u32),
            );
            (area, class, text.to_string())
        })
        .filter(|(area, _, _)| !area.is_zero_sized())
        .collect()
}

fn check(canvas: &mut Canvas, screen: &Screen, view: &View) {
    let scenes: Vec<Scene> = screen.scenes(view).collect();
    let mut seen: Vec<(Rectangle, String)> = Vec::new();
    for scene in &scenes {
        let mut bare = scene.clone();
        bare.items.retain(|item| matches!(item, Item::Slab { .. }));
        bare.paint(screen.faces(), canvas)
            .expect("memory does not fail");
        for (area, _, text) in boxes(screen, scene) {
            assert_eq!(
                area.intersection(&scene.area),
                area,
                "{text:?} runs off in {view:?}"
            );
            for (other, words) in &seen {
                let common = area.intersection(other);
                assert!(
                    common.is_zero_sized(),
                    "{text:?} lies on {words:?} in {view:?}"
                );
            }
            let paper = scene.items.iter().find_map(|item| match item {
                Item::Text {
                    text: words, paper, ..
                } if **words == *text => Some(paper.rgb()),
                _ => None,
            });
            let plain = paper.is_some_and(|paper| canvas.is_all(&area, paper));
            assert!(plain, "{text:?} is written over a line in {view:?}");
            seen.push((area, text));
        }
    }
}

#[test]
fn texts_stay_inside_and_apart() {
    for panel in Panel::ALL {
        let (screen, mut canvas) = (Screen::new(panel), Canvas::new(panel));
        for (number, mut piece) in pieces().enumerate() {
            piece.leaf = (number % usize::from(screen.leaves())) as u8;
            check(&mut canvas, &screen, &shows(piece));
        }
    }
}

#[test]
fn banners_and_pages_stay_inside_and_apart() {
    let mut dice = Dice::new(7);
    for panel in Panel::ALL {
        let (screen, mut canvas) = (Screen::new(panel), Canvas::new(panel));
        let piece = thrown(
            &mut dice,
            cope(90),
            outside(90),
            (Posture::StandingUpsideDown, Posture::StandingUpsideDown),
        );
        let mut full = finished();
        if let Body::Finished {
            level, progress, ..
        } = &mut full.body
        {
            *level = name(NAMES[3]);
            (progress.aside, progress.again) = (2, 1);
        }
        let [no_list, ..] = without_a_list();
        for page in pages().into_iter().chain(without_a_list()) {
            check(&mut canvas, &screen, &page);
        }
        let [first, .., last] = &pages()[..] else {
            panic!("pages");
        };
        for mut view in [shows(piece), full, no_list, first.clone(), last.clone()] {
            check(&mut canvas, &screen, &view);
            for banner in banners() {
                view.banner = Some(banner);
                check(&mut canvas, &screen, &view);
            }
        }
    }
}

#[test]
fn the_stations_own_words_are_whole_on_every_panel() {
    for panel in Panel::ALL {
        let screen = Screen::new(panel);
        let said = banners().into_iter().map(|banner| View {
            body: Body::NoList,
            banner: Some(banner),
        });
        for view in pages().into_iter().chain(without_a_list()).chain(said) {
            let words = words(&screen, &view);
            assert!(!words.contains('…'), "{words} on {panel:?}");
        }
    }
}

/// All texts of a view, region by region, joined by spaces.
fn words(screen: &Screen, view: &View) -> String {
    let texts: Vec<String> = screen
        .scenes(view)
        .flat_map(|scene| boxes(screen, &scene))
        .map(|(_, _, text)| text)
        .collect();
    texts.join(" ")
}

fn check_end(words: &str, end: &EndView) {
    if end.already {
        assert!(words.to_lowercase().contains("already cut"), "{words}");
        return;
    }
    let joint = end.cut.joint.word();
    let joint = joint.strip_suffix(" miter").unwrap_or(joint);
    assert!(words.to_lowercase().contains(joint), "{joint} in {words}");
    if end.cut.way != Way::None {
        let arrow = if end.cut.way == Way::Left {
            "←"
        } else {
            "→"
        };
        assert!(
            words.contains(arrow) && words.contains(end.cut.way.word()),
            "{words}"
        );
    }
    assert!(words.contains('°'), "{words}");
}

#[test]
fn what_has_to_be_on_the_screen_is_on_it() {
    for panel in PANELS {
        let screen = Screen::new(panel);
        for piece in pieces() {
            let scenes: Vec<Scene> = screen.scenes(&shows(piece.clone())).collect();
            let region = |index: usize| {
                let texts = boxes(&screen, &scenes[index]).into_iter();
                texts.map(|(_, _, text)| text).collect::<Vec<_>>().join(" ")
            };
            let (title, figure, foot) = (region(0), region(1), region(4));
            check_end(&region(2), &piece.left);
            check_end(&region(3), &piece.right);

            assert!(!title.contains(['←', '→']), "{title}");
            let tag = boxes(&screen, &scenes[0])
                .into_iter()
                .find(|(_, _, text)| text == "on wall" || text == "left on the wall");
            let (tag, ..) = tag.expect("which end is the left one on the wall");
            let at_left = tag.center().x < panel.width as i32 / 2;
            assert_eq!(at_left, piece.installed_left == Side::Left, "{title}");
            if piece.wall > 0 {
                assert!(title.contains(&piece.wall.to_string()), "{title}");
            }
            let first = piece.room.chars().next().expect("a name");
            assert!(title.contains(first), "{title}");

            let reading = piece.figure.length.on_tape(piece.mark);
            if reading.whole > 0 {
                assert!(figure.contains(&reading.whole.to_string()), "{figure}");
            }
            assert!(figure.contains(&piece.number.to_string()), "{figure}");
            match piece.stick {
                StickView::Same { number } => assert!(figure.contains(&number.to_string())),
                StickView::Fresh { number, .. } => assert!(figure.contains(&number.to_string())),
                StickView::Unplanned => assert!(figure.contains("recut"), "{figure}"),
            }

            let edge = match piece.posture {
                Posture::StandingUpright => ["bottom", "right way up"],
                Posture::FlatBottomToFence => ["bottom", "top to"],
                Posture::StandingUpsideDown => ["top", "upside down"],
                Posture::FlatTopToFence => ["top", "top away"],
            };
            let own = piece.words == BoardWords::Board && foot.contains(edge[1]);
            assert!(foot.contains(edge[0]) || own, "{edge:?} in {foot}");
            assert!(foot.contains("back") || foot.contains("face"), "{foot}");
            for end in [&piece.left, &piece.right] {
                if let Some(plain) = end.cut.plain {
                    let depth = plain.depth.on_tape(piece.mark).to_string();
                    assert!(foot.contains(&depth), "{depth} in {foot}");
                }
                let ends = [&piece.left, &piece.right];
                let alone = !end.turned && ends.iter().filter(|end| has_words(end)).count() == 1;
                assert!(!end.by_hand || !alone || foot.contains("by hand"), "{foot}");
                let other_kind = end.cut.posture.stands() != piece.posture.stands();
                if end.turned && !end.already {
                    let sign = match (other_kind, piece.posture.stands()) {
                        (false, _) => "TURN",
                        (true, true) => "FLAT",
                        (true, false) => "STAND",
                    };
                    assert!(foot.contains(sign), "{sign} in {foot}");
                }
            }
            if piece.looking {
                assert!(foot.contains("looking only"), "{foot}");
                continue;
            }
            let overall = piece.figure.overall.on_tape(piece.mark);
            if overall != piece.figure.length.on_tape(piece.mark) {
                assert!(foot.contains(&overall.to_string()), "{overall} in {foot}");
            }
            match &piece.next {
                Some(next) => {
                    let length = next.length.on_tape(piece.mark);
                    let words = match next.fresh_stick {
                        true => "next NEW STICK".to_owned(),
                        false => format!("next {length}"),
                    };
                    assert!(foot.contains(&words), "{foot}");
                }
                None => assert!(foot.contains("last piece"), "{foot}"),
            }
        }
    }
}

/// Whether words about this end stand in the picture.
fn has_words(end: &EndView) -> bool {
    end.turned || end.by_hand || end.cut.plain.is_some()
}

#[test]
fn the_gravest_caution_always_has_words() {
    let short = |caution| match caution {
        Caution::ShortPiece => "clamp it",
        Caution::ShortHold => "short hold",
        Caution::LongPiece => "long board",
        Caution::NearSawLimit => "near limit",
        Caution::FenceClear => "fence clear",
        Caution::PartDepth => "part depth",
        Caution::TallBoard => "tall board",
        Caution::ReturnWedge => "wedge",
        Caution::LeadPaint => "lead paint",
    };
    for panel in PANELS {
        let screen = Screen::new(panel);
        for piece in pieces().filter(|piece| !piece.looking) {
            let words = words(&screen, &shows(piece.clone()));
            // the plain cut's own words stand for its caution
            let by_saw = words
                .replace("plain part by hand", "")
                .replace("plain by hand", "");
            let plain = by_saw.contains("plain");
            let mut cautions = piece.cautions.iter();
            let first = cautions.find(|&caution| !(plain && caution == Caution::PartDepth));
            if let Some(first) = first {
                let shown = words.contains(first.words()) || words.contains(short(first));
                assert!(shown, "{first:?} in {words}");
            }
        }
    }
}

#[test]
fn every_length_of_a_stick_is_shown_in_the_largest_digits() {
    for panel in PANELS {
        let screen = Screen::new(panel);
        let posture = Posture::StandingUpsideDown;
        let mut piece = Board::new("96", cope(90), End::Square, posture).piece();
        for (length, mark) in [
            (inches("191 63/64"), Mark::SixtyFourth),
            (inches("999 63/64"), Mark::SixtyFourth),
            (Length::from_units(9999 * 640 + 320), Mark::HalfMillimetre),
        ] {
            (piece.figure.length, piece.mark) = (length, mark);
            let scenes: Vec<Scene> = screen.scenes(&shows(piece.clone())).collect();
            let whole = length.on_tape(mark).whole.to_string();
            let drawn = boxes(&screen, &scenes[1]);
            assert!(
                drawn
                    .iter()
                    .any(|(_, class, text)| *class == Class::Number && *text == whole)
            );
        }
    }
}

#[test]
fn the_left_of_the_saw_is_the_left_of_the_screen() {
    for panel in PANELS {
        let screen = Screen::new(panel);
        for posture in Posture::ALL {
            let piece = Board::new("96", cope(90), outside(90), posture).piece();
            let scenes: Vec<Scene> = screen.scenes(&shows(piece)).collect();
            let column = |index: usize| {
                let (area, _, text) = boxes(&screen, &scenes[index]).remove(0);
                (area.center().x, text.to_lowercase())
            };
            let (left, right) = (column(2), column(3));
            assert!(left.0 < right.0);
            // the installed left end lies at saw-left where the bottom is down or the top at the fence
            let installed = posture.swaps(Side::Left) == Side::Left;
            let coped = if installed { &left.1 } else { &right.1 };
            assert!(
                coped.contains("cope") || coped.contains('←') || coped.contains('→'),
                "{coped}"
            );
            assert_eq!(left.1.contains("outside"), !installed);
        }
    }
}

/// A direction: to the right, up, toward whoever looks.
type Way3 = [i32; 3];

/// Where a board's installed left end points whose top and face point so: left is face x top, as it is on the wall.
fn left_end(top: Way3, face: Way3) -> Way3 {
    let across = |a: usize, b: usize| face[a] * top[b] - face[b] * top[a];
    [across(1, 2), across(2, 0), across(0, 1)]
}

/// A board is turned and never mirrored, so two of its directions give the third. On the sheet the arrow points to the
/// right, the back being seen with the bottom edge down; the screen names an end by its side of the saw.
#[test]
fn screen_and_sheet_name_the_same_end_whichever_way_the_board_lay() {
    let (left, right, up, down) = ([-1, 0, 0], [1, 0, 0], [0, 1, 0], [0, -1, 0]);
    let (toward, away) = ([0, 0, 1], [0, 0, -1]);
    assert_eq!(left_end(up, toward), left, "on the wall");
    assert_eq!(left_end(up, away), right, "seen from behind, bottom down");
    for (posture, top, face) in [
        (Posture::StandingUpright, up, toward),
        (Posture::StandingUpsideDown, down, toward),
        (Posture::FlatTopToFence, away, up),
        (Posture::FlatBottomToFence, toward, up),
    ] {
        for panel in PANELS {
            let screen = Screen::new(panel);
            let piece = Board::new("96", cope(90), End::Square, posture).piece();
            let scenes: Vec<Scene> = screen.scenes(&shows(piece)).collect();
            let drawn = boxes(&screen, &scenes[0]).into_iter();
            let tags: Vec<i32> = drawn
                .filter(|(_, _, text)| text.ends_with("wall"))
                .map(|(area, ..)| area.center().x - panel.width as i32 / 2)
                .collect();
            assert_eq!(tags.len(), 1);
            let at = if tags[0] < 0 { left } else { right };
            assert_eq!(at, left_end(top, face), "{posture:?} on {panel:?}");
        }
    }
}
