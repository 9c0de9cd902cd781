//! Parts of the record, each of which can be false by itself.

use crate::quantity::AssetId;

/// One part. A finding says on which parts it rests; a false claim, which parts it changes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Slot<'a> {
    /// The tags of a pad.
    Tag(&'a AssetId),
    /// Where a pad stands.
    Place(&'a AssetId),
    /// Which pad it is that the crew calls so.
    Named(&'a AssetId),
    /// The meter numbers of a service.
    Numbers(&'a AssetId),
    /// Pad and lug position that feed a service.
    Way(&'a AssetId),
    /// Which set stands at which lug position of a pad.
    Lugs(&'a AssetId),
    /// Sets of a pad that belong to no service the record has, or that are not there.
    Unplaced(&'a AssetId),
    /// How many sets a pad holds. It follows from the others and is never changed by itself.
    Sets(&'a AssetId),
    /// Metal and size of a set.
    Conductor(&'a AssetId),
    /// Whether anybody hangs on the set at a pad's lug position but those whom the record has there.
    Others(&'a AssetId, &'a str),
}
