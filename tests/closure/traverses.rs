//! Traverses worked in surveying texts, leg by leg with bearings: every printed figure.

use planner::closure::traverse::{Leg, Traverse, Vector};

fn traverse(legs: &[(f64, f64, f64)]) -> Traverse {
    let legs = legs
        .iter()
        .map(|&(degrees, minutes, length)| Leg::azimuth(degrees + minutes / 60.0, length));
    Traverse {
        legs: legs.collect(),
    }
}

fn sum(ways: &[Vector]) -> Vector {
    ways.iter()
        .fold(Vector::default(), |sum, way| sum.plus(*way))
}

fn assert_near(got: f64, printed: f64, within: f64) {
    assert!((got - printed).abs() < within, "{got} for {printed}");
}

/// Purdue University, civil engineering course notes: a five-leg traverse, booked to hundredths of a foot.
#[test]
fn five_legs_to_hundredths_with_the_compass_rule() {
    let traverse = traverse(&[
        (26.0, 10.0, 285.10),
        (104.0, 35.0, 610.45),
        (195.0, 30.0, 720.48),
        (358.0, 18.0, 203.00),
        (306.0, 54.0, 647.02),
    ]);
    let booked = traverse.booked(0.01);
    let latitudes = [255.88, -153.70, -694.28, 202.91, 388.48];
    let departures = [125.72, 590.78, -192.54, -6.02, -517.41];
    for (way, printed) in booked.iter().zip(latitudes.iter().zip(departures)) {
        assert_near(way.north, *printed.0, 1e-6);
        assert_near(way.east, printed.1, 1e-6);
    }
    assert_near(traverse.perimeter(), 2466.05, 1e-6);
    let misclosure = sum(&booked);
    assert_near(misclosure.north, -0.71, 1e-6);
    assert_near(misclosure.east, 0.53, 1e-6);
    assert_near(misclosure.length(), 0.89, 0.005);
    // the text divides by the printed .89
    assert_near(traverse.perimeter() / 0.89, 2771.0, 0.5);
    let corrections = traverse.compass_corrections(0.01);
    let latitudes = [0.08, 0.18, 0.21, 0.06, 0.18];
    let departures = [-0.06, -0.13, -0.15, -0.05, -0.14];
    for (correction, printed) in corrections.iter().zip(latitudes.iter().zip(departures)) {
        assert_near(correction.north, *printed.0, 1e-6);
        assert_near(correction.east, printed.1, 1e-6);
    }
    let closed = sum(&corrections).plus(misclosure);
    assert_near(closed.length(), 0.0, 1e-9);
}

/// J. Mahun, open-access surveying text, traverse computations: S68-05-35W 472.68, N19-46-00W 216.13, N45-55-20E 276.52,
/// S54-59-15E 382.24.
#[test]
fn four_legs_to_thousandths() {
    let seconds =
        |degrees: f64, minutes: f64, seconds: f64| degrees + minutes / 60.0 + seconds / 3600.0;
    let legs = [
        (180.0 + seconds(68.0, 5.0, 35.0), 472.68),
        (360.0 - seconds(19.0, 46.0, 0.0), 216.13),
        (seconds(45.0, 55.0, 20.0), 276.52),
        (180.0 - seconds(54.0, 59.0, 15.0), 382.24),
    ];
    let traverse = Traverse {
        legs: legs
            .iter()
            .map(|&(azimuth, length)| Leg::azimuth(azimuth, length))
            .collect(),
    };
    assert_near(traverse.perimeter(), 1347.57, 1e-6);
    let misclosure = sum(&traverse.booked(0.001));
    assert_near(misclosure.north, 0.083, 5e-4);
    assert_near(misclosure.east, 0.075, 5e-4);
}

/// "Sample traverse computations", a worked sheet on the web (scribd.com/doc/279716815): six legs booked to 1/10,000 ft, out
/// by 1 in 200.
#[test]
fn six_legs_that_are_out_by_much_with_the_compass_rule() {
    let traverse = traverse(&[
        (5.0, 30.0, 495.85),
        (46.0, 2.0, 850.62),
        (180.0 - 67.0, -38.0, 855.45),
        (180.0 - 12.0, -25.0, 1020.87),
        (180.0 + 83.0, 44.0, 1117.26),
        (360.0 - 55.0, -9.0, 660.08),
    ]);
    let ways = [
        (493.5672, 47.5251),
        (590.5342, 612.2285),
        (-325.5265, 791.0924),
        (-996.9916, 219.5069),
        (-121.9557, -1110.5840),
        (377.1895, -541.6952),
    ];
    let corrections = [
        (-1.6677, -1.7923),
        (-2.8609, -3.0747),
        (-2.8772, -3.0922),
        (-3.4335, -3.6901),
        (-3.7577, -4.0385),
        (-2.2201, -2.3860),
    ];
    for (way, printed) in traverse.booked(0.0001).iter().zip(ways) {
        assert_near(way.north, printed.0, 1.5e-4);
        assert_near(way.east, printed.1, 1.5e-4);
    }
    for (correction, printed) in traverse.compass_corrections(0.0001).iter().zip(corrections) {
        assert_near(correction.north, printed.0, 1.5e-4);
        assert_near(correction.east, printed.1, 1.5e-4);
    }
    assert_near(traverse.perimeter(), 5000.13, 1e-6);
    assert_near(traverse.misclosure().length(), 24.6876, 1e-3);
    assert_near(traverse.ratio().expect("it does not close"), 200.0, 5.0);
}
