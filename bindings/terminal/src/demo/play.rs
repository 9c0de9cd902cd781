//! One job being played: the field, the two phones, and what the crew keeps in its head.

use std::collections::BTreeMap;

use coldlug_core::{
    event::{Body, InstrumentProven, NeutralTested, Shown, VoltsRead},
    gate::Rule,
    job::{Sheets, State},
    plant::{Conductor, Pair, Plant, VoltageSystem},
    proof::NeutralTest,
    quantity::{AssetId, Decimal, DeedId, EventId, Instant, JobId, MarksId, SightingId, StayId},
    reading::{AmpsReading, Place, VoltsReading},
    reconcile::{Judgement, judge},
    rule_sheet::RuleSheet,
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
    web::Visitor,
    wire::fill,
};

/// The job as the crew was given it.
pub(crate) struct Order {
    /// The story it follows.
    pub(crate) story: &'static Story,
    /// Its name.
    pub(crate) id: JobId,
    /// The service to be made dead.
    pub(crate) service: AssetId,
}

/// The electrician's own browser.
pub(crate) struct Browser {
    /// What draws the pages.
    pub(crate) visitor: Visitor,
    /// The link's address at the desk.
    pub(crate) at: String,
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
    pub(crate) pad_phone: &'a Phone,
    /// The phone at the premises.
    pub(crate) house_phone: &'a Phone,
    /// The phone that has written what the other has not seen.
    pub(crate) ahead: Option<PhoneAt>,
    /// The desk has written for the electrician what the phones have not seen.
    pub(crate) desk_wrote: bool,
    /// The electrician's own browser, once they have the link.
    pub(crate) browser: Option<Browser>,
    /// Whether the play ends once the electrician has the link: somebody else goes on by hand.
    pub(crate) hold: bool,
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

    /// Bytes of the app's own chance, from the seed.
    pub(crate) fn chance(&mut self) -> [u8; 32] {
        let mut bytes = [0; 32];
        fill(&mut self.draw, &mut bytes);
        bytes
    }

    /// The open stay.
    pub(crate) fn stay(&self) -> Result<StayId, Halt> {
        self.stay.clone().ok_or_else(|| Halt::stuck("nobody is at the premises"))
    }

    /// The name of the next sighting.
    pub(crate) fn next_sighting(&mut self) -> Result<SightingId, Halt> {
        Ok(SightingId::new(self.names.next("sighting"))?)
    }

    /// The phone somebody writes on.
    fn phone(&self, at: PhoneAt) -> &Phone {
        match at {
            PhoneAt::Pad => self.pad_phone,
            PhoneAt::House => self.house_phone,
        }
    }

    /// Lets a phone know what the other has written: both sync with the desk.
    pub(crate) fn meet(&mut self, at: PhoneAt) -> Result<(), Halt> {
        if self.desk_wrote {
            return self.all_meet();
        }
        if let Some(ahead) = self.ahead.filter(|ahead| *ahead != at) {
            self.phone(ahead).sync()?;
            self.phone(at).sync()?;
            self.ahead = None;
        }
        Ok(())
    }

    /// Lets both phones and the desk know everything.
    pub(crate) fn all_meet(&mut self) -> Result<(), Halt> {
        for phone in [self.pad_phone, self.house_phone, self.pad_phone] {
            phone.sync()?;
        }
        self.desk_wrote = false;
        self.ahead = None;
        Ok(())
    }

    /// Writes something down on the writer's phone.
    pub(crate) fn write(&mut self, who: Hand, body: Body) -> Result<EventId, Halt> {
        let at = who.phone();
        self.meet(at)?;
        let id = self.phone(at).act(&self.job.id, &who.person()?, body)?;
        self.ahead = Some(at);
        Ok(id)
    }

    /// Tries a step that this rule must refuse; nothing is written.
    pub(crate) fn refused(&mut self, who: Hand, body: Body, rule: Rule) -> Result<(), Halt> {
        let at = who.phone();
        self.meet(at)?;
        self.phone(at).refused(&self.job.id, &who.person()?, body, rule)
    }

    /// Looks at the job as the phone at the pad has it.
    pub(crate) fn at_pad<T>(
        &mut self,
        look: impl FnOnce(&State, &Sheets<'_>) -> T,
    ) -> Result<T, Halt> {
        self.meet(PhoneAt::Pad)?;
        self.pad_phone.look(&self.job.id, |state, sheets, _| look(state, sheets))
    }

    /// What the software makes of the evidence so far.
    pub(crate) fn judgement(&mut self) -> Result<Judgement, Halt> {
        let judged = self.at_pad(|state, sheets| {
            state.evidence.as_ref().map(|evidence| judge(sheets.plant, sheets.rules, evidence))
        })?;
        judged.ok_or_else(|| Halt::stuck("the job is not opened"))
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
    pub(crate) fn shown(&mut self, who: Hand, words: &Words) -> Result<Sentence, Halt> {
        self.meet(who.phone())?;
        let shown = self.phone(who.phone()).screen(&self.job.id, &who.person()?)?;
        let physical = shown.physical.first().map_or("", |line| line.text.as_str());
        let places = [("headline", shown.headline.text.as_str()), ("physical", physical)];
        Ok(words.say("demo-shown-screen", &places))
    }

    /// The voltages written last, as a person says them.
    pub(crate) fn last_volts(&mut self, count: usize) -> Result<String, Halt> {
        self.at_pad(|state, _| {
            let from = state.volts.len().saturating_sub(count);
            let last = state.volts.iter().skip(from).map(|taken| {
                let reading = &taken.taken.reading;
                format!("{} {} V", reading.between, reading.volts)
            });
            last.collect::<Vec<_>>().join(", ")
        })
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
