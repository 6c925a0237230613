//! A plan on its way out, key by key as other programs rely on it: lengths as the shortest decimals that read back,
//! pieces and sticks by their numbers. What the plan is, is the planner's; what is set at the saw, the saw view's.

mod piece;
mod stick;

use base64::prelude::{BASE64_STANDARD, Engine};
use planner::finding::Finding;
use planner::plan::{Cost, Plan};
use planner::saw_list::SawSheet;
use schemars::JsonSchema;
use serde::Serialize;
use shared_model::{DigestText, Length, Unit};

use super::number::Decimal;
use piece::PieceOut;
pub use piece::cut_of;
use stick::StickOut;

/// A plan: every piece, the sticks they come from, what to buy, the order of installing, and what was found.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(title = "A plan of baserun")]
pub struct PlanOut {
    /// The version of this form: 1.
    #[schemars(extend("const" = 1))]
    plan: u32,
    /// The level's name.
    level: String,
    /// The unit of every length below: "in" or "mm".
    unit: &'static str,
    /// The saw list's digest, as the station shows it; null where the list is too large for a station.
    digest: Option<String>,
    /// The saw list as a station is given it, for `baserun load`, in base64: what is loaded is what was looked at. Null where
    /// the list is too large for a station.
    saw_list: Option<String>,
    /// So many things had been said at the saw when it was planned, and it is only of what was left then; 0: nothing.
    after: usize,
    /// Every piece, in the order of rooms and walls.
    pieces: Vec<PieceOut>,
    /// Every stick, in the order in which they are cut.
    sticks: Vec<StickOut>,
    /// What to buy.
    buy: Vec<PurchaseOut>,
    /// What the bought sticks cost, in the prices' unit, or their length in the unit where a stick has no price.
    cost: Decimal,
    /// What any plan must cost at least.
    bound: Decimal,
    /// Whether the cost is the least there is, proved by the bound.
    optimal: bool,
    /// Room by room, the pieces in the order in which they go on the wall.
    install: Vec<InstallOut>,
    /// What was found, errors first.
    findings: Vec<FindingOut>,
}

/// One line of the buy list.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct PurchaseOut {
    /// The moulding's name.
    moulding: String,
    /// How long.
    length: Decimal,
    /// How many.
    count: u32,
}

/// The order of installing in one room.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct InstallOut {
    /// The room's name.
    room: String,
    /// The ids of its pieces, first on the wall first.
    order: Vec<String>,
}

/// One finding.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct FindingOut {
    /// "error" or "warning".
    severity: &'static str,
    /// The room; null where it is about the whole level.
    room: Option<String>,
    /// The walls, by their numbers in the room.
    walls: Vec<u32>,
    /// What is the matter and what to do.
    message: String,
    /// Readings that would set it right, likeliest first; proposed, never put in.
    readings: Vec<CandidateOut>,
}

/// A reading that would set a finding right.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
struct CandidateOut {
    /// The wall's number, where it is about one or the corner after it; null where it is about an opening or a length across.
    wall: Option<u32>,
    /// What to look at again, such as "wall 4", "opening 2" or "the corner after wall 3".
    place: String,
    /// The length that was read; null where it is not about a length.
    read: Option<Decimal>,
    /// The length that would be right.
    instead: Option<Decimal>,
    /// The proposal in words.
    message: String,
}

impl PlanOut {
    /// The plan as it is written.
    pub fn of(plan: &Plan) -> PlanOut {
        let unit = plan.unit;
        let moulding = |place: usize| plan.mouldings[place].name.clone();
        let id = |place: &usize| plan.pieces[*place].id.to_string();
        let (cost, bound) = match plan.cost {
            Cost::Priced { cost, bound } => (Decimal::of_price(cost.0), Decimal::of_price(bound.0)),
            Cost::ByLength { cost, bound } => {
                (Decimal::of_sum(cost, unit), Decimal::of_sum(bound, unit))
            }
        };
        let list = SawSheet::of(plan).ok();
        PlanOut {
            plan: 1,
            level: plan.level.clone(),
            unit: match unit {
                Unit::Inch => "in",
                Unit::Millimetre => "mm",
                Unit::Centimetre => "cm",
                Unit::Metre => "m",
            },
            digest: list
                .as_ref()
                .map(|list| DigestText(list.head.digest).to_string()),
            saw_list: list.map(|list| BASE64_STANDARD.encode(list.bytes())),
            after: plan.after,
            pieces: plan
                .pieces
                .iter()
                .map(|piece| PieceOut::of(plan, piece))
                .collect(),
            sticks: plan
                .sticks
                .iter()
                .map(|stick| StickOut::of(plan, stick))
                .collect(),
            buy: plan
                .buy()
                .into_iter()
                .map(|purchase| PurchaseOut {
                    moulding: moulding(purchase.moulding),
                    length: Decimal::of_length(purchase.length, unit),
                    count: purchase.count,
                })
                .collect(),
            cost,
            bound,
            optimal: plan.optimal,
            install: plan
                .install
                .iter()
                .map(|room| InstallOut {
                    room: room.room.clone(),
                    order: room.order.iter().map(id).collect(),
                })
                .collect(),
            findings: (plan.findings.iter())
                .map(|finding| FindingOut::of(finding, unit))
                .collect(),
        }
    }
}

impl FindingOut {
    fn of(finding: &Finding, unit: Unit) -> FindingOut {
        let length = |length: Option<Length>| length.map(|at| Decimal::of_length(at, unit));
        let readings = finding.readings.iter().map(|candidate| CandidateOut {
            wall: candidate.wall,
            place: candidate.place.clone(),
            read: length(candidate.read),
            instead: length(candidate.instead),
            message: candidate.message.clone(),
        });
        FindingOut {
            severity: finding.severity.word(),
            room: finding.room.clone(),
            walls: finding.walls.clone(),
            message: finding.message.clone(),
            readings: readings.collect(),
        }
    }
}
