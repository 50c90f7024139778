//! What the numbers in a file suggest. A hint helps to answer and is no answer.

use crate::table::Decimal;

use super::column::Looked;
use super::item::{ItemState, meant};
use super::sheet::Sheet;

/// Adds hints to the questions of a sheet.
pub(super) fn hint(sheet: &Sheet, found: &mut [Looked], mark: Decimal) {
    weighings(sheet, found, mark);
    depths(sheet, found, mark);
    for looked in found.iter_mut().filter(|looked| looked.is_number()) {
        let ranges = sheet.cells(looked.place).find(|(_, text)| is_range(text));
        if let Some((_, text)) = ranges {
            let say = format!("cells such as {text} hold two numbers; divide the column into two");
            looked.item.hint.get_or_insert(say);
        }
        if looked.item.state != ItemState::Question {
            continue;
        }
        let mut values: Vec<f64> = sheet.numbers(looked.place, mark).into_iter().flatten().collect();
        values.sort_by(f64::total_cmp);
        let (Some(low), Some(high)) = (values.first(), values.last()) else { continue };
        let names = |name: &str| looked.meanings.iter().any(|column| column.name == name);
        let say = match () {
            () if names("water_content_wet_basis") && *high > 100.0 => {
                format!("values reach {high}: a share of the total mass never passes 100 %")
            }
            () if names("piece_diameter")
                && names("timber_diameter")
                && values.len() > 1
                && low.total_cmp(high).is_eq() =>
            {
                format!("the value is {low} throughout, as with one corer")
            }
            () => format!("values from {low} to {high}"),
        };
        looked.item.hint.get_or_insert(say);
    }
}

/// Displaced water weighs nearly as much as saturated wood; what hangs in water weighs next to nothing.
fn weighings(sheet: &Sheet, found: &mut [Looked], mark: Decimal) {
    let Some(wet) = found.iter().find(|looked| looked.is("mass_saturated")) else { return };
    let (name, in_air) = (wet.item.name.clone(), sheet.numbers(wet.place, mark));
    let is_asked = |looked: &&mut Looked| looked.meanings.iter().any(|column| column.name == "mass_displaced");
    for looked in found.iter_mut().filter(is_asked) {
        let in_water = sheet.numbers(looked.place, mark);
        let both = in_water.iter().zip(&in_air).filter_map(|(water, air)| Some(((*water)?, (*air)?)));
        let mut ratios: Vec<f64> = both.filter(|(_, air)| *air > 0.0).map(|(water, air)| water / air).collect();
        ratios.sort_by(f64::total_cmp);
        let (tenth, last) = (ratios.len() / 10, ratios.len().saturating_sub(1));
        let (Some(low), Some(high)) = (ratios.get(tenth), ratios.get(last - tenth.min(last))) else { continue };
        looked.item.hint = Some(format!(
            "most values are {low:.2} to {high:.2} times those of \"{name}\"; displaced water would be near 1, a piece hung \
             in water far below",
        ));
    }
}

/// Where increments follow each other, the numbers of both columns are the same; then their unit is one.
fn depths(sheet: &Sheet, found: &mut [Looked], mark: Decimal) {
    let place = |found: &[Looked], name: &str| {
        found.iter().position(|looked| looked.meanings.len() == 1 && looked.meanings[0].name == name)
    };
    let (Some(from), Some(to)) = (place(found, "depth_from"), place(found, "depth_to")) else { return };
    let (begins, ends) = (sheet.numbers(found[from].place, mark), sheet.numbers(found[to].place, mark));
    let mut shared: Vec<f64> = ends.into_iter().flatten().filter(|end| *end > 0.0).collect();
    shared.retain(|end| begins.iter().flatten().any(|begin| begin.total_cmp(end).is_eq()));
    shared.sort_by(f64::total_cmp);
    shared.dedup();
    let unit = |found: &[Looked], at: usize| found[at].item.unit.clone();
    if shared.len() < 2 || unit(found, from) == unit(found, to) {
        return;
    }
    let shown: Vec<String> = shared.iter().take(3).map(f64::to_string).collect();
    let say = |other: &str| {
        let numbers = shown.join(", ");
        format!("{numbers} stand in \"{other}\" too, as where one piece ends and the next begins: one unit for both")
    };
    let names = [found[from].item.name.clone(), found[to].item.name.clone()];
    for (at, other) in [(from, &names[1]), (to, &names[0])] {
        let item = &mut found[at].item;
        item.hint = Some(say(other));
        if item.state == ItemState::Proposal {
            let column = found[at].meanings[0].name;
            for unit in ["mm", "cm"].map(|unit| format!("{column} [{unit}]")) {
                if !item.answers.iter().any(|answer| answer.meaning == unit) {
                    item.answers.push(meant(&item.name, &unit, "not as its header says"));
                }
            }
            item.answers[0].clause = "as its header says".to_owned();
            item.why.push_str(". Is its unit right?");
            item.state = ItemState::Question;
        }
    }
}

/// `0-10`, `10 – 20`: two numbers in a cell.
fn is_range(text: &str) -> bool {
    let is_number = |part: &str| part.trim().replace(',', ".").parse::<f64>().is_ok();
    text.split_once(['-', '–', '…'])
        .is_some_and(|(low, high)| is_number(low) && is_number(high) && !low.ends_with(['e', 'E']))
}
