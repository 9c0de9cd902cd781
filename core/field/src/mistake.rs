//! Mistakes: what can be wrong in a record, as data.

use crate::conductor::{Metal, Size};
use crate::fix::moved;
use crate::record::{Record, ServiceClaim, SetClaim};
use crate::seed::Draw;
use crate::world::{End, FieldError, Start};

/// One mistake in a record.
#[derive(Debug, Clone, PartialEq)]
pub enum Mistake {
    /// A service is drawn on another pad than it hangs on, at that pad's next free lug.
    WrongPad {
        /// The service.
        service: String,
        /// The pad it is drawn on.
        pad: String,
    },
    /// Two pads carry each other's tags on the map.
    SwappedTags {
        /// One pad.
        a: String,
        /// The other.
        b: String,
    },
    /// A service is not on the map, nor the set that ends at it.
    MissingService {
        /// The service.
        service: String,
    },
    /// A service is on the map that does not exist, on a set that does not exist.
    ExtraService {
        /// The pad it is drawn on.
        pad: String,
        /// Its invented premises label.
        premises: String,
        /// Its invented meter number.
        meter: String,
    },
    /// A set has another metal on the map.
    WrongMetal {
        /// The set.
        set: String,
    },
    /// A set has another size on the map.
    WrongSize {
        /// The set.
        set: String,
        /// The size on the map.
        size: Size,
    },
    /// The meter book has a number that is on no meter here.
    WrongMeterNumber {
        /// The service.
        service: String,
        /// The number in the book.
        number: String,
    },
    /// The meter book has two services' meters exchanged.
    SwappedMeters {
        /// One service.
        a: String,
        /// The other.
        b: String,
    },
    /// A pad is drawn away from where it stands.
    PadMoved {
        /// The pad.
        pad: String,
        /// Metres east of the truth.
        east_m: f64,
        /// Metres north of the truth.
        north_m: f64,
    },
    /// Two services are drawn on each other's sets.
    SwappedSets {
        /// One service.
        a: String,
        /// The other.
        b: String,
    },
    /// A junction is not on the map; see [`Record::as_drawn`].
    HiddenSplice {
        /// The junction.
        junction: String,
    },
    /// A customer is billed by a number that is on no meter here.
    WrongBilling {
        /// The service.
        service: String,
        /// The number on the bill.
        number: String,
    },
    /// Two customers are billed by each other's meters.
    SwappedBilling {
        /// One service.
        a: String,
        /// The other.
        b: String,
    },
}

/// The kinds of [`Mistake`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum MistakeKind {
    /// See [`Mistake::WrongPad`].
    WrongPad,
    /// See [`Mistake::SwappedTags`].
    SwappedTags,
    /// See [`Mistake::MissingService`].
    MissingService,
    /// See [`Mistake::ExtraService`].
    ExtraService,
    /// See [`Mistake::WrongMetal`].
    WrongMetal,
    /// See [`Mistake::WrongSize`].
    WrongSize,
    /// See [`Mistake::WrongMeterNumber`].
    WrongMeterNumber,
    /// See [`Mistake::SwappedMeters`].
    SwappedMeters,
    /// See [`Mistake::PadMoved`].
    PadMoved,
    /// See [`Mistake::SwappedSets`].
    SwappedSets,
    /// See [`Mistake::HiddenSplice`].
    HiddenSplice,
    /// See [`Mistake::WrongBilling`].
    WrongBilling,
    /// See [`Mistake::SwappedBilling`].
    SwappedBilling,
}

impl MistakeKind {
    /// Every kind.
    pub const ALL: [Self; 13] = [
        Self::WrongPad,
        Self::SwappedTags,
        Self::MissingService,
        Self::ExtraService,
        Self::WrongMetal,
        Self::WrongSize,
        Self::WrongMeterNumber,
        Self::SwappedMeters,
        Self::PadMoved,
        Self::SwappedSets,
        Self::HiddenSplice,
        Self::WrongBilling,
        Self::SwappedBilling,
    ];

