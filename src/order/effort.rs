//! How hard the planners try.
//!
//! A limit in work, not in time: the same plan on every machine. 1 is enough
//! for a plan while one waits; each planner multiplies its own limit by it.

/// How many times the usual work a planner may do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Effort(pub u32);

impl Default for Effort {
    fn default() -> Self {
        Self(1)
    }
}

impl Effort {
    /// A limit of the usual work, raised; at least the usual one.
    pub fn of(self, usual: u64) -> u64 {
        usual.saturating_mul(u64::from(self.0.max(1)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn effort_multiplies_and_never_lessens() {
        assert_eq!(Effort::default().of(300), 300);
        assert_eq!(Effort(4).of(300), 1200);
        assert_eq!(Effort(0).of(300), 300);
        assert_eq!(Effort(2).of(u64::MAX), u64::MAX);
    }
}
