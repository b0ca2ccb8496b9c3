//! Names of the things a folder speaks of. A name is what the user wrote; it is unique in its kind.

use serde::Serialize;
use std::fmt;

macro_rules! id {
    ($(#[$meta:meta])* $name:ident) => {
        $(#[$meta])*
        #[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
        #[serde(transparent)]
        pub struct $name(pub String);

        impl $name {
            /// From the text the user wrote.
            pub fn new(text: impl Into<String>) -> Self {
                Self(text.into())
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&self.0)
            }
        }
    };
}

id!(
    /// A part, as named in `parts.toml`.
    PartId
);
id!(
    /// An offer: the file name in `offers/` without its ending.
    OfferId
);
id!(
    /// A material, as named in the materials table ("6061", "1018").
    MaterialId
);
id!(
    /// A class of machines ("bench mill", "40-taper centre").
    ClassId
);
