//! The file that a sequence begins with, in a folder.

use super::Trouble;
use super::console::{reason, shown};
use super::reader::regular;
use std::fs;
use std::path::{Path, PathBuf};

/// The path itself where it is no folder; else the one `.seam` file in it in which
/// a sequence stands.
///
/// # Errors
/// When the folder cannot be read, or holds no such file or more than one.
pub(super) fn first_file(path: &Path) -> Result<PathBuf, Trouble> {
    if !path.is_dir() {
        return Ok(path.to_owned());
    }
    let trouble = |why: &str| Trouble::new(format!("the folder '{}' cannot be read: {why}", shown(path)));
    let mut names = Vec::new();
    for entry in fs::read_dir(path).map_err(|error| trouble(&reason(&error)))? {
        let name = entry.map_err(|error| trouble(&reason(&error)))?.file_name();
        names.extend(name.into_string().ok().filter(|name| name.ends_with(".seam")));
    }
    names.sort();
    names.retain(|name| regular(&path.join(name)).is_ok_and(|bytes| begins_sequence(&bytes)));
    only(&names, &shown(path)).map(|name| path.join(name))
}

/// The one name.
pub(super) fn only<'a>(names: &'a [String], folder: &str) -> Result<&'a str, Trouble> {
    match names {
        [name] => Ok(name),
        [] => Err(Trouble::new(format!("no file in '{folder}' holds a sequence"))
            .help("name the file that the sequence begins with")),
        [first, ..] => Err(Trouble::new(format!(
            "more than one file in '{folder}' holds a sequence: {}",
            names.join(", ")
        ))
        .help(format!("name one of them, such as '{first}'"))),
    }
}

/// Whether a line begins with the word `sequence`.
pub(super) fn begins_sequence(bytes: &[u8]) -> bool {
    let text = String::from_utf8_lossy(bytes);
    text.lines().any(|line| line.split_whitespace().next() == Some("sequence"))
}
