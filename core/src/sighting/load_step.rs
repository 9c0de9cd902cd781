//! The coded load step: a known load switched by a code that nobody at the pad knows.
//!
//! A clamp, a neighbour's appliance or chance cannot follow a code it does not know, so a step that
//! is *seen* rests on its placement and its switching run alone. The code and its salt are hashed
//! ([`seal`]) and written down before slot one, and opened after the last.

use sha2::{Digest, Sha256};

use super::{
    clamp::amps_bound,
    condition::{Condition, Conditions},
    effect::Idle,
    evidence::{Run, Slot},
    limits::Limits,
    seen::{BeforeAfter, SlotKey, SlotReading},
};
use crate::{
    quantity::{Bounded, Current, Decimal, amps},
    reading::Instrument,
};

/// Fewest characters of a salt: a code alone is short enough to be tried out.
const LEAST_SALT: usize = 16;

/// What the pad's readings of one run amount to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Step {
    /// Every hold was flat and every change came as the code says and in size.
    Seen,
    /// Nothing followed the code, and nothing moved by as much as a change would.
    Flat {
        /// Whether the set carried little enough load for that to mean anything.
        quiet: bool,
    },
    /// Neither.
    Unclear,
}

/// SHA-256 over the code and its salt, hex: what is written down before slot one.
///
/// The hashed text is one letter a slot (`c` change, `h` hold), a colon, and the salt.
pub fn seal(code: &[Slot], salt: &str) -> String {
    let letters = code.iter().map(|slot| match slot {
        Slot::Change => 'c',
        Slot::Hold => 'h',
    });
    let text: String = letters.chain([':']).chain(salt.chars()).collect();
    hex::encode(Sha256::digest(text.as_bytes()))
}

/// Whether a code has enough slots, changes and holds to be drawn again or used.
pub fn strong_enough(code: &[Slot], limits: &Limits) -> bool {
    enough_slots(code, limits) && enough_of_each(code, limits)
}

fn enough_slots(code: &[Slot], limits: &Limits) -> bool {
    code.len() >= limits.slots
}

fn enough_of_each(code: &[Slot], limits: &Limits) -> bool {
    let changes = code.iter().filter(|&&slot| slot == Slot::Change).count();
    changes >= limits.changes && code.len() - changes >= limits.holds
}

/// What the code of a run makes each slot look like on the conductor that carries the load.
fn expected(code: &[Slot]) -> impl Iterator<Item = SlotKey> + '_ {
    code.iter().scan(false, |on, slot| {
        Some(match slot {
            Slot::Hold => SlotKey::Same,
            Slot::Change => {
                *on = !*on;
                if *on { SlotKey::Rose } else { SlotKey::Fell }
            }
        })
    })
}

/// Sizes against which a run's readings are held.
struct Sizes<'a> {
    limits: &'a Limits,
    load: Current,
    tolerance: Current,
    least: Current,
    most: Current,
}

impl<'a> Sizes<'a> {
    fn of(run: &Run, limits: &'a Limits) -> Self {
        Self::of_load(run.load_amps, run.load_tolerance_percent.to_f64() / 100.0, limits)
    }

    fn of_load(load_amps: Decimal, tolerance: f64, limits: &'a Limits) -> Self {
        let load = amps(load_amps.to_f64());
        Self {
            limits,
            load,
            tolerance: load * tolerance,
            least: load * limits.least_share,
            most: load * limits.most_share,
        }
    }

    /// Whether a difference is a change of the known load: amps add as phasors, hence the shares.
    fn is_change(&self, step: &Bounded<Current>, conditions: Conditions) -> bool {
        let allowance = step.limit_of_error + self.tolerance;
        let large = step.value >= self.least - allowance
            || !conditions.keep(Condition::ChangeIsLargeEnough);
        let small = step.value <= self.most + allowance;
        large && small
    }

