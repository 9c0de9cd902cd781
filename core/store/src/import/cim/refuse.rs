//! What a model says that a map sheet cannot: left out, something would be joined or parted that in
//! truth is not. So it is refused.

use coldlug_core::mapsheet::{Found, Origin, SourceFindingId};

use super::derive::one;
use super::stage::Stage;
use crate::import::row::Broken;

/// What parts a line in its middle, or taps it there, and how it names the line. A sheet's line has two
/// ends: taken whole, it would lead past an open cut, and what hangs on a clamp or on a cut's own node
/// would be joined to nothing.
const IN_PARTS: [(&str, &str); 2] =
    [("Cut", "Cut.ACLineSegment"), ("Clamp", "Clamp.ACLineSegment")];

/// Every cut and clamp in the middle of a line.
pub(super) fn lines_in_parts(
    stage: &Stage,
    at: &Origin,
    note: &mut dyn FnMut(Found),
) -> Result<(), Broken> {
    for (class, names_line) in IN_PARTS {
        stage.each(class, &mut |object| {
            let said = stage.said(object.number)?;
            if let Some(line) = one(&said, names_line) {
                let at = at.layer(class).row(object.id.as_str()).column(names_line);
                let args = [("name", line.to_owned())];
                note(Found::error(at, SourceFindingId::LineInParts, args));
            }
            Ok(())
        })?;
    }
    Ok(())
}

/// Every phase of a switch that normally stands otherwise than the switch: a sheet's switch opens and
/// closes whole, and with one phase closed it is not open.
pub(super) fn phases_apart(
    stage: &Stage,
    at: &Origin,
    note: &mut dyn FnMut(Found),
) -> Result<(), Broken> {
    stage.each("SwitchPhase", &mut |phase| {
        let said = stage.said(phase.number)?;
        let Some(switch) = one(&said, "SwitchPhase.Switch") else { return Ok(()) };
        let Some(open) = one(&said, "SwitchPhase.normalOpen") else { return Ok(()) };
        let Some(whole) = stage.object(switch)? else { return Ok(()) };
        let whole = stage.said(whole.number)?;
        if one(&whole, "Switch.normalOpen").map(flag) != Some(flag(open)) {
            let at =
                at.layer("SwitchPhase").row(phase.id.as_str()).column("SwitchPhase.normalOpen");
            let args = [("name", switch.to_owned())];
            note(Found::error(at, SourceFindingId::PhasesApart, args));
        }
        Ok(())
    })
}

/// A flag in the two ways that XML writes it; anything else as it stands.
fn flag(text: &str) -> &str {
    match text {
        "1" => "true",
        "0" => "false",
        other => other,
    }
}
