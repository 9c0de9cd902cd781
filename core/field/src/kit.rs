//! The instruments that a crew carries.

use crate::clamp::{Clamp, ClampFault};
use crate::seed::Draw;
use crate::tester::{Tester, TesterFault};

/// A crew's instruments. The first of each kind is the one that is used until it fails its check.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Kit {
    /// The clamp meter.
    pub clamp: Clamp,
    /// The voltage tester.
    pub tester: Tester,
    /// Another clamp meter on the truck.
    pub spare_clamp: Option<Clamp>,
    /// Another voltage tester on the truck.
    pub spare_tester: Option<Tester>,
    /// Whether a tone set is on the truck.
    pub tone_set: bool,
}

impl Kit {
    /// Sound instruments and a spare of each, and a tone set.
    pub fn sound(draw: &mut Draw) -> Self {
        Self {
            clamp: Clamp::sound(draw),
            tester: Tester::sound(draw),
            spare_clamp: Some(Clamp::sound(draw)),
            spare_tester: Some(Tester::sound(draw)),
            tone_set: true,
        }
    }

    /// What is on one truck or another: sound instruments, nearly always a spare of each, mostly
    /// a tone set. The shares are invented.
    pub fn drawn(draw: &mut Draw) -> Self {
        let all = Self::sound(draw);
        Self {
            spare_clamp: all.spare_clamp.filter(|_| draw.chance(0.95)),
            spare_tester: all.spare_tester.filter(|_| draw.chance(0.95)),
            tone_set: draw.chance(0.8),
            ..all
        }
    }

    /// The same kit with something wrong with the first clamp.
    #[must_use]
    pub fn with_clamp_fault(self, fault: ClampFault) -> Self {
        Self { clamp: self.clamp.with_fault(fault), ..self }
    }

    /// The same kit with something wrong with the first tester.
    #[must_use]
    pub fn with_tester_fault(self, fault: TesterFault) -> Self {
        Self { tester: self.tester.with_fault(fault), ..self }
    }

    /// Its clamps, the first first.
    pub fn clamps(&self) -> impl Iterator<Item = &Clamp> {
        [Some(&self.clamp), self.spare_clamp.as_ref()].into_iter().flatten()
    }

    /// Its testers, the first first.
    pub fn testers(&self) -> impl Iterator<Item = &Tester> {
        [Some(&self.tester), self.spare_tester.as_ref()].into_iter().flatten()
    }
}
