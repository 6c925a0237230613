//! From what the planner takes back to the shape of a file, with everything said that a file may leave out. How a shape
//! is written is left to JSON and to the text sheet.

use planner::walk::{
    CutList, Item, ListedPiece, MouldingStock, Room, Saw, Setup, Sheet, StickKind, Stretch, Walk,
};
use serde::Serialize;
use shared_model::{Angle, End, Length, Unit};

use super::cut_list::{CutListForm, EndForm, PieceForm};
use super::number::Written;
use super::setup::{MouldingForm, SawForm, StickForm, True45Form};
use super::walk::{
    AccuracyForm, DiagonalForm, ItemForm, RoomForm, ScarfForm, SpringForm, WalkForm,
};
use super::words::{DIRECTIONS, JOINTS, MARKS, MEASURES, POSTURES, SIDES, TURNS, UNITS, word_of};

/// The shape of a file of either kind.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(untagged)]
pub enum Form {
    /// Rooms as measured.
    Walk(Box<WalkForm>),
    /// Pieces whose ends are decided.
    CutList(Box<CutListForm>),
}

/// Writes a length in a file's unit.
pub type LengthText = fn(Length, Unit) -> String;

/// The shape of what the planner takes.
pub fn form_of(sheet: &Sheet, length: LengthText) -> Form {
    match sheet {
        Sheet::Walk(walk) => Form::Walk(Box::new(Out::of(&walk.setup, length).walk(walk))),
        Sheet::CutList(list) => {
            Form::CutList(Box::new(Out::of(&list.setup, length).cut_list(list)))
        }
    }
}

struct Out<'a> {
    setup: &'a Setup,
    length: LengthText,
}

