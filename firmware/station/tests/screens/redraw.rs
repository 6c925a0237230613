//! Partial redraws: any sequence of them ends in the same pixels as one full draw, and paints less.

use proptest::prelude::*;
use shared_model::Posture;
use station::screen::{Panel, Screen};
use station::settings::BoardWords;
use station::view::{Body, View};

use crate::canvas::Canvas;
use crate::thrown::{Dice, PANELS, ends, thrown};
use crate::views::{banners, finished, pages, shows};

/// A view thrown from a seed: mostly pieces, often with a banner.
fn view(seed: u64) -> View {
    let mut dice = Dice::new(seed);
    let mut view = match dice.below(12) {
        0 => finished(),
        2..6 => dice.pick(&pages()),
        1 => View {
            body: Body::NoList,
            banner: None,
        },
        _ => {
            let (left, right) = (dice.pick(&ends()), dice.pick(&ends()));
            let postures = (dice.pick(&Posture::ALL), dice.pick(&Posture::ALL));
            shows(thrown(&mut dice, left, right, postures))
        }
    };
    if dice.below(3) == 0 {
        view.banner = Some(dice.pick(&banners()));
    }
    view
}

/// A view that differs from another in one respect.
fn changed(mut view: View, seed: u64) -> View {
    let mut dice = Dice::new(seed);
    let Body::Piece(piece) = &mut view.body else {
        return view;
    };
    match dice.below(9) {
        7 => piece.leaf = (piece.leaf + 1) % 4,
        8 => piece.words = BoardWords::Board,
        0 => piece.number += 1,
        1 => piece.left.already = !piece.left.already,
        2 => piece.looking = !piece.looking,
        3 => piece.wall = piece.wall.wrapping_add(1),
        4 => piece.next = None,
        5 => piece.new_moulding = !piece.new_moulding,
        _ => view.banner = dice.pick(&banners()).into(),
    }
    view
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn redraws_end_as_one_full_draw(seeds in proptest::collection::vec(any::<u64>(), 2..8), panel in 0..5usize) {
        let panel = Panel::ALL[panel];
        let screen = Screen::new(panel);
        let mut shown = view(seeds[0]);
        let mut canvas = Canvas::new(panel);
        screen.draw(&shown, &mut canvas).expect("memory does not fail");
        prop_assert!(canvas.is_covered());
        for &seed in &seeds[1..] {
            let next = if seed % 3 == 0 { view(seed) } else { changed(shown.clone(), seed) };
            screen.redraw(&shown, &next, &mut canvas).expect("memory does not fail");
            let mut whole = Canvas::new(panel);
            screen.draw(&next, &mut whole).expect("memory does not fail");
            prop_assert!(canvas.shows_the_same(&whole), "{shown:?} then {next:?}");
            shown = next;
        }
    }
}

#[test]
fn what_is_the_same_is_not_painted_again() {
    for panel in PANELS {
        let screen = Screen::new(panel);
        let mut dice = Dice::new(3);
        let postures = (Posture::StandingUpright, Posture::StandingUpright);
        let old = shows(thrown(&mut dice, ends()[0], ends()[2], postures));
        let mut canvas = Canvas::new(panel);
        screen
            .redraw(&old, &old, &mut canvas)
            .expect("memory does not fail");
        assert_eq!(canvas.written, 0);
        let mut new = old.clone();
        if let Body::Piece(piece) = &mut new.body {
            piece.number += 1;
        }
        screen
            .redraw(&old, &new, &mut canvas)
            .expect("memory does not fail");
        let all = (panel.width * panel.height) as usize;
        assert!(
            canvas.written > 0 && canvas.written < all,
            "{}",
            canvas.written
        );
    }
}
