//! A way along straight legs, as a surveyor reckons it: where each leg leads, by how much the way misses its beginning,
//! and the compass rule, which shares that out by length. It takes bearings; how a room's corners become bearings is left
//! to `survey`.

/// A way in the plane: so far along the first axis and so far along the second, a quarter turn clockwise from it. On a map
/// they are north (the latitude of a leg) and east (its departure); in a room the first runs along its first wall.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Vector {
    /// Along the first axis.
    pub north: f64,
    /// Along the second.
    pub east: f64,
}

impl Vector {
    /// The way of a length along a bearing in radians, clockwise from the first axis.
    pub fn along(bearing: f64, length: f64) -> Vector {
        Vector {
            north: length * libm::cos(bearing),
            east: length * libm::sin(bearing),
        }
    }

    /// This way and then another.
    pub fn plus(self, other: Vector) -> Vector {
        Vector {
            north: self.north + other.north,
            east: self.east + other.east,
        }
    }

    /// The way from another point to this one.
    pub fn from(self, other: Vector) -> Vector {
        self.plus(other.times(-1.0))
    }

    /// This way so many times.
    pub fn times(self, factor: f64) -> Vector {
        Vector {
            north: self.north * factor,
            east: self.east * factor,
        }
    }

    /// This way turned clockwise by a quarter turn: how a point moves when what leads to it turns by a small angle.
    pub fn turned(self) -> Vector {
        Vector {
            north: -self.east,
            east: self.north,
        }
    }

    /// How far this way leads along another.
    pub fn dot(self, other: Vector) -> f64 {
        self.north * other.north + self.east * other.east
    }

    /// Positive where another way turns to the right of this one.
    pub fn cross(self, other: Vector) -> f64 {
        self.north * other.east - self.east * other.north
    }

    /// Its length.
    pub fn length(self) -> f64 {
        libm::hypot(self.north, self.east)
    }
}

/// One straight leg.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leg {
    /// Its direction in radians, clockwise from the first axis.
    pub bearing: f64,
    /// Its length, in the unit that is wanted back.
    pub length: f64,
}

impl Leg {
    /// A leg whose azimuth is given in degrees, clockwise from north.
    pub fn azimuth(degrees: f64, length: f64) -> Leg {
        Leg {
            bearing: degrees.to_radians(),
            length,
        }
    }

    /// Where it leads.
    pub fn way(self) -> Vector {
        Vector::along(self.bearing, self.length)
    }
}

/// Legs that should lead back to where they begin.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Traverse {
    /// The legs, in order.
    pub legs: Vec<Leg>,
}

impl Traverse {
    /// Where the way ends, seen from where it began; nothing where it closes.
    pub fn misclosure(&self) -> Vector {
        self.legs
            .iter()
            .fold(Vector::default(), |end, leg| end.plus(leg.way()))
    }

    /// The length of all legs.
    pub fn perimeter(&self) -> f64 {
        self.legs.iter().map(|leg| leg.length).sum()
    }

    /// The perimeter over the misclosure's length, as in "1 in 2771"; none where it closes.
    pub fn ratio(&self) -> Option<f64> {
        let linear = self.misclosure().length();
        (linear > 0.0).then(|| self.perimeter() / linear)
    }

    /// Where each leg leads, in whole steps, as it is booked.
    pub fn booked(&self, step: f64) -> Vec<Vector> {
        let ways = self.legs.iter().map(|leg| leg.way());
        ways.map(|way| Vector {
            north: libm::rint(way.north / step) * step,
            east: libm::rint(way.east / step) * step,
        })
        .collect()
    }

    /// The compass rule (Bowditch): of the misclosure of the legs as booked in whole steps, its sign turned, every leg takes
    /// the share that it has of the perimeter. Shares are rounded to whole steps and made to add up: an odd step is taken
    /// off, or put on, at the last leg whose rounding went the other way. The formula is in any surveying text.
    pub fn compass_corrections(&self, step: f64) -> Vec<Vector> {
        let booked = self.booked(step).into_iter();
        let misclosure = booked.fold(Vector::default(), Vector::plus);
        let north = self.shares(-misclosure.north, step);
        let east = self.shares(-misclosure.east, step);
        let both = north.into_iter().zip(east);
        both.map(|(north, east)| Vector { north, east }).collect()
    }

    fn shares(&self, whole: f64, step: f64) -> Vec<f64> {
        let perimeter = self.perimeter();
        let steps = libm::rint(whole / step);
        let exact: Vec<f64> = (self.legs.iter())
            .map(|leg| steps * leg.length / perimeter)
            .collect();
        let mut shares: Vec<f64> = exact.iter().map(|share| libm::rint(*share)).collect();
        let mut odd = shares.iter().sum::<f64>() - steps;
        for (share, exact) in shares.iter_mut().zip(exact).rev() {
            if odd >= 1.0 && *share > exact {
                *share -= 1.0;
                odd -= 1.0;
            } else if odd <= -1.0 && *share < exact {
                *share += 1.0;
                odd += 1.0;
            }
        }
        shares.into_iter().map(|share| share * step).collect()
    }
}
