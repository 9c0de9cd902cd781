//! Who is there, and on which phone each of them writes.

use coldlug_core::quantity::{DeviceId, IdError, PersonId};

/// The three people of both jobs. Names are roles: nobody real is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Hand {
    /// The lineworker at the pad.
    Pad,
    /// The lineworker at the premises.
    House,
    /// The electrician, who carries no device of the job: their own phone's browser by link, or the
    /// phone of the lineworker at the premises.
    Electrician,
}

/// The two phones.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum PhoneAt {
    /// With the lineworker at the pad.
    Pad,
    /// With the lineworker at the premises.
    House,
}

impl PhoneAt {
    /// The device's name.
    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::Pad => "phone-pad",
            Self::House => "phone-house",
        }
    }

    /// The device.
    pub(crate) fn device(self) -> Result<DeviceId, IdError> {
        DeviceId::new(self.name())
    }
}

impl Hand {
    /// The person's name on the job.
    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::Pad => "lineworker-1",
            Self::House => "lineworker-2",
            Self::Electrician => "electrician-1",
        }
    }

    /// The person.
    pub(crate) fn person(self) -> Result<PersonId, IdError> {
        PersonId::new(self.name())
    }

    /// Where the person writes.
    pub(crate) const fn phone(self) -> PhoneAt {
        match self {
            Self::Pad => PhoneAt::Pad,
            Self::House | Self::Electrician => PhoneAt::House,
        }
    }
}
