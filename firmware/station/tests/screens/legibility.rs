//! Letters are large, heavy and dark enough to be read from where a carpenter stands, on every panel: computed for every
//! class of text by published formulas, which are themselves held against published values.

use embedded_graphics::pixelcolor::Rgb565;
use embedded_graphics::prelude::*;
use station::letters::Face;
use station::screen::{Class, Colour, Faces, Item, Panel, Screen, Tone};

use crate::canvas::{Canvas, eight_bits};
use crate::thrown::{PANELS, pieces};
use crate::views::{banners, finished, pages, shows};

/// The height in millimetres that looks so many minutes of arc high: 6.283 * distance * arcminutes / 21600, NUREG-0700
/// rev. 2, 1.3.1-4.
fn height(distance: f64, arcminutes: f64) -> f64 {
    std::f64::consts::TAU * distance * arcminutes / 21_600.0
}

#[test]
fn the_height_formula_gives_the_published_values() {
    // heights in millimetres for 16, 20 and 22 minutes of arc, computed from the formula of NUREG-0700 rev. 2
    for (distance, expected) in [
        (1000.0, [4.65, 5.82, 6.40]),
        (750.0, [3.49, 4.36, 4.80]),
        (2000.0, [9.31, 11.64, 12.80]),
    ] {
        for (arcminutes, expected) in [16.0, 20.0, 22.0].into_iter().zip(expected) {
            assert!((height(distance, arcminutes) - expected).abs() < 0.006);
        }
    }
}

#[test]
fn every_class_is_large_enough_on_every_panel() {
    for panel in Panel::ALL {
        let pitch = f64::from(panel.pitch_nanometres) / 1e6;
        let faces = Screen::new(panel).faces();
        for (class, distance, arcminutes) in [
            (Class::Number, 1000.0, 45.0),
            (Class::Fraction, 1000.0, 20.0),
            (Class::Ends, 750.0, 20.0),
            (Class::Title, 750.0, 20.0),
            (Class::Notes, 600.0, 16.0),
        ] {
            let rows = faces.of(class).cap_height();
            let millimetres = f64::from(rows) * pitch;
            assert!(
                millimetres >= height(distance, arcminutes),
                "{class:?} on {panel:?}"
            );
            let least = f64::from(class.least_rows(panel)) * pitch;
            assert!(
                least >= height(distance, arcminutes)
                    && least - pitch < height(distance, arcminutes)
            );
        }
        assert!(faces.are_legible(panel));
    }
}

#[test]
fn the_notes_figures_are_these() {
    // minutes of arc at the distance of each class, as hardware-notes states them
    let large = Panel {
        pitch_nanometres: 208_800,
        ..Panel::LARGE
    };
    for (panel, expected) in [
        (Panel::TINY, [49, 24, 22, 22, 27]),
        (Panel::SMALL, [45, 20, 20, 20, 16]),
        (Panel::FINE, [47, 22, 21, 21, 18]),
        (Panel::WIDE, [99, 49, 44, 29, 28]),
        (Panel::LARGE, [74, 36, 33, 22, 21]),
        (large, [108, 53, 48, 32, 30]),
    ] {
        let faces = Screen::new(panel).faces();
        let pitch = f64::from(panel.pitch_nanometres) / 1e6;
        let covers = Class::ALL.map(|class| {
            let rows = f64::from(faces.of(class).cap_height());
            let distance = f64::from(class.sight().distance);
            (rows * pitch / height(distance, 1.0)).round() as u32
        });
        assert_eq!(covers, expected, "{panel:?}");
    }
}

#[test]
fn each_panel_takes_the_largest_faces_that_it_has_room_for() {
    for (panel, faces) in [
        (Panel::TINY, Faces::TINY),
        (Panel::SMALL, Faces::SMALL),
        (Panel::FINE, Faces::FINE),
        (Panel::WIDE, Faces::WIDE),
        (Panel::LARGE, Faces::WIDE),
    ] {
        assert_eq!(Screen::new(panel).faces(), faces, "{panel:?}");
    }
    // a finer panel of the same size holds the same faces, but nobody can read them
    let fine = Panel {
        pitch_nanometres: 100_000,
        ..Panel::WIDE
    };
    assert!(!Faces::SMALL.are_legible(fine));
}

