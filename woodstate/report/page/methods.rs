//! 13: a paragraph for a publication, from what was recorded and from nothing else.

use crate::quantity::{counted, shown as rounded};
use crate::report::method::shown;
use crate::study::{Settings, Stated};

use super::{Part, Source};

pub(super) fn parts(source: &Source<'_>) -> Vec<Part> {
    let assessment = &source.report.assessment;
    let settings = &assessment.settings;
    let counts = assessment.counts;
    let mut text = vec![format!(
        "State was assessed on {} of {} with {} {}.",
        counted(counts.pieces, "piece"),
        counted(counts.timbers, "timber"),
        assessment.program.name,
        assessment.program.version
    )];
    let mut open = Vec::new();
    for (name, recorded) in settings.protocol.items() {
        match recorded {
            Some(words) => text.push(format!("{}: {}.", capital(name), words.trim().trim_end_matches('.'))),
            None => open.push(name.to_owned()),
        }
    }
    for (name, stated) in instruments(settings) {
        match stated {
            Some(stated) => text.push(format!("{}: {}.", capital(name), shown(stated))),
            None => open.push(name.to_owned()),
        }
    }
    match &settings.volume_method {
        Some(words) => text.push(format!("Volumes: {}.", words.trim().trim_end_matches('.'))),
        None => open.push("how volumes were measured".to_owned()),
    }
    text.push(format!("The density of the cell wall was taken as {}.", shown(&settings.cell_wall_density)));
    let sound = assessment.references.iter();
    let sound: Vec<String> =
        sound.map(|used| format!("{} {} kg/m3", used.taxon, rounded(used.basic_density, used.u))).collect();
    if !sound.is_empty() {
        text.push(format!("Basic density of sound wood: {}.", sound.join("; ")));
    }
    text.push(format!(
        "Classes follow {} ({}); a class was decided from a probability of {} %.",
        settings.scheme_title,
        settings.scheme_limits,
        settings.decided_at * 100.0
    ));
    text.push(format!(
        "Uncertainties are one standard uncertainty, propagated from the resolution of the instruments and the uncertainties \
         stated here; intervals have a coverage of {} %.",
        settings.coverage * 100.0
    ));
    if counts.drawn > 0 {
        let drawn = counted(counts.drawn, "piece");
        text.push(format!("Those of {drawn} were drawn at random (seed {}).", settings.seed));
    }
    let mut parts = vec![Part::paragraph(text.join(" "))];
    if !open.is_empty() {
        parts.push(Part::paragraph(format!("Not recorded, to be completed by hand: {}.", open.join("; "))));
    }
    parts
}

fn instruments(settings: &Settings) -> [(&'static str, Option<&Stated>); 6] {
    [
        ("resolution of the balance", settings.balance.as_ref()),
        ("resolution of the calliper", settings.calliper.as_ref()),
        ("standard uncertainty of a volume", settings.volume_uncertainty.as_ref()),
        ("temperature of the water for weighing", settings.weighing_temperature.as_ref()),
        ("salinity of the water for weighing", settings.weighing_salinity.as_ref()),
        ("salinity of the pore water", settings.pore_salinity.as_ref()),
    ]
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
