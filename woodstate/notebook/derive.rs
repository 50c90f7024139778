//! A column that is computed from others.

use starlark::environment::Module;
use starlark::eval::Evaluator;
use starlark::values::Value;

use crate::notebook::value::{ColumnValue, Held, TableValue};
use crate::table::{Batch, Numbers};

use super::amount::Amount;
use super::context::{Context, context};
use super::fault::{failed, refuse};
use super::parse::parsed;
use super::scan::words;

/// The table with a column more, from a text such as `water = mass_saturated - mass_oven_dry`.
pub(super) fn derived(table: &TableValue, text: &str, eval: &Evaluator<'_, '_, '_>) -> starlark::Result<TableValue> {
    let example = "t.derive(\"water = mass_saturated - mass_oven_dry\")";
    let parts = text.split_once('=').map(|(name, how)| (name.trim(), how.trim()));
    let is_name = |name: &str| {
        !name.starts_with(|c: char| c.is_ascii_digit())
            && !name.is_empty()
            && name.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_')
    };
    let Some((name, how)) = parts.filter(|(name, how)| is_name(name) && !how.is_empty() && !how.starts_with('='))
    else {
        return Err(refuse("a new column is written as name = how; its name has small letters, digits and _", example));
    };
    let amount = computed(table, how, context(eval)?)?;
    let numbers = Numbers::measured((0..amount.len()).map(|row| (amount.value(row), amount.u(row))));
    let samples = table.batch.samples.with_numbers(name, amount.unit, numbers).map_err(failed)?;
    table.with(Batch { samples, ..Batch::clone(&table.batch) })
}

/// The numbers of an expression in which columns are names.
fn computed(table: &TableValue, how: &str, context: &Context) -> starlark::Result<Amount> {
    let tree = parsed("derive", how.to_owned())?;
    Module::with_temp_heap(|module| {
        for word in words(how).filter(|word| table.columns().any(|column| column == *word)) {
            module.set(word, module.heap().alloc(table.column(word)?));
        }
        let mut evaluator = Evaluator::new(&module);
        evaluator.extra = Some(context);
        let value: Value<'_> = evaluator.eval_module(tree, &context.globals)?;
        match ColumnValue::from_value(value).map(|column| &column.held) {
            Some(Held::Numbers(amount)) => Ok(amount.clone()),
            _ => {
                let text = format!("{how} gives {}, and a column of numbers is needed", value.to_repr());
                Err(refuse(text, "name a column of numbers in it: t.columns lists them"))
            }
        }
    })
}
