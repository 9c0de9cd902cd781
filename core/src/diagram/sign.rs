//! The signs on conductors: drawn by us, but for the earth symbol, which is IEC 60617's.

use super::mark::{Mark, Spot, Stroke};
use super::row::Symbol;

/// How far a sign reaches along its conductor, each way: there the conductor ends.
pub(super) const fn reach(symbol: Symbol) -> i32 {
    match symbol {
        Symbol::Plain | Symbol::Node | Symbol::To => 0,
        Symbol::End => 4,
        Symbol::Closed => 6,
        Symbol::Open | Symbol::MeterOut | Symbol::Lifted { .. } | Symbol::Pads => 7,
        Symbol::Feeder | Symbol::Source => 8,
        Symbol::Meter => 9,
        Symbol::Unit => 13,
    }
}

/// How far a sign reaches to the right of its middle.
pub(super) const fn wide(symbol: Symbol, across: bool, earth: bool) -> i32 {
    if earth {
        return 28;
    }
    match symbol {
        Symbol::MeterOut if !across => 27,
        Symbol::Unit if across => 13,
        _ => 9,
    }
}

/// How much room a sign needs below the middle of its row.
pub(super) const fn below(symbol: Symbol, earth: bool) -> i32 {
    if earth {
        return 20;
    }
    match symbol {
        Symbol::Lifted { .. } | Symbol::Unit => 17,
        _ => 13,
    }
}

/// Where a drawn branch ends.
pub(super) fn end(at: Spot, marks: &mut Vec<Mark>) {
    marks.push(Mark::Ring { at, radius: 4, solid: false });
}

/// An earth, beside its node: three bars, each shorter than the one above, below its lead.
pub(super) fn earth(at: Spot, marks: &mut Vec<Mark>) {
    let to = Spot { x: at.x + 18, ..at };
    marks.push(Mark::Line { from: at, to, stroke: Stroke::Bar });
    let bars = [((0, 0), (0, 6)), ((-8, 6), (8, 6)), ((-5, 11), (5, 11)), ((-2, 16), (2, 16))];
    let spot = |(x, y)| Spot { x: to.x + x, y: to.y + y };
    marks.extend(bars.map(|(from, end)| Mark::Line {
        from: spot(from),
        to: spot(end),
        stroke: Stroke::Bar,
    }));
}

/// Draws a sign.
pub(super) fn sign(symbol: Symbol, at: Spot, across: bool, marks: &mut Vec<Mark>) {
    let mut pen = Pen { at, across, marks };
    match symbol {
        Symbol::Plain => {}
        Symbol::Node => pen.ring(0, 4, true),
        Symbol::End => pen.ring(0, 4, false),
        Symbol::Feeder => pen.ring(0, 8, true),
        Symbol::Closed => pen.square(6, true),
        Symbol::Pads => pen.square(7, false),
        Symbol::Open => pen.gap(),
        Symbol::MeterOut => {
            pen.gap();
            if !across {
                let at = Spot { x: at.x + 18, ..at };
                pen.marks.push(Mark::Ring { at, radius: 8, solid: false });
            }
        }
        Symbol::Lifted { capped, back } => pen.lifted(capped, if back { -1 } else { 1 }),
        Symbol::Meter => {
            pen.ring(0, 9, false);
            pen.line((0, 0), (-5, 4), Stroke::Thin);
        }
        Symbol::Source => {
            pen.ring(0, 8, false);
            pen.ring(0, 4, true);
        }
        Symbol::Unit => {
            pen.ring(-5, 8, false);
            pen.ring(5, 8, false);
        }
        Symbol::To => {
            pen.line((-7, -6), (0, 0), Stroke::Bar);
            pen.line((-7, 6), (0, 0), Stroke::Bar);
        }
    }
}

/// Draws along a conductor: the first of two numbers goes along it, the second across.
struct Pen<'a> {
    at: Spot,
    across: bool,
    marks: &'a mut Vec<Mark>,
}

impl Pen<'_> {
    const fn spot(&self, (along, beside): (i32, i32)) -> Spot {
        let (x, y) = if self.across { (along, beside) } else { (beside, along) };
        Spot { x: self.at.x + x, y: self.at.y + y }
    }

    fn line(&mut self, from: (i32, i32), to: (i32, i32), stroke: Stroke) {
        let (from, to) = (self.spot(from), self.spot(to));
        self.marks.push(Mark::Line { from, to, stroke });
    }

    fn ring(&mut self, along: i32, radius: i32, solid: bool) {
        let at = self.spot((along, 0));
        self.marks.push(Mark::Ring { at, radius, solid });
    }

    fn square(&mut self, half: i32, solid: bool) {
        let at = Spot { x: self.at.x - half, y: self.at.y - half };
        let (width, height) = (2 * half, 2 * half);
        self.marks.push(Mark::Box { at, width, height, stroke: Stroke::Thin, solid });
    }

    fn gap(&mut self) {
        self.line((-7, -8), (-7, 8), Stroke::Bar);
        self.line((7, -8), (7, 8), Stroke::Bar);
    }

    /// The bare lug, and the end that was taken off it, capped or bare.
    fn lifted(&mut self, capped: bool, way: i32) {
        self.line((-7 * way, -8), (-7 * way, 8), Stroke::Bar);
        if capped {
            self.line((5 * way, -6), (5 * way, 6), Stroke::Bar);
            self.line((5 * way, -6), (13 * way, -6), Stroke::Bar);
            self.line((5 * way, 6), (13 * way, 6), Stroke::Bar);
        }
    }
}
