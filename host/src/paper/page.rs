//! The plan as one page to be printed, complete in itself: no script, nothing fetched, any size of paper. Sticks and rooms
//! are drawn by `sticks` and `rooms`; what is said is left to `words`.

mod rooms;
mod sticks;

use std::fmt::Write;

use planner::plan::{Plan, PlannedPiece, RoomOrder, Stick};
use planner::walk::{Sheet, Walk};
use shared_model::Side;

use super::words;
use crate::check;

/// A whole page of HTML. The sheet is the one that was planned; a walk's rooms are drawn, a cut list has none to draw.
pub fn page(sheet: &Sheet, plan: &Plan) -> String {
    let mut out = String::new();
    let level = escaped(&plan.level);
    let digest = words::digest(plan);
    let summary = check::summary(plan);
    out.push_str("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n");
    out.push_str("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
    put(&mut out, format_args!("<title>{level}, {digest}</title>\n"));
    put(
        &mut out,
        format_args!(
            "<style>\n{}</style>\n</head>\n<body>\n",
            include_str!("page/page.css")
        ),
    );
    put(
        &mut out,
        format_args!("<h1>{level}</h1>\n<p>{summary}; {digest}</p>\n"),
    );
    findings(&mut out, plan);
    buy(&mut out, plan);
    cutting(&mut out, plan);
    let walk = match sheet {
        Sheet::Walk(walk) => Some(walk),
        Sheet::CutList(_) => None,
    };
    hanging(&mut out, walk, plan);
    let totals = words::totals(plan);
    put(
        &mut out,
        format_args!("<h2>Totals</h2>\n<p>{totals}; {digest}</p>\n"),
    );
    out.push_str("</body>\n</html>\n");
    out
}

/// Text as it may stand in HTML, between tags or in a quoted attribute.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c => out.push(c),
        }
    }
    out
}

/// Adds to the page; writing to a string cannot fail.
fn put(out: &mut String, text: std::fmt::Arguments<'_>) {
    let _ = out.write_fmt(text);
}

/// One row of a table, of cells that are escaped already.
fn row(out: &mut String, cells: &[String]) {
    put(
        out,
        format_args!("<tr><td>{}</td></tr>\n", cells.join("</td><td>")),
    );
}

fn head(out: &mut String, class: &str, names: &[&str]) {
    put(
        out,
        format_args!(
            "<table class=\"{class}\">\n<tr><th>{}</th></tr>\n",
            names.join("</th><th>")
        ),
    );
}

fn findings(out: &mut String, plan: &Plan) {
    if plan.findings.is_empty() {
        return;
    }
    out.push_str("<h2>Findings</h2>\n");
    for finding in &plan.findings {
        let heading = escaped(&check::heading(finding));
        let message = escaped(&finding.message);
        let class = finding.severity.word();
        put(
            out,
            format_args!("<p class=\"{class}\"><b>{heading}.</b> {message}</p>\n"),
        );
    }
}

fn buy(out: &mut String, plan: &Plan) {
    out.push_str("<h2>To buy</h2>\n<ul>\n");
    let list = plan.buy();
    if list.is_empty() {
        out.push_str("<li>nothing: what is in hand is enough</li>\n");
    }
    for purchase in list {
        let name = escaped(&plan.mouldings[purchase.moulding].name);
        let length = words::stick_length(purchase.length, plan.mark);
        put(
            out,
            format_args!("<li>{} \u{d7} {length} {name}</li>\n", purchase.count),
        );
    }
    if let Some(in_hand) = words::in_hand(plan) {
        put(out, format_args!("<li>{in_hand}</li>\n"));
    }
    out.push_str("</ul>\n");
}

fn cutting(out: &mut String, plan: &Plan) {
    if plan.sticks.is_empty() {
        return;
    }
    let fresh = plan.saw.stock_side.other().word();
    put(
        out,
        format_args!(
            "<h2>To cut</h2>\n<p>Sticks are drawn as they lie at the saw, the end that is cut first at the {fresh}: on edge \
             seen from above with the face toward you, flat seen from the front. Lengths are to scale, slants are not. A \
             thick line is one cut for both its neighbours. {}The saw's own manual comes first.</p>\n",
            words::scale_note(plan).map_or(String::new(), |note| format!("{note} "))
        ),
    );
    for stick in &plan.sticks {
        stick_section(out, plan, stick);
    }
    let left_out: Vec<&PlannedPiece> = plan.left_out().collect();
    if !left_out.is_empty() {
        out.push_str("<h3>From no stick (see the findings)</h3>\n<ul>\n");
        for piece in left_out {
            put(out, format_args!("<li>{}</li>\n", name(piece)));
        }
        out.push_str("</ul>\n");
    }
}

