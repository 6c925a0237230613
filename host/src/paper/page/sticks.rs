//! One stick as a drawing: lengths to scale, slants enlarged so that they are seen. Where the pieces lie is the planner's.

use planner::plan::{Plan, Stick};
use planner::sticks::places;
use shared_model::{Length, Side};

use super::put;
use crate::paper::words;

/// The drawing's width for the longest stick of the plan, and its height.
const WIDTH: f64 = 1000.0;
const HEIGHT: f64 = 34.0;
/// How far a slant reaches along the board.
const SLANT: f64 = 10.0;

/// The stick as it lies at the saw, as an SVG element.
pub fn drawing(plan: &Plan, stick: &Stick) -> String {
    let longest = plan.sticks.iter().map(|stick| stick.length).max();
    let scale = WIDTH / f64::from(longest.unwrap_or(stick.length).units().max(1));
    let riding = words::riding(plan, stick);
    let fresh_right = riding.fresh == Side::Right;
    let length = f64::from(stick.length.units()) * scale;
    let across = |x: f64| if fresh_right { WIDTH - x } else { x };
    // on edge the face is the lower line, flat the upper one
    let flat = !riding.posture.stands();
    let (back, face) = if flat { (HEIGHT, 0.0) } else { (0.0, HEIGHT) };

    let mut out = String::new();
    put(
        &mut out,
        format_args!(
            "<svg class=\"stick\" viewBox=\"-1 -1 {} {}\">\n",
            WIDTH + 2.0,
            HEIGHT + 2.0
        ),
    );
    let left = across(0.0).min(across(length));
    put(
        &mut out,
        format_args!(
            "<rect x=\"{left:.1}\" y=\"0\" width=\"{length:.1}\" height=\"{HEIGHT}\" fill=\"#ddd\" stroke=\"#000\"/>\n"
        ),
    );
    for on_stick in places(plan, stick) {
        let piece = &plan.pieces[on_stick.piece];
        let Some(cut) = piece.cut else { continue };
        let (near, far) = (on_stick.near, on_stick.far);
        let first = f64::from(near.back.min(near.face).units()) * scale;
        let last = f64::from(far.back.max(far.face).units()) * scale;
        let slant = SLANT.min((last - first) / 3.0);
        // the shorter arris ends within the piece, so that what is drawn never leaves its place
        let inward = |longer: bool| if longer { 0.0 } else { slant };
        let near_at = |length: Length| first + inward(length <= near.back.min(near.face));
        let far_at = |length: Length| last - inward(length >= far.back.max(far.face));
        let (near_back, near_face) = (near_at(near.back), near_at(near.face));
        let (far_back, far_face) = (far_at(far.back), far_at(far.face));
        let points = [
            (near_back, back),
            (far_back, back),
            (far_face, face),
            (near_face, face),
        ];
        let points = points
            .map(|(x, y)| format!("{:.1},{y}", across(x)))
            .join(" ");
        put(
            &mut out,
            format_args!("<polygon points=\"{points}\" fill=\"#fff\" stroke=\"#000\"/>\n"),
        );
        if cut.shared {
            put(
                &mut out,
                format_args!(
                    "<line x1=\"{:.1}\" y1=\"{back}\" x2=\"{:.1}\" y2=\"{face}\" stroke=\"#000\" stroke-width=\"4\"/>\n",
                    across(near_back),
                    across(near_face)
                ),
            );
        }
        let room = last - first - 2.0 * slant;
        let mark = words::mark(words::figure(plan, piece).length, plan.mark);
        let label = match room {
            room if room > 110.0 => format!("{}: {mark}", cut.order),
            room if room > 14.0 => cut.order.to_string(),
            _ => continue,
        };
        put(
            &mut out,
            format_args!(
                "<text x=\"{:.1}\" y=\"{}\" font-size=\"15\" text-anchor=\"middle\">{label}</text>\n",
                across((first + last) / 2.0),
                HEIGHT / 2.0 + 5.5,
            ),
        );
    }
    out.push_str("</svg>\n");
    out
}
