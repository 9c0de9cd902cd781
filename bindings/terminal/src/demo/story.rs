//! The two jobs as data: what is to be done, and the scenes in their order.

use coldlug_field::{
    mistake::Mistake,
    record::Record,
    town::{Target, boathouse, target},
    world::{FieldError, World},
};

/// One scene of a job: one row of the table, or a few.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Scene {
    /// The job is opened.
    Open,
    /// Tailboard briefing.
    Brief,
    /// Instruments are entered and shown to work.
    Instruments,
    /// The mapped pad is found, its sets counted and marked.
    FindPad,
    /// Premises and cable set are settled by the tests the software asks for.
    Settle,
    /// The map is corrected where the field was right.
    CorrectMap,
    /// The isolation plan.
    Plan,
    /// Questions before anything is opened.
    Questions,
    /// Sources off, main open, meter out.
    PullMeter,
    /// Refusal: lifting a leg without fresh amps.
    LiftTooEarly,
    /// Amps on every leg, the base still live.
    LastReadings,
    /// First leg: lifted, capped, restrained, tagged, checked at the base.
    FirstLeg,
    /// Second leg.
    SecondLeg,
    /// Refusal: handing over without a proof of dead.
    HandOverTooEarly,
    /// Dead, proven at the base, and by opening.
    ProveDead,
    /// Lifted ends tested and shorted to neutral.
    MakeEndsSafe,
    /// Clearance offered and taken.
    HandOver,
    /// Refusal: closing in with a clearance held.
    CloseTooEarly,
    /// The work, and the release.
    WorkAndRelease,
    /// Inspection.
    Inspect,
    /// Short off, insulation, neutral, hot legs.
    Restore,
    /// Live and healthy.
    ProveLive,
    /// Meter in, main closed.
    SetMeter,
    /// The job is closed.
    Close,
}

/// One job.
pub(crate) struct Story {
    /// Its name.
    pub(crate) job: &'static str,
    /// Prefix of its files.
    pub(crate) file: &'static str,
    /// The id of its title in the words.
    pub(crate) title: &'static str,
    /// The id of what to look at when it is over.
    pub(crate) look_at: &'static str,
    /// Whether the electrician takes the clearance on their own phone, by the link; else on the
    /// phone of the lineworker at the premises.
    pub(crate) by_link: bool,
    /// What is to be done, as the request says it.
    pub(crate) work: &'static str,
    /// What the electrician writes down.
    pub(crate) work_done: &'static str,
    /// What the inspection finds.
    pub(crate) inspection: &'static str,
    /// What the job is closed with.
    pub(crate) summary: &'static str,
    /// Its scenes.
    pub(crate) scenes: &'static [Scene],
}

/// Field and map agree.
pub(crate) const METER_BASE: Story = Story {
    job: "J-0001",
    file: "job-1",
    title: "demo-job-meter-base",
    look_at: "demo-look-meter-base",
    by_link: true,
    work: "replace the meter base, corroded by sea air",
    work_done: "meter base replaced like for like, jaws and neutral lug tightened",
    inspection: "jaws tight, no heat tint, neutral lug torqued, no bypass left closed",
    summary: "meter base replaced, service back on",
    scenes: &[
        Scene::Open,
        Scene::Brief,
        Scene::Instruments,
        Scene::FindPad,
        Scene::Settle,
        Scene::Plan,
        Scene::Questions,
        Scene::PullMeter,
        Scene::LiftTooEarly,
        Scene::LastReadings,
        Scene::FirstLeg,
        Scene::SecondLeg,
        Scene::HandOverTooEarly,
        Scene::ProveDead,
        Scene::MakeEndsSafe,
        Scene::HandOver,
        Scene::CloseTooEarly,
        Scene::WorkAndRelease,
        Scene::Inspect,
        Scene::Restore,
        Scene::ProveLive,
        Scene::SetMeter,
        Scene::Close,
    ],
};

/// The map is wrong.
pub(crate) const BOATHOUSE: Story = Story {
    job: "J-0002",
    file: "job-2",
    title: "demo-job-boathouse",
    look_at: "demo-look-boathouse",
    by_link: false,
    work: "bigger service for the boathouse",
    work_done: "larger meter base and conductors to the panel, old base taken away",
    inspection: "jaws tight, neutral lug torqued, panel bonded, no bypass",
    summary: "bigger service in, back on, map correction written",
    scenes: &[
        Scene::Open,
        Scene::Brief,
        Scene::Instruments,
        Scene::FindPad,
        Scene::Settle,
        Scene::CorrectMap,
        Scene::Plan,
        Scene::Questions,
        Scene::PullMeter,
        Scene::LastReadings,
        Scene::FirstLeg,
        Scene::SecondLeg,
        Scene::ProveDead,
        Scene::MakeEndsSafe,
        Scene::HandOver,
        Scene::WorkAndRelease,
        Scene::Inspect,
        Scene::Restore,
        Scene::ProveLive,
        Scene::SetMeter,
        Scene::Close,
    ],
};

/// What is true of both jobs, and what the map claims.
pub(crate) struct Ground {
    /// The field.
    pub(crate) world: World,
    /// The map of it: true, but for the boathouse.
    pub(crate) record: Record,
    /// The service of job 1.
    pub(crate) base: Target,
    /// The service of job 2.
    pub(crate) boathouse: String,
}

/// What the town lacks for the story.
#[derive(Debug, thiserror::Error)]
pub(crate) enum GroundError {
    /// A place of the story.
    #[error("the town of this seed has no {0}")]
    Missing(&'static str),
    /// The field.
    #[error(transparent)]
    Field(#[from] FieldError),
}

/// The town of a seed, and its map with the boathouse on the wrong pad.
pub(crate) fn ground(seed: u64) -> Result<Ground, GroundError> {
    let world = coldlug_field::town::hillside(seed);
    let base = target(&world).ok_or(GroundError::Missing("house for the first job"))?;
    let boat = boathouse(&world).ok_or(GroundError::Missing("boathouse"))?;
    let mut record = Record::true_of(&world);
    record.apply(&Mistake::WrongPad { service: boat.service.clone(), pad: boat.wrong_pad })?;
    Ok(Ground { world, record, base, boathouse: boat.service })
}
