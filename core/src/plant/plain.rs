//! Tags and meter numbers as they are compared.

/// A tag or a meter number as it is compared: its letters and digits alone, in upper case. Spaces,
/// dashes and frames are drawn one way on the record and another way on the plate.
pub fn plain(text: &str) -> String {
    text.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_uppercase).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn case_spaces_and_dashes_do_not_count() {
        assert_eq!(plain(" hb-471 "), "HB471");
        assert_eq!(plain("No. 7/é"), "NO7É");
        assert_eq!(plain("--"), "");
    }
}
