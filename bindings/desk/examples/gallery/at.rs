//! The electrician's page at every stage of it.

use std::error::Error;

use coldlug_core::{
    quantity::{AssetId, ClearanceId, PersonId, RunId},
    reading::Place,
    screen::{Act, Answer, Ask, AskKind, Digits, PointLine, Prompt, Screen, Shown, Tone, Unfit},
    words::{Sentence, Words},
};
use coldlug_desk::pages::{ElectricianPage, Frame, Tried};

use super::{
    Page,
    jobs::faults,
    made_up::{ask, at, choices, offer, outside, said},
};

/// All of them.
pub(crate) fn pages(words: &Words) -> Result<Vec<Page>, Box<dyn Error>> {
    let test = page(handover(words, false)?, None);
    let unfit = Tried {
        act: Act::ReadPoint,
        answers: vec![Answer { field: "volts".into(), value: "0,3 V".into() }],
        unfit: Some(Unfit {
            field: "volts".into(),
            reason: words.say("unfit-number", &[("what", "Line A to line B")]),
        }),
        refused: None,
    };
    let refused = Tried {
        act: Act::Accept,
        answers: Vec::new(),
        unfit: None,
        refused: Some(words.plain("holder-tests-before-accept")),
    };
    Ok(vec![
        ("at-where", page(whereabouts(words)?, None).render(words)?),
        ("at-switching", page(switching(words)?, None).render(words)?),
        ("at-test", test.render(words)?),
        ("at-unfit", page(handover(words, false)?, Some(unfit)).render(words)?),
        ("at-refused", page(accepting(words)?, Some(refused)).render(words)?),
        ("at-accept", with_faults(accepting(words)?, words)?.render(words)?),
        ("at-held", with_faults(handover(words, true)?, words)?.render(words)?),
    ])
}

fn page(shown: Shown, tried: Option<Tried>) -> ElectricianPage {
    ElectricianPage {
        frame: Frame { at: Some(at(64)), ..outside() },
        token: "q2Vb0n5cS3m1xT8kYw7ZpA".into(),
        person: "electrician-1".into(),
        job: "J-0004".into(),
        until: at(500),
        shown,
        fault_current: Vec::new(),
        tried,
    }
}

/// With what the electrician asks of the fault current, at a base that is too weak for it.
fn with_faults(shown: Shown, words: &Words) -> Result<ElectricianPage, Box<dyn Error>> {
    let mut fault_current = faults(words)?;
    fault_current
        .retain(|passage| ["fault-title", "fault-title-base"].contains(&passage.title.id.as_str()));
    Ok(ElectricianPage { fault_current, ..page(shown, None) })
}

fn stop(words: &Words) -> coldlug_core::screen::Offer {
    offer(Act::Stop, vec![ask("reason", "Why", AskKind::Text)], words)
}

fn whereabouts(words: &Words) -> Result<Shown, Box<dyn Error>> {
    let near = choices(&[
        ("S-4470", "12 Orchard Row"),
        ("S-4471", "14 Orchard Row"),
        ("S-4472", "16 Orchard Row"),
        ("none", "None of these"),
    ]);
    Ok(Shown {
        physical: vec![words.plain("physical-nothing")],
        headline: said("Say where you are."),
        tone: Tone::Wait,
        screen: Screen::Where { beside: Some(PersonId::new("lineworker-2")?), said: None },
        acts: vec![
            offer(
                Act::SayWhere,
                vec![ask("service", "You are at", AskKind::One { of: near })],
                words,
            ),
            stop(words),
        ],
    })
}