    /// Whether a difference is clearly smaller than any change could be.
    fn is_flat(&self, step: &Bounded<Current>) -> bool {
        step.value.abs() + step.limit_of_error < self.least - self.tolerance
    }

    /// Whether amps with the load off are low enough for a hidden change to be impossible.
    fn is_quiet(&self, load_off: &Bounded<Current>) -> bool {
        load_off.value.abs() <= self.load * 0.5 - load_off.limit_of_error - self.tolerance
    }
}

/// What one switch of the known load by word of mouth looks like. It only orders the search.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Bare {
    /// As large as the load.
    Like,
    /// Smaller than the load could be.
    Flat,
    /// Neither.
    Neither,
}

/// Holds a bare step against the load.
pub(crate) fn read_bare(
    load_amps: Decimal,
    amps: &BeforeAfter,
    clamp: &Instrument,
    limits: &Limits,
) -> Bare {
    let sizes = Sizes::of_load(load_amps, limits.load_tolerance, limits);
    let step = apart(amps, clamp, limits);
    if sizes.is_change(&step, Conditions::ALL) {
        Bare::Like
    } else if sizes.is_flat(&step) {
        Bare::Flat
    } else {
        Bare::Neither
    }
}

/// Checks the run's code, then reads the slots against it.
pub(crate) fn read_step(
    run: &Run,
    load_off: Decimal,
    slots: &[SlotReading],
    clamp: &Instrument,
    limits: &Limits,
    conditions: Conditions,
) -> Result<Step, Idle> {
    let code = opened_code(run, limits, conditions)?;
    if run.load_tolerance_percent.to_f64() > limits.load_tolerance * 100.0 + 1e-9 {
        return Err(Idle::LoadTooUncertain);
    }
    let size_slot = usize::from(run.size_slot);
    let typed = slots.get(size_slot).is_some_and(|slot| slot.amps.is_some());
    if slots.len() != code.len() || (!typed && conditions.keep(Condition::SizeIsTyped)) {
        return Err(Idle::SlotsIncomplete);
    }
    let sizes = Sizes::of(run, limits);
    let seen =
        expected(code).zip(slots).all(|(key, slot)| follows(key, slot, &sizes, clamp, conditions));
    if seen {
        return Ok(Step::Seen);
    }
    let flat = slots.iter().all(|slot| {
        slot.key == SlotKey::Same
            && difference(slot, clamp, sizes.limits).is_none_or(|d| sizes.is_flat(&d))
    });
    Ok(if flat {
        Step::Flat { quiet: sizes.is_quiet(&amps_bound(clamp, load_off, limits)) }
    } else {
        Step::Unclear
    })
}

fn opened_code<'a>(
    run: &'a Run,
    limits: &Limits,
    conditions: Conditions,
) -> Result<&'a [Slot], Idle> {
    let opened = run.opened.as_ref().ok_or(Idle::RunNotWhole)?;
    let hidden = opened.salt.len() >= LEAST_SALT;
    if !hidden || seal(&opened.code, &opened.salt) != run.sealed {
        return Err(Idle::CodeNotSealed);
    }
    let long = enough_slots(&opened.code, limits) || !conditions.keep(Condition::EnoughSlots);
    let mixed =
        enough_of_each(&opened.code, limits) || !conditions.keep(Condition::EnoughChangesAndHolds);
    let drawn = opened.code.get(usize::from(run.size_slot)) == Some(&Slot::Change);
    let strong = long && mixed && (drawn || !conditions.keep(Condition::SizeIsTyped));
    if strong { Ok(&opened.code) } else { Err(Idle::CodeTooWeak) }
}

fn difference(slot: &SlotReading, clamp: &Instrument, limits: &Limits) -> Option<Bounded<Current>> {
    slot.amps.as_ref().map(|amps| apart(amps, clamp, limits))
}

