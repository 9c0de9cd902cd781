//! Dead, proven; the work handed over and taken back.

use coldlug_core::{
    event::{Body, ClearanceEvent, ClearanceOp, Operation, OwnTest, ProofOf},
    gate::Rule,
    proof::Zone,
    quantity::{ClearanceId, ProofId},
    sighting::SetAt,
};

use super::{Crew, Halt, Who, site::TesterOf};

/// So often a proof is begun again.
const TRIES: u32 = 4;

impl Crew<'_> {
    /// From both legs lifted to the released clearance.
    pub(super) fn prove_and_hand_over(&mut self, set: &SetAt) -> Result<(), Halt> {
        self.pass_s(60);
        let service = self.target.clone();
        let (pad, position) = (set.pad.clone(), set.position.clone());
        let base = Zone::MeterBase { service: service.clone() };
        let mut dead = self.prove_zone(Who::House, &base)?;
        self.count_dead()?;
        self.prove_opening(set, &mut dead)?;
        let ends = Zone::LiftedLegs { pad: pad.clone(), position: position.clone() };
        self.prove_zone(Who::Pad, &ends)?;
        self.pass_s(60);
        self.operate(Who::Pad, Operation::SetShorted { pad, position })?;
        if let Some(really) = self.lifted_set.clone() {
            self.site.switching.set_shorted(&really, true);
        }
        self.offer_and_accept(dead)?;
        self.pass_s(2400);
        let findings = "meter base replaced".to_owned();
        self.operate(Who::Electrician, Operation::WorkDone { service, findings })?;
        self.pass_s(60);
        self.on_clearance(Who::Electrician, ClearanceOp::Released)?;
        Ok(())
    }

    /// Proves a zone dead, from the start again where the tester or a reading does not count.
    fn prove_zone(&mut self, who: Who, zone: &Zone) -> Result<ProofId, Halt> {
        let of = match zone {
            Zone::MeterBase { service } => ProofOf::Dead { service: service.clone() },
            Zone::LiftedLegs { pad, position } => {
                ProofOf::Lifted { pad: pad.clone(), position: position.clone() }
            }
            Zone::PadBus { pad } => ProofOf::BusDead { pad: pad.clone() },
        };
        let mut last = Halt::BROKEN;
        for turn in 0..TRIES {
            let whose = if who == Who::House {
                if turn == 1 {
                    // What one tester leaves undecided, another of low impedance settles.
                    self.take_spare_tester()?;
                }
                self.prove_house_tester()?;
                self.house_tester()
            } else {
                TesterOf::Pad
            };
            let readings = self.read_zone(who, whose, zone)?;
            self.not_stopped()?;
            match self.prove(who, of.clone(), readings) {
                Err(halt @ Halt(rule)) if again(rule) => last = halt,
                other => return other,
            }
        }
        Err(last)
    }

    /// The opening proves the identity: the bus lives, and the base is dead. Where a reading did
    /// not count, bus and base are read again.
    fn prove_opening(&mut self, set: &SetAt, dead: &mut ProofId) -> Result<(), Halt> {
        let of = ProofOf::Opening {
            service: self.target.clone(),
            pad: set.pad.clone(),
            position: set.position.clone(),
        };
        let mut last = Halt::BROKEN;
        for turn in 0..TRIES {
            if turn > 0 {
                let base = Zone::MeterBase { service: self.target.clone() };
                self.prove_tester(Who::Pad, TesterOf::Pad)?;
                *dead = self.prove_zone(Who::House, &base)?;
                self.count_dead()?;
            }
            let bus = self.volts_on_bus(set)?;
            self.not_stopped()?;
            match self.prove(Who::House, of.clone(), bus) {
                Err(halt @ Halt(rule)) if again(rule) => last = halt,
                other => return other.map(|_| ()),
            }
        }
        Err(last)
    }

    /// The clearance is offered, tested by its holder, and accepted.
    fn offer_and_accept(&mut self, mut dead: ProofId) -> Result<(), Halt> {
        let base = Zone::MeterBase { service: self.target.clone() };
        self.pass_s(30);
        match self.offer(&dead) {
            Err(Halt(rule))
                if rule == Rule::ProofFreshBeforeHandover.id()
                    || rule == Rule::DeadProvenBeforeHandover.id() =>
            {
                dead = self.prove_zone(Who::House, &base)?;
                self.count_dead()?;
                self.offer(&dead)?;
            }
            other => other?,
        }
        let mut last = Halt::BROKEN;
        for _ in 0..TRIES {
            let readings = self.read_zone(Who::Electrician, TesterOf::Electrician, &base)?;
            self.not_stopped()?;
            self.pass_s(20);
            let test = OwnTest::Readings { readings };
            match self.on_clearance(Who::Electrician, ClearanceOp::Accepted { test }) {
                Err(halt @ Halt(rule)) if rule == Rule::HolderTestsBeforeAccept.id() => last = halt,
                Err(halt) => return Err(halt),
                Ok(()) => return self.count_dead(),
            }
        }
        Err(last)
    }

    fn offer(&mut self, dead: &ProofId) -> Result<(), Halt> {
        let act = ClearanceOp::Offered {
            to: self.cast.person(Who::Electrician).clone(),
            proof: dead.clone(),
            record_sha256: self.sheets.map_hash().parse().map_err(|_| Halt::BROKEN)?,
            by_link: false,
        };
        self.on_clearance(Who::House, act)
    }

    fn on_clearance(&mut self, who: Who, act: ClearanceOp) -> Result<(), Halt> {
        let clearance = ClearanceId::new("clearance-1")?;
        self.write(who, Body::Clearance(ClearanceEvent { clearance, act }))?;
        Ok(())
    }
}

/// Whether a rule asks for readings anew.
fn again(rule: &str) -> bool {
    rule == Rule::ProofHolds.id()
        || rule == Rule::TesterProvenAroundProof.id()
        || rule == Rule::WaitAfterSourcesOff.id()
}