    /// Its stable id.
    pub fn id(self) -> &'static str {
        match self {
            Self::WrongPad => "wrong-pad",
            Self::SwappedTags => "swapped-tags",
            Self::MissingService => "missing-service",
            Self::ExtraService => "extra-service",
            Self::WrongMetal => "wrong-metal",
            Self::WrongSize => "wrong-size",
            Self::WrongMeterNumber => "wrong-meter-number",
            Self::SwappedMeters => "swapped-meters",
            Self::PadMoved => "pad-moved",
            Self::SwappedSets => "swapped-sets",
            Self::HiddenSplice => "hidden-splice",
            Self::WrongBilling => "wrong-billing",
            Self::SwappedBilling => "swapped-billing",
        }
    }

    /// Draws a mistake of this kind that changes the record and concerns a given service where
    /// it can. None when the record has no room for it (one pad only, no junction, ...).
    pub fn draw(self, record: &Record, service: &str, draw: &mut Draw) -> Option<Mistake> {
        let mine = service.to_owned();
        let my_pad = record.pad_of(service).ok()?.to_owned();
        let other_pad = |draw: &mut Draw| {
            let others: Vec<&String> = record.pads.keys().filter(|id| **id != my_pad).collect();
            draw.pick(&others).map(|id| (*id).clone())
        };
        let metered = |draw: &mut Draw, pad: Option<&str>| {
            let others: Vec<&String> = record
                .services
                .iter()
                .filter(|(id, s)| id.as_str() != service && !s.meters.is_empty())
                .filter(|(id, _)| pad.is_none_or(|p| record.pad_of(id).is_ok_and(|at| at == p)))
                .map(|(id, _)| id)
                .collect();
            draw.pick(&others).map(|id| (*id).clone())
        };
        Some(match self {
            Self::WrongPad => Mistake::WrongPad { service: mine, pad: other_pad(draw)? },
            Self::SwappedTags => {
                let b = other_pad(draw)?;
                Mistake::SwappedTags { a: my_pad, b }
            }
            Self::MissingService => {
                Mistake::MissingService { service: metered(draw, Some(&my_pad))? }
            }
            Self::ExtraService => Mistake::ExtraService {
                pad: my_pad,
                premises: format!("{} {} Back Row", draw.whole(100, 199), record.name),
                meter: format!("5{:07}", draw.below(10_000_000)),
            },
            Self::WrongMetal => {
                Mistake::WrongMetal { set: record.feeding_set(service).ok()?.to_owned() }
            }
            Self::WrongSize => {
                let set = record.feeding_set(service).ok()?.to_owned();
                let now = record.sets.get(&set)?.size;
                let others: Vec<Size> = Size::ALL.into_iter().filter(|s| *s != now).collect();
                Mistake::WrongSize { set, size: *draw.pick(&others)? }
            }
            Self::WrongMeterNumber => {
                let number = format!("5{:07}", draw.below(10_000_000));
                Mistake::WrongMeterNumber { service: mine, number }
            }
            Self::SwappedMeters => Mistake::SwappedMeters { a: mine, b: metered(draw, None)? },
            Self::PadMoved => {
                let east_m = draw.between(12.0, 45.0) * if draw.chance(0.5) { 1.0 } else { -1.0 };
                Mistake::PadMoved { pad: my_pad, east_m, north_m: draw.between(-20.0, 20.0) }
            }
            Self::SwappedSets => Mistake::SwappedSets { a: mine, b: metered(draw, Some(&my_pad))? },
            Self::HiddenSplice => {
                let all: Vec<&String> = record.pedestals.keys().collect();
                Mistake::HiddenSplice { junction: (*draw.pick(&all)?).clone() }
            }
            Self::WrongBilling => {
                let number = format!("5{:07}", draw.below(10_000_000));
                Mistake::WrongBilling { service: mine, number }
            }
            Self::SwappedBilling => {
                let billed: Vec<&String> =
                    record.billing.keys().filter(|id| **id != mine).collect();
                Mistake::SwappedBilling { a: mine, b: (*draw.pick(&billed)?).clone() }
            }
        })
    }
}