/// Relative luminance of an 8-bit colour: WCAG 2.2.
fn luminance([red, green, blue]: [u8; 3]) -> f64 {
    let linear = |value: u8| {
        let value = f64::from(value) / 255.0;
        match value <= 0.04045 {
            true => value / 12.92,
            false => ((value + 0.055) / 1.055).powf(2.4),
        }
    };
    0.2126 * linear(red) + 0.7152 * linear(green) + 0.0722 * linear(blue)
}

/// Contrast of two colours: WCAG 2.2.
fn contrast(a: [u8; 3], b: [u8; 3]) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[test]
fn the_contrast_formula_gives_the_published_values() {
    // black, greys, blue and red on white or each other, by the formula of WCAG 2.2
    let (black, white, blue, red) = ([0; 3], [255; 3], [0, 0, 255], [255, 0, 0]);
    for (a, b, expected) in [
        (black, white, 21.0),
        ([0x76; 3], white, 4.5422),
        ([0x77; 3], white, 4.4781),
        (blue, white, 8.5925),
        (red, blue, 2.1489),
        ([255, 255, 0], black, 19.556),
    ] {
        assert!(
            (contrast(a, b) - expected).abs() < 0.0006,
            "{}",
            contrast(a, b)
        );
    }
}

#[test]
fn every_text_stands_out_from_its_background() {
    // WCAG 2.2 asks 7 for its highest grade
    let mut pairs: Vec<(Colour, Colour)> = Vec::new();
    for panel in PANELS {
        let screen = Screen::new(panel);
        let mut views: Vec<_> = pieces().map(shows).collect();
        views.push(finished());
        views.extend(pages());
        for banner in banners() {
            let mut view = views[0].clone();
            view.banner = Some(banner);
            views.push(view);
        }
        for scene in views.iter().flat_map(|view| screen.scenes(view)) {
            for item in &scene.items {
                match item {
                    Item::Text { ink, paper, .. } if !pairs.contains(&(*ink, *paper)) => {
                        pairs.push((*ink, *paper));
                    }
                    _ => {}
                }
            }
        }
    }
    assert!(pairs.len() >= 4, "{pairs:?}");
    for (ink, paper) in pairs {
        let found = contrast(eight_bits(ink.rgb()), eight_bits(paper.rgb()));
        assert!(found >= 7.0, "{ink:?} on {paper:?}: {found}");
    }
}

/// Columns of full ink in one row of a text, and the row's ink runs.
fn ink(face: &Face, text: &str, row: i32) -> u32 {
    let panel = Panel {
        width: 400,
        height: 200,
        pitch_nanometres: 1,
    };
    let mut canvas = Canvas::new(panel);
    canvas.clear(Rgb565::WHITE).expect("memory does not fail");
    face.draw(
        text,
        Point::new(4, 20),
        Rgb565::levels(Colour::Ink, Colour::Paper),
        &mut canvas,
    )
    .expect("memory does not fail");
    // a pixel half covered counts half
    let dark: u32 = (0..400)
        .map(|x| 31 - u32::from(canvas.at(Point::new(x, 20 + row)).r()))
        .sum();
    dark.div_ceil(31)
}

#[test]
fn strokes_are_about_a_sixth_of_the_height() {
    // DOD-HDBK-791: about 1/6 of the height for dark letters on a light ground
    for faces in [Faces::TINY, Faces::SMALL, Faces::FINE, Faces::WIDE] {
        for class in Class::ALL {
            let face = faces.of(class);
            let cap = face.cap_height();
            let stroke = ink(face, "1", cap as i32 / 2);
            assert!(
                stroke * 8 >= cap && stroke * 5 <= cap + 4,
                "{stroke} of {cap}"
            );
        }
    }
}

#[test]
fn numerals_have_dots_enough() {
    // ISO 9241-3 as quoted by NUREG-0700: at least 5 by 7 dots
    for faces in [Faces::TINY, Faces::SMALL, Faces::FINE, Faces::WIDE] {
        for class in Class::ALL {
            let face = faces.of(class);
            assert!(face.cap_height() >= 7 && face.width("8") > 5);
        }
    }
}
