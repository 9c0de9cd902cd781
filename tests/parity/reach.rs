//! Everything that is touched on iOS is drawn by the one style that makes it large enough.

use super::surface::Surface;

/// How many buttons a file has that no glove is sure to hit.
fn small_buttons(text: &str) -> usize {
    let buttons = text.matches("Button {").count() + text.matches("Button(").count();
    buttons.saturating_sub(text.matches(".buttonStyle(Key(").count())
}

#[test]
fn every_button_is_large_enough_for_a_glove() {
    let small: Vec<String> = Surface::Ios
        .files()
        .into_iter()
        .filter(|(_, text)| small_buttons(text) > 0)
        .map(|(path, _)| path)
        .collect();
    assert!(small.is_empty(), "buttons without the style: {small:?}");
}

#[test]
fn a_small_button_is_seen() {
    assert_eq!(small_buttons("Button { } label: { }\n.buttonStyle(Key(leads: true))"), 0);
    assert_eq!(small_buttons("Button { } label: { }\n.buttonStyle(.plain)"), 1);
}
