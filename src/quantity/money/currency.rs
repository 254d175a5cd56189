//! Currencies and how many decimals each is rounded to.
//!
//! Invariants: a code is three capital letters; the decimals are those of ISO 4217 and at most
//! four. Absent here: rates of exchange.

/// A currency: its ISO 4217 code, and the decimals of its minor unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Currency {
    code: [u8; 3],
    exponent: u8,
}

/// Currencies whose minor unit is not a hundredth.
///
/// # Source
/// ISO 4217, table A.1, from memory.
const EXPONENTS: &[(u8, &[&str])] = &[
    (
        0,
        &[
            "BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW", "PYG", "RWF", "UGX", "UYI",
            "VND", "VUV", "XAF", "XOF", "XPF",
        ],
    ),
    (3, &["BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"]),
    (4, &["CLF", "UYW"]),
];

impl Currency {
    /// The US dollar.
    pub const USD: Self = Self {
        code: *b"USD",
        exponent: 2,
    };
    /// The euro.
    pub const EUR: Self = Self {
        code: *b"EUR",
        exponent: 2,
    };

    /// The currency of a code of three capital letters; `None` for anything else.
    pub fn of_code(code: &str) -> Option<Self> {
        let letters: [u8; 3] = code.as_bytes().try_into().ok()?;
        if !letters.iter().all(u8::is_ascii_uppercase) {
            return None;
        }
        let row = EXPONENTS.iter().find(|(_, codes)| codes.contains(&code));
        Some(Self {
            code: letters,
            exponent: row.map_or(2, |(exponent, _)| *exponent),
        })
    }

    /// The three letters.
    pub fn code(&self) -> &str {
        std::str::from_utf8(&self.code).unwrap_or_default()
    }

    /// How many decimals an amount has.
    pub const fn exponent(&self) -> u8 {
        self.exponent
    }
}

impl Default for Currency {
    fn default() -> Self {
        Self::USD
    }
}

impl std::fmt::Display for Currency {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.code())
    }
}
