//! Looking for the cheapest sticks while a person waits: a bar on the terminal where it takes long, and Ctrl-C to be content
//! with what was found. What is looked for is the planner's.

use std::cell::RefCell;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressStyle};
use planner::sticks::Effort;

/// How long a person waits before a bar is shown.
const PATIENCE: Duration = Duration::from_millis(400);

/// Somebody pressed Ctrl-C.
static STOP: AtomicBool = AtomicBool::new(false);
static LISTENING: OnceLock<bool> = OnceLock::new();

/// Plans with so much effort, `work` being what to do with it. Ctrl-C ends the search at its next whole step; the plan
/// is then the best one so far, and it is told how to get it again.
pub fn with_effort<T>(allowed: u32, work: impl FnOnce(&mut Effort<'_>) -> T) -> T {
    LISTENING.get_or_init(|| ctrlc::set_handler(|| STOP.store(true, Ordering::Relaxed)).is_ok());
    let start = Instant::now();
    let bar: RefCell<Option<ProgressBar>> = RefCell::new(None);
    let mut go_on = |passed: u32| {
        if start.elapsed() > PATIENCE {
            let mut bar = bar.borrow_mut();
            bar.get_or_insert_with(|| new_bar(allowed))
                .set_position(u64::from(passed));
        }
        !STOP.load(Ordering::Relaxed)
    };
    let mut effort = Effort::new(allowed, &mut go_on);
    let done = work(&mut effort);
    let passed = effort.passed();
    if let Some(bar) = bar.into_inner() {
        bar.finish_and_clear();
    }
    if STOP.swap(false, Ordering::Relaxed) {
        crate::say::tell(format_args!(
            "stopped at effort {passed}: --effort {passed} gives this plan again\n"
        ));
    }
    done
}

/// A bar on standard error, which shows itself only on a terminal.
fn new_bar(allowed: u32) -> ProgressBar {
    let style = ProgressStyle::with_template(
        "looking for the cheapest sticks {bar:24} {pos} of {len}  (Ctrl-C takes the best so far)",
    );
    let bar = ProgressBar::new(u64::from(allowed));
    match style {
        Ok(style) => bar.with_style(style),
        Err(_) => bar,
    }
}
