//! The program, run in a temporary folder.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use tempfile::TempDir;

/// A folder in which the program runs.
pub(crate) struct Folder(TempDir);

/// How a run ended.
pub(crate) struct Ended {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl Folder {
    /// A folder with these files.
    pub(crate) fn of(files: &[(&str, &[u8])]) -> Self {
        let folder = Self(tempfile::tempdir().unwrap());
        for (name, bytes) in files {
            folder.put(name, bytes);
        }
        folder
    }

    /// A folder with the demonstration data below `datasets-demo`.
    pub(crate) fn with_demo() -> Self {
        let folder = Self::of(&[]);
        for part in ["harbour", "messy", "strength", "tank"] {
            for entry in fs::read_dir(demo(part)).unwrap() {
                let path = entry.unwrap().path();
                let name = path.file_name().unwrap().to_str().unwrap();
                folder.put(&format!("datasets-demo/{part}/{name}"), &fs::read(&path).unwrap());
            }
        }
        folder
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    pub(crate) fn put(&self, name: &str, bytes: &[u8]) {
        let path = self.path(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }

    pub(crate) fn bytes(&self, name: &str) -> Vec<u8> {
        fs::read(self.path(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
    }

    /// The program with its arguments, which stand apart by one space.
    pub(crate) fn command(&self, arguments: &str) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_woodstate"));
        // What stands in quotes is one word, as in a shell.
        let parts = arguments.split('"').enumerate();
        let words = parts.flat_map(|(place, part)| match place % 2 {
            0 => part.split(' ').filter(|word| !word.is_empty()).collect(),
            _ => vec![part],
        });
        command.args(words).current_dir(self.0.path());
        command
    }

    /// Runs it.
    pub(crate) fn run(&self, arguments: &str) -> Ended {
        ended(&mut self.command(arguments), b"")
    }

    /// Runs it with a text on its standard input.
    pub(crate) fn piped(&self, arguments: &str, input: &[u8]) -> Ended {
        ended(&mut self.command(arguments), input)
    }

    /// Runs it and reads its one JSON object.
    #[track_caller]
    pub(crate) fn json(&self, arguments: &str) -> serde_json::Value {
        let ended = self.run(&format!("{arguments} --json"));
        serde_json::from_str(&ended.out).unwrap_or_else(|error| panic!("{error}: {}{}", ended.out, ended.err))
    }
}

/// Runs a command with a text on its standard input.
pub(crate) fn ended(command: &mut Command, input: &[u8]) -> Ended {
    let child = command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn();
    let mut child = child.unwrap();
    let mut stdin = child.stdin.take().unwrap();
    let input = input.to_vec();
    let writer = std::thread::spawn(move || drop(stdin.write_all(&input)));
    let output = child.wait_with_output().unwrap();
    writer.join().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    Ended { code: output.status.code().unwrap(), out: text(output.stdout), err: text(output.stderr) }
}

/// A part of the demonstration data.
pub(crate) fn demo(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("datasets-demo").join(name)
}
