//! What stands on a shell's own keys: next, back, one key of the number pad.
//!
//! A shell has no sentence of its own. What belongs to no act and no ask is named here.

use crate::words::{Sentence, Words};

macro_rules! labels {
    ($d:tt $($(#[$doc:meta])* $name:ident = $id:literal;)*) => {
        /// Something that a shell draws beside what core's screens hold.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Label {
            $($(#[$doc])* $name,)*
        }

        impl Label {
            /// Every label.
            pub const ALL: &[Self] = &[$(Self::$name,)*];

            /// Its id in the words.
            pub const fn id(self) -> &'static str {
                match self { $(Self::$name => $id,)* }
            }
        }

        /// Hands the names of all labels, each with its docs, to another macro: for what mirrors
        /// them across a foreign interface and must not lag behind.
        #[macro_export]
        macro_rules! every_label {
            ($d with:ident) => { $d with! { $($(#[$doc])* $name,)* } };
        }
    };
}

labels! { $
    /// On to the next question of an act.
    Next = "label-next";
    /// One step back.
    Back = "label-back";
    /// Leaves a question open that may stay open.
    Skip = "label-skip";
    /// Above all answers of an act, before it is signed.
    Check = "label-check";
    /// Above an act that asks nothing.
    Sure = "label-sure";
    /// What an answer reads as while there is none.
    Empty = "label-empty";
    /// The number pad's key that takes the last digit away.
    Delete = "label-delete";
    /// The number pad's decimal point.
    Point = "label-point";
    /// The number pad's minus.
    Minus = "label-minus";
    /// Takes a picture.
    TakePicture = "label-take-picture";
    /// A picture is kept and stands as the answer.
    PictureKept = "label-picture-kept";
    /// The camera gave no picture.
    NoPicture = "label-no-picture";
    /// Yes.
    Yes = "label-yes";
    /// No.
    No = "label-no";
    /// Above the reason why nothing was written.
    NotDone = "label-not-done";
    /// Beside an act that another role does.
    OtherRole = "label-other-role";
    /// Above the way to settle it.
    Settle = "label-settle";
    /// Above the claims of the map and how they stand.
    Why = "label-why";
    /// Above everything else that can be done.
    More = "label-more";
    /// How a claim stands: borne out.
    Agrees = "agrees";
    /// How a claim stands: not decided.
    Unsettled = "unsettled";
    /// How a claim stands: excluded.
    Contradicts = "contradicts";
    /// A point of a proof reads as it should.
    Fits = "label-fits";
    /// A point of a proof reads otherwise.
    FitsNot = "label-fits-not";
    /// A point of a proof that is not read yet.
    NotRead = "label-not-read";
    /// The point of a proof that is to be read now.
    ReadNow = "label-read-now";
    /// Exchanges with the desk.
    Sync = "label-sync";
    /// While the phone exchanges with the desk.
    Syncing = "label-syncing";
    /// After both sides have everything.
    Synced = "label-synced";
    /// While something is read from the store.
    Wait = "label-wait";
    /// Before a phone is enrolled.
    Enrol = "label-enrol";
    /// The field for what the dispatcher's code holds.
    Invitation = "label-invitation";
    /// No job is on this phone.
    NoJobs = "label-no-jobs";
}

impl Label {
    /// The label in some language.
    pub fn say(self, words: &Words) -> Sentence {
        words.plain(self.id())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_label_has_its_words() {
        let words = Words::english().unwrap();
        for &label in Label::ALL {
            assert!(words.has(label.id()), "{}", label.id());
            assert!(!label.say(&words).spoken.is_empty());
        }
    }
}