impl<'a> Out<'a> {
    fn of(setup: &'a Setup, length: LengthText) -> Out<'a> {
        Out { setup, length }
    }

    fn length(&self, length: Length) -> Written {
        Written((self.length)(length, self.setup.unit))
    }

    /// A length that is said only where it is more than nothing.
    fn some(&self, length: Length) -> Option<Written> {
        (length > Length::ZERO).then(|| self.length(length))
    }

    fn unit(&self) -> String {
        word_of(&UNITS, self.setup.unit)
    }

    fn mark(&self) -> Option<String> {
        Some(word_of(&MARKS, self.setup.mark))
    }

    fn walk(&self, walk: &Walk) -> WalkForm {
        let spring = |spring: &planner::walk::Spring| SpringForm {
            over: self.length(spring.over),
            add: self.length(spring.add),
        };
        WalkForm {
            walk: 1,
            level: self.setup.level.clone(),
            setup: Vec::new(),
            old_house: self.setup.old_house,
            unit: self.unit(),
            mark: self.mark(),
            direction: word_of(&DIRECTIONS, walk.direction),
            cope: word_of(&SIDES, walk.cope),
            cope_up_to: degrees(walk.cope_up_to),
            cope_least: self.some(walk.cope_least),
            casing_gap: self.some(walk.casing_gap),
            spring: walk.spring.iter().map(spring).collect(),
            scarf: ScarfForm {
                degrees: degrees(walk.scarf.bevel),
                stud: walk.scarf.stud.map(|stud| self.length(stud)),
                from: word_of(&SIDES, walk.scarf.from),
                least: self.length(walk.scarf.least),
            },
            accuracy: AccuracyForm {
                with: (walk.accuracy.with).map(|measure| word_of(&MEASURES, measure)),
                corners: degrees(walk.accuracy.corners),
                gauge: degrees(walk.accuracy.gauge),
            },
            saw: saw_form(&self.setup.saw, |length| self.length(length)),
            mouldings: self.mouldings(),
            rooms: walk.rooms.iter().map(|room| self.room(room)).collect(),
        }
    }

    fn cut_list(&self, list: &CutList) -> CutListForm {
        CutListForm {
            cut_list: 1,
            level: self.setup.level.clone(),
            setup: Vec::new(),
            old_house: self.setup.old_house,
            unit: self.unit(),
            mark: self.mark(),
            saw: saw_form(&self.setup.saw, |length| self.length(length)),
            mouldings: self.mouldings(),
            pieces: list.pieces.iter().map(|piece| self.piece(piece)).collect(),
        }
    }

    fn mouldings(&self) -> Vec<MouldingForm> {
        let stick = |stick: &StickKind| StickForm {
            length: self.length(stick.length),
            price: stick.price.map(|price| price.0 as f64 / 10_000.0),
            count: stick.count,
        };
        let form = |stock: &MouldingStock| MouldingForm {
            name: stock.name.clone(),
            height: self.length(stock.height),
            thickness: self.length(stock.thickness),
            profile: self.length(stock.profile),
            sticks: stock.sticks.iter().map(stick).collect(),
            offcuts: stock.offcuts.iter().map(|&o| self.length(o)).collect(),
        };
        self.setup.mouldings.iter().map(form).collect()
    }

    fn moulding(&self, place: usize) -> String {
        let stock = self.setup.mouldings.get(place);
        stock.map(|stock| stock.name.clone()).unwrap_or_default()
    }

    fn room(&self, room: &Room) -> RoomForm {
        let diagonal = |diagonal: &planner::walk::Diagonal| DiagonalForm {
            from: diagonal.from as u32,
            to: diagonal.to as u32,
            length: self.length(diagonal.length),
        };
        RoomForm {
            name: room.name.clone(),
            moulding: self.moulding(room.moulding),
            closed: room.closed,
            ring: room.island.then(|| "island".to_owned()),
            entry: (room.entry > 0).then_some(room.entry as u32 + 1),
            outline: room.outline.iter().map(|item| self.item(item)).collect(),
            diagonals: room.diagonals.iter().map(diagonal).collect(),
        }
    }

    fn item(&self, item: &Item) -> ItemForm {
        let joint = |joint: Option<_>| joint.map(|joint| word_of(&JOINTS, joint));
        let mut form = ItemForm {
            wall: None,
            opening: None,
            existing: None,
            corner: item.corner.map(|corner| word_of(&TURNS, corner.turn)),
            gauge: item.corner.map(|corner| degrees(corner.gauge)),
            radius: item.radius.map(|radius| self.length(radius)),
            left: joint(item.left),
            right: joint(item.right),
        };
        match item.stretch {
            Stretch::Wall(length) => form.wall = Some(self.length(length)),
            Stretch::Opening(width) => form.opening = Some(width.map(|width| self.length(width))),
            Stretch::Existing(length) => form.existing = Some(self.length(length)),
        }
        form
    }

    fn piece(&self, piece: &ListedPiece) -> PieceForm {
        PieceForm {
            room: piece.room.clone(),
            wall: piece.wall,
            moulding: self.moulding(piece.moulding),
            length: self.length(piece.length),
            left: end(piece.left),
            right: end(piece.right),
        }
    }
}

/// The shape of a saw, whose lengths are written so.
pub fn saw_form(saw: &Saw, length: impl Fn(Length) -> Written) -> SawForm {
    SawForm {
        posture: word_of(&POSTURES, saw.posture),
        standing_height: length(saw.standing_height),
        flat_width: length(saw.flat_width),
        swing_left: degrees(saw.swing_left),
        swing_right: degrees(saw.swing_right),
        tilt_left: degrees(saw.tilt_left),
        tilt_right: degrees(saw.tilt_right),
        true_45: True45Form {
            swing_left: degrees(saw.true_45.swing_left),
            swing_right: degrees(saw.true_45.swing_right),
            tilt_left: degrees(saw.true_45.tilt_left),
            tilt_right: degrees(saw.true_45.tilt_right),
        },
        back_cut_up_to: degrees(saw.back_cut_up_to),
        slides: saw.slides,
        kerf: length(saw.kerf),
        end_trim: length(saw.end_trim),
        stock_side: word_of(&SIDES, saw.stock_side),
        least_hold: length(saw.hold.least_hold),
        short_piece: length(saw.hold.short_piece),
    }
}

fn end(end: End) -> EndForm {
    let (gauge, bevel, face) = match end {
        End::Square | End::Return => (None, None, None),
        End::Butt { gauge }
        | End::Cope { gauge }
        | End::InsideMiter { gauge }
        | End::OutsideMiter { gauge } => (Some(gauge), None, None),
        End::ScarfOver { bevel } => (None, Some(bevel), Some("longer")),
        End::ScarfUnder { bevel } => (None, Some(bevel), Some("shorter")),
    };
    EndForm {
        joint: word_of(&JOINTS, end.joint()),
        gauge: gauge.map(degrees),
        degrees: bevel.map(degrees),
        face: face.map(str::to_owned),
    }
}

fn degrees(angle: Angle) -> f64 {
    f64::from(angle.in_hundredths()) / 100.0
}

/// The shortest decimal that reads back exactly, for programs.
pub fn decimal(length: Length, unit: Unit) -> String {
    length.decimal(unit).to_string()
}

/// As a tape shows it where that is exact, such as `124 3/8`.
pub fn on_tape(length: Length, unit: Unit) -> String {
    const FINEST: i32 = 128;
    let step = Length::UNITS_PER_INCH / FINEST;
    if unit != Unit::Inch || length.units() % step != 0 || length < Length::ZERO {
        return decimal(length, unit);
    }
    let marks = length.units() / step;
    let (whole, mut upper, mut lower) = (marks / FINEST, marks % FINEST, FINEST);
    while upper != 0 && upper % 2 == 0 {
        (upper, lower) = (upper / 2, lower / 2);
    }
    match (whole, upper) {
        (whole, 0) => whole.to_string(),
        (0, upper) => format!("{upper}/{lower}"),
        (whole, upper) => format!("{whole} {upper}/{lower}"),
    }
}
