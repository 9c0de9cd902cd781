//! A run carried over sittings: its sums and its next job in a file that is written whole.

use std::path::Path;

use coldlug_core::gate::EDITION;
use serde::{Deserialize, Serialize};

use super::{progress::Progress, run::Run};
use crate::{file, trouble::Trouble};

/// The file.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Checkpoint {
    format: u32,
    run: Named,
    progress: Progress,
}

const FORMAT: u32 = 2;

/// What makes two runs the same. The number of jobs is not among it: a run may be made longer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Named {
    seed: u64,
    first: u64,
    faults: Vec<String>,
    arms: Vec<String>,
    version: String,
    edition: String,
    fingerprint: u64,
}

impl Named {
    /// This run, played by this program.
    pub(crate) fn new(run: &Run, fingerprint: u64) -> Self {
        Self {
            seed: run.seed,
            first: run.first,
            faults: run.course.names(),
            arms: run.arms.iter().map(|arm| arm.id()).collect(),
            version: env!("CARGO_PKG_VERSION").to_owned(),
            edition: EDITION.to_owned(),
            fingerprint,
        }
    }

    /// The first thing in which another run differs.
    fn difference(&self, other: &Self) -> Option<String> {
        let list = |ours: &[String], theirs: &[String]| {
            let odd = theirs.iter().find(|one| !ours.contains(one));
            odd.or_else(|| ours.iter().find(|one| !theirs.contains(one))).cloned()
        };
        let so = |what: &str, theirs: String, ours: String| {
            (theirs != ours).then(|| format!("its {what} is {theirs}, and not {ours}"))
        };
        so("seed", other.seed.to_string(), self.seed.to_string())
            .or_else(|| so("first job", other.first.to_string(), self.first.to_string()))
            .or_else(|| {
                let odd = list(&self.faults, &other.faults).unwrap_or("their order".into());
                (self.faults != other.faults).then(|| format!("its faults differ: {odd}"))
            })
            .or_else(|| {
                let odd = list(&self.arms, &other.arms).unwrap_or("their order".into());
                (self.arms != other.arms).then(|| format!("what is compared differs: {odd}"))
            })
            .or_else(|| so("program", other.version.clone(), self.version.clone()))
            .or_else(|| so("edition of the rules", other.edition.clone(), self.edition.clone()))
            .or_else(|| {
                (self.fingerprint != other.fingerprint)
                    .then(|| "the program has changed and plays its first jobs otherwise".into())
            })
    }
}

/// What a file says of how far a run has come; without the file, nothing is played yet.
pub(crate) fn read(path: &Path, run: &Run, named: &Named) -> Result<Progress, Trouble> {
    if !path.exists() {
        return Ok(Progress::new(run));
    }
    let refused = |reason: String| {
        Trouble::refused(
            format!("the run kept in {}", path.display()),
            reason,
            "carry on with the options it was begun with, or name a new file",
        )
    };
    let bytes = file::read(path)?;
    let kept: Checkpoint =
        serde_json::from_slice(&bytes).map_err(|e| refused(format!("it cannot be read: {e}")))?;
    if kept.format != FORMAT {
        return Err(refused(format!("its format is {}, and not {FORMAT}", kept.format)));
    }
    if let Some(difference) = named.difference(&kept.run) {
        return Err(refused(difference));
    }
    let played = kept.progress.played(run);
    if played > run.jobs {
        return Err(refused(format!("it has {played} jobs already")));
    }
    if !kept.progress.fits(run) {
        return Err(refused("its sums are not those of such a run".into()));
    }
    Ok(kept.progress)
}

/// Writes how far a run has come, whole or not at all.
pub(crate) fn write(path: &Path, named: &Named, progress: &Progress) -> Result<(), Trouble> {
    let kept = Checkpoint { format: FORMAT, run: named.clone(), progress: progress.clone() };
    let bytes = serde_json::to_vec(&kept)
        .map_err(|e| Trouble::fault(format!("a run cannot be written down: {e}")))?;
    file::write_whole(path, &bytes)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::simulate::{
        failure::Keep,
        run::invented::{Chance, run},
    };

    fn named(run: &Run) -> Named {
        Named::new(run, run.fingerprint(&Chance))
    }

    #[test]
    fn a_run_goes_on_from_its_file_as_if_it_had_never_stopped() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("run.json");
        let (whole, part) = (run(3000, "single"), run(1100, "single"));
        let mut straight = Progress::new(&whole);
        whole.carry_on(&Chance, &mut straight, &Keep::nowhere(), |_| Ok(())).unwrap();
        let named = named(&whole);
        let mut progress = read(&path, &part, &named).unwrap();
        part.carry_on(&Chance, &mut progress, &Keep::nowhere(), |so_far| {
            write(&path, &named, so_far)
        })
        .unwrap();
        let mut again = read(&path, &whole, &named).unwrap();
        assert_eq!(again.next, 1100);
        whole.carry_on(&Chance, &mut again, &Keep::nowhere(), |_| Ok(())).unwrap();
        assert_eq!(again, straight);
    }

    fn check_refused(path: &Path, other: &Run, named: &Named, says: &str) {
        match read(path, other, named) {
            Err(Trouble::Refused { reason, .. }) => assert!(reason.contains(says), "{reason}"),
            other => panic!("not refused: {other:?}"),
        }
    }

    #[test]
    fn the_file_of_another_run_is_refused_and_says_what_differs() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("run.json");
        let one = run(100, "single");
        let mut progress = Progress::new(&one);
        one.carry_on(&Chance, &mut progress, &Keep::nowhere(), |_| Ok(())).unwrap();
        write(&path, &named(&one), &progress).unwrap();

        let seed = Run { seed: 8, ..one.clone() };
        check_refused(&path, &seed, &named(&seed), "its seed is 7, and not 8");
        let part = Run { first: 50, ..one.clone() };
        check_refused(&path, &part, &named(&part), "its first job is 0, and not 50");
        let faults = run(100, "none");
        check_refused(&path, &faults, &named(&faults), "its faults differ");
        let mut arms = one.clone();
        arms.arms.truncate(1);
        check_refused(&path, &arms, &named(&arms), "map_only");
        let changed = Named { fingerprint: 1, ..named(&one) };
        check_refused(&path, &one, &changed, "plays its first jobs otherwise");
        let shorter = run(99, "single");
        check_refused(&path, &shorter, &named(&one), "100 jobs already");
        std::fs::write(&path, b"{").unwrap();
        check_refused(&path, &one, &named(&one), "cannot be read");
    }
}
