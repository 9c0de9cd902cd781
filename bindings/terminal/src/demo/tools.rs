//! The crew's instruments, as entered from their nameplates. Numbers are ordinary field make, from
//! memory; the makes are invented.

use coldlug_core::{
    quantity::{Decimal, DecimalError, IdError, InstrumentId},
    reading::{Accuracy, Category, Instrument, InstrumentClass},
};

/// Far enough off for a demo that never ends: 2030-01-01 UTC.
const CALIBRATION_DUE_MS: i64 = 1_893_456_000_000;

/// The crew's instruments.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Tool {
    /// The one clamp, at the pad.
    Clamp,
    /// The tester at the pad.
    PadTester,
    /// The tester at the premises.
    HouseTester,
    /// The electrician's own tester.
    OwnTester,
    /// The insulation tester, at the pad.
    Insulation,
}

/// What keeps an instrument from being entered.
#[derive(Debug, thiserror::Error)]
pub(crate) enum ToolError {
    /// A name.
    #[error(transparent)]
    Name(#[from] IdError),
    /// A number.
    #[error(transparent)]
    Number(#[from] DecimalError),
}

impl Tool {
    /// Its name on the job.
    pub(crate) fn id(self) -> Result<InstrumentId, IdError> {
        InstrumentId::new(match self {
            Self::Clamp => "clamp-1",
            Self::PadTester => "tester-pad",
            Self::HouseTester => "tester-house",
            Self::OwnTester => "tester-electrician",
            Self::Insulation => "insulation-1",
        })
    }

    /// What stands on its nameplate.
    pub(crate) fn nameplate(self) -> Result<Instrument, ToolError> {
        let (class, range, resolution, percent, counts) = match self {
            Self::Clamp => (InstrumentClass::Clamp, "400", "0.1", "2", 5),
            Self::PadTester | Self::HouseTester | Self::OwnTester => {
                (InstrumentClass::LowImpedanceVoltmeter, "600", "0.1", "1.5", 5)
            }
            Self::Insulation => (InstrumentClass::InsulationTester, "2000", "0.1", "5", 5),
        };
        let number = |text: &str| text.parse::<Decimal>();
        Ok(Instrument {
            id: self.id()?,
            class,
            category: Category::Four,
            category_volts: number("600")?,
            range: number(range)?,
            resolution: number(resolution)?,
            accuracy: Accuracy { percent: number(percent)?, counts },
            calibration_due_ms: CALIBRATION_DUE_MS,
        })
    }
}
