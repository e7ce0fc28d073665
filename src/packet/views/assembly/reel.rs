//! Names of reels: at most eight letters and digits, as decision lists have them.

use std::collections::BTreeSet;

/// Longest name (CMX 3600 and SMPTE 258M practice).
const LONGEST: usize = 8;
/// Names that mean something else: black, no reel, bars.
const TAKEN: [&str; 4] = ["BL", "AX", "BARS", "BLACK"];

/// Gives out names of reels, each once.
#[derive(Debug, Default)]
pub(super) struct Reels {
    given: BTreeSet<String>,
}

impl Reels {
    /// A name for a plate: what can be kept of `leap.step_off` is `LEAPSTEP`. One
    /// that is given already ends in a number instead.
    pub(super) fn give(&mut self, path: &str) -> String {
        let plain = short(path);
        let numbered = (2_u64..).map(|count| {
            let count = count.to_string();
            let kept = LONGEST.saturating_sub(count.len());
            format!("{}{count}", plain.chars().take(kept).collect::<String>())
        });
        let free = |name: &String| !TAKEN.contains(&name.as_str()) && !self.given.contains(name);
        let name = std::iter::once(plain.clone()).chain(numbered).find(free);
        let name = name.expect("the numbers do not end");
        self.given.insert(name.clone());
        name
    }
}

fn short(path: &str) -> String {
    let part = |text: &str, most: usize| -> String {
        let letters =
            text.chars().filter(char::is_ascii_alphanumeric).map(|letter| letter.to_ascii_uppercase());
        letters.take(most).collect()
    };
    let whole = part(path, usize::MAX);
    let name = match path.rsplit_once('.') {
        Some((beat, plate)) if whole.len() > LONGEST => {
            let plate = part(plate, LONGEST);
            let beat = part(beat, LONGEST - plate.len().min(LONGEST / 2));
            format!("{beat}{}", part(&plate, LONGEST - beat.len()))
        }
        _ => part(path, LONGEST),
    };
    if name.is_empty() { "REEL".to_owned() } else { name }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reels_are_short_and_never_given_twice() {
        let mut reels = Reels::default();
        assert_eq!(reels.give("leap.land"), "LEAPLAND");
        assert_eq!(reels.give("leap.step_off"), "LEAPSTEP");
        assert_eq!(reels.give("leap.step_on"), "LEAPSTE2");
        assert_eq!(reels.give("a.b"), "AB");
        assert_eq!(reels.give("ropewalk.up"), "ROPEWAUP");
        assert_eq!(reels.give("b.l"), "BL2");
        assert_eq!(reels.give("…"), "REEL");
        for count in 0..500 {
            let name = reels.give(&format!("beat_{count}.plate"));
            assert!(name.len() <= LONGEST && name.bytes().all(|byte| byte.is_ascii_alphanumeric()), "{name}");
        }
    }
}
