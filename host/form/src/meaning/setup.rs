//! What the saw and the mouldings of a file mean. The shape in which they are written is `setup`.

use std::collections::HashSet;

use planner::walk::{HoldRule, MouldingStock, Price, Saw, Setup, StickKind};
use shared_model::{Length, Mark, Side, True45, Unit};

use super::{Judge, Least, Spot};
use crate::number::decimal_text;
use crate::setup::{MouldingForm, SawForm, StickForm, True45Form};
use crate::words::{MARKS, POSTURES, SIDES, UNITS, nearest};

const NAMED: &str = "\"name\": \"base\"";
/// No rule for short pieces asks for more.
const MOST_HOLD: Length = Length::inches(48);

/// What walk and cut list have in common, as their shapes hold it.
pub struct SetupForm<'a> {
    pub level: &'a str,
    pub unit: &'a str,
    pub mark: Option<&'a str>,
    pub old_house: bool,
    pub saw: &'a SawForm,
    pub mouldings: &'a [MouldingForm],
}

/// Level, unit, saw and stock.
pub fn setup(judge: &mut Judge, form: &SetupForm) -> Setup {
    let SetupForm {
        level,
        unit,
        mark,
        old_house,
        saw,
        mouldings,
    } = *form;
    let root = Spot::default();
    judge.name(root.key("level"), level, "\"level\": \"Upper floor\"");
    if let Some(unit) = judge.choice(root.key("unit"), unit, &UNITS) {
        judge.unit = unit;
    }
    let usual = match judge.unit {
        Unit::Inch => Mark::Sixteenth,
        Unit::Millimetre | Unit::Centimetre | Unit::Metre => Mark::Millimetre,
    };
    let mark = mark.and_then(|word| judge.choice(root.key("mark"), word, &MARKS));
    let saw = saw_of(judge, &root.key("saw"), saw);
    if mouldings.is_empty() {
        judge.tell(
            root.key("mouldings"),
            "at least one moulding",
            "\"mouldings\": [ { \"name\": \"base\", \"height\": 5.25, \"thickness\": 0.5625, \"profile\": 0.75, \"sticks\": [ { \"length\": 192 } ] } ]",
        );
    }
    let mut names = HashSet::new();
    let stock = mouldings.iter().enumerate().map(|(index, form)| {
        let spot = root.element("mouldings", index).named(&form.name);
        judge.name(spot.key("name"), &form.name, NAMED);
        if !names.insert(form.name.trim()) {
            let expected = "a name that no other moulding has";
            judge.tell(spot.key("name"), expected, "\"name\": \"closet base\"");
        }
        moulding_of(judge, &spot, form, &saw)
    });
    let mouldings = stock.collect();
    Setup {
        level: level.trim().to_owned(),
        unit: judge.unit,
        mark: mark.unwrap_or(usual),
        saw,
        mouldings,
        old_house,
    }
}

/// Leaves out mouldings of set-up files that nothing of a level is made of, and of which it has no stock of its own: those
/// files serve other levels too. `used` are the places of its rooms' or pieces' mouldings.
pub fn leave_out_unused(judge: &Judge, stock: &mut Vec<MouldingStock>, used: Vec<&mut usize>) {
    let is_own = |spot: Spot| judge.sources.find(&spot.steps).file.is_none();
    let is_named = |place: usize| {
        let moulding = Spot::default().element("mouldings", place);
        let own = |key: &'static str, count: usize| {
            (0..count).any(|index| is_own(moulding.element(key, index)))
        };
        is_own(moulding.clone())
            || own("sticks", stock[place].sticks.len())
            || own("offcuts", stock[place].offcuts.len())
    };
    let keeps = |place: usize| used.iter().any(|used| **used == place) || is_named(place);
    let kept: Vec<bool> = (0..stock.len()).map(keeps).collect();
    for place in used {
        *place = kept[..*place].iter().filter(|kept| **kept).count();
    }
    let mut kept = kept.into_iter();
    stock.retain(|_| kept.next().unwrap_or(true));
}

