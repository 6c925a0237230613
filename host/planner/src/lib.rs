//! From measured rooms to joints, pieces, sticks and the order of cutting and installing. Pure: no input or output, no
//! clock; reading files and showing plans are left to the host.
#![deny(missing_docs)]

pub mod cautions;
pub mod closure;
pub mod finding;
pub mod identity;
pub mod install;
pub mod joints;
mod level;
pub mod pieces;
pub mod plan;
pub mod posture;
mod replan;
pub mod rounded;
pub mod saw_list;
pub mod scarf;
pub mod sticks;
mod stock_doubts;
pub mod walk;

pub use level::{check, plan, plan_with};
pub use replan::{CannotReplan, Happened, Heard, History, Rest, plan_in_use, replan, rest};
pub use stock_doubts::setup_findings;
