//! `figure`: a figure of results or of a fit.

use starlark::environment::GlobalsBuilder;
use starlark::eval::Evaluator;
use starlark::starlark_module;
use starlark::values::none::NoneOr;
use starlark::values::{Heap, Value};

use crate::figure::{
    Figure, FigureChoice, Journal, KindNeeds, Sheet, SheetSize, check_figure_kind, figure_assessed, figure_list,
    strength_curve,
};
use crate::notebook::context::{Context, context};
use crate::notebook::fault::{failed, refuse};
use crate::notebook::listing::listing;
use crate::notebook::spoken::spoken;
use crate::notebook::value::{DrawingValue, Outcome, OutcomeValue};
use crate::report::{Block, View, choice_sentence};

use super::assessing::{or_none, state_of};
use super::words::words;

#[starlark_module]
pub(super) fn names(builder: &mut GlobalsBuilder) {
    /// A figure for a journal, with its caption. Without arguments the kinds there are and what each needs.
    ///
    /// ```text
    /// figure("density-water", s, size="double")
    /// ```
    ///
    /// # Arguments
    /// * `kind`: kind of figure, such as `"density-water"`
    /// * `of`: what `assess` gave, or a part of it; for `"strength-curve"` also what `fit` gave
    /// * `value`: quantities or columns of numbers; without it the usual ones of the kind
    /// * `against`: against what
    /// * `by`: columns that make groups
    /// * `panels`: a column that makes panels beside each other
    /// * `size`: single, one-and-a-half, double, thesis or slide
    /// * `journal`: widths of a family of journals: elsevier, springer or geological-society
    fn figure<'v>(
        #[starlark(require = pos, default = NoneOr::None)] kind: NoneOr<&str>,
        #[starlark(require = pos, default = NoneOr::None)] of: NoneOr<Value<'v>>,
        #[starlark(require = named, default = NoneOr::None)] value: NoneOr<Value<'v>>,
        #[starlark(require = named, default = NoneOr::None)] against: NoneOr<&str>,
        #[starlark(require = named, default = NoneOr::None)] by: NoneOr<Value<'v>>,
        #[starlark(require = named, default = NoneOr::None)] panels: NoneOr<&str>,
        #[starlark(require = named, default = "single")] size: &str,
        #[starlark(require = named, default = NoneOr::None)] journal: NoneOr<&str>,
        eval: &mut Evaluator<'v, '_, '_>,
    ) -> starlark::Result<Value<'v>> {
        let heap: Heap<'v> = eval.heap();
        let (Some(kind), of) = (kind.into_option(), or_none(of)) else {
            return Ok(heap.alloc(OutcomeValue::card("figure", kinds())));
        };
        check_figure_kind(kind).map_err(failed)?;
        let journal = journal.into_option().map(Journal::of_word).transpose().map_err(failed)?;
        let sheet = Sheet::of(SheetSize::of_word(size).map_err(failed)?, journal);
        let choice = FigureChoice {
            value: words(or_none(value), "value")?,
            against: against.into_option().map(str::to_owned),
            by: words(or_none(by), "by")?,
            panels: panels.into_option().map(str::to_owned),
            condition: None,
        };
        let context = context(eval)?;
        if journal.is_some() {
            context.say(Journal::NOTE);
        }
        let figure = made(context, kind, of, choice)?;
        Ok(heap.alloc(DrawingValue::new(figure, sheet).map_err(failed)?))
    }
}

/// The kinds of figures, in the words of a cell.
fn kinds() -> View {
    let list = figure_list();
    let kind = |kind: &KindNeeds| [kind.kind.to_owned(), format!("{}; needs {}", kind.shows, spoken(kind.needs))];
    let kinds = listing(["kind", "shows"], list.kinds.iter().map(kind));
    View { blocks: vec![kinds, Block::Paragraph(list.note.to_owned())] }
}

fn made(context: &Context, kind: &str, of: Value<'_>, choice: FigureChoice) -> starlark::Result<Figure> {
    if let Some(OutcomeValue { outcome, .. }) = OutcomeValue::from_value(of) {
        return match (&**outcome, kind) {
            (Outcome::Fit(curves), "strength-curve") => strength_curve(curves, &choice).map_err(failed),
            (Outcome::Fit(_), _) => {
                Err(refuse(format!("{kind} is drawn of results, and this is a fit"), format!("figure(\"{kind}\", s)")))
            }
            _ => Err(refuse(format!("{kind} is not drawn of this"), format!("figure(\"{kind}\", s)"))),
        };
    }
    let state = state_of(of, "drawn")?;
    let choice = FigureChoice { condition: state.condition.clone(), ..choice };
    let drawn = figure_assessed(&state.study, &state.assessment, kind, &choice, &context.watch()).map_err(failed)?;
    // What a condition of the figure left out was said when it was written; what the assessment left out is said here.
    drawn.choices.iter().take(state.assessment.choices.len()).for_each(|one| context.say(&choice_sentence(one)));
    Ok(drawn.figure)
}
