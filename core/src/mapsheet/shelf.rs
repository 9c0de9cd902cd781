//! Where a sheet lies while it comes in and is checked: in memory, or where somebody has more room.
//!
//! Every rule about a sheet asks a [`Shelf`] for one of three things: what number a name has, rows in
//! the order of their keys, and the features themselves. So the rules are the same wherever the sheet
//! lies, and what they hold themselves is sixteen bytes a feature.

use crate::plant::{Cable, Conductor, Pad, Pedestal, Service, Set, Source, Switch, Transformer};
use crate::quantity::AssetId;

/// Rows of one kind, with keys of one form.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Rows {
    /// What ends at each node.
    Nodes,
    /// What is in each pad, by its own word and by that of others.
    Pads,
    /// Tags, meter numbers and lug positions.
    Marks,
    /// Nodes whose names are kept for what is derived from a service.
    Reserved,
    /// Lug pairs whose voltage system is not told where they begin.
    Lugs,
    /// Transformers and services that hang together and may not go together.
    Systems,
    /// What was found, in the order it is told.
    Findings,
}

impl Rows {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::Nodes,
        Self::Pads,
        Self::Marks,
        Self::Reserved,
        Self::Lugs,
        Self::Systems,
        Self::Findings,
    ];
}

/// Takes a row with its key.
pub type TakeRow<'a, E> = dyn FnMut(&[u8], &[u8]) -> Result<(), E> + 'a;

/// Where a sheet lies. Rows may be put in anywhere while others are gone through.
pub trait Shelf {
    /// Why it can hold no more, or does not give back what it holds.
    type Error;

    /// Gives a name a number; the answer is the number it had.
    fn name(&self, name: &str, number: u32) -> Result<Option<u32>, Self::Error>;

    /// The number of a name.
    fn named(&self, name: &str) -> Result<Option<u32>, Self::Error>;

    /// Adds a row.
    fn put(&self, rows: Rows, key: &[u8], row: &[u8]) -> Result<(), Self::Error>;

    /// Hands over rows with their keys, in the order of the keys; those of one key in the order they
    /// came.
    fn each(&self, rows: Rows, take: &mut TakeRow<'_, Self::Error>) -> Result<(), Self::Error>;

    /// These rows are not asked for again.
    fn clear(&self, rows: Rows) -> Result<(), Self::Error>;

    /// Keeps a feature, in place of one of the same kind and id. Where it is `open`, a list of it is
    /// filled in later.
    fn keep(&self, feature: Feature, open: bool) -> Result<(), Self::Error>;

    /// Fills in a list of a feature that was kept open.
    fn fill(&self, id: AssetId, list: Filled) -> Result<(), Self::Error>;
}

/// A feature of any kind.
#[derive(Debug, Clone, PartialEq)]
pub enum Feature {
    /// A feeder.
    Source(Source),
    /// Something that opens.
    Switch(Switch),
    /// A primary cable.
    Cable(Cable),
    /// A transformer.
    Transformer(Transformer),
    /// A cabinet.
    Pad(Pad),
    /// A pedestal.
    Pedestal(Pedestal),
    /// A secondary cable set.
    Set(Set),
    /// A service.
    Service(Service),
}

/// A list that is filled in once the whole sheet is known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Filled {
    /// What a pad contains: what names this pad as its own.
    Contains(Vec<AssetId>),
    /// The legs of a lug pair: those of the system it is on.
    Legs(Vec<Conductor>),
}
