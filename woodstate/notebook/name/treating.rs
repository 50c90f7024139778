//! `advise` and `follow`: routes of treatment, and a treatment by its log.

use starlark::environment::GlobalsBuilder;
use starlark::eval::Evaluator;
use starlark::starlark_module;
use starlark::values::Value;
use starlark::values::none::NoneOr;

use crate::error::Result;
use crate::notebook::argument::whole;
use crate::notebook::context::{Context, context};
use crate::notebook::fault::failed;
use crate::notebook::value::{Outcome, OutcomeValue};
use crate::quantity::{Measured, Unit};
use crate::study::{AdviseQuestion, FollowQuestion, Study, advise, follow};
use crate::table::read_log;

use super::assessing::Source;

#[starlark_module]
pub(super) fn names(builder: &mut GlobalsBuilder) {
    /// Routes of treatment for each timber with their reasons, dangers and what to measure next. The conservator decides.
    ///
    /// ```text
    /// advise(t)
    /// ```
    ///
    /// # Arguments
    /// * `table`: what `read` or `assess` gave
    /// * `replicates`: draws of the state of each timber; 0 for none
    fn advise<'v>(
        #[starlark(require = pos)] table: Value<'v>,
        #[starlark(require = named)] replicates: Option<Value<'v>>,
        eval: &mut Evaluator<'v, '_, '_>,
    ) -> starlark::Result<OutcomeValue> {
        let context = context(eval)?;
        let source = Source::of(table, "advise")?;
        context.compare(source.batch);
        let study = context.settled(Study::clone(source.study));
        let usual = AdviseQuestion::usual(&study);
        let draws = replicates.map(|n| whole(n, "replicates", [0, 1_000_000])).transpose()?;
        let draws = draws.and_then(|draws| usize::try_from(draws).ok()).unwrap_or(usual.draws);
        let question = AdviseQuestion { draws, ..usual };
        let advice = advise(&study, source.batch.clone(), &question, &context.watch()).map_err(failed)?;
        Ok(OutcomeValue::new(Outcome::Advice(Box::new(advice))))
    }

    /// A treatment by its log: uptake, where each timber stands, when it will reach the target, what goes wrong.
    ///
    /// ```text
    /// follow("log.csv", target="90 %")
    /// ```
    ///
    /// # Arguments
    /// * `path`: file with the log
    /// * `target`: share of the concentration of the bath that timbers shall reach; without it that of the study file
    fn follow<'v>(
        #[starlark(require = pos)] path: &str,
        #[starlark(require = named, default = NoneOr::None)] target: NoneOr<&str>,
        eval: &mut Evaluator<'v, '_, '_>,
    ) -> starlark::Result<OutcomeValue> {
        followed(context(eval)?, path, target.into_option()).map_err(failed)
    }
}

fn followed(context: &Context, path: &str, target: Option<&str>) -> Result<OutcomeValue> {
    let share = |text| Ok(Measured::parse(text, Unit::parse("%")?)?.value / 100.0);
    let target = target.map(share).transpose()?;
    let file = context.folder.path(path)?;
    let study = context.settled(Study::beside(&file)?.map_or_else(Study::unstated, Ok)?);
    let batch = read_log(&file, &study.read, &context.watch())?;
    let following = follow(&study, &batch, &FollowQuestion { target }, &context.watch())?;
    Ok(OutcomeValue::new(Outcome::Follow(Box::new(following))))
}
