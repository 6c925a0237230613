//! `plan --rest`: what is left of a level by the job record, as `load` and `run` would give it to a station that knows all that
//! was said. Taking what was said is left to `progress`, `load` and `run`.

use planner::plan::Plan;
use planner::sticks::Wishes;
use planner::walk::Sheet;
use planner::{Rest, plan_in_use};
use shared_model::DigestText;

use crate::planned::Known;
use crate::{jobs, say, search};

/// The plan of what is left; none, and that is told, where everything is cut.
///
/// # Errors
/// A sentence: the record stands in the way, or the list in use still serves and was made with other wishes than these.
pub fn rest(sheet: &Sheet, wishes: &Wishes, effort: u32) -> Result<Option<Plan>, String> {
    let record = jobs::open()?;
    let known = Known {
        record: &record,
        demo: false,
        station: None,
    };
    let level = &sheet.setup().level;
    let history = known.history(level)?;
    let rest = search::with_effort(effort, |effort| {
        planner::rest(sheet, wishes, &history, effort)
    });
    let list = match rest {
        Rest::Anew(plan) => return Ok(Some(*plan)),
        Rest::AllCut => {
            say::tell(format_args!(
                "{level}: every piece of it is cut, so there is nothing left to plan\n"
            ));
            return Ok(None);
        }
        Rest::Serves(list) => list,
    };
    let digest = DigestText(list.head.digest);
    let plan = search::with_effort(effort, |effort| {
        plan_in_use(sheet, wishes, &history, effort)
    });
    if plan.is_none() {
        return Err(format!(
            "nothing is wrong with the list in use, {digest}, so it stays as it is; it was made with another effort, room by \
             room or from another file, so its plan is not written here. progress says what is left of it\n"
        ));
    }
    say::tell(format_args!(
        "nothing is wrong with the list in use, {digest}: it stays as it is, and this is the whole of it\n"
    ));
    Ok(plan)
}
