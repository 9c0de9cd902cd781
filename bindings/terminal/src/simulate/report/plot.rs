//! Pictures as SVG. Its colours are those of the desk's pages by day; the page changes them by
//! night, and nothing is told by colour.

use plotters::{
    coord::{Shift, types::RangedCoordf64},
    prelude::*,
    style::text_anchor::{HPos, Pos, VPos},
};

use super::{
    figure::{count, percent},
    picture::{Kind, Picture, Point, Share},
};
use crate::{simulate::interval::float, trouble::Trouble};

/// Text. The page's stylesheet knows the same three.
const INK: RGBColor = RGBColor(0x1d, 0x1b, 0x18);
/// Lines that only lead the eye.
const FAINT: RGBColor = RGBColor(0xe4, 0xdd, 0xd0);
/// What is shown.
const MARK: RGBColor = RGBColor(0x33, 0x24, 0x5e);

const WIDTH: u32 = 860;
const TEXT: u32 = 14;
/// A row of a picture of shares.
const ROW: u32 = 22;

type Area<'a> = DrawingArea<SVGBackend<'a>, Shift>;
type Chart<'a, 'b> = ChartContext<'a, SVGBackend<'b>, Cartesian2d<RangedCoordf64, RangedCoordf64>>;
type Drawn = Result<(), Box<dyn std::error::Error>>;

/// The picture as an SVG element.
pub(crate) fn svg(picture: &Picture) -> Result<String, Trouble> {
    let height = match &picture.kind {
        Kind::Shares(rows) => u32::try_from(rows.len()).unwrap_or(0) * ROW + 80,
        Kind::Bars { .. } | Kind::TradeOff { .. } => 360,
    };
    let mut text = String::new();
    {
        let area = SVGBackend::with_string(&mut text, (WIDTH, height)).into_drawing_area();
        let drawn = match &picture.kind {
            Kind::Shares(rows) => shares(&area, rows, &picture.across),
            Kind::Bars { bins, up } => bars(&area, bins, &picture.across, up),
            Kind::TradeOff { points, up } => trade_off(&area, points, &picture.across, up),
        };
        drawn.map_err(|why| Trouble::fault(format!("a picture cannot be drawn: {why}")))?;
    }
    Ok(text)
}

fn text() -> TextStyle<'static> {
    ("sans-serif", TEXT).into_font().color(&INK)
}

fn aligned(h_pos: HPos, v_pos: VPos) -> TextStyle<'static> {
    text().pos(Pos::new(h_pos, v_pos))
}

/// Bounds of an axis that shows every share with its bounds, and never leaves 0 to 1.
fn span<'a>(rows: impl Iterator<Item = &'a Share>) -> (f64, f64) {
    let bounds = rows.fold(None, |bounds: Option<(f64, f64)>, row| {
        let (low, high) = bounds.unwrap_or((row.low, row.high));
        Some((low.min(row.low), high.max(row.high)))
    });
    let Some((low, high)) = bounds else { return (0.0, 1.0) };
    let room = ((high - low) * 0.05).max(1e-7);
    ((low - room).max(0.0), (high + room).min(1.0))
}

fn ruled(chart: &mut Chart<'_, '_>, across: &str, up: Option<(&str, f64)>, wide: f64) -> Drawn {
    let high = up.map_or(0.0, |(_, high)| high);
    let mut mesh = chart.configure_mesh();
    mesh.bold_line_style(FAINT)
        .light_line_style(TRANSPARENT)
        .axis_style(INK)
        .label_style(text())
        .axis_desc_style(text())
        .x_desc(across);
    match up {
        Some((up, _)) => mesh.y_desc(up),
        None => mesh.disable_y_mesh().y_labels(0),
    };
    mesh.x_label_formatter(&|at| percent(*at, wide))
        .y_label_formatter(&|at| percent(*at, high))
        .draw()?;
    Ok(())
}

fn shares(area: &Area<'_>, rows: &[Share], across: &str) -> Drawn {
    let (low, high) = span(rows.iter());
    let longest = rows.iter().map(|row| row.label.chars().count()).max().unwrap_or(0);
    let left = u32::try_from(longest).unwrap_or(0) * TEXT * 6 / 10;
    let of_rows = float(rows.len() as u64);
    let mut chart = ChartBuilder::on(area)
        .margin(10)
        .margin_right(40)
        .x_label_area_size(50)
        .y_label_area_size(left.clamp(60, WIDTH / 2))
        .build_cartesian_2d(low..high, 0.0..of_rows)?;
    ruled(&mut chart, across, None, high - low)?;
    for (row, at) in rows.iter().rev().zip(0_u32..) {
        let y = f64::from(at) + 0.5;
        let across = [(row.low, y), (row.high, y)];
        let ends = [row.low, row.high].map(|x| [(x, y - 0.2), (x, y + 0.2)]);
        let lines = std::iter::once(across).chain(ends);
        chart.draw_series(lines.map(|line| PathElement::new(line, MARK.stroke_width(2))))?;
        chart.draw_series([Circle::new((row.share, y), 4, MARK.filled())])?;
        let (left, y) = chart.backend_coord(&(low, y));
        let style = aligned(HPos::Right, VPos::Center);
        area.draw(&Text::new(row.label.clone(), (left - 8, y), style))?;
    }
    area.present()?;
    Ok(())
}