/// The place of a moulding among the file's, by its name.
pub fn moulding_place(judge: &mut Judge, spot: Spot, name: &str, all: &[MouldingForm]) -> usize {
    if let Some(place) = all.iter().position(|form| form.name.trim() == name.trim()) {
        return place;
    }
    let names: Vec<&str> = all.iter().map(|form| form.name.as_str()).collect();
    if let Some(first) = names.first() {
        let example = nearest(name, names.iter().copied()).unwrap_or(first);
        let quoted: Vec<String> = names.iter().map(|name| format!("\"{name}\"")).collect();
        let expected = format!("a moulding of this level: {}", super::one_of(&quoted));
        judge.tell(spot, expected, format!("\"moulding\": \"{example}\""));
    }
    0
}

fn saw_of(judge: &mut Judge, spot: &Spot, form: &SawForm) -> Saw {
    let posture = judge.choice(spot.key("posture"), &form.posture, &POSTURES);
    let mut range = |key, degrees| {
        judge.angle(
            spot.key(key),
            degrees,
            0..9000,
            "0 to 89 degrees; 0 where the saw cannot",
            &format!("\"{key}\": 45"),
        )
    };
    let (swing_left, swing_right) = (
        range("swing_left", form.swing_left),
        range("swing_right", form.swing_right),
    );
    let (tilt_left, tilt_right) = (
        range("tilt_left", form.tilt_left),
        range("tilt_right", form.tilt_right),
    );
    let true_45 = true_45(judge, &spot.key("true_45"), &form.true_45);
    let back_cut_up_to = judge.angle(
        spot.key("back_cut_up_to"),
        form.back_cut_up_to,
        0..4501,
        "0 to 45 degrees",
        "\"back_cut_up_to\": 5",
    );
    let mut length =
        |key, written, example| judge.length(spot.key(key), written, Least::Zero, example);
    let saw = Saw {
        posture: posture.flatten(),
        standing_height: length(
            "standing_height",
            &form.standing_height,
            "\"standing_height\": 6.5",
        ),
        flat_width: length("flat_width", &form.flat_width, "\"flat_width\": 12"),
        swing_left,
        swing_right,
        tilt_left,
        tilt_right,
        true_45,
        back_cut_up_to,
        slides: form.slides,
        kerf: length("kerf", &form.kerf, "\"kerf\": 0.125"),
        end_trim: length("end_trim", &form.end_trim, "\"end_trim\": 0.5"),
        hold: HoldRule {
            least_hold: length("least_hold", &form.least_hold, "\"least_hold\": 12"),
            short_piece: length("short_piece", &form.short_piece, "\"short_piece\": 8"),
        },
        stock_side: judge
            .choice(spot.key("stock_side"), &form.stock_side, &SIDES)
            .unwrap_or(Side::Left),
    };
    if saw.kerf > Length::inches(1) {
        let expected = "at most 1 in: no saw blade is thicker";
        judge.tell(spot.key("kerf"), expected, "\"kerf\": 0.125");
    }
    for (key, length, usual) in [
        ("least_hold", saw.hold.least_hold, 12),
        ("short_piece", saw.hold.short_piece, 8),
    ] {
        if length > MOST_HOLD {
            let expected = "at most 48 in: no stick could be cut to its end";
            judge.tell(spot.key(key), expected, format!("\"{key}\": {usual}"));
        }
    }
    saw
}

fn true_45(judge: &mut Judge, spot: &Spot, form: &True45Form) -> True45 {
    let mut angle = |key, degrees| {
        judge.angle(
            spot.key(key),
            degrees,
            4000..5001,
            "40 to 50 degrees, as measured on a test cut with the scale at 45",
            &format!("\"true_45\": {{ \"{key}\": 44.8 }}"),
        )
    };
    True45 {
        swing_left: angle("swing_left", form.swing_left),
        swing_right: angle("swing_right", form.swing_right),
        tilt_left: angle("tilt_left", form.tilt_left),
        tilt_right: angle("tilt_right", form.tilt_right),
    }
}

