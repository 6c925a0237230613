//! A test cut in scrap: its name, what to cut and what to look at. The ends and the board's picture are drawn as a piece's
//! are, by the regions' own modules.

use embedded_graphics::prelude::*;
use embedded_graphics::primitives::Rectangle;
use shared_model::{Angle, Joint, Mark};

use super::layout::over_line;
use super::scene::{BLACK_ON_WHITE, Line, Scene, WHITE_ON_BLACK, line};
use super::words::{fitting, shortened};
use super::{Class, Screen};
use crate::view::ScrapView;

/// The top region.
pub(super) fn title(screen: &Screen, area: Rectangle, scrap: &ScrapView) -> Scene {
    let mut scene = Scene::new(area, WHITE_ON_BLACK.1);
    let face = screen.face(Class::Title);
    let margin = screen.margin();
    let rows = (face.over_cap() + face.cap_height() + face.below()) as i32;
    let top = area.top_left.y + face.over_cap() as i32 + (area.size.height as i32 - rows) / 2;
    let text = fitting(face, area.size.width as i32 - 2 * margin, &names(scrap));
    scene.text(Point::new(margin, top), Class::Title, &text, WHITE_ON_BLACK);
    scene
}

/// The region where a piece has its length: what to cut.
pub(super) fn words(screen: &Screen, area: Rectangle, scrap: &ScrapView) -> Scene {
    let mut scene = Scene::new(area, BLACK_ON_WHITE.1);
    let face = screen.face(Class::Title);
    let margin = screen.margin();
    let pitch = (face.cap_height() + face.below()) as i32 + over_line(face) + 1;
    let spare = area.size.height as i32 - 2 * pitch;
    let mut y = area.top_left.y + spare / 2 + over_line(face);
    for text in to_cut(scrap) {
        let text = shortened(face, area.size.width as i32 - 2 * margin, &text);
        scene.text(Point::new(margin, y), Class::Title, &text, BLACK_ON_WHITE);
        y += pitch;
    }
    scene
}

/// Two lines of notes under the board's picture: what to look at.
pub(super) fn notes(
    screen: &Screen,
    scene: &mut Scene,
    scrap: &ScrapView,
    (first, second, _): (i32, i32, bool),
) {
    let face = screen.face(Class::Notes);
    let margin = screen.margin();
    let room = scene.area.size.width as i32 - 2 * margin;
    for (forms, y) in to_look_at(scrap).into_iter().zip([first, second]) {
        let forms = forms.map(|form| line(format_args!("{form}")));
        let text = fitting(face, room, &forms);
        scene.text(Point::new(margin, y), Class::Notes, &text, BLACK_ON_WHITE);
    }
}

/// `Test 1 of 2: cope` and shorter forms of it.
pub(super) fn names(scrap: &ScrapView) -> [Line; 2] {
    let ScrapView {
        joint, number, of, ..
    } = scrap;
    [
        line(format_args!("Test {number} of {of}: {joint}")),
        line(format_args!("Test {number}: {joint}")),
    ]
}

/// What to cut, in two lines.
pub(super) fn to_cut(scrap: &ScrapView) -> [Line; 2] {
    let long = scrap_length(scrap.joint, scrap.board.mark);
    match scrap.joint {
        Joint::OutsideMiter => [
            line(format_args!("{long} scrap: both")),
            line(format_args!("ends, then in two")),
        ],
        Joint::Scarf => [
            line(format_args!("{long} scrap: cut it")),
            line(format_args!("in two, lap the parts")),
        ],
        _ => [
            line(format_args!("{long} scrap: one end")),
            line(format_args!("as here, then coped")),
        ],
    }
}

/// What to cut, in one short line.
pub(super) fn to_cut_in_short(scrap: &ScrapView) -> Line {
    let long = scrap_length(scrap.joint, scrap.board.mark);
    let words = match scrap.joint {
        Joint::OutsideMiter => "both, in two",
        Joint::Scarf => "cut it in two",
        _ => "cope one end",
    };
    line(format_args!("{long}: {words}"))
}

/// Long enough for hands well off the blade, and for two parts that may be held.
const fn scrap_length(joint: Joint, mark: Mark) -> &'static str {
    match (joint, mark.is_metric()) {
        (Joint::Cope, false) => "16 in",
        (Joint::Cope, true) => "40 cm",
        (_, false) => "24 in",
        (_, true) => "60 cm",
    }
}

fn to_look_at(scrap: &ScrapView) -> [[&'static str; 2]; 2] {
    let at_45 = scrap.board.left.cut.degrees == Angle::degrees(45);
    match scrap.joint {
        Joint::OutsideMiter if !at_45 => [
            [
                "close the pair on its corner: it is tight",
                "close the pair: it is tight",
            ],
            ["from the faces to the backs", "from face to back"],
        ],
        Joint::OutsideMiter => [
            [
                "close the pair on a square; what to",
                "close the pair on a square",
            ],
            ["measure comes on the next cards", "measure it: next cards"],
        ],
        Joint::Scarf => [
            ["lapped, the faces are flush and the", "lapped: faces flush"],
            ["line between them is closed", "and the line closed"],
        ],
        _ => [
            [
                "held to the face of another scrap",
                "hold it to a scrap's face:",
            ],
            [
                "the cope closes from top to bottom",
                "closed from top to bottom",
            ],
        ],
    }
}
