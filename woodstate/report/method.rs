//! Method and protocol, item by item: what was stated, what was assumed, what is not recorded.

use crate::quantity::counted;
use crate::reference::Boundary;
use crate::study::{Assessment, Stated};

/// Name and text of each item.
pub(super) fn method(assessment: &Assessment) -> Vec<(String, String)> {
    let parts = [origins(assessment), instruments(assessment), protocol(assessment), choices(assessment)];
    parts.concat()
}

/// Program, files, density of the cell wall.
pub(super) fn origins(assessment: &Assessment) -> Vec<(String, String)> {
    let settings = &assessment.settings;
    let text = |text: &Option<String>| text.clone().unwrap_or_else(not_recorded);
    let mut items = vec![
        ("program".to_owned(), format!("{} {}", assessment.program.name, assessment.program.version)),
        ("study".to_owned(), text(&settings.title)),
        ("study file".to_owned(), settings.study_file.clone().unwrap_or_else(|| "none".to_owned())),
        ("study file, SHA-256".to_owned(), settings.study_sha256.clone().unwrap_or_else(|| "none".to_owned())),
    ];
    for table in &assessment.source {
        let sheet = table.sheet.as_ref().map(|sheet| format!(", sheet {sheet}")).unwrap_or_default();
        items
            .push((format!("table {}", table.table), format!("{}{sheet}, {}", table.file, counted(table.rows, "row"))));
        items.push((format!("table {}, SHA-256", table.table), table.sha256.clone()));
        items.push((format!("table {}, how read", table.table), table.reading.join("; ")));
    }
    items.extend([
        ("cell-wall density".to_owned(), shown(&settings.cell_wall_density)),
        (
            "density of ash, if the cell wall is corrected for it".to_owned(),
            settings.ash_density.as_ref().map_or_else(|| "not corrected".to_owned(), shown),
        ),
    ]);
    items
}

/// Scheme, limits, coverage, seed, counts.
pub(super) fn choices(assessment: &Assessment) -> Vec<(String, String)> {
    let settings = &assessment.settings;
    let owner = match settings.boundary {
        Boundary::Worse => "the more degraded class",
        Boundary::Better => "the better preserved class",
    };
    vec![
        ("class scheme".to_owned(), settings.scheme_title.clone()),
        ("class limits".to_owned(), settings.scheme_limits.clone()),
        ("woods the scheme holds for".to_owned(), settings.scheme_scope.join("; ")),
        ("a value exactly on a boundary belongs to".to_owned(), owner.to_owned()),
        ("a class is decided from".to_owned(), format!("a probability of {} %", settings.decided_at * 100.0)),
        ("no decay reading above a borer damage of".to_owned(), shown(&settings.borer_damage_limit)),
        ("no decay reading above an ash content of".to_owned(), shown(&settings.ash_limit)),
        ("coverage of intervals".to_owned(), settings.coverage.to_string()),
        ("seed of random draws".to_owned(), settings.seed.to_string()),
        ("pieces whose uncertainty was drawn".to_owned(), assessment.counts.drawn.to_string()),
        ("rows".to_owned(), assessment.counts.rows.to_string()),
        ("rows assessed".to_owned(), assessment.counts.assessed.to_string()),
        ("rows partly assessed".to_owned(), assessment.counts.partial.to_string()),
        ("rows not assessed".to_owned(), assessment.counts.not_assessed.to_string()),
    ]
}

/// What was measured with, and in which waters.
pub(super) fn instruments(assessment: &Assessment) -> Vec<(String, String)> {
    let settings = &assessment.settings;
    let recorded = |stated: &Option<Stated>| stated.as_ref().map_or_else(not_recorded, shown);
    vec![
        ("temperature of the water for weighing".to_owned(), recorded(&settings.weighing_temperature)),
        ("salinity of the water for weighing".to_owned(), recorded(&settings.weighing_salinity)),
        ("salinity of the pore water".to_owned(), recorded(&settings.pore_salinity)),
        ("density of water, if stated instead".to_owned(), recorded(&settings.water_density)),
        ("balance, resolution".to_owned(), recorded(&settings.balance)),
        ("balance, uncertainty common to all weighings".to_owned(), recorded(&settings.balance_calibration)),
        ("calliper, resolution".to_owned(), recorded(&settings.calliper)),
        ("volume, method".to_owned(), settings.volume_method.clone().unwrap_or_else(not_recorded)),
        ("volume, standard uncertainty".to_owned(), recorded(&settings.volume_uncertainty)),
        ("thermometer, standard uncertainty".to_owned(), recorded(&settings.thermometer)),
    ]
}

/// How the laboratory worked.
pub(super) fn protocol(assessment: &Assessment) -> Vec<(String, String)> {
    let items = assessment.settings.protocol.items().into_iter();
    items.map(|(name, item)| (name.to_owned(), item.unwrap_or_else(not_recorded))).collect()
}

fn not_recorded() -> String {
    "not recorded".to_owned()
}

pub(super) fn shown(stated: &Stated) -> String {
    let unit = if stated.unit == "Cel" { "°C" } else { stated.unit };
    match stated.u {
        Some(u) => format!("{} ± {u} {}", stated.value, unit),
        None => format!("{} {}", stated.value, unit),
    }
}
