//! Plane geometry in millimetres, x right and y up seen from above, by which the plans of real rooms are judged. It knows
//! nothing of boards.

/// A point, or the way from one point to another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    pub x: f64,
    pub y: f64,
}

impl Point {
    pub fn plus(self, way: Point, times: f64) -> Point {
        Point {
            x: self.x + way.x * times,
            y: self.y + way.y * times,
        }
    }

    pub fn to(self, other: Point) -> Point {
        other.plus(self, -1.0)
    }

    pub fn dot(self, other: Point) -> f64 {
        self.x * other.x + self.y * other.y
    }

    /// Positive where `other` turns to the left of this one.
    pub fn cross(self, other: Point) -> f64 {
        self.x * other.y - self.y * other.x
    }

    pub fn length(self) -> f64 {
        self.x.hypot(self.y)
    }
}

/// A straight line with a beginning and a direction; lengths run along it from the beginning.
#[derive(Debug, Clone, Copy)]
pub struct Line {
    pub begin: Point,
    /// One long.
    pub along: Point,
}

impl Line {
    pub fn through(from: Point, to: Point) -> Line {
        let way = from.to(to);
        Line {
            begin: from,
            along: Point {
                x: way.x / way.length(),
                y: way.y / way.length(),
            },
        }
    }

    /// The way to the right of one who walks along the line.
    pub fn right(&self) -> Point {
        Point {
            x: self.along.y,
            y: -self.along.x,
        }
    }

    /// The same line moved to its right.
    pub fn moved_right(&self, by: f64) -> Line {
        Line {
            begin: self.begin.plus(self.right(), by),
            along: self.along,
        }
    }

    /// The point so far along the line.
    pub fn at(&self, along: f64) -> Point {
        self.begin.plus(self.along, along)
    }

    /// How far along this line it crosses another that is not parallel to it.
    pub fn crosses(&self, other: &Line) -> f64 {
        self.begin.to(other.begin).cross(other.along) / self.along.cross(other.along)
    }

    /// How far to the right of the line a point lies.
    pub fn beside(&self, point: Point) -> f64 {
        self.begin.to(point).dot(self.right())
    }
}
