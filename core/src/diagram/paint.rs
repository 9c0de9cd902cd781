//! Rows as marks with their places. A row is as high as its words; words begin right of everything
//! that is drawn in the row, so that none lies on another or on a conductor.

use super::fact::Status;
use super::flow::{Span, flow};
use super::mark::{Face, Mark, Room, Spot, Stroke};
use super::row::{Course, Row, TO_END};
use super::sign;
use crate::quantity::AssetId;
use crate::words::Sentence;

/// From the top of a row to its middle.
const MIDDLE: i32 = 15;
/// The base line of a text whose middle is the row's.
const BASE: i32 = 6;
/// Free at the right edge of the drawing: frames and hatching.
const EDGE: i32 = 18;
/// Over a row on which a frame begins.
const GAP: i32 = 8;
/// Under a row with which a frame ends.
const FOOT: i32 = 6;
/// The ring around a number.
const NUMBER: i32 = 11;

/// The marks, and how high the drawing is.
pub(super) fn paint(
    verdict: &Sentence,
    under: &[Sentence],
    rows: &[Row],
    room: Room,
) -> (Vec<Mark>, i32) {
    let width = room.width();
    let mut paint = Paint { width, frames: Vec::new(), lines: Vec::new(), texts: Vec::new() };
    let mut y = match room {
        Room::Page => paint.words(&[(Face::Title, verdict.text.clone())], 6, MIDDLE + 2, width - 6),
        Room::Pocket => MIDDLE,
    };
    for line in under {
        y = paint.words(&[(Face::Plain, line.text.clone())], 6, y, width - 6);
    }
    y += GAP - MIDDLE;
    let mut places: Vec<Place> = Vec::new();
    for (row, next) in rows.iter().zip(rows.iter().skip(1).map(Some).chain([None])) {
        let place = paint.row(row, next, y);
        y = place.bottom;
        places.push(place);
    }
    paint.framed(rows, &places);
    let mut marks = paint.frames;
    marks.extend(paint.lines);
    marks.extend(paint.texts);
    (marks, y + GAP)
}

/// Where a row lies.
#[derive(Debug, Clone, Copy)]
struct Place {
    /// Where a frame around it begins.
    frame: i32,
    bottom: i32,
}

struct Paint {
    width: i32,
    frames: Vec<Mark>,
    lines: Vec<Mark>,
    texts: Vec<Mark>,
}

impl Paint {
    fn row(&mut self, row: &Row, next: Option<&Row>, top: i32) -> Place {
        let begins = if row.over.is_empty() { 0 } else { GAP };
        let goes_on = next.is_some_and(|next| {
            (row.pad.is_none() || next.pad == row.pad) && (!row.zone || next.zone)
        });
        let foot = if goes_on || (row.pad.is_none() && !row.zone) { 0 } else { FOOT };
        let left = right_of(row) + 12;
        let right = self.width - EDGE;
        let mut y = top + begins + MIDDLE;
        for over in &row.over {
            y = self.words(&[(Face::Heavy, over.clone())], left, y, right);
        }
        if row.label.number.is_some() && begins > 0 {
            y += 3;
        }
        let middle = y;
        let text = match row.label.number {
            Some(number) => {
                self.number(number, Spot { x: left + NUMBER, y: middle });
                left + 2 * NUMBER + 6
            }
            None => left,
        };
        y = self.words(&row.label.spans(), text, middle, right);
        for note in &row.label.notes {
            y = self.words(&[(Face::Plain, note.clone())], text, y, right);
        }
        let bottom = (y - MIDDLE + 6).max(middle + sign::below(row.symbol, row.earth)) + foot;
        self.conductors(row, top, middle, bottom);
        Place { frame: top + begins / 2, bottom }
    }

    /// Sets words from a middle line on; the middle of the line that would follow.
    fn words(&mut self, spans: &[Span], x: i32, mut middle: i32, right: i32) -> i32 {
        let Some((face, _)) = spans.first() else { return middle };
        let (letter, line) = (face.letter(), face.line());
        let columns = usize::try_from((right - x) / letter).unwrap_or(0);
        for pieces in flow(spans, columns) {
            for (column, face, text) in pieces {
                let x = x + letter * i32::try_from(column).unwrap_or(0);
                self.texts.push(Mark::Text { at: Spot { x, y: middle + BASE }, text, face });
            }
            middle += line;
        }
        middle
    }

    fn number(&mut self, number: usize, at: Spot) {
        let text = number.to_string();
        let half = Face::Heavy.letter() * i32::try_from(text.len()).unwrap_or(1) / 2;
        self.lines.push(Mark::Ring { at, radius: NUMBER.max(half + 2), solid: false });
        let at = Spot { x: at.x - half, y: at.y + BASE };
        self.texts.push(Mark::Text { at, text, face: Face::Heavy });
    }

