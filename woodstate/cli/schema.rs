//! `woodstate schema`.

use clap::Args;
use woodstate::report::{json_schema, schema_list, schema_list_view};

use crate::Outcome;
use crate::args::CommonArgs;
use crate::output::{Ending, Output};

/// Arguments of `schema`.
#[derive(Debug, Args)]
pub struct SchemaArgs {
    /// Kind, such as study or assess; without it, the kinds are listed
    pub kind: Option<String>,
    /// How to show it.
    #[command(flatten)]
    pub common: CommonArgs,
}

/// Shows the schema of a kind, which is JSON in any case, or lists the kinds.
pub fn run(arguments: &SchemaArgs, output: &Output) -> Outcome {
    if let Some(kind) = &arguments.kind {
        output.text(&json_schema(kind)?)?;
    } else {
        let list = schema_list();
        output.result(&list, || schema_list_view(&list), || schema_list_view(&list))?;
    }
    Ok(Ending::Done)
}
