//! The folder that tells Jupyter of the kernel.

use std::path::{Path, PathBuf};
use std::{env, fs};

use serde_json::json;
use woodstate::error::{Error, Result};
use woodstate::table::{FileOut, Overwrite, file_error, write_all};

use super::place::jupyter_data;

/// The folder's name, which is the name of the kernel.
const NAME: &str = "woodstate";

/// A drawing of the end of a timber: sound core, soft rim.
const LOGO: &str = include_str!("logo/logo-svg.svg");
const LOGO_32: &[u8] = include_bytes!("logo/logo-32x32.png");
const LOGO_64: &[u8] = include_bytes!("logo/logo-64x64.png");

/// Where the folder is to lie.
pub fn folder(prefix: Option<&Path>, is_environment: bool) -> Result<PathBuf> {
    const SHARE: &str = "share/jupyter";
    let missing = |why: &str| Error::file("the folder of Jupyter", "find", why);
    let data = match (prefix, is_environment) {
        (Some(prefix), _) => prefix.join(SHARE),
        (None, true) => {
            let environment = env::var_os("VIRTUAL_ENV").or_else(|| env::var_os("CONDA_PREFIX"));
            let environment = environment
                .ok_or_else(|| missing("neither VIRTUAL_ENV nor CONDA_PREFIX is set; name one with --prefix"))?;
            PathBuf::from(environment).join(SHARE)
        }
        (None, false) => jupyter_data().ok_or_else(|| missing("there is no home folder; name one with --prefix"))?,
    };
    Ok(data.join("kernels").join(NAME))
}

/// Writes the folder; `anywhere` lets cells read and write outside the folder of their notebook.
pub fn install(folder: &Path, anywhere: bool, overwrite: Overwrite) -> Result<()> {
    let program = env::current_exe().map_err(|error| file_error("this program", "find", error))?;
    let mut argv = vec![program.to_string_lossy().into_owned()];
    argv.extend(["kernel", "start", "--connection-file", "{connection_file}"].map(str::to_owned));
    if anywhere {
        argv.push("--anywhere".to_owned());
    }
    let spec = json!({
        "argv": argv,
        "display_name": NAME,
        "language": "starlark",
        "interrupt_mode": "message",
        "kernel_protocol_version": super::message::PROMISED,
        "env": {},
        "metadata": {},
    });
    let spec = format!("{spec:#}\n");
    let files = [
        FileOut::bytes("kernel.json", spec.as_bytes()),
        FileOut::bytes("logo-32x32.png", LOGO_32),
        FileOut::bytes("logo-64x64.png", LOGO_64),
        FileOut::bytes("logo-svg.svg", LOGO.as_bytes()),
    ];
    write_all(folder, &files, overwrite).map(drop)
}

/// Removes what was installed: the whole folder, which holds nothing else.
pub fn remove(folder: &Path) -> Result<bool> {
    match fs::remove_dir_all(folder) {
        Ok(()) => Ok(true),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(false),
        Err(error) => Err(file_error(folder, "remove", error)),
    }
}
