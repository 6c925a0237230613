//! Wording that several regions share, and choosing the longest form of a text that fits. Where it goes is left to the
//! regions.

use shared_model::{Angle, Length, Mark, Way};

use super::scene::{Line, line};
use crate::letters::Face;

/// The first of `forms` that fits in `room` columns; the last one shortened where none does.
pub(super) fn fitting(face: &Face, room: i32, forms: &[Line]) -> Line {
    forms
        .iter()
        .find(|form| width(face, form) <= room)
        .cloned()
        .unwrap_or_else(|| shortened(face, room, forms.last().map_or("", |form| form)))
}

/// A text that fits in `room` columns: whole, or cut and ended with an ellipsis.
pub(super) fn shortened(face: &Face, room: i32, text: &str) -> Line {
    if width(face, text) <= room {
        return line(format_args!("{text}"));
    }
    text.char_indices()
        .rev()
        .filter_map(|(end, _)| text.get(..end))
        .map(|cut| line(format_args!("{}…", cut.trim_end_matches(' '))))
        .find(|cut| width(face, cut) <= room)
        .unwrap_or_default()
}

/// Columns that a text takes.
pub(super) fn width(face: &Face, text: &str) -> i32 {
    face.width(text) as i32
}

/// An angle as a saw's scale shows it: to a tenth of a degree, halves to the even one.
pub(super) fn degrees(angle: Angle) -> Line {
    let hundredths = angle.in_hundredths();
    let (tenths, rest) = (hundredths / 10, hundredths % 10);
    let up = rest > 5 || (rest == 5 && tenths % 2 == 1);
    let tenths = tenths + u16::from(up);
    match tenths % 10 {
        0 => line(format_args!("{}°", tenths / 10)),
        tenth => line(format_args!("{}.{tenth}°", tenths / 10)),
    }
}

/// The arrow for a way; none for a square cut.
pub(super) const fn arrow(way: Way) -> Option<&'static str> {
    match way {
        Way::Left => Some("←"),
        Way::Right => Some("→"),
        Way::None => None,
    }
}

/// A stick's length: whole feet where it is that, else as the tape shows it.
pub(super) fn stick_length(length: Length, mark: Mark) -> Line {
    let feet = length.units() / Length::inches(12).units();
    match mark.is_metric() {
        true => line(format_args!("{} mm", length.on_tape(mark))),
        false if Length::inches(12 * feet) == length => line(format_args!("{feet} ft")),
        false => line(format_args!("{}\"", length.on_tape(mark))),
    }
}

/// `Bed 2 · wall 3` and shorter forms of it, the longest first.
pub(super) fn room_and_wall(room: &str, wall: u8) -> [Line; 2] {
    match wall {
        0 => [line(format_args!("{room}")), line(format_args!("{room}"))],
        wall => [
            line(format_args!("{room} · wall {wall}")),
            line(format_args!("{room} · {wall}")),
        ],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::letters::WORDS_16;

    #[test]
    fn angles_are_shown_to_a_tenth() {
        for (hundredths, shown) in [
            (4500, "45°"),
            (2250, "22.5°"),
            (2225, "22.2°"),
            (2235, "22.4°"),
            (4496, "45°"),
            (0, "0°"),
        ] {
            assert_eq!(degrees(Angle::hundredths(hundredths)), shown);
        }
    }

    #[test]
    fn what_is_too_long_ends_with_an_ellipsis_and_fits() {
        let face = &WORDS_16;
        let whole = "Primary bathroom";
        for room in face.width("…") as i32..face.width(whole) as i32 {
            let cut = shortened(face, room, whole);
            assert!(cut.ends_with('…') && width(face, &cut) <= room, "{cut}");
        }
        assert_eq!(shortened(face, 1000, whole), whole);
    }

    #[test]
    fn sticks_are_named_in_feet_where_they_are() {
        let shown = |length, mark| stick_length(length, mark);
        assert_eq!(shown(Length::inches(192), Mark::Sixteenth), "16 ft");
        assert_eq!(
            shown(Length::sixteenths(61 * 16 + 4), Mark::Sixteenth),
            "61 1/4\""
        );
        assert_eq!(
            shown(Length::millimetres(4880), Mark::Millimetre),
            "4880 mm"
        );
    }
}