impl Record {
    /// Puts a mistake into the record. Fails, leaving the record as it was, when the mistake
    /// names something that is not on it.
    pub fn apply(&mut self, mistake: &Mistake) -> Result<(), FieldError> {
        match mistake {
            Mistake::WrongPad { service, pad } => self.draw_on_pad(service, pad),
            Mistake::SwappedTags { a, b } => self.swap_tags(a, b),
            Mistake::MissingService { service } => self.forget(service),
            Mistake::ExtraService { pad, premises, meter } => self.invent(pad, premises, meter),
            Mistake::WrongMetal { set } => {
                let claim = self.set_claim(set)?;
                claim.metal = claim.metal.other();
                Ok(())
            }
            Mistake::WrongSize { set, size } => {
                self.set_claim(set)?.size = *size;
                Ok(())
            }
            Mistake::WrongMeterNumber { service, number } => {
                self.service_claim(service)?.meters = vec![number.clone()];
                Ok(())
            }
            Mistake::SwappedMeters { a, b } => {
                let first = self.service_claim(a)?.meters.clone();
                let second = core::mem::replace(&mut self.service_claim(b)?.meters, first);
                self.service_claim(a)?.meters = second;
                Ok(())
            }
            Mistake::PadMoved { pad, east_m, north_m } => {
                let claim =
                    self.pads.get_mut(pad).ok_or_else(|| FieldError::UnknownPad(pad.clone()))?;
                claim.at = moved(claim.at, *east_m, *north_m);
                Ok(())
            }
            Mistake::SwappedSets { a, b } => {
                let (first, second) = (self.last_set(a)?.to_owned(), self.last_set(b)?.to_owned());
                self.set_claim(&first)?.to = End::Service(b.clone());
                self.set_claim(&second)?.to = End::Service(a.clone());
                Ok(())
            }
            Mistake::HiddenSplice { junction } => {
                if !self.pedestals.contains_key(junction) {
                    return Err(FieldError::UnknownJunction(junction.clone()));
                }
                self.hide_splice(junction);
                Ok(())
            }
            Mistake::WrongBilling { service, number } => {
                self.bill(service)?.clone_from(number);
                Ok(())
            }
            Mistake::SwappedBilling { a, b } => {
                let first = self.bill(a)?.clone();
                let second = core::mem::replace(self.bill(b)?, first);
                *self.bill(a)? = second;
                Ok(())
            }
        }
    }

    fn set_claim(&mut self, id: &str) -> Result<&mut SetClaim, FieldError> {
        self.sets.get_mut(id).ok_or_else(|| FieldError::UnknownSet(id.to_owned()))
    }

    fn service_claim(&mut self, id: &str) -> Result<&mut ServiceClaim, FieldError> {
        self.services.get_mut(id).ok_or_else(|| FieldError::UnknownService(id.to_owned()))
    }

    fn bill(&mut self, service: &str) -> Result<&mut String, FieldError> {
        let unknown = || FieldError::UnknownService(service.to_owned());
        self.billing.get_mut(service).ok_or_else(unknown)
    }

    fn draw_on_pad(&mut self, service: &str, pad: &str) -> Result<(), FieldError> {
        if !self.pads.contains_key(pad) {
            return Err(FieldError::UnknownPad(pad.to_owned()));
        }
        let set = self.last_set(service)?.to_owned();
        let position = self.free_position(pad);
        self.set_claim(&set)?.from = Start::Pad { pad: pad.to_owned(), position };
        Ok(())
    }

    fn swap_tags(&mut self, a: &str, b: &str) -> Result<(), FieldError> {
        let unknown = |id: &str| FieldError::UnknownPad(id.to_owned());
        let first = self.pads.get(a).ok_or_else(|| unknown(a))?.tags.clone();
        let second = self.pads.get_mut(b).ok_or_else(|| unknown(b))?;
        let second = core::mem::replace(&mut second.tags, first);
        if let Some(pad) = self.pads.get_mut(a) {
            pad.tags = second;
        }
        Ok(())
    }

    fn forget(&mut self, service: &str) -> Result<(), FieldError> {
        let set = self.last_set(service)?.to_owned();
        self.sets.remove(&set);
        self.services.remove(service);
        Ok(())
    }

    fn invent(&mut self, pad: &str, premises: &str, meter: &str) -> Result<(), FieldError> {
        let at = self.pads.get(pad).ok_or_else(|| FieldError::UnknownPad(pad.to_owned()))?.at;
        let id = format!("X-{pad}");
        let position = self.free_position(pad);
        let claim = ServiceClaim {
            premises: premises.to_owned(),
            meters: vec![meter.to_owned()],
            at: moved(at, 9.0, 12.0),
            sources: Vec::new(),
            critical: None,
            unmetered_loads: 0,
        };
        self.services.insert(id.clone(), claim);
        let set = SetClaim {
            from: Start::Pad { pad: pad.to_owned(), position },
            to: End::Service(id),
            metal: Metal::Al,
            size: Size::Awg4o0,
            length_m: 20.0,
            runs: 1,
        };
        self.sets.insert(format!("X-{pad}-set"), set);
        Ok(())
    }
}
