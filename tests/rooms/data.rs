//! The real rooms as the data file holds them, and their variations: sheared, mirrored, without doors, as columns. Writing
//! them as walks is left to `outline`.

use serde_json::Value;

use super::plane::Point;

/// A level as the data gives it, with the totals that stand beside it there.
pub struct Level {
    pub rooms: Vec<Corners>,
    pub walls: u64,
    pub inside: u64,
    pub outside: u64,
    pub pieces: u64,
    pub baseboard: f64,
    pub perimeter: f64,
}

/// A room's corners, clockwise seen from above, and the doors in its edges.
#[derive(Debug, Clone)]
pub struct Corners {
    pub name: String,
    pub points: Vec<Point>,
    pub doors: Vec<Door>,
    /// The door that people come in by.
    pub entry: usize,
    /// A column, with the corners counter-clockwise.
    pub column: bool,
}

/// A door in the edge from one corner to the next, measured along it.
#[derive(Debug, Clone, Copy)]
pub struct Door {
    pub edge: usize,
    pub from: f64,
    pub to: f64,
}

pub fn levels() -> Vec<Level> {
    let text = include_str!("../data/floor-plans.json");
    let levels: Value = serde_json::from_str(text).expect("the data file is JSON");
    let levels = levels.as_array().expect("the data file holds levels");
    levels.iter().map(level).collect()
}

fn level(value: &Value) -> Level {
    let total = |name: &str| value["check"][name].as_u64().expect("a total");
    let rooms = value["rooms"].as_array().expect("a level has rooms");
    let rooms = rooms.iter().enumerate().map(|(number, room)| {
        let points = room["pts"].as_array().expect("a room has corners");
        let doors = room["doors"].as_array().expect("a room has doors");
        let mut corners = Corners {
            // several rooms of a level share a name
            name: format!("{} {}", room["name"].as_str().expect("a name"), number + 1),
            points: points
                .iter()
                .map(|point| Point {
                    x: number_at(point, 0),
                    y: number_at(point, 1),
                })
                .collect(),
            doors: doors
                .iter()
                .map(|door| Door {
                    edge: number_at(door, 0) as usize,
                    from: number_at(door, 1),
                    to: number_at(door, 2),
                })
                .collect(),
            entry: 0,
            column: false,
        };
        corners.doors.sort_by(|a, b| {
            (a.edge, a.from)
                .partial_cmp(&(b.edge, b.from))
                .expect("numbers")
        });
        for at in 0..corners.doors.len() {
            // two doors end up to a millimetre beyond their wall
            let door = corners.doors[at];
            let length = corners.edge(door.edge).length();
            assert!(door.to < length + 1.001);
            corners.doors[at].to = door.to.min(length);
        }
        corners
    });
    Level {
        rooms: rooms.collect(),
        walls: total("walls"),
        inside: total("inside"),
        outside: total("outside"),
        pieces: total("pieces"),
        baseboard: total("baseboard_mm") as f64,
        perimeter: total("perimeter_mm") as f64,
    }
}

fn number_at(value: &Value, place: usize) -> f64 {
    value[place].as_f64().expect("a number")
}

impl Corners {
    pub fn edge(&self, edge: usize) -> Point {
        self.points[edge].to(self.points[(edge + 1) % self.points.len()])
    }

    /// The same room leaning: every point goes to the right by so much of its height, so that square corners become
    /// acute and obtuse ones.
    pub fn sheared(&self, by: f64) -> Corners {
        let points = self.points.iter();
        let points = points
            .map(|p| Point {
                x: p.x + by * p.y,
                y: p.y,
            })
            .collect();
        let mut sheared = Corners {
            points,
            ..self.clone()
        };
        for door in &mut sheared.doors {
            let grown = sheared.points[door.edge]
                .to(sheared.points[(door.edge + 1) % sheared.points.len()])
                .length()
                / self.edge(door.edge).length();
            (door.from, door.to) = (door.from * grown, door.to * grown);
        }
        sheared
    }

    /// The same room, so much smaller.
    pub fn shrunk(&self, to: f64) -> Corners {
        let points = self.points.iter();
        let points = points
            .map(|p| Point {
                x: p.x * to,
                y: p.y * to,
            })
            .collect();
        let doors = self.doors.iter();
        let doors = doors
            .map(|door| Door {
                from: door.from * to,
                to: door.to * to,
                ..*door
            })
            .collect();
        Corners {
            points,
            doors,
            ..self.clone()
        }
    }

    /// The room in a mirror that stands upright, still clockwise from the same first corner.
    pub fn mirrored(&self) -> Corners {
        let count = self.points.len();
        let mirror = |at: usize| {
            let point = self.points[(count - at) % count];
            Point {
                x: -point.x,
                y: point.y,
            }
        };
        let doors = self.doors.iter().map(|door| {
            let length = self.edge(door.edge).length();
            Door {
                edge: count - 1 - door.edge,
                from: length - door.to,
                to: length - door.from,
            }
        });
        Corners {
            name: self.name.clone(),
            points: (0..count).map(mirror).collect(),
            doors: doors.rev().collect(),
            entry: self.doors.len().saturating_sub(1) - self.entry,
            column: self.column,
        }
    }

    pub fn without_doors(&self) -> Corners {
        Corners {
            doors: Vec::new(),
            entry: 0,
            ..self.clone()
        }
    }

    /// A column with this outline: its faces, left to right, go counter-clockwise round it.
    pub fn as_column(&self) -> Corners {
        let mut column = self.without_doors();
        column.points.reverse();
        column.column = true;
        column
    }
}
