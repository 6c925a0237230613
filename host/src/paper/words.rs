//! What text and page say alike: lengths on the tape, a piece's name, its cuts at the saw, the totals. Where each stands is
//! left to them.

use planner::plan::{Cost, Plan, PlannedPiece, Stick};
use planner::saw_list::SawSheet;
use shared_model::{
    Angle, Arris, DigestText, End, Figure, Joint, Length, Mark, Posture, SawCut, Side, True45, Way,
};

use crate::check::plural;
use form::plan::cut_of;

/// A length to be marked: inches as on the tape, or millimetres.
pub fn mark(length: Length, mark: Mark) -> String {
    match mark.is_metric() {
        true => format!("{} mm", length.on_tape(mark)),
        false => format!("{}\"", length.on_tape(mark)),
    }
}

/// The length of a stick: in feet, or in millimetres.
pub fn stick_length(length: Length, mark: Mark) -> String {
    match mark.is_metric() {
        true => format!("{} mm", length.on_tape(mark)),
        false => length.feet_inches(mark).to_string(),
    }
}

/// The wall and part of a piece, such as `wall 3 (1 of 2)` or `wall 3, wedge`; nothing where the list names no wall.
pub fn wall(piece: &PlannedPiece) -> String {
    let wall = piece.wall.map(|wall| format!("wall {wall}"));
    if let Some(small) = piece.small() {
        let words = wall.into_iter().chain([small.word().to_owned()]);
        return words.collect::<Vec<_>>().join(", ");
    }
    match (piece.wall, piece.parts) {
        (None, _) => String::new(),
        (Some(wall), 0..=1) => format!("wall {wall}"),
        (Some(wall), parts) => format!("wall {wall} ({} of {parts})", piece.part),
    }
}

/// The figure to mark on a piece.
pub fn figure(plan: &Plan, piece: &PlannedPiece) -> Figure {
    piece.figure(&plan.mouldings[piece.moulding])
}

/// What stands beside the figure where the board has angled ends: the arris, and the length overall; else nothing.
pub fn beside(figure: &Figure, marks: Mark) -> String {
    let arris = match figure.arris {
        Arris::Face => "on the face",
        Arris::Back if figure.overall == figure.length => return String::new(),
        Arris::Back => "on the back",
    };
    match figure.overall == figure.length {
        true => format!("{arris}, tip to tip"),
        false => format!("{arris}; tip to tip {}", mark(figure.overall, marks)),
    }
}

/// Said where the degrees are not the angles themselves; at most 80 letters.
pub fn scale_note(plan: &Plan) -> Option<&'static str> {
    (plan.saw.true_45 != True45::EXACT)
        .then_some("Degrees are what the saw's scale has to read, its true 45 as measured.")
}

/// An end of a piece as it is cut.
pub struct Cutting {
    /// The side of the saw at which it lies.
    pub side: Side,
    /// How the board rides.
    pub posture: Posture,
    /// Such as `cope, swing left 45`.
    pub words: String,
    /// What its back cut asks of the plain cut, or that the whole height is left to the hand saw.
    pub then: Option<String>,
}

/// A piece's ends in the order in which they are cut.
pub fn cuttings(plan: &Plan, piece: &PlannedPiece) -> [Cutting; 2] {
    let first = piece.cut.map_or(Side::Left, |cut| cut.first);
    [first, first.other()].map(|installed| {
        let cut = cut_of(plan, piece, installed);
        let made = piece.cut.is_some_and(|cut| cut.shared) && installed == first;
        let set = match (made, cut.way) {
            (true, _) => ", already cut".to_owned(),
            (false, Way::None) => String::new(),
            (false, way) => format!(", {} {} {}", cut.by.word(), way.word(), cut.scale),
        };
        Cutting {
            side: cut.side,
            posture: cut.posture,
            words: format!("{}{set}", cut.joint),
            then: then(plan, piece, &cut),
        }
    })
}

fn then(plan: &Plan, piece: &PlannedPiece, cut: &SawCut) -> Option<String> {
    let moulding = &plan.mouldings[piece.moulding];
    if cut.joint != Joint::Cope || moulding.height == moulding.profile {
        return None;
    }
    match cut.plain {
        Some(plain) if plain.scale == Angle::ZERO => None,
        Some(plain) => Some(format!("plain cut {} {}", plain.way.word(), plain.scale)),
        None => Some(format!("by hand: all {}", mark(moulding.height, plan.mark))),
    }
}

/// The joint at an installed end, as who hangs the board wants it.
pub fn joint(end: End) -> &'static str {
    match end {
        End::ScarfOver { .. } => "scarf, over",
        End::ScarfUnder { .. } => "scarf, under",
        _ => end.joint().word(),
    }
}

/// How a stick lies at the saw.
pub struct Riding {
    /// The posture asked for where any of its cuts has it, else the first cut's; the stick is turned for the others.
    pub posture: Posture,
    /// The side of the saw at which the end lies that is cut first.
    pub fresh: Side,
    /// How deep its plain cuts go; none where none is made at the saw.
    pub depth: Option<Length>,
    /// The height below them that is left to the hand saw.
    pub by_hand: Length,
}

