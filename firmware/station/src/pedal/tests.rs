//! Pedal timing as vectors from one table, each played with edges told as they come and with the level read every
//! millisecond, at the beginning of the clock and across its wrapping.
//!
//! Bounce: 1.6 ms on average and 6.2 ms at worst over a set of common switches, hundreds of milliseconds in another set
//! of 18 kinds (both published second-hand): hence clean edges, 6.2 ms trains and 100 ms of chatter.

use std::vec::Vec;

use super::PedalSays::{TakeBack, Tap};
use super::PedalShows::{ClosedAtStart, LetGoToTakeBack, Parked};
use super::*;
use crate::timing::STABLE;

type Edges = Vec<(u32, bool)>;

struct Vector {
    name: &'static str,
    closed_at_start: bool,
    edges: Edges,
    says: Vec<(u32, PedalSays)>,
    shows: Vec<(u32, Option<PedalShows>)>,
}

/// Edges `gaps` apart from `at` on, the last one to the level `closed`.
fn train(at: u32, closed: bool, gaps: &[u32]) -> Edges {
    let mut moment = at;
    let mut level = closed ^ (gaps.len() % 2 == 1);
    let mut edges = std::vec![(moment, level)];
    for gap in gaps {
        moment += gap;
        level = !level;
        edges.push((moment, level));
    }
    edges
}

/// 6.2 ms of bounce, in whole milliseconds 7.
fn bounce(at: u32, closed: bool) -> Edges {
    train(at, closed, &[1, 1, 2, 1, 1, 1])
}

/// 100 ms of chatter.
fn chatter(at: u32, closed: bool) -> Edges {
    let gaps = [3, 7, 2, 9, 5, 12, 1, 1, 4, 16, 2, 6, 11, 3, 8, 5, 2, 3];
    assert_eq!(gaps.iter().sum::<u32>(), 100);
    train(at, closed, &gaps)
}

/// Mains pick-up on an open contact: closed in every other half-wave, or for the half of every one.
fn pick_up(hertz: u32, every_half_wave: bool) -> Edges {
    let halves = 2 * hertz * if every_half_wave { 2 } else { 1 };
    (0..10 * halves)
        .map(|half| (1_000 + half * 1_000 / halves, half % 2 == 0))
        .collect()
}

fn press(from: u32, until: u32) -> Edges {
    std::vec![(from, true), (until, false)]
}

fn vectors() -> Vec<Vector> {
    let vector = |name, edges: &[Edges], says: &[(u32, PedalSays)]| Vector {
        name,
        closed_at_start: false,
        edges: edges.concat(),
        says: says.to_vec(),
        shows: Vec::new(),
    };
    let shown = |vector: Vector, shows: &[(u32, Option<PedalShows>)]| Vector {
        shows: shows.to_vec(),
        ..vector
    };
    let at_start = |vector: Vector| Vector {
        closed_at_start: true,
        ..vector
    };
    let take_back = [(925, Some(LetGoToTakeBack))];
    let parked = [(925, Some(LetGoToTakeBack)), (2_625, Some(Parked))];
    std::vec![
        vector("clean press", &[press(100, 220)], &[(245, Tap)]),
        vector("closed for 24 ms", &[press(100, 124)], &[]),
        vector("closed for 25 ms", &[press(100, 125)], &[(150, Tap)]),
        vector(
            "bounce of 6.2 ms at both ends",
            &[bounce(100, true), bounce(300, false)],
            &[(332, Tap)],
        ),
        vector(
            "chatter of 100 ms at both ends",
            &[chatter(100, true), chatter(400, false)],
            &[(525, Tap)],
        ),
        vector(
            "chatter of 100 ms, never closed for long",
            &[chatter(100, true), press(203, 210)],
            &[],
        ),
        vector("pick-up of 50 Hz", &[pick_up(50, false)], &[]),
        vector("pick-up of 60 Hz", &[pick_up(60, false)], &[]),
        vector(
            "pick-up of 50 Hz, both half-waves",
            &[pick_up(50, true)],
            &[]
        ),
        vector(
            "pick-up of 60 Hz, both half-waves",
            &[pick_up(60, true)],
            &[]
        ),
        vector("hold of 0.7 s", &[press(100, 800)], &[(825, Tap)]),
        vector("hold of 0.799 s", &[press(100, 899)], &[(924, Tap)]),
        vector("hold of 0.8 s", &[press(100, 900)], &[(925, TakeBack)]),
        shown(
            vector("hold of 2.4 s", &[press(100, 2_500)], &[(2_525, TakeBack)]),
            &[take_back[0], (2_525, None)],
        ),
        shown(
            vector(
                "hold of 2.499 s",
                &[press(100, 2_599)],
                &[(2_624, TakeBack)]
            ),
            &[take_back[0], (2_624, None)],
        ),
        shown(
            vector("hold of 2.5 s", &[press(100, 2_600)], &[]),
            &[take_back[0], (2_625, None)],
        ),
        shown(
            vector("hold of 10 s", &[press(100, 10_100)], &[]),
            &[parked[0], parked[1], (10_125, None)],
        ),
        vector(
            "double press inside the hold-off",
            &[press(100, 200), press(549, 640)],
            &[(225, Tap)],
        ),
        vector(
            "double press as the hold-off ends",
            &[press(100, 200), press(550, 640)],
            &[(225, Tap), (665, Tap)],
        ),
        vector(
            "two meant presses 400 ms apart",
            &[press(100, 200), press(600, 700)],
            &[(225, Tap), (725, Tap)],
        ),
        vector(
            "a double press does not hold the next one off",
            &[press(100, 200), press(300, 380), press(600, 700)],
            &[(225, Tap), (725, Tap)],
        ),
        shown(
            vector(
                "a double press that stays is a parked foot",
                &[press(100, 200), press(300, 4_000)],
                &[(225, Tap)],
            ),
            &[(2_825, Some(Parked)), (4_025, None)],
        ),
        shown(
            vector(
                "a tap too soon after a take-back",
                &[press(100, 1_100), press(1_300, 1_400)],
                &[(1_125, TakeBack)],
            ),
            &[take_back[0], (1_125, None)],
        ),
        shown(
            at_start(vector(
                "closed at power-on",
                &[std::vec![(5_000, false)], press(6_000, 6_100)],
                &[(6_125, Tap)],
            )),
            &[(0, Some(ClosedAtStart)), (5_025, None)],
        ),
        shown(
            at_start(vector(
                "closed at power-on, then lifted with a bounce",
                &[chatter(3_000, false), press(3_200, 3_300)],
                &[],
            )),
            &[(0, Some(ClosedAtStart)), (3_125, None)],
        ),
    ]
}

