//! The table below the header: a row a wall or a piece, its cells put where the lines of a text sheet put their words.
//! What the values mean is left to `meaning`.

use std::ops::Range;

use serde_json::{Value, json};

use super::cells::{Cell, Row};
use super::columns::Column;
use crate::position::Step;
use crate::text::ends::{Follows, Stretch, end};
use crate::text::lines::Part;
use crate::text::reader::{Holds, Reader};
use crate::text::table::{Kind, OPENINGS};
use crate::text::values::value;
use crate::words::nearest;

/// A header and the rows under it.
pub struct Table<'a> {
    reader: Reader<'a>,
    /// The column of every cell of a row; none under a name that is no column.
    columns: Vec<Option<Column>>,
    /// Columns without which no row can be read are there.
    whole: bool,
    /// A cell outside of the columns has been told.
    outside: bool,
}

const KINDS: [&str; 3] = ["wall", "hung", "across"];

impl<'a> Table<'a> {
    /// A table with this header.
    pub fn of(mut reader: Reader<'a>, header: &Row) -> Table<'a> {
        let mut columns: Vec<Option<Column>> = Vec::new();
        let names: Vec<&str> = Column::names(reader.holds).collect();
        for cell in &header.cells {
            let column = Column::named(&cell.text);
            let known = column.filter(|column| names.contains(&column.name()));
            let part = whole(cell);
            match known {
                _ if cell.text.is_empty() => {}
                Some(Column::Remark) => {}
                Some(column) if columns.contains(&Some(column)) => {
                    reader.tell(&part, "each column once", "remark");
                    columns.push(None);
                    continue;
                }
                Some(_) => {}
                None => {
                    let expected = match (column, reader.holds) {
                        (Some(_), Holds::CutList) => "a column of a cut list: ",
                        (Some(_), _) => {
                            "a column of a walk; a file with the row \"cut list\" at its top has "
                        }
                        _ => "one of the columns ",
                    };
                    let listed = match column.is_some() && reader.holds != Holds::CutList {
                        true => Column::names(Holds::CutList).collect::<Vec<_>>().join(", "),
                        false => names.join(", "),
                    };
                    let example = nearest(&cell.text, names.iter().copied()).unwrap_or("remark");
                    reader.tell(&part, format!("{expected}{listed}"), example);
                }
            }
            columns.push(known);
        }
        let mut whole = true;
        for needed in [Column::Room, Column::Length] {
            if !columns.contains(&Some(needed)) {
                let name = needed.name();
                let part = Part {
                    range: header.range(),
                    text: String::new(),
                };
                let expected = format!("a column \"{name}\" as well");
                let example = match reader.holds {
                    Holds::CutList => "room,wall,length,left,right",
                    _ => "room,kind,length,corner,gauge",
                };
                reader.tell(&part, expected, example);
                whole = false;
            }
        }
        Table {
            reader,
            columns,
            whole,
            outside: false,
        }
    }

    /// Everything that was read.
    pub fn done(mut self) -> Reader<'a> {
        self.reader.close_room();
        self.reader
    }

    /// Reads a row.
    pub fn row(&mut self, row: &Row) {
        for cell in row.cells.iter().filter(|cell| cell.broken) {
            let range = match cell.text.find('\n') {
                Some(end) => cell.range.start..cell.range.start + end.min(cell.range.len()),
                None => cell.range.clone(),
            };
            let text = String::new();
            let expected =
                "a cell whose quotation marks close at its end; a mark within it is written twice";
            self.reader
                .tell(&Part { range, text }, expected, "\"10' 4 3/8\"\"\"");
        }
        let remark = row
            .cells
            .iter()
            .filter(|cell| !cell.text.is_empty())
            .count()
            == 1
            && row.cells.iter().any(|cell| cell.text.starts_with("//"));
        if !self.whole || remark || row.cells.iter().any(|cell| cell.broken) {
            return;
        }
        let outside = row.cells.iter().enumerate().find(|(index, cell)| {
            let header = self.columns.get(*index);
            header.is_none() && !cell.text.is_empty()
        });
        if let (Some((_, cell)), false) = (outside, self.outside) {
            let expected = "nothing outside of the columns that the header names";
            self.reader.tell(&whole(cell), expected, "remark");
            self.outside = true;
        }
        match self.reader.holds {
            Holds::CutList => self.piece(row),
            _ => self.in_room(row),
        }
    }

    fn cell(&self, row: &Row, wanted: Column) -> Option<Part> {
        let index = self
            .columns
            .iter()
            .position(|column| *column == Some(wanted))?;
        let cell = row.cells.get(index)?;
        (!cell.text.is_empty()).then(|| whole(cell))
    }

