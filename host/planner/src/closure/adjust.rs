//! Adjusts a room's readings by least squares, each with its own standard deviation, so that the room closes and its
//! diagonals fit. What the figures say about blunders is left to `snoop`.
//!
//! This is adjustment by conditions, as in any text on surveyors' least squares (for one: Mikhail and Ackermann,
//! Observations and Least Squares, 1976). The readings l have the variances s^2, and the true values keep the conditions
//! f = 0: in a closed room the way comes back (two of them) and the turns sum to the whole turn (one), and each length
//! across equals the distance of its ends. With B the derivatives of f by the readings, w = f(l) and
//! M = B diag(s^2) B', the corrections are v = -diag(s^2) B' M^-1 w; where f bends, w and B are taken again at the corrected
//! values.
//! T = w' M^-1 w is the sum of (v/s)^2 and follows chi-squared with as many degrees of freedom as there are conditions.
//!
//! A length that was not measured is a reading with a very large standard deviation, so that it takes what the others
//! leave. M has three rows and one for each length across: so small that a Cholesky factor is a dozen lines here, and a
//! library of linear algebra would be more to carry than it takes off.

use super::survey::{Survey, Which};
use super::traverse::Vector;

/// A room's readings against its conditions.
#[derive(Debug, Clone)]
pub struct Adjustment {
    sides: usize,
    /// For every reading (lengths, turns, ties) its column of B, one after the other.
    columns: Vec<f64>,
    /// The Cholesky factor of M, row by row.
    factor: Vec<f64>,
    /// L^-1 w, by which every test is a plain product.
    misfit: Vec<f64>,
}

/// Rounds of adjusting where a reading may move far.
const ROUNDS: usize = 6;
/// A correction below this, in mm or radians, changes nothing that is shown.
const SETTLED: f64 = 1e-6;

impl Adjustment {
    /// The readings as they are, close enough to the truth that the conditions are straight between; none where there is
    /// no condition, as in an open run with nothing taken across.
    pub fn of(survey: &Survey) -> Option<Adjustment> {
        let conditions = Conditions::of(survey);
        let misfit = conditions.misfit.clone();
        Adjustment::solve(survey, conditions, misfit)
    }

    /// The same where something was not measured, or may be far off: begun again at the corrected values until they
    /// settle. Gives the corrected survey too, whose readings keep their standard deviations.
    pub fn settled(survey: &Survey) -> Option<(Adjustment, Survey)> {
        let mut adjustment = Adjustment::of(survey)?;
        let mut adjusted = adjustment.apply(survey);
        for _ in 0..ROUNDS {
            let conditions = Conditions::of(&adjusted);
            let mut misfit = conditions.misfit.clone();
            for which in survey.readings() {
                let moved = survey.reading(which).value - adjusted.reading(which).value;
                let column = conditions.column(which);
                for (row, by) in misfit.iter_mut().zip(column) {
                    *row += by * moved;
                }
            }
            adjustment = Adjustment::solve(survey, conditions, misfit)?;
            let next = adjustment.apply(survey);
            let moves = survey
                .readings()
                .map(|which| libm::fabs(next.reading(which).value - adjusted.reading(which).value));
            let most = moves.fold(0.0, f64::max);
            adjusted = next;
            if most < SETTLED {
                break;
            }
        }
        Some((adjustment, adjusted))
    }

    fn solve(survey: &Survey, conditions: Conditions, misfit: Vec<f64>) -> Option<Adjustment> {
        let rows = conditions.rows;
        if rows == 0 {
            return None;
        }
        let mut matrix = vec![0.0; rows * rows];
        for which in survey.readings() {
            let deviation = survey.reading(which).deviation;
            let column = conditions.column(which);
            for row in 0..rows {
                for other in 0..=row {
                    matrix[row * rows + other] +=
                        deviation * deviation * column[row] * column[other];
                }
            }
        }
        let factor = cholesky(matrix, rows)?;
        let misfit = forward(&factor, &misfit);
        Some(Adjustment {
            sides: conditions.sides,
            columns: conditions.columns,
            factor,
            misfit,
        })
    }

    /// How many conditions there are: the degrees of freedom.
    pub fn conditions(&self) -> usize {
        self.misfit.len()
    }

    /// T: how badly the readings fit, in squares of standard deviations.
    pub fn badness(&self) -> f64 {
        self.misfit.iter().map(|part| part * part).sum()
    }

    /// The logarithm of the determinant of M.
    pub fn log_determinant(&self) -> f64 {
        let rows = self.conditions();
        let pivots = (0..rows).map(|row| libm::log(self.factor[row * rows + row]));
        2.0 * pivots.sum::<f64>()
    }

    /// An element of M: how two conditions are out together by the readings' uncertainties alone.
    pub fn covariance(&self, row: usize, other: usize) -> f64 {
        let rows = self.conditions();
        let line = |row: usize| &self.factor[row * rows..(row + 1) * rows];
        // above the diagonal the factor's place holds nothing of it
        let both = row.min(other) + 1;
        dot(&line(row)[..both], &line(other)[..both])
    }

