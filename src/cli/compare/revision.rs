//! Files of a project as they were in a revision of git.
//!
//! In: a file or folder, and what git calls a revision. Out: a [`Reader`] over
//! that revision. The `git` command is asked for contents alone: nothing is
//! checked out, no filter of the repository runs, and nothing in it changes.

use crate::cli::Trouble;
use crate::cli::console::{reason, shown};
use crate::cli::first_file::{begins_sequence, only};
use seamster::Reader;
use seamster::load::LONGEST_FILE;
use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// The most recipes, and the most templates, that a project may have.
const MOST: usize = 256;

/// A folder as it was in a revision.
#[derive(Debug)]
pub(super) struct Revision {
    /// Where git is asked.
    folder: PathBuf,
    /// The commit, in full.
    commit: String,
    /// The first file's name in the folder.
    root: String,
}

impl Revision {
    /// The project whose first file that is, or that lies in that folder.
    ///
    /// # Errors
    /// When git is not there, knows no such revision, or the file was not in it.
    pub(super) fn open(path: &Path, revision: &str) -> Result<Self, Trouble> {
        let is_folder = path.is_dir();
        let folder = match path.parent() {
            _ if is_folder => path.to_owned(),
            Some(parent) if parent != Path::new("") => parent.to_owned(),
            _ => PathBuf::from("."),
        };
        let mut opened = Self { folder, commit: String::new(), root: String::new() };
        opened.commit = opened.resolve(revision)?;
        opened.root = if is_folder {
            let mut names = opened.list("").map_err(Trouble::new)?;
            names.retain(|name| name.ends_with(".seam"));
            names.retain(|name| opened.blob(name).is_ok_and(|bytes| begins_sequence(&bytes)));
            only(&names, &format!("{} at {revision}", shown(path)))?.to_owned()
        } else {
            let name = path.file_name().and_then(OsStr::to_str);
            name.ok_or_else(|| Trouble::new(format!("the name of '{}' is not UTF-8", shown(path))))?
                .to_owned()
        };
        Ok(opened)
    }

    /// The name of the first file.
    pub(super) fn root(&self) -> &str {
        &self.root
    }

    /// The folder that the project lies in now.
    pub(super) fn folder(&self) -> &Path {
        &self.folder
    }

    /// The project's own templates as they were.
    ///
    /// # Errors
    /// When one cannot be read or is not UTF-8.
    pub(super) fn templates(&self) -> Result<Vec<(String, String)>, Trouble> {
        let mut templates = Vec::new();
        for name in self.list("templates/").map_err(Trouble::new)? {
            let trouble = |why: &str| Trouble::new(format!("the template '{name}' cannot be read: {why}"));
            let bytes = self.blob(&name).map_err(|why| trouble(&why))?;
            let text = String::from_utf8(bytes).map_err(|_| trouble("it is not UTF-8"))?;
            templates.push((name.trim_start_matches("templates/").to_owned(), text));
        }
        Ok(templates)
    }

    fn resolve(&self, revision: &str) -> Result<String, Trouble> {
        let wanted = format!("{revision}^{{commit}}");
        let asked = self.ask(&["rev-parse", "--verify", "--quiet", "--end-of-options", &wanted]);
        let commit = asked.map_err(|refusal| match refusal {
            Refusal::NoGit(why) => Trouble::new(format!("the command `git` cannot be run: {why}"))
                .help("install git, or compare two files"),
            Refusal::Said(said) if said.is_empty() => {
                Trouble::new(format!("git knows no revision '{revision}'"))
                    .help("name a commit, a tag or a branch, such as HEAD or HEAD~1")
            }
            Refusal::Said(said) => Trouble::new(format!("git cannot read '{}': {said}", shown(&self.folder)))
                .help("`--since` needs a sequence that lies in a repository of git"),
        })?;
        Ok(String::from_utf8_lossy(&commit).trim().to_owned())
    }

    /// Files in a folder of the project, sorted; hidden ones and folders left out.
    fn list(&self, below: &str) -> Result<Vec<String>, String> {
        let within = format!("./{below}");
        let listed = self.ask(&["ls-tree", "-z", &self.commit, &within]).map_err(Refusal::told)?;
        let listed = String::from_utf8(listed).map_err(|_| format!("a name in '{below}' is not UTF-8"))?;
        // Each entry reads `mode type object<tab>path`; only plain files are taken, no links.
        let files = listed.split('\0').filter_map(|entry| {
            let (about, path) = entry.split_once('\t')?;
            about.starts_with("100").then(|| path.to_owned())
        });
        let mut names: Vec<String> =
            files.filter(|path| !path.rsplit('/').next().unwrap_or(path).starts_with('.')).collect();
        if names.len() > MOST && !below.is_empty() {
            return Err(format!("the folder '{below}' held {} files; at most {MOST} are read", names.len()));
        }
        names.sort();
        Ok(names)
    }

    fn blob(&self, path: &str) -> Result<Vec<u8>, String> {
        let object = format!("{}:./{path}", self.commit);
        let size = self.ask(&["cat-file", "-s", &object]).map_err(|_| self.missing())?;
        let size: usize = String::from_utf8_lossy(&size).trim().parse().unwrap_or(usize::MAX);
        if size > LONGEST_FILE {
            let megabyte = 1024 * 1024;
            return Err(format!(
                "it is {} MB long; a file may have {} MB",
                size / megabyte,
                LONGEST_FILE / megabyte
            ));
        }
        self.ask(&["cat-file", "blob", &object]).map_err(|_| self.missing())
    }

    fn missing(&self) -> String {
        format!("it was not in revision {}", self.commit.get(..10).unwrap_or(&self.commit))
    }

    fn ask(&self, args: &[&str]) -> Result<Vec<u8>, Refusal> {
        let ran = Command::new("git")
            .arg("-C")
            .arg(&self.folder)
            .args(["--no-pager", "--no-optional-locks"])
            .args(args)
            .stdin(Stdio::null())
            .output()
            .map_err(|error| Refusal::NoGit(reason(&error)))?;
        if ran.status.success() {
            return Ok(ran.stdout);
        }
        let said = String::from_utf8_lossy(&ran.stderr);
        let first = said.lines().next().unwrap_or_default();
        Err(Refusal::Said(first.trim_start_matches("fatal: ").to_owned()))
    }
}

/// Why git gave no answer.
#[derive(Debug)]
enum Refusal {
    /// It could not be run.
    NoGit(String),
    /// What it said; empty when nothing.
    Said(String),
}

impl Refusal {
    fn told(self) -> String {
        match self {
            Refusal::NoGit(why) => format!("the command `git` cannot be run: {why}"),
            Refusal::Said(said) => format!("git says: {said}"),
        }
    }
}

impl Reader for Revision {
    fn read(&mut self, path: &str) -> Result<Vec<u8>, String> {
        self.blob(path)
    }

    fn recipes(&mut self) -> Result<Vec<String>, String> {
        let mut names = self.list("recipes/")?;
        names.retain(|name| name.ends_with(".yaml") || name.ends_with(".yml"));
        Ok(names)
    }

    fn logs(&mut self) -> Result<Vec<String>, String> {
        let mut names = self.list("logs/")?;
        names.retain(|name| name.ends_with(".seam"));
        Ok(names)
    }

    fn plan(&mut self, path: &str) -> Result<Option<Vec<u8>>, String> {
        let there = self.list("")?.iter().any(|name| name == path);
        if there { self.blob(path).map(Some) } else { Ok(None) }
    }
}
