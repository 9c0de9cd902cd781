//! Tests of the book of clearances.

use proptest::prelude::*;

use super::*;
use crate::{
    plant::VoltageSystem,
    proof::{
        DeadProof, Zone,
        example::{Desk, whole_proof, zone},
        prove_dead,
    },
    quantity::AssetId,
    reading::example::at,
};

const HASH: &str = "00ff00ff00ff00ff00ff00ff00ff00ff00ff00ff00ff00ff00ff00ff00ff00ff";

fn dead_at(zone: &Zone) -> ProvenDead {
    let readings = whole_proof(zone, VoltageSystem::Split120_240, 10);
    match prove_dead(zone, &readings, Desk::new().with()) {
        DeadProof::Proven(proven) => proven,
        other => panic!("{other:?}"),
    }
}

fn person(name: &str) -> PersonId {
    PersonId::new(name).unwrap()
}

fn id(name: &str) -> ClearanceId {
    ClearanceId::new(name).unwrap()
}

/// The people and proofs of the tests: a lineworker, an electrician, two others.
struct Crew {
    people: [PersonId; 4],
    proof: ProofId,
    dead: ProvenDead,
    elsewhere: ProvenDead,
}

impl Crew {
    fn new() -> Self {
        let other = Zone::MeterBase { service: AssetId::new("V015").unwrap() };
        Self {
            people: ["lw-a", "el-1", "lw-b", "dp-1"].map(person),
            proof: ProofId::new("pr-1").unwrap(),
            dead: dead_at(&zone()),
            elsewhere: dead_at(&other),
        }
    }

    fn phone(&self, who: usize) -> Author<'_> {
        Author { person: &self.people[who], desk: false }
    }

    fn desk(&self, who: usize) -> Author<'_> {
        Author { person: &self.people[who], desk: true }
    }

    fn offered(&self, by_link: bool) -> Clearances {
        let mut book = Clearances::default();
        book.offer(&id("c1"), self.phone(0), self.offer(by_link), &at(100), &RuleSheet::default())
            .unwrap();
        book
    }

    fn offer(&self, by_link: bool) -> Offer<'_> {
        Offer {
            to: &self.people[1],
            proof: &self.proof,
            dead: &self.dead,
            record_sha256: HASH,
            by_link,
        }
    }

    fn held(&self) -> Clearances {
        let mut book = self.offered(false);
        book.accept(&id("c1"), self.phone(1), HolderTest::Own(&self.dead)).unwrap();
        book
    }
}

fn why(result: Result<(), Refused>) -> Vec<Why> {
    result.err().map_or_else(Vec::new, |refused| refused.why)
}

#[test]
fn offered_accepted_released() {
    let crew = Crew::new();
    let mut book = crew.held();
    let blocks = book.blocks_closing();
    assert_eq!(blocks.first().map(Blocks::id), Some("no-clearance-held-before-closing"));
    assert_eq!(why(book.release(&id("c1"), crew.phone(0))), [Why::HolderReleases]);
    book.release(&id("c1"), crew.phone(1)).unwrap();
    assert_eq!(book.blocks_closing(), []);
    assert_eq!(why(book.release(&id("c1"), crew.phone(1))), [Why::NotHeld]);
}

#[test]
fn nobody_accepts_for_another_or_without_a_test() {
    let crew = Crew::new();
    let mut book = crew.offered(false);
    let other = ProofId::new("pr-2").unwrap();
    let own = HolderTest::Own(&crew.dead);
    assert_eq!(why(book.accept(&id("c1"), crew.phone(2), own)), [Why::OtherPerson]);
    let elsewhere = HolderTest::Own(&crew.elsewhere);
    assert_eq!(why(book.accept(&id("c1"), crew.phone(1), elsewhere)), [Why::OtherZone]);
    let witnessed = HolderTest::Witnessed(&other);
    assert_eq!(why(book.accept(&id("c1"), crew.phone(1), witnessed)), [Why::OtherProof]);
    assert_eq!(why(book.accept(&id("c2"), crew.phone(1), own)), [Why::Unknown]);
    book.accept(&id("c1"), crew.phone(1), HolderTest::Witnessed(&crew.proof)).unwrap();
    assert_eq!(why(book.accept(&id("c1"), crew.phone(1), own)), [Why::NotOffered]);
    assert_eq!(book.get(&id("c1")).unwrap().holders()[0].own_test, None);
}

