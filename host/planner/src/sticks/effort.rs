//! How much a plan may cost to find: work is counted, never timed, so that the same pieces and the same effort give the
//! same plan on every machine. What the work is, is left to those who do it.

/// Work that makes one step of effort: about a thousandth of a second on a small computer of today.
const STEP: u64 = 1 << 20;

/// Counts work against what is allowed, and asks at every whole step whether to go on.
pub struct Effort<'a> {
    spent: u64,
    passed: u32,
    allowed: u32,
    ended: bool,
    settled: Option<u32>,
    go_on: &'a mut dyn FnMut(u32) -> bool,
}

impl Effort<'static> {
    /// The steps that are allowed where nobody says otherwise.
    pub const USUAL: u32 = 5000;
}

impl<'a> Effort<'a> {
    /// So many steps are allowed. At each whole step `go_on` is told how many have passed; where it says no, the search
    /// ends exactly as it does when no more than that many are allowed.
    pub fn new(allowed: u32, go_on: &'a mut dyn FnMut(u32) -> bool) -> Effort<'a> {
        Effort {
            spent: 0,
            passed: 0,
            allowed,
            ended: allowed == 0,
            settled: None,
            go_on,
        }
    }

    /// How many whole steps have been spent.
    pub fn passed(&self) -> u32 {
        self.passed
    }

    /// How many whole steps had been spent when the cost and its bound were settled; what came after was spent on the
    /// longest leftover.
    pub fn settled(&self) -> Option<u32> {
        self.settled
    }

    /// The cost and its bound are settled.
    pub(super) fn settle(&mut self) {
        self.settled = Some(self.passed);
    }

    /// Nothing more may be spent: the steps are used up, or somebody said stop.
    pub fn ended(&self) -> bool {
        self.ended
    }

    /// Counts work done, in simple operations; whether more may be done.
    pub(super) fn spend(&mut self, work: u64) -> bool {
        self.spent += work;
        while !self.ended && self.spent / STEP > u64::from(self.passed) {
            self.passed += 1;
            let go_on = (self.go_on)(self.passed);
            self.ended = !go_on || self.passed >= self.allowed;
        }
        !self.ended
    }

    /// The work counted so far.
    pub(super) fn spent(&self) -> u64 {
        self.spent
    }

    /// All that is allowed.
    pub(super) fn all(&self) -> Share {
        Share { until: u64::MAX }
    }

    /// A share of what is allowed: so many steps from now on.
    pub(super) fn share(&self, steps: u64) -> Share {
        Share {
            until: self.spent + steps * STEP,
        }
    }
}

/// A part of the effort, for one idea among several.
#[derive(Debug, Clone, Copy)]
pub(super) struct Share {
    until: u64,
}

impl Share {
    /// Counts work against the share and the whole; whether more may be done.
    pub fn spend(&self, effort: &mut Effort<'_>, work: u64) -> bool {
        effort.spend(work) && effort.spent() < self.until
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stop_at_a_step_is_the_same_as_being_allowed_no_more() {
        let mut never = |_| true;
        let mut allowed = Effort::new(3, &mut never);
        let mut at_three = |passed| passed < 3;
        let mut stopped = Effort::new(100, &mut at_three);
        for _ in 0..40 {
            assert_eq!(allowed.spend(STEP / 4), stopped.spend(STEP / 4));
            assert_eq!(allowed.passed(), stopped.passed());
        }
        assert_eq!((allowed.passed(), allowed.ended()), (3, true));
        assert!(!Effort::new(0, &mut never).spend(1));
    }
}
