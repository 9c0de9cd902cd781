//! The tests that a set still needs to be named, if they all come out for it.

use super::{
    super::case::{Case, Rows},
    names::Names,
    pads::{Known, On},
    suppose::{At, Place, Suppose, Supposing},
    test::{By, Test},
};
use crate::{
    plant::Conductor,
    quantity::{AssetId, StayId},
    sighting::{Drawn, Evidence, Lack, Seen, SetAt},
};

/// What one set needs.
pub(super) struct Need<'a> {
    pub(super) suppose: Suppose<'a>,
    pub(super) place: Place,
    pub(super) known: Option<&'a Known>,
    /// How many sets were seen.
    pub(super) seen: usize,
}

/// Further than twice by each handle nobody is sent with the same marks.
const REPEATED: usize = 2;

/// Where a step is done: in the stay there is by the marks there are, with marks put on anew, or in
/// a stay of the other worker.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Where {
    Here,
    Anew,
    There,
}

/// A test, where it is done, and which of its repetitions it is.
type Step = (Test, Where, usize);

impl<'a> Need<'a> {
    /// The set in question, at a stay.
    pub(super) fn of(
        (evidence, drawn, told): (&'a Evidence, &'a Drawn, &'a [&'a Seen]),
        x: &'a SetAt,
        place: Place,
        known: Option<&'a Known>,
        seen: usize,
    ) -> Self {
        Self { suppose: Suppose { evidence, drawn, x, told }, place, known, seen }
    }

    /// The tests to do, in the order to do them, so that none of them could be left out; none: not
    /// even all of them would do.
    ///
    /// First in this stay by the marks there are, then with marks put on anew, then with both, then
    /// with people changing places, then with all of it. What is dearest is left out first, so what
    /// is left is cheap.
    pub(super) fn tests(&self, to: &mut Supposing) -> Option<Vec<Test>> {
        let tries: [&[Where]; 5] = [
            &[Where::Here],
            &[Where::Anew],
            &[Where::Here, Where::Anew],
            &[Where::Here, Where::There],
            &[Where::Here, Where::Anew, Where::There],
        ];
        let needed = tries.into_iter().find_map(|places| {
            let steps = places.iter().flat_map(|at| self.steps(&to.names, *at)).collect();
            self.fewest(to, steps)
        });
        needed.map(|needed| Self::course(&self.suppose.x.pad, &needed))
    }

    /// The tests in the order to do them: what is to be done here is done before the marks are put
    /// on anew, and that before people change places.
    fn course(pad: &AssetId, needed: &[Step]) -> Vec<Test> {
        let of = |at: Where| {
            in_order(needed.iter().filter(|step| step.1 == at).map(|step| step.0.clone()).collect())
        };
        let (mut tests, mut anew, there) = (of(Where::Here), of(Where::Anew), of(Where::There));
        if !anew.is_empty() {
            let first_step = anew.iter().position(|test| !is_look(test)).unwrap_or(anew.len());
            anew.insert(first_step, Test::SearchPad { pad: pad.clone() });
        }
        if !there.is_empty() {
            anew.push(Test::ChangePlaces);
        }
        for test in anew.into_iter().chain(there) {
            if !tests.contains(&test) {
                tests.push(test);
            }
        }
        tests
    }

    /// Every test that is to be had there, cheapest first.
    fn steps(&self, names: &Names, at: Where) -> Vec<Step> {
        let x = self.suppose.x;
        let mut steps: Vec<Test> = Vec::new();
        let there = at == Where::There;
        let place = &self.place_at(names, at);
        let lacks = |what| self.suppose.lacks(place, what);
        let looks = [
            (Test::ReadPlate, Lack::Plate),
            (Test::ReadMeterNumber, Lack::MeterNumber),
            (Test::PhotographSticker, Lack::Sticker),
            (Test::PictureOfMeter, Lack::MeterNumber),
            (Test::AskElectrician, Lack::Electrician),
            (Test::CompareWithBilling, Lack::MeterNumber),
            (Test::AskCustomer, Lack::Customer),
        ];
        for (test, lack) in looks {
            let jobs = test != Test::PhotographSticker || self.suppose.evidence.sticker.is_some();
            if jobs && !lacks(lack) && (there || !self.was_done(&test)) {
                steps.push(test);
            }
        }
        let pad = || x.pad.clone();
        if lacks(Lack::Supply) || lacks(Lack::SoundWiring) || lacks(Lack::Entry) {
            if !lacks(Lack::Marker) {
                steps.push(Test::ReadMarkers { pad: pad() });
            }
            if !lacks(Lack::Tone) {
                steps.push(Test::Tone { pad: pad() });
            }
            return numbered(steps, at);
        }
        let On { leg, outlet } = self.next_leg();
        let outlet = (!outlet.is_empty()).then_some(outlet);
        for _ in 0..REPEATED {
            for by in [By::Mark, By::Position] {
                let (set, outlet) = (x.clone(), outlet.clone());
                steps.push(Test::LoadStep { set, by, leg, outlet });
            }
        }
        numbered(steps, at)
    }

    fn place_at(&self, names: &Names, at: Where) -> Place {
        match at {
            Where::Here => self.place.clone(),
            Where::Anew => Place { marked_anew: true, ..self.place.clone() },
            Where::There => self.place.of_the_other(names),
        }
    }

    /// Which leg to clamp and which outlet to use: where a coded step was seen, else the other leg of
    /// where one was flat, else where a bare step answered, else any.
    fn next_leg(&self) -> On {
        let any = On { leg: Conductor::L1, outlet: String::new() };
        let Some(known) = self.known else { return any };
        if let Some((_, flat)) = &known.flat
            && known.seen.as_ref().is_none_or(|seen| seen == flat)
        {
            let leg = if flat.leg == Conductor::L1 { Conductor::L2 } else { Conductor::L1 };
            return On { leg, outlet: flat.outlet.clone() };
        }
        known.seen.clone().or_else(|| known.answered.clone()).unwrap_or(any)
    }

    /// Whether a look was already made in this stay: a second one rests on the same cause.
    fn was_done(&self, test: &Test) -> bool {
        let here = |stay: &StayId| *stay == self.place.stay;
        self.suppose.told.iter().any(|seen| match (seen, test) {
            (Seen::MeterNumber { stay, .. }, Test::ReadMeterNumber)
            | (Seen::AddressPlate { stay, .. }, Test::ReadPlate)
            | (Seen::Sticker { stay, .. }, Test::PhotographSticker)
            | (Seen::MeterPhoto { stay, .. }, Test::PictureOfMeter)
            | (Seen::BillingRecord { stay, .. }, Test::CompareWithBilling) => here(stay),
            (Seen::Word { stay, speaker, .. }, Test::AskCustomer) => {
                here(stay) && *speaker == crate::sighting::Speaker::Customer
            }
            (Seen::Word { stay, speaker, .. }, Test::AskElectrician) => {
                here(stay) && *speaker == crate::sighting::Speaker::Electrician
            }
            _ => false,
        })
    }

    /// From all steps those that cannot be left out, dearest left out first; none: not even all of
    /// them would do.
    fn fewest(&self, to: &mut Supposing, mut steps: Vec<Step>) -> Option<Vec<Step>> {
        let used = [Where::Here, Where::Anew, Where::There]
            .into_iter()
            .filter(|at| steps.iter().any(|step| step.1 == *at));
        let places: Vec<(Where, Place)> =
            used.map(|at| (at, self.place_at(&to.names, at))).collect();
        // Named and numbered once: what is tried then is numbers alone.
        let used: Vec<(Where, At<'_>)> =
            places.iter().map(|(at, place)| (*at, self.suppose.at(to, place))).collect();
        let rows = steps.iter().filter_map(|(test, at, nth)| {
            let (_, at) = used.iter().find(|(other, _)| other == at)?;
            Some(self.suppose.rows(to, at, test, *nth))
        });
        let added: Vec<Rows> = rows.collect();
        let case = &mut to.case;
        let start = case.mark();
        let mut before = Vec::with_capacity(added.len());
        for rows in &added {
            before.push(case.mark());
            case.put(rows);
        }
        let named = |case: &Case| case.about_sets(self.seen).identified(self.suppose.x);
        if !named(case) {
            case.go_back(&start);
            return None;
        }
        // What stands before the one left out is all there still; of what stands after it, the needed.
        let mut needed: Vec<&Rows> = Vec::new();
        for (at, (rows, before)) in added.iter().zip(&before).enumerate().rev() {
            case.go_back(before);
            for rows in &needed {
                case.put(rows);
            }
            if named(case) {
                steps.remove(at);
            } else {
                needed.push(rows);
            }
        }
        case.go_back(&start);
        Some(steps)
    }
}

/// Looks first, cheapest before dearer; then the rest as it is to be done. What is repeated stands
/// once.
fn in_order(needed: Vec<Test>) -> Vec<Test> {
    let (mut looks, rest): (Vec<Test>, Vec<Test>) = needed.into_iter().partition(is_look);
    looks.sort_by_key(Test::minutes);
    let mut tests = Vec::new();
    for test in looks.into_iter().chain(rest) {
        if !tests.contains(&test) {
            tests.push(test);
        }
    }
    tests
}

fn numbered(steps: Vec<Test>, at: Where) -> Vec<Step> {
    let first = match at {
        Where::Here => 0,
        Where::Anew => 100,
        Where::There => 200,
    };
    steps.into_iter().enumerate().map(|(n, test)| (test, at, first + n)).collect()
}

/// Whether a test is made with the eyes or ears at the premises alone.
const fn is_look(test: &Test) -> bool {
    matches!(
        test,
        Test::BeginStay
            | Test::BeginStayAnew
            | Test::ReadMeterNumber
            | Test::ReadPlate
            | Test::PhotographSticker
            | Test::PictureOfMeter
            | Test::CompareWithBilling
            | Test::AskCustomer
            | Test::AskElectrician
    )
}