    fn conductor(&mut self, from: Spot, to: Spot, status: Status) {
        let stroke = match status {
            Status::Live | Status::NotProven => Stroke::Live,
            Status::Dead => Stroke::Dead,
        };
        if from == to {
            return;
        }
        // A conductor that goes on where one ended is one line: a broken one keeps its rhythm.
        for mark in self.lines.iter_mut().rev() {
            if let Mark::Line { from: begun, to: end, stroke: of } = mark
                && (*of, *end, begun.x, from.x) == (stroke, from, from.x, to.x)
            {
                *end = to;
                return;
            }
        }
        self.lines.push(Mark::Line { from, to, stroke });
    }

    fn conductors(&mut self, row: &Row, top: i32, middle: i32, bottom: i32) {
        for rail in &row.beside {
            let end = if rail.on { bottom } else { middle };
            self.conductor(Spot { x: rail.x, y: top }, Spot { x: rail.x, y: end }, rail.status);
        }
        let at = Spot { x: row.x, y: middle };
        let room = sign::reach(row.symbol);
        match row.course {
            Course::Down { above, below } => {
                if let Some(status) = above {
                    let to = Spot { y: middle - room, ..at };
                    self.conductor(Spot { y: top, ..at }, to, status);
                }
                if let Some(status) = below {
                    let from = Spot { y: middle + room, ..at };
                    self.conductor(from, Spot { y: bottom, ..at }, status);
                }
            }
            Course::Across { bar, before, after, on, ends } => {
                self.conductor(Spot { x: bar, ..at }, Spot { x: row.x - room, ..at }, before);
                let from = Spot { x: row.x + room, ..at };
                if let Some(x) = on {
                    self.conductor(from, Spot { x, ..at }, after);
                    self.conductor(Spot { x, ..at }, Spot { x, y: bottom }, after);
                } else if ends {
                    self.conductor(from, Spot { x: bar + TO_END - 4, ..at }, after);
                    sign::end(Spot { x: bar + TO_END, ..at }, &mut self.lines);
                }
            }
        }
        let across = matches!(row.course, Course::Across { .. });
        sign::sign(row.symbol, at, across, &mut self.lines);
        if row.earth {
            sign::earth(at, &mut self.lines);
        }
    }

    /// Frames around each pad and around the zone.
    fn framed(&mut self, rows: &[Row], places: &[Place]) {
        let pads: Vec<Option<&str>> =
            rows.iter().map(|r| r.pad.as_ref().map(AssetId::as_str)).collect();
        let zones: Vec<Option<&str>> = rows.iter().map(|r| r.zone.then_some("")).collect();
        for (run, is_zone) in [(pads, false), (zones, true)] {
            let mut from = 0;
            while let Some(of) = run.get(from) {
                let alike = run.iter().skip(from).take_while(|other| *other == of).count();
                let inside = rows.get(from..from + alike).unwrap_or_default();
                let first = places.get(from).map_or(0, |p| p.frame);
                let last = places.get(from + alike - 1).map_or(0, |p| p.bottom);
                if of.is_some() {
                    self.frame(inside, first, last, is_zone);
                }
                from += alike;
            }
        }
    }

    fn frame(&mut self, rows: &[Row], top: i32, bottom: i32, is_zone: bool) {
        let left = rows.iter().map(left_of).min().unwrap_or(0);
        let (inset, stroke) = if is_zone { (5, Stroke::Zone) } else { (2, Stroke::Thin) };
        let at = Spot { x: left - 14 + inset, y: top + inset - 2 };
        let right = self.width - inset;
        let height = bottom - at.y - if is_zone { 3 } else { 0 };
        let width = right - at.x;
        self.frames.push(Mark::Box { at, width, height, stroke, solid: false });
        if is_zone {
            let wide = 9;
            let mut y = at.y + wide + 2;
            while y <= at.y + height - 2 {
                let from = Spot { x: right - wide - 1, y };
                let to = Spot { x: right - 1, y: y - wide };
                self.frames.push(Mark::Line { from, to, stroke: Stroke::Hatch });
                y += 7;
            }
        }
    }
}

/// The left end of what a row draws itself.
fn left_of(row: &Row) -> i32 {
    match row.course {
        Course::Down { .. } => row.x,
        Course::Across { bar, .. } => bar,
    }
}

/// The right end of everything that is drawn in a row.
fn right_of(row: &Row) -> i32 {
    let past = row.beside.iter().map(|rail| rail.x + 3).max().unwrap_or(0);
    let (own, across) = match row.course {
        Course::Down { .. } => (row.x, false),
        Course::Across { bar, on, ends, .. } => {
            let end = if ends { bar + TO_END + 4 } else { row.x };
            (on.map_or(end, |x| x + 3).max(row.x), true)
        }
    };
    let sign = row.x + sign::wide(row.symbol, across, row.earth);
    own.max(past).max(sign)
}
