//! What a shell gives a phone: a clock that ticks, a drawer for the key, and a way with a fate.

use std::{
    collections::VecDeque,
    path::PathBuf,
    sync::{
        Arc, Mutex,
        atomic::{AtomicI64, AtomicU8, Ordering},
    },
};

use coldlug_phone::{
    Clock, Enrolment, Keys, Moment, Phone, PhoneError, PortError, Receipt, Reply, SyncReport,
    Transport,
};
use serde_json::{Value, json};

use super::fake_desk::FakeDesk;

/// The clock and the key of one phone. They outlive the app.
#[derive(Default)]
pub(crate) struct Drawer {
    ticks: AtomicI64,
    drawn: AtomicU8,
    pub(crate) seed: Mutex<Option<Vec<u8>>>,
}

/// A drawer as a shell hands it in.
pub(crate) struct Handed(pub(crate) Arc<Drawer>);

impl Clock for Handed {
    fn now(&self) -> Result<Moment, PortError> {
        let ticks = self.0.ticks.fetch_add(1, Ordering::SeqCst) * 1000;
        Ok(Moment { wall_ms: 1_790_000_000_000 + ticks, boot: "boot/1".into(), mono_ms: ticks })
    }
}

impl Keys for Handed {
    fn seed(&self) -> Result<Option<Vec<u8>>, PortError> {
        Ok(self.0.seed.lock().unwrap().clone())
    }

    fn keep(&self, seed: Vec<u8>) -> Result<(), PortError> {
        *self.0.seed.lock().unwrap() = Some(seed);
        Ok(())
    }

    fn random(&self, count: u32) -> Result<Vec<u8>, PortError> {
        let drawn = self.0.drawn.fetch_add(1, Ordering::SeqCst);
        Ok((0..count)
            .map(|n| drawn.wrapping_mul(31).wrapping_add(u8::try_from(n).unwrap()))
            .collect())
    }
}

/// What becomes of one message.
#[derive(Debug, Clone)]
pub(crate) enum Fate {
    /// It gets through, and so does its answer.
    Through,
    /// It never arrives.
    Lost,
    /// It arrives; its answer does not.
    AnswerLost,
    /// Something else answers.
    Instead(u16, Vec<u8>),
    /// The answer is the one to the message before.
    Before,
}

/// The way to a desk.
pub(crate) struct Way {
    desk: Arc<FakeDesk>,
    fates: Mutex<VecDeque<Fate>>,
    last: Mutex<Vec<u8>>,
    /// How many messages went out.
    pub(crate) sent: AtomicI64,
}

impl Way {
    pub(crate) fn new(desk: &Arc<FakeDesk>) -> Arc<Self> {
        Self::fated(desk, [])
    }

    /// The fates of the next messages; those after them get through.
    pub(crate) fn fated(desk: &Arc<FakeDesk>, fates: impl IntoIterator<Item = Fate>) -> Arc<Self> {
        Arc::new(Self {
            desk: Arc::clone(desk),
            fates: Mutex::new(fates.into_iter().collect()),
            last: Mutex::new(Vec::new()),
            sent: AtomicI64::new(0),
        })
    }
}

fn unreachable() -> PortError {
    PortError::Failed { reason: "no way there".into() }
}

impl Transport for Way {
    fn send(&self, url: String, body: Vec<u8>) -> Result<Reply, PortError> {
        self.sent.fetch_add(1, Ordering::SeqCst);
        let fate = self.fates.lock().unwrap().pop_front().unwrap_or(Fate::Through);
        match &fate {
            Fate::Lost => return Err(unreachable()),
            Fate::Instead(status, body) => {
                return Ok(Reply { status: *status, body: body.clone() });
            }
            _ => {}
        }
        let (status, body) = match self.desk.answers(&url, &body) {
            Ok(body) => (200, body),
            Err(error) => {
                (409, json!({ "refused": error.id(), "text": "no" }).to_string().into_bytes())
            }
        };
        let before = std::mem::replace(&mut *self.last.lock().unwrap(), body.clone());
        match fate {
            Fate::AnswerLost => Err(unreachable()),
            Fate::Before => Ok(Reply { status: 200, body: before }),
            _ => Ok(Reply { status, body }),
        }
    }
}