/// How a stick of the plan lies at the saw.
pub fn riding(plan: &Plan, stick: &Stick) -> Riding {
    let postures = || stick.cuts.iter().map(|cut| cut.posture);
    let asked = plan
        .saw
        .posture
        .filter(|asked| postures().any(|has| has == *asked));
    let posture = asked.or(postures().next()).unwrap_or(Posture::ALL[0]);
    let first = stick.pieces.first().and_then(|&at| plan.pieces[at].cut);
    let depth = stick.pieces.iter().find_map(|&at| {
        let cut = |side| cut_of(plan, &plan.pieces[at], side).plain;
        cut(Side::Left)
            .or(cut(Side::Right))
            .map(|plain| plain.depth)
    });
    Riding {
        posture,
        fresh: posture.swaps(first.map_or(Side::Left, |cut| cut.first)),
        depth,
        by_hand: plan.mouldings[stick.moulding].profile,
    }
}

/// What a stick's heading says of how it lies.
pub fn riding_words(plan: &Plan, riding: &Riding) -> String {
    let mut words = riding.posture.words().to_owned();
    if riding.fresh == plan.saw.stock_side {
        words.push_str(&format!(", first cut at the {}", riding.fresh.word()));
    }
    if let Some(depth) = riding.depth {
        let (depth, rest) = (mark(depth, plan.mark), mark(riding.by_hand, plan.mark));
        words.push_str(&format!("; plain cuts {depth}, by hand {rest}"));
    }
    words
}

/// What is to be written on a piece's back. The end at the left on the wall is at the right of whoever looks at the back.
pub const ON_THE_BACK: &str = "Write on the back, bottom edge down: room and wall, and an arrow to the end that will be at the left on the wall, which is then at your right. At the saw the screen names that end: left on the wall.";

/// How many offcuts in hand are used, if any; where some of the level was cut, sticks of the lists before are among them.
pub fn in_hand(plan: &Plan) -> Option<String> {
    let count = plan.sticks.iter().filter(|stick| stick.from_offcut).count();
    let noun = if plan.after > 0 { "stick" } else { "offcut" };
    (count > 0).then(|| format!("and {} in hand, used first", plural(count, noun)))
}

/// What is the same number on paper, page and screen for the same list.
pub fn digest(plan: &Plan) -> String {
    match SawSheet::of(plan) {
        Ok(sheet) => format!("digest {}", DigestText(sheet.head.digest)),
        Err(_) => "no digest: too large for a station".to_owned(),
    }
}

/// All in one line: sticks, cost, waste, and how far from the least the cost can be.
pub fn totals(plan: &Plan) -> String {
    let length = |units: i64| match plan.mark.is_metric() {
        true => format!(
            "{} m",
            tenths(units, i64::from(Length::UNITS_PER_MILLIMETRE) * 1000)
        ),
        false => format!(
            "{} ft",
            tenths(units, i64::from(Length::UNITS_PER_INCH) * 12)
        ),
    };
    let (cost, over, least) = match plan.cost {
        Cost::Priced { cost, bound } => {
            let (cost, bound) = (cost.0, bound.0);
            (
                format!("cost {}", money(cost)),
                money(cost - bound),
                (cost, bound),
            )
        }
        Cost::ByLength { cost, bound } => (
            format!("{} bought", length(cost)),
            length(cost - bound),
            (cost, bound),
        ),
    };
    let proof = match least {
        _ if plan.optimal => "proved the least".to_owned(),
        (cost, bound) if cost > bound => format!("at most {over} over the least"),
        _ => "the least for what could be placed".to_owned(),
    };
    let (taken, waste) = waste(plan);
    let percent = match taken {
        0 => "0".to_owned(),
        taken => tenths(100 * waste, taken),
    };
    format!(
        "{}, {cost}, waste with kerfs {} ({percent} %); {proof}",
        plural(plan.sticks.len(), "stick"),
        length(waste),
    )
}

/// How often the saw is set anew, and what it costs that the pieces come room by room, if they do.
pub fn settings(plan: &Plan) -> String {
    let settings = plan.settings;
    let count = match settings.changes {
        1 => "the saw is set anew once".to_owned(),
        count => format!("the saw is set anew {count} times"),
    };
    match settings.changes.saturating_sub(settings.steady) {
        0 => count,
        more => format!("{count}, {more} more than if not room by room"),
    }
}

/// How much wood the sticks hold and how much of it is in no piece, along the middle of the board.
fn waste(plan: &Plan) -> (i64, i64) {
    let units = |length: Length| i64::from(length.units());
    let sticks: i64 = plan.sticks.iter().map(|stick| units(stick.length)).sum();
    let placed = plan.pieces.iter().filter(|piece| piece.cut.is_some());
    let in_pieces = placed.map(|piece| {
        let thickness = plan.mouldings[piece.moulding].thickness;
        let reach = piece.left.end.reach(thickness) + piece.right.end.reach(thickness);
        units(piece.length) + units(reach) / 2
    });
    (sticks, sticks - in_pieces.sum::<i64>())
}

/// A quotient to one decimal, halves away from zero.
fn tenths(units: i64, per: i64) -> String {
    let tenths = (i128::from(units) * 20 + i128::from(per)) / (i128::from(per) * 2);
    format!("{}.{}", tenths / 10, tenths % 10)
}

/// Ten-thousandths of the money's unit, to the hundredth where that is all there is.
fn money(ten_thousandths: i64) -> String {
    let (whole, part) = (ten_thousandths / 10_000, ten_thousandths % 10_000);
    match part % 100 {
        0 => format!("{whole}.{:02}", part / 100),
        _ => format!("{whole}.{part:04}"),
    }
}
