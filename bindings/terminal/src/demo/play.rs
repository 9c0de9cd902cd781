//! One job being played: the field, the two phones, and what the crew keeps in its head.

use std::collections::BTreeMap;

use coldlug_core::{
    event::{Body, Event, InstrumentProven, NeutralTested, Shown, VoltsRead},
    gate::Rule,
    job::Sheets,
    plant::{Conductor, Pair, Plant, VoltageSystem},
    proof::NeutralTest,
    quantity::{AssetId, Decimal, DeedId, DeviceId, EventId, Instant, MarksId, SightingId, StayId},
    reading::{AmpsReading, Place, VoltsReading},
    reconcile::{Judgement, judge},
    rule_sheet::RuleSheet,
    screen::{Device, screen},
    sighting::SetAt,
    words::{Sentence, Words},
};
use coldlug_field::seed::Draw;

use super::{
    clock::Clock,
    crew::step::Outlet,
    halt::Halt,
    names::Names,
    people::{Hand, PhoneAt},
    phone::Phone,
    row::Row,
    site::{INVERTER_VOLTS, KNOWN_LOAD_AMPS, KNOWN_MEGOHMS, Site},
    story::Story,
    tools::Tool,
};

/// The job as the crew was given it.
pub(crate) struct Order {
    /// The story it follows.
    pub(crate) story: &'static Story,
    /// The service to be made dead.
    pub(crate) service: AssetId,
}

/// One job being played.
pub(crate) struct Play<'a> {
    /// What is to be done.
    pub(crate) job: Order,
    /// The field.
    pub(crate) site: Site,
    /// Its time.
    pub(crate) clock: Clock,
    /// Names of what is written down.
    pub(crate) names: Names,
    /// The app's own randomness, from the seed.
    pub(crate) draw: Draw,
    /// The phone at the pad.
    pub(crate) pad_phone: Phone,
    /// The phone at the premises.
    pub(crate) house_phone: Phone,
    /// The open stay.
    pub(crate) stay: Option<StayId>,
    /// The last pull of the meter, while it is out.
    pub(crate) pull: Option<DeedId>,
    /// The marks on each pad.
    pub(crate) marks: BTreeMap<AssetId, MarksId>,
    /// What was done, seen and shown.
    pub(crate) rows: Vec<Row>,
    /// The map and the rules both phones carry.
    pub(crate) sheets: &'a Sheets<'a>,
    /// Which leg the first outlet hangs on.
    pub(crate) first_outlet: Conductor,
}