fn apart(amps: &BeforeAfter, clamp: &Instrument, limits: &Limits) -> Bounded<Current> {
    let (before, after) =
        (amps_bound(clamp, amps.before_amps, limits), amps_bound(clamp, amps.after_amps, limits));
    Bounded {
        value: after.value - before.value,
        limit_of_error: before.limit_of_error + after.limit_of_error,
    }
}

fn follows(
    expected: SlotKey,
    slot: &SlotReading,
    sizes: &Sizes<'_>,
    clamp: &Instrument,
    conditions: Conditions,
) -> bool {
    let difference = difference(slot, clamp, sizes.limits);
    if expected == SlotKey::Same {
        let flat = slot.key == SlotKey::Same && difference.is_none_or(|d| sizes.is_flat(&d));
        return flat || !conditions.keep(Condition::HoldsAreFlat);
    }
    let as_coded = slot.key == expected;
    let as_typed = difference.is_none_or(|d| {
        let towards = if expected == SlotKey::Rose { d.value } else { -d.value };
        sizes.is_change(&Bounded { value: towards, limit_of_error: d.limit_of_error }, conditions)
    });
    as_typed && (as_coded || !conditions.keep(Condition::ChangesFollowTheCode))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        reading::{Accuracy, InstrumentClass},
        rule_sheet::{Category, RuleSheet},
        sighting::OpenedCode,
    };

    const CODE: &str = "chcchhcchc";

    fn slots_of(letters: &str) -> Vec<Slot> {
        letters.chars().map(|c| if c == 'c' { Slot::Change } else { Slot::Hold }).collect()
    }

    fn at(mono_ms: i64) -> crate::quantity::Instant {
        crate::quantity::Instant { wall_ms: 0, boot: "b".into(), mono_ms }
    }

    fn run(letters: &str, size_slot: u16) -> Run {
        let code = slots_of(letters);
        Run {
            id: "r1".try_into().unwrap(),
            stay: "s1".try_into().unwrap(),
            doer: "ana".try_into().unwrap(),
            outlet: "kitchen".into(),
            load_amps: "12.5".parse().unwrap(),
            load_tolerance_percent: "10".parse().unwrap(),
            sealed: seal(&code, "5a17c0ffee5a17c0"),
            size_slot,
            begun: at(0),
            opened: Some(OpenedCode { code, salt: "5a17c0ffee5a17c0".into() }),
            ended: Some(at(1000)),
        }
    }

    fn clamp() -> Instrument {
        Instrument {
            id: "clamp".try_into().unwrap(),
            class: InstrumentClass::Clamp,
            category: Category::Four,
            category_volts: "600".parse().unwrap(),
            range: "400".parse().unwrap(),
            resolution: "0.1".parse().unwrap(),
            accuracy: Accuracy { percent: "2".parse().unwrap(), counts: 5 },
            calibration_due_ms: i64::MAX,
        }
    }

    fn slot(key: SlotKey, amps: Option<(&str, &str)>) -> SlotReading {
        let amps = amps.map(|(before, after)| BeforeAfter {
            before_amps: before.parse().unwrap(),
            after_amps: after.parse().unwrap(),
        });
        SlotReading { key, amps }
    }

    /// Keys as the code makes them, with amps at the size slot.
    fn true_keys(letters: &str, size_slot: usize, amps: (&str, &str)) -> Vec<SlotReading> {
        expected(&slots_of(letters))
            .enumerate()
            .map(|(i, key)| slot(key, (i == size_slot).then_some(amps)))
            .collect()
    }

    fn check(run: &Run, slots: &[SlotReading], off: &str) -> Result<Step, Idle> {
        let limits = Limits::from(&RuleSheet::default());
        read_step(run, off.parse().unwrap(), slots, &clamp(), &limits, Conditions::ALL)
    }

    #[test]
    fn a_step_that_follows_the_code_is_seen() {
        let slots = true_keys(CODE, 0, ("1.2", "13.9"));
        assert_eq!(check(&run(CODE, 0), &slots, "1.2"), Ok(Step::Seen));
    }

    #[test]
    fn one_wrong_key_is_not_seen() {
        for wrong in 0..CODE.len() {
            let mut slots = true_keys(CODE, 0, ("1.2", "13.9"));
            slots[wrong].key =
                if slots[wrong].key == SlotKey::Same { SlotKey::Rose } else { SlotKey::Same };
            assert_eq!(check(&run(CODE, 0), &slots, "1.2"), Ok(Step::Unclear), "slot {wrong}");
        }
    }

    #[test]
    fn the_size_of_a_change_is_bounded_both_ways() {
        for (amps, seen) in [
            (("1.0", "13.5"), true),
            (("1.0", "7.0"), true), // 0.6 of the load less U: a generous phasor
            (("1.0", "4.0"), false), // far too small
            (("1.0", "22.0"), false), // far too large
            (("13.5", "1.0"), false), // the wrong way
        ] {
            let slots = true_keys(CODE, 0, amps);
            let step = check(&run(CODE, 0), &slots, "1.0").unwrap();
            assert_eq!(step == Step::Seen, seen, "{amps:?}");
        }
    }

    #[test]
    fn flat_needs_every_key_and_every_amp() {
        let flat: Vec<_> = (0..CODE.len())
            .map(|i| slot(SlotKey::Same, (i == 0).then_some(("0.4", "0.6"))))
            .collect();
        assert_eq!(check(&run(CODE, 0), &flat, "0.4"), Ok(Step::Flat { quiet: true }));
        assert_eq!(check(&run(CODE, 0), &flat, "9.0"), Ok(Step::Flat { quiet: false }));
        let mut moved = flat.clone();
        moved[0] = slot(SlotKey::Same, Some(("0.4", "7.4")));
        assert_eq!(check(&run(CODE, 0), &moved, "0.4"), Ok(Step::Unclear));
        let mut key = flat;
        key[4].key = SlotKey::Fell;
        assert_eq!(check(&run(CODE, 0), &key, "0.4"), Ok(Step::Unclear));
    }

    #[test]
    fn codes_that_are_weak_or_not_sealed_prove_nothing() {
        let slots = true_keys(CODE, 0, ("1.2", "13.9"));
        for weak in ["chcchhcch", "cccccccchh", "hhhhhhhhcc"] {
            let keys = true_keys(weak, 0, ("1.2", "13.9"));
            assert_eq!(check(&run(weak, 0), &keys, "1.2"), Err(Idle::CodeTooWeak), "{weak}");
        }
        assert_eq!(check(&run(CODE, 1), &slots, "1.2"), Err(Idle::CodeTooWeak), "a hold was drawn");
        let mut forged = run(CODE, 0);
        forged.sealed = seal(&slots_of("hccchhcchc"), "5a17c0ffee5a17c0");
        assert_eq!(check(&forged, &slots, "1.2"), Err(Idle::CodeNotSealed));
        let mut early = run(CODE, 0);
        early.opened = None;
        assert_eq!(check(&early, &slots, "1.2"), Err(Idle::RunNotWhole));
        assert_eq!(check(&run(CODE, 0), &slots[..9], "1.2"), Err(Idle::SlotsIncomplete));
        let keys_alone = true_keys(CODE, 99, ("0", "0"));
        assert_eq!(check(&run(CODE, 0), &keys_alone, "1.2"), Err(Idle::SlotsIncomplete));
        let mut loose = run(CODE, 0);
        loose.load_tolerance_percent = "25".parse().unwrap();
        assert_eq!(check(&loose, &slots, "1.2"), Err(Idle::LoadTooUncertain));
    }

    #[test]
    fn the_seal_hides_and_binds() {
        assert_eq!(seal(&slots_of("ch"), "s").len(), 64);
        assert_ne!(seal(&slots_of("ch"), "s"), seal(&slots_of("hc"), "s"));
        assert_ne!(seal(&slots_of("ch"), "s"), seal(&slots_of("ch"), "t"));
    }
}
