//! What a phone of the demo is given: the field's clock, a key on disk, and HTTP.

use std::{
    fs,
    path::{Path, PathBuf},
    sync::Mutex,
    time::Duration,
};

use coldlug_field::seed::{Draw, stream};
use coldlug_phone::{Clock, Keys, Moment, PortError, Reply, Transport};

use super::clock;

/// How long the desk may take on loopback.
const PATIENCE: Duration = Duration::from_mins(1);

/// The field's clock as one phone counts it.
pub(crate) struct FieldClock {
    /// The field's time.
    pub(crate) clock: clock::Clock,
    /// Whose boot it is.
    pub(crate) device: &'static str,
}

impl Clock for FieldClock {
    fn now(&self) -> Result<Moment, PortError> {
        let now = self.clock.instant(self.device);
        Ok(Moment { wall_ms: now.wall_ms, boot: now.boot, mono_ms: now.mono_ms })
    }
}

/// A key beside the store, drawn from the seed: a demo's key is no secret.
pub(crate) struct FieldKeys {
    file: PathBuf,
    draw: Mutex<Draw>,
}

impl FieldKeys {
    /// The key of a device whose store lies in this folder.
    pub(crate) fn new(folder: &Path, device: &str, seed: u64) -> Self {
        let draw = Mutex::new(stream(seed, &format!("key of {device}")));
        Self { file: folder.join("key.bin"), draw }
    }
}

impl Keys for FieldKeys {
    fn seed(&self) -> Result<Option<Vec<u8>>, PortError> {
        match fs::read(&self.file) {
            Ok(seed) => Ok(Some(seed)),
            Err(why) if why.kind() == std::io::ErrorKind::NotFound => Ok(None),
            Err(why) => Err(failed(&why)),
        }
    }

    fn keep(&self, seed: Vec<u8>) -> Result<(), PortError> {
        fs::write(&self.file, seed).map_err(|why| failed(&why))
    }

    fn random(&self, count: u32) -> Result<Vec<u8>, PortError> {
        let mut draw = self.draw.lock().map_err(|why| failed(&why))?;
        let mut bytes = vec![0; usize::try_from(count).unwrap_or(0)];
        fill(&mut draw, &mut bytes);
        Ok(bytes)
    }
}

/// Fills bytes from a draw.
pub(crate) fn fill(draw: &mut Draw, bytes: &mut [u8]) {
    for part in bytes.chunks_mut(8) {
        let word = draw.bits().to_le_bytes();
        part.iter_mut().zip(word).for_each(|(to, from)| *to = from);
    }
}

fn failed(why: &dyn std::fmt::Display) -> PortError {
    PortError::Failed { reason: why.to_string() }
}

/// HTTP to the desk.
pub(crate) struct Http;

impl Transport for Http {
    fn send(&self, url: String, body: Vec<u8>) -> Result<Reply, PortError> {
        let request = plain(ureq::post(url)).header("content-type", "application/octet-stream");
        let mut answer = request.send(&body[..]).map_err(|why| failed(&why))?;
        let body = answer.body_mut().with_config().limit(MOST_ANSWER).read_to_vec();
        Ok(Reply { status: answer.status().as_u16(), body: body.map_err(|why| failed(&why))? })
    }
}

/// More than any answer of the desk.
const MOST_ANSWER: u64 = 64 * 1024 * 1024;

/// A request that is answered whatever the status, and goes nowhere by itself.
pub(crate) fn plain<B>(request: ureq::RequestBuilder<B>) -> ureq::RequestBuilder<B> {
    request
        .config()
        .http_status_as_error(false)
        .max_redirects(0)
        .timeout_global(Some(PATIENCE))
        .build()
}
