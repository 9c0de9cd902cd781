//! From a template to the bytes of a page.

use askama::Template;

/// A page that could not be drawn.
#[derive(Debug, thiserror::Error)]
#[error("the page cannot be drawn: {0}")]
pub struct Unrendered(#[from] askama::Error);

/// Draws a template.
pub(super) fn draw(template: &impl Template) -> Result<String, Unrendered> {
    Ok(template.render()?)
}
