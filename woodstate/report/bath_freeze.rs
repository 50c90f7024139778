//! The view of `bath freeze`.

use crate::study::BathFreezing;

use super::bath::{close, plain};
use super::{Block, View};

/// The view of `bath freeze`.
#[must_use]
pub fn bath_freeze_view(freezing: &BathFreezing) -> View {
    let mut view = View::default();
    view.push(Block::Heading("Whether ice in the wood can dry".to_owned()));
    for sentence in &freezing.meaning {
        view.push(Block::Paragraph(sentence.clone()));
    }
    close(&mut view, &[], &freezing.cautions, &freezing.safety, &freezing.sources);
    view
}

/// The table of `bath freeze` for a pipe.
#[must_use]
pub fn bath_freeze_plain(freezing: &BathFreezing) -> View {
    let heads = [
        "wood_temperature [Cel]",
        "chamber_pressure [Pa]",
        "eutectic [Cel]",
        "vapour_pressure [Pa]",
        "resting_temperature [Cel]",
        "is_pressure_low_enough",
        "is_frozen_through",
    ];
    let yes = |is: bool| if is { "yes" } else { "no" }.to_owned();
    let row = vec![
        freezing.wood_temperature.to_string(),
        freezing.chamber_pressure.to_string(),
        freezing.eutectic.map(|eutectic| eutectic.to_string()).unwrap_or_default(),
        freezing.vapour_pressure.to_string(),
        freezing.resting_temperature.to_string(),
        yes(freezing.is_pressure_low_enough),
        freezing.is_frozen_through.map(yes).unwrap_or_default(),
    ];
    View { blocks: vec![Block::Table(plain(&heads.map(str::to_owned), vec![row]))] }
}
