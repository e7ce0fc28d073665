//! Writes the plan file, whole or not at all.
//!
//! In: a compiled project. Out: its plan beside the first file. What people
//! wrote into the former file stays; a file that changed meanwhile, or in which
//! something would be lost, is left alone.

use super::Trouble;
use super::console::{reason, shown};
use super::project::Project;
use super::reader::regular;
use super::report::Moved;
use seamster::{Compiled, kept, order};
use std::ffi::OsString;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

/// A plan file that may be written.
#[derive(Debug)]
pub(super) struct Keeping {
    /// Where.
    path: PathBuf,
    /// What stands there now.
    former: Option<Vec<u8>>,
    /// What is to stand there.
    text: String,
}

/// Looks at what is there and makes what is to be there; writes nothing.
///
/// # Errors
/// When something of the former file would be lost, or it cannot be read.
pub(super) fn prepare(project: &Project) -> Result<Keeping, Trouble> {
    let compiled = &project.compiled;
    let Some(path) = project.disk.beside(&kept::file_name(project.disk.root())) else {
        return Err(Trouble::new(
            "the plan of what is typed cannot be kept: there is no file beside which to keep it",
        )
        .help("put the sequence into a file"));
    };
    let former = now(&path)?;
    let read = compiled.plan_file.map(|file| compiled.sources.file(file).text.as_str());
    let text = match &former {
        Some(bytes) => {
            let text = std::str::from_utf8(bytes).map_err(|_| changed(&path))?;
            if read.map(str::trim_start) != Some(text.trim_start_matches('\u{feff}').trim_start()) {
                return Err(changed(&path));
            }
            Some(text)
        }
        None if read.is_some() => return Err(changed(&path)),
        None => None,
    };
    let name = &compiled.model.sequence.named.path;
    let text = kept::renewed(text, name, &compiled.plan_text()).map_err(|(line, why)| {
        refused(&path, &format!("line {line} would be lost: {why}"))
            .help("move it above 'shoot:', or remove it")
    })?;
    Ok(Keeping { path, former, text })
}

impl Keeping {
    /// Writes it.
    ///
    /// # Errors
    /// When the file changed meanwhile, or cannot be written. It is then as it was.
    pub(super) fn write(&self) -> Result<(), Trouble> {
        let former = now(&self.path)?;
        if former != self.former {
            return Err(changed(&self.path));
        }
        if former.as_deref() == Some(self.text.as_bytes()) {
            return Ok(());
        }
        // A link stays one: what it leads to is written.
        let target = match &former {
            Some(_) => self.path.canonicalize().map_err(|error| refused(&self.path, &reason(&error)))?,
            None => self.path.clone(),
        };
        let fresh = fresh(&target);
        let written = fill(&fresh, &self.text)
            .and_then(|()| match fs::metadata(&target) {
                Ok(known) => fs::set_permissions(&fresh, known.permissions()),
                Err(_) => Ok(()),
            })
            .and_then(|()| fs::rename(&fresh, &target));
        written.map_err(|error| {
            // It is hidden and hurts nothing where it cannot be removed.
            let _ = fs::remove_file(&fresh);
            refused(&self.path, &reason(&error))
        })
    }

    /// The file as people read it.
    pub(super) fn name(&self) -> String {
        shown(self.path.strip_prefix(".").unwrap_or(&self.path))
    }

    /// Whether it would be the same.
    pub(super) fn is_same(&self) -> bool {
        self.former.as_deref() == Some(self.text.as_bytes())
    }
}

/// What moved of the kept plan, and whether this one is kept.
pub(super) fn told(project: &Project, asked: bool, file: Option<&str>) -> String {
    let mut text = String::new();
    if let Some(moved) = moved(&project.compiled) {
        let of = |moved: usize, all: usize, what: &str| match moved {
            0 => format!("all {all} {what} stay"),
            moved => format!("{moved} of {all} {what} move"),
        };
        text.push_str(&format!(
            "of the plan that was kept, {} and {}\n",
            of(moved.moved_setups, moved.setups, "set-ups"),
            of(moved.moved_passes, moved.passes, "passes")
        ));
    }
    match file {
        Some(file) => text.push_str(&format!("kept the plan in '{file}'\n")),
        None if asked => text.push_str("the plan was not kept: the findings stand against it\n"),
        None if project.compiled.keeps && prepare(project).is_ok_and(|keeping| !keeping.is_same()) => {
            text.push_str("the plan is not the one that was kept; `--keep` keeps it\n");
        }
        None => {}
    }
    text
}

/// How much moved of the kept plan; nothing where none was kept.
pub(super) fn moved(compiled: &Compiled) -> Option<Moved> {
    let Compiled { model, breakdown, plan, .. } = compiled;
    if !model.kept.is_plan() {
        return None;
    }
    let moved = order::moved(&model.kept, breakdown, model, plan);
    Some(Moved {
        setups: moved.setups.len(),
        moved_setups: moved.moved_setups.len(),
        passes: moved.passes.len(),
        moved_passes: moved.moved_passes.len(),
    })
}

/// What stands in a file; nothing where there is none.
fn now(path: &Path) -> Result<Option<Vec<u8>>, Trouble> {
    if fs::symlink_metadata(path).is_err() {
        return Ok(None);
    }
    regular(path).map(Some).map_err(|why| refused(path, &why))
}

/// A name beside the file that is hidden: `.film.plan.yaml.seamster-new-4711`.
fn fresh(target: &Path) -> PathBuf {
    let mut name = OsString::from(".");
    name.push(target.file_name().unwrap_or_default());
    name.push(format!(".seamster-new-{}", std::process::id()));
    target.with_file_name(name)
}

fn fill(path: &Path, text: &str) -> std::io::Result<()> {
    let mut file = fs::File::create_new(path)?;
    file.write_all(text.as_bytes())?;
    file.sync_all()
}

fn refused(path: &Path, why: &str) -> Trouble {
    Trouble::new(format!("the plan cannot be kept in '{}': {why}", shown(path)))
}

fn changed(path: &Path) -> Trouble {
    refused(path, "somebody has changed it meanwhile").help("build again")
}