impl Play<'_> {
    /// Lets time pass.
    pub(crate) fn pass_s(&mut self, seconds: u32) {
        self.clock.pass_s(seconds);
    }

    /// The map sheet.
    pub(crate) fn plant(&self) -> &Plant {
        self.sheets.plant
    }

    /// The rule sheet.
    pub(crate) fn rules(&self) -> &RuleSheet {
        self.sheets.rules
    }

    /// The voltage system of the service, by the map sheet.
    pub(crate) fn system(&self) -> Result<VoltageSystem, Halt> {
        let service = self.plant().services.get(&self.job.service);
        service
            .map(|service| service.system)
            .ok_or_else(|| Halt::stuck("the service is not on the map sheet"))
    }

    /// This moment on the phone somebody writes on.
    pub(crate) fn instant(&self, who: Hand) -> Instant {
        self.clock.instant(who.phone().name())
    }

    /// The open stay.
    pub(crate) fn stay(&self) -> Result<StayId, Halt> {
        self.stay.clone().ok_or_else(|| Halt::stuck("nobody is at the premises"))
    }

    /// The name of the next sighting.
    pub(crate) fn next_sighting(&mut self) -> Result<SightingId, Halt> {
        Ok(SightingId::new(self.names.next("sighting"))?)
    }

    fn event(&mut self, who: Hand, body: Body) -> Result<Event, Halt> {
        Ok(Event {
            id: EventId::new(self.names.next("e"))?,
            at: self.instant(who),
            device: who.phone().device()?,
            person: who.person()?,
            late_wall_ms: None,
            body,
        })
    }

    /// Writes something down: decided, signed and kept on the writer's phone, then passed to the
    /// other one.
    pub(crate) fn write(&mut self, who: Hand, body: Body) -> Result<EventId, Halt> {
        let event = self.event(who, body)?;
        let id = event.id.clone();
        let (own, other) = match who.phone() {
            PhoneAt::Pad => (&mut self.pad_phone, &mut self.house_phone),
            PhoneAt::House => (&mut self.house_phone, &mut self.pad_phone),
        };
        for entry in own.act(self.sheets, event)? {
            other.take(self.sheets, &entry)?;
        }
        Ok(id)
    }

    /// Tries a step that this rule must refuse; nothing is written.
    pub(crate) fn refused(&mut self, who: Hand, body: Body, rule: Rule) -> Result<(), Halt> {
        let event = self.event(who, body)?;
        let phone = match who.phone() {
            PhoneAt::Pad => &self.pad_phone,
            PhoneAt::House => &self.house_phone,
        };
        match phone.would(self.sheets, event) {
            Err(refusal) if refusal.rule == rule => Ok(()),
            Err(other) => Err(Halt::NotRefused { wanted: rule, got: other.to_string() }),
            Ok(()) => Err(Halt::NotRefused { wanted: rule, got: "let through".to_owned() }),
        }
    }

    /// What the software makes of the evidence so far.
    pub(crate) fn judgement(&self) -> Result<Judgement, Halt> {
        let evidence = self.pad_phone.state().evidence.as_ref();
        let evidence = evidence.ok_or_else(|| Halt::stuck("the job is not opened"))?;
        Ok(judge(self.plant(), self.rules(), evidence))
    }

    /// Where the map has the set of the service.
    pub(crate) fn claimed(&self) -> Result<SetAt, Halt> {
        let feed = self.plant().feed_of(&self.job.service);
        let feed = feed.map_err(|why| Halt::stuck(why.to_string()))?;
        match (feed.pad, feed.position) {
            (Some(pad), Some(position)) => Ok(SetAt { pad, position }),
            _ => Err(Halt::stuck("the map names no pad and position for the service")),
        }
    }

    /// What stands on somebody's screen now: the headline, and the first line of the physical state.
    pub(crate) fn shown(&self, who: Hand, words: &Words) -> Result<Sentence, Halt> {
        let phone = match who.phone() {
            PhoneAt::Pad => &self.pad_phone,
            PhoneAt::House => &self.house_phone,
        };
        // Only the headline and the physical state are shown: nothing is drafted, no chance drawn.
        let device = Device {
            device: &DeviceId::new(who.phone().name())?,
            now: &self.instant(who),
            written: 0,
            chance: &[0; 32],
            secrets: &BTreeMap::new(),
            head: None,
        };
        let shown = screen(phone.state(), self.sheets, &who.person()?, &device, words);
        let physical = shown.physical.first().map_or("", |line| line.text.as_str());
        let places = [("headline", shown.headline.text.as_str()), ("physical", physical)];
        Ok(words.say("demo-shown-screen", &places))
    }

    /// The voltages written last, as a person says them.
    pub(crate) fn last_volts(&self, count: usize) -> String {
        let volts = &self.pad_phone.state().volts;
        let from = volts.len().saturating_sub(count);
        let last = volts.iter().skip(from).map(|taken| {
            let reading = &taken.taken.reading;
            format!("{} {} V", reading.between, reading.volts)
        });
        last.collect::<Vec<_>>().join(", ")
    }

    /// Adds a row to the table.
    pub(crate) fn row(&mut self, step: Sentence, seen: Sentence, shown: Sentence, gates: &[Rule]) {
        tracing::debug!(step = %step, seen = %seen, shown = %shown);
        self.rows.push(Row { step, seen, shown, gates: gates.to_vec(), refused: false });
    }

    /// Reads one voltage and writes it down.
    pub(crate) fn read_volts(
        &mut self,
        who: Hand,
        tool: Tool,
        place: &Place,
        between: Pair,
    ) -> Result<EventId, Halt> {
        self.pass_s(8);
        let volts = self.site.volts(place, between, &self.clock)?;
        let reading = VoltsReading { place: place.clone(), between, volts, instrument: tool.id()? };
        self.write(who, Body::Volts(VoltsRead { reading }))
    }

    /// Shows a tester on the truck's inverter. Also a reading on a known source, for a proof.
    pub(crate) fn prove_volts(&mut self, who: Hand, tool: Tool) -> Result<EventId, Halt> {
        self.pass_s(15);
        let place = Place::KnownSource { what: "truck inverter".to_owned() };
        let pair = Pair(Conductor::L1, Conductor::N);
        let shown_volts = self.site.volts(&place, pair, &self.clock)?;
        let expected_volts = decimal(INVERTER_VOLTS)?;
        let body = Body::InstrumentProven(InstrumentProven {
            instrument: tool.id()?,
            known: "truck inverter".to_owned(),
            known_tolerance_percent: decimal(2.0)?,
            shown: Shown::Volts { shown_volts, expected_volts },
        });
        self.write(who, body)?;
        self.read_volts(who, tool, &place, pair)
    }

    /// Shows the clamp on the crew's own load, fed from the truck.
    pub(crate) fn prove_clamp(&mut self) -> Result<EventId, Halt> {
        self.pass_s(30);
        let shown_amps = self.site.amps_of_known_load()?;
        let body = Body::InstrumentProven(InstrumentProven {
            instrument: Tool::Clamp.id()?,
            known: "heater on the truck inverter".to_owned(),
            known_tolerance_percent: decimal(5.0)?,
            shown: Shown::Amps { shown_amps, expected_amps: decimal(KNOWN_LOAD_AMPS)? },
        });
        self.write(Hand::Pad, body)
    }

    /// Shows the insulation tester on a known box.
    pub(crate) fn prove_insulation_tester(&mut self) -> Result<EventId, Halt> {
        self.pass_s(30);
        let body = Body::InstrumentProven(InstrumentProven {
            instrument: Tool::Insulation.id()?,
            known: "box of 100 megohms".to_owned(),
            known_tolerance_percent: decimal(5.0)?,
            shown: Shown::Megohms {
                shown_megohms: Site::megohms_of_box()?,
                expected_megohms: decimal(KNOWN_MEGOHMS)?,
            },
        });
        self.write(Hand::Pad, body)
    }

    /// Hangs the known load on one line jaw and reads the other leg to neutral.
    pub(crate) fn test_neutral(&mut self) -> Result<EventId, Halt> {
        self.pass_s(60);
        let service = self.job.service.clone();
        let shown = self.site.neutral_test(service.as_str(), Conductor::L1, &self.clock)?;
        let test = NeutralTest {
            loaded: Conductor::L1,
            unloaded: Conductor::L2,
            without_volts: shown.without_volts,
            with_volts: shown.with_volts,
            voltmeter: Tool::PadTester.id()?,
            load: AmpsReading {
                conductor: Some(Conductor::L1),
                amps: shown.amps,
                instrument: Tool::Clamp.id()?,
            },
        };
        self.write(Hand::Pad, Body::NeutralTested(NeutralTested { service, test }))
    }

    /// Plugs the known load in.
    pub(crate) fn plug_in(&mut self, outlet: Outlet) -> Result<(), Halt> {
        self.pass_s(60);
        let leg = match (outlet, self.first_outlet) {
            (Outlet::First, leg) => leg,
            (Outlet::Second, Conductor::L1) => Conductor::L2,
            (Outlet::Second, _) => Conductor::L1,
        };
        let service = self.job.service.clone();
        Ok(self.site.plug_in(service.as_str(), leg)?)
    }
}

fn decimal(value: f64) -> Result<Decimal, Halt> {
    Decimal::from_f64(value, 1).ok_or_else(|| Halt::stuck("a number that cannot be shown"))
}
