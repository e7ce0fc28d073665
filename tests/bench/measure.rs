//! What the kernel counts of this process.

/// Seconds that this thread has run.
pub(crate) fn cpu() -> f64 {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").unwrap();
    text.split_whitespace().next().unwrap().parse::<f64>().unwrap() / 1e9
}

/// The most memory that this process has held so far, in megabytes.
pub(crate) fn most_memory() -> u64 {
    let text = std::fs::read_to_string("/proc/self/status").unwrap();
    let line = text.lines().find(|line| line.starts_with("VmHWM")).unwrap();
    line.split_whitespace().nth(1).unwrap().parse::<u64>().unwrap() / 1024
}
