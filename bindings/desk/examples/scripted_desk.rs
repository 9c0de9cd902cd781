//! A real desk whose clock is told from outside: for scripts that play a job in the time it had.
//!
//! `scripted_desk DATA ADDRESS MOMENT CHANCE`: data lie in the folder DATA; ADDRESS is where it
//! listens; the file MOMENT holds the present moment as JSON, and is read whenever the time is asked
//! for; CHANCE is in hex what is drawn first, and becomes the key of a desk whose folder is empty. It
//! prints one line of JSON when it is ready and runs until it is killed.
#![allow(clippy::print_stdout, reason = "it says where it listens")]

use std::{
    error::Error,
    fs, io,
    path::PathBuf,
    sync::{Arc, Mutex, PoisonError},
};

use coldlug_core::quantity::Instant;
use coldlug_desk::{Desk, Settings, Strength, Surroundings};

/// A clock in a file.
#[derive(Debug)]
struct Told {
    file: PathBuf,
    last: Mutex<Instant>,
    first: Mutex<Option<Vec<u8>>>,
}

impl Told {
    fn read(file: &PathBuf) -> Result<Instant, Box<dyn Error>> {
        Ok(serde_json::from_slice(&fs::read(file)?)?)
    }
}

impl Surroundings for Told {
    fn now(&self) -> Instant {
        let mut last = self.last.lock().unwrap_or_else(PoisonError::into_inner);
        // Unreadable for a moment: the time stands still.
        if let Ok(now) = Self::read(&self.file) {
            *last = now;
        }
        last.clone()
    }

    fn random(&self, bytes: &mut [u8]) -> io::Result<()> {
        let first = self.first.lock().unwrap_or_else(PoisonError::into_inner).take();
        if let Some(first) = first {
            if first.len() != bytes.len() {
                return Err(io::Error::other(format!("CHANCE must be {} bytes", bytes.len())));
            }
            bytes.copy_from_slice(&first);
            return Ok(());
        }
        getrandom::fill(bytes).map_err(|error| io::Error::other(error.to_string()))
    }
}

fn main() -> Result<(), Box<dyn Error>> {
    let mut args = std::env::args().skip(1);
    let (Some(data), Some(address), Some(file), Some(chance)) =
        (args.next(), args.next(), args.next(), args.next())
    else {
        return Err("scripted_desk DATA ADDRESS MOMENT CHANCE".into());
    };
    let file = PathBuf::from(file);
    let last = Mutex::new(Told::read(&file)?);
    let first = Mutex::new(Some(hex::decode(chance)?));
    let running = Desk::start(Settings {
        data: PathBuf::from(data),
        bind: address.parse()?,
        public_url: None,
        surroundings: Arc::new(Told { file, last, first }),
        strength: Strength::PLAY,
    })?;
    let ready = serde_json::json!({
        "address": running.address().to_string(),
        "first_code": running.first_code(),
    });
    println!("{ready}");
    running.wait();
    Ok(())
}