#[test]
fn an_offer_needs_a_fresh_proof_a_new_name_and_a_hash() {
    let crew = Crew::new();
    let mut book = crew.offered(false);
    let rules = RuleSheet::default();
    let offer = Offer { record_sha256: "abc", ..crew.offer(false) };
    assert_eq!(
        why(book.offer(&id("c1"), crew.phone(0), offer, &at(2000), &rules)),
        [Why::NameTaken, Why::ProofStale, Why::BadHash]
    );
}

#[test]
fn a_link_is_moved_by_the_desk_alone() {
    let crew = Crew::new();
    let own = HolderTest::Own(&crew.dead);
    let mut book = crew.offered(true);
    let blocked = |book: &Clearances| book.blocks_closing().first().map(Blocks::id);
    assert_eq!(blocked(&book), Some("no-link-offer-before-closing"));
    assert_eq!(why(book.accept(&id("c1"), crew.phone(1), own)), [Why::DeskOnly]);
    assert_eq!(why(book.refuse(&id("c1"), crew.phone(0))), [Why::OtherPerson, Why::DeskOnly]);
    assert_eq!(why(book.end_link(&id("c1"), crew.phone(3))), [Why::DeskOnly]);
    let mut ended = book.clone();
    ended.end_link(&id("c1"), crew.desk(3)).unwrap();
    assert_eq!(blocked(&ended), None);
    assert_eq!(why(ended.accept(&id("c1"), crew.desk(1), own)), [Why::NotOffered]);
    book.accept(&id("c1"), crew.desk(1), own).unwrap();
    assert_eq!(why(book.end_link(&id("c1"), crew.desk(3))), [Why::NotOffered]);
    assert_eq!(why(book.release(&id("c1"), crew.phone(1))), [Why::DeskOnly]);
    book.release(&id("c1"), crew.desk(1)).unwrap();
    assert_eq!(blocked(&book), None);
}

#[test]
fn an_offer_made_here_is_taken_back_here() {
    let crew = Crew::new();
    let mut book = crew.offered(false);
    assert_eq!(book.blocks_closing().len(), 1);
    assert_eq!(why(book.refuse(&id("c1"), crew.phone(2))), [Why::OtherPerson]);
    assert_eq!(why(book.end_link(&id("c1"), crew.desk(3))), [Why::NotByLink]);
    book.refuse(&id("c1"), crew.phone(0)).unwrap();
    assert_eq!(book.blocks_closing(), []);
}

#[test]
fn a_transfer_keeps_the_chain_and_the_block() {
    let crew = Crew::new();
    let mut book = crew.held();
    let own = HolderTest::Own(&crew.dead);
    let same = book.transfer(&id("c1"), crew.phone(1), &crew.people[1], own);
    assert_eq!(why(same), [Why::SameHolder]);
    let foreign = book.transfer(&id("c1"), crew.phone(0), &crew.people[2], own);
    assert_eq!(why(foreign), [Why::HolderReleases]);
    book.transfer(&id("c1"), crew.phone(1), &crew.people[2], own).unwrap();
    assert_eq!(book.blocks_closing().len(), 1);
    assert_eq!(why(book.release(&id("c1"), crew.phone(1))), [Why::HolderReleases]);
    let chain: Vec<_> = book.get(&id("c1")).unwrap().holders().iter().map(|h| &h.holder).collect();
    assert_eq!(chain, [&crew.people[1], &crew.people[2]]);
}

#[test]
fn abandoning_takes_all_of_it() {
    let crew = Crew::new();
    let rules = RuleSheet::default();
    let tried = ["called", "called again", "went to the house"].map(str::to_owned);
    let whole = Abandonment {
        second_person: &crew.people[2],
        reason: "gone home",
        attempts: &tried,
        looked_for_people: true,
        seen_clear: true,
        base_closed: true,
    };
    let check = |done: Abandonment<'_>, author: Author<'_>, wanted: &[Why]| {
        assert_eq!(why(crew.held().abandon(&id("c1"), author, done, &rules)), wanted);
    };
    let me = crew.phone(0);
    check(whole, me, &[]);
    check(Abandonment { attempts: &tried[..2], ..whole }, me, &[Why::Attempts]);
    check(Abandonment { reason: "  ", ..whole }, me, &[Why::Reason]);
    check(Abandonment { looked_for_people: false, ..whole }, me, &[Why::LookForPeople]);
    check(Abandonment { seen_clear: false, ..whole }, me, &[Why::SeenClear]);
    check(Abandonment { base_closed: false, ..whole }, me, &[Why::BaseClosed]);
    check(Abandonment { second_person: &crew.people[0], ..whole }, me, &[Why::SecondPerson]);
    check(Abandonment { second_person: &crew.people[1], ..whole }, me, &[Why::SecondPerson]);
    check(whole, crew.phone(1), &[Why::SecondPerson]);
    let mut by_link = crew.offered(true);
    by_link.accept(&id("c1"), crew.desk(1), HolderTest::Own(&crew.dead)).unwrap();
    assert_eq!(why(by_link.abandon(&id("c1"), me, whole, &rules)), [Why::DeskOnly]);
    assert_eq!(why(by_link.abandon(&id("c1"), crew.desk(0), whole, &rules)), []);
    let offered = crew.offered(false).abandon(&id("c1"), me, whole, &rules);
    assert_eq!(why(offered), [Why::NotHeld]);
}