fn switching(words: &Words) -> Result<Shown, Box<dyn Error>> {
    let prompts = [1_u16, 2, 3, 4]
        .into_iter()
        .map(|slot| Prompt {
            slot,
            word: said(if slot % 3 == 0 { "LEAVE IT" } else { "SWITCH ON" }),
            say: said(&format!("Slot {slot}: read now … done … read again.")),
        })
        .collect();
    Ok(Shown {
        physical: vec![words.plain("physical-nothing")],
        headline: said("Switch as it says, slot by slot."),
        tone: Tone::Wait,
        screen: Screen::Switching { run: RunId::new("R-1")?, outlet: "kitchen".into(), prompts },
        acts: vec![offer(Act::EndRun, Vec::new(), words), stop(words)],
    })
}

fn point(
    label: &str,
    volts: Option<&str>,
    fits: Option<bool>,
    next: bool,
) -> Result<PointLine, Box<dyn Error>> {
    let place = Place::KnownSource { what: AssetId::new("S-4471")?.to_string() };
    let reads = volts.map(|volts| said(&format!("{volts} V")));
    Ok(PointLine { place, between: label.into(), label: said(label), reads, fits, next })
}

fn open(words: &Words) -> Vec<Sentence> {
    let by = [("by", "lineworker-1"), ("at", "2026-11-24T09:41:00Z"), ("set", "PM-12 position 3")];
    let mut legs = by.to_vec();
    legs.push(("leg", "L1, L2"));
    vec![words.say("physical-lifted-safe", &legs), words.say("physical-shorted", &by)]
}

fn proven() -> Vec<Sentence> {
    vec![
        said("Dead at the meter base by lineworker-2 at 09:55, every pair."),
        said("By opening: live before, dead after, the bus still live."),
    ]
}

fn handover(words: &Words, held: bool) -> Result<Shown, Box<dyn Error>> {
    let points = vec![
        point("Tester on a known source, before", Some("121.4"), Some(true), false)?,
        point("Line A to neutral", Some("0.2"), Some(true), false)?,
        point("Line B to neutral", Some("63"), Some(false), false)?,
        point("Line A to line B", None, None, true)?,
        point("Tester on a known source, after", None, None, false)?,
    ];
    let volts = ask(
        "volts",
        "Line A to line B",
        AskKind::Number { unit: "V".into(), digits: Digits::Decimal },
    );
    let reason = || ask("reason", "Why", AskKind::Text);
    let hands = words.plain(if held { "hands-held" } else { "hands-test-first" });
    let acts = if held {
        let done = vec![
            ask("nobody", "Is everybody clear of it?", AskKind::YesNo),
            Ask { required: false, ..ask("findings", "What was found", AskKind::Text) },
        ];
        vec![offer(Act::WorkDone, done, words), offer(Act::Release, Vec::new(), words), stop(words)]
    } else {
        vec![
            offer(Act::ReadPoint, vec![volts], words),
            offer(Act::Refuse, vec![reason()], words),
            stop(words),
        ]
    };
    Ok(Shown {
        physical: open(words),
        headline: hands.clone(),
        tone: if held { Tone::Go } else { Tone::Wait },
        screen: Screen::Handover {
            clearance: ClearanceId::new("C-1")?,
            hands,
            held,
            open: open(words),
            proven: proven(),
            points,
        },
        acts,
    })
}

fn accepting(words: &Words) -> Result<Shown, Box<dyn Error>> {
    let points = vec![
        point("Tester on a known source, before", Some("121.4"), Some(true), false)?,
        point("Line A to neutral", Some("0.2"), Some(true), false)?,
        point("Tester on a known source, after", Some("121.3"), Some(true), false)?,
    ];
    let hands = words.plain("hands-accept-first");
    Ok(Shown {
        physical: open(words),
        headline: hands.clone(),
        tone: Tone::Wait,
        screen: Screen::Handover {
            clearance: ClearanceId::new("C-1")?,
            hands,
            held: false,
            open: open(words),
            proven: proven(),
            points,
        },
        acts: vec![
            offer(Act::Accept, Vec::new(), words),
            offer(Act::Refuse, vec![ask("reason", "Why", AskKind::Text)], words),
            stop(words),
        ],
    })
}
