//! Numbers and texts as bytes that sort as they do: the keys and rows of a shelf.

/// Some values, one after the other.
#[derive(Debug, Clone, Default)]
pub(super) struct Pack(Vec<u8>);

impl Pack {
    pub(super) fn byte(mut self, byte: u8) -> Self {
        self.0.push(byte);
        self
    }

    pub(super) fn number(mut self, number: u32) -> Self {
        self.0.extend(number.to_be_bytes());
        self
    }

    /// A small number: a place in one of our own lists.
    pub(super) fn field(self, place: usize) -> Self {
        self.byte(u8::try_from(place).unwrap_or(u8::MAX))
    }

    /// What is in another pack.
    pub(super) fn then(mut self, other: &Self) -> Self {
        self.0.extend_from_slice(&other.0);
        self
    }

    /// A text sorts before every longer one that begins with it: no byte of UTF-8 is 255, so each is
    /// put one higher, and nothing ends it.
    pub(super) fn text(mut self, text: &str) -> Self {
        self.0.extend(text.bytes().map(|byte| byte.wrapping_add(1)));
        self.byte(0)
    }

    /// A text, or none.
    pub(super) fn maybe_text(self, text: Option<&str>) -> Self {
        match text {
            Some(text) => self.byte(1).text(text),
            None => self.byte(0),
        }
    }

    pub(super) fn bytes(&self) -> &[u8] {
        &self.0
    }

    pub(super) fn into_bytes(self) -> Vec<u8> {
        self.0
    }
}

/// The same values read again. A shelf gives back what it was given, so what is not there is empty.
#[derive(Debug)]
pub(super) struct Unpack<'a> {
    all: &'a [u8],
    at: usize,
}

impl<'a> Unpack<'a> {
    pub(super) fn of(all: &'a [u8]) -> Self {
        Self { all, at: 0 }
    }

    fn rest(&self) -> &'a [u8] {
        self.all.get(self.at..).unwrap_or_default()
    }

    pub(super) fn byte(&mut self) -> u8 {
        let byte = self.rest().first().copied().unwrap_or_default();
        self.at += 1;
        byte
    }

    pub(super) fn number(&mut self) -> u32 {
        let bytes = self.rest().first_chunk::<4>().copied().unwrap_or_default();
        self.at += bytes.len();
        u32::from_be_bytes(bytes)
    }

    pub(super) fn field(&mut self) -> usize {
        usize::from(self.byte())
    }

    /// Goes past a text without reading it.
    pub(super) fn past_text(&mut self) {
        self.raw();
    }

    fn raw(&mut self) -> &'a [u8] {
        let raw = self.rest().split(|byte| *byte == 0).next().unwrap_or_default();
        self.at += raw.len() + 1;
        raw
    }

    pub(super) fn text(&mut self) -> String {
        let bytes = self.raw().iter().map(|byte| byte.wrapping_sub(1)).collect();
        String::from_utf8(bytes).unwrap_or_default()
    }

    pub(super) fn maybe_text(&mut self) -> Option<String> {
        (self.byte() == 1).then(|| self.text())
    }

    /// What was read so far, as it stands.
    pub(super) fn so_far(&self) -> &'a [u8] {
        self.all.get(..self.at).unwrap_or(self.all)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn what_is_packed_sorts_as_it_did_and_comes_back(
            one in (".{0,6}", any::<u32>(), ".{0,3}", any::<u8>()),
            other in (".{0,6}", any::<u32>(), ".{0,3}", any::<u8>()),
        ) {
            let pack = |(text, number, next, byte): &(String, u32, String, u8)| {
                Pack::default().text(text).number(*number).maybe_text(Some(next)).byte(*byte)
            };
            prop_assert_eq!(pack(&one).bytes().cmp(pack(&other).bytes()), one.cmp(&other));
            let packed = pack(&one).into_bytes();
            let mut read = Unpack::of(&packed);
            let again = (read.text(), read.number(), read.maybe_text().unwrap(), read.byte());
            prop_assert_eq!(again, one);
            prop_assert_eq!(read.so_far(), packed.as_slice());
        }
    }

    #[test]
    fn what_is_cut_off_is_empty() {
        let mut read = Unpack::of(&[]);
        assert_eq!((read.byte(), read.number(), read.text().as_str()), (0, 0, ""));
        assert_eq!(read.maybe_text(), None);
    }
}