/// A phone in somebody's hand. It can be closed by a kill and opened again.
pub(crate) struct Hand {
    pub(crate) phone: Arc<Phone>,
    pub(crate) drawer: Arc<Drawer>,
    pub(crate) folder: PathBuf,
    pub(crate) desk: Arc<FakeDesk>,
    pub(crate) person: &'static str,
    _kept: tempfile::TempDir,
}

impl Hand {
    /// A new phone.
    pub(crate) fn new(desk: &Arc<FakeDesk>, person: &'static str) -> Self {
        let kept = tempfile::tempdir().unwrap();
        let folder = kept.path().to_owned();
        let drawer = Arc::new(Drawer::default());
        // Two phones draw differently.
        drawer.drawn.store(person.bytes().fold(7, u8::wrapping_add), Ordering::SeqCst);
        let phone = opened(&folder, &drawer).unwrap();
        Self { phone, drawer, folder, desk: Arc::clone(desk), person, _kept: kept }
    }

    /// A new phone that is enrolled.
    pub(crate) fn enrolled(desk: &Arc<FakeDesk>, person: &'static str) -> Self {
        let hand = Self::new(desk, person);
        hand.enrols().unwrap();
        hand
    }

    pub(crate) fn device(&self) -> String {
        self.person.replace("lw-", "phone-")
    }

    pub(crate) fn enrols(&self) -> Result<Enrolment, PhoneError> {
        self.phone.enrol(self.desk.invites(&self.device()), Way::new(&self.desk))
    }

    /// As after a kill: nothing is closed, everything is opened anew.
    pub(crate) fn reopens(&mut self) {
        self.phone = opened(&self.folder, &self.drawer).unwrap();
    }

    pub(crate) fn syncs(&self) -> SyncReport {
        self.phone.sync(Way::new(&self.desk)).unwrap()
    }

    pub(crate) fn acts(&self, statements: &[Value]) -> Result<Receipt, PhoneError> {
        let statements = statements.iter().map(ToString::to_string).collect();
        self.phone.act("J-1".into(), self.person.into(), statements)
    }

    pub(crate) fn record(&self) -> Vec<u8> {
        self.phone.record("J-1".into()).unwrap()
    }

    /// The names of the events, in fold order.
    pub(crate) fn events(&self) -> Vec<String> {
        let names = |log: &coldlug_core::log::Log| {
            log.in_order().into_iter().map(|entry| entry.event().id.to_string()).collect()
        };
        self.phone.look("J-1", |_, _, log| names(log)).unwrap()
    }
}

/// Opens a phone on a folder.
pub(crate) fn opened(
    folder: &std::path::Path,
    drawer: &Arc<Drawer>,
) -> Result<Arc<Phone>, PhoneError> {
    Phone::open(
        folder.display().to_string(),
        Arc::new(Handed(Arc::clone(drawer))),
        Arc::new(Handed(Arc::clone(drawer))),
    )
}

/// A statement.
pub(crate) fn says(kind: &str, body: &Value) -> Value {
    json!({ "kind": kind, "version": 1, "body": body })
}

/// The whole briefing.
pub(crate) fn briefing() -> Value {
    says(
        "briefed",
        &json!({ "subjects": ["brief-hazards", "brief-procedures", "brief-precautions",
        "brief-energy-control", "brief-protection", "brief-premises", "brief-neighbours",
        "brief-holder", "brief-emergency", "brief-open-pad"], "present": ["lw-a", "lw-b"] }),
    )
}

/// A stay begins or ends.
pub(crate) fn stay(begun: bool, name: &str) -> Value {
    says(if begun { "stay-begun" } else { "stay-ended" }, &json!({ "stay": name }))
}

/// A step that is refused at this stage.
pub(crate) fn lift() -> Value {
    says(
        "operation",
        &json!({ "operation": { "op": "leg-lifted", "pad": "P1", "leg": "L1", "runs": 1,
        "loosened_amps": "0.05",
        "handle": { "by": "position", "position": "2" } } }),
    )
}

/// A desk, two enrolled phones, the job on both.
pub(crate) fn two_phones() -> (Arc<FakeDesk>, Hand, Hand) {
    let desk = Arc::new(FakeDesk::new());
    let (a, b) = (Hand::enrolled(&desk, "lw-a"), Hand::enrolled(&desk, "lw-b"));
    desk.opens_job();
    assert_eq!(a.syncs().new_jobs, ["J-1"]);
    assert_eq!(b.syncs().new_jobs, ["J-1"]);
    (desk, a, b)
}
