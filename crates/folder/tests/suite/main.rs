//! The crate from outside: the demo, new folders, bad folders, laws.

mod again;
mod bad_folders;
mod demo;
mod good_values;
mod laws;
mod plans;
mod shop_on_disk;
mod start;
mod tables;
