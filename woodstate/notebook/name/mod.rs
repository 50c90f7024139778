//! The names of a cell. A new one is a file here with a function, and its line in [`NAMES`].
#![allow(clippy::too_many_arguments, reason = "OK because cells name the arguments of a function")]

mod assessing;
mod bathing;
mod drawing;
mod helping;
mod joining;
mod lifting;
mod math;
mod measuring;
mod reading;
mod reporting;
mod saving;
mod treating;
mod typed;
mod words;

use starlark::environment::{Globals, GlobalsBuilder, LibraryExtension};

use super::operator;

pub(super) use helping::help_of;

/// What adds the names of a file.
type Add = fn(&mut GlobalsBuilder);

const NAMES: [Add; 13] = [
    assessing::names,
    bathing::names,
    drawing::names,
    helping::names,
    joining::names,
    lifting::names,
    math::names,
    measuring::names,
    reading::names,
    reporting::names,
    saving::names,
    treating::names,
    operator::names,
];

/// Every name that a cell begins with.
pub(super) fn globals() -> Globals {
    let own = GlobalsBuilder::extended_by(&[LibraryExtension::Print, LibraryExtension::Map, LibraryExtension::Filter]);
    NAMES.iter().fold(own, |builder, add| builder.with(add)).build()
}
