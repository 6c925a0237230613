//! What the stick planner reaches: a table of classes, with first-fit and best-fit decreasing beside it in the same run.
//! Words after `--` choose the rows whose names begin with one of them; `effort=N` sets the effort, `seed=N` takes one
//! instance of each class, `digest` only sees that the plans of a few levels are the stored ones to the last bit, and
//! `json` prints instances and plans for another program. Counted work is what a plan hangs
//! on; seconds are those that pass on this machine while other programs run as they will.

mod changes;
mod classes;
mod digest;
mod level;
mod machine;
mod mersenne;
mod simple;

use std::time::Instant;

use classes::{Instance, levels, planted, triplet, uniform};
use machine::most_memory;
use planner::sticks::check::{Asked, check};
use planner::sticks::{Effort, SticksPlan, Task, Wishes, plan_sticks};
use shared_model::{End, Length};
use simple::{decreasing, kinds};

/// A class's name, and how its instances are made.
type Row = (String, Box<dyn Fn() -> Vec<Instance>>);

fn main() {
    let words: Vec<String> = std::env::args()
        .skip(1)
        .filter(|w| !w.starts_with('-'))
        .collect();
    if words.iter().any(|word| word == "digest") {
        let plan = |instance: &Instance, steps| planned("digest", instance, steps).0;
        assert_eq!(
            digest::digest(plan),
            digest::STORED,
            "other plans than stored"
        );
        println!("digest {:08x}", digest::STORED);
        return;
    }
    let effort = words.iter().find_map(|word| word.strip_prefix("effort="));
    let effort = effort.map_or(Effort::USUAL, |n| n.parse().expect("a number"));
    let single = words.iter().find_map(|word| word.strip_prefix("seed="));
    let seeds = single.map_or(0..20, |n| {
        let n: u64 = n.parse().expect("a number");
        n..n + 1
    });
    let json = words.iter().any(|word| word == "json");
    let wanted: Vec<&String> = (words.iter())
        .filter(|word| !word.contains('=') && *word != "json")
        .collect();
    let show: fn(&str, &[Instance], u32) = if json { print_json } else { row };
    let head = format!(
        "{:12} {:>4} {:>7} {:>12} {:>12} {:>12} {:>12} {:>15} {:>22} {:>18} {:>9} {:>23}",
        "class",
        "of",
        "proved",
        "FFD %",
        "BFD %",
        "ours %",
        "mean cost",
        "steps mean/max",
        "s proved: med/mean/max",
        "s in all: mean/max",
        "left<1 in",
        "changes (see below)"
    );
    if !json {
        println!("{head}");
    }
    let mut rows: Vec<Row> = Vec::new();
    for pieces in [120, 250, 500, 1000] {
        let seeds = seeds.clone();
        rows.push((
            format!("U{pieces}"),
            Box::new(move || uniform(pieces, seeds.clone())),
        ));
    }
    for pieces in [60, 120, 249, 501] {
        let seeds = seeds.clone();
        rows.push((
            format!("T{pieces}"),
            Box::new(move || triplet(pieces, seeds.clone())),
        ));
    }
    for sticks in [10, 20, 40, 60] {
        let seeds = seeds.clone();
        rows.push((
            format!("planted{sticks}"),
            Box::new(move || planted(sticks, seeds.clone())),
        ));
    }
    for pieces in [40, 80, 150, 250] {
        for name in ["S1", "S2", "S4", "P4", "L4"] {
            let seeds = seeds.clone();
            let make = move || levels(name, pieces, seeds.clone());
            rows.push((format!("{name}-{pieces}"), Box::new(make)));
        }
    }
    for (name, stock) in [("Q1", "S1"), ("Q4", "S4"), ("QP", "P4")] {
        let seeds = seeds.clone();
        let make = move || squared(levels(stock, 20, seeds.clone()));
        rows.push((format!("{name}-20"), Box::new(make)));
    }
    for name in ["S1", "S4", "P4"] {
        rows.push((
            format!("{name}-10000"),
            Box::new(move || levels(name, 10_000, 0..1)),
        ));
    }
    for (name, make) in rows {
        if wanted.is_empty() || wanted.iter().any(|w| name.starts_with(w.as_str())) {
            show(&name, &make(), effort);
        }
    }
    if !json {
        println!(
            "left<1 in: how often the longest leftover is within an inch of the most that the same sticks can have\n\
             changes of the saw's setting, mean: as the list has pieces and sticks / pieces ordered / sticks too / at least"
        );
        if let Some(megabytes) = most_memory() {
            println!("most memory: {megabytes:.1} MB");
        }
    }
}

/// The same with every end square, so that a program that knows nothing of ends can be asked the same.
fn squared(mut instances: Vec<Instance>) -> Vec<Instance> {
    for blank in instances.iter_mut().flat_map(|i| &mut i.blanks) {
        (blank.left.end, blank.right.end) = (End::Square, End::Square);
    }
    instances
}

/// Mean and most of some figures.
fn mean_and_most(figures: &[f64]) -> (f64, f64) {
    let sum: f64 = figures.iter().sum();
    (
        sum / figures.len() as f64,
        figures.iter().copied().fold(0.0, f64::max),
    )
}

