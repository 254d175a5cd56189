//! Closed lists of words: one row a word, from which reading, printing and the schema are made.
//!
//! Invariant: what is printed is what is read. Absent here: any particular list.

/// Writes an enum whose variants are fixed words on the wire, in files and in the database.
macro_rules! words {
    ($(#[$meta:meta])* $name:ident $(as $schema:literal)? { $($(#[$doc:meta])* $variant:ident = $word:literal),+ $(,)? }) => {
        $(#[$meta])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name { $($(#[$doc])* $variant),+ }

        impl $name {
            /// Every word, in the order of the list.
            pub const WORDS: &'static [&'static str] = &[$($word),+];

            /// Every value, in the order of the list.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// The word that stands for this value.
            pub const fn word(self) -> &'static str {
                match self { $(Self::$variant => $word),+ }
            }

            /// The value that `word` stands for; `None` when it is not in the list.
            pub fn from_word(word: &str) -> Option<Self> {
                match word { $($word => Some(Self::$variant),)+ _ => None }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(self.word())
            }
        }

        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_str(self.word())
            }
        }

        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let word = <std::borrow::Cow<'de, str>>::deserialize(deserializer)?;
                Self::from_word(&word)
                    .ok_or_else(|| serde::de::Error::unknown_variant(&word, Self::WORDS))
            }
        }

        impl<E: deserr::DeserializeError> deserr::Deserr<E> for $name {
            fn deserialize_from_value<V: deserr::IntoValue>(
                value: deserr::Value<V>,
                location: deserr::ValuePointerRef,
            ) -> Result<Self, E> {
                let wrong = match &value {
                    deserr::Value::String(word) => match Self::from_word(word) {
                        Some(read) => return Ok(read),
                        None => deserr::ErrorKind::UnknownValue { value: word, accepted: Self::WORDS },
                    },
                    _ => deserr::ErrorKind::IncorrectValueKind {
                        actual: value,
                        accepted: &[deserr::ValueKind::String],
                    },
                };
                Err(deserr::take_cf_content(E::error::<V>(None, wrong, location)))
            }
        }

        #[cfg(feature = "service")]
        impl utoipa::PartialSchema for $name {
            fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
                utoipa::openapi::ObjectBuilder::new()
                    .schema_type(utoipa::openapi::schema::Type::String)
                    .enum_values(Some(Self::WORDS.iter().copied()))
                    .into()
            }
        }

        #[cfg(feature = "service")]
        impl utoipa::ToSchema for $name {
            fn name() -> std::borrow::Cow<'static, str> {
                // Where another room has a word list of this name, the contract needs a second name.
                let names: &[&'static str] = &[$($schema,)? stringify!($name)];
                names[0].into()
            }
        }
    };
}

pub(crate) use words;
