//! What would settle it: the next test, chosen by how few are then left.
//!
//! The likeliest set is supposed to be the one, and asked what it still needs: see [`need`]. What is
//! likely is read from steps, coded and bare, and from the map last ([`pads`]).

mod names;
mod need;
mod pads;
mod suppose;
mod test;

use std::collections::{BTreeMap, BTreeSet};

pub use test::{By, Expected, SettlingTest, Test};

use self::{
    names::Names,
    need::Need,
    pads::{Known, known, outlets, unsearched},
    suppose::{Place, Supposing, is_told},
};
use super::{
    case::{AboutSets, Case},
    judge::seen_sets,
    ledger::claimed_set,
    verdict::PremisesVerdict,
};
use crate::{
    plant::Plant,
    quantity::{AssetId, Decimal, PersonId, StayId},
    rule_sheet::RuleSheet,
    sighting::{
        Conditions, Drawn, Evidence, Ground, Limits, Premises, PremisesEffect, Seen, SetAt,
        Sighting, Stay,
    },
};

/// Tests of a whole identification with nothing known: a look at the premises, the search of a pad
/// and two load steps.
const FULL: u32 = 4;

/// So many sets are asked what they need, likeliest first.
const ASKED: usize = 4;

/// From so many outlets the bare steps of a pad are switched at most.
const OUTLETS: usize = 2;

/// The tests to offer while no set is identified, best first; `premises` of each stay, as the
/// `case` has them.
pub(crate) fn tests(
    plant: &Plant,
    rules: &RuleSheet,
    limits: &Limits,
    evidence: &Evidence,
    drawn: &Drawn,
    premises: &BTreeMap<StayId, PremisesVerdict>,
    case: Case,
) -> Vec<SettlingTest> {
    let claimed = claimed_set(plant, &evidence.target);
    let unsearched = unsearched(plant, evidence, claimed.as_ref());
    let search = || unsearched.iter().map(|pad| Test::SearchPad { pad: pad.clone() });
    let expected = expected(evidence, limits);
    let priced = |tests: Vec<Test>, left: usize| price(rules, tests, left, expected);
    let Some(stay) = stay_to_use(evidence, premises) else {
        let first = search().take(usize::from(evidence.marks.is_empty()));
        return priced(std::iter::once(Test::BeginStay).chain(first).collect(), FULL as usize);
    };
    if numbers_differ(drawn, &stay.id, &evidence.target) {
        return priced(vec![Test::BeginStayAnew], FULL as usize);
    }
    let known = known(evidence, &stay.id, drawn, limits);
    let Some(names) = Names::new() else { return Vec::new() };
    let mut supposing = Supposing::new(case.under(Conditions::ALL), names);
    let likely = likeliest(evidence, &supposing.case.about_sets(0), &known, claimed.as_ref());
    let silent = likely.iter().all(|(_, silent)| *silent);
    if silent && !unsearched.is_empty() {
        return priced(search().collect(), FULL as usize);
    }
    if silent
        && let Some(pad) = claimed.as_ref().map(|set| &set.pad)
        && (1..OUTLETS).contains(&outlets(&known, pad))
    {
        return priced(vec![Test::BareSteps { pad: pad.clone() }], FULL as usize);
    }
    let place = Place {
        stay: stay.id.clone(),
        worker: stay.person.clone(),
        at_pad: at_the_pad(evidence, stay, &supposing.names),
        marked_anew: false,
    };
    let seen = likely.len();
    // What has grown old is to be looked at again; what cannot be had still cannot.
    let counts = |sighting: &&Sighting| {
        matches!(sighting.seen, Seen::Lacking { .. }) || !evidence.is_old(sighting, limits.fresh_s)
    };
    let all_seen = evidence.sightings.values().filter(counts).map(|sighting| &sighting.seen);
    let told: Vec<&Seen> = all_seen.filter(|seen| is_told(seen)).collect();
    for (x, _) in likely.iter().take(ASKED) {
        let need = Need::of((evidence, drawn, &told), x, place.clone(), known.get(x), seen);
        if let Some(needed) = need.tests(&mut supposing) {
            let others = likely.iter().filter(|(_, silent)| !silent).count().saturating_sub(1);
            let left = needed.len() + others;
            return priced(needed, left);
        }
    }
    let last =
        if changing_led_nowhere(evidence, stay) { Test::CallDesk } else { Test::ChangePlaces };
    priced(search().chain([last]).collect(), FULL as usize)
}

