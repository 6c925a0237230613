//! The saw view in every posture. That it agrees with solid boards is tested by the whole program.

use super::*;

fn saw(slides: bool) -> SawHead {
    let wide = Angle::degrees(60);
    SawHead {
        slides,
        swing_left: wide,
        swing_right: wide,
        tilt_left: wide,
        tilt_right: Angle::ZERO,
        true_45: True45::EXACT,
    }
}

#[test]
fn turning_twice_is_no_turn_and_once_swaps_everything() {
    for posture in Posture::ALL {
        assert_eq!(posture.turned().turned(), posture);
        assert_eq!(posture.turned().by(), posture.by());
        for side in [Side::Left, Side::Right] {
            assert_eq!(posture.swaps(posture.swaps(side)), side);
            assert_eq!(posture.turned().swaps(side), posture.swaps(side).other());
        }
    }
}

#[test]
fn a_mirrored_board_swings_the_other_way() {
    for posture in Posture::ALL {
        for end in [
            End::Cope {
                gauge: Angle::degrees(92),
            },
            End::OutsideMiter {
                gauge: Angle::degrees(135),
            },
            End::Square,
            End::Return,
        ] {
            let plain = Length::inches(4);
            let left = saw_cut(end, Side::Left, posture, plain, &saw(true));
            let right = saw_cut(end, Side::Right, posture, plain, &saw(true));
            let opposite = |way| match way {
                Way::Left => Way::Right,
                Way::Right => Way::Left,
                Way::None => Way::None,
            };
            assert_eq!(left.side, right.side.other());
            assert_eq!(left.way, opposite(right.way));
            if posture.stands() {
                assert_eq!(
                    left.plain.map(|cut| cut.way),
                    right.plain.map(|cut| opposite(cut.way))
                );
            }
        }
    }
}

#[test]
fn a_saw_that_cuts_less_than_its_scale_reads_is_set_beyond() {
    // computed: 43 * 45 / 44.8 = 43.19, 47 * 45 / 45.5 = 46.48; a range is by the scale
    let mut saw = saw(false);
    saw.true_45.swing_left = Angle::hundredths(4480);
    saw.true_45.swing_right = Angle::hundredths(4550);
    let (plain_part, upside_down) = (Length::inches(4), Posture::StandingUpsideDown);
    let gauge = Angle::degrees(94);
    let cut =
        |installed, saw| saw_cut(End::Cope { gauge }, installed, upside_down, plain_part, saw);
    let at_left = cut(Side::Left, &saw);
    assert_eq!(
        (at_left.way, at_left.degrees, at_left.scale),
        (Way::Left, Angle::degrees(43), Angle::hundredths(4320))
    );
    let plain = at_left.plain.expect("upside down the plain part is on top");
    // 4 * 45 / 45.5 = 3.96
    assert_eq!(
        (plain.way, plain.degrees, plain.scale),
        (Way::Right, Angle::degrees(4), Angle::degrees(4))
    );
    let gauge = Angle::degrees(86);
    let outside = saw_cut(
        End::OutsideMiter { gauge },
        Side::Left,
        upside_down,
        plain_part,
        &saw,
    );
    assert_eq!(
        (outside.way, outside.degrees, outside.scale),
        (Way::Right, Angle::degrees(47), Angle::hundredths(4650))
    );
    // tilts were not measured
    let flat = saw_cut(
        End::OutsideMiter { gauge },
        Side::Right,
        Posture::FlatTopToFence,
        plain_part,
        &saw,
    );
    assert_eq!((flat.way, flat.scale), (Way::Right, Angle::degrees(47)));
}

#[test]
fn the_back_cut_of_a_wide_cope_leans_the_other_way() {
    // an installed-left cope standing upside down is first swung left, then for the back cut right: common practice
    let end = End::Cope {
        gauge: Angle::degrees(94),
    };
    let cut = saw_cut(
        end,
        Side::Left,
        Posture::StandingUpsideDown,
        Length::inches(4),
        &saw(false),
    );
    let plain = cut.plain.expect("upside down the plain part is on top");
    assert_eq!((cut.way, cut.degrees), (Way::Left, Angle::degrees(43)));
    assert_eq!((plain.way, plain.degrees), (Way::Right, Angle::degrees(4)));
}

#[test]
fn the_plain_cut_is_made_only_from_above() {
    let end = End::Cope {
        gauge: Angle::RIGHT,
    };
    for (posture, slides, can) in [
        (Posture::StandingUpsideDown, false, true),
        (Posture::StandingUpsideDown, true, true),
        (Posture::StandingUpright, true, false),
        (Posture::FlatTopToFence, false, false),
        (Posture::FlatTopToFence, true, true),
        (Posture::FlatBottomToFence, true, false),
    ] {
        let cut = saw_cut(end, Side::Right, posture, Length::inches(4), &saw(slides));
        assert_eq!(cut.plain.is_some(), can, "{posture} {slides}");
    }
}

#[test]
fn a_back_cut_beyond_the_saw_is_made_by_hand() {
    // this saw tilts to the left only: the back cut of the installed-right cope would tilt to the right
    let gauge = Angle::degrees(94);
    let flat = |side| {
        let cope = End::Cope { gauge };
        saw_cut(
            cope,
            side,
            Posture::FlatTopToFence,
            Length::inches(4),
            &saw(true),
        )
    };
    assert_eq!(flat(Side::Right).way, Way::Left);
    assert_eq!(flat(Side::Right).plain, None);
    let plain = flat(Side::Left)
        .plain
        .expect("the back cut tilts to the left");
    assert_eq!((plain.way, plain.degrees), (Way::Left, Angle::degrees(4)));
}

#[test]
fn figures_run_between_the_points_that_can_be_hooked() {
    let (back, thickness) = (Length::inches(30), Length::sixteenths(9));
    let gauge = Angle::RIGHT;
    let (cope, miter) = (End::Cope { gauge }, End::OutsideMiter { gauge });
    let figure = Figure::of(back, cope, miter, thickness);
    assert_eq!(figure.arris, Arris::Back);
    assert_eq!((figure.left, figure.right), (Point::Long, Point::Short));
    assert_eq!(figure.length, back);
    assert_eq!(figure.overall, back + thickness);
    // a return's wedge has no back: it is marked on the face, from its square end to its tip
    let figure = Figure::of(Length::ZERO, End::Return, End::Square, thickness);
    assert_eq!((figure.length, figure.arris), (thickness, Arris::Face));
    assert_eq!((figure.left, figure.right), (Point::Long, Point::Square));
    let figure = Figure::of(back, End::Square, cope, thickness);
    assert_eq!((figure.left, figure.right), (Point::Square, Point::Long));
    assert_eq!(figure.overall, back);
}
