//! The outcome of a study function as a card to read, with its parts behind dots.

use std::fmt;
use std::sync::{Arc, OnceLock};

use serde::Serialize;
use serde_json::Value as Json;
use starlark::values::{Heap, NoSerialize, ProvidesStaticType, StarlarkValue, Value, starlark_value};

use crate::error::{Error, ErrorKind};
use crate::notebook::Shown;
use crate::notebook::context::Context;
use crate::notebook::fault::failed;
use crate::notebook::spoken::spoken;
use crate::report::{
    Block, View, advice_view, bath_freeze_view, bath_mix_view, bath_time_view, bath_wash_view, checkup_view,
    curves_view, following_view, lifts_view, profiles_view, report_view, summary_view,
};
use crate::study::{
    Advice, BathFreezing, BathMixing, BathTiming, BathWashing, Checkup, Curves, Following, Lifts, Profiles, Report,
    Stopped, Summary,
};

use super::a_value;
use super::part::of_json;

/// What a study function came to.
#[derive(Debug)]
pub(in crate::notebook) enum Outcome {
    Check(Checkup),
    Summary(Summary),
    Fit(Curves),
    Profile(Profiles),
    Report(Box<Report>),
    Advice(Box<Advice>),
    Follow(Box<Following>),
    Lift(Box<Lifts>),
    Mix(BathMixing),
    Wash(BathWashing),
    Time(BathTiming),
    Freeze(BathFreezing),
    /// A card without parts: its kind and what it says.
    Card(&'static str, View),
}

/// An outcome in a cell.
#[derive(Debug, Clone, ProvidesStaticType, NoSerialize)]
pub(in crate::notebook) struct OutcomeValue {
    pub(in crate::notebook) outcome: Arc<Outcome>,
    parts: Arc<OnceLock<Json>>,
}
a_value!(OutcomeValue);

impl OutcomeValue {
    pub(in crate::notebook) fn new(outcome: Outcome) -> Self {
        Self { outcome: Arc::new(outcome), parts: Arc::default() }
    }

    /// A card of its own making.
    pub(in crate::notebook) fn card(kind: &'static str, view: View) -> Self {
        Self::new(Outcome::Card(kind, view))
    }

    /// An outcome that is whole; what was done of one that was stopped is left for the end of the cell.
    pub(in crate::notebook) fn whole(outcome: Outcome, context: &Context) -> starlark::Result<Self> {
        let value = Self::new(outcome);
        let Some(stopped) = value.stopped() else { return Ok(value) };
        context.unfinished.replace(Some((stopped, Box::new(value))));
        Err(failed(Error::new(ErrorKind::Stopped)))
    }

    /// How far it came, where it was stopped.
    fn stopped(&self) -> Option<Stopped> {
        match &*self.outcome {
            Outcome::Profile(profiles) => profiles.stopped,
            Outcome::Lift(lifts) => lifts.stopped,
            _ => None,
        }
    }

    fn kind(&self) -> &'static str {
        match &*self.outcome {
            Outcome::Check(_) => "check",
            Outcome::Summary(_) => "summary",
            Outcome::Fit(_) => "fit",
            Outcome::Profile(_) => "profile",
            Outcome::Report(_) => "report",
            Outcome::Advice(_) => "advise",
            Outcome::Follow(_) => "follow",
            Outcome::Lift(_) => "lift",
            Outcome::Mix(_) | Outcome::Wash(_) | Outcome::Time(_) | Outcome::Freeze(_) => "bath",
            Outcome::Card(kind, _) => kind,
        }
    }

    /// The card.
    pub(in crate::notebook) fn shown(&self) -> Shown {
        let view = match &*self.outcome {
            Outcome::Check(checkup) => checkup_view(checkup),
            Outcome::Summary(summary) => summary_view(summary),
            Outcome::Fit(curves) => curves_view(curves),
            Outcome::Profile(profiles) => profiles_view(profiles),
            Outcome::Report(report) => report_view(report),
            Outcome::Advice(advice) => advice_view(advice),
            Outcome::Follow(following) => following_view(following),
            Outcome::Lift(lifts) => lifts_view(lifts),
            Outcome::Mix(mixing) => bath_mix_view(mixing),
            Outcome::Wash(washing) => bath_wash_view(washing),
            Outcome::Time(timing) => bath_time_view(timing),
            Outcome::Freeze(freezing) => bath_freeze_view(freezing),
            Outcome::Card(_, view) => view.clone(),
        };
        Shown::of_view(&in_cells(view))
    }

    fn parts(&self) -> &Json {
        fn json<T: Serialize>(outcome: &T) -> Json {
            // What cannot be told as JSON has no parts.
            serde_json::to_value(outcome).unwrap_or(Json::Null)
        }
        self.parts.get_or_init(|| match &*self.outcome {
            Outcome::Check(checkup) => json(checkup),
            Outcome::Summary(summary) => json(summary),
            Outcome::Fit(curves) => json(curves),
            Outcome::Profile(profiles) => json(profiles),
            Outcome::Report(report) => json(report),
            Outcome::Advice(advice) => json(advice),
            Outcome::Follow(following) => json(following),
            Outcome::Lift(lifts) => json(lifts),
            Outcome::Mix(mixing) => json(mixing),
            Outcome::Wash(washing) => json(washing),
            Outcome::Time(timing) => json(timing),
            Outcome::Freeze(freezing) => json(freezing),
            Outcome::Card(..) => Json::Null,
        })
    }
}

/// A view in the words of a cell.
pub(in crate::notebook) fn in_cells(view: View) -> View {
    let entries = |entries: Vec<(String, String)>| {
        entries.into_iter().map(|(mark, meaning)| (mark, spoken(&meaning))).collect::<Vec<_>>()
    };
    let block = |block| match block {
        Block::Paragraph(text) => Block::Paragraph(spoken(&text)),
        Block::Legend(legend) => Block::Legend(entries(legend)),
        Block::Listing(title, legend) => Block::Listing(spoken(&title), entries(legend)),
        other @ (Block::Heading(_) | Block::Table(_)) => other,
    };
    View { blocks: view.blocks.into_iter().map(block).collect() }
}

impl fmt::Display for OutcomeValue {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "outcome of {}", self.kind())
    }
}

#[starlark_value(type = "outcome")]
impl<'v> StarlarkValue<'v> for OutcomeValue {
    fn collect_str(&self, collector: &mut String) {
        collector.push_str(&self.shown().text);
    }

    fn get_attr(&self, name: &str, heap: Heap<'v>) -> Option<Value<'v>> {
        self.parts().get(name).map(|json| of_json(json, heap))
    }

    fn dir_attr(&self) -> Vec<String> {
        self.parts().as_object().map(|map| map.keys().cloned().collect()).unwrap_or_default()
    }
}
