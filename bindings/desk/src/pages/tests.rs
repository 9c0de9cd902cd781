//! The templates hold no words of their own, and nothing that somebody typed becomes markup.

use std::{fs, path::Path};

use coldlug_core::words::{Sentence, Words};

use super::{ErrorPage, Frame, SCRIPT, STYLE, SignIn};

fn templates() -> Vec<(String, String)> {
    let mut found = Vec::new();
    let mut folders = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join("templates")];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else {
                found.push((path.display().to_string(), fs::read_to_string(&path).unwrap()));
            }
        }
    }
    assert!(found.len() > 20, "only {} templates found", found.len());
    found
}

/// A text without what stands between `open` and `close`.
fn without(text: &str, open: &str, close: &str) -> String {
    let mut kept = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once(open) {
        kept.push_str(before);
        kept.push(' ');
        rest = after.split_once(close).map_or("", |(_, after)| after);
    }
    kept + rest
}

#[test]
fn no_template_has_words_of_its_own() {
    for (path, text) in templates() {
        let text = without(&without(&text, "{{", "}}"), "{%", "%}");
        let text = without(&text, "<", ">");
        // The unit of a reading stands beside its number; two marks of the frame are put into
        // its tags from outside.
        let ours = ["V", "aria-current=\"page\"", "desk", "person"];
        let words = text.split_whitespace().filter(|word| !ours.contains(word));
        let words: Vec<&str> = words.filter(|w| w.chars().any(char::is_alphabetic)).collect();
        // A part that goes inside a tag has no tags around it.
        assert!(words.is_empty() || path.ends_with("told.html"), "{path}: {words:?}");
    }
}

#[test]
fn every_sentence_of_the_templates_is_there() {
    let words = Words::english().unwrap();
    let mut seen = 0;
    for (path, text) in templates() {
        for call in ["words.plain(\"", "words.say(\""] {
            for after in text.split(call).skip(1) {
                let id = after.split('"').next().unwrap_or_default();
                assert!(words.has(id), "{path}: no sentence for {id}");
                seen += 1;
            }
        }
    }
    assert!(seen > 90, "only {seen} found: are they written another way now?");
    for standing in ["agrees", "contradicts", "unsettled"] {
        assert!(words.has(standing), "{standing}");
    }
}

#[test]
fn every_sentence_of_the_pages_is_shown_somewhere() {
    let all: String = templates().into_iter().map(|(_, text)| text).collect();
    let ours = include_str!("../../../../core/src/words/en/desk.ftl");
    let ids = ours.lines().filter_map(|line| line.split_once(" = ")).map(|(id, _)| id);
    for id in ids.filter(|id| !matches!(*id, "yes" | "no")) {
        assert!(all.contains(&format!("\"{id}\"")), "{id} stands on no page");
    }
}

#[test]
fn what_was_typed_is_never_markup() {
    let words = Words::english().unwrap();
    let typed = "\"><script>alert(1)</script><i x='";
    let page = SignIn { name: typed.into(), ..SignIn::default() }.render(&words).unwrap();
    assert!(!page.contains("<script>") && !page.contains("<i x"), "{page}");
    let said = Sentence { id: "made-up".into(), text: typed.into(), spoken: String::new() };
    let error = ErrorPage { frame: Frame::default(), sentence: said, back: Some(typed.into()) };
    let page = error.render(&words).unwrap();
    assert!(!page.contains("<script>") && !page.contains("<i x"), "{page}");
}

#[test]
fn only_pictures_that_the_desk_drew_are_put_in_as_they_are() {
    let raw: Vec<String> = templates()
        .into_iter()
        .flat_map(|(_, text)| {
            let lines: Vec<String> =
                text.lines().filter(|line| line.contains("|safe")).map(str::to_owned).collect();
            lines
        })
        .collect();
    assert_eq!(raw.len(), 4, "{raw:#?}");
    // The fourth is core's diagram, which escapes what is written on it.
    let drawn = |line: &String| line.contains("qr_svg|safe") || line.contains("{{ svg|safe }}");
    assert!(raw.iter().all(drawn), "{raw:#?}");
}

#[test]
fn style_and_script_are_small() {
    assert!(STYLE.len() + SCRIPT.len() < 30_000, "{}", STYLE.len() + SCRIPT.len());
    assert!(!STYLE.contains("@import") && !STYLE.contains("url("));
    assert!(STYLE.ends_with(coldlug_core::diagram::STYLE));
}