/// What a plan took.
struct Taken {
    /// Steps of effort.
    steps: u32,
    /// Seconds until cost and bound were settled, to the end of that step of effort.
    settled: f64,
    /// Seconds in all.
    seconds: f64,
}

/// A plan that has passed the checker, and what it took.
fn planned(name: &str, instance: &Instance, steps: u32) -> (SticksPlan, Taken) {
    let start = Instant::now();
    let mut passed: Vec<f64> = Vec::new();
    let mut go_on = |_| {
        passed.push(start.elapsed().as_secs_f64());
        true
    };
    let mut effort = Effort::new(steps, &mut go_on);
    let task = Task {
        number: 0,
        moulding: &instance.moulding,
        saw: &instance.saw,
        blanks: &instance.blanks,
        rooms: &[],
        wishes: Wishes::USUAL,
    };
    let plan = plan_sticks(&task, &mut effort);
    let seconds = start.elapsed().as_secs_f64();
    let asked = Asked {
        moulding: &instance.moulding,
        saw: &instance.saw,
        blanks: &instance.blanks,
    };
    assert_eq!(check(&asked, &plan), Ok(()), "{name} {}", instance.number);
    assert!(plan.unplaced.is_empty(), "{name} {}", instance.number);
    let (steps, settled) = (effort.passed(), effort.settled());
    let settled = settled.and_then(|step| passed.get(step as usize));
    let taken = Taken {
        steps,
        settled: settled.map_or(seconds, |&at| at),
        seconds,
    };
    (plan, taken)
}

/// Each instance as a line of JSON, lengths in units of [`shared_model::Length`]; what ends do is left out.
fn print_json(name: &str, instances: &[Instance], steps: u32) {
    for instance in instances {
        let (plan, Taken { seconds, .. }) = planned(name, instance, steps);
        let pieces: Vec<i32> = instance.blanks.iter().map(|b| b.length.units()).collect();
        let sticks = kinds(&instance.moulding).into_iter();
        let sticks: Vec<[i64; 2]> = sticks.map(|(length, cost, _)| [length, cost]).collect();
        println!(
            "{{\"class\":\"{name}\",\"number\":{},\"trim\":{},\"kerf\":{},\"kinds\":{sticks:?},\"pieces\":{pieces:?},\
             \"cost\":{},\"bound\":{},\"seconds\":{seconds:.6}}}",
            instance.number,
            instance.saw.end_trim.units(),
            instance.saw.kerf.units(),
            plan.cost,
            plan.bound,
        );
    }
}

fn row(name: &str, instances: &[Instance], steps: u32) {
    let (mut first, mut best, mut ours) = (Vec::new(), Vec::new(), Vec::new());
    let (mut settled, mut seconds, mut spent) = (Vec::new(), Vec::new(), Vec::new());
    let (mut costs, mut proved) = (Vec::new(), 0);
    let (mut open, mut near, mut changes) = (Vec::new(), 0, [0.0; 4]);
    for instance in instances {
        let (plan, taken) = planned(name, instance, steps);
        settled.push(taken.settled);
        seconds.push(taken.seconds);
        let over = |cost: i64| 100.0 * (cost - plan.bound) as f64 / plan.bound.max(1) as f64;
        for (best_fit, to) in [(false, &mut first), (true, &mut best)] {
            let cost = decreasing(
                &instance.blanks,
                &instance.moulding,
                &instance.saw,
                best_fit,
            );
            to.extend(cost.map(over));
        }
        ours.push(over(plan.cost));
        costs.push(plan.cost as f64);
        spent.push(f64::from(taken.steps));
        near += usize::from(plan.leftover[1] - plan.leftover[0] <= Length::inches(1));
        for (to, count) in changes.iter_mut().zip(changes::counts(instance, &plan)) {
            *to += f64::from(count) / instances.len() as f64;
        }
        match plan.cost == plan.bound {
            true => proved += 1,
            false => open.push(instance.number),
        }
    }
    let percent = |figures: &[f64]| {
        let (mean, most) = mean_and_most(figures);
        format!("{mean:.2}/{most:.2}")
    };
    let priced = instances[0]
        .moulding
        .sticks
        .iter()
        .all(|kind| kind.price.is_some());
    // money, or feet
    let unit = if priced { 10_000.0 } else { 16_256.0 * 12.0 };
    settled.sort_by(f64::total_cmp);
    let (steps_mean, steps_most) = mean_and_most(&spent);
    let (mean, most) = mean_and_most(&settled);
    let (mean_in_all, most_in_all) = mean_and_most(&seconds);
    let open: Vec<String> = open.iter().map(u64::to_string).collect();
    println!(
        "{name:12} {:>4} {proved:>7} {:>12} {:>12} {:>12} {:>12.3} {:>15} {:>22} {:>18} {near:>9} {:>23} {}",
        instances.len(),
        percent(&first),
        percent(&best),
        percent(&ours),
        mean_and_most(&costs).0 / unit,
        format!("{steps_mean:.0}/{steps_most:.0}"),
        format!("{:.4}/{mean:.3}/{most:.3}", settled[settled.len() / 2]),
        format!("{mean_in_all:.3}/{most_in_all:.3}"),
        changes.map(|count| format!("{count:.0}")).join("/"),
        if open.is_empty() {
            String::new()
        } else {
            format!("open: {}", open.join(" "))
        },
    );
}
