//! Tags and meter numbers as they are compared.

/// A tag or a meter number as it is compared: its letters and digits alone, in upper case. Spaces,
/// dashes and frames are drawn one way on the record and another way on the plate.
pub fn plain(text: &str) -> String {
    if text.is_ascii() {
        let known = text.bytes().filter(u8::is_ascii_alphanumeric);
        return known.map(|byte| char::from(byte.to_ascii_uppercase())).collect();
    }
    of_any_script(text)
}

fn of_any_script(text: &str) -> String {
    text.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_uppercase).collect()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn case_spaces_and_dashes_do_not_count() {
        assert_eq!(plain(" hb-471 "), "HB471");
        assert_eq!(plain("No. 7/é"), "NO7É");
        assert_eq!(plain("--"), "");
    }

    proptest! {
        #[test]
        fn the_short_way_is_the_long_way(text in "[ -~]{0,24}") {
            prop_assert_eq!(plain(&text), of_any_script(&text));
        }
    }
}
