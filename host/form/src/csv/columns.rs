//! The columns of a table of walls or pieces, and how a header row is known. What the cells under them mean is left to
//! `table`.

use crate::text::reader::Holds;
use crate::text::table::{ENTRIES, HEADINGS};
use crate::words::{distance, nearest};

/// A column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Column {
    /// The room's name.
    Room,
    /// The wall's number, of a piece.
    Wall,
    /// The moulding's name.
    Moulding,
    /// What the row is: a wall where nothing is said.
    Kind,
    /// How long it is.
    Length,
    /// What stands at its end.
    Corner,
    /// What the angle finder reads there.
    Gauge,
    /// The radius of a rounded corner there.
    Round,
    /// The joint at the left end.
    Left,
    /// The joint at the right end.
    Right,
    /// People come in here.
    Enter,
    /// The room's ends do not meet.
    Open,
    /// It is a column or an island.
    Island,
    /// The corner from which a length is taken across.
    From,
    /// The corner to which.
    To,
    /// Whatever the carpenter wants to remember.
    Remark,
}

/// Every column with its name and whether a walk and a cut list have it.
pub const COLUMNS: [(Column, &str, bool, bool); 16] = [
    (Column::Room, "room", true, true),
    (Column::Wall, "wall", false, true),
    (Column::Moulding, "moulding", true, true),
    (Column::Kind, "kind", true, false),
    (Column::Length, "length", true, true),
    (Column::Corner, "corner", true, false),
    (Column::Gauge, "gauge", true, false),
    (Column::Round, "round", true, false),
    (Column::Left, "left", true, true),
    (Column::Right, "right", true, true),
    (Column::Enter, "enter", true, false),
    (Column::Open, "open", true, false),
    (Column::Island, "island", true, false),
    (Column::From, "from", true, false),
    (Column::To, "to", true, false),
    (Column::Remark, "remark", true, true),
];

impl Column {
    /// The column of this name, capitals aside.
    pub fn named(name: &str) -> Option<Column> {
        let name = name.trim().to_lowercase();
        let remark = matches!(name.as_str(), "remarks" | "note" | "notes");
        let found = COLUMNS.iter().find(|(_, one, ..)| *one == name);
        found
            .map(|(column, ..)| *column)
            .or(remark.then_some(Column::Remark))
    }

    /// The names of the columns that such a file has.
    pub fn names(holds: Holds) -> impl Iterator<Item = &'static str> {
        let has = move |(_, _, walk, list): &&(Column, &str, bool, bool)| match holds {
            Holds::CutList => *list,
            _ => *walk,
        };
        COLUMNS.iter().filter(has).map(|(_, name, ..)| *name)
    }

    /// Its name.
    pub fn name(self) -> &'static str {
        let found = COLUMNS.iter().find(|(column, ..)| *column == self);
        found.map_or("", |(_, name, ..)| name)
    }
}

/// Whether a row names columns: three or more of them, slips of the pen counted where one is right, or a room and a
/// length. No line of a text sheet has such cells.
pub fn is_header<'a>(cells: impl Iterator<Item = &'a str> + Clone) -> bool {
    /// More cells are not looked at.
    const LOOKED_AT: usize = 64;
    let cells = cells.map(str::trim).take(LOOKED_AT);
    let filled = || cells.clone().filter(|cell| !cell.is_empty());
    let first = cells.clone().next().unwrap_or_default().to_lowercase();
    let heads = ENTRIES.iter().map(|entry| entry.word);
    let mut heads = heads.chain(["setup", "true", "back", "old", "offcut", "cut list", "cut"]);
    let sets = heads.any(|word| word == first) && Column::named(&first).is_none();
    // a row that begins like a line of the text sheet is none, and no column's name begins with a digit
    let number = |cell: &str| cell.starts_with(|c: char| c.is_numeric() || "+-.".contains(c));
    if filled().any(number) {
        return false;
    }
    if sets || first == "moulding" && filled().nth(2).is_none() {
        return false;
    }
    let exact = filled().filter_map(Column::named);
    let count = exact.clone().count();
    let has = |wanted: Column| exact.clone().any(|column| column == wanted);
    if count == 0 {
        return false;
    }
    let near = filled().filter(|cell| Column::named(cell).is_none() && is_near(cell));
    count + near.count() >= 3 || has(Column::Room) && has(Column::Length)
}

fn is_near(cell: &str) -> bool {
    /// No column has a name so long.
    const LONGEST: usize = 12;
    let all = COLUMNS.iter().map(|(_, name, ..)| *name);
    cell.len() <= LONGEST
        && !HEADINGS.contains(&cell.to_lowercase().as_str())
        && nearest(cell, all).is_some_and(|name| 3 * distance(cell, name) <= cell.chars().count())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn header(line: &str) -> bool {
        is_header(line.split(','))
    }

    #[test]
    fn headers_are_known() {
        for line in [
            "room,kind,length,corner",
            "Length, ROOM",
            "moulding,room,length",
            "rom,kind,lenght,corner",
            "Notes,Room,Kind,Length,,,",
            "kind,length,corner,gauge",
            "wall,left,right,length,room",
        ] {
            assert!(header(line), "{line}");
        }
    }

    #[test]
    fn lines_of_a_text_sheet_are_none() {
        for line in [
            "saw standing upright, tall 6 1/2, wide 12, kerf 1/8, trim 1/2, stock left, slides",
            "swing, left, 50, right, 60",
            "saw, stock, left, slides",
            "moulding, room",
            "high 5 1/4, thick 9/16, profile 3/4",
            "wall 31 1/2, left cope, right square",
            "31 1/2, corner, left cope",
            "room, left",
            "offcut 61 1/4, 43",
            "hung, 40",
            "door, 37 1/2, left, right",
            "60,left,cope,right,square,wall,2",
            ",,,",
            "",
        ] {
            assert!(!header(line), "{line}");
        }
    }
}
