//! How a row of an embedded file is declared.
//!
//! Invariant: every row carries its source. Absent here: any row.

/// Declares rows of the embedded files; each carries its source.
macro_rules! rows {
    ($($(#[$doc:meta])* $name:ident { $($(#[$fdoc:meta])* $field:ident: $ty:ty,)* })+) => { $(
        $(#[$doc])*
        #[derive(Clone, Debug, Deserialize)]
        pub struct $name {
            $($(#[$fdoc])* pub $field: $ty,)*
            /// Where the row comes from.
            #[serde(flatten)]
            pub source: Citation,
        }
    )+ };
}

pub(super) use rows;