fn stick_section(out: &mut String, plan: &Plan, stick: &Stick) {
    let riding = words::riding(plan, stick);
    let moulding = escaped(&plan.mouldings[stick.moulding].name);
    let length = words::stick_length(stick.length, plan.mark);
    put(
        out,
        format_args!("<section>\n<h3>Stick {}: {moulding} {length}", stick.number),
    );
    if stick.from_offcut {
        out.push_str(", in hand");
    }
    put(
        out,
        format_args!("; {}", words::riding_words(plan, &riding)),
    );
    put(
        out,
        format_args!(
            "; left over {}</h3>\n",
            words::mark(stick.leftover, plan.mark)
        ),
    );
    out.push_str(&sticks::drawing(plan, stick));
    head(
        out,
        "cuts",
        &[
            "#",
            "piece",
            "mark",
            "end at saw left",
            "end at saw right",
            "mind",
        ],
    );
    for &at in &stick.pieces {
        let piece = &plan.pieces[at];
        let figure = words::figure(plan, piece);
        let mut ends = [Vec::new(), Vec::new()];
        for cutting in words::cuttings(plan, piece) {
            let mut words = cutting.words;
            if let Some(then) = cutting.then {
                put(&mut words, format_args!("; {then}"));
            }
            if cutting.posture != riding.posture {
                put(&mut words, format_args!("; turned: {}", cutting.posture));
            }
            ends[usize::from(cutting.side == Side::Right)].push(words);
        }
        let cautions: Vec<&str> = piece
            .cautions
            .iter()
            .map(|caution| caution.words())
            .collect();
        let beside = words::beside(&figure, plan.mark);
        row(
            out,
            &[
                piece.cut.map_or(0, |cut| cut.order).to_string(),
                name(piece),
                format!("<b>{}</b> {beside}", words::mark(figure.length, plan.mark)),
                ends[0].join("<br>"),
                ends[1].join("<br>"),
                cautions.join("; "),
            ],
        );
    }
    out.push_str("</table>\n</section>\n");
}

fn hanging(out: &mut String, walk: Option<&Walk>, plan: &Plan) {
    out.push_str("<h2>To hang, room by room</h2>\n<p>First on the wall first. ");
    out.push_str(words::ON_THE_BACK);
    if walk.is_some() {
        out.push_str(" In the drawings, seen from above: a number is the wall's; dashed is an opening; grey hangs already; ");
        out.push_str(rooms::KEY);
    }
    out.push_str("</p>\n");
    for room in plan.install.iter().filter(|room| !room.order.is_empty()) {
        room_section(out, walk, plan, room);
    }
}

fn room_section(out: &mut String, walk: Option<&Walk>, plan: &Plan, room: &RoomOrder) {
    put(
        out,
        format_args!(
            "<section>\n<h3>{}</h3>\n<div class=\"room\">\n",
            escaped(&room.room)
        ),
    );
    let drawn = walk.and_then(|walk| {
        let outline = walk
            .rooms
            .iter()
            .find(|outline| outline.name == room.room)?;
        Some(rooms::drawing(walk, outline, plan))
    });
    out.push_str(&drawn.unwrap_or_default());
    head(
        out,
        "hung",
        &["#", "on the back", "length", "left end", "right end"],
    );
    for (at, &place) in room.order.iter().enumerate() {
        let piece = &plan.pieces[place];
        let [left, right] = [Side::Left, Side::Right].map(|side| words::joint(piece.end(side).end));
        row(
            out,
            &[
                (at + 1).to_string(),
                format!("{} \u{2192}", name(piece)),
                words::mark(words::figure(plan, piece).length, plan.mark),
                left.to_owned(),
                right.to_owned(),
            ],
        );
    }
    out.push_str("</table>\n</div>\n</section>\n");
}

/// A piece's room and wall, escaped.
fn name(piece: &PlannedPiece) -> String {
    match words::wall(piece) {
        wall if wall.is_empty() => escaped(&piece.room),
        wall => format!("{}, {wall}", escaped(&piece.room)),
    }
}
