//! Reading and writing of files, and tables as we keep them.
//!
//! | step | here |
//! |---|---|
//! | bytes of a file, and its fingerprint | [`read_file`], [`SourceFile`] |
//! | cells as they stand there, nothing interpreted | [`read_text`], [`read_sheet`], [`Grid`] |
//! | typed columns with units; a finding for every cell that cannot be used | [`ingest`], [`Table`] |
//! | samples, timbers and log together | [`read_batch`], [`Batch`] |
//! | data frames in and out, Parquet | `table_of_frame`, `frame_of_table`, `frame_of_rows`, `write_parquet` |
//! | sheets out | [`write_text`], [`write_workbook`], [`write_all`] |
//!
//! The columns and their words stand in [`TableKind::columns`], the derived quantities in
//! [`Quantity`](crate::quantity::Quantity).
//! Not here: anything that knows wood.

mod batch;
mod cells;
mod column;
mod fault;
mod file;
#[cfg(feature = "frame")]
mod frame;
mod grid;
mod header;
mod ingest;
mod mapping;
mod naming;
mod number;
mod options;
mod schema;
mod sheet;
#[allow(clippy::module_inception, reason = "the table is the noun of this layer")]
mod table;
mod text;
mod workbook;

pub use batch::{Batch, batch_of, read_batch};
pub use column::{Column, Numbers, Values};
pub use file::{FileOut, LEDGER, Overwrite, SourceFile, file_error, read_file, write_all, write_file};
#[cfg(feature = "frame")]
pub use frame::{frame_of_rows, frame_of_table, table_of_frame, write_parquet};
pub use grid::{Cell, Grid, cell_name};
pub use header::column_of;
pub use ingest::ingest;
pub use number::{Decimal, DecimalEvidence, DecimalVerdict, NumberText, parse_number};
pub use options::{ReadOptions, TableOptions};
pub use schema::{ColumnSpec, ColumnType, TableKind};
pub use sheet::{Limits, read_sheet, sheet_names};
pub use table::{Origin, RowState, Table};
pub use text::{TextOptions, TextSheet, TextStyle, read_text, write_text};
pub use workbook::{CellOut, ColumnOut, SheetOut, write_workbook};
