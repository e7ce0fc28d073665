//! From the file that was named to the compiled sequence.

use super::Trouble;
use super::console::shown;
use super::reader::Disk;
use super::timings::Timings;
use seamster::order::Effort;
use seamster::{Compiled, Loaded};
use std::path::Path;

/// A project on disk and what it compiles to.
#[derive(Debug)]
pub(super) struct Project {
    /// Where it lies.
    pub(super) disk: Disk,
    /// What it compiles to.
    pub(super) compiled: Compiled,
}

/// Reads and compiles.
///
/// # Errors
/// When the file that was named cannot be read.
pub(super) fn compile(file: &Path, effort: Effort, timings: &mut Timings) -> Result<Project, Trouble> {
    compile_with(file, effort, false, timings)
}

/// Reads and compiles; `afresh` as if no plan had been kept.
///
/// # Errors
/// When the file that was named cannot be read.
pub(super) fn compile_with(
    file: &Path,
    effort: Effort,
    afresh: bool,
    timings: &mut Timings,
) -> Result<Project, Trouble> {
    let (disk, mut loaded) = load(file)?;
    loaded.afresh = afresh;
    let compiled = seamster::compile_with(loaded, effort, &mut |stage| timings.stage(stage));
    Ok(Project { disk, compiled })
}

/// Reads alone.
///
/// # Errors
/// When the file that was named cannot be read.
pub(super) fn load(file: &Path) -> Result<(Disk, Loaded), Trouble> {
    let mut disk = Disk::open(file)?;
    let root = disk.root().to_owned();
    let loaded = seamster::load(&mut disk, &root)
        .map_err(|why| Trouble::new(format!("'{}' cannot be read: {why}", shown(file))))?;
    Ok((disk, loaded))
}
