//! Writes a walk or a cut list as a table: the saw and the stock in rows of words, then a row a wall or a piece, with the
//! columns in which anything stands.

use super::columns::Column;
use crate::cut_list::PieceForm;
use crate::number::{Written, decimal_text};
use crate::out::Form;
use crate::text::head::head;
use crate::text::reader::Holds;
use crate::text::writer::{end, usual_corners};
use crate::walk::{DiagonalForm, ItemForm, RoomForm};

/// A table that reads back to the same.
pub fn write(form: &Form) -> String {
    let mut rows = head(form);
    rows.push(Vec::new());
    let (holds, table) = match form {
        Form::Walk(walk) => (Holds::Walk, walk.rooms.iter().flat_map(room).collect()),
        Form::CutList(list) => (Holds::CutList, list.pieces.iter().map(piece).collect()),
    };
    rows.extend(with_header(holds, table));
    rows.iter().map(|row| line(row)).collect()
}

/// The cells of a row that are filled.
type Filled = Vec<(Column, String)>;

fn with_header(holds: Holds, table: Vec<Filled>) -> Vec<Vec<String>> {
    // three columns are what a table is known by
    let always = ["room", "kind", "length", "left", "right"];
    let always = match holds {
        Holds::CutList => &always[..],
        _ => &always[..3],
    };
    let has = |name: &&str| {
        let named = |(column, _): &(Column, String)| column.name() == *name;
        always.contains(name) || table.iter().any(|row| row.iter().any(named))
    };
    let names: Vec<&str> = Column::names(holds).filter(has).collect();
    let mut rows = vec![names.iter().map(|name| (*name).to_owned()).collect()];
    for row in &table {
        let cell = |name: &&str| {
            let found = row.iter().find(|(column, _)| column.name() == *name);
            found.map(|(_, text)| text.clone()).unwrap_or_default()
        };
        rows.push(names.iter().map(cell).collect());
    }
    rows
}

fn room(room: &RoomForm) -> Vec<Filled> {
    let mut opening = 0;
    let mut rows = Vec::new();
    for (item, usual) in room.outline.iter().zip(usual_corners(room)) {
        let mut row = stretch(item, usual);
        row.push((Column::Room, room.name.clone()));
        row.push((Column::Moulding, room.moulding.clone()));
        if item.opening.is_some() {
            opening += 1;
            if room.entry == Some(opening) {
                row.push((Column::Enter, "yes".to_owned()));
            }
        }
        if !room.closed {
            row.push((Column::Open, "yes".to_owned()));
        }
        if room.ring.is_some() {
            row.push((Column::Island, "yes".to_owned()));
        }
        rows.push(row);
    }
    rows.extend(room.diagonals.iter().map(|diagonal| across(room, diagonal)));
    rows
}

fn stretch(item: &ItemForm, usual: Option<&str>) -> Filled {
    let (kind, length) = match (&item.wall, &item.opening, &item.existing) {
        (Some(Written(wall)), ..) => ("wall", wall.as_str()),
        (_, Some(Some(Written(width))), _) => ("opening", width.as_str()),
        (.., Some(Written(hung))) => ("hung", hung.as_str()),
        _ => ("opening", "?"),
    };
    let mut row = vec![
        (Column::Kind, kind.to_owned()),
        (Column::Length, length.to_owned()),
    ];
    match item.corner.as_deref() {
        corner if corner == usual => {}
        Some(corner) => row.push((Column::Corner, corner.to_owned())),
        None => row.push((Column::Corner, "on".to_owned())),
    }
    if let Some(gauge) = item.gauge.filter(|gauge| *gauge != 90.0) {
        row.push((Column::Gauge, decimal_text(gauge)));
    }
    row.extend(
        item.radius
            .iter()
            .map(|radius| (Column::Round, radius.0.clone())),
    );
    for (column, joint) in [(Column::Left, &item.left), (Column::Right, &item.right)] {
        row.extend(joint.iter().map(|joint| (column, joint.clone())));
    }
    row
}

fn across(room: &RoomForm, diagonal: &DiagonalForm) -> Filled {
    vec![
        (Column::Room, room.name.clone()),
        (Column::Kind, "across".to_owned()),
        (Column::Length, diagonal.length.0.clone()),
        (Column::From, diagonal.from.to_string()),
        (Column::To, diagonal.to.to_string()),
    ]
}

fn piece(piece: &PieceForm) -> Filled {
    let mut row = vec![
        (Column::Room, piece.room.clone()),
        (Column::Moulding, piece.moulding.clone()),
        (Column::Length, piece.length.0.clone()),
        (Column::Left, end(&piece.left)),
        (Column::Right, end(&piece.right)),
    ];
    row.extend(piece.wall.map(|wall| (Column::Wall, wall.to_string())));
    row
}

/// A row with the marks that it needs.
fn line(cells: &[String]) -> String {
    let cell = |cell: &String| match cell.contains(['"', ',', ';', '\t']) {
        true => format!("\"{}\"", cell.replace('"', "\"\"")),
        false => cell.clone(),
    };
    let cells: Vec<String> = cells.iter().map(cell).collect();
    cells.join(",") + "\n"
}
