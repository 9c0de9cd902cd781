//! One thing that is false in a play.

/// What is false. Each is one cause of the identification rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Fault {
    /// The worker is at another house and reports the target's number and plate.
    WrongHouse,
    /// The worker walks next door, unrecorded, before a run.
    WalkNextDoor,
    /// The worker reports the customer's sources off; they are on.
    SourcesStillOn,
    /// The meter records of target and neighbour are swapped.
    MeterRecordsSwapped,
    /// The address plates of target and neighbour are swapped.
    PlatesSwapped,
    /// The other worker reads the target's number on any picture.
    ReaderWrong,
    /// The customer says the target's name wherever they are.
    CustomerWrong,
    /// The electrician says the target's name wherever they are.
    ElectricianWrong,
    /// A placement of the clamp is on another set than recorded.
    PlacementElsewhere,
    /// In a placement the jaws are not closed.
    JawsOpen,
    /// The marks of one go stand on other sets than recorded.
    MarksMixed,
    /// Lug positions are counted from the wrong end.
    PositionsMiscounted,
    /// The outlet of a run is fed from the house next door.
    OutletOfNextDoor,
    /// A clamp shows zero.
    ClampStuck,
    /// A clamp shows a fraction.
    ClampGain,
    /// Another meter is pulled than the one whose number is noted.
    WrongMeterPulled,
    /// The billing records of target and neighbour are swapped.
    BillingRecordsSwapped,
    /// The dispatcher finds the target's record for any picture.
    DeskWrong,
    /// The tone bleeds into other sets as loud as on its own.
    ToneBleeds,
    /// The tone is put on at the house next door.
    ToneNextDoor,
    /// The markers at the lugs of the target's and the neighbour's set are swapped.
    MarkersSwapped,
    /// The reader at the pad makes up tones and markers that fit a set of their own choice.
    PadInvents,
}

impl Fault {
    /// Every fault.
    pub(crate) const ALL: [Self; 22] = [
        Self::WrongHouse,
        Self::WalkNextDoor,
        Self::SourcesStillOn,
        Self::MeterRecordsSwapped,
        Self::PlatesSwapped,
        Self::ReaderWrong,
        Self::CustomerWrong,
        Self::ElectricianWrong,
        Self::PlacementElsewhere,
        Self::JawsOpen,
        Self::MarksMixed,
        Self::PositionsMiscounted,
        Self::OutletOfNextDoor,
        Self::ClampStuck,
        Self::ClampGain,
        Self::WrongMeterPulled,
        Self::BillingRecordsSwapped,
        Self::DeskWrong,
        Self::ToneBleeds,
        Self::ToneNextDoor,
        Self::MarkersSwapped,
        Self::PadInvents,
    ];
}
