//! Results: the state of every piece and timber, or of the pieces that a condition keeps.

use std::fmt;
use std::sync::{Arc, OnceLock};

use starlark::environment::{Methods, MethodsBuilder};
use starlark::eval::Evaluator;
use starlark::starlark_module;
use starlark::values::list::AllocList;
use starlark::values::{Heap, NoSerialize, ProvidesStaticType, StarlarkValue, Value, starlark_value};

use crate::notebook::Shown;
use crate::notebook::amount::{Amount, unit};
use crate::notebook::argument::condition;
use crate::notebook::context::context;
use crate::notebook::fault::{failed, refuse, refused};
use crate::notebook::ledger::Weight;
use crate::quantity::counted;
use crate::report::{choice_sentence, pieces_excerpt};
use crate::study::{Assessment, RowQuestion, RowValue, Study, chosen_places, known_names, piece_rows};

use super::column::{Owner, place, slice};
use super::{ColumnValue, Held, USUAL, a_value, in_cells};

/// The state of pieces and timbers.
#[derive(Debug, Clone, ProvidesStaticType, NoSerialize)]
pub(in crate::notebook) struct StateValue {
    /// What the laboratory states.
    pub(in crate::notebook) study: Arc<Study>,
    /// All results.
    pub(in crate::notebook) assessment: Arc<Assessment>,
    /// The condition that chose pieces; `None` for all.
    pub(in crate::notebook) condition: Option<String>,
    /// Places of the pieces, in the order in which they are shown.
    places: Arc<Vec<usize>>,
    /// Whether pieces were chosen by their place, which no condition says.
    is_cut: bool,
    names: Arc<OnceLock<Vec<String>>>,
    weight: Arc<Weight>,
}
a_value!(StateValue);

impl StateValue {
    /// All pieces of an assessment, with their share of memory.
    pub(in crate::notebook) fn new(study: Arc<Study>, assessment: Assessment, weight: Weight) -> Self {
        let places = Arc::new((0..assessment.samples.len()).collect());
        let (names, weight) = (Arc::new(OnceLock::new()), Arc::new(weight));
        Self { study, assessment: Arc::new(assessment), condition: None, places, is_cut: false, names, weight }
    }

    /// The first and last pieces.
    pub(in crate::notebook) fn shown(&self, most: usize) -> Shown {
        Shown::of_view(&in_cells(pieces_excerpt(&self.assessment, &self.places, most)))
    }

    /// The names of which something is known.
    pub(in crate::notebook) fn names(&self) -> &[String] {
        self.names.get_or_init(|| known_names(&self.assessment))
    }

    /// Whether these are all pieces.
    pub(in crate::notebook) fn is_whole(&self) -> bool {
        self.condition.is_none() && !self.is_cut
    }

    /// Refuses pieces that were chosen by their place.
    pub(in crate::notebook) fn by_condition(&self, doing: &str) -> starlark::Result<()> {
        if !self.is_cut {
            return Ok(());
        }
        let text = format!("pieces that were chosen by their place cannot be {doing}");
        Err(refuse(text, "choose them with text: s.where(\"depth_from < 20 mm\")"))
    }

    fn column(&self, name: &str) -> starlark::Result<ColumnValue> {
        let values = RowQuestion { values: vec![name.to_owned()], ..RowQuestion::default() };
        let held = match piece_rows(&self.assessment, &values) {
            Ok(rows) => {
                let unit = unit(&rows.columns[0].unit).map_err(refused)?;
                let value = |place: &usize| rows.rows.get(*place).and_then(|row| row.values[0]);
                let found: Vec<Option<RowValue>> = self.places.iter().map(value).collect();
                let values = found.iter().map(|value| value.map_or(f64::NAN, |value| value.value)).collect();
                let u = found.iter().map(|value| value.and_then(|value| value.u));
                Held::Numbers(Amount::new(values, u, unit).of_results())
            }
            Err(_) => {
                let texts = RowQuestion { by: vec![name.to_owned()], ..RowQuestion::default() };
                let rows = piece_rows(&self.assessment, &texts).map_err(failed)?;
                let word = |place: &usize| rows.rows.get(*place).and_then(|row| row.key[0].clone());
                Held::Texts(self.places.iter().map(word).collect())
            }
        };
        ColumnValue::of(name, held, Owner::State, &self.weight)
    }

    /// Of results all pieces are kept in the order of the file, so a row is the place of a piece.
    fn at_places(&self, places: Vec<usize>) -> Self {
        Self { places: Arc::new(places), ..self.clone() }
    }
}