fn moulding_of(judge: &mut Judge, spot: &Spot, form: &MouldingForm, saw: &Saw) -> MouldingStock {
    let before = judge.told.len();
    let more = Least::MoreThanZero;
    let height = judge.length(spot.key("height"), &form.height, more, "\"height\": 5.25");
    let thickness = judge.length(
        spot.key("thickness"),
        &form.thickness,
        more,
        "\"thickness\": 0.5625",
    );
    let profile = judge.length(
        spot.key("profile"),
        &form.profile,
        Least::Zero,
        "\"profile\": 0.75",
    );
    if judge.told.len() == before && profile >= height {
        let expected = format!(
            "less than the height, {}: the shaped part at the top; 0 for square-edged stock",
            form.height.0
        );
        judge.tell(spot.key("profile"), expected, "\"profile\": 0.75");
    }
    if form.sticks.is_empty() && form.offcuts.is_empty() {
        let expected = "at least one length in which it is bought";
        let example = "\"sticks\": [ { \"length\": 192 } ]";
        judge.tell(spot.key("sticks"), expected, example);
    }
    judge.at_most(
        spot.key("sticks"),
        form.sticks.len(),
        100,
        "lengths of stick",
    );
    judge.at_most(spot.key("offcuts"), form.offcuts.len(), 1000, "offcuts");
    let sticks = form
        .sticks
        .iter()
        .enumerate()
        .map(|(index, stick)| stick_of(judge, &spot.element("sticks", index), stick, saw));
    let sticks = sticks.collect();
    let offcuts = form.offcuts.iter().enumerate().map(|(index, written)| {
        let place = spot.element("offcuts", index);
        judge.length(place, written, more, "\"offcuts\": [ 61.25 ]")
    });
    MouldingStock {
        name: form.name.trim().to_owned(),
        height,
        thickness,
        profile,
        sticks,
        offcuts: offcuts.collect(),
    }
}

fn stick_of(judge: &mut Judge, spot: &Spot, form: &StickForm, saw: &Saw) -> StickKind {
    const EXAMPLE: &str = "\"length\": 192";
    let place = spot.key("length");
    let length = judge.length(place.clone(), &form.length, Least::MoreThanZero, EXAMPLE);
    let lost = saw.end_trim + saw.kerf;
    if length > Length::ZERO && length <= lost {
        let expected = format!(
            "more than the saw's end_trim and kerf together take, {}",
            lost.decimal(judge.unit)
        );
        judge.tell(place, expected, EXAMPLE);
    }
    if form.count == Some(0) {
        let expected = "1 or more; null or nothing where there are as many as needed";
        judge.tell(spot.key("count"), expected, "\"count\": 12");
    }
    StickKind {
        length,
        price: form.price.map(|price| price_of(judge, spot, price)),
        count: form.count,
    }
}

fn price_of(judge: &mut Judge, spot: &Spot, price: f64) -> Price {
    const MOST: f64 = 100_000.0;
    if !(0.0..=MOST).contains(&price) {
        let expected = "0 to 100000 of the money's unit; nothing where the price is not known";
        judge.tell(spot.key("price"), expected, "\"price\": 21.5");
        return Price(0);
    }
    let text = decimal_text(price);
    let (whole, part) = text.split_once('.').unwrap_or((&text, ""));
    if part.len() > 4 {
        let expected = "at most four digits after the point";
        judge.tell(spot.key("price"), expected, "\"price\": 21.5");
        return Price(0);
    }
    let digits = format!("{whole}{part:0<4}");
    // checked above: digits only, and few enough
    Price(digits.parse().unwrap_or(0))
}