    /// The room of a row: the one above where the cell is empty. Whether there is one.
    fn enter_room(&mut self, row: &Row) -> bool {
        let named = self.cell(row, Column::Room);
        let known = self.reader.room.as_ref().map(|(name, _)| name.as_str());
        match (named, known) {
            (Some(part), known) if known != Some(part.text.as_str()) => {
                self.reader.close_room();
                self.reader.with = None;
                self.reader.room = Some((part.text.clone(), part.range.clone()));
                if self.reader.holds == Holds::Walk {
                    let form = json!({ "name": part.text.as_str(), "moulding": "", "outline": [] });
                    let steps = self.reader.push(&[], "rooms", form, &row.range());
                    let steps = [steps.as_slice(), &[Step::Key("name")]].concat();
                    self.reader.places.insert(steps, part.range);
                    self.reader.stretches.push(Vec::new());
                }
            }
            (None, None) => {
                if !self.reader.misplaced {
                    let expected = "a room's name in column \"room\", here or above";
                    self.reader.tell(&nowhere(row), expected, "Bed 2");
                }
                self.reader.misplaced = true;
                return false;
            }
            _ => {}
        }
        if let Some(part) = self.cell(row, Column::Moulding) {
            let one = self.reader.with.as_ref().map(|(name, _)| name.as_str());
            let walk = self.reader.holds == Holds::Walk;
            let other = |one: &str| one.to_lowercase() != part.text.to_lowercase();
            if walk && one.is_some_and(other) {
                self.reader.tell(&part, "one moulding for a room", "base");
            } else if !walk || one.is_none() {
                self.reader.with = Some((part.text, part.range));
            }
        }
        true
    }

    fn in_room(&mut self, row: &Row) {
        if !self.enter_room(row) {
            return;
        }
        let room = [
            Step::Key("rooms"),
            Step::Index(self.reader.stretches.len().saturating_sub(1)),
        ];
        for (column, key, said) in [
            (Column::Open, "closed", Value::from(false)),
            (Column::Island, "ring", "island".into()),
        ] {
            let steps = [room.as_slice(), &[Step::Key(key)]].concat();
            // said on every row of a room, it is said once
            if let Some(part) = self.yes(row, column)
                && !self.reader.places.contains_key(&steps)
            {
                self.reader.set(&room, key, said, &part, "yes");
            }
        }
        let kind = self.cell(row, Column::Kind);
        let length = self.cell(row, Column::Length);
        let ends = [
            Column::Corner,
            Column::Gauge,
            Column::Round,
            Column::Left,
            Column::Right,
        ];
        if kind.is_none() && length.is_none() {
            let more = [Column::Enter, Column::From, Column::To];
            let more = ends
                .into_iter()
                .chain(more)
                .find_map(|one| self.cell(row, one));
            if let Some(part) = more {
                let expected = "a length in this row as well";
                self.reader.tell(&part, expected, "124 3/8");
            }
            return;
        }
        let word = kind.as_ref().map_or("wall".to_owned(), Part::plain);
        if word == "across" {
            return self.across(row, &room, length, &ends);
        }
        let key = match word.as_str() {
            "wall" => "wall",
            "hung" => "existing",
            word if OPENINGS.contains(&word) => "opening",
            word => {
                let all = KINDS.iter().chain(&OPENINGS).copied();
                let meant = nearest(word, all.clone()).unwrap_or("wall").to_owned();
                let expected = format!("one of the words {}", all.collect::<Vec<_>>().join(", "));
                if let Some(part) = kind {
                    self.reader.tell(&part, expected, meant);
                }
                return;
            }
        };
        for column in [Column::From, Column::To] {
            if let Some(part) = self.cell(row, column) {
                let expected = "nothing: only a row of the kind across goes from corner to corner";
                self.reader.tell(&part, expected, "across");
            }
        }
        self.stretch(row, &room, key, length);
    }

    fn across(&mut self, row: &Row, room: &[Step], length: Option<Part>, ends: &[Column]) {
        let form = json!({ "from": 0, "to": 0, "length": "" });
        let steps = self.reader.push(room, "diagonals", form, &row.range());
        for (column, key) in [(Column::From, "from"), (Column::To, "to")] {
            match self
                .cell(row, column)
                .map(|part| (value(&part, Kind::Count), part))
            {
                Some((Ok(number), part)) => self.reader.set(&steps, key, number, &part, "2"),
                Some((Err(expected), part)) => self.reader.tell(&part, expected, "2"),
                None => {
                    let expected = format!("a corner's number in column \"{key}\"");
                    self.reader.tell(&nowhere(row), expected, "2");
                }
            }
        }
        if let Some(part) = length {
            self.reader.set(
                &steps,
                "length",
                part.text.as_str().into(),
                &part,
                "180 1/2",
            );
        }
        for column in ends.iter().chain(&[Column::Enter]) {
            if let Some(part) = self.cell(row, *column) {
                let expected = "nothing: a length across the room has no ends";
                self.reader.tell(&part, expected, "180 1/2");
            }
        }
    }