impl fmt::Display for StateValue {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "state of {}", counted(self.places.len(), "piece"))
    }
}

#[starlark_value(type = "state")]
impl<'v> StarlarkValue<'v> for StateValue {
    fn get_methods() -> Option<&'static Methods> {
        starlark::methods_static!(METHODS = methods);
        Some(METHODS.methods())
    }

    fn collect_str(&self, collector: &mut String) {
        collector.push_str(&self.shown(USUAL).text);
    }

    fn length(&self) -> starlark::Result<i32> {
        Ok(i32::try_from(self.places.len()).unwrap_or(i32::MAX))
    }

    fn at(&self, index: Value<'v>, heap: Heap<'v>) -> starlark::Result<Value<'v>> {
        if let Some(name) = index.unpack_str() {
            return Ok(heap.alloc(self.column(name)?));
        }
        if index.unpack_bool().is_some() || ColumnValue::from_value(index).is_some() {
            return Err(refuse("rows are chosen with text", "s.where(\"max_water_content > 400\")"));
        }
        let row = place(index, self.places.len(), "these pieces")?;
        Ok(heap.alloc(Self { is_cut: true, ..self.at_places(vec![self.places[row]]) }))
    }

    fn slice(
        &self,
        start: Option<Value<'v>>,
        stop: Option<Value<'v>>,
        stride: Option<Value<'v>>,
        heap: Heap<'v>,
    ) -> starlark::Result<Value<'v>> {
        let rows = slice([start, stop, stride], self.places.len())?;
        let places = rows.iter().map(|row| self.places[*row]).collect();
        Ok(heap.alloc(Self { is_cut: true, ..self.at_places(places) }))
    }

    fn get_attr(&self, name: &str, heap: Heap<'v>) -> Option<Value<'v>> {
        match name {
            "columns" => Some(heap.alloc(AllocList(self.names().iter().map(String::as_str)))),
            "cautions" => {
                let codes = self.assessment.cautions.iter().map(|entry| entry.code);
                Some(heap.alloc(AllocList(codes)))
            }
            _ => self.column(name).ok().map(|column| heap.alloc(column)),
        }
    }

    fn dir_attr(&self) -> Vec<String> {
        let own = ["columns", "cautions"].map(str::to_owned);
        own.into_iter().chain(self.names().iter().cloned()).collect()
    }
}

#[starlark_module]
fn methods(builder: &mut MethodsBuilder) {
    /// The pieces that fulfil a condition on measurements and results. Timbers keep the class that all of their pieces
    /// give them.
    ///
    /// `s.where("max_water_content > 400 and taxon == 'oak'")`
    ///
    /// # Arguments
    /// * `condition`: comparisons joined by `and`, `or`, `not`; a bare number has the unit of its column
    fn r#where<'v>(
        this: &StateValue,
        #[starlark(require = pos)] condition: Value<'v>,
        eval: &mut Evaluator<'v, '_, '_>,
    ) -> starlark::Result<StateValue> {
        chosen(this, condition, eval)
    }

    /// The same pieces in the order of a column or a quantity; unknown ones come last.
    ///
    /// `s.sort("max_water_content", descending=True)`
    ///
    /// # Arguments
    /// * `by`: name of the column or quantity
    /// * `descending`: the largest first
    fn sort<'v>(
        this: &StateValue,
        #[starlark(require = pos)] by: &str,
        #[starlark(require = named, default = false)] descending: bool,
    ) -> starlark::Result<StateValue> {
        let order = this.column(by)?.order(descending);
        Ok(this.at_places(order.into_iter().map(|row| this.places[row]).collect()))
    }
}

fn chosen<'v>(state: &StateValue, text: Value<'v>, eval: &Evaluator<'v, '_, '_>) -> starlark::Result<StateValue> {
    let text = condition(text, "s")?;
    state.by_condition("chosen from again")?;
    // Said of this condition alone; kept together with the one before.
    let joined = match &state.condition {
        Some(before) => format!("({before}) and ({text})"),
        None => text.to_owned(),
    };
    let (_, _) = chosen_places(&state.assessment, text).map_err(failed)?;
    let (places, choice) = chosen_places(&state.assessment, &joined).map_err(failed)?;
    context(eval)?.say(&choice_sentence(&choice));
    Ok(StateValue { condition: Some(joined), ..state.at_places(places) })
}
