//! Reading and writing of files, and tables as we keep them.
//!
//! | step | here |
//! |---|---|
//! | bytes of a file, and its fingerprint | [`read_file`], [`SourceFile`] |
//! | cells as they stand there, nothing interpreted | [`read_text`], [`read_sheet`], [`Grid`] |
//! | typed columns with units; a finding for every cell that cannot be used | [`ingest`], [`Table`] |
//! | samples, timbers and log together | [`read_batch`], [`Batch`] |
//! | data frames in and out, Parquet | `table_of_frame`, `frame_of_table`, `frame_of_rows`, `write_parquet` |
//! | rows that fulfil a condition | [`Condition`], [`Table::keep`] |
//! | columns of another table, row by row of the same name | [`Table::joined`], [`Joined`] |
//! | sheets out | [`stream_text`], [`write_text`], [`write_workbook`], [`write_open_document`], [`write_all`] |
//! | what the columns of files hold, for programs | [`Package`] |
//! | what words of other languages may mean | [`Glossary`] |
//!
//! The columns and their words stand in [`TableKind::columns`], the derived quantities in
//! [`Quantity`](crate::quantity::Quantity).
//! Not here: anything that knows wood.

mod assembly;
mod batch;
mod cells;
mod column;
mod condition;
mod day;
mod fault;
mod file;
#[cfg(feature = "frame")]
mod frame;
mod glossary;
mod grid;
mod header;
mod ingest;
mod intake;
mod join;
mod mapping;
mod naming;
mod number;
mod options;
mod package;
mod plan;
mod schema;
mod sheet;
#[allow(clippy::module_inception, reason = "the table is the noun of this layer")]
mod table;
mod text;
mod texts;
mod workbook;

pub use batch::{Batch, batch_of, log_of, read_batch, read_log};
pub(crate) use batch::{is_parquet, is_workbook};
pub use column::{Column, Numbers, Values};
pub use condition::{Choice, Condition, Datum, NameKind, Names, Seen, TaxonMatch, UnknownIn, WordCount};
pub(crate) use day::{civil, day_number, day_of, is_day, written_day};
pub use file::{
    FileBody, FileOut, LEDGER, Overwrite, SourceFile, file_error, file_names, read_file, write_all, write_file,
    write_files,
};
#[cfg(feature = "frame")]
pub use frame::{frame_of_rows, frame_of_table, table_of_frame, write_parquet};
pub use glossary::{Glossary, KnownCell, KnownHeader, Meaning};
pub use grid::{Cell, Grid, cell_name};
pub use header::column_of;
pub use ingest::ingest;
pub use join::Joined;
pub use number::{Decimal, DecimalEvidence, DecimalVerdict, NumberText, parse_number};
pub use options::{ReadOptions, TableOptions};
pub use package::{
    Constraints, Dialect, Field, FieldEvidence, ForeignKey, KeyReference, MadeBy, PACKAGE_FILE, Package, PackageSource,
    Resource, Schema, SheetDialect,
};
pub use schema::{ColumnSpec, ColumnType, TableKind};
pub use sheet::{Limits, read_sheet, sheet_names, write_open_document};
pub use table::{Origin, RowState, Table};
pub use text::{TextOptions, TextSheet, TextStyle, read_text, stream_text, write_text};
pub use texts::Texts;
#[cfg(feature = "report")]
pub(crate) use workbook::INSTEAD;
pub use workbook::{Aid, CellOut, ColumnOut, SHEET_ROWS, SheetOut, Takes, write_workbook};
