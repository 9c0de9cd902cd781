//! What an act asks of the person who does it, and what is written down from the answers.
//!
//! A shell draws the asks of an act, collects the answers as text, and hands them back: [`draft`]
//! makes the statements of them, or says which answer does not fit and why. Statements are then
//! decided and signed; nothing is written by drafting.

mod cabinet;
mod course;
mod form;
mod handing_over;
mod instruments;
mod once;
mod opening;
mod premises;
mod proving;
mod readings;
mod restoring;
pub(super) mod run;
mod scene;
mod search;
mod switches;

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{
    event::{Body, Sha256Hex, Statement},
    gate::Role,
    job::{Sheets, State},
    quantity::{DeviceId, EventId, IdError, Instant, PersonId},
    reading::Instrument,
    words::{Sentence, Words},
};

use super::{Act, may};
use form::Form;
pub(super) use once::Once;

/// One thing an act asks for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Ask {
    /// Its name in the answers.
    pub field: String,
    /// What stands above it.
    pub label: Sentence,
    /// How it is answered.
    pub kind: AskKind,
    /// Whether the act can be done without it.
    pub required: bool,
}

/// How something is answered.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(tag = "ask", rename_all = "kebab-case", deny_unknown_fields)]
pub enum AskKind {
    /// A decimal number, typed as the display shows it.
    Number {
        /// The unit that stands beside it; empty: none.
        unit: String,
        /// Which keys it needs.
        digits: Digits,
    },
    /// Words, a tag, a number that is a name.
    Text,
    /// One of these.
    One {
        /// In their order.
        of: Vec<Choice>,
    },
    /// Any of these, each answered apart.
    Several {
        /// In their order.
        of: Vec<Choice>,
    },
    /// `yes` or `no`. Never filled in beforehand.
    YesNo,
    /// A picture taken now: the answer is the SHA-256 that keeping it gave.
    Photo,
}

/// Which keys a number needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Digits {
    /// Digits alone.
    Whole,
    /// A decimal point too.
    Decimal,
    /// A decimal point and a minus.
    Signed,
}

impl Digits {
    /// The keys of a quantity: degrees lie on both sides of nought, amounts do not.
    fn of(unit: &str) -> Self {
        match unit {
            "°" => Self::Signed,
            _ => Self::Decimal,
        }
    }
}

/// One choice.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Choice {
    /// Its name in the answers.
    pub value: String,
    /// What stands on it.
    pub label: Sentence,
}

/// One answer. A field that is answered with several has one a value.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Answer {
    /// The field.
    pub field: String,
    /// As it was typed or chosen.
    pub value: String,
}

/// What would be written down.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Draft {
    /// In their order; all are written or none.
    pub statements: Vec<Statement>,
    /// What is kept on this device alone, by name: the code of a switching run.
    pub secrets: BTreeMap<String, String>,
}

/// An answer that does not fit. Nothing was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unfit {
    /// Which field.
    pub field: String,
    /// What is wrong, and what to do.
    pub reason: Sentence,
}

/// What the device that draws or drafts has beside the job's state.
#[derive(Debug, Clone, Copy)]
pub struct Device<'a> {
    /// Its name: it begins the names that a draft gives.
    pub device: &'a DeviceId,
    /// When the screen is drawn or the draft made.
    pub now: &'a Instant,
    /// How many entries this device has written on the job: the next names follow from it.
    pub written: u64,
    /// Drawn anew for every draft, by the device's own chance.
    pub chance: &'a [u8; 32],
    /// What drafts left on this device.
    pub secrets: &'a BTreeMap<String, String>,
    /// Instruments that this device keeps over jobs.
    pub instruments: &'a [Instrument],
    /// Hash of the newest entry of this device on the job; none: it has written nothing yet.
    pub head: Option<Sha256Hex>,
}

/// The name of the event that a device writes as its `place`th entry on a job, counted from one.
///
/// Drafts name events that stand later in the same draft by it, so every device that writes what a
/// draft gives has to name its events so.
pub fn event_name(device: &DeviceId, place: u64) -> Result<EventId, IdError> {
    EventId::new(format!("{device}-{place}"))
}

/// What an act asks of this person now; none: the act has no place now. What one act finds `once` is
/// there for the next.
pub(super) fn asks(
    state: &State,
    sheets: &Sheets<'_>,
    who: &PersonId,
    act: Act,
    device: &Device<'_>,
    words: &Words,
    once: &Once<'_>,
) -> Option<Vec<Ask>> {
    let mut form = Form::asking(state, sheets, who, device, words, once);
    let _ = statements(act, &mut form);
    form.into_asks()
}

/// What would be written down for an act with these answers, or which answer does not fit.
///
/// Nothing is judged beyond the answers: whether the statements may be written, the gate says. An
/// answer to something that is not asked is refused, so that a number typed for one point is never
/// written down for another when the state has moved on meanwhile.
pub fn draft(
    state: &State,
    sheets: &Sheets<'_>,
    who: &PersonId,
    act: Act,
    answers: &[Answer],
    device: &Device<'_>,
    words: &Words,
) -> Result<Draft, Unfit> {
    let whole = |id: &str| Unfit { field: String::new(), reason: words.plain(id) };
    let role: Role = state.role_of(who).ok_or_else(|| whole("unfit-not-on-crew"))?;
    if !may(role, act) {
        return Err(whole("unfit-not-your-act"));
    }
    let once = Once::default();
    let asking = Form::asking(state, sheets, who, device, words, &once);
    let mut form = asking.drafting(answers)?;
    let bodies = statements(act, &mut form);
    form.into_draft(bodies)
}

