//! The dispatcher's pages around the jobs.

use std::error::Error;

use coldlug_core::{quantity::JobId, screen::JobLine, words::Words};
use coldlug_desk::pages::{
    Board, BoardLine, CodeShown, CrewChoice, DeviceLine, Devices, DispatcherCode, DispatcherLine,
    Dispatchers, ErrorPage, Frame, LinkPage, MapSheetLine, MapSheets, NewJob, ServiceLine,
    SheetChoice, SignIn, Start,
};
use qrcode::{QrCode, render::svg};

use super::{
    Page,
    made_up::{at, choices, frame, outside, said},
};

/// All of them.
pub(crate) fn pages(words: &Words) -> Result<Vec<Page>, Box<dyn Error>> {
    let start = Start { frame: outside(), ..Start::default() };
    let sign_in = SignIn {
        frame: outside(),
        name: "dispatcher-1".into(),
        problem: Some(words.plain("too-many-tries")),
    };
    let empty = Board { frame: frame(), jobs: Vec::new(), damaged: Vec::new() };
    let error = ErrorPage {
        frame: outside(),
        sentence: words.plain("desk-in-trouble"),
        back: Some("/".into()),
    };
    Ok(vec![
        ("start", start.render(words)?),
        ("sign-in", sign_in.render(words)?),
        ("board-empty", empty.render(words)?),
        ("board", board(words)?.render(words)?),
        ("new-job", new_job().render(words)?),
        ("map-sheets", map_sheets(words).render(words)?),
        ("devices", devices()?.render(words)?),
        ("dispatchers", dispatchers().render(words)?),
        ("link", link()?.render(words)?),
        ("error", error.render(words)?),
    ])
}

fn board(words: &Words) -> Result<Board, Box<dyn Error>> {
    let lifted = [
        ("leg", "L1, L2"),
        ("set", "PM-12 position 3"),
        ("by", "lineworker-1"),
        ("at", "2026-11-24T09:41:00Z"),
    ];
    let held = [("clearance", "C-1"), ("person", "electrician-1")];
    let line = |job: &str, physical, stage: &str| -> Result<JobLine, Box<dyn Error>> {
        Ok(JobLine { job: Some(JobId::new(job)?), physical, stage: words.plain(stage) })
    };
    let crew = vec!["lineworker-1".into(), "lineworker-2".into(), "electrician-1".into()];
    let none = words.plain("physical-nothing");
    Ok(Board {
        frame: frame(),
        damaged: vec!["J-0002".into()],
        jobs: vec![
            BoardLine {
                line: line(
                    "J-0004",
                    words.say("physical-lifted-safe", &lifted),
                    "stage-handed-over",
                )?,
                service: "S-4471".into(),
                crew: crew.clone(),
                holding: vec![words.say("clearance-is-held", &held)],
                conflicts: 0,
                newest: Some(at(61)),
            },
            BoardLine {
                line: line("J-0003", none.clone(), "stage-found")?,
                service: "S-2090".into(),
                crew,
                holding: Vec::new(),
                conflicts: 1,
                newest: Some(at(40)),
            },
            BoardLine {
                line: line("J-0001", none, "stage-closed")?,
                service: "S-1178".into(),
                crew: vec!["lineworker-1".into()],
                holding: Vec::new(),
                conflicts: 0,
                newest: Some(at(-300)),
            },
        ],
    })
}

fn new_job() -> NewJob {
    let service = |service: &str, premises: &str, meter: &str, pad: &str| ServiceLine {
        service: service.into(),
        premises: premises.into(),
        meters: vec![meter.into()],
        pad: Some(pad.into()),
    };
    let sheet = |value: &str| SheetChoice { value: value.into(), label: value.into() };
    NewJob {
        frame: frame(),
        sheets: vec![sheet("north-side"), sheet("mill-quarter")],
        sheet: "north-side".into(),
        asked: "44".into(),
        found: Some(vec![
            service("S-4471", "14 Orchard Row", "60 114 882", "PM-12"),
            service("S-4472", "16 Orchard Row", "60 114 883", "PM-12"),
        ]),
        more: 7,
        service: "S-4471".into(),
        scopes: choices(&[
            ("base-line-side", "The line side of the meter base"),
            ("base-both-sides", "Both sides of the meter base"),
        ]),
        scope: "base-line-side".into(),
        crew: vec![
            CrewChoice { device: "phone-pad".into(), person: "lineworker-1".into(), chosen: true },
            CrewChoice {
                device: "phone-house".into(),
                person: "lineworker-2".into(),
                chosen: false,
            },
        ],
        electricians: vec!["electrician-1".into()],
        rules: vec![sheet("default")],
        rule_sheet: "default".into(),
        work: "New meter base".into(),
        job: String::new(),
        problem: None,
    }
}

fn map_sheets(words: &Words) -> MapSheets {
    MapSheets {
        frame: frame(),
        sheets: vec![MapSheetLine {
            name: "north-side".into(),
            sha256: "5f2c1e0a".repeat(8),
            services: 412,
            pads: 61,
            since: at(-900),
        }],
        name: "mill-quarter".into(),
        problem: Some(words.plain("bytes-not-as-named")),
        findings: vec![
            "line 214: pad PM-77 has no place".into(),
            "line 901: service S-9 ends on node N-4, which nothing else joins".into(),
        ],
    }
}

fn picture(of: &str) -> Result<String, Box<dyn Error>> {
    Ok(QrCode::new(of)?.render::<svg::Color<'_>>().min_dimensions(240, 240).build())
}

fn devices() -> Result<Devices, Box<dyn Error>> {
    let url = "https://desk.example/enrol#K7QMW3XRTA.phone-pad.9f31c07be2d8a604";
    let line = |device: &str, person: &str, revoked: bool| DeviceLine {
        device: device.into(),
        person: person.into(),
        key_digits: "9f31c07be2d8a604".into(),
        since: at(-1000),
        heard: (!revoked).then(|| at(58)),
        revoked,
    };
    Ok(Devices {
        frame: Frame { done: Some(said("A code was made.")), ..frame() },
        devices: vec![
            line("phone-house", "lineworker-2", false),
            line("phone-lost", "lineworker-3", true),
        ],
        code: Some(CodeShown {
            code: "K7QMW3XRTA".into(),
            device: "phone-pad".into(),
            person: "lineworker-1".into(),
            desk_key_digits: "9f31c07be2d8a604".into(),
            url: url.into(),
            qr_svg: picture(url)?,
            until: at(84),
        }),
        ..Devices::default()
    })
}

fn dispatchers() -> Dispatchers {
    Dispatchers {
        frame: frame(),
        people: vec![DispatcherLine { name: "dispatcher-1".into(), since: at(-2000) }],
        code: Some(DispatcherCode {
            code: "M3XRTAK7QW".into(),
            name: "dispatcher-2".into(),
            until: at(84),
        }),
        ..Dispatchers::default()
    }
}

fn link() -> Result<LinkPage, Box<dyn Error>> {
    let url = "https://desk.example/at/q2Vb0n5cS3m1xT8kYw7ZpA";
    Ok(LinkPage {
        frame: frame(),
        job: "J-0004".into(),
        clearance: Some("C-1".into()),
        person: "electrician-1".into(),
        url: url.into(),
        qr_svg: picture(url)?,
        until: at(500),
    })
}
