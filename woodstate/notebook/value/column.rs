//! A column: numbers with unit and uncertainty, or texts.

use std::fmt;
use std::sync::Arc;

use starlark::values::list::AllocList;
use starlark::values::{Heap, NoSerialize, ProvidesStaticType, StarlarkValue, Value, starlark_value};

use crate::notebook::Shown;
use crate::notebook::amount::Amount;
use crate::notebook::fault::refuse;
use crate::notebook::ledger::{Weight, no_room};
use crate::notebook::operator::{Operator, combined};
use crate::notebook::truth::no_truth;
use crate::quantity::{counted, shown, shown_value};
use crate::report::{Align, Block, Grid, View};

use super::{SingleValue, USUAL, a_value};

/// What a column holds.
#[derive(Debug)]
pub(in crate::notebook) enum Held {
    /// Numbers.
    Numbers(Amount),
    /// Texts; `None` where unknown.
    Texts(Vec<Option<String>>),
}

/// Where a column comes from, for hints.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::notebook) enum Owner {
    /// A table of measurements.
    Table,
    /// Results.
    State,
}

impl Owner {
    /// What the tour calls such a value.
    pub(in crate::notebook) fn letter(self) -> &'static str {
        match self {
            Self::Table => "t",
            Self::State => "s",
        }
    }
}

/// A column of a table or of results.
#[derive(Debug, ProvidesStaticType, NoSerialize)]
pub(in crate::notebook) struct ColumnValue {
    /// Its name, or how it was made.
    pub(in crate::notebook) name: String,
    /// What it holds.
    pub(in crate::notebook) held: Held,
    /// Where it comes from.
    pub(in crate::notebook) owner: Owner,
    weight: Arc<Weight>,
}
a_value!(ColumnValue);

impl ColumnValue {
    /// A column that a table or results hold; `weight` is their share of memory.
    pub(in crate::notebook) fn of(name: &str, held: Held, owner: Owner, weight: &Weight) -> starlark::Result<Self> {
        let weight = weight.ledger().weigh(held.bytes()).map_err(no_room)?;
        Ok(Self { name: name.to_owned(), held, owner, weight: Arc::new(weight) })
    }

    /// A column that is made of this one.
    pub(in crate::notebook) fn like(&self, name: &str, held: Held) -> starlark::Result<Self> {
        Self::of(name, held, self.owner, &self.weight)
    }

    /// Its numbers.
    pub(in crate::notebook) fn amount(&self) -> starlark::Result<&Amount> {
        match &self.held {
            Held::Numbers(amount) => Ok(amount),
            Held::Texts(_) => {
                let text = format!("{} holds texts, and this needs numbers", self.name);
                Err(refuse(text, "choose another column: t.columns"))
            }
        }
    }

    /// Its numbers, to be summed up. Results are not: a mean over depths would mix soft rims with sound cores, and what
    /// results share does not average out.
    pub(in crate::notebook) fn measurements(&self, doing: &str) -> starlark::Result<&Amount> {
        if self.owner == Owner::Table {
            return self.amount();
        }
        let text = format!("{doing} of results would mix soft rims with sound cores and lose what they share");
        Err(refuse(text, format!("summary(s, value=\"{}\", by=\"depth_zone\")", self.name)))
    }

    /// How many values it has.
    pub(in crate::notebook) fn len(&self) -> usize {
        match &self.held {
            Held::Numbers(amount) => amount.len(),
            Held::Texts(texts) => texts.len(),
        }
    }

    fn n_known(&self) -> usize {
        match &self.held {
            Held::Numbers(amount) => (0..amount.len()).filter(|row| amount.value(*row).is_some()).count(),
            Held::Texts(texts) => texts.iter().flatten().count(),
        }
    }

