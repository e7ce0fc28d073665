//! Files of a project, read from disk.
//!
//! In: paths below the folder of the first file. Out: their bytes, or a sentence
//! that says why not. Only regular files inside that folder are read, also
//! through links, and none that is larger than a text can be.

use super::Trouble;
use super::console::{reason, shown};
use super::first_file::first_file;
use seamster::Reader;
use seamster::load::LONGEST_FILE;
use std::ffi::OsStr;
use std::fs;
use std::io::Read;
use std::path::{Path, PathBuf};

/// What standard input is called in findings.
pub(super) const STANDARD_INPUT: &str = "<stdin>";
/// The most recipes, and the most templates, that a project may have.
const MOST: usize = 256;

/// The folder of a first file.
#[derive(Debug)]
pub(super) struct Disk {
    /// Where files are.
    folder: PathBuf,
    /// The first file's name in it.
    root: String,
    /// The text that was read from standard input, where that is the first file.
    typed: Option<Vec<u8>>,
}

impl Disk {
    /// The project whose first file that is, or the one sequence in that folder; `-`
    /// is standard input, its folder then the current one.
    ///
    /// # Errors
    /// When the file is not there, its name cannot be shown, or the folder does not
    /// hold exactly one sequence.
    pub(super) fn open(file: &Path) -> Result<Self, Trouble> {
        if file == Path::new("-") {
            let typed = standard_input()?;
            return Ok(Self { folder: PathBuf::from("."), root: STANDARD_INPUT.into(), typed: Some(typed) });
        }
        let trouble = |why: &str| Trouble::new(format!("'{}' cannot be read: {why}", shown(file)));
        fs::metadata(file).map_err(|error| trouble(&reason(&error)))?;
        let file = &first_file(file)?;
        let name = file.file_name().and_then(OsStr::to_str);
        let root = name.ok_or_else(|| trouble("its name is not UTF-8"))?.to_owned();
        let folder = match file.parent() {
            Some(parent) if parent != Path::new("") => parent.to_owned(),
            _ => PathBuf::from("."),
        };
        Ok(Self { folder, root, typed: None })
    }

    /// The name of the first file.
    pub(super) fn root(&self) -> &str {
        &self.root
    }

    /// The folder that the project lies in.
    pub(super) fn folder(&self) -> &Path {
        &self.folder
    }

    /// The path of a file beside the first one; `None` where that was typed.
    pub(super) fn beside(&self, name: &str) -> Option<PathBuf> {
        self.typed.is_none().then(|| self.folder.join(name))
    }

    /// The project's own templates by name: the files in `templates/` beside the first file.
    ///
    /// # Errors
    /// When one cannot be read or is not UTF-8.
    pub(super) fn templates(&self) -> Result<Vec<(String, String)>, Trouble> {
        let names = self.list("templates").map_err(Trouble::new)?;
        let mut templates = Vec::new();
        for name in names {
            let path = format!("templates/{name}");
            let trouble = |why: &str| Trouble::new(format!("the template '{path}' cannot be read: {why}"));
            let bytes = self.inside(&path).map_err(|why| trouble(&why))?;
            let text = String::from_utf8(bytes).map_err(|_| trouble("it is not UTF-8"))?;
            templates.push((name, text));
        }
        Ok(templates)
    }

    /// Names of the files in a folder of the project, sorted; hidden ones left out.
    fn list(&self, folder: &str) -> Result<Vec<String>, String> {
        let path = self.folder.join(folder);
        let failed =
            |error: std::io::Error| format!("the folder '{folder}' cannot be read: {}", reason(&error));
        match fs::metadata(&path) {
            Ok(metadata) if metadata.is_dir() => {}
            Ok(_) => return Ok(Vec::new()),
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(Vec::new()),
            Err(error) => return Err(failed(error)),
        }
        let mut names = Vec::new();
        for entry in fs::read_dir(&path).map_err(failed)? {
            let name = entry.map_err(failed)?.file_name();
            let shown = shown(Path::new(&name));
            let name =
                name.into_string().map_err(|_| format!("the name of '{folder}/{shown}' is not UTF-8"))?;
            if !name.starts_with('.') && !path.join(&name).is_dir() {
                names.push(name);
            }
        }
        if names.len() > MOST {
            return Err(format!(
                "the folder '{folder}' holds {} files; at most {MOST} are read",
                names.len()
            ));
        }
        names.sort();
        Ok(names)
    }

    /// The bytes of a file that must lie in the project's folder, also when it is a link.
    fn inside(&self, path: &str) -> Result<Vec<u8>, String> {
        let full = self.folder.join(path).canonicalize().map_err(|error| reason(&error))?;
        let folder = self.folder.canonicalize().map_err(|error| reason(&error))?;
        if !full.starts_with(&folder) {
            return Err("it is a link that leads out of the project".into());
        }
        regular(&full)
    }
}

impl Reader for Disk {
    fn read(&mut self, path: &str) -> Result<Vec<u8>, String> {
        match &self.typed {
            Some(typed) if path == STANDARD_INPUT => Ok(typed.clone()),
            // The first file was named by whoever typed the command, and may be a link.
            None if path == self.root => regular(&self.folder.join(path)),
            _ => self.inside(path),
        }
    }

    fn recipes(&mut self) -> Result<Vec<String>, String> {
        let names = self.list("recipes")?.into_iter();
        let yaml = names.filter(|name| name.ends_with(".yaml") || name.ends_with(".yml"));
        Ok(yaml.map(|name| format!("recipes/{name}")).collect())
    }

    fn logs(&mut self) -> Result<Vec<String>, String> {
        let names = self.list("logs")?.into_iter().filter(|name| name.ends_with(".seam"));
        Ok(names.map(|name| format!("logs/{name}")).collect())
    }

    fn plan(&mut self, path: &str) -> Result<Option<Vec<u8>>, String> {
        if self.typed.is_some() || fs::symlink_metadata(self.folder.join(path)).is_err() {
            return Ok(None);
        }
        self.inside(path).map(Some)
    }
}

/// The bytes of a regular file that is not too large. Anything else, such as a
/// pipe that nobody writes to, could keep the command waiting for ever.
pub(super) fn regular(path: &Path) -> Result<Vec<u8>, String> {
    let metadata = fs::metadata(path).map_err(|error| reason(&error))?;
    if metadata.is_dir() {
        return Err("it is a folder".into());
    }
    if !metadata.is_file() {
        return Err("it is no regular file".into());
    }
    if metadata.len() > LONGEST_FILE as u64 {
        return Err(too_large(Some(metadata.len())));
    }
    let file = fs::File::open(path).map_err(|error| reason(&error))?;
    limited(file)
}

/// Everything that is typed or piped.
///
/// # Errors
/// When it cannot be read or is too long.
pub(super) fn standard_input() -> Result<Vec<u8>, Trouble> {
    let refused = |why: String| Trouble::new(format!("standard input cannot be read: {why}"));
    limited(std::io::stdin().lock()).map_err(refused)
}

fn limited(from: impl Read) -> Result<Vec<u8>, String> {
    let mut bytes = Vec::new();
    from.take(LONGEST_FILE as u64 + 1).read_to_end(&mut bytes).map_err(|error| reason(&error))?;
    if bytes.len() > LONGEST_FILE {
        return Err(too_large(None));
    }
    Ok(bytes)
}

fn too_large(length: Option<u64>) -> String {
    let megabyte = 1024 * 1024;
    let most = LONGEST_FILE / megabyte;
    match length {
        Some(length) => format!("it is {} MB long; a file may have {most} MB", length / megabyte as u64),
        None => format!("it is longer than {most} MB"),
    }
}