/// What the pedal said and showed, with the times.
#[derive(Debug, PartialEq, Eq)]
struct Seen {
    says: Vec<(u32, PedalSays)>,
    shows: Vec<(u32, Option<PedalShows>)>,
}

struct Player {
    pedal: Pedal,
    start: u32,
    seen: Seen,
    shown: Option<PedalShows>,
}

impl Player {
    fn new(vector: &Vector, start: u32) -> Player {
        let mut player = Player {
            pedal: Pedal::new(vector.closed_at_start),
            start,
            seen: Seen {
                says: Vec::new(),
                shows: Vec::new(),
            },
            shown: None,
        };
        player.note(None, 0);
        player
    }

    fn note(&mut self, says: Option<PedalSays>, at: u32) {
        self.seen.says.extend(says.map(|says| (at, says)));
        let shows = self.pedal.shows(self.start.wrapping_add(at));
        if shows != self.shown {
            self.shown = shows;
            self.seen.shows.push((at, shows));
        }
    }

    fn edge(&mut self, closed: bool, at: u32) {
        let says = self.pedal.edge(closed, self.start.wrapping_add(at));
        self.note(says, at);
    }

    /// Wakes only when the pedal asks for it.
    fn sleep_until(&mut self, now: u32, until: u32) {
        let mut now = self.start.wrapping_add(now);
        while let Some(moment) = self.pedal.changes_at(now) {
            let at = moment.wrapping_sub(self.start);
            if at > until {
                break;
            }
            now = moment;
            let says = self.pedal.time(now);
            self.note(says, at);
        }
    }
}

#[test]
fn every_vector_edge_by_edge_and_millisecond_by_millisecond() {
    for vector in vectors() {
        let expected = Seen {
            says: vector.says.clone(),
            shows: vector.shows.clone(),
        };
        let end = vector.edges.last().map_or(0, |(at, _)| *at) + 3 * PARKED;
        for start in [0, 17, u32::MAX - 300, u32::MAX - 5_000, 1 << 31] {
            let mut player = Player::new(&vector, start);
            let mut now = 0;
            for &(at, closed) in &vector.edges {
                player.sleep_until(now, at);
                player.edge(closed, at);
                now = at;
            }
            player.sleep_until(now, end);
            assert_eq!(player.seen, expected, "{}: edges from {start}", vector.name);

            let mut player = Player::new(&vector, start);
            let mut edges = vector.edges.iter().peekable();
            let mut level = vector.closed_at_start;
            for now in 0..end {
                while let Some((_, closed)) = edges.next_if(|(at, _)| *at <= now) {
                    level = *closed;
                }
                player.edge(level, now);
            }
            assert_eq!(
                player.seen, expected,
                "{}: polled from {start}",
                vector.name
            );
        }
    }
}

#[test]
fn a_contact_flickering_while_pressed_stays_one_press() {
    for hertz in [50, 60] {
        let mut pedal = Pedal::new(false);
        assert_eq!(pedal.edge(true, 0), None);
        let mut said = Vec::new();
        // pick_up begins with an edge to closed at 1 s: here the other way round, open in every other half-wave
        for (at, open) in pick_up(hertz, false) {
            said.extend(pedal.edge(!open, at - 900));
        }
        said.extend(pedal.edge(true, 11_000));
        assert!(said.is_empty(), "{hertz} Hz: {said:?}");
        assert_eq!(pedal.shows(11_000), Some(Parked));
    }
}

#[test]
fn a_press_told_late_counts_by_its_own_times() {
    let mut pedal = Pedal::new(false);
    assert_eq!(pedal.edge(true, 1_000), None);
    assert_eq!(pedal.edge(false, 1_700), None);
    assert_eq!(pedal.time(60_000), Some(Tap));
    assert!(!pedal.is_pressed());
}

#[test]
fn a_press_is_under_way_from_its_first_edge_until_it_is_parked() {
    let mut pedal = Pedal::new(false);
    pedal.edge(true, 1_000);
    assert!(pedal.is_pressed());
    pedal.time(1_000 + STABLE);
    assert!(pedal.is_pressed());
    pedal.time(1_000 + STABLE + PARKED);
    assert!(!pedal.is_pressed());
}
