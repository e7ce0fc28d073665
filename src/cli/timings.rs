//! How long each stage took, and how much memory the process held after it.

use super::console;
use std::fmt::Write;
use std::time::{Duration, Instant};

/// A watch that is told each stage as it ends.
#[derive(Debug)]
pub(super) struct Timings {
    wanted: bool,
    begun: Instant,
    last: Instant,
    stages: Vec<(&'static str, Duration, Option<u64>)>,
}

impl Timings {
    /// Starts the watch; it prints nothing unless `wanted`.
    pub(super) fn start(wanted: bool) -> Self {
        let now = Instant::now();
        Self { wanted, begun: now, last: now, stages: Vec::new() }
    }

    /// A stage has ended.
    pub(super) fn stage(&mut self, name: &'static str) {
        if self.wanted {
            let now = Instant::now();
            self.stages.push((name, now - self.last, memory("VmRSS:")));
            self.last = now;
        }
    }

    /// Prints every stage, the sum and the most memory ever held.
    pub(super) fn tell(&self) {
        if !self.wanted {
            return;
        }
        let mut text = String::new();
        for (name, took, held) in &self.stages {
            line(&mut text, name, *took, *held);
        }
        line(&mut text, "all", self.begun.elapsed(), None);
        if let Some(peak) = memory("VmHWM:") {
            let _ = writeln!(text, "{:<10} {:>24}", "peak", megabytes(peak));
        }
        console::tell(&text);
    }
}

fn line(text: &mut String, name: &str, took: Duration, held: Option<u64>) {
    let held = held.map(megabytes).unwrap_or_default();
    let row = format!("{name:<10} {:>9.2} ms {held:>11}", took.as_secs_f64() * 1000.0);
    let _ = writeln!(text, "{}", row.trim_end());
}

fn megabytes(kilobytes: u64) -> String {
    format!("{}.{} MB", kilobytes / 1024, kilobytes % 1024 * 10 / 1024)
}

/// A line of this process's status, in kilobytes, on systems that have it.
fn memory(key: &str) -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix(key))?;
    line.trim().strip_suffix("kB")?.trim().parse().ok()
}
