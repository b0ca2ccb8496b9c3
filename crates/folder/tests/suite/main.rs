//! The crate from outside: the demo, new folders, bad folders, laws.

mod demo;
