//! A value with the bound its instrument states for it.

/// A measured value and its limit of error: the true value lies within `value` ± `limit_of_error`.
///
/// The limit is a bound as an instrument's maker states it, never a standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounded<Q> {
    /// What was read.
    pub value: Q,
    /// How far the true value may be from it, never negative.
    pub limit_of_error: Q,
}

impl<Q> Bounded<Q>
where
    Q: Copy + std::ops::Add<Output = Q> + std::ops::Sub<Output = Q>,
{
    /// The least the true value can be.
    pub fn least(&self) -> Q {
        self.value - self.limit_of_error
    }

    /// The most the true value can be.
    pub fn most(&self) -> Q {
        self.value + self.limit_of_error
    }
}
