//! A browser without a window, told what to do through a pipe.
//!
//! The browser reads commands from file descriptor 3 and answers on 4, each
//! message one JSON object ended by a zero byte (the DevTools protocol). A pipe
//! is open to nobody else on the machine, as a port would be. Every answer is
//! waited for only so long; then the browser is ended.

use super::{BROWSER_FAILED, BROWSER_HANGS, trouble};
use crate::cli::Trouble;
use crate::cli::console::{reason, shown};
use serde_json::{Value, json};
use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, Command, Stdio};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::thread;
use std::time::{Duration, Instant};

/// How much of what a browser complains is kept.
const COMPLAINT: u64 = 20_000;
/// Descriptors 3 and 4 become the pipe; the browser's own chatter goes nowhere.
const THROUGH_A_PIPE: &str = "exec \"$0\" \"$@\" 3<&0 4>&1 </dev/null >/dev/null";
/// No window, no profile of anybody's, no request to anywhere.
const ARGUMENTS: &[&str] = &[
    "--headless",
    "--remote-debugging-pipe",
    "--no-first-run",
    "--no-default-browser-check",
    "--disable-gpu",
    "--disable-extensions",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-default-apps",
    "--disable-sync",
    "--metrics-recording-only",
    "--disable-dev-shm-usage",
    "--host-resolver-rules=MAP * ~NOTFOUND",
];

/// A running browser, ended when it is dropped.
#[derive(Debug)]
pub(super) struct Session {
    child: Child,
    /// Closed before the browser is ended: one that lost its pipe ends itself.
    commands: Option<ChildStdin>,
    answers: Receiver<Value>,
    complaint: Receiver<String>,
    profile: PathBuf,
    limit: Duration,
    last: u64,
}

impl Session {
    /// Starts a browser with a profile of its own.
    ///
    /// # Errors
    /// When it cannot be started.
    pub(super) fn start(browser: &Path, sandbox: bool, limit: Duration) -> Result<Self, Trouble> {
        let profile = profile()?;
        let mut own = std::ffi::OsString::from("--user-data-dir=");
        own.push(&profile);
        let mut command = Command::new("/bin/sh");
        command.arg("-c").arg(THROUGH_A_PIPE).arg(browser).args(ARGUMENTS).arg(own);
        if !sandbox {
            command.arg("--no-sandbox");
        }
        command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
        let started = command.spawn().map_err(|error| {
            let _ = fs::remove_dir_all(&profile);
            trouble(BROWSER_FAILED, &format!("'{}' cannot be started: {}", shown(browser), reason(&error)))
        });
        let mut child = started?;
        let (tell, answers) = channel();
        let (complain, complaint) = channel();
        if let (Some(out), Some(err)) = (child.stdout.take(), child.stderr.take()) {
            thread::spawn(move || {
                let mut out = BufReader::new(out);
                let mut bytes = Vec::new();
                while out.read_until(0, &mut bytes).is_ok_and(|read| read > 0) {
                    if bytes.last() == Some(&0) {
                        bytes.pop();
                    }
                    let sent = serde_json::from_slice(&bytes).map(|message: Value| tell.send(message));
                    if matches!(sent, Ok(Err(_))) {
                        break;
                    }
                    bytes.clear();
                }
            });
            thread::spawn(move || {
                let mut err = BufReader::new(err);
                let mut text = Vec::new();
                let _ = err.by_ref().take(COMPLAINT).read_to_end(&mut text);
                let _ = complain.send(String::from_utf8_lossy(&text).into_owned());
                // A full pipe would stop the browser.
                let _ = std::io::copy(&mut err, &mut std::io::sink());
            });
        }
        let commands = child.stdin.take();
        Ok(Self { child, commands, answers, complaint, profile, limit, last: 0 })
    }

    /// Gives one command and waits for its answer.
    ///
    /// # Errors
    /// When the browser ends, refuses, or does not answer in time.
    pub(super) fn call(&mut self, method: &str, given: Value, page: Option<&str>) -> Result<Value, Trouble> {
        self.last += 1;
        let mut message = json!({ "id": self.last, "method": method, "params": given });
        if let (Some(page), Some(fields)) = (page, message.as_object_mut()) {
            fields.insert("sessionId".to_owned(), page.into());
        }
        let mut bytes = message.to_string().into_bytes();
        bytes.push(0);
        self.send(bytes)?;
        let until = Instant::now() + self.limit;
        loop {
            match self.answers.recv_timeout(until.saturating_duration_since(Instant::now())) {
                Ok(answer) if answer.get("id").and_then(Value::as_u64) == Some(self.last) => {
                    return match (answer.get("result"), answer.pointer("/error/message")) {
                        (Some(result), None) => Ok(result.clone()),
                        (_, why) => {
                            let why = why.and_then(Value::as_str).unwrap_or("it gave no answer");
                            Err(trouble(BROWSER_FAILED, &format!("the browser refused {method}: {why}")))
                        }
                    };
                }
                // Something that the browser tells of its own accord.
                Ok(_) => {}
                Err(RecvTimeoutError::Timeout) => return Err(self.hangs()),
                Err(RecvTimeoutError::Disconnected) => return Err(self.ended()),
            }
        }
    }

    /// Sends a message while the time is watched: a browser that reads nothing would stop us for ever.
    fn send(&mut self, bytes: Vec<u8>) -> Result<(), Trouble> {
        let Some(mut commands) = self.commands.take() else { return Err(self.ended()) };
        let (tell, sent) = channel();
        thread::spawn(move || {
            let written = commands.write_all(&bytes).and_then(|()| commands.flush());
            let _ = tell.send((commands, written));
        });
        match sent.recv_timeout(self.limit) {
            Ok((commands, Ok(()))) => {
                self.commands = Some(commands);
                Ok(())
            }
            Err(RecvTimeoutError::Timeout) => Err(self.hangs()),
            _ => Err(self.ended()),
        }
    }

    fn hangs(&mut self) -> Trouble {
        self.end();
        let seconds = self.limit.as_secs();
        trouble(BROWSER_HANGS, &format!("the browser gave no answer for {seconds} s, and was ended"))
    }

    fn ended(&mut self) -> Trouble {
        self.end();
        let complaint = self.complaint.recv_timeout(Duration::from_secs(1)).unwrap_or_default();
        let line = complaint.lines().rev().find(|line| !line.trim().is_empty()).unwrap_or("it said nothing");
        let line: String = line.trim().chars().take(200).collect();
        trouble(BROWSER_FAILED, &format!("the browser ended by itself: {line}"))
    }

    fn end(&mut self) {
        self.commands = None;
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Drop for Session {
    fn drop(&mut self) {
        self.end();
        // Its helpers may still be writing for a moment.
        for _ in 0..20 {
            if fs::remove_dir_all(&self.profile).is_ok() || !self.profile.exists() {
                break;
            }
            thread::sleep(Duration::from_millis(50));
        }
    }
}

/// A new folder for what a browser writes down about itself.
fn profile() -> Result<PathBuf, Trouble> {
    let folder = std::env::temp_dir();
    let mut why = String::new();
    for count in 0..100_u32 {
        let path = folder.join(format!("seamster-browser-{}-{count}", std::process::id()));
        match fs::create_dir(&path) {
            Ok(()) => return Ok(path),
            Err(error) => why = reason(&error),
        }
    }
    Err(trouble(BROWSER_FAILED, &format!("no folder can be made in '{}': {why}", shown(&folder))))
}
