//! What people do wrong, each as one thing that is false: a slip is made once in a job, at some
//! occasion for it, and whoever makes it does not know.

use coldlug_field::seed::Draw;

macro_rules! slips {
    ($($(#[$doc:meta])* $name:ident = $id:literal, $premises:literal;)*) => {
        /// A slip of somebody on the job.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub(crate) enum Slip {
            $($(#[$doc])* $name,)*
        }

        impl Slip {
            /// Every slip.
            pub(crate) const ALL: &'static [Self] = &[$(Self::$name,)*];

            /// Its stable id.
            pub(crate) const fn id(self) -> &'static str {
                match self { $(Self::$name => $id,)* }
            }

            /// Whether it can make a sighting of the premises false.
            pub(crate) const fn is_of_premises(self) -> bool {
                match self { $(Self::$name => $premises,)* }
            }
        }
    };
}

slips! {
    /// In one placement the jaws close round the whole cable, and one leg is written down.
    WholeCableClamp = "whole-cable-clamp", false;
    /// In one placement the jaws do not close.
    JawNotClosed = "jaw-not-closed", false;
    /// One placement is on another set of the pad than written down.
    PlacementElsewhere = "placement-elsewhere", false;
    /// The marks of one go stand on other sets than written down.
    SetsMislabelled = "sets-mislabelled", false;
    /// Lug positions of one pad are counted from the wrong end, all through the job.
    PositionsMiscounted = "positions-miscounted", false;
    /// The worker is at the house next door for a whole stay, and reports what the sheet says of
    /// the target.
    WrongHouse = "wrong-house", true;
    /// Between meter read and step the worker walks to the house next door, unrecorded.
    WalkNextDoor = "walk-next-door", true;
    /// The outlet of one run is fed from the house next door.
    OutletOfNextDoor = "outlet-of-next-door", false;
    /// What the pad writes of one run is made up, as a person would guess it; where no load can be
    /// switched, every tone and marker is, to fit one set.
    ReadingsInvented = "readings-invented", false;
    /// One leg is clamped twice and written down as both.
    LegReadTwice = "leg-read-twice", false;
    /// Two digits of a meter number change places as it is written down.
    DigitsTransposed = "digits-transposed", true;
    /// The display is not looked at, and what was read there before is written down again.
    OldReadingCarriedOver = "old-reading-carried-over", false;
    /// The customer's own sources are reported off, and are on.
    SourcesStillOn = "sources-still-on", false;
    /// Another meter is pulled than the one whose number is written down.
    WrongMeterPulled = "wrong-meter-pulled", false;
    /// Who reads pictures at the pad reads on every one what the sheet says of the target; where
    /// that is true, another number.
    PicturesMisread = "pictures-misread", true;
    /// The customer says another service than the one they live at.
    CustomerWrong = "customer-wrong", true;
    /// The electrician takes another base for the one of the job, in word and sticker.
    ElectricianWrong = "electrician-wrong", true;
    /// Another set is opened than the one that was named.
    WrongSetOpened = "wrong-set-opened", false;
}

impl Slip {
    /// Whether it takes a house next door.
    pub(crate) const fn needs_next_door(self) -> bool {
        matches!(
            self,
            Self::WrongHouse
                | Self::WalkNextDoor
                | Self::OutletOfNextDoor
                | Self::WrongMeterPulled
                | Self::CustomerWrong
                | Self::ElectricianWrong
        )
    }
}

/// The slips that wait for their occasion.
#[derive(Debug, Clone)]
pub(crate) struct Slips {
    waiting: Vec<Slip>,
    draw: Draw,
}

/// How likely a slip is made at any one occasion for it; so that it is not always the first.
const AT_ONE_OCCASION: f64 = 0.6;
/// The same for a reading, of which a job has some fifty.
pub(crate) const AT_ONE_READING: f64 = 0.05;

impl Slips {
    /// Slips of one job.
    pub(crate) fn new(slips: Vec<Slip>, draw: Draw) -> Self {
        Self { waiting: slips, draw }
    }

    /// Whether this slip is made at this occasion. It is made once.
    pub(crate) fn made(&mut self, slip: Slip) -> bool {
        self.made_with(slip, AT_ONE_OCCASION)
    }

    /// The same with another chance, where a job has many occasions for it.
    pub(crate) fn made_with(&mut self, slip: Slip, chance: f64) -> bool {
        let Some(at) = self.waiting.iter().position(|waiting| *waiting == slip) else {
            return false;
        };
        let now = self.draw.chance(chance);
        if now {
            self.waiting.remove(at);
        }
        now
    }

    /// Whether a slip that lasts all through the job is one of this job's.
    pub(crate) fn lasts(&self, slip: Slip) -> bool {
        self.waiting.contains(&slip)
    }

    /// One of the things from which a slip chooses.
    pub(crate) fn pick<'a, T>(&mut self, from: &'a [T]) -> Option<&'a T> {
        self.draw.pick(from)
    }

    /// Like a coin.
    pub(crate) fn chance(&mut self, chance: f64) -> bool {
        self.draw.chance(chance)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use coldlug_field::seed::stream;
    use std::collections::BTreeSet;

    #[test]
    fn ids_are_given_once() {
        let ids: BTreeSet<&str> = Slip::ALL.iter().map(|slip| slip.id()).collect();
        assert_eq!(ids.len(), Slip::ALL.len());
    }

    #[test]
    fn a_slip_is_made_once_and_no_other_with_it() {
        let mut slips = Slips::new(vec![Slip::WrongMeterPulled], stream(1, "slips"));
        let made = (0..50).filter(|_| slips.made(Slip::WrongMeterPulled)).count();
        assert_eq!(made, 1);
        assert!(!slips.made(Slip::WrongHouse));
    }
}