#[derive(Debug, Clone, Copy)]
enum Act {
    Offer(bool),
    Accept,
    Refuse,
    Release,
    Transfer(usize),
    Abandon(bool),
    EndLink,
}

fn act() -> impl Strategy<Value = (Act, usize, usize, bool)> {
    let act = prop_oneof![
        any::<bool>().prop_map(Act::Offer),
        Just(Act::Accept),
        Just(Act::Refuse),
        Just(Act::Release),
        (0_usize..4).prop_map(Act::Transfer),
        any::<bool>().prop_map(Act::Abandon),
        Just(Act::EndLink),
    ];
    (act, 0_usize..2, 0_usize..4, any::<bool>())
}

proptest! {
    /// A model that knows only who may be at work: someone from an accepted acceptance to the
    /// release by that very person, or to a whole abandonment; and someone unseen from an offer by
    /// link to an entry of the desk. The closing gate is open only when the model is empty.
    #[test]
    fn nothing_closes_on_anyone_who_may_be_at_work(
        acts in prop::collection::vec(act(), 0..30),
    ) {
        let crew = Crew::new();
        let rules = RuleSheet::default();
        let tried = ["a", "b", "c"].map(str::to_owned);
        let own = HolderTest::Own(&crew.dead);
        let mut book = Clearances::default();
        let mut at_work: [Option<usize>; 2] = [None; 2];
        let mut unseen = [false; 2];
        for (act, which, who, desk) in acts {
            let name = id(["c1", "c2"][which]);
            let author = Author { person: &crew.people[who], desk };
            let before = book.clone();
            let result = match act {
                Act::Offer(by_link) => {
                    let done = book.offer(&name, author, crew.offer(by_link), &at(100), &rules);
                    if done.is_ok() { unseen[which] = by_link; }
                    done
                }
                Act::Accept => {
                    let done = book.accept(&name, author, own);
                    if done.is_ok() {
                        prop_assert_eq!(who, 1);
                        prop_assert!(desk || !unseen[which]);
                        at_work[which] = Some(who);
                        unseen[which] = false;
                    }
                    done
                }
                Act::Refuse => {
                    let done = book.refuse(&name, author);
                    if done.is_ok() {
                        prop_assert!(desk || !unseen[which]);
                        unseen[which] = false;
                    }
                    done
                }
                Act::Release => {
                    let done = book.release(&name, author);
                    if done.is_ok() {
                        prop_assert_eq!(at_work[which], Some(who));
                        at_work[which] = None;
                    }
                    done
                }
                Act::Transfer(to) => {
                    let done = book.transfer(&name, author, &crew.people[to], own);
                    if done.is_ok() {
                        prop_assert_eq!(at_work[which], Some(who));
                        at_work[which] = Some(to);
                    }
                    done
                }
                Act::Abandon(whole) => {
                    let done = Abandonment {
                        second_person: &crew.people[(who + 1) % 4],
                        reason: "gone",
                        attempts: &tried,
                        looked_for_people: whole,
                        seen_clear: true,
                        base_closed: true,
                    };
                    let done = book.abandon(&name, author, done, &rules);
                    if done.is_ok() {
                        prop_assert!(whole);
                        at_work[which] = None;
                    }
                    done
                }
                Act::EndLink => {
                    let done = book.end_link(&name, author);
                    if done.is_ok() {
                        prop_assert!(desk);
                        unseen[which] = false;
                    }
                    done
                }
            };
            if result.is_err() {
                prop_assert_eq!(&book, &before, "a refused act changed something");
            }
            let may_close = book.blocks_closing().is_empty();
            let somebody = at_work.iter().any(Option::is_some) || unseen.iter().any(|&u| u);
            prop_assert!(!(may_close && somebody));
        }
    }
}
