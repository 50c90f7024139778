//! The view of `bath wash`.

use crate::quantity::shown_value;
use crate::study::{BathWashing, WashingBath};

use super::bath::{close, heads_of, not_counted, plain, spanned, three, with_unit, wood};
use super::{Align, Block, Grid, View, choice_sentence};

/// The view of `bath wash`.
#[must_use]
pub fn bath_wash_view(washing: &BathWashing) -> View {
    let mut view = View::default();
    for choice in &washing.choices {
        view.push(Block::Paragraph(choice_sentence(choice)));
    }
    view.push(Block::Heading(format!("Washing in a tank of {} L", shown_value(washing.tank))));
    view.push(Block::Paragraph(wood(&washing.timbers, [&washing.wood_volume, &washing.wood_water], None)));
    let baths = match (&washing.baths, washing.salt_left) {
        (Some(baths), Some(left)) => {
            let interval = match baths.interval {
                Some([fewest, most]) if fewest != most => format!(" ({fewest} - {most})"),
                _ => String::new(),
            };
            format!(
                " {}{interval} baths leave no more than {} % of the dissolved salts.",
                baths.value,
                shown_value(left)
            )
        }
        _ => String::new(),
    };
    view.push(Block::Paragraph(format!(
        "{} L of clean water a bath, {} times the water of the wood.{baths}",
        shown_value(washing.bath_water.value),
        spanned(&washing.ratio)
    )));
    view.push(Block::Table(course(&washing.course)));
    view.blocks.extend(needs(washing));
    view.blocks.extend(not_counted(washing.timbers.iter()));
    close(&mut view, &washing.notes, &washing.cautions, &washing.safety, &washing.sources);
    view
}

fn course(baths: &[WashingBath]) -> Grid {
    let mut grid =
        Grid::new(&[("bath", Align::Right), ("salts left\n%", Align::Right), ("water so far\nL", Align::Right)]);
    grid.n_names = 1;
    let row = |bath: &WashingBath| vec![bath.bath.to_string(), spanned(&bath.left), spanned(&bath.water)];
    grid.rows = baths.iter().map(row).collect();
    grid
}

/// The least of agent and base, in sentences.
fn needs(washing: &BathWashing) -> Vec<Block> {
    let agent = washing.agent.as_ref().map(|agent| {
        let iron = match (&agent.for_iron, &agent.iron) {
            (Some(agent), Some(iron)) => format!("at least {} for {} of iron", with_unit(agent), with_unit(iron)),
            _ => "how much for the iron is unknown, since iron_in_wood was measured in no timber".to_owned(),
        };
        let water = match &agent.for_water {
            Some(agent) => format!("{} for the hardness of each bath", with_unit(agent)),
            None => "how much for the hardness of the water is unknown".to_owned(),
        };
        format!("{} ({}): {iron}; {water}.", agent.name, agent.form)
    });
    let base = washing.base.as_ref().map(|base| match (&base.for_acid, &base.acid, &base.reduced_sulfur) {
        (Some(need), Some(acid), Some(sulfur)) => format!(
            "{} ({}): {} for {} of sulfuric acid, which {} of reduced sulfur would come to.",
            base.name,
            base.form,
            with_unit(need),
            with_unit(acid),
            with_unit(sulfur)
        ),
        _ => format!(
            "{} ({}): how much is unknown, since sulfur_reduced_in_wood was measured in no timber.",
            base.name, base.form
        ),
    });
    agent.into_iter().chain(base).map(Block::Paragraph).collect()
}

/// The table of `bath wash` for a pipe.
#[must_use]
pub fn bath_wash_plain(washing: &BathWashing) -> View {
    View { blocks: vec![Block::Table(bath_wash_table(washing))] }
}

/// One row a bath.
pub(super) fn bath_wash_table(washing: &BathWashing) -> Grid {
    let mut heads = vec!["bath".to_owned()];
    heads.extend(heads_of("salt_left", "%"));
    heads.push("water [L]".to_owned());
    let row = |bath: &WashingBath| {
        let mut row = vec![bath.bath.to_string()];
        row.extend(three(Some(&bath.left)));
        row.push(bath.water.value.to_string());
        row
    };
    plain(&heads, washing.course.iter().map(row).collect())
}
