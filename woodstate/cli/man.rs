//! `woodstate man`.

use std::path::{Path, PathBuf};

use clap::error::ErrorKind;
use clap::{Args, Command};
use clap_mangen::Man;
use woodstate::error::Result;
use woodstate::report::ReportFile;
use woodstate::table::file_error;

use crate::args::CommonArgs;
use crate::output::{Ending, Output, usage};
use crate::{Outcome, template};

/// Arguments of `man`.
#[derive(Debug, Args)]
pub struct ManArgs {
    /// Command; without it, the page of the whole program
    #[arg(value_name = "COMMAND")]
    pub name: Option<String>,
    /// Folder for every page; - is standard output
    #[arg(long, short, value_name = "DIR", conflicts_with = "name")]
    pub out: Option<PathBuf>,
    /// Replace files in the folder even if woodstate did not write them
    #[arg(long)]
    pub force: bool,
    /// How to show it.
    #[command(flatten)]
    pub common: CommonArgs,
}

/// Writes a page to standard output, or every page into a folder.
pub fn run(arguments: &ManArgs, mut program: Command, output: &Output) -> Outcome {
    program.build();
    let commands: Vec<&Command> = program.get_subcommands().filter(|command| command.get_name() != "help").collect();
    match (&arguments.out, &arguments.name) {
        (Some(folder), _) if folder != Path::new("-") => {
            let mut files = vec![ReportFile::of_bytes("woodstate.1".to_owned(), page(&program)?)];
            for command in commands {
                files.push(ReportFile::of_bytes(format!("woodstate-{}.1", command.get_name()), page(command)?));
            }
            template::write(folder, &files, arguments.force)?;
            output.line(&format!("Wrote {} pages in {}.", files.len(), folder.display()));
            output.text(&format!("man -l {}\n", folder.join("woodstate.1").display()))?;
        }
        (_, None) => output.text(&String::from_utf8_lossy(&page(&program)?))?,
        (_, Some(name)) => match commands.iter().find(|command| command.get_name() == name) {
            Some(command) => output.text(&String::from_utf8_lossy(&page(command)?))?,
            None => {
                let names: Vec<&str> = commands.iter().map(|command| command.get_name()).collect();
                let text = format!("there is no command '{name}'; the commands are {}", names.join(", "));
                usage(&program.clone().error(ErrorKind::InvalidValue, text));
                return Ok(Ending::Usage);
            }
        },
    }
    Ok(Ending::Done)
}

fn page(command: &Command) -> Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let man = Man::new(command.clone()).source(concat!("woodstate ", env!("CARGO_PKG_VERSION"))).manual("woodstate");
    man.render(&mut bytes).map_err(|error| file_error("the manual", "write", error))?;
    Ok(bytes)
}
