//! The crate from outside: the demo, new folders, bad folders, laws.

mod bad_folders;
mod demo;
mod good_values;
mod large;
mod laws;
mod plans;
mod shop_on_disk;
mod start;
mod tables;