    fn unit(&self) -> Option<&'static str> {
        match &self.held {
            Held::Numbers(amount) => Some(amount.unit.code()),
            Held::Texts(_) => None,
        }
    }

    fn value<'v>(&self, row: usize, heap: Heap<'v>) -> Value<'v> {
        match &self.held {
            Held::Numbers(amount) if amount.value(row).is_some() => heap.alloc(SingleValue(amount.row(row))),
            Held::Texts(texts) => match texts.get(row).and_then(Option::as_deref) {
                Some(text) => heap.alloc(text),
                None => Value::new_none(),
            },
            Held::Numbers(_) => Value::new_none(),
        }
    }

    fn cell(&self, row: usize) -> String {
        match &self.held {
            Held::Numbers(amount) => amount.value(row).map_or_else(String::new, |value| match amount.u(row) {
                Some(u) => shown(value, Some(u)),
                None => shown_value(value),
            }),
            Held::Texts(texts) => texts.get(row).cloned().flatten().unwrap_or_default(),
        }
    }

    /// The column as a table of its first and last values.
    pub(in crate::notebook) fn shown(&self) -> Shown {
        let align = if self.unit().is_some() { Align::Right } else { Align::Left };
        let head = format!("{}\n{}", self.name, self.unit().filter(|unit| *unit != "1").unwrap_or_default());
        let mut grid = Grid::new(&[("place\n", Align::Right), (head.as_str(), align)]);
        let row = |row: usize| vec![row.to_string(), self.cell(row)];
        let n = self.len();
        let (first, last) = if n <= USUAL { (n, 0) } else { (USUAL - USUAL / 3, USUAL / 3) };
        grid.rows = (0..first).map(row).collect();
        if first < n {
            grid.rows.push(vec!["...".to_owned(); 2]);
        }
        grid.rows.extend((n - last..n).map(row));
        let closing = format!("{}, {} unknown.", counted(n, "value"), n - self.n_known());
        Shown::of_view(&View { blocks: vec![Block::Table(grid), Block::Paragraph(closing)] })
    }
}

impl Held {
    fn bytes(&self) -> usize {
        match self {
            Self::Numbers(amount) => amount.len() * 16,
            Self::Texts(texts) => texts.iter().map(|text| 24 + text.as_ref().map_or(0, String::len)).sum(),
        }
    }
}

impl fmt::Display for ColumnValue {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let unit = self.unit().map(|unit| format!(" [{unit}]")).unwrap_or_default();
        write!(f, "column {}{unit} of {}", self.name, counted(self.len(), "value"))
    }
}

/// A place counted from 0, or from the end where it is negative.
pub(super) fn place(index: Value<'_>, len: usize, of: &str) -> starlark::Result<usize> {
    let wrong = || refuse(format!("there is no place {} in {} of {of}", index.to_repr(), len), "places count from 0");
    let number = index.unpack_i32().ok_or_else(wrong)?;
    let size = i64::try_from(len).map_err(|_| wrong())?;
    let at = if number < 0 { i64::from(number) + size } else { i64::from(number) };
    usize::try_from(at).ok().filter(|at| *at < len).ok_or_else(wrong)
}

/// The places of a slice.
pub(super) fn slice([start, stop, stride]: [Option<Value<'_>>; 3], len: usize) -> starlark::Result<Vec<usize>> {
    let size = i64::try_from(len).unwrap_or(i64::MAX);
    let number = |value: Option<Value<'_>>, usual: i64| match value {
        None => Ok(usual),
        Some(value) if value.is_none() => Ok(usual),
        Some(value) => match value.unpack_i32() {
            Some(number) => Ok(i64::from(number)),
            None => Err(refuse(format!("{} is no place", value.to_repr()), "write whole numbers: [0:10]")),
        },
    };
    let step = number(stride, 1)?;
    if step < 1 {
        return Err(refuse("a step is 1 or more", "sort with .sort(\"name\", descending=True)"));
    }
    let end = |at: i64| if at < 0 { (at + size).max(0) } else { at.min(size) };
    let (start, stop) = (end(number(start, 0)?), end(number(stop, size)?));
    let step = usize::try_from(step).unwrap_or(usize::MAX);
    Ok((start..stop).step_by(step).filter_map(|at| usize::try_from(at).ok()).collect())
}

#[starlark_value(type = "column")]
impl<'v> StarlarkValue<'v> for ColumnValue {
    fn collect_str(&self, collector: &mut String) {
        collector.push_str(&self.shown().text);
    }

    fn to_bool(&self) -> bool {
        let cure = format!("{}.where(\"...\") chooses rows; len(...) counts them", self.owner.letter());
        no_truth(&format!("column {}", self.name), &cure)
    }

    fn length(&self) -> starlark::Result<i32> {
        Ok(i32::try_from(self.len()).unwrap_or(i32::MAX))
    }

