//! The hash of a JSON Pointer, reckoned part by part, so that a place in a job finds its row without
//! its pointer being written out.
//!
//! Source: the constants are those of the 64-bit FNV-1a hash, from memory; any other even spread
//! would do.

/// The hash of a pointer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct PointerHash(u64);

impl Default for PointerHash {
    /// That of the root.
    fn default() -> Self {
        Self(0xcbf2_9ce4_8422_2325)
    }
}

impl PointerHash {
    /// That of a pointer as written.
    pub(super) fn of(pointer: &str) -> Self {
        let mut parts = pointer.split('/');
        parts.next();
        parts.fold(Self::default(), Self::below)
    }

    /// That of a part below this one.
    pub(super) fn below(self, part: &str) -> Self {
        let mix = |hash: u64, byte: u8| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
        Self(part.bytes().fold(mix(self.0, b'/'), mix))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn part_by_part_is_as_a_whole() {
        let parts = ["ramp", "path", "*", "rise"];
        let whole = PointerHash::of("/ramp/path/*/rise");
        let by_parts = parts
            .into_iter()
            .fold(PointerHash::default(), PointerHash::below);
        assert_eq!(whole, by_parts);
        assert_ne!(whole, PointerHash::of("/ramp/path/*rise"));
        assert_eq!(PointerHash::of(""), PointerHash::default());
    }
}