/// The statements of an act, as far as they can be put together.
fn statements(act: Act, form: &mut Form<'_>) -> Option<Vec<Body>> {
    match act {
        Act::Brief => course::brief(form),
        Act::OwnInstrument => instruments::own(form),
        Act::EnterInstrument => instruments::enter(form),
        Act::ProveInstrument => instruments::prove(form),
        Act::BeginStay => premises::begin_stay(form),
        Act::EndStay => premises::end_stay(form),
        Act::WithdrawStay => premises::withdraw_stay(form),
        Act::ReadMeterNumber => premises::read_meter_number(form),
        Act::ReadPlate => premises::read_plate(form),
        Act::TakePicture => premises::take_picture(form),
        Act::ReadPicture => premises::read_picture(form),
        Act::CustomersWord => premises::customers_word(form),
        Act::SayWhere => premises::say_where(form),
        Act::LookAtBase => premises::look_at_base(form),
        Act::ReadSticker => search::read_sticker(form),
        Act::CompareBilling => search::compare_billing(form),
        Act::NotToBeHad => search::not_to_be_had(form),
        Act::BareStep => search::bare_step(form),
        Act::ToneOn => search::tone_on(form),
        Act::CompareTone => search::compare_tone(form),
        Act::MarkerAtBase => search::marker_at_base(form),
        Act::MarkerAtSet => search::marker_at_set(form),
        Act::ReadTag => cabinet::read_tag(form),
        Act::TakeFix => cabinet::take_fix(form),
        Act::MarkSets => cabinet::mark_sets(form),
        Act::LookAtSet => cabinet::look_at_set(form),
        Act::Clamp => cabinet::clamp(form),
        Act::BeginRun => run::begin(form),
        Act::WriteKeys => run::write_keys(form),
        Act::EndRun => run::end(form),
        Act::TakeVerdict => course::take_verdict(form),
        Act::Answer => cabinet::answer(form),
        Act::ReadRotation => opening::read_rotation(form),
        Act::OpenMain => opening::open_main(form),
        Act::SourcesOff => opening::sources_off(form),
        Act::PullMeter => opening::pull_meter(form),
        Act::ReadBase => readings::base(form),
        Act::ReadBus => readings::bus(form),
        Act::ReadAmps => cabinet::read_amps(form),
        Act::Lift => opening::lift(form),
        Act::Secure => opening::secure(form),
        Act::CheckLeg => opening::check_leg(form),
        Act::ReadPoint => readings::next_point(form),
        Act::ProveDead => proving::prove_dead(form),
        Act::ProveByOpening => proving::prove_by_opening(form),
        Act::ReadLifted => readings::next_lifted(form),
        Act::Short => proving::short(form),
        Act::ReadLoad => switches::read_load(form),
        Act::OpenSwitch => switches::open(form),
        Act::LockAndTag => switches::lock_and_tag(form),
        Act::RelievePressure => switches::relieve(form),
        Act::PutGround => switches::put_ground(form),
        Act::Offer => handing_over::offer(form),
        Act::Accept => handing_over::accept(form),
        Act::AcceptWitnessed => handing_over::accept_witnessed(form),
        Act::Refuse => handing_over::refuse(form),
        Act::WorkDone => handing_over::work_done(form),
        Act::Transfer => handing_over::transfer(form),
        Act::Release => handing_over::release(form),
        Act::Abandon => handing_over::abandon(form),
        Act::EndLink => handing_over::end_link(form),
        Act::Inspect => handing_over::inspect(form),
        Act::TakeGround => switches::take_ground(form),
        Act::TakeLock => switches::take_lock(form),
        Act::RemoveShort => restoring::remove_short(form),
        Act::ReadInsulation => restoring::read_insulation(form),
        Act::VerifyNeutral => restoring::verify_neutral(form),
        Act::Land => restoring::land(form),
        Act::MeasureLoop => switches::measure_loop(form),
        Act::CloseSwitch => switches::close(form),
        Act::ReadSupply => readings::supply(form),
        Act::TestNeutral => restoring::test_neutral(form),
        Act::ProveLive => proving::prove_live(form),
        Act::SetMeter => restoring::set_meter(form),
        Act::CloseMain => restoring::close_main(form),
        Act::SourcesOn => restoring::sources_on(form),
        Act::CorrectMap => course::correct_map(form),
        Act::TakeBack => course::take_back(form),
        Act::Deviate => course::deviate(form),
        Act::Interrupt => course::interrupt(form),
        Act::WrongDrop => course::wrong_drop(form),
        Act::SettleConflict => course::settle_conflict(form),
        Act::Resume => course::resume(form),
        Act::Close => course::close(form),
        Act::Stop => course::stop(form),
    }
}
