//! How well wrong measurements are caught: 10,000 seeded slips of the pen in real rooms, for corners off by a tenth, a
//! quarter and a half of a degree, without and with lengths taken across. A number after `--` sets another count.

// the rooms and the slips are those of the whole-program tests, which use more of them than this bench
#[allow(dead_code)]
#[path = "../../tests/rooms"]
mod rooms {
    pub mod data;
    pub mod outline;
    pub mod plane;
}
#[allow(dead_code)]
#[path = "../../tests/closure"]
mod closure {
    pub mod blunder;
    pub mod noise;
    pub mod random;
    pub mod trials;
}

use closure::trials::{Outcome, SIZES, Trials};

fn main() {
    let mut counts = std::env::args().filter_map(|argument| argument.parse().ok());
    let count = counts.next_back().unwrap_or(10_000);
    println!(
        "{count} slips in 85 real rooms; every share is of those slips, or of those caught (*)\n"
    );
    println!(
        "corners  taken  across | accused  caught  over seen | named*  lengths*  first*  in five*"
    );
    let mut last = Vec::new();
    for (corners, taken_for) in [(0.1, 0.1), (0.25, 0.25), (0.5, 0.5), (0.5, 0.25)] {
        for across in [0, 1, 2] {
            let outcome = Trials {
                count,
                corners,
                taken_for,
                across,
                seed: 1,
            }
            .run();
            println!(
                "{corners:>7}  {taken_for:>5}  {across:>6} | {:>7}  {:>6}  {:>9} | {:>6}  {:>8.1}  {:>6}  {:>8}",
                outcome.accused,
                outcome.caught,
                outcome.over_seen,
                outcome.named,
                outcome.mean_suspects(),
                outcome.first,
                outcome.five,
            );
            if (corners, taken_for) == (0.25, 0.25) {
                last.push((across, outcome));
            }
        }
    }
    for (across, outcome) in &last {
        println!("\ncorners off by a quarter of a degree, {across} lengths across");
        details(outcome);
    }
}

fn details(outcome: &Outcome) {
    println!("  a length wrong by, in    caught      of");
    let mut above = 0.0;
    for (class, share) in &outcome.by_size {
        let up_to = SIZES[*class as usize];
        let size = match up_to > 1e6 {
            true => format!("over {above}"),
            false => format!("{above} to {up_to}"),
        };
        println!("  {size:<20} {share:>10}  {:>6}", share.of);
        above = up_to;
    }
    println!("  kind               caught   first*  in five*");
    for (kind, [caught, first, five]) in &outcome.by_kind {
        let kind = format!("{kind:?}");
        println!("  {kind:<17} {caught:>7}  {first:>7}  {five:>8}");
    }
}
