//! What was taken where nobody says: each has a sentence beside the amps.

use crate::reading::reasons;

reasons! {
    /// Something that was taken for want of a record.
    pub enum Assumed {
        SupplyStiff = "fault-took-supply-stiff":
            "No fault current of the source: as stiff as can be.";
        SourceXOverR = "fault-took-source-x-over-r": "The source's X/R: 4.";
        UnitXOverR = "fault-took-unit-x-over-r": "The transformer's X/R: 1.5.";
        HalfWinding = "fault-took-half-winding":
            "The half winding of an interlaced secondary: 1.5 R and 1.2 X.";
        Connection = "fault-took-connection":
            "The windings' connection: delta-wye for the largest, wye-wye for the smallest.";
        UnitZero = "fault-took-unit-zero":
            "The transformer's zero sequence as its positive one.";
        SourceZero = "fault-took-source-zero": "The source's zero sequence as its positive one.";
        CableNeutral = "fault-took-cable-neutral":
            "No neutral of a primary cable: none counted in the smallest.";
        UnitsTogether = "fault-took-units-together":
            "Several units on one bus: all of them for the largest, the weakest alone for the smallest.";
        LoopClosed = "fault-took-loop-closed":
            "A closed loop on the way: its cables not counted in the largest, one way in the smallest.";
    }
}
