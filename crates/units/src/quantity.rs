//! What every typed quantity shares: a base unit, arithmetic, and the constructors that name units.

/// A typed physical or money quantity, stored in one base unit.
pub trait Quantity:
    Copy + PartialEq + PartialOrd + std::fmt::Debug + Send + Sync + 'static
{
    /// Symbol of the base unit, as written in JSON keys and messages ("mm", "kW").
    const BASE_UNIT: &'static str;
    /// What the quantity is called in messages ("length", "power").
    const NAME: &'static str;
    /// From a number of base units.
    fn from_base(number: f64) -> Self;
    /// To a number of base units.
    fn base(self) -> f64;
}

/// Defines a quantity: `quantity! { /// doc Length "length" "mm" { mm to_mm 1.0, ... } }`.
/// Each unit gives a constructor and a getter; the factor is the size of the unit in base units.
macro_rules! quantity {
    ($(#[$meta:meta])* $name:ident $label:literal $base:literal { $($unit:ident $to:ident $factor:expr),+ $(,)? }) => {
        $(#[$meta])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, serde::Serialize, serde::Deserialize)]
        #[serde(transparent)]
        pub struct $name(f64);

        impl $crate::Quantity for $name {
            const BASE_UNIT: &'static str = $base;
            const NAME: &'static str = $label;
            fn from_base(number: f64) -> Self { Self(number) }
            fn base(self) -> f64 { self.0 }
        }

        #[allow(clippy::self_named_constructors, reason = "units name constructors; rpm is both")]
        impl $name {
            /// Zero.
            pub const ZERO: Self = Self(0.0);
            $(
                #[doc = concat!("From a number of `", stringify!($unit), "`.")]
                pub const fn $unit(number: f64) -> Self { Self(number * $factor) }
                #[doc = concat!("As a number of `", stringify!($unit), "`.")]
                pub const fn $to(self) -> f64 { self.0 / $factor }
            )+
            /// The smaller of two.
            pub fn min(self, other: Self) -> Self { Self(self.0.min(other.0)) }
            /// The larger of two.
            pub fn max(self, other: Self) -> Self { Self(self.0.max(other.0)) }
            /// Without its sign.
            pub fn abs(self) -> Self { Self(self.0.abs()) }
            /// True for a number that is neither infinite nor NaN.
            pub fn is_finite(self) -> bool { self.0.is_finite() }
            /// Total order for sorting (`f64::total_cmp`).
            pub fn total_cmp(&self, other: &Self) -> std::cmp::Ordering { self.0.total_cmp(&other.0) }
        }

        impl std::ops::Add for $name { type Output = Self; fn add(self, o: Self) -> Self { Self(self.0 + o.0) } }
        impl std::ops::Sub for $name { type Output = Self; fn sub(self, o: Self) -> Self { Self(self.0 - o.0) } }
        impl std::ops::Neg for $name { type Output = Self; fn neg(self) -> Self { Self(-self.0) } }
        impl std::ops::AddAssign for $name { fn add_assign(&mut self, o: Self) { self.0 += o.0; } }
        impl std::ops::SubAssign for $name { fn sub_assign(&mut self, o: Self) { self.0 -= o.0; } }
        impl std::ops::Mul<f64> for $name { type Output = Self; fn mul(self, k: f64) -> Self { Self(self.0 * k) } }
        impl std::ops::Mul<$name> for f64 { type Output = $name; fn mul(self, q: $name) -> $name { $name(self * q.0) } }
        impl std::ops::Div<f64> for $name { type Output = Self; fn div(self, k: f64) -> Self { Self(self.0 / k) } }
        impl std::ops::Div for $name { type Output = f64; fn div(self, o: Self) -> f64 { self.0 / o.0 } }
        impl std::iter::Sum for $name { fn sum<I: Iterator<Item = Self>>(i: I) -> Self { Self(i.map(|q| q.0).sum()) } }
    };
}
