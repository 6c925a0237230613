//! What the program takes of the chip's memory while it runs, against the board's own budget. Its fixed part is held against
//! it when the image is built.

use super::pico::{Pico, Report};

/// The stack has never been deeper than the board's budget grants.
pub fn assert_within_budget(pico: &mut Pico) -> Report {
    let budget = include_str!("../../firmware/boards/pico/size-budget");
    let line = budget.lines().find_map(|line| line.strip_prefix("stack"));
    let number = line.and_then(|line| line.split_whitespace().next());
    let most: u32 = number
        .and_then(|number| number.parse().ok())
        .expect("a budget");
    let report = pico.report();
    println!("{} of {most} bytes of stack", report.stack);
    assert!(report.stack <= most);
    report
}
