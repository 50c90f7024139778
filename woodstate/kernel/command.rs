//! `woodstate kernel`.

use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use woodstate::notebook::SessionOptions;
use woodstate::table::Overwrite;

use crate::Outcome;
use crate::args::CommonArgs;
use crate::output::{Ending, Output};

use super::connection::Connection;
use super::history::History;
use super::place::history_file;
use super::{install, serve};

/// Arguments of `kernel`.
#[derive(Debug, Args)]
pub struct KernelArgs {
    /// What to do
    #[command(subcommand)]
    pub task: KernelTask,
}

/// What to do with the kernel.
#[derive(Debug, Subcommand)]
pub enum KernelTask {
    /// Tell Jupyter of this program, so that notebooks can use it
    Install(PlaceArgs),
    /// Serve one notebook; Jupyter runs this
    Start(StartArgs),
    /// Take away what install wrote
    Remove(PlaceArgs),
}

/// Where Jupyter looks.
#[derive(Debug, Args)]
pub struct PlaceArgs {
    /// Below this folder, such as that of a Python environment
    #[arg(long, value_name = "DIR")]
    pub prefix: Option<PathBuf>,
    /// In the environment that is active
    #[arg(long, conflicts_with_all = ["prefix", "user"])]
    pub sys_prefix: bool,
    /// For this person alone; the usual
    #[arg(long, conflicts_with = "prefix")]
    pub user: bool,
    /// Let cells read and write anywhere, not only below the folder of their notebook
    #[arg(long)]
    pub anywhere: bool,
    /// Replace a kernel.json that woodstate did not write
    #[arg(long)]
    pub force: bool,
    /// How to show it.
    #[command(flatten)]
    pub common: CommonArgs,
}

/// How to serve.
#[derive(Debug, Args)]
pub struct StartArgs {
    /// File that says where to listen
    #[arg(long, value_name = "FILE")]
    pub connection_file: PathBuf,
    /// Let cells read and write anywhere
    #[arg(long)]
    pub anywhere: bool,
    /// Most megabytes that tables hold
    #[arg(long, value_name = "MB", value_parser = clap::value_parser!(u32).range(1..), default_value_t = 2048)]
    pub memory: u32,
    /// How to show it.
    #[command(flatten)]
    pub common: CommonArgs,
}

impl KernelArgs {
    /// How to show results.
    pub fn common(&self) -> &CommonArgs {
        match &self.task {
            KernelTask::Install(place) | KernelTask::Remove(place) => &place.common,
            KernelTask::Start(start) => &start.common,
        }
    }
}

/// Installs, serves or removes.
pub fn run(arguments: &KernelArgs, output: &Output) -> Outcome {
    match &arguments.task {
        KernelTask::Install(place) => {
            let folder = install::folder(place.prefix.as_deref(), place.sys_prefix)?;
            let overwrite = if place.force { Overwrite::Force } else { Overwrite::IfOurs };
            install::install(&folder, place.anywhere, overwrite)?;
            output.text(&format!("Wrote {}. Jupyter lists the kernel as woodstate.\n", folder.display()))?;
        }
        KernelTask::Remove(place) => {
            let folder = install::folder(place.prefix.as_deref(), place.sys_prefix)?;
            let said = if install::remove(&folder)? { "Removed" } else { "There was no" };
            output.text(&format!("{said} {}.\n", folder.display()))?;
        }
        KernelTask::Start(start) => {
            let connection = Connection::open(&start.connection_file)?;
            let memory = usize::try_from(start.memory).unwrap_or(usize::MAX).saturating_mul(1 << 20);
            let options = SessionOptions { anywhere: start.anywhere, memory, ..SessionOptions::of(Path::new(".")) };
            serve::serve(&connection, options, History::open(history_file()))?;
        }
    }
    Ok(Ending::Done)
}
