//! Hands cases to a script of this folder and reads its report.

use serde::Deserialize;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// The least that a check compares.
const ENOUGH: usize = 1000;
/// One case in so many may lie where the other library has no answer.
const LEFT_OUT: usize = 20;

/// One input with Seamster's answer to it.
pub(crate) fn case(given: Value, ours: Value) -> Value {
    json!({ "given": given, "ours": ours })
}

/// What a script reports; `reference.py` writes it.
#[derive(Debug, Deserialize)]
pub(crate) struct Report {
    /// Cases that were compared.
    pub(crate) compared: usize,
    /// Cases that were not, by reason.
    pub(crate) left_out: BTreeMap<String, usize>,
    /// How far apart the values are that agree, at most.
    pub(crate) farthest: BTreeMap<String, f64>,
    /// Values that disagree.
    pub(crate) wrong: usize,
    /// The first of these, in words.
    pub(crate) shown: Vec<String>,
}

/// Stops the test unless the script's library agrees with every case, and has
/// compared enough of them.
#[track_caller]
pub(crate) fn agree(script: &str, check: &str, cases: &[Value]) {
    let report = ask(script, check, cases);
    println!("{script} {check}: {} compared, farthest {:?}", report.compared, report.farthest);
    assert!(
        report.wrong == 0,
        "{script}.py {check}: {} of {} disagree\n{}",
        report.wrong,
        cases.len(),
        report.shown.join("\n")
    );
    let left_out: usize = report.left_out.values().sum();
    assert!(
        report.compared >= ENOUGH && left_out * LEFT_OUT <= cases.len(),
        "{script}.py {check} compares too little: {report:?}"
    );
}

/// Runs one check of a script.
#[track_caller]
pub(crate) fn ask(script: &str, check: &str, cases: &[Value]) -> Report {
    let output = run(script, &[check], &serde_json::to_vec(cases).unwrap());
    serde_json::from_slice(&output)
        .unwrap_or_else(|error| panic!("{script}.py {check} gave no report: {error}"))
}

/// Runs a script of this folder with arguments and input; gives what it prints.
/// The test fails where the script does.
#[track_caller]
pub(crate) fn run(script: &str, arguments: &[&str], input: &[u8]) -> Vec<u8> {
    // Scripts are small modules beside each other; they leave nothing compiled behind.
    let mut child = Command::new(python())
        .arg("-B")
        .arg(folder().join(format!("{script}.py")))
        .args(arguments)
        .env("PYTHONIOENCODING", "utf-8")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // A script that ends before it has read everything says why on its error output.
    let _ = child.stdin.take().unwrap().write_all(input);
    let output = child.wait_with_output().unwrap();
    let complaint = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{script}.py {arguments:?} failed:\n{complaint}");
    output.stdout
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/external")
}

/// The Python of the environment that `tests/external/set-up` has made.
#[track_caller]
#[allow(clippy::disallowed_methods, reason = "tests/run names the environment that it has made")]
fn python() -> PathBuf {
    let made = Path::new(env!("CARGO_TARGET_TMPDIR")).with_file_name("external");
    let wanted = folder().join("requirements.txt");
    let current = || std::fs::read(made.join("requirements.txt")).ok() == std::fs::read(wanted).ok();
    match std::env::var_os("SEAMSTER_PYTHON") {
        Some(python) => python.into(),
        None if current() => made.join("bin/python"),
        None => panic!(
            "the external checks need a Python environment that is not there or is out of date: \
             run tests/run, which makes it and runs every test, or tests/external/set-up, which only makes it"
        ),
    }
}

/// A wrong answer, a number that is none and an answer where there is none are found.
#[test]
fn a_disagreement_is_reported() {
    let fall = |time: Value| {
        case(json!({"height": 2.0, "time": 1.0}), json!({"time": time, "speed": 6.263, "height": 4.903}))
    };
    let report = ask("motion", "fall", &[fall(json!(0.6387)), fall(json!(0.7)), fall(Value::Null)]);
    // Rounded values are beyond the tolerances, too.
    assert_eq!((report.compared, report.wrong), (3, 9), "{report:?}");
    assert!(report.shown[3].starts_with("time: ours 0.7, theirs 0.6386"), "{report:?}");
}
