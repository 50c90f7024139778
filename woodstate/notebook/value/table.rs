//! A table of measurements, with its neighbours and the study that says how to read them.

use std::fmt;
use std::sync::Arc;

use starlark::environment::{Methods, MethodsBuilder};
use starlark::eval::Evaluator;
use starlark::starlark_module;
use starlark::values::dict::AllocDict;
use starlark::values::list::AllocList;
use starlark::values::{Heap, NoSerialize, ProvidesStaticType, StarlarkValue, Value, starlark_value};

use crate::error::near;
use crate::notebook::Shown;
use crate::notebook::amount::{Amount, unit};
use crate::notebook::argument::condition;
use crate::notebook::context::context;
use crate::notebook::derive::derived;
use crate::notebook::fault::{failed, refuse, refused};
use crate::notebook::ledger::{Weight, no_room};
use crate::quantity::{Quantity, Unit, counted};
use crate::report::{batch_excerpt, choice_sentence};
use crate::study::{Study, choose, keep_rows};
use crate::table::{Batch, Choice, Column, ColumnType, Numbers, Table, Values};

use super::column::{Owner, place, slice};
use super::{ColumnValue, Held, USUAL, a_value, in_cells};

/// A table of measurements.
#[derive(Debug, Clone, ProvidesStaticType, NoSerialize)]
pub(in crate::notebook) struct TableValue {
    /// What the laboratory states.
    pub(in crate::notebook) study: Arc<Study>,
    /// The tables.
    pub(in crate::notebook) batch: Arc<Batch>,
    weight: Arc<Weight>,
}
a_value!(TableValue);

/// Bytes that a batch takes, about.
pub(in crate::notebook) fn bytes(batch: &Batch) -> usize {
    let of_column = |column: &Column| match &column.values {
        Values::Numbers(numbers) => numbers.len() * if numbers.has_u() { 16 } else { 8 },
        Values::Texts(texts) => texts.len() * 8,
    };
    batch.tables().map(|table| table.n_rows() * 9 + table.columns().iter().map(of_column).sum::<usize>()).sum()
}

impl TableValue {
    /// A table with its share of memory.
    pub(in crate::notebook) fn new(study: Arc<Study>, batch: Batch, weight: Weight) -> Self {
        Self { study, batch: Arc::new(batch), weight: Arc::new(weight) }
    }

    /// Its first and last rows.
    pub(in crate::notebook) fn shown(&self, most: usize) -> Shown {
        Shown::of_view(&in_cells(batch_excerpt(&self.batch, most)))
    }

    /// The names of its columns, in the order of the file.
    pub(in crate::notebook) fn columns(&self) -> impl Iterator<Item = &str> {
        self.batch.samples.columns().iter().map(|column| column.name.as_str()).filter(|name| !name.is_empty())
    }

    pub(in crate::notebook) fn with(&self, batch: Batch) -> starlark::Result<Self> {
        let weight = self.weight.ledger().weigh(bytes(&batch)).map_err(no_room)?;
        Ok(Self::new(Arc::clone(&self.study), batch, weight))
    }

    /// A column by its name.
    pub(in crate::notebook) fn column(&self, name: &str) -> starlark::Result<ColumnValue> {
        let samples = &self.batch.samples;
        let found = samples.columns().iter().find(|column| column.name == name);
        let Some(column) = found else { return Err(self.no_column(name)) };
        let held = match &column.values {
            Values::Numbers(numbers) => Held::Numbers(amount(samples, column, numbers)?),
            Values::Texts(texts) => Held::Texts(texts.iter().map(|text| text.map(str::to_owned)).collect()),
        };
        ColumnValue::of(name, held, Owner::Table, &self.weight)
    }

    fn no_column(&self, name: &str) -> starlark::Error {
        if Quantity::of_name(name).is_some() {
            return refuse(format!("{name} is a result, not a measurement"), "first: s = assess(t)");
        }
        let near = near(name, self.columns());
        match near.first() {
            Some(near) => refuse(format!("there is no column \"{name}\""), format!("did you mean \"{near}\"?")),
            None => refuse(format!("there is no column \"{name}\""), "t.columns lists them"),
        }
    }
}

fn amount(samples: &Table, column: &Column, numbers: &Numbers) -> starlark::Result<Amount> {
    let code = match samples.kind().column(&column.name).map(|spec| spec.holds) {
        Some(ColumnType::Number { unit, .. }) => unit,
        _ => column.unit_of_header().map_or("1", Unit::code),
    };
    let u = (0..numbers.len()).map(|row| numbers.u(row));
    Ok(Amount::new(numbers.values().to_vec(), u, unit(code).map_err(refused)?))
}

impl fmt::Display for TableValue {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "table of {}", counted(self.batch.samples.n_rows(), "row"))
    }
}

