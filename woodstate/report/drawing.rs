//! The figures of a report: drawn once, for the page and as files.

use crate::error::{ErrorKind, Result};
use crate::figure::{
    Drawing, Figure, FigureChoice, Sheet, SheetSize, box_points, class_probability, class_shares, density_water,
    depth_profile_fitted, draw_all, lift_margin, lift_surfacing, shrinkage, strength_curve, uptake_course,
    washing_curve,
};
use crate::study::Report;

use super::ReportFile;
use super::page::PageFigure;

/// Dots per inch of the pictures beside the page.
const DPI: u32 = 300;

/// The figures of a report for [`report_files`](super::report_files), and their files: SVG, PNG, PDF and the numbers behind each,
/// drawn on at most so many threads.
///
/// A figure whose data were not measured is not drawn.
///
/// # Errors
/// What drawing refuses; nothing for an outcome of `study::report` that is known.
pub fn report_figures(report: &Report, threads: usize) -> Result<(Vec<PageFigure>, Vec<ReportFile<'_>>)> {
    let (mut figures, mut files) = (Vec::new(), Vec::new());
    let sheet = Sheet::of(SheetSize::OneAndAHalf, None);
    for Drawing { figure, svg, png, pdf } in draw_all(all(report)?, &sheet, DPI, threads)? {
        let name = |ending: &str| format!("figure-{}.{ending}", figure.name);
        let csv = figure.csv().into_bytes();
        let drawn = [("svg", svg.clone().into_bytes()), ("png", png), ("pdf", pdf), ("csv", csv)];
        let names = drawn.iter().map(|(ending, _)| name(ending)).collect();
        files.extend(drawn.into_iter().map(|(ending, bytes)| ReportFile::of_bytes(name(ending), bytes)));
        figures.push(PageFigure { name: figure.name, svg, caption: figure.caption, files: names });
    }
    Ok((figures, files))
}

/// The figures that the report has the numbers for.
fn all(report: &Report) -> Result<Vec<Figure>> {
    let (assessment, usual) = (&report.assessment, FigureChoice::default());
    let depth = FigureChoice { value: vec!["residual_basic_density".to_owned()], ..FigureChoice::default() };
    let by = report.site_parts.as_ref().map(|parts| parts.by.iter().take(1).cloned().collect());
    let parts = FigureChoice { by: by.unwrap_or_default(), ..FigureChoice::default() };
    let made = [
        Some(density_water(assessment, &usual)),
        Some(shrinkage(assessment, &usual)),
        Some(class_shares(assessment, &usual)),
        Some(class_probability(assessment, &usual)),
        report.in_depth.as_ref().map(|profiles| depth_profile_fitted(assessment, profiles, &depth)),
        Some(box_points(assessment, &parts)),
        report.strength.as_ref().map(|curves| strength_curve(curves, &usual)),
        report.following.as_ref().map(|following| uptake_course(following, &usual)),
        report.following.as_ref().map(|following| washing_curve(following, &usual)),
        report.lifting.as_ref().map(|lifts| lift_surfacing(lifts, &usual)),
        report.lifting.as_ref().map(|lifts| lift_margin(lifts, &usual)),
    ];
    let mut figures = Vec::new();
    for figure in made.into_iter().flatten() {
        match figure {
            Ok(figure) => figures.push(figure),
            // What was not measured cannot be drawn; the section says so.
            Err(error) if matches!(error.kind(), ErrorKind::Content { .. } | ErrorKind::Range { .. }) => {}
            Err(error) => return Err(error),
        }
    }
    Ok(figures)
}
