//! From the request to the open cabinet.

use coldlug_core::{
    caution::Subject,
    event::{Body, Briefed, InstrumentEntered},
    gate::{Rule, Scope},
    sighting::{TagRead, TagVerdict, tags_in_reach},
    words::Words,
};

use crate::demo::{crew::pad, halt::Halt, people::Hand, play::Play, tools::Tool};

/// Both jobs are worked on both sides of the base.
pub(super) const SCOPE: Scope = Scope::BaseBothSides;

/// The job as the dispatcher prepared it, on the phone.
pub(super) fn open(play: &mut Play<'_>, words: &Words) {
    let premises = play
        .plant()
        .services
        .get(&play.job.service)
        .map_or_else(String::new, |service| service.premises.clone());
    play.row(
        words.plain("demo-step-open"),
        words.say("demo-seen-request", &[("work", play.job.story.work)]),
        words.say(
            "demo-shown-request",
            &[("premises", &premises), ("service", play.job.service.as_str())],
        ),
        &[Rule::JobKnownScope, Rule::SystemListed],
    );
}

pub(super) fn brief(play: &mut Play<'_>, words: &Words) -> Result<(), Halt> {
    play.pass_s(420);
    let present = [Hand::Pad, Hand::House, Hand::Electrician]
        .into_iter()
        .map(Hand::person)
        .collect::<Result<_, _>>()?;
    let subjects = Subject::ALL.to_vec();
    let count = subjects.len().to_string();
    play.write(Hand::Pad, Body::Briefed(Briefed { subjects, present }))?;
    let shown = play.shown(Hand::Pad, words)?;
    play.row(
        words.plain("demo-step-brief"),
        words.say("demo-seen-brief", &[("people", "3"), ("subjects", &count)]),
        shown,
        &[Rule::RulesPinned, Rule::CrewOnly],
    );
    Ok(())
}

pub(super) fn instruments(play: &mut Play<'_>, words: &Words) -> Result<(), Halt> {
    for (who, tool) in [
        (Hand::Pad, Tool::Clamp),
        (Hand::Pad, Tool::PadTester),
        (Hand::Pad, Tool::Insulation),
        (Hand::House, Tool::HouseTester),
        (Hand::Electrician, Tool::OwnTester),
    ] {
        if who == Hand::Electrician && play.job.story.by_link {
            // They enter it on their own page.
            continue;
        }
        play.pass_s(20);
        let instrument = tool.nameplate()?;
        play.write(who, Body::Instrument(InstrumentEntered { instrument }))?;
    }
    play.prove_clamp()?;
    play.prove_volts(Hand::Pad, Tool::PadTester)?;
    play.prove_volts(Hand::House, Tool::HouseTester)?;
    play.row(
        words.plain("demo-step-instruments"),
        words.plain("demo-seen-instruments"),
        words.plain("demo-shown-instruments"),
        &[Rule::KnownInstrument],
    );
    Ok(())
}

pub(super) fn find_pad(play: &mut Play<'_>, words: &Words) -> Result<(), Halt> {
    let pad = play.claimed()?.pad;
    let found = pad::find(play, &pad)?;
    let looks = pad::mark_sets(play, &pad)?;
    let tags = play.plant().pads.get(&pad).map_or_else(Vec::new, |p| p.tags.clone());
    let near = tags_in_reach(play.plant(), play.rules(), &pad);
    let tag = tags.first().map_or("", String::as_str);
    let verdict = TagRead::new(&found.tag, false, play.rules()).verdict(tag, &tags, &near);
    let shown = match verdict {
        TagVerdict::Matches => words.say("tag-matches", &[("tag", tag)]),
        TagVerdict::CouldBe { .. } => words.say("tag-could-be", &[("tag", tag)]),
        TagVerdict::AnotherOfThePad => words.say("tag-another-of-the-pad", &[("tag", tag)]),
        TagVerdict::Differs => words.say("tag-differs", &[("tag", tag)]),
    };
    play.row(
        words.say("demo-step-find-pad", &[("pad", pad.as_str())]),
        words.say(
            "demo-seen-pad",
            &[
                ("tag", &found.tag),
                ("metres", &found.radius_m),
                ("sets", &found.sets.to_string()),
                ("looks", &looks.join(", ")),
            ],
        ),
        shown,
        &[Rule::BriefedBeforeCabinet],
    );
    Ok(())
}