#[starlark_value(type = "table")]
impl<'v> StarlarkValue<'v> for TableValue {
    fn get_methods() -> Option<&'static Methods> {
        starlark::methods_static!(METHODS = methods);
        Some(METHODS.methods())
    }

    fn collect_str(&self, collector: &mut String) {
        collector.push_str(&self.shown(USUAL).text);
    }

    fn length(&self) -> starlark::Result<i32> {
        Ok(i32::try_from(self.batch.samples.n_rows()).unwrap_or(i32::MAX))
    }

    fn at(&self, index: Value<'v>, heap: Heap<'v>) -> starlark::Result<Value<'v>> {
        if let Some(name) = index.unpack_str() {
            return Ok(heap.alloc(self.column(name)?));
        }
        if index.unpack_bool().is_some() || ColumnValue::from_value(index).is_some() {
            return Err(refuse("rows are chosen with text", "t.where(\"depth_from < 20 mm\")"));
        }
        let row = place(index, self.batch.samples.n_rows(), "this table")?;
        let mut cells = Vec::new();
        for name in self.columns() {
            cells.push((name.to_owned(), self.column(name)?.at(heap.alloc(i32::try_from(row).unwrap_or(0)), heap)?));
        }
        Ok(heap.alloc(AllocDict(cells)))
    }

    fn slice(
        &self,
        start: Option<Value<'v>>,
        stop: Option<Value<'v>>,
        stride: Option<Value<'v>>,
        heap: Heap<'v>,
    ) -> starlark::Result<Value<'v>> {
        let n = self.batch.samples.n_rows();
        let rows = slice([start, stop, stride], n)?;
        let choice = Choice {
            condition: "rows by their place".to_owned(),
            of: "row",
            rows: n,
            kept: rows.len(),
            left_out: n - rows.len(),
            ..Choice::default()
        };
        Ok(heap.alloc(self.with(keep_rows(Batch::clone(&self.batch), &rows, choice))?))
    }

    fn get_attr(&self, name: &str, heap: Heap<'v>) -> Option<Value<'v>> {
        if name == "columns" {
            return Some(heap.alloc(AllocList(self.columns())));
        }
        self.column(name).ok().map(|column| heap.alloc(column))
    }

    fn dir_attr(&self) -> Vec<String> {
        let is_name = |name: &&str| name.chars().all(|c| c.is_ascii_alphanumeric() || c == '_');
        std::iter::once("columns").chain(self.columns().filter(is_name)).map(str::to_owned).collect()
    }
}

#[starlark_module]
fn methods(builder: &mut MethodsBuilder) {
    /// The rows that fulfil a condition. Rows of which it is unknown are left out and counted.
    ///
    /// `t.where("depth_from < 20 mm and taxon == 'oak'")`
    ///
    /// # Arguments
    /// * `condition`: comparisons of columns joined by `and`, `or`, `not`; a bare number has the unit of its column
    fn r#where<'v>(
        this: &TableValue,
        #[starlark(require = pos)] condition: Value<'v>,
        eval: &mut Evaluator<'v, '_, '_>,
    ) -> starlark::Result<TableValue> {
        chosen(this, condition, eval)
    }

    /// The table with a column more that is computed from others, with its unit and its uncertainty.
    ///
    /// `t.derive("water = mass_saturated - mass_oven_dry")`
    ///
    /// # Arguments
    /// * `text`: name of the new column, `=`, and how it is computed
    fn derive<'v>(
        this: &TableValue,
        #[starlark(require = pos)] text: &str,
        eval: &mut Evaluator<'v, '_, '_>,
    ) -> starlark::Result<TableValue> {
        derived(this, text, eval)
    }

    /// The same rows in the order of a column; unknown ones come last.
    ///
    /// `t.sort("depth_from")`
    ///
    /// # Arguments
    /// * `by`: name of the column
    /// * `descending`: the largest first
    fn sort<'v>(
        this: &TableValue,
        #[starlark(require = pos)] by: &str,
        #[starlark(require = named, default = false)] descending: bool,
    ) -> starlark::Result<TableValue> {
        let rows = this.column(by)?.order(descending);
        let batch = Batch { samples: this.batch.samples.ordered(&rows), ..Batch::clone(&this.batch) };
        this.with(batch)
    }
}

fn chosen<'v>(table: &TableValue, text: Value<'v>, eval: &Evaluator<'v, '_, '_>) -> starlark::Result<TableValue> {
    let text = condition(text, "t")?;
    let batch = choose(Batch::clone(&table.batch), text).map_err(failed)?;
    if let Some(choice) = batch.samples.choices().last() {
        context(eval)?.say(&choice_sentence(choice));
    }
    table.with(batch)
}
