//! Every variant is drawn on every surface, or listed with a reason.

use super::{
    arms, lists, not_yet,
    scan::scan,
    surface::{Surface, draws},
};

/// Whether `code` names a variant: as a whole word.
fn names(code: &str, spelled: &[String]) -> bool {
    spelled.iter().any(|name| {
        code.match_indices(name.as_str()).any(|(at, _)| {
            !code[at + name.len()..].starts_with(|c: char| c.is_alphanumeric() || c == '_')
        })
    })
}

/// How far a surface is with a variant.
#[derive(Debug, PartialEq, Eq)]
enum Drawn {
    Nowhere,
    /// Its physical state, headline and acts only.
    Plainly,
    Whole,
}

/// A file's path and its code.
type Code = (String, String);

fn code_of(surface: Surface) -> Vec<Code> {
    let code = |(path, text): (String, String)| {
        let code = scan(&path, &text).code;
        (path, code)
    };
    surface.files().into_iter().map(code).collect()
}

fn drawn(surface: Surface, code: &[Code], of: &str, variant: &str) -> Drawn {
    let spelled = surface.spelled(of, variant);
    let code: Vec<&str> =
        code.iter().filter(|(path, _)| draws(path, of)).map(|(_, code)| code.as_str()).collect();
    let plain = |code: &&str| arms::plain_heads(code).iter().any(|head| names(head, &spelled));
    if code.iter().any(plain) {
        Drawn::Plainly
    } else if code.iter().any(|code| names(code, &spelled)) {
        Drawn::Whole
    } else {
        Drawn::Nowhere
    }
}

/// Acts are drawn by what their offer says: its label and its asks. No act needs a line of its own,
/// and a phone that names one would know something about it that core should say.
fn draws_offers(surface: Surface, code: &[Code]) -> bool {
    let has = |word: &str| code.iter().any(|(_, code)| code.contains(word));
    match surface {
        Surface::Android | Surface::Ios | Surface::Desk => {
            has("acts") && has(".label") && has(".asks") && has("permitted")
        }
        Surface::Terminal => false,
    }
}

#[test]
fn every_variant_is_drawn_everywhere_or_listed() {
    let listed = not_yet::listed();
    let mut wrong = Vec::new();
    for surface in Surface::ALL {
        let code = code_of(surface);
        for of in lists::ENUMS {
            for variant in lists::variants(of) {
                let whole = if of == "Act" {
                    draws_offers(surface, &code)
                } else {
                    drawn(surface, &code, of, &variant) == Drawn::Whole
                };
                let key = (surface.name().to_owned(), of.to_owned(), variant.clone());
                match (whole, listed.get(&key)) {
                    (true, None) | (false, Some(_)) => {}
                    (true, Some(reason)) if reason.whole => {}
                    (true, Some(why)) => wrong.push(format!("{key:?}: {} no more", why.said)),
                    (false, None) => wrong.push(format!("{key:?} is not drawn and not listed")),
                }
            }
        }
    }
    assert!(wrong.is_empty(), "tests/parity/not_yet.txt: {wrong:#?}");
}

#[test]
fn both_phones_draw_every_mark_of_a_diagram() {
    for surface in [Surface::Android, Surface::Ios] {
        let code = code_of(surface);
        for mark in lists::variants("DiagramMark") {
            let drawn = drawn(surface, &code, "DiagramMark", &mark);
            assert_eq!(drawn, Drawn::Whole, "{}: {mark}", surface.name());
        }
    }
}

#[test]
fn no_phone_knows_an_act_by_name() {
    let mut named = Vec::new();
    for surface in [Surface::Android, Surface::Ios] {
        for (path, text) in surface.files() {
            let code = scan(&path, &text).code;
            for act in lists::variants("Act") {
                let spelled: Vec<String> = surface
                    .spelled("Act", &act)
                    .into_iter()
                    .filter(|name| name.starts_with("Act"))
                    .collect();
                if names(&code, &spelled) {
                    named.push(format!("{path}: {act}"));
                }
            }
        }
    }
    assert!(named.is_empty(), "{named:#?}");
}

#[test]
fn what_is_not_drawn_is_seen() {
    let check = |code: &str, want: Drawn| {
        let file = [("a.swift".to_owned(), code.to_owned())];
        assert_eq!(drawn(Surface::Ios, &file, "Screen", "Lift"), want, "{code}");
    };
    check("switch s { case .lift(let set): draw(set) }", Drawn::Whole);
    check("switch s { case .proof, .lift: NotYetDrawn() }", Drawn::Plainly);
    check("switch s { case .lifted: draw() }", Drawn::Nowhere);
}

#[test]
fn a_screen_whose_drawing_is_taken_out_is_seen() {
    let drawing = [
        (Surface::Android, "screen/About.kt"),
        (Surface::Ios, "ScreenView.swift"),
        (Surface::Desk, "parts/screen.html"),
    ];
    for (surface, file) in drawing {
        for screen in ["Briefing", "Lift", "Proof", "Clearance", "Restore"] {
            let mut code = code_of(surface);
            assert_eq!(drawn(surface, &code, "Screen", screen), Drawn::Whole, "{screen}: {file}");
            let (_, text) = code.iter_mut().find(|(path, _)| path.ends_with(file)).expect(file);
            let spelled = surface.spelled("Screen", screen);
            let left: Vec<&str> = text.lines().filter(|line| !names(line, &spelled)).collect();
            *text = left.join("\n");
            assert_eq!(drawn(surface, &code, "Screen", screen), Drawn::Nowhere, "{screen}: {file}");
        }
    }
}
