//! Which browser prints.

use super::{NO_BROWSER, trouble};
use crate::cli::Trouble;
use crate::cli::console::shown;
use std::env;
use std::path::{Path, PathBuf};

/// The variable that names one.
pub(super) const VARIABLE: &str = "SEAMSTER_BROWSER";
/// What browsers of the family are called as commands; the free one first.
const COMMANDS: &[&str] = &[
    "chromium",
    "chromium-browser",
    "google-chrome-stable",
    "google-chrome",
    "chrome",
    "microsoft-edge-stable",
    "microsoft-edge",
    "brave-browser",
    "vivaldi-stable",
];
/// Where macOS keeps them.
const BUNDLES: &[&str] = &["Chromium", "Google Chrome", "Microsoft Edge", "Brave Browser", "Vivaldi"];

/// The browser that was named, or else the first that the machine has.
///
/// # Errors
/// When the one that was named is not there, or the machine has none.
pub(super) fn browser(named: Option<&Path>) -> Result<PathBuf, Trouble> {
    let variable = env::var_os(VARIABLE).filter(|value| !value.is_empty()).map(PathBuf::from);
    if let Some(path) = named.map(Path::to_owned).or(variable) {
        return of_name(&path).ok_or_else(|| {
            trouble(NO_BROWSER, &format!("there is no program '{}' to print them", shown(&path)))
        });
    }
    let found = COMMANDS.iter().find_map(|name| of_name(Path::new(name))).or_else(|| {
        BUNDLES
            .iter()
            .map(|name| PathBuf::from(format!("/Applications/{name}.app/Contents/MacOS/{name}")))
            .find(|path| path.is_file())
    });
    found.ok_or_else(|| trouble(NO_BROWSER, "no browser of the Chromium family was found to print them"))
}

/// A path as it is; a bare name along `PATH`.
fn of_name(name: &Path) -> Option<PathBuf> {
    if name.components().count() > 1 || name.is_absolute() {
        return Some(name.to_owned()).filter(|path| path.is_file());
    }
    let path = env::var_os("PATH")?;
    env::split_paths(&path).map(|folder| folder.join(name)).find(|path| path.is_file())
}
