//! The plan as text of 80 columns: findings, what to buy, stick by stick what is cut, room by room what is hung, totals. How
//! each thing is said is left to `words`, how a stick is drawn to `bar`.

use planner::finding::Severity;
use planner::plan::{Plan, PlannedPiece, RoomOrder, Stick};
use shared_model::{Caution, Length, Side};

use super::Look;
use super::bar::{bar, legend};
use super::fit::{COLUMNS, short, wrapped};
use super::words;
use crate::check;

/// The cautions that a paper must not leave out; those that nearly every cut has are shown at the station.
pub const GRAVE: [Caution; 4] = [
    Caution::ShortPiece,
    Caution::ShortHold,
    Caution::ReturnWedge,
    Caution::NearSawLimit,
];

const BOLD: &str = "\u{1b}[1m";
const RED: &str = "\u{1b}[1;31m";
const YELLOW: &str = "\u{1b}[33m";
const PLAIN: &str = "\u{1b}[0m";

/// A whole plan, ready to be printed; every line is at most 80 characters wide and ends with a line feed.
pub fn text(plan: &Plan, look: Look) -> String {
    let mut out = Out {
        text: String::new(),
        look,
    };
    out.heading(&plan.level);
    out.line(&check::summary(plan));
    out.line(&words::digest(plan));
    findings(&mut out, plan);
    buy(&mut out, plan);
    cutting(&mut out, plan);
    hanging(&mut out, plan);
    out.gap();
    out.heading("Totals");
    out.line(&words::totals(plan));
    out.line(&words::settings(plan));
    out.line(&words::digest(plan));
    out.text
}

/// What is written so far.
struct Out {
    text: String,
    look: Look,
}

impl Out {
    fn gap(&mut self) {
        self.text.push('\n');
    }

    /// A line, broken where it does not fit; what is broken off is indented by two.
    fn line(&mut self, line: &str) {
        self.styled(line, None);
    }

    fn heading(&mut self, line: &str) {
        self.styled(line, Some(BOLD));
    }

    fn styled(&mut self, line: &str, style: Option<&str>) {
        let line = line.trim_end();
        let indent = line.len() - line.trim_start().len();
        let lines = match line.chars().count() <= COLUMNS {
            true => vec![line.trim_start().to_owned()],
            false => wrapped(line, COLUMNS - indent - 2),
        };
        for (at, line) in lines.into_iter().enumerate() {
            let indent = " ".repeat(if at > 0 { indent + 2 } else { indent });
            match style.filter(|_| self.look.colour) {
                Some(style) => self
                    .text
                    .push_str(&format!("{indent}{style}{line}{PLAIN}\n")),
                None => self.text.push_str(&format!("{indent}{line}\n")),
            }
        }
    }
}

fn findings(out: &mut Out, plan: &Plan) {
    if plan.findings.is_empty() {
        return;
    }
    out.gap();
    out.heading("Findings");
    for finding in &plan.findings {
        let style = match finding.severity {
            Severity::Error => RED,
            Severity::Warning => YELLOW,
        };
        out.styled(&check::heading(finding), Some(style));
        for line in wrapped(&finding.message, COLUMNS - 2) {
            out.line(&format!("  {line}"));
        }
    }
}

fn buy(out: &mut Out, plan: &Plan) {
    out.gap();
    out.heading("To buy");
    let list = plan.buy();
    if list.is_empty() {
        out.line("  nothing: what is in hand is enough");
    }
    for purchase in list {
        out.line(&format!(
            "{:>4} x {:>9}  {}",
            purchase.count,
            words::stick_length(purchase.length, plan.mark),
            plan.mouldings[purchase.moulding].name,
        ));
    }
    if let Some(in_hand) = words::in_hand(plan) {
        out.line(&format!("  {in_hand}"));
    }
}

fn cutting(out: &mut Out, plan: &Plan) {
    if plan.sticks.is_empty() {
        return;
    }
    out.gap();
    out.heading("To cut");
    let fresh = plan.saw.stock_side.other().word();
    out.line(&format!(
        "Sticks are drawn as they lie at the saw: the end that is cut first at the {fresh}."
    ));
    out.line("Each end of a piece is named by the side of the saw at which it is cut.");
    if let Some(note) = words::scale_note(plan) {
        out.line(note);
    }
    out.line(&legend(out.look.ascii));
    for stick in &plan.sticks {
        out.gap();
        stick_lines(out, plan, stick);
    }
    let left_out: Vec<&PlannedPiece> = plan.left_out().collect();
    if !left_out.is_empty() {
        out.gap();
        out.heading("From no stick (see the findings)");
        for piece in left_out {
            let length = words::mark(words::figure(plan, piece).length, plan.mark);
            out.line(&format!(
                "      {}, {}, {length}",
                piece.room,
                words::wall(piece)
            ));
        }
    }
}

