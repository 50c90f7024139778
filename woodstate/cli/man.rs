//! `woodstate man`.

use std::path::{Path, PathBuf};

use clap::{Args, Command, CommandFactory};
use clap_mangen::Man;
use woodstate::error::Result;
use woodstate::report::ReportFile;
use woodstate::table::file_error;

use crate::args::{Arguments, CommonArgs};
use crate::output::{Ending, Output};
use crate::{Outcome, template};

/// Arguments of `man`.
#[derive(Debug, Args)]
pub struct ManArgs {
    /// Command; without it, the page of the whole program
    #[arg(value_name = "COMMAND", value_parser = command_name)]
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
pub fn run(arguments: &ManArgs, output: &Output) -> Outcome {
    let mut program = Arguments::command();
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
        (_, Some(name)) => {
            for command in commands.iter().filter(|command| command.get_name() == name) {
                output.text(&String::from_utf8_lossy(&page(command)?))?;
            }
        }
    }
    Ok(Ending::Done)
}

/// The name of a command.
fn command_name(text: &str) -> std::result::Result<String, String> {
    let program = Arguments::command();
    let names: Vec<&str> = program.get_subcommands().map(Command::get_name).collect();
    match names.iter().find(|name| **name == text) {
        Some(name) => Ok((*name).to_owned()),
        None => Err(format!("the commands are {}", names.join(", "))),
    }
}

fn page(command: &Command) -> Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let man = Man::new(command.clone()).source(concat!("woodstate ", env!("CARGO_PKG_VERSION"))).manual("woodstate");
    man.render(&mut bytes).map_err(|error| file_error("the manual", "write", error))?;
    Ok(bytes)
}
