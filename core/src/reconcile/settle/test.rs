//! The tests that may settle something, and what each costs.

use crate::{
    plant::Conductor,
    quantity::{AssetId, Decimal},
    rule_sheet::RuleSheet,
    sighting::SetAt,
};

/// How the set is to be found again in the cabinet for a load step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum By {
    /// By its mark.
    Mark,
    /// By counting lug positions.
    Position,
}

/// A test that may settle something.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Test {
    /// Go to the premises and begin a stay.
    BeginStay,
    /// The meter numbers of the stay differ: end it, go to the target and begin one anew.
    BeginStayAnew,
    /// Read the number on the meter.
    ReadMeterNumber,
    /// Read the address plate.
    ReadPlate,
    /// Take a picture of the job's sticker on the base and have the other worker read its code.
    PhotographSticker,
    /// Take a picture of the meter and have the other worker read it.
    PictureOfMeter,
    /// Take a picture of the meter and have the desk hold its number against the billing record.
    CompareWithBilling,
    /// Ask the customer where they are.
    AskCustomer,
    /// Ask the electrician, by the link shown at the base.
    AskElectrician,
    /// Change places: the other worker goes to the premises and begins a stay of their own.
    ChangePlaces,
    /// Nothing that can be had settles it: stop, and have the desk find another method.
    CallDesk,
    /// Open the pad, count its sets and mark them, anew where they have marks; then switch the known
    /// load once for each leg of each set.
    SearchPad {
        /// The pad.
        pad: AssetId,
    },
    /// Switch the known load once for each leg of each set of a pad, from another outlet.
    BareSteps {
        /// The pad.
        pad: AssetId,
    },
    /// Switch a known load by a fresh code and read this set, with a picture of the meter inside
    /// the run, and of the job's sticker where there is one.
    LoadStep {
        /// The set to clamp.
        set: SetAt,
        /// How to find it.
        by: By,
        /// The leg to clamp.
        leg: Conductor,
        /// The outlet to use, by the name it was given in an earlier run; none: any.
        outlet: Option<String>,
    },
    /// Put a tone on at the premises and compare it on every set of the pad, found by counting lug
    /// positions, so that it does not fall with the marks that markers are read by.
    Tone {
        /// The pad.
        pad: AssetId,
    },
    /// Read the cable markers at the base and on every set of the pad, found by its mark.
    ReadMarkers {
        /// The pad.
        pad: AssetId,
    },
}

impl Test {
    /// The stable id of this test.
    pub const fn id(&self) -> &'static str {
        match self {
            Self::BeginStay => "test-begin-stay",
            Self::BeginStayAnew => "test-begin-stay-anew",
            Self::ReadMeterNumber => "test-read-meter-number",
            Self::ReadPlate => "test-read-plate",
            Self::PhotographSticker => "test-photograph-sticker",
            Self::PictureOfMeter => "test-picture-of-meter",
            Self::CompareWithBilling => "test-compare-with-billing",
            Self::AskCustomer => "test-ask-customer",
            Self::AskElectrician => "test-ask-electrician",
            Self::ChangePlaces => "test-change-places",
            Self::CallDesk => "test-call-desk",
            Self::SearchPad { .. } => "test-search-pad",
            Self::BareSteps { .. } => "test-bare-steps",
            Self::LoadStep { .. } => "test-load-step",
            Self::Tone { .. } => "test-tone",
            Self::ReadMarkers { .. } => "test-read-markers",
        }
    }

    /// What may come of it, each with the id of the sentence that says what that means.
    pub const fn outcomes(&self) -> &'static [&'static str] {
        match self {
            Self::BeginStay | Self::BeginStayAnew | Self::ChangePlaces | Self::CallDesk => &[],
            Self::ReadMeterNumber
            | Self::ReadPlate
            | Self::PhotographSticker
            | Self::PictureOfMeter
            | Self::CompareWithBilling
            | Self::AskCustomer
            | Self::AskElectrician => {
                &["outcome-look-names-it", "outcome-look-differs", "outcome-look-lacks"]
            }
            Self::SearchPad { .. } | Self::BareSteps { .. } => {
                &["outcome-bare-answers", "outcome-bare-silent"]
            }
            Self::LoadStep { .. } => {
                &["outcome-step-seen", "outcome-step-flat", "outcome-step-unclear"]
            }
            Self::Tone { .. } => &["outcome-tone-heard", "outcome-tone-unclear"],
            Self::ReadMarkers { .. } => &["outcome-markers-pair", "outcome-markers-differ"],
        }
    }

    /// Whether the known load is switched in it.
    pub(super) const fn switches_the_load(&self) -> bool {
        matches!(self, Self::SearchPad { .. } | Self::BareSteps { .. } | Self::LoadStep { .. })
    }

    /// Weight of the rule sheet for what hands come near.
    pub(super) const fn exposure(&self, rules: &RuleSheet) -> u32 {
        match self {
            Self::SearchPad { .. }
            | Self::BareSteps { .. }
            | Self::LoadStep { .. }
            | Self::Tone { .. } => rules.test_exposure_clamp,
            _ => rules.test_exposure_look,
        }
    }

    /// Minutes it takes. Common practice, no source.
    pub(super) const fn minutes(&self) -> u32 {
        match self {
            Self::ReadMeterNumber | Self::ReadPlate => 1,
            Self::PhotographSticker | Self::PictureOfMeter => 2,
            Self::AskCustomer | Self::AskElectrician => 3,
            Self::BeginStay
            | Self::BeginStayAnew
            | Self::CallDesk
            | Self::CompareWithBilling
            | Self::ReadMarkers { .. } => 5,
            Self::BareSteps { .. } => 6,
            Self::LoadStep { .. } => 8,
            Self::SearchPad { .. } | Self::ChangePlaces | Self::Tone { .. } => 10,
        }
    }
}

/// By how much amps change on the conductor that carries the known load, when it is switched.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Expected {
    /// At least, amps.
    pub least_amps: Decimal,
    /// At most, amps.
    pub most_amps: Decimal,
}

/// A test with what it costs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SettlingTest {
    /// The test.
    pub test: Test,
    /// Tests left in the worst case, this one included.
    pub steps_left: u32,
    /// Weight of the rule sheet for what hands come near.
    pub exposure: u32,
    /// Minutes it takes.
    pub minutes: u32,
    /// What to expect where the known load is switched, once it was named; the clamp's limit of error
    /// comes on top.
    pub expected: Option<Expected>,
}
