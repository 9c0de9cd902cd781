//! What kind of deed an act is, so that a shell can draw a shape beside its words.

use super::Act;

/// What an act takes: eyes, an instrument, hands, or one's word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Deed {
    /// Looking.
    Look,
    /// Measuring.
    Measure,
    /// Laying hands on something.
    Hand,
    /// Saying that something is so.
    Word,
    /// Stopping. It has to be at hand on every screen of a job.
    Stop,
}

impl Deed {
    /// The deed of an act.
    pub const fn of(act: Act) -> Self {
        match act {
            Act::ReadMeterNumber
            | Act::ReadPlate
            | Act::TakePicture
            | Act::ReadPicture
            | Act::LookAtBase
            | Act::ReadTag
            | Act::ReadSticker
            | Act::CompareBilling
            | Act::MarkerAtBase
            | Act::MarkerAtSet
            | Act::TakeFix
            | Act::LookAtSet
            | Act::CheckLeg
            | Act::Inspect => Self::Look,
            Act::OwnInstrument
            | Act::EnterInstrument
            | Act::ProveInstrument
            | Act::Clamp
            | Act::BareStep
            | Act::CompareTone
            | Act::BeginRun
            | Act::WriteKeys
            | Act::EndRun
            | Act::ReadRotation
            | Act::ReadBase
            | Act::ReadBus
            | Act::ReadAmps
            | Act::ReadLoad
            | Act::ReadPoint
            | Act::ReadLifted
            | Act::ReadInsulation
            | Act::VerifyNeutral
            | Act::MeasureLoop
            | Act::ReadSupply
            | Act::TestNeutral => Self::Measure,
            Act::MarkSets
            | Act::ToneOn
            | Act::OpenMain
            | Act::SourcesOff
            | Act::PullMeter
            | Act::Lift
            | Act::Secure
            | Act::Short
            | Act::OpenSwitch
            | Act::LockAndTag
            | Act::RelievePressure
            | Act::PutGround
            | Act::TakeGround
            | Act::TakeLock
            | Act::RemoveShort
            | Act::Land
            | Act::CloseSwitch
            | Act::SetMeter
            | Act::CloseMain
            | Act::SourcesOn
            | Act::Resume => Self::Hand,
            Act::Brief
            | Act::BeginStay
            | Act::EndStay
            | Act::WithdrawStay
            | Act::CustomersWord
            | Act::NotToBeHad
            | Act::SayWhere
            | Act::TakeVerdict
            | Act::Answer
            | Act::ProveDead
            | Act::ProveByOpening
            | Act::Offer
            | Act::Accept
            | Act::AcceptWitnessed
            | Act::Refuse
            | Act::WorkDone
            | Act::Release
            | Act::Abandon
            | Act::Transfer
            | Act::Deviate
            | Act::EndLink
            | Act::ProveLive
            | Act::CorrectMap
            | Act::TakeBack
            | Act::Interrupt
            | Act::WrongDrop
            | Act::SettleConflict
            | Act::Close => Self::Word,
            Act::Stop => Self::Stop,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_but_stopping_is_a_stop() {
        for &act in Act::ALL {
            assert_eq!(Deed::of(act) == Deed::Stop, act == Act::Stop, "{act:?}");
        }
    }
}
