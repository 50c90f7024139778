//! `woodstate completions`.

use clap::{Args, Command, ValueEnum};
use clap_complete::Shell;

use crate::Outcome;
use crate::args::CommonArgs;
use crate::output::{Ending, Output};

/// Arguments of `completions`.
#[derive(Debug, Args)]
pub struct CompletionsArgs {
    /// The shell
    pub shell: ShellWord,
    /// How to show it.
    #[command(flatten)]
    pub common: CommonArgs,
}

/// A shell.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ShellWord {
    /// Bash.
    Bash,
    /// Z shell.
    Zsh,
    /// fish.
    Fish,
    /// PowerShell.
    Powershell,
    /// Elvish.
    Elvish,
}

/// Writes the script of a shell to standard output.
pub fn run(arguments: &CompletionsArgs, mut program: Command, output: &Output) -> Outcome {
    let shell = match arguments.shell {
        ShellWord::Bash => Shell::Bash,
        ShellWord::Zsh => Shell::Zsh,
        ShellWord::Fish => Shell::Fish,
        ShellWord::Powershell => Shell::PowerShell,
        ShellWord::Elvish => Shell::Elvish,
    };
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut program, "woodstate", &mut script);
    output.text(&String::from_utf8_lossy(&script))?;
    Ok(Ending::Done)
}
