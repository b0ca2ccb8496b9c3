//! The crate from outside: the demo, new folders, bad folders, laws.

mod again;
mod bad_folders;
mod demo;
mod good_values;
mod hole_work;
mod large;
mod laws;
mod money;
mod own_tools;
mod plans;
mod ranges;
mod shop_on_disk;
mod start;
mod tables;
mod together;