/// The change of the known load as it was named last, at the voltage it was measured at, with how far
/// it may itself be off; amps add as phasors, hence the shares.
fn expected(evidence: &Evidence, limits: &Limits) -> Option<Expected> {
    let runs = evidence.runs.values().map(|run| {
        let tolerance = run.load_tolerance_percent.to_f64() / 100.0;
        (run.begun.wall_ms, run.load_amps, tolerance)
    });
    let bare = evidence.sightings.values().filter_map(|sighting| match &sighting.seen {
        Seen::BareStep { load_amps, .. } => {
            Some((sighting.at.wall_ms, *load_amps, limits.load_tolerance))
        }
        _ => None,
    });
    let (_, load_amps, tolerance) = runs.chain(bare).max_by_key(|(at, ..)| *at)?;
    let load = load_amps.to_f64();
    Some(Expected {
        least_amps: Decimal::from_f64(load * (limits.least_share - tolerance), 1)?,
        most_amps: Decimal::from_f64(load * (limits.most_share + tolerance), 1)?,
    })
}

fn price(
    rules: &RuleSheet,
    tests: Vec<Test>,
    left: usize,
    expected: Option<Expected>,
) -> Vec<SettlingTest> {
    let steps_left = u32::try_from(left).unwrap_or(u32::MAX);
    let priced = |test: Test| SettlingTest {
        exposure: test.exposure(rules),
        minutes: test.minutes(),
        expected: expected.filter(|_| test.switches_the_load()),
        test,
        steps_left,
    };
    tests.into_iter().map(priced).collect()
}

/// The open stay, one that is identified first, else the newest.
fn stay_to_use<'a>(
    evidence: &'a Evidence,
    premises: &BTreeMap<StayId, PremisesVerdict>,
) -> Option<&'a Stay> {
    let open = || evidence.stays.values().filter(|stay| Stay::is_open(stay));
    let identified = open().find(|stay| {
        matches!(premises.get(&stay.id), Some(PremisesVerdict::Identified { service })
            if *service == evidence.target)
    });
    identified.or_else(|| open().max_by_key(|stay| (stay.begun.wall_ms, &stay.id)))
}

/// Who stands at the pad while this stay lasts: whoever else wrote last what is seen there; nobody yet:
/// the other of two workers.
fn at_the_pad(evidence: &Evidence, stay: &Stay, names: &Names) -> PersonId {
    let theirs = evidence.sightings.values().filter(|s| s.who != stay.person && s.seen.is_at_pad());
    let last = theirs.max_by_key(|sighting| (sighting.at.wall_ms, &sighting.id));
    last.map_or_else(|| names.other(&stay.person).clone(), |sighting| sighting.who.clone())
}

/// Whether people changed places before, and nothing was done since that could settle it.
fn changing_led_nowhere(evidence: &Evidence, stay: &Stay) -> bool {
    let changed = evidence.stays.values().any(|other| other.person != stay.person);
    let worked = evidence.runs.values().any(|run| run.stay == stay.id)
        || evidence.sightings.values().any(|sighting| {
            sighting.at.wall_ms > stay.begun.wall_ms
                && !matches!(sighting.seen, Seen::SourcesOff { .. } | Seen::Lacking { .. })
        });
    changed && !worked
}

/// Whether the meter in a picture from inside a run is not the target's, while another look of the
/// same stay has it that it is: somebody walked, and what is read from there says nothing.
fn numbers_differ(drawn: &Drawn, stay: &StayId, target: &AssetId) -> bool {
    let target = Premises::Service(target.clone());
    let of_stay = || drawn.premises.iter().filter(|seen| seen.stay == *stay);
    let elsewhere = |seen: &PremisesEffect| {
        matches!(seen.ground, Ground::MeterPhoto | Ground::MeterPhotoDiffers)
            && seen.in_run.is_some()
            && seen.excludes.excludes(&target)
    };
    let here = |seen: &PremisesEffect| {
        matches!(seen.ground, Ground::MeterPhoto | Ground::MeterNumber)
            && !seen.excludes.excludes(&target)
    };
    of_stay().any(elsewhere) && of_stay().any(here)
}

/// Every set that may still be the one, likeliest first, and whether steps stayed silent on it. One
/// that is excluded may still be it where a single false cause explains all that speaks against it.
fn likeliest(
    evidence: &Evidence,
    about: &AboutSets<'_>,
    known: &BTreeMap<SetAt, Known>,
    claimed: Option<&SetAt>,
) -> Vec<(SetAt, bool)> {
    let none = Known::default();
    let of = |set: &SetAt| known.get(set).unwrap_or(&none);
    let sets: BTreeSet<SetAt> = seen_sets(evidence);
    let mut likely: Vec<(SetAt, bool)> = sets
        .into_iter()
        .filter(|set| !about.is_excluded(set) || about.one_explains_against(set))
        .map(|set| {
            let silent = of(&set).is_silent() || about.is_excluded(&set);
            (set, silent)
        })
        .collect();
    likely.sort_by_cached_key(|(set, silent)| {
        let known = of(set);
        let claimed_pad = claimed.is_some_and(|claimed| claimed.pad == set.pad);
        (
            std::cmp::Reverse(known.weight()),
            *silent,
            known.answered.is_none(),
            known.unclear,
            claimed != Some(set),
            !claimed_pad,
            set.clone(),
        )
    });
    likely
}
