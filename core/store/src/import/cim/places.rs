//! Where an object stands: its location's position points (the geographical profile).

use super::stage::{Object, Said, Stage};
use crate::import::row::Broken;
use crate::import::shape::{Drawn, Shape};

/// The attributes by which an object refers to its location.
const LOCATION: [&str; 2] = ["PowerSystemResource.Location", "UsagePoint.UsagePointLocation"];

/// The reference system of all positions; none where the file names none, or several.
pub(super) fn system(stage: &Stage) -> Result<Option<String>, Broken> {
    let mut named = stage.two_texts("CoordinateSystem.crsUrn")?;
    Ok(if named.len() == 1 { named.pop() } else { None })
}

/// What is drawn of an object: a point, or a line through points by their numbers.
pub(super) fn drawn(stage: &Stage, object: &Object) -> Result<Drawn, Broken> {
    let said = stage.said(object.number)?;
    let Some(location) = said.iter().find(|said| LOCATION.contains(&&*said.name)) else {
        return Ok(Drawn::Nothing);
    };
    let mut points = Vec::new();
    let mut tall = false;
    for point in stage.referring("PositionPoint.Location", &location.text)?.iter() {
        let said = stage.said(point.number)?;
        let Some(place) = place(&said) else {
            return Ok(Drawn::Broken(format!("the position {} is not two numbers", point.id)));
        };
        tall |= said.iter().any(|said| &*said.name == "PositionPoint.zPosition");
        points.push((sequence(&said), place));
    }
    if points.len() > 1 && points.iter().any(|(number, _)| number.is_none()) {
        return Ok(Drawn::Broken("its positions have no sequence numbers".to_owned()));
    }
    points.sort_by_key(|(number, _)| *number);
    if points.windows(2).any(|two| matches!(two, [one, other] if one.0 == other.0)) {
        return Ok(Drawn::Broken("two positions have one sequence number".to_owned()));
    }
    let places: Vec<[f64; 2]> = points.into_iter().map(|(_, place)| place).collect();
    Ok(match places.as_slice() {
        [] => Drawn::Nothing,
        [one] => Drawn::Shape(Shape::Point(*one), tall),
        _ => Drawn::Shape(Shape::Line(places), tall),
    })
}

fn text<'s>(said: &'s [Said], name: &str) -> Option<&'s str> {
    said.iter().find(|said| *said.name == *name).map(|said| said.text.as_str())
}

fn place(said: &[Said]) -> Option<[f64; 2]> {
    let number = |name: &str| text(said, name)?.parse().ok();
    Some([number("PositionPoint.xPosition")?, number("PositionPoint.yPosition")?])
}

fn sequence(said: &[Said]) -> Option<u32> {
    text(said, "PositionPoint.sequenceNumber")?.parse().ok()
}