fn bars(area: &Area<'_>, bins: &[(u32, u64)], across: &str, up: &str) -> Drawn {
    let last = bins.iter().map(|(at, _)| *at).max().unwrap_or(0);
    let most = float(bins.iter().map(|(_, jobs)| *jobs).max().unwrap_or(0)).max(1.0);
    let mut chart = ChartBuilder::on(area)
        .margin(10)
        .x_label_area_size(50)
        .y_label_area_size(80)
        .build_cartesian_2d(-0.5..f64::from(last) + 0.5, 0.0..most * 1.1)?;
    chart
        .configure_mesh()
        .disable_x_mesh()
        .bold_line_style(FAINT)
        .light_line_style(TRANSPARENT)
        .axis_style(INK)
        .label_style(text())
        .axis_desc_style(text())
        .x_labels(usize::try_from(last).unwrap_or(0).clamp(1, 24) + 1)
        .x_desc(across)
        .y_desc(up)
        .x_label_formatter(&|at| format!("{at:.0}"))
        .y_label_formatter(&|jobs| format!("{jobs:.0}"))
        .draw()?;
    for &(at, jobs) in bins {
        let (at, high) = (f64::from(at), float(jobs));
        chart.draw_series([Rectangle::new([(at - 0.4, 0.0), (at + 0.4, high)], MARK.filled())])?;
        let (x, y) = chart.backend_coord(&(at, high));
        let style = aligned(HPos::Center, VPos::Bottom);
        area.draw(&Text::new(count(jobs), (x, y - 3), style))?;
    }
    area.present()?;
    Ok(())
}

fn trade_off(area: &Area<'_>, points: &[Point], across: &str, up: &str) -> Drawn {
    let (left, right) = span(points.iter().map(|point| &point.across));
    let (low, high) = span(points.iter().map(|point| &point.up));
    let mut chart = ChartBuilder::on(area)
        .margin(10)
        .margin_right(60)
        .x_label_area_size(50)
        .y_label_area_size(90)
        .build_cartesian_2d(left..right, low..high)?;
    ruled(&mut chart, across, Some((up, high - low)), right - left)?;
    let line = points.iter().map(|point| (point.across.share, point.up.share));
    chart.draw_series([PathElement::new(line.collect::<Vec<_>>(), MARK.stroke_width(1))])?;
    for point in points {
        let (x, y) = (point.across.share, point.up.share);
        let flat = [(point.across.low, y), (point.across.high, y)];
        let upright = [(x, point.up.low), (x, point.up.high)];
        chart.draw_series([flat, upright].map(|ends| PathElement::new(ends, MARK)))?;
        chart.draw_series([Circle::new((x, y), 5, MARK.filled())])?;
        let (x, y) = chart.backend_coord(&(x, y));
        let style = aligned(HPos::Left, VPos::Bottom);
        area.draw(&Text::new(point.across.label.clone(), (x + 8, y - 6), style))?;
    }
    area.present()?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn share(label: &str, share: f64) -> Share {
        Share { label: label.to_owned(), share, low: share - 0.01, high: share + 0.01 }
    }

    fn check(kind: Kind, says: &[&str]) {
        let picture = Picture { caption: String::new(), across: "finished".to_owned(), kind };
        let drawn = svg(&picture).unwrap();
        assert!(drawn.starts_with("<svg") && drawn.trim_end().ends_with("</svg>"), "{drawn}");
        for word in says.iter().chain(&["finished"]) {
            assert!(drawn.contains(word), "{word} is not in {drawn}");
        }
        assert_eq!(svg(&picture).unwrap(), drawn);
    }

    #[test]
    fn every_kind_says_in_text_what_it_shows() {
        check(
            Kind::Shares(vec![share("wrong-house", 0.98), share("a < b", 0.9)]),
            &["wrong-house", "a &lt; b", "%"],
        );
        let up = "jobs".to_owned();
        check(Kind::Bars { bins: vec![(2, 1500), (3, 900)], up }, &["1,500", "900", "jobs"]);
        let point = |at: &str, x| Point { across: share(at, x), up: share(at, 1.0 - x) };
        check(
            Kind::TradeOff { points: vec![point("1", 0.99), point("2", 0.9)], up: "wrong".into() },
            &[">\n1\n<", "wrong"],
        );
    }

    #[test]
    fn nothing_to_draw_is_drawn_too() {
        check(Kind::Shares(vec![]), &[]);
        check(Kind::Bars { bins: vec![], up: "jobs".into() }, &[]);
        check(Kind::TradeOff { points: vec![], up: "wrong".into() }, &[]);
    }
}
