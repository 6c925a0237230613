//! The words of a text sheet that only set a value: each with the key that it sets, in one table. Headings, walls and
//! pieces are left to `reader`.

/// What may stand as a value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A length as on a tape.
    Length,
    /// A length, or `none`.
    LengthOrNone,
    /// Degrees: a decimal number, or one with halves or quarters.
    Degrees,
    /// Money: a plain decimal number.
    Number,
    /// A whole number.
    Count,
    /// Words of a table, capitals aside.
    Words,
    /// The tape's finest mark.
    Mark,
    /// Said by being there; `no` takes it back.
    Flag,
    /// A name, in quotation marks where it needs them.
    Name,
}

/// Where the values of a line go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Under {
    /// The sheet itself.
    Sheet,
    /// The value of this key of the sheet.
    Key(&'static str),
    /// What the saw really does where its scales read 45.
    True45,
    /// A new element of this list of the sheet.
    New(&'static str),
    /// The moulding above.
    Moulding,
    /// A new stick of the moulding above.
    Stick,
    /// The room above.
    Room,
    /// A new diagonal of the room above.
    Diagonal,
}

/// A key and what it may hold.
pub type Value = (&'static str, Kind);

/// A line that sets values.
pub struct Entry {
    /// Its first word.
    pub word: &'static str,
    /// What the value right after the word sets.
    pub value: Option<Value>,
    /// The words of its clauses and what they set.
    pub clauses: &'static [(&'static str, Value)],
    /// Where they go.
    pub under: Under,
    /// Has no place in a cut list.
    pub walk_only: bool,
    /// A right line.
    pub example: &'static str,
}

macro_rules! entry {
    ($word:literal, $value:expr, [$($clause:expr),*], $under:expr, $walk_only:literal, $example:literal) => {
        Entry { word: $word, value: $value, clauses: &[$($clause),*], under: $under, walk_only: $walk_only, example: $example }
    };
}

use Kind::*;

/// Every such line.
#[rustfmt::skip]
pub const ENTRIES: [Entry; 18] = [
    entry!("level", Some(("level", Name)), [], Under::Sheet, false, "level Upper floor"),
    entry!("unit", Some(("unit", Words)), [], Under::Sheet, false, "unit mm"),
    entry!("tape", Some(("mark", Mark)), [], Under::Sheet, false, "tape 1/32"),
    entry!("walk", Some(("direction", Words)), [], Under::Sheet, true, "walk counter-clockwise"),
    entry!("cope", Some(("cope", Words)), [("least", ("cope_least", Length))], Under::Sheet, true, "cope left"),
    entry!("casing", None, [("gap", ("casing_gap", Length))], Under::Sheet, true, "casing gap 1/32"),
    entry!("miter", None, [("over", ("cope_up_to", Degrees))], Under::Sheet, true, "miter over 100"),
    entry!("spring", Some(("add", Length)), [("over", ("over", Length))], Under::New("spring"), true,
        "spring 1/16 over 96"),
    entry!("scarf", Some(("degrees", Degrees)), [("stud", ("stud", LengthOrNone)), ("from", ("from", Words)), ("least", ("least", Length))],
        Under::Key("scarf"), true, "scarf 45 stud 16 least 24"),
    entry!("accuracy", Some(("with", Words)), [("corners", ("corners", Degrees)), ("gauge", ("gauge", Degrees))],
        Under::Key("accuracy"), true, "accuracy inch tape, corners 0.25, gauge 0.5"),
    entry!("saw", Some(("posture", Words)),
        [("tall", ("standing_height", Length)), ("wide", ("flat_width", Length)), ("kerf", ("kerf", Length)),
         ("trim", ("end_trim", Length)), ("stock", ("stock_side", Words)), ("slides", ("slides", Flag))],
        Under::Key("saw"), false, "saw standing upside down, tall 6 1/2, wide 12, kerf 1/8, trim 1/2, stock left"),
    entry!("swing", None, [("left", ("swing_left", Degrees)), ("right", ("swing_right", Degrees))],
        Under::Key("saw"), false, "swing left 50 right 60"),
    entry!("tilt", None, [("left", ("tilt_left", Degrees)), ("right", ("tilt_right", Degrees))],
        Under::Key("saw"), false, "tilt left 48 right 0"),
    entry!("hold", Some(("least_hold", Length)), [("under", ("short_piece", Length))], Under::Key("saw"), false,
        "hold 12 under 8"),
    entry!("high", Some(("height", Length)), [("thick", ("thickness", Length)), ("profile", ("profile", Length))],
        Under::Moulding, false, "high 5 1/4 thick 9/16 profile 3/4"),
    entry!("stick", Some(("length", Length)), [("at", ("price", Number)), ("have", ("count", Count))],
        Under::Stick, false, "stick 192 at 21.50"),
    entry!("enter", Some(("entry", Count)), [], Under::Room, true, "enter 1"),
    entry!("across", Some(("from", Count)), [("to", ("to", Count)), ("is", ("length", Length))],
        Under::Diagonal, true, "across 0 to 2 is 180 1/2"),
];

/// What follows `true 45`, and `true 45 swing`.
#[rustfmt::skip]
pub const TRUE_SWING: Entry =
    entry!("true", None, [("left", ("swing_left", Degrees)), ("right", ("swing_right", Degrees))],
        Under::True45, false, "true 45 swing left 44.8 right 45.1");

/// What follows `true 45 tilt`.
#[rustfmt::skip]
pub const TRUE_TILT: Entry =
    entry!("true", None, [("left", ("tilt_left", Degrees)), ("right", ("tilt_right", Degrees))],
        Under::True45, false, "true 45 tilt left 44.8 right 45.1");

/// What follows `back cut up to`.
#[rustfmt::skip]
pub const BACK_CUT: Entry =
    entry!("back", Some(("back_cut_up_to", Degrees)), [], Under::Key("saw"), false, "back cut up to 5");

/// The words that begin a stretch without board.
pub const OPENINGS: [&str; 8] = [
    "opening", "door", "window", "cabinet", "tub", "shower", "hearth", "stairs",
];

/// The other words that begin a line.
pub const HEADINGS: [&str; 13] = [
    "cut", "setup", "true", "back", "old", "moulding", "offcut", "room", "with", "open", "island",
    "hung", "wall",
];

/// Every word that may begin a line.
pub fn words() -> impl Iterator<Item = &'static str> {
    ENTRIES
        .iter()
        .map(|entry| entry.word)
        .chain(HEADINGS)
        .chain(OPENINGS)
}
