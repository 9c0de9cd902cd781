//! Who plays, and on which device each of them writes.

use coldlug_core::{
    event::CrewMember,
    gate::Role,
    quantity::{DeviceId, IdError, PersonId},
};

/// Who writes something down.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Who {
    /// The lineworker at the pad.
    Pad,
    /// The lineworker at the premises.
    House,
    /// The electrician, on the phone of the lineworker at the premises.
    Electrician,
    /// The electrician, by the link on their own phone: the desk writes for them.
    ByLink,
    /// The dispatcher at the desk.
    Dispatcher,
}

/// Who begins at the pad.
const FIRST_AT_PAD: &str = "lineworker-1";

/// Names of people and devices. Names are roles: nobody real is meant.
#[derive(Debug, Clone)]
pub(crate) struct Cast {
    pad: (PersonId, DeviceId),
    house: (PersonId, DeviceId),
    electrician: PersonId,
    dispatcher: (PersonId, DeviceId),
}

impl Cast {
    /// The people of every simulated job.
    pub(crate) fn new() -> Result<Self, IdError> {
        let of = |person: &str, device: &str| -> Result<_, IdError> {
            Ok((PersonId::new(person)?, DeviceId::new(device)?))
        };
        Ok(Self {
            pad: of(FIRST_AT_PAD, "phone-pad")?,
            house: of("lineworker-2", "phone-house")?,
            electrician: PersonId::new("electrician-1")?,
            dispatcher: of("dispatcher-1", "desk")?,
        })
    }

    /// Whether the worker at the pad is the one who began there.
    pub(crate) fn first_at_pad(&self) -> bool {
        self.pad.0.as_str() == FIRST_AT_PAD
    }

    /// The two lineworkers change places, each with their phone.
    pub(crate) fn change_places(&mut self) {
        std::mem::swap(&mut self.pad, &mut self.house);
    }

    /// The person.
    pub(crate) const fn person(&self, who: Who) -> &PersonId {
        match who {
            Who::Pad => &self.pad.0,
            Who::House => &self.house.0,
            Who::Electrician | Who::ByLink => &self.electrician,
            Who::Dispatcher => &self.dispatcher.0,
        }
    }

    /// The device they write on.
    pub(crate) const fn device(&self, who: Who) -> &DeviceId {
        match who {
            Who::Pad => &self.pad.1,
            Who::House | Who::Electrician => &self.house.1,
            Who::ByLink | Who::Dispatcher => &self.dispatcher.1,
        }
    }

    /// The crew as the job names it.
    pub(crate) fn crew(&self) -> Vec<CrewMember> {
        let with = |(person, device): &(PersonId, DeviceId), role| CrewMember {
            person: person.clone(),
            role,
            device: Some(device.clone()),
        };
        vec![
            with(&self.pad, Role::Lineworker),
            with(&self.house, Role::Lineworker),
            CrewMember { person: self.electrician.clone(), role: Role::Electrician, device: None },
            with(&self.dispatcher, Role::Dispatcher),
        ]
    }
}