    /// L^-1 b of a reading: how the misfit moves with it.
    pub fn pull(&self, which: Which) -> Vec<f64> {
        let rows = self.conditions();
        let column = place(which, self.sides) * rows;
        forward(&self.factor, &self.columns[column..column + rows])
    }

    /// L^-1 w.
    pub fn misfit(&self) -> &[f64] {
        &self.misfit
    }

    /// What is to be added to a reading of this standard deviation.
    pub fn correction(&self, which: Which, deviation: f64) -> f64 {
        -deviation * deviation * dot(&self.pull(which), &self.misfit)
    }

    /// The standard deviation of a reading after the adjustment.
    pub fn deviation_after(&self, which: Which, deviation: f64) -> f64 {
        let pull = self.pull(which);
        let share = deviation * deviation * dot(&pull, &pull);
        deviation * (1.0 - share).max(0.0).sqrt()
    }

    fn apply(&self, survey: &Survey) -> Survey {
        let mut adjusted = survey.clone();
        for which in survey.readings() {
            let correction = self.correction(which, survey.reading(which).deviation);
            if let Some(reading) = adjusted.reading_mut(which) {
                reading.value += correction;
            }
        }
        adjusted
    }
}

/// A product of two rows of numbers.
pub fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// The place of a reading's column.
fn place(which: Which, sides: usize) -> usize {
    match which {
        Which::Length(side) => side,
        Which::Turn(side) => sides + side,
        Which::Tie(tie) => 2 * sides + tie,
    }
}

/// The conditions at given values: w and B.
struct Conditions {
    rows: usize,
    sides: usize,
    columns: Vec<f64>,
    misfit: Vec<f64>,
}

impl Conditions {
    fn of(survey: &Survey) -> Conditions {
        let sides = survey.sides.len();
        let closing = if survey.round.is_some() { 3 } else { 0 };
        let rows = closing + survey.ties.len();
        let mut conditions = Conditions {
            rows,
            sides,
            columns: vec![0.0; rows * (2 * sides + survey.ties.len())],
            misfit: vec![0.0; rows],
        };
        let points = survey.points();
        let legs = survey.traverse().legs;
        let directions: Vec<Vector> = (legs.iter())
            .map(|leg| Vector::along(leg.bearing, 1.0))
            .collect();
        if let Some(too_far) = survey.turned_too_far() {
            let end = points[sides];
            conditions.misfit[0] = end.north;
            conditions.misfit[1] = end.east;
            conditions.misfit[2] = too_far;
            for side in 0..sides {
                let length = conditions.column_mut(Which::Length(side));
                length[0] = directions[side].north;
                length[1] = directions[side].east;
                // a turn at this corner swings everything after it round the corner
                let swing = end.from(points[side + 1]).turned();
                let turn = conditions.column_mut(Which::Turn(side));
                turn[0] = swing.north;
                turn[1] = swing.east;
                turn[2] = 1.0;
            }
        }
        for (number, tie) in survey.ties.iter().enumerate() {
            let row = closing + number;
            let way = points[tie.to].from(points[tie.from]);
            let reach = way.length();
            conditions.misfit[row] = reach - tie.length.value;
            conditions.column_mut(Which::Tie(number))[row] = -1.0;
            if reach == 0.0 {
                continue;
            }
            let toward = way.times(1.0 / reach);
            for side in tie.from..tie.to {
                conditions.column_mut(Which::Length(side))[row] = directions[side].dot(toward);
                if side + 1 < tie.to {
                    let swing = points[tie.to].from(points[side + 1]).turned();
                    conditions.column_mut(Which::Turn(side))[row] = swing.dot(toward);
                }
            }
        }
        conditions
    }

    fn column(&self, which: Which) -> &[f64] {
        let column = place(which, self.sides) * self.rows;
        &self.columns[column..column + self.rows]
    }

    fn column_mut(&mut self, which: Which) -> &mut [f64] {
        let column = place(which, self.sides) * self.rows;
        &mut self.columns[column..column + self.rows]
    }
}

/// The lower factor of a symmetric matrix, in its place; none where it is singular.
fn cholesky(mut matrix: Vec<f64>, rows: usize) -> Option<Vec<f64>> {
    for row in 0..rows {
        for column in 0..=row {
            let before = (0..column)
                .map(|at| matrix[row * rows + at] * matrix[column * rows + at])
                .sum::<f64>();
            let rest = matrix[row * rows + column] - before;
            if row != column {
                matrix[row * rows + column] = rest / matrix[column * rows + column];
            } else if rest > 0.0 {
                matrix[row * rows + row] = rest.sqrt();
            } else {
                return None;
            }
        }
    }
    Some(matrix)
}

/// L^-1 of a column.
fn forward(factor: &[f64], column: &[f64]) -> Vec<f64> {
    let rows = column.len();
    let mut solved: Vec<f64> = Vec::with_capacity(rows);
    for row in 0..rows {
        let before = dot(&factor[row * rows..row * rows + row], &solved);
        solved.push((column[row] - before) / factor[row * rows + row]);
    }
    solved
}