    fn at(&self, index: Value<'v>, heap: Heap<'v>) -> starlark::Result<Value<'v>> {
        Ok(self.value(place(index, self.len(), "this column")?, heap))
    }

    fn slice(
        &self,
        start: Option<Value<'v>>,
        stop: Option<Value<'v>>,
        stride: Option<Value<'v>>,
        heap: Heap<'v>,
    ) -> starlark::Result<Value<'v>> {
        let rows = slice([start, stop, stride], self.len())?;
        let held = match &self.held {
            Held::Numbers(amount) => Held::Numbers(amount.rows(&rows)),
            Held::Texts(texts) => Held::Texts(rows.iter().map(|row| texts[*row].clone()).collect()),
        };
        Ok(heap.alloc(self.like(&self.name, held)?))
    }

    fn iterate_collect(&self, heap: Heap<'v>) -> starlark::Result<Vec<Value<'v>>> {
        Ok((0..self.len()).map(|row| self.value(row, heap)).collect())
    }

    fn is_in(&self, other: Value<'v>) -> starlark::Result<bool> {
        match (&self.held, other.unpack_str()) {
            (Held::Texts(texts), Some(text)) => Ok(texts.iter().flatten().any(|one| one == text)),
            _ => Err(refuse("in looks for a text in a column of texts", "for numbers use where(\"...\")")),
        }
    }

    fn get_attr(&self, name: &str, heap: Heap<'v>) -> Option<Value<'v>> {
        match (name, &self.held) {
            ("name", _) => Some(heap.alloc(self.name.as_str())),
            ("n_known", _) => Some(heap.alloc(i32::try_from(self.n_known()).unwrap_or(i32::MAX))),
            ("unit", Held::Numbers(amount)) => Some(heap.alloc(amount.unit.code())),
            ("values", Held::Numbers(amount)) => {
                let value = |row| amount.value(row).map_or(Value::new_none(), |value| heap.alloc(value));
                Some(heap.alloc(AllocList((0..amount.len()).map(value))))
            }
            ("u", Held::Numbers(amount)) => {
                let u = |row| amount.u(row).map_or(Value::new_none(), |u| heap.alloc(u));
                Some(heap.alloc(AllocList((0..amount.len()).map(u))))
            }
            _ => None,
        }
    }

    fn dir_attr(&self) -> Vec<String> {
        let all = ["name", "n_known", "unit", "values", "u"];
        let n = if self.unit().is_some() { all.len() } else { 2 };
        all[..n].iter().map(|name| (*name).to_owned()).collect()
    }

    fn minus(&self, heap: Heap<'v>) -> starlark::Result<Value<'v>> {
        let amount = self.amount()?;
        let made = amount.map(amount.unit, |value| [-value, -1.0]);
        Ok(heap.alloc(self.like(&format!("-{}", self.name), Held::Numbers(made))?))
    }

    fn add(&self, other: Value<'v>, heap: Heap<'v>) -> Option<starlark::Result<Value<'v>>> {
        self.with(Operator::Plus, other, false, heap)
    }

    fn radd(&self, other: Value<'v>, heap: Heap<'v>) -> Option<starlark::Result<Value<'v>>> {
        self.with(Operator::Plus, other, true, heap)
    }

    fn mul(&self, other: Value<'v>, heap: Heap<'v>) -> Option<starlark::Result<Value<'v>>> {
        self.with(Operator::Times, other, false, heap)
    }

    fn rmul(&self, other: Value<'v>, heap: Heap<'v>) -> Option<starlark::Result<Value<'v>>> {
        self.with(Operator::Times, other, true, heap)
    }
}

impl ColumnValue {
    /// This column with another side; `is_right` where it stands on the right.
    fn with<'v>(
        &self,
        operator: Operator,
        other: Value<'v>,
        is_right: bool,
        heap: Heap<'v>,
    ) -> Option<starlark::Result<Value<'v>>> {
        let own = self.amount().and_then(|amount| self.like(&self.name, Held::Numbers(amount.clone())));
        match own {
            Err(error) => Some(Err(error)),
            Ok(own) if is_right => combined(operator, other, heap.alloc(own), heap),
            Ok(own) => combined(operator, heap.alloc(own), other, heap),
        }
    }
}

impl ColumnValue {
    /// The places of its values in their order; unknown ones come last, and equals stay as they are.
    pub(super) fn order(&self, is_descending: bool) -> Vec<usize> {
        let mut places: Vec<usize> = (0..self.len()).collect();
        let turned = |order: std::cmp::Ordering| if is_descending { order.reverse() } else { order };
        match &self.held {
            Held::Numbers(amount) => places.sort_by(|a, b| match (amount.value(*a), amount.value(*b)) {
                (Some(a), Some(b)) => turned(a.total_cmp(&b)),
                (a, b) => a.is_none().cmp(&b.is_none()),
            }),
            Held::Texts(texts) => places.sort_by(|a, b| match (&texts[*a], &texts[*b]) {
                (Some(a), Some(b)) => turned(a.cmp(b)),
                (a, b) => a.is_none().cmp(&b.is_none()),
            }),
        }
        places
    }
}
