//! Names of events that are the same on every machine.

use sha2::{Digest, Sha256};
use std::fmt::Write;

/// A name-based UUID of version 8 (RFC 9562, §5.8): SHA-256 over a namespace and
/// the parts of a name, each with its length before it.
pub(super) fn uid(parts: &[&str]) -> String {
    // Chosen once for the names of Seamster's events, and kept.
    const NAMESPACE: [u8; 16] =
        [0x7a, 0x1c, 0x5e, 0x02, 0x94, 0xd3, 0x4b, 0x6f, 0x8e, 0x21, 0xb0, 0x57, 0x3d, 0x69, 0xc8, 0xf4];
    let mut name = Vec::new();
    for part in parts {
        name.extend_from_slice(&(part.len() as u64).to_be_bytes());
        name.extend_from_slice(part.as_bytes());
    }
    named(NAMESPACE, &name)
}

fn named(namespace: [u8; 16], name: &[u8]) -> String {
    let mut hash = Sha256::new();
    hash.update(namespace);
    hash.update(name);
    let mut out = String::new();
    for (at, byte) in hash.finalize().iter().take(16).enumerate() {
        let byte = match at {
            6 => byte & 0x0f | 0x80,
            8 => byte & 0x3f | 0x80,
            _ => *byte,
        };
        if [4, 6, 8, 10].contains(&at) {
            out.push('-');
        }
        let _ = write!(out, "{byte:02x}");
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 9562, Appendix B.2: the example of a name-based UUIDv8 over SHA-256, of
    /// `www.example.com` in the namespace of domain names.
    #[test]
    fn rfc_9562_appendix_b_2() {
        let domains: [u8; 16] =
            [0x6b, 0xa7, 0xb8, 0x10, 0x9d, 0xad, 0x11, 0xd1, 0x80, 0xb4, 0x00, 0xc0, 0x4f, 0xd4, 0x30, 0xc8];
        assert_eq!(named(domains, b"www.example.com"), "5c146b14-3c52-8afd-938a-375d0df1fbf6");
    }

    #[test]
    fn parts_do_not_run_together() {
        assert_ne!(uid(&["ab", "c"]), uid(&["a", "bc"]));
    }
}
