//! A program that goes astray starts again by itself, says so, and is back at the piece. What is stored on the way is left
//! to the record's own tests.

use station::machine::Input;
use station::timing::WORD_STAYS;

use super::pico::{FlashTimes, Pico};
use super::pictures::assert_shows;
use super::saw_list::{Twin, flash, sheet};

#[test]
#[ignore = "needs node, npm ci and the Pico image"]
fn a_panic_a_fault_and_a_standstill_end_in_a_restart_that_is_said() {
    let sheet = sheet();
    for how in ["panic", "fault", "stuck"] {
        let mut twin = Twin::of(&sheet);
        let mut pico = Pico::new(FlashTimes::TYPICAL, Some(&flash(&sheet)));
        pico.start();
        pico.run(500.0);
        pico.astray(how);
        assert!(pico.run_until("restarted", 10_000.0), "{how}");
        assert!(pico.run_until("shown", 400.0), "{how}");
        pico.run(10.0);
        twin.take(Input::Restarted);
        assert_shows(&mut pico, &twin.picture(), how);
        pico.run(f64::from(WORD_STAYS));
        assert_shows(&mut pico, &Twin::of(&sheet).picture(), how);
        assert_eq!(pico.report().restarts, 1, "{how}");
    }
}
