//! What this machine says of the memory that this program has had. What it is spent on is left to the table.

/// The most memory that this program has had at once, in megabytes, where the system tells it.
pub fn most_memory() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:"))?;
    let kilobytes: f64 = line.split_whitespace().next()?.parse().ok()?;
    Some(kilobytes / 1e3)
}