fn stick_lines(out: &mut Out, plan: &Plan, stick: &Stick) {
    let riding = words::riding(plan, stick);
    let mut heading = format!(
        "Stick {}: {} {}",
        stick.number,
        plan.mouldings[stick.moulding].name,
        words::stick_length(stick.length, plan.mark),
    );
    if stick.from_offcut {
        heading.push_str(", in hand");
    }
    heading.push_str(&format!("; {}", words::riding_words(plan, &riding)));
    out.heading(&heading);
    out.line(&bar(plan, stick, COLUMNS, out.look.ascii));
    for &at in &stick.pieces {
        let piece = &plan.pieces[at];
        let order = piece.cut.map_or(0, |cut| cut.order);
        let figure = words::figure(plan, piece);
        let name = name(piece, 23, out.look.ascii);
        let length = words::mark(figure.length, plan.mark);
        let left = [
            format!("{order:>4}  {name:<23}{length:>11}"),
            format!("      {}", words::beside(&figure, plan.mark)),
        ];
        let mut right = Vec::new();
        for cutting in words::cuttings(plan, piece) {
            right.push(format!("{:<5} {}", cutting.side.word(), cutting.words));
            right.extend(cutting.then.map(|then| format!("      {then}")));
            if cutting.posture != riding.posture {
                right.push(format!("      turned: {}", cutting.posture));
            }
        }
        for row in 0..left.len().max(right.len()) {
            let left = left.get(row).map_or("", String::as_str);
            let right = right.get(row).map_or("", String::as_str);
            out.line(&format!("{left:<40} {right}"));
        }
        let cautions: Vec<&str> = (piece.cautions.iter())
            .filter(|caution| GRAVE.contains(caution))
            .map(Caution::words)
            .collect();
        if !cautions.is_empty() {
            out.line(&format!("      ! {}", cautions.join("; ")));
        }
    }
    if stick.leftover > Length::ZERO {
        let left = words::mark(stick.leftover, plan.mark);
        out.line(&format!("      left over: {left}"));
    }
}

fn hanging(out: &mut Out, plan: &Plan) {
    if plan.install.iter().all(|room| room.order.is_empty()) {
        return;
    }
    out.gap();
    out.heading("To hang, room by room, first on the wall first");
    for line in wrapped(words::ON_THE_BACK, COLUMNS) {
        out.line(&line);
    }
    for room in plan.install.iter().filter(|room| !room.order.is_empty()) {
        out.gap();
        room_lines(out, plan, room);
    }
}

fn room_lines(out: &mut Out, plan: &Plan, room: &RoomOrder) {
    let arrow = if out.look.ascii { "->" } else { "\u{2192}" };
    out.heading(&room.room);
    out.line(&format!(
        "   #  {:<32}{:>10}  {:<14} {:<14}",
        "on the back", "length", "left end", "right end"
    ));
    for (at, &place) in room.order.iter().enumerate() {
        let piece = &plan.pieces[place];
        let back = format!("{} {arrow}", name(piece, 28, out.look.ascii));
        let length = words::mark(words::figure(plan, piece).length, plan.mark);
        let [left, right] = [Side::Left, Side::Right].map(|side| words::joint(piece.end(side).end));
        out.line(&format!(
            "{:>4}  {back:<31}{length:>11}  {left:<14} {right:<14}",
            at + 1
        ));
    }
}

/// A room and wall such as `Bed 2, wall 3`; where it does not fit, the room is cut short and not the wall.
fn name(piece: &PlannedPiece, width: usize, ascii: bool) -> String {
    let wall = words::wall(piece);
    let wall = match wall.is_empty() {
        true => wall,
        false => format!(", {wall}"),
    };
    let room = short(
        &piece.room,
        width.saturating_sub(wall.chars().count()),
        ascii,
    );
    format!("{room}{wall}")
}
