//! The desk of the demo: the real service on loopback, with the field's clock and a drawn chance.

use std::{
    io,
    net::{Ipv4Addr, SocketAddr},
    path::Path,
    sync::{Arc, Mutex},
};

use coldlug_core::quantity::Instant;
use coldlug_desk::{Desk, Running, Settings, StartError, Strength, Surroundings};
use coldlug_field::seed::{Draw, stream};

use super::{clock::Clock, halt::Halt, wire::fill};

/// The name of the desk's boot.
pub(crate) const DEVICE: &str = "desk";

struct FieldDesk {
    clock: Clock,
    draw: Mutex<Draw>,
}

impl std::fmt::Debug for FieldDesk {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("FieldDesk").finish_non_exhaustive()
    }
}

impl Surroundings for FieldDesk {
    fn now(&self) -> Instant {
        self.clock.instant(DEVICE)
    }

    fn random(&self, bytes: &mut [u8]) -> io::Result<()> {
        let mut draw = self.draw.lock().map_err(|_| io::Error::other("the draw is lost"))?;
        fill(&mut draw, bytes);
        Ok(())
    }
}

/// What the desk of the play draws first, in hex.
pub(crate) fn first_chance(seed: u64) -> String {
    let mut bytes = [0; 32];
    fill(&mut chance(seed), &mut bytes);
    hex::encode(bytes)
}

fn chance(seed: u64) -> Draw {
    stream(seed, "chance of the desk")
}

/// Starts the desk of the play, in the field's time.
pub(crate) fn start(data: &Path, clock: &Clock, seed: u64) -> Result<Running, Halt> {
    let draw = Mutex::new(chance(seed));
    Ok(on_loopback(data, Arc::new(FieldDesk { clock: clock.clone(), draw }))?)
}

/// Starts a desk of the demo on any free port of loopback.
pub(crate) fn on_loopback(
    data: &Path,
    surroundings: Arc<dyn Surroundings>,
) -> Result<Running, StartError> {
    Desk::start(Settings {
        data: data.to_owned(),
        bind: SocketAddr::from((Ipv4Addr::LOCALHOST, 0)),
        public_url: None,
        surroundings,
        strength: Strength::PLAY,
    })
}
