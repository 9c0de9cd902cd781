//! What stands on the shell's own keys: `screen::label` of core.

use std::collections::HashMap;

use coldlug_core::screen;

use crate::{phone::Phone, sentence::Sentence};

macro_rules! mirror {
    ($($(#[$doc:meta])* $name:ident,)*) => {
        /// Something that a shell draws beside what screens hold.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, uniffi::Enum)]
        pub enum Label {
            $($(#[$doc])* $name,)*
        }

        impl From<screen::Label> for Label {
            fn from(label: screen::Label) -> Self {
                match label { $(screen::Label::$name => Self::$name,)* }
            }
        }
    };
}

coldlug_core::every_label!(mirror);

#[uniffi::export]
impl Phone {
    /// All labels in words: asked for once, when the shell begins.
    pub fn labels(&self) -> HashMap<Label, Sentence> {
        let said = |&label: &screen::Label| (label.into(), label.say(&self.words).into());
        screen::Label::ALL.iter().map(said).collect()
    }
}
