//! Bytes that came as base64 (RFC 4648, section 4).

/// The bytes; `None` where a letter is none of the alphabet.
pub(super) fn decode(text: &str) -> Option<Vec<u8>> {
    let text = text.trim_end_matches('=');
    let mut bytes = Vec::with_capacity(text.len() / 4 * 3 + 2);
    let (mut held, mut bits) = (0_u32, 0_u32);
    for letter in text.bytes() {
        let value = match letter {
            b'A'..=b'Z' => letter - b'A',
            b'a'..=b'z' => letter - b'a' + 26,
            b'0'..=b'9' => letter - b'0' + 52,
            b'+' => 62,
            b'/' => 63,
            _ => return None,
        };
        held = (held << 6) | u32::from(value);
        bits += 6;
        if bits >= 8 {
            bits -= 8;
            bytes.push(u8::try_from((held >> bits) & 0xff).ok()?);
            held &= (1 << bits) - 1;
        }
    }
    Some(bytes)
}

#[cfg(test)]
mod tests {
    /// RFC 4648, section 10.
    #[test]
    fn the_standards_own_vectors() {
        for (text, coded) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(super::decode(coded).as_deref(), Some(text.as_bytes()), "{coded}");
        }
        assert_eq!(super::decode("Zm9-"), None);
    }
}
