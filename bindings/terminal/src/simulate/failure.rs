//! Jobs that failed, kept as files that `coldlug judge` reads.

use std::{
    fs,
    path::{Path, PathBuf},
};

use serde::{Deserialize, Serialize};

use super::{
    run::Player,
    spec::{Outcome, Spec},
};
use crate::{file, trouble::Trouble};

/// Of each way to fail, so many are kept: a run that fails much fills no disk.
const MOST: u64 = 100;

/// The way a job failed; the gravest where there are several.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum Failure {
    /// A wrong service was opened as advised.
    WrongOpening,
    /// Dead was proven where there was voltage.
    FalseProvenDead,
    /// Opened against the advice, and nobody noticed.
    UnnoticedOpening,
    /// Stopped with no hazard and no falsehood present.
    NeedlessStop,
    /// Solvable and not finished.
    Unfinished,
}

impl Failure {
    /// How a job failed, if it did.
    pub(crate) fn of(job: &Outcome) -> Option<Self> {
        let ways = [
            (Self::WrongOpening, job.wrong_openings_advised > 0),
            (Self::FalseProvenDead, job.false_proven_dead > 0),
            (Self::UnnoticedOpening, job.wrong_openings_against > 0 && !job.caught_after_one_leg),
            (Self::NeedlessStop, job.needless_stop),
            (Self::Unfinished, job.solvable.is_ok() && !job.finished),
        ];
        ways.into_iter().find(|(_, so)| *so).map(|(way, _)| way)
    }

    fn id(self) -> &'static str {
        match self {
            Self::WrongOpening => "wrong-opening",
            Self::FalseProvenDead => "false-proven-dead",
            Self::UnnoticedOpening => "unnoticed-opening",
            Self::NeedlessStop => "needless-stop",
            Self::Unfinished => "unfinished",
        }
    }
}

/// Where failed jobs are kept.
#[derive(Debug)]
pub(crate) struct Keep {
    dir: Option<PathBuf>,
}

impl Keep {
    /// Keeps nothing.
    pub(crate) const fn nowhere() -> Self {
        Self { dir: None }
    }

    /// Keeps them in this folder, one folder a job.
    pub(crate) fn within(dir: &Path) -> Self {
        Self { dir: Some(dir.to_owned()) }
    }

    /// A job failed, the `nth` to do so in this way: it is played again and written down.
    pub(crate) fn failed(
        &self,
        job: u64,
        spec: &Spec<'_>,
        failure: Failure,
        nth: u64,
        player: &dyn Player,
    ) -> Result<(), Trouble> {
        let Some(dir) = self.dir.as_ref().filter(|_| nth <= MOST) else { return Ok(()) };
        let (outcome, saved) = player.play_recorded(spec);
        if Failure::of(&outcome) != Some(failure) {
            return Err(Trouble::fault(format!("job {job}, played again, came out otherwise")));
        }
        let dir = dir.join(format!("{}-{job}", failure.id()));
        fs::create_dir_all(&dir)
            .map_err(|source| Trouble::Unwritable { path: dir.clone(), source })?;
        file::write_whole(&dir.join("map-sheet.geojson"), &saved.map_sheet)?;
        file::write_whole(&dir.join("rules.toml"), saved.rule_sheet.as_bytes())?;
        file::write_whole(&dir.join("events.jsonl"), saved.events.as_bytes())?;
        file::write_whole(&dir.join("job.txt"), told(job, spec, &outcome).as_bytes())
    }
}

/// What a job was and what came of it, for whoever looks into it.
fn told(job: u64, spec: &Spec<'_>, outcome: &Outcome) -> String {
    let faults: Vec<&str> = spec.faults.iter().map(|one| one.id()).collect();
    format!("job {job}\nfaults {faults:?}\n{spec:#?}\n{outcome:#?}\n")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::simulate::{
        progress::Progress,
        run::invented::{Chance, run},
    };

    #[test]
    fn failed_jobs_are_kept_each_in_its_folder_and_not_without_end() {
        let dir = tempfile::tempdir().unwrap();
        let run = run(6000, "single");
        let mut progress = Progress::new(&run);
        let keep = Keep::within(dir.path());
        run.carry_on(&Chance, &mut progress, &keep, |_| Ok(())).unwrap();
        assert!(progress.failed(Failure::Unfinished) > MOST);
        let kept: Vec<PathBuf> =
            fs::read_dir(dir.path()).unwrap().map(|entry| entry.unwrap().path()).collect();
        assert_eq!(kept.len() as u64, MOST);
        let names = ["events.jsonl", "job.txt", "map-sheet.geojson", "rules.toml"];
        assert!(kept.iter().all(|job| names.iter().all(|name| job.join(name).is_file())));
    }
}
