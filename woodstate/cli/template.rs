//! `woodstate template`.

use std::io::Write;
use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};
use woodstate::error::{Error, Result};
use woodstate::report::{ReportFile, template_files, template_next, template_plain, template_text, template_view};
use woodstate::study::{FormColumns, template};
use woodstate::table::{FileOut, Overwrite, TableKind, write_files};

use crate::Outcome;
use crate::args::CommonArgs;
use crate::output::{Ending, Output};

/// Arguments of `template`.
#[derive(Debug, Args)]
pub struct TemplateArgs {
    /// FILE.xlsx, or FILE.csv with one text a table; - writes the header of one table to standard output. Without it,
    /// the columns are listed
    #[arg(long, short, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Tables of the form, with a comma between them
    #[arg(long, value_name = "TABLES", value_delimiter = ',', default_value = "samples,timbers,log")]
    pub tables: Vec<TableWord>,
    /// Columns of the samples: the usual ones lead to water content, density and class
    #[arg(long, value_name = "WHICH", default_value = "usual")]
    pub columns: ColumnsWord,
    /// Replace files even if woodstate did not write them or somebody filled them in
    #[arg(long)]
    pub force: bool,
    /// How to show it.
    #[command(flatten)]
    pub common: CommonArgs,
}

/// A table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum TableWord {
    /// One row a piece that was measured.
    Samples,
    /// One row a timber.
    Timbers,
    /// One row a date and tank or timber.
    Log,
}

/// Which columns.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ColumnsWord {
    /// Those from which water content, density and class follow.
    Usual,
    /// Every column there is.
    All,
}

/// Lists the columns, or writes the form.
pub fn run(arguments: &TemplateArgs, output: &Output) -> Outcome {
    let kinds: Vec<TableKind> = arguments.tables.iter().map(|table| kind(*table)).collect();
    let columns = match arguments.columns {
        ColumnsWord::Usual => FormColumns::Usual,
        ColumnsWord::All => FormColumns::All,
    };
    let form = template(&kinds, columns);
    let Some(path) = &arguments.out else {
        output.result(&form, || template_view(&form), || template_plain(&form))?;
        return Ok(Ending::Done);
    };
    if path == Path::new("-") {
        output.text(&template_text(&form)?)?;
        return Ok(Ending::Done);
    }
    let (folder, name) = place(path)?;
    let files = template_files(&form, name)?;
    write(folder, &files, arguments.force)?;
    let names: Vec<&str> = files.iter().map(|file| file.name.as_str()).collect();
    output.line(&format!("Wrote {} in {}.", names.join(", "), folder.display()));
    let read = if name == "samples.csv" { folder } else { path };
    output.result(&form, || template_next(&form, &read.display().to_string()), || template_plain(&form))?;
    Ok(Ending::Done)
}

fn kind(table: TableWord) -> TableKind {
    match table {
        TableWord::Samples => TableKind::Samples,
        TableWord::Timbers => TableKind::Timbers,
        TableWord::Log => TableKind::Log,
    }
}

/// Folder and name of a file.
fn place(path: &Path) -> Result<(&Path, &str)> {
    let Some(name) = path.file_name().and_then(|name| name.to_str()) else {
        return Err(Error::file(path, "write", "the path does not end in a file name in Unicode"));
    };
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    Ok((folder, name))
}

/// Writes files beside those that stand there.
pub fn write(folder: &Path, files: &[ReportFile<'_>], force: bool) -> Result<()> {
    let bodies: Vec<_> = files.iter().map(|file| |out: &mut dyn Write| file.write(1, out)).collect();
    let files: Vec<FileOut<'_>> =
        files.iter().zip(&bodies).map(|(file, body)| FileOut::stream(&file.name, body)).collect();
    write_files(folder, &files, if force { Overwrite::Force } else { Overwrite::IfOurs })
}