    fn stretch(&mut self, row: &Row, room: &[Step], key: &'static str, length: Option<Part>) {
        let item = self.reader.push(room, "outline", json!({}), &row.range());
        let opening = key == "opening";
        let written = match &length {
            Some(part) if !(opening && part.text == "?") => part.text.as_str().into(),
            _ if opening => Value::Null,
            _ => "".into(),
        };
        self.reader.set(
            &item,
            key,
            written,
            &length.unwrap_or(nowhere(row)),
            "124 3/8",
        );
        let mut follows = Follows::Unsaid;
        if let Some(part) = self.cell(row, Column::Corner) {
            follows = Follows::Said;
            match part.plain().as_str() {
                "inside" | "in" => {
                    self.reader
                        .set(&item, "corner", "inside".into(), &part, "inside")
                }
                "outside" | "out" => {
                    self.reader
                        .set(&item, "corner", "outside".into(), &part, "outside")
                }
                "on" => {}
                _ => {
                    let expected = "inside, outside, or on where the next wall goes straight on; degrees stand in column \"gauge\"";
                    self.reader.tell(&part, expected, "outside");
                }
            }
        }
        if let Some(part) = self.cell(row, Column::Gauge) {
            match value(&part, Kind::Degrees) {
                Ok(gauge) => self.reader.set(&item, "gauge", gauge, &part, "92"),
                Err(expected) => self.reader.tell(&part, expected, "92"),
            }
        }
        if let Some(part) = self.cell(row, Column::Round) {
            let radius = part.text.as_str().into();
            self.reader.set(&item, "radius", radius, &part, "3/4");
        }
        for (column, side) in [(Column::Left, "left"), (Column::Right, "right")] {
            if let Some(part) = self.cell(row, column) {
                self.reader
                    .set(&item, side, part.plain().into(), &part, "return");
            }
        }
        let place = self.reader.stretches.len().saturating_sub(1);
        if let Some(stretches) = self.reader.stretches.get_mut(place) {
            stretches.push(Stretch { opening, follows });
            match self.yes(row, Column::Enter) {
                Some(part) if opening => {
                    let all = self.reader.stretches[place].iter();
                    let number = all.filter(|stretch| stretch.opening).count();
                    self.reader.set(room, "entry", number.into(), &part, "yes")
                }
                Some(part) => {
                    let expected = "nothing: people come in by an opening";
                    self.reader
                        .tell(&part, expected, "a row such as Bed 2,door,37 1/2");
                }
                None => {}
            }
        }
    }

    /// The cell, where it says yes; what is neither yes nor no is told.
    fn yes(&mut self, row: &Row, column: Column) -> Option<Part> {
        let part = self.cell(row, column)?;
        match part.plain().as_str() {
            "yes" | "y" | "x" | "true" | "1" => Some(part),
            "no" | "n" | "false" | "0" => None,
            _ => {
                self.reader.tell(&part, "yes, or nothing", "yes");
                None
            }
        }
    }

    fn piece(&mut self, row: &Row) {
        if !self.enter_room(row) {
            return;
        }
        let Some((room, room_at)) = self.reader.room.clone() else {
            return;
        };
        let (moulding, moulding_at) = self.reader.with.clone().unwrap_or_default();
        let square = json!({ "joint": "square" });
        let form = json!({ "room": room, "moulding": moulding, "length": "", "left": square, "right": square });
        let piece = self.reader.push(&[], "pieces", form, &row.range());
        for (key, range) in [("room", room_at), ("moulding", moulding_at)] {
            let steps = [piece.as_slice(), &[Step::Key(key)]].concat();
            self.reader.places.insert(steps, range);
        }
        if let Some(part) = self.cell(row, Column::Length) {
            self.reader.set(
                &piece,
                "length",
                part.text.as_str().into(),
                &part,
                "124 3/8",
            );
        }
        if let Some(part) = self.cell(row, Column::Wall) {
            match value(&part, Kind::Count) {
                Ok(number) => self.reader.set(&piece, "wall", number, &part, "3"),
                Err(expected) => self.reader.tell(&part, expected, "3"),
            }
        }
        for (column, side) in [(Column::Left, "left"), (Column::Right, "right")] {
            let Some(cell) = self.cell(row, column) else {
                continue;
            };
            let steps = [piece.as_slice(), &[Step::Key(side)]].concat();
            for (key, value, mut part) in end(&cell) {
                if cell.text.len() != cell.range.len() {
                    part.range = cell.range.clone();
                }
                self.reader.set(&steps, key, value, &part, "cope 92");
            }
        }
    }
}

/// A cell as the text sheet's reader takes it.
fn whole(cell: &Cell) -> Part {
    Part {
        range: cell.range.clone(),
        text: cell.text.clone(),
    }
}

/// A cell that is not there.
fn nowhere(row: &Row) -> Part {
    let range: Range<usize> = row.range().start..row.range().start;
    Part {
        range,
        text: String::new(),
    }
}
